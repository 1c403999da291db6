package seam

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// outline gives points on a rectangle, four to eight, with their normals.
func outline(t *rapid.T) []Point {
	w, h := rapid.Float64Range(20, 200).Draw(t, "width"), rapid.Float64Range(20, 120).Draw(t, "height")
	x0, y0 := rapid.Float64Range(-100, 50).Draw(t, "x0"), rapid.Float64Range(-60, 60).Draw(t, "y0")
	ps := []Point{{x0, y0 + h/2, -1, 0}, {x0 + w/5, y0 + h, 0, 2}, {x0 + w*4/5, y0 + h, 0, 1}, {x0 + w, y0 + h/3, 3, 0}, {x0 + w*4/5, y0, 0, -1}, {x0 + w/5, y0, 0, -1}}
	if rapid.Bool().Draw(t, "corner") {
		ps = append(ps, Point{x0 + w, y0 + h, 1, 1})
	}
	return ps
}

func drawStation(t *rapid.T, most float64) Station {
	e := rapid.Float64Range(-most, most)
	c := rapid.Float64Range(0, 0.02)
	angle, l := rapid.Float64Range(-3, 3).Draw(t, "angle of the pins"), rapid.Float64Range(30, 150).Draw(t, "pitch")
	s := Station{FaceDown: rapid.Bool().Draw(t, "face down"), Size: e.Draw(t, "size"), SizeBand: c.Draw(t, "size band")}
	s.First = Pin{e.Draw(t, "x") * 100, 5, [2]float64{e.Draw(t, "e1x"), e.Draw(t, "e1y")}, [2]float64{c.Draw(t, "b1x"), c.Draw(t, "b1y")}, c.Draw(t, "c1")}
	s.Second = Pin{s.First.X + l*math.Cos(angle), s.First.Y + l*math.Sin(angle), [2]float64{e.Draw(t, "e2x"), e.Draw(t, "e2y")}, [2]float64{c.Draw(t, "b2x"), c.Draw(t, "b2y")}, c.Draw(t, "c2")}
	return s
}

// TestOutlineAgainstExactPose puts a part on the displaced pins without
// linearising: the first hole on the first pin, the second somewhere on the line
// from it through the second pin; face down by mirroring about the designed line. The
// machine cuts where it was told to, and the step is measured on the part.
func TestOutlineAgainstExactPose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStation(t, 0.03)
		a, err := s.Outline()
		require.NoError(t, err)
		ux, uy := s.Second.X-s.First.X, s.Second.Y-s.First.Y
		l := math.Hypot(ux, uy)
		ux, uy = ux/l, uy/l
		// The pins as the part sees them.
		seen := func(e [2]float64) (float64, float64) {
			along, across := e[0]*ux+e[1]*uy, -e[0]*uy+e[1]*ux
			if s.FaceDown {
				across = -across
			}
			return along*ux - across*uy, along*uy + across*ux
		}
		e1x, e1y := seen(s.First.Error)
		e2x, e2y := seen(s.Second.Error)
		p1x, p1y := s.First.X+e1x, s.First.Y+e1y
		theta := math.Atan2(s.Second.Y+e2y-p1y, s.Second.X+e2x-p1x) - math.Atan2(uy, ux)
		theta = math.Remainder(theta, 2*math.Pi)
		sin, cos := math.Sincos(theta)
		for _, p := range outline(t) {
			// A point of the straight edge as cut, taken back to the part, and a
			// unit along the edge to find its direction.
			n := math.Hypot(p.NX, p.NY)
			nx, ny := p.NX/n, p.NY/n
			back := func(x, y float64) (float64, float64) {
				x, y = x-p1x, y-p1y
				return s.First.X + cos*x + sin*y, s.First.Y - sin*x + cos*y
			}
			x, y := back(p.X+s.Size*nx, p.Y+s.Size*ny)
			mx, my := cos*nx+sin*ny, -sin*nx+cos*ny // normal of the edge on the part
			// The step along the designed normal from the designed point.
			step := ((x-p.X)*mx + (y-p.Y)*my) / (mx*nx + my*ny)
			got, err := a.At(p)
			require.NoError(t, err)
			assert.InDelta(t, step, got, 2e-3, "second order: levers of 300 mm, angles of 2e-3")
		}
	})
}

