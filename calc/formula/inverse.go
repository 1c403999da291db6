package formula

import (
	"math"
	"math/big"

	"tenths/calc/quantity"
)

var one = big.NewRat(1, 1)

// whole returns an exact number of degrees.
func whole(deg int64) (*big.Rat, float64) { return big.NewRat(deg, 1), 0 }

// besides is sqrt(1 - v²), the other side of the triangle; the difference is
// exact, so nothing is lost near 1.
func besides(v *big.Rat) float64 {
	s := new(big.Rat).Mul(v, v)
	return math.Sqrt(toFloat(s.Sub(one, s)))
}

func inDegrees(rad float64) float64 { return rad / math.Pi * 180 }

// timesTwo is 2v as a whole number, for the exact angles of the arc functions.
func timesTwo(v *big.Rat) (int64, bool) {
	t := new(big.Rat).Add(v, v)
	return t.Num().Int64(), t.IsInt()
}

func arcsineCurve(v *big.Rat) (*big.Rat, float64) {
	if t, ok := timesTwo(v); ok {
		return whole(map[int64]int64{-2: -90, -1: -30, 0: 0, 1: 30, 2: 90}[t])
	}
	return nil, inDegrees(math.Atan2(toFloat(v), besides(v)))
}

func arccosineCurve(v *big.Rat) (*big.Rat, float64) {
	if t, ok := timesTwo(v); ok {
		return whole(map[int64]int64{-2: 180, -1: 120, 0: 90, 1: 60, 2: 0}[t])
	}
	return nil, inDegrees(math.Atan2(besides(v), toFloat(v)))
}

func arctangentCurve(v *big.Rat) (*big.Rat, float64) {
	if v.IsInt() && new(big.Rat).Abs(v).Cmp(one) <= 0 {
		return whole(45 * v.Num().Int64())
	}
	return nil, inDegrees(math.Atan(toFloat(v)))
}

// numberArg checks that the argument is a plain number.
func numberArg(name string, q quantity.Quantity) error {
	if q.Dim() != quantity.Number {
		return complain(0, "divide two lengths, like "+name+"(a/b)", "%s takes a plain number, not %s", name, article(q.Kind()))
	}
	return nil
}

func asin(a []quantity.Quantity) (quantity.Quantity, error) { return arc("asin", arcsineCurve, a[0]) }

func acos(a []quantity.Quantity) (quantity.Quantity, error) {
	return arc("acos", arccosineCurve, a[0])
}

// arc is an inverse function of a number from -1 to 1, in degrees.
func arc(name string, c curve, x quantity.Quantity) (quantity.Quantity, error) {
	if err := numberArg(name, x); err != nil {
		return quantity.Quantity{}, err
	}
	s := span{x, x}
	if s.below().Cmp(one) > 0 || s.above().Cmp(new(big.Rat).Neg(one)) < 0 {
		return quantity.Quantity{}, complain(0, "", "%s takes a value from -1 to 1, not %s", name, x)
	}
	return numberFrom(c, x, new(big.Rat).Neg(one), one, quantity.Degree)
}

func atan(a []quantity.Quantity) (quantity.Quantity, error) {
	if err := numberArg("atan", a[0]); err != nil {
		return quantity.Quantity{}, err
	}
	return numberFrom(arctangentCurve, a[0], nil, nil, quantity.Degree)
}

// slopesAsin: 1/sqrt(1 - a²) radians.
func slopesAsin(a []quantity.Quantity, _ quantity.Quantity) ([]quantity.Quantity, error) {
	s, err := plain(1).Sub(a[0].Mul(a[0]))
	if err != nil {
		return nil, err
	}
	if s, err = sqrt([]quantity.Quantity{s}); err != nil {
		return nil, err
	}
	d, err := perRadian().Div(s)
	if err != nil {
		return nil, complain(-1, "", "the slope is infinite at 1 and -1, which is the middle here")
	}
	return []quantity.Quantity{d}, nil
}

func slopesAcos(a []quantity.Quantity, y quantity.Quantity) ([]quantity.Quantity, error) {
	d, err := slopesAsin(a, y)
	if err != nil {
		return nil, err
	}
	return []quantity.Quantity{d[0].Neg()}, nil
}

// slopesAtan: 1/(1 + a²) radians.
func slopesAtan(a []quantity.Quantity, _ quantity.Quantity) ([]quantity.Quantity, error) {
	s, err := plain(1).Add(a[0].Mul(a[0]))
	if err != nil {
		return nil, err
	}
	d, err := perRadian().Div(s)
	if err != nil {
		return nil, err
	}
	return []quantity.Quantity{d}, nil
}

