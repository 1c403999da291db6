// Package order judges the order of operations that make a part: what must be made
// before it is used, what must not be changed while it is still used, and which
// order is legal if the given one is not.
//
// Operations and features are numbers from 0 on. The rules are those of the trade:
// a feature is made before a part is located on it, before it is altered and before
// it is measured (cause and effect); all roughing of a surface comes before its last
// finishing cut, and a locating feature is not changed between two uses unless it is
// measured again (common practice; trade books on tool design and process planning
// say the same, from memory).
package order

import (
	"cmp"
	"slices"
)

// Operation is what one operation does to features. A feature that no operation
// makes comes with the blank.
type Operation struct {
	Makes    []int
	Locates  []int // hold the part in it
	Alters   []int
	Roughs   []int
	Finishes []int
	Checks   []int
	Needs    []int // must be there for its checks, such as datum features
	// Reach says whether the operation changes the whole part.
	Reach Reach
	// Clear says that nothing it changes is where locators touch.
	Clear bool
}

// Reach is how far an operation changes the part beyond what it names.
type Reach int

// The reaches.
const (
	ReachNamed Reach = iota // what it names
	ReachCoat               // every feature but those that are kept bare
	ReachAll                // every feature
)

// Problem is a list of operations in an order, and the features that a coating is
// kept off.
type Problem struct {
	Ops  []Operation
	Bare map[int]bool
}

// Kind is what is wrong with an order, or why one operation comes before another.
type Kind int

// The kinds.
const (
	Located Kind = iota // a feature locates the part
	Altered             // is altered
	Checked             // is checked, or is the datum of a check
	Roughed             // is roughed, and finished behind that
	Needed              // is changed only when the last use is over, or before the first
	Again               // is worked on again, in the order in which that was written
)

// How says in what way an operation changes a feature.
type How int

// The ways, the strongest first.
const (
	HowAlters How = iota
	HowMakes      // makes a feature that was there
	HowCuts       // roughs or finishes it
	HowReach      // reaches the whole part
)

// Fault is a place where the order is not legal.
type Fault struct {
	Kind    Kind
	Op      int // the operation that stands wrong
	Feature int
	// Other is the operation that should come first: the maker of the feature, or
	// the finishing cut. Of a change of a locating feature it is the last use up to
	// the change, and Next the use after it.
	Other, Next int
	How         How
}

// index holds, for each feature, the operations that do something to it.
type index struct {
	Problem
	uses  map[int]*uses
	reach [2][]int // operations of ReachCoat and more, of ReachAll
}

type uses struct {
	makes, locates, alters, roughs, finishes, checks []int
	changes                                          []change // named ones
}

type change struct {
	op  int
	how How
}

func newIndex(p Problem) *index {
	x := &index{Problem: p, uses: map[int]*uses{}}
	add := func(list *[]int, i int) {
		if n := len(*list); n == 0 || (*list)[n-1] != i {
			*list = append(*list, i)
		}
	}
	for i := range p.Ops {
		op := &p.Ops[i]
		for _, f := range op.Makes {
			add(&x.of(f).makes, i)
		}
		for _, f := range op.Locates {
			add(&x.of(f).locates, i)
		}
		for _, f := range op.Alters {
			add(&x.of(f).alters, i)
		}
		for _, f := range op.Roughs {
			add(&x.of(f).roughs, i)
		}
		for _, f := range op.Finishes {
			add(&x.of(f).finishes, i)
		}
		for _, f := range op.Checks {
			add(&x.of(f).checks, i)
		}
		if op.Clear {
			continue
		}
		if op.Reach >= ReachCoat {
			x.reach[0] = append(x.reach[0], i)
		}
		if op.Reach == ReachAll {
			x.reach[1] = append(x.reach[1], i)
		}
		x.named(i)
	}
	return x
}

// named notes the features that operation i changes by name, each once and in the
// strongest way.
func (x *index) named(i int) {
	op := &x.Ops[i]
	note := func(f int, how How) {
		u := x.of(f)
		if n := len(u.changes); n == 0 || u.changes[n-1].op != i {
			u.changes = append(u.changes, change{i, how})
		}
	}
	for _, f := range op.Alters {
		note(f, HowAlters)
	}
	for _, f := range op.Makes {
		if x.of(f).makes[0] < i {
			note(f, HowMakes)
		}
	}
	for _, f := range slices.Concat(op.Roughs, op.Finishes) {
		note(f, HowCuts)
	}
}

func (x *index) of(f int) *uses {
	u := x.uses[f]
	if u == nil {
		u = &uses{}
		x.uses[f] = u
	}
	return u
}

