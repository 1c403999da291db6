package svg

import (
	"math"
	"strconv"
	"strings"
)

// StationPin is a locating pin with the hole that is on it. Lengths are all in one
// unit; places are those of the part.
type StationPin struct {
	Name   string
	Lines  []string // words under it
	X, Y   float64  // where it should stand
	Radius float64
	Land   float64 // width of the land of a relieved pin along Axis; 0 if round
	Axis   float64 // rad, counter-clockwise
	Error  [2]float64
	// Gap is the radius of the hole less that of the pin, and Off where the hole
	// stands from the pin.
	Gap float64
	Off [2]float64
	// Binds is set if the pin is among those that touch first.
	Binds bool
}

// StationPoint is a point of the part with how far it can move.
type StationPoint struct {
	Name, Text  string
	X, Y        float64
	NX, NY      float64 // direction out of the material
	Plus, Minus float64 // farthest along that direction, and against it
}

// Station shows the pins of a station with the holes on them, where the pins
// stand wrong, and how far points of the part can move. Clearances, errors and
// movements are equally enlarged against the places.
type Station struct {
	ID, Title, Desc string
	Pins            []StationPin
	Points          []StationPoint
	Part            string // which part is drawn, for the line under the picture
	Alone           bool
	// Narrow draws it for half the width of a page, with words of the same size and
	// without how far the points can move.
	Narrow bool
}

const (
	stationWidth  = 768 * px
	stationNarrow = 480 * px
	narrowSide    = 84 * px
	narrowTop     = 74 * px
	stationSide   = 120 * px // room for arrows and words
	stationTop    = 84 * px
	stationBelow  = 50 * px
	stationMost   = 28 * px // the longest enlarged length
	stationHeight = 360 * px
	pinLeast      = 13 * px
	pinMost       = 30 * px
	legendRow     = 16 * px
)

// Draw gives the picture as text and by how much the small lengths are enlarged.
// It gives "" if the pins stand at one place or nothing has a size.
func (s Station) Draw() (picture string, enlarged float64) {
	lowX, highX, lowY, highY := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	span := func(x, y float64) {
		lowX, highX, lowY, highY = min(lowX, x), max(highX, x), min(lowY, y), max(highY, y)
	}
	largest := 0.0
	for _, p := range s.Pins {
		span(p.X, p.Y)
		largest = max(largest, math.Hypot(p.Error[0], p.Error[1]), math.Hypot(p.Off[0], p.Off[1]), math.Abs(p.Gap))
	}
	for _, p := range s.Points {
		span(p.X, p.Y)
		if !s.Narrow {
			largest = max(largest, math.Abs(p.Plus), math.Abs(p.Minus))
		}
	}
	if !(max(highX-lowX, highY-lowY) > 0) || !(largest > 0) || math.IsInf(largest, 0) {
		return "", 0
	}
	width, side, top := stationWidth, stationSide, stationTop
	if s.Narrow {
		width, side, top = stationNarrow, narrowSide, narrowTop
	}
	per := math.Inf(1) // hundredths of a pixel for one unit of length
	if highX > lowX {
		per = float64(width-2*side) / (highX - lowX)
	}
	if highY > lowY {
		per = min(per, float64(stationHeight)/(highY-lowY))
	}
	enlarged = niceBelow(float64(stationMost) / float64(largest*per))
	small := enlarged * per
	// Under the lowest place there is room for arrows and for the words of pins.
	room := stationBelow
	for _, p := range s.Pins {
		words := 2*stationMost + pinMost + (16+13*len(p.Lines))*px
		room = max(room, words-round(float64((p.Y-lowY)*per)))
	}
	room += 24 * px
	if s.Narrow {
		room += legendRow
	}
	height := round(float64((highY-lowY)*per)) + top + room
	d := newDoc(width, height, s.ID, s.Title, s.Desc)
	centre := (lowX + highX) / 2
	x := func(v float64) int { return width/2 + round(float64((v-centre)*per)) }
	y := func(v float64) int { return height - room - round(float64((v-lowY)*per)) }
	var edge Outline
	for _, p := range s.Points {
		edge.Points = append(edge.Points, OutlinePoint{X: p.X, Y: p.Y, NX: p.NX, NY: p.NY})
	}
	if shape := edge.shape(); shape != nil {
		var xy []int
		for _, c := range shape {
			xy = append(xy, x(c[0]), y(c[1]))
		}
		d.polygon("shape", xy...)
	}
	if s.Narrow {
		s.Points = nil
	}
	for _, p := range s.Points {
		d.play(p, x(p.X), y(p.Y), small)
	}
	for _, p := range s.Pins {
		d.pin(p, x(p.X), y(p.Y), per, small)
	}
	legend(d, height, enlarged, s)
	return d.String(s.Alone), enlarged
}

