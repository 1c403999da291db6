package examples

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/chart"
	"tenths/calc/stats"
	"tenths/ledger"
	"tenths/ledger/study"
)

// told is what the invented shops' table says of one comparison, to the digit
// that it gives.
type told struct {
	demo, change string
	primary      bool
	state        string
	effect       study.Effect
	unit         string
	n            [2]int
	// difference and its interval: with everything taken in, and from scatter alone
	// where that is told too.
	diff, low, high float64
	scatter         [2]float64
	mean, sd        [2]float64 // before and after; 0: not told
	f, ratio        float64    // larger spread over smaller
	outside         int        // the limit, after
}

// Every change of both shops has the verdict of the table, from the readings in
// its ledger, with the table's intervals. Source: the table was computed apart
// from this code, from readings that are simulated or invented.
func TestEveryChange(t *testing.T) {
	const digit = 0.0501
	sets := map[string]*study.Set{}
	for _, demo := range []string{"focuser", "instruments"} {
		sets[demo] = study.New(load(t, demo), time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC))
	}
	for _, c := range []told{
		{demo: "focuser", change: "CH-01", primary: true, state: "verified effective", effect: study.Better, unit: "tenths", n: [2]int{6, 6}, diff: -5.2, low: -10.1, high: -0.3, mean: [2]float64{13.6, 8.4}, outside: 2},
		{demo: "focuser", change: "CH-02", primary: true, state: "verified effective", effect: study.Better, unit: "tenths", n: [2]int{10, 10}, mean: [2]float64{6.5, 1.9}, sd: [2]float64{2.1, 0.7}},
		{demo: "focuser", change: "CH-02", effect: study.Better, unit: "tenths", n: [2]int{10, 10}, sd: [2]float64{3.5, 1.7}, f: 4.15, ratio: 2.04},
		{demo: "focuser", change: "CH-03", primary: true, state: "rolled back", effect: study.Worse, unit: "tenths", n: [2]int{5, 5}, diff: 8.0, low: 6.8, high: 9.2, outside: 3},
		{demo: "focuser", change: "CH-04", primary: true, state: "verified effective", effect: study.Better, unit: "tenths", n: [2]int{6, 6}, diff: -4.4, low: -7.0, high: -1.9},
		{demo: "focuser", change: "CH-05", primary: true, state: "inconclusive", effect: study.NotShown, unit: "tenths", n: [2]int{4, 4}, diff: -1.2, low: -5.9, high: 3.4, scatter: [2]float64{-4.0, 1.5}},
		{demo: "focuser", change: "CH-06", primary: true, state: "verified effective", effect: study.Better, unit: "tenths", n: [2]int{12, 12}, mean: [2]float64{4.3, 1.2}},
		{demo: "focuser", change: "CH-08", primary: true, state: "verified effective", effect: study.Better, unit: "tenths", n: [2]int{6, 6}, diff: -4.3, low: -5.4, high: -3.3},
		{demo: "focuser", change: "CH-08", effect: study.Better, unit: "uin", n: [2]int{6, 6}, diff: -17.7, low: -22.7, high: -12.6},
		{demo: "instruments", change: "M-01", primary: true, state: "verified effective", effect: study.Better, unit: "um", n: [2]int{5, 5}, diff: -5.4, low: -8.3, high: -2.5},
		{demo: "instruments", change: "M-02", primary: true, state: "rolled back", effect: study.Worse, unit: "um", n: [2]int{5, 5}, mean: [2]float64{4, 15}, outside: 5},
		{demo: "instruments", change: "M-03", primary: true, state: "verified effective", effect: study.Better, unit: "um", n: [2]int{10, 10}, sd: [2]float64{4.1, 1.6}, f: 6.6},
		// The readings show a gain, the record says that it is no one's: oil and
		// clamps came in the same week.
		{demo: "instruments", change: "M-04", primary: true, state: "inconclusive", effect: study.Better, unit: "um", n: [2]int{5, 5}},
		{demo: "instruments", change: "M-05", primary: true, state: "verified effective", effect: study.Better, unit: "mm", n: [2]int{6, 6}},
	} {
		name := c.change
		if !c.primary {
			name += ", also"
		}
		t.Run(name, func(t *testing.T) {
			s := sets[c.demo]
			rec := s.L.Record(c.change)
			require.NotNil(t, rec)
			ev := measured(t, s, rec, c.primary)
			if c.primary {
				assert.Equal(t, c.state, rec.Data.(*ledger.Change).State.S)
			}
			assert.Equal(t, c.effect, ev.Effect)
			assert.Equal(t, c.unit, ev.Unit.Name())
			assert.Equal(t, c.n, [2]int{ev.Before.N(), ev.After.N()})
			if c.diff != 0 {
				assert.InDelta(t, c.diff, ev.C.Difference, digit)
				assert.InDelta(t, c.low, ev.C.Low, digit)
				assert.InDelta(t, c.high, ev.C.High, digit)
			}
			if c.scatter != [2]float64{} {
				assert.InDelta(t, c.scatter[0], ev.C.Sampling.Low, digit)
				assert.InDelta(t, c.scatter[1], ev.C.Sampling.High, digit)
			}
			for i, got := range []stats.Summary{ev.C.Before, ev.C.After} {
				if c.mean[i] != 0 {
					assert.InDelta(t, c.mean[i], got.Mean, digit)
				}
				if c.sd[i] != 0 {
					assert.InDelta(t, c.sd[i], got.SD, digit)
				}
			}
			if c.f != 0 {
				assert.InDelta(t, c.f, 1/ev.Spread.F.Ratio, 0.1)
				assert.InDelta(t, 4.03, 1/ev.Spread.F.CriticalLow, 0.005, "ten and ten")
			}
			if c.ratio != 0 {
				assert.InDelta(t, c.ratio, 1/ev.Spread.SDRatio, 0.005)
			}
			assert.Equal(t, c.outside, ev.OutsideLimits)
		})
	}
}

