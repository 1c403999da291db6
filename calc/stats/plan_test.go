package stats

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// The smallest shift has its power, by the noncentral t distribution of a
// general library; the textbook's short form is near it.
func TestSmallestShiftHasItsPower(t *testing.T) {
	for _, n := range []int{2, 3, 4, 5, 6, 8, 10, 15, 20, 40, 60} {
		shift, err := SmallestShift(n, 3, UsualPower)
		require.NoError(t, err)
		df := float64(2*n - 2)
		crit := tFactor(0.95, df)
		d := distuv.NoncentralT{Nu: df, Mu: shift / 3 * math.Sqrt(float64(n)/2)}
		assert.InDelta(t, 0.80, 1-d.CDF(crit)+d.CDF(-crit), 1e-8, "n = %d", n)
		short := 3 * (crit + studentsT(df).Quantile(0.80)) * math.Sqrt(2/float64(n))
		tolerance := 0.002
		if n < 5 {
			tolerance = 0.055
		}
		assert.InDelta(t, 1, short/shift, tolerance, "n = %d", n)
	}
}

// Cohen's table: to show 0.2, 0.5 and 0.8 standard deviations with power 80 %,
// two-sided at 5 %, takes 394, 64 and 26 on each side (J. Cohen, Statistical
// Power Analysis, 2nd ed. 1988; from memory).
func TestPartsNeeded(t *testing.T) {
	for shift, want := range map[float64]int{0.2: 394, 0.5: 64, 0.8: 26} {
		n, err := PartsNeeded(shift*7, 7, 0.80, 0.95, 1000)
		require.NoError(t, err)
		assert.Equal(t, want, n, "%g sd", shift)
		p, err := Power(shift, 1, n-1, n-1, 0.95)
		require.NoError(t, err)
		assert.Less(t, p, 0.80, "it is the smallest")
	}
	for _, n := range []int{2, 3, 7, 20} {
		shift, err := SmallestShift(n, 1, UsualPower)
		require.NoError(t, err)
		got, err := PartsNeeded(shift, 1, 0.80, 0.95, 200)
		require.NoError(t, err)
		assert.Equal(t, n, got, "there and back")
	}
	n, err := PartsNeeded(0.01, 1, 0.8, 0.95, 200)
	require.NoError(t, err)
	assert.Zero(t, n, "more than anyone would make")
	p, err := Power(0, 1, 5, 5, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, 0.05, p, 1e-9, "without a change, the false alarms are left")
	p, err = Power(1e9, 1, 5, 5, 0.95)
	require.NoError(t, err)
	assert.Equal(t, 1.0, p)
}

// Pairs: Cohen's 34 pairs for half a standard deviation of the differences
// (from memory), and gonum's noncentral t.
func TestPairPower(t *testing.T) {
	n, err := Pairs.PartsNeeded(0.5, 1, 0.80, 0.95, 1000)
	require.NoError(t, err)
	assert.Equal(t, 34, n)
	for _, n := range []int{2, 3, 5, 8, 20} {
		shift, err := Pairs.SmallestShift(n, 2, 0.80)
		require.NoError(t, err)
		df := float64(n - 1)
		crit := tFactor(0.95, df)
		d := distuv.NoncentralT{Nu: df, Mu: shift / 2 * math.Sqrt(float64(n))}
		assert.InDelta(t, 0.80, 1-d.CDF(crit)+d.CDF(-crit), 1e-7, "n = %d", n)
	}
	_, err = PairPower(1, 1, 1, 0.95)
	assert.ErrorIs(t, err, ErrTooFew)
}

// Power against a simulation with a fixed seed.
func TestPowerSimulated(t *testing.T) {
	rng := rand.New(rand.NewSource(12))
	const trials = 4000
	shown := 0
	for range trials {
		b, a := make([]float64, 5), make([]float64, 5)
		for i := range b {
			b[i] = rng.NormFloat64()
		}
		for i := range a {
			a[i] = 2 + rng.NormFloat64()
		}
		w, err := Welch(b, a, 0.95)
		require.NoError(t, err)
		if w.P < 0.05 {
			shown++
		}
	}
	p, err := Power(2, 1, 5, 5, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, p, float64(shown)/trials, 0.04, "Welch loses a little")
}

