package fit

import (
	"fmt"
	"math"
	"math/big"
	"strings"

	"tenths/calc/quantity"
)

// Kind is the kind of a fit by ISO 286-1.
type Kind string

// The kinds. A clearance of exactly 0 at one end still belongs to the pure
// kinds: H7/h6 is a clearance fit.
const (
	Clearance    Kind = "clearance"    // the smallest clearance is not below 0
	Transition   Kind = "transition"   // may turn out loose or tight
	Interference Kind = "interference" // the largest clearance is not above 0
)

// Fit is a hole and a shaft. Clearances are in the unit of the hole; negative
// ones are interference.
type Fit struct {
	Name     string   // "H7/g6", "RC4"; empty when the sizes are no fit of one standard
	Standard Standard // empty with Name
	Hole     quantity.Toleranced
	Shaft    quantity.Toleranced
	Kind     Kind

	MinClearance, MaxClearance quantity.Quantity // at the limits of both parts
	Middle                     quantity.Quantity // both parts in the middle of their limits: the usual clearance
	RSSMin, RSSMax             quantity.Quantity // Middle ∓ half the root sum square of both tolerances
}

// Of is the fit of a hole and a shaft given by their limits. A size without a
// tolerance counts as the actual size of that part.
//
//	smallest clearance = smallest hole - largest shaft
//	largest clearance  = largest hole - smallest shaft      (ISO 286-1)
//	usual range        = middle ∓ sqrt(Th² + Ts²)/2
//
// The usual range says where most pairs lie when the two sizes vary
// independently about the middle of their limits and use them alike; a tool
// that cuts to one side of its tolerance makes it untrue (common practice, no
// limit of any standard).
//
// Errors: a size that is no length or not above 0, a size with only one limit,
// a shaft class given for the hole or the reverse.
func Of(hole, shaft quantity.Toleranced) (Fit, error) {
	h, err := limitsOf(hole, "hole", true)
	if err != nil {
		return Fit{}, err
	}
	s, err := limitsOf(shaft, "shaft", false)
	if err != nil {
		return Fit{}, err
	}
	f := Fit{Hole: hole, Shaft: shaft}
	f.Name, f.Standard = name(hole, shaft)
	if f.MinClearance, err = h.lower.Sub(s.upper); err != nil {
		return Fit{}, err
	}
	if f.MaxClearance, err = h.upper.Sub(s.lower); err != nil {
		return Fit{}, err
	}
	f.MinClearance, f.MaxClearance = evenDecimals(f.MinClearance, f.MaxClearance, quantity.Quantity{})
	f.Kind = kindOf(f.MinClearance, f.MaxClearance)
	sum, err := f.MinClearance.Add(f.MaxClearance)
	if err != nil {
		return Fit{}, err
	}
	f.Middle = sum.Scale(big.NewRat(1, 2))
	half, err := halfRSS(h, s, f.Middle.Unit())
	if err != nil {
		return Fit{}, err
	}
	if f.RSSMin, err = f.Middle.Sub(half); err != nil {
		return Fit{}, err
	}
	if f.RSSMax, err = f.Middle.Add(half); err != nil {
		return Fit{}, err
	}
	return f, nil
}

// kindOf names the kind. A clearance that is only known within a bound counts
// with the whole bound, so that a fit is never called loose or tight on the
// strength of rounding.
func kindOf(smallest, largest quantity.Quantity) Kind {
	low := new(big.Rat).Sub(smallest.Rat(), smallest.Bound())
	high := new(big.Rat).Add(largest.Rat(), largest.Bound())
	switch {
	case low.Sign() >= 0:
		return Clearance
	case high.Sign() <= 0:
		return Interference
	}
	return Transition
}

// size is a pair of limits that has been checked.
type size struct{ lower, upper quantity.Quantity }

// limitsOf checks one part of a fit.
func limitsOf(t quantity.Toleranced, what string, wantHole bool) (size, error) {
	l := size{t.Lower, t.Upper}
	if t.Form == quantity.Plain && !t.HasLower() && !t.HasUpper() {
		l = size{t.Nominal, t.Nominal} // the actual size
	}
	if err := checkSize(t.Nominal, "the "+what); err != nil {
		return size{}, err
	}
	if l.lower.IsZeroValue() || l.upper.IsZeroValue() {
		return size{}, fmt.Errorf("the %s %s has only one limit; write both, like 0.1875..0.1880 in", what, t)
	}
	if err := checkSize(l.lower, "the smallest "+what); err != nil {
		return size{}, err
	}
	if t.Class != "" {
		if hole, _ := classOf(t.Class); hole != wantHole {
			return size{}, fmt.Errorf("%s is given as the %s, but %s is a class of the other part", t, what, t.Class)
		}
	}
	return l, nil
}

// name is the name of a fit of one standard on one nominal.
func name(hole, shaft quantity.Toleranced) (string, Standard) {
	if hole.Class == "" || shaft.Class == "" {
		return "", ""
	}
	if c, err := hole.Nominal.Cmp(shaft.Nominal); err != nil || c != 0 {
		return "", ""
	}
	_, hs := classOf(hole.Class)
	_, ss := classOf(shaft.Class)
	switch {
	case hs != ss:
		return "", ""
	case hs == ISO286:
		return hole.Class + "/" + shaft.Class, hs
	}
	h, _, _ := strings.Cut(strings.ToUpper(hole.Class), " ")
	s, _, _ := strings.Cut(strings.ToUpper(shaft.Class), " ")
	if h != s {
		return "", ""
	}
	return h, hs
}

// halfRSS is half the root of the sum of the squared tolerances, in unit u:
// exact where the root is a rational, else with a bound.
func halfRSS(h, s size, u quantity.Unit) (quantity.Quantity, error) {
	th, err := h.upper.Sub(h.lower)
	if err != nil {
		return quantity.Quantity{}, err
	}
	ts, err := s.upper.Sub(s.lower)
	if err != nil {
		return quantity.Quantity{}, err
	}
	square := new(big.Rat).Mul(th.Rat(), th.Rat())
	square.Add(square, new(big.Rat).Mul(ts.Rat(), ts.Rat()))
	square.Quo(square, big.NewRat(4, 1))
	base := quantity.BaseUnit(quantity.Length)
	num, den := new(big.Int).Sqrt(square.Num()), new(big.Int).Sqrt(square.Denom())
	root := new(big.Rat).SetFrac(num, den)
	if new(big.Rat).Mul(root, root).Cmp(square) == 0 {
		return quantity.New(root, base).As(u)
	}
	f, _ := square.Float64()
	return quantity.FromFloat(math.Sqrt(f), base).As(u)
}
