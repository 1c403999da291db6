package quantity

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		text, unit string
		decimals   int
		want       string
	}{
		{"0.1880 in", "mm", 4, "4.7752 mm"},
		{"0.1880 in", "mm", 2, "4.78 mm"},
		{"4.7752 mm", "in", 4, "0.1880 in"},
		{"0.00005 in", "in", 4, "0.0000 in"}, // half to even
		{"0.00015 in", "in", 4, "0.0002 in"},
		{"0.00025 in", "in", 4, "0.0002 in"},
		{"-0.00005 in", "in", 4, "0.0000 in"}, // never -0.0000
		{"-0.00015 in", "in", 4, "-0.0002 in"},
		{"-0.00001 in", "in", 3, "0.000 in"},
		{"9.9996 in", "in", 3, "10.000 in"},
		{"2.5 mm", "mm", 0, "2 mm"},
		{"3.5 mm", "mm", 0, "4 mm"},
		{"3.5 mm", "mm", -2, "4 mm"},
		{"68 F", "C", 1, "20.0 C"},
		{"1/3 in", "in", 3, "0.333 in"},
		{"0.1880 in", "deg", 3, "0.188 in"}, // another dimension: own unit
	} {
		assert.Equal(t, c.want, parse(t, c.text).Format(unit(t, c.unit), c.decimals), c.text)
	}
	assert.Equal(t, "0.188 in", parse(t, "0.1880 in").Format(Unit{}, 3))
}

// A thread pitch of 1/13 in is 25.4/13 mm, which no decimal ends.
func TestComputedValues(t *testing.T) {
	pitch := New(big.NewRat(1, 13), Inch)
	assert.Equal(t, "0.076923 in", pitch.String())
	assert.Equal(t, -1, pitch.Decimals())
	mm, err := pitch.As(Millimetre)
	require.NoError(t, err)
	assert.Equal(t, "1.95385 mm", mm.String())
	assert.Equal(t, "1.9538461538461538", mm.Plain())
	for _, c := range []struct {
		value, unit, want, plain string
	}{
		{"1/32", "in", "0.03125 in", "0.03125"},
		{"1/1024", "in", "0.000977 in", "0.0009765625"},
		{"-1/30000000", "in", "0 in", "-0.000000033333333333333334"},
		{"1/3", "", "0.333333", "0.3333333333333333"},
		{"200000/3", "", "66666.7", "66666.66666666667"},
		{"2000000/3", "", "666667", "666666.6666666666"},
		{"1/3", "N/mm²", "0.333333 N/mm²", "0.3333333333333333"},
		{"100", "mm", "100 mm", "100"},
		{"1/3", "deg", "0.33333 deg", "0.3333333333333333"},
	} {
		q := New(exact(t, c.value), unit(t, c.unit))
		assert.Equal(t, c.want, q.String())
		assert.Equal(t, c.plain, q.Plain())
	}
	assert.Equal(t, "0.1 in", FromFloat(0.1, Inch).String(), "inexact values are rounded")
	assert.Equal(t, "0.1", FromFloat(0.1, Inch).Plain())
	assert.Equal(t, "0.1880", parse(t, "0.1880 in").Plain())
	assert.Equal(t, "0.09375", parse(t, "3/32 in").Plain())
	assert.Equal(t, "0.1880 in", New(exact(t, "0.188"), Inch).WithDecimals(4).String())
}

// Rounding to the written decimals lands on the nearest multiple, ties on the
// even one (IEEE 754 roundTiesToEven).
func TestFixedIsNearestEven(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := big.NewRat(rapid.Int64Range(-100_000, 100_000).Draw(t, "v"), rapid.SampledFrom([]int64{1, 2, 3, 4, 8, 7, 2000}).Draw(t, "divisor"))
		n := rapid.IntRange(0, 5).Draw(t, "decimals")
		s := fixed(v, n)
		got := exact(t, s)
		step := big.NewRat(1, 1)
		for range n {
			step.Quo(step, big.NewRat(10, 1))
		}
		d := new(big.Rat).Sub(got, v)
		c := new(big.Rat).Mul(d.Abs(d), big.NewRat(2, 1)).Cmp(step)
		assert.True(t, c <= 0, "%s as %s", v, s)
		if c == 0 {
			assert.Zero(t, new(big.Rat).Quo(got, step).Num().Bit(0), "%s as %s is odd", v, s)
		}
		assert.False(t, got.Sign() == 0 && s[0] == '-', s)
	})
}
