package gauge

import (
	"errors"
	"fmt"
	"math/big"

	"tenths/calc/quantity"
)

// ErrContradiction says that trials of gauges cannot all be true.
var ErrContradiction = errors.New("the gauges contradict each other")

// Trial is one gauge tried on a feature.
type Trial struct {
	Gauge quantity.Toleranced // range of its true size: class tolerance, or measured size with its uncertainty
	Goes  bool                // the plug went in, the ring went over; false: refused
}

// Range is what trials prove of a size: it lies from Low to High. A limit that
// nothing has shown is the zero Quantity. A range is never a number: between
// its ends no size is likelier than another.
type Range struct{ Low, High quantity.Quantity }

// Estimate is the middle of the range and half its width, which belong
// together: middle ± half. It is false when an end is open.
func (r Range) Estimate() (middle, half quantity.Quantity, ok bool) {
	if r.Low.IsZeroValue() || r.High.IsZeroValue() {
		return middle, half, false
	}
	sum, err1 := r.Low.Add(r.High)
	width, err2 := r.High.Sub(r.Low)
	if err1 != nil || err2 != nil {
		return middle, half, false
	}
	h := big.NewRat(1, 2)
	return sum.Scale(h), width.Scale(h), true
}

// String says the range in words.
func (r Range) String() string {
	switch {
	case r.Low.IsZeroValue() && r.High.IsZeroValue():
		return "nothing shown"
	case r.High.IsZeroValue():
		return "not below " + r.Low.String()
	case r.Low.IsZeroValue():
		return "not above " + r.High.String()
	}
	return fmt.Sprintf("from %s to %s", r.Low, r.High)
}

// Prove is what plugs tried in a hole, or rings tried on a shaft, prove of its
// size, with the gauges' own tolerances:
//
//	plug went in:   size is not below the smallest that the plug can be
//	plug refused:   size is not above the largest that the plug can be + entry
//	ring went over: size is not above the largest that the ring can be
//	ring refused:   size is not below the smallest that the ring can be - entry
//
// entry is the clearance that a gauge may still want before it goes; the zero
// Quantity leaves it out. Source: the meaning of limit gauges (ISO 1938-1 and
// common practice). The range holds for the size that the gauge met, not for
// out-of-round, taper or bell mouth, and for part and gauge at one temperature.
//
// The answer is in the units of the gauges that set its ends. Errors: no trial,
// a gauge without both limits, no length, not above 0, an entry below 0, and
// ErrContradiction.
func Prove(kind Kind, entry quantity.Quantity, trials ...Trial) (Range, error) {
	if err := kind.check(); err != nil {
		return Range{}, err
	}
	if len(trials) == 0 {
		return Range{}, fmt.Errorf("no gauge was tried; give at least one, such as GO 0.1875 +0.00004/-0 in")
	}
	if !entry.IsZeroValue() {
		if err := needLength(entry, "the clearance for entering", "0.00005 in"); err != nil {
			return Range{}, err
		}
		if entry.Sign() < 0 {
			return Range{}, fmt.Errorf("the clearance for entering %s is below 0", entry)
		}
	}
	var r Range
	for _, t := range trials {
		if t.Gauge.Form == quantity.Plain && !t.Gauge.Nominal.IsZeroValue() {
			return Range{}, fmt.Errorf("the %s %s has no tolerance; write the range of its true size, like 0.1875 +0.00004/-0 in for a GO pin of class X, or its measured size with ± its uncertainty", kind, t.Gauge)
		}
		if _, err := checkLimits(t.Gauge, kind.String()); err != nil {
			return Range{}, err
		}
		edge, isLow, err := t.edge(kind, entry)
		if err != nil {
			return Range{}, err
		}
		switch {
		case isLow && (r.Low.IsZeroValue() || edge.Rat().Cmp(r.Low.Rat()) > 0):
			r.Low = edge
		case !isLow && (r.High.IsZeroValue() || edge.Rat().Cmp(r.High.Rat()) < 0):
			r.High = edge
		}
	}
	if !r.Low.IsZeroValue() && !r.High.IsZeroValue() && r.Low.Rat().Cmp(r.High.Rat()) > 0 {
		return Range{}, fmt.Errorf("%w: one says not below %s, another not above %s; look for chips, a burr or bell mouth, a warm part, or gauges in each other's place",
			ErrContradiction, r.Low, r.High)
	}
	return r, nil
}

// edge is the end of the range that one trial proves.
func (t Trial) edge(kind Kind, entry quantity.Quantity) (edge quantity.Quantity, isLow bool, err error) {
	isLow = t.Goes == (kind == Plug)
	edge = t.Gauge.Upper
	if isLow {
		edge = t.Gauge.Lower
	}
	if t.Goes || entry.IsZeroValue() {
		return edge, isLow, nil
	}
	if isLow {
		edge, err = edge.Sub(entry)
	} else {
		edge, err = edge.Add(entry)
	}
	return edge, isLow, err
}

// Against says what the range proves about limits: Accept when all of it lies
// inside them, Reject when all of it lies outside on one side, else Doubtful. A
// GO plug that refuses, or a NOT GO plug that goes in, is refused at the bench
// and yet only Doubtful here, because the gauges lie inside the limits by their
// own tolerance.
//
// Errors: no limit at all; no lengths.
func (r Range) Against(limits quantity.Toleranced) (Verdict, error) {
	if limits.Nominal.Dim() != quantity.Length || !limits.HasLower() && !limits.HasUpper() {
		return "", fmt.Errorf("%s gives no limits of a length; write them like 0.1875..0.1880 in", limits)
	}
	lowInside := !limits.HasLower() || !r.Low.IsZeroValue() && r.Low.Rat().Cmp(limits.Lower.Rat()) >= 0
	highInside := !limits.HasUpper() || !r.High.IsZeroValue() && r.High.Rat().Cmp(limits.Upper.Rat()) <= 0
	switch {
	case lowInside && highInside:
		return Accept, nil
	case limits.HasLower() && !r.High.IsZeroValue() && r.High.Rat().Cmp(limits.Lower.Rat()) < 0,
		limits.HasUpper() && !r.Low.IsZeroValue() && r.Low.Rat().Cmp(limits.Upper.Rat()) > 0:
		return Reject, nil
	}
	return Doubtful, nil
}
