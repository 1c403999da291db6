package svg

// Plan is the graph of a plan: operations from top to bottom, features as lanes from
// the first operation that touches them to the last, and on each lane what is done.
type Plan struct {
	ID, Title, Desc string
	Rows            []PlanRow
	Lanes           []PlanLane
	// Foot stands under the picture, for what is not drawn.
	Foot string
}

// PlanRow is an operation.
type PlanRow struct{ Name, Text string }

// PlanLane is a feature, or several that are treated alike.
type PlanLane struct {
	Name  string
	Marks []PlanMark // by row
}

// PlanMark is what an operation does to a feature.
type PlanMark struct {
	Row  int
	Does Deed
	// Odd draws a dashed ring around it with an exclamation mark.
	Odd bool
}

// Deed is what is done to a feature; each has a shape of its own.
type Deed int

// The deeds and their shapes.
const (
	Makes   Deed = iota // or finishes: a full square
	Roughs              // an empty square
	Locates             // a full circle
	Alters              // a cross
	Checks              // an empty circle
)

// Sizes of the picture.
const (
	planLabel = 268 * px
	planLane  = 38 * px
	planRow   = 27 * px
	planHead  = 92 * px
	planMark  = 5 * px
	planText  = 34 // letters of a title
)

// deeds are the words of the legend, by shape.
var deeds = []string{"makes or finishes", "roughs", "locates on", "alters", "checks"}

// Draw gives the picture as text.
func (p Plan) Draw() string {
	width := max(planLabel+len(p.Lanes)*planLane+60*px, 640*px)
	top := 26*px + planHead
	height := top + len(p.Rows)*planRow + 8*px
	if p.Foot != "" {
		height += 20 * px
	}
	d := newDoc(width, height, p.ID, p.Title, p.Desc)
	x := 8 * px
	for k, word := range deeds {
		d.deed(Deed(k), x+6*px, 13*px)
		d.text("small", "start", x+17*px, 17*px, word)
		x += (30 + 6*len(word)) * px
	}
	if p.odd() {
		d.odd(x+14*px, 13*px)
		d.text("small", "start", x+38*px, 17*px, "does not hold")
	}
	for i, r := range p.Rows {
		y := top + i*planRow
		d.line("grid", 0, y+planRow, width, y+planRow)
		d.text("head", "start", 6*px, y+18*px, r.Name)
		d.text("", "start", 62*px, y+18*px, clipped(r.Text, planText))
	}
	for k, l := range p.Lanes {
		x := planLabel + k*planLane + planLane/2
		d.turned(x+3*px, top-8*px, clipped(l.Name, 18))
		if len(l.Marks) == 0 {
			continue
		}
		d.line("axis", x, top+l.Marks[0].Row*planRow+planRow/2, x, top+l.Marks[len(l.Marks)-1].Row*planRow+planRow/2)
		for from := 0; from < len(l.Marks); {
			to := from
			for to < len(l.Marks) && l.Marks[to].Row == l.Marks[from].Row {
				to++
			}
			y := top + l.Marks[from].Row*planRow + planRow/2
			for n, m := range l.Marks[from:to] {
				at := x + (2*n-(to-from-1))*6*px
				d.deed(m.Does, at, y)
				if m.Odd {
					d.odd(at, y)
				}
			}
			from = to
		}
	}
	if p.Foot != "" {
		d.text("small dim", "start", 6*px, height-8*px, p.Foot)
	}
	return d.String(false)
}

// odd reports whether any mark is.
func (p Plan) odd() bool {
	for _, l := range p.Lanes {
		for _, m := range l.Marks {
			if m.Odd {
				return true
			}
		}
	}
	return false
}

// deed draws the shape of a deed.
func (d *doc) deed(k Deed, x, y int) {
	r := planMark
	switch k {
	case Makes:
		d.polygon("solid", x-r, y-r, x+r, y-r, x+r, y+r, x-r, y+r)
	case Roughs:
		d.polygon("open", x-r, y-r, x+r, y-r, x+r, y+r, x-r, y+r)
	case Locates:
		d.circle("solid", x, y, r)
	case Alters:
		d.line("cross", x-r, y-r, x+r, y+r)
		d.line("cross", x-r, y+r, x+r, y-r)
	case Checks:
		d.circle("open", x, y, r)
	}
}

// odd draws what sets a mark apart.
func (d *doc) odd(x, y int) {
	d.circle("odd", x, y, planMark+5*px)
	d.text("head", "middle", x+planMark+9*px, y-2*px, "!")
}

// turned writes words upwards to the right.
func (d *doc) turned(x, y int, s string) {
	d.body.WriteString(`<text class="small" transform="translate(` + num(x) + ` ` + num(y) + `) rotate(-52)">` + escape(s) + "</text>\n")
}

// clipped keeps a text to so many letters.
func clipped(s string, most int) string {
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return string(r[:most-1]) + "…"
}

// PlanStyle is the style of the picture, beside Style.
const PlanStyle = `.tp .solid{fill:var(--ink);stroke:var(--paper);stroke-width:1.5}
.tp .open{fill:var(--paper);stroke:var(--ink);stroke-width:1.8}
.tp .cross{stroke:var(--ink);stroke-width:2.2}
.tp .odd{fill:none;stroke:var(--limit);stroke-width:1.6;stroke-dasharray:3 2}
`
