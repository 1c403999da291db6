package formula

import (
	"container/heap"
	"math"
	"math/big"

	"tenths/calc/quantity"
)

// Bounds on a search for the worst case.
const (
	maxSteps = 600_000 // nodes times inputs, over all boxes; about a fifth of a second
	// closeEnough is how near the bound comes to what is really reached, as a part
	// of the range of the result, and besides smallestGap of the result itself.
	closeEnough = 1e-6
	smallestGap = 1e-10
	// closeAll is the part of the range that still counts as close where the effort
	// ran out before.
	closeAll = 1e-3
	// smallestBox is the part of its limits at which an input is not cut further.
	smallestBox = 1e-7
)

// search is the search for the range of a formula by cutting the box of its
// inputs: branch and bound with intervals (R. E. Moore, R. B. Kearfott).
type search struct {
	*study
	vars      []int // the sources that vary
	place     []int // of a source in vars; -1: it does not vary
	fixed     []ival
	constants map[*node]ival
	stands    map[*node][]bool // the sources that stand in an if
	all       []ival           // the whole box
	steps     int
	sign      float64 // 1: the greatest value is searched, -1: the least
	reached   ival    // values that are reached, as far as known
}

func (s *study) newSearch(vars []int) *search {
	z := &search{study: s, vars: vars, constants: map[*node]ival{}, stands: map[*node][]bool{}}
	for _, src := range s.sources {
		z.place = append(z.place, -1)
		z.fixed = append(z.fixed, span{src.middle, src.middle}.ival())
	}
	for i, v := range vars {
		z.place[v] = i
		z.all = append(z.all, span{s.sources[v].low, s.sources[v].high}.ival())
	}
	return z
}

// worst is the range of a formula that is neither linear nor free of inputs that
// occur twice, and the gap: how much wider it may be than what really happens.
// Where every slope keeps its sign the two corners are computed exactly. The error
// is undefined where a box remains in which the formula may have no value.
func (s *study) worst(vars []int, middle quantity.Quantity, undefined *Error) (worst span, gap quantity.Quantity, m Method, err *Error) {
	z := s.newSearch(vars)
	if rises, ok := z.steady(); ok {
		worst, err = s.corners(s.ends(vars, rises))
		return worst, gap, Corners, err
	}
	z.survey()
	z.sign = 1
	above, ok1 := z.greatest()
	z.sign, z.steps = -1, 0
	below, ok2 := z.greatest()
	if !ok1 || !ok2 {
		if undefined == nil {
			undefined = s.fail(s.root.column, "the worst case cannot be found: the formula is too involved", "split it, or take an input as exact")
		}
		return worst, gap, m, undefined
	}
	below = below.neg()
	at := func(outer, inner float64) quantity.Quantity {
		b := new(big.Rat).Sub(exactly(outer), exactly(inner))
		return inBase(exactly(outer), middle.Unit()).WithBound(b.Abs(b))
	}
	worst = span{at(below.lo, below.hi), at(above.hi, above.lo)}
	gap = inBase(exactly(max(below.width(), above.width())), middle.Unit().Difference())
	m = Searched
	if max(below.width(), above.width()) > closeAll*z.reached.width() {
		m = Enclosed
	}
	return worst, gap, m, nil
}

// inBase is a value in base units, of the kind that a unit measures.
func inBase(v *big.Rat, like quantity.Unit) quantity.Quantity {
	if !like.Point() {
		return quantity.New(v, quantity.BaseUnit(like.Dim()))
	}
	zero := quantity.New(new(big.Rat), like)
	q, err := zero.Add(quantity.New(v.Sub(v, zero.Rat()), quantity.Kelvin))
	if err != nil {
		return zero // a difference always adds to a temperature
	}
	return q
}

func exactly(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }

// survey looks at the middle and some corners for the range that is reached.
func (z *search) survey() {
	z.reached = ival{math.Inf(1), math.Inf(-1)}
	at := make([]float64, len(z.all))
	for corner := range 1 << min(len(at), 5) {
		for i, a := range z.all {
			at[i] = a.lo
			if corner>>(i%5)&1 == 1 {
				at[i] = a.hi
			}
		}
		z.look(at)
	}
	for i, a := range z.all {
		at[i] = a.middle()
	}
	z.look(at)
}

func (z *search) look(at []float64) {
	box := make([]ival, len(at))
	for i, v := range at {
		box[i] = ival{v, v}
	}
	if y, ok := z.jet(z.root, box); ok {
		z.reached = z.reached.join(y.v)
	}
}

// target is how close the search comes.
func (z *search) target() float64 {
	r := z.reached
	if r.lo > r.hi {
		return 0
	}
	return closeEnough*r.width() + max(math.Abs(r.lo), math.Abs(r.hi))*smallestGap
}

// part is a box with an upper bound of the values in it.
type part struct {
	box   []ival
	bound float64
	depth int
}

