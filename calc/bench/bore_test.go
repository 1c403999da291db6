package bench

import (
	"fmt"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/boring"
)

// Plane geometry, values computed apart; the ratio (D-d)/D of the feeds as makers
// of cutters print it.
func TestBorePath(t *testing.T) {
	for _, c := range []struct {
		q                          Bore
		path, feed, ramp, wallRamp string
	}{
		{Bore{Hole: "16mm", Cutter: "10mm", Pitch: "0.5mm", WallFeed: "800mm/min"}, "6 mm", "300 mm/min", "1.519461 deg", "0.569913 deg"},
		{Bore{Hole: "25mm", Cutter: "12mm", Pitch: "0.7mm", WallFeed: "1200mm/min"}, "13 mm", "624 mm/min", "0.981940 deg", ""},
		{Bore{Hole: "30mm", Cutter: "16mm", Pitch: "1mm", WallFeed: "1000mm/min"}, "14 mm", "466.6667 mm/min", "1.302477 deg", ""},
	} {
		r := asked(t, c.q, "")
		r.exactly(t, c.path, "path/path_diameter", "D - d")
		r.within(t, c.feed, 1e-4, "path/centre_feed", "wall feed·(D - d)/D")
		r.within(t, c.ramp, 1e-6, "path/ramp", "atan(p/(pi(D-d)))")
		if c.wallRamp != "" {
			r.within(t, c.wallRamp, 1e-6, "path/ramp_at_wall", "atan(p/(pi D))")
		}
		assert.Nil(t, r["next_pass"])
	}
	// Opening 18 to 20 with a 12 mm cutter: 1.0 radial acts like 2.375 (checked
	// apart against the true arc of contact, 52.83 deg).
	r := asked(t, Bore{Hole: "20mm", Cutter: "12mm", Before: "18mm"}, "")
	r.exactly(t, "1 mm", "path/radial_depth", "(D - before)/2")
	r.exactly(t, "2.375 mm", "path/acts_like_straight_cut_of", "(D² - Dw²)/(4(D-d))")
	r.within(t, "52.83 deg", 0.005, "path/contact_angle", "arc of contact")
	// A maker's range for a 32 mm cutter with a core of 16: 48 to about 61 mm.
	r = asked(t, Bore{Hole: "50mm", Cutter: "32mm", Core: "16mm", Corner: "1.5mm"}, "")
	r.exactly(t, "48 mm", "path/smallest_hole_in_solid", "d + core (a cutter maker's catalogue of 2021-22, p. M136)")
	r.exactly(t, "61 mm", "path/largest_flat_floor", "2(d - corner) (a cutter maker's catalogue of 2021-22, p. M136)")
	// Surface speed 25 m/min, 35 mm, 4 teeth of 0.2: n 227, wall feed 182 (a maker's
	// guide to heat-resistant alloys, p. 107, which rounds).
	r = asked(t, Bore{Hole: "58mm", Cutter: "35mm", Surface: "25m/min", Teeth: 4, Tooth: "0.2mm"}, "")
	r.within(t, "227 1/min", 0.5, "path/spindle_speed", "printed 227")
	r.within(t, "182 mm/min", 0.5, "path/wall_feed", "printed 182")
	r.within(t, "72.17 mm/min", 0.1, "path/centre_feed", "by its own formula; the 76 printed beside it is a misprint")
}

// Shop sheet (common practice, recomputed apart): .18715 to .1877 is .00028 on the
// radius at gain 1, .00030 at .92.
func TestBoreNext(t *testing.T) {
	q := Bore{
		Limits: "0.1875 +0.0005/-0 in", Target: "0.1877in", Entered: []string{"0.1871..0.18711 in"}, Refused: []string{"0.18719..0.1872 in"}, Gain: "1", Spread: "0",
	}
	r := asked(t, q, "")
	assert.Equal(t, "go on", r.at(t, "next_pass/decision"))
	r.exactly(t, "0.000275 in", "next_pass/aimed_change_of_radius", "shop sheet: .00028 when rounded")
	q.Gain = "0.92"
	r = asked(t, q, "")
	r.within(t, "0.000299 in", 5e-7, "next_pass/aimed_change_of_radius", "shop sheet: .00030 when rounded")
	// A pass that is done: the gain is learned from it. Growth (middle to middle)
	// .00050 for .0003 commanded is .833.
	q = Bore{
		Limits: "0.1875 +0.0005/-0 in", Entered: []string{"0.1870..0.1870 in"}, Refused: []string{"0.1870..0.1870 in"},
		Pass: []string{"0.0003 in; entered 0.1875..0.1875 in; refused 0.1875..0.1875 in"},
	}
	r = asked(t, q, "")
	r.within(t, "0.83333", 1e-4, "next_pass/learned_gain", "(D1 - D0)/(2·change)")
	assert.Equal(t, "stop", r.at(t, "next_pass/decision"), "on the limit is inside")
	// Oversize is said, and nothing is cut.
	q = Bore{Limits: "0.1875 +0.0005/-0 in", Entered: []string{"0.1882 in X plus"}}
	r = asked(t, q, "")
	assert.Equal(t, "oversize", r.at(t, "next_pass/decision"))
	assert.Nil(t, r.at(t, "next_pass/change_of_radius"))
}

