package formula

import (
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// precise evaluates formulas with 300 bits, by the series of the textbooks: nothing
// of it is shared with the package but the tree.
type precise struct {
	env map[string]*big.Float
	pi  *big.Float
}

const bits = 300

func num(v float64) *big.Float { return new(big.Float).SetPrec(bits).SetFloat64(v) }

func op(f func(z, x, y *big.Float) *big.Float, x, y *big.Float) *big.Float {
	return f(new(big.Float).SetPrec(bits), x, y)
}

func plus(x, y *big.Float) *big.Float   { return op((*big.Float).Add, x, y) }
func lessBy(x, y *big.Float) *big.Float { return op((*big.Float).Sub, x, y) }
func times(x, y *big.Float) *big.Float  { return op((*big.Float).Mul, x, y) }
func over(x, y *big.Float) *big.Float   { return op((*big.Float).Quo, x, y) }
func root(x *big.Float) *big.Float      { return new(big.Float).SetPrec(bits).Sqrt(x) }

// series adds terms until they no longer count.
func series(term *big.Float, next func(term *big.Float, k int) *big.Float) *big.Float {
	sum := num(0)
	for k := 1; term.Sign() != 0 && term.MantExp(nil) > -bits-20; k++ {
		sum = plus(sum, term)
		term = next(term, k)
	}
	return sum
}

// arctangent halves its argument until the series runs fast: atan x = 2 atan(x/(1 +
// sqrt(1 + x²))).
func arctangent(x *big.Float) *big.Float {
	factor := 1.0
	for range 12 {
		x = over(x, plus(num(1), root(plus(num(1), times(x, x)))))
		factor *= 2
	}
	power, square := x, times(x, x)
	k := -1.0
	sum := series(x, func(_ *big.Float, n int) *big.Float {
		power = times(power, square)
		k = -k
		return over(times(power, num(-k)), num(float64(2*n+1)))
	})
	return times(sum, num(factor))
}

func sineOf(x *big.Float) *big.Float { // radians
	square := times(x, x)
	return series(x, func(t *big.Float, k int) *big.Float {
		return over(times(t, square), num(-float64(2*k*(2*k+1))))
	})
}

func newPrecise() *precise {
	return &precise{env: map[string]*big.Float{}, pi: times(num(4), arctangent(num(1)))}
}

func (p *precise) degrees(rad *big.Float) *big.Float { return over(times(rad, num(180)), p.pi) }

// sine of degrees, reduced to half a turn.
func (p *precise) sine(deg *big.Float) *big.Float {
	turns, _ := over(deg, num(360)).Int(nil)
	deg = lessBy(deg, times(num(360), new(big.Float).SetPrec(bits).SetInt(turns)))
	return sineOf(over(times(deg, p.pi), num(180)))
}

func (p *precise) holds(n *node) bool {
	if n.fn.holds != nil {
		s := lessBy(p.of(n.args[0]), p.of(n.args[1])).Sign()
		return map[string]bool{"<": s < 0, "<=": s <= 0, ">": s > 0, ">=": s >= 0, "==": s == 0, "!=": s != 0}[n.fn.name]
	}
	a := p.holds(n.args[0])
	switch n.fn.name {
	case "!":
		return !a
	case "&&":
		return a && p.holds(n.args[1])
	}
	return a || p.holds(n.args[1])
}

func (p *precise) of(n *node) *big.Float {
	switch {
	case n.name != "":
		return p.env[n.name]
	case n.fn == nil && n.value.Exact():
		return new(big.Float).SetPrec(bits).SetRat(n.value.Rat())
	case n.fn == nil:
		return p.pi
	case n.fn.name == "if" && p.holds(n.args[0]):
		return p.of(n.args[1])
	case n.fn.name == "if":
		return p.of(n.args[2])
	}
	var a []*big.Float
	for _, x := range n.args {
		a = append(a, p.of(x))
	}
	x := a[0]
	switch n.fn.name {
	case "+":
		return plus(x, a[1])
	case "-":
		if len(a) == 1 {
			return new(big.Float).Neg(x)
		}
		return lessBy(x, a[1])
	case "*":
		return times(x, a[1])
	case "/":
		return over(x, a[1])
	case "abs":
		return new(big.Float).Abs(x)
	case "min", "max":
		for _, y := range a[1:] {
			if c := y.Cmp(x); c < 0 && n.fn.name == "min" || c > 0 && n.fn.name == "max" {
				x = y
			}
		}
		return x
	case "sqrt":
		return root(x)
	case "hypot":
		return root(plus(times(x, x), times(a[1], a[1])))
	case "pow":
		k, _ := a[1].Int64()
		y := num(1)
		for range max(k, -k) {
			y = times(y, x)
		}
		if k < 0 {
			return over(num(1), y)
		}
		return y
	case "sin":
		return p.sine(x)
	case "cos":
		return p.sine(plus(x, num(90)))
	case "tan":
		return over(p.sine(x), p.sine(plus(x, num(90))))
	case "asin", "acos":
		y := p.degrees(arctangent(over(x, root(lessBy(num(1), times(x, x))))))
		if n.fn.name == "acos" {
			y = lessBy(num(90), y)
		}
		return y
	case "atan":
		return p.degrees(arctangent(x))
	}
	// atan2, with the run above zero as the formulas are drawn
	return p.degrees(arctangent(over(x, a[1])))
}

// Random formulas lie within their stated error of an evaluation with 300 bits, and
// that error is small against what goes into them.
func TestValueAgainstHighPrecision(t *testing.T) {
	p := newPrecise()
	want, _ := new(big.Float).SetPrec(bits).SetString("3.14159265358979323846264338327950288419716939937510582097494459230781640628620899862803482534211706798214808651")
	gap := lessBy(p.pi, want)
	assert.Less(t, gap.MantExp(nil), -bits+10, "pi, digits as printed in handbooks")
	compared := 0
	rapid.Check(t, func(t *rapid.T) {
		d := drawFormula(t, 0)
		r := evaluated(t, d)
		if r == nil {
			return
		}
		for _, in := range d.in {
			p.env[in.Name] = new(big.Float).SetPrec(bits).SetRat(in.Value.Nominal.Rat())
		}
		exact, _ := p.of(d.e.root).Rat(nil)
		off := new(big.Rat).Sub(r.Value.Rat(), exact)
		allowed := new(big.Rat).Add(r.Value.Bound(), new(big.Rat).SetFrac64(1, 1<<62))
		assert.LessOrEqual(t, off.Abs(off).Cmp(allowed), 0, "%s = %s", d.e, r.Value)
		compared++
		// The form for simulations agrees too, but for a condition that rounding turns
		// over.
		x := make([]float64, 0, len(d.in))
		for _, in := range d.in {
			x = append(x, toFloat(in.Value.Nominal.Rat()))
		}
		want, _ := exact.Float64()
		if f := d.e.Float()(x); !strings.Contains(d.e.String(), "if(") {
			assert.InEpsilon(t, 1e6+want, 1e6+f, 1e-9, "%s", d.e)
		}
	})
	assert.Greater(t, compared, 50)
}
