package locate

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// setUp is a pattern drawn at random, with a mismatch of share times the
// allowance.
func drawSetUp(t *rapid.T, share float64) (pins [2]Pin, holes [2]Hole) {
	angle := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "line angle")
	pitch := rapid.Float64Range(40, 300).Draw(t, "pitch")
	s, c := math.Sincos(angle)
	at := [2][2]float64{{rapid.Float64Range(-50, 50).Draw(t, "x"), rapid.Float64Range(-50, 50).Draw(t, "y")}}
	at[1] = [2]float64{at[0][0] + pitch*c, at[0][1] + pitch*s}
	for k := range pins {
		d := rapid.Float64Range(4, 20).Draw(t, "d")
		pins[k] = Pin{X: at[k][0], Y: at[k][1], D: d}
		if rapid.Bool().Draw(t, "relieved") {
			pins[k].Kind = Relieved
			pins[k].Land = d * rapid.Float64Range(0.05, 0.9).Draw(t, "land/d")
			turn := rapid.SampledFrom([]float64{0, 0.1, 0.2, 0.8, 1.2, math.Pi / 2}).Draw(t, "turn")
			pins[k].ReliefAxis = angle + turn
		}
		holes[k] = Hole{X: at[k][0], Y: at[k][1], D: d + rapid.Float64Range(0.002, 0.06).Draw(t, "clearance")}
	}
	r, err := TwoPins(pins, holes)
	require.NoError(t, err)
	off := share * r.Allowance
	holes[1].X += off * c
	holes[1].Y += off * s
	return pins, holes
}

func drawShare(t *rapid.T) float64 { return rapid.Float64Range(-1.5, 1.5).Draw(t, "share") }

func TestMovingTheSetUpChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pins, holes := drawSetUp(t, drawShare(t))
		dx := rapid.Float64Range(-200, 200).Draw(t, "dx")
		dy := rapid.Float64Range(-200, 200).Draw(t, "dy")
		turn := rapid.Float64Range(-3, 3).Draw(t, "turn of all")
		s, c := math.Sincos(turn)
		move := func(x, y float64) (float64, float64) { return c*x - s*y + dx, s*x + c*y + dy }
		pins2, holes2 := pins, holes
		for k := range pins {
			pins2[k].X, pins2[k].Y = move(pins[k].X, pins[k].Y)
			pins2[k].ReliefAxis += turn
			holes2[k].X, holes2[k].Y = move(holes[k].X, holes[k].Y)
		}
		r1, err := TwoPins(pins, holes)
		require.NoError(t, err)
		r2, err := TwoPins(pins2, holes2)
		require.NoError(t, err)
		assert.InDelta(t, r1.Margin, r2.Margin, 1e-11)
		assert.InDelta(t, r1.Allowance, r2.Allowance, 1e-11)
		assert.InDelta(t, r1.Turn[0], r2.Turn[0], 1e-9)

		// Turning the part alone, or naming the pins the other way, changes no
		// margin either.
		part := holes
		for k := range part {
			part[k].X, part[k].Y = move(holes[k].X, holes[k].Y)
		}
		r3, err := TwoPins(pins, part)
		require.NoError(t, err)
		assert.InDelta(t, r1.Margin, r3.Margin, 1e-11)
		r4, err := TwoPins([2]Pin{pins[1], pins[0]}, [2]Hole{holes[1], holes[0]})
		require.NoError(t, err)
		assert.InDelta(t, r1.Margin, r4.Margin, 1e-11)
		assert.InDelta(t, r1.C1, r4.C2, 1e-12)

		if r1.Margin < 1e-6 { // movement at the very edge is a matter of rounding
			return
		}
		p, d := [2]float64{30, -20}, [2]float64{0.6, 0.8}
		px, py := move(p[0], p[1])
		plus, minus, err := Play(pins, holes, p, d)
		require.NoError(t, err)
		plus2, minus2, err := Play(pins2, holes2, [2]float64{px, py}, [2]float64{c*d[0] - s*d[1], s*d[0] + c*d[1]})
		require.NoError(t, err)
		assert.InDelta(t, plus, plus2, 1e-7)
		assert.InDelta(t, minus, minus2, 1e-7)
	})
}

