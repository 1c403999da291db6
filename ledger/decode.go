package ledger

import (
	"bytes"
	"fmt"
	"reflect"
	"strings"
	"time"
	"unicode"

	"tenths/calc/quantity"
	"tenths/ledger/keyindex"
)

// ProblemKind says what is wrong with the text of a record.
type ProblemKind int

// The kinds of problem that loading finds.
const (
	Unreadable ProblemKind = iota // a file, key or value that cannot be read
	UnknownKey                    // a key that has no meaning
)

// Problem is something in a file that could not be read as it stands.
type Problem struct {
	Kind ProblemKind
	File string
	Span Span
	Msg  string // what is wrong
	Fix  string // what would be right
	Gap  bool   // only something that is not filled in yet
	Src  []byte // text of the file that the span points into, nil if it was not read
}

// decoder fills a record's structs from the tree of its keys. It goes on after
// every problem, so that one look shows them all.
type decoder struct {
	src      []byte
	file     string
	kind     string        // what tenths explain calls this file
	units    quantity.Unit // for lengths without a unit
	readings quantity.Unit // for readings without a unit
	problems []Problem
	unlisted int // problems beyond maxProblems
}

// maxProblems is how many problems of one file are listed.
const maxProblems = 100

func (d *decoder) problem(kind ProblemKind, at Span, fix, msg string, args ...any) {
	if len(d.problems) >= maxProblems {
		d.unlisted++
		return
	}
	d.problems = append(d.problems, Problem{Kind: kind, File: d.file, Span: at, Msg: fmt.Sprintf(msg, args...), Fix: fix, Src: d.src})
}

// gap reports something that is not filled in, which a draft may leave.
func (d *decoder) gap(at Span, fix, msg string, args ...any) {
	if d.problem(Unreadable, at, fix, msg, args...); d.unlisted == 0 {
		d.problems[len(d.problems)-1].Gap = true
	}
}

// found gives the problems, and says how many more there are.
func (d *decoder) found() []Problem {
	if d.unlisted > 0 {
		d.problems = append(d.problems, Problem{Kind: Unreadable, File: d.file, Span: Span{Start: 0, End: 1}, Src: d.src,
			Msg: fmt.Sprintf("%d more problems of this file are not listed", d.unlisted), Fix: "put the first ones right; they may be one mistake"})
	}
	return d.problems
}

// table fills the struct v from the table n.
func (d *decoder) table(n *keyindex.Node, v reflect.Value, what string) {
	s := schemaOf(v.Type())
	if s.span != nil {
		v.FieldByIndex(s.span).Set(reflect.ValueOf(n.Val))
	}
	for _, name := range n.Table.Names {
		child := n.Table.Get(name)
		f := s.byKey[name]
		if f == nil {
			d.unknown(s, name, child, what)
			continue
		}
		d.value(child, v.FieldByIndex(f.index), f, what)
	}
	for _, f := range s.fields {
		if f.need && n.Table.Get(f.key) == nil {
			d.gap(n.Val, fmt.Sprintf("add %s = %s", f.key, f.eg), "%s has no %s (%s)", what, f.key, f.means)
		}
	}
}

func (d *decoder) unknown(s *schema, name string, n *keyindex.Node, what string) {
	var keys []string
	for _, f := range s.fields {
		keys = append(keys, f.key)
	}
	best := Nearest(name, keys, 1+max(1, len(name)/3))
	fix := fmt.Sprintf("tenths explain %s lists the keys; notes of your own go into the text below the front matter", d.kind)
	if best != "" {
		fix = fmt.Sprintf("did you mean %s?", best)
	}
	d.problem(UnknownKey, n.Key, fix, "%s: there is no key named %q; nothing reads it", what, Printable(name))
}

