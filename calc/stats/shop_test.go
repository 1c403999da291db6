package stats

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The before and after readings below are invented or simulated demo data, in
// tenths of a thousandth of an inch unless a name says otherwise; the intervals
// were computed apart from this code and are kept to the digits given.
func TestDemoIntervals(t *testing.T) {
	const digit = 0.051 // given to one decimal
	for _, c := range []struct {
		name            string
		before, after   []float64
		diff, low, high float64
		verdict         Verdict
	}{
		{"step at a seam", []float64{13.0, 12.0, 13.5, 16.5, 17.5, 9.0}, []float64{14.5, 12.0, 7.0, 9.0, 3.0, 5.0}, -5.2, -10.1, -0.3, Shown},
		{"hole size, milled to reamed", []float64{3, 9, 8, 5, 8, 3, 7, 7, 8, 7}, []float64{2, 1, 1, 2, 3, 2, 2, 2, 1, 3}, -4.6, -6.2, -3.0, Shown},
		{"taper, long-reach cutter", []float64{2.0, 2.0, 2.5, 2.0, 2.0}, []float64{10.5, 10.5, 10.0, 8.5, 11.0}, 8.0, 6.8, 9.2, Shown},
		// Read to half a tenth, the first group varies too little for the gauge.
		{"taper, rolled back", []float64{2.0, 2.0, 2.5, 2.0, 2.0}, []float64{3.0, 1.5, 2.0, 2.0}, 0.0, -.9, 1.0, CannotTell},
		{"one point of the seam", []float64{9.0, 2.5, 3.0, 3.0, 4.5, 5.0}, []float64{1.5, -1.5, 0, 0, .5, 0}, -4.4, -7.0, -1.9, Shown},
		{"warm-up, scatter only", []float64{3, 6, 6, 5}, []float64{2, 6, 3, 4}, -1.2, -4.0, 1.5, NotShown},
		{"saddle position", []float64{7.5, 6.5, 5.5, 6.0, 6.5, 6.5}, []float64{3.0, 2.5, 1.5, 2.5, 2.5, .5}, -4.3, -5.4, -3.3, Shown},
		{"saddle finish, uin", []float64{44, 35, 36, 45, 39, 45}, []float64{19, 27, 24, 22, 25, 21}, -17.7, -22.7, -12.6, Shown},
		{"step between arms, um", []float64{10, 13, 11, 8, 10}, []float64{2, 7, 5, 7, 4}, -5.4, -8.3, -2.5, Shown},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := Compare(Sample{Values: c.before, Resolution: .5, Gauge: "G4"}, Sample{Values: c.after, Resolution: .5, Gauge: "G4"}, 0.95)
			require.NoError(t, err)
			assert.InDelta(t, c.diff, r.Difference, digit)
			assert.InDelta(t, c.low, r.Sampling.Low, digit)
			assert.InDelta(t, c.high, r.Sampling.High, digit)
			assert.Equal(t, c.verdict, r.Verdict)
		})
	}
}

func TestDemoGaugeSwap(t *testing.T) {
	// Warm-up readings with a gauge swapped between: -5.9 to +3.4 belongs to a
	// swap that adds a standard uncertainty of 1.5 tenths.
	u := 1.5 * math.Sqrt2 // expanded, each gauge
	r, err := Compare(Sample{Values: []float64{3, 6, 6, 5}, Resolution: 1, Gauge: "G5", U: u},
		Sample{Values: []float64{2, 6, 3, 4}, Resolution: 1, Gauge: "G8", U: u}, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, 1.5, r.UGauge, 1e-12)
	assert.InDelta(t, -5.9, r.Low, 0.05)
	assert.InDelta(t, 3.4, r.High, 0.05)
	assert.Equal(t, NotShown, r.Verdict)
	// With so few readings only a change of about 3.6 tenths would be seen.
	shift, err := SmallestShift(4, 1.5, UsualPower)
	require.NoError(t, err)
	assert.InDelta(t, 3.6, shift, 0.05)
}

