package bench

import (
	"fmt"
	"math"
	"strings"

	"tenths/calc/locate"
	"tenths/calc/quantity"
)

// Pins asks whether a part with two holes goes on two locating pins.
type Pins struct {
	Hole      string `placeholder:"SIZE" help:"Both holes of the part, or the first: '0.1875 +0.0005/-0 in'."`
	Hole2     string `name:"hole2" placeholder:"SIZE" help:"The second hole, if it is of another size."`
	Pin       string `placeholder:"SIZE" help:"Both pins, or the first: 0.1873in."`
	Pin2      string `name:"pin2" placeholder:"SIZE" help:"The second pin, if it is of another size."`
	HolePitch string `placeholder:"LENGTH" help:"Distance of the holes: '2.4000 ±0.0005 in'."`
	PinPitch  string `placeholder:"LENGTH" help:"Distance of the pins; the nominal one of the holes if not given."`
	Land      string `placeholder:"WIDTH" help:"Width of the lands of the second pin, if it is relieved."`
	Turned    string `placeholder:"ANGLE" help:"Angle between its relief and the line of the pins; 0 if not given."`
	At        string `placeholder:"ALONG,ACROSS" help:"A point of the part, from pin 1 along the line to pin 2 and across it, to see how far it can move: 3.6in,0in."`
}

// About implements Question.
func (Pins) About() string {
	return "Will the part go on, how much pitch error do the pins allow, what margin is left, how far can a point of the part still move? Answers for the worst good part (smallest holes, largest pins, pitch at the end of its tolerance); the play is that of the loosest one. A relieved pin is computed exactly, with the usual handbook figure beside it; the widest land and the largest second pin are given where they matter."
}

// Examples implements Question.
func (Pins) Examples() []string {
	return []string{"--hole '0.1875 +0.0005/-0 in' --pin 0.1873in --hole-pitch '2.4000 ±0.0005 in' --land 0.030in --at 3.6in,0in"}
}

// PinsAnswer is the answer to Pins. Index 2 is the second pin; what does not
// apply is null.
type PinsAnswer struct {
	GoesOn       bool              `json:"goes_on"`        // every good part
	MiddleGoesOn bool              `json:"middle_goes_on"` // the part in the middle of all limits
	Mismatch     quantity.Quantity `json:"mismatch"`       // hole pitch - pin pitch of the worst part
	Allowance    quantity.Quantity `json:"allowance"`      // the largest mismatch, either way, that still goes on
	Spare        quantity.Quantity `json:"spare"`          // allowance left over; below 0: missing
	Margin       quantity.Quantity `json:"margin"`         // by which every hole radius could shrink
	Limit        string            `json:"limit"`
	Binds        []string          `json:"binds"`
	Clearance1   quantity.Quantity `json:"min_clearance_1"` // on the diameter
	Clearance2   quantity.Quantity `json:"min_clearance_2"`
	Reach2       quantity.Quantity `json:"reach_2"` // pitch error that the relieved pin takes, exact
	Handbook2    quantity.Quantity `json:"handbook_reach_2"`
	Excess2      quantity.Quantity `json:"handbook_excess_2"`
	WidestLand2  Rough             `json:"widest_land_2"` // the texts of both are rounded down
	LargestPin2  Rough             `json:"largest_pin_2"`
	PlayAlong    quantity.Quantity `json:"play_along"`  // full travel of the point
	PlayAcross   quantity.Quantity `json:"play_across"` // full travel of the point
	Turn         Rough             `json:"turn"`        // of the loosest part, to each side
	Sheet
}

// pattern is what Pins has read. Lengths of the limits are low, high.
type pattern struct {
	w         *work
	unit      quantity.Unit
	hole, pin [2][2]quantity.Quantity
	mismatch  [2]quantity.Quantity
	pitch     quantity.Quantity // of the pins
	land      quantity.Quantity
	turned    float64 // rad
	tolerant  bool    // something has a tolerance
}

