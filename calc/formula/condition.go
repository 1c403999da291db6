package formula

import (
	"go/token"
	"math/big"

	"tenths/calc/quantity"
)

const ifUsage = "if(a < b, a, b)"

// truth is whether a condition holds; unsure where it can hold and can fail.
// They are ordered, so that "and" is the least and "or" the greatest.
type truth int

const (
	no truth = iota - 1
	unsure
	yes
)

// less is the truth of a < b where the sign of a - b goes from low to high.
func less(low, high int) truth {
	switch {
	case high < 0:
		return yes
	case low >= 0:
		return no
	}
	return unsure
}

func equal(low, high int) truth {
	switch {
	case low == 0 && high == 0:
		return yes
	case low > 0 || high < 0:
		return no
	}
	return unsure
}

// condition reports whether the node is a condition and no value.
func (n *node) condition() bool { return n.fn != nil && (n.fn.holds != nil || n.fn.joins != nil) }

// difference is the value whose sign decides a comparison.
func (n *node) difference() *node {
	return &node{column: n.column, fn: operators[token.SUB], args: n.args}
}

// settled reports whether a condition is decided by its first part alone, so that
// the second is not looked at: a != 0*mm && b/a > 2.
func (n *node) settled(first truth) bool {
	return len(n.args) < 2 || n.fn.joins(first, no) == n.fn.joins(first, yes)
}

// test says whether a condition holds for one set of values.
func (e *Expr) test(n *node, env values) (truth, *Error) {
	if n.fn.holds != nil {
		d, err := e.plain(n.difference(), env)
		if err != nil {
			return no, err
		}
		s := span{d, d}
		return n.fn.holds(s.below().Sign(), s.above().Sign()), nil
	}
	first, err := e.test(n.args[0], env)
	if err != nil || n.settled(first) {
		return n.fn.joins(first, no), err
	}
	second, err := e.test(n.args[1], env)
	return n.fn.joins(first, second), err
}

// choice is the argument of if that holds for one set of values.
func (e *Expr) choice(n *node, env values) (int, *Error) {
	t, err := e.test(n.args[0], env)
	switch {
	case err != nil:
		return 0, err
	case t == unsure:
		return 0, e.fail(n.args[0].column, "the two sides are too close to tell which is the larger", "compare values that are not computed by a root or an angle, or leave room between them")
	case t == yes:
		return 1, nil
	}
	return 2, nil
}

// units checks the dimensions of the whole formula, also of what an if leaves
// out, and gives the unit of a node.
//
// The functions check what they are given, and none of them objects to the size
// of a one; so each is tried with one of every unit.
func (e *Expr) units(n *node, env values) (quantity.Unit, *Error) {
	switch {
	case n.name != "":
		return env[n.name].Unit(), nil
	case n.fn == nil:
		return n.value.Unit(), nil
	}
	ones := make([]quantity.Quantity, len(n.args))
	for i, a := range n.args {
		u, err := e.units(a, env)
		if err != nil {
			return u, err
		}
		ones[i] = quantity.New(big.NewRat(1, 1), u)
	}
	switch {
	case n.fn.joins != nil:
		return quantity.One, nil
	case n.fn.holds != nil:
		return quantity.One, e.alike(n, n.args, ones)
	case n.fn == ifFunction:
		return ones[1].Unit(), e.alike(n, n.args[1:], ones[1:])
	case n.fn == powFunction:
		ones[1] = n.args[1].value
	}
	q, err := e.apply(n, ones)
	return q.Unit(), err
}

// alike complains about values of different kinds, the columns being those of
// args.
func (e *Expr) alike(n *node, args []*node, ones []quantity.Quantity) *Error {
	for i, q := range ones {
		if q.Dim() == ones[0].Dim() && q.Unit().Point() == ones[0].Unit().Point() {
			continue
		}
		word := " compares "
		if n.fn == ifFunction {
			word = " chooses between "
		}
		hint := unitHint(ones[0], q)
		if q.Dim() == ones[0].Dim() {
			hint = "a temperature is written like 68*F, a difference like 5*dF"
		}
		return e.fail(args[i].column, n.fn.name+word+article(ones[0].Kind())+" and "+article(q.Kind()), hint)
	}
	return nil
}
