package boring

import (
	"errors"
	"fmt"
	"math/big"

	"tenths/calc/check"
	"tenths/calc/quantity"
)

// ErrContradiction is returned, wrapped, when gauges say that a hole is larger
// than one size and smaller than a size below it.
var ErrContradiction = errors.New("the gauges contradict each other")

// Fact is what one plug or pin gauge said of a hole.
type Fact struct {
	// Gauge is the true size of the gauge as a pair of limits: its marked size
	// with the tolerance of its class (0.1870 +0.0001/-0 in for a plus pin of
	// class Z), or its measured size with the uncertainty of measuring it.
	Gauge   quantity.Toleranced
	Entered bool // true: GO, it entered; false: NOT GO, it refused
}

// Size is what is known of the diameter of a hole. A limit that nothing has
// shown is the zero Quantity.
type Size struct{ Lower, Upper quantity.Quantity }

// Estimate is the middle, and half the distance between the limits; false when
// a limit is unknown.
func (z Size) Estimate() (middle, half quantity.Quantity, ok bool) {
	if z.Lower.IsZeroValue() || z.Upper.IsZeroValue() {
		return quantity.Quantity{}, quantity.Quantity{}, false
	}
	sum, err := z.Lower.Add(z.Upper)
	if err != nil {
		return quantity.Quantity{}, quantity.Quantity{}, false
	}
	width, err := z.Upper.Sub(z.Lower)
	if err != nil {
		return quantity.Quantity{}, quantity.Quantity{}, false
	}
	h := big.NewRat(1, 2)
	return sum.Scale(h), width.Scale(h), true
}

// String says the limits in words.
func (z Size) String() string {
	switch {
	case z.Lower.IsZeroValue() && z.Upper.IsZeroValue():
		return "not gauged"
	case z.Upper.IsZeroValue():
		return "above " + z.Lower.String()
	case z.Lower.IsZeroValue():
		return "below " + z.Upper.String()
	}
	return fmt.Sprintf("between %s and %s", z.Lower, z.Upper)
}

// Bracket is the interval of the hole that the facts leave. What entered at its
// smallest possible size is below the hole; what refused at its largest possible
// size, and entry more, is above it:
//
//	largest GO lower limit <= D <= smallest (NOT GO upper limit + entry)
//
// entry is the clearance on the diameter that a gauge of this length and finish
// may still need before it enters; left out it is 0, so that a refusal says that
// the hole is not above the gauge. The plug-gauge reasoning is common practice;
// a gauge counts with its whole tolerance because its true size may lie anywhere
// in it. The result is exact, in the unit of the first gauge.
//
// Errors: a gauge without tolerance, values that are no lengths above 0, and
// ErrContradiction.
func Bracket(entry quantity.Quantity, facts ...Fact) (Size, error) {
	var s sums
	s.ZeroOr(entry, "clearance for entering", quantity.Length, "0.00005 in, or leave it out")
	var z Size
	for _, f := range facts {
		s.gauge(f.Gauge)
		if s.Err != nil {
			return Size{}, s.Err
		}
		u := facts[0].Gauge.Lower.Unit()
		if f.Entered {
			l := asExact(f.Gauge.Lower, check.Low(f.Gauge.Lower), u)
			if z.Lower.IsZeroValue() || l.Rat().Cmp(z.Lower.Rat()) > 0 {
				z.Lower = l
			}
			continue
		}
		top := check.High(f.Gauge.Upper)
		h := asExact(f.Gauge.Upper, top.Add(top, check.High(entry)), u)
		if z.Upper.IsZeroValue() || h.Rat().Cmp(z.Upper.Rat()) < 0 {
			z.Upper = h
		}
	}
	if s.Err != nil {
		return Size{}, s.Err
	}
	if !z.Lower.IsZeroValue() && !z.Upper.IsZeroValue() && z.Lower.Rat().Cmp(z.Upper.Rat()) > 0 {
		return Size{}, fmt.Errorf("%w: a gauge of at least %s entered and one of at most %s refused; look for chips, a burr at the mouth, an out-of-round or tapered hole, or gauges put back in each other's place", ErrContradiction, z.Lower, z.Upper)
	}
	return z, nil
}

// gauge checks that the true size of a gauge lies between two positive limits.
func (s *sums) gauge(g quantity.Toleranced) {
	const eg = "0.1870 +0.0001/-0 in"
	if s.Err != nil {
		return
	}
	if !g.HasLower() || !g.HasUpper() {
		s.Err = fmt.Errorf("gauge %q has no tolerance; type the limits of its true size, such as %s for a plus pin of class Z, or its measured size with ± its uncertainty", g.String(), eg)
		return
	}
	s.Positive(g.Lower, "gauge "+g.String(), quantity.Length, eg)
	s.Positive(g.Upper, "gauge "+g.String(), quantity.Length, eg)
}

// asExact is the value base in unit u, with the decimals of q as written where
// it is the same value.
func asExact(q quantity.Quantity, base *big.Rat, u quantity.Unit) quantity.Quantity {
	if q.Exact() && q.Rat().Cmp(base) == 0 {
		if shown, err := q.As(u); err == nil {
			return shown
		}
	}
	return inUnit(base, u)
}

// inUnit is a length in base units as an exact quantity shown in u.
func inUnit(base *big.Rat, u quantity.Unit) quantity.Quantity {
	q := quantity.New(base, quantity.BaseUnit(u.Dim()))
	if shown, err := q.As(u); err == nil {
		return shown
	}
	return q
}
