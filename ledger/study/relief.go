package study

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tenths/calc/locate"
	"tenths/calc/quantity"
)

// Relief is what a relieved pin takes up along the line to the other pin, and
// leaves loose across it, for the hole and pin in the middle of their limits:
// as it stands, and as it would with its relief along the line. One-sided, in
// mm; all zero if a size is not known or the pin does not enter its hole.
type Relief struct {
	Along, Across           float64
	RightAlong, RightAcross float64
}

// ReliefTurn is how far a relief may be turned from its line, in degrees (common
// practice).
const ReliefTurn = 10

// TurnedTooFar reports whether a pin's relief is turned by more; an angle is only
// as good as its last binary digits.
func (p *PinState) TurnedTooFar() bool { return p.TurnKnown && p.Turn > ReliefTurn+1e-9 }

// relief finds the direction of the relief of pin i and what follows from it.
func (l *Locating) relief(i int) (lacks string) {
	p := &l.Pins[i]
	p.To = l.reliefTo(i)
	if p.Now.Type.S != "relieved pin" {
		return ""
	}
	if !slices.ContainsFunc(l.Pins, func(o PinState) bool { return !o.placed }) {
		axis, ok := l.reliefAxis(i)
		switch text := strings.TrimSpace(p.Now.Relief.S); {
		case !ok && text == "":
			return fmt.Sprintf("locator %s is relieved, but does not say in which direction, and more than one pin could be meant; write \"line to %s\" or an angle such as \"90 deg\"", p.Locator.ID.S, l.Pins[0].Locator.ID.S)
		case !ok:
			return fmt.Sprintf("locator %s is relieved, but %q gives no direction; write \"line to P1\" or an angle such as \"90 deg\"", p.Locator.ID.S, p.Now.Relief.S)
		}
		p.axis = axis
		if p.To >= 0 {
			p.TurnKnown = true
			p.Turn = math.Mod(math.Abs(axis-l.line(i, p.To))*180/math.Pi, 180)
			p.Turn = min(p.Turn, 180-p.Turn)
		}
	}
	if !p.Now.Land.Set() {
		return fmt.Sprintf("locator %s is relieved, but its land has no width", p.Locator.ID.S)
	}
	if p.sized && p.TurnKnown {
		hole, pin := p.Hole.middle(), p.Pin.middle()
		land := min(p.Now.Land.Nominal().Float(), pin)
		along, across, err := locate.TurnedLooseness(hole, pin, land, p.Turn*math.Pi/180)
		right, errRight := locate.Reach(hole, pin, land)
		if err == nil && errRight == nil {
			p.Relief = Relief{along, across, right, (hole - pin) / 2}
		}
	}
	return ""
}

// reliefTo is the pin along whose line pin i should be relieved.
func (l *Locating) reliefTo(i int) int {
	if len(l.Pins) == 2 {
		return 1 - i
	}
	to := -1
	for k := range l.Pins {
		if l.Pins[k].Now.Type.S != "round pin" {
			continue
		}
		if to >= 0 || k == i {
			return -1
		}
		to = k
	}
	return to
}

// reliefAxis reads relieved_along: "line to P1", "across the line to P1", or an
// angle from the part's x axis. Without a word it is the line that it should be.
func (l *Locating) reliefAxis(i int) (float64, bool) {
	p := &l.Pins[i]
	r, ok := readRelief(p.Now.Relief.S)
	switch {
	case !ok:
		return 0, false
	case r.angled:
		return r.turn, true
	case r.to == "":
		if p.To < 0 {
			return 0, false
		}
		return l.line(i, p.To) + r.turn, true
	}
	if k := slices.IndexFunc(l.Pins, func(o PinState) bool { return o.Locator.ID.S == r.to }); k >= 0 && k != i {
		return l.line(i, k) + r.turn, true
	}
	// Towards something else that stands in the station, such as a rest.
	for _, loc := range l.Station.Locators {
		if at, ok := axes(loc.At); ok && loc.ID.S == r.to && r.to != p.Locator.ID.S {
			return math.Atan2(at[1].middle()-p.At[1].middle(), at[0].middle()-p.At[0].middle()) + r.turn, true
		}
	}
	return 0, false
}

// reliefWords is what relieved_along says: an angle from x, or a turn, rad, from
// the line to a locator; without a name it is the line that it should be.
type reliefWords struct {
	to     string
	turn   float64
	angled bool
}

// readRelief reads relieved_along. ok is false if it gives no direction.
func readRelief(text string) (r reliefWords, ok bool) {
	text = strings.TrimSpace(text)
	if rest, across := strings.CutPrefix(text, "across"); across {
		r.turn, text = math.Pi/2, strings.TrimPrefix(strings.TrimSpace(rest), "the ")
		if !strings.HasPrefix(text, "line to ") {
			text = "line"
		}
	}
	if to, named := strings.CutPrefix(text, "line to "); named {
		r.to = to
		return r, true
	}
	if text == "" || text == "line" {
		return r, true
	}
	q, err := quantity.Parse(text, quantity.Degree)
	if err != nil || q.Dim() != quantity.Angle {
		return r, false
	}
	return reliefWords{turn: q.Float() * math.Pi / 180, angled: true}, true
}
