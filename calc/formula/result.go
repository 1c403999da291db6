package formula

import (
	"fmt"
	"math/big"
	"strings"

	"tenths/calc/quantity"
)

// Input gives a free name its value and tolerance.
type Input struct {
	Name  string
	Value quantity.Toleranced
	// Source names the thing behind the value. Inputs with the same source that
	// is not empty are one thing: they move together and count once. They must
	// carry the same value.
	Source string
	// Common is what part of the tolerance moves together with that of other inputs.
	Common Common
	// Spread is how the values lie within the tolerance, for what is statistical.
	Spread Spread
}

// Options say how the result is given.
type Options struct {
	// Unit to show the result in; it must have the dimension of the result. The
	// zero Unit leaves the choice to the formula.
	Unit quantity.Unit
}

// Method says how the worst case was found.
type Method int

// The methods of the worst case.
const (
	// Linear: exact. The formula is linear in the toleranced inputs.
	Linear Method = iota
	// Independent: exact. No toleranced input is used twice, so the range of the
	// formula follows step by step.
	Independent
	// Corners: exact. The formula only rises or only falls with each input over
	// the limits, so that the worst case stands at two corners of them.
	Corners
	// Searched: the formula rises and falls, or jumps; its range was enclosed by
	// cutting up the limits of the inputs. The limits are never exceeded, and wider
	// than what happens by no more than Gap, mostly a millionth and never more than
	// a thousandth of the range.
	Searched
	// Enclosed: as Searched, but the effort ran out before the limits came that
	// close; Gap says how much too wide they may be.
	Enclosed
)

// String names the method.
func (m Method) String() string {
	switch m {
	case Linear:
		return "linear"
	case Independent:
		return "independent inputs"
	case Corners:
		return "corners"
	case Searched:
		return "bounded search"
	case Enclosed:
		return "bounded search, cut short"
	}
	return "unknown method"
}

// Contributor is the part of one source in the result.
type Contributor struct {
	Name   string // the first input with this source, or the common source
	Source string
	// Members are the names of the inputs that move with a common source; nil for
	// an input. HalfWidth of a common source is 1, all of its members' parts.
	Members []string
	// Sensitivity is the change of the result for a change of the input, at the
	// middle of all limits, with its dimension. The zero Quantity when NoSlope is
	// set.
	Sensitivity quantity.Quantity
	HalfWidth   quantity.Quantity // half the width of the input's limits; 0 without tolerance
	WorstShare  float64           // |s|·t / sum |s|·t, from 0 to 1
	RSSShare    float64           // (s·t)² / sum (s·t)², from 0 to 1
	// SD is the standard deviation of the input by its Spread, Effect and EffectSD
	// what half-width and SD come to in the result, |s|·t and |s|·SD, and Share
	// the part of its variance, from 0 to 1. They are zero Quantities when NoSlope
	// is set.
	SD, Effect, EffectSD quantity.Quantity
	Share                float64
}

// Result is the value of a formula with its tolerances. All quantities but the
// contributors' are shown in one unit.
type Result struct {
	Value quantity.Quantity // at the nominal values
	Dim   quantity.Dim
	// WorstLower and WorstUpper are the limits of the result when every input is
	// anywhere within its limits; Method says how surely. Without tolerances both
	// are the value.
	WorstLower, WorstUpper quantity.Quantity
	Method                 Method
	// Gap is how much wider than what really happens the worst case may be; zero
	// where it is exact.
	Gap quantity.Quantity
	// Centre is the value with every input in the middle of its limits, and RSS
	// the half-width sqrt(sum (s·t)²) about it. RSS is the zero Quantity when
	// NoSlope is set.
	Centre, RSS quantity.Quantity
	// SD is the standard deviation of the result, the root of sum (s·SD)² over the
	// inputs. The zero Quantity when NoSlope is set.
	SD           quantity.Quantity
	Contributors []Contributor // in the order of the formula
	Linear       bool          // linear in the toleranced inputs over their limits
	Exact        bool          // the value is an exact rational
	// NoSlope says where and why there are no sensitivities, for example at abs
	// of a value whose middle is zero; nil otherwise.
	NoSlope *Error
	// Folds are the places where a slope changes within the tolerances, as at abs
	// of a value that can be zero; the root sum square holds on one side only.
	Folds []*Error
}

// Eval computes the formula. Every free name needs one input, and every input
// must be a free name. A tolerance needs both limits; an input without limits
// is taken as exact. Every error is an *Error with a column.
//
// Errors are also raised for what can happen within the tolerances: a divisor
// whose range holds zero, a root of a range that reaches below zero, an angle
// function outside its domain. What cannot happen because an input stands twice in
// the formula, or because an if leaves it out, is no error as far as the search for
// the worst case can tell.
func (e *Expr) Eval(inputs []Input, out Options) (*Result, error) {
	s, err := e.study(inputs)
	if err != nil {
		return nil, err
	}
	r, err := s.result(out)
	if err != nil {
		return nil, err
	}
	return r, nil
}

