package report

import (
	"fmt"
	"strconv"

	"tenths/calc/quantity"
	"tenths/calc/stack"
	"tenths/ledger/study"
)

// stack shows a derived value as a stack-up: its tolerances, how it stands against
// its limits, what to tighten first, and what each of its values contributes.
func (b *sheetBuilder) stack(d *study.Derived) {
	if d.Err != nil {
		return
	}
	if c, err := d.Lower.Cmp(d.Upper); err == nil && (c != 0 || d.SD.Sign() != 0) {
		s := b.section("tolerance")
		s.sayQ("worst case from", study.Show(d.Lower), d.Lower)
		s.sayQ("worst case to", study.Show(d.Upper), d.Upper)
		s.say("worst case found by", d.Method.String())
		if !d.RSSHalf.IsZeroValue() {
			s.sayQ("root sum square", study.Show(d.RSSMiddle)+" ± "+study.Show(d.RSSHalf), d.RSSHalf)
			s.sayQ("standard deviation", study.Show(d.SD), d.SD)
		}
		for _, w := range d.Warnings {
			s.say("note", w)
		}
	}
	if d.Standing != nil {
		b.standing(d)
	}
	if len(d.Shares) == 0 {
		return
	}
	s := b.section("shares of the inputs")
	for _, sh := range d.Shares {
		name, half := sh.Path, length("half width", sh.HalfWidth)
		if sh.Members != nil {
			name, half = name+" (moves "+sh.Moves()+")", cell("half width", "")
		}
		effect := cell("in the result", "")
		if !sh.Effect.IsZeroValue() {
			effect = length("in the result", sh.Effect)
		}
		cost := ""
		if sh.Cost > 0 {
			cost = strconv.FormatFloat(sh.Cost, 'g', 4, 64)
		}
		s.row(cell("input", name), half, effect, cell("of the worst case", percent(sh.Worst)), cell("of the root sum square", percent(sh.RSS)),
			cell("of the variance", percent(sh.Variance)), cell("cost", cost))
	}
}

// standing says what is left to the limits, what part lies outside, and what to do.
func (b *sheetBuilder) standing(d *study.Derived) {
	st := d.Standing
	s := b.section("against the limits " + size(d.D.Limits))
	word := map[quantity.Side]string{quantity.Inside: "inside", quantity.TooClose: "too close to call"}
	side := func(v quantity.Side) string {
		if w := word[v]; w != "" {
			return w
		}
		return "outside"
	}
	s.say("worst case", side(st.Worst))
	for _, r := range []struct {
		name string
		room quantity.Quantity
	}{{"lower limit", st.BelowRoom}, {"upper limit", st.AboveRoom}} {
		switch {
		case r.room.IsZeroValue():
		case r.room.Sign() < 0:
			s.sayQ("beyond the "+r.name+" by", study.Show(r.room.Neg()), r.room.Neg())
		default:
			s.sayQ("left to the "+r.name, study.Show(r.room), r.room)
		}
	}
	if st.HasRSS {
		s.say("root sum square", side(st.RSS))
	}
	if st.HasNormal {
		s.say("outside, if normal", outsidePart(st.Below+st.Above))
	}
	if sim, err := d.Simulate(); err == nil {
		s.say("outside, by simulation", fmt.Sprintf("%s of %d draws; standard deviation %s", outsidePart(sim.Below+sim.Above), sim.Trials, study.Show(sim.SD)))
	}
	if len(st.First) > 0 {
		s.say("tighten first", tightenFirst(st.First[0], st.Worst == quantity.Inside))
	}
	if st.Worst == quantity.Inside {
		return
	}
	a, err := d.Allot()
	if err != nil {
		s.say("not shared out", err.Error())
		return
	}
	way := "tolerances that would keep the limits, worst case, in the proportions that there are"
	if a.Method == stack.LeastCost {
		way = "tolerances that would keep the limits, worst case, at the least cost"
	}
	t := b.section(way)
	for _, item := range a.Items {
		t.row(cell("input", item.Name), cellQ("middle", item.Middle), cellQ("± now", item.Before), cellQ("± then", item.Half))
	}
}

func tightenFirst(t stack.Tighten, inside bool) string {
	text := t.Name + ", the largest share"
	if t.Cost > 0 {
		text = t.Name + ", most effect for its cost"
	}
	switch {
	case inside:
		return text + "; there is no need, the worst case is inside"
	case t.Members != nil:
		return text
	case t.To.IsZeroValue():
		return text + "; alone it cannot bring the worst case inside"
	}
	return text + "; at ±" + study.RoundedDown(t.To, 5).String() + " it alone would bring the worst case inside"
}

// outsidePart prints a part that is outside limits without claiming what cannot be
// known.
func outsidePart(part float64) string {
	if part < 0.0001 {
		return "under 0.01 %"
	}
	return strconv.FormatFloat(100*part, 'g', 2, 64) + " %"
}
