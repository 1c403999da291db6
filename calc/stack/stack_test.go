package stack

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/formula"
	"tenths/calc/quantity"
)

const data = "../../testdata/stacks/" // sources in its README

type tester interface {
	Helper()
	Errorf(format string, args ...any)
	FailNow()
}

func toleranced(t tester, text string) quantity.Toleranced {
	t.Helper()
	v, err := quantity.ParseToleranced(text, quantity.Inch)
	require.NoError(t, err, text)
	return v
}

// of builds a stack from a formula, limits, and names with values.
func of(t tester, text, limits string, pairs ...string) Stack {
	t.Helper()
	e, err := formula.Parse(text)
	require.NoError(t, err)
	s := Stack{Expr: e, Limits: toleranced(t, limits)}
	for i := 0; i+1 < len(pairs); i += 2 {
		s.Inputs = append(s.Inputs, formula.Input{Name: pairs[i], Value: toleranced(t, pairs[i+1])})
	}
	return s
}

// Four parts in a housing, 5.3 of the check values: both ways fail the window.
func TestPocket(t *testing.T) {
	s := of(t, "w - a - b - c", "0.10..0.50 mm", "w", "20.200 ±0.05 mm", "a", "6.000 ±0.10 mm", "b", "9.000 ±0.12 mm", "c", "5.000 ±0.08 mm")
	st, err := Judge(s)
	require.NoError(t, err)
	assert.Equal(t, "0.200 mm", st.Result.Value.String())
	assert.Equal(t, "-0.25 mm", st.BelowRoom.String(), "-0.15 against 0.10")
	assert.Equal(t, "-0.05 mm", st.AboveRoom.String(), "0.55 against 0.50")
	assert.Equal(t, quantity.Below, st.Worst)
	assert.True(t, st.HasRSS)
	assert.Equal(t, quantity.Below, st.RSS, "0.0175 against 0.10")
	// s = 0.18248288/3; (0.2 - 0.1)/s = 1.644.
	assert.InDelta(t, 0.050093, st.Below, 5e-6, "standard normal table")
	assert.InDelta(t, 4.07e-7, st.Above, 1e-8)
	require.Len(t, st.First, 4)
	assert.Equal(t, "b", st.First[0].Name)
	assert.True(t, st.First[0].To.IsZeroValue(), "0.25 too much is more than its 0.12")
	assert.Less(t, st.First[0].Keep, 0.0)
	// With costs the cheap one comes first: 0.08/1 against 0.12/3 and so on.
	s.Costs = map[string]float64{"w": 2, "a": 3, "b": 3, "c": 1}
	st, err = Judge(s)
	require.NoError(t, err)
	assert.Equal(t, []string{"c", "b", "a", "w"}, []string{st.First[0].Name, st.First[1].Name, st.First[2].Name, st.First[3].Name})
	// What one alone must come down to.
	s.Limits = toleranced(t, "-0.10..0.60 mm")
	s.Costs, s.Fixed = nil, []string{"b"}
	st, err = Judge(s)
	require.NoError(t, err)
	assert.Equal(t, "a", st.First[0].Name, "b stays as it is")
	assert.InDelta(t, 0.5, st.First[0].Keep, 1e-12)
	assert.InDelta(t, 0.05, st.First[0].To.Float(), 1e-12)
}

// The motor, 5.1: the gap is negative in the worst case (printed -0.034) and inside
// by root sum square (printed 0.0234 to 0.0996).
func TestMotor(t *testing.T) {
	s := of(t, "-A + B + X + D + E + Q + G + H + I - J + depth", "0..0.2 in", "A", "0.375 +0/-0.031", "B", "0.032 ±0.002", "X", "0.060 ±0.003", "D", "0.438 +0/-0.015",
		"E", "0.120 ±0.005", "Q", "1.500 +0.010/-0.004", "G", "0.120 ±0.005", "H", "0.438 +0/-0.015", "I", "0.450 ±0.007", "J", "3.019 +0.012/-0", "depth", "0.300 ±0.030")
	st, err := Judge(s)
	require.NoError(t, err)
	assert.Equal(t, quantity.Below, st.Worst)
	assert.Equal(t, "-0.034 in", st.BelowRoom.String())
	assert.Equal(t, quantity.Inside, st.RSS)
	assert.Equal(t, "depth", st.First[0].Name)
	assert.Less(t, st.Below, 1e-6)
}

