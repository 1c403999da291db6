package stats

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type edgeCase struct {
	Before, After []float64
	Welch         struct {
		T, DF, P float64
		CI       [2]float64
	}
	FRatio float64 `json:"F_ratio"`
}

// Source: what R 4.2.2 does in these cases; see the README beside the file.
func TestEdgeCases(t *testing.T) {
	var file struct {
		Edge struct {
			OneConstant edgeCase `json:"one_constant"`
			N2          edgeCase
			Both        struct{ Before, After []float64 } `json:"both_constant"`
			Identical   struct{ Before, After []float64 }
			Big         struct{ X []string } `json:"big_offset"`
		}
	}
	load(t, "real_and_edge_cases.json", &file)
	e := file.Edge

	for _, c := range []edgeCase{e.OneConstant, e.N2} {
		w, err := Welch(c.Before, c.After, 0.95)
		require.NoError(t, err)
		near(t, c.Welch.T, w.T, 1e-12, "t")
		near(t, c.Welch.DF, w.DF, 1e-12, "df")
		near(t, c.Welch.P, w.P, 1e-9, "p")
		near(t, c.Welch.CI[0], w.Low, 1e-8, "low")
		near(t, c.Welch.CI[1], w.High, 1e-8, "high")
	}
	f, err := FRatio(e.OneConstant.Before, e.OneConstant.After, 0.95)
	require.NoError(t, err)
	assert.Equal(t, FResult{DFAfter: 3, DFBefore: 4, CriticalLow: f.CriticalLow, CriticalHigh: f.CriticalHigh}, f)
	_, err = FRatio(e.OneConstant.After, e.OneConstant.Before, 0.95)
	assert.ErrorIs(t, err, ErrNoSpread)

	_, err = Welch(e.Both.Before, e.Both.After, 0.95)
	assert.ErrorIs(t, err, ErrNoSpread)

	same, err := Welch(e.Identical.Before, e.Identical.After, 0.95)
	require.NoError(t, err)
	assert.Equal(t, 1.0, same.P)

	var big []float64
	for _, s := range e.Big.X {
		x, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		big = append(big, x)
	}
	s, err := Summarize(big)
	require.NoError(t, err)
	assert.InDelta(t, 0.0001, s.SD, 1e-12) // one-pass would give 0.00010006
}

