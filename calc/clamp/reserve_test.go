package clamp

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestReserveSimpleFormulas turns the formulas of fixture handbooks (common
// practice) round: F = W (mu1 + mu2) across, F = W upwards, M = W mu r about.
func TestReserveSimpleFormulas(t *testing.T) {
	ring := []Contact{rest(50, 0, 0.2), rest(-50, 0, 0.2), rest(0, 50, 0.2), rest(0, -50, 0.2)}
	loads := []Load{
		{Force: [3]float64{100, 0, 0}}, // at table height: no tipping
		{Force: [3]float64{0, 0, 500}},
		{Moment: [3]float64{0, 0, 2000}},
		{Force: [3]float64{0, 0, -100}},
	}
	r, err := Reserves(ring, []Contact{top(0, 0, 40, 0.1)}, []float64{1000}, loads, 8)
	require.NoError(t, err)
	assert.InDelta(t, 1000*0.3/100, r.Times[0], 1e-6)
	assert.InDelta(t, 1000/500.0, r.Times[1], 1e-6)
	assert.InDelta(t, 1000*0.2*50/2000, r.Times[2], 1e-6)
	assert.Equal(t, []bool{false, false, false, true}, r.More, "straight onto the rests there is no end")
	assert.Equal(t, 1, r.Least)
	assert.True(t, r.LowerBound)
	assert.Equal(t, "lower bound", r.Cautions[0].Topic)
}

// TestReserveAgreesWithHold: with the least force that Hold finds for a load on four
// rests, the reserve is one.
func TestReserveAgreesWithHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		locs := table(f("mu", 0.05, 0.5))
		clamps := []Contact{top(f("x", -40, 40), f("y", -25, 25), 40, f("muc", 0, 0.5))}
		load := []Load{{Force: [3]float64{f("fx", 10, 900), f("fy", -900, 900), f("fz", -500, 500)}, At: [3]float64{f("px", -50, 50), f("py", -30, 30), f("pz", 0, 40)}, Moment: [3]float64{0, 0, f("m", -9000, 9000)}}}
		h, err := Hold(locs, clamps, load, Options{Safety: 1})
		if err != nil || h.Total < 1 {
			t.Skip()
		}
		r, err := Reserves(locs, clamps, h.Clamps, load, 16)
		require.NoError(t, err)
		assert.InDelta(t, 1, r.Times[0], 1e-5)
		// Twice the force holds twice the load.
		twice, err := Reserves(locs, clamps, []float64{2 * h.Clamps[0]}, load, 16)
		require.NoError(t, err)
		assert.InDelta(t, 2*r.Times[0], twice.Times[0], 1e-4)
	})
}

func TestReserveErrors(t *testing.T) {
	ok := []Load{{Force: [3]float64{1, 0, 0}}}
	clamps := []Contact{top(0, 0, 40, 0.1)}
	for _, c := range []struct {
		clamps []Contact
		forces []float64
		loads  []Load
		sides  int
		says   string
	}{
		{nil, nil, ok, 0, "no clamp"},
		{clamps, nil, ok, 0, "every clamp needs one"},
		{clamps, []float64{0}, ok, 0, "no clamp presses"},
		{clamps, []float64{5}, nil, 0, "no load"},
		{clamps, []float64{5}, []Load{{}}, 0, "no force"},
		{clamps, []float64{5}, ok, 2, "3 to 1024"},
		{[]Contact{{Normal: [3]float64{}}}, []float64{5}, ok, 0, "clamp 1"},
	} {
		_, err := Reserves(table(0.2), c.clamps, c.forces, c.loads, c.sides)
		assert.ErrorContains(t, err, c.says)
	}
	// A clamp beside the rests tips the part off.
	_, err := Reserves(table(0.2), []Contact{top(80, 0, 40, 0)}, []float64{500}, ok, 0)
	assert.ErrorIs(t, err, ErrCannotHold)
	assert.ErrorContains(t, err, "before any cut")
}
