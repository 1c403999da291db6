package bench

import (
	"fmt"

	"tenths/calc/fit"
	"tenths/calc/joint"
	"tenths/calc/quantity"
)

// Press asks what a press or shrink fit comes to.
type Press struct {
	Fit          string `placeholder:"FIT" help:"A fit of a standard: '50 mm H7/s6'."`
	Hole         string `placeholder:"SIZE" help:"... or the hole with its limits, with --pin."`
	Pin          string `placeholder:"SIZE" help:"The pin or shaft with its limits."`
	Diameter     string `placeholder:"SIZE" help:"... or the diameter of the joint, with --interference."`
	Interference string `placeholder:"RANGE" help:"Interference on the diameter: 0.0005in, 0.004..0.008mm."`
	Outside      string `placeholder:"SIZE" help:"Outside of the hub; for a plate, the diameter of metal round the hole."`
	PinBore      string `placeholder:"SIZE" help:"Bore of a hollow pin; solid if not given."`
	HubMaterial  string `placeholder:"MATERIAL" help:"Material of the hub: steel, 6061, 4140, or '207000 N/mm², 0.29' (modulus, Poisson's ratio)."`
	PinMaterial  string `placeholder:"MATERIAL" help:"Material of the pin."`
	Length       string `placeholder:"LENGTH" help:"Length of contact, for the forces."`
	Friction     string `placeholder:"RANGE" help:"Coefficient of friction, for the forces: 0.12, 0.10..0.15."`
}

// About implements Question.
func (Press) About() string {
	return "Pressure, stresses, press force and pull-out of a pin in a hub, by Lamé's thick cylinders, elastic and in plane stress. The most interference decides the stresses and the press force, the least what holds. Where sources differ on a material or on friction the answer covers both ends."
}

// Examples implements Question.
func (Press) Examples() []string {
	return []string{"--diameter 8mm --interference 0.004..0.008mm --outside 40mm --hub-material steel --pin-material steel --length 16mm --friction 0.10..0.15"}
}

// PressAnswer is the answer to Press. Pressures and stresses are at the most
// interference; forces are null without a length and friction.
type PressAnswer struct {
	MinInterference quantity.Quantity `json:"min_interference"`
	MaxInterference quantity.Quantity `json:"max_interference"`
	MaxPressure     Rough             `json:"max_pressure"`
	MinPressure     Rough             `json:"min_pressure"` // at the least interference
	HubHoop         Rough             `json:"max_hub_hoop_stress"`
	HubEquivalent   Rough             `json:"max_hub_equivalent_stress"`
	PinHoop         Rough             `json:"max_pin_hoop_stress"` // below 0: compression
	PinEquivalent   Rough             `json:"max_pin_equivalent_stress"`
	HubGrows        quantity.Quantity `json:"max_growth_of_outside"`
	PressForce      Rough             `json:"max_press_force"`
	PullOut         Rough             `json:"min_pull_out_force"`
	Torque          Rough             `json:"min_torque"`
	Sheet
}