// pin draws a pin around its enlarged place, and its hole with an enlarged gap.
func (d *doc) pin(p StationPin, x, y int, per, small float64) {
	r := min(max(round(float64(p.Radius*per)), pinLeast), pinMost)
	px1, py1 := x+round(float64(p.Error[0]*small)), y-round(float64(p.Error[1]*small))
	hx, hy := px1+round(float64(p.Off[0]*small)), py1-round(float64(p.Off[1]*small))
	hole := max(r+round(float64(p.Gap*small)), 2*px)
	class := "pinbody"
	if p.Binds {
		class = "pinbody binds"
	}
	if p.Land > 0 && p.Radius > 0 && p.Land < 2*p.Radius {
		d.lens(class, px1, py1, r, float64(p.Land)/float64(2*p.Radius), p.Axis)
	} else {
		d.circle(class, px1, py1, r)
	}
	d.circle("bore", hx, hy, hole)
	// Where the pin should stand.
	d.line("axis", x-4*px, y, x+4*px, y)
	d.line("axis", x, y-4*px, x, y+4*px)
	d.arrowTo("arrow", x, y, px1, py1)
	below := max(hy+hole, py1+r, y) + 16*px
	d.text("head", "middle", hx, below, p.Name)
	for i, words := range p.Lines {
		d.text("small", "middle", hx, below+(i+1)*13*px, strings.ReplaceAll(words, "-", "\u2212"))
	}
}

// lens draws what is left of a pin: the part of its circle that lies within a
// share of its radius on both sides of its middle, along the axis.
func (d *doc) lens(class string, x, y, r int, share, axis float64) {
	half := math.Asin(min(share, 1))
	var xy []int
	const steps = 12
	for _, side := range []float64{math.Pi / 2, 3 * math.Pi / 2} {
		for i := range steps + 1 {
			a := side + half*(1-2*float64(i)/steps)*-1 + axis
			sin, cos := math.Sincos(a)
			xy = append(xy, x+round(float64(float64(r)*cos)), y-round(float64(float64(r)*sin)))
		}
	}
	d.polygon(class, xy...)
}

// arrowTo draws an arrow between two places; nothing if it is too short to see.
func (d *doc) arrowTo(class string, x1, y1, x2, y2 int) {
	dx, dy := float64(x2-x1), float64(y2-y1)
	l := math.Hypot(dx, dy)
	if l < 2*px {
		return
	}
	head := min(6.0*px, l)
	ux, uy := dx/l, dy/l
	at := func(along, across float64) (int, int) {
		return x1 + round(float64(float64(ux*along)-float64(uy*across))), y1 + round(float64(float64(uy*along)+float64(ux*across)))
	}
	tx, ty := at(l-head, 0)
	ax, ay := at(l-head, head*0.5)
	bx, by := at(l-head, -head*0.5)
	d.line(class, x1, y1, tx, ty)
	d.polygon(class, x2, y2, ax, ay, bx, by)
}

// play draws the movement of a point as a bar with ends, and the edge there.
func (d *doc) play(p StationPoint, x, y int, small float64) {
	size := math.Hypot(p.NX, p.NY)
	if size == 0 {
		return
	}
	nx, ny := p.NX/size, -p.NY/size // y runs down in the picture
	at := func(along, across float64) (int, int) {
		return x + round(float64(float64(nx*along)-float64(ny*across))), y + round(float64(float64(ny*along)+float64(nx*across)))
	}
	line := func(class string, along1, across1, along2, across2 float64) {
		ax, ay := at(along1, across1)
		bx, by := at(along2, across2)
		d.line(class, ax, ay, bx, by)
	}
	plus, minus := float64(p.Plus*small), float64(-p.Minus*small)
	line("gap", 0, -17*px, 0, 17*px)
	line("mean", minus, 0, plus, 0)
	line("edge", plus, -5*px, plus, 5*px)
	line("edge", minus, -5*px, minus, 5*px)
	lx, ly := at(max(plus, minus, 0)+9*px, 0)
	anchor, shift := "middle", 4*px
	switch {
	case nx > 0.5:
		anchor = "start"
	case nx < -0.5:
		anchor = "end"
	case ny > 0:
		shift = 9 * px
	default:
		shift = 0
	}
	if anchor == "middle" {
		d.text("small", anchor, lx, ly+shift, p.Name+" "+p.Text)
		return
	}
	d.text("small", anchor, lx, ly, p.Name)
	d.text("small", anchor, lx, ly+13*px, p.Text)
}

// legend says what is drawn, and how much enlarged.
func legend(d *doc, height int, enlarged float64, s Station) {
	y := height - 10*px
	what := "gaps, errors and movements"
	if s.Narrow {
		what = "gaps and errors"
	}
	text := []string{what + " enlarged " + strconv.FormatFloat(enlarged, 'f', -1, 64) + " times against the places", s.Part}
	if s.Narrow {
		d.text("small dim", "middle", d.w/2, y-legendRow, text[0])
		d.text("small dim", "middle", d.w/2, y, text[1])
	} else {
		d.text("small dim", "middle", d.w/2, y, strings.Join(text, "; "))
	}
	x, row := 22*px, 16*px
	key := func(width int, words string) {
		d.text("small dim", "start", x+14*px, row+4*px, words)
		x += width
	}
	d.circle("pinbody", x, row, 6*px)
	key(62*px, "pin")
	d.circle("bore", x, row, 7*px)
	key(66*px, "hole")
	d.circle("pinbody binds", x, row, 6*px)
	key(140*px, "pin that binds first")
	moved := false
	for _, p := range s.Pins {
		moved = moved || p.Error != [2]float64{}
	}
	if moved {
		d.arrowTo("arrow", x-8*px, row, x+8*px, row)
		key(130*px, "error of its place")
	}
	if len(s.Points) > 0 {
		d.line("mean", x-8*px, row, x+8*px, row)
		d.line("edge", x-8*px, row-5*px, x-8*px, row+5*px)
		d.line("edge", x+8*px, row-5*px, x+8*px, row+5*px)
		key(0, "how far the part can move there")
	}
}
