package study

import (
	"math/big"
	"slices"
	"time"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// PlanDay is the day for which a plan is looked at: the day asked for, or its
// last day if it ended before. open is set if it still holds on the day asked
// for; ok is false for a plan that nobody works by: a draft, or one that was
// superseded.
func (s *Set) PlanDay(rec *ledger.Record) (day time.Time, open, ok bool) {
	p, isPlan := rec.Data.(*ledger.Plan)
	if !isPlan || rec.Quiet() || p.State.S == "superseded" || p.State.S == "obsolete" {
		return time.Time{}, false, false
	}
	if p.Until.Set() && p.Until.T.Before(s.AsOf) {
		return p.Until.T, false, true
	}
	return s.AsOf, true, true
}

// LocatedOn is a feature of the part that locates it in an operation.
type LocatedOn struct {
	Feature string
	// At is where the plan says so: the feature's name, or the station whose
	// locators engage it.
	At ledger.Span
	// Rec and Locator are the fixture and the locator that engages it, if the
	// plan does not name the feature itself.
	Rec     *ledger.Record
	Locator *ledger.Locator
}

// LocatesOn lists the features that locate the part in an operation: those
// that it names, else those that the locators of its station engage.
func (s *Set) LocatesOn(plan *ledger.Plan, op *ledger.Operation) []LocatedOn {
	var out []LocatedOn
	for _, f := range op.Locates {
		out = append(out, LocatedOn{Feature: f.S, At: f.Span})
	}
	if op.Locates != nil {
		return out
	}
	rec, st := s.StationOf(plan, op)
	if st == nil {
		return nil
	}
	for i := range st.Locators {
		loc := &st.Locators[i]
		if loc.Engages.Set() && !slices.ContainsFunc(out, func(l LocatedOn) bool { return l.Feature == loc.Engages.S }) {
			out = append(out, LocatedOn{loc.Engages.S, op.Fixture.Span, rec, loc})
		}
	}
	return out
}

// StationOf is the station in which an operation holds the plan's part: the
// one that it names, or the only one for the part on the fixture that it names.
func (s *Set) StationOf(plan *ledger.Plan, op *ledger.Operation) (*ledger.Record, *ledger.Station) {
	if !op.Fixture.Set() {
		return nil, nil
	}
	t, err := s.L.Find(op.Fixture.S)
	if err != nil {
		return nil, nil
	}
	switch n := t.Node.(type) {
	case *ledger.Station:
		if n.Part.S == plan.Part.S {
			return t.Rec, n
		}
	case *ledger.Fixture:
		var only *ledger.Station
		for i := range n.Stations {
			if n.Stations[i].Part.S != plan.Part.S {
				continue
			}
			if only != nil {
				return nil, nil
			}
			only = &n.Stations[i]
		}
		if only != nil {
			return t.Rec, only
		}
	}
	return nil, nil
}

// StandingOfFixture is the standing of a fixture on a day; empty before the
// day from which its first known standing holds.
func StandingOfFixture(f *ledger.Fixture, day time.Time) string {
	now := ledger.OnDay(*f, day)
	if now.State.Span == f.State.Span && f.Since.Set() && day.Before(f.Since.T) {
		return ""
	}
	return now.State.S
}

// Gone reports whether nobody works on the fixture any more.
func (s *Set) Gone(rec *ledger.Record) bool {
	f, ok := rec.Data.(*ledger.Fixture)
	if !ok {
		return false
	}
	state := StandingOfFixture(f, s.AsOf)
	return state == "superseded" || state == "withdrawn"
}

// ToolWear is how many parts a tool has finished, against its life.
type ToolWear struct {
	Life, Count, Pieces quantity.Quantity
	// Over is how many parts would come after the end of its life; not more
	// than zero if it lasts.
	Over quantity.Quantity
	// PiecesKnown is false if the operation does not say how many parts it
	// runs; one part then stands for them.
	PiecesKnown bool
}

// WearOf sets what a tool has cut, and the pieces that it shall still cut,
// against its life on a day. ok is false if life or count is not known.
func WearOf(tool *ledger.Tool, pieces ledger.Size, day time.Time) (w ToolWear, ok bool) {
	now := ledger.OnDay(*tool, day)
	if !now.Life.Set() || !now.Count.Set() {
		return w, false
	}
	parts, _ := quantity.LookupUnit("parts")
	w.Pieces, w.PiecesKnown = quantity.New(big.NewRat(1, 1), parts), pieces.Set()
	if pieces.Set() {
		w.Pieces = pieces.Nominal()
	}
	var err error
	for _, to := range []struct {
		q    *quantity.Quantity
		from quantity.Quantity
	}{{&w.Life, now.Life.Nominal()}, {&w.Count, now.Count.Nominal()}, {&w.Pieces, w.Pieces}} {
		if *to.q, err = to.from.As(parts); err != nil {
			return w, false
		}
	}
	sum, err := w.Count.Add(w.Pieces)
	if err != nil {
		return w, false
	}
	w.Over, err = sum.Sub(w.Life)
	return w, err == nil
}

// planOn is the plan by which a part was made on a day: of those that held then
// and are for no single lot, the one that began last; nil if there is none.
func (s *Set) planOn(part string, day time.Time) *ledger.Record {
	var best *ledger.Record
	for _, rec := range s.L.Records {
		p, ok := rec.Data.(*ledger.Plan)
		if !ok || rec.Quiet() || p.Part.S != part || p.Lot.Set() || !p.From.By(day) || p.Until.Set() && p.Until.T.Before(day) {
			continue
		}
		// A plan that was superseded on no known day held until the next began.
		if best == nil || p.From.T.After(best.Data.(*ledger.Plan).From.T) {
			best = rec
		}
	}
	return best
}
