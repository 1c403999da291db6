package check

import (
	"errors"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/internal/testkit"
	"tenths/calc/quantity"
)

func TestRefusals(t *testing.T) {
	none := quantity.Quantity{}
	length := func(v quantity.Quantity) func(*Sums) {
		return func(s *Sums) { s.Positive(v, "bore", quantity.Length, "12 mm") }
	}
	for _, c := range []struct {
		check func(*Sums)
		want  string // "" if nothing is refused
	}{
		{length(testkit.Q(t, "12 mm")), ""},
		{length(none), "bore: no value; type a length above 0, such as 12 mm"},
		{length(testkit.Q(t, "12 s")), "bore: 12 s is a time; type a length above 0, such as 12 mm"},
		{length(testkit.Q(t, "0 mm")), "bore: 0 mm is not above 0; type a length above 0, such as 12 mm"},
		{length(testkit.Q(t, "-1 mm")), "bore: -1 mm is not above 0; type a length above 0, such as 12 mm"},
		{func(s *Sums) { s.Positive(testkit.Q(t, "68 F"), "rise", quantity.TemperatureDifference, "1 K") }, "rise: 68 F is a temperature; type a temperature difference above 0, such as 1 K"},
		{func(s *Sums) { s.Optional(none, "bore", quantity.Length, "12 mm") }, ""},
		{func(s *Sums) { s.Optional(testkit.Q(t, "0 mm"), "bore", quantity.Length, "12 mm") }, "bore: 0 mm is not above 0; type a length above 0, such as 12 mm"},
		{func(s *Sums) { s.ZeroOr(testkit.Q(t, "0 mm"), "bore", quantity.Length, "12 mm") }, ""},
		{func(s *Sums) { s.ZeroOr(testkit.Q(t, "-1 mm"), "bore", quantity.Length, "12 mm") }, "bore: -1 mm is not above 0; type a length above 0, such as 12 mm"},
		{func(s *Sums) { s.Coefficient(testkit.Q(t, "11.7 ppm/K"), "steel") }, ""},
		{func(s *Sums) { s.Coefficient(testkit.Q(t, "11.7 /K"), "steel") }, "steel: 11.7 1/K is beyond any material; type it in millionths, such as 11.7 ppm/K or 6.5 ppm/F"},
		{func(s *Sums) { s.Temperature(testkit.Q(t, "68 F"), "part") }, ""},
		{func(s *Sums) { s.Temperature(none, "part") }, "part: no value; type a temperature, such as 68 F or 20 C"},
		{func(s *Sums) { s.Temperature(testkit.Q(t, "5 K"), "part") }, "part: 5 K is a temperature difference; type a temperature, such as 68 F or 20 C"},
		{func(s *Sums) { s.Temperature(quantity.New(big.NewRat(-300, 1), testkit.Q(t, "20 C").Unit()), "part") }, "part: -300 C is below absolute zero; type a temperature, such as 68 F or 20 C"},
	} {
		var s Sums
		c.check(&s)
		if c.want == "" {
			assert.NoError(t, s.Err)
		} else {
			assert.EqualError(t, s.Err, c.want)
		}
	}
}

// TestFirstErrorStands: what comes after an error neither replaces nor hides it.
func TestFirstErrorStands(t *testing.T) {
	var s Sums
	assert.Equal(t, "3 mm", s.Add(testkit.Q(t, "1 mm"), testkit.Q(t, "2 mm")).String())
	require.NoError(t, s.Err)
	s.Sub(testkit.Q(t, "1 mm"), testkit.Q(t, "2 s"))
	require.Error(t, s.Err)
	first := s.Err
	s.Positive(quantity.Quantity{}, "bore", quantity.Length, "12 mm")
	s.Keep(testkit.Q(t, "1 mm"), errors.New("later"))
	s.Fail("last")
	assert.Equal(t, first, s.Err)
}

// TestEnds: an exact value is both of its ends; a rounded one lies between them.
func TestEnds(t *testing.T) {
	assert.Equal(t, Low(testkit.Q(t, "1 mm")), High(testkit.Q(t, "1 mm")))
	assert.Negative(t, Low(Pi()).Cmp(High(Pi())))
	assert.Equal(t, "in", UnitLike(testkit.Q(t, "2 thou"), "mm", "in").Name())
	assert.Equal(t, "mm", UnitLike(testkit.Q(t, "2 um"), "mm", "in").Name())
}