// Shaft and bearings, 5.2: three bought parts fixed, ±0.015 shared out in proportion
// to what there is. Printed factors 0.47222 and 1.39526, tolerances 0.00378, 0.00094,
// 0.00283, 0.00094 and 0.01116, 0.00279, 0.00837, 0.00279.
func TestShaftAllotment(t *testing.T) {
	f, err := os.Open(data + "stack_shaft7.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var text string
	var pairs, fixed []string
	for _, r := range rows[1:] {
		text += map[string]string{"-1": " - x", "1": " + x"}[r[2]] + r[0]
		pairs = append(pairs, "x"+r[0], r[1]+" ±"+r[3])
		if r[4] == "1" {
			fixed = append(fixed, "x"+r[0])
		}
	}
	s := of(t, text, "0.0199 ±0.015 in", pairs...)
	s.Fixed = fixed
	require.Len(t, fixed, 3)
	for _, c := range []struct {
		statistical bool
		factor      float64
		want        map[string]float64
	}{
		{false, 0.472222222222222, map[string]float64{"xB": 0.00378, "xD": 0.00094, "xE": 0.00283, "xF": 0.00094}},
		{true, 1.3952631505416, map[string]float64{"xB": 0.01116, "xD": 0.00279, "xE": 0.00837, "xF": 0.00279}},
	} {
		a, err := Allot(s, Scaled, c.statistical)
		require.NoError(t, err)
		assert.Zero(t, a.Off.Sign())
		assert.Equal(t, "0.015 in", a.Room.String())
		for _, item := range a.Items {
			if item.Fixed {
				assert.Zero(t, item.Half.Rat().Cmp(item.Before.Rat()))
				continue
			}
			got := item.Half.FloatIn(quantity.Inch)
			assert.InDelta(t, c.want[item.Name], got, 0.000015, "printed; ours is rounded down")
			exact := c.factor * item.Before.FloatIn(quantity.Inch)
			assert.LessOrEqual(t, got, exact+1e-12, "rounded down")
			assert.Less(t, exact-got, 0.00001)
		}
	}
}

// Equal tolerances, and those by least cost, by hand; the least cost against all
// neighbours.
func TestAllotments(t *testing.T) {
	s := of(t, "a - 2*b", "0 ±0.3 mm", "a", "10 mm ±0.2", "b", "5 mm ±0.1")
	a, err := Allot(s, Equal, false)
	require.NoError(t, err)
	assert.Equal(t, []string{"0.1000 mm", "0.1000 mm"}, halves(a), "t + 2t = 0.3")
	a, err = Allot(s, Equal, true)
	require.NoError(t, err)
	assert.Equal(t, []string{"0.1341 mm", "0.1341 mm"}, halves(a), "5 t² = 0.09, rounded down")
	// Costs 4·0.2/t and 1·0.1/t: t in proportion to sqrt(0.8) and sqrt(0.1/2).
	s.Costs = map[string]float64{"a": 4, "b": 1}
	a, err = Allot(s, LeastCost, false)
	require.NoError(t, err)
	k := 0.3 / (math.Sqrt(0.8) + 2*math.Sqrt(0.05))
	assert.InDelta(t, k*math.Sqrt(0.8), a.Items[0].Half.Float(), 1e-4)
	assert.InDelta(t, k*math.Sqrt(0.05), a.Items[1].Half.Float(), 1e-4)
	assert.Equal(t, 5.0, a.CostBefore)
	for _, statistical := range []bool{false, true} {
		a, err := Allot(s, LeastCost, statistical)
		require.NoError(t, err)
		cost := func(x float64) float64 {
			y := (0.3 - x) / 2
			if statistical {
				y = math.Sqrt(0.09-x*x) / 2
			}
			return 4*0.2/x + 0.1/y
		}
		at := a.Items[0].Half.Float()
		assert.InDelta(t, cost(at), a.Cost, 0.02)
		for _, off := range []float64{-0.02, -0.005, 0.005, 0.02} {
			assert.Greater(t, cost(at+off), cost(at), "%v %g", statistical, off)
		}
	}
	// An off-centre stack has the room of the nearer side.
	s = of(t, "a - b", "0..0.5 mm", "a", "10 mm ±0.2", "b", "9.9 mm ±0.1")
	a, err = Allot(s, Scaled, false)
	require.NoError(t, err)
	assert.Equal(t, "0.1 mm", a.Room.String())
	assert.Equal(t, "-0.15 mm", a.Off.String())
	assert.Equal(t, []string{"0.0666 mm", "0.0333 mm"}, halves(a))
	assert.Equal(t, quantity.Inside, must(Judge(Stack{Expr: s.Expr, Limits: s.Limits, Inputs: given(a, s)})).Worst)
}

func given(a *Allotment, s Stack) []formula.Input {
	var out []formula.Input
	for _, item := range a.Items {
		low, _ := item.Middle.Sub(item.Half)
		high, _ := item.Middle.Add(item.Half)
		out = append(out, formula.Input{Name: item.Name, Value: quantity.Toleranced{Nominal: item.Middle, Lower: low, Upper: high}})
	}
	return out
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func halves(a *Allotment) []string {
	var out []string
	for _, i := range a.Items {
		out = append(out, i.Half.String())
	}
	return out
}

// The tolerance unit against the table of ISO 286-1: IT7 is 16 i at the geometric mean
// of the range, rounded; values of the standard's table.
func TestToleranceUnit(t *testing.T) {
	for _, c := range []struct{ from, to, it7, off float64 }{
		{6, 10, 15, 0.7}, {10, 18, 18, 0.7}, {18, 30, 21, 0.7}, {30, 50, 25, 0.7}, {50, 80, 30, 0.7}, {80, 120, 35, 0.7}, {120, 180, 40, 0.7}, {180, 250, 46, 0.9}, {400, 500, 63, 0.9},
		{500, 630, 70, 1.5}, {800, 1000, 90, 1.5}, {2500, 3150, 210, 4},
	} {
		u, err := ToleranceUnit(math.Sqrt(c.from * c.to))
		require.NoError(t, err)
		assert.InDelta(t, c.it7, 16*u, c.off, "%g to %g mm", c.from, c.to)
	}
	_, err := ToleranceUnit(4000)
	assert.Error(t, err)
	s := of(t, "a - b - c", "0 ±0.1 mm", "a", "100 mm", "b", "60 mm", "c", "40 mm")
	a, err := Allot(s, BySize, false)
	require.NoError(t, err)
	require.Len(t, a.Items, 3, "inputs without a tolerance take part")
	unit := func(d float64) float64 { return 0.45*math.Cbrt(d) + 0.001*d }
	for _, item := range a.Items {
		assert.InDelta(t, 0.1*unit(item.Middle.Float())/(unit(100)+unit(60)+unit(40)), item.Half.Float(), 1e-4)
	}
}

// A formula that bends: what is allotted keeps the limits by the real worst case.
func TestAllotmentOfCurvedFormula(t *testing.T) {
	s := of(t, "hypot(x, y) + x*x/(1*in)", "3.4..4.6 in", "x", "1 in ±0.1", "y", "2.83 in ±0.1")
	for _, m := range []Method{Equal, Scaled, BySize} {
		a, err := Allot(s, m, false)
		require.NoError(t, err)
		c, err := a.Result.WorstUpper.Cmp(s.Limits.Upper)
		require.NoError(t, err)
		assert.LessOrEqual(t, c, 0)
		assert.Greater(t, a.Result.WorstUpper.FloatIn(quantity.Inch), 4.58, "and wastes little")
	}
}

func TestRefusals(t *testing.T) {
	base := func() Stack {
		return of(t, "a - b", "0..0.5 mm", "a", "10 mm ±0.2", "b", "9.8 mm ±0.1")
	}
	for _, c := range []struct {
		says   string
		method Method
		change func(s *Stack)
	}{
		{"needs limits", Scaled, func(s *Stack) { s.Limits = toleranced(t, "1 mm") }},
		{"z is to stay as it is", Scaled, func(s *Stack) { s.Fixed = []string{"z"} }},
		{"z has a cost", Scaled, func(s *Stack) { s.Costs = map[string]float64{"z": 1} }},
		{"a: a cost of -1", Scaled, func(s *Stack) { s.Costs = map[string]float64{"a": -1, "b": 1} }},
		{"b has no cost and others have", Scaled, func(s *Stack) { s.Costs = map[string]float64{"a": 1} }},
		{"a has no cost; state", LeastCost, func(s *Stack) {}},
		{"no input is left", Scaled, func(s *Stack) { s.Fixed = []string{"a", "b"} }},
		{"the fixed inputs alone take all of the ±0.01 mm", Scaled, func(s *Stack) { s.Limits, s.Fixed = toleranced(t, "0.2 ±0.01 mm"), []string{"b"} }},
		{"change a nominal size first", Scaled, func(s *Stack) { s.Limits = toleranced(t, "1 ±0.01 mm") }},
		{"a moves with reamer", Scaled, func(s *Stack) { s.Inputs[0].Common = formula.Common{Source: "reamer", Part: 1} }},
		{"is no way to share out", "fair", func(s *Stack) {}},
		{"not", Scaled, func(s *Stack) { s.Limits = toleranced(t, "1 deg ±1") }},
		{"without slopes", Scaled, func(s *Stack) { s.Expr = must(formula.Parse("abs(a - b - 0.2*mm)")) }},
	} {
		s := base()
		c.change(&s)
		_, err := Allot(s, c.method, false)
		assert.ErrorContains(t, err, c.says)
	}
}

// Whatever is allotted keeps the limits and does not depend on the unit of an input.
func TestAllotmentKeepsLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var text string
		var inch, metric []string
		costs := map[string]float64{}
		sum := 0.0
		for i := range rapid.IntRange(1, 6).Draw(t, "inputs") {
			name := fmt.Sprintf("x%d", i)
			sign := rapid.SampledFrom([]string{"+", "-"}).Draw(t, "sign")
			text += " " + sign + " " + name
			n, w := rapid.IntRange(1, 5000).Draw(t, "nominal"), rapid.IntRange(1, 90).Draw(t, "half")
			inch = append(inch, name, fmt.Sprintf("%d thou ±%d", n, w))
			metric = append(metric, name, fmt.Sprintf("%.4f mm ±%.4f", float64(n)*0.0254, float64(w)*0.0254))
			costs[name] = float64(rapid.IntRange(1, 20).Draw(t, "cost"))
			sum += map[string]float64{"+": 1, "-": -1}[sign] * float64(n)
		}
		limits := fmt.Sprintf("%.0f thou ±%d", sum, rapid.IntRange(1, 60).Draw(t, "room"))
		m, statistical := rapid.SampledFrom(Methods()).Draw(t, "method"), rapid.Bool().Draw(t, "statistical")
		one, two := of(t, text, limits, inch...), of(t, text, limits, metric...)
		one.Costs, two.Costs = costs, costs
		a, err := Allot(one, m, statistical)
		require.NoError(t, err)
		b, err := Allot(two, m, statistical)
		require.NoError(t, err)
		total := 0.0
		for i, item := range a.Items {
			h := item.Half.FloatIn(quantity.Inch)
			assert.InDelta(t, h, b.Items[i].Half.FloatIn(quantity.Inch), 0.00002, "but for the rounding down")
			assert.Positive(t, h)
			if statistical {
				h *= h
			}
			total += h
		}
		room, _ := one.Limits.HalfWidth()
		most := room.FloatIn(quantity.Inch)
		if statistical {
			total = math.Sqrt(total)
		}
		assert.LessOrEqual(t, total, most+1e-12)
		assert.Greater(t, total, 0.97*most-0.0001)
	})
}
