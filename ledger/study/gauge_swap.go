package study

import (
	"math"
	"slices"
	"time"

	"tenths/ledger"
)

// crossDays is how many days may lie between the checks of two gauges, and
// between them and the readings, for the two to count as compared (common
// practice: within the month).
const crossDays = 31

// Swap is a comparison whose readings before and after were not taken alike, in
// a way that can make a difference of its own.
type Swap struct {
	Mismatches []Mismatch // gauge, part held, person
	Gauge      bool       // the gauge is among them
	// Adds is set if the uncertainty of both gauges is known; U is then what the
	// change of gauge alone may make of the difference (k = 2), in the unit of
	// the evidence.
	Adds bool
	U    float64
}

// Swap lists in what way the readings before and after were not taken alike.
// Left out are two gauges that were checked on the same standard within the
// month, and two whose uncertainty is taken in and leaves the change shown. It
// is false if nothing is left.
func (s *Set) Swap(ev *Evidence) (Swap, bool) {
	var out Swap
	for _, m := range ev.Mismatches() {
		switch m.What {
		case "gauge":
			if m.Before == "" || m.After == "" || s.crossChecked(ev) || ev.gaugesTakenIn() {
				continue
			}
			out.Gauge = true
			b, a := ev.sample(ev.Before, nil).U, ev.sample(ev.After, nil).U
			out.Adds, out.U = b > 0 && a > 0, math.Hypot(b, a)
		case "part held":
			if !m.Serious {
				continue
			}
		case "person":
		default:
			continue
		}
		out.Mismatches = append(out.Mismatches, m)
	}
	return out, len(out.Mismatches) > 0
}

// gaugesTakenIn reports whether the change is shown with the uncertainty of both
// gauges in the interval.
func (ev *Evidence) gaugesTakenIn() bool {
	return ev.Claim == "level" && ev.Before.HasNumbers() && ev.After.HasNumbers() && (ev.Effect == Better || ev.Effect == Worse)
}

// crossChecked reports whether both gauges of a comparison were checked on the
// same standard within the month, at the readings themselves or by a check of
// each, and found to conform.
func (s *Set) crossChecked(ev *Evidence) bool {
	b, a := ev.Before, ev.After
	if b.In.CheckedOn.Set() && b.In.CheckedOn.S == a.In.CheckedOn.S && near(b.Day(), a.Day()) {
		return true
	}
	if b.Gauge == nil || a.Gauge == nil {
		return false
	}
	first, second := b.Gauge.GaugeRec.ID(), a.Gauge.GaugeRec.ID()
	checks := func(g *ledger.Gauge) []ledger.Calibration {
		return slices.DeleteFunc(slices.Clone(g.Calibration), func(c ledger.Calibration) bool {
			return c.Result.S != "conforms" || !c.On.Set() || c.On.T.After(s.AsOf) || !near(c.On.T, b.Day()) && !near(c.On.T, a.Day())
		})
	}
	before, after := checks(b.Gauge.Gauge), checks(a.Gauge.Gauge)
	with := func(c ledger.Calibration, other string) bool { return c.Against.S == other }
	for _, c := range before {
		if with(c, second) {
			return true
		}
		for _, d := range after {
			if c.Against.Set() && c.Against.S == d.Against.S && near(c.On.T, d.On.T) && sameSize(c.At, d.At) {
				return true
			}
		}
	}
	return slices.ContainsFunc(after, func(d ledger.Calibration) bool { return with(d, first) })
}

func near(a, b time.Time) bool {
	return !a.IsZero() && !b.IsZero() && math.Abs(a.Sub(b).Hours()) <= 24*crossDays
}
