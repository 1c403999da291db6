// Package gauge answers what a GO and NOT GO pair is worth: its sizes by class,
// the share of the tolerance that it eats, what it proves of a part, and how a
// reading with an uncertainty is decided.
//
// Sizes and limits are exact (package quantity) and compare exactly;
// probabilities are floats. Answers are in the unit of the feature or gauge that
// is asked about. The folder data holds the class tables with their sources.
//
// A limit gauge never gives a number. It proves that the size lies above or
// below the gauge at the place where it was tried, and nothing about form: a
// NOT GO plug refuses a hole that is too wide one way only, and a GO plug does not
// find a bell mouth. Standards differ in editions; the one named on the drawing or in
// the contract decides.
package gauge

import (
	"fmt"
	"math/big"

	"tenths/calc/quantity"
)

// Kind tells a gauge for holes from a gauge for shafts.
type Kind int

const (
	Plug Kind = iota // a plug or pin, for a hole
	Ring             // a ring (or gap), for a shaft
)

// String names the gauge.
func (k Kind) String() string {
	switch k {
	case Plug:
		return "plug"
	case Ring:
		return "ring"
	}
	return fmt.Sprintf("unknown kind %d", int(k))
}

// feature is the trade's word for what the gauge is for.
func (k Kind) feature() string {
	if k == Ring {
		return "shaft"
	}
	return "hole"
}

func (k Kind) check() error {
	if k != Plug && k != Ring {
		return fmt.Errorf("%s: a gauge is a plug or a ring", k)
	}
	return nil
}

// checkLimits refuses what is no pair of limits of a size above 0, and gives the
// tolerance.
func checkLimits(t quantity.Toleranced, what string) (tolerance quantity.Quantity, err error) {
	const write = "write it like 0.1875 +0.0005/-0 in"
	switch {
	case t.Nominal.IsZeroValue():
		return tolerance, fmt.Errorf("the %s is missing; %s", what, write)
	case t.Nominal.Dim() != quantity.Length:
		return tolerance, fmt.Errorf("the %s %s is no length; %s", what, t, write)
	}
	tolerance, ok := t.Width()
	if !ok {
		return tolerance, fmt.Errorf("the %s %s needs both limits; %s", what, t, write)
	}
	if t.Lower.Sign() <= 0 {
		return tolerance, fmt.Errorf("the %s can be as small as %s; a size must be above 0", what, t.Lower)
	}
	return tolerance, nil
}

// needLength refuses a quantity that is no length; the caller looks at the
// sign.
func needLength(q quantity.Quantity, what, example string) error {
	if q.IsZeroValue() {
		return fmt.Errorf("%s is missing; write it like %s", what, example)
	}
	if q.Dim() != quantity.Length {
		return fmt.Errorf("%s %s is no length; write it like %s", what, q, example)
	}
	return nil
}

// between is a toleranced size around a marked size, both limits written with
// the same decimals.
func between(nominal, lower, upper quantity.Quantity) (quantity.Toleranced, error) {
	places := nominal.Decimals()
	for _, q := range []quantity.Quantity{lower, upper} {
		v, err := q.In(q.Unit())
		if err != nil {
			return quantity.Toleranced{}, err
		}
		n, exact := v.FloatPrec()
		if !exact || n > 8 || !q.Exact() {
			return quantity.WithLimits(nominal, lower, upper)
		}
		places = max(places, n)
	}
	return quantity.WithLimits(nominal, lower.WithDecimals(places), upper.WithDecimals(places))
}

// excess is a - b when that is above 0, else 0 in the unit of a.
func excess(a, b quantity.Quantity) (quantity.Quantity, error) {
	d, err := a.Sub(b)
	if err != nil || d.Sign() >= 0 {
		return d, err
	}
	return d.Scale(new(big.Rat)), nil
}
