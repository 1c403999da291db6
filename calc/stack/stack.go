// Package stack holds a formula with toleranced inputs against limits: a stack-up.
// Judge says what is left to the limits in the worst case and statistically, what
// part lies outside, and what to tighten first; Allot turns the question round and
// shares a tolerance out over the inputs.
package stack

import (
	"errors"
	"fmt"
	"math/big"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"tenths/calc/formula"
	"tenths/calc/quantity"
)

// Stack is a formula with what goes into it, and the limits of its result.
type Stack struct {
	Expr   *formula.Expr
	Inputs []formula.Input
	Limits quantity.Toleranced
	Unit   quantity.Unit // of the answers; zero: that of the limits
	// Costs say what it costs to hold the tolerance that an input has, by its name,
	// or by that of a common source; all in one unit such as minutes or money.
	Costs map[string]float64
	// Fixed are the names of inputs that stay as they are, such as bought parts.
	Fixed []string
}

// Standing is how a stack stands against its limits.
type Standing struct {
	Result *formula.Result
	// BelowRoom and AboveRoom are what is left between the worst case and the lower
	// and the upper limit; below zero it leaves the limit. The zero Quantity where
	// there is no such limit.
	BelowRoom, AboveRoom quantity.Quantity
	Worst                quantity.Side // of the end of the worst case that lies nearest to its limit, or furthest out
	// RSS is the same for centre ± root sum square; set if HasRSS.
	RSS    quantity.Side
	HasRSS bool
	// Below and Above are the parts outside the limits where the result is taken as
	// normal about its centre with its standard deviation; set if HasNormal.
	Below, Above float64
	HasNormal    bool
	// First are the contributors in the order in which to tighten them.
	First []Tighten
}

// Tighten is a contributor as a candidate to be held closer.
type Tighten struct {
	Name    string
	Members []string          // of a common source
	Effect  quantity.Quantity // ± in the result
	Worst   float64           // part of the worst case, 0 to 1
	Cost    float64           // as stated; 0: not stated
	// Keep is the part of its tolerance that it could keep if it alone had to bring
	// the worst case inside; 1 where the worst case is inside, below 0 where it
	// cannot do so alone. To is the half-width then; the zero Quantity for a common
	// source, or where it cannot.
	Keep float64
	To   quantity.Quantity
}

// Judge computes how a stack stands against its limits.
//
// What to tighten first: with costs, the contributor with the most effect on the
// worst case for its cost. Where the cost of a tolerance t grows as 1/t, holding it
// closer by dt costs cost·dt/t and gains |s|·dt, so that the gain for the money is
// |s|·t/cost (reciprocal cost, as in K. W. Chase, Minimum-cost tolerance allocation,
// 1999; from memory). Without costs it is the largest share. Fixed inputs are left
// out.
//
// Errors: those of formula.Eval, no limits, a cost or a fixed input without its
// name in the formula, a cost that is not above 0, costs for some of the toleranced
// inputs only.
func Judge(s Stack) (*Standing, error) {
	if !s.Limits.HasLower() && !s.Limits.HasUpper() {
		return nil, errors.New("a stack-up needs limits of the result")
	}
	r, err := s.eval(s.Inputs)
	if err != nil {
		return nil, err
	}
	if err := s.check(r); err != nil {
		return nil, err
	}
	out := &Standing{Result: r}
	if out.Worst, err = s.side(r.WorstLower, r.WorstUpper); err != nil {
		return nil, err
	}
	if s.Limits.HasLower() {
		out.BelowRoom, err = r.WorstLower.Sub(s.Limits.Lower)
	}
	if err == nil && s.Limits.HasUpper() {
		if out.AboveRoom, err = s.Limits.Upper.Sub(r.WorstUpper); err == nil {
			out.AboveRoom, err = out.AboveRoom.As(r.Value.Unit().Difference())
		}
	}
	if err == nil {
		err = out.statistical(s, r)
	}
	if err != nil {
		return nil, err
	}
	out.first(s, r)
	return out, nil
}