func TestMoreClearanceNeverHurts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pins, holes := drawSetUp(t, drawShare(t))
		r1, err := TwoPins(pins, holes)
		require.NoError(t, err)
		k := rapid.IntRange(0, 1).Draw(t, "which")
		wider := holes
		wider[k].D += rapid.Float64Range(0, 0.05).Draw(t, "more")
		r2, err := TwoPins(pins, wider)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, r2.Margin, r1.Margin-1e-12)
		assert.GreaterOrEqual(t, r2.Allowance, r1.Allowance-1e-12)

		if pins[k].Kind == Relieved { // nor does a narrower land
			narrow := pins
			narrow[k].Land *= rapid.Float64Range(0.2, 1).Draw(t, "narrower")
			r3, err := TwoPins(narrow, holes)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, r3.Margin, r1.Margin-1e-12)
		}
		if r1.Margin > 1e-6 {
			p, d := [2]float64{100, 10}, [2]float64{1, 2}
			a1, b1, err := Play(pins, holes, p, d)
			require.NoError(t, err)
			a2, b2, err := Play(pins, wider, p, d)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, a2, a1-1e-8)
			assert.GreaterOrEqual(t, b2, b1-1e-8)
		}
	})
}

func TestAllowanceAndMarginAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pins, holes := drawSetUp(t, drawShare(t))
		r, err := TwoPins(pins, holes)
		require.NoError(t, err)
		// Allowance leaves out reach²/(2·pitch).
		second := (r.Allowance*r.Allowance)/r.PitchPins + 1e-9
		if math.Abs(r.Mismatch) < r.Allowance-second {
			assert.True(t, r.GoesOn)
		}
		if math.Abs(r.Mismatch) > r.Allowance+second {
			assert.False(t, r.GoesOn)
		}
		for k := range r.HandbookExcess {
			assert.GreaterOrEqual(t, r.HandbookExcess[k], 0.0)
		}
	})
}

// TestClosedFormsAgainstTheSearch compares the two closed forms with the
// general bisection, which shares nothing with them but the regions: a land as
// wide as the pin makes a relieved pin round, and a turn just over the limit of
// the closed form is as good as none.
func TestClosedFormsAgainstTheSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pitch := rapid.Float64Range(40, 300).Draw(t, "pitch")
		D := rapid.Float64Range(5, 20).Draw(t, "D")
		d1 := D - rapid.Float64Range(0, 0.06).Draw(t, "C1")
		d2 := D - rapid.Float64Range(0, 0.06).Draw(t, "C2")
		land := d2 * rapid.Float64Range(0.05, 0.9).Draw(t, "land/d")
		off := rapid.Float64Range(-0.2, 0.2).Draw(t, "mismatch")
		holes := [2]Hole{{D: D}, {X: pitch + off, D: D}}

		closed, err := TwoPins([2]Pin{{D: d1}, {X: pitch, D: d2}}, holes)
		require.NoError(t, err)
		// Both relieved forces the search.
		search, err := TwoPins([2]Pin{{D: d1, Kind: Relieved, Land: d1}, {X: pitch, D: d2, Kind: Relieved, Land: d2}}, holes)
		require.NoError(t, err)
		assert.InDelta(t, closed.Margin, search.Margin, 1e-11)

		closed, err = TwoPins([2]Pin{{D: d1}, {X: pitch, D: d2, Kind: Relieved, Land: land}}, holes)
		require.NoError(t, err)
		search, err = TwoPins([2]Pin{{D: d1, Kind: Relieved, Land: d1}, {X: pitch, D: d2, Kind: Relieved, Land: land}}, holes)
		require.NoError(t, err)
		assert.InDelta(t, closed.Margin, search.Margin, 1e-11)
		search, err = TwoPins([2]Pin{{D: d1}, {X: pitch, D: d2, Kind: Relieved, Land: land, ReliefAxis: 2e-7}}, holes)
		require.NoError(t, err)
		assert.InDelta(t, closed.Margin, search.Margin, 1e-11)
	})
}

// brute is the definition: pins as clouds of points, the pose as three numbers.
type brute struct {
	pins  []Pin
	holes []Hole
	cloud [][]vec // points of each pin, from its centre
}

func newBrute(pins []Pin, holes []Hole) *brute {
	b := &brute{pins: pins, holes: holes, cloud: make([][]vec, len(pins))}
	for k, p := range pins {
		half := math.Pi / 2
		if p.Kind == Relieved {
			half = math.Asin(p.Land / p.D)
		}
		const n = 400
		for _, side := range []float64{1, -1} {
			for i := 0; i <= n; i++ {
				a := p.ReliefAxis + side*math.Pi/2 - half + 2*half*float64(i)/n
				b.cloud[k] = append(b.cloud[k], vec{p.D / 2 * math.Cos(a), p.D / 2 * math.Sin(a)})
			}
		}
	}
	return b
}