// value fills one field.
func (d *decoder) value(n *keyindex.Node, v reflect.Value, f *field, what string) {
	switch p := v.Addr().Interface().(type) {
	case *Text:
		d.text(n, p, f)
	case *Ref:
		d.ref(n, p, f)
	case *Int:
		if i, ok := n.Value.(int64); ok && i >= -1e9 && i <= 1e9 {
			*p = Int{int(i), n.Val}
		} else {
			d.wrong(n, f, "a whole number")
		}
	case *Flag:
		if b, ok := n.Value.(bool); ok {
			*p = Flag{b, n.Val}
		} else {
			d.wrong(n, f, "true or false")
		}
	case *Date:
		d.date(n, p, f)
	case *Size:
		d.size(n, p, f)
	case *Pair:
		d.pair(n, p, f)
	case *Period:
		d.period(n, p, f)
	case *Count:
		d.count(n, p, f)
	case *[]Binding:
		d.bindings(n, p, f)
	case *[]Named:
		d.named(n, p, f)
	case *Severities:
		d.severities(n, p, f)
	case *[]Text:
		for _, item := range d.items(n, f) {
			var t Text
			d.text(item, &t, f)
			if t.Set() {
				*p = append(*p, t)
			}
		}
	case *[]Ref:
		for _, item := range d.items(n, f) {
			var r Ref
			d.ref(item, &r, f)
			if r.Set() {
				*p = append(*p, r)
			}
		}
	case *[]Size:
		d.sizes(n, p, f)
	case *[]Entry:
		d.entries(n, p, f)
	default:
		if v.Kind() == reflect.Slice {
			d.tables(n, v, f, what)
			return
		}
		if n.Table == nil {
			d.wrong(n, f, "a table")
			return
		}
		d.table(n, v, f.key)
	}
}

// items gives the items of an array; a single value stands for a list of one.
func (d *decoder) items(n *keyindex.Node, f *field) []*keyindex.Node {
	if d.tooMany(n, f, len(n.Items)) {
		return nil
	}
	if n.IsArray {
		return n.Items
	}
	return []*keyindex.Node{n}
}

func (d *decoder) tables(n *keyindex.Node, v reflect.Value, f *field, what string) {
	items := n.Items
	if n.Table != nil {
		items = []*keyindex.Node{n}
	} else if !n.IsArray {
		d.problem(Unreadable, n.Val, fmt.Sprintf("begin each with a line [[%s]]", f.key), "%s: %s is not a list of tables", f.key, d.excerpt(n))
		return
	}
	if d.tooMany(n, f, len(items)) {
		return
	}
	v.Set(reflect.MakeSlice(v.Type(), len(items), len(items)))
	for i, item := range items {
		if item.Table == nil {
			d.problem(Unreadable, item.Val, fmt.Sprintf("begin it with a line [[%s]]", f.key), "%s: %s is not a table", f.key, d.excerpt(item))
			continue
		}
		name := fmt.Sprintf("%s %d", f.key, i+1)
		for _, key := range []string{"id", "name"} {
			if id := item.Table.Get(key); id != nil {
				if s, ok := id.Value.(string); ok {
					name = f.key + " " + Printable(s)
				}
			}
		}
		if f.key == "was" {
			name = what + ", was"
		}
		d.table(item, v.Index(i), name)
	}
}

// wrong reports a value of the wrong type.
func (d *decoder) wrong(n *keyindex.Node, f *field, want string) {
	d.problem(Unreadable, n.Val, fmt.Sprintf("write %s = %s", f.key, f.eg), "%s: %s is not %s", f.key, d.excerpt(n), want)
}

// excerpt is the value as written, shortened.
func (d *decoder) excerpt(n *keyindex.Node) string {
	if n.Table != nil {
		return "a table"
	}
	if n.IsArray {
		return "a list"
	}
	s := Printable(string(d.src[n.Val.Start:n.Val.End]))
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}

