package boring

import (
	"fmt"
	"math/big"
	"strings"

	"tenths/calc/quantity"
)

// feed is the dimension of a feed or a surface speed.
var feed = quantity.Length.Over(quantity.Time)

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

// positive refuses what is no value above zero of the dimension. eg is what a
// person would type.
func (s *sums) positive(q quantity.Quantity, name string, d quantity.Dim, eg string) {
	switch {
	case s.err != nil:
	case q.IsZeroValue():
		s.err = fmt.Errorf("%s: no value; type %s above 0, such as %s", name, noun(d), eg)
	case q.Dim() != d || q.Unit().Point():
		s.err = fmt.Errorf("%s: %s is %s; type %s above 0, such as %s", name, q, article(q.Kind()), noun(d), eg)
	case low(q).Sign() <= 0:
		s.err = fmt.Errorf("%s: %s is not above 0; type %s above 0, such as %s", name, q, noun(d), eg)
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

// low and high are the ends of what a value can be, in the base unit; they
// differ for inexact values only.
func low(q quantity.Quantity) *big.Rat  { return new(big.Rat).Sub(q.Rat(), q.Bound()) }
func high(q quantity.Quantity) *big.Rat { return new(big.Rat).Add(q.Rat(), q.Bound()) }

// atLeast reports whether a is certainly not below b.
func atLeast(a, b quantity.Quantity) bool { return low(a).Cmp(high(b)) >= 0 }

// computed is a float64 result in the base unit shown in unit u. Its error is
// that of a dozen roundings and of what the inputs bring in; the functions of
// this package change relative errors by less than four.
func computed(v float64, u quantity.Unit, from ...quantity.Quantity) (quantity.Quantity, error) {
	q := quantity.FromFloat(v, quantity.BaseUnit(u.Dim()))
	share := new(big.Rat)
	for _, in := range from {
		if in.Bound().Sign() > 0 && in.Sign() != 0 {
			share.Add(share, new(big.Rat).Quo(in.Bound(), in.Abs().Rat()))
		}
	}
	if share.Sign() > 0 {
		share.Mul(share, big.NewRat(4, 1)).Mul(share, q.Abs().Rat())
		q = q.WithBound(share.Add(share, q.Bound()))
	}
	return q.As(u)
}

// noun is what a person would call a value of dimension d.
func noun(d quantity.Dim) string {
	if d == feed {
		return "a feed"
	}
	return article(d.String())
}

func article(s string) string {
	if strings.HasPrefix(s, "a") {
		return "an " + s
	}
	return "a " + s
}
