package locate

import "math"

// aligned is the turn, rad, under which a relief counts as lying on the line:
// what it changes is of the order of reach·turn², below 1e-14 mm.
const aligned = 1e-7

// margin is the largest m by which both hole radii can shrink with the part
// still going on.
func (pr *pair) margin() float64 {
	c1, c2 := pr.clearance(0), pr.clearance(1)
	m0 := min(c1, c2)
	gap := math.Abs(pr.lh - pr.lp)
	g1, g2 := pr.region(0, 0), pr.region(1, 0)
	switch {
	case !g1.relieved && !g2.relieved:
		return min(m0, (c1+c2-gap)/2)
	case !g1.relieved && g2.turn(pr.line) < aligned:
		return min(m0, onLine(gap, c1, m0, pr.holes[1].D/2, g2.r, g2.half))
	case !g2.relieved && g1.turn(pr.line) < aligned:
		return min(m0, onLine(gap, c2, m0, pr.holes[0].D/2, g1.r, g1.half))
	}
	if pr.slack(m0) >= 0 {
		return m0
	}
	// As if both pins were round the part goes on at lo, and a relieved pin
	// permits no less than a round one.
	lo, hi := min(m0, (c1+c2-gap)/2), m0
	for range 200 {
		mid := lo + (hi-lo)/2
		if mid <= lo || mid >= hi {
			break
		}
		if pr.slack(mid) >= 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// onLine is the closed form for a round pin of radial clearance c with a
// relieved pin on the line: the m that solves
// gap = c - m + reach(rho - m), or m0 where the pitch leaves at least that.
func onLine(gap, c, m0, rho, r, half float64) float64 {
	if c-m0+reach(rho-m0, r, 2*half) >= gap {
		return m0
	}
	a := gap - c + half
	return (half*half + (rho-r)*(rho+r) - a*a) / (2 * (a + rho))
}

// slack is how much more pitch error the pattern would stand, in the sense of
// the error it has, with both hole radii reduced by m.
func (pr *pair) slack(m float64) float64 {
	g1, g2 := pr.region(0, m), pr.region(1, m)
	if pr.lh >= pr.lp {
		d, _ := farthest(g1, g2, pr.lp, pr.line)
		return d - pr.lh
	}
	d, _ := nearest(g1, g2, pr.lp, pr.line)
	return pr.lh - d
}

// The hole centres of a part that is on its pins are apart by a vector
// P + q2 - q1 with P from pin to pin. As the regions are symmetric, q2 - q1
// runs over the sum S of the two regions, a convex set. farthest and nearest
// give the largest and smallest length of P + S, and the angle from the pin
// line of the direction in which S is pushed to get there.
//
// Both are one-variable problems on the support function h of S: the largest
// length is the maximum over directions n of n·P + h(n), the smallest that of
// n·P - h(n). Near the pin line both are concave as long as the pins do not
// overlap, so the sign of the derivative is bisected.
func farthest(g1, g2 region, lp float64, line vec) (dist, angle float64) {
	return extreme(g1, g2, lp, line, 1)
}

func nearest(g1, g2 region, lp float64, line vec) (dist, angle float64) {
	return extreme(g1, g2, lp, line, -1)
}

func extreme(g1, g2 region, lp float64, line vec, sign float64) (dist, angle float64) {
	p := line.scale(lp)
	at := func(psi float64) (vec, vec) {
		n := line.rot(psi)
		return n, p.add(pushed(g1, g2, n).scale(sign))
	}
	// Beyond this angle the pitch itself outweighs everything S can add.
	size := g1.size() + g2.size()
	hi := math.Asin(min(1, 1.01*size/lp))
	lo := -hi
	for range 100 {
		mid := (lo + hi) / 2
		if mid == lo || mid == hi {
			break
		}
		if n, x := at(mid); n.perp().dot(x) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	n, x := at(lo)
	return n.dot(x), lo
}

// pushed is the point of S farthest in direction n.
func pushed(g1, g2 region, n vec) vec { return g1.support(n).add(g2.support(n)) }

// size is the largest distance of a permitted point from the centre.
func (g *region) size() float64 {
	if g.relieved {
		return g.reach()
	}
	return g.rho - g.r
}

// binds names what sets the margin m and the pins that touch there.
func (pr *pair) binds(m float64) (Limit, []Contact) {
	// Wide enough for rounding in m, far below what could be measured.
	const same = 1e-12
	tight1, tight2 := pr.clearance(0) <= m+same, pr.clearance(1) <= m+same
	side := func(k int) Contact {
		if pr.pins[k].Kind == Relieved {
			return Contact{k + 1, LandFace}
		}
		return Contact{k + 1, RoundFace}
	}
	switch {
	case tight1 && tight2:
		return LimitBoth, []Contact{side(0), side(1)}
	case tight1:
		return LimitPin1, []Contact{side(0)}
	case tight2:
		return LimitPin2, []Contact{side(1)}
	}
	g1, g2 := pr.region(0, m), pr.region(1, m)
	return LimitPitch, []Contact{{1, g1.face(pr.line)}, {2, g2.face(pr.line)}}
}
