package study

import (
	"errors"
	"math"
	"slices"

	"tenths/calc/gaugestudy"
	"tenths/calc/quantity"
	"tenths/ledger"
)

// CheckInterval is what the checks of a gauge say about the time to the next one.
type CheckInterval struct {
	Now    quantity.Interval // the interval in force
	Limit  quantity.Quantity // the largest error that the gauge may have: its U
	Checks int               // that say what was found
	Advice gaugestudy.Advice
}

// CheckInterval suggests an interval from the errors as found, against the
// uncertainty that the record states for the gauge in use: an error beyond it makes
// that statement untrue. Of several sizes checked on a day the largest error counts.
//
// The error says what the record lacks.
func (s *Set) CheckInterval(g *ledger.Gauge) (CheckInterval, error) {
	c := CheckInterval{Now: s.L.Config.DefaultInterval()}
	if g.Interval.Set() {
		c.Now = g.Interval.V
	}
	if !g.U.Set() || g.U.Nominal().Sign() <= 0 {
		return c, errors.New("the record states no uncertainty to hold the errors against")
	}
	c.Limit = g.U.Nominal()
	unit := c.Limit.Unit().Difference()
	type found struct {
		check gaugestudy.Check
		c     *ledger.Calibration
	}
	var all []found
	for i := range g.Calibration {
		cal := &g.Calibration[i]
		if !cal.On.By(s.AsOf) || cal.On.About || !cal.AsFound.Set() {
			continue
		}
		f := found{gaugestudy.Check{Day: int(cal.On.T.Unix() / 86400), Found: cal.AsFound.Nominal().FloatIn(unit)}, cal}
		if cal.AsLeft.Set() {
			f.check.Adjusted, f.check.Left = true, cal.AsLeft.Nominal().FloatIn(unit)
		}
		if math.IsNaN(f.check.Found) || math.IsNaN(f.check.Left) { // another kind of quantity
			continue
		}
		all = append(all, f)
	}
	slices.SortStableFunc(all, func(a, b found) int { return a.check.Day - b.check.Day })
	var checks []gaugestudy.Check
	for _, f := range all {
		if n := len(checks); n > 0 && checks[n-1].Day == f.check.Day {
			if math.Abs(f.check.Found) > math.Abs(checks[n-1].Found) {
				checks[n-1] = f.check
			}
			continue
		}
		checks = append(checks, f.check)
	}
	c.Checks = len(checks)
	if len(checks) == 0 {
		return c, errors.New("no check says what error was found")
	}
	if last := lastCheck(g, s.AsOf); !last.AsFound.Set() {
		return c, errors.New("the last check does not say what error was found")
	}
	day := all[len(all)-1].c.On.T
	days := int(c.Now.After(day).Sub(day).Hours() / 24)
	var err error
	c.Advice, err = gaugestudy.NextInterval(checks, c.Limit.FloatIn(unit), days)
	return c, err
}
