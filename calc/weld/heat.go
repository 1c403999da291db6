package weld

import (
	"fmt"
	"math/big"

	"tenths/calc/check"
	"tenths/calc/quantity"
)

// Arc is a welding arc along a seam or into a hole.
type Arc struct {
	Process Process
	Volts   quantity.Quantity // arc voltage, plain number
	Amps    quantity.Quantity // plain number
	// Factor is the share of the arc's energy that reaches the work; left out: the
	// process's own, see Processes.
	Factor quantity.Quantity

	Speed quantity.Quantity // travel speed along a seam; left out when filling a hole
	Time  quantity.Quantity // with the arc on; left out: no totals

	// For the rise of temperature; left out, none is given. Mass is that of the
	// piece, a mass or its weight (2.2 lbf). SpecificHeat left out is that of
	// steel, 490 m²/s²/K = 490 J/(kg·K), from memory.
	Mass, SpecificHeat quantity.Quantity
}

// Heat is what an Arc puts into the work. Energies are shown by Text.
type Heat struct {
	Factor quantity.Quantity // used

	// Along a seam; absent without Speed. A procedure must say which of the two
	// it states (ISO 15614-1:2017 admits either; ASME IX takes no factor).
	ArcEnergy quantity.Quantity // U·I/v
	HeatInput quantity.Quantity // k·U·I/v

	// In total; absent without Time.
	Energy quantity.Quantity // U·I·t
	Total  quantity.Quantity // k·U·I·t

	// Rise is Total spread evenly over the piece with nothing lost; near the weld
	// it is far hotter. Absent without Time and Mass.
	Rise quantity.Quantity

	Notes    []string
	Cautions []Caution
}

// Heat computes the energy of an arc and the heat that reaches the work, with U
// volts, I amperes and the factor k of the process:
//
//	arc energy U·I/v    heat input k·U·I/v    total k·U·I·t    rise Q/(m·c)
//
// (EN 1011-1 for k and the quotient). Filling a hole has no travel: there the
// total counts. Exact.
func (a Arc) Heat() (Heat, error) {
	var s sums
	kind := a.Process.row()
	if kind == nil {
		s.Fail("process %q; type one of %s", a.Process, processNames())
	}
	s.Positive(a.Volts, "arc voltage", quantity.Number, "20, in volts")
	s.Positive(a.Amps, "current", quantity.Number, "120, in amperes")
	if s.Err == nil && a.Volts.Rat().Cmp(big.NewRat(150, 1)) > 0 {
		s.Fail("arc voltage: %s V is beyond a hand-held arc; type the volts first and the amperes second, such as 20 and 120", a.Volts)
	}
	if !a.Factor.IsZeroValue() {
		s.share(a.Factor, "heat factor", "0.8")
	} else if kind != nil {
		a.Factor = quantity.New(kind.factor, quantity.One)
	}
	s.Optional(a.Speed, "travel speed", check.Speed, "300 mm/min or 12 in/min")
	s.Optional(a.Time, "arc time", quantity.Time, "20 s")
	piece := s.pieceMass(a.Mass)
	s.Optional(a.SpecificHeat, "specific heat", check.SpecificHeat, "490 m²/s²/K, which is 490 J/(kg·K)")
	if s.Err != nil {
		return Heat{}, s.Err
	}
	h := Heat{Factor: a.Factor, Cautions: Cautions(), Notes: hints()}
	power := quantity.New(big.NewRat(1, 1), unit("N·m/s")).Mul(a.Volts).Mul(a.Amps)
	if !a.Speed.IsZeroValue() {
		h.ArcEnergy = s.Keep(s.Div(power, a.Speed).As(check.UnitLike(a.Speed, "N·m/mm", "N·m/in")))
		h.HeatInput = h.ArcEnergy.Mul(a.Factor)
	}
	if !a.Time.IsZeroValue() {
		h.Energy = s.Keep(power.Mul(a.Time).As(unit("N·m")))
		h.Total = h.Energy.Mul(a.Factor)
		if !piece.IsZeroValue() {
			c := a.SpecificHeat
			if c.IsZeroValue() {
				c = quantity.New(big.NewRat(490, 1), unit("m²/s²/K"))
				h.Notes = append(h.Notes, "rise of temperature with 490 J/(kg·K) for steel (from memory), spread evenly and nothing lost")
			}
			h.Rise = s.Keep(s.Div(h.Total, piece.Mul(c)).As(quantity.Kelvin))
		}
	}
	h.Cautions = a.shade(h.Cautions)
	if s.Err != nil {
		return Heat{}, s.Err
	}
	return h, nil
}

// pieceMass is a mass from a mass or a weight, or no value.
func (s *sums) pieceMass(q quantity.Quantity) quantity.Quantity {
	if q.IsZeroValue() || s.Err != nil {
		return q
	}
	s.OneOf(q, "mass of the piece", []quantity.Dim{quantity.Force, check.Mass}, "a weight above 0, such as 2.2 lbf or 10 N")
	if s.Err == nil && q.Dim() == quantity.Force {
		return s.Div(q, gravity())
	}
	return q
}

// shade adds the shade numbers for the current to the caution on eyes.
func (a Arc) shade(list []Caution) []Caution {
	text := "no shade numbers for this process and current here; look them up in 29 CFR 1910.133"
	if sh, ok := ShadeFor(a.Process, a.Amps); ok {
		text = fmt.Sprintf("at %s A: shade %d at least, %s", a.Amps, sh.Minimum, sh.comfort())
	}
	for i := range list {
		if list[i].Topic == EyesAndSkin {
			list[i].Text += "; " + text
		}
	}
	return list
}
