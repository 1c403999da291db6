package boring

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/internal/testkit"
	"tenths/calc/quantity"
)

func TestHelixAgainstCheckValues(t *testing.T) {
	for _, c := range []struct {
		name, source, standing             string
		hole, cutter, pitch, wall          string
		path, centre, feedUnit, ramp, ramW string
	}{
		{"D16 d10", "worked out with a numeric library", apart, "16 mm", "10 mm", "0.5 mm", "800 mm/min", "6", "300", "mm/min", "1.519461", "0.569913"},
		{"D25 d12", "worked out with a numeric library", apart, "25 mm", "12 mm", "0.7 mm", "1200 mm/min", "13", "624", "mm/min", "0.981940", ""},
		{"D30 d16", "worked out with a numeric library", apart, "30 mm", "16 mm", "1 mm", "1000 mm/min", "14", "466.6667", "mm/min", "1.302477", ""},
		// The page prints 18 and 76 for these two, against its own formula; see
		// TestMakersExampleThatContradictsItself.
		{"D58 d35", "formula of a cutter maker's heat-resistant guide, p. 107 (Dm - D3, and feed times (Dm-D3)/Dm)", oneSource, "58 mm", "35 mm", "", "182 mm/min", "23", "72.1724", "mm/min", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := Helix(Cut{Hole: testkit.Q(t, c.hole), Cutter: testkit.Q(t, c.cutter), Pitch: testkit.Q(t, c.pitch), WallFeed: testkit.Q(t, c.wall)})
			require.NoError(t, err, c.source)
			assert.Equal(t, c.path+" mm", p.Diameter.String())
			assert.True(t, p.Diameter.Exact())
			assert.True(t, p.CentreFeed.Exact())
			near(t, c.centre, p.CentreFeed.FloatIn(unit(t, c.feedUnit)))
			near(t, c.ramp, p.Ramp.Float())
			near(t, c.ramW, p.WallRamp.Float())
		})
	}
}

// near compares with a printed decimal, to half of its last digit.
func near(t *testing.T, printed string, got float64) {
	t.Helper()
	if printed == "" {
		return
	}
	want := testkit.Q(t, printed)
	half := 0.500001 * math.Pow(10, -float64(max(0, want.Decimals())))
	assert.InDelta(t, want.Float(), got, half)
}

// A cutter maker's page prints, for hole 58, cutter 35, wall feed 182 mm/min, a
// centre path of 18 mm and a feed of 76 mm/min beside formulas that give 23 and
// 72. The formulas are geometry; the printed pair is refused as a check value.
func TestMakersExampleThatContradictsItself(t *testing.T) {
	speed, wall, err := Speeds(testkit.Q(t, "25 m/min"), testkit.Q(t, "35 mm"), testkit.Q(t, "0.2 mm"), 4)
	require.NoError(t, err)
	assert.InDelta(t, 227, speed.FloatIn(unit(t, "1/min")), 0.5) // printed, agrees
	assert.InDelta(t, 182, wall.FloatIn(unit(t, "mm/min")), 0.5) // printed, agrees
	p, err := Helix(Cut{Hole: testkit.Q(t, "58 mm"), Cutter: testkit.Q(t, "35 mm"), WallFeed: testkit.Q(t, "182 mm/min")})
	require.NoError(t, err)
	assert.Greater(t, math.Abs(p.Diameter.Float()-18), 4.9)
	assert.Greater(t, math.Abs(p.CentreFeed.FloatIn(unit(t, "mm/min"))-76), 3.8)
}

