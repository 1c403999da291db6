package study

import (
	"time"

	"tenths/ledger"
)

// PinOn is a locator as it stood on a day.
type PinOn struct {
	Day    time.Time
	Now    ledger.Locator
	Survey *ledger.Survey // in force that day, nil if the state was never surveyed
}

// PinChange is a locator that a change touches, before it and after it.
type PinChange struct {
	Path          string
	Rec           *ledger.Record
	Before, After PinOn
	// NoEarlier is set if the record holds nothing of the time before the
	// change: no state that ended between the two days (was), and no survey of
	// before. What Before says is then only what the record says of today.
	NoEarlier bool
}

// PinChanges gives the locators that a change touches, itself or as part of a
// station or fixture, as they stood for the readings before and after. Without
// readings that is the day before the work and the day it was done; a survey
// of the new state that came some days later then counts for it.
func (s *Set) PinChanges(rec *ledger.Record) []PinChange {
	ch, ok := rec.Data.(*ledger.Change)
	if !ok || !ch.Done.Set() {
		return nil
	}
	from, to := ch.Done.T.AddDate(0, 0, -1), ch.Done.T
	if ev := s.Evidence(rec); len(ev) > 0 {
		if b := ev[0].Before; b != nil && b.In.On.Set() && b.Day().Before(ch.Done.T) {
			from = b.Day()
		}
		if a := ev[0].After; a != nil && a.In.On.Set() && !a.Day().Before(ch.Done.T) {
			to = a.Day()
		}
	}
	var out []PinChange
	seen := map[*ledger.Locator]bool{}
	add := func(rec *ledger.Record, path string, loc *ledger.Locator) {
		if seen[loc] {
			return
		}
		seen[loc] = true
		p := PinChange{Path: path, Rec: rec, Before: pinOn(loc, from), After: pinOn(loc, to)}
		if p.After.Survey == nil || p.After.Survey.On.T.Before(ch.Done.T) {
			if sv := s.surveyAfter(loc, ch.Done.T); sv != nil {
				p.After.Survey = sv
			}
		}
		b, a := p.Before.Survey, p.After.Survey
		p.NoEarlier = loc.Start(from).Equal(loc.Start(to)) && (b == nil || a != nil && b.On.T.Equal(a.On.T))
		out = append(out, p)
	}
	for _, t := range ch.Touches {
		target, err := s.L.Find(t.S)
		if err != nil {
			continue
		}
		switch n := target.Node.(type) {
		case *ledger.Locator:
			if st, ok := target.Owner.(*ledger.Station); ok {
				add(target.Rec, target.Rec.ID()+"/"+st.ID.S+"/"+n.ID.S, n)
			}
		case *ledger.Station:
			for i := range n.Locators {
				add(target.Rec, target.Rec.ID()+"/"+n.ID.S+"/"+n.Locators[i].ID.S, &n.Locators[i])
			}
		case *ledger.Fixture:
			for k := range n.Stations {
				st := &n.Stations[k]
				for i := range st.Locators {
					add(target.Rec, target.Rec.ID()+"/"+st.ID.S+"/"+st.Locators[i].ID.S, &st.Locators[i])
				}
			}
		}
	}
	return out
}

func pinOn(loc *ledger.Locator, day time.Time) PinOn {
	p := PinOn{Day: day, Now: ledger.OnDay(*loc, day)}
	if sv, ok := loc.SurveyOn(day); ok {
		p.Survey = &sv
	}
	return p
}

// surveyAfter is the first survey from the day on, up to the day asked for, of
// the state that held on the day.
func (s *Set) surveyAfter(loc *ledger.Locator, day time.Time) *ledger.Survey {
	var first *ledger.Survey
	for i := range loc.Surveys {
		sv := &loc.Surveys[i]
		if !sv.On.By(s.AsOf) || sv.On.T.Before(day) || !loc.Start(sv.On.T).Equal(loc.Start(day)) {
			continue
		}
		if first == nil || sv.On.T.Before(first.On.T) {
			first = sv
		}
	}
	return first
}