func TestFitFindsAnyPattern(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := outline(t)
		e := rapid.Float64Range(-0.05, 0.05)
		want := Pattern{e.Draw(t, "dx"), e.Draw(t, "dy"), e.Draw(t, "turn") / 100, e.Draw(t, "size")}
		steps := make([]float64, len(points))
		for i, p := range points {
			var err error
			steps[i], err = want.At(p)
			require.NoError(t, err)
		}
		f, err := Fit(points, [][]float64{steps, steps}, Options{})
		require.NoError(t, err)
		got, exp := f.Pattern.four(), want.four()
		exp[2], got[2] = exp[2]*100, got[2]*100
		assert.InDeltaSlice(t, exp[:], got[:], 1e-11)
		assert.InDelta(t, 0, f.RestSD, 1e-12)
		// Least squares: any other pattern leaves more.
		noisy := append([]float64(nil), steps...)
		for i := range noisy {
			noisy[i] += e.Draw(t, "noise")
		}
		f, err = Fit(points, [][]float64{noisy}, Options{})
		require.NoError(t, err)
		solve, err := newSolver(points, Options{})
		require.NoError(t, err)
		squares := func(a Pattern) (sum float64) {
			for _, d := range solve.rest(noisy, a) {
				sum += d * d
			}
			return sum
		}
		other := f.Pattern.plus(Pattern{e.Draw(t, "a"), e.Draw(t, "b"), e.Draw(t, "c") / 100, e.Draw(t, "d")}, 1)
		assert.GreaterOrEqual(t, squares(other), squares(f.Pattern)-1e-15)
		assert.False(t, f.ScatterSeen)
		assert.Equal(t, len(points)-4, f.DF)
	})
}

// TestMovingTheOriginChangesNoStep: points and pins moved together.
func TestMovingTheOriginChangesNoStep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := outline(t)
		s := Seam{Proud: drawStation(t, 0.02), Other: drawStation(t, 0.02), Gauge: 0.001}
		f, err := Forward(points, s)
		require.NoError(t, err)
		angle := rapid.Float64Range(-3, 3).Draw(t, "turn of all")
		sin, cos := math.Sincos(angle)
		turn := func(x, y float64) (float64, float64) { return cos*x - sin*y, sin*x + cos*y }
		for i := range points {
			p := &points[i]
			p.X, p.Y = turn(p.X+30, p.Y-20)
			p.NX, p.NY = turn(p.NX, p.NY)
		}
		for _, st := range []*Station{&s.Proud, &s.Other} {
			for _, p := range []*Pin{&st.First, &st.Second} {
				p.X, p.Y = turn(p.X+30, p.Y-20)
				p.Error[0], p.Error[1] = turn(p.Error[0], p.Error[1])
				p.Band = [2]float64{}
			}
		}
		g, err := Forward(points, s)
		require.NoError(t, err)
		for i := range points {
			assert.InDelta(t, f.Points[i].Mean, g.Points[i].Mean, 1e-11)
			assert.InDelta(t, f.Points[i].Varies, g.Points[i].Varies, 1e-11)
		}
	})
}

func TestForecastAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := outline(t)
		assembly := drawStation(t, 0.02)
		heat := Source{Name: "heat", Effect: make([]float64, len(points)), Amount: 0.3, Band: 0.1, Varies: rapid.Bool().Draw(t, "varies")}
		for i := range heat.Effect {
			heat.Effect[i] = 0.01 * float64(i)
		}
		s := Seam{Proud: drawStation(t, 0.02), Other: drawStation(t, 0.02), Assembly: &assembly, Extra: []Source{heat}, Gauge: 0.002}
		f, err := Forward(points, s)
		require.NoError(t, err)
		lot, err := Draw(points, s, 50, rapid.Uint64().Draw(t, "seed"))
		require.NoError(t, err)
		for i, p := range f.Points {
			require.Len(t, p.Shares, 4+4+3+1+1)
			var mean, worst, variance, part float64
			for _, sh := range p.Shares {
				mean += sh.Mean
				worst += sh.Worst
				variance += sh.SD * sh.SD
				part += sh.Part
				assert.LessOrEqual(t, sh.SD, sh.Worst+s.Gauge+1e-15)
			}
			assert.InDelta(t, p.Mean, mean, 1e-12)
			assert.InDelta(t, p.High-p.Mean, worst, 1e-12)
			assert.InDelta(t, p.Same*p.Same+p.Varies*p.Varies, variance, 1e-12)
			assert.InDelta(t, 1, part, 1e-9)
			at, err := f.Pattern.At(points[i])
			require.NoError(t, err)
			assert.InDelta(t, p.Mean, at+heat.Amount*heat.Effect[i], 1e-12)
			for _, steps := range lot { // no draw leaves the worst case but by the gauge
				assert.Less(t, steps[i], p.High+6*s.Gauge)
				assert.Greater(t, steps[i], p.Low-6*s.Gauge)
			}
		}
	})
}

