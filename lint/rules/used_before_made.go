package rules

import (
	"fmt"
	"slices"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var usedBeforeMade = &lint.Rule{
	Name:     "used-before-made",
	Severity: lint.Error,
	Title:    "an operation that locates on a feature which is made later",
	Page: lint.Page{
		What:    "For every operation of a plan, the features that locate the part in it (locates_on, else those that the locators of its station engage) are looked for in the operations that make them; operations run in the order in which they are written.",
		Why:     "It cannot be done as written: the part is held by something else than the plan says, and all that follows is referred to that.",
		Source:  "Order of cause and effect; common practice.",
		Cure:    "Move the operation that makes the feature in front, or name what really locates the part (locates_on).",
		Concede: "A feature that is made in the same clamping is no trouble: name it under makes of that operation. A feature that no operation makes comes with the blank and is left alone.",
	},
	Check: func(p *lint.Pass) {
		eachPlan(p, func(rec *ledger.Record, plan *ledger.Plan) {
			for _, l := range p.S.PlanGraph(rec).LateMakers() {
				reportLate(p, rec, plan, l)
			}
		})
	},
}

// reportLate speaks of the first operation that misses something; the others
// follow from the same order.
func reportLate(p *lint.Pass, rec *ledger.Record, plan *ledger.Plan, l study.LateMaker) {
	first := l.Uses[0].Op
	var features, others []string
	var related []lint.Place
	for _, u := range l.Uses {
		if u.Op == first {
			features = append(features, u.On.Feature)
			related = append(related, lint.Place{Rec: rec, Span: u.MadeAt, Message: fmt.Sprintf("%s makes %s", l.Maker.ID.S, u.On.Feature)})
			if u.On.Locator != nil {
				related = append(related, lint.Place{Rec: u.On.Rec, Span: u.On.Locator.Engages.Span, Message: fmt.Sprintf("%s engages %s", u.On.Locator.ID.S, u.On.Feature)})
			}
			continue
		}
		if !slices.Contains(others, u.Op.ID.S) {
			others = append(others, u.Op.ID.S)
			related = append(related, lint.Place{Rec: rec, Span: u.On.At, Message: fmt.Sprintf("%s locates on %s", u.Op.ID.S, u.On.Feature)})
		}
	}
	through := ""
	if l.Uses[0].On.Locator != nil {
		through = ", by the locators of " + first.Fixture.S
	}
	message := fmt.Sprintf("%s locates on %s of %s%s, which only %s makes, later in the plan", first.ID.S, listed(features), plan.Part.S, through, l.Maker.ID.S)
	if others != nil {
		message += fmt.Sprintf("; so %s %s", plural(len(others), "does", "do"), listed(others))
	}
	p.Report(rec, l.Uses[0].On.At, lint.Found{
		Message: message,
		Fix:     fmt.Sprintf("move %s before %s; or say with locates_on what the part really stands on", l.Maker.ID.S, first.ID.S),
		Related: related,
	})
}
