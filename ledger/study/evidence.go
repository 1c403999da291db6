package study

import (
	"math"

	"tenths/calc/quantity"
	"tenths/calc/stats"
	"tenths/ledger"
)

// Confidence is the level of every interval that is shown.
const Confidence = 0.95

// Effect says what came out of a comparison.
type Effect string

// The effects.
const (
	Better     Effect = "shown better"
	Worse      Effect = "shown worse"
	NotShown   Effect = "not shown"
	CannotTell Effect = "this gauge cannot tell"
	TooFew     Effect = "too few readings to tell"
	Missing    Effect = "readings are missing"
)

// Evidence is the before and after of one characteristic of a change.
type Evidence struct {
	Change  *ledger.Record
	Primary bool
	CharRec *ledger.Record
	Char    *ledger.Characteristic // as of the day of the after readings
	Claim   string                 // level or spread
	Note    string
	Unit    quantity.Unit
	Base    quantity.Quantity // what the numbers are counted from
	Judge   string            // each, largest
	Target  float64           // where the readings should be, in Unit from Base
	Before  *Group
	After   *Group
	// PerPoint is set where each of several points is judged by itself. Then no
	// number stands for a piece: C, Spread and Judged of the groups are empty,
	// and Points holds the comparisons.
	PerPoint bool
	C        stats.Comparison
	Spread   stats.SpreadComparison
	Points   []PointEvidence
	// Restored compares the readings before with those after the change was
	// undone; nil if there are none.
	Restored *stats.Comparison
	Back     *Group
	Effect   Effect
	// Limits and Goal are the bounds in Unit from Base; NaN where there is none.
	Limits, Goal [2]float64
	// OutsideLimits and OutsideGoal count what is judged after the change:
	// pieces, or readings where each point is judged by itself.
	OutsideLimits, OutsideGoal int
	// WithoutDoubt is the effect that is left without the readings in doubt;
	// empty if none are.
	WithoutDoubt Effect
	// Paired is set where the record says that the same pieces were measured
	// before and after; Unpaired is how many pieces then stay out of the
	// comparison, because they were measured only once.
	Paired   bool
	Unpaired int
	// Counts is the exact test of counted evidence, ShareChange the share after
	// less that before with its interval. Touch is set for readings by touch on
	// both sides, and then decides.
	Counts      stats.FisherResult
	ShareChange float64
	ShareIn     stats.Interval
	HasCounts   bool
	Touch       *stats.TouchResult
	// Problem says why there is no comparison.
	Problem string
}

// Evidence computes the comparisons of a change: its own first, then those
// under also. It is nil if the record is no change.
func (s *Set) Evidence(rec *ledger.Record) []*Evidence {
	ch, ok := rec.Data.(*ledger.Change)
	if !ok {
		return nil
	}
	return s.evidence.get(rec, func() []*Evidence {
		var out []*Evidence
		if ch.Characteristic.Set() || ch.Before.Set() || ch.After.Set() {
			out = append(out, s.computeEvidence(rec, true, ch.Characteristic, ch.Points, ch.Claim.S, ch.Before, ch.After, ch.Restored, ch.Paired, ""))
		}
		for _, e := range ch.Also {
			out = append(out, s.computeEvidence(rec, false, e.Characteristic, e.Points, e.Claim.S, e.Before, e.After, ledger.Ref{}, e.Paired, e.Note.S))
		}
		return out
	})
}

func (s *Set) computeEvidence(rec *ledger.Record, primary bool, char ledger.Ref, points []ledger.Text, claim string, before, after, back ledger.Ref, paired ledger.Flag, note string) *Evidence {
	ev := &Evidence{Change: rec, Primary: primary, Claim: claim, Note: note, Paired: paired.B, Effect: Missing}
	ev.Limits, ev.Goal = none(), none()
	if ev.Claim == "" {
		ev.Claim = "level"
	}
	b, bIn := s.inspection(before)
	a, aIn := s.inspection(after)
	day := s.AsOf
	for _, in := range []*ledger.Inspection{bIn, aIn} {
		if in != nil && in.On.Set() {
			day = in.On.T
		}
	}
	path := char.S
	if path == "" && bIn != nil {
		path = bIn.Characteristic.S
	}
	ev.CharRec, ev.Char = s.characteristic(path, day)
	if ev.Char == nil {
		ev.Problem = "no characteristic that is in the ledger is named"
		return ev
	}
	if claim == "" && ev.Char.Judge.S == "spread" {
		ev.Claim = "spread"
	}
	ev.scale(s, bIn, aIn)
	want := names(points)
	if bIn != nil {
		ev.Before = ev.group(s, b, bIn, want)
	}
	if aIn != nil {
		ev.After = ev.group(s, a, aIn, want)
	}
	if r, rIn := s.inspection(back); rIn != nil {
		ev.Back = ev.group(s, r, rIn, want)
	}
	switch {
	case ev.Before == nil && ev.After == nil:
		ev.Problem = "neither readings before nor readings after are in the ledger"
	case ev.Before == nil:
		ev.Problem = "there are no readings before"
	case ev.After == nil:
		ev.Problem = "there are no readings after"
	default:
		ev.PerPoint = ev.perPoint(ev.Before) || ev.perPoint(ev.After)
		if ev.otherPoints() {
			ev.Problem = "the readings before and after have no point in common"
			return ev
		}
		ev.compare()
		ev.WithoutDoubt = ev.withoutDoubt()
	}
	return ev
}

