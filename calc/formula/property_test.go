package formula

import (
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/quantity"
	"tenths/calc/uncertainty"
)

// The properties draw formulas over two lengths a and b, an angle w and a plain
// number x, with the right dimension at every node.

func drawLength(t *rapid.T, depth int) string {
	if depth == 0 {
		return rapid.SampledFrom([]string{"a", "b", "0.75*in", "3*mm"}).Draw(t, "length")
	}
	l := func() string { return drawLength(t, depth-1) }
	switch rapid.IntRange(0, 10).Draw(t, "length form") {
	case 0:
		return "(" + l() + " + " + l() + ")"
	case 1:
		return "(" + l() + " - " + l() + ")"
	case 2:
		return drawNumber(t, depth-1) + "*" + l()
	case 3:
		return "(-" + l() + ")"
	case 4:
		return "hypot(" + l() + ", 2*in)"
	case 5:
		return "sqrt(" + l() + "*" + l() + " + 900*in*in)"
	case 6:
		return "abs(" + l() + ")"
	case 7:
		return "max(" + l() + ", " + l() + ")"
	case 8:
		return l() + "*sin(" + drawAngle(t, depth-1) + ")"
	case 9:
		return "if(" + drawCondition(t, depth-1) + ", " + l() + ", " + l() + ")"
	}
	return "min(" + l() + ", " + l() + ", " + l() + ")"
}

func drawCondition(t *rapid.T, depth int) string {
	switch rapid.IntRange(0, 3).Draw(t, "condition form") {
	case 0:
		return "!(" + drawLength(t, depth) + " > " + drawLength(t, depth) + ")"
	case 1:
		return drawLength(t, depth) + " != " + drawLength(t, depth) + " && w < 1*deg"
	case 2:
		return drawNumber(t, depth) + " >= 0 || a == b"
	}
	return drawLength(t, depth) + " <= " + drawLength(t, depth)
}

func drawNumber(t *rapid.T, depth int) string {
	if depth == 0 {
		return rapid.SampledFrom([]string{"x", "0.3", "(-2)"}).Draw(t, "number")
	}
	switch rapid.IntRange(0, 5).Draw(t, "number form") {
	case 0:
		return "(" + drawLength(t, depth-1) + "/(abs(" + drawLength(t, depth-1) + ") + 1*in))"
	case 1:
		return "cos(" + drawAngle(t, depth-1) + ")"
	case 2:
		return "pow(" + drawNumber(t, depth-1) + ", 3)"
	case 3:
		return "(" + drawNumber(t, depth-1) + " + " + drawNumber(t, depth-1) + ")"
	case 4:
		return "pow(1 + abs(" + drawNumber(t, depth-1) + "), -2)"
	}
	return drawNumber(t, 0)
}

func drawAngle(t *rapid.T, depth int) string {
	if depth == 0 {
		return rapid.SampledFrom([]string{"w", "20*deg"}).Draw(t, "angle")
	}
	switch rapid.IntRange(0, 4).Draw(t, "angle form") {
	case 0:
		return "atan(" + drawNumber(t, depth-1) + ")"
	case 1:
		return "atan2(" + drawLength(t, depth-1) + ", abs(" + drawLength(t, depth-1) + ") + 1*in)"
	case 2:
		return "asin(" + drawNumber(t, depth-1) + "/1000000)"
	case 3:
		return drawNumber(t, depth-1) + "*" + drawAngle(t, depth-1)
	}
	return drawAngle(t, 0)
}

// drawn is a formula with toleranced inputs for exactly its names.
type drawn struct {
	e       *Expr
	in      []Input
	digits  map[string]int64 // nominal in 1e-4 of the unit
	plus    map[string]int64 // deviations in 1e-4 of the unit
	minus   map[string]int64
	unitFor map[string]string
}

