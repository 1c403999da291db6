package svg

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
)

// OutlinePoint is a point of an outline.
type OutlinePoint struct {
	Name   string
	X, Y   float64 // position, any length
	NX, NY float64 // direction out of the material
}

// OutlineMark is a hole from which the points are measured.
type OutlineMark struct {
	Name string
	X, Y float64
}

// ArrowKind says what an arrow stands for. Kinds are told apart by shape, so
// that the picture can be read in print without colour.
type ArrowKind int

// The kinds of arrow.
const (
	Was      ArrowKind = iota // found before: full line and head
	Now                       // found after, or found at all: full line and head, bolder
	Foretold                  // computed, not measured: dashed, with an open head
)

var arrowClass = [...]string{Was: "arrow", Now: "arrow now", Foretold: "arrow told"}

// OutlineStep is the step at a point along its direction, in the length of the
// positions; Value is NaN if there is none. Low and High are an interval around
// it, NaN for none.
type OutlineStep struct {
	Value, Low, High float64
	Text             string // the number in words
}

// OutlineSeries is a step for each point of the outline.
type OutlineSeries struct {
	Kind  ArrowKind
	Steps []OutlineStep
}

// OutlinePanel is one drawing of the outline with one arrow a series at each
// point; those of several series stand beside each other.
type OutlinePanel struct {
	Head   string
	Series []OutlineSeries
}

// Outline shows the step at each point as an arrow, panel beside panel and all
// equally enlarged, so that shift, turn and size are seen at a glance.
type Outline struct {
	ID, Title, Desc string
	Points          []OutlinePoint
	Marks           []OutlineMark
	Panels          []OutlinePanel // two a row
	Alone           bool
}

const (
	panelWidth  = 384 * px
	sideMargin  = 92 * px
	panelMargin = 66 * px // room for arrows and numbers
	noteHeight  = 22 * px
	arrowMost   = 44 * px
	edgeHalf    = 17 * px
	beside      = 11 * px // from arrow to arrow at one point
)

// Draw gives the picture as text and by how much the steps are enlarged
// against the outline. It gives "" if the points lie at one place or no step
// is known.
func (o Outline) Draw() (picture string, enlarged float64) {
	lowX, highX, lowY, highY := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, p := range o.Points {
		lowX, highX = min(lowX, p.X), max(highX, p.X)
		lowY, highY = min(lowY, p.Y), max(highY, p.Y)
	}
	span, largest := max(highX-lowX, highY-lowY), o.largest()
	if !(span > 0) || largest == 0 {
		return "", 0
	}
	// Pixels for one unit of length, across and up alike.
	perLength := float64(panelWidth-2*sideMargin) / span
	if highX-lowX > 0 {
		perLength = float64(panelWidth-2*sideMargin) / (highX - lowX)
	}
	perLength = min(perLength, float64(200*px)/max(highY-lowY, span/100))
	enlarged = niceBelow(float64(arrowMost) / float64(largest*perLength))
	height := round(float64((highY-lowY)*perLength)) + 2*panelMargin
	columns := min(len(o.Panels), 2)
	rows := (len(o.Panels) + 1) / 2
	d := newDoc(columns*panelWidth, rows*height+noteHeight, o.ID, o.Title, o.Desc)
	shape := o.shape()
	for k, panel := range o.Panels {
		left, bottom := k%2*panelWidth, (k/2+1)*height
		d.text("head", "middle", left+panelWidth/2, bottom-height+16*px, panel.Head)
		centre := (lowX + highX) / 2
		x := func(v float64) int { return left + panelWidth/2 + round(float64((v-centre)*perLength)) }
		y := func(v float64) int { return bottom - panelMargin - round(float64((v-lowY)*perLength)) }
		if shape != nil {
			var xy []int
			for _, c := range shape {
				xy = append(xy, x(c[0]), y(c[1]))
			}
			d.polygon("shape", xy...)
		}
		for _, m := range o.Marks {
			d.circle("hole", x(m.X), y(m.Y), 5*px)
			d.text("small dim", "middle", x(m.X), y(m.Y)+18*px, m.Name)
		}
		for i, p := range o.Points {
			panel.point(d, p, i, x(p.X), y(p.Y), float64(enlarged*perLength))
		}
		if k%2 == 1 {
			d.line("gap", panelWidth, bottom-height+6*px, panelWidth, bottom-6*px)
		}
	}
	foot := "arrows enlarged " + strconv.FormatFloat(enlarged, 'f', -1, 64) + " times against the outline; outwards is +"
	if o.foretold() {
		foot += "; dashed is predicted, the bar is its interval"
	}
	d.text("small dim", "middle", columns*panelWidth/2, rows*height+14*px, foot)
	return d.String(o.Alone), enlarged
}

// steps goes through every step that is drawn.
func (o Outline) steps(yield func(ArrowKind, OutlineStep)) {
	for _, p := range o.Panels {
		for _, s := range p.Series {
			for i := range min(len(s.Steps), len(o.Points)) {
				if !math.IsNaN(s.Steps[i].Value) {
					yield(s.Kind, s.Steps[i])
				}
			}
		}
	}
}

func (o Outline) largest() float64 {
	most := 0.0
	o.steps(func(_ ArrowKind, s OutlineStep) {
		for _, v := range []float64{s.Value, s.Low, s.High} {
			if !math.IsNaN(v) {
				most = max(most, math.Abs(v))
			}
		}
	})
	return most
}

// foretold reports whether an arrow with an interval is predicted.
func (o Outline) foretold() bool {
	told := false
	o.steps(func(k ArrowKind, s OutlineStep) { told = told || k == Foretold && s.Low < s.High })
	return told
}

