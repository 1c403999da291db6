package study_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
	"tenths/ledger/study"
)

// readings gives the study of an inspection of characteristic P/C with the
// given limits and gauge.
func readings(t *testing.T, limits, gauge, inspection string) *study.Readings {
	t.Helper()
	l := loadTexts(t, map[string]string{
		"g.md": "kind = \"gauge\"\nid = \"G\"\ntitle = \"g\"\nunits = \"in\"\n" + gauge,
		"p.md": "kind = \"part\"\nid = \"P\"\ntitle = \"p\"\nunits = \"in\"\n[[feature]]\nid = \"H\"\ntype = \"hole\"\nsize = \"0.1875 +0.0005/-0\"\n[[feature.was]]\nuntil = 2024-05-20\nsize = \"0.1875 +0.0010/-0\"\n[[characteristic]]\nid = \"C\"\n" + limits,
		"i.md": "kind = \"inspection\"\nid = \"I\"\ntitle = \"i\"\ngauge = \"G\"\n" + inspection,
	})
	r := study.New(l, on(t, "2025-11-25")).Readings(l.Record("I"))
	require.NotNil(t, r)
	return r
}

// flags says what a reading says of itself, in letters.
func flags(v study.Read) string {
	out := ""
	for _, f := range []struct {
		on   bool
		name string
	}{{v.Slip != nil, "slip"}, {v.OtherKind, "kind"}, {v.Far, "far"}, {v.OutOfRange, "range"}, {v.TooFine, "fine"}, {v.Negative, "minus"}, {v.HasLimits && v.Side != quantity.Inside, v.Side.String()}} {
		if f.on {
			out += " " + f.name
		}
	}
	return strings.TrimSpace(out)
}

// TestReadings looks at single readings. Exact comparisons: a reading on a
// bound is inside, the smallest written step beyond it is not.
func TestReadings(t *testing.T) {
	width := "type = \"size\"\nlimits = \"1.5000 ±0.0010\"\n"
	mic := "type = \"micrometer\"\nrange = \"1..2\"\nresolution = \"0.0001\"\n"
	for _, c := range []struct{ name, limits, gauge, in, want string }{
		{"good", width, mic, "readings = [\"1.5003\"]", ""},
		{"on the limit", width, mic, "readings = [\"1.5010\"]", ""},
		{"beyond it", width, mic, "readings = [\"1.5011\"]", "above"},
		{"on the limit in mm: 1.5010 in is 38.1254 mm", width, mic, "units = \"mm\"\nreadings = [\"38.1254\"]", ""},
		{"a step beyond in mm", width, mic, "units = \"mm\"\nreadings = [\"38.12541\"]", "fine above"},
		{"exactly 20 widths off", width, mic, "readings = [\"1.5400\"]", "above"},
		{"more than 20 widths off", width, mic, "readings = [\"1.5401\"]", "far above"},
		{"millimetres", width, mic, "readings = [\"38.1\"]", "slip far range above"},
		{"3 % from 25.4", width, mic, "readings = [\"39.243\"]", "slip far range above"},
		{"more than 3 % from it", width, mic, "readings = [\"39.244\"]", "far range above"},
		{"thousandths", width, mic, "readings = [\"1500\"]", "slip far range above"},
		{"deviations have no ratio", width, mic, "deviation_in = \"tenths\"\nreadings = [\"381000\"]", "far range above"},
		{"a force for a length", width, mic, "readings = [\"1.5 ozf\"]", "kind"},
		{"finer than its steps", width, mic, "readings = [\"1.50005\"]", "fine"},
		{"a zero more than its steps", width, mic, "readings = [\"1.50000\"]", ""},
		{"read between the marks", width, mic + "reads_to = \"0.00005\"\n", "readings = [\"1.50005\"]", ""},
		{"deviations finer than its steps", width, mic, "deviation_in = \"tenths\"\nreadings = [\"+0.5\"]", "fine"},
		{"from a nominal between its steps", width, mic, "deviation_in = \"tenths\"\nnominal_is = \"1.50005\"\nreadings = [\"+1\"]", ""},
		{"an inch gauge read in mm", width, mic, "units = \"mm\"\nreadings = [\"38.10762\"]", ""},
		{"outside its range", "type = \"size\"\nlimits = \"2.2500 ±0.0100\"\n", mic, "readings = [\"2.2501\"]", "range"},
		{"an indicator's range is that of deviations", width, "type = \"indicator\"\nrange = \"-0.008..0.008\"\n", "deviation_in = \"tenths\"\nreadings = [\"+3\"]", ""},
		{"a plug has no steps", width, "type = \"limit plug\"\nresolution = \"0.001\"\n", "readings = [\"1.5003\"]", ""},
		{"a size below zero", width, mic, "readings = [\"-1.5003\"]", "far range minus below"},
		{"a step below zero", "type = \"step\"\nlimits = \"0 ±0.0010\"\n", "type = \"indicator\"\n", "readings = [\"-0.0003\"]", ""},
		{"one limit", "type = \"step\"\nlimits = \"<= 0.0010\"\n", "type = \"indicator\"\n", "readings = [\"0.0254\"]", "above"},
		{"one limit, deviations from nothing", "type = \"step\"\nlimits = \"<= 0.0010\"\n", "type = \"indicator\"\n", "deviation_in = \"tenths\"\nreadings = [\"10\"]", ""},
		{"one limit, deviations beyond it", "type = \"step\"\nlimits = \"<= 0.0010\"\n", "type = \"indicator\"\n", "deviation_in = \"tenths\"\nreadings = [\"10.5\"]", "above"},
		{"limits of the spread", "judge = \"spread\"\nlimits = \"<= 0.0004\"\n", "type = \"indicator\"\n", "readings = [\"1.5\"]", ""},
		{"a wide range of limits", "limits = \"0.02..0.98\"\n", "type = \"feeler\"\n", "readings = [\"0.02\"]", ""},
	} {
		r := readings(t, c.limits, c.gauge, "characteristic = \"P/C\"\non = 2025-02-02\n"+c.in+"\n")
		require.Len(t, r.Live, 1, c.name)
		assert.Equal(t, c.want, flags(r.Live[0]), c.name)
	}
}

