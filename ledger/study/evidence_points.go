package study

import (
	"math"
	"slices"

	"tenths/calc/stats"
)

// PointEvidence is the comparison at one point.
type PointEvidence struct {
	Point  string
	Before []float64
	After  []float64
	C      stats.Comparison
	// Spread is set where the spread is claimed and each point is judged by
	// itself.
	Spread stats.SpreadComparison
	// Restored compares the point before with the point after the change was
	// undone; nil if there are no such readings.
	Restored *stats.Comparison
	// Worse is set if the readings show that the point got worse.
	Worse bool
	// Better and SureWorse are set where each of several points is judged by
	// itself and the readings show it at the level that all points share.
	Better, SureWorse bool
}

// perPoint reports whether each of several points of a group is judged by
// itself.
func (ev *Evidence) perPoint(g *Group) bool {
	return g != nil && ev.Judge != "largest" && len(g.Points) > 1
}

// otherPoints reports whether the readings before and after were taken at points
// that are all different. Where the largest of a piece is judged, the two are
// compared all the same, and said not to be comparable.
func (ev *Evidence) otherPoints() bool {
	if ev.Judge == "largest" || !ev.Before.HasNumbers() || !ev.After.HasNumbers() {
		return false
	}
	return !slices.ContainsFunc(ev.Before.Points, func(name string) bool { return slices.Contains(ev.After.Points, name) })
}

// HasNumbers reports whether the group has a reading that can be compared.
func (g *Group) HasNumbers() bool { return g.N() > 0 }

// N is the number of pieces with a reading that can be compared.
func (g *Group) N() int {
	n := 0
	for _, p := range g.Pieces {
		if slices.ContainsFunc(p, func(v float64) bool { return !math.IsNaN(v) }) {
			n++
		}
	}
	return n
}

// comparePoints compares each point that both groups have. The groups are those
// of the evidence, or what is left of them in pairs.
func (ev *Evidence) comparePoints(before, after *Group) {
	if len(before.Points) < 2 && !ev.PerPoint {
		return
	}
	for i, name := range before.Points {
		j := slices.Index(after.Points, name)
		if j < 0 {
			continue
		}
		p := PointEvidence{Point: name, Before: before.Column(i), After: after.Column(j)}
		c, err := ev.level(ev.sample(before, p.Before), ev.sample(after, p.After), Confidence)
		if err != nil {
			continue
		}
		p.C = c
		p.Worse = c.Verdict == stats.Shown && ev.pointFarness(c.After.Mean) > ev.pointFarness(c.Before.Mean)
		if ev.Back != nil {
			if k := slices.Index(ev.Back.Points, name); k >= 0 {
				if r, err := stats.Compare(ev.sample(ev.Before, p.Before), ev.sample(ev.Back, ev.Back.Column(k)), Confidence); err == nil {
					p.Restored = &r
				}
			}
		}
		ev.Points = append(ev.Points, p)
	}
}

// judgePoints judges a change by each of its points. It is shown better if no
// point is shown worse and at least one is shown better; shown worse if one is
// shown worse and none better; else not shown, and where no point could tell,
// what the first one says.
//
// Of k points that did not change, one or the other stands out by chance: the
// claims of better and worse are made at the level 1 - (1 - Confidence)/k
// (Bonferroni's inequality), so that the verdict as a whole holds at
// Confidence. What forbids the verdict "better" is a point shown worse at
// Confidence itself, as the table of points shows it, which errs on the careful
// side.
func (ev *Evidence) judgePoints() {
	if len(ev.Points) == 0 {
		ev.Effect = TooFew
		return
	}
	shared := 1 - (1-Confidence)/float64(len(ev.Points))
	better, worse, sureWorse, told := false, false, false, false
	ev.Effect = Missing
	for i := range ev.Points {
		p := &ev.Points[i]
		verdict, reason := p.C.Verdict, p.C.Reason
		b, a := ev.sample(ev.Before, p.Before), ev.sample(ev.After, p.After)
		if ev.Claim == "spread" {
			verdict, reason = p.judgeSpread(b, a, shared)
		} else if c, err := ev.level(b, a, shared); err == nil && c.Verdict == stats.Shown {
			gain := ev.pointFarness(c.Before.Mean) - ev.pointFarness(c.After.Mean)
			// Where the level crosses the target, the distance from it changed
			// by less than the level did.
			p.Better = gain > (c.High-c.Low)/2
			p.SureWorse = p.Worse
		}
		better, worse, sureWorse = better || p.Better, worse || p.Worse, sureWorse || p.SureWorse
		if verdict != stats.CannotTell {
			told = true
		} else if ev.Effect == Missing {
			ev.Effect = cannot(reason)
		}
	}
	switch {
	case better && !worse:
		ev.Effect = Better
	case sureWorse && !better:
		ev.Effect = Worse
	case told:
		ev.Effect = NotShown
	}
}

// judgeSpread compares the spread at one point, and gives the verdict and its
// reason at Confidence.
func (p *PointEvidence) judgeSpread(b, a stats.Sample, shared float64) (stats.Verdict, stats.Reason) {
	p.Worse = false
	c, err := stats.CompareSpread(b, a, Confidence)
	if err != nil {
		return stats.CannotTell, stats.NoSpread
	}
	p.Spread = c
	p.Worse = c.Verdict == stats.Shown && c.After.SD > c.Before.SD
	if c, err = stats.CompareSpread(b, a, shared); err == nil && c.Verdict == stats.Shown {
		p.Better, p.SureWorse = c.After.SD < c.Before.SD, c.After.SD > c.Before.SD
	}
	return p.Spread.Verdict, p.Spread.Reason
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
