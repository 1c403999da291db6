package study

import (
	"math"
	"math/big"
	"strconv"

	"tenths/calc/quantity"
)

// MM is a computed length as a quantity of the fixture's unit.
func (l *Locating) MM(v float64) quantity.Quantity { return lengthIn(v, l.Unit) }

// lengthIn is a computed length, given in mm, in the unit of a record.
func lengthIn(mm float64, u quantity.Unit) quantity.Quantity {
	q := quantity.FromFloat(mm, quantity.Millimetre)
	if out, err := q.As(u); err == nil {
		return out
	}
	return q
}

// Show prints a computed length with the digits that a shop can use: 0.00001 in
// or 0.0001 mm.
func Show(q quantity.Quantity) string {
	switch q.Unit().Name() {
	case "in":
		return q.Format(q.Unit(), 5)
	case "mm":
		return q.Format(q.Unit(), 4)
	}
	return q.String()
}

// Rounded is a computed quantity rounded half to even to so many decimals of its
// unit, for machines that read what people see.
func Rounded(q quantity.Quantity, decimals int) quantity.Quantity {
	v, err := q.In(q.Unit())
	if err != nil || decimals < 0 {
		return q
	}
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(decimals)), nil)
	v.Mul(v, new(big.Rat).SetInt(scale))
	n, rest := new(big.Int).DivMod(v.Num(), v.Denom(), new(big.Int)) // rest is never below zero
	if half := rest.Lsh(rest, 1).Cmp(v.Denom()); half > 0 || half == 0 && n.Bit(0) == 1 {
		n.Add(n, big.NewInt(1))
	}
	return quantity.New(new(big.Rat).SetFrac(n, scale), q.Unit()).WithDecimals(decimals)
}

// Shown is a computed length rounded to the digits that Show prints; other
// quantities, and exact ones that need fewer digits, come back as they are.
func Shown(q quantity.Quantity) quantity.Quantity {
	switch {
	case q.IsZeroValue():
		return q
	case q.Unit().Name() == "in":
		return Rounded(q, 5)
	case q.Unit().Name() == "mm":
		return Rounded(q, 4)
	}
	return q
}

// ShowDown prints a largest permitted length, rounded down so that the printed
// number is still permitted: to the given decimals of an inch, or to one fewer
// of a millimetre. It gives "" if nothing is left.
func ShowDown(q quantity.Quantity, decimals int) string {
	down := RoundedDown(q, decimals)
	if down.Sign() <= 0 {
		return ""
	}
	return down.String()
}

// RoundedDown is the length that ShowDown prints.
func RoundedDown(q quantity.Quantity, decimals int) quantity.Quantity {
	if q.Unit().Name() == "mm" {
		decimals--
	}
	step := math.Pow10(-decimals)
	v := math.Floor(q.FloatIn(q.Unit())/step+1e-6) * step
	return Rounded(quantity.FromFloat(v, q.Unit()), decimals)
}

// Degrees prints an angle without more digits than it deserves.
func Degrees(a float64) string { return strconv.FormatFloat(a, 'f', 0, 64) + " deg" }

// Angle is a computed angle, given in degrees, as a quantity.
func Angle(deg float64) quantity.Quantity { return quantity.FromFloat(deg, quantity.Degree) }
