package stats

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The closed forms against made-up lots, seeded.
func TestEvenLot(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for _, c := range []struct {
		width, u float64
		n        int
	}{{6, 0, 10}, {6, 0.3, 10}, {2, 2, 20}, {0, 1, 30}} {
		l, err := EvenLot(c.width, c.u, c.n)
		require.NoError(t, err)
		const lots = 40_000
		var mean, mean2, sd, sd2, v float64
		for range lots {
			var sum, sq float64
			for range c.n {
				x := c.width*(rng.Float64()-0.5) + c.u*rng.NormFloat64()
				sum, sq = sum+x, sq+x*x
			}
			m := sum / float64(c.n)
			s := math.Sqrt((sq - float64(c.n)*m*m) / float64(c.n-1))
			mean, mean2, sd, sd2, v = mean+m, mean2+m*m, sd+s, sd2+s*s, v+s*s
		}
		assert.InDelta(t, l.SD, math.Sqrt(v/lots), 0.01*l.SD)
		assert.InDelta(t, l.SEOf, math.Sqrt(mean2/lots-mean/lots*mean/lots), 0.02*l.SEOf)
		got := math.Sqrt(sd2/lots-sd/lots*sd/lots) / l.SD
		assert.InDelta(t, got, l.RelSE, 0.05*l.RelSE, "%v", c)
	}
	// A normal spread: 1/√(2(n-1)) (any textbook of statistics).
	l, err := EvenLot(0, 1, 51)
	require.NoError(t, err)
	assert.InDelta(t, 0.1, l.RelSE, 1e-12)
	one, err := EvenLot(1, 0, 1)
	require.NoError(t, err)
	assert.True(t, math.IsNaN(one.RelSE))
	for _, bad := range []struct {
		width, u float64
		n        int
	}{{-1, 0, 2}, {1, -1, 2}, {math.NaN(), 0, 2}, {0, 0, 2}, {1, 0, 0}} {
		_, err := EvenLot(bad.width, bad.u, bad.n)
		assert.Error(t, err)
	}
}
