package study

import (
	"time"

	"tenths/ledger"
)

// SurveyDue says when the pins of a station are to be surveyed again: the day of
// the oldest survey in force among them, and the day that the fixture's interval,
// or else the ledger's, adds to it. last is zero if a pin was never surveyed as
// it stands. wanted is false for a fixture out of use, a station without pins,
// or where no interval is set.
func (s *Set) SurveyDue(fx *ledger.Fixture, st *ledger.Station) (last, due time.Time, wanted bool) {
	interval := s.L.Config.Survey
	if fx.Survey.Set() {
		interval = fx.Survey
	}
	switch ledger.OnDay(*fx, s.AsOf).State.S {
	case "superseded", "withdrawn", "draft", "planned":
		return last, due, false
	}
	if !interval.Set() {
		return last, due, false
	}
	for i := range st.Locators {
		now := ledger.OnDay(st.Locators[i], s.AsOf)
		if !isPin(now) {
			continue
		}
		sv, ok := now.SurveyOn(s.AsOf)
		if !ok {
			return time.Time{}, time.Time{}, true
		}
		if !wanted || sv.On.T.Before(last) {
			last, wanted = sv.On.T, true
		}
	}
	if !wanted {
		return last, due, false
	}
	return last, interval.V.After(last), true
}
