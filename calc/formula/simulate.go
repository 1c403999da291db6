package formula

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"tenths/calc/quantity"
	"tenths/calc/uncertainty"
)

// SimOptions steer a simulation.
type SimOptions struct {
	Unit   quantity.Unit       // as in Options
	Limits quantity.Toleranced // of the result, to count what lies outside; may be the zero value
	Conf   float64             // coverage probability of the interval; 0 for 0.95
	// MaxTrials ends the simulation where two digits of the standard deviation are
	// not sure by then; 0 for 200 000.
	MaxTrials int
	Seed      uint64
}

// Simulated is what drawing the inputs gives, in the unit of the result.
type Simulated struct {
	Trials   int
	Mean, SD quantity.Quantity
	// Low and High leave the same probability out on both sides.
	Low, High   quantity.Quantity
	Conf        float64
	Least, Most quantity.Quantity // of all draws
	// Below and Above are the parts outside the limits, 0 to 1, each good to about
	// 2·sqrt(part·(1 - part)/Trials).
	Below, Above float64
	Stable       bool // two digits of the standard deviation are sure
}

const usualTrials = 200_000

// Simulate draws the inputs from their spreads, common sources together, and
// carries each draw through the formula (JCGM 101:2008, 7; package uncertainty).
// Inputs without tolerance and standard deviation stay where they are.
//
// Errors: those of Eval for the inputs; limits of another dimension; nothing that
// varies; a draw for which the formula has no value.
func (e *Expr) Simulate(inputs []Input, o SimOptions) (*Simulated, error) {
	s, err := e.study(inputs)
	if err != nil {
		return nil, err
	}
	value, err := e.plain(e.root, s.nominal)
	if err != nil {
		return nil, err
	}
	unit := value.Unit()
	if !o.Unit.IsZero() {
		unit = o.Unit
	}
	if _, err := value.In(unit); err != nil {
		return nil, s.fail(1, fmt.Sprintf("the formula gives %s, not %s", article(value.Kind()), article(inBase(value.Rat(), unit).Kind())), "")
	}
	sim := uncertainty.SimOptions{Conf: o.Conf, MaxTrials: o.MaxTrials, Seed: o.Seed}
	if sim.Conf == 0 {
		sim.Conf = 0.95
	}
	if sim.MaxTrials == 0 {
		sim.MaxTrials = usualTrials
	}
	if sim.Lower, sim.Upper, err = s.ofLimits(o.Limits, value); err != nil {
		return nil, err
	}
	m := s.model()
	if len(m.Inputs) == 0 {
		return nil, s.fail(1, "nothing varies: no input has a tolerance or a standard deviation", "")
	}
	out, serr := uncertainty.Simulate(m, sim)
	if serr != nil {
		return nil, s.fail(s.root.column, "the simulation found no value: "+serr.Error(), "")
	}
	r := &Simulated{Trials: out.Trials, Conf: out.Conf, Below: out.Below, Above: out.Above, Stable: out.Stable}
	for _, p := range []struct {
		to *quantity.Quantity
		v  float64
		u  quantity.Unit
	}{{&r.Mean, out.Mean, unit}, {&r.SD, out.U, unit.Difference()}, {&r.Low, out.Low, unit}, {&r.High, out.High, unit}, {&r.Least, out.Least, unit}, {&r.Most, out.Most, unit}} {
		q, err := inBase(exactly(p.v), p.u).WithBound(exactly(math.Abs(p.v) * 0x1p-40)).As(p.u)
		if err != nil {
			return nil, s.fail(s.root.column, err.Error(), "")
		}
		*p.to = q
	}
	return r, nil
}

// ofLimits are the limits in base units, infinite where there is none.
func (s *study) ofLimits(t quantity.Toleranced, value quantity.Quantity) (low, high float64, err *Error) {
	if !t.HasLower() && !t.HasUpper() {
		return 0, 0, nil
	}
	if t.Nominal.Dim() != value.Dim() || t.Nominal.Unit().Point() != value.Unit().Point() {
		return 0, 0, s.fail(1, fmt.Sprintf("the formula gives %s and its limits are %s", article(value.Kind()), article(t.Nominal.Kind())), "")
	}
	low, high = math.Inf(-1), math.Inf(1)
	if t.HasLower() {
		low = toFloat(t.Lower.Rat())
	}
	if t.HasUpper() {
		high = toFloat(t.Upper.Rat())
	}
	return low, high, nil
}

// model is the formula as a function of one draw for each source that varies: of
// itself, or of its place in the spread where that is cut off.
func (s *study) model() uncertainty.Model {
	f := s.Float()
	values := make([]float64, len(s.names))
	var m uncertainty.Model
	drawn := make([]func(x float64) float64, 0, len(s.sources))
	places := make([][]int, 0, len(s.sources)) // in values, of each that is drawn
	for i, src := range s.sources {
		var at []int
		for k, name := range s.names {
			if s.of[name] == i {
				at = append(at, k)
				values[k] = toFloat(src.middle.Rat())
			}
		}
		if len(at) == 0 || src.sd().Sign() == 0 {
			continue
		}
		in, of := src.draw()
		m.Inputs, drawn, places = append(m.Inputs, in), append(drawn, of), append(places, at)
	}
	m.F = func(x []float64) float64 {
		for i, v := range x {
			v = drawn[i](v)
			for _, k := range places[i] {
				values[k] = v
			}
		}
		return f(values)
	}
	return m
}

// draw is what package uncertainty draws for a source, and what its value then is.
func (s source) draw() (uncertainty.Input, func(float64) float64) {
	sp := s.input.Spread
	middle, half, sd := toFloat(s.middle.Rat()), toFloat(s.half.Rat()), toFloat(s.sd().Rat())
	itself := func(x float64) float64 { return x }
	switch sp.Shape {
	case uncertainty.Uniform, uncertainty.Triangular, uncertainty.Arcsine:
		low, high := toFloat(s.low.Rat()), toFloat(s.high.Rat())
		return uncertainty.Input{Name: s.input.Name, Value: middle, U: sd, Shape: sp.Shape}, func(x float64) float64 { return min(max(x, low), high) }
	case uncertainty.StudentsT:
		return uncertainty.TInput(s.input.Name, middle, toFloat(sp.SD.Rat()), sp.DF), itself
	}
	if half == 0 {
		return uncertainty.Input{Name: s.input.Name, Value: middle, U: sd, Shape: uncertainty.Normal}, itself
	}
	// The inverse of the distribution, between the limits.
	edge := distuv.UnitNormal.CDF(-half / sd)
	return uncertainty.UniformInput(s.input.Name, 0.5, 0.5), func(x float64) float64 {
		z := distuv.UnitNormal.Quantile(min(max(edge+x*(1-2*edge), 0), 1))
		return middle + min(max(z*sd, -half), half)
	}
}
