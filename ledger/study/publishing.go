package study

import (
	"slices"
	"strings"

	"tenths/ledger"
	"tenths/ledger/redact"
)

// Told are the states of changes that a list of improvements tells of.
var Told = []string{"verified effective", "done", "not effective", "inconclusive", "harmful", "rolled back"}

// Publishing is what a change that is marked public would give away.
type Publishing struct {
	// Told is set if the public list tells of it as it stands; else it would once
	// its state says what came out.
	Told  bool
	Leaks []Leak
}

// Publishing looks through the texts of a change that go into the public lists, for
// what cannot be taken out of them (PublicText): its own words, those about the
// readings, and what parts, characteristics, fixtures and gauges are called. A change
// that is not marked public gives nothing away.
func (s *Set) Publishing(rec *ledger.Record) Publishing {
	ch, ok := rec.Data.(*ledger.Change)
	if !ok || !ch.Public.B {
		return Publishing{}
	}
	p := Publishing{Told: slices.Contains(Told, ch.State.S)}
	take := func(rec *ledger.Record, texts ...ledger.Text) {
		for _, t := range texts {
			if !t.Set() {
				continue
			}
			_, leaks := s.PublicText(rec, t)
			for _, l := range leaks {
				if !slices.Contains(p.Leaks, l) && !(l.Why == redact.SerialOfUnits && t == ch.AppliesFrom) {
					p.Leaks = append(p.Leaks, l)
				}
			}
		}
	}
	take(rec, rec.Common.ID, rec.Common.Title, ch.Notice, ch.Factor, ch.Cause.Text, ch.Side, ch.Lesson, ch.OlderUnits, ch.AppliesFrom)
	for _, c := range ch.Corrections {
		if c.On.By(s.AsOf) {
			take(rec, c.Text)
		}
	}
	for _, a := range ch.Also {
		take(rec, a.Note)
	}
	measured := false
	for _, ev := range s.Evidence(rec) {
		if ev.CharRec == nil {
			continue
		}
		measured = true
		take(ev.CharRec, ev.CharRec.Common.Title)
		if ev.Char != nil && (ev.Before != nil || ev.After != nil) {
			take(ev.CharRec, ev.Char.Title)
		}
		for _, g := range []*Group{ev.Before, ev.After} {
			if ev.Before != nil && ev.After != nil && g.Gauge != nil {
				take(g.Gauge.GaugeRec, g.Gauge.Gauge.Type)
			}
		}
	}
	for _, t := range ch.Touches {
		keys := strings.Split(t.S, "/")
		r := s.L.Record(keys[0])
		if r == nil {
			continue
		}
		switch d := r.Data.(type) {
		case *ledger.Part:
			if !measured {
				take(r, r.Common.Title)
			}
		case *ledger.Fixture:
			take(r, r.Common.Title)
			for _, st := range d.Stations {
				if part := s.L.Record(st.Part.S); !measured && part != nil && len(keys) > 1 && st.ID.S == keys[1] {
					take(part, part.Common.Title)
				}
			}
		}
	}
	return p
}
