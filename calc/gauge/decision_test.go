package gauge_test

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/gauge"
	"tenths/calc/internal/testkit"
	"tenths/calc/quantity"
)

func newRat(a, b int64) *big.Rat { return big.NewRat(a, b) }

// The rule is F10 of the trade's formula sheet (ISO 14253-1 as it is taught; its
// text was not seen). The readings of the micrometer look-back are invented demo
// data with their verdicts.
func TestDecide(t *testing.T) {
	const width = "1.5000 ±0.0010 in"
	for _, c := range []struct {
		reading, guard, limits string
		want                   gauge.Verdict
		source                 string
	}{
		{"1.5007 in", "0.00015 in", width, gauge.Accept, "demo look-back"},
		{"1.5009 in", "0.00015 in", width, gauge.Doubtful, "demo look-back"},
		{"1.5006 in", "0.00015 in", width, gauge.Accept, "demo look-back"},
		{"1.5011 in", "0.00015 in", width, gauge.Doubtful, "demo look-back: outside, but by less than U"},
		{"1.5008 in", "0.00015 in", width, gauge.Accept, "demo look-back"},
		{"1.4998 in", "0.00015 in", width, gauge.Accept, "demo look-back"},
		{"1.5001 in", "0.00015 in", width, gauge.Accept, "demo look-back"},
		{"1.50085 in", "0.00015 in", width, gauge.Accept, "F10: the edge is accepted"},
		{"1.500850001 in", "0.00015 in", width, gauge.Doubtful, "F10: past it not"},
		{"1.49915 in", "0.00015 in", width, gauge.Accept, "F10: the lower edge"},
		{"1.50115 in", "0.00015 in", width, gauge.Doubtful, "outside by U exactly: the limit itself is still possible"},
		{"1.501150001 in", "0.00015 in", width, gauge.Reject, "F10: outside by more"},
		{"1.49884 in", "0.00015 in", width, gauge.Reject, "F10: below"},
		{"1.5010 in", "0 in", width, gauge.Accept, "simple acceptance, on the limit"},
		{"1.50101 in", "0 in", width, gauge.Reject, "simple acceptance is never doubtful"},
		{"38.1178 mm", "0.00015 in", width, gauge.Accept, "1.5007 in in millimetres"},
		{"0.0008 in", "0.0001 in", "<= 0.0010 in", gauge.Accept, "one-sided"},
		{"0.00095 in", "0.0001 in", "<= 0.0010 in", gauge.Doubtful, "one-sided"},
		{"0.00112 in", "0.0001 in", "<= 0.0010 in", gauge.Reject, "one-sided"},
		{"-5 in", "0.0001 in", "<= 0.0010 in", gauge.Accept, "one-sided: the other side is free"},
		{"6.5 ozf", "0.5 ozf", ">= 6 ozf", gauge.Accept, "one-sided, a force"},
		{"6.4 ozf", "0.5 ozf", ">= 6 ozf", gauge.Doubtful, "one-sided, a force"},
		{"5.4 ozf", "0.5 ozf", ">= 6 ozf", gauge.Reject, "one-sided, a force"},
		{"70 F", "1 dF", "68 ±2 F", gauge.Doubtful, "a temperature takes a difference as guard band"},
		{"68 F", "1 dC", "68 ±2 F", gauge.Accept, "in another unit"},
	} {
		d, err := gauge.Decide(testkit.Q(t, c.reading), testkit.Q(t, c.guard), testkit.Tol(t, c.limits))
		require.NoError(t, err, c.reading)
		assert.Equal(t, c.want, d.Verdict, "%s ±%s against %s: %s", c.reading, c.guard, c.limits, c.source)
		assert.True(t, d.CanAccept)
	}
	d, err := gauge.Decide(testkit.Q(t, "1.5000 in"), testkit.Q(t, "0.00015 in"), testkit.Tol(t, width))
	require.NoError(t, err)
	testkit.Equal(t, "1.49915 in", d.AcceptFrom, "acceptance zone")
	testkit.Equal(t, "1.50085 in", d.AcceptTo, "acceptance zone")
	// A gauge too poor for the tolerance: even the middle is doubtful.
	d, err = gauge.Decide(testkit.Q(t, "1.5000 in"), testkit.Q(t, "0.0011 in"), testkit.Tol(t, width))
	require.NoError(t, err)
	assert.Equal(t, gauge.Doubtful, d.Verdict)
	assert.False(t, d.CanAccept)
	// A reading known only within a bound does not pass on its rounding.
	edge := quantity.FromFloat(1.50085, quantity.Inch)
	d, err = gauge.Decide(edge, testkit.Q(t, "0.00015 in"), testkit.Tol(t, width))
	require.NoError(t, err)
	assert.Equal(t, gauge.Doubtful, d.Verdict)
}

