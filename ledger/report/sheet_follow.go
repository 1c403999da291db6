package report

import (
	"fmt"
	"math"
	"strings"

	"tenths/calc/chart"
	"tenths/ledger/report/svg"
	"tenths/ledger/study"
)

// following tells how a characteristic runs: its short-run chart, and what lies
// between the people and the gauges that measured it.
func (b *sheetBuilder) following(path string) {
	list := b.s.Follow(path)
	for i, f := range list {
		b.chart(f, i == 0)
	}
	for _, f := range list {
		b.betweens(f)
	}
}

func (b *sheetBuilder) chart(f *study.Following, first bool) {
	c, from, since, err := f.Chart(b.s)
	if err != nil {
		return // too few to say anything
	}
	s := b.section(strings.TrimSpace("short-run chart " + f.Point))
	now := *f
	now.Readings = f.Readings[from:]
	s.say("in short", chartWords(&now, c))
	s.say("readings", fmt.Sprintf("%d, %s to %s", len(f.Readings), day(f.Readings[0].Day()), day(f.Readings[len(f.Readings)-1].Day())))
	turns := f.Turns(b.s)
	var names []string
	for _, t := range turns {
		names = append(names, turnWords(t)+" on "+t.On.String())
	}
	s.say("changed meanwhile", strings.Join(names, ", "))
	if since != nil {
		few := ""
		if len(now.Readings) < 8 {
			few = "; so few give only a first idea"
		}
		s.say("chart", fmt.Sprintf("the %d readings since %s%s", len(now.Readings), strings.Replace(turnWords(*since), " undone", " was undone", 1), few))
	}
	if f.Base.Sign() != 0 {
		s.sayQ("counted from", f.Base.String(), f.Base)
	}
	say := func(name string, v float64) { s.sayQ(name, f.Shown(v).String(), f.Shown(v)) }
	say("mean", c.Mean)
	say("spread part to part", c.Sigma)
	say("lower chart limit", c.Lower)
	say("upper chart limit", c.Upper)
	say("largest step expected", c.RangeUpper)
	if f.LeftOut > 0 {
		s.say("left out", fmt.Sprintf("%d %s: slips, other units, or outside what the gauge measures", f.LeftOut, plural(f.LeftOut, "reading")))
	}
	if first {
		b.driftsWith(s, f)
		s.say("rests on", "steps from one reading to the next within an inspection; three spreads about the mean (common practice). The chart says whether the process stays as it is, not whether parts are good.")
	}
	for _, i := range c.Outside {
		r := now.Readings[i]
		s.row(cell("outside the chart", day(r.Day())), cell("inspection", r.Rec.ID()), cell("piece", r.Row.Piece.S), Fact{Name: "reading", Text: signed(f.Shown(r.Value)), Value: f.Shown(r.Value)})
	}
	p := chartPicture(f, from, chartWords(&now, c), c, fmt.Sprintf("chart%d", len(b.sh.Sections)))
	for _, t := range turns {
		p.Cuts = append(p.Cuts, svg.Cut{X: float64(t.Place) + 0.5, Name: turnWords(t), Strong: true})
	}
	s.Picture = p.Draw()
}

func turnWords(t study.Turn) string {
	if t.Undone {
		return t.Rec.ID() + " undone"
	}
	return t.Rec.ID()
}

// driftsWith names the tools that a characteristic is known to drift with.
func (b *sheetBuilder) driftsWith(s *Section, f *study.Following) {
	for _, tool := range f.Tools() {
		rec := b.s.L.Record(tool)
		if rec == nil {
			continue
		}
		for _, d := range b.s.ToolDrifts(rec) {
			if d.Series.CharRec == f.CharRec && d.Series.Char.ID.S == f.Char.ID.S && d.Series.Point == f.Point && d.Last().Shown {
				s.say("drifts with", "the parts that "+rec.ID()+" has cut, "+slopeWords(f, d.Last())+" a part: tenths show "+rec.ID())
			}
		}
	}
}

// chartWords says what the chart shows in one sentence.
func chartWords(f *study.Following, c chart.Individuals) string {
	if c.Coarse {
		return "the steps of the gauge are too coarse to follow the parts: the limits of the chart follow the gauge"
	}
	var signs []string
	if n := len(c.Outside); n > 0 {
		signs = append(signs, fmt.Sprintf("%d of %d readings outside the chart", n, len(c.Values)))
	}
	if n := len(c.Jumps); n > 0 {
		signs = append(signs, fmt.Sprintf("%d %s larger than expected", n, plural(n, "step")))
	}
	for _, r := range c.Runs {
		side := map[bool]string{true: "above", false: "below"}[r.Above]
		signs = append(signs, fmt.Sprintf("%d in a row %s the mean, from %s %s on", r.To-r.From+1, side, f.Readings[r.From].Rec.ID(), pieceOf(f.Readings[r.From])))
	}
	if signs == nil {
		return "no sign that the process moved"
	}
	return "the process moved: " + strings.Join(signs, "; ")
}

