package report

import (
	"fmt"
	"regexp"
	"slices"
	"sort"
	"strings"
	"time"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/redact"
	"tenths/ledger/study"
)

// By says how a log is divided.
type By string

// The divisions of a log.
const (
	ByMonth   By = "month"
	ByPart    By = "part"
	ByFixture By = "fixture"
)

// LogOptions says which changes a log lists, and how.
type LogOptions struct {
	Since, Until time.Time // days of the work, both included; zero is open
	By           By        // month if empty
	// Public lists only the changes marked public, and of them only what may
	// leave the shop.
	Public bool
	// Percent gives the public numbers as percentages of the limit instead of
	// as differences. Never both: together they would give the limit away.
	Percent bool
	// Serials also prints applies_from in the public log.
	Serials bool
}

// Log lists what the shop improved, and what it tried in vain.
type Log struct {
	AsOf   string     `json:"as_of"`
	Public bool       `json:"public"`
	Since  string     `json:"since"`
	Until  string     `json:"until"`
	By     By         `json:"by"`
	Groups []LogGroup `json:"groups"`
	Totals []Total    `json:"totals"`
	// Predictions says how good those of the listed changes have been; null if
	// none predicts anything, and in a public log.
	Predictions *Predictions `json:"predictions"`
}

// LogGroup is the changes of one month, part or fixture, by day.
type LogGroup struct {
	Name    string  `json:"name"`
	Entries []Entry `json:"entries"`
}

// Total is how many changes came to a state.
type Total struct {
	State string `json:"state"`
	N     int    `json:"n"`
}

// Entry is one change. In a public log the days are months, and what may not
// leave the shop is empty.
type Entry struct {
	Change     string `json:"change"`
	Date       string `json:"date"` // of the work
	RolledBack string `json:"rolled_back"`
	Title      string `json:"title"`
	Part       string `json:"part"`
	State      string `json:"state"`
	Notice     string `json:"notice"` // what the owner of the product notices
	Kind       string `json:"kind"`   // what was changed in kind
	Cause      string `json:"cause"`
	// Results holds what was measured, the characteristic of the change first.
	Results     []Result `json:"results"`
	Criterion   string   `json:"criterion"` // how it was judged without readings; private
	WorsePoints int      `json:"worse_points"`
	ElseChanged int      `json:"else_changed"` // how many other things changed in the window
	SideEffects string   `json:"side_effects"`
	Lesson      string   `json:"lesson"`
	AppliesFrom string   `json:"applies_from"`
}

// Result is what came out at one characteristic. In a public log there is
// either a difference in a unit of length or the like, or percentages of the
// limit, and for sizes no level.
type Result struct {
	What   string            `json:"what"`
	Before quantity.Quantity `json:"before"`
	After  quantity.Quantity `json:"after"`
	Change quantity.Quantity `json:"change"`
	Low    quantity.Quantity `json:"low"`
	High   quantity.Quantity `json:"high"`
	N      []int             `json:"n"` // pieces before and after
	Effect string            `json:"effect"`
	Text   string            `json:"text"`
	Note   string            `json:"note"`
}

// PrivateError says that texts for the public hold private words.
type PrivateError struct{ Leaks []study.Leak }

// Error lists each place with its word.
func (e *PrivateError) Error() string {
	var b strings.Builder
	b.WriteString("nothing is published: private words stand in texts for the public")
	for _, l := range e.Leaks {
		pos := ledger.PositionOf(l.Rec.Src, l.At.Start)
		fmt.Fprintf(&b, "\n%s:%d:%d: %q is %s", line(l.Rec.Path), pos.Line, pos.Column, line(l.Word), l.Why)
	}
	b.WriteString("\nsay it in other words, or leave the change out with public = false")
	return b.String()
}

// told lists the states of changes that a log tells of.
var told = []string{"verified effective", "done", "not effective", "inconclusive", "harmful", "rolled back"}

// Changelog lists the changes that were carried out, by the day of the work:
// those that helped, those that did not, and those that were undone. A public
// log is refused with a *PrivateError if a text that it would print holds a
// private word, a program number or the like.
func Changelog(s *study.Set, opt LogOptions) (*Log, error) {
	if opt.By == "" {
		opt.By = ByMonth
	}
	if !slices.Contains([]By{ByMonth, ByPart, ByFixture}, opt.By) {
		return nil, fmt.Errorf("a log cannot be divided by %q; by %s, %s or %s", string(opt.By), ByMonth, ByPart, ByFixture)
	}
	log := &Log{AsOf: day(s.AsOf), Public: opt.Public, Since: day(opt.Since), Until: day(opt.Until), By: opt.By, Groups: []LogGroup{}, Totals: []Total{}}
	if opt.Public {
		log.AsOf, log.Since, log.Until = month(log.AsOf), month(log.Since), month(log.Until)
	}
	type item struct {
		rec   *ledger.Record
		on    time.Time
		group string
		entry Entry
	}
	var items []item
	var leaks []study.Leak
	for _, rec := range s.L.Records {
		ch, ok := rec.Data.(*ledger.Change)
		if !ok || !slices.Contains(told, ch.State.S) || opt.Public && !ch.Public.B {
			continue
		}
		on := ch.Done
		if !on.Set() {
			on = ch.Opened
		}
		if on.Set() && on.T.After(s.AsOf) || !opt.Since.IsZero() && on.T.Before(opt.Since) || !opt.Until.IsZero() && on.T.After(opt.Until) {
			continue
		}
		b := entryBuilder{s: s, rec: rec, ch: ch, opt: opt}
		e := b.entry(on)
		for _, g := range b.groups(on) {
			items = append(items, item{rec, on.T, g, e})
		}
		leaks = append(leaks, b.leaks...)
	}
	if len(leaks) > 0 {
		return nil, &PrivateError{leaks}
	}
	sort.SliceStable(items, func(i, j int) bool {
		a, b := items[i], items[j]
		switch {
		case a.group != b.group:
			return a.group < b.group
		case !a.on.Equal(b.on):
			return a.on.Before(b.on)
		}
		return a.rec.ID() < b.rec.ID()
	})
	counted := map[*ledger.Record]string{}
	for _, it := range items {
		if n := len(log.Groups); n == 0 || log.Groups[n-1].Name != it.group {
			log.Groups = append(log.Groups, LogGroup{Name: it.group})
		}
		g := &log.Groups[len(log.Groups)-1]
		g.Entries = append(g.Entries, it.entry)
		counted[it.rec] = it.entry.State
	}
	for _, state := range told {
		t := Total{State: state}
		for _, st := range counted {
			if st == state {
				t.N++
			}
		}
		log.Totals = append(log.Totals, t)
	}
	if !opt.Public {
		var listed []*ledger.Record
		for _, it := range items {
			if !slices.Contains(listed, it.rec) {
				listed = append(listed, it.rec)
			}
		}
		log.Predictions = predictionsOf(s, listed)
	}
	return log, nil
}

