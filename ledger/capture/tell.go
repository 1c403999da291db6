package capture

import (
	"fmt"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
)

// tell adds the readings of a set that stand below an offset, each with its full
// value, and what is odd about them.
func (c *clerk) tell(k *Kept, rec *ledger.Record, at int) {
	in := rec.Data.(*ledger.Inspection)
	if in.Gauge.S == "" && len(in.Pieces) > 0 {
		k.Warnings = append(k.Warnings, "no gauge is known; name it with --gauge")
	}
	if c.ask.Corrects != "" && c.ask.Why == "" {
		k.Warnings = append(k.Warnings, "the correction says no reason; --why TEXT gives one")
	}
	r := c.s.Readings(rec)
	for _, v := range r.Live {
		if v.Row.Span.Start < at {
			continue
		}
		same, err := v.Full.Cmp(v.Written.Nominal())
		k.Values = append(k.Values, Value{v.Row.Piece.S, v.Point, v.Written.Raw, v.Full, v.Problem, err == nil && same == 0})
		if odd := c.odd(r, v); odd != "" {
			name := v.Point
			if name == "" {
				name = "piece " + v.Row.Piece.S
			}
			k.Warnings = append(k.Warnings, name+": "+odd)
		}
	}
}

// odd says what looks wrong about a reading; empty if nothing does.
func (c *clerk) odd(r *study.Readings, v study.Read) string {
	shown := v.Full
	if shown.IsZeroValue() {
		shown = v.Written.Nominal()
	}
	switch {
	case v.Problem != "":
		return fmt.Sprintf("%s is %s", v.Written.Raw, v.Problem)
	case v.OtherKind:
		return fmt.Sprintf("%s is a %s, but %s is a %s", shown, shown.Kind(), r.In.Characteristic.S, r.Char.Limits.Nominal().Kind())
	case v.Slip != nil:
		return fmt.Sprintf("%s is about %s the nominal %s; a mix-up of units?", shown, v.Slip.Times, r.Char.Limits.Nominal())
	case v.Far:
		return fmt.Sprintf("%s lies %s from %s; a slip of the decimal point?", shown, study.ShowIn(v.Off(), r.Char.Limits.Nominal().Unit()), r.Char.Limits.Nominal())
	case v.Negative:
		return fmt.Sprintf("%s is below zero", shown)
	case v.OutOfRange:
		return fmt.Sprintf("%s lies outside what %s can measure, %s", shown, r.GaugeRec.ID(), r.Gauge.Range.Tol)
	}
	odd := ""
	if v.TooFine {
		odd = fmt.Sprintf("%s has digits that %s cannot show; it reads in steps of %s", shown, r.GaugeRec.ID(), r.Step.Nominal())
	}
	if limit, beyond := v.Limit(); v.HasLimits && v.Side != quantity.Inside && !limit.IsZeroValue() {
		if odd != "" {
			odd += "; "
		}
		odd += fmt.Sprintf("%s is %s the limit %s by %s", shown, v.Side, study.ShowIn(limit, limit.Unit()), study.ShowIn(beyond, limit.Unit()))
	}
	return odd
}
