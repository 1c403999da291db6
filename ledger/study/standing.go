package study

import (
	"fmt"
	"time"

	"tenths/ledger"
)

// RevisionOn is the record that an id stood for on the day asked for: of several
// revisions of a plan the one in force then, else the one that stands today.
func (s *Set) RevisionOn(id string) *ledger.Record {
	best := s.L.Record(id)
	var from time.Time
	for _, rec := range s.L.WithID(id) {
		p, ok := rec.Data.(*ledger.Plan)
		if ok && !rec.Quiet() && p.From.By(s.AsOf) && !(p.Until.Set() && p.Until.T.Before(s.AsOf)) && (from.IsZero() || p.From.T.After(from)) {
			best, from = rec, p.From.T
		}
	}
	return best
}

// StandsAs is the state of a record on the day asked for, as far as it is dated.
func (s *Set) StandsAs(rec *ledger.Record) string {
	switch d := rec.Data.(type) {
	case *ledger.Fixture:
		return StandingOfFixture(d, s.AsOf)
	case *ledger.Gauge:
		if st, _, _ := s.StandingOn(d, s.AsOf); d.State.S == "failed" && st != Failed {
			return ""
		}
	}
	return rec.State()
}

// Later says what of a record is later than the day asked for and stands in it
// all the same, a sentence each.
func (s *Set) Later(rec *ledger.Record) []string {
	on := s.AsOf.Format(time.DateOnly)
	after := func(d ledger.Date) bool { return d.Set() && d.T.After(s.AsOf) }
	switch d := rec.Data.(type) {
	case *ledger.Inspection:
		if after(d.On) {
			return []string{fmt.Sprintf("The readings are of %s, later than %s; they are shown as written.", d.On, on)}
		}
	case *ledger.Change:
		switch {
		case after(d.Opened):
			return []string{fmt.Sprintf("The change was opened on %s, later than %s; it is shown as written.", d.Opened, on)}
		case after(d.Done):
			return []string{fmt.Sprintf("The change was done on %s, later than %s; its state is that of today.", d.Done, on)}
		case after(d.RolledBack):
			return []string{fmt.Sprintf("The change was undone on %s, later than %s; its state is that of today.", d.RolledBack, on)}
		}
	case *ledger.Plan:
		if after(d.From) {
			return []string{fmt.Sprintf("The plan holds from %s on and was not in force on %s.", d.From, on)}
		}
	case *ledger.Fixture:
		if StandingOfFixture(d, s.AsOf) == "" && after(d.Since) {
			return []string{fmt.Sprintf("Nothing says how the fixture stood before %s.", d.Since)}
		}
	case *ledger.Tool:
		if now := ledger.OnDay(*d, s.AsOf); now.Count.Set() && s.past() {
			return []string{"The count has no day: it is that of today, not of " + on + "."}
		}
	}
	return nil
}

// past reports whether the ledger knows of work later than the day asked for.
func (s *Set) past() bool {
	for _, rec := range s.L.Records {
		switch d := rec.Data.(type) {
		case *ledger.Inspection:
			if d.On.Set() && d.On.T.After(s.AsOf) {
				return true
			}
		case *ledger.Change:
			if d.Done.Set() && d.Done.T.After(s.AsOf) {
				return true
			}
		}
	}
	return false
}
