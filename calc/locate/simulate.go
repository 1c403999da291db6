package locate

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
)

// Band is how far a pin or a hole can be from what is given for it: half-widths
// in mm, so that X stands for ±X. Zero is exact.
type Band struct{ X, Y, D float64 }

// Shape is how sizes and positions lie within their half-widths.
type Shape int

const (
	Even   Shape = iota // every value within the half-width is as likely
	Normal              // bell-shaped about the middle, cut off at the half-width
)

// String returns "even" or "normal".
func (s Shape) String() string {
	switch s {
	case Even:
		return "even"
	case Normal:
		return "normal"
	}
	return fmt.Sprintf("unknown shape %d", int(s))
}

// Scatter says how good parts and fixtures differ from pins and holes as given.
type Scatter struct {
	// Pins and Holes hold a band for every pin and hole; nil means that all are
	// exact, as pins are once they have been surveyed.
	Pins, Holes []Band
	Shape       Shape
	// Sigmas is how many standard deviations of the bell a half-width holds
	// before it is cut off; 0 means 3. Only for Normal.
	Sigmas float64
}

// Chance is the outcome of a simulation.
type Chance struct {
	Parts, GoOn int     // parts drawn, and how many of them go on
	P           float64 // share that goes on
	// StdErr is the standard error of P from the finite number of parts. It is
	// never zero: two parts that go on and two that do not are added for it
	// (A. Agresti, B. A. Coull, The American Statistician 52, 1998).
	StdErr float64
	// Low and High are the 95 % interval of Wilson (1927) for the true share.
	Low, High float64
}

// mostParts is more than anyone waits for.
const mostParts = 100_000_000

// Simulate draws good parts and counts how many go on, rotation exact as in
// Pattern. The same seed gives the same parts. Every coordinate and diameter is
// drawn on its own.
//
// A part is turned down if for two holes the pitch error is more than both pins
// can take up, taken on if it fits in the pose of least squares, and otherwise
// decided by the search of Pattern.
//
// Errors: those of Pattern, bands that do not match the pins or are negative or
// larger than a diameter, a number of parts not between 1 and 100 million.
func Simulate(pins []Pin, holes []Hole, s Scatter, parts int, seed uint64) (Chance, error) {
	if err := checkPattern(pins, holes); err != nil {
		return Chance{}, err
	}
	if parts < 1 || parts > mostParts {
		return Chance{}, fmt.Errorf("%d parts: a simulation needs 1 to %d", parts, mostParts)
	}
	if err := s.check(pins, holes); err != nil {
		return Chance{}, err
	}
	d := drawer{shape: s.Shape, sigmas: s.Sigmas}
	if d.sigmas == 0 {
		d.sigmas = 3
	}
	d.rng = rand.New(rand.NewPCG(seed, 0x7465_6e74_6873))
	p, h := append([]Pin(nil), pins...), append([]Hole(nil), holes...)
	b := newBoard(p, h)
	c := Chance{Parts: parts}
	for range parts {
		for k := range s.Pins {
			p[k].X, p[k].Y, p[k].D = d.draw(pins[k].X, s.Pins[k].X), d.draw(pins[k].Y, s.Pins[k].Y), d.draw(pins[k].D, s.Pins[k].D)
		}
		for k := range s.Holes {
			h[k].X, h[k].Y, h[k].D = d.draw(holes[k].X, s.Holes[k].X), d.draw(holes[k].Y, s.Holes[k].Y), d.draw(holes[k].D, s.Holes[k].D)
		}
		if b.goesOn(p, h) {
			c.GoOn++
		}
	}
	n := float64(parts)
	c.P = float64(c.GoOn) / n
	adjusted := (float64(c.GoOn) + 2) / (n + 4)
	c.StdErr = math.Sqrt(adjusted * (1 - adjusted) / (n + 4))
	const z = 1.959963984540054 // 97.5 % of the normal distribution
	middle := (c.P + z*z/(2*n)) / (1 + z*z/n)
	half := z / (1 + z*z/n) * math.Sqrt(c.P*(1-c.P)/n+z*z/(4*n*n))
	c.Low, c.High = min(c.P, max(0, middle-half)), max(c.P, min(1, middle+half))
	return c, nil
}

