package bench

import (
	"slices"
	"strconv"
	"strings"

	"tenths/calc/formula"
	"tenths/calc/quantity"
	"tenths/calc/stack"
)

// Stack asks for a formula with toleranced inputs.
type Stack struct {
	Formula     string   `arg:"" optional:"" help:"The formula: 'housing - 2*bearing - spacer'."`
	Inputs      []string `arg:"" optional:"" sep:"none" help:"A value for each name: housing='1.500 +0.010/-0.004 in'."`
	Limits      string   `placeholder:"SIZE" help:"Limits that the result should keep: 0.010..0.080in."`
	Simulate    bool     `help:"Draw the inputs many times too: the part outside the limits without the normal distribution."`
	Spread      []string `sep:"none" placeholder:"NAME=SPREAD" help:"How an input lies in its tolerance: spacer=uniform (or normal, triangular, arcsine), or its standard deviation, spacer='0.0008in'. Normal with the limits at 3 s if not given. May be repeated."`
	Common      []string `sep:"none" placeholder:"NAME=SOURCE" help:"What an input moves with: hole1=reamer hole2=reamer, with a part 'reamer 60%', the other way 'against reamer'. May be repeated."`
	Cost        []string `sep:"none" placeholder:"NAME=NUMBER" help:"What it costs to hold the tolerance of an input, in minutes or money: spacer=4. May be repeated."`
	Fixed       []string `sep:"none" placeholder:"NAME" help:"An input that stays as it is, such as a bought part. May be repeated."`
	Allot       string   `placeholder:"WAY" help:"Share the tolerance of the limits out over the inputs: equal, scaled (as they are now), size (by the ISO 286 tolerance unit), or cost (the least)."`
	Statistical bool     `help:"Share it out for the root sum square in place of the worst case."`
}

// About implements Question.
func (Stack) About() string {
	return "A stack of tolerances, or any formula with toleranced inputs: nominal, worst case, root sum square, the share of each input, and with limits what is left to them, the part outside and what to tighten first. The grammar has + - * / ( ), abs, min, max, sqrt, hypot, sin, cos, tan, asin, acos, atan, atan2, pow, if(a < b, a, b), pi and units as names (25.4*mm). A name that is used twice counts once."
}

// Examples implements Question.
func (Stack) Examples() []string {
	return []string{
		"'housing - 2*bearing - spacer' housing='1.500 +0.010/-0.004 in' bearing='0.438 +0/-0.015 in' spacer='0.600 ±0.003 in' --limits 0.010..0.080in",
		"'hole - pin' hole='4.000..4.012mm' pin='3.990..3.994mm' --limits 0.004..0.020mm --spread hole=uniform --simulate",
		"'box - a - b' box='60 ±0.1 mm' a='40 ±0.1 mm' b='19.8 ±0.1 mm' --limits 0.05..0.35mm --fixed b --allot size",
	}
}

// StackShare is the part of one input, or of a common source.
type StackShare struct {
	Name        string   `json:"name"`
	Members     []string `json:"moves"`       // the inputs of a common source
	HalfWidth   Rough    `json:"half_width"`  // null for a common source
	Sensitivity Rough    `json:"sensitivity"` // null where there is no slope
	Effect      Rough    `json:"effect"`      // ± in the result
	Worst       Rough    `json:"share_of_worst_case"`
	RSS         Rough    `json:"share_of_root_sum_square"`
	Variance    Rough    `json:"share_of_variance"` // by the spreads
}

// StackTighten is an input as a candidate to be held closer.
type StackTighten struct {
	Name string  `json:"name"`
	Cost float64 `json:"cost"` // 0: not stated
	To   Rough   `json:"half_width_that_alone_would_do"`
}

// StackSimulation is what drawing the inputs gives.
type StackSimulation struct {
	Trials  int   `json:"trials"`
	Mean    Rough `json:"mean"`
	SD      Rough `json:"standard_deviation"`
	Low     Rough `json:"low"` // 95 %, the same share left out on both sides
	High    Rough `json:"high"`
	Outside Rough `json:"outside_limits"` // null without limits
}

// StackItem is what an input gets of a tolerance that is shared out.
type StackItem struct {
	Name   string `json:"name"`
	Before Rough  `json:"half_width_before"`
	Half   Rough  `json:"half_width"`
	Fixed  bool   `json:"fixed"`
}

