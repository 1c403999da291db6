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

// The source keys are those of data/README.md.
func TestCoarsestClass(t *testing.T) {
	for _, c := range []struct {
		feature, class, goMarked, notGoMarked, source string
	}{
		{"0.500 ±0.001 in", "Z", "0.499 in", "0.501 in", "K7 (and a copy of it), printed with class Z"},
		{"0.250 +0.004/-0 in", "ZZ", "0.250 in", "0.254 in", "K8, printed with class ZZ and the pair .250 +.0002, .254 -.0002"},
		{"0.500 ±0.0009 in", "Y", "0.4991 in", "0.5009 in", "K7 prints .00009 for each gauge; the class is by the table"},
		{"1.000 ±0.001 in", "Y", "0.999 in", "1.001 in", "K6 prints .0001 for each gauge and then calls it class Z, which is .00012 there"},
		{"0.2500 +0.0005/-0 in", "XX", "0.2500 in", "0.2505 in", "own, from the table"},
		{"6 mm H7", "XX", "6 mm", "6.012 mm", "own, from the table: .6 um for each"},
		{"25 mm H7", "XX", "25 mm", "25.021 mm", "own, from the table: 1.05 um for each"},
		{"0.1875 +0.0005/-0 in", "XX", "0.1875 in", "0.1880 in", "own, from the table: 8 %"},
	} {
		t.Run(c.feature, func(t *testing.T) {
			p, err := gauge.Coarsest(gauge.Plug, testkit.Tol(t, c.feature))
			require.NoError(t, err)
			assert.Equal(t, gauge.Class(c.class), p.Class, c.source)
			testkit.Equal(t, c.goMarked, p.Go.Nominal, c.source)
			testkit.Equal(t, c.notGoMarked, p.NotGo.Nominal, c.source)
			assert.Equal(t, gauge.WithinRule, p.Share.Verdict)
		})
	}
	_, err := gauge.Coarsest(gauge.Plug, testkit.Tol(t, "0.1875 +0.0001/-0 in"))
	assert.ErrorContains(t, err, "even class XXX takes 20 % of the tolerance")
}

// Shares of a tolerance of .0005 in (the trade's formula sheet) and the pair of
// the demo shop (invented data): 16 % is over the rule and under the warning.
func TestShare(t *testing.T) {
	for _, c := range []struct {
		class   gauge.Class
		percent string
		verdict gauge.ShareVerdict
	}{
		{gauge.ZZ, "80 %", gauge.Stop}, {gauge.Z, "40 %", gauge.Warn}, {gauge.Y, "28 %", gauge.Warn},
		{gauge.X, "16 %", gauge.OverRule}, {gauge.XX, "8 %", gauge.WithinRule},
	} {
		p, err := gauge.PairFor(gauge.Plug, testkit.Tol(t, "0.1875 +0.0005/-0 in"), c.class)
		require.NoError(t, err)
		assert.Equal(t, c.percent, p.Share.Percent.String())
		assert.Equal(t, c.verdict, p.Share.Verdict, c.class)
	}
	for _, c := range []struct {
		tGo, tNotGo, part, percent string
		verdict                    gauge.ShareVerdict
	}{
		{"0.0001 in", "0.0001 in", "0.002 in", "10 %", gauge.WithinRule}, // on the line: the milder side
		{"0.0001 in", "0.00010001 in", "0.002 in", "10.0005 %", gauge.OverRule},
		{"0.2 um", "0.2 um", "2 um", "20 %", gauge.OverRule},
		{"0.21 um", "0.2 um", "2 um", "20.5 %", gauge.Warn},
		{"0.4 um", "0.41 um", "2 um", "40.5 %", gauge.Stop},
		{"0.00004 in", "0.001016 mm", "0.0005 in", "16 %", gauge.OverRule}, // the same in two units
		{"0 in", "0 in", "0.0005 in", "0 %", gauge.WithinRule},
	} {
		s, err := gauge.ShareOf(testkit.Q(t, c.tGo), testkit.Q(t, c.tNotGo), testkit.Q(t, c.part))
		require.NoError(t, err)
		assert.Equal(t, c.percent, s.Percent.String())
		assert.Equal(t, c.verdict, s.Verdict, c.percent)
	}
	for _, c := range []struct{ tGo, tNotGo, part, says string }{
		{"0.0001 in", "0.0001 in", "0 in", "must be above 0"},
		{"0.0001 in", "0.0001 in", "", "the tolerance of the part is missing; write it like 0.0005 in"},
		{"0.0001 deg", "0.0001 in", "0.001 in", "the GO tolerance 0.0001 deg is no length"},
		{"0.0001 in", "-0.0001 in", "0.001 in", "the NOT GO tolerance -0.0001 in is below 0"},
	} {
		_, err := gauge.ShareOf(testkit.Q(t, c.tGo), testkit.Q(t, c.tNotGo), testkit.Q(t, c.part))
		assert.ErrorContains(t, err, c.says)
	}
}

