package dowel_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/dowel"
	"tenths/calc/quantity"
)

// For every pin and hole: it slips exactly when the hole lies wholly above
// SlipAbove, and inches and millimetres say the same.
func TestSeatProperties(t *testing.T) {
	all, err := dowel.Pins()
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(all).Draw(t, "pin")
		off := rapid.Int64Range(-10, 20).Draw(t, "hole over nominal, tenths")
		width := rapid.Int64Range(0, 10).Draw(t, "tolerance, tenths")
		low, err := p.Nominal.Add(quantity.New(ratio(off, 10000), quantity.Inch))
		require.NoError(t, err)
		high, err := low.Add(quantity.New(ratio(width, 10000), quantity.Inch))
		require.NoError(t, err)
		var seats [2]dowel.Seat
		for i, u := range []quantity.Unit{quantity.Inch, quantity.Millimetre} {
			l, err := low.As(u)
			require.NoError(t, err)
			h, err := high.As(u)
			require.NoError(t, err)
			hole, err := quantity.WithLimits(l, l, h)
			require.NoError(t, err)
			seats[i], err = p.In(hole)
			require.NoError(t, err)
			require.Equal(t, l.Rat().Cmp(seats[i].SlipAbove.Rat()) > 0, seats[i].Slips)
			require.NotEmpty(t, seats[i].Why)
		}
		require.Equal(t, seats[0].Slips, seats[1].Slips)
		require.Zero(t, seats[0].Fit.MinClearance.Rat().Cmp(seats[1].Fit.MinClearance.Rat()))
		require.Zero(t, seats[0].SlipAbove.Rat().Cmp(seats[1].SlipAbove.Rat()))
	})
}

// Any size a pin can have finds that pin or one that the size fits as well, and
// in millimetres the order is the same.
func TestNearestProperties(t *testing.T) {
	all, err := dowel.Pins()
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(all).Draw(t, "pin")
		w, ok := p.Diameter.Width()
		require.True(t, ok)
		size, err := p.Diameter.Lower.Add(w.Scale(ratio(rapid.Int64Range(0, 100).Draw(t, "percent of the tolerance"), 100)))
		require.NoError(t, err)
		got, err := dowel.Nearest(size, 4)
		require.NoError(t, err)
		require.True(t, got[0].Inside)
		found := false
		for _, m := range got {
			found = found || m.Inside && m.String() == p.String()
		}
		require.True(t, found, "%s at %s", p, size)
		other, err := size.As(quantity.Inch)
		require.NoError(t, err)
		again, err := dowel.Nearest(other, 4)
		require.NoError(t, err)
		for i := range got {
			require.Equal(t, got[i].String(), again[i].String())
			require.Zero(t, got[i].Off.Rat().Cmp(again[i].Off.Rat()))
		}
	})
}
