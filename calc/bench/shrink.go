package bench

import (
	"tenths/calc/joint"
	"tenths/calc/quantity"
)

// Shrink asks for the temperature that assembles a shrink fit.
type Shrink struct {
	Fit          string `placeholder:"FIT" help:"A fit of a standard: '50 mm H7/s6'."`
	Hole         string `placeholder:"SIZE" help:"... or the hole with its limits, with --pin."`
	Pin          string `placeholder:"SIZE" help:"The pin or shaft with its limits."`
	Diameter     string `placeholder:"SIZE" help:"... or the diameter of the joint, with --interference."`
	Interference string `placeholder:"LENGTH" help:"The most interference on the diameter: 0.059mm."`
	Clearance    string `placeholder:"LENGTH" help:"Clearance wanted on the diameter while putting together; 0 if not given."`
	HubMaterial  string `placeholder:"MATERIAL" help:"Material of the hub that is heated, or its expansion: steel, 11.7ppm/K."`
	PinMaterial  string `placeholder:"MATERIAL" help:"Material of the pin, to cool it instead or besides."`
	Room         string `placeholder:"TEMPERATURE" help:"Temperature at which the interference holds; 20C if not given."`
	Cold         string `placeholder:"TEMPERATURE" help:"Temperature of the pin while the hub is heated; the room's if not given."`
}

// About implements Question.
func (Shrink) About() string {
	return "How hot the hub must be, or how cold the pin, to put a shrink fit together with the clearance wanted. Growth is taken as linear; nothing is added for the heat lost on the way."
}

// Examples implements Question.
func (Shrink) Examples() []string {
	return []string{"--fit '50 mm H7/s6' --clearance 0.025mm --hub-material steel"}
}

// ShrinkAnswer is the answer to Shrink. Where sources differ on a material the
// hottest and the coldest need stands. What cannot be had is null.
type ShrinkAnswer struct {
	Interference quantity.Quantity `json:"max_interference"`
	Clearance    quantity.Quantity `json:"clearance"`
	HubAt        Rough             `json:"hub_at"`
	HubRise      Rough             `json:"hub_rise"`
	PinAt        Rough             `json:"pin_at"`
	PinFall      Rough             `json:"pin_fall"`
	Sheet
}

// Ask implements Question (package joint, Assemble).
func (q Shrink) Ask(o Options) (Answer, error) {
	w := start(o, quantity.Length)
	tight := w.interference(tightness{q.Fit, q.Hole, q.Pin, q.Diameter, q.Interference})
	clearance := w.zeroOr("clearance", q.Clearance, quantity.Length, "0.025mm")
	hub := w.expansion("hub-material", "hub", q.HubMaterial, q.PinMaterial == "")
	pin := w.expansion("pin-material", "pin", q.PinMaterial, false)
	in := joint.Assembly{
		Diameter: tight.diameter, Interference: tight.most, Clearance: clearance, Hub: hub.low, Shaft: pin.low,
		Room: w.temperature("room", q.Room), Cold: w.temperature("cold", q.Cold),
	}
	if w.err != nil {
		return nil, w.err
	}
	t, err := joint.Assemble(in) // the least expansion needs the most heat
	if err != nil {
		return nil, err
	}
	a := &ShrinkAnswer{
		Interference: w.show(tight.most), Clearance: w.show(clearance), Sheet: newSheet(),
		HubAt: wholeDegrees(t.HubAt), HubRise: wholeDegrees(t.HubRise), PinAt: wholeDegrees(t.ShaftAt), PinFall: wholeDegrees(t.ShaftFall),
	}
	want := zeroText(w, clearance, tight.most)
	open := w.show(w.add(tight.most, orZero(clearance, tight.most)))
	d := w.show(tight.diameter)
	if !a.HubAt.IsZeroValue() {
		a.say("heat the hub to %s (by %s) for %s of clearance", a.HubAt, a.HubRise, want)
		if in.Cold.IsZeroValue() {
			a.step("rise of the hub = (interference + clearance)/(expansion·d) = (%s + %s)/(%s·%s) = %s", a.Interference, want, hub.low, d, a.HubRise)
		} else {
			a.step("rise of the hub = ((d + interference)·(1 - expansion of pin·(room - cold)) + clearance - d)/(expansion·d), with the pin at %s and its expansion %s: %s", in.Cold, pin.low, a.HubRise)
		}
	}
	if !a.PinAt.IsZeroValue() {
		a.say("or cool the pin alone to %s (by %s)", a.PinAt, a.PinFall)
		a.step("fall of the pin = (interference + clearance)/(expansion·(d + interference)) = %s/(%s·%s) = %s", open, pin.low, w.show(w.add(tight.diameter, tight.most)), a.PinFall)
	}
	if a.HubAt.IsZeroValue() && a.PinAt.IsZeroValue() {
		a.say("cooling the pin alone is not enough for this interference")
	}
	a.step("%s", tight.formula)
	a.cite("linear expansion; interference/(expansion·d): engineeringtoolbox.com d_951, the rest is the same algebra")
	for _, p := range []property{hub, pin} {
		a.Sheet.property(p)
	}
	for _, n := range t.Notes {
		a.mind("%s", n)
	}
	a.hazards(t.Cautions)
	return done(a, w)
}

func orZero(q, like quantity.Quantity) quantity.Quantity {
	if q.IsZeroValue() {
		return like.Scale(zero())
	}
	return q
}

// wholeDegrees shows a temperature or a difference of them without decimals.
func wholeDegrees(q quantity.Quantity) Rough {
	if q.IsZeroValue() {
		return Rough{}
	}
	if kelvin, err := q.As(quantity.Kelvin); err == nil && q.Unit().Name() == "dC" {
		q = kelvin
	}
	return Rough{Quantity: q, text: q.Format(q.Unit(), 0)}
}
