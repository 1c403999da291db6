package ledger

import (
	"fmt"
	"reflect"
	"sort"
	"strings"
	"time"

	"tenths/calc/quantity"
)

// Target is what a path names.
type Target struct {
	Rec  *Record
	Path string
	// Node is the struct that holds the value: a pointer to a Part, Feature,
	// Station, Locator, Characteristic, Operation and so on.
	Node any
	// Owner is the struct that holds Node as its child; nil at the record.
	Owner any
	// Size is the value, if the path goes down to one. It is as written, not as
	// on a day.
	Size *Size
	// key is the last key of the path, and axis x or y for a pair.
	key, axis string
	at        Span
	computed  Computed
}

// Computed says that a path names what is computed for a locator on a day, and not
// a key of it.
type Computed string

// What is computed for a locator: FX1/A/P1/off/x is where it was found by the
// survey in force, with its uncertainty as the tolerance; FX1/A/P1/looseness is how
// far its hole lets the part move there, to both sides, which package study computes.
const (
	ComputedOff       Computed = "off"
	ComputedLooseness Computed = "looseness"
)

// Computed is empty for a path that names a key.
func (t Target) Computed() Computed { return t.computed }

// locatorKey follows a path into what is computed for a locator; it gives how many
// names of the path that took.
func (t *Target) locatorKey(segs []string) int {
	loc, ok := t.Node.(*Locator)
	if !ok || t.key != "" {
		return 0
	}
	switch {
	case segs[0] == string(ComputedLooseness) && loc.Size.Set():
		t.Size, t.key, t.at, t.computed = &loc.Size, "size", loc.Size.Span, ComputedLooseness
		return 1
	case segs[0] != string(ComputedOff) || len(segs) < 2:
		return 0
	}
	// As written it is the last survey; ValueFrom takes that of the day.
	var last *Survey
	for i := range loc.Surveys {
		if s := &loc.Surveys[i]; s.Off.Set() && (last == nil || !s.On.T.Before(last.On.T)) {
			last = s
		}
	}
	if last == nil || segs[1] != "x" && segs[1] != "y" {
		return 0
	}
	t.Size, t.axis, t.computed = last.Off.member(segs[1]), segs[1], ComputedOff
	t.at = t.Size.Span
	return 2
}

// found is where a locator was found by the survey in force on a day.
func (t Target) found(day time.Time) (Size, error) {
	loc := t.Node.(*Locator)
	sv, ok := loc.SurveyOn(day)
	if !ok || !sv.Off.Set() {
		return Size{}, fmt.Errorf("%s was not surveyed as it stood on %s", t.Path, day.Format(time.DateOnly))
	}
	size := *sv.Off.member(t.axis)
	if !sv.U.Set() || size.Tol.Form != quantity.Plain {
		return size, nil
	}
	half, err := sv.U.Nominal().As(size.Nominal().Unit())
	if err != nil {
		return Size{}, err
	}
	return size.Within(half)
}

// Within is the size with a tolerance of ± half in place of its own.
func (s Size) Within(half quantity.Quantity) (Size, error) {
	low, err := s.Nominal().Sub(half)
	if err != nil {
		return Size{}, err
	}
	high, err := s.Nominal().Add(half)
	if err != nil {
		return Size{}, err
	}
	tol, err := quantity.WithLimits(s.Nominal(), low, high)
	if err != nil {
		return Size{}, err
	}
	return Size{Tol: &tol, Raw: tol.String(), Span: s.Span}, nil
}

// Span is the place of what the path names.
func (t Target) Span() Span {
	if t.at.Set() {
		return t.at
	}
	return t.Rec.Whole()
}

// Record finds a record by its id. Of several revisions it takes the newest
// that is not superseded, obsolete or a draft.
func (l *Ledger) Record(id string) *Record {
	var best *Record
	for _, r := range l.byID[id] {
		if best == nil || newer(r, best) {
			best = r
		}
	}
	return best
}

func newer(a, b *Record) bool {
	live := func(r *Record) bool {
		return !r.Quiet() && r.State() != "superseded" && r.State() != "obsolete"
	}
	if live(a) != live(b) {
		return live(a)
	}
	return RevisionAfter(a.Common.Rev.S, b.Common.Rev.S)
}

