package report

import (
	"fmt"
	"strings"

	"tenths/calc/stats"
	"tenths/ledger/study"
)

// verdictOf is the one sentence with numbers.
func verdictOf(ev *study.Evidence, e *Evidence) string {
	head := e.Title
	if e.Judged != "each reading" {
		head += ", " + e.Judged
	}
	if ev.Problem != "" {
		return head + ": " + ev.Problem + "."
	}
	n := ""
	if e.Before != nil && e.After != nil {
		n = fmt.Sprintf("%d + %d %s", e.Before.N, e.After.N, plural(2, "piece"))
		if ev.Paired && ev.Claim == "level" {
			n = pairWords(ev, e)
		}
	}
	var text string
	switch {
	case ev.PerPoint && (e.Before.N > 0 && e.After.N > 0 || e.Counts == nil):
		text = fmt.Sprintf("%s: %s; %s: %s", head, e.pointWords(), n, e.Effect)
	case e.Difference == nil && e.Counts != nil:
		return fmt.Sprintf("%s: %s: %s%s.", head, e.Counts.Text, e.Effect, e.doubtClause())
	case e.Spread != nil:
		text = fmt.Sprintf("%s: %s, %s: %s", head, e.Spread.Text, n, e.Effect)
	case e.Difference != nil:
		text = fmt.Sprintf("%s: %s → %s%s%s, change %s, %s: %s", head, number(e.Before.Mean), number(e.After.Mean), unitWord(e.Unit), e.fromWords(), withConfidence(e.Difference), n, e.Effect)
	default:
		return head + ": " + e.Effect + "."
	}
	if ev.Claim == "level" {
		what := ""
		if ev.PerPoint {
			what = " readings"
		}
		text += boundClause("limit", e.limitWords(e.Limits), what, e.Before.OutsideLimits, e.Before.Judged, e.After.OutsideLimits, e.After.Judged)
		text += boundClause("goal", e.limitWords(e.Goal), what, e.Before.OutsideGoal, e.Before.Judged, e.After.OutsideGoal, e.After.Judged)
	}
	if e.Counts != nil {
		text += "; " + orWord(e.Counts.What, "counted") + " " + e.Counts.Text
	}
	if e.Back != nil && e.Restored != nil {
		text += fmt.Sprintf("; after it was undone %s%s, %s against before: %s", number(e.Restored.Mean), unitWord(e.Unit), e.Back.Text, restored(ev))
	}
	text += e.undoneWords() + e.doubtClause()
	return text + "."
}

// pairWords says how many pieces were measured twice.
func pairWords(ev *study.Evidence, e *Evidence) string {
	pairs := (e.Before.N + e.After.N - ev.Unpaired) / 2
	text := fmt.Sprintf("the same %d %s before and after", pairs, plural(pairs, "piece"))
	if ev.Unpaired > 0 {
		text += fmt.Sprintf(" (%d measured only once left out)", ev.Unpaired)
	}
	return text
}

// pointWords says at which points the readings show what; the numbers of those
// that changed stand beside them.
func (e *Evidence) pointWords() string {
	var words []string
	at := map[string][]string{}
	for _, p := range e.Points {
		word := p.word(true)
		if !contains(words, word) {
			words = append(words, word)
		}
		name := p.Point
		switch {
		case p.Spread != nil && p.Verdict == string(stats.Shown):
			name += fmt.Sprintf(" (s %s → %s%s)", number(p.Spread.Before), number(p.Spread.After), unitWord(e.Unit))
		case p.Verdict == string(stats.Shown):
			name += fmt.Sprintf(" (%s → %s%s)", number(p.Before), number(p.After), unitWord(e.Unit))
		}
		at[word] = append(at[word], name)
	}
	var parts []string
	for _, w := range words {
		parts = append(parts, strings.TrimPrefix(w, "▲ ")+" at "+strings.Join(at[w], ", "))
	}
	return strings.Join(parts, "; ")
}

// undoneWords says, where each point is judged by itself, whether going back
// brought the old state back.
func (e *Evidence) undoneWords() string {
	if e.ev == nil || !e.ev.PerPoint || e.Restored == nil {
		return ""
	}
	var changed []string
	for _, p := range e.ev.Points {
		if p.Restored != nil && p.Restored.Verdict == stats.Shown {
			changed = append(changed, p.Point)
		}
	}
	if changed == nil {
		return "; after it was undone: no difference shown against before at any point"
	}
	return "; after it was undone: not as before at " + strings.Join(changed, ", ")
}

// doubtClause says which readings are in doubt, and what is left without them.
func (e *Evidence) doubtClause() string {
	if e.Doubt == "" {
		return ""
	}
	return "; in doubt: " + e.Doubt + "; without them: " + e.WithoutDoubt
}

// fromWords says what the numbers are counted from, unless that is zero.
func (e *Evidence) fromWords() string {
	if e.From.IsZeroValue() || e.From.Sign() == 0 {
		return ""
	}
	return " from " + e.From.String()
}

// restored says whether going back brought the old state back. That nothing is
// shown to differ is not that: what was moved must be back by more than half.
func restored(ev *study.Evidence) string {
	if _, within := ev.BackWithin(); within && ev.Restored.Verdict != stats.Shown {
		return "restored, to within half of what the change had moved"
	}
	return restoredWords(ev.Restored.Verdict)
}

// restoredWords says what the readings before and those after it was undone show
// of each other.
func restoredWords(v stats.Verdict) string {
	switch v {
	case stats.Shown:
		return "not as before"
	case stats.CannotTell:
		return "no difference that this gauge can tell"
	}
	return "no difference shown"
}

