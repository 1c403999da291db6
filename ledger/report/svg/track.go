package svg

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// TrackStyle is what a track needs beside Style; a page that holds tracks needs it
// once.
const TrackStyle = `.tp .joined{fill:none;stroke:var(--dim);stroke-width:.8}
.tp .guide{stroke:var(--dim);stroke-width:1.1;stroke-dasharray:2 3}
.tp .level{stroke:var(--ink);stroke-width:1}
.tp .fitted{stroke:var(--after);stroke-width:1.4}
.tp .bound{stroke:var(--after);stroke-width:1;stroke-dasharray:5 3}
.tp .part{stroke:var(--rule);stroke-width:1}
`

// Track is a plot of readings in their order, or against a count: a chart of a
// process, or the drift of a tool.
type Track struct {
	ID, Title, Desc string
	Unit, Across    string // of the two axes
	Series          []Run
	Levels          []Level
	Lines           []Line
	Cuts            []Cut
	Legend          []Key
	Joined          bool // a thin line from each reading to the next, not across a cut
	Alone           bool // puts the style sheets into the picture
}

// Run is one series of readings.
type Run struct {
	X, Y []float64
	Mark Mark
}

// Level is a line across the plot with its name at the right.
type Level struct {
	At   float64
	Kind LevelKind
	Name string
}

// LevelKind says what a level is and how it is drawn.
type LevelKind string

// The kinds.
const (
	LimitLevel LevelKind = "limit" // of the drawing: full
	GoalLevel  LevelKind = "goal"  // dashed
	ChartLevel LevelKind = "guide" // of the chart: dotted
	MeanLevel  LevelKind = "level"
)

// Line is a straight line from one point to another.
type Line struct {
	X1, Y1, X2, Y2 float64
	Bound          bool // dashed
}

// Cut is an upright line where something begins, with its name above.
type Cut struct {
	X      float64
	Name   string
	Strong bool // named in the line above the others, and drawn darker
}

// Sizes of a track, and the most readings that are drawn.
const (
	trackWidth  = 640 * px
	nameWidth   = 120 * px
	cutHeight   = 36 * px
	maxTracked  = 500
	leastBeside = 46 * px // between names of cuts
)

// Draw gives the picture as text. Of more than 500 readings the last 500 are drawn,
// and the picture says so.
func (p Track) Draw() string {
	words := p.shorten()
	left, right := p.across()
	low, high := p.domain()
	rows := Dots{Legend: p.Legend}.legendRows(axisWidth + trackWidth + nameWidth)
	height := len(rows)*legendLine + cutHeight + plotHeight + footHeight
	d := newDoc(axisWidth+trackWidth+nameWidth, height, p.ID, p.Title, p.Desc)
	y := 0
	for _, row := range rows {
		x := 8 * px
		for _, k := range row {
			Dots{}.key(d, k, x, y+11*px)
			x += keyWidth(k)
		}
		y += legendLine
	}
	s := scale{low, high, y + cutHeight, y + cutHeight + plotHeight}
	at := func(x float64) int {
		return axisWidth + round(float64(float64(x-left)/float64(right-left)*float64(trackWidth)))
	}
	marks, decimals := ticks(low, high, 9)
	for _, v := range marks {
		d.line("grid", axisWidth, s.y(v), axisWidth+trackWidth, s.y(v))
		d.text("small dim", "end", axisWidth-6*px, s.y(v)+4*px, label(v, decimals))
	}
	d.line("axis", axisWidth, s.top, axisWidth, s.bottom)
	d.line("axis", axisWidth, s.bottom, axisWidth+trackWidth, s.bottom)
	d.text("small dim", "start", 4*px, s.top-6*px, p.Unit)
	marks, decimals = ticks(left, right, 11)
	for _, v := range marks {
		d.line("axis", at(v), s.bottom, at(v), s.bottom+4*px)
		d.text("small dim", "middle", at(v), s.bottom+17*px, label(v, decimals))
	}
	d.text("small dim", "end", axisWidth+trackWidth, s.bottom+33*px, p.Across)
	p.cuts(d, s, at)
	p.levels(d, s)
	for _, l := range p.Lines {
		class := "fitted"
		if l.Bound {
			class = "bound"
		}
		d.line(class, at(l.X1), s.y(l.Y1), at(l.X2), s.y(l.Y2))
	}
	if p.Joined {
		p.join(d, s, at)
	}
	for _, r := range p.Series {
		for i := range r.X {
			mark(d, r.Mark, at(r.X[i]), s.y(r.Y[i]), dotRadius)
		}
	}
	d.text("small dim", "start", 8*px, height-7*px, words)
	if p.Alone {
		return strings.Replace(d.String(true), "</style>", TrackStyle+"</style>", 1)
	}
	return d.String(false)
}

