package bench

import (
	"strings"

	"tenths/calc/dowel"
	"tenths/calc/quantity"
)

// Dowel asks for the standard dowel pins of a size.
type Dowel struct {
	Nominal  []string `arg:"" optional:"" help:"The nominal size, such as 3/16 in or 6 mm."`
	Measured string   `placeholder:"SIZE" help:"In place of a nominal size: a measured diameter, to find what pin it is."`
	Hole     string   `placeholder:"SIZE" help:"The hole that it goes in: '0.1875 +0.0005/-0 in'."`
}

// About implements Question.
func (Dowel) About() string {
	return "The diameters that standard dowel pins are made to (ASME B18.8.2, ASME B18.8.5M, ISO 8734) and the hole that the standard suggests for pressing them in. With --hole: whether a pin slips in that hole, and why not. A bought dowel is ground over its nominal size."
}

// Examples implements Question.
func (Dowel) Examples() []string {
	return []string{"3/16 in --hole '0.1875 +0.0005/-0 in'", "--measured 3.18mm"}
}

// DowelPin is one standard pin.
type DowelPin struct {
	Name           string            `json:"name"`
	Standard       string            `json:"standard"`
	Series         dowel.Series      `json:"series"`
	Nominal        quantity.Quantity `json:"nominal"`
	MaxSize        quantity.Quantity `json:"max_size"`
	MinSize        quantity.Quantity `json:"min_size"`
	Standing       dowel.Standing    `json:"standing"`
	PressHoleMax   quantity.Quantity `json:"press_hole_max"` // null where none is suggested
	PressHoleMin   quantity.Quantity `json:"press_hole_min"`
	PressStanding  dowel.Standing    `json:"press_hole_standing"`
	MinClearance   quantity.Quantity `json:"min_clearance"` // in the hole that was given
	MaxClearance   quantity.Quantity `json:"max_clearance"`
	Slips          *bool             `json:"slips"` // null without a hole
	SlipHoleAbove  quantity.Quantity `json:"slip_hole_above"`
	MeasuredInside *bool             `json:"measured_inside"` // null without a measured size
}

// DowelAnswer is the answer to Dowel.
type DowelAnswer struct {
	Pins []DowelPin `json:"pins"`
	Sheet
}

// nearestPins are as many as are listed for a measured size.
const nearestPins = 3

// Ask implements Question (package dowel).
func (q Dowel) Ask(o Options) (Answer, error) {
	w := start(o, quantity.Length)
	nominal := w.above("nominal", words(q.Nominal), quantity.Length, "3/16 in or 6 mm")
	measured := w.above("measured", q.Measured, quantity.Length, "3.18mm")
	hole := w.size("hole", q.Hole, "'0.1875 +0.0005/-0 in'", false)
	switch {
	case w.err != nil:
	case nominal.IsZeroValue() == measured.IsZeroValue():
		w.fail("nominal: type either a nominal size, such as 3/16 in or 6 mm, or a measured one, such as --measured 3.18mm")
	}
	if w.err != nil {
		return nil, w.err
	}
	a := &DowelAnswer{Sheet: newSheet()}
	var err error
	var pins []dowel.Match
	if measured.IsZeroValue() {
		var found []dowel.Pin
		found, err = dowel.Find(nominal)
		for _, p := range found {
			pins = append(pins, dowel.Match{Pin: p})
		}
	} else {
		pins, err = dowel.Nearest(measured, nearestPins)
	}
	if err != nil {
		return nil, err
	}
	for _, m := range pins {
		d := w.dowelPin(m.Pin)
		if !measured.IsZeroValue() {
			inside := m.Inside
			d.MeasuredInside = &inside
		}
		a.describe(w, d, m, measured)
		if !hole.Nominal.IsZeroValue() {
			if err := a.seat(w, &d, m.Pin, hole); err != nil {
				return nil, err
			}
		}
		a.Pins = append(a.Pins, d)
	}
	a.step("a standard dowel is ground over nominal, so that it presses into a hole of nominal size; it slips only where smallest hole - largest pin is above 0")
	a.mind("press holes are for mild steel and cast iron; softer metals want a smaller one (from memory)")
	a.mind("pins of different standards differ: measure, or read the packet")
	a.mind("press hardened pins, do not strike them; part clamped, eyes protected, hands clear (common practice)")
	a.mind("local codes and licensed practice decide; these cautions are a reminder and not complete")
	return done(a, w)
}

func (w *work) dowelPin(p dowel.Pin) DowelPin {
	d := DowelPin{Name: p.String(), Standard: p.Spec, Series: p.Series, Nominal: w.show(p.Nominal), MaxSize: w.show(p.Diameter.Upper), MinSize: w.show(p.Diameter.Lower), Standing: p.DiameterStanding}
	if p.HasPressHole() {
		d.PressHoleMax, d.PressHoleMin, d.PressStanding = w.show(p.PressHole.Upper), w.show(p.PressHole.Lower), p.HoleStanding
	}
	return d
}

// describe writes the lines of one pin.
func (a *DowelAnswer) describe(w *work, d DowelPin, m dowel.Match, measured quantity.Quantity) {
	what := ""
	switch {
	case measured.IsZeroValue():
	case m.Inside:
		what = "; " + w.show(measured).String() + " is inside"
	default:
		what = "; " + w.show(measured).String() + " is " + w.near(m.Off.Abs()).String() + " off its middle"
	}
	a.say("%s: %s to %s (%s)%s", d.Name, d.MinSize, d.MaxSize, d.Standing, what)
	if !d.PressHoleMax.IsZeroValue() {
		a.say("  press hole %s to %s (%s)", d.PressHoleMin, d.PressHoleMax, d.PressStanding)
	}
	cite := d.Standard
	if m.Series == dowel.M6 {
		cite += ", m6 of ISO 286-2"
	}
	for _, s := range a.Source {
		if s == cite {
			return
		}
	}
	a.cite("%s", cite)
}

// seat says how a pin sits in the hole that was given.
func (a *DowelAnswer) seat(w *work, d *DowelPin, p dowel.Pin, hole quantity.Toleranced) error {
	s, err := p.In(hole)
	if err != nil {
		return err
	}
	slips := s.Slips
	d.Slips, d.MinClearance, d.MaxClearance, d.SlipHoleAbove = &slips, w.show(s.Fit.MinClearance), w.show(s.Fit.MaxClearance), w.show(s.SlipAbove)
	verdict := "does not slip"
	switch {
	case slips:
		verdict = "slips"
	case s.Fit.MaxClearance.Sign() > 0:
		verdict = "slips or not, pin by pin"
	}
	low, high := ends(hole)
	a.say("  in a hole of %s it %s: %s; a slip hole must be over %s", span(w.show(low), w.show(high)), verdict, clearanceText(d.MinClearance, d.MaxClearance), d.SlipHoleAbove)
	a.step("%s: clearance = smallest hole - largest pin = %s - %s = %s", strings.TrimSpace(d.Name), w.show(low), d.MaxSize, d.MinClearance)
	return nil
}
