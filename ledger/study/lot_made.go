package study

import (
	"fmt"
	"slices"

	"tenths/ledger"
)

// MadeOn is what a part of a lot was made with, as of the day of the set.
type MadeOn struct {
	Part *ledger.Record
	// Plan is the one by which it was made: that of the lot, else the one in force;
	// nil if there was none.
	Plan     *ledger.Record
	Stations []*LotStation
}

// LotStation is a station that a part was on.
type LotStation struct {
	Fixture *ledger.Record
	Station *ledger.Station
	// Ops are the operations there; none if the plan does not say it, and the
	// station is the only one of the part on a fixture in use.
	Ops []*ledger.Operation
}

// Path names the station.
func (st *LotStation) Path() string { return st.Fixture.ID() + "/" + st.Station.ID.S }

// MadeWith lists what the parts of a lot were made with. The set must be of the
// day of the lot; plans that no part of the lot follows are left out.
func (s *Set) MadeWith(l *Lot) []*MadeOn {
	var out []*MadeOn
	for _, part := range l.Parts {
		m := &MadeOn{Part: part, Plan: s.planOn(part.ID(), s.AsOf)}
		for _, rec := range l.Plans {
			if rec.Data.(*ledger.Plan).Part.S == part.ID() {
				m.Plan = rec
			}
		}
		if m.Plan != nil {
			m.planned(s)
		}
		if m.Stations == nil {
			b := &seamBuilder{s: s, out: &Seam{Day: s.AsOf}}
			for _, side := range b.stationsOf(part.ID()) {
				m.Stations = append(m.Stations, &LotStation{Fixture: side.Fixture, Station: side.Station})
			}
		}
		out = append(out, m)
	}
	return out
}

func (m *MadeOn) planned(s *Set) {
	plan := m.Plan.Data.(*ledger.Plan)
	for i := range plan.Operations {
		op := &plan.Operations[i]
		rec, st := s.StationOf(plan, op)
		if st == nil {
			continue
		}
		k := slices.IndexFunc(m.Stations, func(x *LotStation) bool { return x.Station == st })
		if k < 0 {
			k = len(m.Stations)
			m.Stations = append(m.Stations, &LotStation{Fixture: rec, Station: st})
		}
		m.Stations[k].Ops = append(m.Stations[k].Ops, op)
	}
}

// Operations are those of the plan, in their order.
func (m *MadeOn) Operations() []ledger.Operation {
	if m.Plan == nil {
		return nil
	}
	return m.Plan.Data.(*ledger.Plan).Operations
}

// CountsOf are how many parts a tool had cut when the lot was read, the least and
// the most that a reading gives; false if none does.
func (s *Set) CountsOf(l *Lot, tool string) (least, most float64, ok bool) {
	seen := map[string]bool{}
	for _, rec := range l.Inspections {
		path := rec.Data.(*ledger.Inspection).Characteristic.S
		if seen[path] {
			continue
		}
		seen[path] = true
		for _, f := range s.Follow(path) {
			if !slices.Contains(f.Tools(), tool) {
				continue
			}
			for _, r := range f.Readings {
				if !r.HasCut || !slices.Contains(l.Inspections, r.Rec) {
					continue
				}
				if !ok {
					least, most, ok = r.Cut, r.Cut, true
				}
				least, most = min(least, r.Cut), max(most, r.Cut)
			}
		}
	}
	return least, most, ok
}

// CountWords says how many parts a tool had cut, from the readings of a lot.
func CountWords(least, most float64) string {
	if least == most {
		return fmt.Sprintf("%g parts", least)
	}
	return fmt.Sprintf("%g to %g parts", least, most)
}