// RevisionAfter reports whether revision a comes after b as people count them:
// 10 after 9, AA after Z, r10 after r9.
func RevisionAfter(a, b string) bool {
	for a != "" && b != "" {
		x, y := revisionPart(a), revisionPart(b)
		a, b = a[len(x):], b[len(y):]
		if x == y {
			continue
		}
		if n, m := strings.TrimLeft(x, "0"), strings.TrimLeft(y, "0"); len(n) != len(m) {
			return len(n) > len(m)
		}
		return x > y
	}
	return a != ""
}

// revisionPart is the run of digits, or of anything else, that begins a revision.
func revisionPart(s string) string {
	digit := s[0] >= '0' && s[0] <= '9'
	n := strings.IndexFunc(s, func(r rune) bool { return (r >= '0' && r <= '9') != digit })
	if n < 0 {
		return s
	}
	return s[:n]
}

// WithID lists every record with that id, in the order of their paths.
func (l *Ledger) WithID(id string) []*Record { return l.byID[id] }

// IDs lists all ids, sorted.
func (l *Ledger) IDs() []string {
	ids := make([]string, 0, len(l.byID))
	for id := range l.byID {
		ids = append(ids, id)
	}
	sort.Strings(ids)
	return ids
}

// NotFound says which part of a path names nothing, and what is near it.
type NotFound struct {
	Path, Part string
	Near       string // a path that exists and is close, or ""
}

func (e *NotFound) Error() string {
	if e.Part == e.Path {
		return fmt.Sprintf("%s names nothing in this ledger", Printable(e.Path))
	}
	return fmt.Sprintf("%s: nothing is named %s there", Printable(e.Path), Printable(e.Part))
}

// Find follows a path: an id, then the ids of its parts or the names of keys,
// such as FX1/A/P1/size. The error is a *NotFound.
func (l *Ledger) Find(path string) (Target, error) {
	return l.find(nil, path)
}

// FindFrom follows a path that a record names: where that is the record's own
// id, it means this very revision of it and no newer one.
func (l *Ledger) FindFrom(from *Record, path string) (Target, error) {
	return l.find(from, path)
}

func (l *Ledger) find(from *Record, path string) (Target, error) {
	segs := strings.Split(path, "/")
	rec := l.Record(segs[0])
	if from != nil && from.ID() == segs[0] {
		rec = from
	}
	if rec == nil || rec.Data == nil {
		return Target{}, &NotFound{Path: path, Part: segs[0], Near: near(segs[0], l.IDs(), "", segs[1:])}
	}
	t := Target{Rec: rec, Path: path, Node: rec.Data}
	for i := 1; i < len(segs); i++ {
		v := reflect.ValueOf(t.Node).Elem()
		if n := t.locatorKey(segs[i:]); n > 0 {
			i += n - 1
			continue
		}
		if t.Size != nil || !t.step(v, segs[i]) {
			return Target{}, &NotFound{Path: path, Part: segs[i], Near: near(segs[i], names(v), strings.Join(segs[:i], "/")+"/", segs[i+1:])}
		}
		if t.axis == "" && i+1 < len(segs) && t.key != "" && t.Size == nil {
			if p := t.pair(); p != nil {
				switch segs[i+1] {
				case "x":
					t.Size, t.axis = &p.X, "x"
				case "y":
					t.Size, t.axis = &p.Y, "y"
				case "z":
					t.Size, t.axis = &p.Z, "z"
				}
				if t.Size == nil || !t.Size.Set() {
					return Target{}, &NotFound{Path: path, Part: segs[i+1], Near: strings.Join(segs[:i+1], "/") + "/x"}
				}
				t.at = t.Size.Span
				i++
			}
		}
	}
	return t, nil
}

func (t *Target) pair() *Pair {
	v := reflect.ValueOf(t.Node).Elem()
	f := schemaOf(v.Type()).byKey[t.key]
	if f == nil || f.typ != reflect.TypeFor[Pair]() {
		return nil
	}
	return v.FieldByIndex(f.index).Addr().Interface().(*Pair)
}

