package order

import (
	"cmp"
	"container/heap"
	"slices"
)

// Constraint says that one operation comes before another, and why.
type Constraint struct {
	Before, After int
	Kind          Kind
	Feature       int
}

// edge is a constraint between nodes; nodes from len(Ops) on stand for "all uses up
// to here" and "all uses from here on", so that their number stays in step with what
// was written.
type edge struct {
	to      int
	kind    Kind
	feature int
}

type graph struct {
	ops  int
	next [][]edge
}

func (g *graph) node() int {
	g.next = append(g.next, nil)
	return len(g.next) - 1
}

func (g *graph) add(from, to int, kind Kind, feature int) {
	if from != to {
		g.next[from] = append(g.next[from], edge{to, kind, feature})
	}
}

// newGraph puts down what must come before what. Work that is done again on a feature
// keeps the order in which it is written. A change of a locating feature between two
// uses that is not measured again is put behind the last use; every other change
// stays where it is among the uses, with the check that makes it legal.
func newGraph(p Problem) *graph {
	x := newIndex(p)
	g := &graph{ops: len(p.Ops), next: make([][]edge, len(p.Ops))}
	for i := range p.Ops {
		op := &p.Ops[i]
		for _, ask := range []struct {
			kind Kind
			of   []int
		}{{Located, op.Locates}, {Altered, op.Alters}, {Checked, op.Checks}, {Checked, op.Needs}} {
			for _, f := range ask.of {
				makes := x.of(f).makes
				if _, here := slices.BinarySearch(makes, i); len(makes) > 0 && !here {
					g.add(makes[0], i, ask.kind, f)
				}
			}
		}
		for _, f := range op.Roughs {
			if fin := x.of(f).finishes; len(fin) > 0 {
				g.add(i, fin[len(fin)-1], Roughed, f)
			}
		}
	}
	for _, f := range x.features() {
		u := x.uses[f]
		for _, list := range [][]int{u.makes, u.finishes} {
			for k := 1; k < len(list); k++ {
				g.add(list[k-1], list[k], Again, f)
			}
		}
		g.keep(f, u.locates, x.gaps(f))
	}
	return g
}

// keep holds the changes of one locating feature to their place among its uses.
func (g *graph) keep(f int, locates []int, gaps []gap) {
	if gaps == nil {
		return
	}
	// upTo[k] comes behind the uses 0..k, from[k] before the uses k and later.
	upTo, from := make([]int, len(locates)), make([]int, len(locates))
	for k := range locates {
		upTo[k], from[k] = g.node(), g.node()
		g.add(locates[k], upTo[k], Needed, f)
		g.add(from[k], locates[k], Needed, f)
		if k > 0 {
			g.add(upTo[k-1], upTo[k], Needed, f)
			g.add(from[k-1], from[k], Needed, f)
		}
	}
	last := len(locates) - 1
	for _, gp := range gaps {
		for _, c := range gp.changes {
			k, _ := slices.BinarySearch(locates, c.op)
			own := k < len(locates) && locates[k] == c.op // a use that changes what holds it
			switch {
			case gp.fault() && own:
				// It cannot be moved behind itself: only its own words can cure that.
			case gp.fault():
				g.add(upTo[last], c.op, Needed, f)
			default:
				if k > 0 {
					g.add(upTo[k-1], c.op, Needed, f)
				}
				if own {
					k++
				}
				if k <= last {
					g.add(c.op, from[k], Needed, f)
				}
				if gp.check >= 0 && gp.from >= 0 {
					g.add(c.op, gp.check, Needed, f)
				}
			}
		}
		if gp.check >= 0 && gp.from >= 0 {
			g.add(gp.check, gp.to, Needed, f)
		}
	}
}

