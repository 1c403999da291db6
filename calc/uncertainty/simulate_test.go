package uncertainty

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func sum(x []float64) float64 { return x[0] + x[1] + x[2] + x[3] }

// Source: JCGM 101:2008, 9.2, sum of four inputs. The printed results are from
// memory; the targets are the exact intervals, which need no random numbers
// (recomputed with R 4.2.2): the sum of four even distributions has
// 2√3·(2-(3/5)^¼) in closed form.
func TestSumOfFour(t *testing.T) {
	four := func(in Input) []Input { return []Input{in, in, in, in} }
	even := UniformInput("x", 0, math.Sqrt(3))
	wide := four(even)
	wide[3] = UniformInput("y", 0, 10*math.Sqrt(3))
	for _, c := range []struct {
		name         string
		in           []Input
		u            float64
		frame, exact float64
		agree        bool
	}{
		{"normal", four(Input{Name: "x", U: 1, Shape: Normal}), 2, 3.9199280, 3.91992796908011, true},
		{"even", four(even), 2, 3.9199280, 2 * math.Sqrt(3) * (2 - math.Pow(0.6, 0.25)), true},
		{"one ten times as wide", wide, 10.1488915650922, 19.8914619505831, 17.0158140998626, false},
	} {
		m := Model{Inputs: c.in, F: sum}
		b, err := NewBudget(m, 0.95)
		require.NoError(t, err)
		assert.InDelta(t, c.u, b.U, 1e-9, c.name)
		assert.InDelta(t, c.frame, b.Expanded, 1e-6, c.name)
		o, err := Simulate(m, SimOptions{Conf: 0.95, Digits: 3, Seed: 1, MaxTrials: 1_000_000})
		require.NoError(t, err)
		assert.InDelta(t, 0, o.Mean, 5*o.Error, c.name)
		assert.InDelta(t, c.u, o.U, 5*o.Error, c.name)
		for _, end := range []float64{-o.Low, o.High} {
			assert.InDelta(t, c.exact, end, 5*o.Error, c.name)
		}
		assert.InDelta(t, 2*c.exact, o.ShortHigh-o.ShortLow, 15*o.Error, c.name)
		assert.LessOrEqual(t, o.ShortHigh-o.ShortLow, o.High-o.Low, c.name)
		assert.Equal(t, c.agree, Compare(b, o, 2).Agree, c.name)
	}
	// Agreement depends on the digits that count: to two the even case agrees, to
	// three it does not.
	m := Model{Inputs: four(even), F: sum}
	b, err := NewBudget(m, 0.95)
	require.NoError(t, err)
	o, err := Simulate(m, SimOptions{Conf: 0.95, Seed: 1})
	require.NoError(t, err)
	assert.True(t, o.Stable)
	assert.Equal(t, 0.05, o.Tolerance)
	assert.False(t, Compare(b, o, 3).Agree)
}

// gaugeBlock is JCGM 101:2008, 9.5, in nm and °C.
func gaugeBlock() Model {
	return Model{
		Inputs: []Input{
			TInput("standard", 50_000_623, 25, 18), TInput("repeats", 215, 6, 24), TInput("random", 0, 4, 5), TInput("systematic", 0, 7, 8),
			UniformInput("expansion", 11.5e-6, 2e-6), NormalInput("mean temperature", -0.1, 0.2, 1), ArcsineInput("swing", 0, 0.5),
			CurvedTrapezoidInput("difference of expansion", 0, 1e-6, 0.1e-6), CurvedTrapezoidInput("difference of temperature", 0, 0.05, 0.025),
		},
		F: func(x []float64) float64 {
			return x[0] + x[1] + x[2] + x[3] - x[0]*(x[7]*(x[5]+x[6])+x[4]*x[8])
		},
	}
}

// Source: JCGM 101:2008, 9.5. Published reproduction with a million trials: 838 nm,
// u 36 nm, shortest 99 % interval 745 to 932 nm. Closed form of the standard
// deviation and four million trials in R 4.2.2: 35.8079, 745.01 to 932.16.
func TestGaugeBlock(t *testing.T) {
	o, err := Simulate(gaugeBlock(), SimOptions{Conf: 0.99, Seed: 20240601, MaxTrials: 1_000_000})
	require.NoError(t, err)
	const base = 50_000_000
	assert.InDelta(t, base+838, o.Mean, 0.5)
	assert.InDelta(t, 35.8079, o.U, 0.35)
	assert.InDelta(t, base+745, o.ShortLow, 2.5)
	assert.InDelta(t, base+932, o.ShortHigh, 2.5)
	assert.InDelta(t, base+744.4, o.Low, 1.5)
	assert.InDelta(t, base+931.6, o.High, 1.5)
	// Reading the t scale as the standard deviation gives 34.26: the mistake that a
	// public manual makes.
	assert.Greater(t, o.U, 35.2)
	b, err := NewBudget(gaugeBlock(), 0.99)
	require.NoError(t, err)
	assert.InDelta(t, 32, b.FirstOrder, 0.5)
}