// step goes one name down from the struct v.
func (t *Target) step(v reflect.Value, name string) bool {
	s := schemaOf(v.Type())
	for _, f := range s.fields {
		if f.typ.Kind() != reflect.Slice || !isTable(f.typ.Elem()) {
			continue
		}
		list := v.FieldByIndex(f.index)
		for i := range list.Len() {
			if idOf(list.Index(i)) == name {
				t.Owner, t.Node = t.Node, list.Index(i).Addr().Interface()
				t.key, t.at = "", list.Index(i).FieldByName("Span").Interface().(Span)
				return true
			}
		}
	}
	f := s.byKey[name]
	if f == nil {
		return false
	}
	fv := v.FieldByIndex(f.index)
	t.key = name
	switch p := fv.Addr().Interface().(type) {
	case *Size:
		if !p.Set() {
			return false
		}
		t.Size, t.at = p, p.Span
		return true
	case *Pair:
		t.at = p.Span
		return p.Set()
	}
	if isTable(f.typ) {
		t.Owner, t.Node, t.key = t.Node, fv.Addr().Interface(), ""
		return true
	}
	if set, ok := fv.Interface().(interface{ Set() bool }); ok {
		if sp := fv.FieldByName("Span"); sp.IsValid() {
			t.at = sp.Interface().(Span)
		}
		return set.Set()
	}
	return false
}

// idOf is the name by which a path can call an item of a list.
func idOf(v reflect.Value) string {
	for _, name := range []string{"ID", "Name"} {
		if f := v.FieldByName(name); f.IsValid() {
			return f.Interface().(Text).S
		}
	}
	if f := v.FieldByName("On"); f.IsValid() {
		if d, ok := f.Interface().(Date); ok && d.Set() {
			return d.T.Format(time.DateOnly)
		}
	}
	return ""
}

// names lists what can follow in a path from the struct v.
func names(v reflect.Value) []string {
	var out []string
	for _, f := range schemaOf(v.Type()).fields {
		fv := v.FieldByIndex(f.index)
		if f.typ.Kind() == reflect.Slice {
			if isTable(f.typ.Elem()) {
				for i := range fv.Len() {
					if id := idOf(fv.Index(i)); id != "" {
						out = append(out, id)
					}
				}
			}
			continue
		}
		if set, ok := fv.Interface().(interface{ Set() bool }); ok && set.Set() {
			out = append(out, f.key)
		}
	}
	return out
}

// near gives the closest of the names, put back into the path.
func near(name string, among []string, before string, after []string) string {
	best := Nearest(name, among, 1+max(1, len(name)/2))
	if best == "" {
		return ""
	}
	return strings.Join(append([]string{before + best}, after...), "/")
}

// ValueOn gives the size that a path names as it stood on a day.
func (l *Ledger) ValueOn(path string, day time.Time) (Size, Target, error) {
	return l.ValueFrom(nil, path, day)
}

// ValueFrom gives the size that a path names in a record, as it stood on a day.
// Like FindFrom it takes the record's own id for this very revision of it.
func (l *Ledger) ValueFrom(from *Record, path string, day time.Time) (Size, Target, error) {
	t, err := l.find(from, path)
	if err != nil {
		return Size{}, t, err
	}
	if d, ok := t.Node.(*Derived); ok && t.Size == nil {
		if !d.Value.Set() {
			return Size{}, t, fmt.Errorf("%s has no value yet; tenths derive --write fills it in", path)
		}
		t.Size, t.key = &d.Value, "value"
	}
	if t.Size == nil {
		return Size{}, t, fmt.Errorf("%s names a record or a part of one, not a value; go on to one of its keys, such as %s/size", path, path)
	}
	switch {
	case t.computed == ComputedOff:
		size, err := t.found(day)
		return size, t, err
	case t.computed == ComputedLooseness:
		return Size{}, t, fmt.Errorf("%s is computed from the hole and the pin, and only for the formula of a derived value", path)
	case t.axis != "":
		return *t.Size, t, nil
	}
	// The state of the day is laid over a copy of the struct that holds the key.
	v := reflect.ValueOf(t.Node).Elem()
	day0 := onDayValue(v, day)
	f := schemaOf(v.Type()).byKey[t.key]
	size := day0.FieldByIndex(f.index).Interface().(Size)
	if !size.Set() {
		return Size{}, t, fmt.Errorf("%s had no value on %s", path, day.Format(time.DateOnly))
	}
	return size, t, nil
}

func onDayValue(v reflect.Value, day time.Time) reflect.Value {
	out := reflect.New(v.Type()).Elem()
	out.Set(v)
	overlay(out, day)
	return out
}
