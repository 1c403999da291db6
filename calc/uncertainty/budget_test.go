package uncertainty

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// endGauge is the model of JCGM 100, H.1, in nm and °C: standard, difference,
// expansion of the standard, temperature off 20 °C, difference of expansions,
// difference of temperatures.
func endGauge(x []float64) float64 { return x[0] + x[1] - x[0]*(x[4]*x[3]+x[2]*x[5]) }

// endGaugeInputs have the rounded standard uncertainties of the table of H.1.
func endGaugeInputs() []Input {
	return []Input{
		{Name: "standard", Value: 50_000_623, U: 25, DF: 18, Shape: StudentsT},
		{Name: "difference", Value: 215, U: 9.7, DF: 25.6, Shape: StudentsT},
		{Name: "expansion", Value: 11.5e-6, U: 1.2e-6, Shape: Uniform},
		{Name: "temperature", Value: -0.1, U: 0.41, Shape: Arcsine},
		{Name: "difference of expansion", U: 0.58e-6, DF: 50, Shape: Uniform},
		{Name: "difference of temperature", U: 0.029, DF: 2, Shape: Uniform},
	}
}

// Source: JCGM 100:2008, H.1, printed: length 50.000838 mm, u 32 nm, 16 degrees of
// freedom, t 2.92, U 93 nm, with second order 34 nm (values from memory, each
// recomputed with R 4.2.2; the finer ones are R's from the same rounded inputs).
func TestEndGauge(t *testing.T) {
	b, err := NewBudget(Model{Inputs: endGaugeInputs(), F: endGauge}, 0.99)
	require.NoError(t, err)
	assert.InDelta(t, 50_000_838, b.Value, 1e-6)
	assert.InDelta(t, 31.7106096404318, b.FirstOrder, 1e-6)
	assert.InDelta(t, 33.9111495268266, b.U, 1e-6)
	assert.InDelta(t, 16.6560627030039, b.DF, 1e-6)
	assert.Equal(t, 16.0, b.DFUsed, "rounded down, never to the nearest")
	assert.InDelta(t, 2.9207816224251, b.K, 1e-9)
	assert.InDelta(t, 92.6197658736695, b.K*b.FirstOrder, 1e-6)
	for i, want := range []float64{1, 1, 0, 0, 5000062.3, -575.0071645} {
		assert.InDelta(t, want, b.Lines[i].Sensitivity, 1e-6*math.Max(1, math.Abs(want)), b.Lines[i].Name)
	}
	// The two terms of second order, and no other.
	require.Len(t, b.Second, 2)
	assert.Equal(t, [4]int{2, 5, 3, 4}, [4]int{b.Second[0].A, b.Second[0].B, b.Second[1].A, b.Second[1].B})
	assert.InDelta(t, 1.7400216804, math.Sqrt(b.Second[0].Variance), 1e-6)
	assert.InDelta(t, 11.8901481494, math.Sqrt(b.Second[1].Variance), 1e-6)

	// Putting the rounded u = 32 into the formula gives 17.47 degrees of freedom
	// and another factor: rounding on the way is the misprint to avoid.
	assert.Greater(t, math.Abs(b.DF-17.4718178308559), 0.8)

	// With the exact slopes in place of differences nothing changes.
	exact, err := NewBudget(Model{Inputs: endGaugeInputs(), F: endGauge, Slopes: []float64{1, 1, 0, 0, 5000062.3, -575.0071645}}, 0.99)
	require.NoError(t, err)
	assert.InDelta(t, exact.U, b.U, 1e-6)
	assert.InDelta(t, exact.DF, b.DF, 1e-6)
}

// The same with the unrounded inputs (R 4.2.2).
func TestEndGaugeUnrounded(t *testing.T) {
	difference, err := NewBudget(Model{
		Inputs: []Input{
			TInput("repeats", 215, 13/math.Sqrt(5), 24),
			TInput("comparator, random", 0, 10/2.570581835636314, 5), // t(0.975, 5)
			TInput("comparator, systematic", 0, 20.0/3, 8),
		},
		F: func(x []float64) float64 { return x[0] + x[1] + x[2] },
	}, 0.99)
	require.NoError(t, err)
	assert.InDelta(t, 9.6632223427629, difference.U, 1e-9)
	assert.InDelta(t, 25.6213060051143, difference.DF, 1e-9)
	theta, err := NewBudget(Model{
		Inputs: []Input{NormalInput("mean", -0.1, 0.2, 1), ArcsineInput("swing", 0, 0.5)},
		F:      func(x []float64) float64 { return x[0] + x[1] },
	}, 0.99)
	require.NoError(t, err)
	assert.InDelta(t, 0.406201920231798, theta.U, 1e-12)
	b, err := NewBudget(Model{F: endGauge, Inputs: []Input{
		NormalInput("standard", 50_000_623, 75, 3).withDF(18),
		{Name: "difference", Value: 215, U: difference.U, DF: difference.DF, Shape: StudentsT},
		UniformInput("expansion", 11.5e-6, 2e-6),
		{Name: "temperature", Value: -0.1, U: theta.U, Shape: Normal},
		UniformInput("difference of expansion", 0, 1e-6).withDF(DFForReliability(0.1)),
		UniformInput("difference of temperature", 0, 0.05).withDF(DFForReliability(0.5)),
	}}, 0.99)
	require.NoError(t, err)
	assert.InDelta(t, 31.6581602, b.FirstOrder, 1e-6)
	assert.InDelta(t, 16.741, b.DF, 5e-4)
}

