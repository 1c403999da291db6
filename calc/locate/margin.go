package locate

import "math"

// aligned is the turn, rad, under which a relief counts as lying on the line:
// what it changes is of the order of reach·turn², below 1e-14 mm.
const aligned = 1e-7

// margin is the largest m by which both hole radii can shrink with the part
// still going on.
func (pr *pair) margin() float64 {
	if m, ok := pr.closed(); ok {
		return m
	}
	_, s := newBoard(pr.pins[:], pr.holes[:]).best()
	return -s.v
}

// closed is the margin where there is a closed form for it.
func (pr *pair) closed() (m float64, ok bool) {
	c1, c2 := pr.clearance(0), pr.clearance(1)
	m0 := min(c1, c2)
	gap := math.Abs(pr.lh - pr.lp)
	g1, g2 := pr.region(0, 0), pr.region(1, 0)
	switch {
	case !g1.relieved && !g2.relieved:
		return min(m0, (c1+c2-gap)/2), true
	case !g1.relieved && g2.turn(pr.line) < aligned:
		return min(m0, onLine(gap, c1, m0, pr.holes[1].D/2, g2.r, g2.half)), true
	case !g2.relieved && g1.turn(pr.line) < aligned:
		return min(m0, onLine(gap, c2, m0, pr.holes[0].D/2, g1.r, g1.half)), true
	}
	return 0, false
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
