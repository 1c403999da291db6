package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tenths/calc/locate"
	"tenths/ledger/report/svg"
	"tenths/ledger/study"
)

// stationPicture draws the pins of a station with the holes of the part in the
// middle of its limits as it lies with the most room, the errors of the pins as
// surveyed, and the looseness of its points; narrow is for half a page. It is empty if nothing could be
// computed.
func stationPicture(s *study.Set, l *study.Locating, id string, narrow bool) string {
	if l.Skip != "" {
		return ""
	}
	mm := func(v float64) string { return study.Show(l.MM(v)) }
	p := svg.Station{
		ID: id, Narrow: narrow, Part: "part in the middle of its limits",
		Title: fmt.Sprintf("Station %s of %s: pins, holes and what can move", l.Station.ID.S, l.Rec.ID()),
	}
	var words []string
	offsets := l.Usual.Offsets()
	for k := range l.Pins {
		pin, at := &l.Pins[k], l.Usual.Pins[k]
		sp := svg.StationPin{
			Name: pin.Locator.ID.S, Radius: at.D / 2, Gap: (l.Usual.Holes[k].D - at.D) / 2, Off: offsets[k],
			Lines: []string{strings.TrimSuffix(pin.Now.Type.S, " pin") + " in " + pin.Locator.Engages.S},
			Binds: slices.ContainsFunc(l.Worst.Binds, func(c locate.Contact) bool { return c.Pin == k+1 }),
		}
		if at.Kind == locate.Relieved {
			sp.Land, sp.Axis = at.Land, at.ReliefAxis
		}
		sp.Error = pin.Error()
		sp.X, sp.Y = at.X-sp.Error[0], at.Y-sp.Error[1]
		word := fmt.Sprintf("%s, %s, %s in diameter in a hole %s larger", sp.Name, pin.Now.Type.S, mm(at.D), mm(2*sp.Gap))
		switch {
		case pin.Survey == nil:
			sp.Lines = append(sp.Lines, "not surveyed")
			word += ", not surveyed"
		case pin.Survey.Off.Set():
			off := offText(PinState{OffX: nominal(pin.Survey.Off.X), OffY: nominal(pin.Survey.Off.Y)})
			sp.Lines = append(sp.Lines, "off "+off)
			word += ", off by " + off
		}
		p.Pins = append(p.Pins, sp)
		words = append(words, word)
	}
	for _, pl := range s.LoosenessAt(l) {
		if atPin(l, pl.At) {
			continue // its gap shows it
		}
		name := pl.Path[strings.LastIndexByte(pl.Path, '/')+1:]
		text := mm(pl.Plus + pl.Minus)
		p.Points = append(p.Points, svg.StationPoint{Name: name, Text: text, X: pl.At[0], Y: pl.At[1], NX: pl.Along[0], NY: pl.Along[1], Plus: pl.Plus, Minus: pl.Minus})
		if !narrow {
			words = append(words, fmt.Sprintf("%s can move %s in all", name, text))
		}
	}
	p.Desc = strings.Join(words, "; ") + "."
	picture, enlarged := p.Draw()
	if math.IsInf(enlarged, 0) {
		return ""
	}
	return picture
}

// atPin reports whether a point of the part lies on one of its pins.
func atPin(l *study.Locating, at [2]float64) bool {
	return slices.ContainsFunc(l.Usual.Pins, func(p locate.Pin) bool { return math.Hypot(p.X-at[0], p.Y-at[1]) < p.D/2 })
}
