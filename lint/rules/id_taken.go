package rules

import (
	"fmt"

	"tenths/ledger"
	"tenths/lint"
)

var idTaken = &lint.Rule{
	Name:     "id-taken",
	Severity: lint.Error,
	Title:    "two things answer to one id",
	OnDrafts: true,
	Always:   true,
	Page: lint.Page{
		What:    "All ids are compared with each other, across kinds and years; within a record, the names of its features, stations, locators, operations and derived values.",
		Why:     "When two things answer to one name, a reading or a reason is kept with the wrong one, and the history of both is lost.",
		Source:  "Common practice. An id is never used again, and revisions get a suffix: the configuration item and its revision of ISO 10007.",
		Cure:    "Give one of them an id that was never used, and correct what names it. A new revision of the same item keeps the id and gets rev = \"B\".",
		Concede: "Only while old notes are sorted: concede it in the later record, with a last day.",
	},
	Check: checkIDTaken,
}

func checkIDTaken(p *lint.Pass) {
	for _, id := range p.L.IDs() {
		list := p.L.WithID(id)
		for i, rec := range list {
			for _, first := range list[:i] {
				if first.Kind() == rec.Kind() && first.Common.Rev.S != rec.Common.Rev.S {
					continue
				}
				p.Report(rec, rec.Common.ID.Span, taken(rec, first))
				break
			}
		}
	}
	for _, rec := range p.L.Records {
		for _, d := range rec.Doubles() {
			p.Report(rec, d.Now, lint.Found{
				Message: fmt.Sprintf("%s names two things in %s: this %s and a %s", d.Name, d.In, d.Key, another(d)),
				Fix:     "give one of them another name, and correct the paths that mean it",
				Related: []lint.Place{{Rec: rec, Span: d.First, Message: "the first " + d.Name}},
			})
		}
	}
}

// another says what the first one is.
func another(d ledger.Double) string {
	if d.Key == d.Other {
		return d.Key + " above"
	}
	return d.Other
}

func taken(rec, first *ledger.Record) lint.Found {
	f := lint.Found{
		Message: fmt.Sprintf("the id %s belongs to another %s", rec.ID(), first.Kind()),
		Fix:     "give this one an id that was never used",
		Related: []lint.Place{{Rec: first, Span: first.Common.ID.Span, Message: fmt.Sprintf("%s: %s", first.ID(), first.Common.Title.S)}},
	}
	switch {
	case first.Kind() != rec.Kind():
		f.Message = fmt.Sprintf("the id %s belongs to a %s already", rec.ID(), first.Kind())
	case rec.Common.Rev.Set():
		f.Message = fmt.Sprintf("the id %s with the revision %s is there already", rec.ID(), rec.Common.Rev.S)
		f.Fix = "give this one an id that was never used, or its own revision if it is the same item"
	default:
		f.Fix = "give this one an id that was never used; if both are one item, give each its revision (rev)"
	}
	return f
}