// shape suggests the outline: the edges at neighbouring points drawn on until
// they meet. It is nil for fewer than three points.
func (o Outline) shape() [][2]float64 {
	if len(o.Points) < 3 {
		return nil
	}
	var cx, cy float64
	for _, p := range o.Points {
		cx, cy = cx+p.X, cy+p.Y
	}
	cx, cy = cx/float64(len(o.Points)), cy/float64(len(o.Points))
	ring := slices.Clone(o.Points)
	angle := func(p OutlinePoint) float64 { return math.Atan2(p.Y-cy, p.X-cx) }
	slices.SortStableFunc(ring, func(a, b OutlinePoint) int { return cmp.Compare(angle(a), angle(b)) })
	var out [][2]float64
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		out = append(out, [2]float64{a.X, a.Y})
		if c, ok := corner(a, b); ok {
			out = append(out, c)
		}
	}
	return out
}

// corner is where the edges at two points meet, unless they hardly do or meet
// far from both.
func corner(a, b OutlinePoint) ([2]float64, bool) {
	det := float64(a.NX*b.NY) - float64(a.NY*b.NX)
	if math.Abs(det) < 0.2*math.Hypot(a.NX, a.NY)*math.Hypot(b.NX, b.NY) {
		return [2]float64{}, false
	}
	da, db := float64(a.NX*a.X)+float64(a.NY*a.Y), float64(b.NX*b.X)+float64(b.NY*b.Y)
	c := [2]float64{(float64(da*b.NY) - float64(db*a.NY)) / det, (float64(a.NX*db) - float64(b.NX*da)) / det}
	apart := math.Hypot(a.X-b.X, a.Y-b.Y)
	return c, math.Hypot(c[0]-a.X, c[1]-a.Y) <= 2*apart && math.Hypot(c[0]-b.X, c[1]-b.Y) <= 2*apart
}

// niceBelow is the largest round number, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 15 ...,
// that is not above v.
func niceBelow(v float64) float64 {
	exp := math.Floor(math.Log10(v))
	for _, m := range []float64{8, 6, 5, 4, 3, 2.5, 2, 1.5, 1} {
		if n := float64(m * math.Pow10(int(exp))); n <= v*(1+1e-9) {
			return n
		}
	}
	return math.Pow10(int(exp))
}

// point draws a piece of the edge and, for every series, the arrow of the step
// with its interval; the numbers stand outside, in the order of the series.
func (panel OutlinePanel) point(d *doc, p OutlinePoint, i, x, y int, perStep float64) {
	size := math.Hypot(p.NX, p.NY)
	if size == 0 {
		return
	}
	nx, ny := p.NX/size, -p.NY/size // y runs down in the picture
	at := func(along, across float64) (int, int) {
		return x + round(float64(float64(nx*along)-float64(ny*across))), y + round(float64(float64(ny*along)+float64(nx*across)))
	}
	outer := 0.0
	var labels []string
	for k, s := range panel.Series {
		if i >= len(s.Steps) || math.IsNaN(s.Steps[i].Value) {
			continue
		}
		if labels == nil {
			x1, y1 := at(0, -edgeHalf)
			x2, y2 := at(0, edgeHalf)
			d.line("edge", x1, y1, x2, y2)
		}
		step := s.Steps[i]
		across := (float64(k) - float64(len(panel.Series)-1)/2) * beside
		place := func(along, side float64) (int, int) { return at(along, across+side) }
		length := float64(step.Value * perStep)
		outer = max(outer, length)
		if step.Low < step.High {
			low, high := float64(step.Low*perStep), float64(step.High*perStep)
			outer = max(outer, high)
			bar(d, place, low, high)
		}
		arrow(d, arrowClass[s.Kind], place, length)
		labels = append(labels, strings.ReplaceAll(step.Text, "-", "\u2212"))
	}
	if labels == nil {
		return
	}
	labels[0] = p.Name + " " + labels[0]
	lx, ly := at(outer+float64(11*px), 0)
	anchor := "middle"
	switch {
	case nx > 0.5:
		anchor = "start"
	case nx < -0.5:
		anchor = "end"
	}
	const row = 13 * px
	rest := (len(labels) - 1) * row
	shift := 4*px - rest/2 // to the middle of the letters
	switch {
	case ny > 0.5:
		shift = 8 * px
	case ny < -0.5:
		shift = -rest
	}
	for k, text := range labels {
		class := ""
		if k > 0 {
			class = "small dim"
		}
		d.text(class, anchor, lx, ly+shift+k*row, text)
	}
}

// arrow draws one step from the edge; one too short for a line is all head.
func arrow(d *doc, class string, at func(along, side float64) (int, int), length float64) {
	head := 7.0 * px
	if math.Abs(length) <= 1*px {
		return
	}
	sign := 1.0
	if length < 0 {
		sign = -1
	}
	tail := length - float64(sign*head)
	if math.Abs(length) < head {
		tail, head = 0, math.Abs(length)
	}
	x, y := at(0, 0)
	tx, ty := at(tail, 0)
	d.line(class, x, y, tx, ty)
	ax, ay := at(length, 0)
	bx, by := at(tail, head*0.55)
	cx, cy := at(tail, -head*0.55)
	d.polygon(class, ax, ay, bx, by, cx, cy)
}

// bar draws an interval, with a cross line at each end.
func bar(d *doc, at func(along, side float64) (int, int), low, high float64) {
	x1, y1 := at(low, 0)
	x2, y2 := at(high, 0)
	d.line("bar", x1, y1, x2, y2)
	for _, end := range []float64{low, high} {
		x1, y1 := at(end, -4*px)
		x2, y2 := at(end, 4*px)
		d.line("bar", x1, y1, x2, y2)
	}
}
