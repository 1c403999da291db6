package stats

import (
	"errors"
	"fmt"
	"math"
)

// Sample is one side of a comparison.
type Sample struct {
	Values     []float64
	Resolution float64 // one count of the gauge, unit of the values; 0: not stated
	U          float64 // expanded uncertainty of the gauge, k = 2, same unit; 0: not stated
	Gauge      string  // identity of the gauge; the same text means the same gauge
}

// Verdict is one of three answers. "Not shown" is not "the same": it says that
// a change, if there is one, did not stand out.
type Verdict string

const (
	Shown      Verdict = "shown"
	NotShown   Verdict = "not shown"
	CannotTell Verdict = "cannot tell"
)

// Reason says what decided a verdict.
type Reason string

const (
	// ExcludesZero goes with Shown: the interval of the difference (or, for
	// spread, the critical interval of the ratio) leaves "no change" outside.
	ExcludesZero Reason = "interval excludes no change"
	// IncludesZero goes with NotShown.
	IncludesZero Reason = "interval includes no change"
	// TooFew: fewer than two readings on a side.
	TooFew Reason = "too few readings"
	// BelowFloor: the readings vary so little against one count that more of
	// them would not help, and the difference is under what the gauge can show.
	BelowFloor Reason = "below the resolution floor"
	// NoSpread: readings all equal and no resolution stated, so nothing is
	// known of their uncertainty.
	NoSpread Reason = "no spread and no resolution"
	// GaugeChanged: shown but for the doubt that a change of gauge brings in.
	GaugeChanged Reason = "gauge changed"
	// GaugeUnknown: the gauge changed and the uncertainty of one of the two is
	// not stated.
	GaugeUnknown Reason = "gauge changed, uncertainty not stated"
)

// tie makes comparisons that are equal but for binary rounding fall on the
// careful side, so that a change of unit cannot change a verdict.
const tie = 1e-9

// Comparison is everything a report needs about two groups of readings. Lengths
// are in the unit of the readings.
type Comparison struct {
	Before, After Summary
	Conf          float64
	Difference    float64 // mean after - mean before; 0 when a side is empty

	// Sampling is Welch's comparison, or that of pairs, from the scatter of the
	// readings alone. Absent for too few readings, or when nothing varies.
	Sampling    WelchResult
	HasSampling bool

	Paired bool // the same pieces before and after, see ComparePaired

	GaugeChanged bool
	UGauge       float64 // standard uncertainty that the change of gauge adds

	Count            float64    // the coarser of the two resolutions; 0: none stated
	DifferenceCounts float64    // Difference / Count; 0 when none is stated
	SpreadCounts     [2]float64 // SD in counts, before and after; 0 when none is stated
	Floor            Floor

	// Low and High bound the difference with everything taken in: scatter,
	// change of gauge, resolution floor.
	Low, High   float64
	HasInterval bool

	Verdict Verdict
	Reason  Reason
}

// Compare says whether the mean changed between two groups of readings.
//
// The interval is Difference ± h, where h is the larger of
//   - t·sqrt(U² + UGauge²), with U and t from Welch. UGauge is 0 for one and the
//     same gauge, whose calibration error cancels, else sqrt(ub² + ua²) with
//     standard uncertainties ub, ua of half the stated U. The degrees of freedom
//     stay those of the scatter, which errs on the wide side;
//   - where the resolution floor is used (see ResolutionFloor),
//     2·sqrt(Floor.U² + UGauge²).
//
// The verdict, in this order:
//   - CannotTell, TooFew: fewer than two readings on a side.
//   - CannotTell, NoSpread: neither group varies and a resolution is missing.
//   - CannotTell, GaugeUnknown: the gauge changed and an uncertainty is missing.
//     Low and High then hold what is known and are too narrow.
//   - Shown, ExcludesZero: 0 lies outside Low..High.
//   - CannotTell, BelowFloor: the floor is used, and either the difference is
//     within what no number of readings would resolve (Floor.Alone), or scatter
//     alone would have shown it.
//   - CannotTell, GaugeChanged: without the change of gauge it would be shown.
//   - NotShown, IncludesZero: the gauge could have told; the readings do not.
//
// Two groups that do not vary at all are compared on the floor alone, which is
// then 0.816 count: readings 3 3 3 and 5 5 5 are a difference shown.
//
// The rule follows JCGM 100 F.2.2.1 for a count, VIM 2.47 for comparing two
// results and the finding of Phillips, Toman and Estler (J. Res. NIST 113 (2008)
// 143) that scatter and resolution must both be kept when a count is large; how
// they are put together is this project's own. Before-and-after readings show
// that something changed, not why.
//
// Errors: a confidence outside (0, 1), an unusable reading, a negative
// resolution or uncertainty.
func Compare(before, after Sample, conf float64) (Comparison, error) {
	return compare(before, after, conf, false)
}

