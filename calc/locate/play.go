package locate

import (
	"errors"
	"fmt"
	"math"
)

// Play returns how far (mm) the part point can move from where it is meant to
// be, over every pose in which the part is on both pins, rotation included:
// plus in direction dir, minus against it. See Placement.Play.
//
// Errors: those of TwoPins, a direction without length, and ErrDoesNotGoOn.
func Play(pins [2]Pin, holes [2]Hole, point, dir [2]float64) (plus, minus float64, err error) {
	p, err := Pattern(pins[:], holes[:])
	if err != nil {
		return 0, 0, err
	}
	return p.Play(point, dir)
}

// AngleRange returns the smallest and largest rotation (rad) of the part, from
// its nominal position, with which it is on both pins. For two round pins of
// equal pitch L it is ±2·asin((c1+c2)/(2L)).
//
// Errors: those of TwoPins, and ErrDoesNotGoOn.
func AngleRange(pins [2]Pin, holes [2]Hole) (least, most float64, err error) {
	p, err := Pattern(pins[:], holes[:])
	if err != nil {
		return 0, 0, err
	}
	return p.AngleRange()
}

// AngleRange returns the smallest and largest rotation (rad, counter-clockwise)
// of the part, from its nominal position, with which it is on its pins. Good to
// about 1e-14 rad where the part is clearly held.
//
// Errors: ErrDoesNotGoOn, and pins so loose that the part turns a quarter turn.
func (p *Placement) AngleRange() (least, most float64, err error) {
	if err := p.held(); err != nil {
		return 0, 0, err
	}
	return p.b.base + p.lo.x, p.b.base + p.hi.x, nil
}

// Play returns how far (mm) the part point can move from where it is meant to
// be, over every pose in which the part is on its pins, rotation included: plus
// in direction dir, minus against it. dir need not have unit length. Point and
// holes are in the coordinates of the part as it is meant to sit, so plus and
// minus count from the nominal place. One of them may be negative: then the
// point cannot even reach its nominal place in that sense. The full travel is
// plus + minus.
//
// The rotation is exact. For a given angle the permitted translations are an
// intersection of convex regions bounded by arcs, whose farthest point is found
// exactly; over the angle the maximum is closed in on from values and slopes,
// with allowance for the second-order terms of a rotation. The result is good
// to about 1e-9 mm; where the part only just goes on, within Tolerance, to some
// 1e-5 mm, because there a hair of clearance is a lot of play.
//
// Errors: a direction without length, and those of Placement.AngleRange.
func (p *Placement) Play(point, dir [2]float64) (plus, minus float64, err error) {
	s, n := vec{point[0], point[1]}, vec{dir[0], dir[1]}
	if !finite(s.x, s.y) || s.len() > tooLarge {
		return 0, 0, fmt.Errorf("the point (%g, %g) is not a pair of numbers, or too far away", s.x, s.y)
	}
	l := n.len()
	if !finite(l) || l == 0 {
		return 0, 0, fmt.Errorf("the direction (%g, %g) has no length", dir[0], dir[1])
	}
	if err := p.held(); err != nil {
		return 0, 0, err
	}
	b := p.b.copy()
	n = n.scale(1 / l)
	return b.most(s, n, p.lo, p.hi), b.most(s, n.scale(-1), p.lo, p.hi), nil
}

// end is an extreme of the rotation, base+x, where the translation has no
// choice left.
type end struct {
	x float64
	t vec
}

// held is nil if the part is on its pins and cannot turn away.
func (p *Placement) held() error {
	if !p.GoesOn {
		return fmt.Errorf("%w: %.6g mm of hole radius is missing", ErrDoesNotGoOn, -p.Margin)
	}
	return p.loose
}

// ends finds the extremes of the rotation from one, tau, at which the part is
// on its pins.
func (b *board) ends(tau float64) (lo, hi end, err error) {
	if hi, err = b.end(tau, 1); err == nil {
		lo, err = b.end(tau, -1)
	}
	return lo, hi, err
}

var errTooLoose = errors.New("the clearances are so large that the part can turn a quarter turn on these pins; they do not locate it")

// end goes from the rotation tau, at which the part is on its pins, to the
// rotation in the sense of dir beyond which it is not.
func (b *board) end(tau, dir float64) (end, error) {
	// No more than the rounding of distances.
	const nothing = 1e-15
	at := func(tau float64) (v, slope float64, t vec) {
		b.turn(tau)
		s := b.settle()
		return s.v, b.slope(s) * dir, s.t
	}
	_, _, t := at(tau)
	in, step := end{tau, t}, b.firstStep()
	var out end
	for {
		x := tau + dir*step
		if math.Abs(x) > farthestTurn {
			return end{}, errTooLoose
		}
		v, slope, t := at(x)
		if v > nothing {
			out = end{x, t}
			// Newton's steps from outside cannot overshoot a convex function.
			for range 200 {
				x := out.x - dir*v/slope
				if !(slope > 0) || (x-in.x)*dir <= 0 {
					x = (in.x + out.x) / 2
				}
				if x == out.x || x == in.x {
					return out, nil
				}
				var vx float64
				if vx, slope, t = at(x); vx > nothing {
					out, v = end{x, t}, vx
					continue
				}
				// Here, or within the rounding of here.
				if in = (end{x, t}); vx > -nothing {
					return in, nil
				}
				_, slope, _ = at(out.x)
			}
			return in, nil
		}
		in = end{x, t}
		step *= 2
	}
}

// most is the largest movement of the part point s in direction n between two
// rotations.
func (b *board) most(s, n vec, lo, hi end) float64 {
	held := s.sub(b.hc).rot(b.base)
	fixed := n.dot(b.pc.add(held).sub(s))
	moved := func(t vec) float64 {
		return fixed + n.dot(t) + b.sin*n.dot(held.perp()) - b.ver*n.dot(held)
	}
	ends := [2]knot{{lo.x, 0, math.Inf(1)}, {hi.x, 0, math.Inf(-1)}}
	for i, e := range [2]end{lo, hi} {
		b.turn(e.x)
		ends[i].f = moved(e.t)
	}
	if hi.x <= lo.x {
		return max(ends[0].f, ends[1].f)
	}
	eval := func(tau float64) knot {
		b.turn(tau)
		t, drag, ok := b.push(n)
		if !ok { // a single point is left
			s := b.settle()
			return knot{tau, moved(s.t), n.dot(b.swept(held)) - n.dot(b.swept(b.turned[s.c[0].pin]))}
		}
		return knot{tau, moved(t), n.dot(b.swept(held)) - drag}
	}
	// A lever that turns by tau comes closer by lever·tau²/2.
	bend := held.len() + 2*b.size()
	return peak(eval, ends[0], ends[1], bend, 3e-10, math.Inf(1)).f
}