func TestDrawsScatterAsForecast(t *testing.T) {
	points := shopPoints()
	proud, other := stationB0, stationA0
	proud.First.Band, proud.Second.Band, proud.SizeBand = [2]float64{0.002, 0.001}, [2]float64{0.003, 0.004}, 0.002
	s := Seam{Proud: proud, Other: other, Gauge: gauge}
	f, err := Forward(points, s)
	require.NoError(t, err)
	// Many lots of one assembly scatter by everything, one lot of many by what
	// varies.
	const lots = 20_000
	all := make([][]float64, lots)
	for k := range all {
		one, err := Draw(points, s, 1, uint64(k))
		require.NoError(t, err)
		all[k] = one[0]
	}
	many, err := Draw(points, s, lots, 3)
	require.NoError(t, err)
	stat := func(rows [][]float64, i int) (mean, sd float64) {
		for _, r := range rows {
			mean += r[i] / lots
		}
		for _, r := range rows {
			sd += (r[i] - mean) * (r[i] - mean) / lots
		}
		return mean, math.Sqrt(sd)
	}
	inUsual := 0
	for i, p := range f.Points {
		sd := math.Hypot(p.Same, p.Varies)
		mean, got := stat(all, i)
		assert.InDelta(t, p.Mean, mean, 4*sd/math.Sqrt(lots))
		assert.InDelta(t, sd, got, 0.02*sd)
		_, got = stat(many, i)
		assert.InDelta(t, p.Varies, got, 0.02*p.Varies)
		for _, r := range all {
			if r[i] >= p.UsualLow && r[i] <= p.UsualHigh {
				inUsual++
			}
		}
	}
	assert.InDelta(t, 0.95, float64(inUsual)/(6*lots), 0.015, "sums of even spreads are not quite normal")
	again, err := Draw(points, s, 5, 77)
	require.NoError(t, err)
	twice, err := Draw(points, s, 5, 77)
	require.NoError(t, err)
	assert.Equal(t, again, twice)
}

// TestIntervalsHoldTheTruth fits many simulated lots: the 95 % intervals must
// hold the pattern that was put in as often as they say, and the errors must be
// those that ErrorOf promises.
func TestIntervalsHoldTheTruth(t *testing.T) {
	points := shopPoints()
	s := Seam{Proud: stationB0, Other: stationA1, Gauge: gauge}
	truth, err := Forward(points, s)
	require.NoError(t, err)
	promised, err := ErrorOf(points, s, 6, Options{})
	require.NoError(t, err)
	const lots = 2000
	var held [4]int
	var squares [4]float64
	for k := range lots {
		lot, err := Draw(points, s, 6, uint64(k))
		require.NoError(t, err)
		f, err := Fit(points, lot, Options{})
		require.NoError(t, err)
		d, half, e := f.Pattern.plus(truth.Pattern, -1).four(), f.Half.four(), promised.four()
		for u := range d {
			if math.Abs(d[u]) <= half[u] {
				held[u]++
			}
			squares[u] += square(d[u]/e[u]) / lots
		}
	}
	for u := range held {
		assert.InDelta(t, 0.95, float64(held[u])/lots, 0.02, unknownNames[u])
		assert.InDelta(t, 1, squares[u], 0.13, unknownNames[u])
	}
}

