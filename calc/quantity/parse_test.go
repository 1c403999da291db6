package quantity

import (
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// exact reads a decimal or quotient written in a test.
func exact(t interface {
	Errorf(format string, args ...any)
	FailNow()
}, s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	require.True(t, ok, "test value %q", s)
	return r
}

func unit(t interface {
	Errorf(format string, args ...any)
	FailNow()
}, name string) Unit {
	if name == "" {
		return One
	}
	u, ok := LookupUnit(name)
	require.True(t, ok, "test unit %q", name)
	return u
}

// Base values follow by hand from 1 in = 25.4 mm (NIST SP 811, B.8).
func TestParse(t *testing.T) {
	for _, c := range []struct {
		text, base, shown string
		decimals          int
		dim               Dim
	}{
		{"0.1875 in", "4.7625", "0.1875 in", 4, Length},
		{"0.1880 in", "4.7752", "0.1880 in", 4, Length},
		{"0.1875in", "4.7625", "0.1875 in", 4, Length},
		{`.1875"`, "4.7625", "0.1875 in", 4, Length},
		{".1875", "4.7625", "0.1875 in", 4, Length},
		{"3/32 in", "2.38125", "3/32 in", -1, Length},
		{"2/64 in", "0.79375", "2/64 in", -1, Length},
		{"1 1/2 in", "38.1", "1 1/2 in", -1, Length},
		{"1-1/2 in", "38.1", "1 1/2 in", -1, Length},
		{"-1 1/2 in", "-38.1", "-1 1/2 in", -1, Length},
		{"-0/5 in", "0", "0/5 in", -1, Length},
		{"+3", "76.2", "3 in", 0, Length},
		{"-0.5 tenths", "-0.00127", "-0.5 tenths", 1, Length},
		{"1 tenth", "0.00254", "1 tenths", 0, Length},
		{"\u22120.5 tenths", "-0.00127", "-0.5 tenths", 1, Length},
		{"- 0.5 tenths", "-0.00127", "-0.5 tenths", 1, Length},
		{"-0.000 in", "0", "0.000 in", 3, Length},
		{"125 thou", "3.175", "125 thou", 0, Length},
		{"40 uin", "0.001016", "40 uin", 0, Length},
		{"40 µin", "0.001016", "40 uin", 0, Length},
		{"40 microinches", "0.001016", "40 uin", 0, Length},
		{"1.5 um", "0.0015", "1.5 um", 1, Length},
		{"1.5 \u03bcm", "0.0015", "1.5 um", 1, Length},
		{"4.000 mm", "4", "4.000 mm", 3, Length},
		{"2.50 cm", "25", "2.50 cm", 2, Length},
		{"0.004 m", "4", "0.004 m", 3, Length},
		{"12 deg", "12", "12 deg", 0, Angle},
		{"12.5°", "12.5", "12.5 deg", 1, Angle},
		{"30 arcmin", "1/2", "30 arcmin", 0, Angle},
		{"36 arcsec", "1/100", "36 arcsec", 0, Angle},
		{"68 F", "293.15", "68 F", 0, TemperatureDifference},
		{"20.0 °C", "293.15", "20.0 C", 1, TemperatureDifference},
		{"9 dF", "5", "9 dF", 0, TemperatureDifference},
		{"5 dC", "5", "5 dC", 0, TemperatureDifference},
		{"5 K", "5", "5 K", 0, TemperatureDifference},
		{"90 %", "9/10", "90 %", 0, Number},
		{"11.5 ppm/K", "23/2000000", "11.5 ppm/K", 1, Number.Over(TemperatureDifference)},
		{"6.5 uin/in/F", "117/10000000", "6.5 uin/in/dF", 1, Number.Over(TemperatureDifference)},
		{"12 1/K", "12", "12 1/K", 0, Number.Over(TemperatureDifference)},
		{"12 /K", "12", "12 1/K", 0, Number.Over(TemperatureDifference)},
		{"40 parts", "40", "40 parts", 0, Number},
		{"2 h", "7200", "2 h", 0, Time},
		{"6 weeks", "3628800", "6 weeks", 0, Time},
		{"16 ozf", "4.4482216152605", "16 ozf", 0, Force},
		{"1 lb", "4.4482216152605", "1 lbf", 0, Force},
		{"6 in/min", "2.54", "6 in/min", 0, Length.Over(Time)},
		{"2.5 N/mm^2", "2.5", "2.5 N/mm²", 1, Force.Over(Length).Over(Length)},
	} {
		t.Run(c.text, func(t *testing.T) {
			q, err := Parse(c.text, Inch)
			require.NoError(t, err)
			assert.Zero(t, q.Rat().Cmp(exact(t, c.base)), "got %s", q.Rat().RatString())
			assert.Equal(t, c.shown, q.String())
			assert.Equal(t, c.decimals, q.Decimals())
			assert.Equal(t, c.dim, q.Dim())
			assert.True(t, q.Exact())
			again, err := Parse(q.String(), Unit{})
			require.NoError(t, err)
			assert.Zero(t, again.Rat().Cmp(q.Rat()))
		})
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		text   string
		column int
		says   string
	}{
		{"", 1, "a number is missing"},
		{"   ", 4, "a number is missing"},
		{"in", 1, "a number should stand here"},
		{".", 1, "digits must follow the point"},
		{"5.", 2, "write 5.0 or 5"},
		{"1.2.3", 4, "one decimal point"},
		{"0,1875 in", 2, "write 0.1875, with a point"},
		{"1,000 in", 2, "write 1000 without the comma"},
		{"1,000.5 in", 2, "does not separate thousands"},
		{"1_000 in", 2, "underscore"},
		{"1e-6 in", 2, "powers of ten"},
		{"1E5", 2, "powers of ten"},
		{"0x10", 2, "not expected"},
		{"--1", 2, "a number should stand here"},
		{"+-1", 2, "a number should stand here"},
		{"1/0 in", 3, "divided by zero"},
		{"1 3/2 in", 3, "less than one"},
		{"1/2/3 in", 4, "whole numbers above and below"},
		{"1.5/2 in", 4, "whole numbers above and below"},
		{"5 furlong", 3, "'furlong' is no known unit; units are in, mm"},
		{"5 MM", 3, "mm is"},
		{"5 rad", 3, "no exact unit"},
		{"5 mil", 3, "write thou or mm"},
		{"12 months", 4, "no fixed length"},
		{"0.1875 in in", 11, "not expected"},
		{"4 mm H7", 6, "not expected"},
		{"-500 F", 1, "absolute zero"},
		{"١ in", 1, "a number should stand here"},
		{"½ in", 1, "a number should stand here"},
		{"NaN", 1, "a number should stand here"},
		{"Inf", 1, "a number should stand here"},
		{"5 in/", 5, "not expected"},
		{strings.Repeat("9", 41), 1, "at most 40 digits"},
		{"0." + strings.Repeat("1", 40), 1, "at most 40 digits"},
		{strings.Repeat(" ", 201), 201, "at most 200 characters"},
		{"µ\x00\x1b[31m", 1, "'µ\uFFFD\uFFFD[31m'"},
	} {
		t.Run(c.text, func(t *testing.T) {
			q, err := Parse(c.text, Inch)
			require.Error(t, err)
			assert.True(t, q.IsZeroValue())
			var p *ParseError
			require.ErrorAs(t, err, &p)
			assert.Equal(t, c.column, p.Column)
			assert.Equal(t, c.text, p.Text)
			assert.Contains(t, err.Error(), c.says)
			assert.NotContains(t, err.Error(), "\x1b")
		})
	}
}

func TestParseNeedsUnitWithoutDefault(t *testing.T) {
	_, err := Parse("0.1875", Unit{})
	assert.EqualError(t, err, "'0.1875', column 7: the unit is missing; units are in, mm, cm, m, um, thou, tenths, uin, "+
		"deg, arcmin, arcsec, F, C, K, dF, dC, s, min, h, days, weeks, N, lbf, ozf, %, ppm, parts")
	q, err := Parse("12", One)
	require.NoError(t, err)
	assert.Equal(t, "12", q.String())
}

// unitsForDecimals are units in which every multiple of 0.000001 in has a
// finite decimal, with that multiple.
var unitsForDecimals = map[string]string{
	"in": "0.000001", "thou": "0.001", "tenths": "0.01", "uin": "1", "mm": "0.0000254", "cm": "0.00000254", "um": "0.0254",
}

// drawMicroinches draws a count of 0.000001 in around shop sizes.
func drawMicroinches(t *rapid.T, name string) int64 {
	return rapid.Int64Range(-40_000_000, 40_000_000).Draw(t, name)
}

// written draws a unit and writes n microinches in it, exactly.
func written(t *rapid.T, n int64, name string) string {
	u := rapid.SampledFrom([]string{"in", "thou", "tenths", "uin", "mm", "cm", "um"}).Draw(t, name)
	v := new(big.Rat).Mul(big.NewRat(n, 1), exact(t, unitsForDecimals[u]))
	return v.FloatString(8) + " " + u
}

func TestUnitOfEntryNeverChangesAComparison(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lo, width := drawMicroinches(t, "lower"), rapid.Int64Range(0, 1000).Draw(t, "width")
		x := lo + rapid.Int64Range(-2, width+2).Draw(t, "place")
		want := Inside
		if x < lo {
			want = Below
		} else if x > lo+width {
			want = Above
		}
		q, err := Parse(written(t, x, "unit"), Unit{})
		require.NoError(t, err)
		tol, err := ParseToleranced(written(t, lo, "lower unit")+".."+written(t, lo+width, "upper unit"), Unit{})
		require.NoError(t, err)
		side, err := tol.Side(q)
		require.NoError(t, err)
		assert.Equal(t, want, side, "%s in %s", q, tol)
	})
}

func TestTextPrintsBackWithItsDecimals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.StringMatching(`0|[1-9][0-9]{0,9}`).Draw(t, "whole")
		text := whole
		if frac := rapid.StringMatching(`[0-9]{0,12}`).Draw(t, "decimals"); frac != "" {
			text += "." + frac
		}
		if strings.Trim(text, "0.") != "" && rapid.Bool().Draw(t, "negative") {
			text = "-" + text
		}
		name := rapid.SampledFrom([]string{"in", "mm", "um", "tenths", "deg", "arcsec", "N", "ozf", "%", "dF", "weeks"}).Draw(t, "unit")
		q, err := Parse(text+" "+name, Unit{})
		require.NoError(t, err)
		assert.Equal(t, text+" "+name, q.String())
	})
}
