package report

import (
	"fmt"
	"slices"
	"sort"
	"strings"
	"time"

	"tenths/ledger"
	"tenths/ledger/study"
)

// Collection is the pages of several changes behind a summary, with what is still
// open at the end. Its fields stand in the order in which it tells them; this order
// is that of the JSON.
type Collection struct {
	AsOf    string `json:"as_of"`
	Shop    string `json:"shop"`
	Title   string `json:"title"`
	Of      string `json:"of"`   // what all the changes touch; empty for anything
	From    string `json:"from"` // the period asked for; empty is open
	To      string `json:"to"`
	Private bool   `json:"private"`
	// First and Last are the days of the first and the last work in it.
	First string `json:"first"`
	Last  string `json:"last"`
	// Verdict counts the changes in one sentence; Verdicts are what the readings
	// show of their main characteristic, States what the records say.
	Verdict  string        `json:"verdict"`
	Verdicts []Total       `json:"verdicts"`
	States   []Total       `json:"states"`
	Summary  []SummaryLine `json:"summary"`
	Changes  []*Page       `json:"changes"`
	Open     []OpenItem    `json:"open"`
}

// SummaryLine is one change in the summary.
type SummaryLine struct {
	Change  string `json:"change"`
	Title   string `json:"title"`
	Done    string `json:"done"`
	What    string `json:"what"`    // what was measured
	Numbers string `json:"numbers"` // before and after
	Effect  string `json:"effect"`
	State   string `json:"state"`
}

// OpenItem is what a change still waits for.
type OpenItem struct {
	Change string `json:"change"`
	Title  string `json:"title"`
	On     string `json:"on"` // day it is due; empty for none
	What   string `json:"what"`
}

// CollectionOptions says which changes a collection holds.
type CollectionOptions struct {
	// Changes are those that were named; if empty, all that were carried out or
	// undone in the period and touch what Of names.
	Changes  []*ledger.Record
	Of       string    // a fixture, station, pin, part, tool, plan or machine
	From, To time.Time // days, both included; zero is open
	Page     PageOptions
}

// unjudged is the verdict of a change without readings to compare.
const unjudged = "no readings to judge by"

// Collect builds the pages of several changes, by the day of the work. The error
// is for a record that is no change.
func Collect(s *study.Set, opt CollectionOptions) (*Collection, error) {
	c := &Collection{
		AsOf: day(s.AsOf), Shop: line(s.L.Config.Shop.S), Of: line(opt.Of), From: day(opt.From), To: day(opt.To), Private: opt.Page.Private,
		Verdicts: []Total{}, States: []Total{}, Summary: []SummaryLine{}, Changes: []*Page{}, Open: []OpenItem{},
	}
	done, waiting := opt.records(s)
	for _, rec := range done {
		p, err := Improvement(s, rec, opt.Page)
		if err != nil {
			return nil, err
		}
		c.Changes = append(c.Changes, p)
		c.Summary = append(c.Summary, summaryOf(p))
		c.Open = append(c.Open, openOf(p)...)
		if d := p.Dates.Done; d != "" {
			if c.First == "" {
				c.First = d
			}
			c.Last = d
		}
	}
	for _, rec := range waiting {
		ch := rec.Data.(*ledger.Change)
		what := s.StateOn(ch)
		if d := by(s, ch.Opened); d != "" {
			what += " since " + d
		}
		c.Open = append(c.Open, OpenItem{rec.ID(), line(rec.Common.Title.S), "", what + ", not carried out"})
	}
	c.Verdicts = countedBy(c.Summary, func(l SummaryLine) string { return l.Effect }, []string{
		string(study.Better), string(study.NotShown), string(study.CannotTell), string(study.TooFew), string(study.Worse), unjudged,
	})
	c.States = countedBy(c.Summary, func(l SummaryLine) string { return l.State }, nil)
	c.Title = c.title(opt)
	c.Verdict = c.verdict()
	return c, nil
}

// records lists the changes of the pages, and those that were not carried out yet.
func (opt CollectionOptions) records(s *study.Set) (done, waiting []*ledger.Record) {
	within := func(d ledger.Date) bool {
		return d.By(s.AsOf) && !d.T.Before(opt.From) && (opt.To.IsZero() || !d.T.After(opt.To))
	}
	for _, rec := range s.L.Records {
		ch, ok := rec.Data.(*ledger.Change)
		if !ok || len(opt.Changes) > 0 || !touches(ch, opt.Of) {
			continue
		}
		switch {
		case within(ch.Done) || within(ch.RolledBack):
			done = append(done, rec)
		case ch.Done.By(s.AsOf), ch.State.S == "draft", ch.State.S == "cancelled":
		case !ch.Opened.Set(), ch.Opened.By(s.AsOf) && (opt.To.IsZero() || !ch.Opened.T.After(opt.To)):
			waiting = append(waiting, rec)
		}
	}
	done = append(done, opt.Changes...)
	sort.SliceStable(done, func(i, j int) bool {
		a, aOK := done[i].Data.(*ledger.Change)
		b, bOK := done[j].Data.(*ledger.Change)
		switch {
		case !aOK || !bOK || a.Done.T.Equal(b.Done.T):
			return done[i].ID() < done[j].ID()
		case !a.Done.Set() || !b.Done.Set():
			return a.Done.Set()
		}
		return a.Done.T.Before(b.Done.T)
	})
	return done, waiting
}

