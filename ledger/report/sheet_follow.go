package report

import (
	"fmt"
	"math"
	"strings"

	"tenths/calc/chart"
	"tenths/calc/gaugestudy"
	"tenths/calc/quantity"
	"tenths/ledger"
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
	changes, places := f.Changes(b.s)
	var names []string
	for _, ch := range changes {
		names = append(names, ch.ID()+" on "+ch.Data.(*ledger.Change).Done.String())
	}
	s.say("changed meanwhile", strings.Join(names, ", "))
	if since != nil {
		s.say("chart", fmt.Sprintf("the %d readings since %s", len(now.Readings), since.ID()))
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
	for i, ch := range changes {
		p.Cuts = append(p.Cuts, svg.Cut{X: float64(places[i]) + 0.5, Name: ch.ID(), Strong: true})
	}
	s.Picture = p.Draw()
}

// driftsWith names the tools that a characteristic is known to drift with.
func (b *sheetBuilder) driftsWith(s *Section, f *study.Following) {
	for _, rec := range b.s.L.Records {
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
		ID: id, Unit: f.Unit.Name(), Across: "readings in their order",
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

// drift tells how what a tool cuts moves with the parts that it has cut.
func (b *sheetBuilder) drift(t *ledger.Tool) {
	for _, d := range b.s.ToolDrifts(b.rec) {
		f := d.Series
		s := b.section(strings.TrimSpace("drift of " + f.CharRec.ID() + "/" + f.Char.ID.S + " " + f.Point))
		b.driftWords(s, d, t)
		for _, life := range d.Lives {
			l := life.Drift
			s.row(cell("inspection", life.Rec.ID()), cell("on", life.In.On.String()), cell("readings", fmt.Sprint(l.N)), cell("counts", fmt.Sprintf("%g to %g", l.First, l.Last)),
				Fact{Name: "a part", Text: slopeWords(f, l), Value: perPart(f, l, l.Slope)}, Fact{Name: "scatter", Text: f.Shown(l.S).String(), Value: f.Shown(l.S)}, cell("half the way at part", halfWords(life.Half)))
		}
		s.Picture = driftPicture(d, fmt.Sprintf("drift%d", len(b.sh.Sections)))
	}
}

func halfWords(count float64) string {
	if count == 0 {
		return ""
	}
	return fmt.Sprintf("%.0f", count)
}

func (b *sheetBuilder) driftWords(s *Section, d *study.ToolDrift, t *ledger.Tool) {
	l, f := d.Last(), d.Series
	switch {
	case !l.Shown:
		s.say("in short", "no drift is shown: "+slopeWords(f, l)+" a part")
	case l.Bent:
		s.say("in short", "the readings do not lie along a line: wear is not even, or the edge chipped; nothing can be counted on beyond the last of them")
	default:
		s.say("in short", slopeWords(f, l)+" a part, as last measured ("+d.Lives[len(d.Lives)-1].Rec.ID()+")")
	}
	for _, bound := range d.Bounds {
		words := ""
		switch r := bound.Reach; {
		case l.Bent:
			continue
		case !r.Ever:
			words = "is not reached"
		case r.Far:
			words = fmt.Sprintf("the line is there at part %.0f, too far off to count on", r.Count)
		case r.Passed:
			words = fmt.Sprintf("the line is there at part %.0f; a single part can be over from the first on", r.Count)
		default:
			words = fmt.Sprintf("the line is there at part %.0f; a single part can be over after part %d", r.Count, int(r.Safe))
		}
		s.say(bound.Name+" "+textOf(bound.Size), words)
	}
	parts, bound, ok := d.SafeParts()
	if !ok {
		return
	}
	if t.Count.Set() {
		left := float64(parts) - t.Count.Nominal().Float()
		word := fmt.Sprintf("%.0f, then a single part can be beyond the %s", math.Max(0, left), bound.Name)
		s.sayQ("parts left", word, quantity.FromFloat(math.Max(0, left), quantity.One).WithDecimals(0))
	}
	if t.Life.Set() {
		life := t.Life.Nominal()
		word := "ends before that"
		if life.Float() > float64(parts) {
			word = "is longer than that"
		}
		s.say("life of "+life.String(), word)
	}
	s.say("holds for", "even wear with this material and these cuts, read as above; a chipped edge shows no drift before")
}

// perPart is a slope with the digits that its interval deserves.
func perPart(f *study.Following, l chart.Drift, v float64) quantity.Quantity {
	half := (l.SlopeHigh - l.SlopeLow) / 2
	n := 4
	if half > 0 {
		n = max(0, min(9, 1-int(math.Floor(math.Log10(half)))))
	}
	return study.Rounded(f.Q(v), n)
}

func slopeWords(f *study.Following, l chart.Drift) string {
	half := (l.SlopeHigh - l.SlopeLow) / 2
	return fmt.Sprintf("%s ± %s", number(perPart(f, l, l.Slope)), perPart(f, l, half))
}

func driftPicture(d *study.ToolDrift, id string) string {
	f, l := d.Series, d.Last()
	p := svg.Track{
		ID: id, Unit: f.Unit.Name(), Across: "parts that the tool had cut",
		Title: line(f.CharRec.ID() + "/" + f.Char.ID.S + " against the parts that " + d.Tool.ID() + " had cut"),
		Desc:  fmt.Sprintf("Readings of %d %s of the tool against its count of parts, with the line through the last. It moves %s a part.", len(d.Lives), plural(len(d.Lives), "life"), slopeWords(f, l)),
	}
	p.Desc = strings.Replace(p.Desc, "lifes", "lives", 1)
	last := d.Lives[len(d.Lives)-1].Rec
	old, now := svg.Run{Mark: svg.Ring}, svg.Run{Mark: svg.Disc}
	for _, r := range f.Readings {
		if !r.HasCut {
			continue
		}
		run := &old
		if r.Rec == last {
			run = &now
		}
		run.X, run.Y = append(run.X, r.Cut), append(run.Y, r.Value)
	}
	p.Series = []svg.Run{old, now}
	if len(old.X) > 0 {
		p.Legend = append(p.Legend, svg.Key{Mark: svg.Ring, Text: "before"})
	}
	p.Legend = append(p.Legend, svg.Key{Mark: svg.Disc, Text: "last, " + last.ID()})
	p.Lines = []svg.Line{{X1: l.First, Y1: l.At(l.First), X2: l.Last, Y2: l.At(l.Last)}}
	for _, sign := range []float64{-1, 1} { // the band is nearly straight; its ends and middle tell it
		for _, x := range [][2]float64{{l.First, l.MeanCount}, {l.MeanCount, l.Last}} {
			p.Lines = append(p.Lines, svg.Line{X1: x[0], Y1: l.At(x[0]) + sign*l.Next(x[0]), X2: x[1], Y2: l.At(x[1]) + sign*l.Next(x[1]), Bound: true})
		}
	}
	p.Levels = boundLevels(f)
	return p.Draw()
}

// interval suggests the time to the next check of a gauge.
func (b *sheetBuilder) interval(g *ledger.Gauge) {
	c, err := b.s.CheckInterval(g)
	if c.Checks == 0 && err != nil && !g.U.Set() {
		return // no figures at all: nothing to say
	}
	s := b.section("time between checks")
	if err != nil {
		s.say("suggested", "nothing: "+line(err.Error()))
		return
	}
	a := c.Advice
	s.say("suggested", suggested(c))
	s.say("because", intervalReason(c))
	if a.Drift > 0 && a.Step != gaugestudy.Shorten {
		s.say("fastest drift seen", fmt.Sprintf("would use up %s in %s", c.Limit, span(a.DriftDays)))
	}
	s.say("rests on", fmt.Sprintf("%d %s with an error as found, against the uncertainty in use of %s; halve after one that is over it, half as long again after three in a row within half of it, never longer than the fastest drift allows (common practice; ILAC-G24 names the method)", c.Checks, plural(c.Checks, "check"), c.Limit))
}

func suggested(c study.CheckInterval) string {
	if c.Advice.Step == gaugestudy.Keep {
		return "keep " + c.Now.String()
	}
	return fmt.Sprintf("%s to %s, now %s", c.Advice.Step, span(c.Advice.Days), c.Now)
}

func intervalReason(c study.CheckInterval) string {
	a := c.Advice
	switch {
	case a.Step == gaugestudy.Shorten:
		return "the last check found more than " + c.Limit.String()
	case a.Step == gaugestudy.Lengthen:
		return fmt.Sprintf("%d checks in a row within half of %s", a.Good, c.Limit)
	case a.Good >= 3:
		return "the errors are small, but the fastest drift seen, or five years, allows no more"
	}
	return "the last check was good; three in a row within half of " + c.Limit.String() + " would allow more"
}

// span is a number of days for people, rounded down.
func span(days int) string {
	const month = 30.4375
	if n := int(float64(days) / month); n >= 3 {
		return fmt.Sprintf("%d months (%d days)", n, days)
	}
	return fmt.Sprintf("%d days", days)
}
