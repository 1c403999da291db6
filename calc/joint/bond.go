package joint

import (
	"math/big"

	"tenths/calc/check"
	"tenths/calc/quantity"
)

// Adhesive is a kind of adhesive for pins.
type Adhesive string

const (
	Instant   Adhesive = "instant"   // plain cyanoacrylate
	Retaining Adhesive = "retaining" // anaerobic retaining compound
)

// Bond is a pin held by adhesive alone.
type Bond struct {
	Diameter quantity.Quantity // of the pin
	Length   quantity.Quantity // that is glued
	Shear    quantity.Quantity // shear strength at room temperature for these metals and this gap, by the maker's sheet
	Kind     Adhesive
	Warmest  quantity.Quantity // temperature it will see; left out: not known
	Wet      bool              // coolant or water reaches it
}

// Bonded is what a Bond holds.
type Bonded struct {
	AtRoom quantity.Quantity // force along the pin when cured and at room temperature
	// AtWarmest is the force at the warmest temperature; absent where no figure is
	// at hand, and then Notes says why.
	AtWarmest quantity.Quantity
	Torque    quantity.Quantity // of AtWarmest if there is one; N·m or lbf·in
	Notes     []string
	Cautions  []Caution
}

// Limits of what is known of plain instant adhesive.
var (
	roomAtMost = celsius(25)
	halfAt     = celsius(80)
)

// HoldBond computes the force that shears a glued pin, τ·π·d·L, the same stress
// all along, and what is left of it in the warmth.
//
// Plain instant adhesive keeps about half its strength at 80 °C and dislikes
// water (a maker's resistance page; common practice). Between room temperature
// (up to 25 °C) and 80 °C the half is given, as strength falls with temperature
// and no curve is at hand; above 80 °C, in the wet, and for retaining compounds in
// the warmth there is no figure here but the maker's.
func HoldBond(b Bond) (Bonded, error) {
	var s sums
	s.Positive(b.Diameter, "diameter of the pin", quantity.Length, egLength)
	s.Positive(b.Length, "glued length", quantity.Length, egLength)
	s.Positive(b.Shear, "shear strength", check.Stress, "15 N/mm² (15 MPa) or 2200 lbf/in² (2200 psi)")
	if b.Kind != Instant && b.Kind != Retaining {
		s.Fail("adhesive %q; type %s (cyanoacrylate) or %s (anaerobic)", b.Kind, Instant, Retaining)
	}
	if !b.Warmest.IsZeroValue() {
		s.Temperature(b.Warmest, "warmest temperature")
	}
	if s.Err != nil {
		return Bonded{}, s.Err
	}
	area := check.Pi().Mul(b.Diameter).Mul(b.Length)
	out := Bonded{Cautions: adhesive()}
	out.AtRoom = s.Keep(area.Mul(b.Shear).As(check.UnitLike(b.Diameter, "N", "lbf")))
	note := func(text string) { out.Notes = append(out.Notes, text) }
	warm := !b.Warmest.IsZeroValue() && b.Warmest.Rat().Cmp(roomAtMost.Rat()) > 0
	switch {
	case b.Wet && b.Kind == Instant:
		note("plain instant adhesive is poor in water and coolant; no figure for what is left (common practice)")
	case b.Warmest.IsZeroValue():
		note("the warmest temperature was not said; heat from welding near by, washing or a cut counts too")
	case !warm:
		out.AtWarmest = out.AtRoom
	case b.Kind == Retaining:
		note("take the strength of a retaining compound in the warmth from its maker's curve")
	case b.Warmest.Rat().Cmp(halfAt.Rat()) <= 0:
		out.AtWarmest = out.AtRoom.Scale(big.NewRat(1, 2))
		note("about half the strength is left at 80 C (plain instant adhesive, common practice); it is given for all of 25 to 80 C")
	default:
		note("plain instant adhesive keeps about half its strength at 80 C; above that no figure is at hand")
	}
	note("no cutting, skimming or side load before it has cured; a glued pin turns or lifts under the first side load (common practice)")
	hold := out.AtWarmest
	if hold.IsZeroValue() {
		hold = out.AtRoom
	}
	out.Torque = s.Keep(hold.Mul(b.Diameter).Scale(big.NewRat(1, 2)).As(check.UnitLike(b.Diameter, "N·m", "lbf·in")))
	if s.Err != nil {
		return Bonded{}, s.Err
	}
	return out, nil
}
