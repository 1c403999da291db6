package locate

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Pose is where a part sits: the part point s is at R(Angle)·s + (X, Y).
type Pose struct {
	X, Y  float64 // mm
	Angle float64 // rad, counter-clockwise
}

// Placement is what any number of pins and holes say about each other. It can
// be asked for movements with AngleRange and Play. No field is NaN or infinite.
type Placement struct {
	// Clearances are the radial clearances (D-d)/2, mm, pin by pin; negative:
	// the pin is larger than its hole.
	Clearances []float64
	// Margin is the amount, mm, by which every hole radius could shrink and the
	// part would still go on; negative: the radius that is missing.
	Margin float64
	GoesOn bool // Margin >= -Tolerance
	// Pose is one in which the margin is reached; there may be others.
	Pose Pose
	// Binds names the pins that touch there when the margin is used up,
	// numbered from 1.
	Binds []Contact

	// b is never changed: who moves it works on a copy. The radii are such that
	// a part that goes on only within Tolerance has what is missing made good.
	b      *board
	two    *pair // of two pins
	lo, hi end   // extremes of the rotation of a part that goes on
	loose  error // why there are none
}

// Pattern computes whether a part goes on two pins or more, with what margin,
// and which pins bind. Pins may be round or relieved at any angle. How the
// holes lie against the pins does not matter: the part is turned to suit.
//
// The margin is the largest m for which a pose (X, Y, Angle) exists that keeps
// every hole, its radius reduced by m, over its pin. The rotation is exact.
// For a given angle the best translation is found exactly (see settle); over
// the angle the margin has one top as long as the pins do not overlap, which is
// closed in on from its slope. The margin is good to about 1e-12 mm. For two
// pins it is that of TwoPins.
//
// Errors: pins and holes not equal in number or fewer than two, and those of
// TwoPins.
func Pattern(pins []Pin, holes []Hole) (*Placement, error) {
	if err := checkPattern(pins, holes); err != nil {
		return nil, err
	}
	p := &Placement{b: newBoard(pins, holes)}
	tau, s := p.b.best()
	p.Margin = -s.v
	for k := range pins {
		p.Clearances = append(p.Clearances, (holes[k].D-pins[k].D)/2)
	}
	p.Binds = p.b.touching(s, p.Margin, slices.Min(p.Clearances))
	if len(pins) == 2 {
		pr, err := newPair([2]Pin(pins), [2]Hole(holes))
		if err != nil {
			return nil, err
		}
		if m, ok := pr.closed(); ok {
			p.Margin = m
		}
		_, p.Binds = pr.binds(p.Margin)
		p.two = pr
	}
	p.GoesOn = p.Margin >= -Tolerance
	p.Pose = p.b.pose(tau, s.t)
	if p.GoesOn {
		p.b.widen(max(0, s.v))
		p.lo, p.hi, p.loose = p.b.ends(tau)
	}
	return p, nil
}

// TwoPins is the Result of a placement of two pins, without searching again; ok is
// false for more pins.
func (p *Placement) TwoPins() (r Result, ok bool) {
	if p.two == nil {
		return r, false
	}
	return p.two.result(p.Margin), true
}

// checkPattern refuses what cannot be computed.
func checkPattern(pins []Pin, holes []Hole) error {
	if len(pins) != len(holes) {
		return fmt.Errorf("%d pins and %d holes: every pin needs its hole", len(pins), len(holes))
	}
	if len(pins) < 2 {
		return errors.New("a pattern needs two pins or more: on a single pin the part turns freely")
	}
	for k := range pins {
		if err := checkPin(pins[k]); err != nil {
			return fmt.Errorf("pin %d: %w", k+1, err)
		}
		if err := checkHole(holes[k]); err != nil {
			return fmt.Errorf("hole %d: %w", k+1, err)
		}
	}
	for k := range pins {
		for j := range k {
			p := math.Hypot(pins[k].X-pins[j].X, pins[k].Y-pins[j].Y)
			h := math.Hypot(holes[k].X-holes[j].X, holes[k].Y-holes[j].Y)
			if !finite(p, h) || p > tooLarge || h > tooLarge {
				return errors.New("the distance between the pins or the holes is too large to compute")
			}
			if least := (pins[j].D + pins[k].D) / 2; p < least {
				return fmt.Errorf("%s overlap: their centres are %g mm apart and need at least %g mm", which("pins", j, k, len(pins)), p, least)
			}
			if h == 0 {
				return fmt.Errorf("%s are at the same place; every hole needs its own position", which("holes", j, k, len(holes)))
			}
		}
	}
	return nil
}

