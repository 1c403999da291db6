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
// uncertain, only the sum of their half-widths counts. Of corners that leave
// the same margin on two pins, that with the larger pitch error is given.
//
// Every corner is computed. The margin is a concave function of the positions,
// but for the turn of the part times their half-widths, some 1e-6 mm, so that
// no position between the corners is worse.
//
// Errors: those of Pattern, bands that do not match, and more than 12 uncertain
// coordinates; Simulate has no such limit.
func Worst(pins []Pin, holes []Hole, pinBands, holeBands []Band) (*WorstCase, error) {
	c, err := newCorners(pins, holes, pinBands, holeBands)
	if err != nil {
		return nil, err
	}
	b := newBoard(c.pins, c.holes)
	worst, least, farthest := 0, math.Inf(1), 0.0
	for bits := range c.count() {
		c.put(bits)
		m, off, err := c.margin(b)
		if err != nil {
			return nil, err
		}
		// A margin a hair smaller is the same one.
		const hair = 1e-12
		if m < least-hair || m < least+hair && off > farthest+hair {
			worst, least, farthest = bits, m, off
		}
	}
	c.put(worst)
	p, err := Pattern(c.pins, c.holes)
	return &WorstCase{p, c.pins, c.holes}, err
}

// AllGoOn reports whether every part goes on that the bands allow: whether the
// margin of Worst is not below -Tolerance. It is much faster, since at each
// corner only yes or no is asked for.
//
// Errors: those of Worst.
func AllGoOn(pins []Pin, holes []Hole, pinBands, holeBands []Band) (bool, error) {
	c, err := newCorners(pins, holes, pinBands, holeBands)
	if err != nil {
		return false, err
	}
	b := newBoard(c.pins, c.holes)
	for bits := range c.count() {
		c.put(bits)
		if !b.goesOn(c.pins, c.holes) {
			return false, nil
		}
	}
	return true, nil
}

// corners holds the largest pins and the smallest holes, and moves the uncertain
// coordinates to their ends.
type corners struct {
	pins  []Pin
	holes []Hole
	free  []func(side float64) // puts a coordinate at one end
}

func newCorners(pins []Pin, holes []Hole, pinBands, holeBands []Band) (*corners, error) {
	if err := checkPattern(pins, holes); err != nil {
		return nil, err
	}
	if err := checkBands(pins, holes, pinBands, holeBands); err != nil {
		return nil, err
	}
	c := &corners{pins: append([]Pin(nil), pins...), holes: append([]Hole(nil), holes...)}
	if pinBands == nil {
		pinBands = make([]Band, len(pins))
	}
	if holeBands == nil {
		holeBands = make([]Band, len(holes))
	}
	for k := range pins {
		c.pins[k].D += pinBands[k].D
		c.holes[k].D -= holeBands[k].D
		if px, hx := pinBands[k].X, holeBands[k].X; px+hx > 0 {
			c.free = append(c.free, func(side float64) {
				c.pins[k].X, c.holes[k].X = pins[k].X-side*px, holes[k].X+side*hx
			})
		}
		if py, hy := pinBands[k].Y, holeBands[k].Y; py+hy > 0 {
			c.free = append(c.free, func(side float64) {
				c.pins[k].Y, c.holes[k].Y = pins[k].Y-side*py, holes[k].Y+side*hy
			})
		}
	}
	if len(c.free) > mostAxes {
		return nil, fmt.Errorf("%d coordinates are uncertain; the worst case of more than %d would take too long, simulate instead", len(c.free), mostAxes)
	}
	return c, nil
}

func (c *corners) count() int { return 1 << len(c.free) }

func (c *corners) put(bits int) {
	for i, put := range c.free {
		put(float64(2*(bits>>i&1) - 1))
	}
}

// margin is that of the corner, and the pitch error of two pins.
func (c *corners) margin(b *board) (m, off float64, err error) {
	if len(c.pins) == 2 {
		pr, err := newPair([2]Pin(c.pins), [2]Hole(c.holes))
		if err != nil {
			return 0, 0, err
		}
		off = math.Abs(pr.lh - pr.lp)
		if m, ok := pr.closed(); ok {
			return m, off, nil
		}
	}
	b.lay(c.pins, c.holes)
	_, s := b.best()
	return -s.v, off, nil
}
