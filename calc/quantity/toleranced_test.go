package quantity

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParseToleranced(t *testing.T) {
	const arithmetic = "arithmetic on the text"
	for _, c := range []struct {
		text, nominal, lower, upper string // limits in the unit of the nominal; "" for none
		shown                       string
		form                        Form
		source                      string
	}{
		{"0.1875 in", "0.1875", "", "", "0.1875 in", Plain, arithmetic},
		{".1875", "0.1875", "", "", "0.1875 in", Plain, arithmetic},
		{"0.1875 +0.0005/-0 in", "0.1875", "0.1875", "0.1880", "0.1875 +0.0005/-0 in", Deviations, arithmetic},
		{"0.1875 in +0.0005/-0", "0.1875", "0.1875", "0.1880", "0.1875 +0.0005/-0 in", Deviations, arithmetic},
		{"0.1875 +0.0005/-0", "0.1875", "0.1875", "0.1880", "0.1875 +0.0005/-0 in", Deviations, arithmetic},
		{"0.1875+.0005/-.0000in", "0.1875", "0.1875", "0.1880", "0.1875 +0.0005/-0.0000 in", Deviations, arithmetic},
		{"0.1875 in +5/-0 tenths", "0.1875", "0.1875", "0.1880", "0.1875 in +5/-0 tenths", Deviations, arithmetic},
		{"0.1875 in +5 tenths/-0 tenths", "0.1875", "0.1875", "0.1880", "0.1875 in +5/-0 tenths", Deviations, arithmetic},
		{"0.1875 in +5 tenths / -0", "0.1875", "0.1875", "0.1880", "0.1875 in +5/-0 tenths", Deviations, arithmetic},
		{"3/16 in +0.0005/-0", "3/16", "0.1875", "0.1880", "3/16 +0.0005/-0 in", Deviations, arithmetic},
		{"4.7625 mm +0.0127/-0", "4.7625", "4.7625", "4.7752", "4.7625 +0.0127/-0 mm", Deviations, arithmetic},
		{"5 mm +0.5/-0 thou", "5", "5", "5.0127", "5 mm +0.5/-0 thou", Deviations, arithmetic},
		{"1.0 +0.0005/+0.0002", "1", "1.0002", "1.0005", "1.0 +0.0005/+0.0002 in", Deviations, arithmetic},
		{"1.0 -0.001/-0.002", "1", "0.998", "0.999", "1.0 -0.001/-0.002 in", Deviations, arithmetic},
		{"1.0 +0/-0.0003", "1", "0.9997", "1", "1.0 +0/-0.0003 in", Deviations, arithmetic},
		{"1.0 0/-0.0003", "1", "0.9997", "1", "1.0 +0/-0.0003 in", Deviations, arithmetic},
		{"1.0 +0.0005/0", "1", "1", "1.0005", "1.0 +0.0005/-0 in", Deviations, arithmetic},
		{"1.0 in +5/0 tenths", "1", "1", "1.0005", "1.0 in +5/-0 tenths", Deviations, arithmetic},
		{"1.0 +1/64/-1/64", "1", "63/64", "65/64", "1.0 +1/64/-1/64 in", Deviations, arithmetic},
		{"1.0 +1/64/0.00", "1", "1", "65/64", "1.0 +1/64/-0.00 in", Deviations, arithmetic},
		{"1.500 +.010/-.004 in", "1.5", "1.496", "1.510", "1.500 +0.010/-0.004 in", Deviations,
			"Drake, Dimensioning and Tolerancing Handbook, ch. 9: equal-bilateral form 1.503 ±0.007"},
		{"2.4000 ±0.0005 in", "2.4", "2.3995", "2.4005", "2.4000 ±0.0005 in", PlusMinus, arithmetic},
		{"2.4000 +-0.0005 in", "2.4", "2.3995", "2.4005", "2.4000 ±0.0005 in", PlusMinus, arithmetic},
		{"2.4000 +/- 0.0005 in", "2.4", "2.3995", "2.4005", "2.4000 ±0.0005 in", PlusMinus, arithmetic},
		{"2.4000 in ± 5 tenths", "2.4", "2.3995", "2.4005", "2.4000 in ±5 tenths", PlusMinus, arithmetic},
		{"0 ±0.0010", "0", "-0.001", "0.001", "0 ±0.0010 in", PlusMinus, arithmetic},
		{"0 ±10 tenths", "0", "-10", "10", "0 ±10 tenths", PlusMinus, arithmetic},
		{"2 in ±3", "2", "-1", "5", "2 in ±3", PlusMinus, arithmetic},
		{"2 ±3 ozf", "2", "-1", "5", "2 ozf ±3", PlusMinus, arithmetic},
		{"68 ±2 F", "68", "66", "70", "68 ±2 F", PlusMinus, arithmetic},
		{"20 C ±1 K", "20", "19", "21", "20 ±1 C", PlusMinus, arithmetic},
		{"20 C ±9 dF", "20", "15", "25", "20 C ±9 dF", PlusMinus, arithmetic},
		{"0.1875..0.1880 in", "0.18775", "0.1875", "0.1880", "0.1875..0.1880 in", Limits, arithmetic},
		{"0.1875 in .. 0.1880", "0.18775", "0.1875", "0.1880", "0.1875..0.1880 in", Limits, arithmetic},
		{".1875…0.188", "0.18775", "0.1875", "0.1880", "0.1875..0.188 in", Limits, arithmetic},
		{"-0.001..0.001", "0", "-0.001", "0.001", "-0.001..0.001 in", Limits, arithmetic},
		{"1 1/2..1 3/4 in", "1.625", "1.5", "1.75", "1 1/2..1 3/4 in", Limits, arithmetic},
		{"25.4 mm..2 in", "38.1", "25.4", "50.8", "25.4 mm..2 in", Limits, arithmetic},
		{"60..80 F", "70", "60", "80", "60..80 F", Limits, arithmetic},
		{"<= 0.0010 in", "0.001", "", "0.001", "<= 0.0010 in", AtMost, arithmetic},
		{"≤0.0010", "0.001", "", "0.001", "<= 0.0010 in", AtMost, arithmetic},
		{">= 6 ozf", "6", "6", "", ">= 6 ozf", AtLeast, arithmetic},
		{"4 mm H7", "4", "4", "4.012", "4 mm H7", Class, "ISO 286-2: H7 over 3 to 6 mm is +12/0 um"},
		{"6 mm m6", "6", "6.004", "6.012", "6 mm m6", Class, "ISO 286-2: m6 over 3 to 6 mm is +12/+4 um"},
		{"0.1875 in RC4 hole", "0.1875", "0.1875", "0.1882", "0.1875 in RC4 hole", Class, "ASME B4.1, RC4, 0.12 to 0.24 in: hole +0.7/0 thou"},
		{"0.1875 RC4 shaft", "0.1875", "0.1866", "0.1871", "0.1875 in RC4 shaft", Class, "ASME B4.1, RC4, 0.12 to 0.24 in: shaft -0.4/-0.9 thou"},
	} {
		t.Run(c.text, func(t *testing.T) {
			tol, err := ParseToleranced(c.text, Inch)
			require.NoError(t, err)
			u := tol.Nominal.Unit()
			same := func(want string, q Quantity, what string) {
				require.Equal(t, want == "", q.IsZeroValue(), what)
				if want != "" {
					got, err := q.In(u)
					require.NoError(t, err)
					assert.Zero(t, exact(t, want).Cmp(got), "%s %s: got %s (%s)", what, want, got.RatString(), c.source)
				}
			}
			same(c.nominal, tol.Nominal, "nominal")
			same(c.lower, tol.Lower, "lower")
			same(c.upper, tol.Upper, "upper")
			assert.Equal(t, c.form, tol.Form)
			assert.Equal(t, c.shown, tol.String())
			again, err := ParseToleranced(tol.String(), Unit{})
			require.NoError(t, err)
			assert.Equal(t, c.shown, again.String())
		})
	}
}