func TestSimulationIsRepeatable(t *testing.T) {
	m := Model{Inputs: []Input{TriangularInput("a", 0, 1), ArcsineInput("b", 0, 1)}, F: func(x []float64) float64 { return x[0] + x[1] }}
	run := func(seed uint64) Outcome {
		o, err := Simulate(m, SimOptions{Conf: 0.9, Seed: seed})
		require.NoError(t, err)
		return o
	}
	assert.Equal(t, run(7), run(7))
	assert.NotEqual(t, run(7), run(8))
	o, err := Simulate(m, SimOptions{Conf: 0.9, Seed: 7, Digits: 4, MaxTrials: 20_000})
	require.NoError(t, err)
	assert.False(t, o.Stable, "too few trials for four digits, and it says so")
	assert.Equal(t, 20_000, o.Trials)
}

// Every shape has the standard deviation that its input says, and correlated
// inputs go together as they are said to.
func TestShapes(t *testing.T) {
	for _, in := range []Input{
		NormalInput("x", 3, 2, 2), UniformInput("x", 3, 1), TriangularInput("x", 3, 1), ArcsineInput("x", 3, 1), CurvedTrapezoidInput("x", 3, 1, 0.5),
	} {
		o, err := Simulate(Model{Inputs: []Input{in}, F: func(x []float64) float64 { return x[0] }}, SimOptions{Conf: 0.95, Seed: 3, Digits: 3, MaxTrials: 100_000})
		require.NoError(t, err)
		assert.InDelta(t, in.U, o.U, 5*o.Error, string(in.Shape))
		assert.InDelta(t, 3, o.Mean, 5*o.Error, string(in.Shape))
	}
	o, err := Simulate(Model{Inputs: []Input{TInput("x", 0, 1, 5)}, F: func(x []float64) float64 { return x[0] }}, SimOptions{Conf: 0.95, Seed: 3, MaxTrials: 500_000})
	require.NoError(t, err)
	assert.InDelta(t, math.Sqrt(5.0/3), o.U, 0.01)
	assert.InDelta(t, 2.5706, o.High, 0.02, "t(97.5 %, 5)")
	for _, r := range []float64{-1, -0.5, 0.8, 1} {
		m := Model{
			Inputs:       []Input{NormalInput("x", 0, 1, 1), UniformInput("z", 0, 1), NormalInput("y", 0, 2, 1)},
			F:            func(x []float64) float64 { return x[0] + x[2] },
			Correlations: []Correlation{{A: 0, B: 2, R: r}},
		}
		b, err := NewBudget(m, 0.95)
		require.NoError(t, err)
		o, err := Simulate(m, SimOptions{Conf: 0.95, Seed: 3, Digits: 3, MaxTrials: 100_000})
		require.NoError(t, err)
		assert.InDelta(t, b.U, o.U, 5*o.Error+1e-5, "r = %g", r)
	}
}

// The length of a block against a standard, the temperatures not quite alike
// (invented data, mm and °C).
func ExampleNewBudget() {
	reading, _ := MeanInput("reading", []float64{0.0012, 0.0013, 0.0011, 0.0012})
	m := Model{
		Inputs: []Input{
			reading,
			NormalInput("standard", 50, 0.0003, 2),
			UniformInput("temperature difference", 0, 0.2),
		},
		F: func(x []float64) float64 { return x[1] + x[0] - x[1]*11.5e-6*x[2] },
	}
	b, err := NewBudget(m, 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.5f mm, u = %.5f mm, U = %.5f mm (k = %.2f)\n", b.Value, b.U, b.Expanded, b.K)
	for _, l := range b.Lines {
		fmt.Printf("%-22s %3.0f %%\n", l.Name, 100*l.Share)
	}
	// Output:
	// 50.00120 mm, u = 0.00017 mm, U = 0.00033 mm (k = 1.96)
	// reading                  6 %
	// standard                79 %
	// temperature difference  15 %
}

// The parts outside limits, against the normal distribution; the extremes hold all.
func TestOutsideLimits(t *testing.T) {
	m := Model{Inputs: []Input{{Name: "x", U: 1, Shape: Normal}}, F: func(x []float64) float64 { return x[0] }}
	o, err := Simulate(m, SimOptions{Conf: 0.95, Seed: 4, Lower: -1, Upper: 2})
	require.NoError(t, err)
	near := func(want, got float64) {
		assert.InDelta(t, want, got, 5*math.Sqrt(want*(1-want)/float64(o.Trials)))
	}
	near(0.158655253931457, o.Below)
	near(0.022750131948179, o.Above)
	assert.Less(t, o.Least, o.Low)
	assert.Greater(t, o.Most, o.High)
	o, err = Simulate(m, SimOptions{Conf: 0.95, Seed: 4, Lower: math.Inf(-1), Upper: 0})
	require.NoError(t, err)
	assert.Zero(t, o.Below)
	near(0.5, o.Above)
	// A result that stands on its limit is inside.
	m.F = func([]float64) float64 { return 0.1 + 0.2 }
	o, err = Simulate(m, SimOptions{Conf: 0.95, Lower: 0.1, Upper: 0.3})
	require.NoError(t, err)
	assert.Zero(t, o.Below+o.Above)
}
