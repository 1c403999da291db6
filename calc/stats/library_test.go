package stats

import (
	"math"
	"testing"

	more "github.com/aclements/go-moremath/stats"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// drawReadings draws readings on a grid of whole counts, so that ties are common.
func drawReadings(t *rapid.T, name string, least int) []float64 {
	var out []float64
	for _, n := range rapid.SliceOfN(rapid.IntRange(-12, 12), least, 14).Draw(t, name) {
		out = append(out, float64(n))
	}
	return out
}

// A second library, written apart from this code and from gonum, agrees on
// random readings.
func TestSecondLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, a := drawReadings(t, "before", 2), drawReadings(t, "after", 2)
		s, err := Summarize(b)
		require.NoError(t, err)
		assert.InDelta(t, more.Mean(b), s.Mean, 1e-12)
		assert.InDelta(t, more.StdDev(b), s.SD, 1e-12)
		assert.InDelta(t, stat.StdDev(b, nil), s.SD, 1e-12)
		low, high := more.Sample{Xs: b}.Bounds()
		assert.Equal(t, [2]float64{low, high}, [2]float64{s.Min, s.Max})

		w, err := Welch(b, a, 0.95)
		if err == nil {
			m, err := more.TwoSampleWelchTTest(more.Sample{Xs: a}, more.Sample{Xs: b}, more.LocationDiffers)
			require.NoError(t, err)
			assert.InDelta(t, m.T, w.T, 1e-9*(1+math.Abs(m.T)))
			assert.InDelta(t, m.DoF, w.DF, 1e-9*m.DoF)
			assert.InDelta(t, m.P, w.P, 1e-8)
		}
		n := min(len(a), len(b))
		if p, err := Paired(b[:n], a[:n], 0.95); err == nil {
			m, err := more.PairedTTest(a[:n], b[:n], 0, more.LocationDiffers)
			require.NoError(t, err)
			assert.InDelta(t, m.T, p.T, 1e-9*(1+math.Abs(m.T)))
			assert.InDelta(t, m.P, p.P, 1e-8)
		}

		r, err := RankSum(b, a)
		require.NoError(t, err)
		if less, err := more.MannWhitneyUTest(a, b, more.LocationLess); err == nil { // it refuses when all are equal
			assert.InDelta(t, less.U, r.U, 1e-12)
			assert.InDelta(t, less.P, r.Less, 1e-9)
			greater, err := more.MannWhitneyUTest(b, a, more.LocationLess) // its Greater steps by whole pairs and is off with ties
			require.NoError(t, err)
			assert.InDelta(t, greater.P, r.More, 1e-9)
		}

		nb, na := rapid.IntRange(1, 40).Draw(t, "nb"), rapid.IntRange(1, 40).Draw(t, "na")
		bb, ba := rapid.IntRange(0, nb).Draw(t, "bad before"), rapid.IntRange(0, na).Draw(t, "bad after")
		f, err := FisherExact(bb, nb, ba, na)
		require.NoError(t, err)
		h := more.HypergeometicDist{N: nb + na, K: bb + ba, Draws: na}
		assert.InDelta(t, h.CDF(float64(ba)), f.Fewer, 1e-9)
		two, seen := 0.0, h.PMF(float64(ba))
		for k := 0; k <= na; k++ {
			if p := h.PMF(float64(k)); p <= seen*(1+1e-7) {
				two += p
			}
		}
		assert.InDelta(t, two, f.TwoSided, 1e-9)

		chance := rapid.Float64Range(0.05, 0.95).Draw(t, "chance")
		by, err := ByChance(ba, na, chance)
		require.NoError(t, err)
		assert.InDelta(t, 1-more.BinomialDist{N: na, P: chance}.CDF(float64(ba-1)), by, 1e-9)
		// The ends of the exact interval are where such a count is just as rare.
		in, err := CountShare(ba, na, 0.95)
		require.NoError(t, err)
		if ba > 0 {
			assert.InDelta(t, 0.025, 1-more.BinomialDist{N: na, P: in.Exact.Low}.CDF(float64(ba-1)), 1e-7)
		}
		if ba < na {
			assert.InDelta(t, 0.025, more.BinomialDist{N: na, P: in.Exact.High}.CDF(float64(ba)), 1e-7)
		}
	})
}

// Exact permutation and rank tests against counting every split.
func TestEverySplit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawReadings(t, "before", 2)
		a := drawReadings(t, "after", 2)
		b, a = b[:min(6, len(b))], a[:min(6, len(a))]
		grid, err := Permutation(b, a, 1)
		require.NoError(t, err)
		free, err := Permutation(b, a, 0)
		require.NoError(t, err)
		assert.True(t, grid.Exact && free.Exact)
		assert.InDelta(t, free.P, grid.P, 1e-9)
	})
}

// The integral against gonum's series where that is good, and against the
// central distribution.
func TestNoncentralT(t *testing.T) {
	for _, df := range []float64{1, 2, 3, 9, 40, 300} {
		for _, shift := range []float64{-3, 0, 0.5, 2, 7, 20, 30} {
			for _, x := range []float64{-2, 0.3, 1, 5, 21, 35} {
				got := noncentralT(x, df, shift)
				assert.InDelta(t, distuv.NoncentralT{Nu: df, Mu: shift}.CDF(x), got, 2e-9, "t %g df %g shift %g", x, df, shift)
				if shift == 0 {
					assert.InDelta(t, studentsT(df).CDF(x), got, 1e-12, "t %g df %g", x, df)
				}
			}
		}
	}
	assert.InDelta(t, 60, shiftFor(60, 1e6, 0.5), 0.01, "nearly normal: the middle is the shift, far beyond where series hold")
}
