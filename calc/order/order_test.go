package order_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"tenths/calc/order"
)

const (
	face = iota
	h1
	h2
	outline
	saddle
)

// TestPlates is an invented plate in four orders. What is a fault is common practice:
// locating holes first, in one clamping with their seating face; edges broken when no
// station needs the holes any more.
func TestPlates(t *testing.T) {
	faceIt := order.Operation{Makes: []int{face}}
	holes := order.Operation{Locates: []int{face}, Makes: []int{h1, h2}, Checks: []int{h1, h2}}
	rough := order.Operation{Locates: []int{h1, h2}, Roughs: []int{outline}}
	finish := order.Operation{Locates: []int{h1, h2}, Makes: []int{outline}, Finishes: []int{outline}}
	bore := order.Operation{Locates: []int{h1, h2}, Makes: []int{saddle}}
	edges := order.Operation{Alters: []int{h1, h2}}
	for _, c := range []struct {
		name   string
		ops    []order.Operation
		faults []order.Fault
		legal  []int
	}{
		{"as it should be", []order.Operation{faceIt, holes, rough, finish, bore, edges}, nil, []int{0, 1, 2, 3, 4, 5}},
		{"edges before the last station", []order.Operation{faceIt, holes, rough, finish, edges, bore}, []order.Fault{
			{Kind: order.Needed, Op: 4, Feature: h1, Other: 3, Next: 5}, {Kind: order.Needed, Op: 4, Feature: h2, Other: 3, Next: 5}}, []int{0, 1, 2, 3, 5, 4}},
		{"holes last", []order.Operation{faceIt, rough, finish, holes}, []order.Fault{
			{Kind: order.Located, Op: 1, Feature: h1, Other: 3}, {Kind: order.Located, Op: 1, Feature: h2, Other: 3},
			{Kind: order.Located, Op: 2, Feature: h1, Other: 3}, {Kind: order.Located, Op: 2, Feature: h2, Other: 3}}, []int{0, 3, 1, 2}},
		{"rough after finish", []order.Operation{faceIt, holes, finish, rough}, []order.Fault{{Kind: order.Roughed, Op: 3, Feature: outline, Other: 2}}, []int{0, 1, 3, 2}},
		{"coated between, holes not kept bare", []order.Operation{faceIt, holes, rough, finish, {Reach: order.ReachCoat}, bore}, []order.Fault{
			{Kind: order.Needed, Op: 4, Feature: h1, Other: 3, Next: 5, How: order.HowReach}, {Kind: order.Needed, Op: 4, Feature: h2, Other: 3, Next: 5, How: order.HowReach}}, []int{0, 1, 2, 3, 5, 4}},
		{"edges between, holes checked behind them", []order.Operation{faceIt, holes, rough, finish, edges, {Locates: []int{h1, h2}, Checks: []int{h1, h2}}}, nil, []int{0, 1, 2, 3, 4, 5}},
		{"a nest that holds by what it cuts", []order.Operation{{Makes: []int{outline}}, {Locates: []int{outline}, Finishes: []int{outline}}, {Locates: []int{outline}}}, nil, []int{0, 1, 2}},
	} {
		p := order.Problem{Ops: c.ops}
		assert.Equal(t, c.faults, nilled(order.Faults(p)), c.name)
		got, circle, ok := order.Legal(p)
		assert.True(t, ok, c.name)
		assert.Empty(t, circle, c.name)
		assert.Equal(t, c.legal, got, c.name)
	}
}

func nilled(f []order.Fault) []order.Fault {
	if len(f) == 0 {
		return nil
	}
	return f
}

func TestBare(t *testing.T) {
	p := order.Problem{Ops: []order.Operation{{Makes: []int{h1}}, {Locates: []int{h1}}, {Reach: order.ReachCoat}, {Locates: []int{h1}}}}
	assert.Len(t, order.Faults(p), 1)
	p.Bare = map[int]bool{h1: true}
	assert.Empty(t, order.Faults(p))
	p.Ops[2].Reach = order.ReachAll
	assert.Len(t, order.Faults(p), 1, "heat goes through a mask")
}

