package report

import (
	"fmt"
	"io"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger/study"
)

// WriteText prints a look-back for a person: the answer, then why, then every
// reading with its place, then what rests on them.
func (sh *SuspectSheet) WriteText(w io.Writer) error {
	var b strings.Builder
	b.WriteString(sh.Answer + "\n")
	if len(sh.Groups) > 1 {
		var rows [][]string
		for _, g := range sh.Groups {
			rows = append(rows, []string{g.name(), g.Answer})
		}
		writeColumns(&b, "  ", rows)
	}
	sh.because(&b)
	for _, g := range sh.Groups {
		g.text(&b, g.heading(sh))
	}
	for _, g := range sh.Later {
		g.text(&b, "Read after it was found out, "+g.heading(sh)+"\n"+g.Answer)
	}
	sh.undated(&b)
	sh.rests(&b)
	b.WriteString("\nLimits of this answer\n")
	for _, l := range sh.Limits {
		b.WriteString("  - " + l + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// because says what was found and when it was last good.
func (sh *SuspectSheet) because(b *strings.Builder) {
	name := strings.TrimSpace(sh.Gauge + " " + sh.Title)
	lastGood := "no good check before is known"
	if sh.LastGood != "" {
		lastGood = "last good " + sh.LastGood
	}
	f := sh.Found
	switch {
	case f == nil:
		fmt.Fprintf(b, "\n%s: no check has found it out by %s; %s. If it were out, this is what rests on it.\n", name, sh.AsOf, lastGood)
		return
	case f.Error.IsZeroValue():
		fmt.Fprintf(b, "\n%s: found out on %s (%s), %s; the error as found was not written down.\n", name, f.On, f.Result, lastGood)
	default:
		at := ""
		if !f.At.IsZeroValue() {
			at = " at " + f.At.String()
		}
		fmt.Fprintf(b, "\n%s: error %s%s, found on %s, %s.\n", name, signed(f.Error), at, f.On, lastGood)
	}
	fmt.Fprintf(b, "  %s:%d, as of %s\n", line(sh.File), f.Line, sh.AsOf)
	if f.LookBack == "" {
		fmt.Fprintf(b, "  no look-back is written down yet; it belongs under that check: look_back = %q\n", sh.lookBack)
	}
}

// signed shows an error with its sign.
func signed(q quantity.Quantity) string {
	if q.Sign() > 0 {
		return "+" + q.String()
	}
	return q.String()
}

func (g SuspectGroup) name() string { return orWord(g.Characteristic, "no characteristic named") }

func (g SuspectGroup) heading(sh *SuspectSheet) string {
	out := g.name() + prefixed(": ", g.Title)
	limits := ""
	for _, r := range g.Readings {
		if r.limits == "" || limits != "" && r.limits != limits {
			limits = ""
			break
		}
		limits = r.limits
	}
	out += prefixed(", ", limits)
	if !sh.Uncertainty.IsZeroValue() && limits != "" {
		out += ", U " + sh.Uncertainty.String()
	}
	if !g.Decided {
		out += " (no part was accepted by these)"
	}
	return out
}

func (g SuspectGroup) text(b *strings.Builder, heading string) {
	b.WriteString("\n" + heading + "\n")
	head := []string{"on", "inspection", "lot", "piece", "point", "as read", "corrected", "standing", ""}
	rows := [][]string{head}
	for _, r := range g.Readings {
		rows = append(rows, []string{r.On, r.Inspection, r.Lot, r.Piece, r.Point, textOf(r.Read), shownLength(r.Corrected), r.standing(), fmt.Sprintf("%s:%d", line(r.File), r.Line)})
	}
	writeColumns(b, "  ", withoutEmpty(rows))
	if len(g.Lots) > 1 {
		var lots []string
		for _, l := range g.Lots {
			lots = append(lots, orWord(l.Lot, "no lot")+" "+l.Answer)
		}
		b.WriteString("  by lot: " + strings.Join(lots, "; ") + "\n")
	}
}

// withoutEmpty leaves out the columns below whose head nothing stands.
func withoutEmpty(rows [][]string) [][]string {
	out := make([][]string, len(rows))
	for c := range rows[0] {
		empty := true
		for _, r := range rows[1:] {
			empty = empty && r[c] == ""
		}
		if empty {
			continue
		}
		for i, r := range rows {
			out[i] = append(out[i], r[c])
		}
	}
	return out
}

// shownLength shows a corrected value: with the decimals that are stated, or
// those that a shop can use.
func shownLength(q quantity.Quantity) string {
	if q.IsZeroValue() || q.Decimals() >= 0 {
		return textOf(q)
	}
	return study.Show(q)
}

// standing says what became of the reading, and by how much.
func (r SuspectReading) standing() string {
	out := r.Standing
	by := shownLength(r.Margin.Abs())
	switch {
	case r.Margin.IsZeroValue() || out == string(study.Cleared):
	case out == string(study.FoundOutside):
		out += " by " + by
	case r.Margin.Sign() == 0:
		out += ": on the limit"
	case r.Margin.Sign() < 0:
		out += ": " + by + " outside"
	default:
		out += ": " + by + " inside"
	}
	return out + prefixed(", ", r.Why)
}

func (sh *SuspectSheet) undated(b *strings.Builder) {
	if len(sh.Undated) == 0 {
		return
	}
	b.WriteString("\nNot known whether in the window: the day is missing or too vague\n")
	var rows [][]string
	for _, u := range sh.Undated {
		rows = append(rows, []string{u.Record, fmt.Sprintf("%d %s", u.Readings, plural(u.Readings, "reading")), u.Title, fmt.Sprintf("%s:%d", line(u.File), u.Line)})
	}
	writeColumns(b, "  ", rows)
}

// rests lists what rests on the readings.
func (sh *SuspectSheet) rests(b *strings.Builder) {
	var rows [][]string
	add := func(what, name, text, file string, at int) {
		rows = append(rows, []string{what, name, fmt.Sprintf("%s:%d", line(file), at), text})
	}
	for _, g := range sh.Gauges {
		how := "checked against " + g.Against + " on the day"
		if g.On != "" {
			how = "calibrated against " + g.Against + " on " + g.On
		}
		if n := len(g.Inspections); n > 0 {
			how += fmt.Sprintf(": %d %s in %s", g.Readings, plural(g.Readings, "reading"), strings.Join(g.Inspections, ", "))
		}
		add("gauge", g.Gauge, how, g.File, g.Line)
	}
	for i := 0; i < len(sh.Changes); i++ {
		c := sh.Changes[i]
		uses := c.Key + " = " + c.Inspection
		for i+1 < len(sh.Changes) && sh.Changes[i+1].Change == c.Change && sh.Changes[i+1].Note == c.Note {
			i++
			uses += ", " + sh.Changes[i].Key + " = " + sh.Changes[i].Inspection
		}
		add("change", c.Change, fmt.Sprintf("%s, %s: %s", c.State, uses, c.Note), c.File, c.Line)
	}
	for _, s := range sh.Surveys {
		add("survey", s.Locator, s.On+" with "+s.Gauge, s.File, s.Line)
	}
	for _, d := range sh.Derived {
		add("derived value", d.Path, "takes "+d.Takes, d.File, d.Line)
	}
	for _, g := range sh.Groups {
		if g.Decided && len(g.Readings) > 0 {
			r := g.Readings[0]
			add("decided", g.name(), "parts were accepted by it"+g.lots(), r.File, r.Line)
		}
	}
	if len(rows) == 0 {
		return
	}
	b.WriteString("\nWhat rests on it\n")
	writeColumns(b, "  ", rows)
}

func (g SuspectGroup) lots() string {
	var out []string
	for _, l := range g.Lots {
		if l.Lot != "" {
			out = append(out, l.Lot)
		}
	}
	if out == nil {
		return ""
	}
	return ": " + plural(len(out), "lot") + " " + strings.Join(out, ", ")
}
