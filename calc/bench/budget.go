package bench

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"tenths/calc/formula"
	"tenths/calc/quantity"
	"tenths/calc/uncertainty"
)

// Budget asks for the uncertainty of a result.
type Budget struct {
	Formula  string   `arg:"" optional:"" help:"The formula: 'reading + zero + block'."`
	Inputs   []string `arg:"" optional:"" sep:"none" help:"A value for each name, with what is known of its uncertainty after a semicolon: zero='0in; count 0.0001in'."`
	Sure     string   `default:"95%" placeholder:"SHARE" help:"How sure the interval should be: 95%."`
	Together []string `sep:"none" placeholder:"PAIR" help:"Two inputs that go together, and how much from -1 to 1: 'a b 0.8'."`
	Simulate bool     `help:"Draw the inputs a million times too: the interval when the formula bends or one input outweighs the rest."`
}

// About implements Question.
func (Budget) About() string {
	return "The uncertainty of a result: what each input adds, what they come to together, and the interval. An input is a value, a semicolon and what is known of it: 'standard 0.1um' (standard uncertainty), 'expanded 0.2um; k 2' (from a certificate), 'count 0.0001in' (one step of a display), 'uniform 0.5um', 'triangular 0.5um' or 'arcsine 0.5um' (half the width), 'df 9' (degrees of freedom) or 'known 25%' (how well the uncertainty itself is known); or 'readings 1.5001 1.5002 in' (their mean). An input without uncertainty is a constant."
}

// Examples implements Question.
func (Budget) Examples() []string {
	return []string{
		"'reading + zero + block' reading='readings 1.5001 1.5003 1.5002 1.5001 in' zero='0in; count 0.0001in' block='0in; expanded 0.00002in; k 2'",
		"'reading*(1 - 23e-6*over/(1*dC))' reading='4.0012in; expanded 0.0002in' over='5dC; uniform 1dC' --sure 99%",
	}
}

// BudgetLine is what one input adds.
type BudgetLine struct {
	Name         string            `json:"name"`
	Value        quantity.Quantity `json:"value"`
	U            Rough             `json:"standard_uncertainty"`
	DF           float64           `json:"degrees_of_freedom"` // 0: not limited
	Shape        string            `json:"shape"`
	Sensitivity  Rough             `json:"sensitivity"`
	Contribution Rough             `json:"contribution"`
	Share        Rough             `json:"share"` // null where inputs go together
}

// BudgetSimulation is what drawing the inputs gives.
type BudgetSimulation struct {
	Trials    int   `json:"trials"`
	Mean      Rough `json:"mean"`
	U         Rough `json:"standard_uncertainty"`
	Low       Rough `json:"low"` // the same share left out on both sides
	High      Rough `json:"high"`
	ShortLow  Rough `json:"shortest_low"`
	ShortHigh Rough `json:"shortest_high"`
	Agrees    bool  `json:"agrees_with_budget"` // to two digits of the uncertainty
	Stable    bool  `json:"stable"`             // more draws would not change the digits
}

// BudgetAnswer is the answer to Budget.
type BudgetAnswer struct {
	Value      Rough             `json:"value"`
	U          Rough             `json:"standard_uncertainty"`
	FirstOrder Rough             `json:"first_order"`
	K          Rough             `json:"coverage_factor"`
	DF         float64           `json:"degrees_of_freedom"` // effective, rounded down; 0: not limited
	Expanded   Rough             `json:"expanded_uncertainty"`
	Low        Rough             `json:"low"`
	High       Rough             `json:"high"`
	Inputs     []BudgetLine      `json:"inputs"`
	Simulation *BudgetSimulation `json:"simulation"`
	Sheet
}

