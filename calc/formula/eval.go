package formula

import (
	"errors"
	"fmt"
	"math/big"

	"tenths/calc/quantity"
)

// Bounds on the values inside an evaluation.
const (
	maxBits = 4096 // of a numerator or denominator
	maxDim  = 12   // of an exponent of a dimension
)

// values gives each free name its value.
type values map[string]quantity.Quantity

// plain evaluates the formula for one set of values.
func (e *Expr) plain(n *node, env values) (quantity.Quantity, *Error) {
	switch {
	case n.name != "":
		return env[n.name], nil
	case n.fn == nil:
		return n.value, nil
	case n.fn == ifFunction:
		i, err := e.choice(n, env)
		if err != nil {
			return quantity.Quantity{}, err
		}
		return e.plain(n.args[i], env)
	}
	args := make([]quantity.Quantity, len(n.args))
	for i, a := range n.args {
		var err *Error
		if args[i], err = e.plain(a, env); err != nil {
			return quantity.Quantity{}, err
		}
	}
	return e.apply(n, args)
}

// apply computes one function with the checks that all of them share.
func (e *Expr) apply(n *node, args []quantity.Quantity) (quantity.Quantity, *Error) {
	for i, a := range args {
		if a.Unit().Point() && !n.fn.points {
			return quantity.Quantity{}, e.fail(n.args[i].column, n.fn.name+" takes a temperature difference, not a temperature", "subtract a reference, like (t - 68*F)")
		}
	}
	q, err := n.fn.value(args)
	if err != nil {
		return q, e.locate(n, err)
	}
	for _, d := range q.Dim() {
		if d > maxDim || d < -maxDim {
			return q, e.fail(n.column, fmt.Sprintf("the dimension is beyond the power of %d here", maxDim), "")
		}
	}
	if r := q.Rat(); r.Num().BitLen() > maxBits || r.Denom().BitLen() > maxBits {
		return q, e.fail(n.column, "the number becomes too long here", "")
	}
	return q, nil
}

// locate gives the complaint of a function its place.
func (e *Expr) locate(n *node, err error) *Error {
	var c *argError
	if !errors.As(err, &c) {
		return e.fail(n.column, err.Error(), "")
	}
	if c.arg >= 0 && c.arg < len(n.args) {
		return e.fail(n.args[c.arg].column, c.msg, c.hint)
	}
	return e.fail(n.column, c.msg, c.hint)
}

// source is one independent thing that inputs stand for.
type source struct {
	input             Input // the first with this source
	low, middle, high quantity.Quantity
	half              quantity.Quantity // half-width of the limits, a difference
	members           []string          // the inputs that move with it, if it is a common source
}

// toleranced reports whether the source varies at all.
func (s source) toleranced() bool { return s.half.Sign() != 0 }

// dual is a value at the middle of the limits with its slopes and its range.
type dual struct {
	q     quantity.Quantity
	d     []quantity.Quantity // slope by source; nil or zero Quantity for none
	uses  []bool              // toleranced sources that occur; nil for none
	reach span
	// affine: linear in the toleranced sources over the whole range.
	affine bool
	// tight: the range is exact, not only an enclosure.
	tight   bool
	noSlope *Error // why d is not known
	noReach *Error // why reach is not known
}

// fixed reports whether the value does not vary.
func (v dual) fixed() bool { return v.uses == nil }

// study is one evaluation with tolerances.
type study struct {
	*Expr          // with the common sources in it
	formula *Expr  // as written
	nominal values // of its names
	sources []source
	of      map[string]int // source of each name
	folds   []*Error       // where a slope can change within the tolerances
}

// dual evaluates a node with slopes and range: forward-mode differentiation
// beside interval arithmetic (Moore, Interval Analysis, 1966: the range of an
// expression in which no variable occurs twice is exact).
func (s *study) dual(n *node) (dual, *Error) {
	switch {
	case n.name != "":
		return s.leaf(s.of[n.name]), nil
	case n.fn == nil:
		return dual{q: n.value, reach: span{n.value, n.value}, affine: true, tight: true}, nil
	case n.fn == ifFunction:
		return s.either(n)
	}
	args := make([]dual, len(n.args))
	at := make([]quantity.Quantity, len(n.args))
	ranges := make([]span, len(n.args))
	v := dual{}
	for i, a := range n.args {
		var err *Error
		if args[i], err = s.dual(a); err != nil {
			return dual{}, err
		}
		at[i], ranges[i] = args[i].q, args[i].reach
		if v.noReach == nil {
			v.noReach = args[i].noReach
		}
	}
	q, err := s.apply(n, at)
	if err != nil {
		return dual{}, err
	}
	v.q = q
	if err := s.slopes(n, &v, args, at); err != nil {
		return dual{}, err
	}
	s.use(&v, args)
	if v.noReach != nil {
		v.tight = false
		return v, nil
	}
	v.affine = v.fixed() || n.fn.linear != nil && n.fn.linear(args)
	if v.affine {
		return v, s.affineReach(&v)
	}
	if n.fn.folds != nil && n.fn.folds(ranges) {
		s.folds = append(s.folds, s.fail(n.column, n.fn.name+" can turn over within the tolerances, and its slope is taken on one side", ""))
	}
	reach, ferr := n.fn.reach(ranges)
	if ferr != nil {
		// The parts may vary together in a way that excludes it: the search decides.
		v.noReach, v.tight = s.locate(n, ferr), false
		return v, nil
	}
	v.reach = reach
	return v, nil
}

