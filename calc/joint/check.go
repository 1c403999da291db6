package joint

import (
	"fmt"
	"math"
	"math/big"
	"strings"

	"tenths/calc/quantity"
)

// expansion is the dimension of a coefficient of linear expansion.
var expansion = quantity.Number.Over(quantity.TemperatureDifference)

// stress is the dimension of a stress, a pressure and a modulus of elasticity.
var stress = quantity.Force.Over(quantity.Length).Over(quantity.Length)

const (
	egLength    = "0.5 in or 12 mm"
	egExpansion = "11.7 ppm/K or 6.5 ppm/F"
	egDegrees   = "68 F or 20 C"
	egStress    = "30 N/mm² (30 MPa) or 4000 lbf/in² (4000 psi)"
	egModulus   = "207000 N/mm² (207 GPa) or 30000000 lbf/in²"
	egForce     = "5000 N or 1000 lbf"
)

// sums does exact arithmetic and keeps the first error, so that a formula reads
// as one.
type sums struct{ err error }

func (s *sums) keep(q quantity.Quantity, err error) quantity.Quantity {
	if s.err == nil {
		s.err = err
	}
	return q
}

func (s *sums) add(a, b quantity.Quantity) quantity.Quantity { return s.keep(a.Add(b)) }
func (s *sums) sub(a, b quantity.Quantity) quantity.Quantity { return s.keep(a.Sub(b)) }
func (s *sums) div(a, b quantity.Quantity) quantity.Quantity { return s.keep(a.Div(b)) }

// positive refuses what is no value above zero of the dimension.
func (s *sums) positive(q quantity.Quantity, name string, d quantity.Dim, eg string) {
	want := noun(d) + " above 0, such as " + eg
	switch {
	case s.err != nil:
	case q.IsZeroValue():
		s.err = fmt.Errorf("%s: no value; type %s", name, want)
	case q.Dim() != d || q.Unit().Point():
		s.err = fmt.Errorf("%s: %s is %s; type %s", name, q, article(q.Kind()), want)
	case q.Rat().Cmp(q.Bound()) <= 0:
		s.err = fmt.Errorf("%s: %s is not above 0; type %s", name, q, want)
	}
}

// optional is positive for a value that may be left out.
func (s *sums) optional(q quantity.Quantity, name string, d quantity.Dim, eg string) {
	if !q.IsZeroValue() {
		s.positive(q, name, d, eg)
	}
}

// zeroOr is optional for a value that may also be 0.
func (s *sums) zeroOr(q quantity.Quantity, name string, d quantity.Dim, eg string) {
	if q.Dim() == d && q.Exact() && q.Sign() == 0 {
		return
	}
	s.optional(q, name, d, eg)
}

// fail sets the error unless an earlier one stands.
func (s *sums) fail(format string, a ...any) {
	if s.err == nil {
		s.err = fmt.Errorf(format, a...)
	}
}

// below reports whether a is certainly below b.
func below(a, b quantity.Quantity) bool {
	top := new(big.Rat).Add(a.Rat(), a.Bound())
	return top.Cmp(new(big.Rat).Sub(b.Rat(), b.Bound())) < 0
}

// plain is an exact plain number.
func plain(a, b int64) quantity.Quantity { return quantity.New(big.NewRat(a, b), quantity.One) }

// pi carries the error bound of a float64.
func pi() quantity.Quantity { return quantity.FromFloat(math.Pi, quantity.One) }

// unitLike is the metric or the inch unit, as q was written.
func unitLike(q quantity.Quantity, metric, inch string) quantity.Unit {
	name := metric
	if q.Unit().System() == quantity.Inch.System() {
		name = inch
	}
	u, _ := quantity.LookupUnit(name)
	return u
}

// largest is far above the expansion of any metal or plastic, and far below a
// number whose millionth was forgotten.
var largest = big.NewRat(1, 1000)

// coefficient refuses what cannot be a coefficient of linear expansion.
func (s *sums) coefficient(q quantity.Quantity, name string) {
	s.positive(q, name, expansion, egExpansion)
	if s.err == nil && q.Rat().Cmp(largest) > 0 {
		s.err = fmt.Errorf("%s: %s is beyond any material; type it in millionths, such as %s", name, q, egExpansion)
	}
}

// temperature refuses what is no temperature, and a difference in its place.
func (s *sums) temperature(q quantity.Quantity, name string) {
	switch {
	case s.err != nil:
	case q.IsZeroValue():
		s.err = fmt.Errorf("%s: no value; type a temperature, such as %s", name, egDegrees)
	case !q.Unit().Point():
		s.err = fmt.Errorf("%s: %s is %s; type a temperature, such as %s", name, q, article(q.Kind()), egDegrees)
	case q.Sign() < 0:
		s.err = fmt.Errorf("%s: %s is below absolute zero; type a temperature, such as %s", name, q, egDegrees)
	}
}

// noun is what a person would call a value of dimension d.
func noun(d quantity.Dim) string {
	switch d {
	case expansion:
		return "a coefficient of expansion"
	case stress:
		return "a stress"
	}
	return article(d.String())
}

func article(s string) string {
	if strings.HasPrefix(s, "a") {
		return "an " + s
	}
	return "a " + s
}
