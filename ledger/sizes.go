package ledger

import (
	"reflect"
	"sort"
	"strings"
	"unicode"

	"tenths/calc/quantity"
)

// KeySize is a quantity of a record with the key that holds it.
type KeySize struct {
	Key string
	Size
}

// Sizes lists every quantity that is written in the record's front matter, in
// the order of the text; of a pair, all members.
func (r *Record) Sizes() []KeySize {
	if r.Data == nil {
		return nil
	}
	out := sizesIn(nil, reflect.ValueOf(r.Data).Elem())
	sort.SliceStable(out, func(i, j int) bool { return out[i].Start < out[j].Start })
	return out
}

func sizesIn(out []KeySize, v reflect.Value) []KeySize {
	add := func(key string, s Size) {
		if s.Set() {
			out = append(out, KeySize{key, s})
		}
	}
	for _, f := range schemaOf(v.Type()).fields {
		fv := v.FieldByIndex(f.index)
		switch p := fv.Addr().Interface().(type) {
		case *Size:
			add(f.key, *p)
		case *[]Size:
			for _, s := range *p {
				add(f.key, s)
			}
		case *Pair:
			add(f.key, p.X)
			add(f.key, p.Y)
			add(f.key, p.Z)
		default:
			switch {
			case f.typ.Kind() == reflect.Slice && isTable(f.typ.Elem()):
				for i := range fv.Len() {
					out = sizesIn(out, fv.Index(i))
				}
			case isTable(f.typ):
				out = sizesIn(out, fv)
			}
		}
	}
	return out
}

// OwnUnit reports whether the text of the size names its unit itself, so that
// it does not take that of its record.
func (s Size) OwnUnit() bool {
	if !s.Set() {
		return false
	}
	// Most sizes are bare numbers; only what could be a unit is parsed again.
	if !strings.ContainsFunc(s.Raw, func(r rune) bool { return unicode.IsLetter(r) || r == '"' || r == '°' || r == '%' || r == '″' }) {
		return false
	}
	_, err := quantity.ParseToleranced(s.Raw, quantity.Unit{})
	return err == nil
}
