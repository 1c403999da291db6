package joint

import (
	"fmt"
	"math"
	"math/big"

	"tenths/calc/check"
	"tenths/calc/quantity"
)

// Member is the material of one of the two parts.
type Member struct {
	E  quantity.Quantity // modulus of elasticity, 207000 N/mm²
	Nu quantity.Quantity // Poisson's ratio, 0.29
}

// Fit is a shaft, pin or bush pressed or shrunk into a hub or plate.
type Fit struct {
	Diameter   quantity.Quantity // of the joint
	HubOutside quantity.Quantity // outer diameter of the hub; for a plate, the diameter of metal round the hole
	ShaftBore  quantity.Quantity // left out: a solid shaft

	// Interference on the diameter, shaft minus hole: Most decides the stresses,
	// Least what the joint holds. Least may be 0 or below, for a fit that can be
	// loose; left out it is Most. See Interference.
	Least, Most quantity.Quantity

	Hub, Shaft Member

	// For forces; left out, none are given.
	Length        quantity.Quantity // of contact
	PressFriction quantity.Quantity // while pressing in; plain number
	HoldFriction  quantity.Quantity // while holding; left out: as while pressing
}

// State is the joint at one interference. Tension is positive. Stresses are in
// N/mm² or lbf/in² as the diameter was given, lengths in its unit.
type State struct {
	Interference quantity.Quantity
	Pressure     quantity.Quantity // p, at the joint; the radial stress of both parts there is -p

	HubHoop   quantity.Quantity // at the bore of the hub
	HubMises  quantity.Quantity // equivalent stress there
	HubRim    quantity.Quantity // hoop stress at the outside of the hub
	ShaftHoop quantity.Quantity // at the surface of the shaft
	// ShaftMises is the equivalent stress there.
	ShaftMises quantity.Quantity
	ShaftBore  quantity.Quantity // hoop stress at the bore of a hollow shaft; absent for a solid one

	BoreOpens   quantity.Quantity // the hub's bore, on the diameter
	ShaftCloses quantity.Quantity // the shaft, on the diameter; with BoreOpens it makes the interference
	RimGrows    quantity.Quantity // the outside of the hub, on the diameter
	InsideShuts quantity.Quantity // the bore of a hollow shaft, on the diameter; absent for a solid one
}

// Pressed is what a Fit comes to.
type Pressed struct {
	Tight State // at the most interference: stresses
	Loose State // at the least, never below 0: what holds

	PressForce quantity.Quantity // to press it in fully, at the most interference
	PullOut    quantity.Quantity // to move it along its axis, at the least
	Torque     quantity.Quantity // to turn it, at the least; N·m or lbf·in

	Notes    []string
	Cautions []Caution
}

// Press computes a press or shrink fit by Lamé. With d the joint, D the outside
// of the hub, b the bore of the shaft, h the hub and s the shaft:
//
//	Kh = (D²+d²)/(D²-d²)    Ks = (d²+b²)/(d²-b²), 1 when solid
//	p = δ / (d·[(Kh+νh)/Eh + (Ks-νs)/Es])
//	hoop stress at the joint: hub p·Kh, shaft -p·Ks, radial -p
//	force f·p·π·d·L, torque f·p·π·d²·L/2
//
// (a mechanical engineering design textbook, 9th ed., eq. 7-39 and 7-44 to 7-49;
// equivalent stress by von Mises, σ = √(σt² - σt·σr + σr²)). Plane stress, elastic,
// equal lengths, axial stress of pressing left out, parts at one temperature.
//
// Errors say which input is missing or impossible; a fit that is loose at its
// most interference is one.
func Press(f Fit) (Pressed, error) {
	var s sums
	s.Positive(f.Diameter, "diameter of the joint", quantity.Length, egLength)
	s.Positive(f.HubOutside, "outside of the hub", quantity.Length, "1.5 in or 40 mm")
	s.ZeroOr(f.ShaftBore, "bore of the shaft", quantity.Length, egLength+", or leave it out for a solid shaft")
	s.Positive(f.Most, "most interference", quantity.Length, "0.0005 in or 0.012 mm")
	if least := f.Least; !least.IsZeroValue() && least.Dim() != quantity.Length {
		s.Fail("least interference: %s is %s; type a length, such as 0.0002 in, or below 0 for clearance", least, check.Article(least.Kind()))
	}
	s.member(f.Hub, "hub")
	s.member(f.Shaft, "shaft")
	s.Optional(f.Length, "length of contact", quantity.Length, egLength)
	s.Optional(f.PressFriction, "friction while pressing", quantity.Number, "0.12")
	s.Optional(f.HoldFriction, "friction while holding", quantity.Number, "0.12")
	if s.Err != nil {
		return Pressed{}, s.Err
	}
	if f.Least.IsZeroValue() {
		f.Least = f.Most
	}
	switch {
	case below(f.Most, f.Least):
		s.Fail("least interference %s is above the most, %s; type the smaller one as the least", f.Least, f.Most)
	case !below(f.Diameter, f.HubOutside):
		s.Fail("outside of the hub: %s leaves no metal round the %s joint; type the larger diameter", f.HubOutside, f.Diameter)
	case !f.ShaftBore.IsZeroValue() && !below(f.ShaftBore, f.Diameter):
		s.Fail("bore of the shaft: %s is not inside the %s shaft; type the smaller diameter, or leave it out for a solid shaft", f.ShaftBore, f.Diameter)
	case !below(f.Most, f.Diameter.Scale(big.NewRat(1, 20))):
		s.Fail("most interference: %s on the %s joint is beyond anything elastic; type the difference of the diameters, such as 0.0005 in", f.Most, f.Diameter)
	}
	if s.Err != nil {
		return Pressed{}, s.Err
	}
	g := s.stiffness(f)
	p := Pressed{Tight: s.state(f, g, f.Most), Loose: s.state(f, g, f.Least), Cautions: pressing()}
	p.Notes = append(p.Notes,
		"at the ends of the hub the stress is up to about twice as high (mechanical design textbook)",
		"elastic only: compare the equivalent stresses with the yield strength of each part")
	if f.Least.Sign() <= 0 {
		p.Notes = append(p.Notes, fmt.Sprintf("at its loosest the pin has %s clearance and nothing holds it", f.Least.Neg()))
	}
	s.forces(f, &p)
	if s.Err != nil {
		return Pressed{}, s.Err
	}
	return p, nil
}

