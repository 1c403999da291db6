package report

import (
	"fmt"
	"io"
	"reflect"
	"strings"
	"time"
	"unicode/utf8"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
)

// Sheet is one record, a part of it, or one value, with everything that is
// computed from it on the day asked for.
type Sheet struct {
	AsOf   string `json:"as_of"`
	Path   string `json:"path"` // what was asked for
	Record string `json:"record"`
	Kind   string `json:"kind"`
	Title  string `json:"title"`
	State  string `json:"state"`
	File   string `json:"file"`
	Line   int    `json:"line"`
	// Later says what is shown and is later than the day asked for.
	Later []string `json:"later,omitempty"`
	// Value is set if the path goes down to one value.
	Value    *Value    `json:"value,omitempty"`
	Sections []Section `json:"sections"`
}

// Value is a value of a record as it stood on the day asked for. A limit that
// it does not have is null.
type Value struct {
	Value quantity.Quantity `json:"value"`
	Lower quantity.Quantity `json:"lower"`
	Upper quantity.Quantity `json:"upper"`
	Text  string            `json:"text"`  // as written, or as computed now
	Since string            `json:"since"` // day from which it holds; empty: from the beginning
	Was   string            `json:"was"`   // before that day
	// Stale is set if the record keeps another result than the one computed now.
	Stale bool `json:"stale,omitempty"`
}

// Section is one heading with what is said under it: facts, or a table whose
// rows all have the same names.
type Section struct {
	Name  string   `json:"name"`
	Facts []Fact   `json:"facts"`
	Rows  [][]Fact `json:"rows"`
	// Picture is drawn into the HTML page; its words stand in Facts and Rows.
	Picture string `json:"-"`
}

// Fact is a name with what is said of it. Value is null if it is no quantity.
type Fact struct {
	Name  string            `json:"name"`
	Text  string            `json:"text"`
	Value quantity.Quantity `json:"value"`
}

// Record gathers the page of a record, of a part of it such as FX1/A, of one
// value such as FX1/A/P1/size, or of a lot. The error names what is not there, and what
// is near it (*ledger.NotFound).
func Record(s *study.Set, path string) (*Sheet, error) {
	id, _, _ := strings.Cut(path, "/")
	t, err := s.L.FindFrom(s.RevisionOn(id), path)
	if err != nil {
		return lotNamed(s, path, err)
	}
	at := t.Span()
	sh := &Sheet{
		AsOf: day(s.AsOf), Path: path, Record: t.Rec.ID(), Kind: string(t.Rec.Kind()), Title: line(t.Rec.Common.Title.S), State: s.StandsAs(t.Rec),
		File: t.Rec.Path, Line: ledger.PositionOf(t.Rec.Src, at.Start).Line, Later: s.Later(t.Rec), Sections: []Section{},
	}
	b := sheetBuilder{s: s, sh: sh, rec: t.Rec}
	d, derived := t.Node.(*ledger.Derived)
	switch {
	case derived:
		b.derivedValue(d)
	case t.Size != nil:
		size, _, err := s.L.ValueFrom(t.Rec, path, s.AsOf)
		if err != nil {
			return nil, err
		}
		sh.Value = valueOf(size)
		b.history(t, path)
	default:
		b.node(t)
	}
	return sh, nil
}

func valueOf(s ledger.Size) *Value {
	return &Value{Value: s.Tol.Nominal, Lower: s.Tol.Lower, Upper: s.Tol.Upper, Text: s.Tol.String()}
}

// sheetBuilder fills a sheet.
type sheetBuilder struct {
	s   *study.Set
	sh  *Sheet
	rec *ledger.Record
}

// section adds a heading and gives it back to be filled.
func (b *sheetBuilder) section(name string) *Section {
	b.sh.Sections = append(b.sh.Sections, Section{Name: name, Facts: []Fact{}, Rows: [][]Fact{}})
	return &b.sh.Sections[len(b.sh.Sections)-1]
}

// say adds a fact, unless there is nothing to say.
func (s *Section) say(name, text string) {
	if text = line(text); text != "" {
		s.Facts = append(s.Facts, Fact{Name: name, Text: text})
	}
}

// sayQ adds a quantity with the text that people read.
func (s *Section) sayQ(name, text string, q quantity.Quantity) {
	if !q.IsZeroValue() {
		s.Facts = append(s.Facts, Fact{Name: name, Text: line(text), Value: q})
	}
}

