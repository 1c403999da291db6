package boring

import (
	"errors"
	"fmt"
	"math/big"
	"slices"

	"tenths/calc/check"
	"tenths/calc/quantity"
)

// Pass is one boring pass and what the gauges said after it.
type Pass struct {
	Change quantity.Quantity // change of radius commanded; 0 for the same pass again
	Facts  []Fact            // none when the hole was not gauged
}

// Job is a hole on its way to size.
type Job struct {
	Limits quantity.Toleranced // of the diameter
	Target quantity.Quantity   // diameter aimed at; left out: the middle of the limits
	Start  []Fact              // gauges before the first pass
	Passes []Pass              // done so far, in order
	Entry  quantity.Quantity   // clearance a gauge may need to enter, see Bracket
	Gain   Gain
	// Increment is the smallest change of radius that the control takes; the
	// next change is a whole number of them. Left out: 0.00001 in or 0.0001 mm.
	Increment quantity.Quantity
}

// Decision is what to do next.
type Decision string

const (
	Stop       Decision = "stop"        // the whole interval lies inside the limits
	GoOn       Decision = "go on"       // a change is given that cannot pass the upper limit
	CannotTell Decision = "cannot tell" // no change is sure to stay below it, or the facts do not fit
	Oversize   Decision = "oversize"    // the hole is above the upper limit
)

// Step is the answer to a Job. Lengths are in the unit of the upper limit;
// those that cannot be given are the zero Quantity.
type Step struct {
	Decision Decision
	Why      string // one sentence with the numbers that decided

	Size    Size // of the hole now; predicted when the last pass was not gauged
	Learned Learned

	Aim    quantity.Quantity // change of radius that brings the estimate to the target
	Most   quantity.Quantity // largest change that cannot pass the upper limit
	Change quantity.Quantity // with GoOn: the change to command
	After  Size              // with GoOn: what the hole can be after it

	Cautions []string
}

// RadiusChange is the next change of radius that brings the estimated diameter
// to the target with the given gain: (target - estimate)/(2·gain), exact, in the
// unit of the target (common practice). It knows no uncertainty; see Next.
func RadiusChange(target, estimate, gain quantity.Quantity) (quantity.Quantity, error) {
	var s sums
	s.Positive(target, "target diameter", quantity.Length, "0.1877 in")
	s.Positive(estimate, "estimated diameter", quantity.Length, "0.18715 in")
	s.Positive(gain, "gain", quantity.Number, "0.92, or 1 when nothing is known")
	if s.Err != nil {
		return quantity.Quantity{}, s.Err
	}
	return s.Div(s.Sub(target, estimate).Scale(big.NewRat(1, 2)), gain), s.Err
}

// Next says how a hole goes on after the passes of a Job: stop, the change of
// radius for the next pass, or that it cannot tell.
//
// The hole is bracketed by the gauges (Bracket); it does not shrink from pass to
// pass. The gain of the next pass is bounded by Job.Gain and by what the passes
// showed (Learned). The largest change is
//
//	Most = (upper limit - upper bound of the hole - 2·spring)/(2·highest gain)
//
// and the change given is Aim, no more than Most, no less where possible than
// what brings the lower bound to the lower limit, and rounded down to the
// increment. So the hole after the pass is not above its upper limit as long as
// the gauges are within their limits, the hole is round, and the cutter keeps to
// Job.Gain. Exact.
//
// Next returns an error for inputs that make no sense by themselves. Gauges that
// contradict each other, or passes that contradict Job.Gain, are CannotTell with
// the reason.
func Next(j Job) (Step, error) {
	n, err := prepare(j)
	if err != nil {
		return Step{}, err
	}
	step := Step{Cautions: slices.Clone(cautions[:])}
	states, err := n.states(j)
	if err == nil {
		err = n.decide(&step, states)
	}
	switch {
	case errors.Is(err, ErrContradiction), errors.Is(err, errPrior):
		step.Decision = CannotTell
		step.Why = err.Error()
		return step, nil
	case err != nil:
		return Step{}, err
	}
	return step, nil
}

var cautions = [...]string{
	"spindle stopped and hands clear of the cutter before a gauge goes near the hole; no gloves near a spindle that can turn (common practice)",
	"chips out and the hole cool before gauging: a warm hole gauges large (common practice)",
	"try the gauges along the whole depth; the mouth says nothing of the bottom (common practice)",
}

