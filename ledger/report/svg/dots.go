package svg

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Mark is the shape of a reading.
type Mark int

// The shapes: what they are used for, and how they look without colour.
const (
	Ring     Mark = iota // before: an empty circle
	Disc                 // after: a full circle
	Triangle             // after, at a point that got worse: a full triangle
	Square               // after the change was undone: an empty square
)

// Side is one group of readings on a strip.
type Side struct {
	Name   string
	Mark   Mark
	Values []float64
	Mean   float64 // NaN if there is none
}

// Strip is one point with its groups of readings.
type Strip struct {
	Name  string
	Note  string // under the name: the two means in words
	Sides []Side
	// Limits and Goal are drawn across the strip; NaN where there is none.
	Limits, Goal [2]float64
	Wide         bool // drawn wider and set apart: what is judged
}

// Dots is a dot plot: every reading is a dot of its own, strips share a scale.
// Of a strip with more than 500 readings some are drawn, chosen evenly by their
// size with the lowest and the highest of each group, and the picture says how
// many of how many.
type Dots struct {
	ID, Title, Desc string
	Unit            string // of the axis
	// Limit and Goal are the words beside the lines, lower and upper.
	Limit, Goal [2]string
	Strips      []Strip
	// Legend says what the marks stand for, in the order of the shapes.
	Legend []Key
	// Alone puts the style sheet into the picture.
	Alone bool
}

// Key is one entry of the legend.
type Key struct {
	Mark Mark
	Mean bool // the tick of the mean and no mark
	Text string
}

// Sizes of the plot.
const (
	axisWidth   = 50 * px
	labelWidth  = 76 * px
	stripWidth  = 92 * px
	wideWidth   = 148 * px
	gapWidth    = 14 * px
	legendLine  = 22 * px
	plotHeight  = 216 * px
	headHeight  = 18 * px
	footHeight  = 42 * px
	perRow      = 6 // strips of usual width in a row
	dotRadius   = 4 * px
	dotDistance = 9 * px
	maxSlots    = 401 // dots beside each other before they lie on one another
	maxDots     = 500 // of one strip; more are a blot
)

// Draw gives the picture as text.
func (p Dots) Draw() string {
	p.Strips = slices.Clone(p.Strips)
	drawn, all := 0, 0
	for i, s := range p.Strips {
		p.Strips[i].Sides = slices.Clone(s.Sides)
		for k, side := range s.Sides {
			some := thinned(side.Values, maxDots/len(s.Sides))
			drawn, all = drawn+len(some), all+len(side.Values)
			p.Strips[i].Sides[k].Values = some
		}
	}
	foot, words := 0, ""
	if drawn < all {
		foot, words = legendLine, fmt.Sprintf("%d of %d dots drawn", drawn, all)
		p.Desc = strings.TrimSpace(p.Desc + " " + words + ", chosen evenly by size, with the lowest and the highest of each group.")
	}
	rows := p.rows()
	width := 0
	for _, r := range rows {
		width = max(width, rowWidth(r))
	}
	width = max(width, 296*px)
	legend := p.legendRows(width)
	height := len(legend)*legendLine + len(rows)*(headHeight+plotHeight+footHeight) + foot
	d := newDoc(width, height, p.ID, p.Title, p.Desc)
	y := 0
	for _, line := range legend {
		x := 8 * px
		for _, k := range line {
			p.key(d, k, x, y+11*px)
			x += keyWidth(k)
		}
		y += legendLine
	}
	low, high, lines := p.domain()
	for _, r := range rows {
		s := scale{low, high, y + headHeight, y + headHeight + plotHeight}
		p.row(d, r, s, lines)
		y += headHeight + plotHeight + footHeight
	}
	if words != "" {
		d.text("small dim", "start", 8*px, height-7*px, words)
	}
	return d.String(p.Alone)
}

// rows breaks the strips into rows that fit on a page.
func (p Dots) rows() [][]Strip {
	var rows [][]Strip
	var row []Strip
	usual := 0
	for _, s := range p.Strips {
		if !s.Wide && usual == perRow {
			rows, row, usual = append(rows, row), nil, 0
		}
		if !s.Wide {
			usual++
		}
		row = append(row, s)
	}
	return append(rows, row)
}