func TestCompareEdges(t *testing.T) {
	count := func(g string, xs ...float64) Sample { return Sample{Values: xs, Resolution: 1, Gauge: g} }
	with := func(s Sample, res, u float64) Sample { s.Resolution, s.U = res, u; return s }
	for _, c := range []struct {
		name          string
		before, after Sample
		verdict       Verdict
		reason        Reason
		cause         FloorCause
	}{
		{"one reading", count("a", 1), count("a", 1, 2, 3), CannotTell, TooFew, ""},
		{"no reading", count("a"), count("a", 1, 2, 3), CannotTell, TooFew, ""},
		{"both constant, two counts apart", count("a", 3, 3, 3, 3, 3), count("a", 5, 5, 5, 5), Shown, ExcludesZero, FloorBoth},
		{"both constant and equal", count("a", 3, 3, 3), count("a", 3, 3, 3), CannotTell, BelowFloor, FloorBoth},
		{"both constant, half a count apart", count("a", 3, 3, 3), count("a", 3.5, 3.5, 3.5), CannotTell, BelowFloor, FloorBoth},
		{"both constant, no resolution", with(count("a", 3, 3), 0, 0), with(count("a", 5, 5), 0, 0), CannotTell, NoSpread, FloorNoResolution},
		{"both constant, one resolution", count("a", 3, 3), with(count("a", 5, 5), 0, 0), CannotTell, NoSpread, FloorBefore},
		{"one constant", count("a", 2, 4, 3, 5, 3), count("a", 5, 5, 5, 5), Shown, ExcludesZero, FloorAfter},
		{"two against two", count("a", 1, 3), count("a", 6, 7), NotShown, IncludesZero, FloorNotNeeded},
		{"before too even, after wide", count("a", 4, 4, 4, 4), count("a", 1, 9, 2, 10), NotShown, IncludesZero, FloorBefore},
		{"too even to tell, not significant", count("a", 4, 4, 5, 4), count("a", 4, 5, 5, 4), CannotTell, BelowFloor, FloorBoth},
		{"clear", count("a", 1, 3, 2, 4), count("a", 11, 13, 12, 14), Shown, ExcludesZero, FloorNotNeeded},
		{"no resolution stated", with(count("a", 1, 3, 2, 4), 0, 0), with(count("a", 11, 13, 12, 14), 0, 0), Shown, ExcludesZero, FloorNoResolution},
		{"another gauge, small doubt", with(count("a", 1, 3, 2, 4), 1, 2), with(count("b", 11, 13, 12, 14), 1, 2), Shown, ExcludesZero, FloorNotNeeded},
		{"another gauge, large doubt", with(count("a", 1, 3, 2, 4), 1, 9), with(count("b", 11, 13, 12, 14), 1, 2), CannotTell, GaugeChanged, FloorNotNeeded},
		{"another gauge, constant, large doubt", with(count("a", 3, 3), 1, 9), with(count("b", 5, 5), 1, 9), CannotTell, GaugeChanged, FloorBoth},
		{"another gauge, unknown", with(count("a", 1, 3, 2, 4), 1, 2), count("b", 11, 13, 12, 14), CannotTell, GaugeUnknown, FloorNotNeeded},
		{"another gauge, nothing seen", with(count("a", 1, 3, 2, 4), 1, 1), with(count("b", 2, 3, 2, 5), 1, 1), NotShown, IncludesZero, FloorNotNeeded},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := Compare(c.before, c.after, 0.95)
			require.NoError(t, err)
			assert.Equal(t, c.verdict, r.Verdict)
			assert.Equal(t, c.reason, r.Reason)
			assert.Equal(t, c.cause, r.Floor.Cause)
			assert.Equal(t, c.reason != TooFew && c.reason != NoSpread, r.HasInterval)
			if r.Verdict == Shown {
				assert.Positive(t, r.Low*r.High, "the interval leaves 0 outside")
			}
			if c.reason == IncludesZero || c.reason == BelowFloor || c.reason == GaugeChanged {
				assert.LessOrEqual(t, r.Low, 0.0)
				assert.GreaterOrEqual(t, r.High, 0.0)
			}
		})
	}
	r, err := Compare(count("a", 3, 3, 3), count("a", 5, 5, 5, 5), 0.95)
	require.NoError(t, err)
	assert.InDelta(t, 2/math.Sqrt(6), r.Floor.Limit, 1e-12, "0.816 count")
	assert.InDelta(t, 2-2/math.Sqrt(6), r.Low, 1e-12)
	assert.False(t, r.HasSampling)

	// A same gauge's calibration error cancels: U does not widen.
	r, err = Compare(with(count("a", 1, 3, 2, 4), 1, 9), with(count("a", 11, 13, 12, 14), 1, 9), 0.95)
	require.NoError(t, err)
	assert.Zero(t, r.UGauge)
	assert.Equal(t, r.Sampling.Low, r.Low)
}

func TestCompareSpreadEdges(t *testing.T) {
	s := func(res float64, g string, xs ...float64) Sample {
		return Sample{Values: xs, Resolution: res, Gauge: g}
	}
	wide := []float64{1, 20, 5, 33, 12, 44, 8, 27}
	even := []float64{10, 12, 11, 13, 10, 12, 11, 12}
	for _, c := range []struct {
		name          string
		before, after Sample
		verdict       Verdict
		reason        Reason
		hasF          bool
	}{
		{"shrunk", s(1, "a", wide...), s(1, "a", even...), Shown, ExcludesZero, true},
		{"grown", s(1, "a", even...), s(1, "a", wide...), Shown, ExcludesZero, true},
		{"shrunk on another gauge", s(1, "a", wide...), s(1, "b", even...), CannotTell, GaugeChanged, true},
		{"the same", s(1, "a", wide...), s(1, "a", wide...), NotShown, IncludesZero, true},
		{"coarse gauge", s(5, "a", wide...), s(5, "a", even...), CannotTell, BelowFloor, true},
		{"one reading", s(1, "a", wide...), s(1, "a", 3), CannotTell, TooFew, false},
		{"constant after, no resolution", s(0, "a", wide...), s(0, "a", 3, 3, 3), CannotTell, NoSpread, true},
		{"constant before, no resolution", s(0, "a", 3, 3, 3), s(0, "a", wide...), CannotTell, NoSpread, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := CompareSpread(c.before, c.after, 0.95)
			require.NoError(t, err)
			assert.Equal(t, c.verdict, r.Verdict)
			assert.Equal(t, c.reason, r.Reason)
			assert.Equal(t, c.hasF, r.HasF)
		})
	}
}