// Ask implements Question (Lamé; package joint).
func (q Press) Ask(o Options) (Answer, error) {
	w := start(o, quantity.Length)
	tight := w.interference(tightness{q.Fit, q.Hole, q.Pin, q.Diameter, q.Interference})
	f := joint.Fit{
		Diameter: tight.diameter, Least: tight.least, Most: tight.most, HubOutside: w.needed("outside", q.Outside, quantity.Length, "40mm"),
		ShaftBore: w.zeroOr("pin-bore", q.PinBore, quantity.Length, "4mm"), Length: w.above("length", q.Length, quantity.Length, "16mm"),
	}
	hubE, hubNu := w.elastic("hub-material", "hub", q.HubMaterial)
	pinE, pinNu := w.elastic("pin-material", "pin", q.PinMaterial)
	lowF, highF := w.friction(q.Friction)
	if w.err == nil && f.Length.IsZeroValue() && !lowF.IsZeroValue() {
		w.missing("length", quantity.Length, "16mm")
	}
	if w.err != nil {
		return nil, w.err
	}
	// The stiffest pair makes the most pressure, the softest the least.
	stiff, soft := f, f
	stiff.Hub, stiff.Shaft = joint.Member{E: hubE.high, Nu: hubNu.low}, joint.Member{E: pinE.high, Nu: pinNu.high}
	soft.Hub, soft.Shaft = joint.Member{E: hubE.low, Nu: hubNu.high}, joint.Member{E: pinE.low, Nu: pinNu.low}
	stiff.PressFriction, soft.HoldFriction = highF, lowF
	hard, err := joint.Press(stiff)
	if err != nil {
		return nil, err
	}
	weak, err := joint.Press(soft)
	if err != nil {
		return nil, err
	}
	const digits = 3
	r := func(v quantity.Quantity) Rough { return w.rough(v, digits) }
	a := &PressAnswer{
		MinInterference: w.show(tight.least), MaxInterference: w.show(tight.most), MaxPressure: r(hard.Tight.Pressure), MinPressure: r(weak.Loose.Pressure),
		HubHoop: r(hard.Tight.HubHoop), HubEquivalent: r(hard.Tight.HubMises), PinHoop: r(hard.Tight.ShaftHoop), PinEquivalent: r(hard.Tight.ShaftMises),
		HubGrows: w.near(most(hard.Tight.RimGrows, weak.Tight.RimGrows)), PressForce: r(hard.PressForce), PullOut: r(weak.PullOut), Torque: r(weak.Torque), Sheet: newSheet(),
	}
	a.answer(w, f, tight)
	a.formula(w, f, tight, hard, stiff, lowF, highF)
	a.cite("Lamé's thick-walled cylinders, plane stress, both parts elastic (mechanical engineering design textbook, 9th ed., eq. 7-39 and 7-44 to 7-49); equivalent stress by von Mises")
	for _, p := range []property{hubE, hubNu, pinE, pinNu} {
		a.Sheet.property(p)
	}
	if err := a.frictions(lowF.IsZeroValue()); err != nil {
		return nil, err
	}
	for _, n := range hard.Notes {
		a.mind("%s", n)
	}
	a.hazards(hard.Cautions)
	return done(a, w)
}

func (a *PressAnswer) answer(w *work, f joint.Fit, t joined) {
	low, high := a.MinInterference, a.MaxInterference
	a.say("pressure %s at %s interference: hub %s equivalent stress, pin %s", upTo(a.MaxPressure, low, high), high, a.HubEquivalent, a.PinEquivalent)
	if low.Rat().Cmp(high.Rat()) != 0 {
		if low.Sign() > 0 {
			a.say("pressure at least %s at %s interference", a.MinPressure, low)
		} else {
			a.say("at its loosest there is %s clearance and nothing holds", low.Neg())
		}
	}
	if !a.PressForce.IsZeroValue() {
		a.say("presses in with up to %s; comes out at %s or more, turns at %s or more", a.PressForce, a.PullOut, a.Torque)
	}
	a.say("the outside of the hub grows by up to %s", a.HubGrows)
}

func upTo(p Rough, low, high quantity.Quantity) string {
	if low.Rat().Cmp(high.Rat()) == 0 {
		return p.String()
	}
	return "up to " + p.String()
}

func (a *PressAnswer) formula(w *work, f joint.Fit, t joined, hard joint.Pressed, stiff joint.Fit, lowF, highF quantity.Quantity) {
	d, out := w.show(f.Diameter), w.show(f.HubOutside)
	a.step("%s", t.formula)
	bore, solid := "0", " (solid pin)"
	if f.ShaftBore.Sign() > 0 {
		bore, solid = w.show(f.ShaftBore).String(), ""
	}
	a.step("p = interference/(d·[(Kh + nuh)/Eh + (Kp - nup)/Ep]), Kh = (D² + d²)/(D² - d²), Kp = (d² + b²)/(d² - b²)")
	a.step("= %s/(%s·[(Kh + %s)/%s + (Kp - %s)/%s]) with D %s, d %s, b %s%s = %s", a.MaxInterference, d, stiff.Hub.Nu, w.rough(stiff.Hub.E, 3), stiff.Shaft.Nu, w.rough(stiff.Shaft.E, 3), out, d, bore, solid, a.MaxPressure)
	a.step("hoop stress: hub p·Kh = %s, pin -p·Kp = %s", a.HubHoop, a.PinHoop)
	if !a.PressForce.IsZeroValue() {
		a.step("press force = friction·p·pi·d·length = %s·%s·pi·%s·%s = %s", highF, a.MaxPressure, d, w.show(f.Length), a.PressForce)
		a.step("pull-out likewise at the least interference and friction = %s·%s·pi·%s·%s = %s; torque = pull-out·d/2 = %s", lowF, a.MinPressure, d, w.show(f.Length), a.PullOut, a.Torque)
	}
}

