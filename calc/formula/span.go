package formula

import (
	"math/big"

	"tenths/calc/quantity"
)

// span is a closed range of values. Its ends carry their own error bounds.
type span struct{ lo, hi quantity.Quantity }

// String is "a and b", to follow "between".
func (s span) String() string { return s.lo.String() + " and " + s.hi.String() }

// below and above are the ends of the range in base units, error bounds
// included.
func (s span) below() *big.Rat { return new(big.Rat).Sub(s.lo.Rat(), s.lo.Bound()) }

func (s span) above() *big.Rat { return new(big.Rat).Add(s.hi.Rat(), s.hi.Bound()) }

// contains reports whether the range can reach v, in base units.
func (s span) contains(v int64) bool {
	r := big.NewRat(v, 1)
	return s.below().Cmp(r) <= 0 && s.above().Cmp(r) >= 0
}

// ends is the range from f at the first two values to f at the last two.
func ends(f func([]quantity.Quantity) (quantity.Quantity, error), lo1, lo2, hi1, hi2 quantity.Quantity) (span, error) {
	lo, err := f([]quantity.Quantity{lo1, lo2})
	if err != nil {
		return span{}, err
	}
	hi, err := f([]quantity.Quantity{hi1, hi2})
	return span{lo, hi}, err
}

// hullOf is the range of f over the four corners of two ranges.
func hullOf(f func([]quantity.Quantity) (quantity.Quantity, error), a, b span) (span, error) {
	var all []quantity.Quantity
	for _, x := range []quantity.Quantity{a.lo, a.hi} {
		for _, y := range []quantity.Quantity{b.lo, b.hi} {
			q, err := f([]quantity.Quantity{x, y})
			if err != nil {
				return span{}, err
			}
			all = append(all, q)
		}
	}
	return hull(all...), nil
}

// hull is the range of values of one dimension; the bounds at its ends cover
// the bounds of all.
func hull(all ...quantity.Quantity) span {
	s := span{all[0], all[0]}
	below, above := s.below(), s.above()
	for _, q := range all[1:] {
		if q.Rat().Cmp(s.lo.Rat()) < 0 {
			s.lo = q
		}
		if q.Rat().Cmp(s.hi.Rat()) > 0 {
			s.hi = q
		}
		one := span{q, q}
		if b := one.below(); b.Cmp(below) < 0 {
			below = b
		}
		if b := one.above(); b.Cmp(above) > 0 {
			above = b
		}
	}
	if s.below().Cmp(below) > 0 {
		s.lo = withBound(s.lo, below.Sub(s.lo.Rat(), below))
	}
	if s.above().Cmp(above) < 0 {
		s.hi = withBound(s.hi, above.Sub(above, s.hi.Rat()))
	}
	return s
}

// join is the range of both.
func join(a, b span) span { return hull(a.lo, a.hi, b.lo, b.hi) }

// withBound sets an error bound given in base units.
func withBound(q quantity.Quantity, b *big.Rat) quantity.Quantity {
	scale := quantity.New(big.NewRat(1, 1), q.Unit().Difference()).Rat()
	return q.WithBound(scale.Quo(b, scale))
}

// covered is y with the bound that reaches from low to high, in base units.
func covered(y quantity.Quantity, low, high *big.Rat) quantity.Quantity {
	b := new(big.Rat).Sub(y.Rat(), low)
	if c := new(big.Rat).Sub(high, y.Rat()); c.Cmp(b) > 0 {
		b = c
	}
	if b.Sign() <= 0 {
		return y
	}
	return withBound(y, b)
}

// reachRising is the range of a rising function of one argument.
func reachRising(f func([]quantity.Quantity) (quantity.Quantity, error)) func([]span) (span, error) {
	return func(a []span) (span, error) {
		lo, err := f([]quantity.Quantity{a[0].lo})
		if err != nil {
			return span{}, err
		}
		hi, err := f([]quantity.Quantity{a[0].hi})
		return span{lo, hi}, err
	}
}