// TestCircle: two features that each need the other first.
func TestCircle(t *testing.T) {
	p := order.Problem{Ops: []order.Operation{{}, {Locates: []int{h1}, Makes: []int{face}}, {Locates: []int{face}, Makes: []int{h1}}}}
	_, circle, ok := order.Legal(p)
	assert.False(t, ok)
	assert.Equal(t, []int{1, 2}, circle)
}

func TestConstraints(t *testing.T) {
	p := order.Problem{Ops: []order.Operation{{Makes: []int{face}}, {Locates: []int{face}, Makes: []int{h1}, Checks: []int{h1}}, {Locates: []int{h1}, Roughs: []int{outline}},
		{Locates: []int{h1}, Finishes: []int{outline}, Makes: []int{outline}}, {Alters: []int{h1}}}}
	assert.Equal(t, []order.Constraint{
		{Before: 0, After: 1, Kind: order.Located, Feature: face}, {Before: 1, After: 2, Kind: order.Located, Feature: h1},
		{Before: 1, After: 3, Kind: order.Located, Feature: h1}, {Before: 2, After: 3, Kind: order.Roughed, Feature: outline},
		{Before: 1, After: 4, Kind: order.Altered, Feature: h1}, {Before: 3, After: 4, Kind: order.Needed, Feature: h1},
	}, order.Constraints(p))
}

// plain says by the words of the rules, without any index, whether an order is legal.
func plain(p order.Problem) bool {
	has := slices.Contains[[]int]
	made := func(f, upTo int) bool { // or nobody makes it
		some := false
		for k, op := range p.Ops {
			if has(op.Makes, f) {
				if k <= upTo {
					return true
				}
				some = true
			}
		}
		return !some
	}
	changes := func(i, f int) (yes, cut bool) {
		op := p.Ops[i]
		switch {
		case op.Clear:
			return false, false
		case has(op.Alters, f):
			return true, false
		case has(op.Makes, f) && slices.ContainsFunc(p.Ops[:i], func(o order.Operation) bool { return has(o.Makes, f) }):
			return true, false
		case has(op.Roughs, f) || has(op.Finishes, f):
			return true, true
		}
		return op.Reach == order.ReachAll || op.Reach == order.ReachCoat && !p.Bare[f], false
	}
	for i, op := range p.Ops {
		for _, f := range slices.Concat(op.Locates, op.Alters, op.Checks, op.Needs) {
			if !made(f, i) {
				return false
			}
		}
		for _, f := range op.Roughs {
			was := slices.ContainsFunc(p.Ops[:i], func(o order.Operation) bool { return has(o.Finishes, f) })
			again := slices.ContainsFunc(p.Ops[i:], func(o order.Operation) bool { return has(o.Finishes, f) })
			if was && !again {
				return false
			}
		}
		for f := range features {
			yes, cut := changes(i, f)
			if !yes {
				continue
			}
			first := i
			if cut {
				first = i - 1
			}
			used := false
			for k := 0; k <= first; k++ {
				used = used || has(p.Ops[k].Locates, f)
			}
			next := -1
			for k := len(p.Ops) - 1; k > i; k-- {
				if has(p.Ops[k].Locates, f) {
					next = k
				}
			}
			if !used || next < 0 {
				continue
			}
			fine := false
			for k := i; k <= next; k++ {
				fine = fine || has(p.Ops[k].Checks, f)
				if k > i && k < next {
					later, _ := changes(k, f)
					fine = fine || later // then that one counts
				}
			}
			if !fine {
				return false
			}
		}
	}
	return true
}

const features = 4

