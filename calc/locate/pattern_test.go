package locate

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// ring draws two to six pins that do not overlap, round and relieved at any
// angle, with holes off by up to spread in both directions.
func ring(t *rapid.T, least, most int, spread float64) (pins []Pin, holes []Hole) {
	n := rapid.IntRange(least, most).Draw(t, "pins")
	radius := rapid.Float64Range(40, 150).Draw(t, "radius")
	for k := range n {
		a := (float64(k) + rapid.Float64Range(-0.25, 0.25).Draw(t, "off")) * 2 * math.Pi / float64(n)
		s, c := math.Sincos(a)
		l := radius * rapid.Float64Range(0.7, 1.3).Draw(t, "out")
		d := rapid.Float64Range(4, 12).Draw(t, "d")
		p := Pin{X: l * c, Y: l * s, D: d}
		if rapid.Bool().Draw(t, "relieved") {
			p.Kind = Relieved
			p.Land = d * rapid.Float64Range(0.05, 1).Draw(t, "land/d")
			p.ReliefAxis = rapid.Float64Range(-4, 4).Draw(t, "axis")
		}
		pins = append(pins, p)
		holes = append(holes, Hole{
			p.X + rapid.Float64Range(-spread, spread).Draw(t, "dx"),
			p.Y + rapid.Float64Range(-spread, spread).Draw(t, "dy"),
			d + rapid.Float64Range(0.005, 0.08).Draw(t, "clearance"),
		})
	}
	return pins, holes
}

func TestPatternMovesWithTheSetUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pins, holes := ring(t, 2, 6, 0.03)
		dx := rapid.Float64Range(-200, 200).Draw(t, "move x")
		dy := rapid.Float64Range(-200, 200).Draw(t, "move y")
		turn := rapid.Float64Range(-3, 3).Draw(t, "turn of all")
		s, c := math.Sincos(turn)
		move := func(x, y float64) (float64, float64) { return c*x - s*y + dx, s*x + c*y + dy }
		pins2, holes2 := append([]Pin(nil), pins...), append([]Hole(nil), holes...)
		for k := range pins {
			pins2[k].X, pins2[k].Y = move(pins[k].X, pins[k].Y)
			pins2[k].ReliefAxis += turn
			holes2[k].X, holes2[k].Y = move(holes[k].X, holes[k].Y)
		}
		p, err := Pattern(pins, holes)
		require.NoError(t, err)
		p2, err := Pattern(pins2, holes2)
		require.NoError(t, err)
		assert.InDelta(t, p.Margin, p2.Margin, 1e-11)
		// The part alone can lie anywhere.
		p3, err := Pattern(pins, holes2)
		require.NoError(t, err)
		assert.InDelta(t, p.Margin, p3.Margin, 1e-11)
		// Nor does the order of the pins matter.
		last := len(pins) - 1
		pins2[0], pins2[last], holes2[0], holes2[last] = pins2[last], pins2[0], holes2[last], holes2[0]
		p4, err := Pattern(pins2, holes2)
		require.NoError(t, err)
		assert.InDelta(t, p.Margin, p4.Margin, 1e-11)

		if p.Margin < 1e-6 {
			return
		}
		lo, hi, err := p.AngleRange()
		require.NoError(t, err)
		lo2, hi2, err := p2.AngleRange()
		require.NoError(t, err)
		assert.InDelta(t, lo, lo2, 1e-11)
		assert.InDelta(t, hi, hi2, 1e-11)
		at, d := [2]float64{30, -20}, [2]float64{0.6, 0.8}
		ax, ay := move(at[0], at[1])
		plus, minus, err := p.Play(at, d)
		require.NoError(t, err)
		plus2, minus2, err := p2.Play([2]float64{ax, ay}, [2]float64{c*d[0] - s*d[1], s*d[0] + c*d[1]})
		require.NoError(t, err)
		assert.InDelta(t, plus, plus2, 2e-9)
		assert.InDelta(t, minus, minus2, 2e-9)
	})
}

