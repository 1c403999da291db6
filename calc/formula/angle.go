package formula

import (
	"math"
	"math/big"

	"tenths/calc/quantity"
)

// degrees reduces v by whole turns to 0 <= v < turn.
func degrees(v *big.Rat, turn int64) *big.Rat {
	t := big.NewRat(turn, 1)
	return new(big.Rat).Sub(v, t.Mul(t, new(big.Rat).SetInt(floor(new(big.Rat).Quo(v, t)))))
}

func floor(v *big.Rat) *big.Int {
	// Euclidean division equals the floor for a positive divisor.
	return new(big.Int).Div(v.Num(), v.Denom())
}

func radians(v *big.Rat) float64 { return toFloat(v) / 180 * math.Pi }

// wholeSines are the sines that are rational at rational degrees (Niven's
// theorem leaves no others).
var wholeSines = map[int64]*big.Rat{
	0: big.NewRat(0, 1), 30: big.NewRat(1, 2), 90: big.NewRat(1, 1), 150: big.NewRat(1, 2),
	180: big.NewRat(0, 1), 210: big.NewRat(-1, 2), 270: big.NewRat(-1, 1), 330: big.NewRat(-1, 2),
}

// sineCurve is the sine of v degrees. The reduction to 0..45 degrees is exact.
func sineCurve(v *big.Rat) (*big.Rat, float64) {
	v = degrees(v, 360)
	if v.IsInt() {
		if s, ok := wholeSines[v.Num().Int64()]; ok {
			return new(big.Rat).Set(s), 0
		}
	}
	sign := 1.0
	if half := big.NewRat(180, 1); v.Cmp(half) > 0 {
		v.Sub(v, half)
		sign = -1
	}
	if v.Cmp(big.NewRat(90, 1)) > 0 {
		v.Sub(big.NewRat(180, 1), v)
	}
	if v.Cmp(big.NewRat(45, 1)) <= 0 {
		return nil, sign * math.Sin(radians(v))
	}
	return nil, sign * math.Cos(radians(v.Sub(big.NewRat(90, 1), v)))
}

// tangentCurve is the tangent of v degrees; NaN at 90.
func tangentCurve(v *big.Rat) (*big.Rat, float64) {
	v = degrees(v, 180)
	if v.IsInt() {
		switch v.Num().Int64() {
		case 0:
			return new(big.Rat), 0
		case 45:
			return big.NewRat(1, 1), 0
		case 90:
			return nil, math.NaN()
		case 135:
			return big.NewRat(-1, 1), 0
		}
	}
	sign := 1.0
	if v.Cmp(big.NewRat(90, 1)) > 0 {
		v.Sub(big.NewRat(180, 1), v)
		sign = -1
	}
	if v.Cmp(big.NewRat(45, 1)) <= 0 {
		return nil, sign * math.Tan(radians(v))
	}
	return nil, sign / math.Tan(radians(v.Sub(big.NewRat(90, 1), v)))
}

// angleArg checks that the argument is an angle.
func angleArg(name string, q quantity.Quantity) error {
	if q.Dim() != quantity.Angle {
		return complain(0, "an angle has a unit, like 30*deg", "%s takes an angle, not %s", name, article(q.Kind()))
	}
	return nil
}

// shifted is an angle plus some degrees.
func shifted(q quantity.Quantity, deg int64) quantity.Quantity {
	s, err := q.Add(quantity.New(big.NewRat(deg, 1), quantity.Degree))
	if err != nil {
		return q // q is an angle: checked by the callers
	}
	return s
}

func sin(a []quantity.Quantity) (quantity.Quantity, error) {
	if err := angleArg("sin", a[0]); err != nil {
		return quantity.Quantity{}, err
	}
	return sine(a[0]), nil
}

func cos(a []quantity.Quantity) (quantity.Quantity, error) {
	if err := angleArg("cos", a[0]); err != nil {
		return quantity.Quantity{}, err
	}
	return sine(shifted(a[0], 90)), nil
}

