package stats

import (
	"fmt"
	"math"
)

// SameResult says whether a difference is no larger than a margin.
type SameResult struct {
	C      Comparison // at the confidence 1 - 2·(1 - conf)
	Margin float64
	// Low and High bound the difference as two one-sided tests do.
	Low, High float64
	Verdict   Verdict
	Reason    Reason
}

const (
	// WithinMargin goes with Shown of Same.
	WithinMargin Reason = "interval lies within the margin"
	// BeyondMargin goes with NotShown of Same.
	BeyondMargin Reason = "interval reaches beyond the margin"
)

// Same asks whether two means are the same but for a margin that is fixed
// beforehand: two one-sided tests, each at the confidence given, which is to ask
// whether the interval with the confidence 1 - 2·(1 - conf) lies within ±margin
// (D. J. Schuirmann, J. Pharmacokinetics and Biopharmaceutics 15 (1987) 657,
// from memory). "Not shown to have changed" is not that: it may only mean that
// nobody looked closely.
//
// The interval takes in scatter, a change of gauge and the resolution floor as
// that of Compare does. CannotTell, BelowFloor: the margin is within what no
// number of readings would resolve; other reasons for CannotTell are those of
// Compare.
//
// Errors: as Compare; a margin not above 0, a confidence not above 0.5.
func Same(before, after Sample, margin, conf float64) (SameResult, error) {
	if !(margin > 0 && margin <= 1e100) {
		return SameResult{}, fmt.Errorf("the margin %g must be above 0", margin)
	}
	if !(conf > 0.5 && conf < 1) {
		return SameResult{}, fmt.Errorf("the confidence %g must lie between 0.5 and 1, for example 0.95", conf)
	}
	c, err := Compare(before, after, 1-2*(1-conf))
	if err != nil {
		return SameResult{}, err
	}
	r := SameResult{C: c, Margin: margin, Low: c.Low, High: c.High}
	switch {
	case !c.HasInterval || c.Reason == GaugeUnknown:
		r.Verdict, r.Reason = CannotTell, c.Reason
	case max(math.Abs(c.Low), math.Abs(c.High)) < margin*(1-tie):
		r.Verdict, r.Reason = Shown, WithinMargin
	case c.Floor.Used && margin <= c.Floor.Alone*(1+tie):
		r.Verdict, r.Reason = CannotTell, BelowFloor
	default:
		r.Verdict, r.Reason = NotShown, BeyondMargin
	}
	return r, nil
}
