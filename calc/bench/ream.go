package bench

import (
	"fmt"

	"tenths/calc/quantity"
	"tenths/calc/ream"
)

// Ream asks what reamer a hole wants.
type Ream struct {
	Hole   []string `arg:"" optional:"" help:"The hole with its limits: '0.1875 +0.0005/-0 in', 20 mm H7."`
	Reamer string   `placeholder:"SIZE" help:"The size of a reamer at hand."`
	Drill  string   `placeholder:"SIZE" help:"The hole before reaming, or the drill for it; needs --reamer."`
	Step   string   `placeholder:"LENGTH" help:"Step that the rule rounds up to; 0.0001 in or 0.001 mm if not given."`
}

// About implements Question.
func (Ream) About() string {
	return "What size of reamer a hole wants, by the rule of DIN 1420 in exact steps. With --reamer: what a reamer at hand leaves to both limits. With --drill too: whether the stock left for it is usual."
}

// Examples implements Question.
func (Ream) Examples() []string {
	return []string{"'0.1875 +0.0005/-0 in' --reamer 0.1876in --drill 0.182in"}
}

// ReamAnswer is the answer to Ream; what was not asked is null or empty.
type ReamAnswer struct {
	ReamerMax    quantity.Quantity `json:"reamer_max"`
	ReamerMin    quantity.Quantity `json:"reamer_min"`
	Position     ream.Position     `json:"position"`
	MayCutUnder  quantity.Quantity `json:"may_cut_under"` // its own size, before the hole is too small
	MayCutOver   quantity.Quantity `json:"may_cut_over"`
	Stock        quantity.Quantity `json:"stock"` // on the diameter
	StockLeast   quantity.Quantity `json:"usual_stock_least"`
	StockMost    quantity.Quantity `json:"usual_stock_most"`
	StockVerdict ream.StockVerdict `json:"stock_verdict"`
	Sheet
}

// Ask implements Question (DIN 1420; package ream).
func (q Ream) Ask(o Options) (Answer, error) {
	const eg = "'0.1875 +0.0005/-0 in' or 20 mm H7"
	w := start(o, quantity.Length)
	hole := w.size("hole", words(q.Hole), eg, true)
	if w.err == nil && hole.Form == quantity.Plain {
		w.fail("hole: %s has no limits; type them, such as %s", hole, eg)
	}
	reamer := w.above("reamer", q.Reamer, quantity.Length, "0.1876in")
	drill := w.above("drill", q.Drill, quantity.Length, "0.182in")
	step := w.above("step", q.Step, quantity.Length, "0.0001in")
	if w.err == nil && !drill.IsZeroValue() && reamer.IsZeroValue() {
		w.missing("reamer", quantity.Length, "0.1876in")
	}
	if w.err == nil && !step.IsZeroValue() && !reamer.IsZeroValue() {
		w.fail("step: a reamer at hand is placed against the usual steps; leave one of the two out")
	}
	if w.err != nil {
		return nil, w.err
	}
	var want quantity.Toleranced
	var err error
	if step.IsZeroValue() {
		want, err = ream.Limits(hole)
	} else {
		want, err = ream.LimitsIn(hole, step)
	}
	if err != nil {
		return nil, err
	}
	a := &ReamAnswer{ReamerMax: w.show(want.Upper), ReamerMin: w.show(want.Lower), Sheet: newSheet()}
	a.say("reamer for %s: %s to %s", hole, a.ReamerMin, a.ReamerMax)
	width, _ := hole.Width()
	a.step("largest reamer = largest hole - 15 %% of the tolerance, rounded up = %s - %s = %s", w.show(hole.Upper), w.show(w.sub(hole.Upper, want.Upper)), a.ReamerMax)
	a.step("smallest reamer = largest reamer - 35 %% of the tolerance, rounded up = %s - %s = %s; tolerance %s", a.ReamerMax, w.show(w.sub(want.Upper, want.Lower)), a.ReamerMin, w.show(width))
	a.cite("DIN 1420 (ISO 522); the step of 0.0001 in for inch holes is common practice, and one maker lets the 15 %% go to half steps")
	if !reamer.IsZeroValue() {
		if err := a.place(w, hole, reamer); err != nil {
			return nil, err
		}
	}
	if !drill.IsZeroValue() {
		if err := a.stock(w, drill, reamer); err != nil {
			return nil, err
		}
	}
	a.mind("a reamer cuts over or under its own size by material, lubricant, stock and run-out: test holes in the same material decide")
	a.mind("a reamer follows the hole and does not correct its position (common practice)")
	return done(a, w)
}

func (a *ReamAnswer) place(w *work, hole quantity.Toleranced, reamer quantity.Quantity) error {
	p, err := ream.Place(hole, reamer)
	if err != nil {
		return err
	}
	a.Position, a.MayCutUnder, a.MayCutOver = p.Position, w.show(p.OverLow), w.show(p.UnderTop)
	room := fmt.Sprintf("it may cut %s under and %s over its size", a.MayCutUnder, a.MayCutOver)
	r := w.show(reamer)
	switch p.Position {
	case ream.Inside:
		a.say("a reamer of %s is inside these limits; %s", r, room)
	case ream.LowSide, ream.HighSide:
		a.say("a reamer of %s is on the %s, %s outside these limits and still inside the hole's; %s", r, p.Position, w.show(p.Off.Abs()), room)
	default:
		a.say("a reamer of %s has no margin left in this hole: it lies at or beyond a limit", r)
	}
	a.step("room under = reamer - smallest hole = %s - %s = %s", r, w.show(hole.Lower), a.MayCutUnder)
	a.step("room over = largest hole - reamer = %s - %s = %s", w.show(hole.Upper), r, a.MayCutOver)
	return nil
}

func (a *ReamAnswer) stock(w *work, drill, reamer quantity.Quantity) error {
	s, err := ream.StockFor(drill, reamer)
	if err != nil {
		return err
	}
	a.Stock, a.StockLeast, a.StockMost, a.StockVerdict = w.show(s.Amount), w.show(s.Least), w.show(s.Most), s.Verdict
	text := string(s.Verdict)
	switch s.Verdict {
	case ream.StockTooLittle:
		text += ": the reamer rubs and chatters"
	case ream.StockTooMuch:
		text += ": it deflects and cuts large"
	case ream.StockNone:
		text += ": the hole is as large as the reamer, or larger"
	}
	a.say("stock on the diameter %s: %s (%s to %s)", a.Stock, text, a.StockLeast, a.StockMost)
	a.step("stock = reamer - hole before = %s - %s = %s", w.show(reamer), w.show(drill), a.Stock)
	a.cite("stock: %s", s.Source)
	return nil
}
