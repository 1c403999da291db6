package study

import (
	"slices"
	"time"

	"tenths/ledger"
)

// Unsurveyed is a fixture that was heated or skimmed by the steps of a change,
// while some of it was not surveyed since.
type Unsurveyed struct {
	Rec     *ledger.Record // the change
	Steps   []HotStep
	Fixture *ledger.Record
	// Standing is that of the fixture on the day asked for.
	Standing string
	Pins     []UnsurveyedPin
	// NoSeat is set if the height of the seat was not measured since, Seat is
	// then the last that was; nil if it never was.
	NoSeat bool
	Seat   *ledger.Seat
	// Moved are the pins that were surveyed since and stand elsewhere.
	Moved []MovedPin
}

// HotStep is a step that heats a fixture or skims it.
type HotStep struct {
	N    int // from 1
	Step *ledger.Step
	What string // welding, heat, a skim
	Day  ledger.Date
}

// UnsurveyedPin is a pin that was not surveyed since; Last is the survey before, nil
// if there is none.
type UnsurveyedPin struct {
	Station *ledger.Station
	Locator *ledger.Locator
	Last    *ledger.Survey
}

// MovedPin is a pin that two surveys found at different places.
type MovedPin struct {
	Station *ledger.Station
	Locator *ledger.Locator
	Moved
}

// Unsurveyed lists the fixtures that welding, heat or a skim has reached by the
// day asked for and that were not surveyed as a whole since: every pin of every
// station, and the height of the seat, if it was skimmed or the record keeps the
// height. A survey of the same day counts as later. Stations that the step says
// were taken off are left out; if the work was on such a block by itself, only
// that block counts. A step without a day has that of its change.
func (s *Set) Unsurveyed() []Unsurveyed {
	var out []Unsurveyed
	for _, rec := range s.L.Records {
		ch, ok := rec.Data.(*ledger.Change)
		if !ok || rec.Quiet() || ch.State.S == "cancelled" {
			continue
		}
		first := len(out)
		for i := range ch.Steps {
			hot := HotStep{N: i + 1, Step: &ch.Steps[i], What: heats(&ch.Steps[i]), Day: ch.Steps[i].Day}
			if !hot.Day.Set() {
				hot.Day = ch.Done
			}
			if hot.What == "" || !hot.Day.By(s.AsOf) {
				continue
			}
			for _, t := range s.workedOn(ch, hot.Step) {
				if u, ok := s.unsurveyed(hot, t); ok {
					u.Rec = rec
					out = joinUnsurveyed(out, first, u)
				}
			}
		}
	}
	return out
}

// workedOn is what a step is done to, else what its change touches: one target for
// each fixture.
func (s *Set) workedOn(ch *ledger.Change, step *ledger.Step) []ledger.Target {
	refs := []ledger.Ref{step.On}
	if !step.On.Set() {
		refs = ch.Touches
	}
	var out []ledger.Target
	for _, r := range refs {
		t, err := s.L.Find(r.S)
		if err != nil {
			continue
		}
		if _, ok := t.Rec.Data.(*ledger.Fixture); ok && !slices.ContainsFunc(out, func(o ledger.Target) bool { return o.Rec == t.Rec }) {
			out = append(out, t)
		}
	}
	return out
}

// heats is what a step does to a fixture that can move its pins or its seat.
func heats(step *ledger.Step) string {
	work := WorkOf(step.Does.S, step.Title.S, step.Where.S)
	switch {
	case work.Is(Welding):
		return "welding"
	case work.Is(Flame):
		return "heat"
	}
	for _, text := range []string{step.Does.S, step.Title.S} {
		if slices.ContainsFunc(clauses(text), skims) {
			return "a skim"
		}
	}
	return ""
}

// skims reports whether the words of a clause say that the seat is cut: "skim",
// "face the seat".
func skims(c clause) bool {
	if denied(c) || slices.ContainsFunc(c, func(w string) bool { return hasStem(w, looks...) }) {
		return false
	}
	if slices.ContainsFunc(c, func(w string) bool { return hasStem(w, "skim") }) {
		return true
	}
	verb := lastPart(c.at(0))
	return (slices.Contains(cutting, verb) || verbs[verb] == Grinding) && says(c, "seat", "seats") &&
		!says(c, "beside", "near", "against", "on", "to", "above", "from", "by", "at")
}