// Whatever the hole and the cutter do within what was typed, the pass that is
// given does not go over; and inches or millimetres give the same pass.
func TestBoreNextNeverGoesOver(t *testing.T) {
	// Limits in tenths, or the same ones in micrometres, exactly.
	text := func(low, high int64, metric bool) string {
		if metric {
			return big.NewRat(low*254, 100).FloatString(2) + ".." + big.NewRat(high*254, 100).FloatString(2) + " um"
		}
		return fmt.Sprintf("%d..%d tenths", low, high)
	}
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Int64Range(1000, 3000).Draw(t, "lower limit, tenths")
		width := rapid.Int64Range(3, 12).Draw(t, "tolerance")
		goes := low - rapid.Int64Range(1, 30).Draw(t, "below")
		refused := goes + rapid.Int64Range(1, 6).Draw(t, "interval")
		ask := func(metric bool) *BoreNext {
			step := "1 tenths" // the control's step is the same length in both
			if metric {
				step = "2.54 um"
			}
			q := Bore{Limits: text(low, low+width, metric), Entered: []string{text(goes, goes, metric)}, Refused: []string{text(refused, refused, metric)}, Increment: step}
			a, err := q.Ask(Options{})
			require.NoError(t, err)
			return a.(*BoreAnswer).Next
		}
		n, m := ask(false), ask(true)
		require.Equal(t, n.Decision, m.Decision)
		if n.Decision != boring.GoOn {
			return
		}
		require.Zero(t, n.Change.Rat().Cmp(m.Change.Rat()))
		// The largest hole with the highest gain: refused + 2·change is not above the limit.
		tenth := big.NewRat(254, 100000) // mm
		after := new(big.Rat).Add(new(big.Rat).Mul(big.NewRat(refused, 1), tenth), new(big.Rat).Mul(big.NewRat(2, 1), n.Change.Rat()))
		require.LessOrEqual(t, after.Cmp(new(big.Rat).Mul(big.NewRat(low+width, 1), tenth)), 0)
		require.Positive(t, n.Change.Sign())
	})
}

func TestBoreErrors(t *testing.T) {
	limits := "0.1875 +0.0005/-0 in"
	for _, c := range []struct {
		q    Bore
		says []string
	}{
		{Bore{}, []string{"hole: no value", "--cutter 10mm", "--limits"}},
		{Bore{Hole: "16mm"}, []string{"cutter: no value"}},
		{Bore{Cutter: "16mm"}, []string{"hole: no value"}},
		{Bore{Hole: "10mm", Cutter: "16mm"}, []string{"does not go into"}},
		{Bore{Hole: "0mm", Cutter: "16mm"}, []string{"hole: 0 mm is not above 0"}},
		{Bore{Hole: "16mm", Cutter: "10"}, []string{"cutter: ", "unit is missing"}},
		{Bore{Hole: "16mm", Cutter: "10mm", WallFeed: "800mm"}, []string{"wall-feed: 800 mm is a length; type a feed", "800mm/min"}},
		{Bore{Hole: "16mm", Cutter: "10mm", WallFeed: "800mm/min", CentreFeed: "3mm/min"}, []string{"leave one out"}},
		{Bore{Hole: "16mm", Cutter: "10mm", Pitch: "1mm", Ramp: "1deg"}, []string{"leave one out"}},
		{Bore{Hole: "16mm", Cutter: "10mm", Surface: "100m/min"}, []string{"tooth: no value"}},
		{Bore{Hole: "16mm", Cutter: "10mm", Surface: "100m/min", Tooth: "0.02mm"}, []string{"teeth: 0; type the number of teeth"}},
		{Bore{Hole: "16mm", Cutter: "10mm", Surface: "100m/min", Tooth: "0.02mm", Teeth: 4, WallFeed: "8mm/min"}, []string{"leave one of the two out"}},
		{Bore{Hole: "16mm", Cutter: "10mm", Flat: -1}, []string{"flat rounds: -1"}},
		{Bore{Entered: []string{"0.187 in X plus"}}, []string{"limits: no value"}},
		{Bore{Limits: "0.1875in"}, []string{"limits: 0.1875 in has no limits"}},
		{Bore{Limits: limits, Entered: []string{"0.187 in"}}, []string{"entered: ", "says nothing of how far"}},
		{Bore{Limits: limits, Pass: []string{""}}, []string{"pass 1: no change of radius"}},
		{Bore{Limits: limits, Pass: []string{"0.0003"}}, []string{"pass 1: ", "unit is missing"}},
		{Bore{Limits: limits, Pass: []string{"-0.0003in"}}, []string{"pass 1: ", "below 0"}},
		{Bore{Limits: limits, Pass: []string{"0.0003in; tight"}}, []string{"pass 1: ", "entered or refused"}},
		{Bore{Limits: limits, Gain: "big"}, []string{"gain: "}},
		{Bore{Limits: limits, Target: "0.2in"}, []string{"outside the limits"}},
		{Bore{Limits: limits, Spread: "1mm"}, []string{"spread: 1 mm is a length"}},
	} {
		refuses(t, c.q, "", c.says...)
	}
	// Gauges that contradict each other are an answer, not a slip of typing.
	r := asked(t, Bore{Limits: limits, Entered: []string{"0.188 in X plus"}, Refused: []string{"0.187 in X minus"}}, "")
	assert.Equal(t, "cannot tell", r.at(t, "next_pass/decision"))
	assert.Contains(t, r.at(t, "next_pass/why"), "contradict")
}
