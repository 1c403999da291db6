package study

import (
	"fmt"
	"math"

	"tenths/calc/locate"
	"tenths/calc/quantity"
	"tenths/ledger"
)

// Range is a size between two limits; both are the same for a measured size.
type Range struct{ Min, Max quantity.Quantity }

// PinState is a locating pin with the hole that goes on it, as of a day.
type PinState struct {
	Locator *ledger.Locator // as written, for places in the file
	Now     ledger.Locator  // as of the day
	Feature *ledger.Feature
	// Size is the size of the hole that was used: what the process really
	// makes if AsMade is set, else the drawing's limits.
	Size   ledger.Size
	AsMade bool
	Hole   Range   // sizes of a good part's hole
	Pin    Range   // diameter of the pin
	At     [2]axis // position of the pin
	HoleAt [2]axis // position of the hole in the part
	// Survey is the survey in force, nil if the pin was never surveyed in its
	// present state and is taken to stand as designed.
	Survey *ledger.Survey
	// Turn is the angle in degrees between the relief and the line to the other
	// pin, 0 to 90; only for a relieved pin, and only if TurnKnown is set.
	Turn      float64
	TurnKnown bool
	// Relief is what a relieved pin takes up and leaves loose.
	Relief Relief

	turn          float64 // Turn with its sign, counter-clockwise from the line
	sized, placed bool    // Hole and Pin, or At and HoleAt, are known
}

// TooBig reports whether the largest pin is larger than the smallest hole.
func (p *PinState) TooBig() bool {
	if !p.sized {
		return false
	}
	c, err := p.Pin.Max.Cmp(p.Hole.Min)
	return err == nil && c > 0
}

// axis is a coordinate in mm with what it may deviate.
type axis struct{ nominal, lower, upper float64 }

// Locating is what two pins of a station and the holes of its part say about
// each other.
type Locating struct {
	Rec     *ledger.Record
	Station *ledger.Station
	Part    *ledger.Record
	Unit    quantity.Unit // unit of the fixture's record
	// Every holds all pins of the station, whatever their number; Pins the two
	// that the rest is about.
	Every []PinState
	Pins  [2]PinState
	// Worst is the worst good part: the smallest holes, the largest pins, the
	// pitch at the end of its tolerance that leaves the least.
	Worst locate.Result
	// Usual is the part in the middle of its limits.
	Usual      locate.Result
	midPins    [2]locate.Pin
	midHoles   [2]locate.Hole
	worstPins  [2]locate.Pin
	worstHoles [2]locate.Hole
	// ByConstruction is set if the part's holes are made on this very station.
	ByConstruction bool
	Cure
	// Skip says why nothing could be computed; all results of the pair are
	// then empty.
	Skip string
}

// Locating computes the two-pin study of a station. A station that has not
// exactly two pins, or lacks a size, has its Skip set.
func (s *Set) Locating(rec *ledger.Record, st *ledger.Station) *Locating {
	return s.locating.get(st, func() *Locating { return s.computeLocating(rec, st) })
}

func (s *Set) computeLocating(rec *ledger.Record, st *ledger.Station) *Locating {
	out := &Locating{Rec: rec, Station: st, Unit: s.unitOf(rec), ByConstruction: st.LineBore.B}
	if !st.Part.Set() {
		out.Skip = "the station names no part"
		return out
	}
	part := s.L.Record(st.Part.S)
	if part == nil {
		out.Skip = "its part " + st.Part.S + " is not in the ledger"
		return out
	}
	p, ok := part.Data.(*ledger.Part)
	if !ok {
		out.Skip = st.Part.S + " is no part"
		return out
	}
	out.Part = part
	why := ""
	for i := range st.Locators {
		now := ledger.OnDay(st.Locators[i], s.AsOf)
		if now.Type.S != "round pin" && now.Type.S != "relieved pin" {
			continue
		}
		ps, lacks := s.pinState(&st.Locators[i], part, p)
		out.Every = append(out.Every, ps)
		if why == "" {
			why = lacks
		}
	}
	if len(out.Every) != 2 {
		out.Skip = fmt.Sprintf("the study is for two pins; station %s has %d", st.ID.S, len(out.Every))
		return out
	}
	out.Pins = [2]PinState(out.Every)
	for i := range out.Pins {
		if lacks := out.relief(i); why == "" {
			why = lacks
		}
	}
	if why == "" {
		if err := out.solve(); err != nil {
			why = err.Error()
		}
	}
	out.Skip = why
	return out
}

func (s *Set) unitOf(rec *ledger.Record) quantity.Unit {
	switch rec.Common.Units.S {
	case "in":
		return quantity.Inch
	case "mm":
		return quantity.Millimetre
	}
	if u := s.L.Config.DefaultUnit(); !u.IsZero() {
		return u
	}
	return quantity.Millimetre
}

