package study

import (
	"math"
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

// ShowDown prints a largest permitted length, rounded down so that the printed
// number is still permitted: to the given decimals of an inch, or to one fewer
// of a millimetre. It gives "" if nothing is left.
func ShowDown(q quantity.Quantity, decimals int) string {
	if q.Unit().Name() == "mm" {
		decimals--
	}
	step := math.Pow10(-decimals)
	v := math.Floor(q.FloatIn(q.Unit())/step+1e-6) * step
	if v <= 0 {
		return ""
	}
	return quantity.FromFloat(v, q.Unit()).Format(q.Unit(), decimals)
}

// Degrees prints an angle without more digits than it deserves.
func Degrees(a float64) string { return strconv.FormatFloat(a, 'f', 0, 64) + " deg" }

// Angle is a computed angle, given in degrees, as a quantity.
func Angle(deg float64) quantity.Quantity { return quantity.FromFloat(deg, quantity.Degree) }
