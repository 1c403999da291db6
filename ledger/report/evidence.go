package report

import (
	"fmt"
	"math"
	"slices"

	"tenths/calc/chart"
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
	}
	if measured || ev.PerPoint {
		e.OutsideLimits = countOutside(ev.Limits, ev.OutsideLimits)
		e.OutsideGoal = countOutside(ev.Goal, ev.OutsideGoal)
	}
	e.Doubt, e.WithoutDoubt = line(ev.DoubtText()), string(ev.WithoutDoubt)
	if ev.Restored != nil {
		e.Back = differenceOf(ev, *ev.Restored)
	}
	if measured && ev.Claim == "spread" {
		e.Spread = spreadOf(ev, ev.Spread)
	}
	if ev.HasCounts {
		e.Counts = countsOf(ev)
	}
	e.Drift = driftOf(ev)
	for _, p := range ev.Points {
		pt := Point{
			Point: p.Point, Before: ev.Shown(p.C.Before.Mean), After: ev.Shown(p.C.After.Mean),
			Change: *differenceOf(ev, p.C), Verdict: string(p.C.Verdict), Worse: p.Worse, Better: p.Better,
		}
		if ev.PerPoint && ev.Claim == "spread" {
			pt.Verdict, pt.Spread = string(p.Spread.Verdict), spreadOf(ev, p.Spread)
		}
		e.Points = append(e.Points, pt)
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
	return fmt.Sprintf("each of %d points", len(points))
}

func boundsOf(ev *study.Evidence, s ledger.Size) Bounds {
	lower, upper := ev.Bounds(s)
	return Bounds{lower, upper, size(s)}
}

func groupOf(ev *study.Evidence, g *study.Group, sum stats.Summary) *Group {
	if g == nil {
		return nil
	}
	out := &Group{Inspection: g.Rec.ID(), On: g.In.On.String(), Points: slices.Clone(g.Points), Pieces: []Piece{}, N: g.N(), LeftOut: g.Void}
	if limits, goal, n := ev.Outside(g); n > 0 {
		out.OutsideLimits, out.OutsideGoal, out.Judged = countOutside(ev.Limits, limits), countOutside(ev.Goal, goal), n
	}
	if len(out.Points) == 1 && out.Points[0] == "" {
		out.Points = []string{}
	}
	if g.Count.Set() {
		out.Count = fmt.Sprintf("%d of %d", g.Count.Hit, g.Count.Of)
		out.Counted = line(g.In.Counts.S)
	}
	next, decimals := 0, ev.Decimals()
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
			p.Judged = study.Rounded(ev.Q(g.Judged[next]), decimals)
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

func spreadOf(ev *study.Evidence, c stats.SpreadComparison) *Spread {
	out := &Spread{Before: ev.Shown(c.Before.SD), After: ev.Shown(c.After.SD), ShownFrom: round2(study.RatioFrom(c))}
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

// driftOf says how the readings moved with the parts cut; nil where neither group
// says it.
func driftOf(ev *study.Evidence) *Drift {
	b, a := ev.Drifts()
	if b == nil && a == nil {
		return nil
	}
	d := &Drift{Before: driftLine(ev, b), After: driftLine(ev, a)}
	words := func(l *DriftLine) string {
		if l == nil {
			return "not known"
		}
		return fmt.Sprintf("%s (95 %% %s … %s)%s a part, over parts %d to %d", number(l.Slope), number(l.Low), number(l.High), unitWord(ev.Unit.Name()), l.First, l.Last)
	}
	d.Text = fmt.Sprintf("drift with the parts that the tool cut: before %s; after %s", words(d.Before), words(d.After))
	return d
}

func driftLine(ev *study.Evidence, line *chart.Drift) *DriftLine {
	if line == nil {
		return nil
	}
	// Over the parts that it runs over the last digit is worth a fifth of a count.
	decimals := ev.Decimals() + int(math.Ceil(math.Log10(max(1, line.Last-line.First))))
	show := func(v float64) quantity.Quantity { return study.Rounded(ev.Q(v), decimals) }
	return &DriftLine{show(line.Slope), show(line.SlopeLow), show(line.SlopeHigh), int(line.First), int(line.Last)}
}

// round2 keeps two decimals: a ratio of spreads deserves no more.
func round2(v float64) float64 { return math.Round(v*100) / 100 }

func countsOf(ev *study.Evidence) *Counts {
	b, a := ev.Before.Count, ev.After.Count
	c := &Counts{What: line(ev.Before.In.Counts.S), Before: fmt.Sprintf("%d of %d", b.Hit, b.Of), After: fmt.Sprintf("%d of %d", a.Hit, a.Of), P: math.Round(ev.Counts.TwoSided*1e4) / 1e4}
	c.Change, c.Low, c.High = wholePercent(ev.ShareChange), wholePercent(ev.ShareIn.Low), wholePercent(ev.ShareIn.High)
	c.Text = fmt.Sprintf("%s → %s, change of the share %s %% (95 %% %s … %s), exact test p %s", c.Before, c.After, number(c.Change), number(c.Low), number(c.High), pText(ev.Counts.TwoSided))
	if t := ev.Touch; t != nil {
		c.Touch = &Touch{Before: t.Before[:], After: t.After[:], P: math.Round(t.Rank.P*1e4) / 1e4}
		grades := func(n []int) string { return fmt.Sprintf("%d not felt, %d felt, %d catching a nail", n[0], n[1], n[2]) }
		c.Text = fmt.Sprintf("by touch %s → %s, exact rank test p %s", grades(c.Touch.Before), grades(c.Touch.After), pText(t.Rank.P))
	}
	return c
}

// wholePercent is a share in whole percent: counts of a few dozen parts deserve
// no more.
func wholePercent(share float64) quantity.Quantity {
	u, _ := quantity.LookupUnit("%")
	return study.Rounded(quantity.FromFloat(100*share, u), 0)
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
