package stats

import "fmt"

// SpreadComparison says whether the spread changed.
type SpreadComparison struct {
	Before, After Summary
	Conf          float64
	SDRatio       float64 // SD after / SD before; 0 without F
	SpreadCounts  [2]float64
	GaugeChanged  bool
	F             FResult
	HasF          bool // false for too few readings or a before group that does not vary
	Verdict       Verdict
	Reason        Reason
}

// CompareSpread says whether the spread changed between two groups of readings,
// with the two-sided F test (see FRatio). In this order:
//   - CannotTell, TooFew: fewer than two readings on a side.
//   - CannotTell, BelowFloor: a group varies by less than MinSpreadCounts; its
//     standard deviation then tells where the mean sits in a count, not how the
//     parts vary.
//   - CannotTell, NoSpread: a group does not vary and no resolution is stated.
//   - Shown, ExcludesZero: the ratio lies outside the critical interval.
//   - CannotTell, GaugeChanged: as Shown, but the gauge changed, so that its
//     own repeatability may be what differs.
//   - NotShown, IncludesZero.
//
// Errors: as Compare.
func CompareSpread(before, after Sample, conf float64) (SpreadComparison, error) {
	c := SpreadComparison{Conf: conf, GaugeChanged: before.Gauge != after.Gauge}
	if err := checkConf(conf); err != nil {
		return SpreadComparison{}, err
	}
	var err error
	if c.Before, err = before.summary(); err != nil {
		return SpreadComparison{}, fmt.Errorf("before: %w", err)
	}
	if c.After, err = after.summary(); err != nil {
		return SpreadComparison{}, fmt.Errorf("after: %w", err)
	}
	c.SpreadCounts = [2]float64{inCounts(c.Before, before), inCounts(c.After, after)}
	if c.Before.N < 2 || c.After.N < 2 {
		c.Verdict, c.Reason = CannotTell, TooFew
		return c, nil
	}
	if c.F, err = fRatio(c.Before, c.After, conf); err == nil {
		c.HasF, c.SDRatio = true, c.After.SD/c.Before.SD
	}
	outside := c.F.Ratio < c.F.CriticalLow*(1-tie) || c.F.Ratio > c.F.CriticalHigh*(1+tie)
	switch {
	case variesTooLittle(c.Before, before.Resolution) || variesTooLittle(c.After, after.Resolution):
		c.Verdict, c.Reason = CannotTell, BelowFloor
	case c.Before.SD == 0 || c.After.SD == 0:
		c.Verdict, c.Reason = CannotTell, NoSpread
	case outside && c.GaugeChanged:
		c.Verdict, c.Reason = CannotTell, GaugeChanged
	case outside:
		c.Verdict, c.Reason = Shown, ExcludesZero
	default:
		c.Verdict, c.Reason = NotShown, IncludesZero
	}
	return c, nil
}
