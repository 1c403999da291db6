package locate

import (
	"math"
	"slices"
)

// contact is a face of a pin that decides: the hole centre keeps within radius
// of centre (measured from the pin centre), which is the clearance circle of a
// round pin or a land, or the circle of the hole about a land corner.
type contact struct {
	pin    int
	centre vec
	radius float64
	arc    bool // the clearance circle; of a relieved pin only where a land bears
	n      vec  // unit vector from the contact's centre to the hole centre
	share  float64
}

// basis is the answer of settle: at the translation t no pin lies farther
// outside its permission than v, and no translation does better, because the
// contacts balance: the shares are not negative, add up to one, and the sum of
// share·n is zero.
type basis struct {
	v float64
	t vec
	c [3]contact
	m int // contacts in use
}

// rounding is the error, mm, to expect in distances of the size of a hole
// radius.
const rounding = 1e-13

// settle finds, at the rotation of the board, the translation with which the
// worst pin is least far outside its permission (negative: the most room).
//
// It is the smallest enclosing circle with weights (the weighted Euclidean
// 1-centre of N. Megiddo, 1983, from memory; the method here is enumeration):
// the optimum is decided by one, two or three contacts, each subset of which
// gives one quadratic equation. A candidate that balances and leaves no pin
// worse off is the optimum, since all functions are convex. The contacts that
// decided at the last rotation are tried first; then the contact that is worst
// off is added until none is worse off. If rounding spoils that, whole pins are
// added the same way.
func (b *board) settle() *basis {
	s := &b.last
	if s.m == 0 {
		s.c[0], s.m = b.tightest(), 1
	}
	ok := b.solve(s) && s.balanced()
	if !ok {
		*s, ok = b.among(b.lands(s), 0, nil)
	}
	for range 16 {
		if !ok {
			break
		}
		k, v := b.worst(s.t)
		if v <= s.v+rounding {
			return s
		}
		faces := b.lands(s)
		old, q := len(faces), s.t.add(b.off[k])
		c := b.regs[k].touched(k, q)
		faces = b.regs[k].land(append(faces, c), c, q)
		*s, ok = b.among(faces, old, nil)
	}
	pins := s.addPins(b.pins[:0])
	for range 20 + 4*len(b.regs) {
		k, v := b.worst(s.t)
		if ok && v <= s.v+rounding {
			return s
		}
		if !slices.Contains(pins, k) {
			pins = append(pins, k)
		}
		*s = b.amongPins(pins)
		pins, ok = s.addPins(pins[:0]), true
	}
	// Pins that differ by rounding only can follow each other in circles: look
	// at all of them.
	pins = pins[:0]
	for k := range b.regs {
		pins = append(pins, k)
	}
	*s = b.amongPins(pins)
	return s
}

// lands are the contacts of s with what belongs to the same lands.
func (b *board) lands(s *basis) []contact {
	faces := b.faces[:0]
	for _, c := range s.c[:s.m] {
		faces = b.regs[c.pin].land(append(faces, c), c, s.t.add(b.off[c.pin]))
	}
	return faces
}

// tightest is the contact of the pin with the least clearance.
func (b *board) tightest() contact {
	at := 0
	for k := range b.regs {
		if b.regs[k].rho-b.regs[k].r < b.regs[at].rho-b.regs[at].r {
			at = k
		}
	}
	return contact{pin: at, radius: b.regs[at].rho - b.regs[at].r, arc: true}
}

// slope is how fast v grows with the rotation.
func (b *board) slope(s *basis) float64 {
	var d float64
	for _, c := range s.c[:s.m] {
		d += c.share * c.n.dot(b.swept(b.turned[c.pin]))
	}
	return d
}

func (s *basis) addPins(to []int) []int {
	for i, c := range s.c[:s.m] {
		if i == 0 || c.pin != s.c[0].pin && (i == 1 || c.pin != s.c[1].pin) {
			to = append(to, c.pin)
		}
	}
	return to
}

func (s *basis) balanced() bool {
	for _, c := range s.c[:s.m] {
		if c.share < -1e-9 {
			return false
		}
	}
	return true
}