// row adds a row to the table: names and texts in turn.
func (s *Section) row(cells ...Fact) {
	for i := range cells {
		cells[i].Text = line(cells[i].Text)
	}
	s.Rows = append(s.Rows, cells)
}

func cell(name, text string) Fact { return Fact{Name: name, Text: text} }

func cellQ(name string, q quantity.Quantity) Fact {
	return Fact{Name: name, Text: textOf(q), Value: q}
}

// length shows a computed length with the digits that a shop can use.
func length(name string, q quantity.Quantity) Fact {
	return Fact{Name: name, Text: study.Show(q), Value: study.Shown(q)}
}

// history says since when a value holds and what it was before.
func (b *sheetBuilder) history(t ledger.Target, path string) {
	was := reflect.ValueOf(t.Node).Elem().FieldByName("Was")
	if !was.IsValid() {
		return
	}
	var since time.Time
	for i := range was.Len() {
		if until := was.Index(i).FieldByName("Until").Interface().(ledger.Date); until.By(b.s.AsOf) && until.T.After(since) {
			since = until.T
		}
	}
	if since.IsZero() {
		return
	}
	old, _, err := b.s.L.ValueOn(path, since.AddDate(0, 0, -1))
	if err != nil || old.Raw == b.sh.Value.Text || old.Tol.String() == b.sh.Value.Text {
		return
	}
	b.sh.Value.Since, b.sh.Value.Was = day(since), old.Tol.String()
}

// node fills the page of a record or of a part of it.
func (b *sheetBuilder) node(t ledger.Target) {
	switch n := t.Node.(type) {
	case *ledger.Part:
		b.written("part", n)
		b.part(n)
	case *ledger.Feature:
		now := ledger.OnDay(*n, b.s.AsOf)
		b.written("feature "+n.ID.S, &now)
		b.features([]ledger.Feature{*n})
		b.following(t.Rec.ID() + "/" + n.ID.S)
	case *ledger.Characteristic:
		now := ledger.OnDay(*n, b.s.AsOf)
		b.written("characteristic "+n.ID.S, &now)
		b.characteristics([]ledger.Characteristic{*n})
		b.seam(t.Rec.ID()+"/"+n.ID.S, &now)
		b.following(t.Rec.ID() + "/" + n.ID.S)
	case *ledger.Fixture:
		now := ledger.OnDay(*n, b.s.AsOf)
		b.written("fixture", &now)
		b.fixture(n)
	case *ledger.Station:
		b.station(n)
		b.freedom(n)
	case *ledger.Locator:
		now := ledger.OnDay(*n, b.s.AsOf)
		b.written("locator "+n.ID.S, &now)
		b.locator(n)
	case *ledger.Gauge:
		b.written("gauge", n)
		b.gauge(n)
	case *ledger.Tool:
		now := ledger.OnDay(*n, b.s.AsOf)
		b.written("tool", &now)
		b.tool(n)
	case *ledger.Machine:
		b.written("machine", n)
		b.machine(n)
	case *ledger.Plan:
		b.written("plan", n)
		b.plan(n)
	case *ledger.Inspection:
		b.written("inspection", n)
		b.inspection(n)
	case *ledger.Change:
		b.written("change", n)
		b.change()
	default:
		b.written("as written", t.Node)
	}
	if t.Node == t.Rec.Data {
		b.derived()
		b.concessions()
	}
}

// written lists what the record itself says, one line a key. Tables of keys
// have sections of their own, or are left to the record.
func (b *sheetBuilder) written(name string, node any) {
	s := b.section(name)
	writtenKeys(s, reflect.ValueOf(node).Elem())
	if len(s.Facts) == 0 {
		b.sh.Sections = b.sh.Sections[:len(b.sh.Sections)-1]
	}
}

