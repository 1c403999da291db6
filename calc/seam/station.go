package seam

import (
	"errors"
	"fmt"
	"math"
)

// Pin is a locating pin of a station.
type Pin struct {
	X, Y float64 // where the pin should stand: the place of its hole in the part
	// Error is where it stands less where it should, mm, in the axes of the
	// machine, which are those of a part that lies face up.
	Error [2]float64
	// Band is ± what is not known of Error: the uncertainty of the survey, or
	// the tolerance the pin was set to if there is none.
	Band [2]float64
	// Clearance is the radial clearance of the hole over the pin, mm.
	Clearance float64
}

// Station is where the outline of a part is cut, on two pins. First decides
// where the part sits along the line of the pins and across it, Second only how
// it is turned: a relieved pin, or the second of two round ones, whose error
// along the line the clearances take up.
type Station struct {
	Name          string
	First, Second Pin
	// FaceDown: the part lies on its face, mirrored about the line of the pins.
	// What shifts a part that lies face up to the left shifts this one to the
	// right.
	FaceDown bool
	// Size is how much larger than it should be the outline is cut on every
	// side, mm: cutter radius short of what the program takes, wear. SizeBand is
	// ± what is not known of it.
	Size, SizeBand float64
}

// Outline is where the outline of a part comes out that is cut on the station,
// from the errors that are known: the part sits where the pins are, so that the
// outline is displaced on it the other way,
// step = -n·e1 + turn·(n.x p.y - n.y p.x) + Size with turn = (e2-e1) across/L
// for a first pin at the origin.
//
// Errors: pins at one place, values that are not numbers, negative bands or
// clearances.
func (s Station) Outline() (Pattern, error) {
	sources, err := s.sources("", 1)
	if err != nil {
		return Pattern{}, err
	}
	var sum Pattern
	for _, f := range sources {
		sum = sum.plus(f.known(), 1)
	}
	return sum, nil
}

// line is the unit vector from the first pin to the second, and their distance.
func (s Station) line() (lx, ly, length float64, err error) {
	for i, p := range []Pin{s.First, s.Second} {
		which := []string{"the first pin", "the second pin"}[i]
		if !finite(p.X, p.Y, p.Error[0], p.Error[1]) || math.Hypot(p.X, p.Y) > tooLarge || math.Hypot(p.Error[0], p.Error[1]) > tooLarge {
			return 0, 0, 0, fmt.Errorf("%s: position (%g, %g) or error (%g, %g) mm is not made of sensible numbers", which, p.X, p.Y, p.Error[0], p.Error[1])
		}
		for _, w := range []float64{p.Band[0], p.Band[1], p.Clearance} {
			if !finite(w) || w < 0 || w > tooLarge {
				return 0, 0, 0, fmt.Errorf("%s: band ±(%g, %g) and clearance %g mm must not be negative", which, p.Band[0], p.Band[1], p.Clearance)
			}
		}
	}
	if !finite(s.Size, s.SizeBand) || s.SizeBand < 0 || math.Abs(s.Size) > tooLarge || s.SizeBand > tooLarge {
		return 0, 0, 0, fmt.Errorf("the size %g ±%g mm is not made of sensible numbers", s.Size, s.SizeBand)
	}
	dx, dy := s.Second.X-s.First.X, s.Second.Y-s.First.Y
	if length = math.Hypot(dx, dy); length < 1e-6 {
		return 0, 0, 0, errors.New("both pins stand at the same place")
	}
	return dx / length, dy / length, length, nil
}

// source is one thing that shifts the step, by up to three amounts with the
// pattern that a millimetre of each makes.
type source struct {
	name    string
	unit    []Pattern
	value   []float64 // what is known of the amounts
	band    []float64 // ± what is not known, or varies
	varies  bool      // from part to part, instead of being the same for all
	disc    bool      // the first two amounts lie in a circle, not in a rectangle
	perStep []float64 // instead of unit: mm of step at each point for one amount
}

func (f source) known() (sum Pattern) {
	for i, u := range f.unit {
		sum = sum.plus(u, f.value[i])
	}
	return sum
}

// sources are the contributions of a station to the outline of its part, times
// sign.
func (s Station) sources(name string, sign float64) ([]source, error) {
	lx, ly, length, err := s.line()
	if err != nil {
		return nil, err
	}
	mirror := 1.0
	if s.FaceDown {
		mirror = -1
	}
	// The outline for the pin moved by (mx, my) in the part's axes: first with
	// the second pin at rest, second turning the part about the first.
	first := func(mx, my float64) Pattern {
		turn := -(lx*my - ly*mx) / length // of the part, to keep the second hole on its pin
		return s.displaced(mx, my, turn).times(sign)
	}
	second := func(across float64) Pattern { return s.displaced(0, 0, across/length).times(sign) }
	along := first(lx, ly)
	across := first(-ly*mirror, lx*mirror)
	swing := second(mirror)
	e2, band := s.Second.Error, s.Second.Band
	r1, r2 := s.First.Clearance, s.Second.Clearance
	// The band of the first pin is a rectangle in the axes of the machine.
	x1 := along.times(lx).plus(across, -ly)
	y1 := along.times(ly).plus(across, lx)
	return []source{
		{name: name + "first pin", unit: []Pattern{x1, y1}, value: s.First.Error[:], band: s.First.Band[:]},
		{name: name + "second pin", unit: []Pattern{swing}, value: []float64{-ly*e2[0] + lx*e2[1]}, band: []float64{math.Abs(ly)*band[0] + math.Abs(lx)*band[1]}},
		{name: name + "looseness", unit: []Pattern{along, across, swing}, value: []float64{0, 0, 0}, band: []float64{r1, r1, r2}, varies: true, disc: true},
		{name: name + "size", unit: []Pattern{{Size: sign}}, value: []float64{s.Size}, band: []float64{s.SizeBand}},
	}, nil
}

// displaced is the outline on a part that sits shifted by (mx, my) at the first
// pin and turned by turn about it.
func (s Station) displaced(mx, my, turn float64) Pattern {
	return Pattern{DX: -(mx + turn*s.First.Y), DY: -(my - turn*s.First.X), Turn: -turn}
}

func (a Pattern) times(f float64) Pattern { return Pattern{}.plus(a, f) }
