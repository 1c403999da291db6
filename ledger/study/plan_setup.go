package study

import (
	"slices"

	"tenths/calc/order"
	"tenths/ledger"
)

// Setup is a run of operations that follow each other without the part being moved:
// on one machine and one station, or on one fixture or place that has none.
type Setup struct {
	Ops []*PlanOp
	// Rec and Station hold the part; nil if the plan names none.
	Rec     *ledger.Record
	Station *ledger.Station
	// Found is the last day up to the day asked for on which the work offset was found.
	Found ledger.Date
}

// Setups lists the set-ups of a plan in their order.
func (g *PlanGraph) Setups() []Setup {
	var out []Setup
	for i := range g.Ops {
		op := &g.Ops[i]
		if k := len(out) - 1; k >= 0 {
			if last := out[k].Ops[0]; op.Fixture.Set() && op.Fixture.S == last.Fixture.S && op.Machine.S == last.Machine.S {
				out[k].Ops = append(out[k].Ops, op)
				continue
			}
		}
		st := Setup{Ops: []*PlanOp{op}, Rec: op.Rec, Station: op.Station}
		if op.Station != nil {
			b := BehindOffset{Station: op.Station}
			b.lastSet(g.s.AsOf)
			st.Found = b.Set
		}
		out = append(out, st)
	}
	return out
}

// PlanNamed finds the plan of an id as of the day asked for: of several revisions the
// one that holds then, else the newest.
func (s *Set) PlanNamed(id string) (*ledger.Record, error) {
	t, err := s.L.Find(id)
	if err != nil {
		return nil, err
	}
	best := t.Rec
	for _, rec := range s.ofKind(ledger.KindPlan) {
		p := rec.Data.(*ledger.Plan)
		if rec.ID() != best.ID() || rec.Quiet() || p.Lot.Set() || !p.From.By(s.AsOf) || p.Until.Set() && p.Until.T.Before(s.AsOf) {
			continue
		}
		if b, ok := best.Data.(*ledger.Plan); ok && (!b.From.By(s.AsOf) || p.From.T.After(b.From.T)) {
			best = rec
		}
	}
	return best, nil
}

// Reorder is an order of the operations that is legal where the written one is not.
type Reorder struct {
	Order []*PlanOp
	// Moves are the operations that stand elsewhere, as few as there can be, each with
	// the one that it now follows; nil for the first.
	Moves []OpMove
	// Circle holds operations of which each must come before the next and the last
	// before the first; then there is no legal order.
	Circle []*PlanOp
}

// OpMove is an operation that moves behind another.
type OpMove struct{ Op, Behind *PlanOp }

// Reorder looks for a legal order; nil if the written one is legal. Order is nil where
// none was found.
func (g *PlanGraph) Reorder() *Reorder {
	if len(g.Faults) == 0 {
		return nil
	}
	perm, circle, ok := order.Legal(g.Problem)
	r := &Reorder{}
	for _, i := range circle {
		r.Circle = append(r.Circle, &g.Ops[i])
	}
	if !ok {
		return r
	}
	move := map[int]bool{}
	for _, f := range g.Faults {
		switch f.Kind {
		case order.Needed, order.Roughed:
			move[f.Op] = true
		default:
			move[f.Other] = true // what makes the feature too late
		}
	}
	stay := rising(perm, move)
	for k, i := range perm {
		op := &g.Ops[i]
		if !stay[i] {
			m := OpMove{Op: op}
			if k > 0 {
				m.Behind = &g.Ops[perm[k-1]]
			}
			r.Moves = append(r.Moves, m)
		}
		r.Order = append(r.Order, op)
	}
	return r
}

// rising marks what can stay in its place: a longest rising part of a permutation, and of
// several the one that leaves out most of those that are meant to move.
func rising(perm []int, move map[int]bool) map[int]bool {
	best, prev := make([]int, len(perm)), make([]int, len(perm))
	last := -1
	for k, v := range perm {
		prev[k] = -1
		for j := range k {
			if perm[j] < v && (prev[k] < 0 || best[j] > best[prev[k]]) {
				prev[k] = j
			}
		}
		best[k] = len(perm) + 1
		if move[v] {
			best[k]--
		}
		if prev[k] >= 0 {
			best[k] += best[prev[k]]
		}
		if last < 0 || best[k] > best[last] {
			last = k
		}
	}
	stay := map[int]bool{}
	for k := last; k >= 0; k = prev[k] {
		stay[perm[k]] = true
	}
	return stay
}

// Constraint is an operation that must come before another, and why.
type Constraint struct {
	Before, After *PlanOp
	Kind          order.Kind
	Features      []string
}

// Constraints lists what must come before what, features of the same reason together
// and each once.
func (g *PlanGraph) Constraints() []Constraint {
	var out []Constraint
	for _, c := range order.Constraints(g.Problem) {
		b, a, f := &g.Ops[c.Before], &g.Ops[c.After], g.Names[c.Feature]
		if slices.ContainsFunc(out, func(o Constraint) bool { return o.Before == b && o.After == a && slices.Contains(o.Features, f) }) {
			continue // the first reason is enough
		}
		if n := len(out); n > 0 && out[n-1].Before == b && out[n-1].After == a && out[n-1].Kind == c.Kind {
			out[n-1].Features = append(out[n-1].Features, f)
			continue
		}
		out = append(out, Constraint{b, a, c.Kind, []string{f}})
	}
	return out
}
