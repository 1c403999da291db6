package gaugestudy

import (
	"fmt"
	"math"
)

// Check is one comparison of a gauge with a standard.
type Check struct {
	Day   int     // counted from any day
	Found float64 // error before any adjustment
	// Adjusted is set if the gauge was set right; Left is the error after it.
	Adjusted bool
	Left     float64
}

// after is the error with which the gauge went back to work.
func (c Check) after() float64 {
	if c.Adjusted {
		return c.Left
	}
	return c.Found
}

// Step says what becomes of the interval between checks.
type Step string

// The steps.
const (
	Shorten  Step = "shorten"
	Keep     Step = "keep"
	Lengthen Step = "lengthen"
)

// Advice is a suggested time to the next check.
type Advice struct {
	Days int
	Step Step
	// Drift is the fastest change of the error from one check to the next, per day,
	// without sign; DriftDays is how long it takes to use up the limit from where
	// the gauge was left last. Both are 0 where nothing has moved, or there is only
	// one check.
	Drift     float64
	DriftDays int
	Good      int  // checks in a row, up to the last, within half the limit
	Over      bool // the last check was over the limit
}

// The numbers of the staircase (common practice; ILAC-G24 describes the method and
// leaves them to the shop).
const (
	goodForLonger = 3        // checks in a row within half the limit before the interval grows
	longest       = 5 * 365  // days
	shortest      = 30       // days
	grow, shrink  = 1.5, 0.5 // of the interval
)

// NextInterval suggests a time to the next check from what earlier ones found: a
// staircase on the last of them. limit is the largest error that the gauge may have,
// above 0; days is the interval so far.
//
//   - The last one over the limit: half the interval, and no longer than the fastest
//     drift seen takes to use the limit up.
//   - What is left of the limit used up by the fastest drift in less than half the
//     interval: half the interval.
//   - The last three within half the limit: half as long again, at most five years.
//   - Otherwise the interval stays.
//
// Growth never goes beyond what the fastest drift seen allows. Checks must be in the
// order of their days.
//
// Errors: no check, days out of order, a limit or an interval not above 0, unusable
// numbers.
func NextInterval(checks []Check, limit float64, days int) (Advice, error) {
	switch {
	case len(checks) == 0:
		return Advice{}, fmt.Errorf("no check says what was found; an interval needs one as-found error at least")
	case !(limit > 0 && limit <= 1e100):
		return Advice{}, fmt.Errorf("the largest permitted error %g must be above 0", limit)
	case days < 1:
		return Advice{}, fmt.Errorf("an interval of %d days: it must be above 0", days)
	}
	a := Advice{Days: days, Step: Keep}
	for i, c := range checks {
		if !(math.Abs(c.Found) <= 1e100 && math.Abs(c.Left) <= 1e100) {
			return Advice{}, fmt.Errorf("check %d: the error is not a usable number", i+1)
		}
		a.Good++
		if math.Abs(c.Found) > limit/2*(1+1e-9) {
			a.Good = 0
		}
		if i == 0 {
			continue
		}
		passed := c.Day - checks[i-1].Day
		if passed < 1 {
			return Advice{}, fmt.Errorf("check %d is not after the one before it", i+1)
		}
		a.Drift = max(a.Drift, math.Abs(c.Found-checks[i-1].after())/float64(passed))
	}
	last := checks[len(checks)-1]
	if a.Drift > 0 {
		a.DriftDays = int(math.Min(math.Max(0, limit-math.Abs(last.after()))/a.Drift+1e-9, longest))
	}
	a.Over = math.Abs(last.Found) > limit*(1+1e-9)
	switch {
	case a.Over:
		a.Step, a.Days = Shorten, int(shrink*float64(days))
		if a.Drift > 0 {
			a.Days = min(a.Days, int(limit/a.Drift+1e-9))
		}
		a.Days = max(a.Days, shortest)
	case a.Drift > 0 && 2*a.DriftDays < days && days > shortest:
		a.Step, a.Days = Shorten, max(shortest, int(shrink*float64(days)))
	case a.Good >= goodForLonger:
		longer := int(math.Min(grow*float64(days), longest))
		if a.Drift > 0 {
			longer = min(longer, a.DriftDays)
		}
		if longer > days {
			a.Step, a.Days = Lengthen, longer
		}
	}
	return a, nil
}
