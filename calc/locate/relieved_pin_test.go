package locate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The exact reach was worked out apart from this code (numpy); (b) is the
// handbook form D(D-d)/(2w), common practice.
func TestReachTable(t *testing.T) {
	for _, c := range []struct{ w, d, D, exact, handbook, ratio float64 }{
		{3, 9.98, 10.02, 0.065247584, 0.066800000, 3.26},
		{4, 9.986, 10.015, 0.035929088, 0.036304375, 2.48},
		{4, 11.984, 12.018, 0.050369967, 0.051076500, 2.96},
		{1, 5.99, 6.012, 0.062148557, 0.066132000, 5.65},
		{5, 19.98, 20.021, 0.080699566, 0.082086100, 3.94},
		{2, 7.995, 8.015, 0.039254541, 0.040075000, 3.93},
		{0.5, 9.98, 10.02, 0.262347538, 0.400800000, 13.1},
	} {
		e, err := Reach(c.D, c.d, c.w)
		require.NoError(t, err)
		assert.InDelta(t, c.exact, e, 5e-10)
		assert.InDelta(t, c.ratio, e/((c.D-c.d)/2), 0.02)
		pins, holes := flat(100, 100, c.D, c.d, c.w)
		r, err := TwoPins(pins, holes)
		require.NoError(t, err)
		assert.InDelta(t, c.handbook, r.HandbookReach[1], 5e-10)
		assert.InDelta(t, c.handbook-c.exact, r.HandbookExcess[1], 1e-9)
	}
}

func TestPinForTable(t *testing.T) {
	// Exact pin size for a needed reach, and what the handbook size really gives
	// (computed apart from this code).
	for _, c := range []struct{ D, w, e, d, handbook, gives float64 }{
		{8, 3, 0.04, 7.969542, 7.970000, 0.039407},
		{10, 4, 0.05, 9.959418, 9.960000, 0.049293},
		{12, 4, 0.05, 11.966202, 11.966667, 0.049322},
		{20, 5, 0.06, 19.969617, 19.970000, 0.059253},
	} {
		d, err := PinFor(c.D, c.e, c.w)
		require.NoError(t, err)
		assert.InDelta(t, c.d, d, 5e-7)
		e, err := Reach(c.D, c.handbook, c.w)
		require.NoError(t, err)
		assert.InDelta(t, c.gives, e, 1.5e-6) // the handbook size is given to 1e-6
	}
}

func TestTurnedLooseness(t *testing.T) {
	// Common practice: with .0002 in clearance a relieved pin the wrong way
	// round is loose by about ±.0004 instead of ±.0001.
	along, across, err := TurnedLooseness(.1875*inch, .1873*inch, .047*inch, math.Pi/2)
	require.NoError(t, err)
	assert.InDelta(t, .0001, along/inch, 1e-9)
	assert.InDelta(t, .0004, across/inch, .000005)

	along, across, err = TurnedLooseness(.1875*inch, .1873*inch, .047*inch, 0)
	require.NoError(t, err)
	assert.InDelta(t, .0004, along/inch, .000005)
	assert.InDelta(t, .0001, across/inch, 1e-9)
}

func TestLargestLand(t *testing.T) {
	// .0010 in of mismatch, .0002 radial clearance at the round pin: the land
	// must give the other .0008. First-order (common practice) it is
	// D·C/(2(E-c1)) = .1877·.0004/(2·.0008) = .0469; the exact one is smaller.
	w, err := LargestLand(.1877*inch, .1873*inch, .0010*inch, .0002*inch)
	require.NoError(t, err)
	assert.Less(t, w/inch, .0469)
	assert.InDelta(t, .0469, w/inch, .0010)
	pins, holes := flat(2.4*inch, 2.401*inch, .1877*inch, .1873*inch, w)
	r, err := TwoPins(pins, holes)
	require.NoError(t, err)
	assert.True(t, r.GoesOn)
	assert.InDelta(t, .0010*inch, r.Allowance, 1e-9)
	pins[1].Land = w + .0005*inch
	r, err = TwoPins(pins, holes)
	require.NoError(t, err)
	assert.False(t, r.GoesOn, "a wider land binds")

	w, err = LargestLand(10.02, 9.98, 0.03, 0.02)
	require.NoError(t, err)
	assert.Equal(t, 9.98, w, "two round pins are enough")
}

func TestSizingErrors(t *testing.T) {
	for _, c := range []struct {
		name string
		do   func() error
		says string
	}{
		{"hole", func() error { _, err := Reach(0, 1, 1); return err }, "hole diameter"},
		{"pin", func() error { _, err := Reach(1, math.NaN(), 1); return err }, "pin diameter"},
		{"pin larger", func() error { _, err := Reach(9, 10, 3); return err }, "larger than the hole"},
		{"land", func() error { _, err := Reach(10, 9, 9.5); return err }, "not wider"},
		{"pin for: hole", func() error { _, err := PinFor(-1, 1, 1); return err }, "hole diameter"},
		{"pin for: land", func() error { _, err := PinFor(10, .1, 0); return err }, "land"},
		{"pin for: reach", func() error { _, err := PinFor(10, -.1, 3); return err }, "negative"},
		{"pin for: too far", func() error { _, err := PinFor(10, 4, 3); return err }, "narrower than its land"},
		{"land for: pin", func() error { _, err := LandFor(9, 10, .1); return err }, "larger than the hole"},
		{"land for: reach", func() error { _, err := LandFor(10, 9, math.Inf(1)); return err }, "negative"},
		{"land for: too far", func() error { _, err := LandFor(10.02, 9.98, .5); return err }, "knife edge"},
		{"largest: need", func() error { _, err := LargestLand(10, 9, -1, 0); return err }, "negative"},
		{"largest: round pin", func() error { _, err := LargestLand(10, 9, 1, -.1); return err }, "no land cures"},
		{"turned: land", func() error { _, _, err := TurnedLooseness(10, 9, 0, 0); return err }, "land"},
		{"turned: angle", func() error { _, _, err := TurnedLooseness(10, 9, 3, math.NaN()); return err }, "angle"},
	} {
		assert.ErrorContains(t, c.do(), c.says, c.name)
	}
}

func TestReachIsSoundAndInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		D := rapid.Float64Range(1, 40).Draw(t, "D")
		d := D - rapid.Float64Range(0.001, 0.2).Draw(t, "clearance")
		w := d * rapid.Float64Range(0.02, 1).Draw(t, "land/d")
		e, err := Reach(D, d, w)
		require.NoError(t, err)
		// The corner of the land is on the hole: the definition itself.
		h2 := (d*d - w*w) / 4
		assert.InDelta(t, D/2, math.Hypot(e+w/2, math.Sqrt(math.Max(h2, 0))), 1e-12*D)
		assert.GreaterOrEqual(t, e, (D-d)/2-1e-12)
		assert.LessOrEqual(t, e, D*(D-d)/(2*w)+1e-12, "the handbook never claims less")
		back, err := PinFor(D, e, w)
		require.NoError(t, err)
		assert.InDelta(t, d, back, 1e-10)
		land, err := LandFor(D, d, e)
		require.NoError(t, err)
		assert.InDelta(t, w, land, 1e-8*D)
	})
}
