package rules

import (
	"fmt"

	"tenths/ledger/study"
	"tenths/lint"
)

var refitUnchecked = &lint.Rule{
	Name:     "refit-unchecked",
	Severity: lint.Warning,
	Title:    "a fixture that went back on the machine without a check before its first part",
	Page: lint.Page{
		What: "The last day on which a fixture in use went back on the machine (refit), or on which a step of a change worked on it on the bench, is compared with the first check after it: the day that the refit itself names (checked), " +
			"a survey of a pin, a measurement of the seat, an offset found anew (offset_set), or readings on a part of one of its stations, for the first part or from a datum.",
		Why:     "A chip or a burr under the plate is one to two thousandths on the whole batch.",
		Source:  "One reading after every refit, or once a trial of three refits with the same part: common practice. One to two thousandths for a chip: common practice.",
		Cure:    "Wipe, bolt down, indicate one pin or one edge, and write checked and how it was checked; or try three refits with one part once and write the spread of one edge.",
		Concede: "A fixture that never left the table has no refit, and one whose three refits were tried (spread) is left alone, and so is one that is under rework, unverified or out of use. Concede where a key and a stop were shown to bring it back, and say when.",
	},
	Check: func(p *lint.Pass) {
		for _, u := range p.S.Unchecked() {
			reportUnchecked(p, u)
		}
	},
}

func reportUnchecked(p *lint.Pass, u study.Unchecked) {
	found := lint.Found{Fix: "wipe the seats, bolt it down, indicate one pin or read one edge of the first part before the batch, and write it: [[refit]] with on, checked and how"}
	if u.Before != nil {
		found.Related = append(found.Related, lint.Place{Rec: u.Rec, Span: u.Before.On.Span, Message: fmt.Sprintf("last survey before that, %s", u.Before.On)})
	}
	if u.Refit != nil {
		found.Message = fmt.Sprintf("%s was put back on %s, and nothing says that it was checked on that day or since", u.Rec.ID(), u.On)
		p.Report(u.Rec, u.Refit.On.Span, found)
		return
	}
	found.Message = fmt.Sprintf("%s was on the bench on %s, %s of %s, and nothing says that it was checked when it went back",
		u.Rec.ID(), u.On, stepName(fmt.Sprintf("step %d", u.N), u.Step.Title, u.Step.Does), u.Change.ID())
	p.Report(u.Change, firstSet(u.Step.Where.Span, u.Step.Does.Span), found)
}
