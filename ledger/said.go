package ledger

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"
)

// Said is one key of a record, or of a part of it that has a name, as on a day.
type Said struct {
	Path string // of the record or its part: FX1/A/P1
	Key  string
	Text string // in one line, as people write it
	At   Span
	Dated
}

// unsaid are keys that say what a record is, not how the shop was.
var unsaid = []string{"kind", "id", "photos", "legacy", "units"}

// SaidOn lists what a record says of a day, its parts with it, in the order of
// the schema. Dated entries, such as surveys, and derived values are left out.
func (r *Record) SaidOn(day time.Time) []Said {
	if r.Data == nil {
		return nil
	}
	return said(nil, r.ID(), reflect.ValueOf(r.Data).Elem(), day)
}

func said(out []Said, path string, v reflect.Value, day time.Time) []Said {
	now := onDayValue(v, day)
	s := schemaOf(v.Type())
	for _, f := range s.fields {
		if slices.Contains(unsaid, f.key) {
			continue
		}
		if text, at := written(now.FieldByIndex(f.index)); text != "" {
			out = append(out, Said{path, f.key, text, at, Target{Node: v.Addr().Interface(), key: f.key}.Dated(day)})
		}
	}
	for _, f := range s.fields {
		if f.typ.Kind() != reflect.Slice || !isTable(f.typ.Elem()) || f.typ.Elem() == reflect.TypeFor[Derived]() {
			continue
		}
		list := v.FieldByIndex(f.index)
		for i := range list.Len() {
			item := list.Index(i)
			if id := item.FieldByName("ID"); id.IsValid() && id.Interface().(Text).S != "" {
				out = said(out, path+"/"+id.Interface().(Text).S, item, day)
			}
		}
	}
	return out
}

// written is a value of a key as people write it; empty for a table, and for one
// that is absent.
func written(v reflect.Value) (string, Span) {
	switch x := v.Interface().(type) {
	case Text:
		return x.S, x.Span
	case Ref:
		return x.S, x.Span
	case Date:
		return x.String(), x.Span
	case Size:
		if x.Set() {
			return x.Tol.String(), x.Span
		}
	case Pair:
		return x.String(), x.Span
	case Int:
		if x.Set() {
			return fmt.Sprint(x.N), x.Span
		}
	case Flag:
		if x.Set() {
			return map[bool]string{true: "yes", false: "no"}[x.B], x.Span
		}
	case Period:
		if x.Set() {
			return x.V.String(), x.Span
		}
	case []Text:
		var list []string
		for _, t := range x {
			list = append(list, t.S)
		}
		if list != nil {
			return strings.Join(list, ", "), x[0].Span
		}
	case []Ref:
		var list []string
		for _, t := range x {
			list = append(list, t.S)
		}
		if list != nil {
			return strings.Join(list, ", "), x[0].Span
		}
	}
	return "", Span{}
}

// String prints the members of a pair, the unit once if all have the same.
func (p Pair) String() string {
	if !p.Set() {
		return ""
	}
	list := []Size{p.X, p.Y}
	if p.Z.Set() {
		list = append(list, p.Z)
	}
	var texts []string
	unit := " " + p.X.Tol.Nominal.Unit().Name()
	for _, s := range list {
		texts = append(texts, s.Tol.String())
		if unit == " " || !strings.HasSuffix(s.Tol.String(), unit) {
			unit = ""
		}
	}
	for i := range len(texts) - 1 {
		texts[i] = strings.TrimSuffix(texts[i], unit)
	}
	return strings.Join(texts, ", ")
}

// FirstDay is the earliest day that the record knows anything of; zero if it
// names none. Days on which something falls due or ends are none.
func (r *Record) FirstDay() time.Time {
	var first time.Time
	if r.Data != nil {
		earliest(reflect.ValueOf(r.Data).Elem(), &first)
	}
	return first
}

// coming are keys of days that lie ahead of the entry that names them.
var coming = []string{"due", "until", "recheck"}

func earliest(v reflect.Value, first *time.Time) {
	for _, f := range schemaOf(v.Type()).fields {
		fv := v.FieldByIndex(f.index)
		if d, ok := fv.Interface().(Date); ok {
			if d.Set() && !slices.Contains(coming, f.key) && (first.IsZero() || d.T.Before(*first)) {
				*first = d.T
			}
			continue
		}
		switch {
		case f.typ.Kind() == reflect.Slice && isTable(f.typ.Elem()):
			for i := range fv.Len() {
				earliest(fv.Index(i), first)
			}
		case isTable(f.typ):
			earliest(fv, first)
		}
	}
}
