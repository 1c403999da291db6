package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/stats"
	"tenths/ledger"
	"tenths/ledger/study"
)

// evidenceOf lays out what a study of evidence found.
func evidenceOf(s *study.Set, ev *study.Evidence, private bool) Evidence {
	e := Evidence{Primary: ev.Primary, Claim: ev.Claim, Effect: string(ev.Effect), Note: line(ev.Note), Points: []Point{}, ev: ev}
	e.Measured = Measured{Datum: []string{}, Points: []string{}, Because: []string{}}
	if ev.Char == nil {
		e.Verdict = sentence(ev.Problem)
		e.Takes = "Name the characteristic and the readings before and after (keys characteristic, before, after)."
		return e
	}
	e.Path = ev.CharRec.ID() + "/" + ev.Char.ID.S
	e.Title = line(orWord(ev.Char.Title.S, ev.Char.ID.S))
	e.Unit = ev.Unit.Name()
	e.From = ev.Base
	e.Judged = judgedWords(ev)
	e.Limits, e.Goal = boundsOf(ev, ev.Char.Limits), boundsOf(ev, ev.Char.Goal)
	e.Before, e.After = groupOf(ev, ev.Before, ev.C.Before), groupOf(ev, ev.After, ev.C.After)
	if ev.Back != nil {
		var sum stats.Summary
		if ev.Restored != nil {
			sum = ev.Restored.After
		}
		e.Restored = groupOf(ev, ev.Back, sum)
	}
	e.Measured = measuredOf(ev, private)
	measured := ev.C.Before.N > 0 && ev.C.After.N > 0
	if measured {
		e.Difference = differenceOf(ev, ev.C)
		e.OutsideLimits = countOutside(ev.Limits, ev.OutsideLimits)
		e.OutsideGoal = countOutside(ev.Goal, ev.OutsideGoal)
	}
	if ev.Restored != nil {
		e.Back = differenceOf(ev, *ev.Restored)
	}
	if measured && ev.Claim == "spread" {
		e.Spread = spreadOf(ev)
	}
	if ev.HasCounts {
		e.Counts = countsOf(ev)
	}
	for _, p := range ev.Points {
		e.Points = append(e.Points, Point{
			Point: p.Point, Before: ev.Shown(p.C.Before.Mean), After: ev.Shown(p.C.After.Mean),
			Change: *differenceOf(ev, p.C), Verdict: string(p.C.Verdict), Worse: p.Worse,
		})
	}
	e.Verdict = verdictOf(ev, &e)
	e.Takes = takes(s, ev, &e)
	return e
}

func sentence(s string) string {
	if s == "" {
		return ""
	}
	return upper(s) + "."
}

func countOutside(bounds [2]float64, n int) *int {
	if math.IsNaN(bounds[0]) && math.IsNaN(bounds[1]) {
		return nil
	}
	return &n
}

// judgedWords says in words what of a piece is judged.
func judgedWords(ev *study.Evidence) string {
	var points []string
	for _, g := range []*study.Group{ev.Before, ev.After} {
		if g != nil {
			points = g.Points
			break
		}
	}
	switch {
	case len(points) == 0 || len(points) == 1 && points[0] == "":
		return "each reading"
	case len(points) == 1:
		return "at " + points[0]
	case ev.Judge == "largest":
		return fmt.Sprintf("largest of %d points", len(points))
	}
	return fmt.Sprintf("mean of %d points", len(points))
}

func boundsOf(ev *study.Evidence, s ledger.Size) Bounds {
	lower, upper := ev.Bounds(s)
	return Bounds{lower, upper, size(s)}
}

func groupOf(ev *study.Evidence, g *study.Group, sum stats.Summary) *Group {
	if g == nil {
		return nil
	}
	out := &Group{Inspection: g.Rec.ID(), On: g.In.On.String(), Points: slices.Clone(g.Points), Pieces: []Piece{}, N: sum.N, LeftOut: g.Void}
	if len(out.Points) == 1 && out.Points[0] == "" {
		out.Points = []string{}
	}
	if g.Count.Set() {
		out.Count = fmt.Sprintf("%d of %d", g.Count.Hit, g.Count.Of)
		out.Counted = line(g.In.Counts.S)
	}
	next := 0
	for i, row := range g.Rows {
		p := Piece{Piece: line(row.Piece.S), Readings: []quantity.Quantity{}}
		found := false
		for j, c := range g.Cols {
			var q quantity.Quantity
			if c < len(row.Values) {
				q = row.Values[c].Nominal()
			}
			p.Readings = append(p.Readings, q)
			found = found || !math.IsNaN(g.Pieces[i][j])
		}
		if found && next < len(g.Judged) {
			p.Judged = ev.Shown(g.Judged[next])
			next++
		}
		out.Pieces = append(out.Pieces, p)
	}
	if sum.N > 0 {
		out.Mean = ev.Shown(sum.Mean)
	}
	if sum.N > 1 {
		out.SD = ev.Shown(sum.SD)
	}
	return out
}

func differenceOf(ev *study.Evidence, c stats.Comparison) *Difference {
	d := &Difference{Value: ev.Shown(c.Difference), Confidence: c.Conf}
	d.Text = number(d.Value)
	if c.HasInterval {
		d.Low, d.High = ev.Shown(c.Low), ev.Shown(c.High)
		d.Text += " (" + number(d.Low) + " … " + number(d.High) + ")"
	}
	return d
}

