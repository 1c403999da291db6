package formula

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/quantity"
)

// Exact values stay exact: whole triangles, and the rational values of the
// angle functions at multiples of 30 and 45 degrees.
func TestExactFunctions(t *testing.T) {
	for text, want := range map[string]string{
		"hypot(3*in, 4*in)/in":             "5",
		"hypot(5*mm, -12*mm)/mm":           "13",
		"sqrt(2.25)":                       "1.5",
		"sqrt(1/9)":                        "1/3",
		"sqrt(4*in*in)/in":                 "2",
		"sin(30*deg)":                      "1/2",
		"sin(-30*deg)":                     "-1/2",
		"sin(390*deg)":                     "1/2",
		"sin(180*deg)":                     "0",
		"sin(270*deg)":                     "-1",
		"cos(60*deg)":                      "1/2",
		"cos(90*deg)":                      "0",
		"cos(-180*deg)":                    "-1",
		"tan(45*deg)":                      "1",
		"tan(135*deg)":                     "-1",
		"tan(-180*deg)":                    "0",
		"asin(0.5)/deg":                    "30",
		"asin(-1)/deg":                     "-90",
		"acos(-0.5)/deg":                   "120",
		"acos(1)/deg":                      "0",
		"atan(1)/deg":                      "45",
		"atan2(1*mm, -1*mm)/deg":           "135",
		"atan2(-1*mm, 1*mm)/deg":           "-45",
		"atan2(-1*mm, -1*mm)/deg":          "-135",
		"atan2(0*mm, -1*mm)/deg":           "180",
		"atan2(0*mm, 2*mm)/deg":            "0",
		"atan2(-1*mm, 0*mm)/deg":           "-90",
		"min(3, 1, 2)":                     "1",
		"max(3, 1, 2)":                     "3",
		"abs(-3.5)":                        "3.5",
		"pow(1.1, 3)":                      "1.331",
		"max(1*in, 25.4*mm)/mm":            "25.4",
		"sin(30*deg)*sin(30*deg) - 1/4":    "0",
		"60*arcmin/deg + 3600*arcsec/deg":  "2",
		"1*lbf/N":                          "4.4482216152605",
		"10*tenths/in + 1*thou/in":         "0.002",
		"(1*microinch + 1*uin + 1*um)/mm":  "0.0010508",
		"(9*dF - 5*K)/K + (5*dC - 5*K)/K":  "0",
		"100*ppm*10000":                    "1",
		"(68*F - 20*C)/K + (32*F - 0*C)/K": "0",
	} {
		r := eval(t, text)
		assert.True(t, r.Exact, text)
		assert.Zero(t, r.Value.Rat().Cmp(rational(t, want)), "%s: %s", text, r.Value)
	}
}

// Closed forms of textbook trigonometry; both sides must meet within their own
// error bounds, and the bounds must be small.
func TestIdentities(t *testing.T) {
	small := big.NewRat(1, 1_000_000_000_000)
	for _, c := range [][2]string{
		{"sin(18*deg)", "(sqrt(5) - 1)/4"},
		{"cos(36*deg)", "(sqrt(5) + 1)/4"},
		{"sin(15*deg)", "(sqrt(6) - sqrt(2))/4"},
		{"sin(75*deg)", "(sqrt(6) + sqrt(2))/4"},
		{"sin(45*deg)", "sqrt(2)/2"},
		{"sin(315*deg)", "-sqrt(2)/2"},
		{"cos(30*deg)", "sqrt(3)/2"},
		{"cos(210*deg)", "-sqrt(3)/2"},
		{"tan(60*deg)", "sqrt(3)"},
		{"tan(150*deg)", "-1/sqrt(3)"},
		{"tan(22.5*deg)", "sqrt(2) - 1"},
		{"tan(67.5*deg)", "sqrt(2) + 1"},
		{"asin(sqrt(3)/2)/deg", "60"},
		{"acos(sqrt(2)/2)/deg", "45"},
		{"acos(-sqrt(3)/2)/deg", "150"},
		{"atan(sqrt(3))/deg", "60"},
		{"atan(-1/sqrt(3))/deg", "-30"},
		{"atan2(sqrt(3)*in, -1*in)/deg", "120"},
		{"atan2(-sqrt(3)*in, -1*in)/deg", "-120"},
		{"(asin(3/5) + acos(3/5))/deg", "90"},
		{"(16*atan(1/5) - 4*atan(1/239))/deg", "180"}, // Machin 1706
		{"(16*atan(1/5) - 4*atan(1/239))/(180*deg)*pi", "pi"},
		{"hypot(1*in, 1*in)/in", "sqrt(2)"},
		{"pow(sqrt(2), 4)", "4"},
		{"sqrt(2)*sqrt(8)", "4"},
	} {
		a, b := eval(t, c[0]).Value, eval(t, c[1]).Value
		assert.True(t, within(a, b), "%s = %s and %s = %s", c[0], a.Plain(), c[1], b.Plain())
		assert.True(t, a.Bound().Cmp(small) < 0 && b.Bound().Cmp(small) < 0, "%s and %s: the bounds are wide", c[0], c[1])
	}
}

func drawRat(t *rapid.T, name string) *big.Rat {
	return big.NewRat(rapid.Int64Range(-1_000_000, 1_000_000).Draw(t, name), rapid.Int64Range(1, 100_000).Draw(t, name+" divisor"))
}

func number(r *big.Rat) []quantity.Quantity {
	return []quantity.Quantity{quantity.New(r, quantity.One)}
}

func inDeg(r *big.Rat) []quantity.Quantity {
	return []quantity.Quantity{quantity.New(r, quantity.Degree)}
}

