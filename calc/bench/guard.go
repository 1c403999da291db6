package bench

import (
	"strings"

	"tenths/calc/gauge"
	"tenths/calc/quantity"
)

// Guard asks how far readings must stay inside the limits.
type Guard struct {
	Limits      string `placeholder:"SIZE" help:"The limits: 0.7500..0.7505in, '<= 0.0010 in'."`
	Uncertainty string `placeholder:"VALUE" help:"Expanded uncertainty of a reading (k = 2)."`
	Probability string `default:"95%" placeholder:"SHARE" help:"How sure a part at the very edge of what is accepted should be: 95%."`
	Mean        string `placeholder:"SIZE" help:"Mean that the process runs at, with --sd: what the gauge sorts wrongly."`
	SD          string `name:"sd" placeholder:"VALUE" help:"Spread of the process, one standard deviation."`
}

// About implements Question.
func (Guard) About() string {
	return "How far readings must stay inside the limits so that what is accepted conforms with a wanted probability; and, for a process that is known, how many parts of each kind the gauge sorts wrongly by that rule, by the full uncertainty, and with no guard band at all. A single reading is decided by calc accept."
}

// Examples implements Question.
func (Guard) Examples() []string {
	return []string{"--limits 0.7500..0.7505in --uncertainty 0.0001in", "--limits 0.7500..0.7505in --uncertainty 0.0001in --mean 0.75022in --sd 0.00012in"}
}

// GuardRule is one way of accepting and what comes of it, shares of all parts.
type GuardRule struct {
	Name            string            `json:"name"`
	Guard           quantity.Quantity `json:"guard_band"`
	WronglyAccepted Rough             `json:"wrongly_accepted"`
	WronglyRejected Rough             `json:"wrongly_rejected"`
}

// GuardAnswer is the answer to Guard; what does not apply is null or empty.
type GuardAnswer struct {
	Guard         Rough       `json:"guard_band"`
	Factor        Rough       `json:"guard_over_standard_uncertainty"`
	AcceptFrom    Rough       `json:"accept_from"` // null for a single limit
	AcceptTo      Rough       `json:"accept_to"`
	Probability   Rough       `json:"probability_at_the_edge"`
	Nonconforming Rough       `json:"nonconforming"` // of the process
	Rules         []GuardRule `json:"rules"`
	Sheet
}

// Ask implements Question (JCGM 106; package gauge).
func (q Guard) Ask(o Options) (Answer, error) {
	w := &work{}
	if strings.TrimSpace(q.Limits) == "" {
		w.missing("limits", quantity.Length, "0.7500..0.7505in")
	}
	limits, err := quantity.ParseToleranced(q.Limits, quantity.Unit{})
	switch {
	case w.err != nil:
	case err != nil:
		w.fail("limits: %w", err)
	case !limits.HasLower() && !limits.HasUpper():
		w.fail("limits: %s has no limit; type limits such as 0.7500..0.7505in", limits)
	case limits.Nominal.Unit().Point():
		return nil, w.temperatures()
	}
	if w.err != nil {
		return nil, w.err
	}
	dim := limits.Nominal.Dim()
	if w = start(o, dim); w.err != nil {
		return nil, w.err
	}
	u := w.needed("uncertainty", q.Uncertainty, dim, "0.0001in")
	p := w.above("probability", q.Probability, quantity.Number, "95%")
	if w.err == nil && p.IsZeroValue() {
		w.missing("probability", quantity.Number, "95%")
	}
	mean, sd := w.given("mean", q.Mean, dim, "0.75022in"), w.above("sd", q.SD, dim, "0.00012in")
	if w.err == nil && mean.IsZeroValue() != sd.IsZeroValue() {
		w.fail("mean and sd belong together: the one says where the process runs, the other how wide; type both or none")
	}
	if w.err != nil {
		return nil, w.err
	}
	standard := half(u)
	guard, err := gauge.GuardFor(standard, limits, p.Float())
	if err != nil {
		return nil, err
	}
	d, err := gauge.Decide(limits.Nominal, guard, limits)
	if err != nil {
		return nil, err
	}
	a := &GuardAnswer{Guard: deserved(w.show(guard)), Probability: percent(p.Float()), Rules: []GuardRule{}, Sheet: newSheet()}
	a.Factor = Rough{Quantity: w.div(guard, standard), digits: 3}
	// What may be accepted is rounded inwards.
	a.AcceptFrom, a.AcceptTo = w.outward(d.AcceptFrom, up), w.outward(d.AcceptTo, down)
	switch {
	case a.AcceptFrom.IsZeroValue():
		a.say("accept readings up to %s", a.AcceptTo)
	case a.AcceptTo.IsZeroValue():
		a.say("accept readings from %s", a.AcceptFrom)
	default:
		a.say("accept readings from %s to %s", a.AcceptFrom, a.AcceptTo)
	}
	a.say("a part at the edge of that conforms with %s; the guard band is %s = %s standard uncertainties", wholePercent(p.Float()), a.Guard, a.Factor)
	a.step("guard band g: Phi(T/u - g/u) - Phi(-g/u) = %s, u = U/2 = %s; one limit: g = quantile·u", wholePercent(p.Float()), w.show(standard))
	a.cite("probability of conformity: JCGM 106:2012, clause 7, normal distribution; 95 %% is said to be the default of ISO 14253-1:2017 (from memory)")
	if !mean.IsZeroValue() {
		if err := a.risks(w, mean, sd, standard, u, guard, limits); err != nil {
			return nil, err
		}
	}
	a.mind("the standard or contract named on the drawing decides the rule; say which one was used")
	return done(a, w)
}

// risks tells what the gauge sorts wrongly under three rules.
func (a *GuardAnswer) risks(w *work, mean, sd, standard, u, guard quantity.Quantity, limits quantity.Toleranced) error {
	none := w.sub(u, u)
	for _, r := range []struct {
		name string
		band quantity.Quantity
	}{{"no guard band", none}, {"this guard band", guard}, {"the full uncertainty", u}} {
		if d, err := gauge.Decide(limits.Nominal, r.band, limits); err != nil || !d.CanAccept {
			continue // so wide that nothing is accepted
		}
		risk, err := gauge.LotRisks(mean, sd, standard, r.band, limits)
		if err != nil {
			return err
		}
		a.Nonconforming = percent(risk.Nonconforming)
		rule := GuardRule{Name: r.name, Guard: w.show(r.band), WronglyAccepted: percent(risk.WronglyAccepted), WronglyRejected: percent(risk.WronglyRejected)}
		a.Rules = append(a.Rules, rule)
		if len(a.Rules) == 1 {
			a.say("of all parts of this process %s are outside the limits; of all parts", a.Nonconforming)
		}
		a.say("  with %s: %s wrongly accepted, %s wrongly turned down", r.name, rule.WronglyAccepted, rule.WronglyRejected)
	}
	a.cite("shares sorted wrongly: JCGM 106:2012, clause 9, global risks, true sizes and readings normal")
	a.mind("the shares hold for a process that is normal about this mean; a drift or a mixed lot makes them untrue")
	return nil
}