func spreadOf(ev *study.Evidence) *Spread {
	c := ev.Spread
	out := &Spread{Before: ev.Shown(c.Before.SD), After: ev.Shown(c.After.SD), ShownFrom: round2(ev.RatioFrom())}
	out.Text = fmt.Sprintf("s %s → %s%s", number(out.Before), number(out.After), unitWord(ev.Unit.Name()))
	if c.HasF && c.After.SD > 0 {
		out.Ratio = round2(known(1 / c.SDRatio))
		out.F, out.Critical = c.F.Ratio, c.F.CriticalHigh
		if out.F < 1 {
			out.F, out.Critical = 1/c.F.Ratio, 1/c.F.CriticalLow
		}
		out.F, out.Critical = round2(known(out.F)), round2(known(out.Critical))
		out.Text += fmt.Sprintf(", ratio %.2f (F %.2f, shown above %.2f)", out.Ratio, out.F, out.Critical)
	}
	return out
}

// round2 keeps two decimals: a ratio of spreads deserves no more.
func round2(v float64) float64 { return math.Round(v*100) / 100 }

func countsOf(ev *study.Evidence) *Counts {
	b, a := ev.Before.Count, ev.After.Count
	c := &Counts{What: line(ev.Before.In.Counts.S), Before: fmt.Sprintf("%d of %d", b.Hit, b.Of), After: fmt.Sprintf("%d of %d", a.Hit, a.Of), P: math.Round(ev.Counts.TwoSided*1e4) / 1e4}
	c.Text = fmt.Sprintf("%s → %s, exact test p %s", c.Before, c.After, pText(ev.Counts.TwoSided))
	return c
}

func pText(p float64) string {
	switch {
	case p < 0.001:
		return "under 0.001"
	case p < 0.1:
		return fmt.Sprintf("= %.3f", p)
	}
	return fmt.Sprintf("= %.2f", p)
}

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
	}
	var text string
	switch {
	case e.Difference == nil && e.Counts != nil:
		return fmt.Sprintf("%s: %s: %s.", head, e.Counts.Text, e.Effect)
	case e.Spread != nil:
		text = fmt.Sprintf("%s: %s, %s: %s", head, e.Spread.Text, n, e.Effect)
	case e.Difference != nil:
		text = fmt.Sprintf("%s: %s → %s%s%s, change %s, %s: %s", head, number(e.Before.Mean), number(e.After.Mean), unitWord(e.Unit), e.fromWords(), withConfidence(e.Difference), n, e.Effect)
	default:
		return head + ": " + e.Effect + "."
	}
	if ev.Claim == "level" {
		text += boundClause("limit", e.limitWords(e.Limits), e.OutsideLimits, e.After.N)
		text += boundClause("goal", e.limitWords(e.Goal), e.OutsideGoal, e.After.N)
	}
	if e.Counts != nil {
		text += "; " + orWord(e.Counts.What, "counted") + " " + e.Counts.Text
	}
	if e.Back != nil && e.Restored != nil {
		text += fmt.Sprintf("; after it was undone %s%s, %s against before: %s", number(e.Restored.Mean), unitWord(e.Unit), e.Back.Text, restoredWords(ev.Restored.Verdict))
	}
	return text + "."
}

// fromWords says what the numbers are counted from, unless that is zero.
func (e *Evidence) fromWords() string {
	if e.From.IsZeroValue() || e.From.Sign() == 0 {
		return ""
	}
	return " from " + e.From.String()
}

// restoredWords says whether going back brought the old state back.
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

func boundClause(what, words string, outside *int, n int) string {
	switch {
	case words == "" || outside == nil:
		return ""
	case *outside == 0:
		return fmt.Sprintf("; %s %s: all %d inside", what, words, n)
	}
	return fmt.Sprintf("; %s %s: %d of %d outside", what, words, *outside, n)
}

// takes says what it would take to tell, where the readings do not.
func takes(s *study.Set, ev *study.Evidence, e *Evidence) string {
	if ev.Effect == study.Better || ev.Effect == study.Worse {
		return ""
	}
	if e.Difference == nil && e.Counts != nil {
		if k := ev.CountsNeeded(); k > 1 {
			return fmt.Sprintf("The same shares would be shown by %d + %d.", k*ev.Before.Count.Of, k*ev.After.Count.Of)
		}
		return ""
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
		if from := ev.RatioFrom(); from > 0 {
			return fmt.Sprintf("%d + %d pieces show a ratio of spreads from %.2f on.", ev.Spread.Before.N, ev.Spread.After.N, from)
		}
		return "A spread takes at least two readings on each side; ten and ten are common practice."
	}
	return reachWords(ev, s.Reach(ev))
}

func reachWords(ev *study.Evidence, r study.Reach) string {
	show := func(v float64) string { return ev.Shown(v).String() }
	if r.SD == 0 {
		return "Five and more consecutive pieces on each side are common practice; how many are needed follows from their spread."
	}
	text := "The spread from piece to piece is s " + show(r.SD)
	if r.From != nil {
		var ids []string
		for _, rec := range r.From {
			ids = append(ids, rec.ID())
		}
		text += " (from " + strings.Join(ids, ", ") + ")"
	}
	if r.Sees > 0 {
		text += fmt.Sprintf("; %d + %d pieces show only shifts of %s or more, four times in five", r.N, r.N, show(r.Sees))
	}
	if r.Want > 0 {
		what := "a shift as found, " + show(r.Want)
		if r.Predicted {
			what = "the predicted " + show(r.Want)
		}
		if r.Need > 0 {
			text += fmt.Sprintf("; to show %s takes %d + %d", what, r.Need, r.Need)
		} else {
			text += "; to show " + what + " would take more than 200 on each side"
		}
	}
	return text + "."
}
