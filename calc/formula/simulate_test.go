package formula

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
	"tenths/calc/uncertainty"
)

// Source: JCGM 101:2008, 9.2, sum of four inputs, as a formula. The printed results
// are from memory; the targets are the exact ends of the 95 % interval, recomputed
// in R 4.2.2: 2√3·(2-(3/5)^¼) in closed form for four even inputs.
func TestSumOfFour(t *testing.T) {
	one := func(t *testing.T, name, sd string, shape uncertainty.Shape) Input {
		if shape == uncertainty.Uniform {
			in := given(t, name, "0..1 mm")
			half := quantity.FromFloat(math.Sqrt(3), quantity.Millimetre)
			if sd == "10" {
				half = half.Scale(rational(t, "10"))
			}
			in.Value = quantity.Toleranced{Nominal: half.Scale(rational(t, "0")), Lower: half.Neg(), Upper: half}
			in.Spread.Shape = shape
			return in
		}
		q, err := quantity.Parse(sd+" mm", quantity.Unit{})
		require.NoError(t, err)
		return Input{Name: name, Value: given(t, name, "0 mm").Value, Spread: Spread{Shape: shape, SD: q}}
	}
	for _, c := range []struct {
		shape    uncertainty.Shape
		last     string
		u, exact float64
	}{
		{uncertainty.Normal, "1", 2, 3.91992796908011},
		{uncertainty.Uniform, "1", 2, 2 * math.Sqrt(3) * (2 - math.Pow(0.6, 0.25))},
		{uncertainty.Uniform, "10", 10.1488915650922, 17.0158140998626},
	} {
		var in []Input
		for i, sd := range []string{"1", "1", "1", c.last} {
			in = append(in, one(t, fmt.Sprintf("x%d", i), sd, c.shape))
		}
		e := parsed(t, "x0 + x1 + x2 + x3")
		r, err := e.Eval(in, Options{})
		require.NoError(t, err)
		assert.InDelta(t, c.u, r.SD.Float(), 1e-9, "law of propagation, JCGM 100:2008, 5.1.2")
		s, err := e.Simulate(in, SimOptions{Seed: 3, MaxTrials: 1_000_000})
		require.NoError(t, err)
		// Half of the second digit of u, which the procedure makes sure of.
		tolerance := 0.05 * math.Pow10(int(math.Floor(math.Log10(c.u))))
		assert.True(t, s.Stable)
		assert.InDelta(t, 0, s.Mean.Float(), tolerance)
		assert.InDelta(t, c.u, s.SD.Float(), tolerance)
		assert.InDelta(t, -c.exact, s.Low.Float(), tolerance)
		assert.InDelta(t, c.exact, s.High.Float(), tolerance)
	}
}

// The fraction outside, against the distributions in closed form.
func TestFractionOutside(t *testing.T) {
	in := given(t, "x", "0 mm")
	in.Spread.SD = given(t, "s", "1 mm").Value.Nominal
	limits := given(t, "l", "-1..2 mm").Value
	s, err := parsed(t, "x").Simulate([]Input{in}, SimOptions{Limits: limits, Seed: 1})
	require.NoError(t, err)
	near := func(want, got float64) {
		assert.InDelta(t, want, got, 5*math.Sqrt(want*(1-want)/float64(s.Trials)))
	}
	near(0.158655253931457, s.Below) // standard normal table
	near(0.022750131948179, s.Above)
	// Even from 0 to 3: a third below 1, nothing above 3.
	u := given(t, "x", "1.5 mm ±1.5")
	u.Spread.Shape = uncertainty.Uniform
	s, err = parsed(t, "x").Simulate([]Input{u}, SimOptions{Limits: given(t, "l", "1..3 mm").Value, Seed: 2})
	require.NoError(t, err)
	near(1.0/3, s.Below)
	assert.Zero(t, s.Above)
	// One limit alone; and a spread cut off at its own limits, which leaves nothing.
	s, err = parsed(t, "2*x").Simulate([]Input{given(t, "x", "1 mm ±0.3")}, SimOptions{Limits: given(t, "l", "<= 2.6 mm").Value, Unit: quantity.Inch, Seed: 3})
	require.NoError(t, err)
	assert.Zero(t, s.Below+s.Above)
	assert.InDelta(t, 0.2*0.98658, s.SD.Float(), 0.003, "sqrt(1 - 6 φ(3)/(2Φ(3) - 1))")
	assert.Equal(t, "in", s.Mean.Unit().Name())
}

