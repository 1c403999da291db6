package formula

import (
	"math"
	"math/big"

	"tenths/calc/quantity"
)

// maxPower bounds the exponent of pow.
const maxPower = 64

// rootCurve is the square root; exact for squares of rationals.
func rootCurve(v *big.Rat) (*big.Rat, float64) {
	n, d := new(big.Int).Sqrt(v.Num()), new(big.Int).Sqrt(v.Denom())
	if r := new(big.Rat).SetFrac(n, d); new(big.Rat).Mul(r, r).Cmp(v) == 0 {
		return r, 0
	}
	return nil, math.Sqrt(toFloat(v))
}

func sqrt(a []quantity.Quantity) (quantity.Quantity, error) {
	x := a[0]
	u, ok := x.Unit().SquareRoot()
	if !ok {
		return quantity.Quantity{}, complain(0, "the argument is a plain number or an area, like a*a + b*b", "sqrt of %s has no unit", article(x.Kind()))
	}
	s := span{x, x}
	if s.above().Sign() < 0 {
		return quantity.Quantity{}, complain(0, "", "sqrt of a negative value: %s", x)
	}
	y, bound, err := curve(rootCurve).monotone(x, new(big.Rat), nil)
	if err != nil {
		return quantity.Quantity{}, err
	}
	q, err := quantity.New(y, quantity.BaseUnit(u.Dim())).WithBound(bound).As(u)
	if err != nil {
		return q, complain(0, "", "%v", err)
	}
	return q, nil
}

// slopesSqrt: d(sqrt a) = da / (2 sqrt a).
func slopesSqrt(_ []quantity.Quantity, y quantity.Quantity) ([]quantity.Quantity, error) {
	d, err := plain(1).Div(y.Scale(big.NewRat(2, 1)))
	if err != nil {
		return nil, complain(-1, "", "the slope of sqrt is infinite at zero, which is the middle here")
	}
	return []quantity.Quantity{d}, nil
}

func reachSqrt(a []span) (span, error) {
	if lo := (span{a[0].lo, a[0].lo}); lo.above().Sign() < 0 {
		return span{}, complain(0, "", "sqrt of a value that can be negative: it lies between %s", a[0])
	}
	return reachRising(sqrt)(a)
}

// hypot is sqrt(a*a + b*b).
func hypot(a []quantity.Quantity) (quantity.Quantity, error) {
	if err := sameDim("hypot", a); err != nil {
		return quantity.Quantity{}, err
	}
	s, err := a[0].Mul(a[0]).Add(a[1].Mul(a[1]))
	if err != nil {
		return s, complain(-1, "", "%v", err)
	}
	y, err := sqrt([]quantity.Quantity{s})
	if err != nil {
		return y, err
	}
	if y, err = y.As(a[0].Unit()); err != nil {
		return y, complain(-1, "", "%v", err)
	}
	return y, nil
}

// slopesHypot: d(hypot) = (a da + b db)/hypot.
func slopesHypot(a []quantity.Quantity, y quantity.Quantity) ([]quantity.Quantity, error) {
	da, err1 := a[0].Div(y)
	db, err2 := a[1].Div(y)
	if err1 != nil || err2 != nil {
		return nil, complain(-1, "", "hypot has no slope at zero, which is the middle here")
	}
	return []quantity.Quantity{da, db}, nil
}

func reachHypot(a []span) (span, error) {
	p, err := reachAbs(a[:1])
	if err != nil {
		return p, err
	}
	q, err := reachAbs(a[1:])
	if err != nil {
		return q, err
	}
	return ends(hypot, p.lo, q.lo, p.hi, q.hi)
}

// exponent is the second argument of pow, which the parser has checked.
func exponent(q quantity.Quantity) int64 { return q.Rat().Num().Int64() }

func pow(a []quantity.Quantity) (quantity.Quantity, error) {
	n := exponent(a[1])
	y := plain(1)
	for range max(n, -n) {
		y = y.Mul(a[0])
	}
	if n >= 0 {
		return y, nil
	}
	y, err := plain(1).Div(y)
	if err != nil {
		return y, complain(0, "", "%v: a negative power of zero", err)
	}
	return y, nil
}

// slopesPow: d(a^n) = n a^(n-1) da. The exponent is a constant.
func slopesPow(a []quantity.Quantity, _ quantity.Quantity) ([]quantity.Quantity, error) {
	n := exponent(a[1])
	if n == 0 {
		return make([]quantity.Quantity, 2), nil
	}
	d, err := pow([]quantity.Quantity{a[0], plain(n - 1)})
	if err != nil {
		return nil, err
	}
	return []quantity.Quantity{d.Scale(big.NewRat(n, 1)), {}}, nil
}

func reachPow(a []span) (span, error) {
	n := exponent(a[1].lo)
	if n < 0 && a[0].contains(0) {
		return span{}, complain(0, "", "a negative power of a value that can be zero: it lies between %s", a[0])
	}
	base := a[0]
	if n%2 == 0 {
		s, err := reachAbs(a[:1])
		if err != nil {
			return s, err
		}
		base = s
	}
	lo, err := pow([]quantity.Quantity{base.lo, a[1].lo})
	if err != nil {
		return span{}, err
	}
	hi, err := pow([]quantity.Quantity{base.hi, a[1].lo})
	if err != nil {
		return span{}, err
	}
	return hull(lo, hi), nil
}

func linearPow(a []dual) bool {
	n := exponent(a[1].q)
	return n == 0 || n == 1 && a[0].affine
}
