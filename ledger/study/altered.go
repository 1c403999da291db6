package study

import (
	"slices"
	"strings"

	"tenths/calc/order"
	"tenths/ledger"
)

// Altered is an operation that changes features between the operations that
// locate on them.
type Altered struct {
	Plan *ledger.Record
	Op   *ledger.Operation
	How  AlteredHow
	// Before is the last operation up to this one that locates on the features,
	// After the next one that does.
	Before, After *ledger.Operation
	Features      []AlteredFeature
}

// AlteredHow says by what the plan says that a feature is changed.
type AlteredHow string

// The ways.
const (
	AltersIt   AlteredHow = "changes"
	MakesAgain AlteredHow = "makes anew"
	CutsIt     AlteredHow = "cuts"
	CoatsIt    AlteredHow = "coats"
	HardensIt  AlteredHow = "heat-treats"
)

// AlteredFeature is one of them.
type AlteredFeature struct {
	Feature string
	At      ledger.Span // where the plan says so
	// Fit is the clearance that it has on the locator of the next operation; zero
	// Quantities if not known.
	Fit Range
}

// Altered lists the operations of a plan that change a feature after an operation
// has located on it and before another one does, without a check of the feature
// up to that one. What the plan says to stay clear of the locators does not
// count; of several changes before the same use the last counts.
func (s *Set) Altered(rec *ledger.Record) []Altered {
	g := s.PlanGraph(rec)
	if g == nil {
		return nil
	}
	var out []Altered
	for _, c := range g.changes() {
		op, before, after := g.Ops[c.Op].Operation, g.Ops[c.Other].Operation, g.Ops[c.Next].Operation
		name := g.Names[c.Feature]
		how, at := g.howChanged(c)
		k := slices.IndexFunc(out, func(o Altered) bool { return o.Op == op && o.How == how && o.Before == before && o.After == after })
		if k < 0 {
			out, k = append(out, Altered{Plan: rec, Op: op, How: how, Before: before, After: after}), len(out)
		}
		out[k].Features = append(out[k].Features, AlteredFeature{Feature: name, At: at, Fit: g.fit(name, c.Next)})
	}
	return out
}

// howChanged says in what way an operation changes a feature, and where it says so.
func (g *PlanGraph) howChanged(c order.Fault) (AlteredHow, ledger.Span) {
	op, name := &g.Ops[c.Op], g.Names[c.Feature]
	switch c.How {
	case order.HowAlters:
		return AltersIt, spanIn(op.Alters, name)
	case order.HowMakes:
		return MakesAgain, spanIn(op.Makes, name)
	case order.HowCuts:
		return CutsIt, op.Surface.Span
	}
	return op.coats, op.coatsAt
}

// Words of operations that reach every surface of a part, and words before them
// that say that it is something else.
var (
	coatStems   = []string{"anodi", "lacquer", "varnish", "enamel", "powder-coat", "plating", "electroplat", "galvani"}
	hardenVerbs = []string{"harden", "nitride", "temper", "anneal", "carburize", "carburise", "heat-treat"}
	hardenNames = []string{"hardening", "nitriding", "tempering", "annealing", "carburizing", "carburising", "heat-treatment", "heat-treating"}
	otherwise   = []string{"before", "after", "for", "no", "not", "without", "remove", "strip", "scrape", "clean", "off", "the", "from", "check", "inspect", "measure"}
)

// allOver reads from the words of an operation whether it coats or heat-treats
// the whole part. Words of masking leave a coating to the part's own record.
func allOver(op *ledger.Operation) (AlteredHow, ledger.Span) {
	for _, t := range []ledger.Text{op.Title, op.Does} {
		if speaksOfMasking(t.S) {
			return "", ledger.Span{}
		}
		for _, c := range clauses(strings.ReplaceAll(strings.ToLower(t.S), "heat treat", "heat-treat")) {
			for i, w := range c {
				switch {
				case says(c[:i], otherwise...):
				case hasStem(w, coatStems...) && c.at(i+1) != "off":
					return CoatsIt, t.Span
				case i == 0 && slices.Contains(hardenVerbs, w), slices.Contains(hardenNames, w):
					return HardensIt, t.Span
				}
			}
		}
	}
	return "", ledger.Span{}
}
