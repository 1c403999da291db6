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

type try struct {
	gauge string
	goes  bool
}

func trials(t require.TestingT, list ...try) []gauge.Trial {
	out := make([]gauge.Trial, len(list))
	for i, l := range list {
		out[i] = gauge.Trial{Gauge: testkit.Tol(t, l.gauge), Goes: l.goes}
	}
	return out
}

// What gauges prove, by the formula sheet's reading of plug gauges (own
// arithmetic; the pairs are of the demo shop, invented data).
func TestProve(t *testing.T) {
	const hole = "0.1875 +0.0005/-0 in"
	for _, c := range []struct {
		why       string
		kind      gauge.Kind
		entry     string
		trials    []try
		low, high string
		limits    string
		verdict   gauge.Verdict
	}{
		{"GO goes, NOT GO does not: inside", gauge.Plug, "", []try{{"0.1875 +0.00004/-0 in", true}, {"0.1880 +0/-0.00004 in", false}},
			"0.1875 in", "0.1880 in", hole, gauge.Accept},
		{"a set of minus pins, class X, tenths apart", gauge.Plug, "", []try{{"0.1876 +0/-0.00004 in", true}, {"0.1877 +0/-0.00004 in", false}, {"0.1875 +0/-0.00004 in", true}},
			"0.18756 in", "0.1877 in", hole, gauge.Accept},
		{"minus pins of class ZZ prove less", gauge.Plug, "", []try{{"0.1875 +0/-0.0002 in", true}, {"0.1880 +0/-0.0002 in", false}},
			"0.1873 in", "0.1880 in", hole, gauge.Doubtful},
		{"a wanted clearance widens a refusal", gauge.Plug, "0.00005 in", []try{{"0.1875 +0.00004/-0 in", true}, {"0.1880 +0/-0.00004 in", false}},
			"0.1875 in", "0.18805 in", hole, gauge.Doubtful},
		{"only GO was tried", gauge.Plug, "", []try{{"0.1875 +0.00004/-0 in", true}}, "0.1875 in", "", hole, gauge.Doubtful},
		{"only GO, one-sided limit", gauge.Plug, "", []try{{"0.1875 +0.00004/-0 in", true}}, "0.1875 in", "", ">= 0.1875 in", gauge.Accept},
		{"GO refuses by a hair", gauge.Plug, "", []try{{"0.1875 +0.00004/-0 in", false}}, "", "0.18754 in", hole, gauge.Doubtful},
		{"a pin under the limit refuses", gauge.Plug, "", []try{{"0.1873 +0/-0.0001 in", false}}, "", "0.1873 in", hole, gauge.Reject},
		{"a pin above the limit goes in", gauge.Plug, "", []try{{"0.1882 +0.0001/-0 in", true}}, "0.1882 in", "", hole, gauge.Reject},
		{"rings: GO over, NOT GO refuses", gauge.Ring, "", []try{{"0.1870 +0/-0.00004 in", true}, {"0.1867 +0.00004/-0 in", false}},
			"0.1867 in", "0.1870 in", "0.1870 +0/-0.0003 in", gauge.Accept},
		{"ring that a thin shaft passes", gauge.Ring, "", []try{{"0.1866 +0.00004/-0 in", true}}, "", "0.18664 in", "0.1870 +0/-0.0003 in", gauge.Reject},
		{"ring refusing with a wanted clearance", gauge.Ring, "0.00005 in", []try{{"0.1867 +0.00004/-0 in", false}}, "0.18665 in", "", "0.1870 +0/-0.0003 in", gauge.Doubtful},
		{"metric, 4 H7 with pins of 1 um", gauge.Plug, "", []try{{"4.000 ±0.001 mm", true}, {"4.010 ±0.001 mm", false}}, "3.999 mm", "4.011 mm", "4 mm H7", gauge.Doubtful},
	} {
		t.Run(c.why, func(t *testing.T) {
			r, err := gauge.Prove(c.kind, testkit.Q(t, c.entry), trials(t, c.trials...)...)
			require.NoError(t, err)
			for _, e := range []struct {
				want string
				got  quantity.Quantity
			}{{c.low, r.Low}, {c.high, r.High}} {
				if e.want == "" {
					assert.True(t, e.got.IsZeroValue())
					continue
				}
				testkit.Equal(t, e.want, e.got, c.why)
			}
			v, err := r.Against(testkit.Tol(t, c.limits))
			require.NoError(t, err)
			assert.Equal(t, c.verdict, v)
			_, _, ok := r.Estimate()
			assert.Equal(t, c.low != "" && c.high != "", ok)
		})
	}
}