func (d *decoder) text(n *keyindex.Node, p *Text, f *field) {
	s, ok := n.Value.(string)
	if !ok {
		d.wrong(n, f, "text between quotes")
		return
	}
	if i := strings.IndexFunc(s, func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' && r != '\r' }); i >= 0 {
		d.problem(Unreadable, n.Val, "remove it", "%s: a control character stands in %s", f.key, d.excerpt(n))
		return
	}
	if f.key == "id" && !validID(s) {
		d.problem(Unreadable, n.Val, "use letters, digits, - . _ and no more than 40 of them, such as "+f.eg, "id: %s cannot be an id", d.excerpt(n))
		return
	}
	if f.words != nil && !contains(f.words, s) {
		fix := "one of: " + strings.Join(f.words, ", ")
		if best := Nearest(s, f.words, 4); best != "" {
			fix = fmt.Sprintf("did you mean %q? It can be %s", best, fix)
		}
		d.problem(Unreadable, n.Val, fix, "%s: %s has no meaning here", f.key, d.excerpt(n))
		return
	}
	*p = Text{s, n.Val}
}

func contains(words []string, s string) bool {
	for _, w := range words {
		if w == s {
			return true
		}
	}
	return false
}

// validID keeps ids such that they can be spoken, typed and put into a path.
func validID(s string) bool {
	if s == "" || len(s) > 40 {
		return false
	}
	for _, r := range s {
		if !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '.' || r == '_') {
			return false
		}
	}
	return true
}

func (d *decoder) ref(n *keyindex.Node, p *Ref, f *field) {
	var t Text
	d.text(n, &t, &field{key: f.key, eg: f.eg, need: f.need})
	if !t.Set() {
		return
	}
	if strings.TrimSpace(t.S) == "" {
		if f.need {
			d.gap(n.Val, fmt.Sprintf("write %s = %s", f.key, f.eg), "%s is empty", f.key)
		}
		return
	}
	*p = Ref(t)
}

func (d *decoder) bindings(n *keyindex.Node, p *[]Binding, f *field) {
	if n.Table == nil {
		d.wrong(n, f, "a table of names with paths")
		return
	}
	for _, name := range n.Table.Names {
		var r Ref
		d.ref(n.Table.Get(name), &r, f)
		if r.Set() {
			*p = append(*p, Binding{name, r})
		}
	}
}

func (d *decoder) named(n *keyindex.Node, p *[]Named, f *field) {
	if n.Table == nil {
		d.wrong(n, f, "a table of names")
		return
	}
	for _, name := range n.Table.Names {
		item := n.Table.Get(name)
		var t Text
		switch item.Value.(type) {
		case int64, float64:
			t = Text{S: string(d.src[item.Val.Start:item.Val.End]), Span: item.Val}
		default:
			d.text(item, &t, &field{key: f.key, eg: f.eg})
		}
		if t.Set() {
			*p = append(*p, Named{name, t})
		}
	}
}

func (d *decoder) date(n *keyindex.Node, p *Date, f *field) {
	switch v := n.Value.(type) {
	case time.Time:
		// A time of day alone is a value of TOML, but no day.
		if !bytes.HasPrefix(d.src[min(n.Val.Start+len("2006"), n.Val.End):n.Val.End], []byte("-")) {
			d.wrong(n, f, "a day")
			return
		}
		y, m, day := v.Date()
		*p = Date{T: time.Date(y, m, day, 0, 0, 0, 0, time.UTC), Span: n.Val}
	case string:
		t, about, err := ParseDate(v)
		if err != nil {
			d.problem(Unreadable, n.Val, fmt.Sprintf("write %s = %s", f.key, f.eg), "%s: %v", f.key, err)
			return
		}
		*p = Date{T: t, About: about, Span: n.Val}
	default:
		d.wrong(n, f, "a day")
	}
}

func (d *decoder) period(n *keyindex.Node, p *Period, f *field) {
	s, ok := n.Value.(string)
	if !ok {
		d.wrong(n, f, "a period")
		return
	}
	v, err := quantity.ParseInterval(s)
	if err != nil {
		d.problem(Unreadable, n.Val, fmt.Sprintf("write %s = %s", f.key, f.eg), "%s: %v", f.key, err)
		return
	}
	*p = Period{v, s, n.Val}
}