// Ask implements Question (package locate).
func (q Pins) Ask(o Options) (Answer, error) {
	w := start(o, quantity.Length)
	p := w.pattern(q)
	along, across := w.point(q.At)
	if w.err != nil {
		return nil, w.err
	}
	worst, at, err := p.worst()
	if err != nil {
		return nil, err
	}
	pins, holes := p.setUp(p.middle)
	usual, err := locate.TwoPins(pins, holes)
	if err != nil {
		return nil, err
	}
	need := most(p.mismatch[0].Abs(), p.mismatch[1].Abs())
	a := &PinsAnswer{
		GoesOn: worst.GoesOn, MiddleGoesOn: usual.GoesOn, Mismatch: w.show(p.mismatch[at]), Allowance: p.mm(worst.Allowance),
		Spare: p.mm(worst.Allowance - need.Float()), Margin: p.mm(worst.Margin), Limit: worst.Limit.String(), Binds: []string{},
		Clearance1: w.show(w.sub(p.hole[0][0], p.pin[0][1])), Clearance2: w.show(w.sub(p.hole[1][0], p.pin[1][1])), Sheet: newSheet(),
	}
	for _, c := range worst.Binds {
		a.Binds = append(a.Binds, fmt.Sprintf("pin %d, %s", c.Pin, c.Face))
	}
	a.verdict(p, need, usual)
	a.explain(p, need, worst)
	a.cure(p, need, worst)
	if !along.IsZeroValue() {
		if err := a.play(p, along, across); err != nil {
			return nil, err
		}
	}
	a.cite("plane geometry of pins in holes; two round pins: the sum of the radial clearances, as in tool-design handbooks")
	a.mind("rigid and plane: burrs, tilted pins, out-of-round holes and heat are not in it")
	return done(a, w)
}

// pattern reads pins and holes.
func (w *work) pattern(q Pins) *pattern {
	const egHole, egPin, egPitch = "'0.1875 +0.0005/-0 in'", "0.1873in", "'2.4000 ±0.0005 in'"
	p := &pattern{w: w}
	other := func(name, text, eg string, first quantity.Toleranced) quantity.Toleranced {
		if strings.TrimSpace(text) == "" {
			return first
		}
		return w.size(name, text, eg, true)
	}
	hole := w.size("hole", q.Hole, egHole, true)
	hole2 := other("hole2", q.Hole2, egHole, hole)
	pin := w.size("pin", q.Pin, egPin, true)
	pin2 := other("pin2", q.Pin2, egPin, pin)
	holePitch := w.size("hole-pitch", q.HolePitch, egPitch, true)
	pinPitch := w.size("pin-pitch", q.PinPitch, egPitch, false)
	p.land = w.above("land", q.Land, quantity.Length, "0.030in")
	turned := w.zeroOr("turned", q.Turned, quantity.Angle, "10deg")
	if !turned.IsZeroValue() && p.land.IsZeroValue() {
		w.fail("turned: only a relieved pin can be turned; type the width of its lands too, such as --land 0.030in")
	}
	if turned.Float() > 90 {
		w.fail("turned: %s; type the angle to the line of the pins, from 0 to 90 deg", turned)
	}
	if w.err != nil {
		return p
	}
	if pinPitch.Nominal.IsZeroValue() {
		pinPitch = quantity.Toleranced{Nominal: holePitch.Nominal}
	}
	p.turned = turned.Float() * math.Pi / 180
	p.unit = w.unitOf(hole.Nominal)
	for i, t := range [2]quantity.Toleranced{hole, hole2} {
		p.hole[i][0], p.hole[i][1] = ends(t)
	}
	for i, t := range [2]quantity.Toleranced{pin, pin2} {
		p.pin[i][0], p.pin[i][1] = ends(t)
	}
	for _, t := range []quantity.Toleranced{hole, hole2, pin, pin2, holePitch, pinPitch} {
		low, high := ends(t)
		p.tolerant = p.tolerant || low.Rat().Cmp(high.Rat()) != 0
	}
	holeLow, holeHigh := ends(holePitch)
	pinLow, pinHigh := ends(pinPitch)
	p.mismatch = [2]quantity.Quantity{w.sub(holeLow, pinHigh), w.sub(holeHigh, pinLow)}
	p.pitch = half(w.add(pinLow, pinHigh))
	p.check(pinLow)
	return p
}

// check refuses what no pin can be, in the units of the question.
func (p *pattern) check(pinPitch quantity.Quantity) {
	if second := p.pin[1][0]; !p.land.IsZeroValue() && p.land.Rat().Cmp(second.Rat()) > 0 {
		p.w.fail("land: %s is wider than the second pin, %s; type a width below that", p.land, p.w.show(second))
	}
	if least := half(p.w.add(p.pin[0][1], p.pin[1][1])); p.w.err == nil && pinPitch.Rat().Cmp(least.Rat()) < 0 {
		p.w.fail("the pins overlap: they stand %s apart and need %s at least; type the distance of the pins", p.w.show(pinPitch), p.w.show(least))
	}
}

// point reads where on the part the play is asked for.
func (w *work) point(text string) (along, across quantity.Quantity) {
	if w.err != nil || strings.TrimSpace(text) == "" {
		return
	}
	const eg = "3.6in,0in"
	x, y, ok := strings.Cut(text, ",")
	if !ok || strings.TrimSpace(x) == "" || strings.TrimSpace(y) == "" {
		w.fail("at: %q is no point; type its distance from pin 1 along the line and across it, such as %s", text, eg)
		return
	}
	return w.given("at", x, quantity.Length, eg), w.given("at", y, quantity.Length, eg)
}

