package chart

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The limits are those of tables for a known standard deviation: d2 = 1.128 and
// D2 = 3.686 for ranges of two (ISO 7870-2, table of factors, from memory; the same
// as 3.267·1.128 with D4 and d2 of the NIST/SEMATECH e-Handbook 6.3.2). The numbers
// z are worked out by hand.
func TestStandardized(t *testing.T) {
	width, bore := Nominal{15000, 2}, Nominal{8750, 0.5} // tenths; the bore is finer
	c, err := NewStandardized([]float64{15002, 14999, 8750.5, 8749, 15007}, []Nominal{width, width, bore, bore, width})
	require.NoError(t, err)
	assert.Equal(t, []float64{1, -0.5, 1, -2, 3.5}, c.Z)
	assert.Equal(t, []float64{1.5, 1.5, 3, 5.5}, c.Ranges, "also from part to part")
	assert.Equal(t, []int{4}, c.Outside)
	assert.Equal(t, []int{4}, c.Jumps)
	assert.InDelta(t, 1.128, c.RangeMean, 0.0005)
	assert.InDelta(t, 3.686, c.RangeUpper, 0.0005)
	assert.InDelta(t, 3.267*1.128, c.RangeUpper, 0.002)
	assert.InDelta(t, 0.6, c.Mean, 1e-12)
	assert.InDelta(t, (1.5+1.5+3+5.5)/4/1.128379, c.Spread, 1e-5)
	assert.Equal(t, -c.Upper, c.Lower)

	row, err := NewStandardized([]float64{1, 2, 1, 1, 2, 1, 1, 2}, make8(Nominal{0, 2}))
	require.NoError(t, err)
	assert.Equal(t, []Run{{0, 7, true}}, row.Runs, "eight above the nominal")
	assert.Empty(t, row.Outside)
	edge, err := NewStandardized([]float64{3, 0}, []Nominal{{0, 1}, {0, 1}})
	require.NoError(t, err)
	assert.Empty(t, edge.Outside, "on the limit is inside")
	for name, bad := range map[string]struct {
		values []float64
		held   []Nominal
	}{
		"one": {[]float64{1}, []Nominal{{0, 1}}}, "short": {[]float64{1, 2}, []Nominal{{0, 1}}}, "flat": {[]float64{1, 2}, []Nominal{{0, 1}, {0, 0}}},
		"NaN": {[]float64{1, math.NaN()}, []Nominal{{0, 1}, {0, 1}}}, "no spread": {[]float64{1, 2}, []Nominal{{0, 1}, {0, math.NaN()}}}, "tiny": {[]float64{1, 1e90}, []Nominal{{0, 1}, {0, 1e-300}}},
	} {
		_, err := NewStandardized(bad.values, bad.held)
		assert.Error(t, err, name)
	}
}

func make8(n Nominal) []Nominal { return []Nominal{n, n, n, n, n, n, n, n} }

// A chart says the same whatever the unit and the nominals of its parts.
func TestStandardizedUnits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 30).Draw(t, "n")
		var values, other []float64
		var held, as []Nominal
		for range n {
			z := float64(rapid.IntRange(-40, 40).Draw(t, "z")) / 8
			k := float64(rapid.IntRange(1, 5).Draw(t, "k"))
			values, held = append(values, 10*k+z*k), append(held, Nominal{10 * k, k})
			other, as = append(other, 25.4*z*k), append(as, Nominal{0, 25.4 * k})
		}
		a, err := NewStandardized(values, held)
		require.NoError(t, err)
		b, err := NewStandardized(other, as)
		require.NoError(t, err)
		assert.InDeltaSlice(t, a.Z, b.Z, 1e-9)
		assert.Equal(t, a.Outside, b.Outside)
		assert.Equal(t, a.Runs, b.Runs)
	})
}
