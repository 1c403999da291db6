package weld

import (
	"math/big"

	"tenths/calc/check"
	"tenths/calc/quantity"
)

// Wire is the filler that a volume of weld metal is laid from.
type Wire struct {
	Volume     quantity.Quantity // of weld metal; see Fill
	Diameter   quantity.Quantity // of the wire or rod
	Efficiency quantity.Quantity // deposited over used, 0.95; see Efficiencies

	// Density: a plain number in g/cm³ (7.85), a weight (0.283 lbf/in³) or a mass
	// per volume. Left out: steel, 7.85.
	Density quantity.Quantity

	// One of the two, for the time; neither: no time.
	Feed quantity.Quantity // of the wire, 6 m/min
	Rate quantity.Quantity // of metal deposited: a weight per time, 12 lbf/h, or a mass per time
}

// Laid is what a Wire comes to. Masses are shown by Text.
type Laid struct {
	Deposited quantity.Quantity // mass of weld metal
	Used      quantity.Quantity // mass of wire
	Length    quantity.Quantity // of wire
	Time      quantity.Quantity // arc time; absent without Feed and Rate
	Rate      quantity.Quantity // mass deposited per time; absent without Feed and Rate

	Cautions []Caution
}

// gravity is the standard acceleration, 9.80665 m/s² exactly (NIST SP 811,
// appendix B): a weight stated in pounds-force is that of its mass in pounds.
func gravity() quantity.Quantity {
	return quantity.New(big.NewRat(980665, 100000), unit("m/s²"))
}

// Lay computes wire and time for a volume V of weld metal with the efficiency η,
// density ρ and wire diameter d:
//
//	length V/(η·π·d²/4)    deposited ρ·V    wire used ρ·V/η
//	time length/feed or deposited/rate    rate deposited/time
//
// (P = W·L/E of a filler-metal maker's handbook is the same for a seam). The time
// is that of the arc alone; cleaning and cooling in between take longer.
func Lay(w Wire) (Laid, error) {
	var s sums
	s.Positive(w.Volume, "volume of weld metal", volume, "1000 mm³ or 0.06 in³")
	s.Positive(w.Diameter, "diameter of the wire", quantity.Length, "0.035 in or 0.9 mm")
	s.share(w.Efficiency, "efficiency", "0.95")
	s.Optional(w.Feed, "wire feed", check.Speed, "240 in/min or 6 m/min")
	rho := s.density(w.Density)
	perTime := s.massRate(w.Rate)
	if !w.Feed.IsZeroValue() && !w.Rate.IsZeroValue() {
		s.Fail("wire feed and deposition rate are both given and each decides the other; leave one out")
	}
	if s.Err != nil {
		return Laid{}, s.Err
	}
	kilo := check.UnitLike(w.Volume, "N·s²/m", "lbf·s²/in")
	area := check.Pi().Mul(w.Diameter).Mul(w.Diameter).Scale(big.NewRat(1, 4))
	l := Laid{Cautions: Cautions()}
	l.Deposited = s.Keep(w.Volume.Mul(rho).As(kilo))
	l.Used = s.Div(l.Deposited, w.Efficiency)
	l.Length = s.Keep(s.Div(s.Div(w.Volume, area), w.Efficiency).As(check.UnitLike(w.Diameter, "m", "in")))
	switch {
	case !w.Feed.IsZeroValue():
		l.Time = s.Div(l.Length, w.Feed)
	case !w.Rate.IsZeroValue():
		l.Time = s.Div(l.Deposited, perTime)
	}
	if !l.Time.IsZeroValue() {
		l.Time = s.Keep(l.Time.As(unit("s")))
		l.Rate = s.Keep(s.Div(l.Deposited, l.Time).As(check.UnitLike(w.Volume, "N·s²/m/s", "lbf·s²/in/s")))
	}
	if s.Err != nil {
		return Laid{}, s.Err
	}
	return l, nil
}

// density is a mass per volume from a Density as written.
func (s *sums) density(q quantity.Quantity) quantity.Quantity {
	gram := quantity.New(big.NewRat(1, 1000000), unit("N·s²/m/mm/mm/mm")) // 1 g/cm³ in kg/mm³
	if q.IsZeroValue() {
		return gram.Scale(big.NewRat(785, 100))
	}
	weight := quantity.Force.Over(volume)
	s.OneOf(q, "density", []quantity.Dim{quantity.Number, weight, check.Mass.Over(volume)}, "a number above 0 in g/cm³, such as 7.85 for steel, or a weight such as 0.283 lbf/in³")
	switch {
	case s.Err != nil:
		return q
	case q.Dim() == quantity.Number:
		if q.Rat().Cmp(big.NewRat(25, 1)) > 0 {
			s.Fail("density: %s g/cm³ is beyond any metal; type g/cm³, such as 7.85 for steel", q)
		}
		return gram.Mul(q)
	case q.Dim() == weight:
		return s.Div(q, gravity())
	}
	return q
}

// massRate is a mass per time from a rate as written, or no value.
func (s *sums) massRate(q quantity.Quantity) quantity.Quantity {
	if q.IsZeroValue() || s.Err != nil {
		return q
	}
	weight := quantity.Force.Over(quantity.Time)
	s.OneOf(q, "deposition rate", []quantity.Dim{weight, rate}, "a weight per time above 0, such as 12 lbf/h")
	if s.Err == nil && q.Dim() == weight {
		return s.Div(q, gravity())
	}
	return q
}
