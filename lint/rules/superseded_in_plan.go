package rules

import (
	"fmt"
	"slices"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var supersededInPlan = &lint.Rule{
	Name:     "superseded-in-plan",
	Severity: lint.Error,
	Title:    "a released plan that names a fixture, tool or machine out of use",
	Page: lint.Page{
		What:    "Every fixture, tool and machine that a released plan names is looked up as it stands on the day: superseded, withdrawn, worn out, broken or out of service.",
		Why:     "Somebody will build on what was taken out of use for a cause; the plan is what people go by.",
		Source:  "Only what is in use may stand in a released plan: common practice; the states after ISO 10007.",
		Cure:    "Name what took its place, and look whether offsets and programs still fit; or end the plan with until or state = \"superseded\".",
		Concede: "A plan that is superseded, obsolete or past its until is history and is left alone.",
	},
	Check: func(p *lint.Pass) {
		eachPlan(p, func(rec *ledger.Record, plan *ledger.Plan) {
			if _, open, _ := p.S.PlanDay(rec); !open || plan.State.Set() && plan.State.S != "released" {
				return
			}
			for i := range plan.Operations {
				op := &plan.Operations[i]
				for _, ref := range slices.Concat([]ledger.Ref{op.Fixture, op.Machine}, op.Tools) {
					if ref.Set() {
						checkInUse(p, rec, op, ref)
					}
				}
			}
		})
	},
}

func checkInUse(p *lint.Pass, rec *ledger.Record, op *ledger.Operation, ref ledger.Ref) {
	t, err := p.L.Find(ref.S)
	if err != nil {
		return // a broken reference
	}
	state, at, instead, since := "", ledger.Span{}, "", ""
	switch d := t.Rec.Data.(type) {
	case *ledger.Fixture:
		now := ledger.OnDay(*d, p.AsOf)
		state, at = study.StandingOfFixture(d, p.AsOf), now.State.Span
		instead = d.SupersededBy.S
		if d.Since.Set() && now.State.Span == d.State.Span {
			since = " since " + d.Since.String()
		}
	case *ledger.Tool:
		now := ledger.OnDay(*d, p.AsOf)
		state, at = d.State.S, d.State.Span
		// A finishing cut with such a tool is for worn-finisher.
		if state != "withdrawn" && op.Cut.S != "finish" {
			state, at = now.Role.S, now.Role.Span
		}
	case *ledger.Machine:
		state, at = d.State.S, d.State.Span
	}
	if !slices.Contains([]string{"superseded", "withdrawn", "worn out", "broken", "out of service"}, state) {
		return
	}
	id := t.Rec.ID()
	fix := fmt.Sprintf("name what is used in place of %s; or end the plan with until or state = \"superseded\"", id)
	if instead != "" {
		fix = fmt.Sprintf("%s took its place: name the station of %s and set offset and program for it; or end the plan with until or state = \"superseded\"", instead, instead)
	}
	p.Report(rec, ref.Span, lint.Found{
		Message: fmt.Sprintf("%s of plan %s, which is in force, names %s: that is %s%s", op.ID.S, rec.ID(), ref.S, state, since),
		Fix:     fix,
		Related: []lint.Place{{Rec: t.Rec, Span: at, Message: id + " is " + state}},
	})
}