func TestHoleRange(t *testing.T) {
	for _, c := range []struct {
		source, standing        string
		cutter, core, corner    string
		smallest, largest, flat string
	}{
		// min Dm = 2(D3 - 0.5·iC) with iC 12, so a core of D3 - iC.
		{"a cutter maker's heat-resistant guide, p. 107", oneSource, "35 mm", "23 mm", "", "58 mm", "70 mm", "70 mm"},
		// Hole range 2·DC - 16 to 2·DC - 3: a core of DC - 16, corners of 1.5.
		{"a cutter maker's catalogue 2021-22, p. M136, DC 32", oneSource, "32 mm", "16 mm", "1.5 mm", "48 mm", "64 mm", "61 mm"},
		{"the same page, DC 25", oneSource, "25 mm", "9 mm", "1.5 mm", "34 mm", "50 mm", "47 mm"},
		{"the same page, DC 50", oneSource, "50 mm", "34 mm", "1.5 mm", "84 mm", "100 mm", "97 mm"},
		{"geometry: centre-cutting, sharp", apart, "0.125 in", "", "", "0.125 in", "0.250 in", "0.250 in"},
	} {
		r, err := HoleRange(testkit.Q(t, c.cutter), testkit.Q(t, c.core), testkit.Q(t, c.corner))
		require.NoError(t, err, c.source)
		for _, pair := range [][2]any{{c.smallest, r.Smallest}, {c.largest, r.Largest}, {c.flat, r.Flat}} {
			n, err := testkit.Q(t, pair[0].(string)).Cmp(pair[1].(quantity.Quantity))
			require.NoError(t, err)
			assert.Zero(t, n, "%s: want %v, got %v", c.source, pair[0], pair[1])
		}
	}
}

func TestEngagement(t *testing.T) {
	for _, c := range []struct {
		name, source, standing       string
		hole, before, cutter         string
		radial, straight, contactDeg string
	}{
		{"18 to 20 with 12", "checked against the true arc of contact", apart, "20 mm", "18 mm", "12 mm", "1.000", "2.375", "52.83"},
		{"24.4 to 25.4 with 12.7", "checked against the true arc of contact", apart, "25.4 mm", "24.4 mm", "12.7 mm", "0.500", "0.980315", ""},
		{"a full ring", "geometry: 2d off the diameter is a full slot", apart, "30 mm", "10 mm", "10 mm", "10", "10", "180"},
		{"old hole under the cutter", "geometry: full slot", apart, "16 mm", "3 mm", "10 mm", "6.5", "10", "180"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := Helix(Cut{Hole: testkit.Q(t, c.hole), Cutter: testkit.Q(t, c.cutter), Before: testkit.Q(t, c.before)})
			require.NoError(t, err)
			near(t, c.radial, p.RadialDepth.Float())
			near(t, c.straight, p.Straight.Float())
			near(t, c.contactDeg, p.Contact.Float())
		})
	}
	p, err := Helix(Cut{Hole: testkit.Q(t, "16 mm"), Cutter: testkit.Q(t, "10 mm")})
	require.NoError(t, err)
	assert.Equal(t, "10 mm", p.Straight.String(), "solid metal is a full slot")
	assert.True(t, p.RadialDepth.IsZeroValue())
}

// The true arc of contact: the part of the cutter's edge that lies outside the
// old hole and inside the new one, found by walking round the cutter.
func TestContactIsTheTrueArc(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hole := rapid.Float64Range(5, 60).Draw(t, "hole")
		cutter := hole * rapid.Float64Range(0.2, 0.95).Draw(t, "cutter/hole")
		before := hole - 2*cutter*rapid.Float64Range(0.01, 0.99).Draw(t, "stock/cutter")
		if before <= 0.01*hole {
			return
		}
		mm := func(v float64) quantity.Quantity { return quantity.FromFloat(v, quantity.Millimetre) }
		p, err := Helix(Cut{Hole: mm(hole), Cutter: mm(cutter), Before: mm(before)})
		require.NoError(t, err)
		const steps = 20000
		inMetal := 0
		centre := (hole - cutter) / 2
		for i := range steps / 2 { // the half of the cutter that moves into the metal
			s, c := math.Sincos(math.Pi * (float64(i) + 0.5) / (steps / 2))
			if math.Hypot(centre+cutter/2*c, cutter/2*s) > before/2 {
				inMetal++
			}
		}
		assert.InDelta(t, 360*float64(inMetal)/steps, p.Contact.Float(), 0.05)
	})
}