func TestDecideRefusals(t *testing.T) {
	for _, c := range []struct{ reading, guard, limits, says string }{
		{"1.5 in", "0.0001 in", "1.5 in", "has no limits to decide by"},
		{"1.5 deg", "0.0001 in", "1.5 ±0.1 in", "cannot compare an angle with a length"},
		{"1.5 in", "", "1.5 ±0.1 in", "the guard band is missing; write the expanded uncertainty"},
		{"1.5 in", "-0.0001 in", "1.5 ±0.1 in", "an uncertainty has no sign"},
		{"1.5 in", "1 deg", "1.5 ±0.1 in", "cannot add an angle to a length"},
		{"", "0.1 in", "1.5 ±0.1 in", "without a value"},
		{"38.1", "0.1 in", "1.5 ±0.1 in", "cannot compare a plain number with a length"},
	} {
		_, err := gauge.Decide(testkit.Q(t, c.reading), testkit.Q(t, c.guard), testkit.Tol(t, c.limits))
		assert.ErrorContains(t, err, c.says)
	}
}

// Decisions are the same in inches and millimetres, the zones are nested as the
// guard band grows, and a mirrored reading gets a mirrored answer.
func TestDecideProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, low, high int64) int64 { return rapid.Int64Range(low, high).Draw(t, name) }
		part := limits(t, in(149900, 100000), in(150100, 100000))
		y := draw("reading", 149800, 150200)
		w := draw("guard", 0, 150)
		d, err := gauge.Decide(in(y, 100000), in(w, 100000), part)
		require.NoError(t, err)
		mm, err := gauge.Decide(metric(t, in(y, 100000)), metric(t, in(w, 100000)), limits(t, metric(t, part.Lower), metric(t, part.Upper)))
		require.NoError(t, err)
		require.Equal(t, d.Verdict, mm.Verdict)
		mirror, err := gauge.Decide(in(300000-y, 100000), in(w, 100000), part)
		require.NoError(t, err)
		require.Equal(t, d.Verdict, mirror.Verdict)
		wider, err := gauge.Decide(in(y, 100000), in(w+draw("more", 0, 50), 100000), part)
		require.NoError(t, err)
		if d.Verdict == gauge.Doubtful {
			require.Equal(t, gauge.Doubtful, wider.Verdict, "more doubt decides nothing")
		}
		if w == 0 {
			require.NotEqual(t, gauge.Doubtful, d.Verdict)
		}
		require.Equal(t, w <= 100, d.CanAccept)
	})
}

func TestSuits(t *testing.T) {
	for _, c := range []struct {
		limits, resolution, u string
		ratio                 string
		fitness               gauge.Fitness
		share                 string
		coarse                bool
	}{
		// Common practice: resolution <= T/10, T/(2U) >= 4, below 2 useless.
		{"1.5000 ±0.0010 in", "0.0001 in", "0.00015 in", "6.666667", gauge.Comfortable, "5 %", false},
		{"1.5000 ±0.0010 in", "0.0002 in", "0.00025 in", "4", gauge.Comfortable, "10 %", false},
		{"0.1875 +0.0005/-0 in", "0.0001 in", "0.0001 in", "2.5", gauge.Thin, "20 %", true},
		{"0.1875 +0.0005/-0 in", "", "0.000125 in", "2", gauge.Thin, "", false},
		{"0.1875 +0.0005/-0 in", "", "0.00013 in", "1.923077", gauge.Useless, "", false},
		{"0.1875 +0.0010/-0 in", "0.0005 in", "", "", gauge.NotStated, "50 %", true}, // a caliper on a thousandth
		{"4 mm H7", "1 um", "0.00005 in", "4.724409", gauge.Comfortable, "8.33333 %", false},
	} {
		s, err := gauge.Suits(testkit.Tol(t, c.limits), testkit.Q(t, c.resolution), testkit.Q(t, c.u))
		require.NoError(t, err)
		assert.Equal(t, c.fitness, s.Fitness, c.limits)
		assert.Equal(t, c.coarse, s.ResolutionCoarse, c.limits)
		if c.ratio == "" {
			assert.True(t, s.Ratio.IsZeroValue())
		} else {
			assert.InDelta(t, testkit.Q(t, c.ratio).Float(), s.Ratio.Float(), 1e-6)
		}
		if c.share == "" {
			assert.True(t, s.ResolutionShare.IsZeroValue())
		} else {
			assert.Equal(t, c.share, s.ResolutionShare.String())
		}
	}
	for _, c := range []struct{ limits, resolution, u, says string }{
		{"<= 0.001 in", "0.0001 in", "", "has no tolerance between two limits"},
		{"1.5..1.5 in", "0.0001 in", "", "has no tolerance between two limits"},
		{"1.5 ±0.1 in", "", "", "neither resolution nor uncertainty"},
		{"1.5 ±0.1 in", "0 in", "", "it must be above 0"},
		{"1.5 ±0.1 in", "", "-0.1 in", "it must be above 0"},
		{"1.5 ±0.1 in", "1 deg", "", "cannot compare an angle with a length"},
	} {
		_, err := gauge.Suits(testkit.Tol(t, c.limits), testkit.Q(t, c.resolution), testkit.Q(t, c.u))
		assert.ErrorContains(t, err, c.says)
	}
}