// spreads and common sources for the inputs of a drawn formula, in parts of the
// tolerance, so that they do not depend on its unit.
func (d *drawn) spread(t *rapid.T) {
	for i := range d.in {
		in := &d.in[i]
		half, _ := in.Value.HalfWidth()
		in.Spread.Shape = rapid.SampledFrom([]uncertainty.Shape{"", uncertainty.Normal, uncertainty.Uniform, uncertainty.Triangular, uncertainty.Arcsine}).Draw(t, in.Name+" shape")
		if in.Spread.Shape == "" && rapid.Bool().Draw(t, in.Name+" stated") {
			in.Spread.SD = half.Scale(big.NewRat(2, 5))
		}
		if d.unitFor[in.Name] == "in" && half.Sign() > 0 && rapid.Bool().Draw(t, in.Name+" common") {
			in.Spread = Spread{Shape: uncertainty.Uniform}
			in.Common = Common{Source: "one cutter", Part: rapid.SampledFrom([]float64{0.25, 0.6, 1}).Draw(t, in.Name+" part"), Against: rapid.Bool().Draw(t, in.Name+" against")}
		}
	}
}

func drawFormula(t *rapid.T, width int64) drawn {
	d := drawn{digits: map[string]int64{}, plus: map[string]int64{}, minus: map[string]int64{}, unitFor: map[string]string{"a": "in", "b": "in", "w": "deg", "x": "%"}}
	d.e = parsed(t, drawLength(t, rapid.IntRange(1, 4).Draw(t, "depth")))
	for _, n := range d.e.Names() {
		d.digits[n] = rapid.Int64Range(-30_000, 30_000).Draw(t, n)
		d.plus[n] = rapid.Int64Range(0, width).Draw(t, n+" plus")
		d.minus[n] = rapid.Int64Range(0, width).Draw(t, n+" minus")
		d.in = append(d.in, given(t, n, d.text(n, d.unitFor[n], "1")))
	}
	return d
}

// text writes an input in a unit, of which k make one of its own.
func (d drawn) text(n, unit, k string) string {
	scale, ok := new(big.Rat).SetString(k)
	if !ok {
		return ""
	}
	w := func(v int64) string {
		return new(big.Rat).Mul(scale, big.NewRat(v, 10_000)).FloatString(8)
	}
	return fmt.Sprintf("%s %s +%s/-%s", w(d.digits[n]), unit, w(d.plus[n]), w(d.minus[n]))
}

// evaluated evaluates a drawn formula; out-of-domain draws are left out.
func evaluated(t *rapid.T, d drawn) *Result {
	r, err := d.e.Eval(d.in, Options{})
	if err != nil {
		var p *Error
		require.ErrorAs(t, err, &p)
		return nil
	}
	return r
}

// Slopes of the program against central differences of plain evaluations. The
// step is small against the sizes; where the slope itself changes within the
// step, at a fold of abs, min or max, it bounds the difference.
func TestSlopesAgainstCentralDifference(t *testing.T) {
	compared := 0
	rapid.Check(t, func(t *rapid.T) {
		d := drawFormula(t, 0)
		for i, varied := range d.in {
			r := evaluated(t, d)
			if r == nil || r.NoSlope != nil {
				return
			}
			h := big.NewRat(1, 1_000_000) // of the base unit
			at := func(k int64) *Result {
				moved := drawn{e: d.e, in: append([]Input{}, d.in...)}
				q, err := varied.Value.Nominal.Add(quantity.New(new(big.Rat).Mul(h, big.NewRat(k, 1)), quantity.BaseUnit(varied.Value.Nominal.Dim())))
				require.NoError(t, err)
				moved.in[i].Value = quantity.Toleranced{Nominal: q}
				return evaluated(t, moved)
			}
			if strings.Contains(d.e.String(), "if(") {
				// A condition that turns over within the step has no slope.
				near := drawn{e: d.e, in: append([]Input{}, d.in...)}
				q := varied.Value.Nominal
				width := quantity.New(new(big.Rat).Add(h, h), quantity.BaseUnit(q.Dim()))
				low, err1 := q.Sub(width)
				high, err2 := q.Add(width)
				require.NoError(t, err1)
				require.NoError(t, err2)
				near.in[i].Value = quantity.Toleranced{Nominal: q, Lower: low, Upper: high}
				if n := evaluated(t, near); n == nil || n.NoSlope != nil {
					continue
				}
			}
			above, below := at(1), at(-1)
			if above == nil || below == nil || above.NoSlope != nil || below.NoSlope != nil {
				return
			}
			diff := new(big.Rat).Sub(above.Value.Rat(), below.Value.Rat())
			central, _ := diff.Quo(diff, new(big.Rat).Add(h, h)).Float64()
			s := func(r *Result) float64 {
				for _, c := range r.Contributors {
					if c.Name == varied.Name {
						return c.Sensitivity.Float()
					}
				}
				return math.NaN()
			}
			slope := s(r)
			slack := 1e-7*(1+math.Abs(slope)+math.Abs(r.Value.Float())) + math.Abs(s(above)-slope) + math.Abs(s(below)-slope)
			assert.InDelta(t, central, slope, slack, "%s for %s", d.e, varied.Name)
			compared++
		}
	})
	assert.Greater(t, compared, 50, "too few formulas were compared")
}