// Ask implements Question (packages formula and uncertainty).
func (q Budget) Ask(o Options) (Answer, error) {
	w := &work{}
	const eg = "'reading + zero' reading='1.5002in; standard 0.00004in' zero='0in; count 0.0001in'"
	text := strings.TrimSpace(q.Formula)
	if text == "" {
		w.fail("formula: no value; type a formula and a value for each of its names, such as %s", eg)
	}
	sure := w.above("sure", q.Sure, quantity.Number, "95%")
	switch {
	case w.err != nil:
	case sure.IsZeroValue() || sure.Float() >= 1:
		w.fail("sure: %q is no share below 100 %%; type one such as 95%%", q.Sure)
	}
	var out formula.Options
	if name := strings.TrimSpace(o.Units); name != "" {
		u, ok := quantity.LookupUnit(name)
		if !ok || u.Point() {
			w.fail("units: %s is no unit for a result; type in, mm, um, deg or another", name)
		}
		out.Unit = u
	}
	inputs := w.uncertain(q.Inputs)
	if w.err != nil {
		return nil, w.err
	}
	expr, err := formula.Parse(text)
	if err != nil {
		return nil, err
	}
	var plain []formula.Input
	for _, in := range inputs {
		plain = append(plain, formula.Input{Name: in.input.Name, Value: quantity.Toleranced{Nominal: in.value}})
	}
	r, err := expr.Eval(plain, out)
	if err != nil {
		return nil, err
	}
	if r.NoSlope != nil {
		return nil, fmt.Errorf("no sensitivities, so no budget: %w", r.NoSlope)
	}
	m := uncertainty.Model{F: expr.Float()}
	for i, name := range expr.Names() {
		for _, in := range inputs {
			if in.input.Name == name {
				m.Inputs = append(m.Inputs, in.input)
			}
		}
		m.Slopes = append(m.Slopes, inBase(r.Contributors[i].Sensitivity))
	}
	m.Correlations = w.together(q.Together, m.Inputs)
	if w.err != nil {
		return nil, w.err
	}
	b, err := uncertainty.NewBudget(m, sure.Float())
	if err != nil {
		return nil, err
	}
	a := &BudgetAnswer{DF: b.DFUsed, K: Rough{Quantity: quantity.FromFloat(b.K, quantity.One), digits: 3}, Inputs: []BudgetLine{}, Sheet: newSheet()}
	// All of the budget is in the base units of their dimensions.
	base, unit := quantity.BaseUnit(r.Value.Unit().Difference().Dim()), r.Value.Unit()
	to := func(v float64) quantity.Quantity { return w.keep(quantity.FromFloat(v, base).As(unit.Difference())) }
	a.Value, a.Expanded = like(r.Value, to(b.Expanded)), Rough{Quantity: to(b.Expanded), digits: 2}
	a.U, a.FirstOrder = Rough{Quantity: to(b.U), digits: 2}, Rough{Quantity: to(b.FirstOrder), digits: 2}
	a.Low, a.High = like(w.sub(r.Value, to(b.Expanded)), to(b.Expanded)), like(w.add(r.Value, to(b.Expanded)), to(b.Expanded))
	if w.err != nil {
		return nil, w.err
	}
	a.words(expr, b)
	a.lines(b, r, inputs, to, len(q.Together) > 0)
	if q.Simulate {
		if err := a.simulate(w, m, b, r.Value, unit, base); err != nil {
			return nil, err
		}
	}
	a.cite("budget, coverage factor: JCGM 100:2008, 5.1, 5.2 and G.4; second-order terms 5.1.2, note (clauses from memory)")
	a.mind("a budget knows only what was put into it: wrong zero, burrs, heat and form are inputs too")
	return done(a, w)
}

// inBase is a quantity in the base unit of its dimension.
func inBase(q quantity.Quantity) float64 {
	f, _ := q.Rat().Float64()
	return f
}

// wholePercent shows a share that somebody typed.
func wholePercent(p float64) string { return strconv.FormatFloat(100*p, 'g', 6, 64) + " %" }

// like shows a value with the decimals at which its uncertainty has two digits.
func like(v, u quantity.Quantity) Rough {
	size := math.Abs(u.FloatIn(v.Unit().Difference()))
	if size == 0 {
		return deserved(v)
	}
	return Rough{Quantity: v, text: v.WithDecimals(max(0, min(15, 1-int(math.Floor(math.Log10(size)))))).String()}
}

