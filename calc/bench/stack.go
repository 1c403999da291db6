package bench

import (
	"strings"

	"tenths/calc/formula"
	"tenths/calc/quantity"
)

// Stack asks for a formula with toleranced inputs.
type Stack struct {
	Formula string   `arg:"" optional:"" help:"The formula: 'housing - 2*bearing - spacer'."`
	Inputs  []string `arg:"" optional:"" sep:"none" help:"A value for each name: housing='1.500 +0.010/-0.004 in'."`
	Limits  string   `placeholder:"SIZE" help:"Limits that the result should keep: 0.010..0.080in."`
}

// About implements Question.
func (Stack) About() string {
	return "A stack of tolerances, or any formula with toleranced inputs: nominal, worst case, root sum square, and the share of each input. The grammar has + - * / ( ), abs, min, max, sqrt, hypot, sin, cos, tan, asin, acos, atan, atan2, pow, if(a < b, a, b), pi and units as names (25.4*mm). A name that is used twice counts once."
}

// Examples implements Question.
func (Stack) Examples() []string {
	return []string{"'housing - 2*bearing - spacer' housing='1.500 +0.010/-0.004 in' bearing='0.438 +0/-0.015 in' spacer='0.600 ±0.003 in' --limits 0.010..0.080in"}
}

// StackShare is the part of one input.
type StackShare struct {
	Name        string `json:"name"`
	HalfWidth   Rough  `json:"half_width"`
	Sensitivity Rough  `json:"sensitivity"` // null where there is no slope
	Worst       Rough  `json:"share_of_worst_case"`
	RSS         Rough  `json:"share_of_root_sum_square"`
}

// StackAnswer is the answer to Stack. What does not apply is null.
type StackAnswer struct {
	Value       Rough        `json:"value"` // at the nominal values
	WorstLower  Rough        `json:"worst_lower"`
	WorstUpper  Rough        `json:"worst_upper"`
	Method      string       `json:"worst_case_method"`
	Middle      Rough        `json:"root_sum_square_middle"`
	HalfWidth   Rough        `json:"root_sum_square_half_width"`
	Shares      []StackShare `json:"shares"`
	WorstInside *bool        `json:"worst_case_inside_limits"`
	RSSInside   *bool        `json:"root_sum_square_inside_limits"`
	Sheet
}

// Ask implements Question (package formula).
func (q Stack) Ask(o Options) (Answer, error) {
	w := &work{}
	const eg = "'housing - 2*bearing' housing='1.500 ±0.004 in' bearing='0.438 ±0.002 in'"
	text := strings.TrimSpace(q.Formula)
	if text == "" {
		w.fail("formula: no value; type a formula and a value for each of its names, such as %s", eg)
	}
	var out formula.Options
	if name := strings.TrimSpace(o.Units); name != "" {
		u, ok := quantity.LookupUnit(name)
		if !ok || u.Point() {
			w.fail("units: %s is no unit for a result; type in, mm, thou, deg or another", name)
		}
		out.Unit = u
	}
	var limits quantity.Toleranced
	if strings.TrimSpace(q.Limits) != "" {
		var err error
		if limits, err = quantity.ParseToleranced(q.Limits, quantity.Unit{}); err != nil {
			w.fail("limits: %w", err)
		}
	}
	inputs := w.inputs(q.Inputs)
	if w.err != nil {
		return nil, w.err
	}
	expr, err := formula.Parse(text)
	if err != nil {
		return nil, err
	}
	r, err := expr.Eval(inputs, out)
	if err != nil {
		return nil, err
	}
	a := &StackAnswer{
		Value: deserved(r.Value), WorstLower: deserved(r.WorstLower), WorstUpper: deserved(r.WorstUpper), Method: r.Method.String(),
		Middle: deserved(r.Centre), Shares: []StackShare{}, Sheet: newSheet(),
	}
	for _, in := range inputs {
		a.step("%s = %s", in.Name, in.Value)
	}
	a.say("%s = %s", expr, a.Value)
	if r.WorstLower.Rat().Cmp(r.WorstUpper.Rat()) != 0 {
		a.tolerances(r)
	}
	if err := a.against(r, limits); err != nil {
		return nil, err
	}
	a.cite("worst case: every input anywhere within its limits (%s)", r.Method)
	a.cite("root sum square: JCGM 100:2008, 5.1.2, with half-widths in the place of standard uncertainties")
	a.mind("the root sum square supposes that the inputs vary on their own and about the middle of their limits; a process that runs at one limit makes it untrue")
	if r.NoSlope != nil {
		a.mind("no root sum square: %v", r.NoSlope)
	}
	return done(a, w)
}