func (s *Scatter) check(pins []Pin, holes []Hole) error {
	if s.Shape != Even && s.Shape != Normal {
		return fmt.Errorf("%v: sizes lie evenly or normally", s.Shape)
	}
	if !finite(s.Sigmas) || s.Sigmas < 0 {
		return fmt.Errorf("%g standard deviations in a half-width: it must be more than zero", s.Sigmas)
	}
	if s.Sigmas != 0 && s.Sigmas < 0.1 {
		return fmt.Errorf("%g standard deviations in a half-width are too few to draw from; use the even shape", s.Sigmas)
	}
	return checkBands(pins, holes, s.Pins, s.Holes)
}

func checkBands(pins []Pin, holes []Hole, pinBands, holeBands []Band) error {
	if pinBands != nil && len(pinBands) != len(pins) || holeBands != nil && len(holeBands) != len(holes) {
		return errors.New("every pin and every hole needs its band, or none")
	}
	for k, w := range pinBands {
		d := pins[k].D
		if err := w.check(d); err != nil {
			return fmt.Errorf("pin %d: %w", k+1, err)
		}
		if pins[k].Kind == Relieved && pins[k].Land > d-w.D {
			return fmt.Errorf("pin %d: the land %g mm is wider than the smallest pin, %.6g mm", k+1, pins[k].Land, d-w.D)
		}
	}
	for k, w := range holeBands {
		if err := w.check(holes[k].D); err != nil {
			return fmt.Errorf("hole %d: %w", k+1, err)
		}
	}
	return nil
}

func (w Band) check(d float64) error {
	if !finite(w.X, w.Y, w.D) || w.X < 0 || w.Y < 0 || w.D < 0 {
		return fmt.Errorf("the half-widths ±%g, ±%g, ±%g mm must not be negative", w.X, w.Y, w.D)
	}
	if w.D >= d || max(w.X, w.Y) > tooLarge {
		return fmt.Errorf("the half-widths ±%g, ±%g, ±%g mm are too large for a diameter of %g mm", w.X, w.Y, w.D, d)
	}
	return nil
}

type drawer struct {
	rng    *rand.Rand
	shape  Shape
	sigmas float64
}

func (d *drawer) draw(middle, half float64) float64 {
	if half == 0 {
		return middle
	}
	if d.shape == Even {
		return middle + half*(2*d.rng.Float64()-1)
	}
	for {
		if z := d.rng.NormFloat64(); math.Abs(z) <= d.sigmas {
			return middle + half*z/d.sigmas
		}
	}
}

// goesOn decides about one part, quickly for most.
func (b *board) goesOn(pins []Pin, holes []Hole) bool {
	// As everywhere, what is missing by no more than Tolerance is rounding.
	for k := range pins {
		g := &b.regs[k]
		g.r, g.rho = pins[k].D/2, holes[k].D/2+Tolerance
		if g.rho < g.r {
			return false
		}
		if g.relieved {
			g.h = math.Sqrt((g.r - g.half) * (g.r + g.half))
		}
	}
	for k := range pins {
		for j := range k {
			pitch := vec{pins[k].X - pins[j].X, pins[k].Y - pins[j].Y}
			lp, lh := pitch.len(), vec{holes[k].X - holes[j].X, holes[k].Y - holes[j].Y}.len()
			if math.Abs(lh-lp) > b.regs[j].size()+b.regs[k].size() {
				return false
			}
			if len(pins) > 2 {
				continue
			}
			// Two holes as far apart, or as near, as along the line of pins. What
			// lies between that and the pitch of the pins is in reach as well.
			n := pitch.scale(1 / lp)
			x := b.regs[j].support(n).add(b.regs[k].support(n))
			if lh >= lp && lh <= pitch.add(x).len() || lh <= lp && lh >= pitch.sub(x).len() {
				return true
			}
		}
	}
	b.lay(pins, holes)
	b.widen(Tolerance)
	// At the fit of least squares all holes stand at gap from their pins.
	if _, v := b.worst(vec{}); v <= 0 {
		return true
	}
	_, s := b.bestUntil(0)
	return s.v <= 0
}
