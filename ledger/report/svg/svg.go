// Package svg draws the few pictures of a report: dots on strips, and the step
// at each point of an outline.
//
// The output is the same to the byte for the same input on every machine:
// coordinates are whole hundredths of a pixel, attributes have a fixed order,
// and nothing depends on the width of a font. Each picture carries a title and
// a description for those who cannot see it, and tells everything by shape and
// words as well as by colour. Colours are those of Style, for light and dark.
package svg

import (
	"math"
	"strconv"
	"strings"
)

// px is one pixel in the unit of all coordinates.
const px = 100

// Style is the style sheet of the pictures; a page that holds several needs it
// once.
const Style = `.tp{font-family:system-ui,-apple-system,"Segoe UI",Roboto,"DejaVu Sans",sans-serif;font-size:12px;--ink:#1d1d1b;--paper:#fff;--dim:#5a5a55;--rule:#d2d0c8;--limit:#a8201a;--goal:#256b3c;--before:#8a5a00;--after:#0f4c81}
@media (prefers-color-scheme:dark){.tp{--ink:#eceae4;--paper:#1b1b19;--dim:#aaa79e;--rule:#45443f;--limit:#ff8f80;--goal:#86d39b;--before:#e6b450;--after:#8cc2f2}}
@media print{.tp{--ink:#000;--paper:#fff;--dim:#333;--rule:#ccc;--limit:#8c1510;--goal:#14522a;--before:#6b4600;--after:#0a3a66}}
.tp text{fill:var(--ink)}
.tp .dim{fill:var(--dim)}
.tp .head{font-weight:600}
.tp .small{font-size:11px}
.tp .axis{stroke:var(--dim);stroke-width:1}
.tp .grid{stroke:var(--rule);stroke-width:.6}
.tp .gap{stroke:var(--rule);stroke-width:1}
.tp .limit{stroke:var(--limit);stroke-width:1.4}
.tp .goal{stroke:var(--goal);stroke-width:1.2;stroke-dasharray:6 4}
.tp .limitname{fill:var(--limit)}
.tp .goalname{fill:var(--goal)}
.tp .before{fill:none;stroke:var(--before);stroke-width:1.5}
.tp .after{fill:var(--after);stroke:var(--after);stroke-width:.8}
.tp .undone{fill:none;stroke:var(--ink);stroke-width:1.4}
.tp .mean{stroke:var(--ink);stroke-width:2.2}
.tp .edge{stroke:var(--ink);stroke-width:1.6}
.tp .shape{fill:none;stroke:var(--rule);stroke-width:1.2}
.tp .hole{fill:none;stroke:var(--dim);stroke-width:1}
.tp .pinbody{fill:var(--rule);stroke:var(--ink);stroke-width:1}
.tp .pinbody.binds{stroke-width:2.6}
.tp .bore{fill:none;stroke:var(--ink);stroke-width:1.2;stroke-dasharray:4 2}
.tp .arrow{stroke:var(--before);stroke-width:1.8;fill:var(--before)}
.tp .arrow.now{stroke:var(--after);stroke-width:2.2;fill:var(--after)}
.tp .arrow.told{stroke:var(--ink);stroke-width:1.4;fill:var(--paper)}
.tp line.arrow.told{stroke-dasharray:4 2.5}
.tp .bar{stroke:var(--dim);stroke-width:.9}
`

// doc is a picture under construction.
type doc struct {
	w, h            int
	id, title, desc string
	body            strings.Builder
}

func newDoc(w, h int, id, title, desc string) *doc {
	return &doc{w: w, h: h, id: id, title: title, desc: desc}
}

// String is the whole picture. With style it stands alone; without, the page
// around it must hold Style.
func (d *doc) String(style bool) string {
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" class="tp" role="img" aria-labelledby="` + escape(d.id) + `-t ` + escape(d.id) + `-d" viewBox="0 0 ` + num(d.w) + ` ` + num(d.h) + `">` + "\n")
	b.WriteString(`<title id="` + escape(d.id) + `-t">` + escape(d.title) + "</title>\n")
	b.WriteString(`<desc id="` + escape(d.id) + `-d">` + escape(d.desc) + "</desc>\n")
	if style {
		b.WriteString("<style>\n" + Style + "</style>\n")
	}
	b.WriteString(d.body.String())
	b.WriteString("</svg>\n")
	return b.String()
}

