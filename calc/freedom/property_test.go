package freedom

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// draw gives locators on a coarse grid, so that they are often in line or fight.
func draw(t *rapid.T, least, most int) []Locator {
	var ls []Locator
	grid := rapid.SampledFrom([]float64{-60, -20, 0, 20, 60})
	for range rapid.IntRange(least, most).Draw(t, "locators") {
		n := rapid.SampledFrom([][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {-1, 0, 0}, {0, 0, -1}, {1, 1, 0}, {0, 3, 4}, {1, -2, 2}}).Draw(t, "normal")
		ls = append(ls, Locator{[3]float64{grid.Draw(t, "x"), grid.Draw(t, "y"), grid.Draw(t, "z")}, n})
	}
	return ls
}

// rotate turns a vector about an axis (Rodrigues).
func rotate(v, axis [3]float64, angle float64) [3]float64 {
	s, c := math.Sincos(angle)
	return add(add(scaled(v, c), scaled(cross(axis, v), s)), scaled(axis, dot(axis, v)*(1-c)))
}

func TestMovingTheSetUpChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ls := draw(t, 1, 9)
		axis, err := unit([3]float64{1, rapid.Float64Range(-1, 1).Draw(t, "ay"), rapid.Float64Range(-1, 1).Draw(t, "az")})
		require.NoError(t, err)
		angle := rapid.Float64Range(-3, 3).Draw(t, "angle")
		by := [3]float64{rapid.Float64Range(-90, 90).Draw(t, "dx"), 7, -4}
		moved := make([]Locator, len(ls))
		for i, l := range ls {
			moved[i] = Locator{add(rotate(l.At, axis, angle), by), scaled(rotate(l.Normal, axis, angle), 2.5)}
		}
		f, err := Space(ls, Options{})
		require.NoError(t, err)
		g, err := Space(moved, Options{})
		require.NoError(t, err)
		assert.Equal(t, f.Rank, g.Rank)
		assert.Equal(t, f.Essential, g.Essential)
		require.Equal(t, len(f.Groups), len(g.Groups))
		for i := range f.Groups {
			assert.Equal(t, f.Groups[i].Members, g.Groups[i].Members)
			assert.Equal(t, f.Groups[i].Surplus, g.Groups[i].Surplus)
		}
		p, d := [3]float64{30, -10, 5}, [3]float64{1, 2, 3}
		a, errA := f.Influence(p, d)
		b, errB := g.Influence(add(rotate(p, axis, angle), by), rotate(d, axis, angle))
		require.Equal(t, errA == nil, errB == nil)
		if f.Fixed() {
			assert.InDeltaSlice(t, []float64(a), []float64(b), 1e-6)
		}
	})
}

func TestWhatIsFreeIsFree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ls := draw(t, 0, 7)
		centre := [3]float64{rapid.Float64Range(-50, 50).Draw(t, "cx"), 3, 0}
		f, err := Space(ls, Options{Centre: centre})
		require.NoError(t, err)
		assert.Len(t, f.Free, 6-f.Rank)
		assert.Equal(t, len(ls)-f.Rank, f.Redundancy)
		twists := mat.NewDense(max(1, len(f.Free)), 6, nil)
		for i, m := range f.Free {
			var v, w [3]float64
			switch m.Kind {
			case Shift:
				v = m.Along
			default:
				w = m.Along
				v = add(cross(m.Through, w), scaled(w, m.Lead/(2*math.Pi)))
				// The axis passes nearest to the centre there.
				assert.InDelta(t, 0, dot(w, add(m.Through, scaled(centre, -1))), 1e-6)
			}
			assert.InDelta(t, 1, norm(m.Along), 1e-9)
			for _, l := range ls {
				n, err := unit(l.Normal)
				require.NoError(t, err)
				assert.InDelta(t, 0, dot(n, add(v, cross(w, l.At))), 1e-5, "%v at %v", m, l)
			}
			twists.SetRow(i, []float64{v[0], v[1], v[2], 50 * w[0], 50 * w[1], 50 * w[2]})
		}
		if len(f.Free) > 0 { // none is a mixture of the others
			var svd mat.SVD
			require.True(t, svd.Factorize(twists, mat.SVDNone))
			s := svd.Values(nil)
			assert.Greater(t, s[len(f.Free)-1], 1e-6*s[0])
		}
	})
}

// rankOf is the rank by determinants of nothing but the rows: Gaussian
// elimination with full pivoting.
func rankOf(rows [][]float64) int {
	m := make([][]float64, len(rows))
	for i := range rows {
		m[i] = append([]float64(nil), rows[i]...)
		for j := len(m[i]) / 2; j < len(m[i]); j++ {
			m[i][j] /= 50
		}
	}
	rank := 0
	for rank < len(m) {
		pi, pj := rank, 0
		for i := rank; i < len(m); i++ {
			for j := range m[i] {
				if math.Abs(m[i][j]) > math.Abs(m[pi][pj]) {
					pi, pj = i, j
				}
			}
		}
		if math.Abs(m[pi][pj]) < 1e-8 {
			break
		}
		m[rank], m[pi] = m[pi], m[rank]
		for i := rank + 1; i < len(m); i++ {
			k := m[i][pj] / m[rank][pj]
			for j := range m[i] {
				m[i][j] -= k * m[rank][j]
			}
		}
		rank++
	}
	return rank
}