// amongPins is settle for some of the pins.
func (b *board) amongPins(pins []int) basis {
	faces := b.faces[:0]
	for _, k := range pins {
		faces = b.regs[k].faces(faces, k)
	}
	b.faces = faces[:0]
	s, _ := b.among(faces, 0, pins)
	return s
}

// among finds the basis with contacts out of faces, one of them at least not
// among the first old ones. It must satisfy the pins or, if there are none, the
// faces. If rounding hides the basis it reports false with the best translation
// met.
func (b *board) among(faces []contact, old int, pins []int) (basis, bool) {
	best := basis{v: math.Inf(1)}
	for i := old; i < len(faces); i++ {
		if faces[i].arc && b.try(&best, faces, pins, i) {
			return best, true
		}
	}
	for i := old; i < len(faces); i++ {
		for j := range i {
			if faces[i].pin != faces[j].pin && b.try(&best, faces, pins, i, j) {
				return best, true
			}
		}
	}
	for i := old; i < len(faces); i++ {
		for j := range i {
			for k := range j {
				if faces[i].pin == faces[j].pin && faces[j].pin == faces[k].pin {
					continue
				}
				if b.try(&best, faces, pins, i, j, k) {
					return best, true
				}
			}
		}
	}
	best.mend()
	return best, false
}

// try puts the contacts chosen out of faces into best if they do better. It
// reports whether they are the optimum.
func (b *board) try(best *basis, faces []contact, pins []int, chosen ...int) bool {
	var s basis
	for _, i := range chosen {
		s.c[s.m] = faces[i]
		s.m++
	}
	if !b.solve(&s) || s.v > best.v+rounding {
		return false
	}
	v := math.Inf(-1)
	for _, k := range pins {
		v = max(v, b.excess(k, s.t))
	}
	if pins == nil {
		for i := range faces {
			v = max(v, b.beyond(&faces[i], s.t))
		}
	}
	if v <= s.v+rounding && s.balanced() {
		*best = s
		return true
	}
	if v < best.v {
		*best, best.v = s, v
	}
	return false
}

// beyond is how far the hole of a contact lies outside it.
func (b *board) beyond(c *contact, t vec) float64 {
	g := &b.regs[c.pin]
	q := t.add(b.off[c.pin])
	if c.arc && g.relieved && !g.landBears(q) {
		return math.Inf(-1)
	}
	return q.sub(c.centre).len() - c.radius
}

// mend makes shares that rounding has left negative balance as well as can be.
func (s *basis) mend() {
	var sum float64
	for i := range s.c[:s.m] {
		s.c[i].share = max(0, s.c[i].share)
		sum += s.c[i].share
	}
	if sum == 0 {
		return
	}
	for i := range s.c[:s.m] {
		s.c[i].share /= sum
	}
}

// faces appends the contacts that pin k can have.
func (g *region) faces(to []contact, k int) []contact {
	to = append(to, contact{pin: k, radius: g.rho - g.r, arc: true})
	if g.relieved {
		for _, s := range [4][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
			to = append(to, contact{pin: k, centre: g.corner(s[0], s[1]), radius: g.rho})
		}
	}
	return to
}

// touched is the contact of pin k that decides when the hole centre is at q.
func (g *region) touched(k int, q vec) contact {
	if !g.relieved || g.landBears(q) {
		return contact{pin: k, radius: g.rho - g.r, arc: true}
	}
	return contact{pin: k, centre: g.corner(-q.dot(g.u), -q.dot(g.u.perp())), radius: g.rho}
}

// land appends to the face of a land the two edges of the same land, for a hole
// centre at q. Together they are the whole land, and a land has a say wherever
// the hole is, while its face alone has not.
func (g *region) land(to []contact, c contact, q vec) []contact {
	if !g.relieved || !c.arc {
		return to
	}
	across := -q.dot(g.u.perp())
	return append(to,
		contact{pin: c.pin, centre: g.corner(1, across), radius: g.rho},
		contact{pin: c.pin, centre: g.corner(-1, across), radius: g.rho})
}

