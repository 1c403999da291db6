package cause

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distmv"
)

// TestOneNormal: a normal mean with a normal prior. Precisions add, and the mean
// is weighted by them (A. Gelman et al., Bayesian Data Analysis, 3rd edition,
// equation 2.12; from memory).
func TestOneNormal(t *testing.T) {
	p := Problem{Noise: 2, Sources: []Source{{Name: "a", Effects: [][]float64{{1}}, Known: []float64{10}, SD: []float64{3}}}}
	a, err := Weigh(p, [][]float64{{14}, {12}, {16}, {14}}, [][]float64{{1}})
	require.NoError(t, err)
	precision := 1/9.0 + 4/4.0
	assert.InDelta(t, (10/9.0+14*4/4.0)/precision, a.Amounts[0][0], 1e-9)
	assert.InDelta(t, math.Sqrt(1/precision), a.AmountSD[0][0], 1e-9)
	assert.InDelta(t, 14, a.Traits[0].Value, 1e-12)
	assert.InDelta(t, 1, a.Traits[0].Error, 1e-12, "2 over the root of 4")
	assert.InDelta(t, 1, a.AsRecorded, 1e-12)
	assert.InDelta(t, 1, a.Traits[0].Suspects[0].Probability, 1e-12)
}

// problem is two sources that look alike, one that does not, and one that varies.
func problem() Problem {
	return Problem{Noise: 0.5, Sources: []Source{
		{Name: "a", Effects: [][]float64{{1, 0, -1}, {0, 1, 0}}, Known: []float64{1, -1}, SD: []float64{0.4, 0.3}, Other: []float64{4, 4}, Odds: 0.1},
		{Name: "b", Effects: [][]float64{{-2, 0, 2}}, Known: []float64{0}, SD: []float64{1}, Other: []float64{3}, Odds: 0.2},
		{Name: "c", Effects: [][]float64{{1, 1, 1}}, Known: []float64{0}, SD: []float64{0.2}},
		{Name: "d", Effects: [][]float64{{1, 0.5, 0}}, Known: []float64{0}, SD: []float64{0}, Varies: []float64{1.5}, Other: []float64{2}, Odds: 0.15},
	}}
}

// TestAgainstStackedNormal: the same weights, means and variances come from
// stacking all readings of all pieces into one normal distribution of a general
// library (gonum, stat/distmv), which knows nothing of means and scatter.
func TestAgainstStackedNormal(t *testing.T) {
	p := problem()
	readings := [][]float64{{3.1, -0.4, -2.2}, {2.2, -1.5, -1.6}, {4.4, -0.2, -1.9}, {1.9, -1.3, -2.6}}
	got, err := Weigh(p, readings, [][]float64{{0.5, 0, -0.5}})
	require.NoError(t, err)
	require.Equal(t, 1.0, got.Scale)

	const amounts, points = 5, 3
	of, at := []int{0, 0, 1, 2, 3}, []int{0, 1, 0, 0, 0}
	weights, sum := make([]float64, 4), 0.0
	means, seconds := make([]float64, amounts), make([]float64, amounts)
	for i, changed := range []int{-1, 0, 1, 3} {
		prior := 1 - 0.1 - 0.2 - 0.15
		if changed >= 0 {
			prior = p.Sources[changed].Odds
		}
		// Amounts first, then the readings of all pieces.
		n := amounts + points*len(readings)
		mu, sigma := make([]float64, n), mat.NewSymDense(n, nil)
		effect := func(row, a int) float64 { return p.Sources[of[a]].Effects[at[a]][(row-amounts)%points] }
		sd := func(a int) (same, varies float64) {
			s := p.Sources[of[a]]
			if of[a] == changed {
				return s.Other[at[a]], 0
			}
			if s.Varies != nil {
				varies = s.Varies[at[a]]
			}
			return s.SD[at[a]], varies
		}
		for a := range amounts {
			same, _ := sd(a)
			mu[a] = p.Sources[of[a]].Known[at[a]]
			sigma.SetSym(a, a, same*same+1e-12)
			for r := amounts; r < n; r++ {
				mu[r] += mu[a] * effect(r, a)
				sigma.SetSym(a, r, same*same*effect(r, a))
			}
		}
		for r := amounts; r < n; r++ {
			for c := r; c < n; c++ {
				v := 0.0
				if r == c {
					v = p.Noise * p.Noise
				}
				for a := range amounts {
					same, varies := sd(a)
					v += effect(r, a) * effect(c, a) * same * same
					if (r-amounts)/points == (c-amounts)/points {
						v += effect(r, a) * effect(c, a) * varies * varies
					}
				}
				sigma.SetSym(r, c, v)
			}
		}
		joint, ok := distmv.NewNormal(mu, sigma, nil)
		require.True(t, ok)
		var rows []int
		var values []float64
		for k, r := range readings {
			for j, v := range r {
				rows, values = append(rows, amounts+k*points+j), append(values, v)
			}
		}
		marginal, ok := joint.MarginalNormal(rows, nil)
		require.True(t, ok)
		weights[i] = prior * math.Exp(marginal.LogProb(values))
		sum += weights[i]
		after, ok := joint.ConditionNormal(rows, values, nil)
		require.True(t, ok)
		var cov mat.SymDense
		after.CovarianceMatrix(&cov)
		for a, m := range after.Mean(nil) {
			means[a] += weights[i] * m
			seconds[a] += weights[i] * (m*m + cov.At(a, a))
		}
	}
	assert.InDelta(t, weights[0]/sum, got.AsRecorded, 1e-6)
	for i, k := range []int{0, 1, 3} {
		assert.InDelta(t, weights[i+1]/sum, got.Changed[k], 1e-6)
	}
	for a := range amounts {
		m := means[a] / sum
		assert.InDelta(t, m, got.Amounts[of[a]][at[a]], 1e-6)
		assert.InDelta(t, math.Sqrt(max(0, seconds[a]/sum-m*m)), got.AmountSD[of[a]][at[a]], 1e-5)
	}
}