// middles gives every name the middle of its limits.
func (s *study) middles() values {
	env := values{}
	for name, i := range s.of {
		env[name] = s.sources[i].middle
	}
	return env
}

func (s *study) leaf(i int) dual {
	src := s.sources[i]
	v := dual{q: src.middle, d: make([]quantity.Quantity, len(s.sources)), reach: span{src.low, src.high}, affine: true, tight: true}
	v.d[i] = plain(1)
	if src.toleranced() {
		v.uses = make([]bool, len(s.sources))
		v.uses[i] = true
	}
	return v
}

// slopes sets the slopes of v by the chain rule.
func (s *study) slopes(n *node, v *dual, args []dual, at []quantity.Quantity) *Error {
	depends := false
	for _, a := range args {
		if v.noSlope == nil {
			v.noSlope = a.noSlope
		}
		depends = depends || a.d != nil
	}
	if !depends {
		return nil
	}
	v.d = make([]quantity.Quantity, len(s.sources))
	slopes, err := n.fn.slopes(at, v.q)
	if err != nil {
		if v.noSlope == nil {
			v.noSlope = s.locate(n, err)
		}
		return nil
	}
	for k, a := range args {
		if slopes[k].IsZeroValue() {
			continue
		}
		for i, d := range a.d {
			if d.IsZeroValue() {
				continue
			}
			term := slopes[k].Mul(d)
			if !v.d[i].IsZeroValue() {
				if term, err = v.d[i].Add(term); err != nil {
					return s.fail(n.column, err.Error(), "")
				}
			}
			v.d[i] = term
		}
	}
	return nil
}

// use joins the sources of the arguments. The range is exact where no source
// stands in two arguments.
func (s *study) use(v *dual, args []dual) {
	v.tight, v.uses = true, nil
	for _, a := range args {
		v.tight = v.tight && a.tight
		for i, used := range a.uses {
			if !used {
				continue
			}
			if v.uses == nil {
				v.uses = make([]bool, len(s.sources))
			}
			v.tight = v.tight && !v.uses[i]
			v.uses[i] = true
		}
	}
}

// affineReach is the exact range of a linear value: middle ± sum |slope| times
// half-width. It holds however often a source was used on the way.
func (s *study) affineReach(v *dual) *Error {
	v.tight, v.uses = true, nil
	width := quantity.Quantity{}
	for i, d := range v.d {
		if !s.sources[i].toleranced() || d.IsZeroValue() || d.Sign() == 0 && d.Exact() {
			continue
		}
		if v.uses == nil {
			v.uses = make([]bool, len(s.sources))
		}
		v.uses[i] = true
		term := d.Abs().Mul(s.sources[i].half)
		if !width.IsZeroValue() {
			var err error
			if term, err = width.Add(term); err != nil {
				return s.fail(s.root.column, err.Error(), "")
			}
		}
		width = term
	}
	if width.IsZeroValue() {
		v.reach = span{v.q, v.q}
		return nil
	}
	r, err := around(v.q, width)
	if err != nil {
		return s.fail(s.root.column, err.Error(), "")
	}
	v.reach = r
	return nil
}

// around is middle ± half.
func around(middle, half quantity.Quantity) (span, error) {
	lo, err := middle.Sub(half)
	if err != nil {
		return span{}, err
	}
	hi, err := middle.Add(half)
	return span{lo, hi}, err
}

// rss is the root of the sum of squared shares.
func rss(terms []quantity.Quantity) (quantity.Quantity, error) {
	sum := terms[0].Scale(new(big.Rat)).Mul(terms[0])
	for _, t := range terms {
		var err error
		if sum, err = sum.Add(t.Mul(t)); err != nil {
			return sum, err
		}
	}
	return sqrt([]quantity.Quantity{sum})
}
