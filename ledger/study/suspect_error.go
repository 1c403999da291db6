package study

import (
	"fmt"
	"math/big"
	"sort"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// ErrorAt is the error of a gauge at one size.
type ErrorAt struct{ At, Error quantity.Quantity }

// errorFound takes the error of the failed check, and its curve if the same
// day's checks give it at several sizes.
func (w *suspectFinder) errorFound() {
	if w.Failed == nil || !w.Failed.AsFound.Set() {
		return
	}
	w.Error = w.Failed.AsFound.Nominal()
	if !w.Failed.At.Set() {
		return
	}
	curve := []ErrorAt{{w.Failed.At.Nominal(), w.Error}}
	for i := range w.Gauge.Calibration {
		c := &w.Gauge.Calibration[i]
		if c.On.Set() && c.On.T.Equal(w.Failed.On.T) && c.AsFound.Set() && c.At.Set() {
			curve = withPoint(curve, ErrorAt{c.At.Nominal(), c.AsFound.Nominal()})
		}
	}
	if len(curve) < 2 {
		return
	}
	sort.Slice(curve, func(i, j int) bool { return curve[i].At.Rat().Cmp(curve[j].At.Rat()) < 0 })
	w.Curve = curve
}

// withPoint adds a point of the same kinds at a size that has none yet.
func withPoint(curve []ErrorAt, p ErrorAt) []ErrorAt {
	if p.Error.Dim() != curve[0].Error.Dim() {
		return curve
	}
	for _, have := range curve {
		if d, err := have.At.Cmp(p.At); err != nil || d == 0 {
			return curve
		}
	}
	return append(curve, p)
}

// errorAt is the error at a reading: that of the check, or on the straight line
// between the two sizes around it. Beyond the ends of the curve it is that of
// the end.
func (sp *Suspect) errorAt(reading quantity.Quantity) (quantity.Quantity, error) {
	if sp.Curve == nil {
		return sp.Error, nil
	}
	for i, p := range sp.Curve {
		d, err := reading.Cmp(p.At)
		if err != nil {
			return quantity.Quantity{}, err
		}
		if d > 0 {
			continue
		}
		if d == 0 || i == 0 {
			return p.Error, nil
		}
		a := sp.Curve[i-1]
		share := new(big.Rat).Sub(reading.Rat(), a.At.Rat())
		share.Quo(share, new(big.Rat).Sub(p.At.Rat(), a.At.Rat()))
		step, err := p.Error.Sub(a.Error)
		if err != nil {
			return quantity.Quantity{}, err
		}
		return a.Error.Add(step.Scale(share))
	}
	return sp.Curve[len(sp.Curve)-1].Error, nil
}

// judged corrects and judges every reading of an inspection. What has no
// readings as numbers, such as a count, is one entry.
func (w *suspectFinder) judged(rec *ledger.Record, in *ledger.Inspection, char *ledger.Characteristic) []SuspectReading {
	var limits *quantity.Toleranced
	if char != nil && char.Limits.Set() {
		limits = char.Limits.Tol
	}
	checks := w.s.Checks(rec)
	if len(checks) == 0 {
		what := "no readings are written down"
		if in.HasReadings() {
			what = "a count or a touch cannot be corrected"
		}
		checks = []Checked{{Row: &ledger.Reading{Span: rec.Whole()}, Problem: what}}
	}
	var out []SuspectReading
	for _, c := range checks {
		r := SuspectReading{Checked: c, Rec: rec, In: in, Lot: in.Lot.S, Limits: limits}
		if c.Row.Lot.Set() {
			r.Lot = c.Row.Lot.S
		}
		r.Full = asFine(r.Full, w.Gauge.Resolution)
		w.correct(&r)
		w.classify(&r, char)
		switch r.Standing {
		case InDoubt, FoundOutside, RestsOnIt:
			if in.CheckedOn.Set() {
				r.Why = "the gauge was checked against " + in.CheckedOn.S + " that day"
			}
		}
		out = append(out, r)
	}
	return out
}

// correct takes the error off a reading. A comparison of two parts on the
// gauge carries its error on both sides.
func (w *suspectFinder) correct(r *SuspectReading) {
	if w.Error.IsZeroValue() || r.Problem != "" || IsAttribute(w.Gauge) {
		return
	}
	if r.In.Compare.B {
		r.Corrected = r.Full
		return
	}
	e, err := w.errorAt(w.indicated(r))
	if err != nil {
		return
	}
	if c, err := r.Full.Sub(e); err == nil {
		r.Error, r.Corrected = e, asFine(c, w.Gauge.Resolution)
	}
}

// indicated is what the gauge showed: the size, or for a gauge whose range is
// that of deviations, the deviation.
func (w *suspectFinder) indicated(r *SuspectReading) quantity.Quantity {
	if !w.Gauge.Range.Set() || !r.Written.Set() {
		return r.Full
	}
	full, err := w.Gauge.Range.Tol.Side(r.Full)
	written, err2 := w.Gauge.Range.Tol.Side(r.Written.Nominal())
	if err == nil && err2 == nil && full != quantity.Inside && written == quantity.Inside {
		return r.Written.Nominal()
	}
	return r.Full
}

// asFine states the decimals of the gauge where a computed value has no more
// than those: 1.094 in on a gauge with steps of 0.0001 in is 1.0940 in.
func asFine(q quantity.Quantity, step ledger.Size) quantity.Quantity {
	if q.IsZeroValue() || q.Decimals() >= 0 || !step.Set() || step.Nominal().Decimals() < 0 || !step.Nominal().Unit().Same(q.Unit()) {
		return q
	}
	v, err := q.In(q.Unit())
	if err != nil || !v.Mul(v, pow10(step.Nominal().Decimals())).IsInt() {
		return q
	}
	return q.WithDecimals(step.Nominal().Decimals())
}

func (w *suspectFinder) classify(r *SuspectReading, char *ledger.Characteristic) {
	r.Standing = Unclassified
	switch {
	case !r.Row.Live() || r.In.State.S == "void" || r.In.State.S == "superseded":
		r.Standing, r.Why = Voided, r.Row.Why.S
	case r.In.Purpose.S == "set-up":
		r.Standing, r.Why = ForSetUp, "decided no part, but what was set by it is off by the error"
	case w.Gauge.State.S == "reference only":
		r.Standing, r.Why = ForReference, "the gauge decides nothing"
	case w.Error.IsZeroValue():
		r.Standing = RestsOnIt
	case r.Problem != "":
		r.Why = r.Problem
	case IsAttribute(w.Gauge):
		r.Why = "a limit gauge says only inside or outside; what it passed cannot be corrected"
	case r.Corrected.IsZeroValue():
		r.Why = fmt.Sprintf("the error (%s) does not fit the reading (%s)", w.Error.Kind(), r.Full.Kind())
	case r.Limits == nil:
		r.Why = "no limits of that day are known"
	case char.Judge.S == "spread":
		r.Why = "the limits are those of the spread, in which a steady error cancels"
	default:
		w.judge(r)
	}
}

// judge classifies a corrected reading by its zone.
func (w *suspectFinder) judge(r *SuspectReading) {
	asRead := r.Checked
	now := Checked{Full: r.Corrected}
	now.judge(*r.Limits, &Gauging{Gauge: w.Gauge})
	if !now.HasLimits {
		r.Why = "the limits are of another kind"
		return
	}
	if now.Side != quantity.Inside && !r.In.DeviationIn.Set() {
		if slip := SlipOf(r.Full, r.Limits.Nominal); slip != nil {
			r.Why = "it is " + slip.Times + " the nominal: a mix-up of units, to be put right first"
			return
		}
	}
	r.CorrectedSide, r.Margin = now.Side, asFine(margin(r.Corrected, *r.Limits), w.Gauge.Resolution)
	switch now.Zone {
	case Conforms:
		r.Standing = Cleared
		switch {
		case r.In.Compare.B:
			r.Why = "two parts compared on one gauge: its error is on both"
		case asRead.Zone == DoesNot || asRead.Zone == Doubtful:
			r.Why = "as read: " + string(asRead.Zone) + "; cleared only if the gauge was out on that day"
		}
	case Doubtful:
		r.Standing = InDoubt
	case DoesNot:
		r.Standing = FoundOutside
	default:
		r.Why = "the uncertainty of the gauge is not stated"
	}
}

// margin is how far a value lies inside the nearest limit.
func margin(q quantity.Quantity, limits quantity.Toleranced) quantity.Quantity {
	var best quantity.Quantity
	take := func(d quantity.Quantity, err error) {
		if err == nil && (best.IsZeroValue() || d.Rat().Cmp(best.Rat()) < 0) {
			best = d
		}
	}
	if limits.HasLower() {
		take(q.Sub(limits.Lower))
	}
	if limits.HasUpper() {
		d, err := q.Sub(limits.Upper)
		take(d.Neg(), err)
	}
	return best
}
