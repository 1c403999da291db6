package study

import (
	"math"

	"tenths/calc/stats"
	"tenths/ledger"
)

// maxParts bounds the number of parts that anyone would be asked to make.
const maxParts = 200

// Reach says what the readings of a change can show, and how many parts it
// would take to show what is looked for. Lengths are in the evidence's unit.
type Reach struct {
	// Plan is how the parts are compared: in two groups, or in pairs. Of pairs, SD
	// is the spread of their differences and N the number of pairs.
	Plan stats.Plan
	// SD is the part-to-part spread of the judged value, of the readings before
	// and after together, each about its own mean; 0 if it is not known. Where
	// each of several points is judged by itself, it is that of all of them,
	// each about its own mean.
	SD float64
	// From lists the inspections that the spread comes from, when the change
	// itself has too few readings and others of the characteristic stand in.
	From []*ledger.Record
	// N is how many parts on each side the change has; of unequal groups the
	// equal ones that would tell as much.
	N int
	// Sees is the smallest shift that N and N parts show in four cases of five;
	// 0 if N is under two or the spread is not known, and where each of several
	// points is judged by itself, since each then takes more parts than one
	// point would alone.
	Sees float64
	// Want is the shift that should be shown: the predicted one, or without a
	// prediction the one that was found. 0 if there is neither.
	Want      float64
	Predicted bool // Want is the predicted shift
	// Need is how many parts on each side show Want in four cases of five; 0 if
	// that is not known or more than 200.
	Need int
}

// Reach computes what the readings can show (stats.SmallestShift,
// stats.PartsNeeded).
func (s *Set) Reach(ev *Evidence) Reach {
	r := s.spreadFor(ev)
	if r.SD == 0 || ev.PerPoint {
		return r
	}
	if sees, err := r.Plan.SmallestShift(r.N, r.SD, stats.UsualPower); err == nil {
		r.Sees = sees
	}
	if r.Want > 0 {
		if need, err := r.Plan.PartsNeeded(r.Want, r.SD, stats.UsualPower, Confidence, maxParts); err == nil {
			r.Need = need
		}
	}
	return r
}

// spreadFor is Reach without Sees and Need, which take long to compute.
func (s *Set) spreadFor(ev *Evidence) Reach {
	r := Reach{Plan: stats.TwoGroups, SD: ev.pooled(ev.Before, ev.After)}
	nb, na := 0, 0
	if ev.Before != nil {
		nb = ev.Before.N()
	}
	if ev.After != nil {
		na = ev.After.N()
	}
	if nb > 0 && na > 0 {
		r.N = 2 * nb * na / (nb + na)
	}
	if r.SD == 0 && ev.Char != nil {
		r.SD, r.From = s.history(ev)
	}
	if ev.C.Paired && ev.C.HasSampling {
		r.Plan, r.N = stats.Pairs, ev.C.Before.N
		r.SD, r.From = ev.C.Sampling.U*math.Sqrt(float64(r.N)), nil
	}
	if ev.C.Before.N > 0 && ev.C.After.N > 0 {
		r.Want = math.Abs(ev.C.Difference)
	}
	if p := ev.Predicted(); p != nil && ev.Claim == "level" {
		r.Want, r.Predicted = math.Abs(p.Value), true
	}
	return r
}

// pooled is the spread of several groups, each about its own mean.
func (ev *Evidence) pooled(groups ...*Group) float64 {
	var squares float64
	df := 0
	for _, g := range groups {
		for _, values := range ev.series(g) {
			sum, err := stats.Summarize(values)
			if err != nil || sum.N < 2 {
				continue
			}
			squares += float64(sum.SD * sum.SD * float64(sum.N-1))
			df += sum.N - 1
		}
	}
	if df == 0 {
		return 0
	}
	return math.Sqrt(squares / float64(df))
}

// series lists the numbers of a group that belong together: those judged, or
// those of each point where it is judged by itself.
func (ev *Evidence) series(g *Group) [][]float64 {
	switch {
	case g == nil:
		return nil
	case !ev.perPoint(g):
		return [][]float64{g.Judged}
	}
	var out [][]float64
	for i := range g.Points {
		out = append(out, g.Column(i))
	}
	return out
}

// history takes the spread from every other inspection of the characteristic
// that counts on the day asked for and holds no impossible value.
func (s *Set) history(ev *Evidence) (float64, []*ledger.Record) {
	var groups []*Group
	var from []*ledger.Record
	for _, rec := range s.L.Records {
		in, ok := rec.Data.(*ledger.Inspection)
		if !ok {
			continue
		}
		if r, counts := s.inspection(ledger.Ref{S: rec.ID(), Span: rec.Whole()}); r != rec || counts == nil {
			continue
		}
		if cr, c := s.characteristic(in.Characteristic.S, s.AsOf); cr != ev.CharRec || c == nil || c.ID.S != ev.Char.ID.S {
			continue
		}
		if g := ev.group(s, rec, in, nil); g.N() >= 2 && ev.plausible(g) {
			groups, from = append(groups, g), append(from, rec)
		}
	}
	return ev.pooled(groups...), from
}

// plausible reports whether all readings lie within FarOut widths of the limits;
// beyond that a unit or a point is wrong.
func (ev *Evidence) plausible(g *Group) bool {
	width := ev.Limits[1] - ev.Limits[0]
	if math.IsNaN(width) {
		return true
	}
	for _, values := range ev.series(g) {
		for _, v := range values {
			if v < ev.Limits[0]-FarOut*width || v > ev.Limits[1]+FarOut*width {
				return false
			}
		}
	}
	return true
}

// RatioFrom is the smallest ratio of two spreads, larger over smaller, that as
// many parts as were compared can show; 0 if there is no comparison.
func RatioFrom(c stats.SpreadComparison) float64 {
	if !c.HasF {
		return 0
	}
	return math.Sqrt(max(c.F.CriticalHigh, 1/c.F.CriticalLow))
}

// CountsNeeded is by how much both counts would have to grow, at the same
// shares, for the exact test to show a difference: 2 means twice as many parts
// on each side. It is 1 if it is shown already, and 0 if it would take more
// than 200 parts on a side or the shares are equal.
func (ev *Evidence) CountsNeeded() int {
	if !ev.HasCounts {
		return 0
	}
	b, a := ev.Before.Count, ev.After.Count
	if b.Hit*a.Of == a.Hit*b.Of {
		return 0
	}
	for k := 1; k*max(b.Of, a.Of) <= maxParts; k++ {
		if r, err := stats.FisherExact(k*b.Hit, k*b.Of, k*a.Hit, k*a.Of); err == nil && r.TwoSided <= 1-Confidence {
			return k
		}
	}
	return 0
}
