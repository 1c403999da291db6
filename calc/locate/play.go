package locate

import (
	"fmt"
	"math"
)

// Play returns how far (mm) the part point can move from where it is meant to
// be, over every pose in which the part is on both pins, rotation included:
// plus in direction dir, minus against it. dir need not have unit length.
// Point and holes are in the coordinates of the part as it is meant to sit, so
// plus and minus count from the nominal place. One of them may be negative:
// then the point cannot even reach its nominal place in that sense. The full
// travel is plus + minus.
//
// The rotation is exact. For a given angle the permitted translations are the
// intersection of two convex regions bounded by arcs, whose farthest point is
// found exactly; over the angle the maximum is located on a grid and refined by
// golden section. The result is good to about 1e-8 mm.
//
// Errors: those of TwoPins, a direction without length, and ErrDoesNotGoOn.
func Play(pins [2]Pin, holes [2]Hole, point, dir [2]float64) (plus, minus float64, err error) {
	f, err := newFreedom(pins, holes)
	if err != nil {
		return 0, 0, err
	}
	s, n := vec{point[0], point[1]}, vec{dir[0], dir[1]}
	if !finite(s.x, s.y) {
		return 0, 0, fmt.Errorf("the point (%g, %g) is not a pair of numbers", s.x, s.y)
	}
	l := n.len()
	if !finite(l) || l == 0 {
		return 0, 0, fmt.Errorf("the direction (%g, %g) has no length", dir[0], dir[1])
	}
	n = n.scale(1 / l)
	return f.most(s, n), f.most(s, n.scale(-1)), nil
}

// AngleRange returns the smallest and largest rotation (rad) of the part, from
// its nominal position, with which it is on both pins. For two round pins of
// equal pitch L it is ±2·asin((c1+c2)/(2L)).
//
// Errors: those of TwoPins, and ErrDoesNotGoOn.
func AngleRange(pins [2]Pin, holes [2]Hole) (least, most float64, err error) {
	f, err := newFreedom(pins, holes)
	if err != nil {
		return 0, 0, err
	}
	return f.base + f.lo.tau, f.base + f.hi.tau, nil
}

// freedom is the set of poses of a part that is on both pins. A pose is the
// rotation theta = base + tau and q1, the place of hole 1 from pin 1.
type freedom struct {
	*pair
	g1, g2 region
	base   float64 // rotation that lays the hole line on the pin line
	lo, hi end
}

// end is an extreme of the rotation; there the translation has no choice left.
type end struct {
	tau float64
	q1  vec
}

func newFreedom(pins [2]Pin, holes [2]Hole) (*freedom, error) {
	pr, err := newPair(pins, holes)
	if err != nil {
		return nil, err
	}
	if m := pr.margin(); m < -Tolerance {
		return nil, fmt.Errorf("%w: %.6g mm of hole radius is missing", ErrDoesNotGoOn, -m)
	}
	f := &freedom{pair: pr, g1: pr.region(0, 0), g2: pr.region(1, 0)}
	f.base = math.Atan2(pr.hline.cross(pr.line), pr.hline.dot(pr.line))
	far, farAngle := farthest(f.g1, f.g2, pr.lp, pr.line)
	near, nearAngle := nearest(f.g1, f.g2, pr.lp, pr.line)
	// Within Tolerance of the edge the pattern counts as just going on.
	f.lh = min(max(f.lh, near), far)
	f.hi = f.extreme(farAngle, math.Pi+nearAngle)
	f.lo = f.extreme(farAngle, nearAngle-math.Pi)
	return f, nil
}