// StackAnswer is the answer to Stack. What does not apply is null.
type StackAnswer struct {
	Value       Rough            `json:"value"` // at the nominal values
	WorstLower  Rough            `json:"worst_lower"`
	WorstUpper  Rough            `json:"worst_upper"`
	Method      string           `json:"worst_case_method"`
	Gap         Rough            `json:"worst_case_wider_by_up_to"` // 0 where it is exact
	Middle      Rough            `json:"root_sum_square_middle"`
	HalfWidth   Rough            `json:"root_sum_square_half_width"`
	SD          Rough            `json:"standard_deviation"`
	Shares      []StackShare     `json:"shares"`
	WorstInside *bool            `json:"worst_case_inside_limits"`
	RSSInside   *bool            `json:"root_sum_square_inside_limits"`
	BelowRoom   Rough            `json:"room_to_lower_limit"` // of the worst case; below 0 it is outside
	AboveRoom   Rough            `json:"room_to_upper_limit"`
	Outside     Rough            `json:"outside_limits_if_normal"`
	First       []StackTighten   `json:"tighten_first"`
	Simulation  *StackSimulation `json:"simulation"`
	Allotted    []StackItem      `json:"allotted"`
	Sheet
}

// Ask implements Question (packages formula and stack).
func (q Stack) Ask(o Options) (Answer, error) {
	w := &work{}
	s := q.read(w, o)
	if w.err != nil {
		return nil, w.err
	}
	r, err := s.Expr.Eval(s.Inputs, formula.Options{Unit: s.Unit})
	if err != nil {
		return nil, err
	}
	s.Unit = r.Value.Unit()
	a := &StackAnswer{
		Value: deserved(r.Value), WorstLower: worst(r.WorstLower, r.Gap), WorstUpper: worst(r.WorstUpper, r.Gap), Method: r.Method.String(), Gap: deserved(r.Gap),
		Middle: deserved(r.Centre), SD: deserved(r.SD), Shares: []StackShare{}, First: []StackTighten{}, Allotted: []StackItem{}, Sheet: newSheet(),
	}
	for _, in := range s.Inputs {
		a.step("%s = %s", in.Name, in.Value)
	}
	a.say("%s = %s", s.Expr, a.Value)
	if r.WorstLower.Rat().Cmp(r.WorstUpper.Rat()) != 0 || r.SD.Sign() != 0 {
		a.tolerances(r)
	}
	if s.Limits.HasLower() || s.Limits.HasUpper() {
		st, err := stack.Judge(s)
		if err != nil {
			return nil, err
		}
		a.against(s.Limits, st)
		a.first(s, st)
	}
	if q.Simulate {
		if err := a.simulate(s); err != nil {
			return nil, err
		}
	}
	if q.Allot != "" {
		if err := a.allot(s, stack.Method(q.Allot), q.Statistical); err != nil {
			return nil, err
		}
	}
	a.cite("worst case: every input anywhere within its limits (%s)", r.Method)
	if r.NoSlope != nil {
		a.mind("no root sum square: %v", r.NoSlope)
	} else {
		a.cite("root sum square: JCGM 100:2008, 5.1.2, with half-widths in the place of standard uncertainties")
		a.mind("the root sum square supposes that the inputs vary on their own and about the middle of their limits; a process that runs at one limit makes it untrue")
	}
	for _, f := range r.Folds {
		a.mind("the root sum square and the shares hold on one side only: %v", f)
	}
	if r.Method == formula.Enclosed {
		a.mind("the search for the worst case was cut short: it may be wider than what happens by up to %s", a.Gap)
	}
	return done(a, w)
}