func (d *decoder) count(n *keyindex.Node, p *Count, f *field) {
	s, ok := n.Value.(string)
	if !ok {
		d.wrong(n, f, "a count")
		return
	}
	hit, of, err := ParseCount(s)
	if err != nil {
		d.problem(Unreadable, n.Val, fmt.Sprintf("write %s = %s", f.key, f.eg), "%s: %v", f.key, err)
		return
	}
	*p = Count{hit, of, n.Val}
}

// size reads a quantity from a string, or from the very bytes of a bare
// number: the TOML library would pass it through binary floating point.
func (d *decoder) size(n *keyindex.Node, p *Size, f *field) {
	switch v := n.Value.(type) {
	case string:
		d.parseSize(v, n.Val, p, f)
	case int64, float64:
		d.parseSize(string(d.src[n.Val.Start:n.Val.End]), n.Val, p, f)
	default:
		d.wrong(n, f, "a quantity")
	}
}

func (d *decoder) parseSize(s string, at Span, p *Size, f *field) {
	def := d.units
	switch {
	case f.unit == "readings" && !d.readings.IsZero():
		def = d.readings
	case f.dim == "number":
		def = quantity.One
	case f.dim == "temperature", f.dim == "time", f.dim == "force", f.dim == "length·force":
		def = quantity.Unit{}
	}
	t, err := quantity.ParseToleranced(s, def)
	if err != nil {
		d.problem(Unreadable, at, fmt.Sprintf("write it like %s", f.eg), "%s: %v", f.key, err)
		return
	}
	want := f.dim
	if want == "" {
		want = "length"
	}
	if got := t.Nominal.Kind(); want != "any" && got != want && !(want == "number" && got == "plain number") {
		d.problem(Unreadable, at, fmt.Sprintf("write it like %s", f.eg), "%s: %s is a %s, but a %s is needed here", f.key, Printable(s), got, want)
		return
	}
	*p = Size{&t, s, at}
}

// sizes reads a list of quantities; a text with spaces between its numbers is
// a list too, each number with its own place.
func (d *decoder) sizes(n *keyindex.Node, p *[]Size, f *field) {
	for _, item := range d.items(n, f) {
		s, ok := item.Value.(string)
		if !ok || n.IsArray {
			var v Size
			d.size(item, &v, f)
			if v.Set() {
				*p = append(*p, v)
			}
			continue
		}
		fields := fieldsAt(s)
		if d.tooMany(item, f, len(fields)) {
			return
		}
		for _, tok := range fields {
			at := item.Val
			// The quote and the plain text before a token have its width in
			// the file too, unless the text holds escapes.
			if item.Val.End-item.Val.Start == len(s)+2 {
				at = Span{Start: item.Val.Start + 1 + tok.Start, End: item.Val.Start + 1 + tok.End}
			}
			var v Size
			d.parseSize(s[tok.Start:tok.End], at, &v, f)
			if v.Set() {
				*p = append(*p, v)
			}
		}
	}
}

// tooMany reports a list that is longer than a record may hold.
func (d *decoder) tooMany(n *keyindex.Node, f *field, count int) bool {
	if count <= MaxPieces {
		return false
	}
	d.problem(Unreadable, n.Val, "split it, one record for each part of it", "%s: %d entries; a list of more than %d is not read", f.key, count, MaxPieces)
	return true
}

// fieldsAt splits at spaces and gives the place of each field.
func fieldsAt(s string) []Span {
	var out []Span
	start := -1
	for i, r := range s + " " {
		switch {
		case unicode.IsSpace(r):
			if start >= 0 {
				out = append(out, Span{Start: start, End: i})
			}
			start = -1
		case start < 0:
			start = i
		}
	}
	return out
}

func (d *decoder) pair(n *keyindex.Node, p *Pair, f *field) {
	switch count := len(n.Items); {
	case n.IsArray && (count == 2 || count == 3 && f.space):
	case f.space:
		d.wrong(n, f, "[x, y] or [x, y, z]")
		return
	default:
		d.wrong(n, f, "a pair [x, y]")
		return
	}
	p.Span = n.Val
	for i, member := range []*Size{&p.X, &p.Y, &p.Z}[:len(n.Items)] {
		d.size(n.Items[i], member, f)
	}
}
