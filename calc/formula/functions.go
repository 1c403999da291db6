package formula

import (
	"fmt"
	"go/token"
	"math/big"
	"slices"
	"strings"

	"tenths/calc/quantity"
)

// function is an operator or a named function: its value, its slopes and its
// range, each with the checks of dimension and domain that it needs.
type function struct {
	name, usage string
	least, most int // number of arguments; most 0: any number

	// value computes the function, or complains about an argument.
	value func(args []quantity.Quantity) (quantity.Quantity, error)
	// slopes are the partial derivatives at args, where y is the value; the zero
	// Quantity stands for 0. A complaint says why there is no slope.
	slopes func(args []quantity.Quantity, y quantity.Quantity) ([]quantity.Quantity, error)
	// reach is the range over independent ranges of the arguments.
	reach func(args []span) (span, error)
	// linear reports whether the function is linear over the ranges of args,
	// in the toleranced inputs; nil: never.
	linear func(args []dual) bool
	// points reports whether a temperature is allowed as an argument.
	points bool
	// folds reports whether the slope can change over the ranges of args; nil: it
	// is smooth.
	folds func(args []span) bool

	// conditions is how many of the arguments, the first ones, are conditions.
	conditions int
	// holds makes the function a comparison: it says whether it holds for two
	// values whose difference has a sign from low to high.
	holds func(low, high int) truth
	// joins makes the function one of conditions.
	joins func(a, b truth) truth
}

// count is the number of arguments in words.
func (f *function) count() string {
	switch {
	case f.most == 0:
		return fmt.Sprintf("at least %d arguments", f.least)
	case f.most == 1:
		return "1 argument"
	}
	return fmt.Sprintf("%d arguments", f.most)
}

// operators are the binary operators of the grammar.
var operators = map[token.Token]*function{
	token.ADD: {name: "+", value: add, slopes: constantSlopes(1, 1), reach: reachAdd, linear: allAffine, points: true},
	token.SUB: {name: "-", value: subtract, slopes: constantSlopes(1, -1), reach: reachSub, linear: allAffine, points: true},
	token.MUL: {name: "*", value: multiply, slopes: slopesMul, reach: reachMul, linear: linearMul},
	token.QUO: {name: "/", value: divide, slopes: slopesDiv, reach: reachDiv, linear: linearDiv},

	token.LSS:  {name: "<", holds: less, points: true},
	token.GTR:  {name: ">", holds: func(lo, hi int) truth { return less(-hi, -lo) }, points: true},
	token.LEQ:  {name: "<=", holds: func(lo, hi int) truth { return -less(-hi, -lo) }, points: true},
	token.GEQ:  {name: ">=", holds: func(lo, hi int) truth { return -less(lo, hi) }, points: true},
	token.EQL:  {name: "==", holds: equal, points: true},
	token.NEQ:  {name: "!=", holds: func(lo, hi int) truth { return -equal(lo, hi) }, points: true},
	token.LAND: {name: "&&", conditions: 2, joins: func(a, b truth) truth { return min(a, b) }},
	token.LOR:  {name: "||", conditions: 2, joins: func(a, b truth) truth { return max(a, b) }},
}

// not turns a condition round.
var not = &function{name: "!", conditions: 1, joins: func(a, _ truth) truth { return -a }}

// negate is the minus sign.
var negate = &function{name: "-", value: minus, slopes: constantSlopes(-1), reach: reachNeg, linear: allAffine}

// Two functions that are read in a way of their own.
var (
	powFunction = &function{name: "pow", usage: "pow(a, 2)", least: 2, most: 2, value: pow, slopes: slopesPow, reach: reachPow, linear: linearPow}
	ifFunction  = &function{name: "if", usage: ifUsage, least: 3, most: 3, conditions: 1, points: true}
)

// functions are the named functions of the grammar.
var functions = byName(
	&function{name: "abs", usage: "abs(a)", least: 1, most: 1, value: abs, slopes: slopesAbs, reach: reachAbs, linear: linearAbs, folds: foldsAbs},
	&function{name: "min", usage: "min(a, b)", least: 2, value: least, slopes: slopesChosen, reach: reachMin, linear: linearMin, folds: foldsMin},
	&function{name: "max", usage: "max(a, b)", least: 2, value: greatest, slopes: slopesChosen, reach: reachMax, linear: linearMax, folds: foldsMax},
	&function{name: "sqrt", usage: "sqrt(a)", least: 1, most: 1, value: sqrt, slopes: slopesSqrt, reach: reachSqrt},
	&function{name: "hypot", usage: "hypot(a, b)", least: 2, most: 2, value: hypot, slopes: slopesHypot, reach: reachHypot},
	powFunction, ifFunction,
	&function{name: "sin", usage: "sin(30*deg)", least: 1, most: 1, value: sin, slopes: slopesSin, reach: reachSin},
	&function{name: "cos", usage: "cos(30*deg)", least: 1, most: 1, value: cos, slopes: slopesCos, reach: reachCos},
	&function{name: "tan", usage: "tan(30*deg)", least: 1, most: 1, value: tan, slopes: slopesTan, reach: reachTan},
	&function{name: "asin", usage: "asin(a/b)", least: 1, most: 1, value: asin, slopes: slopesAsin, reach: reachAsin},
	&function{name: "acos", usage: "acos(a/b)", least: 1, most: 1, value: acos, slopes: slopesAcos, reach: reachAcos},
	&function{name: "atan", usage: "atan(a/b)", least: 1, most: 1, value: atan, slopes: slopesAtan, reach: reachRising(atan)},
	&function{name: "atan2", usage: "atan2(rise, run)", least: 2, most: 2, value: atan2, slopes: slopesAtan2, reach: reachAtan2},
)