func TestGroupsByTakingLocatorsAway(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ls := draw(t, 1, 9)
		f, err := Space(ls, Options{})
		require.NoError(t, err)
		require.Equal(t, rankOf(f.Rows), f.Rank)
		drop := func(rows [][]float64, i int) [][]float64 {
			return append(append([][]float64(nil), rows[:i]...), rows[i+1:]...)
		}
		essential := map[int]bool{}
		for _, k := range f.Essential {
			essential[k] = true
		}
		for i := range ls {
			// Essential means that the rank falls without it.
			assert.Equal(t, rankOf(drop(f.Rows, i)) < f.Rank, essential[i], "locator %d", i)
		}
		surplus := 0
		for _, g := range f.Groups {
			surplus += g.Surplus
			assert.Len(t, g.Circuits, g.Surplus)
			for _, c := range g.Circuits {
				var rows [][]float64
				sum := make([]float64, 6)
				for i, k := range c.Members {
					rows = append(rows, f.Rows[k])
					for j := range sum {
						sum[j] += c.Shares[i] * f.Rows[k][j]
					}
					assert.LessOrEqual(t, math.Abs(c.Shares[i]), 1+1e-8)
					if k == c.Lead {
						assert.InDelta(t, 1, c.Shares[i], 1e-12)
					}
					assert.Contains(t, g.Members, k)
				}
				assert.InDeltaSlice(t, make([]float64, 6), sum, 1e-6)
				// One too many, and none too many without any one of them.
				assert.Equal(t, len(rows)-1, rankOf(rows))
				for i := range rows {
					assert.Equal(t, len(rows)-1, rankOf(drop(rows, i)))
				}
			}
		}
		assert.Equal(t, f.Redundancy, surplus)
	})
}

// TestPoseAgainstExactContacts moves flat faces of a block against ball-ended
// locators, without linearising: with the pose found, every contact must be
// closed but for terms of the second order.
func TestPoseAgainstExactContacts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y, x := [3]float64{0, 1, 0}, [3]float64{1, 0, 0}
		ls := append(Seat([3]float64{20, 15, 0}, [3]float64{100, 15, 0}, [3]float64{60, 65, 0}),
			Locator{[3]float64{25, 0, 20}, y}, Locator{[3]float64{95, 0, 20}, y}, Locator{[3]float64{0, 40, 20}, x})
		f, err := Space(ls, Options{})
		require.NoError(t, err)
		proud := make([]float64, 6)
		for i := range proud {
			proud[i] = rapid.Float64Range(-0.05, 0.05).Draw(t, "proud")
		}
		p, err := f.Pose(proud)
		require.NoError(t, err)
		angle := norm(p.Turn)
		axis := [3]float64{0, 0, 1}
		if angle > 0 {
			axis = scaled(p.Turn, 1/angle)
		}
		for i, l := range ls {
			// The face through the nominal contact, turned and shifted; the tip
			// of the locator must lie in it.
			n := rotate(l.Normal, axis, angle)
			face := add(rotate(l.At, axis, angle), p.Shift)
			tip := add(l.At, scaled(l.Normal, proud[i]))
			assert.InDelta(t, 0, dot(n, add(tip, scaled(face, -1))), 3e-4)
			assert.InDelta(t, proud[i], dot(l.Normal, p.At(l.At)), 1e-12)
		}
		a, err := f.Influence([3]float64{90, 55, 40}, [3]float64{1, 2, -1})
		require.NoError(t, err)
		along, err := a.Along(proud)
		require.NoError(t, err)
		n, err := unit([3]float64{1, 2, -1})
		require.NoError(t, err)
		assert.InDelta(t, dot(n, p.At([3]float64{90, 55, 40})), along, 1e-12)
		tol := []float64{0.05, 0.05, 0.05, 0.05, 0.05, 0.05}
		worst, err := a.Worst(tol)
		require.NoError(t, err)
		rss, err := a.RootSumSquare(tol)
		require.NoError(t, err)
		assert.LessOrEqual(t, math.Abs(along), worst+1e-12)
		assert.LessOrEqual(t, rss, worst+1e-12)
	})
}

// TestWildValues: whatever is accepted gives numbers.
func TestWildValues(t *testing.T) {
	wild := rapid.SampledFrom([]float64{0, 1e-300, 1e-12, -1e-6, 1, 5, -20, 1e3, -1e6, 5e8, 1e30, math.NaN()})
	three := func(t *rapid.T, name string) [3]float64 {
		return [3]float64{wild.Draw(t, name), wild.Draw(t, name), wild.Draw(t, name)}
	}
	accepted := 0
	rapid.Check(t, func(t *rapid.T) {
		var ls []Locator
		for range rapid.IntRange(0, 7).Draw(t, "locators") {
			ls = append(ls, Locator{three(t, "at"), three(t, "normal")})
		}
		for _, look := range []func([]Locator, Options) (*Freedom, error){Plane, Space} {
			f, err := look(ls, Options{Centre: [3]float64{1, 2, 3}})
			if err != nil {
				continue
			}
			accepted++
			assert.True(t, finite(f.Spread))
			assert.True(t, finite(f.Singular...))
			for _, m := range f.Free {
				assert.True(t, finite(m.Lead))
				assert.True(t, finite(m.Along[:]...), "%v", m)
				assert.True(t, finite(m.Through[:]...), "%v", m)
			}
			for _, g := range f.Groups {
				for _, c := range g.Circuits {
					assert.True(t, finite(c.Shares...))
				}
			}
			if p, err := f.Pose(make([]float64, len(ls))); err == nil {
				assert.True(t, finite(p.Shift[:]...))
			}
			if a, err := f.Influence([3]float64{1, 1, 1}, [3]float64{1, 0, 0}); err == nil {
				assert.True(t, finite(a...))
			}
		}
	})
	assert.Positive(t, accepted)
}