// features lists them from the smallest number on.
func (x *index) features() []int {
	out := make([]int, 0, len(x.uses))
	for f := range x.uses {
		out = append(out, f)
	}
	slices.Sort(out)
	return out
}

// madeBy is the operation whose making of f operation i would have needed and does
// not have: the first that makes it, if that comes later; -1 if there is nothing to
// ask.
func (x *index) madeBy(f, i int) int {
	if u := x.uses[f]; u != nil && len(u.makes) > 0 && u.makes[0] > i {
		return u.makes[0]
	}
	return -1
}

// Faults lists what is wrong with the order, operation by operation: features that
// are located on, altered or checked before they are made; roughing that no finishing
// cut follows though one came before; and changes of a locating feature between two
// uses without a check of it from the change up to the next use. Of several such
// changes before the same use the last counts.
func Faults(p Problem) []Fault {
	x := newIndex(p)
	var out []Fault
	for i := range p.Ops {
		op := &p.Ops[i]
		for _, ask := range []struct {
			kind Kind
			of   []int
		}{{Located, op.Locates}, {Altered, op.Alters}, {Checked, op.Checks}, {Checked, op.Needs}} {
			for _, f := range ask.of {
				if m := x.madeBy(f, i); m >= 0 {
					out = append(out, Fault{Kind: ask.kind, Op: i, Feature: f, Other: m})
				}
			}
		}
		for _, f := range op.Roughs {
			fin := x.of(f).finishes
			if last := before(fin, i); last >= 0 && fin[len(fin)-1] < i {
				out = append(out, Fault{Kind: Roughed, Op: i, Feature: f, Other: last})
			}
		}
	}
	for _, f := range x.features() {
		for _, g := range x.gaps(f) {
			if g.fault() {
				last := g.changes[len(g.changes)-1]
				out = append(out, Fault{Kind: Needed, Op: last.op, Feature: f, Other: g.from, Next: g.to, How: last.how})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Fault) int { return cmp.Compare(a.Op, b.Op) })
	seen := map[Fault]bool{}
	return slices.DeleteFunc(out, func(f Fault) bool {
		again := seen[f]
		seen[f] = true
		return again
	})
}

// before is the last of a sorted list below i, -1 if none is.
func before(list []int, i int) int {
	k, _ := slices.BinarySearch(list, i)
	if k == 0 {
		return -1
	}
	return list[k-1]
}

// gap is what happens to a feature between two uses of it.
type gap struct {
	from, to int // operations; from -1 before the first use, to -1 behind the last
	changes  []change
	check    int // the first check at or behind the last change, up to the next use; -1 without one
}

func (g gap) fault() bool { return g.changes != nil && g.from >= 0 && g.to >= 0 && g.check < 0 }

// gaps lists what happens to a feature before, between and behind its uses. What cuts
// the feature that holds the part in the same operation (a nest) stands in the gap
// before that use as well as behind it, and only counts for an earlier one.
func (x *index) gaps(f int) []gap {
	u := x.uses[f]
	changes := x.changesOf(f)
	if len(changes) == 0 || len(u.locates) == 0 {
		return nil
	}
	var out []gap
	k := 0
	for n := 0; n <= len(u.locates); n++ {
		g := gap{from: -1, to: -1, check: -1}
		if n > 0 {
			g.from = u.locates[n-1]
		}
		end := len(x.Ops)
		if n < len(u.locates) {
			g.to, end = u.locates[n], u.locates[n]
		}
		for ; k < len(changes) && changes[k].op < end; k++ {
			g.changes = append(g.changes, changes[k])
		}
		if g.changes == nil {
			continue
		}
		last := g.changes[len(g.changes)-1]
		if last.how == HowCuts && last.op == g.from {
			g.from = before(u.locates, g.from)
		}
		if c, _ := slices.BinarySearch(u.checks, last.op); c < len(u.checks) && g.to >= 0 && u.checks[c] <= g.to {
			g.check = u.checks[c]
		}
		out = append(out, g)
	}
	return out
}

// changesOf joins the changes by name with those that reach the whole part; of one
// operation the name counts.
func (x *index) changesOf(f int) []change {
	u := x.uses[f]
	all := x.reach[0]
	if x.Bare[f] {
		all = x.reach[1]
	}
	if len(u.locates) == 0 || len(all) == 0 {
		return u.changes
	}
	out := make([]change, 0, len(all)+len(u.changes))
	named := u.changes
	for _, i := range all {
		for len(named) > 0 && named[0].op < i {
			out, named = append(out, named[0]), named[1:]
		}
		if len(named) == 0 || named[0].op != i {
			out = append(out, change{i, HowReach})
		}
	}
	return append(out, named...)
}
