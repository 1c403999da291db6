package study

import (
	"math"

	"tenths/calc/stats"
	"tenths/ledger"
)

// Track says how good the predictions of a number of changes have been.
type Track struct {
	// Made are the predictions with an interval that were written before the
	// readings after and have a result; Held are those of them whose interval
	// holds what was found.
	Made, Held int
	// Share is the interval, 95 %, in which the true share of predictions that
	// hold can lie, from so few or so many cases; set if Made is.
	Share stats.Range
	// Error is the mean distance of what was found from what was predicted, over
	// the half-width on that side. Right intervals of 95 % give 0.41 for normal
	// errors: √(2/π)/1.96.
	Error float64
	// Late were written or computed again after the readings, or on no known day,
	// NoInterval give no interval, and Open have no result that they can be held
	// against. They do not count.
	Late, NoInterval, Open int
	Missed                 []*ledger.Record // whose interval does not hold the result
}

// Track gathers the predictions of changes, those that stand in the records.
func (s *Set) Track(changes []*ledger.Record) Track {
	var t Track
	var sum float64
	n := 0
	for _, rec := range changes {
		for _, ev := range s.Evidence(rec) {
			p := ev.Predicted()
			if p == nil {
				continue
			}
			switch {
			case p.Agreement != Agrees && p.Agreement != Contradict:
				t.Open++
				continue
			case !p.HasInterval:
				t.NoInterval++
				continue
			case !p.On.Set() || ev.After == nil || !ev.After.In.On.Set() || !p.On.T.Before(ev.After.Day()) || ev.again() || s.PredictionLate(rec) != nil:
				t.Late++
				continue
			}
			t.Made++
			half := p.High - p.Value
			if p.Found < p.Value {
				half = p.Value - p.Low
			}
			if p.Found >= p.Low && p.Found <= p.High {
				t.Held++
			} else {
				t.Missed = append(t.Missed, rec)
			}
			if half > 0 {
				sum += math.Abs(p.Found-p.Value) / half
				n++
			}
		}
	}
	if n > 0 {
		t.Error = sum / float64(n)
	}
	if t.Made > 0 {
		t.Share, _ = stats.Proportion(t.Held, t.Made, Confidence)
	}
	return t
}

// again reports whether the change says that its prediction was computed again
// when the result was known.
func (ev *Evidence) again() bool {
	ch, ok := ev.Change.Data.(*ledger.Change)
	return ok && ch.Recomputed.Set()
}
