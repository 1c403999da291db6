package locate

import "math"

// push finds, at the rotation of the board, the permitted translation farthest
// in direction n. drag is how fast the pins that stop it recede in direction n
// with the rotation. It reports false if rounding leaves no translation at all.
//
// In the plane no more than two convex sets decide a farthest point of the
// intersection of many (Helly), so it is the nearest of those of all pairs.
func (b *board) push(n vec) (t vec, drag float64, ok bool) {
	least := math.Inf(1)
	for j := range b.regs {
		for i := range j {
			tp, dp, okp := b.pushPair(i, j, n)
			if !okp {
				return vec{}, 0, false
			}
			if f := n.dot(tp); f < least {
				least, t, drag = f, tp, dp
			}
		}
	}
	return t, drag, true
}

// pushPair is push for two pins: the farthest point is that of one region alone
// or else a point where the boundaries cross.
func (b *board) pushPair(i, j int, n vec) (t vec, drag float64, ok bool) {
	gi, gj := &b.regs[i], &b.regs[j]
	tol := 1e-14 * (gi.rho + gj.rho) // rounding of the distances compared in excess
	if t = gi.support(n).sub(b.off[i]); b.excess(j, t) <= tol {
		return t, n.dot(b.swept(b.turned[i])), true
	}
	if t = gj.support(n).sub(b.off[j]); b.excess(i, t) <= tol {
		return t, n.dot(b.swept(b.turned[j])), true
	}
	var ci, cj [5]circle
	shift := b.off[j].sub(b.off[i])
	var ni, nj vec // square to the boundaries, outwards
	for _, cx := range ci[:gi.circles(&ci)] {
		for _, cy := range cj[:gj.circles(&cj)] {
			cy.centre = cy.centre.sub(shift)
			points, m := intersect(cx, cy)
			for _, q := range points[:m] {
				at := q.sub(b.off[i])
				if ok && n.dot(at) <= n.dot(t) || gi.excess(q) > tol || gj.excess(q.add(shift)) > tol {
					continue
				}
				t, ok = at, true
				ni, nj = q.sub(cx.centre), q.sub(cy.centre)
			}
		}
	}
	if !ok {
		return vec{}, 0, false
	}
	// n is a positive mixture of both; its shares are the forces of contact.
	det := ni.cross(nj)
	if det == 0 {
		return t, n.dot(b.swept(b.turned[i])), true
	}
	si, sj := n.cross(nj)/det, ni.cross(n)/det
	drag = si*ni.dot(b.swept(b.turned[i])) + sj*nj.dot(b.swept(b.turned[j]))
	return t, drag, true
}
