package weld

import (
	"fmt"
	"math"
	"math/big"
	"strings"

	"tenths/calc/quantity"
)

var (
	speed  = quantity.Length.Over(quantity.Time)
	volume = quantity.Length.Times(quantity.Length).Times(quantity.Length)
	energy = quantity.Force.Times(quantity.Length)
	mass   = quantity.Force.Times(quantity.Time).Times(quantity.Time).Over(quantity.Length)
	rate   = mass.Over(quantity.Time)
	// specific is the dimension of a specific heat, m²/s²/K = J/(kg·K).
	specific = energy.Over(mass).Over(quantity.TemperatureDifference)
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
func (s *sums) div(a, b quantity.Quantity) quantity.Quantity { return s.keep(a.Div(b)) }

// fail sets the error unless an earlier one stands.
func (s *sums) fail(format string, a ...any) {
	if s.err == nil {
		s.err = fmt.Errorf(format, a...)
	}
}

// positive refuses what is no value above zero of the dimension. eg is what a
// person would type.
func (s *sums) positive(q quantity.Quantity, name string, d quantity.Dim, eg string) {
	s.oneOf(q, name, []quantity.Dim{d}, noun(d)+" above 0, such as "+eg)
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

// oneOf refuses what is no value above zero of one of the dimensions; want is
// what a person should type.
func (s *sums) oneOf(q quantity.Quantity, name string, dims []quantity.Dim, want string) {
	if s.err != nil {
		return
	}
	if q.IsZeroValue() {
		s.fail("%s: no value; type %s", name, want)
		return
	}
	ok := false
	for _, d := range dims {
		ok = ok || q.Dim() == d && !q.Unit().Point()
	}
	switch {
	case !ok:
		s.fail("%s: %s is %s; type %s", name, q, article(q.Kind()), want)
	case q.Rat().Cmp(q.Bound()) <= 0:
		s.fail("%s: %s is not above 0; type %s", name, q, want)
	}
}

// share refuses what is no number above 0 and up to 1.
func (s *sums) share(q quantity.Quantity, name, eg string) {
	s.positive(q, name, quantity.Number, eg)
	if s.err == nil && q.Rat().Cmp(big.NewRat(1, 1)) > 0 {
		s.fail("%s: %s is more than all of it; type a number up to 1, such as %s", name, q, eg)
	}
}

// pi carries the error bound of a float64.
func pi() quantity.Quantity { return quantity.FromFloat(math.Pi, quantity.One) }

// unit is a combined unit of this package's code; all are in the list of
// quantity, as TestUnitsAreKnown shows.
func unit(name string) quantity.Unit {
	u, _ := quantity.LookupUnit(name)
	return u
}

// unitLike is the metric or the inch unit, as q was written.
func unitLike(q quantity.Quantity, metric, inch string) quantity.Unit {
	if inches(q) {
		return unit(inch)
	}
	return unit(metric)
}

func inches(q quantity.Quantity) bool { return q.Unit().System() == quantity.Inch.System() }

// noun is what a person would call a value of dimension d.
func noun(d quantity.Dim) string {
	switch d {
	case speed:
		return "a speed"
	case mass:
		return "a mass"
	case specific:
		return "a specific heat"
	}
	return article(d.String())
}

func article(s string) string {
	if strings.HasPrefix(s, "a") {
		return "an " + s
	}
	return "a " + s
}