func byName(fs ...*function) map[string]*function {
	m := make(map[string]*function, len(fs))
	for _, f := range fs {
		m[f.name] = f
	}
	return m
}

func functionNames() string {
	var names []string
	for n := range functions {
		names = append(names, n)
	}
	slices.Sort(names)
	return strings.Join(names, ", ")
}

// plain is an exact plain number.
func plain(n int64) quantity.Quantity { return quantity.New(big.NewRat(n, 1), quantity.One) }

// sameDim complains about the first argument whose dimension is not that of
// the first.
func sameDim(name string, args []quantity.Quantity) error {
	for i, a := range args {
		if a.Dim() != args[0].Dim() {
			return complain(i, unitHint(args[0], a), "%s compares %s with %s", name, article(args[0].Kind()), article(a.Kind()))
		}
	}
	return nil
}

// unitHint helps where one side is a bare number.
func unitHint(a, b quantity.Quantity) string {
	if (a.Dim() == quantity.Number) == (b.Dim() == quantity.Number) {
		return ""
	}
	for _, q := range []quantity.Quantity{a, b} {
		switch q.Dim() {
		case quantity.Length:
			return "a number takes its unit, like 0.5*in"
		case quantity.Angle:
			return "a number takes its unit, like 0.5*deg"
		case quantity.TemperatureDifference:
			return "a number takes its unit, like 5*dF"
		}
	}
	return "both sides must have the same dimension"
}

func add(a []quantity.Quantity) (quantity.Quantity, error) { return summed(a, quantity.Quantity.Add) }

func subtract(a []quantity.Quantity) (quantity.Quantity, error) {
	return summed(a, quantity.Quantity.Sub)
}

func summed(a []quantity.Quantity, op func(a, b quantity.Quantity) (quantity.Quantity, error)) (quantity.Quantity, error) {
	q, err := op(a[0], a[1])
	if err != nil {
		hint := unitHint(a[0], a[1])
		if a[0].Unit().Point() || a[1].Unit().Point() {
			hint = "temperatures only subtract from each other, like t - 68*F, and take differences, like t + 5*dF"
		}
		return q, complain(-1, hint, "%v", err)
	}
	return q, nil
}

func minus(a []quantity.Quantity) (quantity.Quantity, error) { return a[0].Neg(), nil }

func multiply(a []quantity.Quantity) (quantity.Quantity, error) { return a[0].Mul(a[1]), nil }

func divide(a []quantity.Quantity) (quantity.Quantity, error) {
	q, err := a[0].Div(a[1])
	if err != nil {
		return q, complain(-1, "", "%v", err)
	}
	return q, nil
}

func constantSlopes(ks ...int64) func([]quantity.Quantity, quantity.Quantity) ([]quantity.Quantity, error) {
	return func([]quantity.Quantity, quantity.Quantity) ([]quantity.Quantity, error) {
		out := make([]quantity.Quantity, len(ks))
		for i, k := range ks {
			out[i] = plain(k)
		}
		return out, nil
	}
}

func slopesMul(a []quantity.Quantity, _ quantity.Quantity) ([]quantity.Quantity, error) {
	return []quantity.Quantity{a[1], a[0]}, nil
}

// slopesDiv: d(a/b) = da/b - (a/b)/b db.
func slopesDiv(a []quantity.Quantity, y quantity.Quantity) ([]quantity.Quantity, error) {
	one, err1 := plain(1).Div(a[1])
	two, err2 := y.Div(a[1])
	if err1 != nil || err2 != nil {
		return nil, complain(-1, "", "the slope is infinite where the divisor is zero")
	}
	return []quantity.Quantity{one, two.Neg()}, nil
}

func reachAdd(a []span) (span, error) { return ends(add, a[0].lo, a[1].lo, a[0].hi, a[1].hi) }

func reachSub(a []span) (span, error) { return ends(subtract, a[0].lo, a[1].hi, a[0].hi, a[1].lo) }

func reachNeg(a []span) (span, error) { return span{a[0].hi.Neg(), a[0].lo.Neg()}, nil }

func reachMul(a []span) (span, error) { return hullOf(multiply, a[0], a[1]) }

func reachDiv(a []span) (span, error) {
	if a[1].contains(0) {
		return span{}, complain(-1, "", "the divisor can be zero: it lies between %s", a[1])
	}
	return hullOf(divide, a[0], a[1])
}

func allAffine(args []dual) bool {
	for _, a := range args {
		if !a.affine {
			return false
		}
	}
	return true
}

func linearMul(a []dual) bool {
	return a[0].affine && a[1].affine && (a[0].fixed() || a[1].fixed())
}

func linearDiv(a []dual) bool { return a[0].affine && a[1].fixed() }
