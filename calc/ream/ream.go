// Package ream answers what size of reamer a hole wants, what a reamer at hand
// will make of it, and how much to leave for reaming.
//
// Sizes are exact: the rule rounds up to whole steps, and in binary floating
// point 0.35 times 180 already lands on the wrong side of a whole number.
//
// A reamer cuts a little over or under its own size, by material, lubricant,
// stock and run-out; no published figure for it could be relied on. Reamed test
// holes in the same material decide.
package ream

import (
	"fmt"
	"math/big"

	"tenths/calc/quantity"
)

// upperShare and lowerShare are the parts of the hole tolerance in DIN 1420.
var (
	upperShare = big.NewRat(15, 100)
	lowerShare = big.NewRat(35, 100)
)

// Limits is the size a reamer should have for a hole, by the rule of DIN 1420
// (ISO 522):
//
//	largest  = largest hole - 15 % of the tolerance
//	smallest = largest reamer - 35 % of the tolerance
//
// each part rounded up to the next whole step: 0.001 mm for a metric hole, as in
// the standard, and 0.0001 in for an inch hole (common practice). One maker's
// handbook lets the 15 % go to half steps. See LimitsIn for another step. The
// nominal of the answer is that of the hole.
//
// Errors: as LimitsIn.
func Limits(hole quantity.Toleranced) (quantity.Toleranced, error) {
	if _, err := checkHole(hole); err != nil {
		return quantity.Toleranced{}, err
	}
	return LimitsIn(hole, usualStep(hole))
}

// usualStep is 0.0001 in or 0.001 mm.
func usualStep(hole quantity.Toleranced) quantity.Quantity {
	if hole.Upper.Unit().System() == "inch" {
		return quantity.New(big.NewRat(1, 10000), quantity.Inch)
	}
	return quantity.New(big.NewRat(1, 1000), quantity.Millimetre)
}

// LimitsIn is Limits with both parts rounded up to whole multiples of step.
//
// Errors: a hole that is no length, not above 0, without both limits or only
// known within a bound; a step that is no length above 0; a tolerance so narrow
// that in these steps the smallest reamer is not above the smallest hole.
func LimitsIn(hole quantity.Toleranced, step quantity.Quantity) (quantity.Toleranced, error) {
	tolerance, err := checkHole(hole)
	if err != nil {
		return quantity.Toleranced{}, err
	}
	switch {
	case step.IsZeroValue() || step.Dim() != quantity.Length:
		return quantity.Toleranced{}, fmt.Errorf("the step %s is no length; write it like 0.0001 in or 0.001 mm", step)
	case step.Sign() <= 0 || !step.Exact():
		return quantity.Toleranced{}, fmt.Errorf("the step %s is not possible; it must be exact and above 0, like 0.0001 in", step)
	}
	unit := hole.Upper.Unit()
	part := func(share *big.Rat) (quantity.Quantity, error) {
		steps := new(big.Rat).Mul(share, tolerance.Rat())
		whole := roundUp(steps.Quo(steps, step.Rat()))
		return step.Scale(new(big.Rat).SetInt(whole)).As(unit)
	}
	above, err := part(upperShare)
	if err != nil {
		return quantity.Toleranced{}, err
	}
	width, err := part(lowerShare)
	if err != nil {
		return quantity.Toleranced{}, err
	}
	largest, err := hole.Upper.Sub(above)
	if err != nil {
		return quantity.Toleranced{}, err
	}
	smallest, err := largest.Sub(width)
	if err != nil {
		return quantity.Toleranced{}, err
	}
	if smallest.Rat().Cmp(hole.Lower.Rat()) <= 0 {
		return quantity.Toleranced{}, fmt.Errorf("the tolerance %s of %s is too narrow for reamers in steps of %s: the smallest would be %s; take a finer step, or another process", tolerance, hole, step, smallest)
	}
	places := max(decimals(step, unit), hole.Lower.Decimals(), hole.Upper.Decimals())
	return quantity.WithLimits(hole.Nominal, smallest.WithDecimals(places), largest.WithDecimals(places))
}

// decimals is how many decimals a value takes in a unit, at most eight; -1 when
// its expansion does not end there.
func decimals(q quantity.Quantity, u quantity.Unit) int {
	v, err := q.In(u)
	if err != nil {
		return -1
	}
	if n, exact := v.FloatPrec(); exact && n <= 8 {
		return n
	}
	return -1
}

// roundUp is the smallest whole number not below r.
func roundUp(r *big.Rat) *big.Int {
	n, rest := new(big.Int).DivMod(r.Num(), r.Denom(), new(big.Int))
	if rest.Sign() > 0 {
		n.Add(n, big.NewInt(1))
	}
	return n
}

// checkHole refuses what is no hole with two limits, and gives its tolerance.
func checkHole(hole quantity.Toleranced) (quantity.Quantity, error) {
	const write = "write it like 0.1875 +0.0005/-0 in or 4 mm H7"
	switch {
	case hole.Nominal.IsZeroValue():
		return quantity.Quantity{}, fmt.Errorf("the hole is missing; %s", write)
	case hole.Nominal.Dim() != quantity.Length:
		return quantity.Quantity{}, fmt.Errorf("the hole %s is no length; %s", hole, write)
	}
	tolerance, ok := hole.Width()
	switch {
	case !ok:
		return quantity.Quantity{}, fmt.Errorf("the hole %s needs both limits; %s", hole, write)
	case hole.Lower.Sign() <= 0:
		return quantity.Quantity{}, fmt.Errorf("the hole can be as small as %s; a size must be above 0", hole.Lower)
	case tolerance.Sign() == 0:
		return quantity.Quantity{}, fmt.Errorf("the hole %s has no tolerance; %s", hole, write)
	case !hole.Lower.Exact() || !hole.Upper.Exact():
		return quantity.Quantity{}, fmt.Errorf("the hole %s has computed limits; write those of the drawing", hole)
	}
	return tolerance, nil
}
