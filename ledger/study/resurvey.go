package study

import (
	"math"
	"strings"
	"time"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// Resurvey is what the surveys say of one station of a fixture that a change was
// made on.
type Resurvey struct {
	Fixture *ledger.Record
	Station *ledger.Station
	Path    string // FX1/A
	Pins    int
	// Touched is set if the change says that it alters the station or a pin of it.
	Touched bool
	// On is the day by which every pin had been surveyed after the work; zero if one
	// was not, before the next work on the fixture or the day asked for.
	On time.Time
	// Last is the latest survey of a pin before the work; zero if there is none.
	Last time.Time
	// Moved is the largest distance along x or y by which a pin was found elsewhere
	// than before the work; the zero Quantity if no pin was surveyed both times in
	// one state.
	Moved quantity.Quantity
	// Next is the next change on the fixture, nil if there is none; what it moved is
	// not this one's doing.
	Next *ledger.Record
}

// Resurveys lists all stations with pins of the fixtures that a change touches:
// heat, a skim cut or a lost key can move those that nobody meant to touch.
func (s *Set) Resurveys(rec *ledger.Record) []Resurvey {
	ch, ok := rec.Data.(*ledger.Change)
	if !ok || !ch.Done.By(s.AsOf) {
		return nil
	}
	w := windowFinder{s: s, self: rec, ch: ch}
	var out []Resurvey
	for _, fixture := range s.ofKind(ledger.KindFixture) {
		d, ok := fixture.Data.(*ledger.Fixture)
		if !ok || !w.touched(fixture.ID()) {
			continue
		}
		next := s.nextOn(fixture.ID(), rec, ch)
		for i := range d.Stations {
			st := &d.Stations[i]
			r := Resurvey{Fixture: fixture, Station: st, Path: fixture.ID() + "/" + st.ID.S, Next: next}
			r.Touched = w.touched(r.Path)
			s.resurvey(&r, ch.Done.T)
			if r.Pins > 0 {
				out = append(out, r)
			}
		}
	}
	return out
}

// nextOn is the first change to a fixture after another one.
func (s *Set) nextOn(fixture string, rec *ledger.Record, ch *ledger.Change) *ledger.Record {
	var next *ledger.Record
	for _, r := range s.ofKind(ledger.KindChange) {
		d, ok := r.Data.(*ledger.Change)
		if !ok || r == rec || !d.Done.By(s.AsOf) || !d.Done.T.After(ch.Done.T) || next != nil && !d.Done.T.Before(next.Data.(*ledger.Change).Done.T) {
			continue
		}
		for _, t := range d.Touches {
			if t.S == fixture || strings.HasPrefix(t.S, fixture+"/") {
				next = r
			}
		}
	}
	return next
}

// resurvey fills in what the surveys of the pins say.
func (s *Set) resurvey(r *Resurvey, done time.Time) {
	all := true
	for i := range r.Station.Locators {
		loc := &r.Station.Locators[i]
		if !isPin(ledger.OnDay(*loc, done)) {
			continue
		}
		r.Pins++
		sv := s.surveyAfter(loc, done)
		if sv != nil && r.Next != nil && !sv.On.T.Before(r.Next.Data.(*ledger.Change).Done.T) {
			sv = nil
		}
		if sv == nil {
			all = false
		} else if sv.On.T.After(r.On) {
			r.On = sv.On.T
		}
		old, ok := loc.SurveyOn(done.AddDate(0, 0, -1))
		if !ok {
			continue
		}
		if old.On.T.After(r.Last) {
			r.Last = old.On.T
		}
		if sv != nil && loc.Start(old.On.T).Equal(loc.Start(sv.On.T)) {
			r.moved(old.Off, sv.Off)
		}
	}
	if !all {
		r.On = time.Time{}
	}
}

// moved keeps the larger way, exactly, in the unit of the later survey.
func (r *Resurvey) moved(old, now ledger.Pair) {
	if !old.Set() || !now.Set() {
		return
	}
	for _, axis := range [][2]ledger.Size{{old.X, now.X}, {old.Y, now.Y}} {
		d, err := axis[1].Nominal().Sub(axis[0].Nominal())
		if err != nil {
			continue
		}
		if r.Moved.IsZeroValue() || math.Abs(d.Float()) > math.Abs(r.Moved.Float()) {
			r.Moved = d.Abs()
		}
	}
}
