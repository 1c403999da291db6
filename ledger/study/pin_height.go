package study

import (
	"math/big"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// ProudPin is a pin that can stand higher than the part on it.
type ProudPin struct {
	Pin   *PinState
	Tall  quantity.Quantity // the tallest that the pin can be
	Thin  quantity.Quantity // the thinnest good part
	Proud quantity.Quantity // how far it then stands out
}

// ProudPins lists the pins of a station that stand out of the part's hole on the
// clamped side: height above the seat against thickness of the part, both at the
// worst end of their tolerance. Pins beside the part, and those of which the
// height or of whose part the thickness is not known, are left out.
func (s *Set) ProudPins(l *Locating) []ProudPin {
	part := l.thinnest()
	if part.IsZeroValue() {
		return nil
	}
	var out []ProudPin
	for _, pin := range s.tallPins(l) {
		tall := rangeOf(pin.Now.Height).Max
		if proud, err := tall.Sub(part); err == nil && proud.Sign() > 0 {
			out = append(out, ProudPin{pin, tall, part, proud})
		}
	}
	return out
}

// thinnest is the thickness of the thinnest good part; the zero Quantity if it is
// not known.
func (l *Locating) thinnest() quantity.Quantity {
	if l.Part != nil {
		if p, ok := l.Part.Data.(*ledger.Part); ok && p.Thickness.Set() {
			return rangeOf(p.Thickness).Min
		}
	}
	return quantity.Quantity{}
}

// tallPins lists the pins of a station that go into a hole of its part and of
// which the height is known.
func (s *Set) tallPins(l *Locating) []*PinState {
	var out []*PinState
	for i := range l.Pins {
		pin := &l.Pins[i]
		if pin.Feature != nil && slipHoles[pin.Feature.Type.S] && pin.Now.Height.Set() && asToday(pin.Locator, s.AsOf) {
			out = append(out, pin)
		}
	}
	return out
}

// EqualPins is two pins of a station that a part must enter at once.
type EqualPins struct {
	First, Second *PinState // First is the one that would be the taller
	Apart         quantity.Quantity
	// Step is by how much the first would be taller: a quarter of its diameter
	// (common practice).
	Step quantity.Quantity
}

// Parts of a diameter: how much taller one of two pins is made (common practice:
// about a quarter), and a difference too small to matter, a quarter of that. The
// second is a choice of this tool, so that 0.180 and 0.181 in count as equal.
var (
	tallerBy = big.NewRat(1, 4)
	asGoodAs = big.NewRat(1, 16)
)

// EqualPins finds the two pins of a station of equal height. ok is false where
// they differ, where a height or a diameter is not known, and on a station that
// has not two pins that go into holes of its part.
func (s *Set) EqualPins(l *Locating) (e EqualPins, ok bool) {
	pins := s.tallPins(l)
	if len(pins) != 2 || len(l.Pins) != 2 {
		return e, false
	}
	e.First, e.Second = pins[0], pins[1]
	if e.First.Now.Type.S == "relieved pin" && e.Second.Now.Type.S == "round pin" {
		e.First, e.Second = e.Second, e.First
	}
	size, known := pinSize(e.First.Now, s.AsOf)
	if !known {
		return e, false
	}
	d := size.Range().Max
	apart, err := middleOf(e.First.Now.Height).Sub(middleOf(e.Second.Now.Height))
	if err != nil || d.IsZeroValue() {
		return e, false
	}
	e.Apart, e.Step = apart.Abs(), d.Scale(tallerBy)
	return e, e.Apart.Rat().Cmp(d.Scale(asGoodAs).Rat()) < 0
}

// middleOf is the middle of the limits of a size, or the size if it has none.
func middleOf(s ledger.Size) quantity.Quantity {
	if m, ok := s.Tol.Middle(); ok {
		return m
	}
	return s.Nominal()
}