// The power of the exact test against going through every pair of counts.
func TestCountPower(t *testing.T) {
	for _, c := range []struct {
		before, after float64
		nb, na        int
	}{{0.3, 0.05, 20, 20}, {0.5, 0.1, 12, 17}, {0.15, 0, 40, 40}, {1, 0.2, 6, 5}} {
		want := 0.0
		pb, pa := distuv.Binomial{N: float64(c.nb), P: c.before}, distuv.Binomial{N: float64(c.na), P: c.after}
		prob := func(d distuv.Binomial, k int) float64 {
			switch { // gonum's logarithms give NaN at a share of 0 or 1
			case d.P == 0 || d.P == 1:
				if float64(k) == d.N*d.P {
					return 1
				}
				return 0
			}
			return d.Prob(float64(k))
		}
		for i := range c.nb + 1 {
			for j := range c.na + 1 {
				f, err := FisherExact(i, c.nb, j, c.na)
				require.NoError(t, err)
				if f.TwoSided <= 0.05 {
					want += prob(pb, i) * prob(pa, j)
				}
			}
		}
		got, err := CountPower(c.before, c.after, c.nb, c.na, 0.95)
		require.NoError(t, err)
		assert.InDelta(t, want, got, 1e-9, "%+v", c)
	}
	n, err := CountPartsNeeded(0.30, 0.05, 0.80, 0.95, 500)
	require.NoError(t, err)
	for k := range 10 {
		p, err := CountPower(0.30, 0.05, n+k, n+k, 0.95)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, p, 0.80)
	}
	p, err := CountPower(0.30, 0.05, n-1, n-1, 0.95)
	require.NoError(t, err)
	assert.Less(t, p, 0.80)
	n, err = CountPartsNeeded(0.30, 0.29, 0.80, 0.95, 100)
	require.NoError(t, err)
	assert.Zero(t, n)
}

// Sources: R. G. Newcombe, Statistics in Medicine 17 (1998) 857 and 873, worked
// examples (printed values from memory).
func TestNewcombe(t *testing.T) {
	for _, c := range []struct {
		hit, n                   int
		wilsonLow, wilsonHigh    float64
		exactLow, exactHigh, tol float64
	}{
		{81, 263, 0.2553, 0.3662, 0.2527, 0.3676, 6e-5},
		{15, 148, 0.0624, 0.1605, 0.0578, 0.1617, 6e-5},
		{0, 20, 0, 0.1611, 0, 0.1684, 6e-5},
		{1, 29, 0.0061, 0.1718, 0.0009, 0.1776, 6e-5},
	} {
		s, err := CountShare(c.hit, c.n, 0.95)
		require.NoError(t, err)
		assert.InDelta(t, c.wilsonLow, s.Wilson.Low, c.tol, "%d of %d", c.hit, c.n)
		assert.InDelta(t, c.wilsonHigh, s.Wilson.High, c.tol)
		assert.InDelta(t, c.exactLow, s.Exact.Low, c.tol)
		assert.InDelta(t, c.exactHigh, s.Exact.High, c.tol)
	}
	for _, c := range []struct {
		x1, n1, x2, n2 int
		low, high      float64
	}{
		{56, 70, 48, 80, 0.0524, 0.3339},
		{9, 10, 3, 10, 0.1705, 0.8090},
		{6, 7, 2, 7, 0.0582, 0.8062},
		{5, 56, 0, 29, -0.0381, 0.1926},
		{0, 10, 0, 20, -0.1611, 0.2775},
		{0, 10, 0, 10, -0.2775, 0.2775},
		{10, 10, 0, 20, 0.6791, 1},
		{10, 10, 0, 10, 0.6075, 1},
	} {
		d, in, err := ShareDifference(c.x2, c.n2, c.x1, c.n1, 0.95)
		require.NoError(t, err)
		assert.InDelta(t, float64(c.x1)/float64(c.n1)-float64(c.x2)/float64(c.n2), d, 1e-12)
		assert.InDelta(t, c.low, in.Low, 6e-5, "%+v", c)
		assert.InDelta(t, c.high, in.High, 6e-5, "%+v", c)
	}
	// "None bad" is the one-sided end; the two-sided exact one is higher.
	s, err := CountShare(0, 30, 0.90)
	require.NoError(t, err)
	none, err := NoneBad(30, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, none, s.Exact.High, 1e-12)
	all, err := CountShare(20, 20, 0.95)
	require.NoError(t, err)
	assert.Equal(t, 1.0, all.Exact.High)
	assert.InDelta(t, 1-0.1684, all.Exact.Low, 6e-5)
}

