package study

import (
	"math"

	"tenths/calc/locate"
	"tenths/calc/quantity"
)

// Cure says what would let every good part on, computed for the worst one.
// Lengths in mm; a zero means that there is no such cure. But for Straight and
// Ways it is about two pins.
type Cure struct {
	// Missing is how much more the pitch may differ than the pins allow.
	Missing float64
	// Land is the widest land with which relieving the second pin along the
	// line lets every good part on. HandbookLand is what the common formula
	// D·(D-d)/(2·e) gives for it, which is too wide (common practice).
	Land, HandbookLand float64
	// SmallerPin is the largest diameter that the second pin may have with a
	// land of SmallerLand, a sixth of its hole; RoundPin the largest one with
	// which it may stay as it is along the line. Both are rounded down to the
	// step in which pins are made, 0.0001 in or 0.001 mm.
	SmallerPin, SmallerLand, RoundPin float64
	// Straight is set if not every good part goes on, and it would be enough to
	// turn the reliefs along the line.
	Straight bool
	// Ways are the cures of a station with more than two pins, the best first.
	Ways []Way
}

// Lands as parts of the diameter: the narrowest one that lasts, and one to
// make (common practice: an eighth to a third).
const (
	narrowLand = 1.0 / 8
	goodLand   = 1.0 / 6
)

// Second is the index of the pin to relieve: the relieved one if there is one,
// else the second.
func (l *Locating) Second() int {
	if l.Pins[0].Now.Type.S == "relieved pin" && l.Pins[1].Now.Type.S != "relieved pin" {
		return 0
	}
	return 1
}

// cure finds what would help. Where nothing is missing on two pins, Land is
// still the widest land that the second pin may have.
func (l *Locating) cure() error {
	for k := range l.Worst.Pins {
		if l.Worst.Holes[k].D < l.Worst.Pins[k].D {
			return nil // no relief helps a pin that does not enter its hole
		}
	}
	s := l.setUp(false)
	if !l.Worst.GoesOn {
		l.Straight = l.turned() && s.with(l.straighten).allGoOn()
	}
	if len(l.Pins) > 2 {
		if !l.Worst.GoesOn {
			l.Ways = l.ways(s)
		}
		return nil
	}
	if !l.Worst.GoesOn {
		l.Missing = max(0, math.Abs(l.Worst.Mismatch)-l.Worst.Allowance)
	}
	second := l.Second()
	need := math.Abs(l.Worst.Mismatch)
	hole, pin := l.Worst.Holes[second].D, l.Worst.Pins[second].D
	first := l.Worst.Reach[1-second]
	if w, err := locate.LargestLand(hole, pin, need, first); err == nil {
		l.Land = w
		if need > first {
			l.HandbookLand = min(hole*(hole-pin)/(2*(need-first)), pin)
		}
	}
	if d, err := locate.PinFor(hole, max(0, need-first), hole*goodLand); err == nil {
		l.SmallerPin, l.SmallerLand = l.stepDown(d), hole*goodLand
	}
	l.RoundPin = max(0, l.stepDown(hole-2*max(0, need-first)))
	return nil
}

// turned reports whether a relief is not along the line that it should be.
func (l *Locating) turned() bool {
	for i := range l.Pins {
		if p := &l.Pins[i]; p.TurnKnown && p.Turn > 1e-6 {
			return true
		}
	}
	return false
}

// straighten turns every relief along the line that it should be.
func (l *Locating) straighten(pins []locate.Pin) {
	for i := range pins {
		if p := &l.Pins[i]; p.TurnKnown {
			pins[i].ReliefAxis = l.line(i, p.To)
		}
	}
}

// PinError is how much farther apart, in mm, the pins stand than the holes in
// the middle of their limits.
func (l *Locating) PinError() float64 { return -l.Usual.Mismatch }

// PitchCures reports whether every good part would go on if the pins stood at
// the pitch of the holes.
func (l *Locating) PitchCures() bool {
	return l.Missing > 0 && math.Abs(l.PinError()) >= l.Missing-locate.Tolerance
}

// SmallerPinLoose is how far apart, in mm, the smaller pin and its hole then
// are in diameter.
func (l *Locating) SmallerPinLoose() float64 {
	return l.Worst.Holes[l.Second()].D - l.SmallerPin
}

// SmallerPinSlips reports whether that is still a slip fit.
func (l *Locating) SmallerPinSlips() bool { return slipFit(l.SmallerPinLoose()) }

// LandLasts reports whether Land is wide enough not to wear away soon.
func (l *Locating) LandLasts() bool {
	return l.Land >= narrowLand*l.Worst.Holes[l.Second()].D
}

// stepDown rounds a diameter in mm down to the step in which pins are made.
func (l *Locating) stepDown(mm float64) float64 {
	step := 0.001
	if l.Unit.Same(quantity.Inch) {
		step = 0.0001 * 25.4
	}
	return math.Floor(mm/step+1e-6) * step
}