func TestParseTolerancedWithMetricDefault(t *testing.T) {
	tol, err := ParseToleranced("4 H7", Millimetre)
	require.NoError(t, err)
	assert.Equal(t, "4 mm H7", tol.String())
	assert.Equal(t, "H7", tol.Class)
	assert.Equal(t, "4.012 mm", tol.Upper.String())
	tol, err = ParseToleranced("10 h6", Millimetre)
	require.NoError(t, err, "the h of h6 is no hour")
	assert.Equal(t, "9.991 mm", tol.Lower.String(), "ISO 286-2: h6 over 6 to 10 mm is 0/-9 um")
}

func TestParseTolerancedRefuses(t *testing.T) {
	for _, c := range []struct {
		text   string
		column int
		says   string
	}{
		{"", 1, "a number is missing"},
		{"1.0 +0.0002/+0.0005", 5, "the lower limit 1.0005 in lies above the upper limit 1.0002 in"},
		{"1.0 -0/+0.0005", 5, "upper deviation first"},
		{"0.1880..0.1875 in", 1, "the lower limit 0.1880 in lies above the upper limit 0.1875 in"},
		{"0.13 in..2 mm", 1, "lies above"},
		{"0.1875 +5/-0 tenths", 1, "write its unit after it, like 0.1875 in or 0.1875 tenths"},
		{"1.0 +0.0005", 12, "write both, like +0.0005/-0"},
		{"1.0 +0.0005/0.0002", 13, "a deviation needs its sign"},
		{"1.0 +0.0005/", 13, "a number is missing"},
		{"1.0 in 2", 8, "a deviation needs its sign"},
		{"1.0 in +2", 10, "the second deviation is missing"},
		{"1.0 ± -0.1", 7, "carries no sign"},
		{"1.0 ±", 6, "a number is missing"},
		{"1.0..", 6, "a number is missing"},
		{"1.0 in +1 mm/-1 um", 17, "different units"},
		{"1.0 in ±1 deg", 9, "cannot add an angle to a length"},
		{"1.0 in..2 deg", 9, "cannot compare a length with an angle"},
		{"10 h6", 4, "write the nominal in mm"},
		{"0.1875 in RC4", 11, "write RC4 hole or RC4 shaft"},
		{"4 mm RC4 hole", 6, "RC4 is an inch fit"},
		{"4 mm H7/g6", 8, "not expected"},
		{"4 mm Q9", 6, "Q9"},
		{"4 deg H7", 7, "a tolerance class belongs to a length, not to an angle"},
		{"0 mm H7", 6, "above 0"},
		{"4 mm2", 3, "a power is written mm² or mm^2"},
		{"< 0.0010 in", 1, "write <= or >="},
		{"<= 0.0010 ±0.1 in", 11, "not expected"},
		{"-500 ±1 F", 1, "absolute zero"},
		{"5 furlong ±1", 3, "no known unit"},
		{"5 ±1 furlong", 6, "no known unit"},
	} {
		t.Run(c.text, func(t *testing.T) {
			tol, err := ParseToleranced(c.text, Inch)
			require.Error(t, err)
			assert.True(t, tol.Nominal.IsZeroValue())
			var p *ParseError
			require.ErrorAs(t, err, &p)
			assert.Equal(t, c.column, p.Column, "%v", err)
			assert.Contains(t, err.Error(), c.says)
		})
	}
	for _, text := range []string{"1 ±0.1", "1..2", "4 H7", "1 +0.1/-0.1", "<= 1"} {
		_, err := ParseToleranced(text, Unit{})
		require.Error(t, err, text)
		assert.Contains(t, err.Error(), "unit", text)
	}
}