// solve finds the translation at which the contacts of s are equally far
// outside, with no more than the contacts themselves deciding. It reports false
// if there is none, or if a land would have to bear where it has been ground
// away.
func (b *board) solve(s *basis) bool {
	var o [3]vec
	for i, c := range s.c[:s.m] {
		o[i] = c.centre.sub(b.off[c.pin])
	}
	switch s.m {
	case 1:
		s.t, s.v = o[0], -s.c[0].radius
		s.c[0].n, s.c[0].share = vec{}, 1
		return true
	case 2:
		d := o[1].sub(o[0])
		l := d.len()
		from0 := (l + s.c[0].radius - s.c[1].radius) / 2
		if l == 0 || from0 < 0 || from0 > l {
			return false
		}
		n := d.scale(1 / l)
		s.v = (l - s.c[0].radius - s.c[1].radius) / 2
		s.t = o[0].add(n.scale(from0))
		s.c[0].n, s.c[1].n = n, n.scale(-1)
		s.c[0].share, s.c[1].share = 0.5, 0.5
	default:
		if !s.touchThree(o) {
			return false
		}
	}
	for _, c := range s.c[:s.m] {
		if g := &b.regs[c.pin]; c.arc && g.relieved && !g.landBears(s.t.add(b.off[c.pin])) {
			return false
		}
	}
	return true
}

// landBears tells whether the farthest point of the pin from the hole centre q
// is on a land and not at its edge.
func (g *region) landBears(q vec) bool {
	a, b := math.Abs(q.dot(g.u)), math.Abs(q.cross(g.u))
	return a*g.h <= b*g.half*(1+1e-12)
}

// touchThree solves |t-o| = v + radius for three contacts. With the smallest as
// origin and x = v + its radius, two equations are linear in (t, x); put into
// |t| = x they leave a quadratic for x.
func (s *basis) touchThree(o [3]vec) bool {
	z := 0
	for i := 1; i < 3; i++ {
		if s.c[i].radius < s.c[z].radius {
			z = i
		}
	}
	i, j := (z+1)%3, (z+2)%3
	d1, d2 := o[i].sub(o[z]), o[j].sub(o[z])
	e1, e2 := s.c[i].radius-s.c[z].radius, s.c[j].radius-s.c[z].radius
	det := d1.cross(d2)
	l1, l2 := d1.len(), d2.len()
	if math.Abs(det) <= 1e-12*l1*l2 {
		return false // in line: two of them decide
	}
	// t·d = k - e x for both.
	k1, k2 := (l1-e1)*(l1+e1)/2, (l2-e2)*(l2+e2)/2
	at := vec{k1*d2.y - k2*d1.y, k2*d1.x - k1*d2.x}.scale(1 / det)
	by := vec{e2*d1.y - e1*d2.y, e1*d2.x - e2*d1.x}.scale(1 / det)
	// |at + by x|² = x²
	qa, qb, qc := by.dot(by)-1, at.dot(by), at.dot(at)
	disc := qb*qb - qa*qc
	if disc < 0 {
		return false
	}
	w := -qb - math.Copysign(math.Sqrt(disc), qb)
	found := false
	for root := range 2 {
		var x float64
		if root == 0 && w != 0 {
			x = qc / w
		} else if root == 1 && qa != 0 {
			x = w / qa
		}
		if !(x > 0) || x+e1 <= 0 || x+e2 <= 0 || math.IsInf(x, 0) {
			continue
		}
		t := at.add(by.scale(x))
		var n [3]vec
		n[z] = t.scale(1 / x)
		n[i] = t.sub(d1).scale(1 / (x + e1))
		n[j] = t.sub(d2).scale(1 / (x + e2))
		share := [3]float64{n[1].cross(n[2]), n[2].cross(n[0]), n[0].cross(n[1])}
		sum := share[0] + share[1] + share[2]
		if sum == 0 {
			continue
		}
		least := math.Inf(1)
		for k := range share {
			share[k] /= sum
			least = min(least, share[k])
		}
		if found && least < -1e-9 {
			continue // the other root does as well or better
		}
		s.v = x - s.c[z].radius
		s.t = t.add(o[z])
		for k := range n {
			s.c[k].n, s.c[k].share = n[k], share[k]
		}
		found = true
	}
	return found
}
