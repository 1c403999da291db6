package dowel_test

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/dowel"
	"tenths/calc/internal/testkit"
	"tenths/calc/quantity"
)

// pin picks one pin of a nominal.
func pin(t require.TestingT, nominal, spec string, series dowel.Series) dowel.Pin {
	list, err := dowel.Find(testkit.Q(t, nominal))
	require.NoError(t, err)
	for _, p := range list {
		if p.Spec == spec && p.Series == series {
			return p
		}
	}
	require.Fail(t, "no such pin", "%s %s %s", nominal, spec, series)
	return dowel.Pin{}
}

const (
	inchSpec   = "ASME B18.8.2"
	metricSpec = "ASME B18.8.5M"
	isoSpec    = "ISO 8734"
)

// Largest and smallest diameters of ASME B18.8.2, as printed in D2 (all sizes)
// and D1 (standard series from 1/8 in); the table of the package holds basic
// diameters only. The keys are those of data/README.md.
func TestInchDiameters(t *testing.T) {
	for _, c := range []struct{ nominal, decimal, stdMax, stdMin, overMax, overMin string }{
		{"1/16", "0.0625", "0.0628", "0.0626", "0.0636", "0.0634"},
		{"5/64", "0.0781", "0.0784", "0.0782", "0.0792", "0.079"},
		{"3/32", "0.0938", "0.0941", "0.0939", "0.0949", "0.0947"},
		{"1/8", "0.125", "0.1253", "0.1251", "0.1261", "0.1259"},
		{"5/32", "0.1562", "0.1565", "0.1563", "0.1573", "0.1571"},
		{"3/16", "0.1875", "0.1878", "0.1876", "0.1886", "0.1884"},
		{"1/4", "0.25", "0.2503", "0.2501", "0.2511", "0.2509"},
		{"5/16", "0.3125", "0.3128", "0.3126", "0.3136", "0.3134"},
		{"3/8", "0.375", "0.3753", "0.3751", "0.3761", "0.3759"},
		{"7/16", "0.4375", "0.4378", "0.4376", "0.4386", "0.4384"},
		{"1/2", "0.5", "0.5003", "0.5001", "0.5011", "0.5009"},
		{"5/8", "0.625", "0.6253", "0.6251", "0.6261", "0.6259"},
		{"3/4", "0.75", "0.7503", "0.7501", "0.7511", "0.7509"},
		{"7/8", "0.875", "0.8753", "0.8751", "0.8761", "0.8759"},
		{"1", "1.0", "1.0003", "1.0001", "1.0011", "1.0009"},
	} {
		t.Run(c.nominal, func(t *testing.T) {
			for _, nominal := range []string{c.nominal + " in", c.decimal + " in"} {
				std := pin(t, nominal, inchSpec, dowel.Standard)
				testkit.Equal(t, c.stdMax+" in", std.Diameter.Upper, "D2, D1, seen")
				testkit.Equal(t, c.stdMin+" in", std.Diameter.Lower, "D2, D1, seen")
				over := pin(t, nominal, inchSpec, dowel.Oversize)
				testkit.Equal(t, c.overMax+" in", over.Diameter.Upper, "D2, seen")
				testkit.Equal(t, c.overMin+" in", over.Diameter.Lower, "D2, seen")
				assert.Equal(t, dowel.Seen, std.DiameterStanding)
				assert.False(t, over.HasPressHole(), "the standard suggests no hole for replacement pins")
			}
		})
	}
}

// Suggested holes: printed in D1 from 1/8 in without 5/32 in. Those from memory
// are no check value, but they must say so, and follow the pattern of the rest:
// from .0005 under to the (rounded down) nominal.
func TestInchHoles(t *testing.T) {
	for _, c := range []struct{ nominal, max, min, standing string }{
		{"1/8", "0.1250", "0.1245", "one source"}, {"3/16", "0.1875", "0.1870", "one source"}, {"1/4", "0.2500", "0.2495", "one source"},
		{"5/16", "0.3125", "0.3120", "one source"}, {"3/8", "0.3750", "0.3745", "one source"}, {"7/16", "0.4375", "0.4370", "one source"},
		{"1/2", "0.5000", "0.4995", "one source"}, {"5/8", "0.6250", "0.6245", "one source"}, {"3/4", "0.7500", "0.7495", "one source"},
		{"7/8", "0.8750", "0.8745", "one source"}, {"1", "1.0000", "0.9995", "one source"},
		{"1/16", "", "", "from memory"}, {"5/64", "", "", "from memory"}, {"3/32", "", "", "from memory"}, {"5/32", "", "", "from memory"},
	} {
		p := pin(t, c.nominal+" in", inchSpec, dowel.Standard)
		require.True(t, p.HasPressHole())
		assert.Equal(t, dowel.Standing(c.standing), p.HoleStanding, c.nominal)
		if c.max != "" {
			testkit.Equal(t, c.max+" in", p.PressHole.Upper, "D1")
			testkit.Equal(t, c.min+" in", p.PressHole.Lower, "D1")
		}
		w, _ := p.PressHole.Width()
		testkit.Equal(t, "0.0005 in", w, c.nominal)
		short, err := p.Nominal.Sub(p.PressHole.Upper)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, short.Sign(), 0, c.nominal)
		assert.Less(t, short.FloatIn(quantity.Inch), 0.0001, c.nominal)
	}
}

