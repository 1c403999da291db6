package report

import (
	"fmt"
	"math"
	"strings"

	"tenths/calc/chart"
	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/report/svg"
	"tenths/ledger/study"
)

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
