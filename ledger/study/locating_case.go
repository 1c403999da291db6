package study

import (
	"math"

	"tenths/calc/locate"
)

// Case is one part on the pins of a station.
type Case struct {
	// Result tells all of two pins. Of more pins only Margin, GoesOn and Binds are
	// set.
	locate.Result
	// Pins and Holes are where they stand and how large they are, in mm.
	Pins  []locate.Pin
	Holes []locate.Hole
	on    *locate.Placement
}

// AngleRange gives the smallest and the largest turn of the part, in rad from
// its nominal position, counter-clockwise.
//
// Errors: the part does not go on, or is not held.
func (c *Case) AngleRange() (least, most float64, err error) { return c.on.AngleRange() }

// Play gives, in mm, how far a point of the part can get from its nominal place
// in a direction, and against it.
//
// Errors: the part does not go on, or is not held; a direction without length.
func (c *Case) Play(point, dir [2]float64) (plus, minus float64, err error) {
	return c.on.Play(point, dir)
}

// Offsets gives where each hole stands from its pin, in mm, when the part lies
// with the most room.
func (c *Case) Offsets() [][2]float64 {
	out := make([][2]float64, len(c.Pins))
	sin, cos := math.Sincos(c.on.Pose.Angle)
	for k, h := range c.Holes {
		out[k] = [2]float64{cos*h.X - sin*h.Y + c.on.Pose.X - c.Pins[k].X, sin*h.X + cos*h.Y + c.on.Pose.Y - c.Pins[k].Y}
	}
	return out
}

// newCase takes over a placement; two pins have their closed forms too.
func newCase(p *locate.Placement, pins []locate.Pin, holes []locate.Hole) Case {
	c := Case{Pins: pins, Holes: holes, on: p}
	if r, ok := p.TwoPins(); ok {
		c.Result = r
		return c
	}
	c.Margin, c.GoesOn, c.Binds = p.Margin, p.GoesOn, p.Binds
	return c
}

// setUp is what is known of a station in mm: everything in the middle of its
// limits, with the half-widths about it.
type setUp struct {
	pins               []locate.Pin
	holes              []locate.Hole
	pinBands, holeBand []locate.Band
}

// setUp gathers the pattern. What a survey leaves uncertain is added to the
// positions of the pins if doubt is set.
func (l *Locating) setUp(doubt bool) setUp {
	var s setUp
	for i := range l.Pins {
		p := &l.Pins[i]
		pin := locate.Pin{X: p.At[0].middle(), Y: p.At[1].middle(), D: p.Pin.middle()}
		if p.Now.Type.S == "relieved pin" {
			pin.Kind, pin.ReliefAxis = locate.Relieved, p.axis
			pin.Land = min(p.Now.Land.Nominal().Float(), p.Pin.Min.Float())
		}
		band := locate.Band{X: p.At[0].half(), Y: p.At[1].half(), D: p.Pin.half()}
		if doubt {
			band.X, band.Y = band.X+p.U, band.Y+p.U
		}
		s.pins, s.pinBands = append(s.pins, pin), append(s.pinBands, band)
		s.holes = append(s.holes, locate.Hole{X: p.HoleAt[0].middle(), Y: p.HoleAt[1].middle(), D: p.Hole.middle()})
		s.holeBand = append(s.holeBand, locate.Band{X: p.HoleAt[0].half(), Y: p.HoleAt[1].half(), D: p.Hole.half()})
	}
	return s
}

// with is the set-up with other pins.
func (s setUp) with(change func(pins []locate.Pin)) setUp {
	s.pins = append([]locate.Pin(nil), s.pins...)
	change(s.pins)
	return s
}

func (s setUp) worst() (*locate.WorstCase, error) {
	return locate.Worst(s.pins, s.holes, s.pinBands, s.holeBand)
}

// allGoOn reports whether every good part goes on; what cannot be computed does
// not.
func (s setUp) allGoOn() bool {
	ok, err := locate.AllGoOn(s.pins, s.holes, s.pinBands, s.holeBand)
	return err == nil && ok
}

// solve computes the worst and the usual part.
func (l *Locating) solve() error {
	s := l.setUp(false)
	usual, err := locate.Pattern(s.pins, s.holes)
	if err != nil {
		return err
	}
	l.Usual = newCase(usual, s.pins, s.holes)
	w, err := s.worst()
	if err != nil {
		return err
	}
	l.Worst = newCase(w.Placement, w.Pins, w.Holes)
	return l.cure()
}

// Looseness gives, in mm, how far a point of the part can move in a direction
// for the part in the middle of its limits: the two senses.
func (l *Locating) Looseness(point, dir [2]float64) (plus, minus float64, err error) {
	return l.Usual.Play(point, dir)
}

// line is the direction from pin i to pin j, rad.
func (l *Locating) line(i, j int) float64 {
	a, b := l.Pins[i].At, l.Pins[j].At
	return math.Atan2(b[1].middle()-a[1].middle(), b[0].middle()-a[0].middle())
}
