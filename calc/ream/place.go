package ream

import (
	"fmt"

	"tenths/calc/quantity"
)

// Position says where a reamer's own size lies.
type Position string

const (
	Inside   Position = "inside"    // inside the limits of DIN 1420
	LowSide  Position = "low side"  // inside the hole's limits, below the reamer's
	HighSide Position = "high side" // inside the hole's limits, above the reamer's
	Outside  Position = "outside"   // at or beyond a limit of the hole: no margin left
)

// Placement is an existing reamer against a hole. Lengths are in the unit of the
// hole.
type Placement struct {
	Position Position
	Want     quantity.Toleranced // the reamer's limits by DIN 1420
	OverLow  quantity.Quantity   // reamer - smallest hole: what it may cut under its size
	UnderTop quantity.Quantity   // largest hole - reamer: what it may cut over its size
	Off      quantity.Quantity   // how far it lies below (-) or above (+) the reamer's limits; 0 inside
}

// Place tells what the size of a reamer means for a hole: inside the limits of
// DIN 1420, on the low or the high side of them, or outside. A reamer of the
// nominal size of a +.0005/-0 hole is outside, because it has nothing to lose.
//
// The size of the reamer does not decide alone: a reamer on the low side whose
// test holes in the same material come out inside is proven.
//
// Errors: as Limits; a reamer size that is no length or not above 0.
func Place(hole quantity.Toleranced, reamer quantity.Quantity) (Placement, error) {
	want, err := Limits(hole)
	if err != nil {
		return Placement{}, err
	}
	if err := checkSize(reamer, "the reamer", "0.1876 in or 4.008 mm"); err != nil {
		return Placement{}, err
	}
	p := Placement{Want: want}
	// All lengths are differences from the hole's limits, so that they come out
	// in the unit of the hole.
	if p.UnderTop, err = hole.Upper.Sub(reamer); err != nil {
		return Placement{}, err
	}
	if p.OverLow, err = hole.Lower.Sub(reamer); err != nil {
		return Placement{}, err
	}
	p.OverLow = p.OverLow.Neg()
	side, err := want.Side(reamer)
	if err != nil {
		return Placement{}, err
	}
	edge := reamer // Off is reamer - edge
	switch side {
	case quantity.Below:
		edge, p.Position = want.Lower, LowSide
	case quantity.Above:
		edge, p.Position = want.Upper, HighSide
	case quantity.TooClose:
		return Placement{}, fmt.Errorf("the reamer %s is a computed value and lies on a limit; write its size", reamer)
	default:
		p.Position = Inside
	}
	if p.Off, err = edge.Sub(reamer); err != nil {
		return Placement{}, err
	}
	if p.Off, err = p.Off.Neg().As(hole.Upper.Unit()); err != nil {
		return Placement{}, err
	}
	if p.OverLow.Sign() <= 0 || p.UnderTop.Sign() <= 0 {
		p.Position = Outside
	}
	return p, nil
}

// checkSize refuses what cannot be a diameter.
func checkSize(q quantity.Quantity, what, example string) error {
	switch {
	case q.IsZeroValue():
		return fmt.Errorf("%s is missing; write it like %s", what, example)
	case q.Dim() != quantity.Length:
		return fmt.Errorf("%s %s is no length; write it like %s", what, q, example)
	case q.Sign() <= 0:
		return fmt.Errorf("%s %s is not possible; a size must be above 0", what, q)
	}
	return nil
}