func (s *sums) member(m Member, name string) {
	s.Positive(m.E, "modulus of elasticity of the "+name, check.Stress, egModulus)
	s.Positive(m.Nu, "Poisson's ratio of the "+name, quantity.Number, "0.29")
	if s.Err == nil && !below(m.Nu, plain(1, 2)) {
		s.Fail("Poisson's ratio of the %s: %s; type a number below 0.5, such as 0.29", name, m.Nu)
	}
}

// stiff are the shape factors of a fit and what each part gives way by.
type stiff struct {
	kh, ks       quantity.Quantity // plain numbers
	rim, inside  quantity.Quantity // hoop stress over p at the outside and in the bore of the shaft
	hub, shaft   quantity.Quantity // (Kh+νh)/Eh and (Ks-νs)/Es
	hubE, shaftE quantity.Quantity
}

func (s *sums) stiffness(f Fit) stiff {
	one, two := plain(1, 1), big.NewRat(2, 1)
	d2 := f.Diameter.Mul(f.Diameter)
	o2 := f.HubOutside.Mul(f.HubOutside)
	wall := s.Sub(o2, d2)
	g := stiff{kh: s.Div(s.Add(o2, d2), wall), rim: s.Div(d2.Scale(two), wall), ks: one, hubE: f.Hub.E, shaftE: f.Shaft.E}
	if f.ShaftBore.Sign() > 0 {
		b2 := f.ShaftBore.Mul(f.ShaftBore)
		wall := s.Sub(d2, b2)
		g.ks = s.Div(s.Add(d2, b2), wall)
		g.inside = s.Div(d2.Scale(two), wall)
	}
	g.hub = s.Div(s.Add(g.kh, f.Hub.Nu), f.Hub.E)
	g.shaft = s.Div(s.Sub(g.ks, f.Shaft.Nu), f.Shaft.E)
	return g
}

// state is the joint at an interference; below 0 it counts as 0.
func (s *sums) state(f Fit, g stiff, delta quantity.Quantity) State {
	inUnit := func(q quantity.Quantity, u quantity.Unit) quantity.Quantity { return s.Keep(q.As(u)) }
	u, length := check.UnitLike(f.Diameter, "N/mm²", "lbf/in²"), f.Diameter.Unit()
	z := State{Interference: inUnit(delta, length)}
	if delta.Sign() < 0 {
		delta = quantity.New(new(big.Rat), length)
	}
	p := s.Div(s.Div(delta, f.Diameter), s.Add(g.hub, g.shaft))
	if s.Err != nil {
		return State{}
	}
	z.Pressure = inUnit(p, u)
	z.HubHoop, z.HubRim = inUnit(p.Mul(g.kh), u), inUnit(p.Mul(g.rim), u)
	z.ShaftHoop = inUnit(p.Mul(g.ks).Neg(), u)
	z.HubMises, z.ShaftMises = mises(z.HubHoop, z.Pressure, u), mises(z.ShaftHoop, z.Pressure, u)
	z.BoreOpens = inUnit(p.Mul(f.Diameter).Mul(g.hub), length)
	z.ShaftCloses = inUnit(p.Mul(f.Diameter).Mul(g.shaft), length)
	z.RimGrows = inUnit(f.HubOutside.Mul(s.Div(z.HubRim, g.hubE)), length)
	if !g.inside.IsZeroValue() {
		z.ShaftBore = inUnit(p.Mul(g.inside).Neg(), u)
		z.InsideShuts = inUnit(f.ShaftBore.Mul(s.Div(p.Mul(g.inside), g.shaftE)), length)
	}
	return z
}

// mises is the equivalent stress of a hoop stress and a radial stress -p.
func mises(hoop, p quantity.Quantity, u quantity.Unit) quantity.Quantity {
	t, r := hoop.FloatIn(u), -p.FloatIn(u)
	return quantity.FromFloat(math.Sqrt(t*t-t*r+r*r), u)
}

// forces fills in what needs a length and friction.
func (s *sums) forces(f Fit, p *Pressed) {
	if f.Length.IsZeroValue() || f.PressFriction.IsZeroValue() && f.HoldFriction.IsZeroValue() || s.Err != nil {
		return
	}
	if f.HoldFriction.IsZeroValue() {
		f.HoldFriction = f.PressFriction
	}
	newton := check.UnitLike(f.Diameter, "N", "lbf")
	area := check.Pi().Mul(f.Diameter).Mul(f.Length)
	if !f.PressFriction.IsZeroValue() {
		p.PressForce = s.Keep(area.Mul(p.Tight.Pressure).Mul(f.PressFriction).As(newton))
	}
	p.PullOut = s.Keep(area.Mul(p.Loose.Pressure).Mul(f.HoldFriction).As(newton))
	p.Torque = s.Keep(p.PullOut.Mul(f.Diameter).Scale(big.NewRat(1, 2)).As(check.UnitLike(f.Diameter, "N·m", "lbf·in")))
}