// unsurveyed looks at one fixture after a step; ok is false if all of it was
// surveyed.
func (s *Set) unsurveyed(hot HotStep, t ledger.Target) (u Unsurveyed, ok bool) {
	fx := t.Rec.Data.(*ledger.Fixture)
	if t.Rec.Quiet() || s.Gone(t.Rec) {
		return u, false
	}
	u = Unsurveyed{Fixture: t.Rec, Standing: StandingOfFixture(fx, s.AsOf), Steps: []HotStep{hot}}
	var on *ledger.Station
	for _, n := range []any{t.Node, t.Owner} {
		if st, ok := n.(*ledger.Station); ok {
			on = st
		}
	}
	alone := on != nil && s.takenOff(hot.Step, on)
	for i := range fx.Stations {
		st := &fx.Stations[i]
		if alone && st != on || !alone && s.takenOff(hot.Step, st) {
			continue
		}
		for k := range st.Locators {
			loc := &st.Locators[k]
			if isPin(ledger.OnDay(*loc, s.AsOf)) {
				s.afterHeat(&u, st, loc, hot.Day.T)
			}
		}
	}
	if !alone && (hot.What == "a skim" || fx.Seat != nil) {
		u.NoSeat = true
		for i := range fx.Seat {
			seat := &fx.Seat[i]
			switch {
			case !seat.MeasuredBy(s.AsOf):
			case !seat.On.T.Before(hot.Day.T):
				u.NoSeat = false
			case u.Seat == nil || !seat.On.T.Before(u.Seat.On.T):
				u.Seat = seat
			}
		}
	}
	return u, u.Pins != nil || u.NoSeat
}

func (s *Set) takenOff(step *ledger.Step, st *ledger.Station) bool {
	return slices.ContainsFunc(step.TakenOff, func(r ledger.Ref) bool {
		t, err := s.L.Find(r.S)
		return err == nil && t.Node == st
	})
}

// afterHeat notes a pin that was not surveyed since the day, or that has moved.
func (s *Set) afterHeat(u *Unsurveyed, st *ledger.Station, loc *ledger.Locator, day time.Time) {
	since := slices.ContainsFunc(loc.Surveys, func(sv ledger.Survey) bool { return sv.On.By(s.AsOf) && !sv.On.T.Before(day) })
	before, known := loc.SurveyOn(day.AddDate(0, 0, -1))
	if !since {
		pin := UnsurveyedPin{Station: st, Locator: loc}
		if known {
			pin.Last = &before
		}
		u.Pins = append(u.Pins, pin)
		return
	}
	if known && loc.Start(day).Equal(loc.Start(day.AddDate(0, 0, -1))) {
		if m, ok := movedBetween(&before, s.surveyAfter(loc, day)); ok && m.Beyond() {
			u.Moved = append(u.Moved, MovedPin{st, loc, m})
		}
	}
}

// joinUnsurveyed joins the steps of one change on one fixture: what was not
// surveyed since the last of them, and what moved since the first.
func joinUnsurveyed(out []Unsurveyed, first int, u Unsurveyed) []Unsurveyed {
	for i := first; i < len(out); i++ {
		o := &out[i]
		if o.Fixture != u.Fixture {
			continue
		}
		o.Steps = append(o.Steps, u.Steps...)
		for _, p := range u.Pins {
			if !slices.ContainsFunc(o.Pins, func(q UnsurveyedPin) bool { return q.Locator == p.Locator }) {
				o.Pins = append(o.Pins, p)
			}
		}
		for _, m := range u.Moved {
			if !slices.ContainsFunc(o.Moved, func(q MovedPin) bool { return q.Locator == m.Locator }) {
				o.Moved = append(o.Moved, m)
			}
		}
		if u.NoSeat {
			o.NoSeat, o.Seat = true, u.Seat
		}
		return out
	}
	return append(out, u)
}