// ASME B18.8.5M, one source (D3).
func TestMetricASME(t *testing.T) {
	for _, c := range []struct{ nominal, stdMax, stdMin, overMax, overMin, holeMax, holeMin string }{
		{"3", "3.008", "3.003", "3.030", "3.025", "3.000", "2.987"},
		{"4", "4.008", "4.003", "4.030", "4.025", "4.000", "3.987"},
		{"5", "5.008", "5.003", "5.030", "5.025", "5.000", "4.987"},
		{"6", "6.009", "6.003", "6.031", "6.025", "6.000", "5.987"},
		{"8", "8.009", "8.003", "8.031", "8.025", "8.000", "7.987"},
		{"10", "10.009", "10.003", "10.031", "10.025", "10.000", "9.987"},
		{"12", "12.009", "12.003", "12.031", "12.025", "12.000", "11.987"},
		{"16", "16.009", "16.003", "16.031", "16.025", "16.000", "15.987"},
		{"20", "20.009", "20.003", "20.031", "20.025", "20.000", "19.987"},
		{"25", "25.009", "25.003", "25.031", "25.025", "25.000", "24.987"},
	} {
		std, over := pin(t, c.nominal+" mm", metricSpec, dowel.Standard), pin(t, c.nominal+" mm", metricSpec, dowel.Oversize)
		for _, e := range []struct {
			want string
			got  quantity.Quantity
		}{
			{c.stdMax, std.Diameter.Upper}, {c.stdMin, std.Diameter.Lower}, {c.overMax, over.Diameter.Upper}, {c.overMin, over.Diameter.Lower},
			{c.holeMax, std.PressHole.Upper}, {c.holeMin, std.PressHole.Lower},
		} {
			testkit.Equal(t, e.want+" mm", e.got, "D3, one source")
		}
		assert.Equal(t, dowel.OneSource, std.DiameterStanding)
		assert.Equal(t, dowel.OneSource, std.HoleStanding)
	}
}

// m6 as printed for parallel pins under older numbers, in micrometres.
func TestISOPins(t *testing.T) {
	for _, c := range []struct{ nominal, upper, lower, source string }{
		{"1", "8", "2", "D4, D5"}, {"2.5", "8", "2", "D4, D5"}, {"3", "8", "2", "D4, D5"},
		{"4", "12", "4", "D4, D5"}, {"5", "12", "4", "D4, D5"}, {"6", "12", "4", "D4, D5"},
		{"8", "15", "6", "D4, D5"}, {"10", "15", "6", "D4, D5"}, {"12", "18", "7", "D4, D5"}, {"16", "18", "7", "D4, D5"}, {"20", "21", "8", "D4, D5"},
	} {
		p := pin(t, c.nominal+" mm", isoSpec, dowel.M6)
		lower, upper, ok := p.Diameter.Deviations()
		require.True(t, ok)
		testkit.Equal(t, c.upper+" um", upper, c.source)
		testkit.Equal(t, c.lower+" um", lower, c.source)
		assert.False(t, p.HasPressHole(), "the usual H7 is from memory and not in the table")
	}
	// Not to be mixed: a 6 mm pin is 6.004 to 6.012 by ISO, 6.003 to 6.009 by ASME.
	iso, asme := pin(t, "6 mm", isoSpec, dowel.M6), pin(t, "6 mm", metricSpec, dowel.Standard)
	testkit.Equal(t, "6.012 mm", iso.Diameter.Upper, "m6")
	testkit.Equal(t, "6.009 mm", asme.Diameter.Upper, "D3")
}