// The unit in which an input is written changes no result at all.
func TestUnitOfInputChangesNothing(t *testing.T) {
	others := map[string][][2]string{
		"in":  {{"mm", "25.4"}, {"thou", "1000"}, {"tenths", "10000"}, {"um", "25400"}, {"in", "1"}},
		"deg": {{"arcmin", "60"}, {"arcsec", "3600"}},
		"%":   {{"ppm", "10000"}},
	}
	rapid.Check(t, func(t *rapid.T) {
		d := drawFormula(t, 2000)
		d.spread(t)
		r := evaluated(t, d)
		if r == nil {
			return
		}
		other := drawn{e: d.e}
		for _, n := range d.e.Names() {
			o := rapid.SampledFrom(others[d.unitFor[n]]).Draw(t, n+" written in")
			in := given(t, n, d.text(n, o[0], o[1]))
			for _, first := range d.in {
				if first.Name == n {
					in.Common, in.Spread = first.Common, first.Spread
				}
			}
			if sd := in.Spread.SD; !sd.IsZeroValue() {
				in.Spread.SD, _ = sd.As(in.Value.Nominal.Unit())
			}
			other.in = append(other.in, in)
		}
		r2 := evaluated(t, other)
		require.NotNil(t, r2)
		same := func(a, b quantity.Quantity, what string) {
			assert.Equal(t, a.IsZeroValue(), b.IsZeroValue(), what)
			assert.Zero(t, a.Rat().Cmp(b.Rat()), "%s of %s: %s and %s", what, d.e, a, b)
			assert.Zero(t, a.Bound().Cmp(b.Bound()), "bound of %s of %s", what, d.e)
		}
		same(r.Value, r2.Value, "value")
		same(r.WorstLower, r2.WorstLower, "lower")
		same(r.WorstUpper, r2.WorstUpper, "upper")
		same(r.Gap, r2.Gap, "gap")
		same(r.Centre, r2.Centre, "centre")
		same(r.RSS, r2.RSS, "root sum square")
		same(r.SD, r2.SD, "standard deviation")
		require.Len(t, r2.Contributors, len(r.Contributors))
		for i, c := range r.Contributors {
			same(c.Sensitivity, r2.Contributors[i].Sensitivity, "sensitivity to "+c.Name)
			same(c.HalfWidth, r2.Contributors[i].HalfWidth, "half-width of "+c.Name)
			same(c.EffectSD, r2.Contributors[i].EffectSD, "effect of "+c.Name)
			assert.Equal(t, c.WorstShare, r2.Contributors[i].WorstShare)
		}
		assert.Equal(t, r.Method, r2.Method)
	})
}