func rowWidth(strips []Strip) int {
	w := axisWidth + labelWidth
	for _, s := range strips {
		if s.Wide {
			w += wideWidth + gapWidth
		} else {
			w += stripWidth
		}
	}
	return w
}

// keyWidth allows for letters of usual width; the entries need not touch.
func keyWidth(k Key) int { return (30 + 13*len([]rune(k.Text))/2) * px }

func (p Dots) legendRows(width int) [][]Key {
	var rows [][]Key
	x := width // so that the first key opens a row
	for _, k := range p.Legend {
		if x+keyWidth(k) > width {
			rows, x = append(rows, nil), 8*px
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], k)
		x += keyWidth(k)
	}
	return rows
}

func (p Dots) key(d *doc, k Key, x, y int) {
	if k.Mean {
		d.line("mean", x, y, x+12*px, y)
	} else {
		mark(d, k.Mark, x+6*px, y, dotRadius)
	}
	d.text("small", "start", x+18*px, y+4*px, k.Text)
}

// domain is the range of the scale: all readings, and the limits and the goal
// unless they lie so far off that the readings would become a speck.
func (p Dots) domain() (low, high float64, drawn func(float64) bool) {
	low, high = math.Inf(1), math.Inf(-1)
	var extra []float64
	for _, s := range p.Strips {
		for _, side := range s.Sides {
			for _, v := range side.Values {
				low, high = min(low, v), max(high, v)
			}
		}
		extra = append(extra, s.Limits[0], s.Limits[1], s.Goal[0], s.Goal[1])
	}
	if low > high {
		low, high = 0, 0
	}
	span := high - low
	dataLow, dataHigh := low, high
	for _, v := range extra {
		if math.IsNaN(v) || span > 0 && (v < dataLow-4*span || v > dataHigh+4*span) {
			continue
		}
		low, high = min(low, v), max(high, v)
	}
	if low == high {
		pad := max(1, math.Abs(low)/10)
		low, high = low-pad, high+pad
	}
	pad := float64((high - low) * 0.06)
	low, high = low-pad, high+pad
	return low, high, func(v float64) bool { return !math.IsNaN(v) && v >= low && v <= high }
}

// row draws one row of strips with its axis.
func (p Dots) row(d *doc, strips []Strip, s scale, drawn func(float64) bool) {
	right := axisWidth
	for _, st := range strips {
		right += st.width()
	}
	marks, decimals := ticks(s.low, s.high, 9)
	for _, v := range marks {
		d.line("grid", axisWidth, s.y(v), right, s.y(v))
		d.text("small dim", "end", axisWidth-6*px, s.y(v)+4*px, label(v, decimals))
	}
	d.line("axis", axisWidth, s.top, axisWidth, s.bottom)
	d.text("small dim", "start", 4*px, s.top-6*px, p.Unit)
	x := axisWidth
	for i, st := range strips {
		p.strip(d, st, x, s, drawn)
		x += st.width()
		if i+1 < len(strips) {
			d.line("gap", x, s.top, x, s.bottom)
		}
	}
	p.lineNames(d, strips, right+6*px, s, drawn)
}

func (s Strip) width() int {
	if s.Wide {
		return wideWidth
	}
	return stripWidth
}

// lineNames writes the words beside the limit and goal lines, kept apart.
func (p Dots) lineNames(d *doc, strips []Strip, x int, s scale, drawn func(float64) bool) {
	type name struct {
		y           int
		class, text string
	}
	var names []name
	seen := map[int]bool{}
	add := func(v float64, class, text string) {
		if text == "" || math.IsNaN(v) {
			return
		}
		y := 0
		switch {
		case drawn(v):
			y = s.y(v)
		case v > s.high:
			y, text = s.top, text+" \u2191"
		default:
			y, text = s.bottom, text+" \u2193"
		}
		if !seen[y] {
			seen[y] = true
			names = append(names, name{y, class, text})
		}
	}
	for _, st := range strips {
		for i := range 2 {
			add(st.Limits[i], "small limitname", p.Limit[i])
			add(st.Goal[i], "small goalname", p.Goal[i])
		}
	}
	for _, n := range names {
		d.text(n.class, "start", x, n.y+4*px, strings.ReplaceAll(n.text, "-", "\u2212"))
	}
}

