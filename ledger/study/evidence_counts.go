package study

import (
	"tenths/calc/stats"
	"tenths/ledger"
)

// felt gives the grades by touch, and how many pieces a finger felt anything on.
func felt(touch []ledger.Size) (ledger.Count, []int) {
	out := ledger.Count{Of: len(touch), Span: touch[0].Span}
	var grades []int
	for _, t := range touch {
		if t.Nominal().Sign() > 0 {
			out.Hit++
		}
		grades = append(grades, int(t.Nominal().Float()))
	}
	return out, grades
}

// compareCounts compares counts, and grades by touch. It reports whether that is
// all the evidence there is, since readings with numbers say more.
func (ev *Evidence) compareCounts() bool {
	b, a := ev.Before.Count, ev.After.Count
	if !b.Set() || !a.Set() {
		return false
	}
	r, err := stats.FisherExact(b.Hit, b.Of, a.Hit, a.Of)
	if err != nil {
		return false
	}
	ev.Counts, ev.HasCounts = r, true
	if d, in, err := stats.ShareDifference(b.Hit, b.Of, a.Hit, a.Of, Confidence); err == nil {
		ev.ShareChange, ev.ShareIn = d, in
	}
	if len(ev.Before.Touch) > 0 && len(ev.After.Touch) > 0 {
		if t, err := stats.CompareTouch(ev.Before.Touch, ev.After.Touch, Confidence); err == nil {
			ev.Touch = &t
		}
	}
	if ev.Before.HasNumbers() && ev.After.HasNumbers() {
		return false
	}
	ev.Effect = countEffect(r, b, a)
	if ev.Touch != nil {
		ev.Effect = touchEffect(*ev.Touch)
	}
	return true
}

// countEffect judges counts by the exact test, two-sided, at the level of the
// intervals.
func countEffect(r stats.FisherResult, b, a ledger.Count) Effect {
	if r.TwoSided > 1-Confidence {
		return NotShown
	}
	if float64(a.Hit)/float64(a.Of) < float64(b.Hit)/float64(b.Of) {
		return Better
	}
	return Worse
}

// touchEffect judges grades by touch: lower is better.
func touchEffect(t stats.TouchResult) Effect {
	switch {
	case t.Verdict == stats.CannotTell:
		return TooFew
	case t.Verdict != stats.Shown:
		return NotShown
	case t.Rank.Superior < 0.5:
		return Better
	}
	return Worse
}