// extreme walks the boundary of S (see farthest) on one side, from the point
// that sets the hole centres farthest apart to the one that sets them nearest.
// The distance falls all the way; where it equals the hole pitch, the part is
// turned as far as it goes. The directions are angles from the pin line.
func (f *freedom) extreme(far, near float64) end {
	p := f.line.scale(f.lp)
	surplus := func(nu float64) float64 {
		x := pushed(f.g1, f.g2, f.line.rot(nu))
		return (f.lp-f.lh)*(f.lp+f.lh) + 2*p.dot(x) + x.dot(x)
	}
	for range 200 {
		mid := (far + near) / 2
		if mid == far || mid == near {
			break
		}
		if surplus(mid) > 0 {
			far = mid
		} else {
			near = mid
		}
	}
	n := f.line.rot(far)
	x := pushed(f.g1, f.g2, n)
	at := p.add(x)
	return end{
		tau: math.Atan2(f.line.cross(at), f.line.dot(at)),
		q1:  f.g1.support(n).scale(-1),
	}
}

// most is the largest movement of the part point s in direction n.
func (f *freedom) most(s, n vec) float64 {
	best := max(f.moved(s, n, f.lo), f.moved(s, n, f.hi))
	width := f.hi.tau - f.lo.tau
	if width <= 0 {
		return best
	}
	// For each rotation the optimum is exact. Over the rotation it is concave
	// but for terms of the size of lever·theta²; the grid guards against
	// those.
	value := func(tau float64) float64 {
		q1, ok := f.push(tau, n)
		if !ok {
			return math.Inf(-1)
		}
		return f.moved(s, n, end{tau, q1})
	}
	const cells = 48
	at, top := -1, math.Inf(-1)
	for i := 1; i < cells; i++ {
		if v := value(f.lo.tau + width*float64(i)/cells); v > top {
			at, top = i, v
		}
	}
	if at < 0 {
		return best
	}
	lo := f.lo.tau + width*float64(at-1)/cells
	hi := f.lo.tau + width*float64(at+1)/cells
	return max(best, top, goldenMax(value, lo, hi))
}

// moved is the movement of the part point s in direction n at a pose: with
// t = p1 + q1 - R h1, it is n·(q1 + R(s-h1) - (s-p1)).
func (f *freedom) moved(s, n vec, e end) float64 {
	h1 := vec{f.holes[0].X, f.holes[0].Y}
	p1 := vec{f.pins[0].X, f.pins[0].Y}
	r := s.sub(h1).rot(f.base + e.tau)
	return n.dot(e.q1.add(r.sub(s.sub(p1))))
}

// push gives the permitted q1 farthest in direction n at the rotation tau. Hole
// 2 then sits at q2 = q1 + delta, so q1 runs over the intersection of region 1
// with region 2 moved by -delta. Its farthest point is that of one of the two
// regions alone, or else a point where their boundaries cross.
func (f *freedom) push(tau float64, n vec) (vec, bool) {
	half := math.Sin(tau / 2)
	delta := f.line.scale(f.lh - f.lp - 2*f.lh*half*half).add(f.line.perp().scale(f.lh * math.Sin(tau)))
	// Rounding of the distances compared in excess.
	tol := 1e-14 * (f.g1.rho + f.g2.rho)
	if q := f.g1.support(n); f.g2.excess(q.add(delta)) <= tol {
		return q, true
	}
	if q := f.g2.support(n).sub(delta); f.g1.excess(q) <= tol {
		return q, true
	}
	var best vec
	found := false
	for _, a := range f.g1.circles() {
		for _, b := range f.g2.circles() {
			b.centre = b.centre.sub(delta)
			for _, q := range intersect(a, b) {
				if f.g1.excess(q) > tol || f.g2.excess(q.add(delta)) > tol {
					continue
				}
				if !found || n.dot(q) > n.dot(best) {
					best, found = q, true
				}
			}
		}
	}
	return best, found
}

// goldenMax returns the largest value met in a golden-section search.
func goldenMax(f func(float64) float64, lo, hi float64) float64 {
	const g = 0.6180339887498949
	a, b := hi-g*(hi-lo), lo+g*(hi-lo)
	fa, fb := f(a), f(b)
	best := max(fa, fb)
	for range 90 {
		if fa < fb {
			lo, a, fa = a, b, fb
			b = lo + g*(hi-lo)
			fb = f(b)
		} else {
			hi, b, fb = b, a, fa
			a = hi - g*(hi-lo)
			fa = f(a)
		}
		best = max(best, fa, fb)
	}
	return best
}