// A web page makes inch dowels nominal +.0001/-0. No pin of the standard may be
// of such a size: all are over nominal by more, in every series.
func TestEveryPinIsOverNominal(t *testing.T) {
	all, err := dowel.Pins()
	require.NoError(t, err)
	assert.Len(t, all, 15*2+10*2+13)
	names := map[string]bool{}
	for _, p := range all {
		assert.Positive(t, p.Diameter.Lower.Rat().Cmp(p.Nominal.Rat()), p.String())
		assert.False(t, names[p.String()], p.String())
		names[p.String()] = true
		w, ok := p.Diameter.Width()
		require.True(t, ok)
		assert.Positive(t, w.Sign())
		assert.Contains(t, []dowel.Standing{dowel.Seen, dowel.OneSource, dowel.Memory}, p.DiameterStanding)
		if p.HasPressHole() {
			seat, err := p.In(p.PressHole)
			require.NoError(t, err)
			assert.False(t, seat.Slips, p.String())
			assert.Equal(t, "interference", string(seat.Fit.Kind), "every pin is tight in its suggested hole: %s", p)
		} else {
			assert.Empty(t, p.HoleStanding)
		}
	}
	p := pin(t, "1/8 in", inchSpec, dowel.Standard)
	side, err := testkit.Tol(t, "0.1250 +0.0001/-0 in").Side(p.Diameter.Lower)
	require.NoError(t, err)
	assert.Equal(t, quantity.Inside, side, "only the very smallest pin touches that range")
	side, err = testkit.Tol(t, "0.1250 +0.0001/-0 in").Side(p.Diameter.Upper)
	require.NoError(t, err)
	assert.Equal(t, quantity.Above, side)
}

func TestTableIsTheCallersOwn(t *testing.T) {
	a, err := dowel.Pins()
	require.NoError(t, err)
	a[0].Spec = "changed"
	b, err := dowel.Pins()
	require.NoError(t, err)
	assert.Equal(t, inchSpec, b[0].Spec)
	assert.Equal(t, "1/16 in dowel (ASME B18.8.2, standard series)", b[0].String())
	assert.Equal(t, "6 mm dowel (ISO 8734, m6)", pin(t, "6 mm", isoSpec, dowel.M6).String())
}

func TestFind(t *testing.T) {
	for _, c := range []struct {
		nominal string
		want    int
	}{{"6 mm", 3}, {"1.5 mm", 1}, {"25 mm", 2}, {"3.175 mm", 2}, {"5/32 in", 2}, {"0.1562 in", 2}, {"156.25 thou", 2}, {"3.96875 mm", 2}} {
		got, err := dowel.Find(testkit.Q(t, c.nominal))
		require.NoError(t, err)
		assert.Len(t, got, c.want, c.nominal)
	}
	for _, c := range []struct {
		nominal, says string
		notCarried    bool
	}{
		{"0.1563 in", "the nearest nominal sizes are 5/32 in and 4 mm", true},
		{"3.18 mm", "the nearest nominal sizes are 1/8 in and 5/32 in", true}, // a rounded 1/8 is no nominal
		{"14 mm", "the nearest nominal sizes are 1/2 in and 5/8 in", true},
		{"2 in", "the nearest nominal sizes are 1 in", true},
		{"0 in", "a diameter must be above 0", false},
		{"-1/8 in", "a diameter must be above 0", false},
		{"5 deg", "is no length; write it like 3/16 in or 6 mm", false},
		{"6", "is no length", false},
		{"", "is missing", false},
	} {
		got, err := dowel.Find(testkit.Q(t, c.nominal))
		require.Error(t, err)
		assert.Empty(t, got)
		assert.ErrorContains(t, err, c.says)
		if c.notCarried {
			assert.ErrorIs(t, err, dowel.ErrNotCarried)
		}
	}
}

// Own arithmetic on the printed diameters. The note 3.18 for a 1/8 in dowel in a
// metric record is an invented demo trap.
func TestNearest(t *testing.T) {
	for _, c := range []struct {
		size, first string
		inside      bool
		off         string
	}{
		{"0.1877 in", "3/16 in dowel (ASME B18.8.2, standard series)", true, "0 in"},
		{"0.1875 in", "3/16 in dowel (ASME B18.8.2, standard series)", false, "-0.0002 in"},
		{"0.1884 in", "3/16 in dowel (ASME B18.8.2, oversize series)", true, "-0.0001 in"},
		{"0.1880 in", "3/16 in dowel (ASME B18.8.2, standard series)", false, "0.0003 in"}, // .0002 from the one, .0004 from the other
		{"3.18 mm", "1/8 in dowel (ASME B18.8.2, standard series)", true, "-0.00008 mm"},
		{"6.008 mm", "6 mm dowel (ISO 8734, m6)", true, "0 mm"},
		{"6.0035 mm", "6 mm dowel (ASME B18.8.5M, standard series)", true, "-0.0025 mm"},
		{"25.4 mm", "1 in dowel (ASME B18.8.2, standard series)", false, "-0.0002 in"},
		{"1 mm", "1 mm dowel (ISO 8734, m6)", false, "-0.005 mm"},
	} {
		got, err := dowel.Nearest(testkit.Q(t, c.size), 3)
		require.NoError(t, err, c.size)
		require.Len(t, got, 3)
		assert.Equal(t, c.first, got[0].Pin.String(), c.size)
		assert.Equal(t, c.inside, got[0].Inside, c.size)
		testkit.Equal(t, c.off, got[0].Off, c.size)
		assert.Equal(t, testkit.Q(t, c.size).Unit().Name(), got[0].Off.Unit().Name())
	}
	for _, c := range []struct {
		size string
		n    int
		says string
	}{
		{"30 mm", 1, "the tables go from 1 mm to 1 in"},
		{"0.02 in", 1, "the tables go from 1 mm to 1 in"},
		{"0 in", 1, "must be above 0"},
		{"5 deg", 1, "is no length"},
		{"6 mm", 0, "ask for at least one"},
	} {
		_, err := dowel.Nearest(testkit.Q(t, c.size), c.n)
		assert.ErrorContains(t, err, c.says)
	}
	all, err := dowel.Nearest(testkit.Q(t, "6 mm"), 1000)
	require.NoError(t, err)
	assert.Len(t, all, 63)
}

