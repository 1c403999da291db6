// Package locate answers what a machinist asks of locating pins: will the part
// go on, how much pitch error is allowed, what is in the way, and how far can
// the part still move once it is on.
//
// TwoPins tells all about the usual pair. Pattern takes any number of pins, and
// its Placement gives the angle range and the play of any point. Worst looks
// for the worst good part, Simulate counts how many good parts go on.
//
// Lengths are float64 in millimetres, angles in radians, counter-clockwise
// positive. Limits that must compare exactly belong to package quantity; here
// the answers come out of roots and angles and are inexact by nature. The
// boundary between "goes on" and "does not" is drawn with Tolerance.
//
// The model is plane and rigid. A part point s sits at R(theta) s + t in the
// fixture. With q the centre of a hole measured from the centre of its pin, a
// round pin allows |q| <= (D-d)/2. A relieved pin keeps only the two arcs
// ("lands") of its circle that lie within half the land width of its centre,
// measured along the relief axis; each land point must stay inside the hole.
// The permitted q of a relieved pin is an intersection of discs, so convex, and
// its reach along the relief axis follows from the Pythagorean theorem (Reach).
// The geometry is derived from that statement; no handbook approximation is
// used except where a field says so.
package locate

import (
	"errors"
	"fmt"
	"math"
)

// Tolerance is the boundary tolerance in mm: a pattern whose margin is not
// below -Tolerance goes on. It is one picometre, far under anything that can be
// measured, and only absorbs binary rounding of the inputs.
const Tolerance = 1e-9

// ErrDoesNotGoOn is returned, wrapped, when a movement is asked for of a part
// that does not go on its pins.
var ErrDoesNotGoOn = errors.New("the part does not go on these pins")

// Kind tells how a pin is made.
type Kind int

const (
	Round    Kind = iota // full circle
	Relieved             // diamond or flattened pin: two lands remain
)

// String returns "round" or "relieved".
func (k Kind) String() string {
	switch k {
	case Round:
		return "round"
	case Relieved:
		return "relieved"
	}
	return fmt.Sprintf("unknown kind %d", int(k))
}

// Pin is a locating pin in the fixture.
type Pin struct {
	X, Y float64 // centre, mm
	D    float64 // diameter of the pin circle, mm
	Kind Kind
	// Land is the width of each land of a relieved pin, mm, measured along
	// ReliefAxis. Ignored for a round pin.
	Land float64
	// ReliefAxis is the direction in which a relieved pin is relieved, rad,
	// normally the direction of the line between the pins. The lands face
	// square to it.
	ReliefAxis float64
}

// Hole is a locating hole in the part, in the coordinates of the part as it is
// meant to sit in the fixture.
type Hole struct {
	X, Y float64 // centre, mm
	D    float64 // diameter, mm
}

// Limit says what sets the margin of a pattern.
type Limit int

const (
	LimitPitch Limit = iota // pitch error: both pins press along the line of centres
	LimitPin1               // the clearance of pin 1 in its own hole
	LimitPin2               // the clearance of pin 2 in its own hole
	LimitBoth               // equal clearances of both pins in their own holes
)

// String names the limit in a few words.
func (l Limit) String() string {
	switch l {
	case LimitPitch:
		return "pitch"
	case LimitPin1:
		return "pin 1 in its hole"
	case LimitPin2:
		return "pin 2 in its hole"
	case LimitBoth:
		return "both pins in their holes"
	}
	return fmt.Sprintf("unknown limit %d", int(l))
}

// Face is the part of a pin that touches first.
type Face int

const (
	RoundFace Face = iota // the circle of a round pin
	LandFace              // the curved face of a land of a relieved pin
	LandEdge              // one edge of one land
	LandEdges             // the edges of both lands on the same side
)

// String names the face.
func (f Face) String() string {
	switch f {
	case RoundFace:
		return "round face"
	case LandFace:
		return "land"
	case LandEdge:
		return "edge of one land"
	case LandEdges:
		return "edges of both lands"
	}
	return fmt.Sprintf("unknown face %d", int(f))
}

// Contact is one pin that binds, and where.
type Contact struct {
	Pin  int // counted from 1
	Face Face
}

// Result is what two pins and two holes say about each other. All lengths in
// mm. No field is NaN or infinite.
type Result struct {
	PitchPins  float64 // distance between the pin centres
	PitchHoles float64 // distance between the hole centres
	Mismatch   float64 // PitchHoles - PitchPins
	C1, C2     float64 // radial clearances (D-d)/2; negative: the pin is larger than its hole

	// Allowance is the largest |Mismatch| that still goes on: the sum of
	// Reach. For two round pins it is C1 + C2. It is exact when the relief
	// axes lie on or square to the line of centres; for a turned relieved pin
	// it leaves out a second-order term of (sideways offset)²/(2·PitchPins),
	// some 1e-8 mm. Margin leaves nothing out. Zero when a pin does not enter
	// its hole.
	Allowance float64
	// Reach is each pin's part of Allowance, with the turn of its relief taken
	// into account.
	Reach [2]float64
	// Turn is the angle between the relief axis and the line of pin centres,
	// 0 to pi/2 rad; 0 for a round pin.
	Turn [2]float64

	// Margin is the amount by which every hole radius could shrink and the
	// part would still go on; negative: the radius that is missing.
	Margin float64
	GoesOn bool // Margin >= -Tolerance
	Limit  Limit
	Binds  []Contact // the pins that touch when the margin is used up

	// HandbookReach is what the common first-order formula D·(D-d)/(2·Land)
	// gives for a relieved pin lying on the line (common practice); for a
	// round pin it is the clearance. HandbookExcess = HandbookReach - Reach is
	// what it claims too much; never negative.
	HandbookReach, HandbookExcess [2]float64
}

