package bench

import (
	"math/big"
	"strings"

	"tenths/calc/joint"
	"tenths/calc/quantity"
)

func zero() *big.Rat { return new(big.Rat) }

// Seat asks what a pin shuts in at the bottom of a blind hole.
type Seat struct {
	Pin     string `placeholder:"SIZE" help:"Diameter of the pin."`
	Depth   string `placeholder:"LENGTH" help:"Depth of the blind hole."`
	Entered string `placeholder:"LENGTH" help:"Length of pin that is in the hole at the end."`
	Force   string `placeholder:"FORCE" help:"Force that presses the pin in, for a liquid behind it."`
}

// About implements Question.
func (Seat) About() string {
	return "What a pin without a vent shuts in: the room behind it, the pressure of the trapped air and what that pushes the pin out with, and the pressure of a liquid that all of the pressing force comes to bear on."
}

// Examples implements Question.
func (Seat) Examples() []string {
	return []string{"--pin 8mm --depth 20mm --entered 16mm --force 5000N"}
}

// SeatAnswer is the answer to Seat; Liquid is null without a force.
type SeatAnswer struct {
	Room     quantity.Quantity `json:"room_behind_pin"`
	Spare    quantity.Quantity `json:"room_above_half_diameter"` // below 0: too little
	Air      Rough             `json:"air_pressure"`             // absolute
	PushBack Rough             `json:"air_push_back"`
	Liquid   Rough             `json:"liquid_pressure"`
	Sheet
}

// Ask implements Question (Boyle; package joint, BlindSeat).
func (q Seat) Ask(o Options) (Answer, error) {
	w := start(o, quantity.Length)
	s := joint.Seat{
		Diameter: w.needed("pin", q.Pin, quantity.Length, "8mm"), Depth: w.needed("depth", q.Depth, quantity.Length, "20mm"),
		Entered: w.needed("entered", q.Entered, quantity.Length, "16mm"), Force: w.above("force", q.Force, quantity.Force, "5000N or 1000lbf"),
	}
	if w.err != nil {
		return nil, w.err
	}
	t, err := joint.BlindSeat(s)
	if err != nil {
		return nil, err
	}
	const digits = 2
	a := &SeatAnswer{Room: w.show(t.Room), Spare: w.show(t.Spare), Air: w.rough(t.Air, digits), PushBack: w.rough(t.PushBack, digits), Liquid: w.rough(t.Liquid, digits), Sheet: newSheet()}
	a.say("trapped air is at %s and pushes back with %s", a.Air, a.PushBack)
	if !a.Liquid.IsZeroValue() {
		a.say("a liquid behind the pin would be at %s", a.Liquid)
	}
	a.say("%s of room behind the pin", a.Room)
	depth, pin := w.show(s.Depth), w.show(s.Diameter)
	a.step("room = depth - entered = %s - %s = %s", depth, w.show(s.Entered), a.Room)
	a.step("air, absolute = one atmosphere·depth/room = %s·%s/%s = %s", w.rough(atmosphere(), 4), depth, a.Room, a.Air)
	a.step("push = (air - one atmosphere)·pi·d²/4, d %s: %s", pin, a.PushBack)
	if !a.Liquid.IsZeroValue() {
		a.step("liquid = force/(pi·d²/4) = %s/(pi·(%s)²/4) = %s", w.rough(s.Force, 4), pin, a.Liquid)
	}
	a.cite("Boyle's law, slow enough to keep the temperature; standard atmosphere 101325 Pa (NIST SP 811)")
	a.mind("air rarely moves a press fit; it does move slip fits and loosened pins")
	for _, n := range t.Notes {
		a.mind("%s", n)
	}
	a.hazards(t.Cautions)
	return done(a, w)
}

func atmosphere() quantity.Quantity {
	u, _ := quantity.LookupUnit("N/mm²")
	return quantity.New(big.NewRat(101325, 1000000), u)
}

// Bond asks what adhesive holds.
type Bond struct {
	Pin     string `placeholder:"SIZE" help:"Diameter of the pin."`
	Length  string `placeholder:"LENGTH" help:"Length that is glued."`
	Shear   string `placeholder:"STRESS" help:"Shear strength at room temperature for these metals and this gap, from the maker's sheet: '15 N/mm²', 2200lbf/in²."`
	Kind    string `placeholder:"KIND" help:"instant (cyanoacrylate) or retaining (anaerobic)."`
	Warmest string `placeholder:"TEMPERATURE" help:"The warmest that it will see."`
	Wet     bool   `help:"Coolant or water reaches it."`
}

// About implements Question.
func (Bond) About() string {
	return "The force that shears a glued pin out, and what is left of it in the warmth or the wet, as far as any figure is at hand. The maker's sheet decides."
}

// Examples implements Question.
func (Bond) Examples() []string {
	return []string{"--pin 8mm --length 12mm --shear '15 N/mm²' --kind retaining --warmest 40C"}
}

// BondAnswer is the answer to Bond; AtWarmest is null where no figure is at hand.
type BondAnswer struct {
	AtRoom    Rough `json:"force_at_room_temperature"`
	AtWarmest Rough `json:"force_at_warmest"`
	Torque    Rough `json:"torque"`
	Sheet
}

// Ask implements Question (package joint, HoldBond).
func (q Bond) Ask(o Options) (Answer, error) {
	w := start(o, quantity.Length)
	b := joint.Bond{
		Diameter: w.needed("pin", q.Pin, quantity.Length, "8mm"), Length: w.needed("length", q.Length, quantity.Length, "12mm"),
		Shear: w.needed("shear", q.Shear, stressDim, "'15 N/mm²' (15 MPa) or 2200lbf/in² (2200 psi)"), Kind: joint.Adhesive(strings.ToLower(strings.TrimSpace(q.Kind))),
		Warmest: w.temperature("warmest", q.Warmest), Wet: q.Wet,
	}
	if w.err == nil && b.Kind != joint.Instant && b.Kind != joint.Retaining {
		w.fail("kind: %q; type %s (cyanoacrylate) or %s (anaerobic)", q.Kind, joint.Instant, joint.Retaining)
	}
	if w.err != nil {
		return nil, w.err
	}
	h, err := joint.HoldBond(b)
	if err != nil {
		return nil, err
	}
	const digits = 2
	a := &BondAnswer{AtRoom: w.rough(h.AtRoom, digits), AtWarmest: w.rough(h.AtWarmest, digits), Torque: w.rough(h.Torque, digits), Sheet: newSheet()}
	a.say("shears at about %s, cured and at room temperature, on paper", a.AtRoom)
	switch {
	case a.AtWarmest.IsZeroValue() && b.Warmest.IsZeroValue():
	case a.AtWarmest.IsZeroValue():
		a.say("no figure at hand for %s", b.Warmest)
	default:
		a.say("at %s about %s", b.Warmest, a.AtWarmest)
	}
	a.say("turns at about %s%s", a.Torque, map[bool]string{true: " at room temperature"}[a.AtWarmest.IsZeroValue()])
	a.step("force = shear strength·pi·d·length = %s·pi·%s·%s = %s", b.Shear, w.show(b.Diameter), w.show(b.Length), a.AtRoom)
	a.cite("the same stress over all of the bond; shear strength as typed, from the maker's sheet")
	for _, n := range h.Notes {
		a.mind("%s", n)
	}
	a.hazards(h.Cautions)
	return done(a, w)
}
