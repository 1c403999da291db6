package study

import (
	"fmt"
	"math"
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

// relief finds the direction of the relief of pin i and what follows from it.
func (l *Locating) relief(i int) (lacks string) {
	p := &l.Pins[i]
	if p.Now.Type.S != "relieved pin" {
		return ""
	}
	if !p.placed || !l.Pins[1-i].placed {
		return ""
	}
	turn, ok := l.turnOf(i)
	if !ok {
		return fmt.Sprintf("locator %s is relieved, but %q gives no direction; write \"line to P1\" or an angle such as \"90 deg\"", p.Locator.ID.S, p.Now.Relief.S)
	}
	p.turn, p.TurnKnown = turn, true
	p.Turn = math.Mod(math.Abs(turn), 180)
	p.Turn = min(p.Turn, 180-p.Turn)
	if !p.Now.Land.Set() {
		return fmt.Sprintf("locator %s is relieved, but its land has no width", p.Locator.ID.S)
	}
	if p.sized {
		hole, pin := p.Hole.middle(), p.Pin.middle()
		land := min(p.Now.Land.Nominal().Float(), pin)
		along, across, err := locate.TurnedLooseness(hole, pin, land, turn*math.Pi/180)
		right, errRight := locate.Reach(hole, pin, land)
		if err == nil && errRight == nil {
			p.Relief = Relief{along, across, right, (hole - pin) / 2}
		}
	}
	return ""
}

// turnOf reads relieved_along: "line to P1", "across the line to P1", or an
// angle from the part's x axis. It gives the degrees from the pin line.
func (l *Locating) turnOf(i int) (float64, bool) {
	p, other := &l.Pins[i], &l.Pins[1-i]
	text := strings.TrimSpace(p.Now.Relief.S)
	to := func(x, y float64) float64 {
		return math.Atan2(y-p.At[1].nominal, x-p.At[0].nominal) * 180 / math.Pi
	}
	line := to(other.At[0].nominal, other.At[1].nominal)
	name, isLine := strings.CutPrefix(text, "line to ")
	switch {
	case text == "", text == "line", isLine && name == other.Locator.ID.S:
		return 0, true
	case strings.HasPrefix(text, "across"):
		return 90, true
	case isLine:
		// Towards something else that stands in the station, such as a rest.
		for _, loc := range l.Station.Locators {
			if at, ok := axes(loc.At); ok && loc.ID.S == name && name != p.Locator.ID.S {
				return to(at[0].nominal, at[1].nominal) - line, true
			}
		}
		return 0, false
	}
	q, err := quantity.Parse(text, quantity.Degree)
	if err != nil || q.Dim() != quantity.Angle {
		return 0, false
	}
	return q.Float() - line, true
}
