package dowel

import (
	"fmt"

	"tenths/calc/fit"
	"tenths/calc/quantity"
)

// Seat is a pin in a hole.
type Seat struct {
	Fit fit.Fit // clearance of the pin in the hole, in the unit of the hole
	// Slips: the largest pin still has clearance in the smallest hole, so that
	// every pin goes in by hand. Size for size is no slip fit.
	Slips bool
	// SlipAbove: the hole of a slip fit must be larger than this over all its
	// tolerance. It is the largest that the pin can be.
	SlipAbove quantity.Quantity
	Why       string // the reason in words, with its numbers
}

// In tells how the pin sits in a hole, and why it slips or not: slip means
// smallest hole - largest pin > 0. A hole without a tolerance counts as its
// actual size.
//
// Only sizes are compared. Whether a pin that is tight by the numbers holds in
// the material, and what force it takes to press it, is not said. Usual cautions
// for pressing hardened pins: press, do not strike; part clamped, eyes protected,
// hands clear; local codes and licensed practice decide.
//
// Errors: a hole that is no length, not above 0, or has only one limit.
func (p Pin) In(hole quantity.Toleranced) (Seat, error) {
	f, err := fit.Of(hole, p.Diameter)
	if err != nil {
		return Seat{}, err
	}
	// A clearance known only within a bound must be above 0 with all of it.
	s := Seat{Fit: f, Slips: f.MinClearance.Rat().Cmp(f.MinClearance.Bound()) > 0}
	if s.SlipAbove, err = p.Diameter.Upper.As(f.MinClearance.Unit()); err != nil {
		return Seat{}, err
	}
	over, err := p.Diameter.Lower.Sub(p.decimal)
	if err != nil {
		return Seat{}, err
	}
	overMax, err := p.Diameter.Upper.Sub(p.decimal)
	if err != nil {
		return Seat{}, err
	}
	made := fmt.Sprintf("the %s is made %s to %s, %s to %s over nominal", p, p.Diameter.Lower, p.Diameter.Upper, over, overMax)
	switch {
	case s.Slips:
		s.Why = fmt.Sprintf("%s; in this hole the clearance is at least %s and at most %s", made, f.MinClearance, f.MaxClearance)
	case f.Kind == fit.Interference:
		s.Why = fmt.Sprintf("%s; in this hole it is tight by %s to %s and never slips; a slip hole must be over %s", made, f.MaxClearance.Neg(), f.MinClearance.Neg(), s.SlipAbove)
	case f.MinClearance.Sign() == 0:
		s.Why = fmt.Sprintf("%s; in this hole the largest pin is size for size and does not slip; a slip hole must be over %s", made, s.SlipAbove)
	default:
		s.Why = fmt.Sprintf("%s; in this hole it can be tight by %s or loose by %s, so some pins slip and some do not; a slip hole must be over %s", made, f.MinClearance.Neg(), f.MaxClearance, s.SlipAbove)
	}
	return s, nil
}
