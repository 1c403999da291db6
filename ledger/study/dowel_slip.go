package study

import (
	"tenths/calc/fit"
	"tenths/calc/quantity"
)

// DowelSlip is a bought dowel on which the hole of a part is to go by hand.
type DowelSlip struct {
	Pin  *PinState
	Size PinSize
	Fit  fit.Fit // of the smallest to the largest good hole; below 0 it is tight
	// Slips is set if the largest pin has clearance in the smallest hole. Size for
	// size is no slip fit.
	Slips bool
	// Ground is the pin that would slip: smaller than the smallest hole by 0.0002
	// to 0.0005 in, or 0.005 to 0.013 mm (common practice for work in tenths).
	Ground quantity.Toleranced
}

// slipHoles are the types of features that a pin enters; "" is a feature whose
// type is not said.
var slipHoles = map[string]bool{"": true, "hole": true, "bore": true, "slot": true}

// DowelSlips sets the bought dowels of a station against the holes that go on
// them: holes as they are really made, else by their limits; dowels as measured,
// else as their standard makes them (package dowel). A dowel of which nothing is
// known, or that stood differently on the day, is left out.
func (s *Set) DowelSlips(l *Locating) []DowelSlip {
	var out []DowelSlip
	for i := range l.Pins {
		pin := &l.Pins[i]
		if dowelSeries(pin.Now.Bought.S) == nil || pin.Feature == nil || !pin.Size.Set() || !slipHoles[pin.Feature.Type.S] || !asToday(pin.Locator, s.AsOf) {
			continue
		}
		size, ok := pinSize(pin.Now, s.AsOf)
		if !ok {
			continue
		}
		f, err := fit.Of(*pin.Size.Tol, size.Tol)
		if err != nil {
			continue
		}
		d := DowelSlip{Pin: pin, Size: size, Fit: f, Slips: f.MinClearance.Sign() > 0}
		d.Ground = smallerBy(pin.Hole.Min, practised(l.Unit, 2, 5), practised(l.Unit, 5, 13))
		out = append(out, d)
	}
	return out
}

// smallerBy is the size that is smaller by least to most; the zero Toleranced if
// nothing is left.
func smallerBy(q, least, most quantity.Quantity) quantity.Toleranced {
	low, err := q.Sub(most)
	if err != nil || low.Sign() <= 0 {
		return quantity.Toleranced{}
	}
	high, err := q.Sub(least)
	if err != nil {
		return quantity.Toleranced{}
	}
	t, err := limitsOf(low, high)
	if err != nil {
		return quantity.Toleranced{}
	}
	return t
}