func (in Input) withDF(df float64) Input { in.DF = df; return in }

// Source: a public guide to the uncertainty of micrometers (talalspecialbolt.com):
// 0.00058/√3, 0.001/√12, 0.00050/2 mm give 0.00051 and U 0.0010 mm; R: 0.000508,
// 0.001016.
func TestMicrometerBudget(t *testing.T) {
	b, err := NewBudget(Model{
		Inputs: []Input{UniformInput("error", 0, 0.00058), UniformInput("count", 0, 0.0005), NormalInput("standard", 0, 0.0005, 2)},
		F:      func(x []float64) float64 { return x[0] + x[1] + x[2] },
	}, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, 0.000508, b.U, 5e-7)
	assert.InDelta(t, 0.001016, 2*b.U, 5e-7)
	assert.Zero(t, b.DFUsed)
	assert.InDelta(t, 1.95996398454005, b.K, 1e-12)
}

// Two inputs that go together wholly add or cancel (JCGM 100, 5.2.2 note 1); ten
// resistors calibrated on one standard are its example: u is ten times that of one.
func TestCorrelation(t *testing.T) {
	sum := func(x []float64) float64 {
		s := 0.0
		for _, v := range x {
			s += v
		}
		return s
	}
	m := Model{F: sum}
	for i := range 10 {
		m.Inputs = append(m.Inputs, Input{Name: string(rune('a' + i)), Value: 1000, U: 0.1, Shape: Normal})
		for j := range i {
			m.Correlations = append(m.Correlations, Correlation{A: j, B: i, R: 1})
		}
	}
	b, err := NewBudget(m, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, 1, b.U, 1e-9, "and not 0.1·√10 = 0.32")
	assert.Zero(t, b.Lines[0].Share, "shares overlap")

	m.Inputs, m.Correlations, m.F = m.Inputs[:2], m.Correlations[:1], func(x []float64) float64 { return x[0] - x[1] }
	b, err = NewBudget(m, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, 0, b.U, 1e-9, "a common error cancels in a difference")

	m.Inputs[0].DF, m.Inputs[1].DF, m.Correlations[0].R = 9, 4, 0.5
	b, err = NewBudget(m, 0.95)
	require.NoError(t, err)
	assert.Equal(t, 4.0, b.DF, "the least stands in")
}

// Second order against closed forms for normal inputs: x² has variance 4μ²u² + 2u⁴,
// and x·y has μy²ux² + μx²uy² + ux²uy².
func TestSecondOrderAgainstMoments(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mx, my := rapid.Float64Range(-5, 5).Draw(t, "mx"), rapid.Float64Range(-5, 5).Draw(t, "my")
		ux, uy := rapid.Float64Range(0.01, 2).Draw(t, "ux"), rapid.Float64Range(0.01, 2).Draw(t, "uy")
		in := []Input{{Name: "x", Value: mx, U: ux, Shape: Normal}, {Name: "y", Value: my, U: uy, Shape: Normal}}
		b, err := NewBudget(Model{Inputs: in[:1], F: func(x []float64) float64 { return x[0] * x[0] }}, 0.95)
		require.NoError(t, err)
		require.InEpsilon(t, 4*mx*mx*ux*ux+2*math.Pow(ux, 4), b.U*b.U, 1e-9)
		b, err = NewBudget(Model{Inputs: in, F: func(x []float64) float64 { return x[0] * x[1] }}, 0.95)
		require.NoError(t, err)
		require.InEpsilon(t, my*my*ux*ux+mx*mx*uy*uy+ux*ux*uy*uy, b.U*b.U, 1e-9)
	})
}

// The unit of entry and the order of the inputs change nothing, and no input makes
// a result surer.
func TestBudgetProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 5).Draw(t, "n")
		c := make([]float64, n)
		var in []Input
		for i := range n {
			// Hundredths: a sensitivity of 1e-164 is no case of the trade.
			c[i] = float64(rapid.IntRange(-300, 300).Draw(t, "c")) / 100
			in = append(in, Input{Name: string(rune('a' + i)), Value: rapid.Float64Range(-10, 10).Draw(t, "x"), U: rapid.Float64Range(0.001, 1).Draw(t, "u"), DF: float64(rapid.IntRange(3, 30).Draw(t, "df")), Shape: StudentsT})
		}
		f := func(x []float64) float64 {
			s := 0.0
			for i := range x {
				s += c[i] * x[i]
			}
			return s
		}
		b, err := NewBudget(Model{Inputs: in, F: f}, 0.95)
		require.NoError(t, err)
		require.InDelta(t, b.FirstOrder, b.U, 1e-9, "a sum has no second order")
		const unit = 25.4
		scaled := make([]Input, n)
		for i, v := range in {
			v.Value, v.U = v.Value*unit, v.U*unit
			scaled[i] = v
		}
		s, err := NewBudget(Model{Inputs: scaled, F: f}, 0.95)
		require.NoError(t, err)
		require.InDelta(t, unit*b.U, s.U, 1e-9*unit)
		require.InDelta(t, b.DF, s.DF, 1e-6*b.DF)
		least, total, share := math.Inf(1), 0.0, 0.0
		for _, l := range b.Lines {
			require.LessOrEqual(t, math.Abs(l.Contribution), b.U*(1+1e-9))
			least, total, share = math.Min(least, l.DF), total+l.DF, share+l.Share
		}
		if b.U > 1e-6 {
			require.InDelta(t, 1, share, 1e-9)
			require.GreaterOrEqual(t, b.DF, least*(1-1e-9))
			require.LessOrEqual(t, b.DF, total*(1+1e-9))
		}
	})
}

