package joint

import (
	"fmt"
	"math/big"

	"tenths/calc/check"
	"tenths/calc/quantity"
	"tenths/calc/thermal"
)

// Assembly is a shrink fit to be put together: the hub heated, the shaft cooled,
// or both.
type Assembly struct {
	Diameter     quantity.Quantity // of the hole
	Interference quantity.Quantity // the most, on the diameter
	Clearance    quantity.Quantity // wanted on the diameter while putting together; left out: 0

	// Coefficients of expansion; the one of a part that is neither heated nor
	// cooled may be left out.
	Hub, Shaft quantity.Quantity

	Room quantity.Quantity // temperature at which the interference holds; left out: 20 °C
	Cold quantity.Quantity // temperature of the shaft while the hub is heated; left out: Room
}

// Temperatures assemble a shrink fit. What cannot be had is the zero Quantity.
type Temperatures struct {
	HubRise   quantity.Quantity // above Room, a temperature difference
	HubAt     quantity.Quantity
	ShaftFall quantity.Quantity // below Room, with the hub left at Room
	ShaftAt   quantity.Quantity
	Notes     []string
	Cautions  []Caution
}

// Assemble computes the temperature of the hub, and of the shaft when it is
// cooled instead, that opens the wanted clearance. With d the hole, δ the
// interference, c the clearance:
//
//	hub rise    ((d+δ)(1 - α_s·(Room-Cold)) + c - d) / (α_h·d)
//	            which is (δ+c)/(α_h·d) when the shaft is not cooled
//	shaft fall  (δ+c) / (α_s·(d+δ))
//
// (engineeringtoolbox.com d_951 for δ/(α·d); the rest is the same algebra.) Exact,
// and exactly linear: real metals shrink less for each degree the colder they
// are, so cooling far below 0 °C gives less than computed. Nothing is taken off
// for the heat lost on the way.
func Assemble(a Assembly) (Temperatures, error) {
	var s sums
	s.Positive(a.Diameter, "diameter of the hole", quantity.Length, egLength)
	s.Positive(a.Interference, "interference", quantity.Length, "0.0005 in or 0.012 mm")
	s.ZeroOr(a.Clearance, "clearance while assembling", quantity.Length, "0.001 in or 0.025 mm, or leave it out")
	for _, part := range []struct {
		alpha quantity.Quantity
		name  string
	}{{a.Hub, "hub"}, {a.Shaft, "shaft"}} {
		if !part.alpha.IsZeroValue() {
			s.Coefficient(part.alpha, "expansion of the "+part.name)
		}
	}
	if a.Room.IsZeroValue() {
		a.Room = thermal.Reference()
	}
	s.Temperature(a.Room, "temperature of the room")
	if !a.Cold.IsZeroValue() {
		s.Temperature(a.Cold, "temperature of the cooled shaft")
	}
	switch {
	case s.Err != nil:
	case a.Hub.IsZeroValue() && a.Shaft.IsZeroValue():
		s.Fail("expansion of the hub: no value; type a coefficient of expansion above 0, such as %s, or that of the shaft to cool it", check.EgExpansion)
	case !a.Cold.IsZeroValue() && (a.Hub.IsZeroValue() || a.Shaft.IsZeroValue()):
		s.Fail("a cooled shaft in a heated hub needs both expansions; type the missing one, such as %s", check.EgExpansion)
	case !a.Cold.IsZeroValue() && a.Room.Rat().Cmp(a.Cold.Rat()) < 0:
		s.Fail("temperature of the cooled shaft: %s is above the room's %s; type a lower temperature, such as -70 C", a.Cold, a.Room)
	case !below(a.Interference, a.Diameter.Scale(big.NewRat(1, 20))):
		s.Fail("interference: %s on the %s hole is beyond any shrink fit; type the difference of the diameters, such as 0.0005 in", a.Interference, a.Diameter)
	}
	if s.Err != nil {
		return Temperatures{}, s.Err
	}
	t := Temperatures{Cautions: heating()}
	shaft := s.Add(a.Diameter, a.Interference) // diameter of the shaft at Room
	open := a.Interference                     // to be made up
	if !a.Clearance.IsZeroValue() {
		open = s.Add(open, a.Clearance)
	}
	span := a.Room.Unit().Difference()
	if !a.Shaft.IsZeroValue() {
		t.ShaftFall = s.Keep(s.Div(s.Div(open, shaft), a.Shaft).As(span))
		t.ShaftAt = s.Sub(a.Room, t.ShaftFall)
	}
	if !a.Hub.IsZeroValue() {
		if !a.Cold.IsZeroValue() {
			open = s.Sub(open, shaft.Mul(a.Shaft.Mul(s.Sub(a.Room, a.Cold))))
		}
		t.HubRise = s.Keep(s.Div(s.Div(open, a.Diameter), a.Hub).As(span))
		if t.HubRise.Sign() < 0 { // the cold shaft goes in by itself
			t.HubRise = quantity.New(new(big.Rat), span)
		}
		t.HubAt = s.Add(a.Room, t.HubRise)
	}
	if s.Err != nil {
		return Temperatures{}, s.Err
	}
	t.note()
	return t, nil
}

// Limits of common ways of heating and cooling, in °C, as printed on one page of
// shrink-fit practice.
var (
	oilBath    = celsius(150)
	softening  = celsius(200)
	dryIce     = celsius(-70)
	liquidAir  = celsius(-190)
	handSource = "(one page of shrink-fit practice)"
)

func celsius(n int64) quantity.Quantity {
	c, _ := quantity.LookupUnit("C")
	return quantity.New(big.NewRat(n, 1), c)
}

// note says what the temperatures mean in practice.
func (t *Temperatures) note() {
	above := func(q, limit quantity.Quantity) bool { return !q.IsZeroValue() && q.Rat().Cmp(limit.Rat()) > 0 }
	colder := func(q, limit quantity.Quantity) bool { return !q.IsZeroValue() && q.Rat().Cmp(limit.Rat()) < 0 }
	add := func(format string, a ...any) { t.Notes = append(t.Notes, fmt.Sprintf(format, a...)) }
	if above(t.HubAt, oilBath) {
		add("an oil bath reaches about %s; the hub needs more %s", oilBath, handSource)
	}
	if above(t.HubAt, softening) {
		add("heat-treated steel can lose hardness from about 200 to 400 C on, by its own tempering temperature %s; aluminium tempers lose it sooner (common practice)", handSource)
	}
	switch {
	case colder(t.ShaftAt, liquidAir):
		add("cooling the shaft alone is not enough: liquid air reaches about %s %s", liquidAir, handSource)
		t.ShaftAt, t.ShaftFall = quantity.Quantity{}, quantity.Quantity{}
	case colder(t.ShaftAt, dryIce):
		add("dry ice reaches about %s; the shaft needs less, and shrinks less than computed there %s", dryIce, handSource)
	}
	add("heat and cool slowly and evenly, and add for what is lost on the way")
}