// A hole 0.1875 +0.0005/-0: limits belong to the tolerance (ISO 14253-1 and
// ASME Y14.5 both count a value on the limit as conforming).
func TestSideAtTheLimit(t *testing.T) {
	tol, err := ParseToleranced("0.1875 +0.0005/-0 in", Unit{})
	require.NoError(t, err)
	for _, c := range []struct {
		text string
		want Side
	}{
		{"0.1880 in", Inside},
		{"4.7752 mm", Inside},
		{"1880 tenths", Inside},
		{"0.18801 in", Above},
		{"4.77520000001 mm", Above},
		{"0.1875 in", Inside},
		{"3/16 in", Inside},
		{"4.7625 mm", Inside},
		{"0.18749999 in", Below},
	} {
		q, err := Parse(c.text, Unit{})
		require.NoError(t, err)
		side, err := tol.Side(q)
		require.NoError(t, err)
		assert.Equal(t, c.want, side, c.text)
	}
	_, err = tol.Side(New(big.NewRat(1, 1), Degree))
	assert.EqualError(t, err, "cannot compare an angle with a length")
	plain, err := ParseToleranced("0.1875 in", Unit{})
	require.NoError(t, err)
	_, err = plain.Side(plain.Nominal)
	assert.EqualError(t, err, "0.1875 in has no limits to compare with")
}

