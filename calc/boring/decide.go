package boring

import (
	"fmt"
	"math/big"

	"tenths/calc/quantity"
)

// decide fills a Step from the bracketed states.
func (n *next) decide(step *Step, states []state) error {
	now := states[len(states)-1]
	step.Size = n.size(now.lower, now.upper)
	gLow, gHigh, err := learn(states, n.gain)
	if err != nil {
		return err
	}
	step.Learned = Learned{Low: quantity.New(gLow, quantity.One), High: quantity.New(gHigh, quantity.One)}
	if gHigh.Sign() <= 0 {
		return fmt.Errorf("%w: the passes did not open the hole at all; see that the cutter cuts", errPrior)
	}
	aimGain := gHigh
	if m, half, passes := mean(states); m != nil {
		step.Learned.Mean, step.Learned.Half = quantity.New(m, quantity.One), quantity.New(half, quantity.One)
		step.Learned.Passes = passes
		if m.Sign() > 0 {
			aimGain = smaller(gHigh, larger(gLow, m))
		}
	}
	predicted := now.upper == nil && n.predict(&now, states, gLow, gHigh)
	if predicted {
		step.Size = n.size(now.lower, now.upper)
		if now.lower != nil && now.lower.Cmp(now.upper) > 0 {
			return fmt.Errorf("%w: a gauge of at least %s enters, and no more than %s was to be expected", errPrior, n.text(now.lower, false), n.text(now.upper, true))
		}
	}
	limits := n.limits
	switch {
	case now.lower != nil && now.lower.Cmp(n.upper) > 0:
		step.Decision = Oversize
		step.Why = fmt.Sprintf("the hole is at least %s and its upper limit is %s", n.text(now.lower, false), limits.Upper)
	case now.upper == nil:
		cannot(step, "no gauge has refused yet; try larger gauges until one does")
	case now.lower != nil && now.lower.Cmp(n.lower) >= 0 && now.upper.Cmp(n.upper) <= 0:
		if predicted {
			cannot(step, "the last pass was not gauged; the hole is expected %s, inside %s; gauge it before it counts", n.between(now), limits)
			break
		}
		step.Decision = Stop
		step.Why = fmt.Sprintf("the hole lies %s, inside %s", n.between(now), limits)
	case now.upper.Cmp(n.upper) > 0:
		cannot(step, "the hole lies %s and may already be above its upper limit %s; gauge it closer before the next pass", n.between(now), limits.Upper)
	case now.lower == nil:
		n.most(step, now, gHigh)
		cannot(step, "no gauge has entered yet; try smaller gauges until one does")
	default:
		n.change(step, now, gLow, gHigh, aimGain)
		if predicted && step.Decision == GoOn {
			step.Why += "; the last pass was not gauged, its result is predicted"
		}
	}
	return nil
}

func cannot(step *Step, format string, a ...any) {
	step.Decision = CannotTell
	step.Why = fmt.Sprintf(format, a...)
}

func (n *next) size(lower, upper *big.Rat) Size {
	var z Size
	if lower != nil {
		z.Lower = n.show(lower)
	}
	if upper != nil {
		z.Upper = n.show(upper)
	}
	return z
}

// predict fills in the hole after passes that no NOT GO gauge has judged, from
// the last state that was bracketed from above; false when there is none. The
// lower bound moves up only where it was known then.
func (n *next) predict(now *state, states []state, gLow, gHigh *big.Rat) bool {
	for i := len(states) - 1; i >= 0; i-- {
		s := states[i]
		if s.upper == nil {
			continue
		}
		c := new(big.Rat).Sub(now.command, s.command)
		now.upper = n.grown(s.upper, c, gHigh, now.passes-s.passes)
		if s.lower != nil {
			now.lower = larger(now.lower, n.grown(s.lower, c, gLow, 0))
		}
		return true
	}
	return false
}

