package study

import (
	"sort"
	"time"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// UseKind says what a gauge was used for.
type UseKind int

// What a gauge can be used for.
const (
	UsedForReadings UseKind = iota // an inspection
	UsedForSurvey                  // a survey of a locator
	UsedForCheck                   // the standard in a check of another gauge, or on the day of an inspection
)

// GaugeUse is one use of a gauge on a day.
type GaugeUse struct {
	Kind UseKind
	Rec  *ledger.Record
	At   ledger.Span // where it names the gauge
	Of   string      // the locator that was surveyed, or the gauge that was checked
	On   ledger.Date
	// First and Last are the days that On may mean: "about 2021" is a year.
	First, Last time.Time
	// In is the inspection; nil for a survey and for a calibration.
	In *ledger.Inspection
	// Needs is what must be told apart: the width of the limits of the readings,
	// the uncertainty that the survey states, or that of the gauge that was
	// checked, else its resolution. The zero Quantity if it is not known.
	Needs quantity.Quantity
}

// GaugeUses lists what every gauge was used for up to the day asked for, by the
// id of the gauge, each list by day. Void inspections, drafts, and uses without
// a day are left out.
func (s *Set) GaugeUses() map[string][]GaugeUse {
	out := map[string][]GaugeUse{}
	add := func(gauge ledger.Ref, u GaugeUse) {
		if !gauge.Set() || !u.On.By(s.AsOf) {
			return
		}
		u.At, u.First, u.Last = gauge.Span, u.On.T, lastDay(u.Rec, u.On)
		out[gauge.S] = append(out[gauge.S], u)
	}
	for _, rec := range s.L.Records {
		if rec.Quiet() {
			continue
		}
		switch d := rec.Data.(type) {
		case *ledger.Inspection:
			if d.HasReadings() && d.State.S != "void" && d.State.S != "superseded" {
				add(d.Gauge, GaugeUse{Kind: UsedForReadings, Rec: rec, On: d.On, In: d, Needs: s.tolerance(d)})
				add(d.CheckedOn, GaugeUse{Kind: UsedForCheck, Rec: rec, Of: d.Gauge.S, On: d.On, In: d, Needs: s.goodTo(d.Gauge)})
			}
		case *ledger.Fixture:
			for i := range d.Stations {
				for j := range d.Stations[i].Locators {
					loc := &d.Stations[i].Locators[j]
					for _, sv := range loc.Surveys {
						u := GaugeUse{Kind: UsedForSurvey, Rec: rec, Of: rec.ID() + "/" + d.Stations[i].ID.S + "/" + loc.ID.S, On: sv.On}
						if sv.U.Set() {
							u.Needs = sv.U.Nominal()
						}
						add(sv.Gauge, u)
					}
				}
			}
		case *ledger.Gauge:
			for _, c := range d.Calibration {
				add(c.Against, GaugeUse{Kind: UsedForCheck, Rec: rec, Of: rec.ID(), On: c.On, Needs: s.goodTo(ledger.Ref{S: rec.ID()})})
			}
		}
	}
	for _, list := range out {
		sort.SliceStable(list, func(i, j int) bool { return list[i].First.Before(list[j].First) })
	}
	return out
}

// tolerance is the width of the limits of the day; of a form with one limit,
// which begins at nothing, the limit.
func (s *Set) tolerance(in *ledger.Inspection) quantity.Quantity {
	_, char := s.characteristic(in.Characteristic.S, in.On.T)
	if char == nil || !char.Limits.Set() {
		return quantity.Quantity{}
	}
	if w, ok := char.Limits.Tol.Width(); ok {
		return w
	}
	if char.Limits.Tol.Form == quantity.AtMost {
		return char.Limits.Nominal().Abs()
	}
	return quantity.Quantity{}
}

// goodTo is what a gauge can tell: its uncertainty, else its resolution.
func (s *Set) goodTo(ref ledger.Ref) quantity.Quantity {
	rec := s.L.Record(ref.S)
	if rec == nil {
		return quantity.Quantity{}
	}
	g, ok := rec.Data.(*ledger.Gauge)
	switch {
	case ok && g.U.Set():
		return g.U.Nominal()
	case ok && g.Resolution.Set():
		return g.Resolution.Nominal()
	}
	return quantity.Quantity{}
}

// within reports whether the use surely lies after from, up to and with to.
func (u GaugeUse) within(from, to time.Time) bool {
	return u.First.After(from) && !u.Last.After(to)
}