// TwoPins computes whether a part with two holes goes on two pins, with what
// margin and allowance, and what binds. Either pin, both or neither may be
// relieved. How the hole line lies against the pin line does not matter: the
// part is turned to suit.
//
// Closed forms are used for two round pins,
// m = min(c1, c2, (c1+c2-|mismatch|)/2), and for a round pin with a relieved
// pin on the line; otherwise the margin is found as in Pattern.
//
// Errors: a size that is not a positive number, a land wider than its pin,
// pins that overlap, holes at one place.
func TwoPins(pins [2]Pin, holes [2]Hole) (Result, error) {
	pr, err := newPair(pins, holes)
	if err != nil {
		return Result{}, err
	}
	return pr.result(pr.margin()), nil
}

// result is what the pair says, its margin being known.
func (pr *pair) result(margin float64) Result {
	pins, holes := pr.pins, pr.holes
	r := Result{
		PitchPins:  pr.lp,
		PitchHoles: pr.lh,
		Mismatch:   pr.lh - pr.lp,
		C1:         pr.clearance(0),
		C2:         pr.clearance(1),
	}
	enters := r.C1 >= 0 && r.C2 >= 0
	for k := range pins {
		reg := pr.region(k, 0)
		c := pr.clearance(k)
		r.HandbookReach[k] = max(c, 0)
		if reg.relieved {
			r.Turn[k] = reg.turn(pr.line)
			r.HandbookReach[k] = max(holes[k].D*(holes[k].D-pins[k].D)/(2*pins[k].Land), 0)
		}
		if c >= 0 {
			r.Reach[k] = reg.support(pr.line).dot(pr.line)
		}
		r.HandbookExcess[k] = max(r.HandbookReach[k]-r.Reach[k], 0)
	}
	if enters {
		r.Allowance = r.Reach[0] + r.Reach[1]
	}
	r.Margin = margin
	r.GoesOn = r.Margin >= -Tolerance
	r.Limit, r.Binds = pr.binds(r.Margin)
	return r
}

// pair is a checked pattern of two pins and two holes.
type pair struct {
	pins   [2]Pin
	holes  [2]Hole
	lp, lh float64 // pitches
	line   vec     // unit vector from pin 1 to pin 2
}

func newPair(pins [2]Pin, holes [2]Hole) (*pair, error) {
	if err := checkPattern(pins[:], holes[:]); err != nil {
		return nil, err
	}
	p := vec{pins[1].X - pins[0].X, pins[1].Y - pins[0].Y}
	h := vec{holes[1].X - holes[0].X, holes[1].Y - holes[0].Y}
	pr := &pair{pins: pins, holes: holes, lp: p.len(), lh: h.len()}
	pr.line = p.scale(1 / pr.lp)
	return pr, nil
}

// tooLarge, mm, is a thousand kilometres: beyond it squares could overflow.
const tooLarge = 1e9

func checkSize(d float64) error {
	if !finite(d) || d <= 0 {
		return fmt.Errorf("the diameter %g mm must be more than zero", d)
	}
	if d > tooLarge {
		return fmt.Errorf("the diameter %g mm is too large to compute", d)
	}
	return nil
}

func checkHole(h Hole) error {
	if !finite(h.X, h.Y) {
		return fmt.Errorf("the position (%g, %g) is not a pair of numbers", h.X, h.Y)
	}
	return checkSize(h.D)
}

func checkPin(p Pin) error {
	if !finite(p.X, p.Y) {
		return fmt.Errorf("the position (%g, %g) is not a pair of numbers", p.X, p.Y)
	}
	if err := checkSize(p.D); err != nil {
		return err
	}
	switch p.Kind {
	case Round:
		return nil
	case Relieved:
		if !finite(p.Land) || p.Land < Tolerance || p.Land > p.D {
			return fmt.Errorf("the land %g mm must be more than zero and not wider than the pin, %g mm", p.Land, p.D)
		}
		if !finite(p.ReliefAxis) {
			return fmt.Errorf("the relief axis %g rad is not an angle", p.ReliefAxis)
		}
		return nil
	}
	return fmt.Errorf("%v: a pin is round or relieved", p.Kind)
}

// clearance is the radial clearance of pin k in its hole.
func (pr *pair) clearance(k int) float64 {
	return (pr.holes[k].D - pr.pins[k].D) / 2
}

// region is the permitted region of pin k with the hole radius reduced by m. It
// is never empty: callers ask only where the hole is not smaller than the pin
// by more than Tolerance, and what is missing then counts as zero clearance.
func (pr *pair) region(k int, m float64) region {
	p := pr.pins[k]
	reg := region{r: p.D / 2}
	reg.rho = max(pr.holes[k].D/2-m, reg.r)
	if p.Kind == Relieved {
		reg.relieve(p.Land, p.ReliefAxis)
	}
	return reg
}

func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