// read reads the question.
func (q Stack) read(w *work, o Options) stack.Stack {
	const eg = "'housing - 2*bearing' housing='1.500 ±0.004 in' bearing='0.438 ±0.002 in'"
	var s stack.Stack
	text := strings.TrimSpace(q.Formula)
	if text == "" {
		w.fail("formula: no value; type a formula and a value for each of its names, such as %s", eg)
	}
	if name := strings.TrimSpace(o.Units); name != "" {
		u, ok := quantity.LookupUnit(name)
		if !ok || u.Point() {
			w.fail("units: %s is no unit for a result; type in, mm, thou, deg or another", name)
		}
		s.Unit = u
	}
	if strings.TrimSpace(q.Limits) != "" {
		var err error
		if s.Limits, err = quantity.ParseToleranced(q.Limits, quantity.Unit{}); err != nil {
			w.fail("limits: %w", err)
		}
	}
	s.Inputs = w.inputs(q.Inputs)
	w.named("spread", q.Spread, "spacer=uniform", s.Inputs, func(in *formula.Input, text string) (err error) {
		in.Spread, err = formula.ParseSpread(text, quantity.Unit{})
		return err
	})
	w.named("common", q.Common, "hole1=reamer", s.Inputs, func(in *formula.Input, text string) (err error) {
		in.Common, err = formula.ParseCommon(text)
		return err
	})
	for _, pair := range q.Cost {
		name, value, _ := strings.Cut(pair, "=")
		c, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
		if err != nil {
			w.fail("cost: %q is no name with a number; type it like spacer=4", pair)
			continue
		}
		if s.Costs == nil {
			s.Costs = map[string]float64{}
		}
		s.Costs[strings.TrimSpace(name)] = c
	}
	for _, name := range q.Fixed {
		s.Fixed = append(s.Fixed, strings.TrimSpace(name))
	}
	switch hasLimits := s.Limits.HasLower() || s.Limits.HasUpper(); {
	case w.err != nil:
	case q.Allot != "" && !slices.Contains(stack.Methods(), stack.Method(q.Allot)):
		w.fail("allot: %q is no way to share out a tolerance; type equal, scaled, size or cost", q.Allot)
	case q.Allot != "" && !hasLimits:
		w.fail("limits: no value; a tolerance is shared out from limits of the result, such as --limits 0.010..0.080in")
	case q.Limits != "" && !hasLimits:
		w.fail("limits: %s has no limit; type both, such as 0.010..0.080in", s.Limits)
	case q.Statistical && q.Allot == "":
		w.fail("statistical: nothing is shared out; type --allot equal, scaled, size or cost with it")
	}
	if w.err == nil {
		var err error
		if s.Expr, err = formula.Parse(text); err != nil {
			w.fail("%w", err)
		}
	}
	return s
}

// named reads name=text pairs that say more of an input.
func (w *work) named(what string, pairs []string, eg string, inputs []formula.Input, set func(*formula.Input, string) error) {
	for _, pair := range pairs {
		name, text, ok := strings.Cut(pair, "=")
		name = strings.TrimSpace(name)
		i := slices.IndexFunc(inputs, func(in formula.Input) bool { return in.Name == name })
		if !ok || i < 0 {
			w.fail("%s: %q names no input; type it like %s", what, pair, eg)
			return
		}
		if err := set(&inputs[i], text); err != nil {
			w.fail("%s: %w", what, err)
			return
		}
	}
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

// worst shows an end of the worst case: as nothing where it is nothing but for what
// the search left open.
func worst(q, gap quantity.Quantity) Rough {
	r := deserved(q)
	if n, ok := places[q.Unit().Name()]; ok && gap.Sign() != 0 && q.Abs().Rat().Cmp(gap.Rat()) <= 0 {
		r.text = q.Format(q.Unit(), n)
	}
	return r
}

func (a *StackAnswer) tolerances(r *formula.Result) {
	a.say("worst case %s to %s", a.WorstLower, a.WorstUpper)
	if !r.RSS.IsZeroValue() {
		a.HalfWidth = deserved(r.RSS)
		a.say("root sum square %s ± %s; standard deviation %s", a.Middle, a.HalfWidth, a.SD)
	}
	for _, c := range r.Contributors {
		s := StackShare{Name: c.Name, Members: c.Members, Effect: deserved(c.Effect), Worst: percent(c.WorstShare), RSS: percent(c.RSSShare), Variance: percent(c.Share)}
		if c.Members == nil {
			s.HalfWidth, s.Members = deserved(c.HalfWidth), []string{}
		}
		varies := c.HalfWidth.Sign() != 0 && r.NoSlope == nil
		if !c.Sensitivity.IsZeroValue() {
			s.Sensitivity = Rough{Quantity: c.Sensitivity, digits: 3}
			if varies && c.Members == nil {
				a.step("share of %s: sensitivity %s × ±%s", c.Name, s.Sensitivity, s.HalfWidth)
			}
		}
		a.Shares = append(a.Shares, s)
		switch {
		case varies && c.Members != nil:
			a.say("  %s (moves %s) ±%s of the result: %s of the worst case, %s of the root sum square", c.Name, strings.Join(c.Members, ", "), s.Effect, s.Worst, s.RSS)
		case varies:
			a.say("  %s ±%s: %s of the worst case, %s of the root sum square", c.Name, s.HalfWidth, s.Worst, s.RSS)
		}
	}
}
