package fit_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/fit"
	"tenths/calc/internal/testkit"
	"tenths/calc/limits"
	"tenths/calc/quantity"
)

// Printed values that are wrong somewhere in public; the standard's value must
// come out, never the misprint.
func TestMisprintsStayOut(t *testing.T) {
	for _, c := range []struct {
		text         string
		upper        bool
		right, wrong string
		source       string
	}{
		{"100 mm E8", true, "126 um", "125 um", "ISO 286-2:1988 Technical Corrigendum 1:2006"},
		{"25 mm R10", true, "-28 um", "-10 um", "ISO 286-2:1988 Technical Corrigendum 1:2006"},
		{"300 mm f9", false, "-186 um", "-185 um", "ISO 286-2:1988 Technical Corrigendum 1:2006"},
		{"8 mm g6", true, "-5 um", "-8 um", "a machine-design page misprints the deviation; T3 and the textbook have -5"},
		{"25 mm h6", false, "-13 um", "-30 um", "a technical page and its copies; T3 and the textbook have -13"},
		{"8 mm h6", false, "-9 um", "-10 um", "a steel maker's table is wrong throughout h6; T3 has -9"},
		{"3 mm H8", true, "14 um", "18 um", "a web table of grades is shifted; T5, T6 and T7 have 14"},
		{"3 mm f8", true, "-6 um", "-8 um", "T3 contradicts itself: lower limit -20 is -6 - 14"},
		{"0.1 in LC8 shaft", false, "-2 thou", "-0.4 thou", "a web table prints the largest clearance as 2.0; by algebra 3.6"},
		{"0.2 in RC3 shaft", false, "-0.7 thou", "-0.62 thou", "a web table prints the largest clearance as 1.12; handbooks 1.2"},
	} {
		t.Run(c.text, func(t *testing.T) {
			m, err := fit.Limits(c.text, quantity.Unit{})
			require.NoError(t, err)
			got := m.LowerDeviation
			if c.upper {
				got = m.UpperDeviation
			}
			testkit.Equal(t, c.right, got, c.source)
			cmp, err := testkit.Q(t, c.wrong).Cmp(got)
			require.NoError(t, err)
			assert.NotZero(t, cmp, c.source)
		})
	}
}

// H8/f7 at 1 in: a textbook converts the metric table (hole 1.0013, shaft
// .9992/.9984); ANSI B4.1 RC4 is its own H8/f7 with +1.2 and -0.8/-1.6 thou. The
// two must not answer for each other.
func TestStandardsAreNeverMixed(t *testing.T) {
	ansi, err := fit.Parse("1 in RC4", quantity.Unit{})
	require.NoError(t, err)
	testkit.Equal(t, "1.0012 in", ansi.Hole.Upper, "B4.1, seen twice")
	iso, err := fit.Parse("25.4 mm H8/f7", quantity.Unit{})
	require.NoError(t, err)
	testkit.Equal(t, "25.433 mm", iso.Hole.Upper, "ISO 286, T1")
	cmp, err := ansi.Hole.Upper.Cmp(iso.Hole.Upper)
	require.NoError(t, err)
	assert.NotZero(t, cmp)

	for _, c := range []struct{ text, says string }{
		{"1 in H8/f7", "metric class"},
		{"25.4 mm RC4", "inch fit"},
		{"25.4 mm RC4/RC4", "an inch fit is named by one class"},
		{"25.4 mm H7/RC4", "an inch fit is named by one class"},
		{"2 in FN2", "1.19 in"}, // not carried, and no falling back on the metric table
	} {
		_, err := fit.Parse(c.text, quantity.Unit{})
		assert.ErrorContains(t, err, c.says, c.text)
	}
	_, err = fit.LimitsOf(testkit.Q(t, "1 in"), "H7")
	assert.ErrorContains(t, err, "write the nominal in mm, or an inch fit such as RC4 hole")
	_, err = fit.LimitsOf(testkit.Q(t, "25 mm"), "RC4 hole")
	assert.ErrorContains(t, err, "write the nominal in inches, or an ISO class such as H7")
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct{ text, says string }{
		{"", "a tolerance class is missing; write a fit like 25 mm H7/g6"},
		{"25 mm", "a tolerance class is missing"},
		{"25 mm H7", "H7 is one part of a fit; write the hole and the shaft"},
		{"25 mm g6/H7", "write the hole first"},
		{"25 mm H7/H6", "write the shaft second"},
		{"0.5 in RC4 hole", "leave out the word hole"},
		{"0.5 in RC4 shaft", "leave out the word shaft"},
		{"25 H7/g6", "the unit is missing"},
		{"0 mm H7/g6", "must be above 0"},
		{"-4 mm H7/g6", "must be above 0"},
		{"0 in RC4", "must be above 0"},
		{"25 deg H7/g6", "is no length"},
		{"25 mm H7/q6", "no such letter"},
		{"0.5 in RC10", "RC1 to RC9"},
		{"600 mm H7/g6", "500 mm"},
		{"0.2 in LT3", "blank up to 0.24 in"},
		{"25,4 mm H7/g6", "write 25.4, with a point"},
	} {
		t.Run(c.text, func(t *testing.T) {
			f, err := fit.Parse(c.text, quantity.Unit{})
			require.Error(t, err)
			var p *quantity.ParseError
			require.True(t, errors.As(err, &p), "%T", err)
			assert.Equal(t, c.text, p.Text)
			assert.ErrorContains(t, err, c.says)
			assert.Zero(t, f)
		})
	}
	for _, c := range []struct{ text, says string }{
		{"25 mm +0.021/-0", "has no tolerance class; write it like 25 mm H7"},
		{"25 mm", "has no tolerance class"},
		{"0.5 in RC4", "RC4 hole or RC4 shaft"},
		{"25 mm H7/g6", "not expected"},
		{"0 mm H7", "above 0"},
		{"0.001 mm d9", "must be above 0"}, // the class would take it below nothing
	} {
		m, err := fit.Limits(c.text, quantity.Unit{})
		assert.ErrorContains(t, err, c.says, c.text)
		assert.Zero(t, m)
	}
	for _, c := range []struct{ hole, shaft, says string }{
		{"25 mm g6", "25 mm g6", "is given as the hole, but g6 is a class of the other part"},
		{"25 mm H7", "25 mm H7", "is given as the shaft, but H7 is a class of the other part"},
		{"0.5 in RC4 shaft", "0.5 in RC4 shaft", "is given as the hole"},
		{"<= 25 mm", "24 mm", "has only one limit; write both"},
		{"25 mm", ">= 24 mm", "has only one limit; write both"},
		{"25 deg", "24 deg", "the hole 25 deg is no length"},
		{"25 mm", "0 mm", "the shaft 0 mm is not possible"},
		{"25 mm ±30 mm", "20 mm", "the smallest hole -5 mm is not possible"},
	} {
		_, err := fit.Of(tol(t, c.hole), tol(t, c.shaft))
		assert.ErrorContains(t, err, c.says, c.hole+" "+c.shaft)
	}
	_, err := fit.Of(quantity.Toleranced{}, tol(t, "24 mm"))
	assert.ErrorContains(t, err, "the hole is missing")
	_, err = fit.LimitsOf(testkit.Q(t, "25 mm"), "")
	assert.ErrorContains(t, err, "write it like H7, g6 or RC4 hole")
	_, err = fit.LimitsOf(testkit.Q(t, "600 mm"), "H7")
	assert.ErrorIs(t, err, limits.ErrNotCarried)
	_, err = fit.LimitsOf(quantity.Quantity{}, "H7")
	assert.ErrorContains(t, err, "is missing")
}
