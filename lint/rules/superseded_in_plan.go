package rules

import (
	"fmt"

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
			for _, o := range p.S.PlanGraph(rec).OutOfUse() {
				reportOutOfUse(p, rec, o)
			}
		})
	},
}

func reportOutOfUse(p *lint.Pass, rec *ledger.Record, o study.OutOfUse) {
	since := ""
	if o.Since.Set() {
		since = " since " + o.Since.String()
	}
	id := o.Rec.ID()
	fix := fmt.Sprintf("name what is used in place of %s; or end the plan with until or state = \"superseded\"", id)
	if o.Instead != "" {
		fix = fmt.Sprintf("%s took its place: name the station of %s and set offset and program for it; or end the plan with until or state = \"superseded\"", o.Instead, o.Instead)
	}
	p.Report(rec, o.Ref.Span, lint.Found{
		Message: fmt.Sprintf("%s of plan %s, which is in force, names %s: that is %s%s", o.Op.ID.S, rec.ID(), o.Ref.S, o.State, since),
		Fix:     fix,
		Related: []lint.Place{{Rec: o.Rec, Span: o.At, Message: id + " is " + o.State}},
	})
}