func (a *BudgetAnswer) words(expr *formula.Expr, b uncertainty.Budget) {
	a.say("%s = %s ± %s (%s, k = %s%s)", expr, a.Value, a.Expanded, wholePercent(b.Conf), a.K, ofFreedom(b.DFUsed))
	a.say("from %s to %s; standard uncertainty %s", a.Low, a.High, a.U)
	if b.U > b.FirstOrder*1.005 {
		a.say("the formula bends: without its second-order terms it would be %s", a.FirstOrder)
	}
	a.step("u² = sum of (sensitivity·u)² + second-order terms; u = %s", a.U)
	if b.DF > 0 {
		a.step("effective degrees of freedom = u⁴/sum of (contribution⁴/df) = %s, rounded down to %g", strconv.FormatFloat(b.DF, 'f', 1, 64), b.DFUsed)
	}
	a.step("U = k·u = %s·%s = %s", a.K, a.U, a.Expanded)
}

func ofFreedom(df float64) string {
	if df == 0 {
		return ""
	}
	return ", " + strconv.FormatFloat(df, 'g', 4, 64) + " degrees of freedom"
}

func (a *BudgetAnswer) lines(b uncertainty.Budget, r *formula.Result, inputs []uncertainInput, to func(float64) quantity.Quantity, together bool) {
	for i, l := range b.Lines {
		for _, in := range inputs {
			if in.input.Name != l.Name {
				continue
			}
			line := BudgetLine{
				Name: l.Name, Value: in.value, U: Rough{Quantity: in.u, digits: 2}, DF: math.Round(l.DF*100) / 100, Shape: string(l.Shape),
				Sensitivity: Rough{Quantity: r.Contributors[i].Sensitivity, digits: 2}, Contribution: Rough{Quantity: to(math.Abs(l.Contribution)), digits: 2},
			}
			a.Inputs = append(a.Inputs, line)
			if l.U == 0 {
				continue
			}
			share := ""
			if !together {
				a.Inputs[len(a.Inputs)-1].Share = percent(l.Share)
				share = ", " + a.Inputs[len(a.Inputs)-1].Share.String() + " of u²"
			}
			a.say("  %s: u = %s adds %s%s", l.Name, line.U, line.Contribution, share)
			a.step("%s: %s, u = %s%s, sensitivity %s", l.Name, l.Shape, line.U, ofFreedom(l.DF), line.Sensitivity)
		}
	}
}

// budgetSeed makes the same question give the same answer.
const budgetSeed = 1

// simulate draws the inputs; base is the unit of the model, unit that of the answer.
func (a *BudgetAnswer) simulate(w *work, m uncertainty.Model, b uncertainty.Budget, value quantity.Quantity, unit, base quantity.Unit) error {
	s, err := uncertainty.Simulate(m, uncertainty.SimOptions{Conf: b.Conf, Digits: 3, Seed: budgetSeed, MaxTrials: 1_000_000})
	if err != nil {
		return err
	}
	u := w.keep(quantity.FromFloat(s.U, base).As(unit.Difference()))
	// The middle is exact; only what lies about it was drawn.
	at := func(v float64) Rough {
		return like(w.add(value, w.keep(quantity.FromFloat(v-b.Value, base).As(unit.Difference()))), u)
	}
	a.Simulation = &BudgetSimulation{
		Trials: s.Trials, Mean: at(s.Mean), U: Rough{Quantity: u, digits: 2}, Low: at(s.Low), High: at(s.High), ShortLow: at(s.ShortLow), ShortHigh: at(s.ShortHigh),
		Agrees: uncertainty.Compare(b, s, 2).Agree, Stable: s.Stable,
	}
	word := "which agrees with the budget"
	if !a.Simulation.Agrees {
		word = "which does not agree with the budget; this interval stands"
	}
	a.say("drawn %d times: %s to %s, shortest %s to %s, %s", s.Trials, a.Simulation.Low, a.Simulation.High, a.Simulation.ShortLow, a.Simulation.ShortHigh, word)
	a.cite("drawing the inputs: JCGM 101:2008, 7.9, fixed seed; agreement to two digits, 8.1 (clauses from memory)")
	return nil
}
