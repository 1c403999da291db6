package report

import (
	"errors"
	"fmt"
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

// Audience is whom a public log is for.
type Audience string

// Makers get the mechanism, the numbers, the trap and how it was verified;
// customers what they will notice, whether it holds for theirs, and what an older
// unit can have.
const (
	Makers    Audience = "makers"
	Customers Audience = "customers"
)

// LogOptions says which changes a log lists, and how.
type LogOptions struct {
	Since, Until time.Time // days of the work, both included; zero is open
	// Earlier is the ledger at a revision: only what became known since then is
	// listed. Nil for all.
	Earlier *Earlier
	By      By // month if empty
	// Public lists only the changes marked public, and of them only what may
	// leave the shop; For says to whom, makers if empty.
	Public bool
	For    Audience
	// Percent gives the public numbers as percentages of the limit instead of
	// as differences. Never both: together they would give the limit away.
	Percent bool
	// Serials also prints applies_from in the public log.
	Serials bool
}

// Log lists what the shop improved, and what it tried in vain.
type Log struct {
	AsOf      string   `json:"as_of"`
	Public    bool     `json:"public"`
	For       Audience `json:"for"`       // of a public log
	Publisher string   `json:"publisher"` // of a public log; empty if tenths.toml names none
	Since     string   `json:"since"`
	// SinceRevision is the revision that the log is compared with; null without
	// one, and in a public log.
	SinceRevision *Revision  `json:"since_revision"`
	Until         string     `json:"until"`
	By            By         `json:"by"`
	Groups        []LogGroup `json:"groups"`
	Totals        []Total    `json:"totals"`
	// Withdrawn holds what the list had at that revision and has no longer.
	Withdrawn []Withdrawn `json:"withdrawn"`
	// LeftOut is how many public changes of the time say nothing to customers, in
	// their log.
	LeftOut int `json:"left_out"`
	// Predictions says how good those of the listed changes have been; null if
	// none predicts anything, and in a public log.
	Predictions *Predictions `json:"predictions"`
	public      ledger.Publishing
	asOf        time.Time
	compared    bool // with an earlier ledger
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
// leave the shop, or is not for those who read it, is empty.
type Entry struct {
	Change     string `json:"change"`
	Date       string `json:"date"` // of the work
	RolledBack string `json:"rolled_back"`
	Updated    string `json:"updated"` // of the newest thing known of it
	Title      string `json:"title"`
	Part       string `json:"part"`
	State      string `json:"state"`
	// Outcome says the state in words for customers; empty for others.
	Outcome string `json:"outcome"`
	// News says what became known since the revision that the log is compared
	// with, and Then in which state the list had it; empty if it had not.
	News   string `json:"news"`
	Then   string `json:"then"`
	Notice string `json:"notice"` // what the owner of the product notices
	Kind   string `json:"kind"`   // what was changed in kind
	Cause  string `json:"cause"`
	// CauseStanding is how sure that is: suspected, excluded, confirmed.
	CauseStanding string `json:"cause_standing"`
	// Results holds what was measured, the characteristic of the change first.
	Results     []Result `json:"results"`
	Criterion   string   `json:"criterion"` // how it was judged without readings; private
	Caveat      string   `json:"caveat"`    // what the state claims and the readings do not show
	WorsePoints int      `json:"worse_points"`
	ElseChanged int      `json:"else_changed"` // how many other things changed in the window
	SideEffects string   `json:"side_effects"`
	Lesson      string   `json:"lesson"`
	OlderUnits  string   `json:"older_units"` // not for makers
	AppliesFrom string   `json:"applies_from"`
	// Corrections put right what was published, oldest first.
	Corrections []Corrected `json:"corrections"`
	on, updated time.Time
}

// Corrected puts right what was published about a change.
type Corrected struct {
	On   string `json:"on"`
	Text string `json:"text"`
}

// Result is what came out at one characteristic. In a public log there is
// either a difference in a unit of length or the like, or percentages of the
// limit, and for sizes no level; customers get no numbers but those of pieces.
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
	How    string            `json:"how"` // how it was measured, for makers
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
var told = study.Told

// item is an entry in its group.
type item struct {
	rec   *ledger.Record
	on    time.Time
	group string
	entry Entry
}

// Changelog lists the changes that were carried out, by the day of the work:
// those that helped, those that did not, and those that were undone. A public
// log is refused with a *PrivateError if a text that it would print holds a
// private word, a program number or the like.
func Changelog(s *study.Set, opt LogOptions) (*Log, error) {
	if opt.By == "" {
		opt.By = ByMonth
	}
	if opt.Public && opt.For == "" {
		opt.For = Makers
	}
	switch {
	case !slices.Contains([]By{ByMonth, ByPart, ByFixture}, opt.By):
		return nil, fmt.Errorf("a log cannot be divided by %q; by %s, %s or %s", string(opt.By), ByMonth, ByPart, ByFixture)
	case opt.Public && opt.For != Makers && opt.For != Customers:
		return nil, fmt.Errorf("a public log is for %s or %s, not for %q", Makers, Customers, string(opt.For))
	case opt.For == Customers && opt.By == ByFixture:
		return nil, errors.New("customers know no fixtures: divide their list by month or part")
	}
	log := &Log{AsOf: day(s.AsOf), Public: opt.Public, For: opt.For, Since: day(opt.Since), Until: day(opt.Until), By: opt.By, Groups: []LogGroup{}, Totals: []Total{}, Withdrawn: []Withdrawn{}, asOf: s.AsOf}
	then := opt.Earlier.entries(opt.Public)
	if opt.Earlier != nil {
		log.compared = true
		log.Since, log.SinceRevision = day(opt.Earlier.On), opt.Earlier.revision(opt.Public)
	}
	if opt.Public {
		log.AsOf, log.Since, log.Until = month(log.AsOf), month(log.Since), month(log.Until)
		log.public = s.L.Config.Public
	}
	var items []item
	var leaks []study.Leak
	if opt.Public {
		log.Publisher, leaks = publisher(s, opt)
	}
	now := map[string]bool{}
	for _, rec := range s.L.Records {
		ch, ok := rec.Data.(*ledger.Change)
		if !ok || !isListed(ch, opt.Public) {
			continue
		}
		now[rec.ID()] = true
		on := ch.Done
		if !on.Set() {
			on = ch.Opened
		}
		if on.Set() && on.T.After(s.AsOf) || !opt.Since.IsZero() && on.T.Before(opt.Since) || !opt.Until.IsZero() && on.T.After(opt.Until) {
			continue
		}
		b := entryBuilder{s: s, rec: rec, ch: ch, opt: opt}
		news, before := "", then[rec.ID()]
		if opt.Earlier != nil {
			if news = b.news(before); news == "" {
				continue
			}
		}
		if opt.For == Customers && !ch.Notice.Set() {
			log.LeftOut++
			continue
		}
		e := b.entry(on)
		e.News = news
		if before != nil {
			e.Then = before.state
		}
		for _, g := range b.groups(on) {
			items = append(items, item{rec, on.T, g, e})
		}
		leaks = append(leaks, b.leaks...)
	}
	gone, more := withdrawn(s, opt, then, now)
	log.Withdrawn = append(log.Withdrawn, gone...)
	if leaks = append(leaks, more...); len(leaks) > 0 {
		return nil, &PrivateError{leaks}
	}
	log.fill(items)
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

// publisher gives the name of who publishes. It stands in the list with the
// addresses in tenths.toml, and none of them may hold a private word.
func publisher(s *study.Set, opt LogOptions) (string, []study.Leak) {
	b := entryBuilder{s: s, opt: opt, ch: &ledger.Change{}}
	config := &ledger.Record{Path: ledger.ConfigName, Src: s.L.ConfigSrc, Common: &ledger.Common{}}
	name := b.take(config, s.L.Config.Public.Name)
	for _, t := range []ledger.Text{s.L.Config.Public.Feed, s.L.Config.Public.Site} {
		b.take(config, t)
	}
	return name, slices.DeleteFunc(b.leaks, func(l study.Leak) bool { return l.Why == redact.Address && l.At != s.L.Config.Public.Name.Span })
}

// isListed reports whether a change stands in a log at all.
func isListed(ch *ledger.Change, public bool) bool {
	return slices.Contains(told, ch.State.S) && (!public || ch.Public.B)
}

// fill sorts the entries into their groups and counts them.
func (log *Log) fill(items []item) {
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
