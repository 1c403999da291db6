package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/stats"
	"tenths/ledger"
	"tenths/ledger/report/svg"
	"tenths/ledger/study"
)

// DotPlot draws every reading of the evidence: what is judged, then one strip
// a point, on one scale. It is empty if there are no readings, or more than
// 5000. id makes the names inside unique on a page; alone puts the style sheet
// in.
func (e *Evidence) DotPlot(id string, alone bool) string {
	ev := e.ev
	if ev == nil || dots(ev.Before)+dots(ev.After)+dots(ev.Back) > maxDots || (ev.Before == nil || !ev.Before.HasNumbers()) && (ev.After == nil || !ev.After.HasNumbers()) {
		return ""
	}
	p := svg.Dots{
		ID: id, Alone: alone, Unit: e.Unit, Title: e.Title + ": every reading, before and after",
		Limit: boundNames("limit", e.Limits), Goal: boundNames("goal", e.Goal),
	}
	points := e.pointNames()
	judged := svg.Strip{Name: judgedName(e, points), Limits: ev.Limits, Goal: ev.Goal, Wide: true, Sides: e.sides(func(g *study.Group) []float64 { return g.Judged }, false)}
	if e.largest() {
		judged.Limits[0], judged.Goal[0] = math.NaN(), math.NaN()
	}
	judged.Note = e.note(judged.Sides)
	if e.Spread != nil {
		judged.Note = "s " + number(e.Spread.Before) + " → " + number(e.Spread.After)
	}
	if len(points) <= 1 || e.largest() {
		p.Strips = []svg.Strip{judged}
	}
	worseSeen := false
	if len(points) > 1 {
		for _, name := range points {
			st := svg.Strip{Name: name, Limits: ev.Limits, Goal: ev.Goal}
			for _, pt := range e.Points {
				if pt.Point == name && pt.Worse {
					st.Name, worseSeen = name+" got worse", true
				}
			}
			st.Sides = e.sides(func(g *study.Group) []float64 { return columnOf(g, name) }, st.Name != name)
			st.Note = e.note(st.Sides)
			p.Strips = append(p.Strips, st)
		}
	}
	p.Legend = e.legend(worseSeen)
	p.Desc = e.plotWords(points)
	return p.Draw()
}

// maxDots is the number of readings up to which a dot for each says anything.
const maxDots = 5000

func dots(g *study.Group) int {
	if g == nil {
		return 0
	}
	return len(g.Pieces) * len(g.Points)
}

// largest reports whether the largest of several points is judged, without
// its sign.
func (e *Evidence) largest() bool {
	return e.ev != nil && e.ev.Judge == "largest" && len(e.pointNames()) > 1
}

func boundNames(word string, b Bounds) [2]string {
	return [2]string{word + " " + number(b.Lower), word + " " + number(b.Upper)}
}

func (e *Evidence) pointNames() []string {
	for _, g := range []*Group{e.Before, e.After} {
		if g != nil {
			return g.Points
		}
	}
	return nil
}

func judgedName(e *Evidence, points []string) string {
	switch {
	case len(points) == 1:
		return points[0]
	case e.largest():
		return "largest, no sign"
	}
	return "each piece"
}

func columnOf(g *study.Group, point string) []float64 {
	for i, name := range g.Points {
		if name == point {
			return g.Column(i)
		}
	}
	return nil
}

// sides gives the groups of one strip.
func (e *Evidence) sides(values func(*study.Group) []float64, worse bool) []svg.Side {
	after := svg.Disc
	if worse {
		after = svg.Triangle
	}
	var out []svg.Side
	for _, side := range []struct {
		name  string
		mark  svg.Mark
		group *study.Group
	}{{"before", svg.Ring, e.ev.Before}, {"after", after, e.ev.After}, {"undone", svg.Square, e.ev.Back}} {
		if side.group == nil {
			continue
		}
		v := values(side.group)
		out = append(out, svg.Side{Name: side.name, Mark: side.mark, Values: v, Mean: mean(v)})
	}
	return out
}

// mean is that of a group, NaN if it is empty.
func mean(v []float64) float64 {
	sum, err := stats.Summarize(v)
	if err != nil {
		return math.NaN()
	}
	return sum.Mean
}

func (e *Evidence) note(sides []svg.Side) string {
	var parts []string
	for _, s := range sides {
		if !math.IsNaN(s.Mean) {
			parts = append(parts, number(e.ev.Shown(s.Mean)))
		}
	}
	return strings.Join(parts, " → ")
}

