package study

import (
	"fmt"
	"math"
	"strings"
)

// Advice says in words and numbers what would let every good part on: which pin
// to relieve, in which direction and with what land, or how small a pin. It is
// empty where every good part goes on, or nothing could be computed.
func (l *Locating) Advice() string {
	if l.Skip != "" || l.Worst.GoesOn {
		return ""
	}
	var small []string
	for i := range l.Pins {
		if p := &l.Pins[i]; p.TooBig() {
			small = append(small, fmt.Sprintf("a pin smaller than %s for %s", p.Hole.Min, p.Locator.ID.S))
		}
	}
	switch {
	case small != nil:
		return strings.Join(small, ", ")
	case len(l.Pins) == 2:
		return l.pairAdvice()
	}
	return l.waysAdvice()
}

// PinSize prints a largest pin with the digits to which pins are made.
func (l *Locating) PinSize(mm float64) string { return l.MM(mm).Format(l.Unit, l.decimals(4)) }

// decimals is how many decimals a length of the fixture is shown with where an
// inch has that many.
func (l *Locating) decimals(inch int) int {
	if l.Unit.Name() == "mm" {
		return inch - 1
	}
	return inch
}

// pairAdvice says in numbers what would let every good part on two pins.
func (l *Locating) pairAdvice() string {
	second, first := &l.Pins[l.Second()], &l.Pins[1-l.Second()]
	id, line := second.Locator.ID.S, "along the line to "+first.Locator.ID.S
	land := ShowDown(l.MM(l.Land), 3)
	var cure string
	switch {
	case l.Station.Rest.Set() && second.TurnedTooFar():
		cure = fmt.Sprintf("the relief of %s is not along the line, and %s holds the turn: a pin of at most %s there, or its relief %s", id, l.Station.Rest.S, l.PinSize(l.RoundPin), line)
	case land != "" && l.LandLasts():
		cure = fmt.Sprintf("relieve %s %s with a land of at most %s", id, line, land)
		switch {
		case second.Turn > 0.5:
			cure = fmt.Sprintf("turn the relief of %s %s, with a land of at most %s", id, line, land)
		case second.TurnKnown:
			cure = fmt.Sprintf("narrow the land of %s to at most %s", id, land)
		}
		if l.HandbookLand > l.Land {
			cure += fmt.Sprintf(" (the handbook formula would say %s)", l.MM(l.HandbookLand).Format(l.Unit, l.decimals(3)))
		}
	case l.SmallerPin > 0 && l.SmallerPinSlips():
		needs := fmt.Sprintf("a pin of %s would need a land of %s, which soon wears away", second.Pin.Max, land)
		if land == "" {
			needs = fmt.Sprintf("no land helps a pin of %s", second.Pin.Max)
		}
		cure = fmt.Sprintf("%s: for %s a pin of at most %s, relieved %s with a land of %s (then up to %s loose across the line)",
			needs, id, l.PinSize(l.SmallerPin), line, ShowDown(l.MM(l.SmallerLand), 3), l.PinSize(l.SmallerPinLoose()))
	default:
		cure = "no relief of a pin takes up so much: bring the pitch of pins and holes together"
	}
	if l.PitchCures() {
		side := "too far apart"
		if l.PinError() < 0 {
			side = "too close together"
		}
		cure += fmt.Sprintf("; or set the pins to the pitch of the holes: they stand %s %s", Show(l.MM(math.Abs(l.PinError()))), side)
	}
	return cure
}

// waysAdvice says how a station with more than two pins takes every good part.
func (l *Locating) waysAdvice() string {
	var out []string
	for _, w := range l.Ways {
		out = append(out, l.wayText(w))
	}
	if l.Straight {
		out = append([]string{"turn the reliefs along the lines to the round pin"}, out...)
	}
	if out == nil {
		return "no relief and no smaller pin takes up so much: bring the places of pins and holes together; two pins locate a part, so the others may go"
	}
	return strings.Join(out, "; or ")
}

func (l *Locating) wayText(w Way) string {
	id := func(k int) string { return l.Pins[k].Locator.ID.S }
	var out []string
	for i, k := range w.Relieve {
		verb := "relieve %s along the line to %s with a land of at most %s"
		if l.Pins[k].Now.Type.S == "relieved pin" {
			verb = "the relief of %s along the line to %s, with a land of at most %s"
		}
		out = append(out, fmt.Sprintf(verb, id(k), id(w.To), ShowDown(l.MM(w.Lands[i]), 3)))
	}
	for i, k := range w.Smaller {
		out = append(out, fmt.Sprintf("a pin of at most %s for %s", l.PinSize(w.Diameters[i]), id(k)))
	}
	text := strings.Join(out, ", ")
	if n := len(out) - 1; n > 0 {
		text = strings.Join(out[:n], ", ") + " and " + out[n]
	}
	if w.Loose {
		text += ", which then no longer " + map[bool]string{true: "locates", false: "locate"}[len(w.Smaller) == 1]
	}
	return text
}
