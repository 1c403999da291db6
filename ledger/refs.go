package ledger

import (
	"reflect"
	"sort"
	"strings"
)

// Reference is one record naming a value, in its own or another record.
type Reference struct {
	Rec  *Record
	Key  string // key that holds it
	At   Span
	Path string   // whole path, relative names completed
	As   string   // as written
	To   []string // kinds that it may name: kinds of records, station, value, any
	File bool     // names a file and no record
}

// References lists everything that a record names, in the order of its text.
func (l *Ledger) References(rec *Record) []Reference {
	if rec.Data == nil {
		return nil
	}
	w := &refWalk{rec: rec}
	w.walk(reflect.ValueOf(rec.Data).Elem())
	for _, f := range rec.files() {
		w.refs = append(w.refs, Reference{Rec: rec, Key: "file", At: f.at, Path: l.fileOf(rec.Path, f), As: f.target, File: true})
	}
	sort.SliceStable(w.refs, func(i, j int) bool { return w.refs[i].At.Start < w.refs[j].At.Start })
	return w.refs
}

type refWalk struct {
	rec  *Record
	refs []Reference
}

func (w *refWalk) add(key, path, as string, at Span, to ...string) {
	if path != "" && at.Set() {
		w.refs = append(w.refs, Reference{Rec: w.rec, Key: key, At: at, Path: path, As: as, To: to})
	}
}

// below adds names that are relative to a record or value.
func (w *refWalk) below(key, base string, names []Text) {
	for _, n := range names {
		if base != "" && n.S != "" {
			w.add(key, base+"/"+n.S, n.S, n.Span, "any")
		}
	}
}

func (w *refWalk) walk(v reflect.Value) {
	for _, f := range schemaOf(v.Type()).fields {
		fv := v.FieldByIndex(f.index)
		switch p := fv.Addr().Interface().(type) {
		case *Ref:
			w.add(f.key, p.S, p.S, p.Span, f.to...)
		case *[]Ref:
			for _, r := range *p {
				w.add(f.key, r.S, r.S, r.Span, f.to...)
			}
		case *[]Binding:
			for _, b := range *p {
				w.add(f.key, b.S, b.S, b.Ref.Span, "value")
			}
		default:
			switch {
			case f.typ.Kind() == reflect.Slice && isTable(f.typ.Elem()):
				for i := range fv.Len() {
					w.walk(fv.Index(i))
				}
			case isTable(f.typ):
				w.walk(fv)
			}
		}
	}
	id := w.rec.ID()
	switch n := v.Addr().Interface().(type) {
	case *Feature:
		w.below("datum", id, n.Datum)
	case *Characteristic:
		w.below("datum", id, n.Datum)
		w.below("features", id, n.Feature)
	case *Station:
		for _, loc := range n.Locators {
			w.below("engages", n.Part.S, []Text{loc.Engages})
			if to, ok := strings.CutPrefix(loc.Relief.S, "line to "); ok {
				w.add("relieved_along", id+"/"+n.ID.S+"/"+to, to, loc.Relief.Span, "any")
			}
		}
	case *Part:
		w.below("masked", id, n.Masked)
	case *Plan:
		for _, op := range n.Operations {
			w.below("makes", n.Part.S, op.Makes)
			w.below("locates_on", n.Part.S, op.Locates)
			w.below("alters", n.Part.S, op.Alters)
			w.below("checks", n.Part.S, op.Checks)
			w.below("covers", n.Part.S, op.Covers)
		}
	case *Inspection:
		w.below("points", n.Characteristic.S, n.Points)
	case *Change:
		w.below("points", n.Characteristic.S, n.Points)
	case *Evidence:
		w.below("points", n.Characteristic.S, n.Points)
	}
}

// Fits reports whether the target is of a kind that the reference may name.
func (r Reference) Fits(t Target) bool {
	for _, to := range r.To {
		switch to {
		case "any":
			return true
		case "value":
			if t.Node != t.Rec.Data || t.Size != nil {
				return true
			}
		case "station":
			if _, ok := t.Node.(*Station); ok {
				return true
			}
		default:
			if t.Node == t.Rec.Data && t.Size == nil && string(t.Rec.Kind()) == to {
				return true
			}
		}
	}
	return len(r.To) == 0
}