func (p Dots) strip(d *doc, st Strip, x int, s scale, drawn func(float64) bool) {
	w := st.width()
	for i := range 2 {
		if drawn(st.Limits[i]) {
			d.line("limit", x, s.y(st.Limits[i]), x+w, s.y(st.Limits[i]))
		}
		if drawn(st.Goal[i]) {
			d.line("goal", x, s.y(st.Goal[i]), x+w, s.y(st.Goal[i]))
		}
	}
	n := len(st.Sides)
	for i, side := range st.Sides {
		left, right := x+w*i/n, x+w*(i+1)/n
		mid := (left + right) / 2
		d.text("small dim", "middle", mid, s.top-6*px, side.Name)
		if !math.IsNaN(side.Mean) {
			half := min(18*px, (right-left)/2-3*px)
			d.line("mean", mid-half, s.y(side.Mean), mid+half, s.y(side.Mean))
		}
		for _, at := range swarm(side.Values, s, (right-left)/2-dotRadius-2*px) {
			mark(d, side.Mark, mid+at[0], at[1], dotRadius)
		}
	}
	d.text("head", "middle", x+w/2, s.bottom+17*px, st.Name)
	d.text("small", "middle", x+w/2, s.bottom+33*px, strings.ReplaceAll(st.Note, "-", "\u2212"))
}

func mark(d *doc, m Mark, x, y, r int) {
	switch m {
	case Ring:
		d.circle("before", x, y, r)
	case Disc:
		d.circle("after", x, y, r)
	case Triangle:
		// A little larger than the disc, so that both weigh the same.
		d.polygon("after", x, y-r*13/10, x+r*12/10, y+r*8/10, x-r*12/10, y+r*8/10)
	case Square:
		q := r * 9 / 10
		d.polygon("undone", x-q, y-q, x+q, y-q, x+q, y+q, x-q, y+q)
	}
}

// thinned gives n of the values in their order, or all if there are no more:
// the lowest, the highest, and those that stand at even steps between them when
// all are sorted.
func thinned(values []float64, n int) []float64 {
	if len(values) <= n || n < 2 {
		return values
	}
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(values[a], values[b]), a-b) })
	chosen := make([]int, n)
	for i := range chosen {
		chosen[i] = order[i*(len(order)-1)/(n-1)]
	}
	slices.Sort(chosen)
	out := make([]float64, n)
	for i, at := range chosen {
		out[i] = values[at]
	}
	return out
}

// swarm places the dots: heights by value, and dots that would touch beside
// each other, so that equal readings are all seen. half is the room on either
// side of the middle; where it does not suffice the dots move closer together.
func swarm(values []float64, s scale, half int) [][2]int {
	ys := make([]int, len(values))
	slots := make([]int, len(values))
	order := make([]int, len(values))
	for i, v := range values {
		ys[i], order[i] = s.y(v), i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(ys[b]-ys[a], a-b) })
	// The readings come in the order of their height, so the last dot of a
	// slot is the only one there that a new dot could touch.
	last := map[int]int{}
	widest := 0
	for _, i := range order {
		for try := range maxSlots {
			slot := (try + 1) / 2
			if try%2 == 0 {
				slot = -slot
			}
			y, taken := last[slot]
			if taken && y-ys[i] < dotDistance && try+1 < maxSlots {
				continue
			}
			slots[i], last[slot] = slot, ys[i]
			widest = max(widest, slot, -slot)
			break
		}
	}
	pitch := dotDistance
	if widest > 0 {
		pitch = min(pitch, half/widest)
	}
	out := make([][2]int, len(values))
	for i := range values {
		out[i] = [2]int{slots[i] * pitch, ys[i]}
	}
	return out
}