func TestPairDirections(t *testing.T) {
	for _, c := range []struct {
		kind                               gauge.Kind
		feature                            string
		goLow, goHigh, notGoLow, notGoHigh string
	}{
		{gauge.Plug, "0.1875 +0.0005/-0 in", "0.1875 in", "0.18754 in", "0.18796 in", "0.1880 in"},
		{gauge.Ring, "0.1870 +0/-0.0003 in", "0.18696 in", "0.1870 in", "0.1867 in", "0.18674 in"},
	} {
		p, err := gauge.PairFor(c.kind, testkit.Tol(t, c.feature), gauge.X)
		require.NoError(t, err)
		testkit.Equal(t, c.goLow, p.Go.Lower, c.feature)
		testkit.Equal(t, c.goHigh, p.Go.Upper, c.feature)
		testkit.Equal(t, c.notGoLow, p.NotGo.Lower, c.feature)
		testkit.Equal(t, c.notGoHigh, p.NotGo.Upper, c.feature)
	}
}

func TestPairRefusals(t *testing.T) {
	for _, c := range []struct{ feature, says string }{
		{"0.1875 in", "the hole 0.1875 in needs both limits; write it like 0.1875 +0.0005/-0 in"},
		{"<= 0.1880 in", "needs both limits"},
		{"5 ±1 deg", "is no length"},
		{"0.0001 ±0.0002 in", "a size must be above 0"},
		{"13 ±0.001 in", "over 0.010 in up to and including 12.010 in"},
		{"12.010 ±0.001 in", "NOT GO plug: class Z at 12.011 in"},
	} {
		_, err := gauge.PairFor(gauge.Plug, testkit.Tol(t, c.feature), gauge.Z)
		assert.ErrorContains(t, err, c.says, c.feature)
		_, err = gauge.Coarsest(gauge.Plug, testkit.Tol(t, c.feature))
		assert.Error(t, err, c.feature)
	}
	_, err := gauge.PairFor(gauge.Ring, testkit.Tol(t, "0.1875 in"), gauge.Z)
	assert.ErrorContains(t, err, "the shaft 0.1875 in needs both limits")
	_, err = gauge.PairFor(gauge.Kind(5), testkit.Tol(t, "0.1875 ±0.001 in"), gauge.Z)
	assert.ErrorContains(t, err, "a gauge is a plug or a ring")
	_, err = gauge.PairFor(gauge.Plug, testkit.Tol(t, "0.1875 ±0.001 in"), "Q")
	assert.ErrorContains(t, err, "no gauge-maker's class")
	_, err = gauge.PairFor(gauge.Plug, quantity.Toleranced{}, gauge.Z)
	assert.ErrorContains(t, err, "the hole is missing")
}