// choice takes one of low and high for a hole, a pin and the mismatch, in mm.
type choice func(hole, pin, mismatch [2]quantity.Quantity) (h, p, m float64)

func (p *pattern) middle(hole, pin, mismatch [2]quantity.Quantity) (h, d, m float64) {
	mid := func(q [2]quantity.Quantity) float64 { return half(p.w.add(q[0], q[1])).Float() }
	return mid(hole), mid(pin), mid(mismatch)
}

// loosest is the part with the most play: the least mismatch does not hold it.
func (p *pattern) loosest(hole, pin, mismatch [2]quantity.Quantity) (h, d, m float64) {
	switch {
	case mismatch[0].Sign() > 0:
		m = mismatch[0].Float()
	case mismatch[1].Sign() < 0:
		m = mismatch[1].Float()
	}
	return hole[1].Float(), pin[0].Float(), m
}

// setUp puts pin 1 at 0 and pin 2 on the x axis.
func (p *pattern) setUp(c choice) (pins [2]locate.Pin, holes [2]locate.Hole) {
	for i := range pins {
		h, d, m := c(p.hole[i], p.pin[i], p.mismatch)
		pins[i], holes[i] = locate.Pin{D: d}, locate.Hole{D: h}
		if i == 1 {
			pins[i].X = p.pitch.Float()
			holes[i].X = pins[i].X + m
			if !p.land.IsZeroValue() {
				pins[i].Kind, pins[i].Land, pins[i].ReliefAxis = locate.Relieved, p.land.Float(), p.turned
			}
		}
	}
	return pins, holes
}

// worst is the part with the least margin: smallest holes, largest pins, the
// pitch at one of its ends. at names the end that lies farther off.
func (p *pattern) worst() (out locate.Result, at int, err error) {
	for i := range p.mismatch {
		pins, holes := p.setUp(func(hole, pin, mismatch [2]quantity.Quantity) (h, d, m float64) {
			return hole[0].Float(), pin[1].Float(), mismatch[i].Float()
		})
		r, err := locate.TwoPins(pins, holes)
		if err != nil {
			return out, at, err
		}
		if i == 0 || r.Margin < out.Margin {
			out = r
		}
	}
	if p.mismatch[1].Abs().Rat().Cmp(p.mismatch[0].Abs().Rat()) >= 0 {
		at = 1
	}
	return out, at, nil
}

// mm is a computed length in the unit of the answer.
func (p *pattern) mm(v float64) quantity.Quantity {
	return p.w.near(p.w.keep(quantity.FromFloat(v, quantity.Millimetre).As(p.unit)))
}

func (a *PinsAnswer) verdict(p *pattern, need quantity.Quantity, usual locate.Result) {
	who, goes, not := "the part", "goes on", "the part does not go on"
	if p.tolerant {
		who, not = "every good part", "not every good part goes on"
	}
	mismatch := p.w.show(need)
	switch {
	case a.GoesOn:
		a.say("%s %s: the pins allow a pitch error of ±%s, and it is up to %s", who, goes, a.Allowance, mismatch)
		a.say("%s of pitch error are left; every hole radius could shrink by %s", a.Spare, a.Margin)
	case a.Clearance1.Sign() < 0 || a.Clearance2.Sign() < 0:
		a.say("%s: the largest pin is larger than its smallest hole", not)
	default:
		a.say("%s: the pins allow a pitch error of ±%s, and it may be %s; %s are missing", not, a.Allowance, mismatch, a.Spare.Neg())
	}
	if p.tolerant && !a.GoesOn {
		state := "does not go on either"
		if usual.GoesOn {
			state = "goes on, with " + p.mm(usual.Margin).String() + " on the hole radius"
		}
		a.say("a part in the middle of all limits %s", state)
	}
	a.say("what binds first: %s (%s)", strings.Join(a.Binds, "; "), a.Limit)
}

