package ledger

import (
	"reflect"
	"strconv"
	"strings"
	"sync"
)

// field is one key of a table of the schema, as its tags say it.
type field struct {
	key, means, eg string
	dim, unit      string
	words          []string
	to             []string
	need, space    bool
	index          []int
	typ            reflect.Type
}

// schema is the table of keys that a struct stands for.
type schema struct {
	fields []*field
	byKey  map[string]*field
	span   []int // index of the embedded Span, nil if there is none
}

// schemas caches the tables; they depend on nothing but the types.
var schemas sync.Map // reflect.Type -> *schema

func schemaOf(t reflect.Type) *schema {
	if s, ok := schemas.Load(t); ok {
		return s.(*schema)
	}
	s := &schema{byKey: map[string]*field{}}
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Anonymous {
			if f.Type == reflect.TypeFor[Span]() {
				s.span = f.Index
				continue
			}
			for _, sub := range schemaOf(f.Type).fields {
				inner := *sub
				inner.index = append(append([]int{}, f.Index...), sub.index...)
				s.add(&inner)
			}
			continue
		}
		if f.Tag.Get("key") == "" {
			continue
		}
		s.add(&field{
			key: f.Tag.Get("key"), means: f.Tag.Get("means"), eg: f.Tag.Get("eg"),
			dim: f.Tag.Get("dim"), unit: f.Tag.Get("unit"),
			words: splitWords(f.Tag.Get("words")), to: splitWords(f.Tag.Get("to")),
			need: f.Tag.Get("need") == "yes", space: f.Tag.Get("space") == "yes", index: f.Index, typ: f.Type,
		})
	}
	got, _ := schemas.LoadOrStore(t, s)
	return got.(*schema)
}

func (s *schema) add(f *field) {
	s.fields = append(s.fields, f)
	s.byKey[f.key] = f
}

func splitWords(s string) []string {
	if s == "" {
		return nil
	}
	return strings.Split(s, "|")
}

// kindTypes gives the struct of each kind.
func kindType(k Kind) reflect.Type {
	switch k {
	case KindPart:
		return reflect.TypeFor[Part]()
	case KindFixture:
		return reflect.TypeFor[Fixture]()
	case KindTool:
		return reflect.TypeFor[Tool]()
	case KindGauge:
		return reflect.TypeFor[Gauge]()
	case KindMachine:
		return reflect.TypeFor[Machine]()
	case KindPlan:
		return reflect.TypeFor[Plan]()
	case KindInspection:
		return reflect.TypeFor[Inspection]()
	case KindChange:
		return reflect.TypeFor[Change]()
	}
	return nil
}

// Key describes one key of a record, for people.
type Key struct {
	Path    string   // dotted: station.locator.size
	Means   string   // what it means, with its unit
	Example string   // as TOML
	Holds   string   // text, size, day, path, table ...
	Words   []string // the words that are allowed, if only some are
	To      []string // the kinds that a reference may name
	Need    bool
}

// Keys lists every key that a record of the kind may hold, in the order in
// which people write them.
func Keys(k Kind) []Key {
	t := kindType(k)
	if t == nil {
		return nil
	}
	keys := appendKeys(nil, t, "")
	for i := range keys {
		switch eg := heads[k]; keys[i].Path {
		case "kind":
			keys[i].Example, keys[i].Words = strconv.Quote(string(k)), nil
		case "id":
			keys[i].Example = strconv.Quote(eg.id)
		case "title":
			keys[i].Example = strconv.Quote(eg.title)
		}
	}
	return keys
}

// heads are the examples of what every record has, kind by kind.
var heads = map[Kind]struct{ id, title string }{
	KindPart:       {"P-10", "Side plate"},
	KindFixture:    {"FX1", "Side plate and cap, four stations"},
	KindTool:       {"T14", "1/8 end mill, circle-boring"},
	KindGauge:      {"G5", "Micrometer 1-2 in"},
	KindMachine:    {"M1", "Vertical mill"},
	KindPlan:       {"PL-10", "Side plate"},
	KindInspection: {"IN-2024-10-05", "Step at the seam, lot L-24"},
	KindChange:     {"CH-04", "Station B, second pin relieved"},
}

// ConfigKeys lists every key of tenths.toml.
func ConfigKeys() []Key { return appendKeys(nil, reflect.TypeFor[Config](), "") }

func appendKeys(keys []Key, t reflect.Type, prefix string) []Key {
	for _, f := range schemaOf(t).fields {
		keys = append(keys, Key{
			Path: prefix + f.key, Means: f.means, Example: f.eg, Holds: holds(f),
			Words: f.words, To: f.to, Need: f.need,
		})
		inner := f.typ
		if inner.Kind() == reflect.Slice {
			inner = inner.Elem()
		}
		if isTable(inner) {
			keys = appendKeys(keys, inner, prefix+f.key+".")
		}
	}
	return keys
}

// isTable reports whether the type is one of our tables of keys rather than a value.
func isTable(t reflect.Type) bool {
	return t.Kind() == reflect.Struct && len(schemaOf(t).fields) > 0
}

func holds(f *field) string {
	t, list := f.typ, ""
	if t.Kind() == reflect.Slice {
		t, list = t.Elem(), "list of "
	}
	switch t {
	case reflect.TypeFor[Text]():
		return list + "text"
	case reflect.TypeFor[Ref]():
		return list + "path"
	case reflect.TypeFor[Binding]():
		return "names with paths"
	case reflect.TypeFor[Named]():
		return "names with text or numbers"
	case reflect.TypeFor[Int]():
		return list + "whole number"
	case reflect.TypeFor[Flag]():
		return "true or false"
	case reflect.TypeFor[Date]():
		return "day"
	case reflect.TypeFor[Size]():
		switch f.dim {
		case "", "length":
			return list + "length"
		case "any":
			return list + "quantity"
		case "length·force":
			return list + "torque"
		}
		return list + f.dim
	case reflect.TypeFor[Pair]():
		if f.space {
			return "two or three numbers"
		}
		return "pair"
	case reflect.TypeFor[Period]():
		return "period"
	case reflect.TypeFor[Count]():
		return "count"
	case reflect.TypeFor[Severities]():
		return "table of rule = severity"
	}
	if list != "" {
		return "tables"
	}
	return "table"
}
