package locate

import "math"

// knot is a point of a function of the rotation: place, value, slope.
type knot struct{ x, f, d float64 }

// peak finds the largest value of a function between a and b whose slope
// changes by no more than bend per unit upwards (0: it is concave). Corners are
// welcome. An infinite slope in a or b means that it is not known there.
//
// From the values and slopes at its ends follows the most that an interval can
// hold; the interval that can hold the most is split until none can hold more
// than tol above the best value met. It returns at once when that reaches
// enough.
func peak(eval func(x float64) knot, a, b knot, bend, tol, enough float64) knot {
	best := a
	if b.f > best.f {
		best = b
	}
	type span struct {
		a, b    knot
		bound   float64
		cross   float64 // where the bounds from both ends meet, from a
		crossed bool
	}
	measure := func(a, b knot) span {
		s := span{a: a, b: b, bound: max(a.f, b.f)}
		w := b.x - a.x
		ua, ub := math.IsInf(a.d, 0), math.IsInf(b.d, 0)
		switch {
		case ua && ub:
			s.bound = math.Inf(1)
		case ua:
			s.bound = max(s.bound, b.f-b.d*w+bend/2*w*w)
		case ub:
			s.bound = max(s.bound, a.f+a.d*w+bend/2*w*w)
		default:
			if den := a.d - b.d + bend*w; den > 0 {
				s.cross = (b.f - a.f - b.d*w + bend/2*w*w) / den
				if s.cross > 0 && s.cross < w {
					s.crossed = true
					s.bound = max(s.bound, a.f+a.d*s.cross+bend/2*s.cross*s.cross)
				}
			}
		}
		return s
	}
	var room [32]span
	open := append(room[:0], measure(a, b))
	for i := 0; i < 2000 && best.f < enough; i++ {
		at := 0
		for j := range open {
			if open[j].bound > open[at].bound {
				at = j
			}
		}
		if len(open) == 0 || open[at].bound <= best.f+tol {
			break
		}
		s := open[at]
		w := s.b.x - s.a.x
		// The bounds meet at a corner of the function, the secant of the slopes
		// comes close to a smooth top, its mirror image in the near end lands on
		// the other side of that, and the middle is never far wrong.
		y := w / 2
		secant := w * s.a.d / (s.a.d - s.b.d)
		smooth := s.a.d > 0 && s.b.d < 0 && !math.IsInf(s.a.d-s.b.d, 0)
		switch {
		case i%4 == 0 && s.crossed:
			y = s.cross
		case i%4 == 1 && smooth:
			y = secant
		case i%4 == 2 && smooth && secant < w/2:
			y = 2 * secant
		case i%4 == 2 && smooth:
			y = 2*secant - w
		}
		y = min(max(y, 1e-4*w), (1-1e-4)*w)
		x := s.a.x + y
		if x <= s.a.x || x >= s.b.x {
			open[at] = open[len(open)-1]
			open = open[:len(open)-1]
			continue
		}
		m := eval(x)
		if m.f > best.f {
			best = m
		}
		open[at] = measure(s.a, m)
		open = append(open, measure(m, s.b))
	}
	return best
}