// TestReadingsOfTheDay: the limits are those of the day, and the size of a
// feature is a characteristic, too.
func TestReadingsOfTheDay(t *testing.T) {
	for day, want := range map[string]string{"2024-05-19": "", "2024-05-20": "above"} {
		for _, path := range []string{"P/H", "P/H/size"} {
			r := readings(t, "limits = \"0 ±1\"\n", "type = \"bore gauge\"\n", fmt.Sprintf("characteristic = %q\non = %s\nreadings = [\"0.1882\"]\n", path, day))
			assert.Equal(t, want, flags(r.Live[0]), "%s on %s", path, day)
			if want != "" {
				limit, beyond := r.Live[0].Limit()
				assert.Equal(t, "0.1880 in", limit.String())
				assert.Equal(t, "0.0002 in", beyond.String())
			}
		}
	}
}

// TestSameReadings counts pieces that all read alike.
func TestSameReadings(t *testing.T) {
	for _, c := range []struct {
		name, gauge, in string
		want            int
	}{
		{"eight", "type = \"micrometer\"\n", "readings = \"1 1 1 1 1 1 1 1\"", 8},
		{"seven", "type = \"micrometer\"\n", "readings = \"1 1 1 1 1 1 1\"", 0},
		{"one differs", "type = \"micrometer\"\n", "readings = \"1 1 1 1 1 1 1 1 1.0001\"", 0},
		{"in other words", "type = \"micrometer\"\n", "readings = [\"1 in\", \"25.4 mm\", \"1\", \"1.0\", \"1\", \"1\", \"1\", \"1\"]", 8},
		{"void ones left out", "type = \"micrometer\"\n", "readings = \"1 1 1 1 1 1 1 1\"\n[[reading]]\nvalues = \"2\"\nstate = \"void\"", 8},
		{"a plug", "type = \"limit plug\"\n", "readings = \"1 1 1 1 1 1 1 1\"", 0},
		{"by finger", "type = \"micrometer\"\n", "touch = \"0 0 0 0 0 0 0 0\"", 0},
	} {
		r := readings(t, "limits = \"1 ±0.1\"\n", c.gauge, "characteristic = \"P/C\"\non = 2025-02-02\n"+c.in+"\n")
		assert.Equal(t, c.want, r.Same, c.name)
	}
}