func TestClearanceNeverLowersTheMargin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pins, holes := ring(t, 2, 6, 0.03)
		p, err := Pattern(pins, holes)
		require.NoError(t, err)
		k := rapid.IntRange(0, len(pins)-1).Draw(t, "which")
		wider := append([]Hole(nil), holes...)
		wider[k].D += rapid.Float64Range(0, 0.05).Draw(t, "more")
		w, err := Pattern(pins, wider)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, w.Margin, p.Margin-1e-12)
		if pins[k].Kind == Relieved { // a narrower land does not either
			narrow := append([]Pin(nil), pins...)
			narrow[k].Land *= rapid.Float64Range(0.2, 1).Draw(t, "narrower")
			q, err := Pattern(narrow, holes)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, q.Margin, p.Margin-1e-12)
		}
		// What the margin means: all holes smaller by it, and it is used up.
		less := append([]Hole(nil), holes...)
		for k := range less {
			less[k].D -= 2 * p.Margin
		}
		z, err := Pattern(pins, less)
		require.NoError(t, err)
		assert.InDelta(t, 0, z.Margin, 1e-11)
		if p.Margin > 1e-6 {
			at, d := [2]float64{100, 10}, [2]float64{1, 2}
			plus, minus, err := p.Play(at, d)
			require.NoError(t, err)
			plus2, minus2, err := w.Play(at, d)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, plus2, plus-1e-9)
			assert.GreaterOrEqual(t, minus2, minus-1e-9)
			assert.GreaterOrEqual(t, plus+minus, 2*p.Margin-1e-9, "at least the margin in every direction")
		}
	})
}

// TestSolverAgainstClosedForms: the general search knows nothing of the two-pin
// formulas (see TwoPins).
func TestSolverAgainstClosedForms(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pins, holes := drawSetUp(t, drawShare(t))
		r, err := TwoPins(pins, holes)
		require.NoError(t, err)
		_, s := newBoard(pins[:], holes[:]).best()
		assert.InDelta(t, r.Margin, -s.v, 1e-11)
		p, err := Pattern(pins[:], holes[:])
		require.NoError(t, err)
		assert.Equal(t, r.Margin, p.Margin)
		assert.Equal(t, r.GoesOn, p.GoesOn)
		assert.Equal(t, r.Binds, p.Binds)
		again, ok := p.TwoPins()
		assert.True(t, ok)
		assert.InDelta(t, r.Margin, again.Margin, 1e-12)
		again.Margin = r.Margin
		assert.Equal(t, r, again)
	})
}

// TestMorePinsNeverHelp: a pin taken away cannot lower the margin, and the worst
// pair of pins bounds it from above.
func TestMorePinsNeverHelp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pins, holes := ring(t, 3, 6, 0.03)
		p, err := Pattern(pins, holes)
		require.NoError(t, err)
		fewer, err := Pattern(pins[1:], holes[1:])
		require.NoError(t, err)
		assert.GreaterOrEqual(t, fewer.Margin, p.Margin-1e-12)
		for k := range pins {
			for j := range k {
				r, err := TwoPins([2]Pin{pins[j], pins[k]}, [2]Hole{holes[j], holes[k]})
				require.NoError(t, err)
				assert.LessOrEqual(t, p.Margin, r.Margin+1e-12)
			}
		}
	})
}

// TestPoseHasTheMargin puts the part where Pose says and looks at every pin.
func TestPoseHasTheMargin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pins, holes := ring(t, 2, 6, 0.03)
		for k := range holes { // a part that lies somewhere else
			holes[k].X, holes[k].Y = 20-holes[k].Y, holes[k].X-35
		}
		p, err := Pattern(pins, holes)
		require.NoError(t, err)
		least := math.Inf(1)
		for k := range pins {
			h := vec{holes[k].X, holes[k].Y}.rot(p.Pose.Angle)
			g := region{r: pins[k].D / 2, rho: holes[k].D / 2}
			if pins[k].Kind == Relieved {
				g.relieve(pins[k].Land, pins[k].ReliefAxis)
			}
			room := -g.excess(h.add(vec{p.Pose.X - pins[k].X, p.Pose.Y - pins[k].Y}))
			least = min(least, room)
			binds := false
			for _, b := range p.Binds {
				binds = binds || b.Pin == k+1
			}
			if !binds && len(pins) > 2 {
				assert.Greater(t, room, p.Margin+5e-10, "pin %d has room to spare", k+1)
			}
		}
		assert.InDelta(t, p.Margin, least, 1e-11)
		assert.NotEmpty(t, p.Binds)
	})
}

