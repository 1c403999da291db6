package svg

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
)

// OutlinePoint is a point of an outline with the mean step found there.
type OutlinePoint struct {
	Name          string
	X, Y          float64 // position, any length
	NX, NY        float64 // direction out of the material
	Before, After float64 // step along that direction, same length; NaN if none
	BeforeText    string
	AfterText     string
}

// OutlineMark is a hole from which the points are measured.
type OutlineMark struct {
	Name string
	X, Y float64
}

// Outline shows the step at each point as an arrow, before and after side by
// side and equally enlarged, so that shift, turn and size are seen at a glance.
type Outline struct {
	ID, Title, Desc string
	Points          []OutlinePoint
	Marks           []OutlineMark
	Before, After   string // words over the two halves
	Alone           bool
}

const (
	panelWidth  = 384 * px
	sideMargin  = 92 * px
	panelMargin = 66 * px // room for arrows and numbers
	arrowMost   = 40 * px
	edgeHalf    = 17 * px
)

// Draw gives the picture as text and by how much the steps are enlarged
// against the outline. It gives "" if the points lie at one place or no step
// is known.
func (o Outline) Draw() (picture string, enlarged float64) {
	lowX, highX, lowY, highY := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	largest := 0.0
	for _, p := range o.Points {
		lowX, highX = min(lowX, p.X), max(highX, p.X)
		lowY, highY = min(lowY, p.Y), max(highY, p.Y)
		for _, v := range []float64{p.Before, p.After} {
			if !math.IsNaN(v) {
				largest = max(largest, math.Abs(v))
			}
		}
	}
	span := max(highX-lowX, highY-lowY)
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
	d := newDoc(2*panelWidth, height, o.ID, o.Title, o.Desc)
	for k, head := range []string{o.Before, o.After} {
		left := k * panelWidth
		d.text("head", "middle", left+panelWidth/2, 16*px, head)
		centre := (lowX + highX) / 2
		x := func(v float64) int { return left + panelWidth/2 + round(float64((v-centre)*perLength)) }
		y := func(v float64) int { return height - panelMargin - round(float64((v-lowY)*perLength)) }
		if shape := o.shape(); shape != nil {
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
		for _, p := range o.Points {
			step, text := p.Before, p.BeforeText
			class := "arrow"
			if k == 1 {
				step, text, class = p.After, p.AfterText, "arrow now"
			}
			if !math.IsNaN(step) {
				point(d, class, p, x(p.X), y(p.Y), float64(step*enlarged*perLength), text)
			}
		}
	}
	d.line("gap", panelWidth, 6*px, panelWidth, height-6*px)
	d.text("small dim", "middle", panelWidth, height-8*px, "arrows enlarged "+strconv.FormatFloat(enlarged, 'f', -1, 64)+" times against the outline; outwards is +")
	return d.String(o.Alone), enlarged
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

// niceBelow is the largest of 1, 2, 5, 10, 20 ... that is not above v.
func niceBelow(v float64) float64 {
	exp := math.Floor(math.Log10(v))
	for _, m := range []float64{5, 2, 1} {
		if n := float64(m * math.Pow10(int(exp))); n <= v*(1+1e-9) {
			return n
		}
	}
	return math.Pow10(int(exp))
}

// point draws a piece of the edge, the arrow of the step and its number.
func point(d *doc, class string, p OutlinePoint, x, y int, length float64, text string) {
	size := math.Hypot(p.NX, p.NY)
	if size == 0 {
		return
	}
	nx, ny := p.NX/size, -p.NY/size // y runs down in the picture
	at := func(along, across float64) (int, int) {
		return x + round(float64(float64(nx*along)-float64(ny*across))), y + round(float64(float64(ny*along)+float64(nx*across)))
	}
	x1, y1 := at(0, -edgeHalf)
	x2, y2 := at(0, edgeHalf)
	d.line("edge", x1, y1, x2, y2)
	head := 7.0 * px
	sign := 1.0
	if length < 0 {
		sign = -1
	}
	if math.Abs(length) > 1*px {
		tail := length - float64(sign*head)
		if math.Abs(length) < head {
			tail, head = 0, math.Abs(length)
		}
		tx, ty := at(tail, 0)
		d.line(class, x, y, tx, ty)
		ax, ay := at(length, 0)
		bx, by := at(tail, head*0.55)
		cx, cy := at(tail, -head*0.55)
		d.polygon(class, ax, ay, bx, by, cx, cy)
	}
	lx, ly := at(max(length, 0)+float64(11*px), 0)
	anchor := "middle"
	switch {
	case nx > 0.5:
		anchor = "start"
	case nx < -0.5:
		anchor = "end"
	}
	shift := 4 * px // to the middle of the letters
	switch {
	case ny > 0.5:
		shift = 8 * px
	case ny < -0.5:
		shift = 0
	}
	d.text("", anchor, lx, ly+shift, p.Name+" "+strings.ReplaceAll(text, "-", "\u2212"))
}