// TestSlipOf checks the ratios of a mix-up and the unit in which the number
// makes sense. 1 in = 25.4 mm: NIST Special Publication 811, appendix B.
func TestSlipOf(t *testing.T) {
	parse := func(s string) quantity.Quantity {
		q, err := quantity.Parse(s, quantity.Unit{})
		require.NoError(t, err)
		return q
	}
	for _, c := range []struct{ size, nominal, times, meant, shown string }{
		{"38.1 in", "1.5000 in", "25.4 times", "38.1 mm", "1.500 in"},
		{"0.157 mm", "4.000 mm", "1/25.4 of", "0.157 in", "3.99 mm"},
		{"1500.3 in", "1.5000 in", "1000 times", "1500.3 thou", "1.5003 in"},
		{"4002 mm", "4.000 mm", "1000 times", "4002 um", "4.002 mm"},
		{"1.5 thou", "1.5000 in", "1/1000 of", "1.5 in", "1.5 in"},
		{"0.0591 in", "1.5000 in", "1/25.4 of", "", ""},
		{"4 mm", "4.000 mm", "", "", ""},
		{"38.1 mm", "1.5000 in", "", "", ""},
		{"1 ozf", "1.5 in", "", "", ""},
		{"1 in", "0 in", "", "", ""},
	} {
		slip := study.SlipOf(parse(c.size), parse(c.nominal))
		if c.times == "" {
			assert.Nil(t, slip, c.size)
			continue
		}
		require.NotNil(t, slip, c.size)
		assert.Equal(t, c.times, slip.Times)
		if c.meant == "" {
			assert.True(t, slip.Meant.IsZeroValue(), c.size)
			continue
		}
		assert.Equal(t, c.meant, slip.Meant.String())
		assert.Equal(t, c.shown, study.ShowIn(slip.Meant, parse(c.nominal).Unit()))
	}
	assert.Equal(t, "0.00001 mm", study.ShowIn(parse("0.00001 mm"), quantity.Inch), "what is not nothing is not shown as nothing")
	assert.Equal(t, "0.00 in", study.ShowIn(parse("0 mm"), quantity.Inch))
	assert.Equal(t, "3 ozf", study.ShowIn(parse("3 ozf"), quantity.Inch))
}

// TestTradeSizes checks sizes that are a trade size of the other system. The
// exact sizes: 1 in = 25.4 mm (NIST Special Publication 811, appendix B).
func TestTradeSizes(t *testing.T) {
	for _, c := range []struct{ units, nominal, size, want string }{
		{"mm", "1/8 in", "3.18", "3.175 mm"},
		{"mm", "1/8 in", "3.175", ""},
		{"mm", "1/8 in", "3.176", ""}, // measured: no rounding gives it
		{"mm", "1/8 in", "3.2", "3.175 mm"},
		{"mm", "5/16 in", "7.94", "7.9375 mm"},
		{"mm", "5/16 in", "7.938", ""}, // half a micrometre
		{"mm", "1/4 in", "6.35", ""},   // exact
		{"in", "4 mm", "0.157", "0.15748 in"},
		{"in", "4 mm", "0.1575", ""},
		{"in", "4 mm", "0.157 ±0.010", ""}, // less than a tenth of the tolerance
		{"in", "4 mm", "0.157 ±0.001", "0.15748 in"},
		{"in", "5/32 in", "0.156", ""}, // the same system: nothing was converted
	} {
		l := loadTexts(t, map[string]string{"p.md": fmt.Sprintf("kind = \"part\"\nid = \"P\"\ntitle = \"p\"\nunits = %q\n[[feature]]\nid = \"H\"\nnominal = %q\nsize = %q\n", c.units, c.nominal, c.size)})
		mixed := study.New(l, on(t, "2025-01-01")).MixedSizes(l.Record("P"))
		if c.want == "" {
			assert.Empty(t, mixed, "%s as %s %s", c.nominal, c.size, c.units)
			continue
		}
		require.Len(t, mixed, 1, "%s as %s %s", c.nominal, c.size, c.units)
		assert.Equal(t, c.want, mixed[0].Exact.String())
	}
}