// next is a Job as exact numbers in mm.
type next struct {
	unit                 quantity.Unit
	limits               quantity.Toleranced
	lower, upper, target *big.Rat
	increment            *big.Rat
	gain                 limits
}

// prepare checks a Job and takes its numbers out.
func prepare(j Job) (*next, error) {
	var s sums
	const eg = "0.1875 +0.0005/-0 in"
	if !j.Limits.HasLower() || !j.Limits.HasUpper() {
		return nil, fmt.Errorf("limits of the hole: %q lacks a limit; type both, such as %s", j.Limits.String(), eg)
	}
	s.Positive(j.Limits.Lower, "lower limit of the hole", quantity.Length, eg)
	s.Positive(j.Limits.Upper, "upper limit of the hole", quantity.Length, eg)
	s.Optional(j.Target, "target diameter", quantity.Length, "0.1877 in")
	s.ZeroOr(j.Entry, "clearance for entering", quantity.Length, "0.00005 in, or leave it out")
	s.Optional(j.Increment, "increment of the control", quantity.Length, "0.0001 in")
	n := &next{limits: j.Limits, gain: s.gain(j.Gain)}
	for i, p := range j.Passes {
		s.ZeroOr(p.Change, fmt.Sprintf("change of radius of pass %d", i+1), quantity.Length, "0.0003 in, or 0 in for the same pass again")
		if p.Change.IsZeroValue() {
			s.Fail("change of radius of pass %d: no value; type a length such as 0.0003 in, or 0 in for the same pass again", i+1)
		}
	}
	if s.Err != nil {
		return nil, s.Err
	}
	n.unit = j.Limits.Upper.Unit()
	n.lower, n.upper = check.High(j.Limits.Lower), check.Low(j.Limits.Upper)
	if n.lower.Cmp(n.upper) > 0 {
		return nil, fmt.Errorf("limits of the hole: %s leaves no room between its limits; type limits such as %s", j.Limits, eg)
	}
	n.target = new(big.Rat).Add(n.lower, n.upper)
	n.target.Mul(n.target, big.NewRat(1, 2))
	if !j.Target.IsZeroValue() {
		n.target = j.Target.Rat()
		if n.target.Cmp(n.lower) < 0 || n.target.Cmp(n.upper) > 0 {
			return nil, fmt.Errorf("target diameter: %s is outside the limits %s; type a diameter inside them", j.Target, j.Limits)
		}
	}
	n.increment = finest(n.unit)
	if !j.Increment.IsZeroValue() {
		n.increment = j.Increment.Rat()
	}
	return n, nil
}

// states brackets the hole after each pass. A hole does not shrink, so a lower
// bound holds for all later states and an upper bound for all earlier ones.
func (n *next) states(j Job) ([]state, error) {
	facts := [][]Fact{j.Start}
	for _, p := range j.Passes {
		facts = append(facts, p.Facts)
	}
	out := make([]state, len(facts))
	command := new(big.Rat)
	var known *big.Rat // largest lower bound so far
	for i, f := range facts {
		if i > 0 {
			command = new(big.Rat).Add(command, j.Passes[i-1].Change.Rat())
		}
		z, err := Bracket(j.Entry, f...)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", after(i), err)
		}
		if !z.Lower.IsZeroValue() && (known == nil || z.Lower.Rat().Cmp(known) > 0) {
			known = z.Lower.Rat()
		}
		out[i] = state{lower: known, command: command, passes: i}
		if !z.Upper.IsZeroValue() {
			out[i].upper = z.Upper.Rat()
			if known != nil && known.Cmp(out[i].upper) > 0 {
				return nil, fmt.Errorf("%s: %w: the hole was at least %s before and is at most %s now; look for chips, heat, or the wrong gauge", after(i), ErrContradiction, n.text(known, false), n.text(out[i].upper, true))
			}
		}
	}
	var ceiling *big.Rat
	for i := len(out) - 1; i >= 0; i-- {
		if out[i].upper != nil && (ceiling == nil || out[i].upper.Cmp(ceiling) < 0) {
			ceiling = out[i].upper
		}
		out[i].upper = ceiling
	}
	return out, nil
}

func after(pass int) string {
	if pass == 0 {
		return "before the first pass"
	}
	return fmt.Sprintf("after pass %d", pass)
}

func (n *next) show(r *big.Rat) quantity.Quantity { return inUnit(r, n.unit) }