// The estimate of F8 is a middle and a half-width, never one without the other:
// (g2 - g1)/2 and the gauges' own error.
func TestProveEstimate(t *testing.T) {
	r, err := gauge.Prove(gauge.Plug, quantity.Quantity{}, trials(t, try{"0.1870 ±0.00002 in", true}, try{"0.1873 ±0.00002 in", false})...)
	require.NoError(t, err)
	middle, half, ok := r.Estimate()
	require.True(t, ok)
	testkit.Equal(t, "0.18715 in", middle, "formula sheet F8 and F9: between .1870 and .1873 the estimate is .18715")
	testkit.Equal(t, "0.00017 in", half, "half of .0003, and .00002 of the gauges")
	assert.Equal(t, "from 0.18698 in to 0.18732 in", r.String())
	assert.Equal(t, "not below 0.1 in", gauge.Range{Low: testkit.Q(t, "0.1 in")}.String())
	assert.Equal(t, "not above 0.1 in", gauge.Range{High: testkit.Q(t, "0.1 in")}.String())
	assert.Equal(t, "nothing shown", gauge.Range{}.String())
}

func TestProveRefusals(t *testing.T) {
	for _, c := range []struct {
		kind   gauge.Kind
		entry  string
		trials []try
		says   string
	}{
		{gauge.Plug, "", nil, "no gauge was tried"},
		{gauge.Plug, "", []try{{"0.1875 in", true}}, "the plug 0.1875 in has no tolerance; write the range of its true size"},
		{gauge.Plug, "", []try{{"<= 0.1875 in", true}}, "needs both limits"},
		{gauge.Plug, "", []try{{"5 ±1 deg", true}}, "is no length"},
		{gauge.Plug, "", []try{{"0 ±0.001 in", true}}, "a size must be above 0"},
		{gauge.Plug, "-0.0001 in", []try{{"0.1875 ±0.001 in", true}}, "is below 0"},
		{gauge.Plug, "1 deg", []try{{"0.1875 ±0.001 in", true}}, "is no length; write it like 0.00005 in"},
		{gauge.Kind(3), "", []try{{"0.1875 ±0.001 in", true}}, "a gauge is a plug or a ring"},
	} {
		_, err := gauge.Prove(c.kind, testkit.Q(t, c.entry), trials(t, c.trials...)...)
		assert.ErrorContains(t, err, c.says)
	}
	_, err := gauge.Prove(gauge.Plug, quantity.Quantity{}, trials(t, try{"0.1880 ±0.00002 in", true}, try{"0.1875 ±0.00002 in", false})...)
	assert.ErrorIs(t, err, gauge.ErrContradiction)
	assert.ErrorContains(t, err, "burr or bell mouth")
	for _, l := range []string{"0.1875 in", "<= 5 deg"} {
		_, err = gauge.Range{Low: testkit.Q(t, "0.1875 in")}.Against(testkit.Tol(t, l))
		assert.ErrorContains(t, err, "gives no limits of a length")
	}
}

// Whatever the true sizes of feature and gauges within their ranges, the range
// proved holds the feature; and when it accepts or rejects, it is right. In
// inches and in millimetres it is the same.
func TestProveIsAlwaysRight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]gauge.Kind{gauge.Plug, gauge.Ring}).Draw(t, "kind")
		d := rapid.Int64Range(187000, 189000).Draw(t, "size in uin")
		entry := rapid.Int64Range(0, 50).Draw(t, "entry clearance")
		var list, other []gauge.Trial
		for range rapid.IntRange(1, 5).Draw(t, "gauges") {
			g := rapid.Int64Range(186500, 189500).Draw(t, "true gauge")
			below, above := rapid.Int64Range(0, 200).Draw(t, "below"), rapid.Int64Range(0, 200).Draw(t, "above")
			// It goes when it is smaller (plug) or larger (ring), with any clearance
			// it wants up to the stated one.
			wants := rapid.Int64Range(0, entry).Draw(t, "wanted")
			goes := g+wants <= d
			if kind == gauge.Ring {
				goes = g-wants >= d
			}
			lim := limits(t, in(g-below, 1000000), in(g+above, 1000000))
			list = append(list, gauge.Trial{Gauge: lim, Goes: goes})
			other = append(other, gauge.Trial{Gauge: limits(t, metric(t, lim.Lower), metric(t, lim.Upper)), Goes: goes})
		}
		r, err := gauge.Prove(kind, in(entry, 1000000), list...)
		require.NoError(t, err)
		size := big.NewRat(d*254, 10000000)
		if !r.Low.IsZeroValue() {
			require.LessOrEqual(t, r.Low.Rat().Cmp(size), 0)
		}
		if !r.High.IsZeroValue() {
			require.GreaterOrEqual(t, r.High.Rat().Cmp(size), 0)
		}
		part := limits(t, in(187500, 1000000), in(188000, 1000000))
		v, err := r.Against(part)
		require.NoError(t, err)
		inside := d >= 187500 && d <= 188000
		switch v {
		case gauge.Accept:
			require.True(t, inside)
		case gauge.Reject:
			require.False(t, inside)
		}
		m, err := gauge.Prove(kind, metric(t, in(entry, 1000000)), other...)
		require.NoError(t, err)
		require.Zero(t, m.Low.Rat().Cmp(r.Low.Rat()))
		require.Zero(t, m.High.Rat().Cmp(r.High.Rat()))
	})
}
