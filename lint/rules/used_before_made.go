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
			for _, l := range lateMakers(p, plan) {
				l.report(p, rec, plan)
			}
		})
	},
}

// late is an operation that makes features which operations before it use.
type late struct {
	maker *ledger.Operation
	uses  []lateUse
}

type lateUse struct {
	op     *ledger.Operation
	on     study.LocatedOn
	madeAt ledger.Span
}

// lateMakers lists them in the order in which they are first missed.
func lateMakers(p *lint.Pass, plan *ledger.Plan) []*late {
	var out []*late
	for i := range plan.Operations {
		op := &plan.Operations[i]
		for _, on := range p.S.LocatesOn(plan, op) {
			maker, at := lateMaker(plan, on.Feature, i)
			if maker == nil {
				continue
			}
			k := slices.IndexFunc(out, func(l *late) bool { return l.maker == maker })
			if k < 0 {
				out, k = append(out, &late{maker: maker}), len(out)
			}
			out[k].uses = append(out[k].uses, lateUse{op, on, at})
		}
	}
	return out
}

// lateMaker is the first operation that makes a feature, if it comes after
// operation i.
func lateMaker(plan *ledger.Plan, feature string, i int) (maker *ledger.Operation, at ledger.Span) {
	for k := range plan.Operations {
		for _, made := range plan.Operations[k].Makes {
			if made.S != feature {
				continue
			}
			if k <= i {
				return nil, ledger.Span{}
			}
			return &plan.Operations[k], made.Span
		}
	}
	return nil, ledger.Span{}
}

// report speaks of the first operation that misses something; the others
// follow from the same order.
func (l *late) report(p *lint.Pass, rec *ledger.Record, plan *ledger.Plan) {
	first := l.uses[0].op
	var features, others []string
	var related []lint.Place
	for _, u := range l.uses {
		if u.op == first {
			features = append(features, u.on.Feature)
			related = append(related, lint.Place{Rec: rec, Span: u.madeAt, Message: fmt.Sprintf("%s makes %s", l.maker.ID.S, u.on.Feature)})
			if u.on.Locator != nil {
				related = append(related, lint.Place{Rec: u.on.Rec, Span: u.on.Locator.Engages.Span, Message: fmt.Sprintf("%s engages %s", u.on.Locator.ID.S, u.on.Feature)})
			}
			continue
		}
		if !slices.Contains(others, u.op.ID.S) {
			others = append(others, u.op.ID.S)
			related = append(related, lint.Place{Rec: rec, Span: u.on.At, Message: fmt.Sprintf("%s locates on %s", u.op.ID.S, u.on.Feature)})
		}
	}
	through := ""
	if l.uses[0].on.Locator != nil {
		through = ", by the locators of " + first.Fixture.S
	}
	message := fmt.Sprintf("%s locates on %s of %s%s, which only %s makes, later in the plan", first.ID.S, listed(features), plan.Part.S, through, l.maker.ID.S)
	if others != nil {
		message += fmt.Sprintf("; so %s %s", plural(len(others), "does", "do"), listed(others))
	}
	p.Report(rec, l.uses[0].on.At, lint.Found{
		Message: message,
		Fix:     fmt.Sprintf("move %s before %s; or say with locates_on what the part really stands on", l.maker.ID.S, first.ID.S),
		Related: related,
	})
}
