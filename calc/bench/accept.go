package bench

import (
	"math/big"
	"strings"

	"tenths/calc/gauge"
	"tenths/calc/quantity"
)

// Accept asks whether a reading lets a part pass.
type Accept struct {
	Reading     []string `arg:"" optional:"" help:"What the gauge reads: 1.5011 in."`
	Limits      string   `placeholder:"SIZE" help:"The limits: '1.5000 ±0.0010 in', '<= 0.0010 in'."`
	Uncertainty string   `placeholder:"VALUE" help:"Expanded uncertainty of the reading (k = 2)."`
	Resolution  string   `placeholder:"VALUE" help:"What one count of the gauge is."`
	Guard       string   `default:"full" placeholder:"BAND" help:"Guard band: full (the uncertainty), 95 (95 % at the edge), none, or a value of your own."`
}

// About implements Question.
func (Accept) About() string {
	return "Accept, doubtful or reject: a reading against limits with the uncertainty of the gauge, where readings are accepted, how probable it is that the part conforms, and whether the gauge is good enough for the tolerance. Any kind of value will do."
}

// Examples implements Question.
func (Accept) Examples() []string {
	return []string{"1.5011 in --limits '1.5000 ±0.0010 in' --uncertainty 0.00015in"}
}

// AcceptAnswer is the answer to Accept.
type AcceptAnswer struct {
	Verdict        gauge.Verdict     `json:"verdict"`
	Reading        quantity.Quantity `json:"reading"`
	LowerLimit     quantity.Quantity `json:"lower_limit"` // null for a single limit
	UpperLimit     quantity.Quantity `json:"upper_limit"`
	Guard          quantity.Quantity `json:"guard_band"`
	AcceptFrom     quantity.Quantity `json:"accept_from"`
	AcceptTo       quantity.Quantity `json:"accept_to"`
	CanAccept      bool              `json:"can_accept"` // some reading would be accepted
	Conformity     Rough             `json:"probability_of_conformity"`
	Ratio          Rough             `json:"tolerance_over_2u"` // null for a single limit
	Fitness        gauge.Fitness     `json:"gauge"`
	ResolutionPart Rough             `json:"resolution_share"`
	Sheet
}

