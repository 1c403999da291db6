package formula

import (
	"math"
	"math/big"

	"tenths/calc/quantity"
	"tenths/calc/uncertainty"
)

// Spread says how the values of an input lie about the middle of its limits.
type Spread struct {
	// Shape is Normal, Uniform, Triangular, Arcsine or StudentsT of package
	// uncertainty; empty for normal.
	Shape uncertainty.Shape
	// SD is the standard deviation, a difference, where it is stated. Without it the
	// limits stand at 3 standard deviations of a normal spread (common practice in
	// tolerance analysis), and bound the others. A normal spread is cut off at the
	// limits if there are any: what lies outside was sorted out.
	SD quantity.Quantity
	// DF is the degrees of freedom of StudentsT, whose scale SD is.
	DF float64
}

// limitsAt is how many standard deviations from the middle the limits stand where
// nothing is stated.
func (s Spread) limitsAt() float64 {
	switch s.Shape {
	case uncertainty.Uniform:
		return math.Sqrt(3)
	case uncertainty.Triangular:
		return math.Sqrt(6)
	case uncertainty.Arcsine:
		return math.Sqrt2
	}
	return 3
}

// Same reports whether two spreads are the same.
func (s Spread) Same(o Spread) bool {
	if s.Shape != o.Shape || s.DF != o.DF || s.SD.IsZeroValue() != o.SD.IsZeroValue() {
		return false
	}
	if s.SD.IsZeroValue() {
		return true
	}
	c, err := s.SD.Cmp(o.SD)
	return err == nil && c == 0
}

// check says what is wrong with a spread for a value; empty if nothing is.
func (s Spread) check(t quantity.Toleranced) string {
	limits := t.HasLower() && t.HasUpper()
	switch s.Shape {
	case "", uncertainty.Normal:
	case uncertainty.Uniform, uncertainty.Triangular, uncertainty.Arcsine:
		switch {
		case !s.SD.IsZeroValue():
			return "is spread between its limits and takes no standard deviation"
		case !limits:
			return "is spread between its limits and has none"
		}
	case uncertainty.StudentsT:
		switch {
		case s.SD.IsZeroValue() || !(s.DF > 2):
			return "has a t distribution, which takes a standard deviation and more than 2 degrees of freedom"
		case limits:
			return "has a t distribution, which has no limits"
		}
	default:
		return "has a spread " + quote(string(s.Shape)) + "; it is normal, uniform, triangular, arcsine or t"
	}
	if s.SD.IsZeroValue() {
		return ""
	}
	if s.SD.Unit().Point() || s.SD.Dim() != t.Nominal.Unit().Difference().Dim() {
		return "has a standard deviation of " + article(s.SD.Kind()) + " and is " + article(t.Nominal.Kind())
	}
	if s.SD.Sign() < 0 {
		return "has a standard deviation below zero"
	}
	return ""
}

// sd is the standard deviation of a source, a difference. That of a t distribution
// is larger than its scale (JCGM 101:2008, 6.4.9).
func (s source) sd() quantity.Quantity {
	sp := s.input.Spread
	switch {
	case sp.Shape == uncertainty.StudentsT:
		return sp.SD.Scale(rationalOf(math.Sqrt(sp.DF / (sp.DF - 2))))
	case !sp.SD.IsZeroValue():
		return sp.SD
	case sp.limitsAt() == 3:
		return s.half.Scale(big.NewRat(1, 3))
	}
	return s.half.Scale(rationalOf(1 / sp.limitsAt()))
}

func rationalOf(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }
