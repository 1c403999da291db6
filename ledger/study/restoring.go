package study

import (
	"math"

	"tenths/calc/stats"
	"tenths/ledger"
)

// NotBack is one place where the readings after a change was undone are not what
// they were before it. Lengths are in the unit of the evidence.
type NotBack struct {
	Point        string // "" if there is only one
	Before, Then float64
	// Low and High bound what was to be expected: of the difference of the two
	// means, or, where One is set, of the one reading that there is.
	Low, High float64
	One       bool
}

// NotBack compares the readings after a change was undone with those before it.
// Two or more are compared as means. A single one is held to the interval in
// which the next part lies, and to one count of the gauge. Readings that came
// nearer to where they should be are no trouble.
func (ev *Evidence) NotBack() []NotBack {
	if ev.Before == nil || ev.Back == nil || ev.Claim == "spread" {
		return nil
	}
	if !ev.PerPoint {
		return ev.notBack("", ev.Restored, ev.Before.Judged, ev.Back.Judged, ev.farness)
	}
	var out []NotBack
	for _, p := range ev.Points {
		for i, name := range ev.Back.Points {
			if name == p.Point {
				out = append(out, ev.notBack(name, p.Restored, p.Before, ev.Back.Column(i), ev.pointFarness)...)
			}
		}
	}
	return out
}

func (ev *Evidence) notBack(point string, c *stats.Comparison, before, back []float64, far func(float64) float64) []NotBack {
	if len(back) == 1 {
		sum, err := stats.Summarize(before)
		if err != nil {
			return nil
		}
		next, err := stats.Prediction(sum.Mean, sum.SD, sum.N, Confidence)
		if err != nil {
			return nil
		}
		count := ev.sample(ev.Back, nil).Resolution
		low, high := next.Low-count, next.High+count
		if v := back[0]; (v < low || v > high) && far(v) > far(sum.Mean) {
			return []NotBack{{point, sum.Mean, v, low, high, true}}
		}
		return nil
	}
	if c == nil { // there are no readings after
		got, err := stats.Compare(ev.sample(ev.Before, before), ev.sample(ev.Back, back), Confidence)
		if err != nil {
			return nil
		}
		c = &got
	}
	if c.Verdict != stats.Shown || far(c.After.Mean) <= far(c.Before.Mean) {
		return nil
	}
	return []NotBack{{point, c.Before.Mean, c.After.Mean, c.Low, c.High, false}}
}

// BackWithin asks whether the readings after a change was undone are shown to be
// those from before it: closer to them than half of what the change had moved,
// which was known before they were taken (two one-sided tests, see stats.Same).
// The margin is in the unit of the evidence. It is false where the change was not
// shown to have moved anything, for a spread, and where each point is judged by
// itself.
func (ev *Evidence) BackWithin() (margin float64, shown bool) {
	if ev.Before == nil || ev.Back == nil || ev.PerPoint || ev.Claim == "spread" || ev.C.Verdict != stats.Shown {
		return 0, false
	}
	margin = math.Abs(ev.C.Difference) / 2
	same, err := stats.Same(ev.sample(ev.Before, ev.Before.Judged), ev.sample(ev.Back, ev.Back.Judged), margin, Confidence)
	return margin, err == nil && same.Verdict == stats.Shown
}

// StillTried lists the states that began with a change and are in force although
// it was undone: of what it touches, the last one noted on a day from the work
// to the eve of its undoing.
func (s *Set) StillTried(rec *ledger.Record) []Happening {
	ch, ok := rec.Data.(*ledger.Change)
	if !ok || !ch.Done.Set() || !ch.RolledBack.Set() {
		return nil
	}
	w := windowFinder{s: s, self: rec, ch: ch}
	w.From, w.To = dayBefore(ch.Done), s.AsOf
	for _, r := range s.L.Records {
		if !r.Quiet() {
			w.record(r)
		}
	}
	last := map[string]Happening{}
	for _, h := range w.Touched {
		if !h.state || s.over(h.Rec) {
			continue
		}
		for _, path := range h.Paths {
			if was, ok := last[path]; !ok || h.On.T.After(was.On.T) {
				last[path] = h
			}
		}
	}
	var out []Happening
	for _, h := range w.Touched {
		if !h.state || s.over(h.Rec) || !h.On.T.Before(ch.RolledBack.T) {
			continue
		}
		var still []string
		for _, path := range h.Paths {
			if last[path].On.T.Equal(h.On.T) {
				still = append(still, path)
			}
		}
		if h.Paths = still; still != nil {
			out = append(out, h)
		}
	}
	return out
}

// over reports whether a record is a plan that nobody works by any more.
func (s *Set) over(rec *ledger.Record) bool {
	plan, ok := rec.Data.(*ledger.Plan)
	return ok && (plan.State.S == "superseded" || plan.State.S == "obsolete" || plan.Until.Set() && !plan.Until.T.After(s.AsOf))
}
