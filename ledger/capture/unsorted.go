package capture

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"tenths/ledger"
	"tenths/ledger/study"
)

// maxLine is the longest line that is kept; longer ones are no readings of a
// person.
const maxLine = 64 << 10

// unsorted keeps the line as it was typed.
func (c *clerk) unsorted(t trouble) (*Kept, error) {
	k := &Kept{Unsorted: true, Line: c.line + c.options(), Why: t.why, Near: t.near, On: c.ask.On}
	if c.old != nil && len(c.ask.Words) < 2 {
		// Nothing was typed but a path: the line waits on.
		k.File, k.ID, k.Line = c.from.Path, c.old.ID.S, c.old.Line.S
		return k, nil
	}
	if len(k.Line) > maxLine {
		return nil, fmt.Errorf("a line of %d characters; no more than %d are kept", len(k.Line), maxLine)
	}
	if c.by == "" {
		c.by = c.person(nil)
		c.takePhotos()
	}
	k.By = c.by
	p, bad, err := c.change(c.by, c.ask.On, func(p *page) (string, *trouble) {
		k.ID = p.next("u")
		l := lines{"[[unsorted]]"}
		l.add("id", k.ID)
		l.add("line", k.Line)
		l.add("why", t.why)
		l.add("time", c.ask.Clock)
		l.add("note", c.noted(""))
		l.add("taken_from", c.ask.From)
		c.file = p.name
		l.list("photos", c.photoNames())
		return p.insert(p.recs[0].EndOfKeys(), l), nil
	})
	if err == nil && bad != nil {
		err = errors.New(bad.why)
	}
	if err != nil {
		return nil, err
	}
	k.File = p.name
	return k, nil
}

// options are what was said beside the line, so that it can be sorted later.
func (c *clerk) options() string {
	var b strings.Builder
	for _, o := range c.ask.said() {
		if *o.text != "" {
			fmt.Fprintf(&b, " --%s %s", o.name, ledger.Printable(*o.text))
		}
	}
	return b.String()
}

type option struct {
	name string
	text *string
}

func (a *Ask) said() []option {
	return []option{{"gauge", &a.Gauge}, {"lot", &a.Lot}, {"unit", &a.Unit}, {"purpose", &a.Purpose}, {"held", &a.Held}, {"picked", &a.Picked},
		{"at-count", &a.AtCount}, {"corrects", &a.Corrects}, {"why", &a.Why}, {"note", &a.Note}}
}

// sorted finds the line that is sorted now and takes from it what was not typed
// again.
func (c *clerk) sorted() *trouble {
	if c.ask.Sorts == "" {
		return nil
	}
	c.from, c.old = lineNamed(c.l, c.ask.Sorts)
	if c.old == nil {
		return because("no unsorted line is called %s", ledger.Printable(c.ask.Sorts))
	}
	head := c.from.Data.(*ledger.Inspection)
	if head.On.Set() {
		c.ask.On = head.On.T
	}
	if c.ask.By == "" {
		c.ask.By = head.By.S
	}
	c.ask.Clock = c.old.Time.S
	words, options := split(c.old.Line.S)
	for _, o := range c.ask.said() {
		if *o.text == "" {
			*o.text = options[o.name]
		}
	}
	if len(strings.Fields(c.line)) == 1 && len(words) > 1 {
		c.line += " " + strings.Join(words[1:], " ")
	}
	return nil
}

// split takes the options off a line.
func split(line string) (words []string, options map[string]string) {
	options = map[string]string{}
	name := ""
	for _, w := range strings.Fields(line) {
		switch {
		case strings.HasPrefix(w, "--") && len(w) > 2:
			name = w[2:]
		case name == "":
			words = append(words, w)
		default:
			options[name] = strings.TrimSpace(options[name] + " " + w)
		}
	}
	return words, options
}

