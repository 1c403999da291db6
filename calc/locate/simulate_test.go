package locate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// TestSimulationAgainstClosedForms uses the two-round-pin rule: the part goes
// on if |mismatch| <= c1 + c2. What is left is elementary probability.
func TestSimulationAgainstClosedForms(t *testing.T) {
	pins, holes := flat(100, 100, 10.02, 10, 0) // c1 + c2 = 0.02
	only := func(x ...float64) []Band {
		w := make([]Band, 2)
		for k := range x {
			w[k].X = x[k]
		}
		return w
	}
	phi := distuv.UnitNormal.CDF
	bell := func(z, cut float64) float64 { return (2*phi(z) - 1) / (2*phi(cut) - 1) }
	for _, c := range []struct {
		name string
		s    Scatter
		want float64
	}{
		{"one coordinate, even", Scatter{Holes: only(0, 0.05)}, 0.02 / 0.05},
		{"a pin instead", Scatter{Pins: only(0.05, 0)}, 0.02 / 0.05},
		// The difference of two even spreads ±a is a triangle of half-width 2a.
		{"two coordinates, even", Scatter{Holes: only(0.03, 0.03)}, 1 - math.Pow(1-0.02/0.06, 2)},
		{"pin and hole, even", Scatter{Pins: only(0.03), Holes: only(0, 0.03)}, 1 - math.Pow(1-0.02/0.06, 2)},
		{"one coordinate, normal cut at 3", Scatter{Holes: only(0, 0.05), Shape: Normal}, bell(1.2, 3)},
		{"one coordinate, normal cut at 2", Scatter{Holes: only(0, 0.05), Shape: Normal, Sigmas: 2}, bell(0.8, 2)},
		// Mismatch even in ±a, c1 + c2 even in 0.02 ± 0.006: the mean of
		// (c1+c2)/a.
		{"size and position", Scatter{Holes: []Band{{D: 0.012}, {X: 0.05}}}, 0.02 / 0.05},
		{"all fit", Scatter{Holes: only(0, 0.019)}, 1},
		{"exact", Scatter{}, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Simulate(pins[:], holes[:], c.s, 200_000, 5)
			require.NoError(t, err)
			assert.InDelta(t, c.want, got.P, 4*got.StdErr)
			assert.Less(t, got.StdErr, 0.0013)
			assert.Positive(t, got.StdErr)
			assert.Equal(t, float64(got.GoOn)/200_000, got.P)
			assert.LessOrEqual(t, got.Low, got.P)
			assert.GreaterOrEqual(t, got.High, got.P)
			again, err := Simulate(pins[:], holes[:], c.s, 200_000, 5)
			require.NoError(t, err)
			assert.Equal(t, got, again, "the same seed gives the same parts")
		})
	}
}

// TestStatedErrorIsTrue runs one simulation with many seeds: the results must
// scatter as the stated error says, and the interval must hold the truth.
func TestStatedErrorIsTrue(t *testing.T) {
	pins, holes := flat(100, 100, 10.02, 10, 0)
	s := Scatter{Holes: []Band{{}, {X: 0.025}}} // P = 0.8
	const runs = 400
	var sq float64
	held := 0
	for seed := range uint64(runs) {
		c, err := Simulate(pins[:], holes[:], s, 500, seed)
		require.NoError(t, err)
		z := (c.P - 0.8) / c.StdErr
		sq += z * z / runs
		if c.Low <= 0.8 && 0.8 <= c.High {
			held++
		}
	}
	// Mean square 1 with a standard error of sqrt(2/400) = 0.07; 380 held with
	// one of 4.4.
	assert.InDelta(t, 1, sq, 0.3)
	assert.InDelta(t, 0.95*runs, held, 4*4.4)
}