// touches reports whether a change alters, or is meant to improve, what a path
// names, something above it or something below it.
func touches(ch *ledger.Change, path string) bool {
	if path == "" {
		return true
	}
	refs := append([]ledger.Ref{ch.Characteristic}, ch.Touches...)
	for _, e := range ch.Also {
		refs = append(refs, e.Characteristic)
	}
	return slices.ContainsFunc(refs, func(r ledger.Ref) bool {
		return r.S == path || strings.HasPrefix(r.S, path+"/") || r.S != "" && strings.HasPrefix(path, r.S+"/")
	})
}

func (c *Collection) title(opt CollectionOptions) string {
	text := "Changes"
	if len(opt.Changes) > 0 {
		var ids []string
		for _, l := range c.Summary {
			ids = append(ids, l.Change)
		}
		return text + " " + strings.Join(ids, ", ")
	}
	if c.Of != "" {
		text += " of " + c.Of
	}
	switch {
	case c.From != "" && c.To != "":
		text += " from " + c.From + " to " + c.To
	case c.From != "":
		text += " since " + c.From
	case c.To != "":
		text += " up to " + c.To
	}
	return text
}

// verdict counts what came out in one sentence.
func (c *Collection) verdict() string {
	n := len(c.Changes)
	if n == 0 {
		return "No change was carried out in it."
	}
	text := fmt.Sprintf("%d %s", n, plural(n, "change"))
	switch {
	case c.First != "" && c.First == c.Last:
		text += ", carried out " + c.First
	case c.First != "":
		text += ", carried out from " + c.First + " to " + c.Last
	}
	var parts []string
	for _, v := range c.Verdicts {
		parts = append(parts, fmt.Sprintf("%d %s", v.N, v.State))
	}
	return text + ": " + strings.Join(parts, ", ") + "."
}

// countedBy counts lines by a word, in the order given and then as they come;
// words that no line has are left out.
func countedBy(lines []SummaryLine, word func(SummaryLine) string, order []string) []Total {
	n := map[string]int{}
	for _, l := range lines {
		w := word(l)
		n[w]++
		if !contains(order, w) {
			order = append(order, w)
		}
	}
	out := []Total{}
	for _, w := range order {
		if n[w] > 0 {
			out = append(out, Total{w, n[w]})
		}
	}
	return out
}

func summaryOf(p *Page) SummaryLine {
	l := SummaryLine{Change: p.Change, Title: p.Title, Done: p.Dates.Done, Effect: unjudged, State: p.State}
	if len(p.Evidence) > 0 {
		e := &p.Evidence[0]
		l.What, l.Numbers = e.heading(), e.numbers()
		if e.Effect != string(study.Missing) {
			l.Effect = e.Effect
		}
	}
	return l
}

// numbers are before and after, shortly.
func (e *Evidence) numbers() string {
	switch {
	case len(e.Points) > 0 && e.ev.PerPoint:
		return fmt.Sprintf("each of %d points by itself", len(e.Points))
	case e.Spread != nil:
		return fmt.Sprintf("s %s → %s%s", number(e.Spread.Before), number(e.Spread.After), unitWord(e.Unit))
	case e.Difference != nil:
		return fmt.Sprintf("%s → %s%s, %s", number(e.Before.Mean), number(e.After.Mean), unitWord(e.Unit), e.Difference.Text)
	case e.Counts != nil:
		return e.Counts.Before + " → " + e.Counts.After
	}
	return ""
}

// openOf lists what is still open on a page.
func openOf(p *Page) []OpenItem {
	var out []OpenItem
	add := func(on, what string) { out = append(out, OpenItem{p.Change, p.Title, on, what}) }
	if p.Dates.Done == "" {
		add("", p.State+", not carried out")
		return out
	}
	gone := p.State == "rolled back" || p.State == "harmful" || p.State == "cancelled"
	if p.State == "done" {
		add("", "no verdict is written down")
	}
	if len(p.Evidence) > 0 && !gone {
		e := &p.Evidence[0]
		switch p.State {
		case "inconclusive", "done":
			add("", joinSentences(p.State+" by the record, "+e.Effect+" by the readings", e.Takes))
		}
		if e.After != nil && e.Claim == "level" {
			for _, b := range []struct {
				word string
				out  *int
			}{{"limits", e.OutsideLimits}, {"goal", e.OutsideGoal}} {
				if b.out != nil && *b.out > 0 {
					add("", fmt.Sprintf("after it %d of %d %s still outside the %s", *b.out, e.After.Judged, e.judgedThings(), b.word))
				}
			}
		}
	}
	if strings.Contains(p.Recheck.Kept, "not kept") {
		add("", "measured again: "+p.Recheck.Kept)
	}
	if p.Recheck.Due != "" && p.Recheck.By == "" && !gone {
		add(p.Recheck.Due, "re-check "+p.Recheck.Text)
	}
	return out
}

func (e *Evidence) judgedThings() string {
	if e.ev != nil && e.ev.PerPoint {
		return "readings"
	}
	return "pieces"
}