// Signs and limits of pairs that do not bracket (own arithmetic on the class
// table; a minus pin as GO is the trade's usual mistake).
func TestBracket(t *testing.T) {
	const hole = "0.1875 +0.0005/-0 in"
	for _, c := range []struct {
		why                    string
		kind                   gauge.Kind
		feature, g, ng         string
		below, above, low, hgh string
		brackets               bool
	}{
		{"the demo pair, class X", gauge.Plug, hole, "0.1875 +0.00004/-0 in", "0.1880 +0/-0.00004 in", "0 in", "0 in", "0.00004 in", "0.00004 in", true},
		{"minus pin of class ZZ as GO", gauge.Plug, hole, "0.1875 +0/-0.0002 in", "0.1880 +0/-0.00004 in", "0.0002 in", "0 in", "0 in", "0.00004 in", false},
		{"plus pin of class ZZ as NOT GO", gauge.Plug, hole, "0.1875 +0.00004/-0 in", "0.1880 +0.0002/-0 in", "0 in", "0.0002 in", "0.00004 in", "0 in", false},
		{"pair well inside, for process control", gauge.Plug, hole, "0.1877 ±0.00001 in", "0.1879 ±0.00001 in", "0 in", "0 in", "0.00021 in", "0.00011 in", true},
		{"old pair of a wider tolerance", gauge.Plug, hole, "0.1875 +0.00004/-0 in", "0.1885 +0/-0.00004 in", "0 in", "0.0005 in", "0.00004 in", "0 in", false},
		{"rings of class X", gauge.Ring, "0.1870 +0/-0.0003 in", "0.1870 +0/-0.00004 in", "0.1867 +0.00004/-0 in", "0 in", "0 in", "0.00004 in", "0.00004 in", true},
		{"rings with the signs of plugs", gauge.Ring, "0.1870 +0/-0.0003 in", "0.1870 +0.00004/-0 in", "0.1867 +0/-0.00004 in", "0.00004 in", "0.00004 in", "0 in", "0 in", false},
		{"metric gauges on an inch hole", gauge.Plug, hole, "4.7625 +0.001/-0 mm", "4.7752 +0/-0.001 mm", "0 in", "0 in", "0.001 mm", "0.001 mm", true},
	} {
		t.Run(c.why, func(t *testing.T) {
			b, err := gauge.BracketOf(c.kind, testkit.Tol(t, c.feature), testkit.Tol(t, c.g), testkit.Tol(t, c.ng))
			require.NoError(t, err)
			testkit.Equal(t, c.below, b.PassesBelow, "passes below")
			testkit.Equal(t, c.above, b.PassesAbove, "passes above")
			testkit.Equal(t, c.low, b.RefusesLow, "refuses low")
			testkit.Equal(t, c.hgh, b.RefusesHigh, "refuses high")
			assert.Equal(t, c.brackets, b.Brackets())
			assert.Equal(t, "in", b.PassesBelow.Unit().Name())
		})
	}
	for _, c := range []struct {
		kind           gauge.Kind
		feature, g, ng string
		says           string
	}{
		{gauge.Plug, hole, "0.1880 +0/-0.00004 in", "0.1875 +0.00004/-0 in", "stand the wrong way round; the GO plug is the smaller one"},
		{gauge.Ring, hole, "0.1875 +0.00004/-0 in", "0.1880 +0/-0.00004 in", "the GO ring is the larger one"},
		{gauge.Plug, hole, "0.1875 in", "0.1880 +0/-0.00004 in", "the GO plug 0.1875 in needs both limits"},
		{gauge.Plug, "0.1875 in", "0.1875 ±0.0001 in", "0.1880 ±0.0001 in", "the hole 0.1875 in needs both limits"},
		{gauge.Kind(9), hole, "0.1875 ±0.0001 in", "0.1880 ±0.0001 in", "a gauge is a plug or a ring"},
	} {
		_, err := gauge.BracketOf(c.kind, testkit.Tol(t, c.feature), testkit.Tol(t, c.g), testkit.Tol(t, c.ng))
		assert.ErrorContains(t, err, c.says)
	}
}

// A pair sized here lies inside the limits of its feature for every size, class
// and kind, refuses no more than its own tolerance at each end, and its share is
// what it refuses at most. The coarsest class is never beaten by a coarser one.
func TestPairProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(200, 115000).Draw(t, "low limit in tenths")
		w := rapid.Int64Range(20, 500).Draw(t, "tolerance in tenths")
		feature := limits(t, in(n, 10000), in(n+w, 10000))
		kind := rapid.SampledFrom([]gauge.Kind{gauge.Plug, gauge.Ring}).Draw(t, "kind")
		class := rapid.SampledFrom(gauge.Classes()).Draw(t, "class")
		p, err := gauge.PairFor(kind, feature, class)
		require.NoError(t, err)
		b, err := gauge.BracketOf(kind, feature, p.Go, p.NotGo)
		require.NoError(t, err)
		require.True(t, b.Brackets())
		sum, err := b.RefusesLow.Add(b.RefusesHigh)
		require.NoError(t, err)
		width, _ := feature.Width()
		ratio, err := sum.Div(width)
		require.NoError(t, err)
		require.Zero(t, ratio.Rat().Cmp(p.Share.Percent.Rat()))

		best, err := gauge.Coarsest(kind, feature)
		if err != nil {
			fine, err := gauge.PairFor(kind, feature, gauge.XXX)
			require.NoError(t, err)
			require.NotEqual(t, gauge.WithinRule, fine.Share.Verdict)
			return
		}
		require.Equal(t, gauge.WithinRule, best.Share.Verdict)
		coarser := false
		for _, c := range gauge.Classes() {
			if coarser {
				q, err := gauge.PairFor(kind, feature, c)
				require.NoError(t, err)
				require.NotEqual(t, gauge.WithinRule, q.Share.Verdict, "class %s would do as well as %s", c, best.Class)
			}
			coarser = coarser || c == best.Class
		}
	})
}
