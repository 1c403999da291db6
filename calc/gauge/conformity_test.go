package gauge_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"tenths/calc/gauge"
	"tenths/calc/internal/testkit"
	"tenths/calc/quantity"
)

// JCGM 106:2012 examples. The inputs and the printed values (0.92, 0.66) are from
// memory; the digits were computed with R 4.2.2 from these inputs and are what is
// tested.
func TestConformity(t *testing.T) {
	for _, c := range []struct {
		reading, u, limits string
		want               float64
		source             string
	}{
		{"-5.47", "0.05", "<= -5.40", 0.919243340766227, "breakdown voltage of a diode, one-sided; R"},
		{"13.6", "1.8", "12.5..16.3", 0.662629786495308, "viscosity of an oil, two-sided; R"},
		{"0.7504 in", "0.00005 in", "0.7500..0.7505 in", 0.977249868051808, "shop bore (own); R"},
		{"0.7505 in", "0.00005 in", "0.7500..0.7505 in", 0.5, "on the limit: even odds; R"},
		{"0.7505 in", "0.00127 mm", "19.05..19.0627 mm", 0.5, "the same in millimetres"},
		{"-3", "1", ">= 0", 0.00134989803163009, "normal table; R"},
		{"-0.5", "1", ">= 0", 0.308537538725987, "normal table; R"},
		{"0.5", "1", ">= 0", 0.691462461274013, "normal table; R"},
	} {
		got, err := gauge.Conformity(testkit.Q(t, c.reading), testkit.Q(t, c.u), testkit.Tol(t, c.limits))
		require.NoError(t, err)
		assert.InDelta(t, c.want, got, 1e-12, c.source)
	}
}

// Guard bands as multiples of U = 2u: least probability that an item accepted
// conforms, one-sided (R 4.2.2; the rows of ILAC-G8:09/2019 "simple, below 50 %
// risk" and "w = U, below 2.5 %" were seen, the others are from memory).
func TestGuardBandsOfTheTrade(t *testing.T) {
	for _, c := range []struct {
		w    string // in units of u
		want float64
	}{
		{"0", 0.5}, {"1", 0.841344746068543}, {"1.66", 0.951542773733277}, {"2", 0.977249868051821}, {"3", 0.99865010196837}, {"6", 0.999999999013412},
	} {
		d, err := gauge.Decide(testkit.Q(t, "1 um"), testkit.Q(t, c.w+" um"), testkit.Tol(t, "<= 0 um"))
		require.NoError(t, err)
		got, err := gauge.Conformity(d.AcceptTo, testkit.Q(t, "1 um"), testkit.Tol(t, "<= 0 um"))
		require.NoError(t, err)
		assert.InDelta(t, c.want, got, 1e-12)
	}
}

func TestGuardFor(t *testing.T) {
	for _, c := range []struct {
		limits string
		p      float64
		want   float64
	}{
		// Two-sided, T/u as given (R 4.2.2, own derivation).
		{"0..3.93 um", 0.95, 1.89324179946237}, {"0..4 um", 0.95, 1.7962127205962}, {"0..4.5 um", 0.95, 1.66768230955316},
		{"0..5 um", 0.95, 1.64876652387888}, {"0..6 um", 0.95, 1.64491811689924}, {"0..8 um", 0.95, 1.64485362796096}, {"0..20 um", 0.95, 1.64485362695128},
		// One-sided: the normal quantile (R 4.2.2).
		{"<= 5 um", 0.8, 0.841621233572914}, {"<= 5 um", 0.9, 1.2815515655446}, {">= 5 um", 0.95, 1.64485362695147},
		{"<= 5 um", 0.975, 1.95996398454005}, {"<= 5 um", 0.99, 2.32634787404084}, {"<= 5 um", 0.999, 3.09023230616781}, {"<= 5 um", 0.5, 0},
	} {
		g, err := gauge.GuardFor(testkit.Q(t, "1 um"), testkit.Tol(t, c.limits), c.p)
		require.NoError(t, err)
		um, _ := quantity.LookupUnit("um")
		assert.InDelta(t, c.want, g.FloatIn(um), 2e-10, c.limits)
		assert.Equal(t, "um", g.Unit().Name())
		assert.False(t, g.Exact())
	}
	// Below T = 3.9199 u nothing can be accepted at 95 % (R).
	_, err := gauge.GuardFor(testkit.Q(t, "1 um"), testkit.Tol(t, "0..3.9199 um"), 0.95)
	assert.ErrorContains(t, err, "nothing can be accepted at 95 %; the tolerance would have to be at least 3.92 times the uncertainty and is 3.92 times")
	_, err = gauge.GuardFor(testkit.Q(t, "1 um"), testkit.Tol(t, "0..3.92 um"), 0.95)
	assert.NoError(t, err)
	for _, p := range []float64{0, 0.4, 1, 2, -1} {
		_, err = gauge.GuardFor(testkit.Q(t, "1 um"), testkit.Tol(t, "0..10 um"), p)
		assert.ErrorContains(t, err, "from 0.5 to under 1")
	}
}

