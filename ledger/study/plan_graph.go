package study

import (
	"cmp"
	"slices"

	"tenths/calc/order"
	"tenths/ledger"
)

// maxOperations is how many operations of a plan are looked at; no shop has a plan of
// a tenth of that.
const maxOperations = 2000

// PlanGraph is a plan seen as a graph: which operation makes, cuts, locates on, alters
// and checks which feature of the part. All that is asked of the order of a plan reads
// it.
type PlanGraph struct {
	Rec  *ledger.Record
	Plan *ledger.Plan
	// PartRec and Part are nil if the part is not in the ledger.
	PartRec *ledger.Record
	Part    *ledger.Part
	Ops     []PlanOp
	// Names are the features by their number in Problem: first those that locate, in
	// the order of their first use.
	Names   []string
	Problem order.Problem
	Faults  []order.Fault

	number map[string]int
	s      *Set
}

// PlanOp is an operation of a plan with what locates the part in it.
type PlanOp struct {
	*ledger.Operation
	On []LocatedOn
	// Rec and Station hold the part; nil if the plan does not lead to one.
	Rec     *ledger.Record
	Station *ledger.Station
	// coats is what the words of the operation do to the whole part.
	coats   AlteredHow
	coatsAt ledger.Span
}

// PlanGraph gives the graph of a plan; nil if the record is none.
func (s *Set) PlanGraph(rec *ledger.Record) *PlanGraph {
	plan, ok := rec.Data.(*ledger.Plan)
	if !ok {
		return nil
	}
	return s.plans.get(rec, func() *PlanGraph { return s.newPlanGraph(rec, plan) })
}

func (s *Set) newPlanGraph(rec *ledger.Record, plan *ledger.Plan) *PlanGraph {
	g := &PlanGraph{Rec: rec, Plan: plan, number: map[string]int{}, s: s}
	if r := s.L.Record(plan.Part.S); r != nil {
		if p, ok := r.Data.(*ledger.Part); ok {
			g.PartRec, g.Part = r, p
		}
	}
	for i := range plan.Operations[:min(len(plan.Operations), maxOperations)] {
		op := PlanOp{Operation: &plan.Operations[i], On: s.LocatesOn(plan, &plan.Operations[i])}
		op.Rec, op.Station = s.StationOf(plan, op.Operation)
		if op.Alters == nil {
			op.coats, op.coatsAt = allOver(op.Operation)
		}
		g.Ops = append(g.Ops, op)
		for _, on := range op.On {
			g.of(on.Feature)
		}
	}
	for i := range g.Ops {
		g.Problem.Ops = append(g.Problem.Ops, g.problemOf(&g.Ops[i]))
	}
	g.Problem.Bare = map[int]bool{}
	for n, name := range g.Names {
		if g.keptBare(name) {
			g.Problem.Bare[n] = true
		}
	}
	g.Faults = order.Faults(g.Problem)
	return g
}

// of numbers a feature.
func (g *PlanGraph) of(feature string) int {
	n, ok := g.number[feature]
	if !ok {
		n = len(g.Names)
		g.number[feature], g.Names = n, append(g.Names, feature)
	}
	return n
}

// problemOf puts an operation into the numbers of package order.
func (g *PlanGraph) problemOf(op *PlanOp) order.Operation {
	all := func(list []ledger.Text) (out []int) {
		for _, f := range list {
			out = append(out, g.of(f.S))
		}
		return out
	}
	out := order.Operation{Makes: all(op.Makes), Alters: all(op.Alters), Clear: op.Clear.B}
	for _, on := range op.On {
		out.Locates = append(out.Locates, g.of(on.Feature))
	}
	if op.Surface.Set() {
		switch op.Cut.S {
		case "rough":
			out.Roughs = []int{g.of(op.Surface.S)}
		case "finish":
			out.Finishes = []int{g.of(op.Surface.S)}
		}
	}
	for _, c := range op.Checks {
		ch := g.Characteristic(c.S)
		if ch == nil || featureNamed(g.Part, c.S) != nil {
			out.Checks = append(out.Checks, g.of(c.S))
		}
		if ch != nil {
			out.Checks, out.Needs = append(out.Checks, all(ch.Feature)...), append(out.Needs, all(ch.Datum)...)
		}
	}
	switch op.coats {
	case CoatsIt:
		out.Reach = order.ReachCoat
	case HardensIt:
		out.Reach = order.ReachAll
	}
	return out
}

// Characteristic is the one of the part with this id, nil if there is none.
func (g *PlanGraph) Characteristic(id string) *ledger.Characteristic {
	if g.Part == nil {
		return nil
	}
	for i := range g.Part.Characteristic {
		if g.Part.Characteristic[i].ID.S == id {
			return &g.Part.Characteristic[i]
		}
	}
	return nil
}

// keptBare reports whether the part says that the coating stays off a feature.
func (g *PlanGraph) keptBare(feature string) bool {
	if g.Part == nil {
		return false
	}
	if speaksOfMasking(g.Part.Coating.S) {
		return true
	}
	f := featureNamed(g.Part, feature)
	return f != nil && masked(g.Part, *f)
}

