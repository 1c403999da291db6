package formula

import (
	"math"
	"math/big"

	"tenths/calc/quantity"
)

// curve is a function of one exact number: its exact value where there is one,
// otherwise a float64 within 8 units in the last place.
type curve func(v *big.Rat) (exact *big.Rat, approx float64)

// roundoff is the error bound of an approximate value: 2^-49 of it, and a little
// for values too small for a float64.
const roundoff = 1.0 / (1 << 49)

var smallest = new(big.Rat).SetFrac(big.NewInt(1), new(big.Int).Lsh(big.NewInt(1), 1000))

// at is the value and its error bound; false when it overflows.
func (c curve) at(v *big.Rat) (y, bound *big.Rat, ok bool) {
	exact, f := c(v)
	if exact != nil {
		return exact, new(big.Rat), true
	}
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return nil, nil, false
	}
	y = new(big.Rat).SetFloat64(f)
	bound = new(big.Rat).SetFloat64(math.Abs(f) * roundoff)
	return y, bound.Add(bound, smallest), true
}

// monotone evaluates a curve that only rises or only falls at an inexact value:
// the bound reaches to the values at both ends. Ends outside lo..hi (nil: no
// limit) are moved to them, because there the value itself is impossible.
func (c curve) monotone(x quantity.Quantity, lo, hi *big.Rat) (y, bound *big.Rat, err error) {
	clamp := func(v *big.Rat) *big.Rat {
		if lo != nil && v.Cmp(lo) < 0 {
			return lo
		}
		if hi != nil && v.Cmp(hi) > 0 {
			return hi
		}
		return v
	}
	y, bound, ok := c.at(clamp(x.Rat()))
	if !ok {
		return nil, nil, errOverflow
	}
	if x.Exact() {
		return y, bound, nil
	}
	s := span{x, x}
	for _, end := range []*big.Rat{s.below(), s.above()} {
		e, b, ok := c.at(clamp(end))
		if !ok {
			return nil, nil, errOverflow
		}
		e.Sub(e, y)
		if b.Add(b, e.Abs(e)); b.Cmp(bound) > 0 {
			bound = b
		}
	}
	return y, bound, nil
}

var errOverflow = complain(-1, "", "the value is too large to compute")

func toFloat(r *big.Rat) float64 {
	f, _ := r.Float64()
	return f
}

// pi is the constant, with its distance from the true value.
var pi = quantity.FromFloat(math.Pi, quantity.One).WithBound(new(big.Rat).SetFloat64(0x1p-52))