func writtenKeys(s *Section, v reflect.Value) {
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if f.Anonymous {
			if f.Type == reflect.TypeFor[ledger.Common]() {
				writtenKeys(s, v.Field(i))
			}
			continue
		}
		key := f.Tag.Get("key")
		if key == "" || key == "kind" || key == "id" || key == "title" || key == "state" {
			continue
		}
		switch x := v.Field(i).Interface().(type) {
		case ledger.Text:
			s.say(key, x.S)
		case ledger.Ref:
			s.say(key, x.S)
		case []ledger.Text:
			s.say(key, joinTexts(x))
		case []ledger.Ref:
			s.say(key, joinRefs(x))
		case ledger.Date:
			s.say(key, x.String())
		case ledger.Size:
			if x.Set() {
				s.sayQ(key, x.Tol.String(), x.Tol.Nominal)
			}
		case ledger.Pair:
			if x.Set() {
				text := x.X.Tol.String() + ", " + x.Y.Tol.String()
				if x.Z.Set() {
					text += ", " + x.Z.Tol.String()
				}
				s.say(key, text)
			}
		case ledger.Int:
			if x.Set() {
				s.say(key, fmt.Sprint(x.N))
			}
		case ledger.Flag:
			if x.Set() {
				s.say(key, map[bool]string{true: "yes", false: "no"}[x.B])
			}
		case ledger.Period:
			if x.Set() {
				s.say(key, x.V.String())
			}
		case ledger.Cause:
			s.say(key, strings.TrimSuffix(x.Text.S+" ("+x.Standing.S+")", " ()"))
		}
	}
}

func joinTexts(list []ledger.Text) string {
	var out []string
	for _, t := range list {
		out = append(out, t.S)
	}
	return strings.Join(out, ", ")
}

func joinRefs(list []ledger.Ref) string {
	var out []string
	for _, t := range list {
		out = append(out, t.S)
	}
	return strings.Join(out, ", ")
}

// WriteText prints the sheet for a person. With quiet set a single value is
// printed alone, for scripts.
func (sh *Sheet) WriteText(w io.Writer, quiet bool) error {
	var b strings.Builder
	if v := sh.Value; v != nil {
		fmt.Fprintln(&b, line(v.Text))
		if !quiet {
			sh.valueText(&b)
		}
		if quiet || len(sh.Sections) == 0 {
			_, err := io.WriteString(w, b.String())
			return err
		}
	} else {
		fmt.Fprintf(&b, "%s: %s\n", line(sh.Path), sh.Title)
		fmt.Fprintf(&b, "%s%s, %s:%d, as of %s\n", sh.Kind, prefixed(", ", sh.State), line(sh.File), sh.Line, sh.AsOf)
		for _, l := range sh.Later {
			b.WriteString(l + "\n")
		}
	}
	for _, s := range sh.Sections {
		fmt.Fprintf(&b, "\n%s\n", line(s.Name))
		var rows [][]string
		for _, f := range s.Facts {
			rows = append(rows, []string{f.Name, f.Text})
		}
		writeColumns(&b, "  ", rows)
		if len(s.Rows) > 0 {
			var head []string
			for _, c := range s.Rows[0] {
				head = append(head, c.Name)
			}
			table := [][]string{head}
			for _, r := range s.Rows {
				var cells []string
				for _, c := range r {
					cells = append(cells, c.Text)
				}
				table = append(table, cells)
			}
			writeColumns(&b, "  ", table)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (sh *Sheet) valueText(b *strings.Builder) {
	v := sh.Value
	if !v.Lower.IsZeroValue() && !v.Upper.IsZeroValue() {
		fmt.Fprintf(b, "  from %s to %s\n", v.Lower, v.Upper)
	}
	if v.Since != "" {
		fmt.Fprintf(b, "  since %s, before that %s\n", v.Since, line(v.Was))
	}
	if v.Stale {
		b.WriteString("  the record keeps another result; tenths derive --write brings it up to date\n")
	}
	fmt.Fprintf(b, "  %s:%d, as of %s\n", line(sh.File), sh.Line, sh.AsOf)
}

func prefixed(before, s string) string {
	if s == "" {
		return ""
	}
	return before + s
}

// writeColumns lines cells up under each other. The last column is not filled.
func writeColumns(b *strings.Builder, indent string, rows [][]string) {
	var widths []int
	for _, r := range rows {
		for i, c := range r {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], utf8.RuneCountInString(c))
		}
	}
	for _, r := range rows {
		var l strings.Builder
		l.WriteString(indent)
		for i, c := range r {
			l.WriteString(c)
			if i < len(r)-1 {
				l.WriteString(strings.Repeat(" ", widths[i]-utf8.RuneCountInString(c)+2))
			}
		}
		b.WriteString(strings.TrimRight(l.String(), " ") + "\n")
	}
}
