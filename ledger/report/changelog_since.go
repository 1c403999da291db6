package report

import (
	"fmt"
	"slices"
	"time"

	"tenths/ledger"
	"tenths/ledger/study"
)

// Earlier is the ledger as it was at a revision.
type Earlier struct {
	Name, Commit string // as it was asked for, and the commit behind it
	On           time.Time
	Set          *study.Set // nil if there was no ledger then
}

// Revision is the revision that a log is compared with.
type Revision struct {
	Name   string `json:"name"`
	Commit string `json:"commit"`
	On     string `json:"on"`
	Ledger bool   `json:"ledger"` // whether there was a ledger then
}

// Withdrawn is a change that a list had and has no longer.
type Withdrawn struct {
	Change string `json:"change"`
	State  string `json:"state"` // then
}

// revision describes the revision; nil for the public, who are told the month
// only: names of tags may be private.
func (e *Earlier) revision(public bool) *Revision {
	if public {
		return nil
	}
	return &Revision{line(e.Name), e.Commit, day(e.On), e.Set != nil}
}

// earlierEntry is what a list said of a change at a revision.
type earlierEntry struct {
	rec         *ledger.Record
	state       string
	effects     []string
	corrections int
}

// entries gives what the list said at the revision, by id of the change; nil
// without a revision.
func (e *Earlier) entries(public bool) map[string]*earlierEntry {
	if e == nil || e.Set == nil {
		return nil
	}
	out := map[string]*earlierEntry{}
	for _, rec := range e.Set.L.Records {
		if ch, ok := rec.Data.(*ledger.Change); ok && isListed(ch, public) {
			out[rec.ID()] = &earlierEntry{rec, ch.State.S, effects(e.Set, rec), len(ch.Corrections)}
		}
	}
	return out
}

// effects are what the readings of a change show, in its order.
func effects(s *study.Set, rec *ledger.Record) []string {
	var out []string
	for _, ev := range s.Evidence(rec) {
		out = append(out, string(ev.Effect))
	}
	return out
}

// news says what became known of a change since the list said what it said;
// empty if nothing did.
func (b *entryBuilder) news(then *earlierEntry) string {
	if then == nil {
		return "new in this list"
	}
	now := effects(b.s, b.rec)
	switch {
	case then.state != b.ch.State.S:
		return fmt.Sprintf("it was %q, it is %q", then.state, b.ch.State.S)
	case len(b.ch.Corrections) > then.corrections:
		return "corrected"
	case len(now) > len(then.effects):
		return "further readings"
	case !slices.Equal(now, then.effects):
		for i, effect := range then.effects {
			if i >= len(now) {
				return "readings were taken out of it"
			}
			if effect != now[i] {
				return fmt.Sprintf("the readings said %q, now %q", effect, now[i])
			}
		}
	}
	return ""
}

// withdrawn lists what the list had then and has no longer, so that nothing
// disappears without a word.
func withdrawn(s *study.Set, opt LogOptions, then map[string]*earlierEntry, now map[string]bool) ([]Withdrawn, []study.Leak) {
	var ids []string
	for id := range then {
		if !now[id] {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	var out []Withdrawn
	var leaks []study.Leak
	for _, id := range ids {
		b := entryBuilder{s: s, rec: then[id].rec, ch: &ledger.Change{}, opt: opt}
		out = append(out, Withdrawn{b.take(then[id].rec, then[id].rec.Common.ID), then[id].state})
		leaks = append(leaks, b.leaks...)
	}
	return out, leaks
}