func TestSingleAssembly(t *testing.T) {
	// Readings with noise of 1 and nothing else: the errors of one assembly come
	// from its rest, and are those of textbook least squares.
	points := shopPoints()
	rng := rand.New(rand.NewSource(2))
	var squares, stated float64
	const n = 3000
	for range n {
		steps := make([]float64, 6)
		for i := range steps {
			steps[i] = rng.NormFloat64()
		}
		f, err := Fit(points, [][]float64{steps}, Options{})
		require.NoError(t, err)
		assert.Equal(t, 2, f.DF)
		squares += square(f.Pattern.DX) / n
		stated += square(f.Err.DX) / n
	}
	// DX shows at two opposite points only: variance 1/2.
	assert.InDelta(t, 0.5, squares, 0.05)
	assert.InDelta(t, 0.5, stated, 0.05)

	f, err := Fit(points[:4], [][]float64{{1, 2, 3, 4}}, Options{})
	require.NoError(t, err)
	assert.Zero(t, f.DF, "four points and four unknowns say nothing of the error")
	assert.Zero(t, f.Err)
	assert.Zero(t, f.Half)
}

func TestCannotSeparate(t *testing.T) {
	line := []Point{{0, 10, 0, 1}, {20, 10, 0, 1}, {40, 10, 0, 1}, {60, 10, 0, 1}}
	round := func(n int) (ps []Point) {
		for k := range n {
			s, c := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			ps = append(ps, Point{30 * c, 30 * s, c, s})
		}
		return ps
	}
	for _, c := range []struct {
		name   string
		points []Point
		o      Options
		says   string
	}{
		{"too few", line[:3], Options{}, "3 points are too few for shift in x, shift in y, turn and size; it takes 4"},
		{"one edge, no shift along it", append([]Point{{30, -10, 0, -1}}, line...), Options{}, "no point shows the shift in x; add points on edges that face that way"},
		{"one edge", line, Options{}, "shift in x, shift in y and size look the same"},
		{"one edge without size", line, Options{NoSize: true}, "no point shows the shift in x"},
		{"a round part shows no turn", round(8), Options{}, "no point shows a turn"},
		{"two sides of a corner", []Point{{0, 10, 0, 1}, {20, 10, 0, 1}, {30, 0, 1, 0}, {30, -20, 1, 0}}, Options{}, "shift in x, shift in y and size look the same"},
	} {
		_, err := Fit(c.points, [][]float64{make([]float64, len(c.points))}, c.o)
		require.ErrorIs(t, err, ErrCannotSeparate, c.name)
		assert.ErrorContains(t, err, c.says, c.name)
		_, err = ErrorOf(c.points, Seam{Proud: station(0, 0, 0, 0, 1), Other: station(0, 0, 0, 0, 1)}, 3, c.o)
		assert.ErrorIs(t, err, ErrCannotSeparate, c.name)
	}
	// What can be told apart is, once the rest is left out.
	f, err := Fit(round(8), [][]float64{{1, 1, 1, 1, 1, 1, 1, 1}}, Options{NoTurn: true})
	require.NoError(t, err)
	assert.InDelta(t, 1, f.Pattern.Size, 1e-12)
	assert.Zero(t, f.Pattern.Turn)
	f, err = Fit([]Point{{0, 10, 0, 1}, {20, 10, 0, 1}, {30, 0, 1, 0}}, [][]float64{{1, 3, 2}}, Options{NoSize: true})
	require.NoError(t, err)
	assert.InDelta(t, 0.1, f.Pattern.Turn, 1e-12)
	assert.InDelta(t, 1, f.Pattern.DY, 1e-12)
	assert.InDelta(t, 2, f.Pattern.DX, 1e-12)
}

