package fit_test

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/fit"
	"tenths/calc/internal/checkvalues"
	"tenths/calc/internal/testkit"
	"tenths/calc/quantity"
)

func tol(t testing.TB, text string) quantity.Toleranced {
	t.Helper()
	q, err := quantity.ParseToleranced(text, quantity.Unit{})
	require.NoError(t, err)
	return q
}

func TestLimitsISO286(t *testing.T) {
	rows := checkvalues.Table(t, "../../testdata/limits/iso286_limits.csv")
	require.Greater(t, len(rows), 50)
	for _, c := range rows {
		t.Run(c["nominal"]+" "+c["class"], func(t *testing.T) {
			what := c["source"] + ", " + c["standing"]
			m, err := fit.Limits(c["nominal"]+" mm "+c["class"], quantity.Inch)
			require.NoError(t, err)
			assert.Equal(t, fit.ISO286, m.Standard)
			assert.Equal(t, c["class"], m.Class)
			assert.Equal(t, strings.ToUpper(c["class"]) == c["class"], m.Hole)
			testkit.Equal(t, c["nominal"]+" mm", m.Nominal, what)
			testkit.Equal(t, c["lower"]+" um", m.LowerDeviation, what)
			testkit.Equal(t, c["upper"]+" um", m.UpperDeviation, what)
			testkit.Equal(t, c["min"]+" mm", m.Min, what)
			testkit.Equal(t, c["max"]+" mm", m.Max, what)
			assert.Equal(t, "mm", m.Max.Unit().Name())
		})
	}
}

func TestFitsISO286(t *testing.T) {
	rows := checkvalues.Table(t, "../../testdata/limits/iso286_fits.csv")
	require.Greater(t, len(rows), 20)
	for _, c := range rows {
		t.Run(c["nominal"]+" "+c["fit"], func(t *testing.T) {
			what := c["source"] + ", " + c["standing"]
			f, err := fit.Parse(c["nominal"]+" mm "+c["fit"], quantity.Inch)
			require.NoError(t, err)
			assert.Equal(t, fit.ISO286, f.Standard)
			assert.Equal(t, c["fit"], f.Name)
			assert.Equal(t, fit.Kind(c["kind"]), f.Kind, what)
			testkit.Equal(t, c["clearanceMin"]+" um", f.MinClearance, what)
			testkit.Equal(t, c["clearanceMax"]+" um", f.MaxClearance, what)
		})
	}
}

// b41Row is a printed row of the fit tables, in thousandths of an inch; the
// clearances are printed beside the limits, so they check the arithmetic.
type b41Row struct{ class, over, to, min, max, holeUp, holeLo, shaftUp, shaftLo, basis string }

func b41Rows(t testing.TB) []b41Row {
	t.Helper()
	f, err := os.Open("../limits/data/ansi_b4_1_limits.csv")
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"class", "nominal_in", "clearance_min_thou", "clearance_max_thou", "hole_upper_thou", "hole_lower_thou",
		"shaft_upper_thou", "shaft_lower_thou", "basis"}, all[0])
	rows := make([]b41Row, 0, len(all)-1)
	for _, c := range all[1:] {
		over, to, ok := strings.Cut(c[1], "-")
		require.True(t, ok)
		rows = append(rows, b41Row{c[0], over, to, c[2], c[3], c[4], c[5], c[6], c[7], c[8]})
	}
	require.Len(t, rows, 170)
	return rows
}