func compare(before, after Sample, conf float64, paired bool) (Comparison, error) {
	c := Comparison{Conf: conf, Paired: paired, GaugeChanged: before.Gauge != after.Gauge}
	if err := checkConf(conf); err != nil {
		return Comparison{}, err
	}
	var err error
	if c.Before, err = before.summary(); err != nil {
		return Comparison{}, fmt.Errorf("before: %w", err)
	}
	if c.After, err = after.summary(); err != nil {
		return Comparison{}, fmt.Errorf("after: %w", err)
	}
	if c.Before.N > 0 && c.After.N > 0 {
		c.Difference = c.After.Mean - c.Before.Mean
	}
	c.Count = max(before.Resolution, after.Resolution)
	if c.Count > 0 {
		c.DifferenceCounts = c.Difference / c.Count
	}
	c.SpreadCounts = [2]float64{inCounts(c.Before, before), inCounts(c.After, after)}
	if c.GaugeChanged {
		c.UGauge = math.Hypot(before.U, after.U) / 2
	}
	if c.Before.N < 2 || c.After.N < 2 {
		c.Verdict, c.Reason = CannotTell, TooFew
		return c, nil
	}
	var pairs Summary
	if paired {
		if pairs, err = differences(before.Values, after.Values); err != nil {
			return Comparison{}, err
		}
		c.Floor = pairFloor(c.Before, c.After, pairs, before.Resolution, after.Resolution)
		c.Sampling, err = ofPairs(pairs, conf)
	} else {
		c.Floor = ResolutionFloor(c.Before, c.After, before.Resolution, after.Resolution)
		c.Sampling, err = welch(c.Before, c.After, conf)
	}

	var scatter, withGauge, alone float64 // half-widths: scatter, scatter and gauge, without gauge
	c.HasSampling = err == nil
	switch {
	case c.HasSampling:
		t := tFactor(conf, c.Sampling.DF)
		scatter = t * c.Sampling.U
		withGauge = t * math.Hypot(c.Sampling.U, c.UGauge)
	case before.Resolution == 0 || after.Resolution == 0:
		c.Verdict, c.Reason = CannotTell, NoSpread
		return c, nil
	}
	half := withGauge
	alone = scatter
	if c.Floor.Used {
		half = max(half, 2*math.Hypot(c.Floor.U, c.UGauge))
		alone = max(alone, c.Floor.Limit)
	}
	c.Low, c.High, c.HasInterval = c.Difference-half, c.Difference+half, true

	size := math.Abs(c.Difference)
	beyond := func(half float64) bool { return size > half*(1+tie) }
	switch {
	case c.GaugeChanged && (before.U == 0 || after.U == 0):
		c.Verdict, c.Reason = CannotTell, GaugeUnknown
	case beyond(half):
		c.Verdict, c.Reason = Shown, ExcludesZero
	case c.Floor.Used && (!beyond(c.Floor.Alone) || c.HasSampling && beyond(withGauge)):
		c.Verdict, c.Reason = CannotTell, BelowFloor
	case c.GaugeChanged && beyond(alone):
		c.Verdict, c.Reason = CannotTell, GaugeChanged
	default:
		c.Verdict, c.Reason = NotShown, IncludesZero
	}
	return c, nil
}

// summary checks a sample and summarises it; an empty one gives the zero
// Summary, which a comparison answers with TooFew.
func (s Sample) summary() (Summary, error) {
	if !(s.Resolution >= 0 && s.Resolution <= 1e100) {
		return Summary{}, fmt.Errorf("the resolution %g must be a positive number, or 0 when not stated", s.Resolution)
	}
	if !(s.U >= 0 && s.U <= 1e100) {
		return Summary{}, fmt.Errorf("the gauge uncertainty %g must be a positive number, or 0 when not stated", s.U)
	}
	r, err := Summarize(s.Values)
	if errors.Is(err, ErrNoReadings) {
		return Summary{}, nil
	}
	return r, err
}

func inCounts(r Summary, s Sample) float64 {
	if s.Resolution == 0 {
		return 0
	}
	return r.SD / s.Resolution
}