func TestRandomPosesNeverBeatAPattern(t *testing.T) {
	const cloudError = 2e-7
	rng := rand.New(rand.NewSource(7))
	reached, total := 0, 0
	for i := range 24 {
		n := 3 + i%3
		var pins []Pin
		var holes []Hole
		for k := range n {
			at := vec{50 + 60*rng.Float64(), 0}.rot(2 * math.Pi * (float64(k) + 0.3*rng.Float64()) / float64(n))
			d := 5 + 8*rng.Float64()
			p := Pin{X: at.x, Y: at.y, D: d}
			if (i>>k)&1 == 1 {
				p.Kind, p.Land, p.ReliefAxis = Relieved, d*(0.1+0.4*rng.Float64()), 6*rng.Float64()
			}
			pins = append(pins, p)
			holes = append(holes, Hole{at.x + 0.02*rng.Float64(), at.y + 0.02*rng.Float64(), d + 0.03 + 0.05*rng.Float64()})
		}
		p, err := Pattern(pins, holes)
		require.NoError(t, err)
		require.True(t, p.GoesOn)
		b := newBrute(pins, holes)
		margin := climb(rng, 100, 0.05, b.room)
		assert.LessOrEqual(t, margin, p.Margin+cloudError, "pattern %d", i)
		assert.InDelta(t, p.Margin, margin, 0.003, "pattern %d: the search comes near", i)

		least, most, err := p.AngleRange()
		require.NoError(t, err)
		s, dir := vec{40, 70}, vec{1, 0}.rot(6*rng.Float64())
		plus, minus, err := p.Play([2]float64{s.x, s.y}, [2]float64{dir.x, dir.y})
		require.NoError(t, err)
		bounded := func(objective func([3]float64) float64, limit float64, what string) {
			got := climb(rng, 100, 0.05, func(x [3]float64) float64 {
				if short := b.room(x); short < 0 {
					return -1e3 + short // first find the way in
				}
				return objective(x)
			})
			// The cloud lets the part 2e-7 too deep in, which a flat contact
			// makes more of.
			assert.LessOrEqual(t, got, limit+2e-6, "pattern %d: %s", i, what)
			total++
			if got > limit-0.004 {
				reached++
			}
		}
		bounded(func(x [3]float64) float64 { return b.move(x, s, dir) }, plus, "plus")
		bounded(func(x [3]float64) float64 { return b.move(x, s, dir.scale(-1)) }, minus, "minus")
		bounded(func(x [3]float64) float64 { return x[2] * 100 }, most*100, "turn one way")
		bounded(func(x [3]float64) float64 { return -x[2] * 100 }, -least*100, "turn the other way")
	}
	assert.Greater(t, float64(reached)/float64(total), 0.8, "the bounds are close, not merely large")
}

func TestTenPins(t *testing.T) {
	// Ten round pins on a circle, the holes on a circle larger by 0.03 in
	// radius: by symmetry the part sits in the middle and every pin is off by
	// 0.03. Clearances of 0.05 in radius leave 0.02.
	var pins []Pin
	var holes []Hole
	for k := range 10 {
		s, c := math.Sincos(2 * math.Pi * float64(k) / 10)
		pins = append(pins, Pin{X: 100 * c, Y: 100 * s, D: 10})
		holes = append(holes, Hole{100.03 * c, 100.03 * s, 10.1})
	}
	p, err := Pattern(pins, holes)
	require.NoError(t, err)
	assert.InDelta(t, 0.02, p.Margin, 1e-12)
	assert.Len(t, p.Binds, 10)
	_, two := p.TwoPins()
	assert.False(t, two)
	// Turned to the end of the angle range every hole stands 0.05 from its pin:
	// 0.05² = 100² + 100.03² - 2·100·100.03·cos(angle).
	least, most, err := p.AngleRange()
	require.NoError(t, err)
	angle := math.Acos((100*100 + 100.03*100.03 - 0.05*0.05) / (2 * 100 * 100.03))
	assert.InDelta(t, angle, most, 1e-10)
	assert.InDelta(t, -angle, least, 1e-10)
}