func (s Stack) eval(inputs []formula.Input) (*formula.Result, error) {
	unit := s.Unit
	if unit.IsZero() {
		unit = s.Limits.Nominal.Unit()
	}
	return s.Expr.Eval(inputs, formula.Options{Unit: unit})
}

// check refuses costs and fixed inputs that name nothing.
func (s Stack) check(r *formula.Result) error {
	known := map[string]bool{}
	for _, c := range r.Contributors {
		known[c.Name] = true
	}
	for _, in := range s.Inputs {
		known[in.Name] = true
	}
	for _, name := range s.Fixed {
		if !known[name] {
			return fmt.Errorf("%s is to stay as it is, and the formula has no such input", name)
		}
	}
	for name, c := range s.Costs {
		switch {
		case !known[name]:
			return fmt.Errorf("%s has a cost, and the formula has no such input", name)
		case !(c > 0 && c < 1e12):
			return fmt.Errorf("%s: a cost of %g; it is a number above 0", name, c)
		}
	}
	if len(s.Costs) == 0 {
		return nil
	}
	for _, c := range r.Contributors {
		if c.HalfWidth.Sign() != 0 && !slices.Contains(s.Fixed, c.Name) && s.Costs[c.Name] == 0 {
			return fmt.Errorf("%s has no cost and others have; state one for each input with a tolerance, in the same unit", c.Name)
		}
	}
	return nil
}

// side is where the worse end of a range lies.
func (s Stack) side(low, high quantity.Quantity) (quantity.Side, error) {
	l, err := s.Limits.Side(low)
	if err != nil {
		return l, err
	}
	h, err := s.Limits.Side(high)
	for _, worse := range []quantity.Side{quantity.Below, quantity.Above, quantity.TooClose} {
		if l == worse || h == worse {
			return worse, err
		}
	}
	return quantity.Inside, err
}

func (out *Standing) statistical(s Stack, r *formula.Result) error {
	if r.NoSlope != nil {
		return nil
	}
	low, err := r.Centre.Sub(r.RSS)
	if err != nil {
		return err
	}
	high, err := r.Centre.Add(r.RSS)
	if err != nil {
		return err
	}
	if out.RSS, err = s.side(low, high); err != nil {
		return err
	}
	out.HasRSS = true
	if r.SD.Sign() <= 0 {
		return nil
	}
	out.HasNormal = true
	z := func(from, to quantity.Quantity) (float64, error) {
		d, err := to.Sub(from)
		if err != nil {
			return 0, err
		}
		return distuv.UnitNormal.CDF(d.Float() / r.SD.Float()), nil
	}
	if s.Limits.HasLower() {
		out.Below, err = z(r.Centre, s.Limits.Lower)
	}
	if err == nil && s.Limits.HasUpper() {
		out.Above, err = z(s.Limits.Upper, r.Centre)
	}
	return err
}

// first ranks the contributors.
func (out *Standing) first(s Stack, r *formula.Result) {
	if r.NoSlope != nil {
		return
	}
	excess := 0.0
	for _, room := range []quantity.Quantity{out.BelowRoom, out.AboveRoom} {
		if !room.IsZeroValue() {
			excess = max(excess, -room.Float())
		}
	}
	for _, c := range r.Contributors {
		if c.Effect.Sign() == 0 || slices.Contains(s.Fixed, c.Name) {
			continue
		}
		t := Tighten{Name: c.Name, Members: c.Members, Effect: c.Effect, Worst: c.WorstShare, Cost: s.Costs[c.Name], Keep: 1 - excess/c.Effect.Float()}
		if t.Keep > 0 && c.Members == nil {
			t.To = c.HalfWidth.Scale(new(big.Rat).SetFloat64(t.Keep))
		}
		out.First = append(out.First, t)
	}
	slices.SortStableFunc(out.First, func(a, b Tighten) int {
		x, y := a.gain(), b.gain()
		switch {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
}

// gain is the effect for the cost, or the effect alone.
func (t Tighten) gain() float64 {
	if t.Cost == 0 {
		return t.Effect.Float()
	}
	return t.Effect.Float() / t.Cost
}