func lineNamed(l *ledger.Ledger, id string) (*ledger.Record, *ledger.Line) {
	for _, rec := range l.Records {
		if in, ok := rec.Data.(*ledger.Inspection); ok {
			for i := range in.Unsorted {
				if in.Unsorted[i].ID.S == id {
					return rec, &in.Unsorted[i]
				}
			}
		}
	}
	return nil, nil
}

// mark notes in the text of a page, which has grown at an offset, what became of
// the line that is sorted, if it stands there. The offset moves with the text.
func (c *clerk) mark(p *page, text, id string, at *int) string {
	if c.old == nil || c.from.Path != p.name {
		return text
	}
	for _, u := range p.recs[0].Data.(*ledger.Inspection).Unsorted {
		if u.ID.S != c.old.ID.S || !u.Open() {
			continue
		}
		end := u.Line.End
		added := "sorted = " + ledger.Quote(id) + p.newline
		if end > *at {
			end += len(text) - len(p.text)
		} else {
			*at += len(added)
		}
		end += strings.IndexByte(text[end:], '\n') + 1
		return text[:end] + added + text[end:]
	}
	return text
}

// markElsewhere notes in another file what became of the line.
func (c *clerk) markElsewhere(id string) error {
	name := c.from.Path
	unlock, err := ledger.LockFolder(c.root, name)
	if err != nil && !errors.Is(err, ledger.ErrNoLock) {
		return err
	}
	if err == nil {
		defer unlock()
	}
	old, err := ledger.ReadFile(c.root, name)
	if err != nil {
		return err
	}
	p := &page{name: name, text: old, newline: "\n"}
	if p.recs, _ = c.l.Parse(old, name); len(p.recs) == 0 {
		return fmt.Errorf("%s cannot be read", name)
	}
	return ledger.WriteFile(c.root, name, old, []byte(c.mark(p, string(old), id, new(int))))
}

// Drop notes that an unsorted line is no reading, and why.
func Drop(root string, s *study.Set, id, why string) error {
	c := &clerk{root: root, s: s, l: s.L}
	if c.from, c.old = lineNamed(s.L, id); c.old == nil {
		return fmt.Errorf("no unsorted line is called %s", id)
	}
	if !c.old.Open() {
		return fmt.Errorf("%s is sorted already: %s", id, c.old.Sorted.S)
	}
	return c.markElsewhere(ledger.Printable(why))
}

// Waiting is an unsorted line with what may have been meant.
type Waiting struct {
	Rec  *ledger.Record
	Line *ledger.Line
	Why  string
	Near string // empty if nothing is near
	Path string // of what it would be sorted as, if it can be read by now
}

// readAnew is how many lines are compared with all that is measured.
const readAnew = 50

// Unsorted lists the lines that wait to be sorted, in the order of the files.
func Unsorted(s *study.Set) []Waiting {
	var out []Waiting
	for _, rec := range s.L.Records {
		in, ok := rec.Data.(*ledger.Inspection)
		if !ok {
			continue
		}
		for i := range in.Unsorted {
			u := &in.Unsorted[i]
			if !u.Open() {
				continue
			}
			w := Waiting{Rec: rec, Line: u, Why: u.Why.S}
			if len(out) >= readAnew {
				out = append(out, w)
				continue
			}
			words, _ := split(u.Line.S)
			c := &clerk{s: s, l: s.L, line: strings.Join(words, " "), ask: Ask{Words: words, On: dayOf(in, s), Sorts: u.ID.S}}
			t := c.sorted()
			var r *readings
			if t == nil {
				r, t = c.read()
			}
			if t == nil {
				w.Path, w.Why = r.place.path, ""
			} else {
				w.Why, w.Near = t.why, t.near
			}
			out = append(out, w)
		}
	}
	return out
}

func dayOf(in *ledger.Inspection, s *study.Set) time.Time {
	if in.On.Set() {
		return in.On.T
	}
	return s.AsOf
}