func withConfidence(d *Difference) string {
	if d.Low.IsZeroValue() {
		return number(d.Value)
	}
	return fmt.Sprintf("%s (%.0f %% %s … %s)", number(d.Value), d.Confidence*100, number(d.Low), number(d.High))
}

// limitWords writes two bounds shortly: 10 if the largest is judged, ±10 about
// zero, else both ends.
func (e *Evidence) limitWords(b Bounds) string {
	lo, hi := number(b.Lower), number(b.Upper)
	switch {
	case lo == "" && hi == "":
		return ""
	case e.largest() && hi != "":
		return hi
	case lo == "":
		return hi + " at most"
	case hi == "":
		return lo + " at least"
	case lo == "-"+hi:
		return "±" + hi
	}
	return lo + " … " + hi
}

// boundClause says how many lay outside before and after.
func boundClause(bound, words, what string, before *int, nb int, after *int, na int) string {
	if words == "" || before == nil || after == nil {
		return ""
	}
	count := func(outside, n int) string {
		if outside == 0 {
			return fmt.Sprintf("all %d%s inside", n, what)
		}
		return fmt.Sprintf("%d of %d%s outside", outside, n, what)
	}
	return fmt.Sprintf("; %s %s: before %s, after %s", bound, words, count(*before, nb), count(*after, na))
}

// takes says what it would take to tell, where the readings do not.
func takes(s *study.Set, ev *study.Evidence, e *Evidence) string {
	if ev.Effect == study.Better || ev.Effect == study.Worse {
		return ""
	}
	if e.Difference == nil && e.Counts != nil {
		if k := ev.CountsNeeded(); k > 1 {
			return fmt.Sprintf("The same shares would be shown by %d + %d: %d more before and %d more after.", k*ev.Before.Count.Of, k*ev.After.Count.Of, (k-1)*ev.Before.Count.Of, (k-1)*ev.After.Count.Of)
		}
		return ""
	}
	if ev.PerPoint && ev.Problem == "" {
		return pointsTake(s, ev)
	}
	reason := ev.C.Reason
	if ev.Claim == "spread" {
		reason = ev.Spread.Reason
	}
	switch reason {
	case stats.BelowFloor:
		return fmt.Sprintf("A gauge with a finer count is needed: at %s the readings vary less than the gauge can show, and more of them do not help.", ev.Shown(ev.C.Count))
	case stats.GaugeChanged:
		return "Both groups on one gauge would show it: another gauge brings its own error in."
	case stats.GaugeUnknown:
		return "The gauge changed and the uncertainty of one is not stated: state both (key uncertainty), or measure both groups on one gauge."
	case stats.NoSpread:
		return "All readings are equal and no resolution is stated: state that of the gauge (key resolution)."
	}
	if ev.Claim == "spread" {
		if from := study.RatioFrom(ev.Spread); from > 0 {
			return fmt.Sprintf("%d + %d pieces show a ratio of spreads from %.2f on.", ev.Spread.Before.N, ev.Spread.After.N, from)
		}
		return "A spread takes at least two readings on each side; ten and ten are common practice."
	}
	return reachWords(ev, s.Reach(ev))
}

// pointsTake says what it would take where each point is judged by itself.
func pointsTake(s *study.Set, ev *study.Evidence) string {
	for _, p := range ev.Points {
		if p.C.Reason == stats.BelowFloor && ev.Effect == study.CannotTell {
			return fmt.Sprintf("A gauge with a finer count is needed: at %s the readings vary less than the gauge can show, and more of them do not help.", ev.Shown(p.C.Count))
		}
	}
	text := fmt.Sprintf("With %d points, each is held to %.1f %%, so that one that stands out by chance proves nothing", len(ev.Points), 100-5/float64(len(ev.Points)))
	if r := s.Reach(ev); r.SD > 0 {
		text += "; the spread from piece to piece at one point is s " + ev.Shown(r.SD).String()
	}
	return text + ". A point that the change was meant for can be named beforehand (key points); it is then judged alone."
}

func reachWords(ev *study.Evidence, r study.Reach) string {
	show := func(v float64) string { return ev.Shown(v).String() }
	if r.SD == 0 {
		return "Five and more consecutive pieces on each side are common practice; how many are needed follows from their spread."
	}
	text := "The spread from piece to piece is s " + show(r.SD)
	pieces := func(n int) string { return fmt.Sprintf("%d + %d", n, n) }
	if r.Plan == stats.Pairs {
		text = "The spread of the differences is s " + show(r.SD)
		pieces = func(n int) string { return fmt.Sprintf("%d pairs of", n) }
	}
	if r.From != nil {
		var ids []string
		for _, rec := range r.From {
			ids = append(ids, rec.ID())
		}
		text += " (from " + strings.Join(ids, ", ") + ")"
	}
	if r.Sees > 0 {
		text += fmt.Sprintf("; %s pieces show only shifts of %s or more, four times in five", pieces(r.N), show(r.Sees))
	}
	if r.Want > 0 {
		what := "a shift as found, " + show(r.Want)
		if r.Predicted {
			what = "the predicted " + show(r.Want)
		}
		if r.Need > 0 {
			text += fmt.Sprintf("; to show %s takes %s", what, strings.TrimSuffix(pieces(r.Need), " of"))
			text += moreWords(r)
		} else {
			text += "; to show " + what + " would take more than 200 on each side"
		}
	}
	return text + "."
}

// moreWords says how many parts are still missing.
func moreWords(r study.Reach) string {
	more := r.Need - r.N
	switch {
	case r.N == 0 || more <= 0:
		return ""
	case r.Plan == stats.Pairs:
		return fmt.Sprintf(", %d more", more)
	}
	return fmt.Sprintf(", %d more on each side", more)
}
