package locate

import "math"

// board holds the holes of a part over the pins of a fixture at one rotation.
// Everything is kept about the centroids of holes and pins, and the rotation
// is counted from the one that lays the holes over the pins best, so that the
// hundredths that decide do not drown in the rounding of coordinates.
//
// At the rotation base+tau hole k stands at off[k]+t from its pin, with t the
// translation of the hole centroid from the pin centroid.
type board struct {
	regs   []region
	hc, pc vec     // centroids of the holes and of the pins
	base   float64 // rotation of least squares
	turned []vec   // holes about hc, turned by base
	gap    []vec   // turned less the pin about pc

	sin, ver float64 // sine and versed sine (1 - cosine) of tau
	off      []vec
	last     basis // the answer of settle, tried first at the next rotation
	pins     []int // scratch of settle
	faces    []contact
}

func newBoard(pins []Pin, holes []Hole) *board {
	n := len(pins)
	vs := make([]vec, 3*n)
	b := &board{
		regs:   make([]region, n),
		turned: vs[:n:n], gap: vs[n : 2*n : 2*n], off: vs[2*n:],
		pins:  make([]int, 0, n),
		faces: make([]contact, 0, 20),
	}
	for k, p := range pins {
		if p.Kind == Relieved {
			b.regs[k].relieve(p.Land, p.ReliefAxis)
		}
	}
	b.lay(pins, holes)
	return b
}

// copy returns a board with state of its own.
func (b *board) copy() *board {
	c := *b
	c.regs = append([]region(nil), b.regs...)
	c.off = append([]vec(nil), b.off...)
	c.pins, c.faces = nil, nil
	return &c
}

// lay takes places and sizes. Kind, land and relief axis stay as they were.
func (b *board) lay(pins []Pin, holes []Hole) {
	n := float64(len(pins))
	b.hc, b.pc = vec{}, vec{}
	for k := range pins {
		b.hc = b.hc.add(vec{holes[k].X, holes[k].Y})
		b.pc = b.pc.add(vec{pins[k].X, pins[k].Y})
		g := &b.regs[k]
		g.r = pins[k].D / 2
		g.rho = holes[k].D / 2
		if g.relieved {
			g.h = math.Sqrt((g.r - g.half) * (g.r + g.half))
		}
	}
	b.hc, b.pc = b.hc.scale(1/n), b.pc.scale(1/n)
	// The rotation R that makes the sum of p·R h largest.
	var along, across float64
	for k := range pins {
		h := vec{holes[k].X, holes[k].Y}.sub(b.hc)
		p := vec{pins[k].X, pins[k].Y}.sub(b.pc)
		b.turned[k], b.gap[k] = h, p
		along += h.dot(p)
		across += h.cross(p)
	}
	b.base = math.Atan2(across, along)
	s, c := math.Sincos(b.base)
	for k := range pins {
		h := b.turned[k]
		b.turned[k] = h.scale(c).add(h.perp().scale(s))
		b.gap[k] = b.turned[k].sub(b.gap[k])
	}
	b.last.m = 0
	b.turn(0)
}

// turn sets the rotation to base+tau, tau no more than a quarter turn.
func (b *board) turn(tau float64) {
	b.sin = math.Sin(tau)
	b.ver = b.sin * b.sin / (1 + math.Sqrt((1-b.sin)*(1+b.sin)))
	for k, h := range b.turned {
		b.off[k] = b.gap[k].add(h.perp().scale(b.sin)).sub(h.scale(b.ver))
	}
}

// widen makes all holes larger in radius.
func (b *board) widen(by float64) {
	for k := range b.regs {
		b.regs[k].rho += by
	}
	b.last.m = 0
}

// carried is a vector of the part, already turned by base, at the rotation;
// swept is how fast it moves with the rotation.
func (b *board) carried(h vec) vec {
	return h.scale(1 - b.ver).add(h.perp().scale(b.sin))
}

func (b *board) swept(h vec) vec { return b.carried(h).perp() }

// excess is how far pin k lies outside its permission at the translation t.
func (b *board) excess(k int, t vec) float64 { return b.regs[k].excess(b.off[k].add(t)) }

// worst is the pin that lies farthest outside, and how far.
func (b *board) worst(t vec) (at int, v float64) {
	v = math.Inf(-1)
	for k := range b.regs {
		if e := b.excess(k, t); e > v {
			at, v = k, e
		}
	}
	return at, v
}

// size is the distance of the farthest hole from the middle of all.
func (b *board) size() float64 {
	var most float64
	for _, h := range b.turned {
		most = max(most, h.len())
	}
	return most
}