// Ask implements Question (ISO 14253-1, JCGM 106; package gauge).
func (q Accept) Ask(o Options) (Answer, error) {
	const eg = "'1.5000 ±0.0010 in'"
	w := &work{}
	if strings.TrimSpace(q.Limits) == "" {
		w.missing("limits", quantity.Length, eg)
	}
	limits, err := quantity.ParseToleranced(q.Limits, quantity.Unit{})
	if w.err == nil && err != nil {
		w.fail("limits: %w", err)
	}
	if w.err == nil && !limits.HasLower() && !limits.HasUpper() {
		w.fail("limits: %s has no limit; type limits such as %s", limits, eg)
	}
	if w.err != nil {
		return nil, w.err
	}
	dim := limits.Nominal.Dim()
	if limits.Nominal.Unit().Point() {
		return nil, w.temperatures()
	}
	if w = start(o, dim); w.err != nil {
		return nil, w.err
	}
	egReading, egU, egStep := "1.5011 in", "0.00015in", "0.0001in"
	if dim != quantity.Length {
		unit := limits.Nominal.Unit().Name()
		egReading, egU, egStep = limits.Nominal.String(), "0.15"+unit, "0.1"+unit
	}
	reading := w.given("reading", words(q.Reading), dim, egReading)
	if words(q.Reading) == "" {
		w.missing("reading", dim, egReading)
	}
	u := w.needed("uncertainty", q.Uncertainty, dim, egU)
	resolution := w.above("resolution", q.Resolution, dim, egStep)
	if w.err != nil {
		return nil, w.err
	}
	standard := half(u)
	guard, err := w.guard(q.Guard, u, standard, limits, dim)
	if err != nil {
		return nil, err
	}
	d, err := gauge.Decide(reading, guard, limits)
	if err != nil {
		return nil, err
	}
	p, err := gauge.Conformity(reading, standard, limits)
	if err != nil {
		return nil, err
	}
	a := &AcceptAnswer{
		Verdict: d.Verdict, Reading: w.show(reading), LowerLimit: w.show(limits.Lower), UpperLimit: w.show(limits.Upper), Guard: w.show(guard),
		AcceptFrom: w.show(d.AcceptFrom), AcceptTo: w.show(d.AcceptTo), CanAccept: d.CanAccept, Conformity: percent(p), Sheet: newSheet(),
	}
	a.say("%s: %s against %s; the probability that the part conforms is %s", d.Verdict, a.Reading, limits, a.Conformity)
	switch {
	case !d.CanAccept:
		a.say("no reading at all would be accepted: the guard bands meet, the gauge is too poor for this tolerance")
	case d.AcceptFrom.IsZeroValue():
		a.say("accepted: readings up to %s", a.AcceptTo)
	case d.AcceptTo.IsZeroValue():
		a.say("accepted: readings from %s", a.AcceptFrom)
	default:
		a.say("accepted: readings from %s to %s", a.AcceptFrom, a.AcceptTo)
	}
	if !d.AcceptFrom.IsZeroValue() {
		a.step("accept from = lower limit + guard band = %s + %s = %s", a.LowerLimit, a.Guard, a.AcceptFrom)
	}
	if !d.AcceptTo.IsZeroValue() {
		a.step("accept to = upper limit - guard band = %s - %s = %s", a.UpperLimit, a.Guard, a.AcceptTo)
	}
	a.step("reject beyond a limit by more than %s; doubtful between", a.Guard)
	a.step("probability of conformity = Phi((upper - reading)/u) - Phi((lower - reading)/u) = %s, with u = U/2 = %s", a.Conformity, w.show(standard))
	if err := a.suits(w, limits, resolution, u); err != nil {
		return nil, err
	}
	a.cite("decision rule with guard band: ISO 14253-1 as it is taught (full: w = U; the 95 %% rule of its 2017 edition from memory)")
	a.cite("probability of conformity: JCGM 106:2012, clause 7, normal distribution, nothing else known of the part")
	a.mind("the standard or contract named on the drawing decides the rule; say which one was used")
	return done(a, w)
}

// temperatures are left out: their uncertainty is a difference and not a
// temperature, and no shop accepts parts by it.
func (w *work) temperatures() error {
	w.fail("limits: a temperature is not judged here; type limits of a size, an angle, a force or a number, such as '1.5000 ±0.0010 in'")
	return w.err
}

// guard reads the guard band.
func (w *work) guard(text string, u, standard quantity.Quantity, limits quantity.Toleranced, dim quantity.Dim) (quantity.Quantity, error) {
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "", "full":
		return u, nil
	case "none":
		return quantity.New(new(big.Rat), u.Unit()), nil
	case "95", "95 %", "95%":
		return gauge.GuardFor(standard, limits, 0.95)
	}
	g := w.zeroOr("guard", text, dim, "full, 95, none or 0.0001in")
	return g, w.err
}

// suits says whether the gauge is good enough for the tolerance.
func (a *AcceptAnswer) suits(w *work, limits quantity.Toleranced, resolution, u quantity.Quantity) error {
	if !limits.HasLower() || !limits.HasUpper() {
		return nil
	}
	s, err := gauge.Suits(limits, resolution, u)
	if err != nil {
		return err
	}
	width, _ := limits.Width()
	a.Ratio, a.Fitness = Rough{Quantity: s.Ratio, digits: 2}, s.Fitness
	a.say("the gauge is %s for this tolerance: T/(2U) = %s", s.Fitness, a.Ratio)
	a.step("T/(2U) = %s/(2·%s) = %s; at least 4 is comfortable, under 2 useless", w.show(width), w.show(u), a.Ratio)
	if !resolution.IsZeroValue() {
		a.ResolutionPart = Rough{Quantity: s.ResolutionShare, digits: 2}
		text := "fine enough"
		if s.ResolutionCoarse {
			text = "too coarse: the last digit decides, not the part"
		}
		a.say("one count is %s of the tolerance, %s (10 %% at most)", a.ResolutionPart, text)
	}
	a.cite("T/(2U) and resolution: common practice")
	return nil
}