func TestDemoSpread(t *testing.T) {
	// Spread of a seam point before and after reaming: ratio 2.04 of the
	// deviations, F 4.15 over the critical 4.03: just shown by 10 + 10.
	before := Sample{Values: []float64{-.5, .5, -3.5, .5, -5.5, -3, 2, 4, -6.5, -5}, Resolution: .5}
	after := Sample{Values: []float64{0, -2, -3.5, 2, -3, 0, 1, 0, -1, -1}, Resolution: .5}
	r, err := CompareSpread(before, after, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, 2.04, 1/r.SDRatio, 0.005)
	assert.InDelta(t, 4.15, 1/r.F.Ratio, 0.005)
	assert.InDelta(t, 4.03, 1/r.F.CriticalLow, 0.005)
	assert.InDelta(t, 3.5, r.Before.SD, 0.05)
	assert.InDelta(t, 1.7, r.After.SD, 0.05)
	assert.Equal(t, Shown, r.Verdict)
	// The holes themselves, read to a tenth, means 6.5 and 1.9, s 2.1 and .7.
	h, err := CompareSpread(Sample{Values: []float64{3, 9, 8, 5, 8, 3, 7, 7, 8, 7}, Resolution: 1},
		Sample{Values: []float64{2, 1, 1, 2, 3, 2, 2, 2, 1, 3}, Resolution: 1}, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, 6.5, h.Before.Mean, 0.05)
	assert.InDelta(t, 2.1, h.Before.SD, 0.05)
	assert.InDelta(t, 1.9, h.After.Mean, 0.05)
	assert.InDelta(t, .7, h.After.SD, 0.05)
}

func TestPlanning(t *testing.T) {
	// Rows of the trade's formula sheet (common practice), to the digit given; at 3
	// its short form gives 3.0 and the exact power 3.07.
	for n, want := range map[int]float64{3: 3.0, 4: 2.4, 5: 2.0, 6: 1.8, 8: 1.5, 10: 1.3, 15: 1.1, 20: .9} {
		got, err := SmallestShift(n, 1, UsualPower)
		require.NoError(t, err)
		digit := 0.05
		if n == 3 {
			digit = 0.075
		}
		assert.InDelta(t, want, got, digit, "n = %d", n)
	}
	got, err := SmallestShift(5, .0002, UsualPower) // 5 + 5 parts, s = .0002: .0004 or more
	require.NoError(t, err)
	assert.InDelta(t, .0004, got, .00001)
	for n, want := range map[int]float64{3: 5.0, 5: 3.0, 10: 2.4} {
		p, err := Prediction(7, 2, n, 0.95)
		require.NoError(t, err)
		assert.InDelta(t, want, p.Half/2, 0.05, "n = %d", n)
		assert.InDelta(t, 7, (p.Low+p.High)/2, 1e-12)
	}
	for n, want := range map[int]float64{1: .95, 3: .63, 5: .45, 10: .26, 30: .10} {
		p, err := NoneBad(n, 0.95)
		require.NoError(t, err)
		assert.InDelta(t, want, p, 0.005, "n = %d", n)
	}
}

func TestFisherExact(t *testing.T) {
	// 3 of 20 needing a mallet, then 0 of 20 (invented demo data): p = .23; 6 of
	// 40, then 0 of 40: .03.
	r, err := FisherExact(3, 20, 0, 20)
	require.NoError(t, err)
	assert.InDelta(t, 1140.0/9880, r.Fewer, 1e-12) // C(20,3)/C(40,3)
	assert.InDelta(t, 2*1140.0/9880, r.TwoSided, 1e-12)
	assert.InDelta(t, .23, r.TwoSided, 0.005)
	assert.InDelta(t, 1, r.More, 1e-12)
	r, err = FisherExact(6, 40, 0, 40)
	require.NoError(t, err)
	assert.InDelta(t, .03, r.TwoSided, 0.005)
	assert.InDelta(t, 3838380.0/300500200, r.Fewer, 1e-12) // C(40,6)/C(80,6)

	// Fisher's tea tasting, 3 of 4 and 1 of 4 right: one-sided 17/70 (R. A.
	// Fisher, The Design of Experiments, 1935).
	r, err = FisherExact(3, 4, 1, 4)
	require.NoError(t, err)
	assert.InDelta(t, 17.0/70, r.Fewer, 1e-12)
	assert.InDelta(t, 34.0/70, r.TwoSided, 1e-12)

	r, err = FisherExact(0, 12, 0, 7)
	require.NoError(t, err)
	assert.InDelta(t, 1, r.TwoSided, 1e-12)
}
