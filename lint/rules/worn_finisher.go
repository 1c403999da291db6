package rules

import (
	"fmt"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var wornFinisher = &lint.Rule{
	Name:     "worn-finisher",
	Severity: lint.Warning,
	Title:    "a finishing cut with a tool that may no longer finish",
	Page: lint.Page{
		What:    "The tools of every finishing operation (cut = \"finish\") are looked up: their role on that day (roughing, worn out, withdrawn, broken), and the parts they have cut with the pieces still to run against their life.",
		Why:     "A dull side edge pushes off: taper, size and burr come out as a step that a finger feels.",
		Formula: "count + pieces <= life. The count is that of today and is asked only of a plan that still holds; without pieces, one part stands for them.",
		Source:  "Tool life and flank wear: ISO 8688-2; that a demoted tool never finishes, and that finishers go far before the laboratory's 0.3 mm of wear: common practice.",
		Cure:    "Put a tool in its place whose role is finishing; or set the count back if the tool is new.",
		Concede: "Where a wear offset was set and checked on the last part, say so with wear_offset on the operation; a worn tool is then left alone.",
	},
	Check: func(p *lint.Pass) {
		eachPlan(p, func(rec *ledger.Record, plan *ledger.Plan) {
			for _, u := range p.S.PlanGraph(rec).UnfitFinishers() {
				if u.Wear != nil {
					reportLife(p, rec, u)
				} else {
					reportRole(p, rec, u, plan)
				}
			}
		})
	},
}

func reportRole(p *lint.Pass, rec *ledger.Record, u study.UnfitFinisher, plan *ledger.Plan) {
	op, ref, now := u.Op, u.Ref, u.Now
	message := fmt.Sprintf("%s finishes with %s, whose role is %q: it may not finish", op.ID.S, ref.S, now.Role.S)
	fix := fmt.Sprintf("name a tool whose role is finishing in place of %s", ref.S)
	if _, open, _ := p.S.PlanDay(rec); !open {
		message = fmt.Sprintf("%s finished with %s, whose role on %s, the last day of the plan, was %q", op.ID.S, ref.S, plan.Until, now.Role.S)
		fix = "look at the parts that were made for taper, size and burr"
	}
	p.Report(rec, ref.Span, lint.Found{
		Message: message,
		Fix:     fix + "; if a wear offset was set and checked on the last part, say so with wear_offset",
		Related: []lint.Place{{Rec: u.Rec, Span: now.Role.Span, Message: fmt.Sprintf("role of %s: %s", ref.S, now.Role.S)}},
	})
}

func reportLife(p *lint.Pass, rec *ledger.Record, u study.UnfitFinisher) {
	op, ref, now, w := u.Op, u.Ref, u.Now, *u.Wear
	run := "another part"
	if w.PiecesKnown {
		run = parts(w.Pieces)
	}
	p.Report(rec, ref.Span, lint.Found{
		Message: fmt.Sprintf("%s finishes %s with %s, which has cut %s of a life of %s: %s too many", op.ID.S, run, ref.S, parts(w.Count), parts(w.Life), parts(w.Over)),
		Fix:     fmt.Sprintf("change %s in time, or let it go to roughing and name a fresh one; if a wear offset was set and checked on the last part, say so with wear_offset", ref.S),
		Numbers: []lint.Number{{Name: "life", Q: w.Life}, {Name: "count", Q: w.Count}, {Name: "pieces", Q: w.Pieces}, {Name: "over", Q: w.Over}},
		Related: []lint.Place{
			{Rec: u.Rec, Span: now.Life.Span, Message: "life of " + ref.S},
			{Rec: u.Rec, Span: now.Count.Span, Message: "count of " + ref.S},
		},
	})
}

// parts prints a number of parts.
func parts(q quantity.Quantity) string {
	n := q.Format(q.Unit(), 0)
	if n == "1 parts" {
		return "1 part"
	}
	return n
}