// The worst case holds every corner and everything between, however it was found.
func TestWorstCaseHoldsSamples(t *testing.T) {
	methods := map[Method]int{}
	rapid.Check(t, func(t *rapid.T) {
		d := drawFormula(t, 3000)
		r := evaluated(t, d)
		if r == nil {
			return
		}
		methods[r.Method]++
		for range 5 {
			corner := rapid.Bool().Draw(t, "corner")
			sample := drawn{e: d.e}
			for _, in := range d.in {
				w, ok := in.Value.Width()
				require.True(t, ok)
				part := big.NewRat(rapid.Int64Range(0, 16).Draw(t, in.Name+" place"), 16)
				if corner {
					part = big.NewRat(rapid.Int64Range(0, 1).Draw(t, in.Name+" end"), 1)
				}
				q, err := in.Value.Lower.Add(w.Scale(part))
				require.NoError(t, err)
				sample.in = append(sample.in, Input{Name: in.Name, Value: quantity.Toleranced{Nominal: q}})
			}
			s := evaluated(t, sample)
			require.NotNil(t, s, "%s fails inside its limits", d.e)
			assert.True(t, holds(r.WorstLower, r.WorstUpper, s.Value), "%s (%s): %s outside %s..%s", d.e, r.Method, s.Value, r.WorstLower, r.WorstUpper)
		}
		assert.True(t, holds(r.WorstLower, r.WorstUpper, r.Centre))
	})
	for _, m := range []Method{Linear, Independent, Corners, Searched} {
		assert.NotZero(t, methods[m], "no formula with method %s", m)
	}
}

// The worst case holds every draw of a simulation, with any shapes within the
// limits and common sources between the inputs.
func TestWorstCaseHoldsSimulation(t *testing.T) {
	ran := 0
	rapid.Check(t, func(t *rapid.T) {
		d := drawFormula(t, 3000)
		d.spread(t)
		r := evaluated(t, d)
		if r == nil || ran > 60 {
			return
		}
		sim, err := d.e.Simulate(d.in, SimOptions{MaxTrials: 20_000, Seed: 7})
		if err != nil {
			assert.ErrorContains(t, err, "nothing varies", "%s", d.e)
			return
		}
		ran++
		slack := 1e-9 * (1 + math.Abs(r.WorstLower.Float()) + math.Abs(r.WorstUpper.Float()))
		assert.GreaterOrEqual(t, sim.Least.Float(), r.WorstLower.Float()-slack, "%s (%s)", d.e, r.Method)
		assert.LessOrEqual(t, sim.Most.Float(), r.WorstUpper.Float()+slack, "%s (%s)", d.e, r.Method)
		if r.Linear && r.SD.Sign() > 0 {
			// A normal spread cut off at 2.5 or 3 standard deviations has less.
			assert.InEpsilon(t, r.SD.Float(), sim.SD.Float(), 0.12, "%s", d.e)
			assert.InDelta(t, r.Centre.Float(), sim.Mean.Float(), 6*r.SD.Float()/math.Sqrt(float64(sim.Trials)), "%s", d.e)
		}
	})
	assert.Greater(t, ran, 20)
}

// A formula in parts is the whole: the parts are put in its place by Replace.
func TestChainEqualsTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := drawFormula(t, 2000)
		part, outer := drawLength(t, 2), rapid.SampledFrom([]string{"p + 2*p*x", "hypot(p, a)", "p - b", "if(p < a, p, b)", "abs(p) - p/3", "p*cos(w)"}).Draw(t, "outer")
		text := strings.ReplaceAll(outer, "p", "("+part+")")
		text = strings.ReplaceAll(text, "hy("+part+")ot", "hypot")
		e := parsed(t, text)
		chain, err := parsed(t, outer).Replace(map[string]*Expr{"p": parsed(t, part)})
		require.NoError(t, err)
		require.ElementsMatch(t, e.Names(), chain.Names())
		var in []Input
		for _, n := range e.Names() {
			unit := whole.unitFor[n]
			in = append(in, given(t, n, fmt.Sprintf("%d %s ±%d", rapid.IntRange(-3, 3).Draw(t, n), unit, rapid.IntRange(0, 2).Draw(t, n+" half"))))
		}
		one, err1 := e.Eval(in, Options{})
		two, err2 := chain.Eval(in, Options{})
		require.Equal(t, err1 == nil, err2 == nil, "%s: %v, %v", text, err1, err2)
		if err1 != nil {
			return
		}
		for _, p := range [][2]quantity.Quantity{{one.Value, two.Value}, {one.WorstLower, two.WorstLower}, {one.WorstUpper, two.WorstUpper}, {one.RSS, two.RSS}} {
			require.Equal(t, p[0].IsZeroValue(), p[1].IsZeroValue())
			if !p[0].IsZeroValue() {
				assert.Zero(t, p[0].Rat().Cmp(p[1].Rat()), "%s: %s and %s", text, p[0], p[1])
			}
		}
		assert.Equal(t, one.Method, two.Method)
	})
}