// measured is a comparison of a change that has numbers: its own, or the first
// under also.
func measured(t *testing.T, s *study.Set, rec *ledger.Record, primary bool) *study.Evidence {
	t.Helper()
	for _, ev := range s.Evidence(rec) {
		if ev.Primary == primary && (primary || !ev.HasCounts) {
			require.Empty(t, ev.Problem)
			return ev
		}
	}
	require.Fail(t, "no such comparison")
	return nil
}

// The rest of the table: the points of CH-01, both roll-backs, the counts, the
// prediction, the drift of CH-06, what four and four can see, the survey of
// CH-07.
func TestTheRestOfTheTable(t *testing.T) {
	const digit = 0.0501
	s := study.New(load(t, "focuser"), time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC))
	of := func(id string) *study.Evidence { return measured(t, s, s.L.Record(id), true) }

	ev := of("CH-01")
	want := []struct {
		point           string
		diff, low, high float64
	}{{"K1", 3.5, -.7, 7.7}, {"K2", 10.5, 6.2, 14.8}, {"K3", -8.0, -13.3, -2.7}, {"K4", -2.0, -5.2, 1.2}, {"K5", 9.3, 3.2, 15.5}, {"K6", -8.2, -14.6, -1.9}}
	require.Len(t, ev.Points, len(want))
	for i, w := range want {
		p := ev.Points[i]
		assert.Equal(t, w.point, p.Point)
		assert.InDelta(t, w.diff, p.C.Difference, digit)
		assert.InDelta(t, w.low, p.C.Low, digit)
		assert.InDelta(t, w.high, p.C.High, digit)
		assert.Equal(t, w.point == "K5", p.Worse)
	}
	assert.NotZero(t, ev.OutsideGoal, "goal 5 not met")
	p := ev.Predicted()
	require.NotNil(t, p)
	assert.InDelta(t, -6.2, p.Value, digit)
	assert.Equal(t, study.Agrees, p.Agreement)

	back := of("CH-03").Restored
	require.NotNil(t, back)
	assert.InDelta(t, 0.0, back.Difference, digit)
	assert.InDelta(t, -0.9, back.Sampling.Low, digit)
	assert.InDelta(t, 1.0, back.Sampling.High, digit)
	assert.NotEqual(t, stats.Shown, back.Verdict)

	var seat *study.Evidence
	for _, e := range s.Evidence(s.L.Record("CH-04")) {
		if e.HasCounts {
			seat = e
		}
	}
	require.NotNil(t, seat)
	assert.Equal(t, study.NotShown, seat.Effect)
	assert.InDelta(t, 0.23, seat.Counts.TwoSided, 0.005)
	assert.Equal(t, 2, seat.CountsNeeded(), "6 of 40 and 0 of 40 would do")
	f, err := stats.FisherExact(6, 40, 0, 40)
	require.NoError(t, err)
	assert.InDelta(t, 0.03, f.TwoSided, 0.005)

	r := s.Reach(of("CH-05"))
	assert.InDelta(t, 1.5, r.SD, 0.1)
	sees, err := stats.SmallestShift(4, 1.5, stats.UsualPower)
	require.NoError(t, err)
	assert.InDelta(t, 3.6, sees, digit, "four and four at s about 1.5")

	// Drift by count: .083 ±.012 a part before, .111 ±.041 after.
	wear := of("CH-06")
	for i, g := range []*study.Group{wear.Before, wear.After} {
		var counts []float64
		for _, row := range g.Rows {
			counts = append(counts, row.At.Nominal().Float())
		}
		d, err := chart.NewDrift(counts, g.Judged, 0, 0.95)
		require.NoError(t, err)
		slope, half := [2]float64{.083, .111}[i], [2]float64{.012, .041}[i]
		assert.InDelta(t, slope, d.Slope, 0.00051)
		assert.InDelta(t, half, (d.SlopeHigh-d.SlopeLow)/2, 0.00051)
	}

	ch7 := s.L.Record("CH-07").Data.(*ledger.Change)
	assert.Equal(t, "verified effective", ch7.State.S)
	assert.True(t, ch7.Criterion.Set(), "judged by the survey of its pins")

	// Instruments: the feed went back, and the holes that the lacquer closed.
	m := study.New(load(t, "instruments"), time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC))
	restored := measured(t, m, m.L.Record("M-02"), true).Restored
	require.NotNil(t, restored)
	assert.NotEqual(t, stats.Shown, restored.Verdict)
	lacquer := measured(t, m, m.L.Record("M-05"), true)
	size := func(v float64) float64 { return lacquer.Base.FloatIn(lacquer.Unit) + v }
	assert.InDelta(t, 3.996, size(lacquer.C.Before.Mean), 0.0005)
	assert.InDelta(t, 4.004, size(lacquer.C.After.Mean), 0.0005)
	assert.False(t, math.IsNaN(lacquer.C.Low))
}
