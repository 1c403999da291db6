package study

import (
	"fmt"

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
	// U is the expanded uncertainty of that survey, k = 2, in mm; 0 if it does
	// not say.
	U float64
	// To is the pin, as an index of Locating.Pins, along whose line a relieved
	// pin should be relieved: the other one of two, else the only round one; -1
	// if there is none.
	To int
	// Turn is the angle in degrees between the relief and that line, 0 to 90;
	// only for a relieved pin, and only if TurnKnown is set.
	Turn      float64
	TurnKnown bool
	// Relief is what a relieved pin takes up and leaves loose.
	Relief Relief

	axis          float64 // direction of the relief, rad from the part's x axis
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

// Error is where the survey in force found the pin, less where it should stand,
// in mm; zero without a survey.
func (p *PinState) Error() [2]float64 {
	if p.Survey == nil {
		return [2]float64{}
	}
	off, ok := axes(p.Survey.Off)
	if !ok {
		return [2]float64{}
	}
	return [2]float64{off[0].middle(), off[1].middle()}
}

// axis is a coordinate in mm with what it may deviate.
type axis struct{ nominal, lower, upper float64 }

// middle is the middle of the limits, half their half-width.
func (a axis) middle() float64 { return a.nominal + (a.lower+a.upper)/2 }
func (a axis) half() float64   { return (a.upper - a.lower) / 2 }

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
		if sv.U.Set() {
			ps.U = sv.U.Nominal().Float()
		}
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

// middle is the middle of the limits, half their half-width, in mm.
func (r Range) middle() float64 { return (r.Min.Float() + r.Max.Float()) / 2 }
func (r Range) half() float64   { return (r.Max.Float() - r.Min.Float()) / 2 }

func axes(p ledger.Pair) ([2]axis, bool) {
	if !p.Set() {
		return [2]axis{}, false
	}
	return [2]axis{axisOf(p.X), axisOf(p.Y)}, true
}

func axisOf(s ledger.Size) axis {
	n := s.Tol.Nominal.Float()
	r := rangeOf(s)
	return axis{n, r.Min.Float() - n, r.Max.Float() - n}
}