func (g *PlanGraph) locates(feature string, i int) bool {
	return slices.ContainsFunc(g.Ops[i].On, func(u LocatedOn) bool { return u.Feature == feature })
}

func (g *PlanGraph) makes(feature string, i int) bool { return contains(g.Ops[i].Makes, feature) }

// contains reports whether a list of texts holds a name.
func contains(list []ledger.Text, name string) bool {
	return slices.ContainsFunc(list, func(t ledger.Text) bool { return t.S == name })
}

// maker is the number of the operation that makes a feature as it stays: the last
// that makes it or finishes its surface; -1 if none does.
func (g *PlanGraph) maker(feature string) int {
	for i := len(g.Ops) - 1; i >= 0; i-- {
		if op := g.Ops[i]; g.makes(feature, i) || op.Cut.S == "finish" && op.Surface.S == feature {
			return i
		}
	}
	return -1
}

// checks reports whether operation i checks a feature, or a characteristic of it.
func (g *PlanGraph) checks(feature string, i int) bool {
	n, known := g.number[feature]
	return known && slices.Contains(g.Problem.Ops[i].Checks, n)
}

// checked reports whether the feature, or a characteristic of it, is checked by
// operation i or a later one up to the next use.
func (g *PlanGraph) checked(feature string, i, next int) bool {
	for k := i; k <= next; k++ {
		if g.checks(feature, k) {
			return true
		}
	}
	return false
}

// fit is the clearance of the feature on its locator in operation i.
func (g *PlanGraph) fit(feature string, i int) (r Range) {
	op := &g.Ops[i]
	if op.Station == nil {
		return r
	}
	for _, p := range g.s.Locating(op.Rec, op.Station).Pins {
		if p.sized && p.Feature.ID.S == feature {
			low, err1 := p.Hole.Min.Sub(p.Pin.Max)
			high, err2 := p.Hole.Max.Sub(p.Pin.Min)
			if err1 == nil && err2 == nil {
				return Range{low, high}
			}
		}
	}
	return r
}

// LateMaker is an operation that makes features on which operations before it locate.
type LateMaker struct {
	Maker *ledger.Operation
	Uses  []LateUse
}

// LateUse is one of them.
type LateUse struct {
	Op     *ledger.Operation
	On     LocatedOn
	MadeAt ledger.Span
}

// LateMakers lists the operations that make a feature, as the first that does, behind
// one that locates on it, in the order in which they are first missed.
func (g *PlanGraph) LateMakers() []LateMaker {
	var out []LateMaker
	for _, f := range g.Faults {
		if f.Kind != order.Located {
			continue
		}
		maker, op := g.Ops[f.Other].Operation, &g.Ops[f.Op]
		k := slices.IndexFunc(out, func(l LateMaker) bool { return l.Maker == maker })
		if k < 0 {
			out, k = append(out, LateMaker{Maker: maker}), len(out)
		}
		u := LateUse{Op: op.Operation, MadeAt: spanIn(maker.Makes, g.Names[f.Feature])}
		for _, on := range op.On {
			if on.Feature == g.Names[f.Feature] {
				u.On = on
				break
			}
		}
		out[k].Uses = append(out[k].Uses, u)
	}
	return out
}

// spanIn is where a list names something.
func spanIn(list []ledger.Text, name string) ledger.Span {
	if k := slices.IndexFunc(list, func(t ledger.Text) bool { return t.S == name }); k >= 0 {
		return list[k].Span
	}
	return ledger.Span{}
}

// RoughedAfter is an operation that roughs a surface which one before it has finished
// and none behind it finishes again.
type RoughedAfter struct {
	Op, Finish *ledger.Operation
}

// RoughedAfter lists them.
func (g *PlanGraph) RoughedAfter() []RoughedAfter {
	var out []RoughedAfter
	for _, f := range g.Faults {
		if f.Kind == order.Roughed {
			out = append(out, RoughedAfter{g.Ops[f.Op].Operation, g.Ops[f.Other].Operation})
		}
	}
	return out
}

// changes lists what the plan changes between the uses of a locating feature without
// a check, as written in its operations.
func (g *PlanGraph) changes() []order.Fault {
	var out []order.Fault
	for _, f := range g.Faults {
		if f.Kind == order.Needed {
			out = append(out, f)
		}
	}
	slices.SortStableFunc(out, func(a, b order.Fault) int {
		return cmp.Or(cmp.Compare(a.Op, b.Op), cmp.Compare(a.How, b.How), cmp.Compare(g.place(a), g.place(b)))
	})
	return out
}

// place is where a change stands in the list of its operation that names it.
func (g *PlanGraph) place(f order.Fault) int {
	list := g.Ops[f.Op].Alters
	switch f.How {
	case order.HowMakes:
		list = g.Ops[f.Op].Makes
	case order.HowCuts:
		return 0
	case order.HowReach:
		return f.Feature
	}
	return slices.IndexFunc(list, func(t ledger.Text) bool { return t.S == g.Names[f.Feature] })
}
