package rules

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/joint"
	"tenths/calc/quantity"
)

// TestBlindSeatPage recomputes the numbers that the page gives as an example: an
// 8 mm pin 16 mm deep in a hole of 20 mm (Boyle's law at 1.01325 bar).
func TestBlindSeatPage(t *testing.T) {
	q := func(text string) quantity.Quantity {
		v, err := quantity.Parse(text, quantity.Unit{})
		require.NoError(t, err)
		return v
	}
	got, err := joint.BlindSeat(joint.Seat{Diameter: q("8 mm"), Depth: q("20 mm"), Entered: q("16 mm"), Force: q("5000 N")})
	require.NoError(t, err)
	const bar = 0.1 // N/mm²
	assert.InDelta(t, 5.07, got.Air.Float()/bar, 0.005)
	assert.InDelta(t, 20, got.PushBack.Float(), 0.5)
	assert.InDelta(t, 99.5, got.Liquid.Float(), 0.05)
	for _, text := range []string{"8 mm pin 16 mm deep in a hole of 20 mm", "5.07 bar", "20 N", "5 kN", "99.5 MPa"} {
		assert.Contains(t, blindSeat.Page.Formula, text)
	}
}
