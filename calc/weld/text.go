package weld

import (
	"math/big"
	"strings"

	"tenths/calc/check"
	"tenths/calc/quantity"
)

// Text shows a result of this package as people read it: masses in g and kg or
// lb, rates in kg/h or lb/h, energies in J and kJ, energy for each length in kJ/mm
// or kJ/in, with three digits. Anything else is shown by its own String.
func Text(q quantity.Quantity) string {
	v := q.Rat()
	pound := func() *big.Rat { // base units of mass in a pound
		lb, err := quantity.New(big.NewRat(1, 1), unit("lbf")).Div(gravity())
		if err != nil {
			return big.NewRat(1, 1)
		}
		return lb.Rat()
	}
	base := func(name string) *big.Rat { return quantity.New(big.NewRat(1, 1), unit(name)).Rat() }
	const kilogram = "N·s²/m"
	switch {
	case q.IsZeroValue():
		return q.String()
	case q.Dim() == check.Mass && inches(q):
		return digits(v.Quo(v, pound())) + " lb"
	case q.Dim() == check.Mass:
		return thousands(v.Quo(v, base(kilogram)), "g", "kg")
	case q.Dim() == rate && inches(q):
		return digits(v.Mul(v.Quo(v, pound()), big.NewRat(3600, 1))) + " lb/h"
	case q.Dim() == rate:
		return digits(v.Mul(v.Quo(v, base(kilogram)), big.NewRat(3600, 1))) + " kg/h"
	case q.Dim() == check.Energy:
		return thousands(v.Quo(v, base("N·m")).Quo(v, big.NewRat(1000, 1)), "J", "kJ")
	case q.Dim() == quantity.Force && strings.HasSuffix(q.Unit().Name(), "/in"):
		return digits(v.Quo(v, base("N·m/in")).Quo(v, big.NewRat(1000, 1))) + " kJ/in"
	case q.Dim() == quantity.Force && strings.HasSuffix(q.Unit().Name(), "/mm"):
		return digits(v.Quo(v, base("N·m/mm")).Quo(v, big.NewRat(1000, 1))) + " kJ/mm"
	}
	return q.String()
}

// thousands shows a value in the large unit from 1 on, else in the small one.
func thousands(v *big.Rat, small, large string) string {
	if v.Cmp(big.NewRat(1, 1)) >= 0 {
		return digits(v) + " " + large
	}
	return digits(new(big.Rat).Mul(v, big.NewRat(1000, 1))) + " " + small
}

// digits shows three digits, and whole numbers from 100 on.
func digits(v *big.Rat) string {
	f, _ := v.Float64()
	places := 2
	for f < 1 && f > 0 && places < 12 {
		f *= 10
		places++
	}
	for f >= 10 && places > 0 {
		f /= 10
		places--
	}
	return v.FloatString(places)
}