func (d *doc) line(class string, x1, y1, x2, y2 int) {
	d.body.WriteString(`<line class="` + class + `" x1="` + num(x1) + `" y1="` + num(y1) + `" x2="` + num(x2) + `" y2="` + num(y2) + "\"/>\n")
}

func (d *doc) circle(class string, x, y, r int) {
	d.body.WriteString(`<circle class="` + class + `" cx="` + num(x) + `" cy="` + num(y) + `" r="` + num(r) + "\"/>\n")
}

// polygon takes x and y in turn.
func (d *doc) polygon(class string, xy ...int) {
	var p []string
	for i := 0; i+1 < len(xy); i += 2 {
		p = append(p, num(xy[i])+","+num(xy[i+1]))
	}
	d.body.WriteString(`<polygon class="` + class + `" points="` + strings.Join(p, " ") + "\"/>\n")
}

// text writes words; anchor is start, middle or end.
func (d *doc) text(class, anchor string, x, y int, s string) {
	if s == "" {
		return
	}
	d.body.WriteString(`<text`)
	if class != "" {
		d.body.WriteString(` class="` + class + `"`)
	}
	if anchor != "start" {
		d.body.WriteString(` text-anchor="` + anchor + `"`)
	}
	d.body.WriteString(` x="` + num(x) + `" y="` + num(y) + `">` + escape(s) + "</text>\n")
}

// num writes hundredths of a pixel as pixels.
func num(v int) string {
	sign := ""
	if v < 0 {
		sign, v = "-", -v
	}
	s := sign + strconv.Itoa(v/px)
	switch rest := v % px; {
	case rest == 0:
		return s
	case rest%10 == 0:
		return s + "." + strconv.Itoa(rest/10)
	case rest < 10:
		return s + ".0" + strconv.Itoa(rest)
	default:
		return s + "." + strconv.Itoa(rest)
	}
}

// escape makes text fit for XML; what XML 1.0 does not allow becomes a space.
func escape(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '&':
			b.WriteString("&amp;")
		case r == '<':
			b.WriteString("&lt;")
		case r == '>':
			b.WriteString("&gt;")
		case r == '"':
			b.WriteString("&quot;")
		case r < 0x20 || r == 0xFFFD || r == 0xFFFE || r == 0xFFFF || r >= 0x7F && r < 0xA0:
			b.WriteByte(' ')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// round gives the nearest whole number. The conversions keep a compiler from
// fusing a product with a sum, which would differ between machines.
func round(v float64) int { return int(math.Round(float64(v))) }

// scale maps values to hundredths of a pixel, upwards.
type scale struct {
	low, high   float64
	top, bottom int
}

func (s scale) y(v float64) int {
	part := float64(float64(v-s.low) / float64(s.high-s.low))
	return s.bottom - round(float64(part*float64(s.bottom-s.top)))
}

// ticks gives round numbers from low to high, no more than most of them, and
// the decimals that they need.
func ticks(low, high float64, most int) ([]float64, int) {
	span := high - low
	if !(span > 0) || math.IsInf(span, 0) {
		return []float64{low}, 1
	}
	for exp := int(math.Floor(math.Log10(span))) - 2; ; exp++ {
		for _, m := range []float64{1, 2, 5} {
			step := m * math.Pow10(exp)
			first, last := math.Ceil(low/step-1e-9), math.Floor(high/step+1e-9)
			if last-first+1 > float64(most) {
				continue
			}
			var out []float64
			for i := first; i <= last; i++ {
				out = append(out, float64(i*step))
			}
			return out, max(0, -exp)
		}
	}
}

// label writes a tick, without a minus before zero.
func label(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return strings.Replace(s, "-", "\u2212", 1)
}
