package study

import (
	"math"

	"tenths/calc/freedom"
	"tenths/calc/quantity"
	"tenths/ledger"
)

// Freedom is how the locators of a station hold its part, to first order: what
// it can still do, which locators fight, how their errors move its points.
//
// The part lies on the seat of the fixture, and the study is one of the plane,
// unless the station names what holds the part up: three rests or more, or a
// locator that says that it pushes out of the seat. Then it is one of space.
// A round pin holds along x and y, a relieved pin square to its relief, a pin in
// a slot and a slot square to the slot; a rest, a stop and a wall of a nest push
// one way. Clearances are left out here: they are the looseness of the pins.
type Freedom struct {
	Rec     *ledger.Record
	Station *ledger.Station
	Part    *ledger.Record // nil if the ledger has none
	Unit    quantity.Unit
	// Rows are the freedoms that the locators take, in the order of the record.
	Rows []LocatorRow
	// InSpace is set if the rows hold the part up as well; else the seat does.
	InSpace bool
	// Rank of Of freedoms are taken: 3 in the plane, 6 in space.
	Rank, Of int
	// Spread is how well the locators are spread over the part: the smallest
	// singular value of the rows over the largest, moments divided by half the
	// size of the part, about its middle. 0 if the part is not fixed.
	Spread float64
	Free   []FreeMotion
	Fights []Fight
	// Skip says why nothing could be computed; Free and Fights are then empty.
	Skip string

	f       *freedom.Freedom
	mid     [3]float64 // mm; the rows are taken about it
	corners [2][3]float64
}

// LocatorRow is one freedom that a locator takes.
type LocatorRow struct {
	Locator *ledger.Locator // as written
	Now     ledger.Locator  // as of the day
	Name    string          // "P1 x" for one of several rows, else the id
	// OneWay is set for what only pushes: a rest, a stop, a wall of a nest.
	OneWay bool
	// Pin is set for a pin, whose hole has clearance.
	Pin bool
	// Proud is how far, mm, the locator stands along its direction beyond where
	// it was designed, by its survey; 0 if it was never surveyed as it stands.
	Proud    float64
	Surveyed bool
	// Band is how far, mm, it may be from there: the uncertainty of the survey,
	// or without a survey the tolerance of its place. Known is false without either.
	Band  float64
	Known bool

	at freedom.Locator
}

// FreeMotion is a motion that no locator stops, to first order.
type FreeMotion struct {
	Text string // in the plain words of the shop, lengths in the unit of the record
	// HeldBy is what the record says that holds the part against turning.
	HeldBy string

	m freedom.Motion
}

// Fight is a group of locators that take the same freedoms more than once: not
// all of them touch unless they are made to match.
type Fight struct {
	Locators []ledger.Locator // as of the day, in the order of the record
	Surplus  int              // how many rows are too many
	// Pins is set if all are pins in holes: then the clearances may take it up,
	// which is the study of the pins. Seat is set if all hold the part up.
	Pins, Seat bool
	// Gaps are the smallest sets in the group that already fight.
	Gaps []FightGap
}

// FightGap is what keeps the locators of a smallest fighting set from all
// touching.
type FightGap struct {
	Lead string // the one whose gap it is
	// Open is the gap, mm, at Lead when the others touch, by the surveys; below
	// zero it stands proud and pinches. Surveyed is false if one of them was
	// never surveyed.
	Open     float64
	Band     float64
	Surveyed bool
}

// Freedom computes how the locators of a station hold its part, as of the day
// asked for. A station of which a locator cannot be read has its Skip set.
func (s *Set) Freedom(rec *ledger.Record, st *ledger.Station) *Freedom {
	return s.freedom.get(st, func() *Freedom { return s.computeFreedom(rec, st) })
}

func (s *Set) computeFreedom(rec *ledger.Record, st *ledger.Station) *Freedom {
	out := &Freedom{Rec: rec, Station: st, Unit: s.unitOf(rec)}
	if st.Part.Set() {
		out.Part = s.L.Record(st.Part.S)
	}
	if len(st.Locators) == 0 {
		out.Skip = "the station names no locator"
		return out
	}
	if out.Skip = s.readLocators(out); out.Skip != "" {
		return out
	}
	out.measure(s)
	rows := make([]freedom.Locator, len(out.Rows))
	for i, r := range out.Rows {
		rows[i] = freedom.Locator{At: minus(r.at.At, out.mid), Normal: r.at.Normal}
	}
	look := freedom.Plane
	if out.InSpace {
		look = freedom.Space
	}
	f, err := look(rows, freedom.Options{Scale: out.halfSize(), Centre: minus(out.centre(), out.mid)})
	if err != nil {
		out.Skip = err.Error()
		return out
	}
	out.f, out.Rank, out.Of, out.Spread = f, f.Rank, f.Dim, f.Spread
	out.free()
	out.fights()
	return out
}

// Fixed reports whether the locators, with what the record says that holds the
// turn, fix the place of the part.
func (f *Freedom) Fixed() bool {
	for _, m := range f.Free {
		if m.HeldBy == "" {
			return false
		}
	}
	return f.Skip == ""
}

// halfSize is half the longest side of what is known of the part.
func (f *Freedom) halfSize() float64 {
	var half float64
	for k := range 3 {
		half = max(half, (f.corners[1][k]-f.corners[0][k])/2)
	}
	return half // 0: the library takes the distance of the locators
}

