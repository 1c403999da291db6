package report

import (
	"fmt"
	"io"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger/study"
)

// WhereSheet is the trace of a record or value in both directions.
type WhereSheet struct {
	AsOf    string      `json:"as_of"`
	Path    string      `json:"path"`
	Record  string      `json:"record"`
	Kind    string      `json:"kind"`
	Title   string      `json:"title"`
	State   string      `json:"state"`
	File    string      `json:"file"`
	Line    int         `json:"line"`
	Depth   int         `json:"depth"`
	NamedBy []TraceLink `json:"named_by"` // what depends on it
	Names   []TraceLink `json:"names"`    // what it depends on
}

// TraceLink is one step of a trace. File and line are the place in the record
// that is named here: where it names, or where what is named stands.
type TraceLink struct {
	Path     string `json:"path"`
	Record   string `json:"record"`
	Revision string `json:"revision"`
	Kind     string `json:"kind"`
	Title    string `json:"title"`
	State    string `json:"state"`
	// Keys are those that name; notes for a link in the text, which is not followed.
	Keys []string `json:"keys"`
	File string   `json:"file"`
	Line int      `json:"line"`
	// Derived is set if the link runs through a formula.
	Derived *TraceFormula `json:"derived,omitempty"`
	// Elsewhere is set if what lies beyond stands at another place of the trace;
	// Beyond counts the links that the depth cut off.
	Elsewhere bool        `json:"elsewhere"`
	Beyond    int         `json:"beyond"`
	Links     []TraceLink `json:"links"`
	shared    bool        // other revisions have the same id
}

// TraceFormula is a derived value on the way. Value is null if it cannot be
// computed; Share is the per cent of its worst case that comes through this
// link, null if that is not known.
type TraceFormula struct {
	Formula string            `json:"formula"`
	Value   quantity.Quantity `json:"value"`
	Share   quantity.Quantity `json:"share"`
	Stale   bool              `json:"stale"`
	text    string
}

// Where lays out a trace that was followed to so many steps.
func Where(s *study.Set, w *study.WhereUsed, depth int) *WhereSheet {
	rec := w.Target.Rec
	return &WhereSheet{
		AsOf: day(s.AsOf), Path: w.Target.Path, Record: line(rec.ID()), Kind: string(rec.Kind()), Title: line(w.Title), State: rec.State(),
		File: rec.Path, Line: lineOf(rec, w.Target.Span()), Depth: depth, NamedBy: traceLinks(s, w.NamedBy), Names: traceLinks(s, w.Names),
	}
}

func traceLinks(s *study.Set, list []*study.Link) []TraceLink {
	out := []TraceLink{}
	for _, l := range list {
		t := TraceLink{
			Path: line(l.Path), Record: line(l.Rec.ID()), Revision: line(l.Rec.Common.Rev.S), Kind: string(l.Rec.Kind()), Title: line(l.Title), State: l.Rec.State(), Keys: l.Keys,
			File: l.Rec.Path, Line: lineOf(l.Rec, l.At), Elsewhere: l.Elsewhere, Beyond: l.Beyond, Links: traceLinks(s, l.Links),
			shared: len(s.L.WithID(l.Rec.ID())) > 1,
		}
		if d := l.Derived; d != nil {
			t.Derived = &TraceFormula{Formula: line(d.D.Formula.S), Stale: d.Stale}
			if d.Err == nil {
				t.Derived.Value, t.Derived.text = d.Value, line(d.Text)
			}
			if l.Share > 0 {
				t.Derived.Share = percentOf(l.Share)
			}
		}
		out = append(out, t)
	}
	return out
}

// percentOf is a share in whole per cent.
func percentOf(share float64) quantity.Quantity {
	unit, _ := quantity.LookupUnit("%")
	return quantity.FromFloat(share*100, unit).WithDecimals(0)
}

// WriteText prints a trace as an indented tree, each line with its place.
func (sh *WhereSheet) WriteText(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n", line(sh.Path), sh.Title)
	fmt.Fprintf(&b, "%s%s, %s:%d, as of %s\n", sh.Kind, prefixed(", ", sh.State), line(sh.File), sh.Line, sh.AsOf)
	for _, part := range []struct {
		head, none string
		links      []TraceLink
	}{
		{"Named by (depends on it)", "Nothing names it.", sh.NamedBy},
		{"Names (it depends on)", "It names nothing.", sh.Names},
	} {
		if len(part.links) == 0 {
			b.WriteString("\n" + part.none + "\n")
			continue
		}
		b.WriteString("\n" + part.head + "\n")
		writeColumns(&b, "", traceRows(nil, part.links, 1))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func traceRows(rows [][]string, links []TraceLink, depth int) [][]string {
	for _, l := range links {
		rows = append(rows, []string{strings.Repeat("  ", depth) + l.name(), l.words(), fmt.Sprintf("%s:%d", line(l.File), l.Line)})
		rows = traceRows(rows, l.Links, depth+1)
	}
	return rows
}

// words says by which key, and what the thing is.
func (l TraceLink) words() string {
	out := strings.Join(l.Keys, ", ")
	if d := l.Derived; d != nil {
		out += ": " + d.Formula
		if !d.Value.IsZeroValue() {
			out += " = " + orWord(d.text, d.Value.String())
		}
		if !d.Share.IsZeroValue() {
			out += ", " + d.Share.String() + " of its worst case"
		}
		if d.Stale {
			out += ", stale in the record"
		}
	} else {
		out += ": " + l.Title + prefixed(", ", l.State)
	}
	if l.Elsewhere {
		out += " (listed elsewhere)"
	}
	if l.Beyond > 0 {
		out += fmt.Sprintf(" (%d more beyond)", l.Beyond)
	}
	return out
}