// TestMainSource: with the amounts known, the main source is the one that adds
// most in the direction of the whole.
func TestMainSource(t *testing.T) {
	p := Problem{Noise: 0.1, Sources: []Source{
		{Name: "a", Effects: [][]float64{{1, 1}}, Known: []float64{-5}, SD: []float64{0}},
		{Name: "b", Effects: [][]float64{{1, 1}}, Known: []float64{3}, SD: []float64{0}},
		{Name: "c", Effects: [][]float64{{1, 1}}, Known: []float64{4}, SD: []float64{0}},
	}}
	a, err := Weigh(p, [][]float64{{2, 2}}, [][]float64{{0.5, 0.5}})
	require.NoError(t, err)
	assert.Equal(t, 2, a.Traits[0].Suspects[0].Source, "the largest of all goes the other way")
	assert.InDelta(t, 1, a.Traits[0].Suspects[0].Probability, 0)
	assert.InDelta(t, 4, a.Traits[0].Suspects[0].Adds, 1e-12)
	// Two that cannot be told apart share by their priors: of two equal ones
	// each is the larger half the time.
	p.Sources = []Source{
		{Name: "a", Effects: [][]float64{{1, 1}}, Known: []float64{0}, SD: []float64{2}},
		{Name: "b", Effects: [][]float64{{-1, -1}}, Known: []float64{0}, SD: []float64{2}},
	}
	a, err = Weigh(p, [][]float64{{2, 2}}, [][]float64{{0.5, 0.5}})
	require.NoError(t, err)
	// Counted from draws: four standard errors.
	assert.InDelta(t, 0.5, a.Traits[0].Suspects[0].Probability, 4*0.5/math.Sqrt(draws))
	assert.True(t, a.Alike(0, 0, 1))
}

// TestScale: pieces that differ far more than anything explains widen the errors
// by the root of chi-square over its degrees of freedom (Birge).
func TestScale(t *testing.T) {
	p := Problem{Noise: 1, Sources: []Source{{Name: "a", Effects: [][]float64{{1}}, Known: []float64{0}, SD: []float64{5}}}}
	a, err := Weigh(p, [][]float64{{-10}, {0}, {10}}, [][]float64{{1}})
	require.NoError(t, err)
	assert.InDelta(t, 10, a.Scale, 1e-12, "chi-square 200 over 2")
	assert.InDelta(t, 10/math.Sqrt(3), a.Traits[0].Error, 1e-12)
	a, err = Weigh(p, [][]float64{{-1}, {0}, {1}}, [][]float64{{1}})
	require.NoError(t, err)
	assert.Equal(t, 1.0, a.Scale)
}

