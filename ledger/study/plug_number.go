package study

import (
	"math/big"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// PlugNumbers is an inspection that writes down as exact sizes what plugs, pins
// or rings said.
type PlugNumbers struct {
	R *Readings
	// Exact are the readings without a range.
	Exact []Read
	// Pair is set for a GO / NOT GO pair, which has no steps to find a size by.
	Pair bool
	// Next is the next size of the set above the first exact reading, Middle and
	// Half what the two of them leave open, in the unit in which the reading is
	// written; zero Quantities if these are no pins for holes, or the steps of the
	// set are not known.
	Next, Middle, Half quantity.Quantity
}

// PlugNumbers finds exact sizes that a limit gauge is said to have read; nil if
// there are none. A plug that enters and the next one that does not leave a
// range, and only its middle is a number:
//
//	g1 < D < g2;  D = (g1 + g2)/2 ± ((g2 - g1)/2 + tolerance of the plugs)
//
// A reading that is what the deviations are counted from (nominal_is), or 0 of a
// GO / NOT GO pair, is no size: it says that GO goes and NOT GO does not.
func (s *Set) PlugNumbers(rec *ledger.Record) *PlugNumbers {
	g := s.Gauging(rec)
	if g == nil || !g.Attribute || g.Char == nil || !isSize(g.Char) {
		return nil
	}
	out := &PlugNumbers{R: s.Readings(rec), Pair: g.Gauge.Go.Set() || g.Gauge.NotGo.Set()}
	for _, v := range out.R.Live {
		if v.Problem == "" && v.Written.Tol.Form == quantity.Plain && v.Full.Dim() == quantity.Length && !out.saysBetween(v) {
			out.Exact = append(out.Exact, v)
		}
	}
	if out.Exact == nil {
		return nil
	}
	if !out.Pair && s.gaugesHole(g.Gauge) {
		out.leavesOpen(out.Exact[0])
	}
	return out
}

// saysBetween reports whether a reading only says that it lies between the
// members.
func (p *PlugNumbers) saysBetween(v Read) bool {
	if p.R.In.NominalIs.Set() {
		d, err := v.Full.Cmp(p.R.In.NominalIs.Nominal())
		return err == nil && d == 0
	}
	return p.Pair && p.R.In.DeviationIn.Set() && v.Written.Nominal().Sign() == 0
}

// leavesOpen works out what the pin that was written down, and the next one that
// did not enter, leave open, without their own tolerance.
func (p *PlugNumbers) leavesOpen(v Read) {
	step := p.R.Gauge.Resolution
	if !step.Set() || step.Nominal().Dim() != quantity.Length || step.Nominal().Sign() <= 0 {
		return
	}
	next, err := v.Full.Add(step.Nominal())
	if err != nil {
		return
	}
	half, err := step.Nominal().Scale(big.NewRat(1, 2)).As(v.Written.Nominal().Unit())
	if err != nil {
		return
	}
	middle, err := v.Written.Nominal().Add(half)
	if err != nil {
		return
	}
	p.Next, p.Middle, p.Half = next, middle, half
}
