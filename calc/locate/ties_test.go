package locate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// plain is the margin by three searches inside each other, slow and with
// nothing in common with the solver but the definition.
func plain(pins []Pin, holes []Hole) float64 {
	b := newBoard(pins, holes)
	golden := func(f func(float64) float64, lo, hi float64) float64 {
		const g = 0.6180339887498949
		x, y := hi-g*(hi-lo), lo+g*(hi-lo)
		fx, fy := f(x), f(y)
		for range 42 {
			if fx < fy {
				hi, y, fy = y, x, fx
				x = hi - g*(hi-lo)
				fx = f(x)
			} else {
				lo, x, fx = x, y, fy
				y = lo + g*(hi-lo)
				fy = f(y)
			}
		}
		return min(fx, fy)
	}
	return -golden(func(tau float64) float64 {
		b.turn(tau)
		return golden(func(x float64) float64 {
			return golden(func(y float64) float64 {
				_, v := b.worst(vec{x, y})
				return v
			}, -0.3, 0.3)
		}, -0.3, 0.3)
	}, -0.01, 0.01)
}

// TestTies looks at patterns in which many contacts decide at once: rows and
// grids, equal sizes, errors that cancel.
func TestTies(t *testing.T) {
	places := map[string][]vec{
		"row":         {{0, 0}, {40, 0}, {80, 0}, {120, 0}},
		"row of five": {{0, 0}, {30, 0}, {60, 0}, {90, 0}, {120, 0}},
		"square":      {{-40, -40}, {40, -40}, {40, 40}, {-40, 40}},
		"cross":       {{0, 0}, {50, 0}, {-50, 0}, {0, 50}, {0, -50}},
	}
	offs := map[string]func(k int, p vec) vec{
		"exact":     func(int, vec) vec { return vec{} },
		"stretched": func(_ int, p vec) vec { return p.scale(2e-4) },
		"sheared":   func(_ int, p vec) vec { return vec{p.y * 2e-4, 0} },
		"one off":   func(k int, _ vec) vec { return vec{0, []float64{0.02, 0, 0, 0, 0}[k]} },
		"zigzag":    func(k int, _ vec) vec { return vec{0, 0.01 * float64(1-2*(k%2))} },
		"all up":    func(int, vec) vec { return vec{0.5, 0.25} },
	}
	for name, place := range places {
		for how, off := range offs {
			for relieved := range 3 { // none, the last, all
				var pins []Pin
				var holes []Hole
				for k, at := range place {
					p := Pin{X: at.x, Y: at.y, D: 10}
					if relieved == 2 || relieved == 1 && k == len(place)-1 {
						p.Kind, p.Land = Relieved, 3
					}
					o := at.add(off(k, at))
					pins, holes = append(pins, p), append(holes, Hole{o.x, o.y, 10.04})
				}
				p, err := Pattern(pins, holes)
				require.NoError(t, err)
				want := plain(pins, holes)
				// The search gets no closer than 1e-6, and never beyond.
				assert.InDelta(t, want, p.Margin, 3e-6, "%s, %s, relieved %d", name, how, relieved)
				assert.GreaterOrEqual(t, p.Margin, want-1e-12, "%s, %s, relieved %d", name, how, relieved)
			}
		}
	}
}

// TestPlayAgainstAGrid tries many rotations; at each the farthest translation is
// exact.
func TestPlayAgainstAGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pins, holes := ring(t, 2, 5, 0.02)
		p, err := Pattern(pins, holes)
		require.NoError(t, err)
		if p.Margin < 1e-6 {
			return
		}
		s := vec{rapid.Float64Range(-200, 200).Draw(t, "x"), rapid.Float64Range(-200, 200).Draw(t, "y")}
		n := vec{1, 0}.rot(rapid.Float64Range(-3, 3).Draw(t, "direction"))
		plus, _, err := p.Play([2]float64{s.x, s.y}, [2]float64{n.x, n.y})
		require.NoError(t, err)
		b := p.b.copy()
		held := s.sub(b.hc).rot(b.base)
		best := math.Inf(-1)
		const cells = 300
		for i := 1; i < cells; i++ {
			b.turn(p.lo.x + (p.hi.x-p.lo.x)*float64(i)/cells)
			at, _, ok := b.push(n)
			require.True(t, ok)
			_, v := b.worst(at)
			require.LessOrEqual(t, v, 1e-11, "the translation is permitted")
			best = max(best, n.dot(b.pc.add(at).add(b.carried(held)).sub(s)))
		}
		assert.GreaterOrEqual(t, plus, best-1e-9)
		assert.InDelta(t, best, plus, 0.05*(plus+0.1), "and comes near")
	})
}

// TestWildValues: whatever is accepted gives numbers. A sound pattern gets up to
// three wild values, so that both answers come up: refused, and computed.
func TestWildValues(t *testing.T) {
	wild := rapid.SampledFrom([]float64{0, 1e-300, -1e-300, 1e-12, 1e-6, 0.1, 1, 5, -20, 1e3, -1e6, 1e9, 1e30, math.Inf(1), math.NaN()})
	accepted, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 4).Draw(t, "pins")
		pins, holes := make([]Pin, n), make([]Hole, n)
		var values []*float64
		for k := range n {
			x, y := float64(40*k), float64(7*k*k)
			pins[k] = Pin{X: x, Y: y, D: 5, Kind: Kind(rapid.IntRange(0, 1).Draw(t, "kind")), Land: 1}
			holes[k] = Hole{X: x, Y: y, D: 5.01}
			values = append(values, &pins[k].X, &pins[k].Y, &pins[k].D, &pins[k].Land, &pins[k].ReliefAxis, &holes[k].X, &holes[k].Y, &holes[k].D)
		}
		for range rapid.IntRange(0, 3).Draw(t, "wild values") {
			*rapid.SampledFrom(values).Draw(t, "which") = wild.Draw(t, "value")
		}
		p, err := Pattern(pins, holes)
		if err != nil {
			refused++
			return
		}
		accepted++
		assert.True(t, finite(p.Margin, p.Pose.X, p.Pose.Y, p.Pose.Angle))
		assert.True(t, finite(p.Clearances...))
		if lo, hi, err := p.AngleRange(); err == nil {
			assert.True(t, finite(lo, hi))
		}
		if plus, minus, err := p.Play([2]float64{1, 2}, [2]float64{3, 4}); err == nil {
			assert.True(t, finite(plus, minus))
		}
		if n == 2 {
			r, err := TwoPins([2]Pin(pins), [2]Hole(holes))
			require.NoError(t, err)
			assert.True(t, finite(r.Margin, r.Allowance, r.Reach[0], r.Reach[1], r.HandbookReach[0], r.HandbookReach[1]))
		}
	})
	assert.Positive(t, accepted)
	assert.Positive(t, refused)
}