func (e *Evidence) legend(worse bool) []svg.Key {
	var keys []svg.Key
	add := func(g *Group, mark svg.Mark, name string) {
		if g != nil {
			keys = append(keys, svg.Key{Mark: mark, Text: strings.TrimSpace(name + " " + g.On)})
		}
	}
	add(e.Before, svg.Ring, "before")
	add(e.After, svg.Disc, "after")
	if worse {
		keys = append(keys, svg.Key{Mark: svg.Triangle, Text: "after, the point got worse"})
	}
	add(e.Restored, svg.Square, "undone")
	return append(keys, svg.Key{Mean: true, Text: "mean"})
}

// plotWords tells the picture to those who cannot see it.
func (e *Evidence) plotWords(points []string) string {
	text := "Dots on a scale in " + orWord(e.Unit, "plain numbers") + ", before on the left and after on the right of each strip. " + e.Verdict
	if len(points) > 1 {
		var parts []string
		for _, p := range e.Points {
			worse := ""
			if p.Worse {
				worse = ", got worse"
			}
			parts = append(parts, fmt.Sprintf("%s mean %s to %s%s", p.Point, number(p.Before), number(p.After), worse))
		}
		if parts != nil {
			text += " By point: " + strings.Join(parts, "; ") + "."
		}
	}
	return text + " Every reading is in the table of readings."
}

// Outline draws the mean step at each point of the part, before and after. It
// is empty unless the characteristic is a length at three points or more whose
// places and directions are known.
func (e *Evidence) Outline(id string, alone bool) string {
	ev := e.ev
	if ev == nil || ev.Char == nil || len(ev.Points) < 3 {
		return ""
	}
	var names []string
	for _, p := range ev.Points {
		names = append(names, p.Point)
	}
	o, ok := outlineOf(ev, names)
	if !ok || ev.Unit.Dim() != quantity.Length {
		return ""
	}
	o.ID, o.Alone, o.Title = id, alone, e.Title+": mean step at each point of the outline"
	var before, after []svg.OutlineStep
	var words []string
	for _, p := range ev.Points {
		before = append(before, svg.OutlineStep{Value: ev.Q(p.C.Before.Mean).Float(), Text: number(ev.Shown(p.C.Before.Mean))})
		after = append(after, svg.OutlineStep{Value: ev.Q(p.C.After.Mean).Float(), Text: number(ev.Shown(p.C.After.Mean))})
		words = append(words, fmt.Sprintf("%s %s to %s", p.Point, number(ev.Shown(p.C.Before.Mean)), number(ev.Shown(p.C.After.Mean))))
	}
	o.Panels = []svg.OutlinePanel{
		{Head: "before " + e.Before.On, Series: []svg.OutlineSeries{{Kind: svg.Was, Steps: before}}},
		{Head: "after " + e.After.On, Series: []svg.OutlineSeries{{Kind: svg.Now, Steps: after}}},
	}
	if told := e.toldSteps(names); told != nil {
		o.Panels[1].Head += ", beside what was predicted"
		o.Panels[1].Series = append(o.Panels[1].Series, svg.OutlineSeries{Kind: svg.Foretold, Steps: told})
	}
	o.Desc = "Arrows at the points of the outline show the mean step in " + e.Unit + ", outwards is plus: " + strings.Join(words, "; ") + "."
	picture, _ := o.Draw()
	return picture
}

// outlineOf places the points of a characteristic, and the holes that they are
// measured from. It is false if a point has no place or no direction.
func outlineOf(ev *study.Evidence, names []string) (o svg.Outline, ok bool) {
	mm := func(s ledger.Size) float64 { return s.Nominal().Float() }
	for _, name := range names {
		i := slices.IndexFunc(ev.Char.Points, func(p ledger.Point) bool { return p.ID.S == name })
		if i < 0 {
			return o, false
		}
		at := ev.Char.Points[i]
		if !at.At.Set() || !at.Normal.Set() {
			return o, false
		}
		o.Points = append(o.Points, svg.OutlinePoint{Name: name, X: mm(at.At.X), Y: mm(at.At.Y), NX: mm(at.Normal.X), NY: mm(at.Normal.Y)})
	}
	if part, ok := ev.CharRec.Data.(*ledger.Part); ok {
		for _, f := range part.Features {
			for _, d := range ev.Char.Datum {
				if d.S == f.ID.S && f.At.Set() {
					o.Marks = append(o.Marks, svg.OutlineMark{Name: f.ID.S, X: mm(f.At.X), Y: mm(f.At.Y)})
				}
			}
		}
	}
	return o, true
}