// TestAfter: what a further measurement is foretold to leave is what it leaves.
func TestAfter(t *testing.T) {
	p := problem()
	for k := range p.Sources {
		p.Sources[k].Other, p.Sources[k].Odds = nil, 0
	}
	rng := rand.New(rand.NewPCG(3, 4))
	draw := func(n int) (out [][]float64) {
		for range n {
			out = append(out, []float64{0.4 * rng.NormFloat64(), 0.4 * rng.NormFloat64(), 0.4 * rng.NormFloat64()})
		}
		return out
	}
	trait := [][]float64{{0.5, 0, -0.5}}
	few, more := draw(3), draw(4)
	a, err := Weigh(p, few, trait)
	require.NoError(t, err)
	told, err := a.After(0, 0, 1, a.More(4))
	require.NoError(t, err)
	b, err := Weigh(p, append(few, more...), trait)
	require.NoError(t, err)
	_, sd := b.Gap(0, 0, 1)
	assert.InDelta(t, sd, told, 1e-9)
	_, before := a.Gap(0, 0, 1)
	assert.Less(t, told, before)
	// A survey of an amount leaves its own uncertainty.
	look := Look{Sees: [][][]float64{{{1, 0}, nil, nil, nil}, {nil, {1}, nil, nil}}, Error: [][]float64{{1e-12, 0}, {0, 1e-12}}}
	told, err = a.After(0, 0, 1, look)
	require.NoError(t, err)
	assert.InDelta(t, 0, told, 1e-5)
	_, err = a.After(0, 0, 1, Look{})
	assert.Error(t, err)
	_, err = a.After(0, 0, 1, Look{Sees: [][][]float64{{nil}}, Error: [][]float64{{1}}})
	assert.ErrorContains(t, err, "does not fit")
}

func TestAlike(t *testing.T) {
	a, err := Weigh(problem(), [][]float64{{1, 2, 3}}, [][]float64{{0.5, 0, -0.5}, {0, 1, 0}})
	require.NoError(t, err)
	assert.True(t, a.Alike(0, 0, 1), "both make +1, 0, -1 but for a factor")
	assert.False(t, a.Alike(1, 0, 1), "b adds nothing to the middle")
	assert.False(t, a.Alike(0, 0, 3))
	assert.InDelta(t, 2, a.Value(0, []float64{3, 5, -1}), 1e-12)
	assert.InDelta(t, -2, a.Effect(0, 1, 0), 1e-12)
	v := a.Variation()
	assert.InDelta(t, 0, v[2], 1e-12)
	assert.Greater(t, v[0], v[1])
}

func TestErrors(t *testing.T) {
	good := problem()
	traits := [][]float64{{1, 0, 0}}
	for _, c := range []struct {
		change   func(*Problem)
		readings [][]float64
		traits   [][]float64
		want     string
	}{
		{nil, nil, traits, "there are none"},
		{nil, [][]float64{{1, 2, math.NaN()}}, traits, "piece 1 has not a number"},
		{nil, [][]float64{{1, 2, 3}, {1, 2}}, traits, "piece 2 has not a number"},
		{nil, [][]float64{{1, 2, 3}}, [][]float64{{1}}, "trait 1"},
		{func(p *Problem) { p.Noise = 0 }, [][]float64{{1, 2, 3}}, traits, "must be more than zero"},
		{func(p *Problem) { p.Sources[0].Known = nil }, [][]float64{{1, 2, 3}}, traits, "a: effects, known amounts"},
		{func(p *Problem) { p.Sources[1].Effects = [][]float64{{1}} }, [][]float64{{1, 2, 3}}, traits, "b: an effect needs"},
		{func(p *Problem) { p.Sources[2].SD = []float64{-1} }, [][]float64{{1, 2, 3}}, traits, "c: a standard deviation"},
		{func(p *Problem) { p.Sources[2].Known = []float64{math.Inf(1)} }, [][]float64{{1, 2, 3}}, traits, "c: a known amount"},
		{func(p *Problem) { p.Sources[0].Odds = 2 }, [][]float64{{1, 2, 3}}, traits, "a: the odds"},
		{func(p *Problem) { p.Sources[0].Odds = 0.9 }, [][]float64{{1, 2, 3}}, traits, "add up to"},
	} {
		p := problem()
		if c.change != nil {
			c.change(&p)
		}
		_, err := Weigh(p, c.readings, c.traits)
		assert.ErrorContains(t, err, c.want)
	}
	_, err := Weigh(good, [][]float64{{1, 2, 3}}, nil)
	assert.NoError(t, err)
}