// A public reproduction by a general library: Conformity against the normal
// distribution of gonum, and at the edge of the acceptance zone of GuardFor the
// probability is the one asked for.
func TestConformityAgainstALibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y := rapid.Int64Range(-4000, 4000).Draw(t, "reading")
		u := rapid.Int64Range(100, 2000).Draw(t, "u")
		a := rapid.Int64Range(-3000, 0).Draw(t, "LSL")
		b := rapid.Int64Range(1, 3000).Draw(t, "USL")
		part := limits(t, in(a, 1000000), in(b, 1000000))
		p, err := gauge.Conformity(in(y, 1000000), in(u, 1000000), part)
		require.NoError(t, err)
		n := distuv.Normal{Mu: float64(y), Sigma: float64(u)}
		require.InDelta(t, n.CDF(float64(b))-n.CDF(float64(a)), p, 1e-12)
		mm, err := gauge.Conformity(metric(t, in(y, 1000000)), metric(t, in(u, 1000000)), limits(t, metric(t, part.Lower), metric(t, part.Upper)))
		require.NoError(t, err)
		require.Equal(t, p, mm, "inches and millimetres")

		want := rapid.Float64Range(0.5, 0.999).Draw(t, "p")
		g, err := gauge.GuardFor(in(u, 1000000), part, want)
		if err != nil {
			mid, err := gauge.Conformity(quantity.New(newRat(a+b, 2000000), quantity.Inch), in(u, 1000000), part)
			require.NoError(t, err)
			require.Less(t, mid, want+1e-12, "refused only when not even the middle would do")
			return
		}
		edge, err := part.Lower.Add(g)
		require.NoError(t, err)
		got, err := gauge.Conformity(edge, in(u, 1000000), part)
		require.NoError(t, err)
		require.InDelta(t, want, got, 1e-9)
	})
}

func TestConformityRefusals(t *testing.T) {
	for _, c := range []struct{ reading, u, limits, says string }{
		{"1 in", "0 in", "1 ±0.1 in", "must be above 0"},
		{"1 in", "", "1 ±0.1 in", "must be above 0"},
		{"1 in", "-0.1 in", "1 ±0.1 in", "must be above 0"},
		{"1 in", "0.1 in", "1 in", "has no limits"},
		{"1 deg", "0.1 in", "1 ±0.1 in", "an angle from a length"},
		{"1 in", "0.1 deg", "1 ±0.1 in", "a length with an angle"},
	} {
		_, err := gauge.Conformity(testkit.Q(t, c.reading), testkit.Q(t, c.u), testkit.Tol(t, c.limits))
		assert.ErrorContains(t, err, c.says)
	}
	_, err := gauge.GuardFor(testkit.Q(t, "0 in"), testkit.Tol(t, "1 ±0.1 in"), 0.95)
	assert.ErrorContains(t, err, "must be above 0")
}

// Global risks: a resistor lot (JCGM 106 example, inputs from memory) and a shop
// bore (own); numbers by R 4.2.2.
func TestLotRisks(t *testing.T) {
	for _, c := range []struct {
		mean, sd, u, guard, limits string
		want                       gauge.Risks
	}{
		{"1500", "0.12", "0.04", "0", "1500 ±0.2", gauge.Risks{Nonconforming: 0.0955807045455539, WronglyAccepted: 0.0189422067170218, WronglyRejected: 0.0372078001781355}},
		{"1500", "0.12", "0.04", "0.08", "1500 ±0.2", gauge.Risks{Nonconforming: 0.0955807045455539, WronglyAccepted: 0.000468633598865048, WronglyRejected: 0.247669640201628}},
		{"0.75022 in", "0.00012 in", "0.00005 in", "0 in", "0.7500..0.7505 in", gauge.Risks{Nonconforming: 0.0431918362134754, WronglyAccepted: 0.0105043796020791, WronglyRejected: 0.0282323237778462}},
		{"0.75022 in", "0.00012 in", "0.00005 in", "0.0001 in", "0.7500..0.7505 in", gauge.Risks{Nonconforming: 0.0431918362134754, WronglyAccepted: 0.000274107056310725, WronglyRejected: 0.218150883051093}},
	} {
		got, err := gauge.LotRisks(testkit.Q(t, c.mean), testkit.Q(t, c.sd), testkit.Q(t, c.u), testkit.Q(t, c.guard), testkit.Tol(t, c.limits))
		require.NoError(t, err)
		assert.InDelta(t, c.want.Nonconforming, got.Nonconforming, 1e-9)
		assert.InDelta(t, c.want.WronglyAccepted, got.WronglyAccepted, 1e-9)
		assert.InDelta(t, c.want.WronglyRejected, got.WronglyRejected, 1e-9)
	}
	for _, c := range []struct{ mean, sd, u, guard, limits, says string }{
		{"1 in", "0 in", "0.1 in", "0 in", "1 ±0.1 in", "the spread of the process must be above 0"},
		{"1 in", "0.1 in", "0 in", "0 in", "1 ±0.1 in", "the standard uncertainty must be above 0"},
		{"1 in", "0.1 in", "0.1 in", "-1 in", "1 ±0.1 in", "is below 0"},
		{"1 in", "0.1 in", "0.1 in", "0.11 in", "1 ±0.1 in", "accepts nothing"},
		{"1 in", "0.1 in", "0.1 deg", "0 in", "1 ±0.1 in", "cannot compare"},
		{"1 in", "0.1 in", "0.1 in", "0 in", "1 in", "has no limits"},
	} {
		_, err := gauge.LotRisks(testkit.Q(t, c.mean), testkit.Q(t, c.sd), testkit.Q(t, c.u), testkit.Q(t, c.guard), testkit.Tol(t, c.limits))
		assert.ErrorContains(t, err, c.says)
	}
}

// A wider guard band lets fewer bad parts through and refuses more good ones;
// one-sided risks are those of a far limit; a hopeless process is all bad.
func TestLotRisksProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mean := in(rapid.Int64Range(-300, 300).Draw(t, "mean"), 1000000)
		sd := in(rapid.Int64Range(20, 400).Draw(t, "sd"), 1000000)
		u := in(rapid.Int64Range(1, 400).Draw(t, "u"), 1000000)
		part := limits(t, in(-250, 1000000), in(250, 1000000))
		w := rapid.Int64Range(0, 200).Draw(t, "guard")
		a, err := gauge.LotRisks(mean, sd, u, in(w, 1000000), part)
		require.NoError(t, err)
		b, err := gauge.LotRisks(mean, sd, u, in(w+50, 1000000), part)
		require.NoError(t, err)
		const tiny = 1e-10
		require.LessOrEqual(t, b.WronglyAccepted, a.WronglyAccepted+tiny)
		require.GreaterOrEqual(t, b.WronglyRejected, a.WronglyRejected-tiny)
		require.LessOrEqual(t, a.WronglyAccepted, a.Nonconforming+tiny)
		require.LessOrEqual(t, a.WronglyRejected, 1-a.Nonconforming+tiny)
		// Parts accepted in all, from the sum of both normal spreads.
		all := distuv.Normal{Mu: mean.FloatIn(quantity.Inch), Sigma: 0}
		all.Sigma = math.Hypot(sd.FloatIn(quantity.Inch), u.FloatIn(quantity.Inch))
		accepted := all.CDF(float64(250-w)/1e6) - all.CDF(float64(w-250)/1e6)
		require.InDelta(t, accepted, 1-a.Nonconforming-a.WronglyRejected+a.WronglyAccepted, 1e-9)
		one, err := quantity.WithLimits(in(250, 1000000), quantity.Quantity{}, in(250, 1000000))
		require.NoError(t, err)
		c, err := gauge.LotRisks(mean, sd, u, in(w, 1000000), one)
		require.NoError(t, err)
		far, err := gauge.LotRisks(mean, sd, u, in(w, 1000000), limits(t, in(-900000, 1000000), in(250, 1000000)))
		require.NoError(t, err)
		require.InDelta(t, c.WronglyAccepted, far.WronglyAccepted, 1e-10)
		require.InDelta(t, c.WronglyRejected, far.WronglyRejected, 1e-10)
	})
}