// frictions lists what sources say of friction, if none was typed.
func (a *PressAnswer) frictions(none bool) error {
	if !none {
		a.cite("friction: as typed; published values differ by a factor of two and more")
		return nil
	}
	all, err := joint.Frictions()
	if err != nil {
		return err
	}
	a.mind("no forces without a length and a friction; sources differ on friction by a factor of two and more")
	for _, f := range all {
		a.cite("friction, not used: %s %s (%s)", f.Joint, span(f.Value.Low, f.Value.High), f.Value.Source)
	}
	return nil
}

// friction reads a coefficient of friction or a range of it.
func (w *work) friction(text string) (low, high quantity.Quantity) {
	return w.ratio("friction", text, "0.12 or 0.10..0.15")
}

// ratio reads a coefficient above 0 and up to 1, or a range of it.
func (w *work) ratio(name, text, eg string) (low, high quantity.Quantity) {
	if text == "" || w.err != nil {
		return
	}
	t := w.limits(name, plainRange(text), quantity.Number, eg)
	low, high = ends(t)
	one := quantity.One
	switch {
	case w.err != nil:
	case low.Sign() <= 0:
		w.fail("%s: %s is not above 0; type a number such as %s", name, text, eg)
	case high.FloatIn(one) > 1:
		w.fail("%s: %s is beyond any joint; type a number such as %s", name, text, eg)
	}
	if w.err != nil {
		return quantity.Quantity{}, quantity.Quantity{}
	}
	return w.keep(low.As(one)), w.keep(high.As(one))
}

// tightness are the ways to say how tight a joint is.
type tightness struct{ fit, hole, pin, diameter, interference string }

// joined is a joint with its interference on the diameter.
type joined struct {
	diameter, least, most quantity.Quantity
	formula               string
}

// interference reads how tight a joint is.
func (w *work) interference(t tightness) joined {
	const eg = "0.0005in or 0.004..0.008mm"
	byFit, bySizes, byAmount := t.fit != "", t.hole != "" || t.pin != "", t.diameter != "" || t.interference != ""
	n := 0
	for _, given := range []bool{byFit, bySizes, byAmount} {
		if given {
			n++
		}
	}
	var j joined
	switch {
	case w.err != nil:
		return j
	case n == 0:
		w.fail("fit: no value; type a fit such as '50 mm H7/s6', or the hole and the pin, or the diameter and the interference")
	case n > 1:
		w.fail("fit: the interference is given in two ways; type a fit, or the hole and the pin, or the diameter and the interference")
	case byAmount:
		j.diameter = w.needed("diameter", t.diameter, quantity.Length, "8mm")
		if t.interference == "" {
			w.missing("interference", quantity.Length, eg)
		}
		amount := w.limits("interference", t.interference, quantity.Length, eg)
		if w.err == nil && amount.HasLower() != amount.HasUpper() {
			w.fail("interference: %s has only one end; type %s", amount, eg)
		}
		j.least, j.most = ends(amount)
		j.formula = fmt.Sprintf("interference = %s, as typed", span(w.show(j.least), w.show(j.most)))
	default:
		var f fit.Fit
		if byFit {
			f = w.readFit(t.fit, "", "")
		} else {
			hole, pin := w.size("hole", t.hole, "'0.4995..0.5000 in'", true), w.size("pin", t.pin, "'0.5003..0.5005 in'", true)
			if w.err == nil {
				var err error
				if f, err = fit.Of(hole, pin); err != nil {
					w.fail("%w", err)
				}
			}
		}
		if w.err != nil {
			return j
		}
		j.diameter, j.least, j.most = f.Hole.Nominal, f.MaxClearance.Neg(), f.MinClearance.Neg()
		holeLow, holeHigh := ends(f.Hole)
		pinLow, pinHigh := ends(f.Shaft)
		j.formula = fmt.Sprintf("interference = smallest pin - largest hole to largest pin - smallest hole = %s - %s to %s - %s = %s to %s",
			w.show(pinLow), w.show(holeHigh), w.show(pinHigh), w.show(holeLow), w.show(j.least), w.show(j.most))
	}
	if w.err == nil && j.most.Sign() <= 0 {
		w.fail("interference: %s at most is a clearance and nothing is pressed; type a tighter pin, or an interference above 0 such as %s", j.most, eg)
	}
	return j
}