// TestQuickAnswersAgree: the quick ways of goesOn never contradict the margin.
func TestQuickAnswersAgree(t *testing.T) {
	quick, slow := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		pins, holes := ring(t, 2, 5, rapid.SampledFrom([]float64{0.01, 0.03, 0.08}).Draw(t, "spread"))
		p, err := Pattern(pins, holes)
		require.NoError(t, err)
		if math.Abs(p.Margin+Tolerance) < 1e-11 {
			return
		}
		b := newBoard(pins, holes)
		assert.Equal(t, p.GoesOn, b.goesOn(pins, holes))
		// Another part on the same board.
		other := append([]Hole(nil), holes...)
		other[0].X += 0.01
		q, err := Pattern(pins, other)
		require.NoError(t, err)
		if math.Abs(q.Margin+Tolerance) > 1e-11 {
			assert.Equal(t, q.GoesOn, b.goesOn(pins, other))
		}
		if p.GoesOn {
			quick++
		} else {
			slow++
		}
	})
	assert.Positive(t, quick)
	assert.Positive(t, slow)
}

func TestFourPinSimulation(t *testing.T) {
	// Against the margin of every part, drawn the same way.
	pins, holes := fourPins(2)
	s := Scatter{Holes: make([]Band, 4), Pins: make([]Band, 4)}
	for k := range pins {
		holes[k].X, holes[k].Y = pins[k].X, pins[k].Y
		s.Holes[k], s.Pins[k] = Band{0.02, 0.02, 0.01}, Band{0.004, 0.004, 0.002}
	}
	c, err := Simulate(pins, holes, s, 20_000, 3)
	require.NoError(t, err)
	assert.Greater(t, c.P, 0.5)
	assert.Less(t, c.P, 0.999)
	worst, err := Worst(pins, holes, s.Pins, s.Holes)
	require.NoError(t, err)
	assert.False(t, worst.GoesOn)
}

func TestWorst(t *testing.T) {
	// Two round pins: the mismatch at the end of all four half-widths, the
	// smallest clearances.
	pins, holes := flat(100, 100.004, 10.04, 10, 0)
	w, err := Worst(pins[:], holes[:], []Band{{X: 0.002, D: 0.003}, {X: 0.001}}, []Band{{X: 0.005, D: 0.004}, {X: 0.005}})
	require.NoError(t, err)
	assert.InDelta(t, (0.02-0.0035+0.02-0.004-0.013)/2, w.Margin, 1e-12)
	assert.InDelta(t, 100.014-99.997, w.Holes[1].X-w.Holes[0].X-(w.Pins[1].X-w.Pins[0].X), 1e-12)
	assert.InDelta(t, 10.036, w.Holes[0].D, 1e-12)
	assert.InDelta(t, 10.003, w.Pins[0].D, 1e-12)
	assert.Equal(t, 100.004, holes[1].X, "the given pattern stays")
	w, err = Worst(pins[:], holes[:], nil, nil)
	require.NoError(t, err)
	p, err := Pattern(pins[:], holes[:])
	require.NoError(t, err)
	assert.Equal(t, p.Margin, w.Margin)
}

func TestNothingInTheBandsIsWorse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pins, holes := ring(t, 2, 4, 0.01)
		pb, hb := make([]Band, len(pins)), make([]Band, len(pins))
		band := rapid.Float64Range(0, 0.02)
		for k := range pins {
			pb[k] = Band{X: band.Draw(t, "px")}
			hb[k] = Band{band.Draw(t, "hx"), band.Draw(t, "hy"), band.Draw(t, "hd") / 4}
		}
		w, err := Worst(pins, holes, pb, hb)
		require.NoError(t, err)
		in := rapid.Float64Range(-1, 1)
		for range 5 {
			p, h := append([]Pin(nil), pins...), append([]Hole(nil), holes...)
			for k := range p {
				p[k].X += pb[k].X * in.Draw(t, "p")
				h[k].X += hb[k].X * in.Draw(t, "x")
				h[k].Y += hb[k].Y * in.Draw(t, "y")
				h[k].D += hb[k].D * in.Draw(t, "d")
			}
			got, err := Pattern(p, h)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, got.Margin, w.Margin-1e-5)
		}
	})
}

