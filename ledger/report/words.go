package report

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"tenths/ledger/study"
)

// The words and tables of this file stand alike on every form of the page.

// words is the row of dates of the title line.
func (d Dates) words() string {
	var parts []string
	for _, f := range d.facts() {
		parts = append(parts, f.Name+" "+f.Text)
	}
	return strings.Join(parts, " · ")
}

func (e *Evidence) heading() string {
	h := e.Title
	if strings.HasPrefix(e.Judged, "at ") {
		h += " " + e.Judged
	}
	if e.Claim == "spread" {
		h += ": spread"
	}
	return h
}

// scaleWords says what the numbers of a picture are.
func (e *Evidence) scaleWords() string {
	text := "In " + unitWords(e.Unit)
	if !e.From.IsZeroValue() && e.From.Sign() != 0 {
		text += " from " + e.From.String()
	}
	return text + e.boundWords()
}

func (e *Evidence) boundWords() string {
	text := ""
	if e.Limits.Text != "" {
		text += "; limits " + e.Limits.Text
	}
	if e.Goal.Text != "" {
		text += "; goal " + e.Goal.Text
	}
	return text
}

// unitWords names a unit after "in".
func unitWords(name string) string {
	switch name {
	case "":
		return "plain numbers"
	case "in":
		return "inches"
	}
	return name
}

// readingUnit is the unit in which all readings are written; false if they are
// not written in one.
func (e *Evidence) readingUnit() (string, bool) {
	unit, any := "", false
	for _, g := range []*Group{e.Before, e.After, e.Restored} {
		if g == nil {
			continue
		}
		for _, p := range g.Pieces {
			for _, r := range p.Readings {
				if r.IsZeroValue() {
					continue
				}
				if any && r.Unit().Name() != unit {
					return "", false
				}
				unit, any = r.Unit().Name(), true
			}
		}
	}
	return unit, any
}

// readingWords says what the numbers of the table of readings are: they stand
// there as they were written.
func (e *Evidence) readingWords() string {
	text := "As written"
	unit, one := e.readingUnit()
	if one {
		text += ", in " + unitWords(unit)
	}
	if e.ev == nil {
		return text
	}
	var from []string
	for _, g := range []*study.Group{e.ev.Before, e.ev.After, e.ev.Back} {
		if g == nil || !g.In.DeviationIn.Set() {
			continue
		}
		words := "what the limits are about"
		switch {
		case g.In.NominalIs.Set():
			words = g.In.NominalIs.Nominal().String()
		case !e.From.IsZeroValue():
			words = e.From.String()
		}
		if !contains(from, words) {
			from = append(from, words)
		}
	}
	if from != nil && (len(from) > 1 || e.From.Sign() != 0) {
		text += ", counted from " + strings.Join(from, " and ")
	}
	return text + e.boundWords()
}

// readingRows is the table of every reading, head first: one row a piece,
// before and after below each other, or one row a group where each piece has
// one reading only; nil if there are none.
func (e *Evidence) readingRows() [][]string {
	points := e.pointNames()
	head := []string{"when", "piece by piece"}
	if len(points) > 1 {
		head = append([]string{"when", "piece"}, points...)
		if e.largest() {
			head = append(head, "largest")
		}
	}
	show := textOf
	if _, one := e.readingUnit(); one {
		show = number
	}
	var rows [][]string
	for _, g := range []struct {
		name  string
		group *Group
	}{{"before", e.Before}, {"after", e.After}, {"undone", e.Restored}} {
		switch {
		case g.group == nil || len(g.group.Pieces) == 0:
		case len(points) > 1:
			for _, p := range g.group.Pieces {
				row := []string{g.name, p.Piece}
				for _, r := range p.Readings {
					row = append(row, show(r))
				}
				if e.largest() {
					row = append(row, number(p.Judged))
				}
				rows = append(rows, row)
			}
		default:
			var all []string
			for _, p := range g.group.Pieces {
				for _, r := range p.Readings {
					all = append(all, show(r))
				}
			}
			rows = append(rows, []string{g.name, strings.Join(all, ", ")})
		}
	}
	if rows == nil {
		return nil
	}
	return append([][]string{head}, rows...)
}

