package rules

import (
	"fmt"
	"math/big"
	"slices"
	"strings"
	"time"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var heatUnsurveyed = &lint.Rule{
	Name:     "heat-unsurveyed",
	Severity: lint.Error,
	Title:    "a fixture that was welded, heated or skimmed and not surveyed as a whole since",
	Gap:      true,
	Page: lint.Page{
		What:    "After every step of a change that welds or heats a fixture or skims its seat: a survey of every pin of every station, on the same day or later, and a measurement of the seat (seat) after a skim, and after heat where the record keeps the height. Steps without a day count on the day the change was done.",
		Why:     "Weld shrinkage moves the pins of the next station by tenths, and a skim changes every height; the next batch shows it on a job that nobody touched.",
		Source:  "Survey all stations after every heat or skim, act on a pin that moved by more than its uncertainty, about 0.0001 in: common practice.",
		Cure:    "Survey every pin of every station and measure the seat before the next part; what moved by more than its uncertainty is taken into the offset or set anew.",
		Concede: "Stations that are blocks of their own and were off the fixture are named in the step (taken_off) and left out; if the work was on such a block by itself, only that block counts. While the fixture stands as under rework or unverified this is a note. Nothing here says that such work may be done: its cautions, local codes and licensed practice decide.",
	},
	Check: func(p *lint.Pass) {
		for _, u := range p.S.Unsurveyed() {
			reportUnsurveyed(p, u)
		}
	},
}

func reportUnsurveyed(p *lint.Pass, u study.Unsurveyed) {
	var did []string
	for _, h := range u.Steps {
		did = append(did, fmt.Sprintf("%s on %s, %s,", h.What, h.Day, stepName(fmt.Sprintf("step %d", h.N), h.Step.Title, h.Step.Does)))
	}
	found := lint.Found{Softer: u.Standing == "under rework" || u.Standing == "unverified"}
	var lacks []string
	if u.Pins != nil {
		lacks = pinList(u.Pins)
	}
	if u.NoSeat {
		seat := "the height of the seat"
		if u.Seat != nil {
			seat += fmt.Sprintf(" (last %s on %s)", u.Seat.Height.Tol, u.Seat.On)
			found.Related = append(found.Related, lint.Place{Rec: u.Fixture, Span: u.Seat.Height.Span, Message: "the seat before that"})
			found.Numbers = append(found.Numbers, lint.Number{Name: "seat_before", Q: u.Seat.Height.Nominal()})
		}
		lacks = append(lacks, seat)
	}
	for _, m := range u.Moved[:min(len(u.Moved), shownPlaces)] {
		found.Related = append(found.Related, lint.Place{Rec: u.Fixture, Span: m.To.Off.Span,
			Message: fmt.Sprintf("%s has moved: %s", locatorIs(u.Fixture, m.Station, m.Locator), movedBy(m.Moved))})
	}
	for _, pin := range u.Pins[:min(len(u.Pins), shownPlaces)] {
		place := lint.Place{Rec: u.Fixture, Span: pin.Locator.ID.Span, Message: locatorIs(u.Fixture, pin.Station, pin.Locator) + " was never surveyed"}
		if pin.Last != nil {
			place.Span, place.Message = pin.Last.On.Span, fmt.Sprintf("%s was last surveyed on %s", locatorIs(u.Fixture, pin.Station, pin.Locator), pin.Last.On)
		}
		found.Related = append(found.Related, place)
	}
	found.Numbers = append(found.Numbers, lint.Number{Name: "pins_not_surveyed", Q: number(big.NewRat(int64(len(u.Pins)), 1))})
	found.Message = fmt.Sprintf("%s was not surveyed as a whole after %s of %s: still missing: %s", u.Fixture.ID(), strings.TrimSuffix(listed(did), ","), u.Rec.ID(),
		listed(lacks))
	found.Fix = "survey every pin of every station and measure the seat before the next part is cut; a station that was off the fixture is named in the step: taken_off = [...]"
	step := u.Steps[0].Step
	p.Report(u.Rec, firstSet(step.Does.Span, step.Span), found)
}

// movedBy says how far a pin has moved.
func movedBy(m study.Moved) string {
	return fmt.Sprintf("%s in x and %s in y between %s and %s (U %s)", m.X, m.Y, m.From.On.T.Format(time.DateOnly), m.To.On.T.Format(time.DateOnly), m.U)
}

// pinList names pins; stations that lack the same ones are named together.
func pinList(pins []study.UnsurveyedPin) []string {
	ids := map[*ledger.Station][]string{}
	var stations []*ledger.Station
	for _, pin := range pins {
		if ids[pin.Station] == nil {
			stations = append(stations, pin.Station)
		}
		ids[pin.Station] = append(ids[pin.Station], pin.Locator.ID.S)
	}
	var out []string
	for len(stations) > 0 {
		same := ids[stations[0]]
		var names []string
		stations = slices.DeleteFunc(stations, func(st *ledger.Station) bool {
			if !slices.Equal(ids[st], same) {
				return false
			}
			names = append(names, st.ID.S)
			return true
		})
		out = append(out, fmt.Sprintf("%s of %s %s", listed(same), plural(len(names), "station", "stations"), listed(names)))
	}
	return out
}
