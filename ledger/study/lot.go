package study

import (
	"fmt"
	"slices"
	"sort"
	"time"

	"tenths/ledger"
)

// Lot is a lot of parts as the ledger knows it: what was read on it, and the day
// whose states it was made with.
type Lot struct {
	Name string
	// Inspections are those that name it, by day, up to the day asked for.
	Inspections []*ledger.Record
	// Parts are what was measured, with the parts of assemblies.
	Parts []*ledger.Record
	// Plans are those that were written for this lot alone.
	Plans []*ledger.Record
	// Day is the day of manufacture, and Known says whether a record gives it; if
	// not, it is the day of the first readings, or the first day of its own plan,
	// and Why says which.
	Day   time.Time
	Known bool
	Why   string
}

// UnknownLot says that no record names a lot.
type UnknownLot struct {
	Name string
	Near string // a lot that is close, or ""
}

func (e *UnknownLot) Error() string {
	return fmt.Sprintf("no inspection or plan names a lot %s", ledger.Printable(e.Name))
}

// Lot gathers what the ledger knows of a lot. Errors: *UnknownLot, or that none
// of its records has a day.
func (s *Set) Lot(name string) (*Lot, error) {
	l := &Lot{Name: name}
	var all []string
	var made, read, planned time.Time
	var madeBy, readBy, plannedBy *ledger.Record
	first := func(day *time.Time, by **ledger.Record, d ledger.Date, rec *ledger.Record) {
		if d.By(s.AsOf) && (*by == nil || d.T.Before(*day)) {
			*day, *by = d.T, rec
		}
	}
	parts := map[string]bool{}
	for _, rec := range s.L.Records {
		if rec.Quiet() {
			continue
		}
		switch d := rec.Data.(type) {
		case *ledger.Inspection:
			lots := lotsOf(d)
			all = append(all, lots...)
			if !slices.Contains(lots, name) || d.On.Set() && !d.On.By(s.AsOf) || d.State.S == "superseded" {
				continue
			}
			l.Inspections = append(l.Inspections, rec)
			s.partsOf(l, parts, d.Part.S)
			s.partsOf(l, parts, recordOf(d.Characteristic.S))
			first(&read, &readBy, d.On, rec)
			first(&made, &madeBy, d.Made, rec)
		case *ledger.Plan:
			if d.Lot.S == "" {
				continue
			}
			all = append(all, d.Lot.S)
			if d.Lot.S == name {
				l.Plans = append(l.Plans, rec)
				s.partsOf(l, parts, d.Part.S)
				first(&planned, &plannedBy, d.From, rec)
			}
		}
	}
	if l.Inspections == nil && l.Plans == nil {
		return nil, &UnknownLot{name, ledger.Nearest(name, all, 1+len(name)/3)}
	}
	sort.SliceStable(l.Inspections, func(i, j int) bool { return onOf(l.Inspections[i]).Before(onOf(l.Inspections[j])) })
	switch {
	case madeBy != nil:
		l.Day, l.Known, l.Why = made, true, "made on that day by "+madeBy.ID()
	case plannedBy != nil && (readBy == nil || !planned.After(read)):
		l.Day, l.Why = planned, "the day on which it was made is not written down (made = in an inspection); its own plan "+plannedBy.ID()+" begins on that day"
	case readBy != nil:
		l.Day, l.Why = read, "the day on which it was made is not written down (made = in an inspection); it was on or before that day, when "+readBy.ID()+" was read"
	default:
		return nil, fmt.Errorf("no record of lot %s has a day, so nobody can say what it was made with", ledger.Printable(name))
	}
	return l, nil
}

// lotsOf lists the lots that an inspection names, its own first.
func lotsOf(in *ledger.Inspection) []string {
	var out []string
	if in.Lot.S != "" {
		out = append(out, in.Lot.S)
	}
	for _, r := range in.Rows() {
		if r.Lot.S != "" && !slices.Contains(out, r.Lot.S) {
			out = append(out, r.Lot.S)
		}
	}
	return out
}

// partsOf adds a part and what it is made of.
func (s *Set) partsOf(l *Lot, seen map[string]bool, id string) {
	rec := s.L.Record(id)
	if rec == nil || seen[id] {
		return
	}
	p, ok := rec.Data.(*ledger.Part)
	if !ok {
		return
	}
	seen[id] = true
	l.Parts = append(l.Parts, rec)
	for _, m := range p.MadeOf {
		s.partsOf(l, seen, m.S)
	}
}