func TestSimulateRefuses(t *testing.T) {
	for _, c := range []struct {
		text string
		in   Input
		o    SimOptions
		says string
	}{
		{"x", given(t, "x", "1 mm"), SimOptions{}, "nothing varies"},
		{"x", given(t, "y", "1 mm ±0.1"), SimOptions{}, "there is no 'y'"},
		{"x", given(t, "x", "1 mm ±0.1"), SimOptions{Unit: quantity.Degree}, "gives a length, not an angle"},
		{"x", given(t, "x", "1 mm ±0.1"), SimOptions{Limits: given(t, "l", "1 deg ±1").Value}, "gives a length and its limits are an angle"},
		{"1/x", given(t, "x", "0 mm ±0.1"), SimOptions{}, "division by zero"},
		{"sqrt(x)", Input{Name: "x", Value: given(t, "x", "1 parts").Value, Spread: Spread{SD: plain(1)}}, SimOptions{}, "the simulation found no value"},
		{"x", Input{Name: "x", Value: given(t, "x", "1 mm").Value, Spread: Spread{Shape: uncertainty.Uniform}}, SimOptions{}, "is spread between its limits and has none"},
		{"x", Input{Name: "x", Value: given(t, "x", "1 mm ±1").Value, Spread: Spread{Shape: uncertainty.Uniform, SD: plain(1)}}, SimOptions{}, "takes no standard deviation"},
		{"x", Input{Name: "x", Value: given(t, "x", "1 mm").Value, Spread: Spread{SD: plain(1)}}, SimOptions{}, "a standard deviation of a plain number and is a length"},
		{"x", Input{Name: "x", Value: given(t, "x", "1 mm").Value, Spread: Spread{Shape: "bell"}}, SimOptions{}, "a spread 'bell'"},
		{"x", Input{Name: "x", Value: given(t, "x", "1 mm").Value, Spread: Spread{Shape: uncertainty.StudentsT, DF: 2}}, SimOptions{}, "more than 2 degrees of freedom"},
		{"x", Input{Name: "x", Value: given(t, "x", "1 mm").Value, Spread: Spread{SD: given(t, "x", "-1 mm").Value.Nominal}}, SimOptions{}, "below zero"},
	} {
		s, err := parsed(t, c.text).Simulate([]Input{c.in}, c.o)
		assert.ErrorContains(t, err, c.says)
		assert.Nil(t, s)
	}
}

// A t distribution has the scale SD and a larger standard deviation (JCGM 101:2008,
// 6.4.9): with 5 degrees of freedom √(5/3) times as large.
func TestStudentsT(t *testing.T) {
	in := Input{Name: "x", Value: given(t, "x", "0 mm").Value, Spread: Spread{Shape: uncertainty.StudentsT, SD: given(t, "s", "1 mm").Value.Nominal, DF: 5}}
	r := eval(t, "x", in)
	assert.InDelta(t, math.Sqrt(5.0/3), r.SD.Float(), 1e-12)
	s, err := parsed(t, "x").Simulate([]Input{in}, SimOptions{Seed: 5, MaxTrials: 500_000})
	require.NoError(t, err)
	assert.InDelta(t, math.Sqrt(5.0/3), s.SD.Float(), 0.02)
	assert.InDelta(t, 2.570582, s.High.Float(), 0.05, "t table, 97.5 %")
}

// GUM H.1 and JCGM 101:2008, 9.5, end gauge, the model as a formula; inputs as in
// package uncertainty. Printed: 50.000838 mm, u 32 nm, 34 nm with second order (JCGM
// 100:2008, H.1); 838 nm, u 36 nm, 99 % 745 to 932 nm (a published reproduction of
// JCGM 101 with a million trials).
func TestEndGauge(t *testing.T) {
	e := parsed(t, "standard + repeats + random + systematic - standard*(delta_alpha*(mean + swing) + alpha*delta_theta)")
	values := map[string]string{"standard": "50.000623 mm", "repeats": "0.000215 mm", "random": "0 mm", "systematic": "0 mm",
		"delta_alpha": "0 1/K", "mean": "-0.1 dC", "swing": "0 dC", "alpha": "11.5 um/m/K", "delta_theta": "0 dC"}
	nm := func(v float64) float64 { return v * 1e-6 }
	inputs := map[string]uncertainty.Input{
		"standard": uncertainty.TInput("standard", 50.000623, nm(25), 18), "repeats": uncertainty.TInput("repeats", nm(215), nm(6), 24),
		"random": uncertainty.TInput("random", 0, nm(4), 5), "systematic": uncertainty.TInput("systematic", 0, nm(7), 8),
		"delta_alpha": uncertainty.CurvedTrapezoidInput("delta_alpha", 0, 1e-6, 0.1e-6), "mean": uncertainty.NormalInput("mean", -0.1, 0.2, 1),
		"swing": uncertainty.ArcsineInput("swing", 0, 0.5), "alpha": uncertainty.UniformInput("alpha", 11.5e-6, 2e-6),
		"delta_theta": uncertainty.CurvedTrapezoidInput("delta_theta", 0, 0.05, 0.025),
	}
	var in []Input
	m := uncertainty.Model{F: e.Float()}
	for _, n := range e.Names() {
		text := values[n]
		if n == "delta_alpha" {
			text = "0 um/m/K"
		}
		v, err := quantity.ParseToleranced(text, quantity.Unit{})
		require.NoError(t, err, n)
		in = append(in, Input{Name: n, Value: v})
		m.Inputs = append(m.Inputs, inputs[n])
	}
	r, err := e.Eval(in, Options{})
	require.NoError(t, err)
	assert.Equal(t, "50.000838 mm", r.Value.Format(quantity.Millimetre, 6), "printed")
	for _, c := range r.Contributors {
		m.Slopes = append(m.Slopes, toFloat(c.Sensitivity.Rat()))
	}
	b, err := uncertainty.NewBudget(m, 0.99)
	require.NoError(t, err)
	assert.InDelta(t, nm(32), b.FirstOrder, nm(0.5), "printed: 32 nm")
	assert.InDelta(t, nm(34), b.U, nm(0.5), "printed with second order: 34 nm")
	o, err := uncertainty.Simulate(m, uncertainty.SimOptions{Conf: 0.99, Seed: 20240601, MaxTrials: 600_000})
	require.NoError(t, err)
	assert.InDelta(t, nm(838), o.Mean-50, nm(0.5))
	assert.InDelta(t, nm(35.808), o.U, nm(0.3), "closed form")
	assert.InDelta(t, nm(745), o.ShortLow-50, nm(3))
	assert.InDelta(t, nm(932), o.ShortHigh-50, nm(3))
}
