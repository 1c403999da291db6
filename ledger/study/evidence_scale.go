package study

import (
	"math"
	"math/big"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// scale chooses unit and base: those of readings written as deviations, else
// the unit in which all readings are written, else that of the limits, counted
// from their nominal.
func (ev *Evidence) scale(s *Set, ins ...*ledger.Inspection) {
	ev.Judge = ev.Char.Judge.S
	lim := ev.Char.Limits
	ev.Unit = s.unitOf(ev.CharRec)
	if lim.Set() {
		ev.Unit = lim.Nominal().Unit()
		ev.Base = withZeros(lim.Nominal(), max(lim.Tol.Lower.Decimals(), lim.Tol.Upper.Decimals()))
		if f := lim.Tol.Form; f == quantity.AtMost || f == quantity.AtLeast || f == quantity.Limits && !deviations(ins) {
			// Nothing is counted from the computed middle of two limits unless
			// the readings are.
			ev.Base = quantity.New(new(big.Rat), ev.Unit)
		}
	}
	if u, ok := writtenIn(ins); ok && !deviations(ins) && (!lim.Set() || u.Dim() == ev.Unit.Dim() && u.Point() == ev.Unit.Point()) {
		ev.Unit = u
	}
	for _, in := range ins {
		if in == nil {
			continue
		}
		if in.DeviationIn.Set() {
			if u, ok := quantity.LookupUnit(in.DeviationIn.S); ok {
				ev.Unit = u
			}
		}
		if in.NominalIs.Set() {
			ev.Base = in.NominalIs.Nominal()
		}
	}
	if ev.Base.IsZeroValue() {
		ev.Base = quantity.New(new(big.Rat), ev.Unit)
	}
	ev.Limits = ev.bounds(lim)
	ev.Goal = ev.bounds(ev.Char.Goal)
	ev.Target = ev.target()
}

// deviations reports whether one of the inspections is written as deviations.
func deviations(ins []*ledger.Inspection) bool {
	for _, in := range ins {
		if in != nil && in.DeviationIn.Set() {
			return true
		}
	}
	return false
}

// writtenIn is the unit in which all readings that count are written; false if
// they are not written in one.
func writtenIn(ins []*ledger.Inspection) (quantity.Unit, bool) {
	var unit quantity.Unit
	for _, in := range ins {
		if in == nil {
			continue
		}
		for _, row := range in.Rows() {
			for _, v := range row.Values {
				if u := v.Nominal().Unit(); row.Live() && unit.IsZero() {
					unit = u
				} else if row.Live() && !u.Same(unit) {
					return unit, false
				}
			}
		}
	}
	return unit, !unit.IsZero()
}

// bounds gives the two limits of a size in Unit from Base.
func (ev *Evidence) bounds(size ledger.Size) [2]float64 {
	out := none()
	if !size.Set() {
		return out
	}
	set := func(i int, q quantity.Quantity) {
		if d, err := q.Sub(ev.Base); err == nil {
			out[i] = d.FloatIn(ev.Unit)
		}
	}
	if size.Tol.HasLower() {
		set(0, size.Tol.Lower)
	}
	if size.Tol.HasUpper() {
		set(1, size.Tol.Upper)
	}
	return out
}

// target is where the readings should be; infinite if more, or less, is
// always better.
func (ev *Evidence) target() float64 {
	switch ev.Char.Better.S {
	case "smaller":
		return math.Inf(-1)
	case "larger":
		return math.Inf(1)
	}
	if ev.Judge == "largest" {
		return 0
	}
	lo, hi := ev.Limits[0], ev.Limits[1]
	switch {
	case !math.IsNaN(lo) && !math.IsNaN(hi):
		return (lo + hi) / 2
	case !math.IsNaN(hi):
		return math.Inf(-1)
	case !math.IsNaN(lo):
		return math.Inf(1)
	}
	return 0
}

// farness is how far a level is from where it should be.
func (ev *Evidence) farness(v float64) float64 {
	switch {
	case math.IsInf(ev.Target, -1):
		return v
	case math.IsInf(ev.Target, 1):
		return -v
	}
	return math.Abs(v - ev.Target)
}
