package study

import (
	"math"

	"tenths/calc/stats"
)

// BelowGauge reports whether the comparison cannot tell because the difference is
// smaller than what the gauge shows. Averages of many readings that vary by more
// than a count do resolve below it, and are judged by their scatter.
func (ev *Evidence) BelowGauge() bool {
	if ev.Effect != CannotTell || ev.Claim == "spread" {
		return false
	}
	if !ev.PerPoint {
		return ev.C.Reason == stats.BelowFloor
	}
	for _, p := range ev.Points {
		if p.C.Reason != stats.BelowFloor {
			return false
		}
	}
	return len(ev.Points) > 0
}

// HalfWidth is half the interval of the difference: a smaller difference does not
// show. It is that of the point where it is largest where each is judged by
// itself; 0 if there is none.
func (ev *Evidence) HalfWidth() float64 {
	if !ev.PerPoint {
		return (ev.C.High - ev.C.Low) / 2
	}
	half := 0.0
	for _, p := range ev.Points {
		half = max(half, (p.C.High-p.C.Low)/2)
	}
	return half
}

// Largest is the largest difference of a comparison: its own, or that of its
// points where each is judged by itself. Count is one count of the gauge.
func (ev *Evidence) Largest() (difference, count float64) {
	difference, count = ev.C.Difference, ev.C.Count
	for _, p := range ev.Points {
		if ev.PerPoint {
			count = max(count, p.C.Count)
			if math.Abs(p.C.Difference) > math.Abs(difference) {
				difference = p.C.Difference
			}
		}
	}
	return difference, count
}

// WorsePoints lists the points that the readings show to have become worse and
// that stand farther from where they should be than a third of the way to the
// limit; without limits, all that became worse.
func (ev *Evidence) WorsePoints() []PointEvidence {
	var out []PointEvidence
	for _, p := range ev.Points {
		mean := p.C.After.Mean
		if ev.Judge == "largest" {
			mean = math.Abs(mean)
		}
		if pct, ok := ev.Percent(mean, false); p.Worse && (!ok || math.Abs(pct) >= 100.0/3) {
			out = append(out, p)
		}
	}
	return out
}