func TestPatternErrors(t *testing.T) {
	good := func() ([]Pin, []Hole) { return fourPins(1) }
	for _, c := range []struct {
		name  string
		spoil func(p []Pin, h []Hole) ([]Pin, []Hole)
		says  string
	}{
		{"a hole too few", func(p []Pin, h []Hole) ([]Pin, []Hole) { return p, h[1:] }, "every pin needs its hole"},
		{"one pin", func(p []Pin, h []Hole) ([]Pin, []Hole) { return p[:1], h[:1] }, "turns freely"},
		{"no pin", func([]Pin, []Hole) ([]Pin, []Hole) { return nil, nil }, "two pins or more"},
		{"pins overlap", func(p []Pin, h []Hole) ([]Pin, []Hole) { p[2].Y = p[1].Y + 1; return p, h }, "pins 2 and 3 overlap"},
		{"holes coincide", func(p []Pin, h []Hole) ([]Pin, []Hole) { h[3] = h[0]; return p, h }, "holes 1 and 4 are at the same place"},
		{"pin size", func(p []Pin, h []Hole) ([]Pin, []Hole) { p[3].D = math.NaN(); return p, h }, "pin 4: the diameter"},
		{"hole size", func(p []Pin, h []Hole) ([]Pin, []Hole) { h[2].D = 1e10; return p, h }, "hole 3: the diameter 1e+10 mm is too large"},
		{"land", func(p []Pin, h []Hole) ([]Pin, []Hole) { p[3].Land = 9; return p, h }, "pin 4: the land"},
		{"far away", func(p []Pin, h []Hole) ([]Pin, []Hole) { p[0].X = 1e300; return p, h }, "too large to compute"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, h := c.spoil(good())
			_, err := Pattern(p, h)
			assert.ErrorContains(t, err, c.says)
			_, err = Simulate(p, h, Scatter{}, 10, 1)
			assert.ErrorContains(t, err, c.says)
			_, err = Worst(p, h, nil, nil)
			assert.ErrorContains(t, err, c.says)
		})
	}
	pins, holes := good()
	p, err := Pattern(pins, holes)
	require.NoError(t, err)
	_, _, err = p.Play([2]float64{}, [2]float64{})
	assert.ErrorContains(t, err, "no length")
	_, _, err = p.Play([2]float64{1e300, 0}, [2]float64{1, 0})
	assert.ErrorContains(t, err, "too far away")
	holes[0].X += 0.2
	p, err = Pattern(pins, holes)
	require.NoError(t, err)
	assert.False(t, p.GoesOn)
	_, _, err = p.Play([2]float64{}, [2]float64{1, 0})
	assert.ErrorIs(t, err, ErrDoesNotGoOn)

	// Holes so wide that the part turns as it likes.
	p, err = Pattern([]Pin{{D: 4}, {X: 20, D: 4}}, []Hole{{D: 40}, {X: 20, D: 40}})
	require.NoError(t, err)
	assert.True(t, p.GoesOn)
	_, _, err = p.AngleRange()
	assert.ErrorContains(t, err, "do not locate it")
}

func TestJustGoesOn(t *testing.T) {
	// Four pins without any clearance: the part goes on and stays put.
	var pins []Pin
	var holes []Hole
	for k := range 4 {
		at := vec{60, 0}.rot(math.Pi * float64(k) / 2)
		pins = append(pins, Pin{X: at.x, Y: at.y, D: 8})
		holes = append(holes, Hole{at.x, at.y, 8})
	}
	for _, off := range []float64{0, 1.5e-9} { // within Tolerance
		holes[0].X = pins[0].X + off
		p, err := Pattern(pins, holes)
		require.NoError(t, err)
		assert.InDelta(t, 0, p.Margin, 1e-9)
		assert.True(t, p.GoesOn)
		least, most, err := p.AngleRange()
		require.NoError(t, err)
		assert.InDelta(t, 0, least, 1e-7)
		assert.InDelta(t, 0, most, 1e-7)
		assert.LessOrEqual(t, least, most)
		plus, minus, err := p.Play([2]float64{10, 10}, [2]float64{1, 1})
		require.NoError(t, err)
		assert.InDelta(t, 0, plus, 1e-5)
		assert.InDelta(t, 0, minus, 1e-5)
	}
	holes[0].X = pins[0].X + 1e-8
	p, err := Pattern(pins, holes)
	require.NoError(t, err)
	assert.False(t, p.GoesOn)
}
