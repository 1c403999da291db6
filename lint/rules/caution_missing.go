package rules

import (
	"fmt"
	"strings"

	"tenths/ledger/study"
	"tenths/lint"
)

var cautionMissing = &lint.Rule{
	Name:     "caution-missing",
	Severity: lint.Error,
	Gap:      true,
	Title:    "hot, grinding, wet or pressing work without its usual cautions",
	Page: lint.Page{
		What: "Every step of a change and every operation of a plan is read for what it does (does; the title only where there is no does) and its cautions are compared with the usual ones for that kind of work. " +
			"A caution counts if it holds the words of its topic: \"fume: extraction on\" is the topic fume.",
		Why:     "These are the steps that hurt people and burn shops; a caution belongs in front of the step. Local codes and licensed practice decide what is required.",
		Formula: cautionTable(),
		Source: "Hot work: ANSI Z49.1, OSHA 29 CFR 1910.252 and 1910.133. Grinding: OSHA 29 CFR 1910.215. Striking: OSHA 29 CFR 1910.133 and 1910.242(a). The rest: common practice. " +
			"Clauses marked \"from memory\" were not looked up. Local codes and licensed practice decide, and the list is not complete.",
		Cure:    "Read the cautions, do what they say, and write them into cautions of the step. What local codes, the maker of the machine and licensed practice ask for goes beyond this list.",
		Concede: "If the words only name a thing (a weld that is there, a press fit) write the kind of work into does, such as \"skim\"; then the title is not read. Work that is done on the bench is told by where.",
	},
	Check: func(p *lint.Pass) {
		eachStep(p, func(s step) {
			lacks := study.CautionsMissing(s.work, s.lead.Set(), s.cautions)
			if lacks == nil {
				return
			}
			var names, adds []string
			for _, t := range lacks {
				names = append(names, t.Name)
				adds = append(adds, fmt.Sprintf("%q (%s)", t.Name, t.Means))
			}
			p.Report(s.rec, s.at, lint.Found{
				Message: fmt.Sprintf("%s is %s%s and stands without the usual %s: %s", s.name, kinds(s.work), s.place(), plural(len(lacks), "caution", "cautions"), strings.Join(names, ", ")),
				Fix:     "do, and write into cautions: " + strings.Join(adds, ", ") + "; local codes and licensed practice decide",
			})
		})
	},
}

// cautionTable lists the cautions by kind of work for the page.
func cautionTable() string {
	var rows []string
	for _, k := range study.WorkKinds() {
		var names []string
		for _, t := range study.UsualCautions(k) {
			names = append(names, t.Name)
		}
		if k == study.Welding {
			names = append(names, "work lead")
		}
		row := fmt.Sprintf("%s: %s", k, strings.Join(names, ", "))
		if k == study.Welding || k == study.Flame {
			row += ", and on a machine covers, control isolated"
		}
		rows = append(rows, row)
	}
	return strings.Join(rows, ". ") + "."
}

func kinds(w study.Work) string {
	var names []string
	for _, k := range w.Kinds {
		names = append(names, string(k))
	}
	return listed(names)
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}