// Nine of ten blind calls right happen by chance in 11 of 1024 cases.
func TestByChance(t *testing.T) {
	p, err := ByChance(9, 10, 0.5)
	require.NoError(t, err)
	assert.InDelta(t, 11.0/1024, p, 1e-12)
	p, err = ByChance(0, 10, 0.5)
	require.NoError(t, err)
	assert.Equal(t, 1.0, p)
	p, err = ByChance(10, 10, 0.25)
	require.NoError(t, err)
	assert.InDelta(t, math.Pow(0.25, 10), p, 1e-15)
}

// With looks planned, at most five in a hundred unchanged processes are called
// changed, however often one looks (simulation, fixed seed); looking four times
// without a plan would be wrong more often.
func TestLooks(t *testing.T) {
	rng := rand.New(rand.NewSource(4))
	const trials, looks = 1200, 4
	planned, unplanned := 0, 0
	for range trials {
		var b, a Sample
		b.Resolution, a.Resolution = 0.1, 0.1
		wrong, early := false, false
		for look := 1; look <= looks; look++ {
			for range 3 {
				b.Values = append(b.Values, math.Round(10*rng.NormFloat64())/10)
				a.Values = append(a.Values, math.Round(10*rng.NormFloat64())/10)
			}
			r, err := Look(b, a, look, looks, 0, 0.95)
			require.NoError(t, err)
			wrong = wrong || r.Decision == StopShown
			early = early || r.Whole.Verdict == Shown
			assert.Equal(t, look == looks && r.Decision != StopShown, r.Decision == EndNotShown)
		}
		if wrong {
			planned++
		}
		if early {
			unplanned++
		}
	}
	assert.LessOrEqual(t, float64(planned)/trials, 0.05)
	assert.Greater(t, float64(unplanned)/trials, 0.08)

	s := func(v ...float64) Sample { return Sample{Values: v, Resolution: 1} }
	for _, c := range []struct {
		name  string
		b, a  Sample
		look  int
		want  float64
		doing Decision
	}{
		{"clear at once", s(1, 3, 2, 4), s(21, 23, 22, 24), 1, 0, StopShown},
		{"too early", s(1, 3, 2, 4), s(4, 5, 3, 6), 1, 4, GoOn},
		{"too early, last look", s(1, 3, 2, 4), s(4, 5, 3, 6), 3, 4, EndNotShown},
		{"never as much as wanted", s(1, 3, 2, 4), s(2, 3, 1, 4), 1, 40, StopRuledOut},
		{"the gauge is too coarse", s(1, 1, 1, 1), s(1, 1, 1, 1), 1, 0.5, StopGauge},
		{"one reading", s(1), s(2), 1, 5, GoOn},
	} {
		r, err := Look(c.b, c.a, c.look, 3, c.want, 0.95)
		require.NoError(t, err)
		assert.Equal(t, c.doing, r.Decision, c.name)
		assert.InDelta(t, 1-0.05/3, r.Level, 1e-12)
	}
}