func (e *Evidence) pointRows() [][]string {
	if each := e.ev != nil && e.ev.PerPoint; each && e.Claim == "spread" {
		rows := [][]string{{"point", "s before", "s after", "before over after", "by the readings"}}
		for _, p := range e.Points {
			ratio := ""
			if p.Spread.Ratio > 0 {
				ratio = fmt.Sprintf("%.2f", p.Spread.Ratio)
			}
			rows = append(rows, []string{p.Point, number(p.Spread.Before), number(p.Spread.After), ratio, p.word(each)})
		}
		return rows
	}
	rows := [][]string{{"point", "mean before", "mean after", "change", "95 % interval", "by the readings"}}
	for _, p := range e.Points {
		interval := ""
		if !p.Change.Low.IsZeroValue() {
			interval = number(p.Change.Low) + " … " + number(p.Change.High)
		}
		rows = append(rows, []string{p.Point, number(p.Before), number(p.After), number(p.Change.Value), interval, p.word(e.ev != nil && e.ev.PerPoint)})
	}
	return rows
}

// word says what the readings show at the point. Where each point is judged by
// itself, one that stands out only when the others are left aside is told apart.
func (p Point) word(each bool) string {
	switch {
	case p.Worse:
		return "▲ got worse"
	case p.Verdict != "shown":
		return p.Verdict
	case each && !p.Better:
		return "changed, not shown better"
	}
	return "better"
}

// fact is a name with what is said of it.
type fact struct{ Name, Text string }

func (m Measured) facts() []fact {
	var out []fact
	add := func(name, text string) {
		if text != "" {
			out = append(out, fact{name, text})
		}
	}
	add("characteristic", m.Characteristic)
	add("from datum, at points", strings.Join(slices.DeleteFunc([]string{strings.Join(m.Datum, ", "), strings.Join(m.Points, ", ")}, func(s string) bool { return s == "" }), "; "))
	add("method", m.Method)
	if m.Comparable != "" {
		add("before and after comparable", m.Comparable+": "+strings.Join(m.Because, "; "))
	}
	return out
}

// takenRows is the table of how both groups were taken, head first; nil if
// there are no readings.
func (m Measured) takenRows() [][]string {
	if m.Before == nil && m.After == nil {
		return nil
	}
	rows := [][]string{{"what", "before", "after"}}
	b, a, u := m.Before.cells(), m.After.cells(), m.Undone.cells()
	if m.Undone != nil {
		rows[0] = append(rows[0], "undone")
	}
	for i, name := range []string{"day, lot", "gauge", "its standing that day", "its resolution, U", "parts", "left out as void", "measured by", "in doubt"} {
		switch {
		case m.Undone != nil && (b[i] != "" || a[i] != "" || u[i] != ""):
			rows = append(rows, []string{name, b[i], a[i], u[i]})
		case m.Undone == nil && (b[i] != "" || a[i] != ""):
			rows = append(rows, []string{name, b[i], a[i]})
		}
	}
	return rows
}

func (t *Taken) cells() [8]string {
	if t == nil {
		return [8]string{"no readings"}
	}
	list := func(parts ...string) string {
		return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), ", ")
	}
	with := func(word, s, after string) string {
		if s == "" {
			return ""
		}
		return word + s + after
	}
	left := ""
	if t.LeftOut > 0 {
		left = fmt.Sprint(t.LeftOut)
	}
	return [8]string{
		list(t.On, with("lot ", t.Lot, "")),
		strings.TrimSpace(t.Gauge + " " + t.GaugeTitle),
		t.Standing,
		list(textOf(t.Resolution), with("read to ", textOf(t.ReadsTo), ""), with("U ", textOf(t.U), " (k = 2)")),
		list(textOf(t.Temperature), t.Held, t.Picked),
		left, t.By, t.Doubt,
	}
}