// Constraints lists what must come before what and why, for the order as written:
// features before their uses, roughing before finishing, and of a locating feature
// the uses before a change that is not measured again. Sorted by the later operation.
func Constraints(p Problem) []Constraint {
	x := newIndex(p)
	g := newGraph(p)
	var out []Constraint
	for i := range g.ops {
		for _, e := range g.next[i] {
			if e.to < g.ops && e.kind != Needed && e.kind != Again {
				out = append(out, Constraint{i, e.to, e.kind, e.feature})
			}
		}
	}
	for _, f := range x.features() {
		for _, gp := range x.gaps(f) {
			for _, c := range gp.changes {
				if gp.fault() {
					if last := x.uses[f].locates[len(x.uses[f].locates)-1]; last != c.op {
						out = append(out, Constraint{last, c.op, Needed, f})
					}
				} else if gp.from >= 0 && gp.to < 0 && gp.from != c.op {
					out = append(out, Constraint{gp.from, c.op, Needed, f})
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Constraint) int {
		return cmp.Or(cmp.Compare(a.After, b.After), cmp.Compare(a.Before, b.Before), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Feature, b.Feature))
	})
	return slices.Compact(out)
}

// Legal gives an order without faults that keeps as near to the written one as the
// constraints let it: at each place the first operation that may come. ok is false if
// none was found; circle then holds operations of which each must come before the
// next and the last before the first, if that is the reason. An order that breaks
// the written order of work that is done again is not looked for.
func Legal(p Problem) (order, circle []int, ok bool) {
	g := newGraph(p)
	waits := make([]int, len(g.next))
	for _, list := range g.next {
		for _, e := range list {
			waits[e.to]++
		}
	}
	ready := &intHeap{}
	var free []int // nodes that are no operations; they cost no place
	release := func(n int) {
		if n < g.ops {
			heap.Push(ready, n)
		} else {
			free = append(free, n)
		}
	}
	for n := range g.next {
		if waits[n] == 0 {
			release(n)
		}
	}
	for {
		n := -1
		if k := len(free); k > 0 {
			n, free = free[k-1], free[:k-1]
		} else if ready.Len() > 0 {
			n = heap.Pop(ready).(int)
			order = append(order, n)
		} else {
			break
		}
		for _, e := range g.next[n] {
			if waits[e.to]--; waits[e.to] == 0 {
				release(e.to)
			}
		}
	}
	if len(order) < g.ops {
		return nil, g.circle(waits), false
	}
	if len(Faults(p.In(order))) > 0 {
		return nil, nil, false
	}
	return order, nil, true
}

// circle finds a circle among the nodes that still wait, and names its operations.
func (g *graph) circle(waits []int) []int {
	prev := make([]int, len(g.next))
	for n, list := range g.next {
		if waits[n] == 0 {
			continue
		}
		for _, e := range list {
			prev[e.to] = n + 1 // any that still waits before it
		}
	}
	at := slices.IndexFunc(waits, func(w int) bool { return w > 0 })
	if at < 0 {
		return nil
	}
	// Each node that waits has one before it that waits: going back ends in a circle.
	seen := make([]bool, len(g.next))
	for !seen[at] {
		seen[at] = true
		at = prev[at] - 1
	}
	var out []int
	for n := at; ; {
		if n < g.ops {
			out = append(out, n)
		}
		if n = prev[n] - 1; n == at {
			break
		}
	}
	slices.Reverse(out)
	first := slices.Index(out, slices.Min(out))
	return slices.Concat(out[first:], out[:first])
}

// In is the same problem with its operations in another order.
func (p Problem) In(order []int) Problem {
	out := Problem{Bare: p.Bare, Ops: make([]Operation, len(order))}
	for k, i := range order {
		out.Ops[k] = p.Ops[i]
	}
	return out
}

type intHeap struct{ list []int }

func (h *intHeap) Len() int           { return len(h.list) }
func (h *intHeap) Less(i, j int) bool { return h.list[i] < h.list[j] }
func (h *intHeap) Swap(i, j int)      { h.list[i], h.list[j] = h.list[j], h.list[i] }
func (h *intHeap) Push(v any)         { h.list = append(h.list, v.(int)) }
func (h *intHeap) Pop() any {
	n := len(h.list) - 1
	v := h.list[n]
	h.list = h.list[:n]
	return v
}