// Two one-sided tests: shown exactly where both one-sided probabilities are at
// most 5 %.
func TestSame(t *testing.T) {
	b := Sample{Values: []float64{10, 12, 11, 13, 12, 10, 14}, Resolution: 0.1}
	a := Sample{Values: []float64{11, 12, 12, 13, 11, 10, 13}, Resolution: 0.1}
	w, err := Welch(b.Values, a.Values, 0.95)
	require.NoError(t, err)
	for margin := 0.05; margin < 4; margin += 0.05 {
		r, err := Same(b, a, margin, 0.95)
		require.NoError(t, err)
		d := distuv.StudentsT{Sigma: 1, Nu: w.DF}
		upper := d.CDF((w.Difference - margin) / w.U)
		lower := 1 - d.CDF((w.Difference+margin)/w.U)
		assert.Equal(t, max(upper, lower) <= 0.05, r.Verdict == Shown, "margin %g", margin)
	}
	s := func(g string, u float64, v ...float64) Sample {
		return Sample{Values: v, Resolution: 1, U: u, Gauge: g}
	}
	for _, c := range []struct {
		name    string
		b, a    Sample
		margin  float64
		verdict Verdict
		reason  Reason
	}{
		{"a coarse gauge, a fine margin", s("a", 0, 3, 3, 3, 3), s("a", 0, 3, 3, 3, 3), 0.5, CannotTell, BelowFloor},
		{"a coarse gauge, two counts", s("a", 0, 3, 3, 3, 3), s("a", 0, 3, 3, 3, 3), 2, Shown, WithinMargin},
		{"few readings say little", s("a", 0, 3, 8, 5), s("a", 0, 4, 9, 6), 2, NotShown, BeyondMargin},
		{"one reading", s("a", 0, 3), s("a", 0, 3, 4), 2, CannotTell, TooFew},
		{"another gauge", s("a", 0, 3, 8, 5), s("b", 0, 4, 9, 6), 50, CannotTell, GaugeUnknown},
		{"another gauge, known", s("a", 1, 3, 8, 5), s("b", 1, 4, 9, 6), 50, Shown, WithinMargin},
	} {
		r, err := Same(c.b, c.a, c.margin, 0.95)
		require.NoError(t, err)
		assert.Equal(t, c.verdict, r.Verdict, c.name)
		assert.Equal(t, c.reason, r.Reason, c.name)
	}
}

// Touch: 3 of 20 felt, then none, is no proof; eight of ten is.
func TestTouch(t *testing.T) {
	grades := func(zero, one, two int) (out []int) {
		for i, n := range []int{zero, one, two} {
			for range n {
				out = append(out, i)
			}
		}
		return out
	}
	for _, c := range []struct {
		before, after []int
		verdict       Verdict
		reason        Reason
	}{
		{grades(17, 2, 1), grades(20, 0, 0), NotShown, IncludesZero},
		{grades(2, 5, 3), grades(9, 1, 0), Shown, ExcludesZero},
		{grades(0, 0, 3), grades(3, 0, 0), CannotTell, TooFew},
		{grades(5, 5, 5), grades(5, 5, 5), NotShown, IncludesZero},
		// The share felt is the same, yet no nail is caught any more.
		{grades(0, 0, 10), grades(0, 10, 0), Shown, ExcludesZero},
	} {
		r, err := CompareTouch(c.before, c.after, 0.95)
		require.NoError(t, err)
		assert.Equal(t, c.verdict, r.Verdict)
		assert.Equal(t, c.reason, r.Reason)
	}
	// With two grades the rank test conditional on ties is Fisher's test of the
	// two margins, one-sided.
	r, err := CompareTouch(grades(17, 3, 0), grades(20, 0, 0), 0.95)
	require.NoError(t, err)
	f, err := FisherExact(3, 20, 0, 20)
	require.NoError(t, err)
	assert.InDelta(t, f.Fewer, r.Rank.Less, 1e-12)
	assert.InDelta(t, f.TwoSided, r.Rank.P, 1e-12)
	assert.InDelta(t, -0.15, r.Felt, 1e-12)
}

