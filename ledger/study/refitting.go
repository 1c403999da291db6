package study

import "tenths/ledger"

// Unchecked is a fixture that went back on the machine, while nothing says that it
// was checked before its first part.
type Unchecked struct {
	Rec *ledger.Record
	// Refit is the record's own entry; nil if it is a step of a change on the bench
	// that says that the fixture was off.
	Refit  *ledger.Refit
	Change *ledger.Record
	Step   *ledger.Step
	N      int // number of the step, from 1
	// On is the day of the refit or the step.
	On ledger.Date
	// Before is the last survey of one of its pins before that; nil if there is none.
	Before *ledger.Survey
}

// Unchecked lists the fixtures in use whose last refit was not followed by a check up to
// the day asked for: the day that the refit itself names, a survey of a pin, a
// measurement of the seat, an offset that was found anew, or readings on a part of
// one of its stations that are for the first part or set-up or taken from a datum. A
// trial of three refits with the same part (spread), this time or before, stands
// for the check. A fixture that never left the table has no refit.
func (s *Set) Unchecked() []Unchecked {
	off := s.offTheMachine()
	var out []Unchecked
	for _, rec := range s.L.Records {
		fx, ok := rec.Data.(*ledger.Fixture)
		if !ok || rec.Quiet() {
			continue
		}
		if state := StandingOfFixture(fx, s.AsOf); state != "" && state != "in use" {
			continue
		}
		last, tried := Unchecked{Rec: rec}, false
		for _, u := range off[rec] {
			if !u.On.T.Before(last.On.T) {
				last = u
			}
		}
		for i := range fx.Refits {
			r := &fx.Refits[i]
			if !r.On.By(s.AsOf) {
				continue
			}
			tried = tried || r.Spread.Set()
			if !r.On.T.Before(last.On.T) {
				last = Unchecked{Rec: rec, Refit: r, On: r.On}
			}
		}
		if !last.On.Set() || tried || s.checkedSince(fx, last) {
			continue
		}
		for i := range fx.Stations {
			for k := range fx.Stations[i].Locators {
				loc := &fx.Stations[i].Locators[k]
				for j := range loc.Surveys {
					if sv := &loc.Surveys[j]; sv.On.By(last.On.T) && (last.Before == nil || sv.On.T.After(last.Before.On.T)) {
						last.Before = sv
					}
				}
			}
		}
		out = append(out, last)
	}
	return out
}

// offTheMachine lists the steps of changes that were done to a fixture or station
// on the bench.
func (s *Set) offTheMachine() map[*ledger.Record][]Unchecked {
	out := map[*ledger.Record][]Unchecked{}
	for _, rec := range s.L.Records {
		ch, ok := rec.Data.(*ledger.Change)
		if !ok || rec.Quiet() || ch.State.S == "cancelled" || !ch.Done.By(s.AsOf) {
			continue
		}
		for i := range ch.Steps {
			step := &ch.Steps[i]
			day := step.Day
			if !day.Set() {
				day = ch.Done
			}
			if !step.On.Set() || !day.By(s.AsOf) || day.About || !WorkOf(step.Does.S, step.Title.S, step.Where.S).OnBench {
				continue
			}
			t, err := s.L.Find(step.On.S)
			if err != nil {
				continue
			}
			switch t.Node.(type) {
			case *ledger.Fixture, *ledger.Station:
				out[t.Rec] = append(out[t.Rec], Unchecked{Rec: t.Rec, Change: rec, Step: step, N: i + 1, On: day})
			}
		}
	}
	return out
}

// checkedSince reports whether anything says that the fixture was looked at on the
// day of its refit or later.
func (s *Set) checkedSince(fx *ledger.Fixture, u Unchecked) bool {
	since := func(d ledger.Date) bool { return d.By(s.AsOf) && !d.T.Before(u.On.T) }
	if u.Refit != nil && since(u.Refit.Checked) {
		return true
	}
	for _, seat := range fx.Seat {
		if seat.MeasuredBy(s.AsOf) && since(seat.On) {
			return true
		}
	}
	parts := map[string]bool{}
	for i := range fx.Stations {
		st := &fx.Stations[i]
		parts[st.Part.S] = st.Part.Set()
		for _, z := range st.Found {
			if since(z.On) {
				return true
			}
		}
		for k := range st.Locators {
			for _, sv := range st.Locators[k].Surveys {
				if since(sv.On) {
					return true
				}
			}
		}
	}
	for _, rec := range s.L.Records {
		in, ok := rec.Data.(*ledger.Inspection)
		if ok && !rec.Quiet() && in.State.S != "void" && since(in.On) && s.showsPlace(in, parts) {
			return true
		}
	}
	return false
}

// showsPlace reports whether readings can show where one of the parts was held:
// those for the first part or the set-up, and those of a characteristic with a
// datum.
func (s *Set) showsPlace(in *ledger.Inspection, parts map[string]bool) bool {
	rec, char := s.characteristic(in.Characteristic.S, in.On.T)
	if !parts[in.Part.S] && (in.Part.Set() || rec == nil || !parts[rec.ID()]) {
		return false
	}
	switch in.Purpose.S {
	case "first-off", "set-up", "survey":
		return true
	}
	return char != nil && char.Datum != nil
}
