package rules

import (
	"fmt"

	"tenths/ledger"
	"tenths/lint"
)

var roughAfterFinish = &lint.Rule{
	Name:     "rough-after-finish",
	Severity: lint.Warning,
	Title:    "a surface that is roughed again after it was finished",
	Page: lint.Page{
		What:    "Within one plan, a roughing cut (cut = \"rough\") of a surface is looked for after the finishing cut (cut = \"finish\") of the same surface.",
		Why:     "The roughing cut marks the finished face or springs it, and nothing takes that out again.",
		Source:  "All roughing, then all finishing: common practice.",
		Cure:    "Put the roughing cut before the finishing cut, or finish the surface once more behind it.",
		Concede: "A cut that only relieves stress is written as cut = \"relieve stress\" and is left alone, and so is a surface that is finished again later, or another surface.",
	},
	Check: func(p *lint.Pass) {
		eachPlan(p, func(rec *ledger.Record, _ *ledger.Plan) {
			for _, r := range p.S.PlanGraph(rec).RoughedAfter() {
				op, before, surface := r.Op, r.Finish, r.Op.Surface.S
				p.Report(rec, op.Cut.Span, lint.Found{
					Message: fmt.Sprintf("%s roughs %s after %s has finished it: the finished face is marked or springs", op.ID.S, surface, before.ID.S),
					Fix:     fmt.Sprintf("rough %s before %s, or finish it once more after %s", surface, before.ID.S, op.ID.S),
					Related: []lint.Place{{Rec: rec, Span: before.Cut.Span, Message: fmt.Sprintf("%s finishes %s", before.ID.S, surface)}},
				})
			}
		})
	},
}
