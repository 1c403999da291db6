package ledger

import (
	"fmt"

	"tenths/ledger/keyindex"
)

// A file of readings holds what one person took down on one day: an inspection
// without readings of its own, whose [[entry]] tables are sets of readings. Each
// entry is a record like any other inspection, so that whatever looks at readings
// need not know how they came into the ledger.

// inherited are the keys that an entry takes from the head of its file.
var inherited = []string{
	"kind", "title", "units", "legacy", "state", "on", "purpose", "part", "characteristic", "lot",
	"gauge", "checked_against", "by", "picked", "held", "temperature", "deviation_in", "nominal_is", "comparison",
}

// entries notes where the entries of a file stand.
func (d *decoder) entries(n *keyindex.Node, p *[]Entry, f *field) {
	items := n.Items
	if n.Table != nil {
		items = []*keyindex.Node{n}
	}
	if d.tooMany(n, f, len(items)) {
		return
	}
	for _, item := range items {
		if item.Table == nil {
			d.problem(Unreadable, item.Val, "begin it with a line [[entry]]", "entry: %s is not a table", d.excerpt(item))
			continue
		}
		*p = append(*p, Entry{item.Val})
	}
	if len(items) == 0 {
		d.wrong(n, f, "a list of tables")
	}
}

// readEntries reads the entries of a file as records of their own.
func (d *decoder) readEntries(head *Record, root *keyindex.Node) []*Record {
	list := root.Table.Get("entry")
	items := list.Items
	if list.Table != nil {
		items = []*keyindex.Node{list}
	}
	var out []*Record
	for _, item := range items {
		if item.Table == nil {
			continue
		}
		node := &keyindex.Node{Key: item.Key, Val: item.Val, Table: item.Table.With(root.Table, inherited)}
		rec := &Record{Path: head.Path, Src: head.Src, BodyStart: head.BodyStart, at: item.Val}
		one := &decoder{src: d.src, file: d.file, units: d.units}
		if u, ok := stringAt(node, "units"); ok {
			if unit := unitNamed(Text{S: u}); !unit.IsZero() {
				one.units = unit
			}
		}
		if inner := item.Table.Get("kind"); inner != nil && inner.Value != string(KindInspection) {
			one.problem(Unreadable, inner.Val, "leave kind out", "entry: an entry is always an inspection")
		}
		one.fill(rec, node, string(KindInspection))
		for _, key := range []string{"entry", "unsorted"} {
			if n := item.Table.Get(key); n != nil {
				one.problem(Unreadable, n.Val, "write it as a table of the file: [["+key+"]]", "entry: an entry holds no %s", key)
			}
		}
		// What is wrong with a key of the head was said of the head.
		for _, p := range one.problems {
			if p.Span.Start < item.Val.Start {
				continue
			}
			d.problem(p.Kind, p.Span, p.Fix, "%s", p.Msg)
			if d.unlisted == 0 {
				d.problems[len(d.problems)-1].Gap = p.Gap
			}
		}
		d.unlisted += one.unlisted
		out = append(out, rec)
	}
	return out
}

// correct marks the readings for which others stand.
func (l *Ledger) correct() {
	l.corrected = map[string]*Record{}
	for _, rec := range l.Records {
		in, ok := rec.Data.(*Inspection)
		if !ok || in.Corrects.S == "" || in.Corrects.S == rec.ID() || rec.Quiet() || in.State.S == "void" {
			continue
		}
		old := l.Record(in.Corrects.S)
		if old == nil {
			continue // a broken reference
		}
		if was, ok := old.Data.(*Inspection); ok {
			if was.State.S != "void" {
				was.State.S = "superseded"
			}
			l.corrected[old.ID()] = rec
		}
	}
}

// Corrected gives the readings that stand for those of the id now: the newest
// correction, or nil if nothing corrects them.
func (l *Ledger) Corrected(id string) *Record {
	var rec *Record
	for range len(l.corrected) {
		next := l.corrected[id]
		if next == nil {
			break
		}
		rec, id = next, next.ID()
	}
	return rec
}

// RecordAt gives the record that stands at a place of a file: of a file of
// readings, the entry. It is nil if the file is no record.
func (l *Ledger) RecordAt(file string, offset int) *Record {
	var out *Record
	for _, rec := range l.byFile[file] {
		if out == nil || rec.Whole().Start <= offset {
			out = rec
		}
	}
	return out
}

// Open reports whether a line still waits to be sorted.
func (u *Line) Open() bool { return u.Sorted.S == "" }

// String names the line for messages.
func (u *Line) String() string { return fmt.Sprintf("%s: %s", u.ID.S, u.Line.S) }

// EndOfKeys is the offset of the line that closes the front matter: where further
// keys and tables of the record can be added.
func (r *Record) EndOfKeys() int {
	keys, _, _, _ := front(r.Src)
	return keys.End
}

// Quote writes text as a string of TOML (TOML 1.0, String).
func Quote(s string) string { return tomlString(s) }

// IsEntry reports whether the record is one set of a file of several.
func (r *Record) IsEntry() bool { return r.at.Set() }