// month is the month of a day, with the "about" of one from memory.
func month(d string) string {
	rest, about := strings.CutPrefix(d, "about ")
	if len(rest) > 7 {
		rest = rest[:7]
	}
	if about {
		return "about " + rest
	}
	return rest
}

// entryBuilder makes an entry. It keeps what must not be published of the texts
// that it takes from records, so that nothing is before all are looked through.
type entryBuilder struct {
	s     *study.Set
	rec   *ledger.Record
	ch    *ledger.Change
	opt   LogOptions
	leaks []study.Leak
}

// What may not stand in the texts beside the numbers: lengths beside
// percentages of the limit, and the other way round.
var (
	lengthWord     = regexp.MustCompile(`(?i)\b(tenths?|thou|um|uin|microns?|micrometres?)\b|µm|μm|\d\s*(mm|in)\b`)
	percentOfLimit = regexp.MustCompile(`(?i)\d\s*(%|percent|per cent)\s+of\s+(the\s+|our\s+)?(limit|tolerance|goal)`)
)

func (b *entryBuilder) besides() *regexp.Regexp {
	if b.opt.Percent {
		return lengthWord
	}
	return percentOfLimit
}

// take uses a text of a record; for the public without its sizes and days.
func (b *entryBuilder) take(rec *ledger.Record, t ledger.Text) string {
	if !b.opt.Public || !t.Set() {
		return line(t.S)
	}
	text, leaks := b.s.PublicText(rec, t)
	if b.opt.Serials && t == b.ch.AppliesFrom {
		leaks = slices.DeleteFunc(leaks, func(l study.Leak) bool { return l.Why == redact.SerialOfUnits })
	}
	if m := b.besides().FindString(text); m != "" {
		leaks = append(leaks, study.Leak{Rec: rec, At: t.Span, Word: strings.TrimSpace(m), Why: "a difference beside a percentage of the limit, which gives the limit away"})
	}
	for _, l := range leaks {
		if !slices.Contains(b.leaks, l) {
			b.leaks = append(b.leaks, l)
		}
	}
	return line(text)
}

func (b *entryBuilder) entry(on ledger.Date) Entry {
	ch := b.ch
	e := Entry{
		Change: b.take(b.rec, b.rec.Common.ID), Date: on.String(), RolledBack: ch.RolledBack.String(), State: ch.State.S,
		Title: b.take(b.rec, b.rec.Common.Title), Notice: b.take(b.rec, ch.Notice), Kind: b.take(b.rec, ch.Factor),
		Cause: b.take(b.rec, ch.Cause.Text), SideEffects: b.take(b.rec, ch.Side), Lesson: b.take(b.rec, ch.Lesson),
		Results: []Result{}, ElseChanged: len(ch.AlsoChanged),
	}
	if b.opt.Public {
		e.Date, e.RolledBack = month(e.Date), month(e.RolledBack)
	} else {
		e.Criterion = line(ch.Criterion.S)
	}
	if !b.opt.Public || b.opt.Serials {
		e.AppliesFrom = b.take(b.rec, ch.AppliesFrom)
	}
	for _, ev := range b.s.Evidence(b.rec) {
		if ev.Char == nil || ev.Before == nil && ev.After == nil {
			continue
		}
		if e.Part == "" {
			e.Part = b.take(ev.CharRec, ev.CharRec.Common.Title)
		}
		e.Results = append(e.Results, b.result(ev))
		for _, p := range ev.Points {
			if ev.Primary && p.Worse {
				e.WorsePoints++
			}
		}
	}
	return e
}

// groups names the groups that an entry belongs to.
func (b *entryBuilder) groups(on ledger.Date) []string {
	var out []string
	add := func(rec *ledger.Record) {
		name := b.take(rec, rec.Common.Title)
		if !b.opt.Public {
			name = rec.ID() + " " + name
		}
		if !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	switch b.opt.By {
	case ByPart:
		for _, ev := range b.s.Evidence(b.rec) {
			if ev.CharRec != nil {
				add(ev.CharRec)
			}
		}
	case ByFixture:
		for _, t := range b.ch.Touches {
			id, _, _ := strings.Cut(t.S, "/")
			if r := b.s.L.Record(id); r != nil && r.Kind() == ledger.KindFixture {
				add(r)
			}
		}
	default:
		if on.Set() {
			return []string{month(on.String())}
		}
	}
	if out == nil {
		return []string{"other"}
	}
	return out
}
