package quantity

import (
	"fmt"
	"math"
	"math/big"
)

// Quantity is an immutable value with its unit. The zero Quantity is not
// valid; IsZeroValue reports it.
//
// A temperature (68 F) is a point: its base value is in kelvin above absolute
// zero. Points subtract to a difference, and take a difference added or
// subtracted; every other arithmetic treats them as absolute temperatures.
type Quantity struct {
	value    *big.Rat // base unit; never changed after construction
	bound    *big.Rat // largest error of value, base unit; nil when exact
	unit     Unit
	decimals int    // as written; -1: none
	fraction string // as written, "1 1/2"; empty for decimals and computed values
}

// New is the quantity of the exact value in unit u. A zero Unit means One.
func New(value *big.Rat, u Unit) Quantity {
	if u.IsZero() {
		u = One
	}
	return Quantity{value: u.toBase(value), unit: u, decimals: -1}
}

// floatBound is the relative error bound that FromFloat assumes: 16 units in
// the last place, enough for a dozen roundings.
const floatBound = 1.0 / (1 << 48)

// FromFloat is a computed quantity: v in unit u, marked inexact, with an error
// bound of 2^-48 of v. Use WithBound where the error is known to be another.
// NaN and infinities give the zero Quantity.
func FromFloat(v float64, u Unit) Quantity {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Quantity{}
	}
	q := New(new(big.Rat).SetFloat64(v), u)
	return q.WithBound(new(big.Rat).SetFloat64(math.Abs(v) * floatBound))
}

// WithBound is q with the given largest error, in the unit of q. A bound of
// zero or nil makes it exact.
func (q Quantity) WithBound(b *big.Rat) Quantity {
	q.bound = nil
	if b != nil && b.Sign() != 0 && !q.IsZeroValue() {
		q.bound = new(big.Rat).Mul(new(big.Rat).Abs(b), q.unit.is().scale)
		q.decimals, q.fraction = -1, ""
	}
	return q
}

// WithDecimals is q shown with the given number of decimals; -1 for none
// stated. The value does not change.
func (q Quantity) WithDecimals(n int) Quantity {
	q.decimals, q.fraction = max(-1, min(n, maxDecimals)), ""
	return q
}

// As is the same value shown in another unit of its dimension, without stated
// decimals unless the units measure alike.
func (q Quantity) As(u Unit) (Quantity, error) {
	if err := q.sameKind("show", "in", u); err != nil {
		return Quantity{}, err
	}
	if !q.unit.Same(u) {
		q.decimals, q.fraction = -1, ""
	}
	q.unit = u
	return q, nil
}

// IsZeroValue reports whether q is the zero Quantity, which holds no value.
func (q Quantity) IsZeroValue() bool { return q.value == nil }

// Rat is a copy of the value in the base unit (a temperature in kelvin). For
// the zero Quantity it is 0.
func (q Quantity) Rat() *big.Rat {
	r := new(big.Rat)
	if q.value != nil {
		r.Set(q.value)
	}
	return r
}

// Bound is the largest error of the value in the base unit; 0 when exact.
func (q Quantity) Bound() *big.Rat {
	r := new(big.Rat)
	if q.bound != nil {
		r.Set(q.bound)
	}
	return r
}

// Exact reports whether the value is exact.
func (q Quantity) Exact() bool { return q.value != nil && q.bound == nil }

// In is the exact value in unit u; a zero Unit means One. It is an error when u
// has another dimension, or when one is a temperature and the other a difference.
func (q Quantity) In(u Unit) (*big.Rat, error) {
	if u.IsZero() {
		u = One
	}
	if err := q.sameKind("convert", "to", u); err != nil {
		return nil, err
	}
	return u.fromBase(q.value), nil
}

// Float is the nearest float64 in the base unit.
func (q Quantity) Float() float64 {
	f, _ := q.Rat().Float64()
	return f
}

// FloatIn is the nearest float64 in unit u, NaN when u has another dimension.
func (q Quantity) FloatIn(u Unit) float64 {
	r, err := q.In(u)
	if err != nil {
		return math.NaN()
	}
	f, _ := r.Float64()
	return f
}

// Unit is the unit in which q was written or is shown.
func (q Quantity) Unit() Unit { return q.unit }

// Dim is the dimension.
func (q Quantity) Dim() Dim { return q.unit.is().dim }

// Kind is the dimension in words; a temperature is told from a difference.
func (q Quantity) Kind() string { return q.unit.kind() }

// Decimals is the number of decimals as written; -1 for a fraction and for
// most computed values. Sums of decimals in one unit keep the larger number.
func (q Quantity) Decimals() int { return q.decimals }

// Cmp compares exactly: -1, 0 or +1. Inexact values compare by their value; use
// Toleranced.Side where the bound matters. Quantities of different kinds do not
// compare.
func (q Quantity) Cmp(o Quantity) (int, error) {
	if o.IsZeroValue() {
		return 0, errNoValue
	}
	if err := q.sameKind("compare", "with", o.unit); err != nil {
		return 0, err
	}
	return q.value.Cmp(o.value), nil
}

// Sign is -1, 0 or +1. A temperature is compared with absolute zero.
func (q Quantity) Sign() int {
	if q.value == nil {
		return 0
	}
	return q.value.Sign()
}

var errNoValue = fmt.Errorf("a quantity without a value")

// sameKind is the error for "cannot <verb> a length <link> an angle".
func (q Quantity) sameKind(verb, link string, u Unit) error {
	if q.IsZeroValue() {
		return errNoValue
	}
	if u.IsZero() {
		u = One
	}
	if q.unit.is().dim != u.is().dim || q.unit.Point() != u.Point() {
		return fmt.Errorf("cannot %s %s %s %s", verb, article(q.unit.kind()), link, article(u.kind()))
	}
	return nil
}

// article puts "a" or "an" before a word.
func article(s string) string {
	if s != "" && (s[0] == 'a') {
		return "an " + s
	}
	return "a " + s
}
