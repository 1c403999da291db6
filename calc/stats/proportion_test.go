package stats

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestProportion(t *testing.T) {
	for _, c := range []struct {
		hit, n    int
		low, high float64
		source    string
	}{
		{0, 10, 0, 1 - math.Pow(0.025, 0.1), "closed form: (1-p)^n = 0.025"},
		{10, 10, math.Pow(0.025, 0.1), 1, "closed form: p^n = 0.025"},
		{1, 1, 0.025, 1, "closed form"},
		{8, 10, 0.4439, 0.9748, "published example of the exact binomial test, from memory"},
	} {
		r, err := Proportion(c.hit, c.n, 0.95)
		require.NoError(t, err)
		assert.InDelta(t, c.low, r.Low, 1e-4, c.source)
		assert.InDelta(t, c.high, r.High, 1e-4, c.source)
	}
	// One-sided it is "none bad in n": the upper end at 90 %.
	r, err := Proportion(0, 30, 0.9)
	require.NoError(t, err)
	bad, err := NoneBad(30, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, bad, r.High, 1e-9)
	for _, c := range [][2]int{{-1, 3}, {4, 3}, {0, 0}} {
		_, err := Proportion(c[0], c[1], 0.95)
		assert.Error(t, err)
	}
	_, err = Proportion(1, 2, 1)
	assert.Error(t, err)
}

// The ends are where the tails of the binomial distribution hold half of what
// conf leaves.
func TestProportionAgainstTheBinomial(t *testing.T) {
	atMost := func(k, n int, p float64) (sum float64) {
		for i := 0; i <= k; i++ {
			sum += math.Exp(logChoose(n, i) + float64(i)*math.Log(p) + float64(n-i)*math.Log1p(-p))
		}
		return sum
	}
	for n := 2; n <= 30; n++ {
		for hit := 1; hit < n; hit++ {
			r, err := Proportion(hit, n, 0.95)
			require.NoError(t, err)
			assert.InDelta(t, 0.025, atMost(hit, n, r.High), 1e-9)
			assert.InDelta(t, 0.025, 1-atMost(hit-1, n, r.Low), 1e-9)
		}
	}
}