func TestErrors(t *testing.T) {
	nan := math.NaN()
	points := shopPoints()
	good := station(0, 0, 0, 0, 1)
	bad := func(change func(*Station)) Seam {
		s := Seam{Proud: good, Other: good}
		change(&s.Other)
		return s
	}
	for _, c := range []struct {
		name   string
		points []Point
		s      Seam
		says   string
	}{
		{"no points", nil, Seam{Proud: good, Other: good}, "no points"},
		{"normal", append(shopPoints(), Point{}), Seam{Proud: good, Other: good}, "point 7: the normal of the edge has no length"},
		{"place", []Point{{nan, 0, 1, 0}}, Seam{Proud: good, Other: good}, "point 1: the position"},
		{"pins at one place", points, bad(func(s *Station) { s.Second.X = 0 }), "other part: both pins stand at the same place"},
		{"named", points, bad(func(s *Station) { s.Name, s.Second.X = "A", 0 }), "A: both pins"},
		{"pin error", points, bad(func(s *Station) { s.First.Error[1] = nan }), "the first pin: position"},
		{"clearance", points, bad(func(s *Station) { s.Second.Clearance = -1 }), "the second pin: band"},
		{"size", points, bad(func(s *Station) { s.SizeBand = -1 }), "the size"},
		{"gauge", points, Seam{Proud: good, Other: good, Gauge: -1}, "gauge"},
		{"extra", points, Seam{Proud: good, Other: good, Extra: []Source{{Effect: []float64{1}}}}, "extra source 1: it needs a number for each of the 6 points"},
		{"extra band", points, Seam{Proud: good, Other: good, Extra: []Source{{Effect: make([]float64, 6), Band: -1}}}, "extra source 1: the amount"},
		{"assembly", points, Seam{Proud: good, Other: good, Assembly: &Station{}}, "assembly: both pins"},
	} {
		_, err := Forward(c.points, c.s)
		assert.ErrorContains(t, err, c.says, c.name)
		_, err = Draw(c.points, c.s, 3, 1)
		assert.ErrorContains(t, err, c.says, c.name)
	}
	_, err := Draw(points, Seam{Proud: good, Other: good}, 0, 1)
	assert.ErrorContains(t, err, "0 assemblies")
	_, err = ErrorOf(points, Seam{Proud: good, Other: good}, 0, Options{})
	assert.ErrorContains(t, err, "0 assemblies")
	_, err = ErrorOf(points, Seam{}, 1, Options{})
	assert.ErrorContains(t, err, "same place")
	_, err = Station{}.Outline()
	assert.ErrorContains(t, err, "same place")
	_, err = Fit(points, nil, Options{})
	assert.ErrorContains(t, err, "no readings")
	_, err = Fit(points, [][]float64{make([]float64, 6), {1}}, Options{})
	assert.ErrorContains(t, err, "assembly 2 has 1 readings for 6 points")
	_, err = Fit(points, [][]float64{{0, 0, nan, 0, 0, 0}}, Options{})
	assert.ErrorContains(t, err, "assembly 1, point 3: the reading NaN")
	_, err = Pattern{}.At(Point{})
	assert.ErrorContains(t, err, "normal")
}

// TestWildValues: whatever is accepted gives numbers.
func TestWildValues(t *testing.T) {
	wild := rapid.SampledFrom([]float64{0, 1e-300, 1e-9, -0.1, 1, 50, -50, 1e5, 9e8, 1e30, math.NaN()})
	accepted := 0
	rapid.Check(t, func(t *rapid.T) {
		points := shopPoints()
		points[0] = Point{wild.Draw(t, "x"), wild.Draw(t, "y"), wild.Draw(t, "nx"), wild.Draw(t, "ny")}
		s := Seam{Proud: stationB0, Other: stationA0, Gauge: math.Abs(wild.Draw(t, "gauge"))}
		s.Other.First.X, s.Other.First.Error[0], s.Other.First.Band[1] = wild.Draw(t, "pin"), wild.Draw(t, "error"), wild.Draw(t, "band")
		s.Other.Second.Clearance, s.Other.Size = wild.Draw(t, "clearance"), wild.Draw(t, "size")
		if f, err := Forward(points, s); err == nil {
			accepted++
			for _, p := range f.Points {
				assert.True(t, finite(p.Mean, p.Low, p.High, p.UsualLow, p.UsualHigh, p.Same, p.Varies))
				for _, sh := range p.Shares {
					assert.True(t, finite(sh.Mean, sh.Worst, sh.SD, sh.Part))
				}
			}
		}
		steps := [][]float64{{wild.Draw(t, "step"), 0, 0, 0, 0, 0}, {0, 1, 2, 3, 4, 5}}
		if f, err := Fit(points, steps, Options{}); err == nil {
			accepted++
			for _, a := range []Pattern{f.Pattern, f.Err, f.Half} {
				v := a.four()
				assert.True(t, finite(v[:]...))
			}
			assert.True(t, finite(f.RestSD))
		}
	})
	assert.Positive(t, accepted)
}
