package study

import (
	"math"
	"math/big"

	"tenths/calc/locate"
	"tenths/calc/quantity"
)

// LandFault is what is wrong with the land of a relieved pin.
type LandFault int

// The faults.
const (
	LandServes  LandFault = iota
	KnifeEdge             // so narrow that it soon wears away
	NoRelief              // as wide as the pin, or wider
	HardlyAny             // wider than is usual, and nothing shows that it serves
	WidthNeeded           // so narrow that it soon wears away, but a wider one would bind
)

// Lands of common practice: one under 0.010 in (0.25 mm) wears within a few
// hundred parts, on pins under 1/8 in any land is small, and one over a third of
// the pin relieves little.
var (
	smallPin    = quantity.New(big.NewRat(1, 8), quantity.Inch)
	usualWidest = big.NewRat(1, 3)
)

// LandFault judges the land of pin k by itself and, where the study could be made, by
// the parts that go on.
func (l *Locating) LandFault(k int) LandFault {
	p := &l.Pins[k]
	if p.Now.Type.S != "relieved pin" || !p.Now.Land.Set() || p.Pin.Max.IsZeroValue() {
		return LandServes
	}
	land, binds := p.Now.Land.Nominal(), l.Skip == "" && !l.Worst.GoesOn && !l.ByConstruction
	switch {
	case binds: // what binds says what land would do
		return LandServes
	case land.Rat().Cmp(p.Pin.Max.Rat()) >= 0:
		return NoRelief
	case land.Rat().Cmp(practised(l.Unit, 100, 250).Rat()) < 0 && p.Pin.Max.Rat().Cmp(smallPin.Rat()) >= 0:
		if l.Skip == "" && l.WidestLand(k) < practised(l.Unit, 100, 250).Float() {
			return WidthNeeded
		}
		return KnifeEdge
	case land.Rat().Cmp(p.Pin.Max.Scale(usualWidest).Rat()) > 0 && l.Skip != "":
		return HardlyAny
	}
	return LandServes
}

// WidestLand is the widest land, in mm, that pin k may have, relieved along the
// line that it should be, or as it is if there is none, with which every good
// part goes on, the other pins as they are; 0 if there is none. A land as wide as
// the pin means that it may stay round.
func (l *Locating) WidestLand(k int) float64 {
	if l.Skip != "" {
		return 0
	}
	if len(l.Pins) == 2 && k == l.Second() {
		return l.Cure.Land
	}
	p, s := &l.Pins[k], l.setUp(false)
	axis := p.axis
	if p.To >= 0 {
		axis = l.line(k, p.To)
	}
	full := s.pins[k].D - s.pinBands[k].D
	least := 1e-3 * full // hardly a knife edge
	w := widest(least, full, searchTol, func(w float64) bool {
		return s.with(func(pins []locate.Pin) {
			pins[k].Kind, pins[k].ReliefAxis, pins[k].Land = locate.Relieved, axis, w
		}).allGoOn()
	})
	if math.IsNaN(w) {
		return 0
	}
	return w
}
