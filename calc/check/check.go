// Package check looks over what a calculation is given, and does exact arithmetic
// that keeps its first error, so that a formula reads as one.
package check

import (
	"fmt"
	"math"
	"math/big"
	"strings"

	"tenths/calc/quantity"
)

// Dimensions that the calculations share.
var (
	Speed     = quantity.Length.Over(quantity.Time) // feeds and surface speeds too
	Expansion = quantity.Number.Over(quantity.TemperatureDifference)
	Stress    = quantity.Force.Over(quantity.Length).Over(quantity.Length) // pressures and moduli too
	Energy    = quantity.Force.Times(quantity.Length)
	Mass      = quantity.Force.Times(quantity.Time).Times(quantity.Time).Over(quantity.Length)
	// SpecificHeat is m²/s²/K = J/(kg·K).
	SpecificHeat = Energy.Over(Mass).Over(quantity.TemperatureDifference)
)

// What a person would type: a coefficient of linear expansion, a temperature.
const (
	EgExpansion = "11.7 ppm/K or 6.5 ppm/F"
	egDegrees   = "68 F or 20 C"
)

// Sums does exact arithmetic and keeps the first error in Err. The zero value is
// ready. Each method does nothing once there is an error.
type Sums struct{ Err error }

// Keep gives the quantity and keeps the error that came with it.
func (s *Sums) Keep(q quantity.Quantity, err error) quantity.Quantity {
	if s.Err == nil {
		s.Err = err
	}
	return q
}

// Add is a + b.
func (s *Sums) Add(a, b quantity.Quantity) quantity.Quantity { return s.Keep(a.Add(b)) }

// Sub is a - b.
func (s *Sums) Sub(a, b quantity.Quantity) quantity.Quantity { return s.Keep(a.Sub(b)) }

// Div is a / b.
func (s *Sums) Div(a, b quantity.Quantity) quantity.Quantity { return s.Keep(a.Div(b)) }

// Fail sets the error unless an earlier one stands.
func (s *Sums) Fail(format string, a ...any) {
	if s.Err == nil {
		s.Err = fmt.Errorf(format, a...)
	}
}

// Positive refuses what is no value of the dimension that is certainly above zero. name is
// what the value is called, eg what a person would type.
func (s *Sums) Positive(q quantity.Quantity, name string, d quantity.Dim, eg string) {
	s.OneOf(q, name, []quantity.Dim{d}, Noun(d)+" above 0, such as "+eg)
}

// OneOf is Positive for several dimensions; want is what a person should type.
func (s *Sums) OneOf(q quantity.Quantity, name string, dims []quantity.Dim, want string) {
	if q.IsZeroValue() {
		s.Fail("%s: no value; type %s", name, want)
		return
	}
	ok := false
	for _, d := range dims {
		ok = ok || q.Dim() == d && !q.Unit().Point()
	}
	switch {
	case !ok:
		s.Fail("%s: %s is %s; type %s", name, q, Article(q.Kind()), want)
	case Low(q).Sign() <= 0:
		s.Fail("%s: %s is not above 0; type %s", name, q, want)
	}
}

// Optional is Positive for a value that may be left out.
func (s *Sums) Optional(q quantity.Quantity, name string, d quantity.Dim, eg string) {
	if !q.IsZeroValue() {
		s.Positive(q, name, d, eg)
	}
}

// ZeroOr is Optional for a value that may also be 0.
func (s *Sums) ZeroOr(q quantity.Quantity, name string, d quantity.Dim, eg string) {
	if q.Dim() == d && q.Exact() && q.Sign() == 0 {
		return
	}
	s.Optional(q, name, d, eg)
}

// largest is far above the expansion of any metal or plastic, and far below a
// number whose millionth was forgotten.
var largest = big.NewRat(1, 1000)

// Coefficient refuses what cannot be a coefficient of linear expansion.
func (s *Sums) Coefficient(q quantity.Quantity, name string) {
	s.Positive(q, name, Expansion, EgExpansion)
	if s.Err == nil && q.Rat().Cmp(largest) > 0 {
		s.Fail("%s: %s is beyond any material; type it in millionths, such as %s", name, q, EgExpansion)
	}
}

// Temperature refuses what is no temperature, and a difference in its place.
func (s *Sums) Temperature(q quantity.Quantity, name string) {
	switch {
	case q.IsZeroValue():
		s.Fail("%s: no value; type a temperature, such as %s", name, egDegrees)
	case !q.Unit().Point():
		s.Fail("%s: %s is %s; type a temperature, such as %s", name, q, Article(q.Kind()), egDegrees)
	case q.Sign() < 0:
		s.Fail("%s: %s is below absolute zero; type a temperature, such as %s", name, q, egDegrees)
	}
}

// Low and High are the ends of what a value can be, in the base unit of its
// dimension; they differ for inexact values only.
func Low(q quantity.Quantity) *big.Rat  { return new(big.Rat).Sub(q.Rat(), q.Bound()) }
func High(q quantity.Quantity) *big.Rat { return new(big.Rat).Add(q.Rat(), q.Bound()) }

// Pi is a plain number with the error bound of a float64.
func Pi() quantity.Quantity { return quantity.FromFloat(math.Pi, quantity.One) }

// UnitLike is the metric unit or the inch unit, by the system in which q is written. Both
// names must be known to quantity.LookupUnit.
func UnitLike(q quantity.Quantity, metric, inch string) quantity.Unit {
	name := metric
	if q.Unit().System() == quantity.Inch.System() {
		name = inch
	}
	u, _ := quantity.LookupUnit(name)
	return u
}

// Noun is what a person would call a value of dimension d, with its article.
func Noun(d quantity.Dim) string {
	switch d {
	case Speed:
		return "a speed"
	case Expansion:
		return "a coefficient of expansion"
	case Stress:
		return "a stress"
	case Mass:
		return "a mass"
	case SpecificHeat:
		return "a specific heat"
	}
	return Article(d.String())
}

// Article puts a or an before a word.
func Article(word string) string {
	if strings.HasPrefix(word, "a") {
		return "an " + word
	}
	return "a " + word
}