// Normal parts read to a count: the fit finds their spread again, and it lies at
// the top of the likelihood.
func TestFitRounded(t *testing.T) {
	rng := rand.New(rand.NewSource(9))
	x := make([]float64, 4000)
	for i := range x {
		x[i] = math.Round((7.3 + 0.45*rng.NormFloat64())) * 0.0001
	}
	f, err := FitRounded(x, 0.0001)
	require.NoError(t, err)
	assert.InDelta(t, 7.3e-4, f.Mean, 3*f.SEMean)
	assert.InDelta(t, 0.45e-4, f.SD, 3*f.SESD)
	assert.InDelta(t, 1, f.SEMean/(0.45e-4/math.Sqrt(4000)), 0.35, "rounding costs some information")

	l := func(mean, sd float64, cells map[float64]float64) float64 {
		sum := 0.0
		d := distuv.Normal{Mu: mean, Sigma: sd}
		for at, n := range cells {
			sum += n * math.Log(d.CDF(at+0.5)-d.CDF(at-0.5))
		}
		return sum
	}
	cells := map[float64]float64{1: 2, 2: 5, 4: 1}
	f, err = FitRounded([]float64{1, 2, 2, 4, 2, 1, 2, 2}, 1)
	require.NoError(t, err)
	top := l(f.Mean, f.SD, cells)
	for _, d := range [][2]float64{{.02, 0}, {-.02, 0}, {0, .02}, {0, -.02}, {.02, .02}} {
		assert.Less(t, l(f.Mean+d[0], f.SD+d[1], cells), top)
	}
	for _, x := range [][]float64{{3, 3, 3}, {3, 4, 3, 4}, {3}, {0.1, 0.2, 0.1}} {
		step := 1.0
		if x[0] < 1 {
			step = 0.1
		}
		_, err := FitRounded(x, step)
		assert.ErrorIs(t, err, ErrNotIdentified, "%v", x)
	}
	_, err = FitRounded([]float64{3, 5, 3}, 1)
	assert.NoError(t, err, "two counts with one between them")
}

// Readings that are all equal have the spread of rounding, not none.
func TestLeastSpread(t *testing.T) {
	for _, c := range []struct {
		sd, count, use float64
		hidden         bool
	}{{0, 1, 1 / math.Sqrt(12), true}, {0.5, 1, 0.5, true}, {0.7, 1, 0.7, false}, {0.01, 0.1, 0.1 / math.Sqrt(12), true}, {0, 0, 0, false}} {
		use, hidden := LeastSpread(c.sd, c.count)
		assert.InDelta(t, c.use, use, 1e-15)
		assert.Equal(t, c.hidden, hidden)
	}
}

// What rounding does to the mean and the spread, worked out from the normal
// distribution itself, is what MinSpreadCounts and the README's table rest on.
// Source of the table: R 4.2.2.
func TestMinSpreadCounts(t *testing.T) {
	var file struct {
		Rows []struct {
			Sigma float64 `json:"sigma_over_R"`
			Bias  float64 `json:"max_abs_bias_of_mean_over_R"`
			Min   float64 `json:"sd_obs_min"`
			Max   float64 `json:"sd_obs_max"`
		} `json:"quantisation"`
	}
	load(t, "real_and_edge_cases.json", &file)
	require.NotEmpty(t, file.Rows)
	for _, r := range file.Rows {
		bias, low, high := 0.0, math.Inf(1), 0.0
		for phase := 0; phase <= 400; phase++ {
			mu := float64(phase)/400 - 0.5
			d := distuv.Normal{Mu: mu, Sigma: r.Sigma}
			var m, q float64
			for k := -30.0; k <= 30; k++ {
				p := d.CDF(k+0.5) - d.CDF(k-0.5)
				m, q = m+k*p, q+k*k*p
			}
			bias = max(bias, math.Abs(m-mu))
			sd := math.Sqrt(max(0, q-m*m))
			low, high = min(low, sd), max(high, sd)
		}
		assert.InDelta(t, r.Bias, bias, 2e-3*r.Bias+1e-9, "sigma %g", r.Sigma)
		assert.InDelta(t, r.Min, low, 1e-3)
		assert.InDelta(t, r.Max, high, 1e-3)
		if low >= MinSpreadCounts {
			assert.Less(t, bias, 0.0003)
		}
		if r.Sigma >= 0.2 {
			assert.InDelta(t, math.Exp(-2*math.Pi*math.Pi*r.Sigma*r.Sigma)/math.Pi, bias, 0.01*bias+1e-9)
		}
		if sheppard, ok := Sheppard((low+high)/2, 1); ok {
			assert.InDelta(t, r.Sigma, sheppard, 0.002*r.Sigma)
		}
	}
}