// sine never moves by more than its argument in radians.
func sine(x quantity.Quantity) quantity.Quantity {
	y, bound, _ := curve(sineCurve).at(x.Rat()) // a sine does not overflow
	b := x.Bound()
	b.Mul(b, big.NewRat(22, 7*180)) // 22/7 > pi
	return quantity.New(y, quantity.One).WithBound(b.Add(b, bound))
}

func tan(a []quantity.Quantity) (quantity.Quantity, error) {
	if err := angleArg("tan", a[0]); err != nil {
		return quantity.Quantity{}, err
	}
	if !oneBranch(span{a[0], a[0]}) {
		return quantity.Quantity{}, complain(0, "", "tan is infinite at %s", a[0])
	}
	return numberFrom(tangentCurve, a[0], nil, nil, quantity.One)
}

// oneBranch reports whether the range of angles keeps clear of 90 degrees and
// its odd multiples.
func oneBranch(s span) bool {
	turn, quarter := big.NewRat(180, 1), big.NewRat(90, 1)
	branch := func(v *big.Rat) *big.Rat { return v.Quo(v.Add(v, quarter), turn) }
	lo, hi := branch(s.below()), branch(s.above())
	return !lo.IsInt() && !hi.IsInt() && floor(lo).Cmp(floor(hi)) == 0
}

// numberFrom evaluates a monotone curve and gives the result its unit.
func numberFrom(c curve, x quantity.Quantity, lo, hi *big.Rat, u quantity.Unit) (quantity.Quantity, error) {
	y, bound, err := c.monotone(x, lo, hi)
	if err != nil {
		return quantity.Quantity{}, err
	}
	return quantity.New(y, u).WithBound(bound), nil
}

// perDegree is pi/180 per degree, and perRadian its inverse: slopes of angle
// functions are taken against degrees.
func perDegree() quantity.Quantity {
	q, _ := pi.Div(quantity.New(big.NewRat(180, 1), quantity.Degree)) // the divisor is not zero
	return q
}

func perRadian() quantity.Quantity {
	q, _ := quantity.New(big.NewRat(180, 1), quantity.Degree).Div(pi) // the divisor is not zero
	return q
}

func slopesSin(a []quantity.Quantity, _ quantity.Quantity) ([]quantity.Quantity, error) {
	return []quantity.Quantity{sine(shifted(a[0], 90)).Mul(perDegree())}, nil
}

func slopesCos(a []quantity.Quantity, _ quantity.Quantity) ([]quantity.Quantity, error) {
	return []quantity.Quantity{sine(a[0]).Neg().Mul(perDegree())}, nil
}

// slopesTan: 1 + tan².
func slopesTan(_ []quantity.Quantity, y quantity.Quantity) ([]quantity.Quantity, error) {
	s, err := plain(1).Add(y.Mul(y))
	if err != nil {
		return nil, err
	}
	return []quantity.Quantity{s.Mul(perDegree())}, nil
}

// reachSin adds the crests at 90 + 360k and the troughs at 270 + 360k that lie
// in the range.
func reachSin(a []span) (span, error) {
	s := hull(sine(a[0].lo), sine(a[0].hi))
	if meets(a[0], 90) {
		s.hi = plain(1)
	}
	if meets(a[0], 270) {
		s.lo = plain(-1)
	}
	return s, nil
}

func reachCos(a []span) (span, error) {
	return reachSin([]span{{shifted(a[0].lo, 90), shifted(a[0].hi, 90)}})
}

// meets reports whether the range holds deg plus whole turns.
func meets(s span, deg int64) bool {
	turns := func(v *big.Rat) *big.Rat {
		return v.Quo(v.Sub(v, big.NewRat(deg, 1)), big.NewRat(360, 1))
	}
	lo, hi := turns(s.below()), turns(s.above())
	return lo.IsInt() || floor(lo).Cmp(floor(hi)) != 0
}

func reachTan(a []span) (span, error) {
	if !oneBranch(a[0]) {
		return span{}, complain(0, "", "tan is infinite at 90 deg and its odd multiples: the angle lies between %s", a[0])
	}
	return reachRising(tan)(a)
}
