package boring

import (
	"errors"
	"fmt"
	"math/big"

	"tenths/calc/check"
	"tenths/calc/quantity"
)

// Gain says what is taken for granted of the cutter. The gain of a pass is what
// the radius of the hole grew by, over the change of radius commanded: below 1
// where a thin cutter bends away. Each field left out takes its default.
type Gain struct {
	Low  quantity.Quantity // no pass gains less; plain number, default 0.8
	High quantity.Quantity // no pass gains more; plain number, default 1
	// Spread is the most that one pass strays from the cutter's mean gain,
	// either way; plain number, default 0.1. With a spread as wide as High - Low
	// earlier passes teach nothing.
	Spread quantity.Quantity
	// Spring is the most that a pass takes off the radius beyond gain times
	// command, because earlier passes left it standing; a length, default 0. The
	// same pass run again shows it.
	Spring quantity.Quantity
}

// The defaults are common practice with small cutters (gain 0.8 to 1.0; the
// spread is half of that range).
var (
	defaultLow    = big.NewRat(8, 10)
	defaultHigh   = big.NewRat(1, 1)
	defaultSpread = big.NewRat(1, 10)
)

// Learned is what the passes so far have shown of the gain. Plain numbers.
type Learned struct {
	// Mean is the running mean of the gains of the passes, each weighted with
	// the change commanded, which is growth over command from the first gauged
	// state to the last: (D_n - D_0)/(2·ΣΔr). Half is the most it is off by for
	// what the gauges leave open. Both absent until two states are bracketed
	// with a command between them.
	Mean, Half quantity.Quantity
	Passes     int // passes that Mean was learned from

	Low, High quantity.Quantity // limits of the gain of the next pass
}

// errPrior is a finding of the passes against what was taken for granted.
var errPrior = errors.New("the passes do not agree with what was taken for granted")

// limits are a Gain as exact numbers.
type limits struct{ low, high, spread, spring *big.Rat }

func (s *sums) gain(g Gain) limits {
	s.ZeroOr(g.Low, "lowest gain", quantity.Number, "0.8")
	s.Optional(g.High, "highest gain", quantity.Number, "1")
	s.ZeroOr(g.Spread, "spread of the gain", quantity.Number, "0.1")
	s.ZeroOr(g.Spring, "spring", quantity.Length, "0.00005 in, or leave it out")
	l := limits{defaultLow, defaultHigh, defaultSpread, check.High(g.Spring)}
	if !g.Low.IsZeroValue() {
		l.low = check.Low(g.Low)
	}
	if !g.High.IsZeroValue() {
		l.high = check.High(g.High)
	}
	if !g.Spread.IsZeroValue() {
		l.spread = check.High(g.Spread)
	}
	switch {
	case s.Err != nil:
	case l.low.Cmp(l.high) > 0:
		s.Fail("lowest gain %s is above the highest gain %s; type the lower one first, such as 0.8 and 1", l.low.FloatString(3), l.high.FloatString(3))
	case l.high.Cmp(big.NewRat(3, 1)) > 0:
		s.Fail("highest gain %s: the gain is growth over command; type a number near 1", l.high.FloatString(3))
	}
	return l
}

// state is the hole after some passes: limits in mm, nil where unknown, and the
// commands so far.
type state struct {
	lower, upper *big.Rat
	command      *big.Rat // ΣΔr
	passes       int
}

// learn narrows the limits of the gain by every pair of states.
//
// Between two states the radius grew by ΣkᵢΔrᵢ and at most the spring of each
// pass. So growth over command bounds the mean of the gains in between, and the
// cutter's mean gain is no further from it than the spread. The next pass again
// strays from the cutter's mean by no more than the spread. All of it is interval
// arithmetic: as long as what was taken for granted holds, so do the limits.
func learn(states []state, g limits) (lo, hi *big.Rat, err error) {
	lo, hi = new(big.Rat).Set(g.low), new(big.Rat).Set(g.high)
	for i, a := range states {
		for _, b := range states[i+1:] {
			if a.lower == nil || a.upper == nil || b.lower == nil || b.upper == nil {
				continue
			}
			c := double(new(big.Rat).Sub(b.command, a.command))
			spring := double(new(big.Rat).Mul(g.spring, big.NewRat(int64(b.passes-a.passes), 1)))
			least := new(big.Rat).Sub(b.lower, a.upper)
			least.Sub(least, spring)
			if c.Sign() == 0 {
				if least.Sign() > 0 {
					return nil, nil, fmt.Errorf("%w: a repeated pass opened the hole by more than the spring allows", errPrior)
				}
				continue
			}
			from := least.Quo(least, c)
			to := new(big.Rat).Sub(b.upper, a.lower)
			to.Quo(to, c)
			if from.Cmp(g.high) > 0 || to.Cmp(g.low) < 0 {
				return nil, nil, fmt.Errorf("%w: passes %d to %d gained %s to %s of what was commanded, outside %s to %s", errPrior,
					a.passes+1, b.passes, from.FloatString(2), to.FloatString(2), g.low.FloatString(2), g.high.FloatString(2))
			}
			lo = larger(lo, from.Sub(from, g.spread))
			hi = smaller(hi, to.Add(to, g.spread))
		}
	}
	if lo.Cmp(hi) > 0 {
		return nil, nil, fmt.Errorf("%w: the passes differ in gain by more than twice the spread %s", errPrior, g.spread.FloatString(2))
	}
	lo = larger(g.low, lo.Sub(lo, g.spread))
	hi = smaller(g.high, hi.Add(hi, g.spread))
	return lo, hi, nil
}

// mean is the running mean over all bracketed states.
func mean(states []state) (m, half *big.Rat, passes int) {
	var first, last *state
	for i := range states {
		if states[i].lower == nil || states[i].upper == nil {
			continue
		}
		if first == nil {
			first = &states[i]
		}
		last = &states[i]
	}
	if first == nil || last.command.Cmp(first.command) == 0 {
		return nil, nil, 0
	}
	// With a and b the sums and widths of limits, growth is (b-a)/2 ± (wb+wa)/2.
	c := double(new(big.Rat).Sub(last.command, first.command))
	c = double(c)
	m = new(big.Rat).Add(last.lower, last.upper)
	m.Sub(m, first.lower).Sub(m, first.upper)
	half = new(big.Rat).Add(last.upper, first.upper)
	half.Sub(half, last.lower).Sub(half, first.lower)
	return m.Quo(m, c), half.Quo(half, c), last.passes - first.passes
}

func double(r *big.Rat) *big.Rat { return r.Mul(r, big.NewRat(2, 1)) }

func larger(a, b *big.Rat) *big.Rat {
	if a.Cmp(b) >= 0 {
		return new(big.Rat).Set(a)
	}
	return new(big.Rat).Set(b)
}

func smaller(a, b *big.Rat) *big.Rat {
	if a.Cmp(b) <= 0 {
		return new(big.Rat).Set(a)
	}
	return new(big.Rat).Set(b)
}
