package stats

import (
	"fmt"
	"math"
)

// Decision says what to do after a look at readings that are still coming in.
type Decision string

const (
	StopShown    Decision = "stop: the change is shown"
	StopRuledOut Decision = "stop: a change as large as wanted is ruled out"
	StopGauge    Decision = "stop: this gauge cannot show a change as small as wanted"
	GoOn         Decision = "go on"
	EndNotShown  Decision = "end: not shown"
)

// LookResult is one of several planned looks.
type LookResult struct {
	Decision Decision
	Level    float64 // confidence of each look
	C        Comparison
	// Whole is the comparison at the confidence of the plan, which rules out.
	Whole Comparison
}

// Look decides at one of several looks that were planned before the first
// reading, so that looking early does not turn luck into proof. The design is a
// plain one: of k looks each claims at the confidence 1 - (1-conf)/k, so that the
// whole claims falsely in no more than 1 - conf of cases whatever the spread and
// however the looks lie (Boole's inequality). Bounds made for known spreads
// (Pocock, O'Brien and Fleming) ask a little less, but hold only from some dozens
// of readings on.
//
// want is the change, of either sign, that would be worth having; a look whose
// interval at conf lies within ±want stops for it, which can only make false
// claims rarer. 0: not stated. look counts from 1.
//
// Errors: as Compare; fewer than one look, a look that was not planned, a
// negative want.
func Look(before, after Sample, look, looks int, want, conf float64) (LookResult, error) {
	const most = 100
	switch {
	case looks < 1 || looks > most:
		return LookResult{}, fmt.Errorf("%d looks: plan from 1 to %d", looks, most)
	case look < 1 || look > looks:
		return LookResult{}, fmt.Errorf("look %d is not one of the %d planned", look, looks)
	case !(want >= 0 && want <= 1e100):
		return LookResult{}, fmt.Errorf("the wanted change %g must be 0 or more", want)
	}
	if err := checkConf(conf); err != nil {
		return LookResult{}, err
	}
	r := LookResult{Level: 1 - (1-conf)/float64(looks)}
	var err error
	if r.C, err = Compare(before, after, r.Level); err != nil {
		return LookResult{}, err
	}
	if r.Whole, err = Compare(before, after, conf); err != nil {
		return LookResult{}, err
	}
	floor := r.C.Floor
	switch w := r.Whole; {
	case r.C.Verdict == Shown:
		r.Decision = StopShown
	case want > 0 && w.HasInterval && w.Reason != GaugeUnknown && max(math.Abs(w.Low), math.Abs(w.High)) < want*(1-tie):
		r.Decision = StopRuledOut
	case want > 0 && floor.Used && want <= floor.Alone*(1+tie):
		r.Decision = StopGauge
	case look == looks:
		r.Decision = EndNotShown
	default:
		r.Decision = GoOn
	}
	return r, nil
}
