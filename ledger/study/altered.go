package study

import (
	"slices"
	"strings"

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
	plan, ok := rec.Data.(*ledger.Plan)
	if !ok {
		return nil
	}
	var part *ledger.Part
	if r := s.L.Record(plan.Part.S); r != nil {
		part, _ = r.Data.(*ledger.Part)
	}
	a := alterations{s: s, plan: plan, part: part, uses: make([][]LocatedOn, len(plan.Operations))}
	for i := range plan.Operations {
		a.uses[i] = s.LocatesOn(plan, &plan.Operations[i])
	}
	var out []Altered
	for i := range plan.Operations {
		op := &plan.Operations[i]
		for _, c := range a.changes(i) {
			before, after := a.lastUse(c.feature, i), a.nextUse(c.feature, i)
			if c.how == CutsIt && before == i {
				before = a.lastUse(c.feature, i-1) // a nest holds the part by what is cut in it
			}
			if before < 0 || after < 0 || a.changedAgain(c.feature, i, after) || a.checked(c.feature, i, after) {
				continue
			}
			f := AlteredFeature{Feature: c.feature, At: c.at, Fit: a.fit(c.feature, after)}
			b, n := &plan.Operations[before], &plan.Operations[after]
			k := slices.IndexFunc(out, func(o Altered) bool { return o.Op == op && o.How == c.how && o.Before == b && o.After == n })
			if k < 0 {
				out, k = append(out, Altered{Plan: rec, Op: op, How: c.how, Before: b, After: n}), len(out)
			}
			out[k].Features = append(out[k].Features, f)
		}
	}
	return out
}

type alterations struct {
	s    *Set
	plan *ledger.Plan
	part *ledger.Part // nil if it is not in the ledger
	uses [][]LocatedOn
}

type alteration struct {
	feature string
	how     AlteredHow
	at      ledger.Span
}

// changes lists what operation i changes. Words of coating and heat treatment
// concern all that locates, unless the operation says itself what it alters.
func (a *alterations) changes(i int) []alteration {
	op := &a.plan.Operations[i]
	if op.Clear.B {
		return nil
	}
	var out []alteration
	add := func(feature string, how AlteredHow, at ledger.Span) {
		if !slices.ContainsFunc(out, func(c alteration) bool { return c.feature == feature }) {
			out = append(out, alteration{feature, how, at})
		}
	}
	for _, f := range op.Alters {
		add(f.S, AltersIt, f.Span)
	}
	for _, f := range op.Makes {
		if a.madeBefore(f.S, i) {
			add(f.S, MakesAgain, f.Span)
		}
	}
	if op.Surface.Set() && (op.Cut.S == "rough" || op.Cut.S == "finish") {
		add(op.Surface.S, CutsIt, op.Surface.Span)
	}
	how, at := a.allOver(op)
	if how == "" || op.Alters != nil {
		return out
	}
	for _, uses := range a.uses[:i+1] {
		for _, u := range uses {
			if how != CoatsIt || !a.keptBare(u.Feature) {
				add(u.Feature, how, at)
			}
		}
	}
	return out
}

func (a *alterations) madeBefore(feature string, i int) bool {
	return slices.ContainsFunc(a.plan.Operations[:i], func(op ledger.Operation) bool {
		return slices.ContainsFunc(op.Makes, func(f ledger.Text) bool { return f.S == feature })
	})
}

// keptBare reports whether the part says that the coating stays off a feature.
func (a *alterations) keptBare(feature string) bool {
	if a.part == nil {
		return false
	}
	if speaksOfMasking(a.part.Coating.S) {
		return true
	}
	f := featureNamed(a.part, feature)
	return f != nil && masked(a.part, *f)
}

func (a *alterations) locates(feature string, i int) bool {
	return slices.ContainsFunc(a.uses[i], func(u LocatedOn) bool { return u.Feature == feature })
}

// lastUse is the number of the last operation up to i that locates on a feature,
// -1 if none does.
func (a *alterations) lastUse(feature string, i int) int {
	for ; i >= 0 && !a.locates(feature, i); i-- {
	}
	return i
}

// nextUse is the number of the first operation after i that locates on a feature,
// -1 if none does.
func (a *alterations) nextUse(feature string, i int) int {
	for i++; i < len(a.uses); i++ {
		if a.locates(feature, i) {
			return i
		}
	}
	return -1
}

// changedAgain reports whether an operation between i and the next use changes
// the feature too.
func (a *alterations) changedAgain(feature string, i, next int) bool {
	for k := i + 1; k < next; k++ {
		if slices.ContainsFunc(a.changes(k), func(c alteration) bool { return c.feature == feature }) {
			return true
		}
	}
	return false
}

// checked reports whether the feature, or a characteristic of it, is checked by
// operation i or a later one up to the next use.
func (a *alterations) checked(feature string, i, next int) bool {
	for _, op := range a.plan.Operations[i : next+1] {
		for _, c := range op.Checks {
			if c.S == feature || a.part != nil && slices.ContainsFunc(a.part.Characteristic, func(ch ledger.Characteristic) bool {
				return ch.ID.S == c.S && slices.ContainsFunc(ch.Feature, func(f ledger.Text) bool { return f.S == feature })
			}) {
				return true
			}
		}
	}
	return false
}

// fit is the clearance of the feature on its locator in operation i.
func (a *alterations) fit(feature string, i int) (r Range) {
	rec, st := a.s.StationOf(a.plan, &a.plan.Operations[i])
	if st == nil {
		return r
	}
	for _, p := range a.s.Locating(rec, st).Pins {
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
func (a *alterations) allOver(op *ledger.Operation) (AlteredHow, ledger.Span) {
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
