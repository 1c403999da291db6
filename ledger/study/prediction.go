package study

import (
	"math"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// Agreement says how a prediction stands to what was found.
type Agreement string

// The agreements.
const (
	Agrees     Agreement = "no contradiction"
	Contradict Agreement = "contradicted"
	Unmeasured Agreement = "nothing measured yet"
	ByPoint    Agreement = "each point was judged by itself, so no one number was found to hold it against"
)

// Prediction is the change that was predicted, beside the one that was found.
type Prediction struct {
	// Value, Low and High are in the evidence's unit, or plain ratios of the
	// spread after to the spread before if Ratio is set. Low and High are equal
	// to Value if the prediction gives no interval.
	Value, Low, High float64
	HasInterval      bool
	Ratio            bool
	On               ledger.Date
	// Found is what came out, with its interval; NaN if nothing did.
	Found, FoundLow, FoundHigh float64
	Agreement                  Agreement
}

// Predicted compares the prediction of a change with the result. It is nil for
// evidence under also, whose prediction is in words, and for a change that
// predicts nothing in the dimension of its characteristic.
//
// Prediction and result contradict each other when they lie further apart than
// the root sum square of the two half-widths that face each other. With
// intervals of the same confidence that is the test of VIM 2.47 (metrological
// compatibility); without an interval of the prediction it is whether the
// result's interval holds it.
func (ev *Evidence) Predicted() *Prediction {
	ch, ok := ev.Change.Data.(*ledger.Change)
	if !ok || !ev.Primary || !ch.Predicted.Set() {
		return nil
	}
	p := &Prediction{On: ch.PredictedOn, Agreement: Unmeasured, Found: math.NaN(), FoundLow: math.NaN(), FoundHigh: math.NaN()}
	unit := ev.Unit
	if ev.Claim == "spread" && ch.Predicted.Nominal().Dim() == quantity.Number && ev.Unit.Dim() != quantity.Number {
		unit, p.Ratio = quantity.One, true
	}
	tol := ch.Predicted.Tol
	p.Value = tol.Nominal.FloatIn(unit)
	if math.IsNaN(p.Value) {
		return nil
	}
	p.Low, p.High = p.Value, p.Value
	if tol.HasLower() && tol.HasUpper() {
		p.Low, p.High, p.HasInterval = tol.Lower.FloatIn(unit), tol.Upper.FloatIn(unit), true
	}
	switch {
	case ev.PerPoint && len(ev.Points) > 0:
		p.Agreement = ByPoint
		return p
	case p.Ratio && ev.Spread.HasF:
		p.Found, p.FoundLow, p.FoundHigh = ev.Spread.SDRatio, math.Sqrt(ev.Spread.F.Low), math.Sqrt(ev.Spread.F.High)
	case ev.Claim == "spread" && !p.Ratio && ev.Spread.Before.N > 1 && ev.Spread.After.N > 1:
		// The interval of a difference of two spreads is not computed; that of
		// their ratio, about the spread before, stands in for it.
		p.Found = ev.Spread.After.SD - ev.Spread.Before.SD
		p.FoundLow, p.FoundHigh = p.Found, p.Found
		if ev.Spread.HasF {
			p.FoundLow = ev.Spread.Before.SD * (math.Sqrt(ev.Spread.F.Low) - 1)
			p.FoundHigh = ev.Spread.Before.SD * (math.Sqrt(ev.Spread.F.High) - 1)
		}
	case ev.Claim == "level" && ev.C.HasInterval:
		p.Found, p.FoundLow, p.FoundHigh = ev.C.Difference, ev.C.Low, ev.C.High
	default:
		return p
	}
	p.Agreement = Agrees
	gap := math.Abs(p.Found - p.Value)
	toFound, toValue := p.High-p.Value, p.Found-p.FoundLow
	if p.Found < p.Value {
		toFound, toValue = p.Value-p.Low, p.FoundHigh-p.Found
	}
	if gap > math.Hypot(toFound, toValue)*(1+1e-9) {
		p.Agreement = Contradict
	}
	return p
}