// study checks the inputs and joins those of one source.
func (e *Expr) study(inputs []Input) (*study, *Error) {
	given := map[string]Input{}
	var names []string
	for _, in := range inputs {
		if _, ok := e.where[in.Name]; !ok {
			return nil, e.notUsed(in.Name)
		}
		if _, ok := given[in.Name]; ok {
			return nil, e.fail(e.where[in.Name], quote(in.Name)+" is given twice", "")
		}
		given[in.Name] = in
		names = append(names, in.Name)
	}
	s := &study{Expr: e, formula: e, of: map[string]int{}, nominal: values{}}
	bySource := map[string]int{}
	for _, name := range e.names {
		in, ok := given[name]
		if !ok {
			return nil, e.noValue(name, names)
		}
		i, joined := bySource[in.Source]
		if joined && in.Source != "" {
			first := s.sources[i].input
			switch {
			case !sameValue(first.Value, in.Value):
				return nil, e.fail(e.where[name], fmt.Sprintf("%s and %s are the same thing (%s) with different values", quote(first.Name), quote(name), quote(in.Source)), "")
			case first.Common != in.Common || !first.Spread.Same(in.Spread):
				return nil, e.fail(e.where[name], fmt.Sprintf("%s and %s are the same thing (%s) with different spreads or common sources", quote(first.Name), quote(name), quote(in.Source)), "")
			}
			s.of[name], s.nominal[name] = i, in.Value.Nominal
			continue
		}
		src, msg := newSource(in)
		if msg != "" {
			return nil, e.fail(e.where[name], quote(name)+" "+msg, "")
		}
		s.of[name], s.nominal[name], bySource[in.Source] = len(s.sources), in.Value.Nominal, len(s.sources)
		s.sources = append(s.sources, src)
	}
	if _, err := e.units(e.root, s.nominal); err != nil {
		return nil, err
	}
	return s, s.join()
}

// notUsed is the error for an input that is no free name.
func (e *Expr) notUsed(name string) *Error {
	msg := "there is no " + quote(name) + " in the formula"
	if _, ok := unitNamed(name); ok {
		return e.fail(1, msg+" as an input: it is the name of a unit", "choose another name")
	}
	if functions[name] != nil || name == "pi" {
		return e.fail(1, msg+" as an input: the name has a meaning of its own", "choose another name")
	}
	return e.fail(1, msg, "its names are "+strings.Join(e.names, ", "))
}

// noValue is the error for a free name without input.
func (e *Expr) noValue(name string, given []string) *Error {
	hint := "no values are given"
	if len(given) > 0 {
		hint = "values are given for " + strings.Join(given, ", ")
	}
	if u, ok := quantity.LookupUnit(name); ok {
		hint = fmt.Sprintf("the unit %s comes in with the value of an input, not in the formula", u.Name())
	}
	return e.fail(e.where[name], quote(name)+" has no value", hint)
}

// newSource takes the limits of an input apart, or says what is wrong.
func newSource(in Input) (source, string) {
	t := in.Value
	if t.Nominal.IsZeroValue() {
		return source{}, "has no value"
	}
	zero := t.Nominal.Unit().Difference()
	if msg := in.Spread.check(t); msg != "" {
		return source{}, msg
	}
	s := source{input: in, low: t.Nominal, middle: t.Nominal, high: t.Nominal, half: quantity.New(new(big.Rat), zero)}
	if !t.HasLower() && !t.HasUpper() {
		return s, ""
	}
	half, ok := t.HalfWidth()
	middle, ok2 := t.Middle()
	if !ok || !ok2 {
		return source{}, "has a limit on one side only; a formula needs both or none"
	}
	if half.Sign() < 0 {
		return source{}, "has its lower limit above the upper"
	}
	if half.Sign() > 0 {
		s.low, s.middle, s.high, s.half = t.Lower, middle, t.Upper, half
	} else {
		s.low, s.middle, s.high = t.Lower, t.Lower, t.Lower
	}
	return s, ""
}

// sameValue compares nominal and limits.
func sameValue(a, b quantity.Toleranced) bool {
	for _, p := range [][2]quantity.Quantity{{a.Nominal, b.Nominal}, {a.Lower, b.Lower}, {a.Upper, b.Upper}} {
		if p[0].IsZeroValue() && p[1].IsZeroValue() {
			continue
		}
		if c, err := p[0].Cmp(p[1]); err != nil || c != 0 {
			return false
		}
	}
	return true
}

// result evaluates at the nominal values and within the limits.
func (s *study) result(out Options) (*Result, *Error) {
	var gerr error
	value, err := s.formula.plain(s.formula.root, s.nominal)
	if err != nil {
		return nil, err
	}
	unit := value.Unit()
	if !out.Unit.IsZero() {
		unit = out.Unit
		if _, err := value.In(unit); err != nil {
			return nil, s.fail(1, fmt.Sprintf("the formula gives %s, not %s", article(value.Kind()), article(quantity.New(new(big.Rat), unit).Kind())), "")
		}
	}
	v, err := s.dual(s.root)
	if err != nil {
		return nil, err
	}
	r := &Result{Value: value, Dim: value.Dim(), Centre: v.q, Linear: v.affine, Exact: value.Exact(), NoSlope: v.noSlope, Folds: s.folds}
	worst, gap := v.reach, quantity.Quantity{}
	switch {
	case v.affine:
		r.Method = Linear
	case v.tight:
		r.Method = Independent
	default:
		if worst, gap, r.Method, err = s.worst(count(s.occurring(s.root)), v.q, v.noReach); err != nil {
			return nil, err
		}
	}
	r.WorstLower, r.WorstUpper = worst.lo, worst.hi
	if gap.IsZeroValue() {
		gap = quantity.New(new(big.Rat), unit.Difference())
	}
	if r.Gap, gerr = gap.As(unit.Difference()); gerr != nil {
		return nil, s.fail(s.root.column, gerr.Error(), "")
	}
	if err := s.shares(r, v.d, unit.Difference()); err != nil {
		return nil, err
	}
	for _, q := range []*quantity.Quantity{&r.Value, &r.WorstLower, &r.WorstUpper, &r.Centre} {
		shown, err := q.As(unit)
		if err != nil {
			return nil, s.fail(s.root.column, err.Error(), "")
		}
		*q = shown
	}
	return r, nil
}

// count lists the sources in use.
func count(uses []bool) []int {
	var out []int
	for i, u := range uses {
		if u {
			out = append(out, i)
		}
	}
	return out
}