// Why a standard dowel does not slip (check C7 of the trade: compare with the
// smallest clearance; own arithmetic on the printed diameters).
func TestSeat(t *testing.T) {
	for _, c := range []struct {
		nominal, spec string
		series        dowel.Series
		hole          string
		min, max      string
		slips         bool
		why           string
	}{
		{"1/8 in", inchSpec, dowel.Standard, "0.1250 +0.0005/-0 in", "-0.0003 in", "0.0004 in", false, "can be tight by 0.0003 in or loose by 0.0004 in"},
		{"3/16 in", inchSpec, dowel.Standard, "0.1875 +0.0005/-0 in", "-0.0003 in", "0.0004 in", false, "a slip hole must be over 0.1878 in"},
		{"3/16 in", inchSpec, dowel.Standard, "0.1875 in", "-0.0003 in", "-0.0001 in", false, "tight by 0.0001 in to 0.0003 in and never slips"},
		{"1/4 in", inchSpec, dowel.Standard, "0.2495..0.2500 in", "-0.0008 in", "-0.0001 in", false, "made 0.2501 in to 0.2503 in, 0.0001 in to 0.0003 in over nominal"},
		{"3/16 in", inchSpec, dowel.Standard, "0.1880 +0.0005/-0 in", "0.0002 in", "0.0009 in", true, "the clearance is at least 0.0002 in and at most 0.0009 in"}, // reamed .0005 over nominal: a real slip hole
		{"3/16 in", inchSpec, dowel.Standard, "0.1878 +0.0002/-0 in", "0 in", "0.0004 in", false, "size for size and does not slip"},
		{"3/16 in", inchSpec, dowel.Oversize, "0.1880 +0.0005/-0 in", "-0.0006 in", "0.0001 in", false, "oversize series"},
		{"5/32 in", inchSpec, dowel.Standard, "0.1562 in", "-0.0003 in", "-0.0001 in", false, "0.0001 in to 0.0003 in over nominal"},
		{"6 mm", isoSpec, dowel.M6, "6 mm H7", "-12 um", "8 um", false, "can be tight by 0.012 mm or loose by 0.008 mm"},
		{"6 mm", metricSpec, dowel.Standard, "6.000..6.009 mm", "-9 um", "6 um", false, "a slip hole must be over 6.009 mm"},
		{"3/16 in", inchSpec, dowel.Standard, "4.775..4.787 mm", "0.00488 mm", "0.02196 mm", true, "0.00488 mm"},
	} {
		t.Run(c.nominal+" in "+c.hole, func(t *testing.T) {
			s, err := pin(t, c.nominal, c.spec, c.series).In(testkit.Tol(t, c.hole))
			require.NoError(t, err)
			testkit.Equal(t, c.min, s.Fit.MinClearance, c.why)
			testkit.Equal(t, c.max, s.Fit.MaxClearance, c.why)
			assert.Equal(t, c.slips, s.Slips)
			assert.Contains(t, s.Why, c.why)
			assert.Equal(t, testkit.Tol(t, c.hole).Nominal.Unit().Name(), s.SlipAbove.Unit().Name())
		})
	}
	p := pin(t, "3/16 in", inchSpec, dowel.Standard)
	for _, c := range []struct{ hole, says string }{
		{"<= 0.19 in", "has only one limit"}, {"5 deg", "is no length"}, {"0 in", "must be above 0"}, {"5 mm g6", "is a class of the other part"},
	} {
		_, err := p.In(testkit.Tol(t, c.hole))
		assert.ErrorContains(t, err, c.says)
	}
}

func ratio(n, d int64) *big.Rat { return big.NewRat(n, d) }