func TestMeanInput(t *testing.T) {
	in, err := MeanInput("x", []float64{1.0001, 1.0003, 1.0002})
	require.NoError(t, err)
	assert.InDelta(t, 0.0001/math.Sqrt(3), in.U, 1e-12)
	assert.Equal(t, 2.0, in.DF)
	_, err = MeanInput("x", []float64{1})
	assert.ErrorContains(t, err, "two or more")
}

func TestErrors(t *testing.T) {
	one := func(x []float64) float64 { return x[0] }
	in := NormalInput("a", 1, 0.1, 2)
	two := []Input{in, UniformInput("b", 1, 1)}
	for _, c := range []struct {
		m    Model
		conf float64
		says string
	}{
		{Model{F: one}, 0.95, "at least one input"},
		{Model{Inputs: []Input{in}}, 0.95, "needs a function"},
		{Model{Inputs: []Input{in}, F: one}, 95, "between 0 and 1"},
		{Model{Inputs: []Input{{Name: "a", U: 1}}, F: one}, 0.95, "no shape"},
		{Model{Inputs: []Input{{Name: "a", U: -1, Shape: Normal}}, F: one}, 0.95, "not below zero"},
		{Model{Inputs: []Input{{Name: "a", Value: math.NaN(), Shape: Normal}}, F: one}, 0.95, "not a usable number"},
		{Model{Inputs: []Input{{Name: "a", U: 1, DF: 0.5, Shape: Normal}}, F: one}, 0.95, "degrees of freedom"},
		{Model{Inputs: []Input{{Name: "a", U: 1, Shape: StudentsT}}, F: one}, 0.95, "needs degrees of freedom"},
		{Model{Inputs: []Input{CurvedTrapezoidInput("a", 0, 1, 2)}, F: one}, 0.95, "half-width"},
		{Model{Inputs: []Input{in}, F: one, Slopes: []float64{1, 2}}, 0.95, "2 sensitivities"},
		{Model{Inputs: []Input{in}, F: one, Slopes: []float64{math.Inf(1)}}, 0.95, "sensitivity"},
		{Model{Inputs: two, F: one, Correlations: []Correlation{{0, 0, 1}}}, 0.95, "two different"},
		{Model{Inputs: two, F: one, Correlations: []Correlation{{0, 1, 2}}}, 0.95, "from -1 to 1"},
		{Model{Inputs: two, F: one, Correlations: []Correlation{{0, 1, .5}, {1, 0, .5}}}, 0.95, "given twice"},
		{Model{Inputs: append(two, NormalInput("c", 0, 1, 1)), F: one, Correlations: []Correlation{{0, 1, -1}, {0, 2, -1}, {1, 2, -1}}}, 0.95, "contradict"},
		{Model{Inputs: []Input{NormalInput("a", -1, 1, 1)}, F: func(x []float64) float64 { return math.Log(x[0]) }}, 0.95, "no value at"},
		{Model{Inputs: []Input{NormalInput("a", 1, 2, 1)}, F: func(x []float64) float64 { return math.Log(x[0]) }}, 0.95, "one standard uncertainty"},
	} {
		_, err := NewBudget(c.m, c.conf)
		assert.ErrorContains(t, err, c.says)
	}
	_, err := Simulate(Model{Inputs: two, F: one, Correlations: []Correlation{{0, 1, .5}}}, SimOptions{Conf: 0.95})
	assert.ErrorContains(t, err, "normal distribution only")
	_, err = Simulate(Model{Inputs: []Input{TInput("a", 0, 1, 2)}, F: one}, SimOptions{Conf: 0.95})
	assert.ErrorContains(t, err, "no standard deviation")
	_, err = Simulate(Model{Inputs: two, F: one}, SimOptions{Conf: 0.95, MaxTrials: 100})
	assert.ErrorContains(t, err, "too few")
	_, err = Simulate(Model{Inputs: two, F: one}, SimOptions{Conf: 0.95, Digits: 9})
	assert.ErrorContains(t, err, "ask for")
	_, err = Simulate(Model{Inputs: []Input{NormalInput("a", 1, 1, 1)}, F: func(x []float64) float64 { return math.Log(x[0]) }}, SimOptions{Conf: 0.95})
	assert.ErrorContains(t, err, "no value for a draw")
}