// Every row of ANSI B4.1 up to 1.19 in: limits and printed clearances, and the
// kind that the letters promise. "seen" rows are printed in the handbooks named
// in ../limits/data/README.md; "derived" rows (LC1 to LC5) are no oracle for the
// limits, but their clearances must still agree with them.
func TestFitsANSIB41(t *testing.T) {
	for _, r := range b41Rows(t) {
		t.Run(r.class+" to "+r.to, func(t *testing.T) {
			f, err := fit.Parse(r.to+" in "+strings.ToLower(r.class), quantity.Millimetre)
			require.NoError(t, err)
			assert.Equal(t, fit.ANSIB41, f.Standard)
			assert.Equal(t, r.class, f.Name)
			testkit.Equal(t, r.min+" thou", f.MinClearance, r.basis)
			testkit.Equal(t, r.max+" thou", f.MaxClearance, r.basis)
			for _, m := range []struct{ member, upper, lower string }{{"hole", r.holeUp, r.holeLo}, {"shaft", r.shaftUp, r.shaftLo}} {
				l, err := fit.Limits(r.to+" in "+r.class+" "+m.member, quantity.Millimetre)
				require.NoError(t, err)
				assert.Equal(t, fit.ANSIB41, l.Standard)
				testkit.Equal(t, m.upper+" thou", l.UpperDeviation, r.basis)
				testkit.Equal(t, m.lower+" thou", l.LowerDeviation, r.basis)
			}
			switch r.class[:2] {
			case "RC", "LC":
				assert.Equal(t, fit.Clearance, f.Kind)
			case "LT":
				assert.Equal(t, fit.Transition, f.Kind)
			default:
				assert.Equal(t, fit.Interference, f.Kind)
			}
		})
	}
}

func TestUsualRange(t *testing.T) {
	for _, c := range []struct {
		hole, shaft, middle, low, high string
		exact                          bool
		source                         string
	}{
		// Th = 3, Ts = 4, root 5.
		{"25.003..25.006 mm", "24.990..24.994 mm", "12.5 um", "10 um", "15 um", true, "3-4-5 triangle, own arithmetic"},
		{"1.0003..1.0006 in", "0.9990..0.9994 in", "1.25 thou", "1.0 thou", "1.5 thou", true, "3-4-5 triangle, own arithmetic"},
		// sqrt(21² + 13²) = 24.698178, half 12.349089.
		{"25 mm H7", "25 mm g6", "24 um", "11.650911 um", "36.349089 um", false, "own arithmetic"},
	} {
		f, err := fit.Of(tol(t, c.hole), tol(t, c.shaft))
		require.NoError(t, err)
		testkit.Equal(t, c.middle, f.Middle, c.source)
		assert.Equal(t, c.exact, f.RSSMin.Exact())
		assert.InDelta(t, testkit.Q(t, c.low).Float(), f.RSSMin.Float(), 1e-9, c.source)
		assert.InDelta(t, testkit.Q(t, c.high).Float(), f.RSSMax.Float(), 1e-9, c.source)
		if c.exact {
			testkit.Equal(t, c.low, f.RSSMin, c.source)
			testkit.Equal(t, c.high, f.RSSMax, c.source)
		}
	}
}

func TestFitsOfFreeSizes(t *testing.T) {
	for _, c := range []struct {
		hole, shaft, min, max string
		kind                  fit.Kind
		source                string
	}{
		// Hole of the side plate and its ground pin (invented demo data).
		{"0.1875 +0.0005/-0 in", "0.1873 in", "0.0002 in", "0.0007 in", fit.Clearance, "own arithmetic"},
		{"0.1875..0.1880 in", "0.1873 in", "0.0002 in", "0.0007 in", fit.Clearance, "the same as limits"},
		// A standard dowel (ASME B18.8.2: .2501 to .2503) in its suggested hole.
		{"0.2495..0.2500 in", "0.2501..0.2503 in", "-0.0008 in", "-0.0001 in", fit.Interference, "own arithmetic on table sizes"},
		// 4 H7/m6 may not hold: +8 to -12 um (ISO 286; trade arithmetic).
		{"4 mm H7", "4 mm m6", "-12 um", "8 um", fit.Transition, "own arithmetic on table deviations"},
		// Hole H7 against a pin measured in inches.
		{"6 mm H7", "0.2362 in", "0.52 um", "12.52 um", fit.Clearance, "0.2362 in = 5.99948 mm"},
		{"0.5 in", "0.5 in", "0 in", "0 in", fit.Clearance, "size for size"},
		{"0.5000..0.5004 in", "0.5005..0.5008 in", "-0.0008 in", "-0.0001 in", fit.Interference, "ANSI B4.1 FN1 at 0.500 in, seen twice"},
		{"0.5000..0.5007 in", "0.5012..0.5016 in", "-0.0016 in", "-0.0005 in", fit.Interference, "ANSI B4.1 FN2 at 0.500 in, seen twice"},
	} {
		f, err := fit.Of(tol(t, c.hole), tol(t, c.shaft))
		require.NoError(t, err)
		assert.Equal(t, c.kind, f.Kind, c.hole+" and "+c.shaft)
		testkit.Equal(t, c.min, f.MinClearance, c.source)
		testkit.Equal(t, c.max, f.MaxClearance, c.source)
		hole := tol(t, c.hole)
		assert.Equal(t, hole.Nominal.Unit().Name(), f.MinClearance.Unit().Name())
	}
}