// measure finds the box that holds the locators, the features and the key points
// of the part, and its middle.
func (f *Freedom) measure(s *Set) {
	first := true
	hold := func(p [3]float64) {
		for k, v := range p {
			if first || v < f.corners[0][k] {
				f.corners[0][k] = v
			}
			if first || v > f.corners[1][k] {
				f.corners[1][k] = v
			}
		}
		first = false
	}
	for _, r := range f.Rows {
		hold(r.at.At)
	}
	for _, p := range s.keyPoints(f.Part) {
		hold([3]float64{p.at[0], p.at[1], 0})
	}
	if f.Part != nil {
		if p, ok := f.Part.Data.(*ledger.Part); ok {
			for i := range p.Features {
				if at, ok := axes(p.Features[i].At); ok {
					hold([3]float64{at[0].nominal, at[1].nominal, 0})
				}
			}
		}
	}
	for k := range 3 {
		f.mid[k] = (f.corners[0][k] + f.corners[1][k]) / 2
	}
}

// centre is the point that turns are named about: the first round pin, or else
// the first locator.
func (f *Freedom) centre() [3]float64 {
	for _, r := range f.Rows {
		if r.Pin && r.Name != r.Locator.ID.S {
			return r.at.At
		}
	}
	return f.Rows[0].at.At
}

// free puts the motions that are left into words.
func (f *Freedom) free() {
	for _, m := range f.f.Free {
		m.Through = plus(m.Through, f.mid)
		free := FreeMotion{Text: f.motion(m), m: m}
		if m.Kind == freedom.Turn && math.Abs(m.Along[2]) > 1-1e-9 || m.Kind == freedom.Turn && !f.InSpace {
			free.HeldBy = f.Station.Rest.S
		}
		f.Free = append(f.Free, free)
	}
}

// fights names the groups of locators that fight.
func (f *Freedom) fights() {
	for _, g := range f.f.Groups {
		fight := Fight{Surplus: g.Surplus, Pins: true, Seat: true}
		for _, i := range g.Members {
			r := &f.Rows[i]
			fight.Pins = fight.Pins && r.Pin
			fight.Seat = fight.Seat && math.Abs(r.at.Normal[2]) > 1-1e-9
			if n := len(fight.Locators); n == 0 || fight.Locators[n-1].ID != r.Now.ID {
				fight.Locators = append(fight.Locators, r.Now)
			}
		}
		for _, c := range g.Circuits {
			gap := FightGap{Lead: f.Rows[c.Lead].Name, Surveyed: true}
			for k, i := range c.Members {
				r := &f.Rows[i]
				gap.Open -= c.Shares[k] * r.Proud
				gap.Band += math.Abs(c.Shares[k]) * r.Band
				gap.Surveyed = gap.Surveyed && r.Surveyed
			}
			fight.Gaps = append(fight.Gaps, gap)
		}
		f.Fights = append(f.Fights, fight)
	}
}

func minus(a, b [3]float64) [3]float64 {
	return [3]float64{a[0] - b[0], a[1] - b[1], a[2] - b[2]}
}

func plus(a, b [3]float64) [3]float64 {
	return [3]float64{a[0] + b[0], a[1] + b[1], a[2] + b[2]}
}

// OverHeld reports whether the group has one locator too many. It has not if only
// pins are in it, whose clearances the study of the pins weighs against their
// pitch; nor if all hold the part up, since rests are milled or ground to one
// plane; nor if all others than the pins come out by hand.
func (g Fight) OverHeld() bool {
	_, ok := g.TooMany()
	return ok && !g.Pins && !g.Seat
}

// TooMany is the last of the group that is no pin and does not come out by hand.
func (g Fight) TooMany() (last ledger.Locator, ok bool) {
	for _, l := range g.Locators {
		if l.Type.S != "round pin" && l.Type.S != "relieved pin" && l.Duty.S != "removable" {
			last, ok = l, true
		}
	}
	return last, ok
}

// Travel is how far in all, mm, the part in the middle of its limits can go along
// a free shift before its two pins stop it after all. ok is false if nothing does,
// or if that is not known.
func (s *Set) Travel(f *Freedom, m FreeMotion) (mm float64, ok bool) {
	l := s.Locating(f.Rec, f.Station)
	if l.Skip != "" || !l.Usual.GoesOn || m.m.Kind != freedom.Shift {
		return 0, false
	}
	at := f.centre()
	plus, minus, err := l.Looseness([2]float64{at[0], at[1]}, [2]float64{m.m.Along[0], m.m.Along[1]})
	return plus + minus, err == nil
}

// MM is a computed length, mm, as a quantity of the fixture's unit.
func (f *Freedom) MM(v float64) quantity.Quantity { return lengthIn(v, f.Unit) }

// Names are the ids of the locators.
func (f *Freedom) Names() []string {
	var out []string
	for i := range f.Station.Locators {
		out = append(out, f.Station.Locators[i].ID.S)
	}
	return out
}

// RelievedPins is how many of the locators are relieved pins.
func (f *Freedom) RelievedPins() int {
	n := 0
	for _, r := range f.Rows {
		if r.Now.Type.S == "relieved pin" {
			n++
		}
	}
	return n
}
