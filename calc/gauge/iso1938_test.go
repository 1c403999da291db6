package gauge_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/gauge"
	"tenths/calc/internal/testkit"
	"tenths/calc/quantity"
)

func allowance(t require.TestingT, z, y, h, safety string) gauge.Allowance {
	return gauge.Allowance{Z: testkit.Q(t, z), Y: testkit.Q(t, y), H: testkit.Q(t, h), Safety: testkit.Q(t, safety)}
}

// Sizes that were seen printed. The z, y and H of each row are those of its
// source; none is carried by the package. The source keys are those of
// data/README.md.
func TestISOLimitGauges(t *testing.T) {
	for _, c := range []struct {
		kind                                     gauge.Kind
		feature, z, y, h, safety                 string
		goLow, goHigh, worn, notGoLow, notGoHigh string
		source                                   string
	}{
		{gauge.Plug, "25 +0.162/+0.110 mm", "9 um", "0 um", "4 um", "", "", "", "25.110 mm", "25.160 mm", "25.164 mm",
			"K9: 25 C9, NOT GO 25.162 ±0.002 printed (z from memory, so GO is not checked)"},
		{gauge.Plug, "20.00 ±0.02 mm", "5 um", "0 um", "4 um", "", "19.983 mm", "19.987 mm", "19.980 mm", "20.018 mm", "20.022 mm",
			"K11: GO 19.985 ±0.002, NOT GO 20.02 ±0.002 printed; y not printed"},
		{gauge.Ring, "20.00 ±0.02 mm", "5 um", "0 um", "6 um", "", "20.012 mm", "20.018 mm", "20.020 mm", "19.977 mm", "19.983 mm",
			"K11: GO 20.015 ±0.003, NOT GO 19.98 ±0.003 printed; y1 not printed"},
		{gauge.Plug, "30 +0.052/-0 mm", "9 um", "0 um", "4 um", "", "30.007 mm", "30.011 mm", "30.000 mm", "30.050 mm", "30.054 mm",
			"K12 prints the new GO end: 30.000 + 0.009 ±0.002, from 30.007 to 30.011"},
		// Own arithmetic by the printed formulas, with invented z, y, H and alpha.
		{gauge.Plug, "8 +0.015/-0 mm", "2 um", "1.5 um", "2.5 um", "", "8.00075 mm", "8.00325 mm", "7.9985 mm", "8.01375 mm", "8.01625 mm", "own"},
		{gauge.Plug, "200 +0.046/-0 mm", "7 um", "6 um", "8 um", "2 um", "200.003 mm", "200.011 mm", "199.996 mm", "200.040 mm", "200.048 mm", "own, K9 with alpha"},
		{gauge.Ring, "200 +0/-0.046 mm", "7 um", "6 um", "8 um", "2 um", "199.989 mm", "199.997 mm", "200.004 mm", "199.952 mm", "199.960 mm", "own, mirrored"},
	} {
		t.Run(c.feature, func(t *testing.T) {
			g, err := gauge.ISOLimitGauges(c.kind, testkit.Tol(t, c.feature), allowance(t, c.z, c.y, c.h, c.safety))
			require.NoError(t, err)
			if c.goLow != "" {
				testkit.Equal(t, c.goLow, g.Go.Lower, c.source)
				testkit.Equal(t, c.goHigh, g.Go.Upper, c.source)
			}
			testkit.Equal(t, c.worn, g.GoWorn, c.source)
			testkit.Equal(t, c.notGoLow, g.NotGo.Lower, c.source)
			testkit.Equal(t, c.notGoHigh, g.NotGo.Upper, c.source)
		})
	}
}

func TestISOLimitGaugesRefusals(t *testing.T) {
	const hole = "25 +0.021/-0 mm"
	for _, c := range []struct{ feature, z, y, h, safety, says string }{
		{hole, "", "3 um", "4 um", "", "the gauge value z is missing; write it like 2 um, from the table of the gauge standard"},
		{hole, "3 um", "", "4 um", "", "the gauge value y is missing"},
		{hole, "3 um", "3 um", "0 um", "", "the gauge value H = 0 um is not possible"},
		{hole, "3 um", "-3 um", "4 um", "", "the gauge value y = -3 um is not possible"},
		{hole, "3 um", "3 um", "4 deg", "", "is no length"},
		{hole, "3 um", "3 um", "4 um", "2 um", "only sizes above 180 mm have one"},
		{"200 +0.046/-0 mm", "7 um", "6 um", "8 um", "", "the safety zone (alpha) is missing"},
		{"200 +0.046/-0 mm", "7 um", "6 um", "8 um", "-1 um", "is below 0"},
		{"180 +0.040/-0 mm", "7 um", "6 um", "8 um", "2 um", "only sizes above 180 mm"},
		{hole, "30 um", "3 um", "4 um", "", "leave no GO gauge"},
		{hole, "0 um", "0 um", "4 um", "", "leave no GO gauge"},
		{"25 mm", "3 um", "3 um", "4 um", "", "needs both limits"},
		{"0 +0.021/-0 mm", "3 um", "3 um", "4 um", "", "a size must be above 0"},
	} {
		_, err := gauge.ISOLimitGauges(gauge.Plug, testkit.Tol(t, c.feature), allowance(t, c.z, c.y, c.h, c.safety))
		assert.ErrorContains(t, err, c.says, c.feature)
	}
	_, err := gauge.ISOLimitGauges(gauge.Ring, testkit.Tol(t, hole), allowance(t, "30 um", "3 um", "4 um", ""))
	assert.ErrorContains(t, err, "leave no GO gauge")
	_, err = gauge.ISOLimitGauges(gauge.Kind(4), testkit.Tol(t, hole), allowance(t, "3 um", "3 um", "4 um", ""))
	assert.ErrorContains(t, err, "a gauge is a plug or a ring")
}

// A hole and its mirror, a shaft, get mirrored gauges.
func TestISOLimitGaugesMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		um := func(name string, low, high int64) quantity.Quantity {
			return quantity.New(newRat(rapid.Int64Range(low, high).Draw(t, name), 1000), quantity.Millimetre)
		}
		nominal := quantity.New(newRat(rapid.Int64Range(1, 180).Draw(t, "mm"), 1), quantity.Millimetre)
		width := um("tolerance", 20, 100)
		a := gauge.Allowance{Z: um("z", 2, 6), Y: um("y", 0, 3), H: um("H", 1, 4)}
		high, err := nominal.Add(width)
		require.NoError(t, err)
		low, err := nominal.Sub(width)
		require.NoError(t, err)
		hole, err := quantity.WithLimits(nominal, nominal, high)
		require.NoError(t, err)
		shaft, err := quantity.WithLimits(nominal, low, nominal)
		require.NoError(t, err)
		h, err := gauge.ISOLimitGauges(gauge.Plug, hole, a)
		require.NoError(t, err)
		s, err := gauge.ISOLimitGauges(gauge.Ring, shaft, a)
		require.NoError(t, err)
		mirrored := func(a, b quantity.Quantity) {
			sum, err := a.Add(b)
			require.NoError(t, err)
			require.Zero(t, sum.Rat().Cmp(nominal.Scale(newRat(2, 1)).Rat()))
		}
		mirrored(h.Go.Lower, s.Go.Upper)
		mirrored(h.Go.Upper, s.Go.Lower)
		mirrored(h.GoWorn, s.GoWorn)
		mirrored(h.NotGo.Lower, s.NotGo.Upper)
		mirrored(h.NotGo.Upper, s.NotGo.Lower)
	})
}