func TestPitchAndRampAreInverse(t *testing.T) {
	p, err := Helix(Cut{Hole: testkit.Q(t, "16 mm"), Cutter: testkit.Q(t, "10 mm"), Ramp: testkit.Q(t, "1.519461 deg"), CentreFeed: testkit.Q(t, "300 mm/min"), Depth: testkit.Q(t, "20 mm"), FlatRounds: 1})
	require.NoError(t, err)
	assert.InDelta(t, 0.5, p.Pitch.Float(), 1e-6)
	assert.Equal(t, "800 mm/min", p.WallFeed.Format(unit(t, "mm/min"), 0))
	// 40 turns of √((6π)²+0.25) and one of 6π at 5 mm/s.
	want := (20/p.Pitch.Float()*math.Hypot(6*math.Pi, p.Pitch.Float()) + 6*math.Pi) / 5
	assert.InDelta(t, want, p.Time.Float(), 1e-9)
	assert.InDelta(t, math.Hypot(6*math.Pi, 0.5), p.TurnLength.Float(), 1e-6)
}

func TestHelixProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		thou := func(name string, lo, hi int) (quantity.Quantity, quantity.Quantity) {
			n := rapid.IntRange(lo, hi).Draw(t, name)
			in := quantity.New(big.NewRat(int64(n), 10000), quantity.Inch)
			mm, err := in.As(quantity.Millimetre)
			require.NoError(t, err)
			return in, mm
		}
		hIn, hMM := thou("hole", 1200, 3000)
		cIn, cMM := thou("cutter", 700, 1100)
		bIn, bMM := thou("before", 1000, 1100)
		pIn, pMM := thou("pitch", 10, 100)
		wall := testkit.Q(t, "20 in/min")
		if atLeast(hIn.Abs(), cIn.Scale(testkit.Q(t, "2").Rat())) {
			return
		}
		a, err := Helix(Cut{Hole: hIn, Cutter: cIn, Before: bIn, Pitch: pIn, WallFeed: wall})
		require.NoError(t, err)
		b, err := Helix(Cut{Hole: hMM, Cutter: cMM, Before: bMM, Pitch: pMM, WallFeed: testkit.Q(t, "508 mm/min")})
		require.NoError(t, err)
		// The unit of entry changes nothing.
		for _, pair := range [][2]quantity.Quantity{{a.Diameter, b.Diameter}, {a.CentreFeed, b.CentreFeed}, {a.Straight, b.Straight}} {
			n, err := pair[0].Cmp(pair[1])
			require.NoError(t, err)
			assert.Zero(t, n)
		}
		assert.InEpsilon(t, a.Ramp.Float(), b.Ramp.Float(), 1e-14)
		// A larger cutter in the same hole: smaller path, slower centre, steeper.
		larger, err := Helix(Cut{Hole: hIn, Cutter: cIn.Scale(testkit.Q(t, "1.05").Rat()), Before: bIn, Pitch: pIn, WallFeed: wall})
		require.NoError(t, err)
		assert.Less(t, larger.Diameter.Float(), a.Diameter.Float())
		assert.Less(t, larger.CentreFeed.Float(), a.CentreFeed.Float())
		assert.Greater(t, larger.Ramp.Float(), a.Ramp.Float())
		assert.Greater(t, a.Ramp.Float(), a.WallRamp.Float())
	})
}

func TestBossCentreFeed(t *testing.T) {
	// (Db + Dt)/Db, printed by two makers of cutters; seen.
	f, err := BossCentreFeed(testkit.Q(t, "600 mm/min"), testkit.Q(t, "20 mm"), testkit.Q(t, "10 mm"))
	require.NoError(t, err)
	assert.Equal(t, "900 mm/min", f.Format(unit(t, "mm/min"), 0))
}
