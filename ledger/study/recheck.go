package study

import (
	"slices"

	"tenths/calc/stats"
	"tenths/ledger"
)

// Recheck holds the readings of a later day against those after the change: has
// what was gained been kept?
type Recheck struct {
	Rec   *ledger.Record
	Group *Group
	// Other names what was measured, where that is not what the change is about;
	// nothing is compared then.
	Other string
	// PassFail is set for readings with a pair of limit gauges, which give no sizes;
	// nothing is compared then either.
	PassFail bool
	// C compares the readings after with the later ones, Spread their spread. Both
	// are empty where each of several points is judged by itself.
	C      stats.Comparison
	Spread stats.SpreadComparison
	// Low and High are the interval in which a next part was to be expected by the
	// readings after (stats.Prediction), Inside how many of N later ones lie in it;
	// HasNext is unset for a spread, for several points, and for one reading after.
	Low, High float64
	Inside, N int
	HasNext   bool
	// Effect is Better or Worse if the later readings are shown to differ from those
	// after, else NotShown, CannotTell or TooFew.
	Effect Effect
	// Lost are the points that are shown worse than after the change.
	Lost []string
}

// Recheck compares the readings that rechecked_by names with those after the
// change. It is nil if there are none yet, or none after the change.
func (s *Set) Recheck(rec *ledger.Record) *Recheck {
	ch, ok := rec.Data.(*ledger.Change)
	if !ok || !ch.Rechecked.Set() {
		return nil
	}
	later, in := s.inspection(ch.Rechecked)
	list := s.Evidence(rec)
	if in == nil || len(list) == 0 || !list[0].Primary || list[0].Char == nil || list[0].After == nil {
		return nil
	}
	ev := list[0]
	out := &Recheck{Rec: later, Group: ev.group(s, later, in, names(ch.Points)), Effect: NotShown}
	if other, char := s.characteristic(in.Characteristic.S, in.On.T); other != ev.CharRec || char == nil || char.ID.S != ev.Char.ID.S {
		out.Other, out.Effect = in.Characteristic.S, Missing
		return out
	}
	out.N = out.Group.N()
	if out.PassFail = s.passOrFail(in); out.PassFail {
		out.Effect = Missing
		return out
	}
	if ev.perPoint(ev.After) || ev.perPoint(out.Group) {
		out.points(ev)
		return out
	}
	var err error
	after, now := ev.sample(ev.After, ev.After.Judged), ev.sample(out.Group, out.Group.Judged)
	if out.C, err = stats.Compare(after, now, Confidence); err != nil {
		out.Effect = TooFew
		return out
	}
	if out.Spread, err = stats.CompareSpread(after, now, Confidence); err != nil {
		out.Effect = TooFew
		return out
	}
	// The verdict is reached as that of the change itself.
	as := Evidence{Claim: ev.Claim, C: out.C, Spread: out.Spread, Target: ev.Target, Judge: ev.Judge}
	out.Effect = as.effect()
	if ev.Claim == "spread" {
		return out
	}
	if next, err := stats.Prediction(out.C.Before.Mean, out.C.Before.SD, out.C.Before.N, Confidence); err == nil {
		out.Low, out.High, out.HasNext = next.Low, next.High, true
		for _, v := range out.Group.Judged {
			if v >= next.Low && v <= next.High {
				out.Inside++
			}
		}
	}
	return out
}

// points looks at each point by itself, at the level that all of them share.
func (r *Recheck) points(ev *Evidence) {
	shared := 1 - (1-Confidence)/float64(len(ev.After.Points))
	for i, name := range ev.After.Points {
		k := slices.Index(r.Group.Points, name)
		if k < 0 {
			continue
		}
		c, err := stats.Compare(ev.sample(ev.After, ev.After.Column(i)), ev.sample(r.Group, r.Group.Column(k)), shared)
		if err == nil && c.Verdict == stats.Shown && ev.pointFarness(c.After.Mean) > ev.pointFarness(c.Before.Mean) {
			r.Lost = append(r.Lost, name)
		}
	}
	if r.Lost != nil {
		r.Effect = Worse
	}
}