// A linear stack: exactly the nominal plus the worse deviation of each term.
func TestLinearStackIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var terms []string
		var in []Input
		value, lower, upper, squares := new(big.Rat), new(big.Rat), new(big.Rat), new(big.Rat)
		for i := range rapid.IntRange(1, 20).Draw(t, "terms") {
			s := big.NewRat(rapid.Int64Range(-200, 200).Draw(t, "sensitivity"), 100)
			n := big.NewRat(rapid.Int64Range(1, 90_000).Draw(t, "nominal"), 10_000)
			devs := []int64{rapid.Int64Range(-50, 50).Draw(t, "deviation"), rapid.Int64Range(-50, 50).Draw(t, "deviation")}
			lo, hi := big.NewRat(min(devs[0], devs[1]), 10_000), big.NewRat(max(devs[0], devs[1]), 10_000)
			name := fmt.Sprintf("d%d", i)
			terms = append(terms, "("+s.FloatString(2)+")*"+name)
			in = append(in, given(t, name, fmt.Sprintf("%s mm %s/%s", n.FloatString(4), signed(hi), signed(lo))))
			value.Add(value, new(big.Rat).Mul(s, n))
			a, b := new(big.Rat).Mul(s, lo), new(big.Rat).Mul(s, hi)
			if a.Cmp(b) > 0 {
				a, b = b, a
			}
			lower.Add(lower, a)
			upper.Add(upper, b)
			half := new(big.Rat).Quo(b.Sub(b, a), big.NewRat(2, 1))
			squares.Add(squares, half.Mul(half, half))
		}
		r := eval(t, strings.Join(terms, " + "), in...)
		assert.True(t, r.Linear && r.Exact)
		assert.Zero(t, r.Value.Rat().Cmp(value))
		assert.Zero(t, r.WorstLower.Rat().Cmp(lower.Add(lower, value)))
		assert.Zero(t, r.WorstUpper.Rat().Cmp(upper.Add(upper, value)))
		f, _ := squares.Float64()
		assert.InEpsilon(t, 1+math.Sqrt(f), 1+r.RSS.Float(), 1e-14)
	})
}

func signed(v *big.Rat) string {
	if v.Sign() < 0 {
		return v.FloatString(4)
	}
	return "+" + v.FloatString(4)
}

// Two names with one source are one name.
func TestSourceIsAsOneName(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawFormula(t, 1000)
		if len(d.digits) == 0 || !strings.Contains(d.e.String(), "a") {
			return
		}
		r := evaluated(t, d)
		if r == nil || len(d.e.Names()) == 0 {
			return
		}
		for i, n := range d.e.Names() {
			if n != "a" && n != "b" {
				continue
			}
			// n is used once more, under another name.
			d.in[i].Source = "the same " + n
			twin := d.in[i]
			twin.Name = "twin"
			one := drawn{e: parsed(t, d.e.String()+" + "+n), in: d.in}
			two := drawn{e: parsed(t, d.e.String()+" + twin"), in: append(append([]Input{}, d.in...), twin)}
			r1, r2 := evaluated(t, one), evaluated(t, two)
			require.Equal(t, r1 == nil, r2 == nil)
			if r1 == nil {
				return
			}
			assert.Zero(t, r1.WorstLower.Rat().Cmp(r2.WorstLower.Rat()))
			assert.Zero(t, r1.WorstUpper.Rat().Cmp(r2.WorstUpper.Rat()))
			assert.Zero(t, r1.RSS.Rat().Cmp(r2.RSS.Rat()))
			assert.Len(t, r2.Contributors, len(r1.Contributors))
		}
	})
}