func TestScatterErrors(t *testing.T) {
	pins, holes := fourPins(1)
	bands := func() []Band { return make([]Band, 4) }
	for _, c := range []struct {
		name  string
		s     Scatter
		parts int
		says  string
	}{
		{"no parts", Scatter{}, 0, "needs 1 to"},
		{"too many", Scatter{}, 1e9, "needs 1 to"},
		{"bands missing", Scatter{Holes: make([]Band, 3)}, 1, "every pin and every hole"},
		{"negative", Scatter{Holes: append(bands()[:3], Band{X: -1})}, 1, "hole 4: the half-widths"},
		{"not a number", Scatter{Pins: append(bands()[:3], Band{Y: math.NaN()})}, 1, "pin 4: the half-widths"},
		{"size", Scatter{Holes: append([]Band{{D: 9}}, bands()[:3]...)}, 1, "hole 1: the half-widths ±0, ±0, ±9 mm are too large"},
		{"land", Scatter{Pins: append(bands()[:3], Band{D: 5})}, 1, "pin 4: the land 3 mm is wider than the smallest pin, 2.98"},
		{"shape", Scatter{Shape: 5}, 1, "unknown shape 5"},
		{"sigmas", Scatter{Shape: Normal, Sigmas: -1}, 1, "more than zero"},
		{"too few sigmas", Scatter{Shape: Normal, Sigmas: 0.01}, 1, "too few"},
	} {
		_, err := Simulate(pins, holes, c.s, c.parts, 1)
		assert.ErrorContains(t, err, c.says, c.name)
	}
	pins = append(pins, Pin{X: 200, D: 5}, Pin{X: 220, D: 5}, Pin{X: 240, D: 5})
	holes = append(holes, Hole{200, 0, 6}, Hole{220, 0, 6}, Hole{240, 0, 6})
	wide := make([]Band, 7)
	for k := range wide {
		wide[k] = Band{0.1, 0.1, 0}
	}
	_, err := Worst(pins, holes, nil, wide)
	assert.ErrorContains(t, err, "14 coordinates are uncertain")
	_, err = Worst(pins, holes, wide[1:], nil)
	assert.ErrorContains(t, err, "every pin and every hole")
	assert.Equal(t, "even", Even.String())
	assert.Equal(t, "normal", Normal.String())
}

// TestAllGoOnIsTheWorstCase: the quick answer is that of the worst margin.
func TestAllGoOnIsTheWorstCase(t *testing.T) {
	all, not := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		pins, holes := ring(t, 2, 5, 0.01)
		pb, hb := make([]Band, len(pins)), make([]Band, len(pins))
		band := rapid.Float64Range(0, 0.015)
		for k := range pins {
			pb[k] = Band{X: band.Draw(t, "px"), D: 1e-3}
			pins[k].Land = min(pins[k].Land, pins[k].D-pb[k].D)
			hb[k] = Band{band.Draw(t, "hx"), 0, 1e-3}
		}
		w, err := Worst(pins, holes, pb, hb)
		require.NoError(t, err)
		got, err := AllGoOn(pins, holes, pb, hb)
		require.NoError(t, err)
		if math.Abs(w.Margin+Tolerance) < 1e-11 {
			return
		}
		assert.Equal(t, w.GoesOn, got)
		if got {
			all++
		} else {
			not++
		}
	})
	assert.Positive(t, all)
	assert.Positive(t, not)
	pins, holes := fourPins(1)
	_, err := AllGoOn(pins, holes[1:], nil, nil)
	assert.ErrorContains(t, err, "every pin needs its hole")
}

// TestWorstOfEqualMargins: where the clearance decides and the pitch has room,
// two pins are shown with the pitch that is farthest off.
func TestWorstOfEqualMargins(t *testing.T) {
	pins, holes := flat(100, 100.001, 10.02, 10, 0)
	pins[0].D = 10.01
	w, err := Worst(pins[:], holes[:], nil, []Band{{}, {X: 0.003}})
	require.NoError(t, err)
	assert.InDelta(t, 0.005, w.Margin, 1e-12)
	assert.InDelta(t, 100.004, w.Holes[1].X-w.Holes[0].X, 1e-12)
}