// grown is a diameter after passes with the given sum of commands and gain, and
// the spring of each.
func (n *next) grown(from, command, gain *big.Rat, passes int) *big.Rat {
	d := new(big.Rat).Mul(command, gain)
	d.Add(d, new(big.Rat).Mul(n.gain.spring, big.NewRat(int64(passes), 1)))
	return d.Add(double(d), from)
}

// most is (upper limit - upper bound - 2·spring)/(2·gain), rounded down to the
// increment; it is negative when there is no room.
func (n *next) most(step *Step, now state, gHigh *big.Rat) *big.Rat {
	m := new(big.Rat).Sub(n.upper, n.grown(now.upper, new(big.Rat), gHigh, 1))
	m = n.down(m.Quo(m, double(new(big.Rat).Set(gHigh))))
	if m.Sign() >= 0 {
		step.Most = n.show(m)
	}
	return m
}

// change chooses the next change of radius for a hole whose lower bound is below
// its lower limit and whose upper bound is not above its upper limit.
func (n *next) change(step *Step, now state, gLow, gHigh, aimGain *big.Rat) {
	most := n.most(step, now, gHigh)
	aim := new(big.Rat).Add(now.lower, now.upper)
	aim.Mul(aim, big.NewRat(1, 2)).Sub(n.target, aim)
	aim.Quo(aim, double(new(big.Rat).Set(aimGain)))
	step.Aim = n.show(aim)
	c := n.down(smaller(aim, most))
	sure := false // the pass is sure to bring the hole inside its limits
	if gLow.Sign() > 0 {
		need := new(big.Rat).Sub(n.lower, now.lower)
		need = n.up(need.Quo(need, double(new(big.Rat).Set(gLow))))
		if need.Cmp(most) <= 0 {
			c, sure = larger(c, need), true
		}
	}
	if most.Sign() <= 0 || c.Sign() <= 0 {
		cannot(step, "the hole lies %s; the gauges leave too much open for a pass that brings it on and cannot pass %s; bracket it closer, with gauges in smaller steps", n.between(now), n.limits.Upper)
		return
	}
	step.Decision = GoOn
	step.Change = n.show(c)
	then := state{lower: n.grown(now.lower, c, gLow, 0), upper: n.grown(now.upper, c, gHigh, 1)}
	step.After = n.size(then.lower, then.upper)
	step.Why = fmt.Sprintf("the hole lies %s; with %s more on the radius it comes to lie %s, not above %s", n.between(now), step.Change, n.between(then), n.limits.Upper)
	if !sure {
		step.Why += "; gauge again after it"
	}
}

// down and up round to whole increments.
func (n *next) down(r *big.Rat) *big.Rat {
	q := new(big.Rat).Quo(r, n.increment)
	whole := new(big.Int).Div(q.Num(), q.Denom()) // rounds down, as the denominator is positive
	return q.Mul(new(big.Rat).SetInt(whole), n.increment)
}

func (n *next) up(r *big.Rat) *big.Rat {
	d := n.down(r)
	if d.Cmp(r) < 0 {
		d.Add(d, n.increment)
	}
	return d
}

// between says the limits of a hole as they are worth showing, rounded outwards.
func (n *next) between(z state) string {
	if z.lower == nil {
		return "below " + n.text(z.upper, true)
	}
	return fmt.Sprintf("between %s and %s", n.text(z.lower, false), n.text(z.upper, true))
}

// text shows a diameter to a tenth of a tenth, 0.00001 in, or to 0.0001 mm,
// rounded up or down.
func (n *next) text(r *big.Rat, up bool) string {
	grid := next{increment: finest(n.unit)}
	if up {
		r = grid.up(r)
	} else {
		r = grid.down(r)
	}
	u, decimals := quantity.Millimetre, 4
	if n.unit.System() == quantity.Inch.System() {
		u, decimals = quantity.Inch, 5
	}
	return n.show(r).Format(u, decimals)
}

// finest is the smallest length worth commanding or showing, in mm.
func finest(u quantity.Unit) *big.Rat {
	if u.System() == quantity.Inch.System() {
		return big.NewRat(254, 1000000) // 0.00001 in
	}
	return big.NewRat(1, 10000)
}
