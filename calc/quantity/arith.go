package quantity

import (
	"errors"
	"fmt"
	"math"
	"math/big"
)

// Neg is -q.
func (q Quantity) Neg() Quantity {
	if q.IsZeroValue() {
		return q
	}
	q.value = new(big.Rat).Neg(q.value)
	switch {
	case q.fraction == "" || q.Sign() == 0:
	case q.fraction[0] == '-':
		q.fraction = q.fraction[1:]
	default:
		q.fraction = "-" + q.fraction
	}
	return q
}

// Abs is the magnitude of q.
func (q Quantity) Abs() Quantity {
	if q.Sign() < 0 {
		return q.Neg()
	}
	return q
}

// Add is q + o, shown in the unit of q. The dimensions must agree. A
// temperature takes a difference; two temperatures do not add.
func (q Quantity) Add(o Quantity) (Quantity, error) {
	return q.sum(o, "add", "to", (*big.Rat).Add)
}

// Sub is q - o, shown in the unit of q; the difference of two temperatures is
// a temperature difference.
func (q Quantity) Sub(o Quantity) (Quantity, error) {
	return q.sum(o, "subtract", "from", (*big.Rat).Sub)
}

func (q Quantity) sum(o Quantity, verb, link string, op func(z, x, y *big.Rat) *big.Rat) (Quantity, error) {
	if q.IsZeroValue() || o.IsZeroValue() {
		return Quantity{}, errNoValue
	}
	qp, op2 := q.unit.Point(), o.unit.Point()
	if q.unit.is().dim != o.unit.is().dim || op2 && (!qp || verb == "add") {
		return Quantity{}, fmt.Errorf("cannot %s %s %s %s", verb, article(o.unit.kind()), link, article(q.unit.kind()))
	}
	u := q.unit
	if qp && op2 {
		u = u.Difference()
	}
	r := Quantity{value: op(new(big.Rat), q.value, o.value), unit: u, decimals: -1}
	if q.decimals >= 0 && o.decimals >= 0 && q.unit.Difference().Same(o.unit.Difference()) {
		r.decimals = max(q.decimals, o.decimals)
	}
	if q.bound == nil && o.bound == nil {
		return r, nil
	}
	return r.settle(new(big.Rat).Add(q.Bound(), o.Bound())), nil
}

// Mul is the product q*o. A plain number keeps the unit of the other factor;
// otherwise the result is shown in inches and pounds-force when the factors
// are, else in base units. The zero Quantity gives the zero Quantity.
func (q Quantity) Mul(o Quantity) Quantity {
	if q.IsZeroValue() || o.IsZeroValue() {
		return Quantity{}
	}
	r := Quantity{value: new(big.Rat).Mul(q.value, o.value), unit: productUnit(q.unit, o.unit, q.unit.is().dim.Times(o.unit.is().dim)), decimals: -1}
	if q.bound == nil && o.bound == nil {
		return r
	}
	// |a|·eb + |b|·ea + ea·eb
	ea, eb := q.Bound(), o.Bound()
	e := new(big.Rat).Mul(absRat(q.value), eb)
	e.Add(e, new(big.Rat).Mul(absRat(o.value), ea))
	e.Add(e, new(big.Rat).Mul(ea, eb))
	return r.settle(e)
}

// ErrDivideByZero is returned by Div.
var ErrDivideByZero = errors.New("division by zero")

// Div is the quotient q/o. Dividing by zero, or by an inexact value whose bound
// reaches zero, is ErrDivideByZero.
func (q Quantity) Div(o Quantity) (Quantity, error) {
	if q.IsZeroValue() || o.IsZeroValue() {
		return Quantity{}, errNoValue
	}
	low := absRat(o.value) // smallest possible divisor
	low.Sub(low, o.Bound())
	if low.Sign() <= 0 {
		return Quantity{}, ErrDivideByZero
	}
	r := Quantity{value: new(big.Rat).Quo(q.value, o.value), unit: q.unit.Difference(), decimals: -1}
	if o.unit.is().dim != Number {
		r.unit = productUnit(q.unit, o.unit, q.unit.is().dim.Over(o.unit.is().dim))
	}
	if q.bound == nil && o.bound == nil {
		return r, nil
	}
	// (ea + |a/b|·eb) / (|b|-eb)
	e := new(big.Rat).Mul(absRat(r.value), o.Bound())
	e.Add(e, q.Bound())
	return r.settle(e.Quo(e, low)), nil
}

// Scale is r times q, in the unit of q.
func (q Quantity) Scale(r *big.Rat) Quantity {
	p := q.Mul(New(r, One))
	p.unit = q.unit.Difference()
	return p
}

// productUnit chooses the unit of a product or quotient of two units.
func productUnit(a, b Unit, d Dim) Unit {
	switch {
	case d == a.is().dim && b.is().dim == Number && a.is().dim != Number:
		return a.Difference()
	case d == b.is().dim && a.is().dim == Number && b.is().dim != Number:
		return b.Difference()
	}
	s := a.is().system
	if s == neutral {
		s = b.is().system
	}
	return baseUnit(d, s)
}

// settle sets the bound of an inexact result and rounds its value to a float64
// so that it does not grow; the rounding is added to the bound.
func (q Quantity) settle(bound *big.Rat) Quantity {
	f, exact := q.value.Float64()
	if !exact && !math.IsInf(f, 0) {
		v := new(big.Rat).SetFloat64(f)
		bound.Add(bound, absRat(new(big.Rat).Sub(v, q.value)))
		q.value = v
	}
	b, exact := bound.Float64()
	if !exact {
		b = math.Nextafter(b, math.Inf(1))
	}
	if !math.IsInf(b, 0) {
		bound = new(big.Rat).SetFloat64(b)
	}
	q.bound = nil
	if bound.Sign() > 0 {
		q.bound = bound
	}
	return q
}

func absRat(r *big.Rat) *big.Rat { return new(big.Rat).Abs(r) }