// inputs reads name=value pairs.
func (w *work) inputs(pairs []string) []formula.Input {
	var out []formula.Input
	for _, pair := range pairs {
		name, value, ok := strings.Cut(pair, "=")
		if name = strings.TrimSpace(name); !ok || name == "" {
			w.fail("%q gives no name a value; type it like housing='1.500 ±0.004 in'", pair)
			return nil
		}
		t, err := quantity.ParseToleranced(value, quantity.Unit{})
		if err != nil {
			w.fail("%s: %w", name, err)
			return nil
		}
		out = append(out, formula.Input{Name: name, Value: t})
	}
	return out
}

// deserved shows a result with the places of its unit, or four digits.
func deserved(q quantity.Quantity) Rough {
	if q.IsZeroValue() {
		return Rough{}
	}
	if _, ok := places[q.Unit().Name()]; ok {
		return Rough{Quantity: q, text: tidy(q).String()}
	}
	const digits = 4
	return Rough{Quantity: q, digits: digits}
}

func (a *StackAnswer) tolerances(r *formula.Result) {
	a.say("worst case %s to %s", a.WorstLower, a.WorstUpper)
	if !r.RSS.IsZeroValue() {
		a.HalfWidth = deserved(r.RSS)
		a.say("root sum square %s ± %s", a.Middle, a.HalfWidth)
	}
	for _, c := range r.Contributors {
		s := StackShare{Name: c.Name, HalfWidth: deserved(c.HalfWidth), Worst: percent(c.WorstShare), RSS: percent(c.RSSShare)}
		if !c.Sensitivity.IsZeroValue() {
			s.Sensitivity = Rough{Quantity: c.Sensitivity, digits: 3}
			if c.HalfWidth.Sign() != 0 {
				a.step("share of %s: sensitivity %s × ±%s", c.Name, s.Sensitivity, s.HalfWidth)
			}
		}
		a.Shares = append(a.Shares, s)
		if c.HalfWidth.Sign() != 0 && r.NoSlope == nil {
			a.say("  %s ±%s: %s of the worst case, %s of the root sum square", c.Name, s.HalfWidth, s.Worst, s.RSS)
		}
	}
}

// against holds the result against limits.
func (a *StackAnswer) against(r *formula.Result, limits quantity.Toleranced) error {
	if limits.Nominal.IsZeroValue() {
		return nil
	}
	inside := func(low, high quantity.Quantity) (bool, error) {
		l, err := limits.Side(low)
		if err != nil {
			return false, err
		}
		h, err := limits.Side(high)
		return l == quantity.Inside && h == quantity.Inside, err
	}
	worst, err := inside(r.WorstLower, r.WorstUpper)
	if err != nil {
		return err
	}
	a.WorstInside = &worst
	word := map[bool]string{true: "keeps", false: "leaves"}
	if r.RSS.IsZeroValue() {
		a.say("against %s: the worst case %s the limits", limits, word[worst])
		return nil
	}
	low, err := r.Centre.Sub(r.RSS)
	if err != nil {
		return err
	}
	high, err := r.Centre.Add(r.RSS)
	if err != nil {
		return err
	}
	rss, err := inside(low, high)
	if err != nil {
		return err
	}
	a.RSSInside = &rss
	a.say("against %s: the worst case %s the limits, the root sum square %s them", limits, word[worst], word[rss])
	return nil
}