func TestErrors(t *testing.T) {
	ok := []float64{1, 2, 3}
	good := Sample{Values: ok, Resolution: 1}
	for _, c := range []struct {
		name string
		do   func() error
		says string
	}{
		{"nothing", func() error { _, err := Summarize(nil); return err }, "no readings"},
		{"not a number", func() error { _, err := Summarize([]float64{1, math.NaN()}); return err }, "reading 2"},
		{"infinite", func() error { _, err := Welch(ok, []float64{1, math.Inf(1)}, .95); return err }, "after: reading 2"},
		{"huge", func() error { _, err := Welch([]float64{1e200, 1}, ok, .95); return err }, "before: reading 1"},
		{"few", func() error { _, err := Welch(ok, ok[:1], .95); return err }, "3 before and 1 after"},
		{"few F", func() error { _, err := FRatio(ok[:1], ok, .95); return err }, "1 before"},
		{"conf", func() error { _, err := Welch(ok, ok, 95); return err }, "between 0 and 1"},
		{"conf F", func() error { _, err := FRatio(ok, ok, math.NaN()); return err }, "between 0 and 1"},
		{"compare conf", func() error { _, err := Compare(good, good, 1); return err }, "between 0 and 1"},
		{"compare resolution", func() error { _, err := Compare(Sample{Resolution: -1}, good, .95); return err }, "before: the resolution"},
		{"compare U", func() error { _, err := Compare(good, Sample{U: math.NaN()}, .95); return err }, "after: the gauge uncertainty"},
		{"compare value", func() error { _, err := Compare(good, Sample{Values: []float64{math.NaN()}}, .95); return err }, "after: reading 1"},
		{"spread conf", func() error { _, err := CompareSpread(good, good, 0); return err }, "between 0 and 1"},
		{"spread before", func() error { _, err := CompareSpread(Sample{U: -1}, good, .95); return err }, "before: the gauge"},
		{"spread after", func() error { _, err := CompareSpread(good, Sample{Resolution: math.Inf(1)}, .95); return err }, "after: the resolution"},
		{"shift n", func() error { _, err := SmallestShift(1, 1, UsualPower); return err }, "n is 1"},
		{"shift s", func() error { _, err := SmallestShift(5, -1, UsualPower); return err }, "standard deviation"},
		{"prediction conf", func() error { _, err := Prediction(0, 1, 5, 2); return err }, "between 0 and 1"},
		{"prediction n", func() error { _, err := Prediction(0, 1, 1, .95); return err }, "at least two"},
		{"prediction s", func() error { _, err := Prediction(0, math.NaN(), 5, .95); return err }, "standard deviation"},
		{"prediction mean", func() error { _, err := Prediction(math.NaN(), 1, 5, .95); return err }, "the mean"},
		{"none bad n", func() error { _, err := NoneBad(0, .95); return err }, "at least one part"},
		{"none bad conf", func() error { _, err := NoneBad(5, -1); return err }, "between 0 and 1"},
		{"fisher none", func() error { _, err := FisherExact(0, 0, 0, 5); return err }, "before: at least one"},
		{"fisher bad", func() error { _, err := FisherExact(0, 5, 6, 5); return err }, "after: 6 bad of 5"},
		{"fisher negative", func() error { _, err := FisherExact(-1, 5, 1, 5); return err }, "not possible"},
		{"fisher many", func() error { _, err := FisherExact(0, MaxParts+1, 0, 5); return err }, "more than"},
		{"pairs", func() error { _, err := ComparePaired(good, Sample{Values: ok[:2]}, .95); return err }, "there are 3 and 2"},
		{"pairs few", func() error { _, err := Paired(ok[:1], ok[:1], .95); return err }, "1 before and 1 after"},
		{"signed ranks", func() error { _, _, err := SignedRank(ok, ok[:2]); return err }, "there are 3 and 2"},
		{"signed ranks many", func() error { x := make([]float64, 501); _, _, err := SignedRank(x, x); return err }, "501 pairs"},
		{"ranks", func() error { _, err := RankSum(nil, ok); return err }, "before: there are no readings"},
		{"Levene one", func() error { _, err := LeveneMedian(ok); return err }, "there are 1"},
		{"Levene few", func() error { _, err := LeveneMedian(ok, ok[:1]); return err }, "group 2"},
		{"Levene value", func() error { _, err := LeveneMedian(ok, []float64{1, math.NaN()}); return err }, "group 2: reading 2"},
		{"permutation", func() error { _, err := Permutation(ok, ok[:1], 0); return err }, "1 after"},
		{"bootstrap", func() error { _, err := Bootstrap(ok, ok, 0, 1); return err }, "between 0 and 1"},
		{"share", func() error { _, err := CountShare(3, 2, .95); return err }, "3 bad of 2"},
		{"share conf", func() error { _, err := CountShare(1, 2, 95); return err }, "between 0 and 1"},
		{"difference", func() error { _, _, err := ShareDifference(1, 2, 3, 2, .95); return err }, "after: 3 bad of 2"},
		{"calls", func() error { _, err := ByChance(3, 5, 1); return err }, "for example 0.5"},
		{"touch", func() error { _, err := CompareTouch([]int{0, 3}, []int{0}, .95); return err }, "before: reading 2, 3, is no grade"},
		{"touch none", func() error { _, err := CompareTouch(nil, []int{0}, .95); return err }, "before: there are no readings"},
		{"factor", func() error { _, err := ToleranceFactor(1, .9, .95); return err }, "at least two"},
		{"factor share", func() error { _, err := ToleranceFactorOneSided(5, 90, .95); return err }, "share 90"},
		{"extremes", func() error { _, err := PartsForExtremes(.9999999, .95, false); return err }, "more than"},
		{"no limits", func() error { _, err := CapabilityOf(0, 1, 5, 4, math.NaN(), math.NaN(), .95); return err }, "needs limits"},
		{"limits", func() error { _, err := CapabilityOf(0, 1, 5, 4, 2, 1, .95); return err }, "not below the upper"},
		{"capability spread", func() error { _, err := CapabilityOf(0, 0, 5, 4, 0, 1, .95); return err }, "do not vary"},
		{"capability mean", func() error { _, err := CapabilityOf(math.NaN(), 1, 5, 4, 0, 1, .95); return err }, "the mean"},
		{"capability few", func() error { _, err := CapabilityOf(0, 1, 1, 0, 0, 1, .95); return err }, "1 parts"},
		{"subgroups", func() error { _, _, err := WithinSubgroups([][]float64{{1}, {2}}); return err }, "no subgroup has two"},
		{"mean interval", func() error { _, err := Summary{N: 1}.MeanIn(.95); return err }, "at least two readings are needed"},
		{"spread interval", func() error { _, err := Summary{N: 1}.SDIn(.95); return err }, "at least two readings are needed"},
		{"power n", func() error { _, err := Power(1, 1, 1, 5, .95); return err }, "1 before and 5 after"},
		{"power spread", func() error { _, err := Power(1, 0, 5, 5, .95); return err }, "do not vary"},
		{"needed shift", func() error { _, err := PartsNeeded(0, 1, .8, .95, 9); return err }, "a change of 0"},
		{"needed power", func() error { _, err := PartsNeeded(1, 1, 80, .95, 9); return err }, "power 80"},
		{"count power", func() error { _, err := CountPower(2, 0, 5, 5, .95); return err }, "between 0 and 1"},
		{"count power n", func() error { _, err := CountPower(.5, 0, 5, 5000, .95); return err }, "from 1 to 2000"},
		{"count needed", func() error { _, err := CountPartsNeeded(.5, .5, .8, .95, 9); return err }, "two equal shares"},
		{"margin", func() error { _, err := Same(good, good, 0, .95); return err }, "must be above 0"},
		{"margin conf", func() error { _, err := Same(good, good, 1, .5); return err }, "between 0.5 and 1"},
		{"looks", func() error { _, err := Look(good, good, 4, 3, 0, .95); return err }, "look 4 is not one"},
		{"no looks", func() error { _, err := Look(good, good, 1, 0, 0, .95); return err }, "plan from 1"},
		{"want", func() error { _, err := Look(good, good, 1, 3, -1, .95); return err }, "0 or more"},
		{"rounded count", func() error { _, err := FitRounded(ok, 0); return err }, "must be above 0"},
	} {
		assert.ErrorContains(t, c.do(), c.says, c.name)
	}
}
