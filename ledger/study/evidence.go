package study

import (
	"math"
	"math/big"

	"tenths/calc/quantity"
	"tenths/calc/stats"
	"tenths/ledger"
)

// Confidence is the level of every interval that is shown.
const Confidence = 0.95

// PointEvidence is the comparison at one point.
type PointEvidence struct {
	Point  string
	Before []float64
	After  []float64
	C      stats.Comparison
	// Worse is set if the readings show that the point got worse.
	Worse bool
}

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
	C       stats.Comparison
	Spread  stats.SpreadComparison
	Points  []PointEvidence
	// Restored compares the readings before with those after the change was
	// undone; nil if there are none.
	Restored *stats.Comparison
	Back     *Group
	Effect   Effect
	// Limits and Goal are the bounds in Unit from Base; NaN where there is none.
	Limits, Goal [2]float64
	// OutsideLimits and OutsideGoal count the judged pieces after the change.
	OutsideLimits, OutsideGoal int
	// Counts is the exact test of counted evidence.
	Counts    stats.FisherResult
	HasCounts bool
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
			out = append(out, s.computeEvidence(rec, true, ch.Characteristic, ch.Points, ch.Claim.S, ch.Before, ch.After, ch.Restored, ""))
		}
		for _, e := range ch.Also {
			out = append(out, s.computeEvidence(rec, false, e.Characteristic, e.Points, e.Claim.S, e.Before, e.After, ledger.Ref{}, e.Note.S))
		}
		return out
	})
}

func (s *Set) computeEvidence(rec *ledger.Record, primary bool, char ledger.Ref, points []ledger.Text, claim string, before, after, back ledger.Ref, note string) *Evidence {
	ev := &Evidence{Change: rec, Primary: primary, Claim: claim, Note: note, Effect: Missing}
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
		ev.compare()
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
	in, ok := rec.Data.(*ledger.Inspection)
	if !ok || rec.Quiet() || in.State.S == "void" || in.State.S == "superseded" || in.On.Set() && in.On.T.After(s.AsOf) {
		return nil, nil
	}
	return rec, in
}

// scale chooses unit and base: those of readings written as deviations, else
// the unit in which all readings are written, else that of the limits, counted
// from their nominal.
func (ev *Evidence) scale(s *Set, ins ...*ledger.Inspection) {
	ev.Judge = ev.Char.Judge.S
	lim := ev.Char.Limits
	ev.Unit = s.unitOf(ev.CharRec)
	if lim.Set() {
		ev.Unit = lim.Nominal().Unit()
		ev.Base = lim.Nominal()
		if f := lim.Tol.Form; f == quantity.AtMost || f == quantity.AtLeast || f == quantity.Limits && !deviations(ins) {
			// Nothing is counted from the computed middle of two limits unless
			// the readings are.
			ev.Base = quantity.New(new(big.Rat), ev.Unit)
		}
	}
	if u, ok := writtenIn(ins); ok && !deviations(ins) && (!lim.Set() || u.Dim() == ev.Unit.Dim() && u.Point() == ev.Unit.Point()) {
		ev.Unit = u
	}
	for _, in := range ins {
		if in == nil {
			continue
		}
		if in.DeviationIn.Set() {
			if u, ok := quantity.LookupUnit(in.DeviationIn.S); ok {
				ev.Unit = u
			}
		}
		if in.NominalIs.Set() {
			ev.Base = in.NominalIs.Nominal()
		}
	}
	if ev.Base.IsZeroValue() {
		ev.Base = quantity.New(new(big.Rat), ev.Unit)
	}
	ev.Limits = ev.bounds(lim)
	ev.Goal = ev.bounds(ev.Char.Goal)
	ev.Target = ev.target()
}

// deviations reports whether one of the inspections is written as deviations.
func deviations(ins []*ledger.Inspection) bool {
	for _, in := range ins {
		if in != nil && in.DeviationIn.Set() {
			return true
		}
	}
	return false
}

// writtenIn is the unit in which all readings that count are written; false if
// they are not written in one.
func writtenIn(ins []*ledger.Inspection) (quantity.Unit, bool) {
	var unit quantity.Unit
	for _, in := range ins {
		if in == nil {
			continue
		}
		for _, row := range in.Rows() {
			for _, v := range row.Values {
				if u := v.Nominal().Unit(); row.Live() && unit.IsZero() {
					unit = u
				} else if row.Live() && !u.Same(unit) {
					return unit, false
				}
			}
		}
	}
	return unit, !unit.IsZero()
}

