package rules

import (
	"fmt"

	"tenths/ledger/capture"
	"tenths/lint"
)

var lineUnsorted = &lint.Rule{
	Name:     "line-unsorted",
	Severity: lint.Note,
	Title:    "a line typed at the machine that could not be read as readings",
	Page: lint.Page{
		What:    "Each [[unsorted]] line of the files of readings that nothing became of yet. It is read anew, with the ledger as it is now.",
		Why:     "Until it is sorted, what was measured counts nowhere.",
		Source:  "Common practice: readings are kept as they were taken down, and sorted while somebody still knows what was meant.",
		Cure:    "tenths record --unsorted lists the lines with a command for each: with what it was, tenths record PATH --sorts LINE; if it is no reading, tenths record --sorts LINE --why TEXT.",
		Concede: "There is no need: a note stops nothing, and a line that is no reading is sorted with its reason.",
	},
	Check: func(p *lint.Pass) {
		for _, u := range capture.Unsorted(p.S) {
			why, path := u.Why, u.Path
			if path != "" {
				why = "it can be read now as " + path
			}
			if u.Near != "" {
				why += "; did you mean " + u.Near + "?"
			}
			if path == "" {
				path = "PATH"
			}
			p.Report(u.Rec, u.Line.Line.Span, lint.Found{
				Message: fmt.Sprintf("%q waits to be sorted: %s", u.Line.Line.S, why),
				Fix:     fmt.Sprintf("tenths record %s --sorts %s, or, if it is no reading, tenths record --sorts %s --why TEXT", path, u.Line.ID.S, u.Line.ID.S),
			})
		}
	},
}
