package study

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
)

// A deviation added to its nominal keeps the digits that either of them deserves.
func TestDecimalsOfSum(t *testing.T) {
	for _, c := range []struct{ from, dev, want string }{
		{"1.5000 in", "3 tenths", "1.5003 in"},
		{"0 in", "30 tenths", "0.0030 in"},
		{"1.5000 in", "2.5 tenths", "1.50025 in"},
		{"25.400 mm", "12 um", "25.412 mm"},
		{"500 um", "0.012 mm", "512 um"},
		{"500 um", "0.0125 mm", "512.5 um"},
		{"1.5000 in", "0.254 mm", "1.51000 in"}, // no power of ten between them
	} {
		from, err := quantity.Parse(c.from, quantity.One)
		require.NoError(t, err)
		dev, err := quantity.Parse(c.dev, quantity.One)
		require.NoError(t, err)
		for range 2 { // computed, and kept
			sum, err := from.Add(dev)
			require.NoError(t, err)
			assert.Equal(t, c.want, sum.WithDecimals(decimalsOfSum(sum, from, dev)).String(), "%s + %s", c.from, c.dev)
		}
	}
}