func none() [2]float64 { return [2]float64{math.NaN(), math.NaN()} }

func names(t []ledger.Text) []string {
	var out []string
	for _, x := range t {
		out = append(out, x.S)
	}
	return out
}

// inspection finds an inspection whose readings count on the day asked for.
func (s *Set) inspection(r ledger.Ref) (*ledger.Record, *ledger.Inspection) {
	if !r.Set() {
		return nil, nil
	}
	rec := s.L.Record(r.S)
	if rec == nil {
		return nil, nil
	}
	if now := s.L.Corrected(rec.ID()); now != nil {
		rec = now
	}
	in, ok := rec.Data.(*ledger.Inspection)
	if !ok || rec.Quiet() || in.State.S == "void" || in.State.S == "superseded" || in.On.Set() && in.On.T.After(s.AsOf) {
		return nil, nil
	}
	return rec, in
}

func (ev *Evidence) sample(g *Group, values []float64) stats.Sample {
	out := stats.Sample{Values: values}
	if g.Gauge != nil {
		ga := g.Gauge.Gauge
		out.Gauge = g.Gauge.GaugeRec.ID()
		res := ga.Resolution
		if ga.Reads.Set() {
			res = ga.Reads
		}
		out.Resolution = ev.inUnit(res)
		out.U = ev.inUnit(ga.U)
	}
	return out
}

func (ev *Evidence) inUnit(s ledger.Size) float64 {
	if !s.Set() {
		return 0
	}
	v := s.Nominal().FloatIn(ev.Unit)
	if math.IsNaN(v) || v < 0 {
		return 0
	}
	return v
}

func (ev *Evidence) compare() {
	if ev.compareCounts() {
		return
	}
	ev.OutsideLimits, ev.OutsideGoal, _ = ev.Outside(ev.After)
	b, a := ev.Before, ev.After
	if ev.Paired {
		var problem string
		if b, a, problem = ev.matched(); problem != "" {
			ev.Problem = problem
			return
		}
		ev.Unpaired = len(ev.Before.Pieces) + len(ev.After.Pieces) - len(b.Pieces) - len(a.Pieces)
	}
	ev.comparePoints(b, a)
	if ev.PerPoint {
		ev.judgePoints()
		return
	}
	var err error
	if ev.C, err = ev.level(ev.sample(b, b.Judged), ev.sample(a, a.Judged), Confidence); err != nil {
		ev.Problem = err.Error()
		return
	}
	if ev.Spread, err = stats.CompareSpread(ev.sample(ev.Before, ev.Before.Judged), ev.sample(ev.After, ev.After.Judged), Confidence); err != nil {
		ev.Problem = err.Error()
		return
	}
	ev.Effect = ev.effect()
	if ev.Back != nil {
		if c, err := stats.Compare(ev.sample(ev.Before, ev.Before.Judged), ev.sample(ev.Back, ev.Back.Judged), Confidence); err == nil {
			ev.Restored = &c
		}
	}
}

// Outside counts the numbers of a group that lie outside the limits and outside
// the goal, out of n that are judged: one a piece, or every reading where each
// point is judged by itself, since a mean of points hides what cancels in it.
func (ev *Evidence) Outside(g *Group) (limits, goal, n int) {
	numbers := [][]float64{g.Judged}
	if ev.perPoint(g) {
		numbers = g.Pieces
	}
	for _, list := range numbers {
		for _, v := range list {
			if math.IsNaN(v) {
				continue
			}
			n++
			limits += outside(v, ev.Limits)
			goal += outside(v, ev.Goal)
		}
	}
	return limits, goal, n
}

func outside(v float64, lim [2]float64) int {
	// A reading that stands on the limit is inside; the tie absorbs the last
	// bit of the conversion to a float.
	const tie = 1e-9
	if v < lim[0]-tie || v > lim[1]+tie {
		return 1
	}
	return 0
}

func (ev *Evidence) effect() Effect {
	if ev.Claim == "spread" {
		switch ev.Spread.Verdict {
		case stats.Shown:
			if ev.Spread.After.SD < ev.Spread.Before.SD {
				return Better
			}
			return Worse
		case stats.CannotTell:
			return cannot(ev.Spread.Reason)
		}
		return NotShown
	}
	switch ev.C.Verdict {
	case stats.Shown:
		if ev.farness(ev.C.After.Mean) < ev.farness(ev.C.Before.Mean) {
			return Better
		}
		return Worse
	case stats.CannotTell:
		return cannot(ev.C.Reason)
	}
	return NotShown
}

func cannot(r stats.Reason) Effect {
	if r == stats.TooFew {
		return TooFew
	}
	return CannotTell
}

// Q is a number of the evidence, a difference, as a quantity.
func (ev *Evidence) Q(v float64) quantity.Quantity { return quantity.FromFloat(v, ev.Unit) }