func which(what string, j, k, n int) string {
	if n == 2 {
		return "the " + what
	}
	return fmt.Sprintf("%s %d and %d", what, j+1, k+1)
}

// farthestTurn is how far, rad, from the fit of least squares a rotation is
// looked for. Pins that let a part turn that far do not locate it.
const farthestTurn = math.Pi / 2

// best finds the rotation and translation with the most room.
func (b *board) best() (tau float64, s basis) { return b.bestUntil(math.Inf(1)) }

// bestUntil stops at the first pose met with at least the room enough.
func (b *board) bestUntil(enough float64) (tau float64, s basis) {
	eval := func(tau float64) knot {
		b.turn(tau)
		s := b.settle()
		return knot{tau, -s.v, -b.slope(s)}
	}
	at := eval(0)
	if at.d != 0 && at.f < enough {
		// Go uphill until it goes down again.
		step := b.firstStep()
		if at.d < 0 {
			step = -step
		}
		near, far := at, at
		for math.Abs(far.x) < farthestTurn && far.f < enough && far.d*step > 0 {
			near = far
			far = eval(math.Copysign(min(math.Abs(near.x+step), farthestTurn), step))
			step *= 2
		}
		if far.d*step > 0 || far.d == 0 || far.f >= enough {
			at = far
		} else {
			if step < 0 {
				near, far = far, near
			}
			// A hole at distance l moves by l·tau, and comes closer by l·tau²/2.
			at = peak(eval, near, far, b.size(), 1e-13, enough)
		}
	}
	b.turn(at.x)
	return at.x, *b.settle()
}

// firstStep is a rotation of the order of those that clearances and errors of
// position leave.
func (b *board) firstStep() float64 {
	var most float64
	for k := range b.regs {
		most = max(most, b.gap[k].len(), math.Abs(b.regs[k].rho-b.regs[k].r))
	}
	return max(most/b.size(), 1e-9)
}

// pose is the pose of the part at the rotation base+tau and translation t.
func (b *board) pose(tau float64, t vec) Pose {
	at := b.pc.add(t).sub(b.hc.rot(b.base + tau))
	return Pose{at.x, at.y, b.base + tau}
}

// touching names the pins that bind in the pose of the largest margin. Where
// the tightest clearance decides, the rest of the pattern has room to spare and
// what else it touches is chance.
func (b *board) touching(s basis, margin, tight float64) []Contact {
	const same = 1e-9
	var out []Contact
	for k := range b.regs {
		g := &b.regs[k]
		q := s.t.add(b.off[k])
		switch {
		case margin >= tight-same:
			if g.rho-g.r <= tight+same {
				out = append(out, Contact{k + 1, g.roundFace()})
			}
		case g.excess(q) >= -margin-same:
			out = append(out, Contact{k + 1, g.faceAt(q)})
		}
	}
	return out
}

func (g *region) roundFace() Face {
	if g.relieved {
		return LandFace
	}
	return RoundFace
}

// faceAt is the face of the pin that the hole touches when its centre stands at
// q from the pin.
func (g *region) faceAt(q vec) Face {
	switch {
	case !g.relieved || g.landBears(q):
		return g.roundFace()
	case math.Abs(q.cross(g.u)) <= 1e-9:
		return LandEdges
	}
	return LandEdge
}
