package report

import (
	"fmt"
	"io"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
)

// WhySheet is a derived value with all that it follows from.
type WhySheet struct {
	AsOf string  `json:"as_of"`
	Why  []Since `json:"why"` // one for each value asked for
}

// Since is one value of such a tree. Value is null if there is none.
type Since struct {
	Name  string            `json:"name,omitempty"` // in the formula above
	Path  string            `json:"path"`
	Value quantity.Quantity `json:"value"`
	Lower quantity.Quantity `json:"lower"`
	Upper quantity.Quantity `json:"upper"`
	Text  string            `json:"text"`
	// Formula is set for a derived value, Recorded is what its record keeps.
	Formula  string `json:"formula,omitempty"`
	Recorded string `json:"recorded,omitempty"`
	Stale    bool   `json:"stale,omitempty"`
	// Kept is why it is kept and not computed anew.
	Kept  string `json:"kept,omitempty"`
	Error string `json:"error,omitempty"`
	// Day is the day for which the value is taken. What is the dated entry that it
	// stands in; it holds from From on, and no longer on Until.
	Day   string  `json:"day"`
	What  string  `json:"what,omitempty"`
	From  string  `json:"from,omitempty"`
	Until string  `json:"until,omitempty"`
	File  string  `json:"file"`
	Line  int     `json:"line"`
	Above bool    `json:"above,omitempty"` // told in full further up
	Of    []Since `json:"follows_from"`
}

// Why lays out what derived values follow from.
func Why(s *study.Set, list []*study.Derived) *WhySheet {
	sh := &WhySheet{AsOf: day(s.AsOf), Why: []Since{}}
	for _, d := range list {
		sh.Why = append(sh.Why, since(s.Why(d)))
	}
	return sh
}

func since(r *study.Reason) Since {
	out := Since{
		Name: line(r.Name), Path: line(r.Path), Day: day(r.Day), What: r.Dated.What, From: day(r.Dated.From), Until: day(r.Dated.Until),
		File: r.Rec.Path, Line: lineOf(r.Rec, r.At), Above: r.Above, Of: []Since{},
	}
	if r.Size.Set() {
		out.Value, out.Lower, out.Upper, out.Text = r.Size.Tol.Nominal, r.Size.Tol.Lower, r.Size.Tol.Upper, line(r.Size.Tol.String())
	}
	if r.Err != nil {
		out.Error = line(r.Err.Error())
	}
	if d := r.Derived; d != nil {
		out.Formula, out.Kept = line(d.D.Formula.S), line(d.D.Keep.S)
		if !r.Size.Set() && d.Err == nil {
			out.Value, out.Lower, out.Upper, out.Text, out.Stale = d.Value, d.Lower, d.Upper, line(d.Text), d.Stale
			out.Recorded = size(d.D.Value)
		}
	}
	for _, f := range r.From {
		out.Of = append(out.Of, since(f))
	}
	return out
}

// WriteText prints the trees, each value with where it stands and its days.
func (sh *WhySheet) WriteText(w io.Writer) error {
	var b strings.Builder
	for i, top := range sh.Why {
		if i > 0 {
			b.WriteString("\n")
		}
		var lines [][]string
		top.lines(&lines, 0, sh.AsOf)
		writeTree(&b, lines)
	}
	_, err := io.WriteString(w, ledger.PrintableLines(b.String()))
	return err
}

// writeTree lines up the cells of the lines that have several.
func writeTree(b *strings.Builder, lines [][]string) {
	var columns [][]string
	for _, l := range lines {
		if len(l) > 1 {
			columns = append(columns, l)
		}
	}
	var t strings.Builder
	writeColumns(&t, "", columns)
	even := strings.SplitAfter(t.String(), "\n")
	for _, l := range lines {
		if len(l) > 1 {
			b.WriteString(even[0])
			even = even[1:]
			continue
		}
		b.WriteString(l[0] + "\n")
	}
}

// lines are those of a value and of what it follows from: of a computed one
// whole lines, of one that stands in a record cells. above is the day for which
// what stands above was taken.
func (v Since) lines(out *[][]string, depth int, above string) {
	indent := strings.Repeat("  ", depth)
	place := fmt.Sprintf("%s:%d", line(v.File), v.Line)
	words := v.words(above)
	text := orWord(v.Text, "no value")
	if v.Formula == "" {
		*out = append(*out, []string{indent + v.Name + " = " + text, v.Path, words, place})
		return
	}
	head := indent + v.Path + " = " + text
	if v.Name != "" {
		head = indent + v.Name + " = " + text + "  " + v.Path
	}
	if c, err := v.Lower.Cmp(v.Upper); err == nil && c != 0 && v.Kept == "" {
		head += fmt.Sprintf(", worst case %s to %s", study.Show(v.Lower), study.Show(v.Upper))
	}
	*out = append(*out, []string{head + "  " + place}, []string{indent + "    " + words})
	for _, f := range v.Of {
		f.lines(out, depth+1, v.Day)
	}
}

// words say where a value comes from, and of which days it is.
func (v Since) words(above string) string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	switch {
	case v.Kept != "" && v.Name != "":
		say("kept on purpose: %s", v.Kept)
	case v.Above:
		say("told in full above")
	case v.Formula != "":
		say("%s", v.Formula)
		switch {
		case v.Error != "":
		case v.Kept != "" && v.Recorded != "":
			say("kept on purpose as %s: %s", v.Recorded, v.Kept)
		case v.Stale:
			say("stale, the record says %s", v.Recorded)
		case v.Recorded == "":
			say("not in the record yet")
		}
	case v.Error != "":
	case v.What != "":
		say("%s of %s", v.What, v.From)
		if v.Until != "" && v.Until <= v.Day {
			say("not in force any more since %s", v.Until)
		}
	case v.From == "" && v.Until == "":
		say("undated")
	case v.From == "":
		say("until %s", v.Until)
	case v.Until == "":
		say("since %s", v.From)
	default:
		say("since %s, until %s", v.From, v.Until)
	}
	if v.Error != "" && !v.Above {
		say("%s", v.Error)
	}
	if v.Day != above {
		say("taken for %s", v.Day)
	}
	return strings.Join(out, "; ")
}