func problems(most int, once bool) *rapid.Generator[order.Problem] {
	some := func(t *rapid.T, name string, rare int) []int {
		var out []int
		for f := range features {
			if rapid.IntRange(0, rare).Draw(t, name) == 0 {
				out = append(out, f)
			}
		}
		return out
	}
	return rapid.Custom(func(t *rapid.T) order.Problem {
		p := order.Problem{Bare: map[int]bool{0: rapid.Bool().Draw(t, "bare")}}
		made, finished := map[int]bool{}, map[int]bool{}
		first := func(list []int, seen map[int]bool) []int {
			return slices.DeleteFunc(list, func(f int) bool {
				was := seen[f] && once
				seen[f] = true
				return was
			})
		}
		for range rapid.IntRange(0, most).Draw(t, "operations") {
			op := order.Operation{
				Makes: first(some(t, "makes", 3), made), Locates: some(t, "locates", 3), Roughs: some(t, "roughs", 9),
				Finishes: first(some(t, "finishes", 9), finished), Checks: some(t, "checks", 4), Needs: some(t, "needs", 9),
			}
			if !once {
				op.Alters, op.Clear = some(t, "alters", 5), rapid.IntRange(0, 9).Draw(t, "clear") == 0
				op.Reach = order.Reach(max(0, rapid.IntRange(-9, 2).Draw(t, "reach")))
			}
			p.Ops = append(p.Ops, op)
		}
		return p
	})
}

// TestVerdictIsThatOfTheWords holds the verdict against the plain reading of the rules,
// and an order that is offered against it too.
func TestVerdictIsThatOfTheWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := problems(7, false).Draw(t, "problem")
		if plain(p) != (len(order.Faults(p)) == 0) {
			t.Fatalf("the words say %v, the faults are %v", plain(p), order.Faults(p))
		}
		got, _, ok := order.Legal(p)
		if ok {
			sorted := slices.Clone(got)
			slices.Sort(sorted)
			for i, v := range sorted {
				if i != v {
					t.Fatalf("%v holds not every operation once", got)
				}
			}
			if len(got) != len(p.Ops) || !plain(p.In(got)) {
				t.Fatalf("offered %v, which is not legal", got)
			}
		}
		if plain(p) && (!ok || !slices.IsSorted(got)) {
			t.Fatalf("the order is legal, and %v is offered", got)
		}
	})
}

// TestEveryOrderTried: where nothing is worked on twice and no change of a feature is
// given by name, a legal order is found whenever any order is legal.
func TestEveryOrderTried(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := problems(5, true).Draw(t, "problem")
		for i := range p.Ops { // cuts of locating features are changes of them
			p.Ops[i].Clear = true
		}
		_, circle, ok := order.Legal(p)
		any := false
		permute(len(p.Ops), func(perm []int) bool { any = plain(p.In(perm)); return !any })
		if any != ok {
			t.Fatalf("a legal order exists: %v, found: %v", any, ok)
		}
		if !ok && len(circle) < 2 {
			t.Fatalf("no reason is given: %v", circle)
		}
	})
}

// permute visits the orders of n things until visit says no.
func permute(n int, visit func([]int) bool) {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	var rec func(k int) bool
	rec = func(k int) bool {
		if k == n {
			return visit(list)
		}
		for i := k; i < n; i++ {
			list[k], list[i] = list[i], list[k]
			if !rec(k + 1) {
				return false
			}
			list[k], list[i] = list[i], list[k]
		}
		return true
	}
	rec(0)
}

// TestManyOperations: a plan of any size that a record can hold is judged at once; a
// search that grows with the square of it would be seen here.
func TestManyOperations(t *testing.T) {
	const n = 20000
	p := order.Problem{Ops: make([]order.Operation, n)}
	for i := range p.Ops {
		p.Ops[i] = order.Operation{Makes: []int{i % 7}, Locates: []int{(i + 3) % 5}, Alters: []int{i % 3}, Reach: order.Reach(i % 3)}
	}
	assert.NotEmpty(t, order.Faults(p))
	assert.NotEmpty(t, order.Constraints(p))
	order.Legal(p)
}
