package clamp

import (
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// TestSimplexAgainstGonum solves dense random programs, which are not
// degenerate, with the library's solver as well.
func TestSimplexAgainstGonum(t *testing.T) {
	rng := rand.New(rand.NewSource(4))
	solved := 0
	for range 200 {
		m := 1 + rng.Intn(8)
		n := m + 1 + rng.Intn(20)
		var p program
		inside := make([]float64, n) // a solution, so that there is one
		for j := range inside {
			inside[j] = rng.Float64()
		}
		p.right = make([]float64, m)
		a := mat.NewDense(m, n, nil)
		for j := range n {
			col := make([]float64, m)
			for i := range col {
				col[i] = rng.NormFloat64()
				p.right[i] += col[i] * inside[j]
				a.Set(i, j, col[i])
			}
			p.add(col, rng.Float64())
		}
		want, _, err := lp.Simplex(p.cost, a, p.right, 1e-10, nil)
		require.NoError(t, err)
		x, err := p.solve()
		require.NoError(t, err)
		var got float64
		for j := range x {
			assert.GreaterOrEqual(t, x[j], 0.0)
			got += p.cost[j] * x[j]
		}
		assert.InDelta(t, want, got, 1e-6*(1+want))
		solved++
	}
	assert.Equal(t, 200, solved)
}

func TestSimplexEdges(t *testing.T) {
	// x = 1 and x = 2 contradict; x + y = 1 twice does not.
	p := program{right: []float64{1, 2}}
	p.add([]float64{1, 1}, 1)
	_, err := p.solve()
	assert.ErrorIs(t, err, errInfeasible)
	p = program{right: []float64{1, 1}}
	p.add([]float64{1, 1}, 1)
	p.add([]float64{1, 1}, 3)
	x, err := p.solve()
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{1, 0}, x, 1e-12)
	// x = -1 with x >= 0.
	p = program{right: []float64{-1}}
	p.add([]float64{1}, 1)
	_, err = p.solve()
	assert.ErrorIs(t, err, errInfeasible)
	// Nothing to hold.
	p = program{right: []float64{0, 0}}
	p.add([]float64{1, 0}, 1)
	p.add([]float64{-1, 1}, 1)
	x, err = p.solve()
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{0, 0}, x, 1e-12)
	// Beale's example of a program on which the plain rule cycles (E. M. L.
	// Beale, Naval Research Logistics Quarterly 2, 1955; from memory), optimum
	// -1/20.
	p = program{right: []float64{0, 0, 1}}
	p.add([]float64{0.25, 0.5, 0}, -0.75)
	p.add([]float64{-60, -90, 0}, 150)
	p.add([]float64{-0.04, -0.02, 1}, -0.02)
	p.add([]float64{9, 3, 0}, 6)
	p.add([]float64{1, 0, 0}, 0)
	p.add([]float64{0, 1, 0}, 0)
	p.add([]float64{0, 0, 1}, 0)
	x, err = p.solve()
	require.NoError(t, err)
	assert.InDelta(t, 0.04, x[0], 1e-9)
	assert.InDelta(t, 1, x[2], 1e-9)
}