// explain writes the formulas of the allowance.
func (a *PinsAnswer) explain(p *pattern, need quantity.Quantity, worst locate.Result) {
	w := p.w
	show := func(q quantity.Quantity) quantity.Quantity { return w.show(q) }
	radial := func(i int) (string, quantity.Quantity) {
		D, d := p.hole[i][0], p.pin[i][1]
		c := show(half(w.sub(D, d)))
		return fmt.Sprintf("(%s - %s)/2 = %s", show(D), show(d), c), c
	}
	a.step("mismatch = hole pitch - pin pitch = %s to %s", show(p.mismatch[0]), show(p.mismatch[1]))
	text1, c1 := radial(0)
	a.step("clearance of pin 1 = %s", text1)
	if a.Clearance1.Sign() < 0 || a.Clearance2.Sign() < 0 {
		text2, _ := radial(1)
		a.step("clearance of pin 2 = %s", text2)
		return
	}
	if p.land.IsZeroValue() {
		text2, c2 := radial(1)
		a.step("clearance of pin 2 = %s", text2)
		a.step("allowance = sum of both = %s + %s = %s", c1, c2, a.Allowance)
		return
	}
	D, d, land := show(p.hole[1][0]), show(p.pin[1][1]), show(p.land)
	a.Reach2 = p.mm(worst.Reach[1])
	if p.turned == 0 {
		a.step("reach of pin 2 = (sqrt(land² + hole² - pin²) - land)/2 = (sqrt((%s)² + (%s)² - (%s)²) - %s)/2 = %s", land, D, d, land, a.Reach2)
	} else {
		a.step("reach of pin 2, its relief turned by %.0f deg from the line = %s", p.turned*180/math.Pi, a.Reach2)
	}
	a.step("allowance = clearance of pin 1 + reach of pin 2 = %s + %s = %s", c1, a.Reach2, a.Allowance)
	if p.turned == 0 {
		a.Handbook2, a.Excess2 = p.mm(worst.HandbookReach[1]), p.mm(worst.HandbookExcess[1])
		a.step("handbook: hole·(hole - pin)/(2·land) = %s, which claims %s too much", a.Handbook2, a.Excess2)
		a.mind("a relieved pin is no slot: first-order handbook formulas of its reach are always on the hopeful side")
	} else {
		a.mind("lands bear square to the line of the pins; a turned relief takes up less and swings more")
	}
}

// cure gives the widest land and the largest second pin for the mismatch.
func (a *PinsAnswer) cure(p *pattern, need quantity.Quantity, worst locate.Result) {
	if worst.C1 < 0 || worst.C2 < 0 {
		return
	}
	landPlaces, pinPlaces := places[p.unit.Name()]-2, places[p.unit.Name()]
	lower := func(mm float64, n int) Rough {
		q := p.w.keep(quantity.FromFloat(mm, quantity.Millimetre).As(p.unit))
		return Rough{Quantity: q, text: down(q, max(n, 0)).String()}
	}
	D, d := p.hole[1][0].Float(), p.pin[1][1].Float()
	reach := need.Float() - worst.C1
	if reach <= worst.C2+locate.Tolerance {
		if !p.land.IsZeroValue() {
			a.say("pin 2 need not be relieved for this mismatch")
		}
		return
	}
	// Largest second pin that leaves reach.
	if p.land.IsZeroValue() {
		a.LargestPin2 = lower(D-2*reach, pinPlaces)
		a.say("a round second pin would have to be %s at most", a.LargestPin2)
	} else if d2, err := locate.PinFor(D, reach, p.land.Float()); err == nil && p.turned == 0 {
		a.LargestPin2 = lower(d2, pinPlaces)
		a.say("with this land the second pin may be %s at most", a.LargestPin2)
	}
	land, err := locate.LargestLand(D, d, need.Float(), worst.C1)
	widest := lower(land, landPlaces)
	if err != nil || !strings.ContainsAny(widest.text, "123456789") {
		a.say("relieving the second pin at its present size is not enough: hardly a knife edge would take up the mismatch")
		return
	}
	a.WidestLand2 = widest
	verb := "relieve the second pin along the line of the pins, with"
	if !p.land.IsZeroValue() {
		verb = "its relief along the line, the second pin may have"
	}
	a.say("%s lands of %s at most", verb, a.WidestLand2)
	e := p.mm(reach)
	a.step("widest land = (hole² - pin²)/(4·e) - e = ((%s)² - (%s)²)/(4·%s) - %s = %s, with e = mismatch - clearance of pin 1", p.w.show(p.hole[1][0]), p.w.show(p.pin[1][1]), e, e, a.WidestLand2)
}

// play gives the travel of a point of the loosest part.
func (a *PinsAnswer) play(p *pattern, along, across quantity.Quantity) error {
	pins, holes := p.setUp(p.loosest)
	point := [2]float64{along.Float(), across.Float()}
	travel := func(dir [2]float64) (quantity.Quantity, error) {
		plus, minus, err := locate.Play(pins, holes, point, dir)
		return p.mm(plus + minus), err
	}
	var err error
	if a.PlayAlong, err = travel([2]float64{1, 0}); err != nil {
		return err
	}
	if a.PlayAcross, err = travel([2]float64{0, 1}); err != nil {
		return err
	}
	low, high, err := locate.AngleRange(pins, holes)
	if err != nil {
		return err
	}
	a.Turn = Rough{Quantity: quantity.FromFloat((high-low)/2*180/math.Pi, quantity.Degree), digits: 2}
	a.say("the point %s along, %s across can still move %s along and %s across the line in all, and the part turn by ±%s (loosest part)", p.w.show(along), p.w.show(across), a.PlayAlong, a.PlayAcross, a.Turn)
	a.step("play: the farthest the point gets in each sense, over every pose in which the part is on both pins, turning included")
	return nil
}