// Which letters press, slide or may be either: the duties that the trade gives
// them (common practice), as kinds.
func TestDutiesOfISOFits(t *testing.T) {
	for _, c := range []struct {
		fit  string
		kind fit.Kind
	}{
		{"4 mm H7/p6", fit.Interference}, {"4 mm H7/m6", fit.Transition}, {"4 mm H7/k6", fit.Transition},
		{"4 mm H7/g6", fit.Clearance}, {"4 mm H7/h6", fit.Clearance},
		{"3 mm H7/p6", fit.Transition}, // the exception of the smallest step (ANSI B4.2 extracts, seen twice)
	} {
		f, err := fit.Parse(c.fit, quantity.Unit{})
		require.NoError(t, err)
		assert.Equal(t, c.kind, f.Kind, c.fit)
	}
}

func TestNames(t *testing.T) {
	for _, c := range []struct {
		hole, shaft, name string
		std               fit.Standard
	}{
		{"25 mm H7", "25 mm g6", "H7/g6", fit.ISO286},
		{"0.5 in RC4 hole", "0.5 in RC4 shaft", "RC4", fit.ANSIB41},
		{"0.5 in RC4 hole", "0.5 in RC5 shaft", "", ""}, // no fit of the standard
		{"0.5 in RC4 hole", "12.7 mm g6", "", ""},       // two standards
		{"25 mm H7", "24.9 mm g6", "", ""},              // two nominals
		{"25 mm H7", "24.99 mm", "", ""},
		{"25000 um H7", "25 mm g6", "H7/g6", fit.ISO286},
	} {
		f, err := fit.Of(tol(t, c.hole), tol(t, c.shaft))
		require.NoError(t, err)
		assert.Equal(t, c.name, f.Name, c.hole+" "+c.shaft)
		assert.Equal(t, c.std, f.Standard)
	}
}

// An inexact size never makes a fit look loose or tight by rounding alone.
func TestInexactSizes(t *testing.T) {
	hole := tol(t, "25 mm H7")
	at := quantity.FromFloat(25, quantity.Millimetre) // 25 mm within some femtometres
	f, err := fit.Of(hole, quantity.Toleranced{Nominal: at})
	require.NoError(t, err)
	assert.Equal(t, fit.Transition, f.Kind)
	below := quantity.FromFloat(24.999, quantity.Millimetre)
	f, err = fit.Of(hole, quantity.Toleranced{Nominal: below})
	require.NoError(t, err)
	assert.Equal(t, fit.Clearance, f.Kind)
	above := quantity.FromFloat(25.022, quantity.Millimetre)
	f, err = fit.Of(hole, quantity.Toleranced{Nominal: above})
	require.NoError(t, err)
	assert.Equal(t, fit.Interference, f.Kind)
	_, err = fit.LimitsOf(at, "H7")
	assert.ErrorContains(t, err, "computed value")
}