// room is the least, over all pins, of hole radius less farthest pin point. x
// is the translation of hole 1 from pin 1 and the rotation. Between the points
// of a cloud it is too large by less than 2e-7 mm.
func (b *brute) room(x [3]float64) float64 {
	least := math.Inf(1)
	h1 := vec{b.holes[0].X, b.holes[0].Y}
	p1 := vec{b.pins[0].X, b.pins[0].Y}
	for k := range b.pins {
		h := vec{b.holes[k].X, b.holes[k].Y}
		q := h.sub(h1).rot(x[2]).add(p1).add(vec{x[0], x[1]}).sub(vec{b.pins[k].X, b.pins[k].Y})
		for _, pt := range b.cloud[k] {
			least = min(least, b.holes[k].D/2-q.sub(pt).len())
		}
	}
	return least
}

// move is how far the part point s goes in direction n at a pose.
func (b *brute) move(x [3]float64, s, n vec) float64 {
	h1 := vec{b.holes[0].X, b.holes[0].Y}
	p1 := vec{b.pins[0].X, b.pins[0].Y}
	return n.dot(s.sub(h1).rot(x[2]).add(p1).add(vec{x[0], x[1]}).sub(s))
}

// climb is a random search: steps of shrinking size, kept when score rises.
func climb(rng *rand.Rand, pitch, step float64, score func([3]float64) float64) float64 {
	x := [3]float64{}
	best := score(x)
	for round := range 40 {
		size := step * math.Pow(0.75, float64(round))
		for range 30 {
			y := [3]float64{x[0] + size*rng.NormFloat64(), x[1] + size*rng.NormFloat64(), x[2] + size/pitch*rng.NormFloat64()}
			if s := score(y); s > best {
				x, best = y, s
			}
		}
	}
	return best
}

func TestRandomPosesNeverBeatTheAnswer(t *testing.T) {
	const cloudError = 2e-7
	rng := rand.New(rand.NewSource(20))
	reached := 0
	total := 0
	for i := range 40 {
		angle := rng.Float64() * 6
		pitch := 60 + 200*rng.Float64()
		var pins [2]Pin
		var holes [2]Hole
		for k := range pins {
			d := 5 + 10*rng.Float64()
			at := vec{10, 5}.add(vec{pitch * float64(k), 0}.rot(angle))
			pins[k] = Pin{X: at.x, Y: at.y, D: d}
			if (i>>k)&1 == 1 {
				pins[k].Kind, pins[k].Land = Relieved, d*(0.1+0.4*rng.Float64())
				pins[k].ReliefAxis = angle + []float64{0, 0.2, 1, math.Pi / 2, -0.5}[i%5]
			}
			holes[k] = Hole{X: at.x, Y: at.y, D: d + 0.01 + 0.05*rng.Float64()}
		}
		first, err := TwoPins(pins, holes)
		require.NoError(t, err)
		off := vec{first.Allowance * (1.6*rng.Float64() - 0.8), 0}.rot(angle)
		holes[1].X, holes[1].Y = holes[1].X+off.x, holes[1].Y+off.y

		r, err := TwoPins(pins, holes)
		require.NoError(t, err)
		b := newBrute(pins[:], holes[:])
		margin := climb(rng, pitch, 0.05, b.room)
		assert.LessOrEqual(t, margin, r.Margin+cloudError, "pattern %d", i)
		assert.InDelta(t, r.Margin, margin, 0.1*first.Allowance, "pattern %d: the search comes near", i)
		require.True(t, r.GoesOn)

		least, most, err := AngleRange(pins, holes)
		require.NoError(t, err)
		s, n := vec{40, 70}, vec{1, 0}.rot(6*rng.Float64())
		plus, minus, err := Play(pins, holes, [2]float64{s.x, s.y}, [2]float64{n.x, n.y})
		require.NoError(t, err)
		fine := 1e-6 // how much the cloud's error can add to a movement
		bounded := func(objective func([3]float64) float64, limit float64, what string) {
			got := climb(rng, pitch, 0.05, func(x [3]float64) float64 {
				if short := b.room(x); short < 0 {
					return -1e3 + short // first find the way in
				}
				return objective(x)
			})
			assert.LessOrEqual(t, got, limit+fine, "pattern %d: %s", i, what)
			total++
			if got > limit-0.15*first.Allowance {
				reached++
			}
		}
		bounded(func(x [3]float64) float64 { return b.move(x, s, n) }, plus, "plus")
		bounded(func(x [3]float64) float64 { return b.move(x, s, n.scale(-1)) }, minus, "minus")
		bounded(func(x [3]float64) float64 { return x[2] * pitch }, most*pitch, "turn one way")
		bounded(func(x [3]float64) float64 { return -x[2] * pitch }, -least*pitch, "turn the other way")
	}
	// The bound is close, not merely large.
	assert.Greater(t, float64(reached)/float64(total), 0.8)
}
