package formula

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math/big"
	"slices"
	"strconv"
	"strings"

	"tenths/calc/quantity"
)

// Bounds on what a formula may hold.
const (
	maxNodes    = 500
	maxDigits   = 40
	maxExponent = 40
)

// Expr is a parsed formula. It is immutable and may be evaluated from several
// goroutines.
type Expr struct {
	text  string
	root  *node
	names []string
	where map[string]int // column of the first use of each name
	nodes int
}

// node is a constant, a free name, or a function of other nodes; operators are
// functions.
type node struct {
	column int
	value  quantity.Quantity // constant
	name   string            // free name
	fn     *function
	args   []*node
}

// Parse reads a formula. The grammar is in the package comment. Every error is
// an *Error.
func Parse(text string) (*Expr, error) {
	r := newReader(text)
	all, err := r.tokens()
	if err == nil {
		err = r.arrange(all)
	}
	if err != nil {
		return nil, err
	}
	fset := token.NewFileSet()
	tree, perr := parser.ParseExprFrom(fset, "", r.src, parser.SkipObjectResolution)
	if perr != nil {
		// The checks above leave no way here that is known.
		return nil, r.fail(0, "the formula cannot be read", "")
	}
	b := &builder{reader: r, fset: fset, expr: &Expr{text: text, where: map[string]int{}}}
	if b.expr.root, err = b.build(tree); err != nil {
		return nil, err
	}
	if b.expr.root.condition() {
		return nil, b.expr.fail(b.expr.root.column, "the formula is a condition and gives no value", "write "+ifUsage)
	}
	return b.expr, nil
}

// String is the text of the formula.
func (e *Expr) String() string { return e.text }

// Names are the free names in order of first appearance, each once; units,
// functions and pi are not free.
func (e *Expr) Names() []string { return slices.Clone(e.names) }

// fail is an error at a column of the formula.
func (e *Expr) fail(column int, msg, hint string) *Error {
	return &Error{Text: e.text, Column: column, Msg: msg, Hint: hint}
}

// builder turns the syntax tree of the Go parser into nodes, and refuses every
// kind of node that is not listed.
type builder struct {
	*reader
	fset *token.FileSet
	expr *Expr
}

func (b *builder) offset(n token.Pos) int { return b.fset.Position(n).Offset }

func (b *builder) build(e ast.Expr) (*node, *Error) {
	if b.expr.nodes++; b.expr.nodes > maxNodes {
		return nil, b.fail(b.offset(e.Pos()), fmt.Sprintf("the formula has more than %d parts", maxNodes), "split it into several")
	}
	col := column(b.text, b.offset(e.Pos()))
	switch e := e.(type) {
	case *ast.ParenExpr:
		return b.build(e.X)
	case *ast.BasicLit:
		return b.literal(e)
	case *ast.Ident:
		return b.ident(e)
	case *ast.UnaryExpr:
		x, err := b.build(e.X)
		switch {
		case err != nil:
			return nil, err
		case e.Op == token.ADD && !x.condition():
			return x, nil
		case e.Op == token.ADD:
			return b.node(operators[token.ADD], col, x) // which refuses the condition
		case e.Op == token.SUB:
			return b.node(negate, col, x)
		case e.Op == token.NOT:
			return b.node(not, col, x)
		}
	case *ast.BinaryExpr:
		if n, err := b.temperature(e); n != nil || err != nil {
			return n, err
		}
		if fn := operators[e.Op]; fn != nil {
			return b.apply(fn, column(b.text, b.offset(e.OpPos)), e.X, e.Y)
		}
	case *ast.CallExpr:
		return b.call(e)
	}
	return nil, b.fail(b.offset(e.Pos()), "this has no meaning in a formula", "")
}

func (b *builder) apply(fn *function, col int, args ...ast.Expr) (*node, *Error) {
	var all []*node
	for _, a := range args {
		x, err := b.build(a)
		if err != nil {
			return nil, err
		}
		all = append(all, x)
	}
	return b.node(fn, col, all...)
}

// node puts a function before its arguments: conditions where it takes
// conditions, values where it takes values.
func (b *builder) node(fn *function, col int, args ...*node) (*node, *Error) {
	for i, a := range args {
		switch wanted := i < fn.conditions; {
		case wanted && !a.condition():
			return nil, b.expr.fail(a.column, fn.name+" takes a condition here, not a value", "compare two values, like a < b")
		case !wanted && a.condition() && fn.holds != nil:
			return nil, b.expr.fail(a.column, "a condition does not compare with a value", "write a < b && b < c")
		case !wanted && a.condition():
			return nil, b.expr.fail(a.column, fn.name+" takes a value here, not a condition", "write "+ifUsage)
		}
	}
	return &node{column: col, fn: fn, args: args}, nil
}

func (b *builder) call(e *ast.CallExpr) (*node, *Error) {
	at := b.offset(e.Pos())
	id, ok := e.Fun.(*ast.Ident)
	if !ok || e.Ellipsis.IsValid() {
		return nil, b.fail(at, "this is no function", "")
	}
	name := id.Name
	if name == ifName {
		name = "if"
	}
	fn := functions[name]
	if fn == nil {
		if _, ok := unitNamed(id.Name); ok {
			return nil, b.fail(at, quote(id.Name)+" is a unit, not a function", "write a * between "+id.Name+" and the parenthesis")
		}
		return nil, b.fail(at, quote(id.Name)+" is no known function", "functions are "+functionNames()+"; multiplication is written with *")
	}
	if n := len(e.Args); n < fn.least || fn.most > 0 && n > fn.most {
		return nil, b.fail(at, fmt.Sprintf("%s takes %s, not %d", fn.name, fn.count(), n), "write "+fn.usage)
	}
	n, err := b.apply(fn, column(b.text, at), e.Args...)
	if err == nil && fn == powFunction {
		err = b.power(n)
	}
	return n, err
}