func reachAsin(a []span) (span, error) {
	if err := arcDomain("asin", a[0]); err != nil {
		return span{}, err
	}
	return reachRising(asin)(a)
}

func arcDomain(name string, s span) error {
	lo, hi := span{s.lo, s.lo}, span{s.hi, s.hi}
	if hi.below().Cmp(one) > 0 || lo.above().Cmp(new(big.Rat).Neg(one)) < 0 {
		return complain(0, "", "%s takes a value from -1 to 1, and this lies between %s", name, s)
	}
	return nil
}

func reachAcos(a []span) (span, error) {
	if err := arcDomain("acos", a[0]); err != nil {
		return span{}, err
	}
	return reachRising(acos)([]span{{a[0].hi, a[0].lo}})
}

// atan2 is the angle of the direction (run, rise) = (a[1], a[0]), over -180 to
// 180 degrees.
func atan2(a []quantity.Quantity) (quantity.Quantity, error) {
	if err := sameDim("atan2", a); err != nil {
		return quantity.Quantity{}, err
	}
	rise, run := span{a[0], a[0]}, span{a[1], a[1]}
	if err := direction(rise, run); err != nil {
		return quantity.Quantity{}, err
	}
	y, x := a[0].Rat(), a[1].Rat()
	// Only the direction matters: scale to the larger side, exactly.
	big1 := new(big.Rat).Abs(y)
	if ax := new(big.Rat).Abs(x); ax.Cmp(big1) > 0 {
		big1 = ax
	}
	v, bound, ok := curve(func(*big.Rat) (*big.Rat, float64) {
		return directionAngle(new(big.Rat).Quo(y, big1), new(big.Rat).Quo(x, big1))
	}).at(big1)
	if !ok {
		return quantity.Quantity{}, errOverflow
	}
	if a[0].Exact() && a[1].Exact() {
		return quantity.New(v, quantity.Degree).WithBound(bound), nil
	}
	// A point that moves by e at distance r > e turns by less than (pi/2)(e/r);
	// twice that also holds where e is larger.
	e := a[0].Bound()
	e.Add(e, a[1].Bound())
	e.Mul(e.Quo(e, big1), big.NewRat(180, 1))
	return quantity.New(v, quantity.Degree).WithBound(bound.Add(bound, e)), nil
}

// directionAngle is exact on the axes and the diagonals between them.
func directionAngle(y, x *big.Rat) (*big.Rat, float64) {
	switch {
	case y.Sign() == 0 && x.Sign() < 0:
		return whole(180)
	case y.Sign() == 0:
		return whole(0)
	case x.Sign() == 0:
		return whole(int64(90 * y.Sign()))
	case new(big.Rat).Abs(x).Cmp(new(big.Rat).Abs(y)) == 0 && x.Sign() > 0:
		return whole(int64(45 * y.Sign()))
	case new(big.Rat).Abs(x).Cmp(new(big.Rat).Abs(y)) == 0:
		return whole(int64(135 * y.Sign()))
	}
	return nil, inDegrees(math.Atan2(toFloat(y), toFloat(x)))
}

// direction complains about a range of directions that holds zero or turns
// over from 180 to -180 degrees.
func direction(rise, run span) error {
	if rise.contains(0) && run.contains(0) {
		return complain(-1, "", "atan2 has no direction where both arguments can be zero")
	}
	if rise.below().Sign() < 0 && rise.above().Sign() >= 0 && run.below().Sign() < 0 {
		return complain(-1, "turn the axes, so that the angle stays away from 180 deg", "atan2 turns over from 180 to -180 deg in this range")
	}
	return nil
}

// slopesAtan2: (x dy - y dx)/(x² + y²) radians.
func slopesAtan2(a []quantity.Quantity, _ quantity.Quantity) ([]quantity.Quantity, error) {
	r2, err := a[0].Mul(a[0]).Add(a[1].Mul(a[1]))
	if err != nil {
		return nil, err
	}
	dy, err := a[1].Mul(perRadian()).Div(r2)
	if err != nil {
		return nil, err
	}
	dx, err := a[0].Neg().Mul(perRadian()).Div(r2)
	if err != nil {
		return nil, err
	}
	return []quantity.Quantity{dy, dx}, nil
}

// reachAtan2: the outermost directions of a box that keeps clear of the origin
// are at its corners.
func reachAtan2(a []span) (span, error) {
	if err := direction(a[0], a[1]); err != nil {
		return span{}, err
	}
	return hullOf(atan2, a[0], a[1])
}
