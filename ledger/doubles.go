package ledger

import "reflect"

// Double is a name that two things of one record answer to.
type Double struct {
	Name       string
	Key, Other string // what the second and the first are: feature, station, locator ...
	In         string // what both stand in: the record or one of its parts, such as station A
	First, Now Span   // the names as they are written
}

// Doubles lists the names that are given more than once in one place of the
// record, so that a path with such a name says no longer which one is meant.
func (r *Record) Doubles() []Double {
	if r.Data == nil {
		return nil
	}
	return doublesIn(nil, reflect.ValueOf(r.Data).Elem(), "the record")
}

func doublesIn(out []Double, v reflect.Value, in string) []Double {
	type seen struct {
		key string
		at  Span
	}
	first := map[string]seen{}
	for _, f := range schemaOf(v.Type()).fields {
		if f.typ.Kind() != reflect.Slice || !isTable(f.typ.Elem()) {
			continue
		}
		list := v.FieldByIndex(f.index)
		for i := range list.Len() {
			item := list.Index(i)
			inner := f.key
			for _, key := range []string{"ID", "Name"} {
				field := item.FieldByName(key)
				if !field.IsValid() {
					continue
				}
				name := field.Interface().(Text)
				if name.S == "" {
					continue
				}
				inner = f.key + " " + name.S
				if one, ok := first[name.S]; ok {
					out = append(out, Double{name.S, f.key, one.key, in, one.at, name.Span})
				} else {
					first[name.S] = seen{f.key, name.Span}
				}
			}
			out = doublesIn(out, item, inner)
		}
	}
	return out
}
