package study

import (
	"tenths/calc/quantity"
	"tenths/ledger"
)

// Locating is what the pins of a station and the holes of its part say about
// each other, whatever their number.
type Locating struct {
	Rec     *ledger.Record
	Station *ledger.Station
	Part    *ledger.Record
	Unit    quantity.Unit // unit of the fixture's record
	Pins    []PinState    // all pins of the station, in the order of the record
	// Worst is the worst good part: the smallest holes, the largest pins, the
	// corner of the tolerances of all positions that leaves the least.
	Worst Case
	// Usual is the part in the middle of its limits.
	Usual Case
	// ByConstruction is set if the part's holes are made on this very station.
	ByConstruction bool
	Cure
	// Skip says why nothing could be computed; all results are then empty, and
	// of the pins only what is known.
	Skip string

	asked asked
}

// Locating computes the study of a station's pins. A station that has not two
// pins or more, or lacks a size, has its Skip set.
func (s *Set) Locating(rec *ledger.Record, st *ledger.Station) *Locating {
	return s.locating.get(st, func() *Locating { return s.computeLocating(rec, st) })
}

func (s *Set) computeLocating(rec *ledger.Record, st *ledger.Station) *Locating {
	out := &Locating{Rec: rec, Station: st, Unit: s.unitOf(rec), ByConstruction: st.LineBore.B}
	if !st.Part.Set() {
		out.Skip = "the station names no part"
		return out
	}
	part := s.L.Record(st.Part.S)
	if part == nil {
		out.Skip = "its part " + st.Part.S + " is not in the ledger"
		return out
	}
	p, ok := part.Data.(*ledger.Part)
	if !ok {
		out.Skip = st.Part.S + " is no part"
		return out
	}
	out.Part = part
	why := ""
	for i := range st.Locators {
		now := ledger.OnDay(st.Locators[i], s.AsOf)
		if !isPin(now) {
			continue
		}
		ps, lacks := s.pinState(&st.Locators[i], part, p)
		out.Pins = append(out.Pins, ps)
		if why == "" {
			why = lacks
		}
	}
	switch len(out.Pins) {
	case 0:
		out.Skip = "station " + st.ID.S + " has no pins"
		return out
	case 1:
		out.Skip = "station " + st.ID.S + " has one pin, on which the part turns freely"
		return out
	}
	for i := range out.Pins {
		if lacks := out.relief(i); why == "" {
			why = lacks
		}
	}
	if why == "" {
		if err := out.solve(); err != nil {
			why = err.Error()
		}
	}
	out.Skip = why
	return out
}

func (s *Set) unitOf(rec *ledger.Record) quantity.Unit {
	switch rec.Common.Units.S {
	case "in":
		return quantity.Inch
	case "mm":
		return quantity.Millimetre
	}
	if u := s.L.Config.DefaultUnit(); !u.IsZero() {
		return u
	}
	return quantity.Millimetre
}
