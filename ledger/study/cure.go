package study

import (
	"math"

	"tenths/calc/locate"
	"tenths/calc/quantity"
)

// Cure says what would let every good part on, computed for the worst one.
// Lengths in mm; a zero means that there is no such cure.
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
	// Straight is set if it is enough to turn the reliefs along the line.
	Straight bool
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

// cure finds what would help. Where nothing is missing, Land is still the
// widest land that the second pin may have.
func (l *Locating) cure() error {
	if l.Worst.C1 < 0 || l.Worst.C2 < 0 {
		return nil // no relief helps a pin that does not enter its hole
	}
	if !l.Worst.GoesOn {
		l.Missing = max(0, math.Abs(l.Worst.Mismatch)-l.Worst.Allowance)
	}
	second := l.Second()
	need := math.Abs(l.Worst.Mismatch)
	hole, pin := l.worstHoles[second].D, l.worstPins[second].D
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
	if l.Pins[0].turn == 0 && l.Pins[1].turn == 0 {
		return nil
	}
	straight := l.worstPins
	for i := range straight {
		straight[i].ReliefAxis -= l.Pins[i].turn * math.Pi / 180
	}
	got, err := locate.TwoPins(straight, l.worstHoles)
	l.Straight = err == nil && got.GoesOn
	return err
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
	return l.worstHoles[l.Second()].D - l.SmallerPin
}

// LandLasts reports whether Land is wide enough not to wear away soon.
func (l *Locating) LandLasts() bool {
	return l.Land >= narrowLand*l.worstHoles[l.Second()].D
}

// stepDown rounds a diameter in mm down to the step in which pins are made.
func (l *Locating) stepDown(mm float64) float64 {
	step := 0.001
	if l.Unit.Same(quantity.Inch) {
		step = 0.0001 * 25.4
	}
	return math.Floor(mm/step+1e-6) * step
}