func (c Changed) facts() []fact {
	out := []fact{{"one factor", orWord(c.Factor, "not written down")}}
	if c.Several != "" {
		out = append(out, fact{"why several things at once", c.Several})
	}
	if c.Cause != "" {
		out = append(out, fact{"cause", c.Cause})
	}
	if len(c.Touches) > 0 {
		out = append(out, fact{"touches", strings.Join(c.Touches, ", ")})
	}
	return out
}

// pinRows is the table of the pins touched, head first; nil if there are none.
func (c Changed) pinRows() [][]string {
	if len(c.Pins) == 0 {
		return nil
	}
	rows := [][]string{{"pin", "when", "what", "size", "off x, off y", "surveyed"}}
	for _, p := range c.Pins {
		for i, side := range []struct {
			name string
			s    PinState
		}{{"before", p.Before}, {"after", p.After}} {
			if i == 0 && p.NoEarlier {
				rows = append(rows, []string{p.Path, "before " + side.s.On, "the record holds no earlier state", "", "", ""})
				continue
			}
			rows = append(rows, []string{p.Path, side.name + " " + side.s.On, side.s.words(), side.s.Size, offText(side.s), orWord(side.s.Surveyed, "never in this state")})
		}
	}
	return rows
}

// offText is how far a pin stands off, shortly where both ways share a unit.
func offText(s PinState) string {
	switch {
	case s.OffX.IsZeroValue() || s.OffY.IsZeroValue():
		return "not known"
	case s.OffX.Unit().Same(s.OffY.Unit()):
		return number(s.OffX) + ", " + textOf(s.OffY)
	}
	return textOf(s.OffX) + ", " + textOf(s.OffY)
}

// words is the pin in words, without size and place.
func (s PinState) words() string {
	var parts []string
	for _, x := range []string{s.Type, s.Land, s.Relief, s.MadeBy, s.HeldBy} {
		switch {
		case x == "":
		case x == s.Land:
			parts = append(parts, "land "+x)
		case x == s.Relief:
			parts = append(parts, "relieved along "+x)
		default:
			parts = append(parts, x)
		}
	}
	return strings.Join(parts, ", ")
}

// lines says what the ledger holds of the things changed, but for the pins.
func (c Changed) lines() []string {
	var out []string
	for _, h := range c.Found {
		out = append(out, h.words(false))
	}
	return out
}

func (e ElseChanged) window() string {
	if e.From == "" || e.To == "" {
		return ""
	}
	return "Between " + e.From + " and " + e.To
}

// Words is what a change took, in one line.
func (c *Cost) Words() string {
	var parts []string
	for _, f := range []fact{{"", c.Hours}, {"", c.Cost}, {"scrapped ", c.Scrapped}, {"time for one part changed by ", c.Cycle}} {
		if f.Text != "" {
			parts = append(parts, f.Name+f.Text)
		}
	}
	return orWord(strings.Join(parts, ", "), "not written down")
}

// predictedWords is the prediction beside the result, or that there is none.
func (e *Evidence) predictedWords() string {
	if e.Prediction == nil {
		return "No prediction is written down"
	}
	return upper(e.Prediction.Text)
}

// Words says when the gain is looked at again, and what was found.
func (r Recheck) Words() string {
	if r.Kept == "" {
		return upper(r.Text)
	}
	return upper(r.Text) + ": " + r.Kept
}

// footer says what the page is and as of which day.
func (p *Page) footer() string {
	text := "As of " + p.AsOf
	if p.Shop != "" {
		text = p.Shop + ", as of " + p.AsOf
	}
	text += ". Intervals are 95 % (Welch); they show that something changed, not why."
	if p.Private {
		text += " Private: names people and money."
	}
	return text
}

// upper begins a sentence.
func upper(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return ""
	}
	return string(unicode.ToUpper(r)) + s[n:]
}
