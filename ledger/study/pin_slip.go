package study

import (
	"math/big"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// PinSlip is a pin that is far smaller than the hole it is to locate: a slip of
// the decimal point in the size of the one or of the other.
type PinSlip struct {
	Pin *ledger.Locator
	// PinSize is the size that was used: that of the survey in force, else the
	// pin's own.
	PinSize  ledger.Size
	HoleRec  *ledger.Record
	HoleName string
	HoleSize ledger.Size
	// Hole is set if it is the hole that fits no pin of the station, while the
	// pin fits another hole.
	Hole bool
	// Clearance is the smallest hole less the largest pin, Most what may be: the
	// smaller of a tenth of the hole and 0.010 in or 0.25 mm.
	Clearance, Most quantity.Quantity
	// Times is how many times as large the hole is, as a power of ten; 0 if it
	// is none within a twentieth.
	Times int
}

// PinSlips lists the pins of a fixture that are so much smaller than their holes
// that they cannot locate: by more than 0.010 in (0.25 mm) or a tenth of the
// hole (common practice: locating pins clear their holes by tenths to a few
// thousandths of an inch).
func (s *Set) PinSlips(rec *ledger.Record) []PinSlip {
	f, ok := rec.Data.(*ledger.Fixture)
	if !ok {
		return nil
	}
	var out []PinSlip
	for i := range f.Stations {
		l := s.Locating(rec, &f.Stations[i])
		for k := range l.Pins {
			p := &l.Pins[k]
			slip, ok := l.pinSlip(p)
			if !ok {
				continue
			}
			slip.Hole = l.fitsAnother(k, true) && !l.fitsAnother(k, false)
			out = append(out, slip)
		}
	}
	return out
}

func (l *Locating) pinSlip(p *PinState) (PinSlip, bool) {
	if !p.sized {
		return PinSlip{}, false
	}
	clearance, most, ok := l.clearance(p.Hole, p.Pin)
	if !ok || clearance.Rat().Cmp(most.Rat()) <= 0 {
		return PinSlip{}, false
	}
	out := PinSlip{Pin: p.Locator, PinSize: p.Now.Size, HoleRec: l.Part, HoleName: p.Feature.ID.S, HoleSize: p.Size, Clearance: clearance, Most: most}
	if p.Survey != nil && p.Survey.Size.Set() {
		out.PinSize = p.Survey.Size
	}
	ratio := new(big.Rat).Quo(p.Hole.Min.Rat(), p.Pin.Max.Rat())
	for _, times := range []int{10, 100, 1000} {
		off := new(big.Rat).Quo(ratio, big.NewRat(int64(times), 1))
		off.Sub(off, big.NewRat(1, 1))
		if off.Abs(off).Cmp(big.NewRat(1, 20)) <= 0 {
			out.Times = times
		}
	}
	return out, true
}

// clearance is the smallest hole less the largest pin, and the most that may be;
// false unless both are sizes.
func (l *Locating) clearance(hole, pin Range) (clearance, most quantity.Quantity, ok bool) {
	if hole.Min.Dim() != quantity.Length || pin.Max.Dim() != quantity.Length || hole.Min.Sign() <= 0 || pin.Max.Sign() <= 0 {
		return clearance, most, false
	}
	clearance, err := hole.Min.Sub(pin.Max)
	if err != nil {
		return clearance, most, false
	}
	most = quantity.New(big.NewRat(1, 4), quantity.Millimetre).WithDecimals(2)
	if hole.Min.Unit().System() == "inch" {
		most = quantity.New(big.NewRat(1, 100), quantity.Inch).WithDecimals(3)
	}
	if tenth := hole.Min.Scale(big.NewRat(1, 10)); tenth.Rat().Cmp(most.Rat()) < 0 {
		most = tenth
	}
	return clearance, most, true
}

// fitsAnother reports whether pin k goes, without being far smaller, into the
// hole of another pin, or with pin not set, whether hole k takes another pin so.
func (l *Locating) fitsAnother(k int, pin bool) bool {
	for j := range l.Pins {
		a, b := &l.Pins[j], &l.Pins[k] // hole of a, pin of b
		if !pin {
			a, b = b, a
		}
		if j == k || !a.sized || !b.sized {
			continue
		}
		if c, most, ok := l.clearance(a.Hole, b.Pin); ok && c.Sign() >= 0 && c.Rat().Cmp(most.Rat()) <= 0 {
			return true
		}
	}
	return false
}
