package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
)

// freedom tells how the locators of a station hold its part, and how its clamps
// press it on them.
func (b *sheetBuilder) freedom(st *ledger.Station) {
	if len(st.Locators) == 0 {
		return
	}
	f := b.s.Freedom(b.rec, st)
	s := b.section("freedom on station " + st.ID.S)
	if f.Skip != "" {
		s.say("held", "not computed: "+f.Skip)
		b.clamping(st)
		return
	}
	taken := fmt.Sprintf("%d of 3 freedoms are taken along the seat; the seat takes the other three", f.Rank)
	if f.InSpace {
		taken = fmt.Sprintf("%d of 6 freedoms are taken", f.Rank)
	}
	s.say("held", taken)
	for _, m := range f.Free {
		s.say("free to", m.Text+prefixed(", but held by: ", m.HeldBy))
	}
	for _, g := range f.Fights {
		s.say("fight", fightText(f, g))
	}
	if f.Spread > 0 {
		q := study.Rounded(quantity.FromFloat(f.Spread, quantity.One), 2)
		s.sayQ("spread", q.String()+" (the weakest hold over the strongest, about the middle of the part; to compare layouts of one part)", q)
	}
	b.shifts(s, f)
	b.clamping(st)
}

// shifts lists how the locators move the key points of the part. Locators that
// move none of them, such as rests, have no column.
func (b *sheetBuilder) shifts(s *Section, f *study.Freedom) {
	shifts := b.s.ShiftsAt(f)
	if len(shifts) == 0 {
		return
	}
	moves := make([]bool, len(f.Rows))
	for _, p := range shifts {
		for i, a := range p.Factors {
			moves[i] = moves[i] || math.Abs(a) > 1e-6
		}
	}
	var bands, none []string
	for i, r := range f.Rows {
		switch {
		case !moves[i]:
		case r.Known:
			bands = append(bands, r.Name+" ±"+study.Show(f.MM(r.Band)))
		default:
			none = append(none, r.Name)
		}
	}
	s.say("bands", strings.Join(bands, ", "))
	if none != nil {
		s.say("no band", strings.Join(none, ", ")+": counted as exact, without an uncertainty of a survey or a tolerance of the place")
	}
	s.say("table", "how far each point goes along, for 1 that a locator stands off along its own direction; clearances and the work offset are left out; a surface cut there comes out short by what is surveyed")
	if slices.ContainsFunc(f.Fights, func(g study.Fight) bool { return !g.Seat }) {
		s.say("where they fight", "the table takes the middle; really the part lies on those that it is pressed against")
	}
	for _, p := range shifts {
		cells := []Fact{cell("at", p.Path), cell("along", p.Along)}
		for i, a := range p.Factors {
			if moves[i] {
				cells = append(cells, cellQ("for 1 of "+f.Rows[i].Name, study.Rounded(quantity.FromFloat(a, quantity.One), 2)))
			}
		}
		cells = append(cells, length("as surveyed", f.MM(p.Shift)))
		if bands != nil {
			cells = append(cells, length("± worst", f.MM(p.Worst)), length("± usual", f.MM(p.Usual)))
		}
		s.row(cells...)
	}
}

// fightText says which locators fight, and what the surveys make of it.
func fightText(f *study.Freedom, g study.Fight) string {
	var names []string
	for _, l := range g.Locators {
		names = append(names, l.ID.S)
	}
	text := strings.Join(names, ", ") + ": "
	switch {
	case g.Pins:
		text += "the clearances in the holes must take up how far the pins do not match"
	case g.Seat:
		text += "the part rocks unless they are in one plane"
	default:
		text += "not all touch unless they match"
	}
	for _, gap := range g.Gaps {
		q := f.MM(gap.Open)
		switch {
		case !gap.Surveyed:
		case q.Sign() < 0:
			text += fmt.Sprintf("; as surveyed %s stands %s (±%s) beyond the others", gap.Lead, study.Show(q.Abs()), study.Show(f.MM(gap.Band)))
		default:
			text += fmt.Sprintf("; as surveyed %s (±%s) are open at %s", study.Show(q), study.Show(f.MM(gap.Band)), gap.Lead)
		}
	}
	return text
}

// clamping tells what the clamps of a station press on, and what they hold.
func (b *sheetBuilder) clamping(st *ledger.Station) {
	c := b.s.Clamping(b.rec, st)
	if c == nil {
		return
	}
	s := b.section("clamping on station " + st.ID.S)
	if c.Skip != "" {
		s.say("clamping", "not computed: "+c.Skip)
		return
	}
	seated := "the clamps press the part on every rest and stop, without friction"
	var lifts []string
	for _, r := range c.Seat {
		if r.Lifts {
			lifts = append(lifts, r.Name)
		}
	}
	switch {
	case c.SeatSkip != "":
		seated = "not computed: " + c.SeatSkip
	case !c.Seated:
		seated = "the clamps do not press on " + strings.Join(lifts, ", ") + ": without friction the part lifts off or lies loose there"
	}
	if c.Seat != nil && slices.ContainsFunc(c.Freedom.Fights, func(g study.Fight) bool { return g.Seat }) {
		seated += "; with more than three rests the shares are not determined, and these are as even as can be"
	}
	s.say("seated", seated)
	for _, r := range c.Seat {
		q := c.Force(r.Force)
		s.sayQ("on "+r.Name, q.String(), q)
	}
	if c.SeatFree != nil {
		s.say("only friction stops", strings.Join(c.SeatFree, ", "))
	}
	if c.Reserves != nil {
		s.say("held by friction", "the largest multiple of each load for which a balance of forces exists, pins not counted")
	}
	s.say("held by friction", prefixed("not computed: ", c.ReserveSkip))
	for _, r := range c.Reserves {
		times := r.Shown()
		text := fmt.Sprintf("held up to %s times", times)
		switch {
		case r.More:
			text = fmt.Sprintf("held %s times and more: the locators take it", times)
		case r.Direction != "":
			text += ", worst at " + r.Direction + " from x"
		}
		if r.Times < c.Safety {
			text += fmt.Sprintf("; less than the %g times asked for", c.Safety)
		}
		if r.Load.Title.Set() {
			text = r.Load.Title.S + ": " + text
		}
		s.sayQ(r.Load.ID.S, text, times)
	}
	if c.LeastSkip != c.ReserveSkip {
		s.say("least forces", prefixed("not computed: ", c.LeastSkip))
	}
	for _, l := range c.Least {
		q := c.Force(l.Force)
		s.sayQ("least at "+l.Clamp.ID.S, fmt.Sprintf("%s, to hold all loads %g times", q, c.Safety), q)
	}
	for _, text := range c.Cautions {
		s.say("caution", text)
	}
}
