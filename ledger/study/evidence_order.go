package study

import (
	"time"

	"tenths/ledger"
)

// Order is what is wrong with the days of a change and of its readings. Days are
// compared with each other, whatever day is asked for: a wrong year must not
// hide what it spoils. Days that are only about right are not compared.
type Order struct {
	Before, After *ledger.Record // nil if there are none
	On, Then      ledger.Date    // of the readings before and after
	// BeforeLate is set if the readings before were taken after the work was
	// done, AfterEarly if those after were taken before it was done, and
	// Swapped if no day of the work is known and those before came later than
	// those after.
	BeforeLate, AfterEarly, Swapped bool
}

// OrderOf compares the days of the change's work, done, with those of its
// readings.
func (s *Set) OrderOf(done ledger.Date, before, after ledger.Ref) Order {
	var o Order
	o.Before, o.On = s.dayOf(before)
	o.After, o.Then = s.dayOf(after)
	o.BeforeLate = later(o.On, done)
	o.AfterEarly = later(done, o.Then)
	o.Swapped = (!done.Set() || done.About) && later(o.On, o.Then)
	return o
}

// dayOf is the day of an inspection, the zero Date if there is none, or if its
// readings do not count.
func (s *Set) dayOf(r ledger.Ref) (*ledger.Record, ledger.Date) {
	rec := s.L.Record(r.S)
	if !r.Set() || rec == nil {
		return nil, ledger.Date{}
	}
	in, ok := rec.Data.(*ledger.Inspection)
	if !ok || rec.Quiet() || in.State.S == "void" || in.State.S == "superseded" {
		return nil, ledger.Date{}
	}
	return rec, in.On
}

// later reports whether a is after b, both known to the day.
func later(a, b ledger.Date) bool {
	return a.Set() && b.Set() && !a.About && !b.About && a.T.After(b.T)
}

// StateOn says how far a change was on the day asked for: what the record says,
// unless the work, its undoing or the readings that decided it came later.
func (s *Set) StateOn(ch *ledger.Change) string {
	after := func(d ledger.Date) bool { return d.Set() && d.T.After(s.AsOf) }
	decided := false
	switch ch.State.S {
	case "verified effective", "not effective", "inconclusive", "harmful":
		decided = true
	case "done", "rolled back":
	default:
		return ch.State.S
	}
	var readings time.Time
	if _, on := s.dayOf(ch.After); on.Set() {
		readings = on.T
	}
	switch {
	case after(ch.Opened):
		return "not proposed yet"
	case after(ch.Done):
		return "not done yet"
	case after(ch.RolledBack):
		return "done"
	case decided && readings.After(s.AsOf):
		return "done"
	}
	return ch.State.S
}