// power settles the exponent of pow, which is a whole number as written.
func (b *builder) power(n *node) *Error {
	x, sign := n.args[1], int64(1)
	if x.fn == negate {
		x, sign = x.args[0], -1
	}
	v := x.value.Rat()
	if x.value.IsZeroValue() || x.value.Dim() != quantity.Number || !v.IsInt() || v.Cmp(big.NewRat(maxPower, 1)) > 0 {
		return b.expr.fail(n.args[1].column, fmt.Sprintf("the power is a whole number from -%d to %d, written as a number", maxPower, maxPower), "write pow(a, 2)")
	}
	n.args[1] = &node{column: n.args[1].column, value: plain(sign * v.Num().Int64())}
	return nil
}

func (b *builder) ident(e *ast.Ident) (*node, *Error) {
	at := b.offset(e.Pos())
	n := &node{column: column(b.text, at)}
	if e.Name == "pi" {
		n.value = pi
		return n, nil
	}
	if u, ok := unitNamed(e.Name); ok {
		if u.Point() {
			return nil, b.fail(at, e.Name+" follows a number and makes a temperature, like 68*F", "for a difference write dF or dC; the name is not free for an input")
		}
		n.value = quantity.New(big.NewRat(1, 1), u)
		return n, nil
	}
	if e.Name == ifName {
		return nil, b.fail(at, "if is a function", "write "+ifUsage)
	}
	if fn := functions[e.Name]; fn != nil {
		return nil, b.fail(at, e.Name+" is a function", "write "+fn.usage)
	}
	n.name = e.Name
	if _, seen := b.expr.where[e.Name]; !seen {
		b.expr.where[e.Name] = n.column
		b.expr.names = append(b.expr.names, e.Name)
	}
	return n, nil
}

// temperature reads number*F and number*C, with a sign or without.
func (b *builder) temperature(e *ast.BinaryExpr) (*node, *Error) {
	id, ok := e.Y.(*ast.Ident)
	if !ok || e.Op != token.MUL {
		return nil, nil
	}
	u, ok := unitNamed(id.Name)
	if !ok || !u.Point() {
		return nil, nil
	}
	x, negative := e.X, false
	if s, ok := x.(*ast.UnaryExpr); ok {
		x, negative = s.X, s.Op == token.SUB
	}
	lit, ok := x.(*ast.BasicLit)
	if !ok {
		return nil, nil // ident complains about the bare F or C
	}
	n, err := b.literal(lit)
	if err != nil {
		return nil, err
	}
	v := n.value.Rat()
	if negative {
		v.Neg(v)
	}
	n.value = quantity.New(v, u)
	if n.value.Sign() < 0 {
		return nil, b.fail(b.offset(e.Pos()), "the temperature lies below absolute zero", "")
	}
	return n, nil
}

// literal reads a decimal number exactly.
func (b *builder) literal(e *ast.BasicLit) (*node, *Error) {
	at := b.offset(e.Pos())
	if e.Kind != token.INT && e.Kind != token.FLOAT || decimalNumber.FindString(e.Value) != e.Value {
		return nil, b.fail(at, "only decimal numbers are read here", "")
	}
	mantissa, exponent := strings.ToLower(e.Value), 0
	if m, x, ok := strings.Cut(mantissa, "e"); ok {
		var err error
		if exponent, err = strconv.Atoi(x); err != nil || max(exponent, -exponent) > maxExponent {
			return nil, b.fail(at, fmt.Sprintf("the power of ten lies beyond %d", maxExponent), "")
		}
		mantissa = m
	}
	whole, frac, _ := strings.Cut(mantissa, ".")
	digits := whole + frac
	if len(digits) > maxDigits {
		return nil, b.fail(at, fmt.Sprintf("a number has at most %d digits", maxDigits), "")
	}
	i, ok := new(big.Int).SetString(digits, 10)
	if !ok {
		return nil, b.fail(at, "only decimal numbers are read here", "")
	}
	exponent -= len(frac)
	v := new(big.Rat).SetInt(i)
	ten := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(exponent, -exponent))), nil))
	if exponent < 0 {
		v.Quo(v, ten)
	} else {
		v.Mul(v, ten)
	}
	return &node{column: column(b.text, at), value: quantity.New(v, quantity.One)}, nil
}

// formulaUnits are the units that a formula knows by name. Time, metres and
// counts are left out, so that names such as h, s, m and part stay free; such
// units come in with the inputs.
var formulaUnits = strings.Fields(`in inch inches mm cm um µm μm thou tenths tenth uin µin μin microinch microinches
	deg arcmin arcsec F degF C degC K dF dC N lbf lb ozf oz ppm`)

func unitNamed(name string) (quantity.Unit, bool) {
	if !slices.Contains(formulaUnits, name) {
		return quantity.Unit{}, false
	}
	return quantity.LookupUnit(name)
}