// The square root against the 300-bit root of math/big.
func TestRootWithinBound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := drawRat(t, "v")
		v.Abs(v)
		q, err := sqrt(number(v))
		require.NoError(t, err)
		f := new(big.Float).SetPrec(300).SetRat(v)
		want, _ := f.Sqrt(f).Rat(nil)
		d := new(big.Rat).Sub(want, q.Rat())
		slack := new(big.Rat).Add(q.Bound(), new(big.Rat).SetFloat64(0x1p-250))
		assert.True(t, d.Abs(d).Cmp(slack) <= 0, "sqrt of %s", v)
	})
}

func TestTrigonometryWithinBound(t *testing.T) {
	must := func(q quantity.Quantity, err error) quantity.Quantity {
		if err != nil {
			panic(err)
		}
		return q
	}
	rapid.Check(t, func(t *rapid.T) {
		x, y := drawRat(t, "x"), drawRat(t, "y")
		sx, cx := must(sin(inDeg(x))), must(cos(inDeg(x)))
		sy, cy := must(sin(inDeg(y))), must(cos(inDeg(y)))
		assert.True(t, within(plain(1), must(sx.Mul(sx).Add(cx.Mul(cx)))), "sin²+cos² at %s", x)
		sum := must(sin(inDeg(new(big.Rat).Add(x, y))))
		assert.True(t, within(sum, must(sx.Mul(cy).Add(cx.Mul(sy)))), "sin(x+y) at %s, %s", x, y)
		if tx, err := tan(inDeg(x)); err == nil {
			assert.True(t, within(sx, tx.Mul(cx)), "tan at %s", x)
			back, err := atan([]quantity.Quantity{tx})
			require.NoError(t, err)
			want := degrees(new(big.Rat).Add(x, big.NewRat(90, 1)), 180)
			assert.True(t, within(back, inDeg(want.Sub(want, big.NewRat(90, 1)))[0]), "atan(tan(x)) at %s", x)
		}
		// -90..90 and 0..180 for the inverse functions
		x = degrees(x, 180)
		cx = must(cos(inDeg(x)))
		assert.True(t, within(must(acos([]quantity.Quantity{cx})), inDeg(x)[0]), "acos(cos(x)) at %s", x)
		sx = must(sin(inDeg(new(big.Rat).Sub(x, big.NewRat(90, 1)))))
		assert.True(t, within(must(asin([]quantity.Quantity{sx})), inDeg(new(big.Rat).Sub(x, big.NewRat(90, 1)))[0]), "asin(sin(x)) at %s-90", x)
		sx, cx = must(sin(inDeg(x))), must(cos(inDeg(x)))
		if at, err := atan2([]quantity.Quantity{sx, cx}); err == nil {
			assert.True(t, within(at, inDeg(x)[0]), "atan2(sin, cos) at %s", x)
		}
	})
}

// Pi to 35 decimals (Ludolph van Ceulen; in every table of constants).
func TestPiWithinBound(t *testing.T) {
	d := new(big.Rat).Sub(rational(t, "3.14159265358979323846264338327950288"), pi.Rat())
	assert.True(t, d.Abs(d).Cmp(pi.Bound()) < 0)
	assert.False(t, pi.Exact())
}

// The error bound of an argument reaches the result: the value at the seen
// argument can be the value at any argument within its bound.
func TestFunctionsCarryBounds(t *testing.T) {
	for name, c := range map[string]struct {
		args   int
		lo, hi int64 // range of the argument in hundredths
		u      quantity.Unit
	}{
		"abs": {1, -300, 300, quantity.Millimetre}, "min": {2, -300, 300, quantity.Millimetre}, "max": {3, -300, 300, quantity.Millimetre},
		"sqrt": {1, 0, 300, quantity.One}, "hypot": {2, -300, 300, quantity.Millimetre},
		"sin": {1, -40_000, 40_000, quantity.Degree}, "cos": {1, -40_000, 40_000, quantity.Degree}, "tan": {1, -40_000, 40_000, quantity.Degree},
		"asin": {1, -100, 100, quantity.One}, "acos": {1, -100, 100, quantity.One}, "atan": {1, -300, 300, quantity.One}, "atan2": {2, -300, 300, quantity.Inch},
	} {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				var truth, seen []quantity.Quantity
				for range c.args {
					v := big.NewRat(rapid.Int64Range(c.lo, c.hi).Draw(t, "argument"), 100)
					width := big.NewRat(rapid.Int64Range(0, 20).Draw(t, "bound"), 100)
					off := big.NewRat(rapid.Int64Range(-100, 100).Draw(t, "error"), 100)
					truth = append(truth, quantity.New(v, c.u))
					off.Mul(off, width)
					seen = append(seen, quantity.New(off.Add(off, v), c.u).WithBound(width))
				}
				a, err := functions[name].value(truth)
				if err != nil {
					return // 90 degrees, or no direction
				}
				b, err := functions[name].value(seen)
				if err != nil {
					return // the bound reaches such a place
				}
				assert.True(t, within(a, b), "%s%v = %s and %s%v = %s ± %s", name, truth, a, name, seen, b, b.Bound().FloatString(6))
			})
		})
	}
}

func TestHullCoversAllBounds(t *testing.T) {
	at := func(v, bound int64) quantity.Quantity {
		return quantity.New(big.NewRat(v, 1), quantity.Inch).WithBound(big.NewRat(bound, 1))
	}
	s := hull(at(10, 1), at(9, 5), at(8, 1), at(11, 1))
	assert.Equal(t, "8 in", s.lo.String())
	assert.Equal(t, "11 in", s.hi.String())
	assert.Zero(t, s.below().Cmp(rational(t, "101.6")), "9-5 = 4 in")
	assert.Zero(t, s.above().Cmp(rational(t, "355.6")), "9+5 = 14 in")
}
