package locate

import "math"

type vec struct{ x, y float64 }

func (a vec) add(b vec) vec       { return vec{a.x + b.x, a.y + b.y} }
func (a vec) sub(b vec) vec       { return vec{a.x - b.x, a.y - b.y} }
func (a vec) scale(f float64) vec { return vec{a.x * f, a.y * f} }
func (a vec) dot(b vec) float64   { return a.x*b.x + a.y*b.y }
func (a vec) cross(b vec) float64 { return a.x*b.y - a.y*b.x }
func (a vec) len() float64        { return math.Sqrt(a.x*a.x + a.y*a.y) } // nothing here is over tooLarge
func (a vec) perp() vec           { return vec{-a.y, a.x} }               // quarter turn counter-clockwise
func (a vec) rot(angle float64) vec {
	s, c := math.Sincos(angle)
	return a.scale(c).add(a.perp().scale(s))
}

// region is the set of hole-centre positions q, measured from the pin centre,
// that a pin permits. Round pin: the disc of radius rho-r. Relieved pin: the
// intersection of the discs of radius rho about every land point. Its boundary
// is made of arcs of the disc rho-r (contact on a land face) and of the discs
// rho about the four land corners (contact on a land edge), with a vertex
// ("tip") at each end of the relief axis. The region is symmetric about its
// centre.
type region struct {
	rho, r   float64 // hole radius, pin radius
	relieved bool
	half     float64 // half the land width
	h        float64 // height of the land corners over the relief axis
	u        vec     // unit vector along the relief axis
}

func (g *region) relieve(land, axis float64) {
	g.relieved = true
	g.half = land / 2
	// (r-half)(r+half) instead of r²-half²: no digits lost for a wide land.
	g.h = math.Sqrt((g.r - g.half) * (g.r + g.half))
	s, c := math.Sincos(axis)
	g.u = vec{c, s}
}

// turn is the angle between the relief axis and a line, folded to 0..pi/2.
func (g *region) turn(line vec) float64 {
	return math.Atan2(math.Abs(g.u.cross(line)), math.Abs(g.u.dot(line)))
}

// reach is the distance of the tip of a relieved region from its centre.
func (g *region) reach() float64 { return reach(g.rho, g.r, 2*g.half) }

// size is the largest distance of a permitted point from the centre.
func (g *region) size() float64 {
	if g.relieved {
		return g.reach()
	}
	return g.rho - g.r
}

// face tells which part of the pin the hole touches when the hole centre is
// pushed as far as it goes in direction n (unit vector).
func (g *region) face(n vec) Face {
	if !g.relieved {
		return RoundFace
	}
	a, b := math.Abs(n.dot(g.u)), math.Abs(n.cross(g.u))
	// With phi the angle of n from the relief axis: on the land while
	// phi >= 90° - asin(w/d), at the tip while phi <= atan2(h, e + w/2).
	if b*g.half >= a*g.h {
		return LandFace
	}
	if b*(g.reach()+g.half) <= a*g.h {
		return LandEdges
	}
	return LandEdge
}

// support is the point of the region farthest in direction n (unit vector).
// The region must not be empty: rho >= r.
func (g *region) support(n vec) vec {
	switch g.face(n) {
	case LandEdges:
		return g.u.scale(math.Copysign(g.reach(), n.dot(g.u)))
	case LandEdge:
		return g.corner(-n.dot(g.u), -n.dot(g.u.perp())).add(n.scale(g.rho))
	}
	return n.scale(g.rho - g.r)
}

// corner is the land corner on the side of the signs of a (along the relief
// axis) and b (across it).
func (g *region) corner(a, b float64) vec {
	return g.u.scale(math.Copysign(g.half, a)).add(g.u.perp().scale(math.Copysign(g.h, b)))
}

// excess is how far q lies outside the permission: the largest distance from q
// to a point of the pin, less the hole radius. Not positive means permitted.
func (g *region) excess(q vec) float64 {
	if !g.relieved {
		return q.len() - (g.rho - g.r)
	}
	a, b := math.Abs(q.dot(g.u)), math.Abs(q.cross(g.u))
	if a*g.h <= b*g.half { // the farthest pin point is on a land
		return q.len() - (g.rho - g.r)
	}
	return vec{a + g.half, b + g.h}.len() - g.rho
}

type circle struct {
	centre vec
	radius float64
}

// circles writes the circles whose arcs bound the region and returns their
// number.
func (g *region) circles(to *[5]circle) int {
	to[0] = circle{vec{}, g.rho - g.r}
	if !g.relieved {
		return 1
	}
	for i, s := range [4][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
		to[i+1] = circle{g.corner(s[0], s[1]), g.rho}
	}
	return 5
}

// intersect returns the points where two circles cross: none, or two, which
// coincide when the circles touch. Circles about one centre have none.
func intersect(a, b circle) (points [2]vec, n int) {
	// From the centre of the smaller circle: a clearance circle of hundredths
	// would otherwise drown in the rounding of a hole radius of tens.
	if a.radius > b.radius {
		a, b = b, a
	}
	d := b.centre.sub(a.centre)
	dist := d.len()
	if dist == 0 {
		return points, 0
	}
	along := (dist + (a.radius-b.radius)*(a.radius+b.radius)/dist) / 2
	h2 := (a.radius - along) * (a.radius + along)
	if h2 < 0 {
		// Rounding may part circles that touch; anything more is no contact.
		if h2 < -1e-14*a.radius*b.radius {
			return points, 0
		}
		h2 = 0
	}
	u := d.scale(1 / dist)
	foot := a.centre.add(u.scale(along))
	off := u.perp().scale(math.Sqrt(h2))
	return [2]vec{foot.add(off), foot.sub(off)}, 2
}