func TestSideOfAnInexactValue(t *testing.T) {
	tol, err := ParseToleranced("1..2 mm", Unit{})
	require.NoError(t, err)
	for _, c := range []struct {
		value float64
		want  Side
	}{{1.5, Inside}, {1, TooClose}, {2, TooClose}, {2.0000001, Above}, {0.9999999, Below}, {1.9999999, Inside}} {
		side, err := tol.Side(FromFloat(c.value, Millimetre))
		require.NoError(t, err)
		assert.Equal(t, c.want, side, "%v", c.value)
	}
	wide := FromFloat(1.5, Millimetre).WithBound(big.NewRat(1, 1))
	side, err := tol.Side(wide)
	require.NoError(t, err)
	assert.Equal(t, TooClose, side)
	assert.Equal(t, "too close to call", side.String())
}

func TestOneSidedLimits(t *testing.T) {
	most, err := ParseToleranced("<= 0.0010 in", Unit{})
	require.NoError(t, err)
	least, err := ParseToleranced(">= 6 ozf", Unit{})
	require.NoError(t, err)
	assert.True(t, most.HasUpper())
	assert.False(t, most.HasLower())
	assert.True(t, least.HasLower())
	assert.False(t, least.HasUpper())
	_, ok := most.Width()
	assert.False(t, ok)
	_, ok = most.Middle()
	assert.False(t, ok)
	_, _, ok = least.Deviations()
	assert.False(t, ok)
	side, err := most.Side(New(big.NewRat(-1, 1), Inch))
	require.NoError(t, err)
	assert.Equal(t, Inside, side)
	side, err = least.Side(New(big.NewRat(5, 1), unit(t, "ozf")))
	require.NoError(t, err)
	assert.Equal(t, Below, side)
}

func TestWidthMiddleDeviations(t *testing.T) {
	tol, err := ParseToleranced("1.500 +.010/-.004 in", Unit{})
	require.NoError(t, err)
	w, ok := tol.Width()
	require.True(t, ok)
	assert.Equal(t, "0.014 in", w.String())
	h, ok := tol.HalfWidth()
	require.True(t, ok)
	assert.Equal(t, "0.007 in", h.String(), "Drake, ch. 9: 1.503 ±0.007")
	m, ok := tol.Middle()
	require.True(t, ok)
	assert.Equal(t, "1.503 in", m.String(), "Drake, ch. 9: 1.503 ±0.007")
	lo, hi, ok := tol.Deviations()
	require.True(t, ok)
	assert.Equal(t, "-0.004 in", lo.String())
	assert.Equal(t, "0.010 in", hi.String())
}

func TestWithLimits(t *testing.T) {
	mm := func(s string) Quantity { return New(exact(t, s), Millimetre) }
	tol, err := WithLimits(mm("10"), mm("9.99"), mm("10.02"))
	require.NoError(t, err)
	assert.Equal(t, "10 +0.02/-0.01 mm", tol.String())
	tol, err = WithLimits(mm("10"), Quantity{}, mm("10.02"))
	require.NoError(t, err)
	assert.Equal(t, "<= 10.02 mm", tol.String())
	tol, err = WithLimits(mm("10"), Quantity{}, Quantity{})
	require.NoError(t, err)
	assert.Equal(t, "10 mm", tol.String())
	_, err = WithLimits(mm("10"), mm("11"), mm("10"))
	assert.EqualError(t, err, "the lower limit 11 mm lies above the upper limit 10 mm")
	_, err = WithLimits(mm("10"), mm("9"), New(big.NewRat(1, 1), Degree))
	assert.Error(t, err)
	_, err = WithLimits(Quantity{}, mm("9"), mm("10"))
	assert.Error(t, err)
	assert.Equal(t, "no value", Toleranced{}.String())
}

// Every way of writing a tolerance gives the same limits.
func TestFormsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawMicroinches(t, "nominal")
		h := rapid.Int64Range(0, 5000).Draw(t, "half width")
		in := func(k int64) string { return new(big.Rat).SetFrac64(k, 1_000_000).FloatString(6) }
		texts := []string{
			in(n) + " ±" + in(h) + " in",
			in(n) + " in +" + in(h) + "/-" + in(h),
			in(n-h) + ".." + in(n+h) + " in",
		}
		want, err := ParseToleranced(texts[0], Unit{})
		require.NoError(t, err)
		for _, text := range texts[1:] {
			got, err := ParseToleranced(text, Unit{})
			require.NoError(t, err, text)
			assert.Zero(t, got.Lower.Rat().Cmp(want.Lower.Rat()), text)
			assert.Zero(t, got.Upper.Rat().Cmp(want.Upper.Rat()), text)
			assert.Zero(t, got.Nominal.Rat().Cmp(want.Nominal.Rat()), text)
		}
	})
}
