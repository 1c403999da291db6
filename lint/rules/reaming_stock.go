package rules

import (
	"fmt"
	"slices"

	"tenths/calc/ream"
	"tenths/ledger/study"
	"tenths/lint"
)

var reamingStock = &lint.Rule{
	Name:     "reaming-stock",
	Severity: lint.Note,
	Title:    "a drill that leaves too little or too much for the reamer",
	Page: lint.Page{
		What: "In plans that hold, the drill that makes room for a reamer, in the same operation or an earlier one that makes the same hole, is compared with the reamer. " +
			"Of several drills one that leaves the usual stock is taken, else the largest below the reamer; a drill under three quarters of the reamer is taken to be for another hole.",
		Why:     "With too little to cut the reamer rubs, chatters and wears; with too much it deflects and cuts large.",
		Formula: "stock = reamer - drill, on the diameter: about 0.004 to 0.012 in from 1/8 to 1/4 in; 0.1 to 0.2 mm below that, 0.2 to 0.3 mm up to 20 mm, 0.3 to 0.5 mm up to 50 mm.",
		Source:  "Common practice throughout: a shop figure for 1/8 to 1/4 in, and fitters' training texts for the rest, which allow half as much again in light metals and tough materials.",
		Cure:    "Take a drill that leaves the usual stock. A drill cuts a little larger than it is, so that less is left than the numbers say.",
		Concede: "A reamer that burnishes (say so in its type) wants far less and is left in peace, and so is a hole that is bored or milled between drill and reamer. Concede what test holes have proven.",
	},
	Check: checkReamingStock,
}

func checkReamingStock(p *lint.Pass) {
	var list []*badStock
	for _, r := range p.S.Reamings() {
		st, ok := r.StockOf(p.S)
		if !ok || st.Verdict == ream.StockUsual {
			continue
		}
		i := slices.IndexFunc(list, func(b *badStock) bool {
			return b.PlanRec == st.PlanRec && b.Ref.Span == st.Ref.Span && b.DrillRef.Span == st.DrillRef.Span
		})
		if i < 0 {
			list, i = append(list, &badStock{ReamStock: st}), len(list)
		}
		list[i].holes = append(list[i].holes, st.Feature.ID.S)
	}
	for _, b := range list {
		b.report(p)
	}
}

// badStock is a drill and a reamer of a plan with the holes that they make.
type badStock struct {
	study.ReamStock
	holes []string
}

func (b *badStock) report(p *lint.Pass) {
	drill, reamer := b.Drill.Diameter.Nominal(), b.Tool.Diameter.Nominal()
	than := "less than the usual"
	if b.Verdict == ream.StockTooMuch {
		than = "more than the usual"
	}
	drills := b.DrillRef.S
	if b.DrillOp != b.Op {
		drills += " in " + b.DrillOp.ID.S
	}
	p.Report(b.PlanRec, b.DrillRef.Span, lint.Found{
		Message: fmt.Sprintf("%s: %s leaves %s on the diameter of %s for %s, %s: %s %s to %s", b.Op.ID.S, drills, study.ShowIn(b.Amount, reamer.Unit()), listed(b.holes), b.Ref.S, reamer, than, digits(b.Least, b.Most), b.Most),
		Fix:     fmt.Sprintf("take a drill of about %s", fromTo(b.From, b.To)),
		Numbers: []lint.Number{{Name: "drill", Q: drill}, {Name: "reamer", Q: reamer}, {Name: "stock", Q: b.Amount}},
		Related: []lint.Place{
			{Rec: b.DrillRec, Span: b.Drill.Diameter.Span, Message: fmt.Sprintf("%s is %s", b.DrillRef.S, drill)},
			{Rec: b.ToolRec, Span: b.Tool.Diameter.Span, Message: fmt.Sprintf("%s is %s", b.Ref.S, reamer)},
		},
	})
}