func pieceOf(r study.Followed) string { return strings.TrimSpace("piece " + r.Row.Piece.S) }

// chartPicture draws all readings; the chart itself rests on those from a place on.
func chartPicture(f *study.Following, from int, words string, c chart.Individuals, id string) svg.Track {
	p := svg.Track{
		ID: id, Unit: f.Unit.Name(), Across: "readings in their order", Joined: true,
		Title: line(f.CharRec.ID() + "/" + f.Char.ID.S + " " + f.Point + ": every reading in its order"),
		Desc:  fmt.Sprintf("%d readings from %s to %s. %s. Mean %s, limits of the chart %s and %s.", len(f.Readings), day(f.Readings[0].Day()), day(f.Readings[len(f.Readings)-1].Day()), upper(words), f.Shown(c.Mean), f.Shown(c.Lower), f.Shown(c.Upper)),
		Levels: []svg.Level{
			{At: c.Mean, Kind: svg.MeanLevel, Name: "mean " + number(f.Shown(c.Mean))},
			{At: c.Lower, Kind: svg.ChartLevel, Name: "chart " + number(f.Shown(c.Lower))}, {At: c.Upper, Kind: svg.ChartLevel, Name: "chart " + number(f.Shown(c.Upper))},
		},
		Legend: []svg.Key{{Mark: svg.Disc, Text: "reading"}},
	}
	p.Levels = append(p.Levels, boundLevels(f)...)
	old, in, out := svg.Run{Mark: svg.Ring}, svg.Run{Mark: svg.Disc}, svg.Run{Mark: svg.Triangle}
	outside := map[int]bool{}
	for _, i := range c.Outside {
		outside[from+i] = true
	}
	for i, v := range f.Values() {
		r := &in
		switch {
		case i < from:
			r = &old
		case outside[i]:
			r = &out
		}
		r.X, r.Y = append(r.X, float64(i+1)), append(r.Y, v)
	}
	if len(out.X) > 0 {
		p.Legend = append(p.Legend, svg.Key{Mark: svg.Triangle, Text: "outside the chart"})
	}
	if len(old.X) > 0 {
		p.Legend = append(p.Legend, svg.Key{Mark: svg.Ring, Text: "before the last change, not in the chart"})
	}
	p.Series = append(p.Series, old, in, out)
	for _, i := range append([]int{0}, f.Starts()...) {
		p.Cuts = append(p.Cuts, svg.Cut{X: float64(i) + 0.5, Name: orWord(line(f.Readings[i].In.Lot.S), day(f.Readings[i].Day()))})
	}
	return p
}

func boundLevels(f *study.Following) []svg.Level {
	var out []svg.Level
	for i := range 2 {
		if v := f.Limits[i]; !math.IsNaN(v) {
			out = append(out, svg.Level{At: v, Kind: svg.LimitLevel, Name: "limit " + number(f.Shown(v))})
		}
		if v := f.Goal[i]; !math.IsNaN(v) {
			out = append(out, svg.Level{At: v, Kind: svg.GoalLevel, Name: "goal " + number(f.Shown(v))})
		}
	}
	return out
}

// betweens tells the bias between people and between gauges.
func (b *sheetBuilder) betweens(f *study.Following) {
	for _, what := range []string{"people", "gauges"} {
		var s *Section
		for _, x := range b.s.Betweens(f) {
			if x.What != what {
				continue
			}
			if s == nil {
				s = b.section(strings.TrimSpace("between " + what + " " + f.Point))
			}
			s.say(x.Second+" over "+x.First, betweenWords(f, x))
			if x.Problem == "" {
				s.Facts[len(s.Facts)-1].Value = f.Shown(x.Bias.Difference)
			}
		}
	}
}

func betweenWords(f *study.Following, x study.Between) string {
	if x.Problem != "" {
		if x.Bias.Blocks == 0 {
			other := map[string]string{"people": "with the same gauge", "gauges": "by the same person"}[x.What]
			return "nothing can be said: no lot was measured by both " + other + "; five parts that both measure would tell"
		}
		return x.Problem
	}
	alike, n := "lots", x.Bias.Blocks
	if x.Pieces {
		alike = "pieces"
	}
	if n == 1 {
		alike = strings.TrimSuffix(alike, "s")
	}
	words := fmt.Sprintf("%s (95 %%: %s to %s), from %d %s that both measured", signed(f.Shown(x.Bias.Difference)), number(f.Shown(x.Bias.Low)), number(f.Shown(x.Bias.High)), n, alike)
	if x.Bias.Shown {
		return words + ": a difference is shown"
	}
	return words + "; not shown, it would take " + f.Shown(x.Bias.SmallestSeen).String()
}