// queue has the part with the highest bound first, of equal ones the smallest.
type queue []part

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	return q[i].bound > q[j].bound || q[i].bound == q[j].bound && q[i].depth > q[j].depth
}
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)   { *q = append(*q, x.(part)) }
func (q *queue) Pop() any {
	old := *q
	p := old[len(old)-1]
	*q = old[:len(old)-1]
	return p
}

// greatest encloses the greatest value of the formula times sign: hi is never
// exceeded, lo is really reached. It is false where the formula may have no value.
func (z *search) greatest() (ival, bool) {
	reached, done := math.Inf(-1), math.Inf(-1)
	q := &queue{{box: z.all, bound: math.Inf(1)}}
	for q.Len() > 0 {
		p := heap.Pop(q).(part)
		if p.bound <= max(reached, done) {
			break // all others are below it too
		}
		if p.bound-reached <= z.target() || z.steps > maxSteps {
			done = max(done, p.bound)
			break
		}
		box, y, ok := z.narrow(p.box)
		if !ok {
			if !z.split(q, p.box, nil, math.Inf(1), p.depth) {
				return ival{}, false
			}
			continue
		}
		bound := min(p.bound, y.v.hi)
		at, centred := z.centre(box, y)
		for _, v := range at {
			reached = max(reached, v.lo)
			z.reached = z.reached.join(ival{z.sign * v.lo, z.sign * v.lo})
		}
		if bound = min(bound, centred); bound <= reached {
			done = max(done, min(bound, reached))
			continue
		}
		if !z.split(q, box, y.d, bound, p.depth) {
			done = max(done, bound)
		}
	}
	if done = max(done, reached); math.IsInf(done, 0) || math.IsInf(reached, 0) {
		return ival{}, false
	}
	return ival{reached, done}, true
}

// signed is the jet of the formula times sign.
func (z *search) signed(box []ival) (jet, bool) {
	y, ok := z.jet(z.root, box)
	if ok && z.sign < 0 {
		y = chain(y.v.neg(), []jet{y}, ival{-1, -1})
	}
	return y, ok
}

// narrow puts every input along which the formula only rises, or only falls, to
// the end with the greatest values.
func (z *search) narrow(box []ival) ([]ival, jet, bool) {
	y, ok := z.signed(box)
	for ok && y.d != nil {
		var smaller []ival
		for i, d := range y.d {
			end := 0.0
			switch {
			case box[i].point():
				continue
			case d.lo >= 0:
				end = box[i].hi
			case d.hi <= 0:
				end = box[i].lo
			default:
				continue
			}
			if smaller == nil {
				smaller = append(smaller, box...)
			}
			smaller[i] = ival{end, end}
		}
		if smaller == nil {
			break
		}
		box = smaller
		y, ok = z.signed(box)
	}
	return box, y, ok
}

// centre gives values that are reached, the first in the middle of the box, and
// the bound of the mean value form: the middle and the slopes times the distances.
func (z *search) centre(box []ival, y jet) (reached []ival, bound float64) {
	middle, toward := make([]ival, len(box)), make([]ival, len(box))
	for i, b := range box {
		m := min(max(b.middle(), b.lo), b.hi)
		middle[i], toward[i] = ival{m, m}, ival{b.hi, b.hi}
		if y.d != nil && y.d[i].middle() < 0 {
			toward[i] = ival{b.lo, b.lo}
		}
	}
	bound = math.Inf(1)
	m, ok := z.signed(middle)
	if ok {
		reached = append(reached, m.v)
		v := m.v
		for i, b := range box {
			if y.d != nil {
				v = v.add(y.d[i].mul(b.sub(middle[i])))
			}
		}
		if !math.IsNaN(v.hi) {
			bound = v.hi
		}
	}
	if e, ok := z.signed(toward); ok {
		reached = append(reached, e.v)
	}
	return reached, bound
}

// split cuts a box across the input that matters most in it; false if it is too
// small to be cut.
func (z *search) split(q *queue, box, d []ival, bound float64, depth int) bool {
	best, most := -1, 0.0
	for i, b := range box {
		whole := z.all[i].width()
		if b.point() || b.width() <= smallestBox*whole {
			continue
		}
		weight := b.width() / whole
		if d != nil {
			if by := max(math.Abs(d[i].lo), math.Abs(d[i].hi)); !math.IsInf(by, 0) {
				weight = by * b.width()
			} else {
				weight *= 1e100 // an unknown slope: by size alone, and first
			}
		}
		if weight > most {
			best, most = i, weight
		}
	}
	if best < 0 {
		return false
	}
	m := box[best].middle()
	if m <= box[best].lo || m >= box[best].hi {
		return false
	}
	for _, half := range []ival{{box[best].lo, m}, {m, box[best].hi}} {
		cut := append([]ival(nil), box...)
		cut[best] = half
		heap.Push(q, part{cut, bound, depth + 1})
	}
	return true
}
