// Package fit tells how a hole and a shaft go together: the limits of a
// tolerance class, the clearance of a pair, and the classes that keep a wanted
// clearance.
//
// A letter code alone is not enough: H7 converted to inches is not the hole
// grade 7 of the inch standard. Every answer that rests on a class therefore
// names its standard, ISO 286-2 for metric nominals or ANSI B4.1 for inch
// nominals, and neither ever answers for the other. The tables are those of
// package limits, which says what is carried and where it comes from.
//
// Clearance is hole minus shaft (ISO 286-1); a negative clearance is
// interference. All limits and clearances are exact; only the root-sum-square
// range comes out of a root.
package fit

import (
	"fmt"

	"tenths/calc/quantity"
)

// Standard names the standard that limits come from.
type Standard string

// The standards of package limits.
const (
	ISO286  Standard = "ISO 286-2"
	ANSIB41 Standard = "ANSI B4.1"
)

// shortDecimals is the longest decimal expansion that limits are written out
// to.
const shortDecimals = 8

// evenDecimals shows two limits with the same decimals, so that they read
// 0.1875 and 0.1880; at least as many as atLeast has. The values do not change.
func evenDecimals(a, b, atLeast quantity.Quantity) (quantity.Quantity, quantity.Quantity) {
	places := atLeast.Decimals()
	for _, q := range []quantity.Quantity{a, b} {
		v, err := q.In(q.Unit())
		if err != nil || !q.Exact() {
			return a, b
		}
		n, exact := v.FloatPrec()
		if !exact || n > shortDecimals {
			return a, b
		}
		places = max(places, n, q.Decimals())
	}
	return a.WithDecimals(places), b.WithDecimals(places)
}

// checkSize refuses what cannot be the size of a hole or shaft; what names it
// in the message.
func checkSize(q quantity.Quantity, what string) error {
	switch {
	case q.IsZeroValue():
		return fmt.Errorf("%s is missing; write it like 25 mm or 0.1875 in", what)
	case q.Dim() != quantity.Length:
		return fmt.Errorf("%s %s is no length; write it like 25 mm or 0.1875 in", what, q)
	case q.Sign() <= 0:
		return fmt.Errorf("%s %s is not possible; a size must be above 0", what, q)
	}
	return nil
}
