package rules

import (
	"fmt"

	"tenths/ledger/study"
	"tenths/lint"
)

var datumMissing = &lint.Rule{
	Name:     "datum-missing",
	Severity: lint.Warning,
	Title:    "a position, step, run-out or tilt that does not say what it is measured from",
	Page: lint.Page{
		What:    "Characteristics of type position, step, runout or tilt without a datum, whose features have none either; and features with a position tolerance but no datum, for whose place no characteristic has one.",
		Why:     "Without a datum two honest people measure two different things, and before and after cannot be compared.",
		Source:  "Location, orientation and run-out are specified from datums: ISO 1101 and ISO 5459, ASME Y14.5 (common knowledge of those standards; no clause is quoted).",
		Cure:    "Name the features that the part is laid on, put on pins with or swept from: datum = [\"H1\", \"H2\"].",
		Concede: "Sizes, flatness, roughness, taper, profile, force, counts and what the finger says need none and are left alone, and so is a characteristic without a type. Concede where the method itself fixes what is measured from what.",
	},
	Check: func(p *lint.Pass) {
		for _, n := range p.S.NoDatums() {
			reportNoDatum(p, n)
		}
	},
}

func reportNoDatum(p *lint.Pass, n study.NoDatum) {
	if n.Char == nil {
		reportNoDatumFeatures(p, n)
		return
	}
	c := n.Char
	what := fmt.Sprintf("%s of %s", c.ID.S, n.Rec.ID())
	if c.Title.S != "" {
		what += fmt.Sprintf(" (%q)", c.Title.S)
	}
	found := lint.Found{Fix: "write the features that it is measured from: datum = [...]; if it is a size or a form, give it that type"}
	limits := ""
	if c.Limits.Set() {
		limits = ", " + c.Limits.Tol.String() + ","
	}
	found.Message = fmt.Sprintf("%s is %s%s and names no datum", what, withArticle(c.Type.S), limits)
	p.Report(n.Rec, firstSet(c.Type.Span, c.ID.Span), found)
}

func reportNoDatumFeatures(p *lint.Pass, n study.NoDatum) {
	var names []string
	found := lint.Found{Fix: "write the features that the position is taken from: datum = [...]"}
	for i, f := range n.Features {
		names = append(names, f.ID.S)
		if i > 0 && i <= shownPlaces {
			found.Related = append(found.Related, lint.Place{Rec: n.Rec, Span: f.Position.Span, Message: fmt.Sprintf("%s, position %s", f.ID.S, f.Position.Tol)})
		}
	}
	first := n.Features[0]
	found.Message = fmt.Sprintf("%s of %s %s a position tolerance (%s) and no datum", listed(names), n.Rec.ID(), plural(len(names), "has", "have"), first.Position.Tol)
	found.Numbers = []lint.Number{{Name: "position", Q: first.Position.Nominal()}}
	p.Report(n.Rec, first.Position.Span, found)
}