// pinState gathers what is known of a pin and its hole, and says what lacks.
func (s *Set) pinState(loc *ledger.Locator, part *ledger.Record, p *ledger.Part) (ps PinState, lacks string) {
	ps = PinState{Locator: loc, Now: ledger.OnDay(*loc, s.AsOf)}
	name := "locator " + loc.ID.S
	miss := func(format string, args ...any) {
		if lacks == "" {
			lacks = name + " " + fmt.Sprintf(format, args...)
		}
	}
	for i := range p.Features {
		if p.Features[i].ID.S == loc.Engages.S && loc.Engages.Set() {
			ps.Feature = &p.Features[i]
		}
	}
	switch {
	case !loc.Engages.Set():
		miss("does not say which feature it engages")
		return ps, lacks
	case ps.Feature == nil:
		miss("engages %s, which %s does not have", loc.Engages.S, part.ID())
		return ps, lacks
	}
	f := ledger.OnDay(*ps.Feature, s.AsOf)
	ps.Size, ps.AsMade = f.AsMade, f.AsMade.Set()
	if !ps.AsMade {
		ps.Size = f.Size
	}
	if ps.Size.Set() {
		ps.Hole = rangeOf(ps.Size)
	} else {
		miss("engages %s, which has no size", f.ID.S)
	}
	if f.Type.S == "slot" {
		miss("engages %s, a slot, which leaves the pitch free", f.ID.S)
	}
	if ps.HoleAt, ps.placed = axes(f.At); ps.placed {
		ps.At = [2]axis{{nominal: ps.HoleAt[0].nominal}, {nominal: ps.HoleAt[1].nominal}}
	} else {
		miss("engages %s, which has no position (at)", f.ID.S)
	}
	if loc.At.Set() {
		ps.At, _ = axes(loc.At)
	}
	if ps.Now.Size.Set() {
		ps.Pin = rangeOf(ps.Now.Size)
	}
	if sv, ok := ps.Now.SurveyOn(s.AsOf); ok {
		ps.Survey = &sv
		if sv.Size.Set() {
			ps.Pin = rangeOf(sv.Size)
		}
		if off, ok := axes(sv.Off); ok {
			// A survey takes the place of the tolerance that the pin was made to.
			for k := range ps.At {
				n := ps.At[k].nominal + off[k].nominal
				ps.At[k] = axis{n, off[k].lower, off[k].upper}
			}
		}
	}
	if ps.Pin.Max.IsZeroValue() {
		miss("has no size")
	}
	ps.sized = ps.Size.Set() && !ps.Pin.Max.IsZeroValue()
	return ps, lacks
}

// rangeOf gives the limits of a size, or the size twice if it has no tolerance.
func rangeOf(s ledger.Size) Range {
	r := Range{s.Tol.Nominal, s.Tol.Nominal}
	if s.Tol.HasLower() {
		r.Min = s.Tol.Lower
	}
	if s.Tol.HasUpper() {
		r.Max = s.Tol.Upper
	}
	return r
}

func (r Range) middle() float64 { return (r.Min.Float() + r.Max.Float()) / 2 }

func axes(p ledger.Pair) ([2]axis, bool) {
	if !p.Set() {
		return [2]axis{}, false
	}
	one := func(s ledger.Size) axis {
		n := s.Tol.Nominal.Float()
		r := rangeOf(s)
		return axis{n, r.Min.Float() - n, r.Max.Float() - n}
	}
	return [2]axis{one(p.X), one(p.Y)}, true
}

// solve computes the worst and the usual part.
func (l *Locating) solve() error {
	var err error
	l.midPins, l.midHoles = l.setUp(Range.middle, Range.middle, middle)
	if l.Usual, err = locate.TwoPins(l.midPins, l.midHoles); err != nil {
		return err
	}
	// Each coordinate that has a tolerance is tried at both ends. At most
	// eight coordinates give 256 corners.
	first := true
	for corner := range 256 {
		if !l.needsCorner(corner) {
			continue
		}
		pins, holes := l.setUp(func(r Range) float64 { return r.Max.Float() }, func(r Range) float64 { return r.Min.Float() }, corner)
		got, err := locate.TwoPins(pins, holes)
		if err != nil {
			return err
		}
		// Of equal margins the larger mismatch says more.
		if first || got.Margin < l.Worst.Margin || got.Margin == l.Worst.Margin && math.Abs(got.Mismatch) > math.Abs(l.Worst.Mismatch) {
			l.Worst, l.worstPins, l.worstHoles, first = got, pins, holes, false
		}
	}
	return l.cure()
}

// needsCorner leaves out the corners that move a coordinate without tolerance.
func (l *Locating) needsCorner(corner int) bool {
	for bit := range 8 {
		p := l.Pins[bit/4]
		a := p.At[bit%2]
		if bit%4 >= 2 {
			a = p.HoleAt[bit%2]
		}
		if a.lower == a.upper && corner&(1<<bit) != 0 {
			return false
		}
	}
	return true
}

// middle stands for the part in the middle of all limits.
const middle = -1

// setUp gives pins and holes in mm. Bit b of corner moves coordinate b to its
// upper end; the others stand at their lower end.
func (l *Locating) setUp(pin, hole func(Range) float64, corner int) (pins [2]locate.Pin, holes [2]locate.Hole) {
	at := func(a axis, bit int) float64 {
		switch {
		case corner == middle:
			return a.nominal + (a.lower+a.upper)/2
		case corner&(1<<bit) != 0:
			return a.nominal + a.upper
		}
		return a.nominal + a.lower
	}
	for i := range pins {
		p := l.Pins[i]
		b := 4 * i
		pins[i] = locate.Pin{X: at(p.At[0], b), Y: at(p.At[1], b+1), D: pin(p.Pin)}
		holes[i] = locate.Hole{X: at(p.HoleAt[0], b+2), Y: at(p.HoleAt[1], b+3), D: hole(p.Hole)}
	}
	for i := range pins {
		p := l.Pins[i]
		if p.Now.Type.S != "relieved pin" {
			continue
		}
		pins[i].Kind = locate.Relieved
		pins[i].Land = min(p.Now.Land.Nominal().Float(), pins[i].D)
		line := math.Atan2(pins[1-i].Y-pins[i].Y, pins[1-i].X-pins[i].X)
		pins[i].ReliefAxis = line + p.turn*math.Pi/180
	}
	return pins, holes
}

// Looseness gives, in mm, how far a point of the part can move in a direction
// for the part in the middle of its limits: the two senses.
func (l *Locating) Looseness(point, dir [2]float64) (plus, minus float64, err error) {
	return locate.Play(l.midPins, l.midHoles, point, dir)
}
