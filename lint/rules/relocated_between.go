package rules

import (
	"fmt"
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var relocatedBetween = &lint.Rule{
	Name:     "relocated-between",
	Severity: lint.Warning,
	Title:    "a characteristic whose two sides are made on different locating features",
	Page: lint.Page{
		What:    "In the plans in force: what the operation that makes a feature locates on, against the datum features from which the characteristic or the position of that feature is measured; the features of a position, step, profile or tilt without a datum against each other; and for a step that names its two parts (proud, against), what their outlines are finished on.",
		Why:     "Each change of locators adds the whole error of both sets to the characteristic, and no care at the machine takes it out again.",
		Formula: "Worst case: the tolerances and clearances that are listed add up along the chain, each times how far it moves the place that is measured.",
		Source:  "The same datum features through the chain, or the added tolerance shown: common practice; tolerance stacks after ASME Y14.5 and textbooks.",
		Cure:    "Locate on the datum features; or make the other locating features from the datum and check them before they are used (checks); or show the stack as a derived value with limits that takes the locators in.",
		Concede: "Faces are left out, and so is an operation that names nothing beside the datum, a feature that is made in one clamping with its datum, and a characteristic whose stack stands in a derived value with limits. Concede where a trial has shown what the change of locators costs.",
	},
	Check: func(p *lint.Pass) {
		for _, r := range p.S.Relocated() {
			if r.Other != nil {
				reportTwoSides(p, r)
			} else {
				reportFromDatum(p, r)
			}
		}
	},
}

// measured names what is measured, with its limits.
func measured(r study.Relocated) string {
	if r.Char == nil {
		return fmt.Sprintf("the position of %s of %s", listed(r.Side.Features), r.Rec.ID())
	}
	text := r.Rec.ID() + "/" + r.Char.ID.S
	if r.Char.Limits.Set() {
		text += fmt.Sprintf(" (%s)", r.Char.Limits.Tol)
	}
	return text
}

func reportFromDatum(p *lint.Pass, r study.Relocated) {
	s := r.Side
	found := lint.Found{
		Message: fmt.Sprintf("%s is measured from %s, but %s makes %s on %s%s", measured(r), listed(r.Datum), s.Op.ID.S, listed(s.Features), heldOn(s), brought(r)),
		Fix: fmt.Sprintf("locate %s on %s; or make %s from %s and check it before %s (checks); or show the stack as a derived value with limits",
			s.Op.ID.S, listed(r.Datum), listed(s.On), listed(r.Datum), s.Op.ID.S),
		Numbers: addedNumbers(r),
	}
	if r.Char != nil {
		found.Related = []lint.Place{{Rec: r.Rec, Span: firstSet(r.Char.Datum[0].Span, r.Char.ID.Span), Message: "the datum of " + r.Char.ID.S}}
	}
	p.Report(s.Plan, locatingSpan(s), found)
}

func reportTwoSides(p *lint.Pass, r study.Relocated) {
	a, b := r.Side, *r.Other
	found := lint.Found{
		Message: fmt.Sprintf("the two sides of %s are made on different features: %s on %s (%s), %s on %s (%s)%s",
			measured(r), sideIs(a, b), heldOn(a), a.Op.ID.S, sideIs(b, a), heldOn(b), b.Op.ID.S, brought(r)),
		Fix:     "finish both on the same features, best at one station; or show the stack as a derived value with limits that takes both in",
		Related: []lint.Place{{Rec: a.Plan, Span: locatingSpan(a), Message: a.Op.ID.S + " locates here"}, {Rec: b.Plan, Span: locatingSpan(b), Message: b.Op.ID.S + " locates here"}},
		Numbers: addedNumbers(r),
	}
	p.Report(r.Rec, r.Char.ID.Span, found)
}

// sideIs names the features of a side, with the part where the other side is
// another one.
func sideIs(a, b study.CutSide) string {
	if a.Part != b.Part {
		return fmt.Sprintf("%s of %s", listed(a.Features), a.Part.ID())
	}
	return listed(a.Features)
}

// heldOn says what a side is located on: "H1 and H2 at FX1/A".
func heldOn(s study.CutSide) string {
	if s.Op.Fixture.Set() {
		return listed(s.On) + " at " + s.Op.Fixture.S
	}
	return listed(s.On)
}

func locatingSpan(s study.CutSide) ledger.Span {
	if len(s.Op.Locates) > 0 {
		return s.Op.Locates[0].Span
	}
	return firstSet(s.Op.Fixture.Span, s.Op.ID.Span)
}

// brought says what the change of locators brings in, as far as it is known.
func brought(r study.Relocated) string {
	if r.Adds == nil {
		return "; what that adds is not known"
	}
	var out []string
	for _, a := range r.Adds {
		out = append(out, fmt.Sprintf("%s %s", a.What, a.Size))
	}
	return "; that brings in: " + strings.Join(out, ", ")
}

func addedNumbers(r study.Relocated) []lint.Number {
	var out []lint.Number
	for _, a := range r.Adds {
		out = append(out, lint.Number{Name: strings.ReplaceAll(a.What, " ", "_"), Q: a.Size})
	}
	return out
}