// shorten keeps the last readings, and says how many of how many.
func (p *Track) shorten() string {
	var all []float64
	for _, r := range p.Series {
		all = append(all, r.X...)
	}
	if len(all) <= maxTracked {
		return ""
	}
	slices.Sort(all)
	from := all[len(all)-maxTracked]
	p.Series, p.Cuts = slices.Clone(p.Series), slices.Clone(p.Cuts)
	for i, r := range p.Series {
		keep := Run{Mark: r.Mark}
		for k, x := range r.X {
			if x >= from {
				keep.X, keep.Y = append(keep.X, x), append(keep.Y, r.Y[k])
			}
		}
		p.Series[i] = keep
	}
	p.Cuts = slices.DeleteFunc(p.Cuts, func(c Cut) bool { return c.X < from })
	words := fmt.Sprintf("the last %d of %d readings drawn", maxTracked, len(all))
	p.Desc = strings.TrimSpace(p.Desc + " Drawn: " + words + ".")
	return words
}

// across is the range of the axis to the right.
func (p Track) across() (left, right float64) {
	left, right = math.Inf(1), math.Inf(-1)
	for _, r := range p.Series {
		for _, x := range r.X {
			left, right = min(left, x), max(right, x)
		}
	}
	for _, l := range p.Lines {
		left, right = min(left, l.X1, l.X2), max(right, l.X1, l.X2)
	}
	if left > right {
		left, right = 0, 1
	}
	pad := max((right-left)*0.02, 0.5)
	return left - pad, right + pad
}

// domain is the range of the scale, as that of a dot plot.
func (p Track) domain() (low, high float64) {
	var strips []Strip
	for _, r := range p.Series {
		strips = append(strips, Strip{Sides: []Side{{Values: r.Y}}, Limits: nothing, Goal: nothing})
	}
	for _, l := range p.Lines {
		strips = append(strips, Strip{Sides: []Side{{Values: []float64{l.Y1, l.Y2}}}, Limits: nothing, Goal: nothing})
	}
	for _, l := range p.Levels {
		strips = append(strips, Strip{Limits: [2]float64{l.At, l.At}, Goal: nothing})
	}
	low, high, _ = Dots{Strips: strips}.domain()
	return low, high
}

var nothing = [2]float64{math.NaN(), math.NaN()}

func (p Track) cuts(d *doc, s scale, at func(float64) int) {
	last := [2]int{-leastBeside, -leastBeside}
	for _, c := range p.Cuts {
		x, row, class, up := at(c.X), 0, "part", 6*px
		if c.Strong {
			row, class, up = 1, "axis", 20*px
		}
		d.line(class, x, s.top-up+6*px, x, s.bottom)
		if x-last[row] >= leastBeside {
			d.text("small dim", "start", x+3*px, s.top-up, c.Name)
			last[row] = x
		}
	}
}

// join draws a thin line from each reading to the next.
func (p Track) join(d *doc, s scale, at func(float64) int) {
	var all [][2]float64
	for _, r := range p.Series {
		for i := range r.X {
			all = append(all, [2]float64{r.X[i], r.Y[i]})
		}
	}
	slices.SortStableFunc(all, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	for i := 1; i < len(all); i++ {
		from, to := all[i-1], all[i]
		if !slices.ContainsFunc(p.Cuts, func(c Cut) bool { return c.X >= from[0] && c.X <= to[0] }) {
			d.line("joined", at(from[0]), s.y(from[1]), at(to[0]), s.y(to[1]))
		}
	}
}

// levels draws the lines across and names them, kept apart.
func (p Track) levels(d *doc, s scale) {
	levels := slices.Clone(p.Levels)
	slices.SortStableFunc(levels, func(a, b Level) int { return cmp.Compare(b.At, a.At) })
	free := s.top
	for _, l := range levels {
		name, y := l.Name, s.y(l.At)
		switch {
		case l.At > s.high:
			name, y = name+" \u2191", s.top
		case l.At < s.low:
			name, y = name+" \u2193", s.bottom
		default:
			d.line(string(l.Kind), axisWidth, y, axisWidth+trackWidth, y)
		}
		y = max(y, free)
		free = y + 13*px
		class := "small"
		switch l.Kind {
		case LimitLevel:
			class = "small limitname"
		case GoalLevel:
			class = "small goalname"
		case ChartLevel:
			class = "small dim"
		}
		d.text(class, "start", axisWidth+trackWidth+6*px, y+4*px, strings.ReplaceAll(name, "-", "\u2212"))
	}
}
