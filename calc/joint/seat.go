package joint

import (
	"fmt"
	"math/big"

	"tenths/calc/check"
	"tenths/calc/quantity"
)

// Seat is a pin without vent going into a blind hole.
type Seat struct {
	Diameter quantity.Quantity // of the pin
	Depth    quantity.Quantity // of the hole
	Entered  quantity.Quantity // length of pin in the hole at the end
	Force    quantity.Quantity // that presses the pin in; left out: no liquid pressure
}

// Trapped is what stays behind the pin.
type Trapped struct {
	Room quantity.Quantity // length of hole left behind the pin
	// Spare is Room against half of the pin's diameter, which is left below a pin
	// by common practice; below 0 it is too little.
	Spare quantity.Quantity

	Air      quantity.Quantity // absolute pressure of the trapped air, if none gets out
	PushBack quantity.Quantity // what that pressure pushes the pin out with
	// Liquid is the pressure behind the pin when oil, coolant or adhesive fills
	// the room: all of Force comes to bear on it. Absent without Force.
	Liquid quantity.Quantity

	Notes    []string
	Cautions []Caution
}

// atmosphere is the standard atmosphere, 101325 Pa (NIST SP 811, appendix B).
func atmosphere() quantity.Quantity {
	mpa, _ := quantity.LookupUnit("N/mm²")
	return quantity.New(big.NewRat(101325, 1000000), mpa)
}

// BlindSeat computes what a pin shuts in at the bottom of a blind hole of depth h
// when a length e of it is in:
//
//	air    p = p0·h/(h-e), absolute, slow enough to keep its temperature (Boyle)
//	push   (p-p0)·π·d²/4
//	liquid F/(π·d²/4): a liquid cannot be squeezed
//
// p0 is one standard atmosphere. Air rarely moves a press fit; it does move slip
// fits and loosened pins. Errors: values that are no lengths above 0, a pin that
// reaches the bottom.
func BlindSeat(b Seat) (Trapped, error) {
	var s sums
	s.Positive(b.Diameter, "diameter of the pin", quantity.Length, egLength)
	s.Positive(b.Depth, "depth of the hole", quantity.Length, egLength)
	s.Positive(b.Entered, "length in the hole", quantity.Length, egLength)
	s.Optional(b.Force, "pressing force", quantity.Force, egForce)
	if s.Err == nil && !below(b.Entered, b.Depth) {
		s.Fail("length in the hole: %s reaches the bottom of the hole, %s deep, and leaves no room for air or chips; type a shorter pin or a deeper hole", b.Entered, b.Depth)
	}
	if s.Err != nil {
		return Trapped{}, s.Err
	}
	u, newton := check.UnitLike(b.Diameter, "N/mm²", "lbf/in²"), check.UnitLike(b.Diameter, "N", "lbf")
	var t Trapped
	t.Room = s.Sub(b.Depth, b.Entered)
	t.Spare = s.Keep(s.Sub(t.Room, b.Diameter.Scale(big.NewRat(1, 2))).As(b.Diameter.Unit()))
	t.Air = s.Keep(atmosphere().Mul(s.Div(b.Depth, t.Room)).As(u))
	end := check.Pi().Mul(b.Diameter).Mul(b.Diameter).Scale(big.NewRat(1, 4))
	t.PushBack = s.Keep(end.Mul(s.Sub(t.Air, atmosphere())).As(newton))
	if !b.Force.IsZeroValue() {
		t.Liquid = s.Keep(s.Div(b.Force, end).As(u))
	}
	if s.Err != nil {
		return Trapped{}, s.Err
	}
	t.Notes = []string{
		"a flat or groove on the pin, a through vent hole or a pull thread lets air out and the pin come out again (common practice; vented pins with a thread are those of ISO 8735 and DIN 7979, from memory)",
		"wick the hole dry: a liquid behind the pin cannot be squeezed; it pushes the pin out over night or splits a thin wall",
	}
	if t.Spare.Sign() < 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("%s behind the pin is less than half of its diameter (common practice is half of it, or 1 to 2 mm)", t.Room))
	}
	t.Cautions = pressing()
	return t, nil
}
