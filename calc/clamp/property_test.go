package clamp

import (
	"errors"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// block is a 3-2-1 set-up with a clamp against each side.
func block(mu float64) (locs, clamps []Contact) {
	x, y, z := [3]float64{1, 0, 0}, [3]float64{0, 1, 0}, [3]float64{0, 0, 1}
	locs = []Contact{{[3]float64{20, 15, 0}, z, mu}, {[3]float64{100, 15, 0}, z, mu}, {[3]float64{60, 65, 0}, z, mu},
		{[3]float64{25, 0, 20}, y, mu}, {[3]float64{95, 0, 20}, y, mu}, {[3]float64{0, 40, 20}, x, mu}}
	clamps = []Contact{{[3]float64{60, 30, 40}, [3]float64{0, 0, -1}, mu}, {[3]float64{60, 80, 20}, [3]float64{0, -1, 0}, mu}, {[3]float64{120, 40, 20}, [3]float64{-1, 0, 0}, 0}}
	return locs, clamps
}

func drawLoad(t *rapid.T) Load {
	f := rapid.Float64Range(-1000, 1000)
	return Load{
		Force:  [3]float64{f.Draw(t, "fx"), f.Draw(t, "fy"), f.Draw(t, "fz")},
		At:     [3]float64{rapid.Float64Range(0, 120).Draw(t, "x"), rapid.Float64Range(0, 80).Draw(t, "y"), 40},
		Moment: [3]float64{0, 0, rapid.Float64Range(-5000, 5000).Draw(t, "mz")},
	}
}

// TestNeverMoreThanABalanceNeeds makes up contact forces within the friction
// polygon, takes the load that they balance, and asks for the least clamps.
func TestNeverMoreThanABalanceNeeds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		locs, clamps := block(rapid.SampledFrom([]float64{0, 0.1, 0.3}).Draw(t, "mu"))
		const sides = 8
		share := rapid.Float64Range(0, 100)
		var sum [6]float64
		var used float64
		length := reach(locs, clamps)
		for i, c := range append(append([]Contact(nil), locs...), clamps...) {
			edges, err := cone(c, sides, length)
			require.NoError(t, err)
			for _, e := range edges {
				s := share.Draw(t, "share")
				for k := range sum {
					sum[k] += s * e[k]
				}
				if i >= len(locs) {
					used += s
				}
			}
		}
		load := Load{Force: [3]float64{-sum[0], -sum[1], -sum[2]}, Moment: [3]float64{-sum[3] * length, -sum[4] * length, -sum[5] * length}}
		h, err := Hold(locs, clamps, []Load{load}, Options{Safety: 1, Sides: sides})
		require.NoError(t, err)
		assert.LessOrEqual(t, h.Total, used+1e-5)
	})
}

// TestBalanceIsReal adds up the forces of the solution, contact by contact, and
// looks whether each stays in its cone and each clamp pushes as told.
func TestBalanceIsReal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		locs, clamps := block(0.25)
		s := setUp{clamps: len(clamps), length: reach(locs, clamps), size: 1000,
			goal: rapid.SampledFrom([]Goal{LeastSum, LeastLargest}).Draw(t, "goal")}
		all := append(append([]Contact(nil), locs...), clamps...)
		for _, c := range all {
			edges, err := cone(c, 12, s.length)
			require.NoError(t, err)
			s.edges = append(s.edges, edges)
		}
		for range rapid.IntRange(1, 3).Draw(t, "loads") {
			w, err := drawLoad(t).wrench()
			require.NoError(t, err)
			s.loads = append(s.loads, w.column(s.length))
		}
		x, err := s.solve()
		if err != nil {
			require.ErrorIs(t, err, errInfeasible)
			return
		}
		at := s.first()
		for _, load := range s.loads {
			sum := append([]float64(nil), load...)
			for k, c := range all {
				var force [3]float64
				for _, e := range s.edges[k] {
					require.GreaterOrEqual(t, x[at], 0.0)
					for i := range sum {
						sum[i] += x[at] * e[i]
					}
					for i := range force {
						force[i] += x[at] * e[i]
					}
					at++
				}
				n, err := c.normal()
				require.NoError(t, err)
				push := force[0]*n[0] + force[1]*n[1] + force[2]*n[2]
				side := math.Sqrt(math.Max(0, force[0]*force[0]+force[1]*force[1]+force[2]*force[2]-push*push))
				assert.LessOrEqual(t, side, c.Mu*push+1e-3, "Coulomb")
				if k >= len(locs) {
					assert.InDelta(t, x[k-len(locs)], push, 1e-4, "the same clamp force for all loads")
				}
			}
			assert.InDeltaSlice(t, make([]float64, 6), sum, 1e-4)
		}
	})
}

func TestMoreOrLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		locs, clamps := block(0.2)
		load, other := drawLoad(t), drawLoad(t)
		o := Options{Safety: 1, Sides: 8}
		h, err := Hold(locs, clamps, []Load{load}, o)
		if err != nil {
			require.ErrorIs(t, err, ErrCannotHold)
			return
		}
		tol := 1e-6 * (1 + h.Total)
		// Twice the load is twice the clamp, whether by the load or the factor.
		twice, err := Hold(locs, clamps, []Load{load}, Options{Safety: 2, Sides: 8})
		require.NoError(t, err)
		assert.InDelta(t, 2*h.Total, twice.Total, 2*tol)
		// More friction and a finer polygon with the same corners never cost.
		rough, roughClamps := block(0.3)
		more, err := Hold(rough, roughClamps, []Load{load}, o)
		require.NoError(t, err)
		assert.LessOrEqual(t, more.Total, h.Total+tol)
		fine, err := Hold(locs, clamps, []Load{load}, Options{Safety: 1, Sides: 24})
		require.NoError(t, err)
		assert.LessOrEqual(t, fine.Total, h.Total+tol)
		// Another load never helps, and alone it needs no more.
		both, err := Hold(locs, clamps, []Load{load, other}, o)
		if err == nil {
			assert.GreaterOrEqual(t, both.Total, h.Total-tol)
			assert.InDelta(t, h.Total, both.Alone[0], tol)
			assert.GreaterOrEqual(t, both.Total, both.Alone[1]-1e-6*(1+both.Total))
		} else {
			require.True(t, errors.Is(err, ErrCannotHold), "%v", err)
		}
		// The set-up moved as a whole.
		shift := func(cs []Contact) (out []Contact) {
			for _, c := range cs {
				for i := range c.At {
					c.At[i] += float64(10 + 20*i)
				}
				out = append(out, c)
			}
			return out
		}
		moved := load
		for i := range moved.At {
			moved.At[i] += float64(10 + 20*i)
		}
		m, err := Hold(shift(locs), shift(clamps), []Load{moved}, o)
		require.NoError(t, err)
		assert.InDelta(t, h.Total, m.Total, 10*tol)
	})
}

// TestSeatBalances adds up forces and moments.
func TestSeatBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		locs, _ := block(0)
		if rapid.Bool().Draw(t, "a fourth rest") {
			locs = append(locs, rest(20, 65, 0))
		}
		a, b := drawLoad(t), drawLoad(t)
		s, err := Seat(locs, a, b)
		require.NoError(t, err)
		var sum wrench
		for _, l := range []Load{a, b} {
			w, err := l.wrench()
			require.NoError(t, err)
			for k := range sum {
				sum[k] += w[k]
			}
		}
		least := math.Inf(1)
		for i, c := range locs {
			least = min(least, s.Forces[i])
			w := c.force([3]float64{c.Normal[0] * s.Forces[i], c.Normal[1] * s.Forces[i], c.Normal[2] * s.Forces[i]})
			for k := range sum {
				sum[k] += w[k]
			}
		}
		for _, x := range sum {
			assert.InDelta(t, 0, x, 1e-4)
		}
		assert.Equal(t, s.Stays, len(s.Lifts) == 0)
		assert.Equal(t, s.Stays, least > 1e-6)
		assert.Equal(t, len(locs) == 6, s.Unique)
	})
}

// TestWildValues: whatever is accepted gives numbers.
func TestWildValues(t *testing.T) {
	wild := rapid.SampledFrom([]float64{0, 1e-300, 1e-9, -0.1, 1, 50, -50, 1e5, 1e9, 1e30, math.NaN()})
	three := func(t *rapid.T, name string) [3]float64 {
		return [3]float64{wild.Draw(t, name), wild.Draw(t, name), wild.Draw(t, name)}
	}
	accepted := 0
	rapid.Check(t, func(t *rapid.T) {
		locs, clamps := block(0.2)
		load := Load{Force: three(t, "force"), At: three(t, "at"), Moment: three(t, "moment")}
		locs[0].At, locs[1].Normal, clamps[0].Mu = three(t, "place"), three(t, "normal"), wild.Draw(t, "mu")
		if h, err := Hold(locs, clamps, []Load{load}, Options{Safety: 1}); err == nil {
			accepted++
			for _, n := range append(append([]float64{h.Total, h.Alone[0]}, h.Clamps...), h.Locators[0]...) {
				assert.False(t, math.IsNaN(n) || math.IsInf(n, 0) || n < 0, "%g", n)
			}
		}
		if s, err := Seat(locs, load); err == nil {
			accepted++
			for _, n := range s.Forces {
				assert.False(t, math.IsNaN(n) || math.IsInf(n, 0), "%g", n)
			}
		}
	})
	assert.Positive(t, accepted)
}

// TestFewLoadsDecide compares with the program of all loads at once.
func TestFewLoadsDecide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		locs, clamps := block(0.25)
		o := Options{Safety: 1, Sides: 8, Goal: rapid.SampledFrom([]Goal{LeastSum, LeastLargest}).Draw(t, "goal")}
		s := setUp{clamps: len(clamps), length: reach(locs, clamps), goal: o.Goal}
		require.NoError(t, s.cones(locs, clamps, o.Sides))
		var loads []Load
		for range 4 {
			loads = append(loads, drawLoad(t))
			w, err := loads[len(loads)-1].wrench()
			require.NoError(t, err)
			s.loads, s.size = append(s.loads, w.column(s.length)), max(s.size, w.size(s.length))
		}
		h, err := Hold(locs, clamps, loads, o)
		x, errAll := s.solve()
		require.Equal(t, errAll == nil, err == nil)
		if err != nil {
			t.Skip()
		}
		got := h.Total
		if o.Goal == LeastLargest {
			got = slices.Max(h.Clamps)
		}
		assert.InDelta(t, s.value(x), got, 1e-5*(1+got))
	})
}