// bounds gives the two limits of a size in Unit from Base.
func (ev *Evidence) bounds(size ledger.Size) [2]float64 {
	out := none()
	if !size.Set() {
		return out
	}
	set := func(i int, q quantity.Quantity) {
		if d, err := q.Sub(ev.Base); err == nil {
			out[i] = d.FloatIn(ev.Unit)
		}
	}
	if size.Tol.HasLower() {
		set(0, size.Tol.Lower)
	}
	if size.Tol.HasUpper() {
		set(1, size.Tol.Upper)
	}
	return out
}

// target is where the readings should be; infinite if more, or less, is
// always better.
func (ev *Evidence) target() float64 {
	switch ev.Char.Better.S {
	case "smaller":
		return math.Inf(-1)
	case "larger":
		return math.Inf(1)
	}
	if ev.Judge == "largest" {
		return 0
	}
	lo, hi := ev.Limits[0], ev.Limits[1]
	switch {
	case !math.IsNaN(lo) && !math.IsNaN(hi):
		return (lo + hi) / 2
	case !math.IsNaN(hi):
		return math.Inf(-1)
	case !math.IsNaN(lo):
		return math.Inf(1)
	}
	return 0
}

// farness is how far a level is from where it should be.
func (ev *Evidence) farness(v float64) float64 {
	switch {
	case math.IsInf(ev.Target, -1):
		return v
	case math.IsInf(ev.Target, 1):
		return -v
	}
	return math.Abs(v - ev.Target)
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
	if ev.Before.Count.Set() && ev.After.Count.Set() {
		if r, err := stats.FisherExact(ev.Before.Count.Hit, ev.Before.Count.Of, ev.After.Count.Hit, ev.After.Count.Of); err == nil {
			ev.Counts, ev.HasCounts = r, true
			if len(ev.Before.Judged) == 0 || len(ev.After.Judged) == 0 {
				ev.Effect = countEffect(r, ev.Before.Count, ev.After.Count)
				return
			}
		}
	}
	var err error
	if ev.C, err = stats.Compare(ev.sample(ev.Before, ev.Before.Judged), ev.sample(ev.After, ev.After.Judged), Confidence); err != nil {
		ev.Problem = err.Error()
		return
	}
	if ev.Spread, err = stats.CompareSpread(ev.sample(ev.Before, ev.Before.Judged), ev.sample(ev.After, ev.After.Judged), Confidence); err != nil {
		ev.Problem = err.Error()
		return
	}
	ev.Effect = ev.effect()
	for _, v := range ev.After.Judged {
		ev.OutsideLimits += outside(v, ev.Limits)
		ev.OutsideGoal += outside(v, ev.Goal)
	}
	ev.comparePoints()
	if ev.Back != nil {
		if c, err := stats.Compare(ev.sample(ev.Before, ev.Before.Judged), ev.sample(ev.Back, ev.Back.Judged), Confidence); err == nil {
			ev.Restored = &c
		}
	}
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

// comparePoints compares each point that both groups have.
func (ev *Evidence) comparePoints() {
	if len(ev.Before.Points) < 2 {
		return
	}
	for i, name := range ev.Before.Points {
		j := -1
		for k, other := range ev.After.Points {
			if other == name {
				j = k
			}
		}
		if j < 0 {
			continue
		}
		p := PointEvidence{Point: name, Before: ev.Before.Column(i), After: ev.After.Column(j)}
		c, err := stats.Compare(ev.sample(ev.Before, p.Before), ev.sample(ev.After, p.After), Confidence)
		if err != nil {
			continue
		}
		p.C = c
		p.Worse = c.Verdict == stats.Shown && ev.pointFarness(c.After.Mean) > ev.pointFarness(c.Before.Mean)
		ev.Points = append(ev.Points, p)
	}
}

// pointFarness is how far the level of one point is from where it should be.
// Where the largest point without sign is judged, that is the distance from
// zero; the target of the whole says nothing about a sign.
func (ev *Evidence) pointFarness(v float64) float64 {
	if ev.Judge == "largest" {
		return math.Abs(v)
	}
	return ev.farness(v)
}

// Q is a number of the evidence, a difference, as a quantity.
func (ev *Evidence) Q(v float64) quantity.Quantity { return quantity.FromFloat(v, ev.Unit) }
