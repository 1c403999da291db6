package formula

import "fmt"

// Variable is the formula that is one free name. Unlike Parse it takes any
// text as the name, so a caller can name inputs by what stands behind them.
func Variable(name string) *Expr {
	return &Expr{text: name, root: &node{column: 1, name: name}, names: []string{name}, where: map[string]int{name: 1}, nodes: 1}
}

// Replace puts a formula in the place of each free name that parts holds, so
// that a chain of formulas becomes one and an input that reaches the result on
// several ways counts once. Places of errors stay those of the outer formula.
// It is an *Error when the result has too many parts.
func (e *Expr) Replace(parts map[string]*Expr) (*Expr, error) {
	out := &Expr{text: e.text, where: map[string]int{}}
	root, err := out.copyNode(e.root, 0, parts)
	if err != nil {
		return nil, err
	}
	out.root = root
	return out, nil
}

// copyNode copies a tree; column is the place of the name that it stands for,
// or 0 to keep its own.
func (e *Expr) copyNode(n *node, column int, parts map[string]*Expr) (*node, error) {
	at := n.column
	if column > 0 {
		at = column
	}
	if part := parts[n.name]; n.name != "" && part != nil {
		return e.copyNode(part.root, at, nil)
	}
	if e.nodes++; e.nodes > maxNodes {
		return nil, e.fail(at, fmt.Sprintf("with the formulas behind its inputs the formula has more than %d parts", maxNodes), "measure one of the values between")
	}
	c := &node{column: at, value: n.value, name: n.name, fn: n.fn}
	if n.name != "" {
		if _, seen := e.where[n.name]; !seen {
			e.where[n.name] = at
			e.names = append(e.names, n.name)
		}
	}
	for _, a := range n.args {
		x, err := e.copyNode(a, column, parts)
		if err != nil {
			return nil, err
		}
		c.args = append(c.args, x)
	}
	return c, nil
}
