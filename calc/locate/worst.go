package locate

import (
	"fmt"
	"math"
)

// mostAxes is the number of uncertain coordinates that Worst still takes: with
// 12 of them there are 4096 corners, some tens of milliseconds.
const mostAxes = 12

// WorstCase is the good part and fixture that go together worst.
type WorstCase struct {
	*Placement
	Pins  []Pin
	Holes []Hole
}

// Worst finds the least margin over all that the bands allow: the largest pins
// in the smallest holes, at the worst corner of the positions. A band may be
// nil if all pins, or all holes, are exact. Where a pin and its hole are both
// uncertain, only the sum of their half-widths counts.
//
// Every corner is computed. The margin is a concave function of the positions,
// but for the turn of the part times their half-widths, some 1e-6 mm, so that
// no position between the corners is worse.
//
// Errors: those of Pattern, bands that do not match, and more than 12 uncertain
// coordinates; Simulate has no such limit.
func Worst(pins []Pin, holes []Hole, pinBands, holeBands []Band) (*WorstCase, error) {
	if err := checkPattern(pins, holes); err != nil {
		return nil, err
	}
	if err := checkBands(pins, holes, pinBands, holeBands); err != nil {
		return nil, err
	}
	w := &WorstCase{Pins: append([]Pin(nil), pins...), Holes: append([]Hole(nil), holes...)}
	if pinBands == nil {
		pinBands = make([]Band, len(pins))
	}
	if holeBands == nil {
		holeBands = make([]Band, len(holes))
	}
	var free []func(side float64) // puts a coordinate at one end
	for k := range pins {
		w.Pins[k].D += pinBands[k].D
		w.Holes[k].D -= holeBands[k].D
		if px, hx := pinBands[k].X, holeBands[k].X; px+hx > 0 {
			free = append(free, func(side float64) {
				w.Pins[k].X, w.Holes[k].X = pins[k].X-side*px, holes[k].X+side*hx
			})
		}
		if py, hy := pinBands[k].Y, holeBands[k].Y; py+hy > 0 {
			free = append(free, func(side float64) {
				w.Pins[k].Y, w.Holes[k].Y = pins[k].Y-side*py, holes[k].Y+side*hy
			})
		}
	}
	if len(free) > mostAxes {
		return nil, fmt.Errorf("%d coordinates are uncertain; the worst case of more than %d would take too long, simulate instead", len(free), mostAxes)
	}
	corner := func(bits int) {
		for i, put := range free {
			put(float64(2*(bits>>i&1) - 1))
		}
	}
	b := newBoard(w.Pins, w.Holes)
	worst, least := 0, math.Inf(1)
	for bits := range 1 << len(free) {
		corner(bits)
		b.lay(w.Pins, w.Holes)
		// A margin a hair smaller is the same one: the first corner stands.
		if _, s := b.best(); -s.v < least-1e-12 {
			worst, least = bits, -s.v
		}
	}
	corner(worst)
	var err error
	w.Placement, err = Pattern(w.Pins, w.Holes)
	return w, err
}
