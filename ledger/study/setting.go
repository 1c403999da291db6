package study

import (
	"slices"
	"strings"
	"time"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// BehindOffset is a station whose work offset was found before its seat or its
// pins came to stand where they stand.
type BehindOffset struct {
	Rec     *ledger.Record
	Station *ledger.Station
	// Set is the last day on which the offset was found; for the pins, also one on
	// which it was shifted.
	Set, SetToPins ledger.Date
	// SeatFrom and SeatTo are the heights of the seat then and now, Lower is how
	// much it is lower; nil if it is where it was.
	SeatFrom, SeatTo *ledger.Seat
	Lower            quantity.Quantity
	// Pins have moved since by more than their uncertainty.
	Pins []MovedPin
	// New are pins that were made anew since, where a survey of one of the two
	// states is not there to say that they stand as before.
	New []NewPin
}

// NewPin is a pin that was made anew on a day.
type NewPin struct {
	Locator *ledger.Locator
	On      ledger.Date
	// Surveyed is set if its present state was surveyed.
	Surveyed bool
}

// BehindOffsets lists the stations whose offset is behind. Only stations that say
// when their offset was found (offset_set) or shifted (shift) are judged, and what has not moved by
// more than its uncertainty, a tenth for a seat, is left in peace: paint, a label
// and a pin that went back to its place. What happened on the day of the setting
// was there when it was found.
func (s *Set) BehindOffsets() []BehindOffset {
	var out []BehindOffset
	for _, rec := range s.L.Records {
		fx, ok := rec.Data.(*ledger.Fixture)
		if !ok || rec.Quiet() || s.Gone(rec) {
			continue
		}
		for i := range fx.Stations {
			st := &fx.Stations[i]
			b := BehindOffset{Rec: rec, Station: st}
			b.lastSet(s.AsOf)
			if b.Set.Set() {
				b.seat(fx, s.AsOf)
			}
			for k := range st.Locators {
				if b.SetToPins.Set() {
					b.pin(s, &st.Locators[k])
				}
			}
			if b.SeatTo != nil || b.Pins != nil || b.New != nil {
				out = append(out, b)
			}
		}
	}
	return out
}

// lastSet finds the last days up to the day asked for on which the offset was
// found and shifted.
func (b *BehindOffset) lastSet(asOf time.Time) {
	later := func(d *ledger.Date, on ledger.Date) {
		if on.By(asOf) && (!d.Set() || on.T.After(d.T)) {
			*d = on
		}
	}
	for _, z := range b.Station.Found {
		later(&b.Set, z.On)
	}
	b.SetToPins = b.Set
	for _, sh := range b.Station.Shifts {
		later(&b.SetToPins, sh.On)
	}
}

// seat compares the height of the seat when the offset was found with that now.
func (b *BehindOffset) seat(fx *ledger.Fixture, asOf time.Time) {
	from, to := seatOn(fx, b.Set.T), seatOn(fx, asOf)
	if from == nil || from == to {
		return
	}
	lower, err := from.Height.Nominal().Sub(to.Height.Nominal())
	if err == nil && lower.Abs().Rat().Cmp(tenth().Rat()) > 0 {
		b.SeatFrom, b.SeatTo, b.Lower = from, to, lower
	}
}

// seatOn is the height of the seat in force on a day, nil if none is known.
func seatOn(fx *ledger.Fixture, day time.Time) *ledger.Seat {
	var last *ledger.Seat
	for i := range fx.Seat {
		if seat := &fx.Seat[i]; seat.MeasuredBy(day) && (last == nil || !seat.On.T.Before(last.On.T)) {
			last = seat
		}
	}
	return last
}

// pin compares where a pin stood when the offset was found with where it stands.
func (b *BehindOffset) pin(s *Set, loc *ledger.Locator) {
	if !isPin(ledger.OnDay(*loc, s.AsOf)) {
		return
	}
	from, known := loc.SurveyOn(b.SetToPins.T)
	to, surveyed := loc.SurveyOn(s.AsOf)
	moved, ok := Moved{}, false
	if known && surveyed {
		moved, ok = movedBetween(&from, &to)
	}
	if ok {
		if moved.Beyond() {
			b.Pins = append(b.Pins, MovedPin{b.Station, loc, moved})
		}
		return
	}
	for _, w := range loc.Was {
		if w.Until.By(s.AsOf) && w.Until.T.After(b.SetToPins.T) && (w.Type.Set() || w.Size.Set() || w.MadeBy.Set() || w.HeldBy.Set()) {
			b.New = append(b.New, NewPin{loc, w.Until, surveyed})
			return
		}
	}
}

// BehindSheet is an operation of a plan, or the plan, that was written for an older
// revision than the one in use.
type BehindSheet struct {
	Plan *ledger.Record
	Op   *ledger.Operation // nil for the plan itself
	Of   string            // part, fixture, program
	Name string            // of the part, fixture or program
	At   ledger.Span       // where the older revision stands
	Old  string
	New  string
	// Rec and NewAt are where the newer one stands.
	Rec   *ledger.Record
	NewAt ledger.Span
}

// BehindSheets lists what the plans in force say about revisions that is behind:
// the part's (part_rev), the fixture's (fixture_rev), and a program that another
// plan in force names with a later revision. A revision of a fixture whose end
// left programs and offsets as they were (path_kept) is as good as the next.
func (s *Set) BehindSheets() []BehindSheet {
	var out []BehindSheet
	programs := map[string]*BehindSheet{} // newest, by name
	var named []BehindSheet
	for _, rec := range s.L.Records {
		plan, ok := rec.Data.(*ledger.Plan)
		if !ok {
			continue
		}
		if _, open, live := s.PlanDay(rec); !live || !open || plan.From.Set() && plan.From.T.After(s.AsOf) {
			continue
		}
		if part := s.L.Record(plan.Part.S); part != nil && plan.PartRev.Set() && ledger.RevisionAfter(part.Common.Rev.S, plan.PartRev.S) {
			out = append(out, BehindSheet{rec, nil, "part", part.ID(), plan.PartRev.Span, plan.PartRev.S, part.Common.Rev.S, part, part.Common.Rev.Span})
		}
		for i := range plan.Operations {
			op := &plan.Operations[i]
			if b, ok := s.behindFixture(rec, op); ok {
				out = append(out, b)
			}
			name, rev, ok := strings.Cut(op.Program.S, " rev ")
			if name, rev = strings.TrimSpace(name), strings.TrimSpace(rev); !ok || name == "" || rev == "" {
				continue
			}
			b := BehindSheet{Plan: rec, Op: op, Of: "program", Name: name, At: op.Program.Span, Old: rev}
			named = append(named, b)
			if newest := programs[name]; newest == nil || ledger.RevisionAfter(rev, newest.Old) {
				programs[name] = &b
			}
		}
	}
	for _, b := range named {
		if newest := programs[b.Name]; ledger.RevisionAfter(newest.Old, b.Old) {
			b.New, b.Rec, b.NewAt = newest.Old, newest.Plan, newest.At
			out = append(out, b)
		}
	}
	return out
}

// behindFixture compares the revision of a fixture that an operation was written for with
// that of the day.
func (s *Set) behindFixture(plan *ledger.Record, op *ledger.Operation) (b BehindSheet, ok bool) {
	if !op.FixRev.Set() || !op.Fixture.Set() {
		return b, false
	}
	t, err := s.L.Find(op.Fixture.S)
	if err != nil {
		return b, false
	}
	fx, ok := t.Rec.Data.(*ledger.Fixture)
	if !ok || s.Gone(t.Rec) {
		return b, false
	}
	now := ledger.OnDay(*fx, s.AsOf)
	if !ledger.RevisionAfter(now.Rev.S, op.FixRev.S) || keptPath(fx, op.FixRev.S, s.AsOf) {
		return b, false
	}
	return BehindSheet{plan, op, "fixture", t.Rec.ID(), op.FixRev.Span, op.FixRev.S, now.Rev.S, t.Rec, now.Rev.Span}, true
}

// keptPath reports whether everything that ended a revision of a fixture, and
// those after it up to the day, left programs and offsets as they were.
func keptPath(fx *ledger.Fixture, rev string, day time.Time) bool {
	ends := slices.Clone(fx.Was)
	slices.SortStableFunc(ends, func(a, b ledger.FixtureWas) int { return a.Until.T.Compare(b.Until.T) })
	found := false
	for _, w := range ends {
		if !w.Rev.Set() || !w.Until.By(day) {
			continue
		}
		found = found || w.Rev.S == rev
		if found && !w.Path.B {
			return false
		}
	}
	return found
}
