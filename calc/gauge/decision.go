package gauge

import (
	"fmt"
	"math/big"

	"tenths/calc/quantity"
)

// Verdict is the answer about a part.
type Verdict string

// The verdicts. Doubtful is an answer too: this measurement decides neither way.
const (
	Accept   Verdict = "accept"
	Doubtful Verdict = "doubtful"
	Reject   Verdict = "reject"
)

// Decision is a reading held against limits with a guard band.
type Decision struct {
	Verdict Verdict
	// AcceptFrom and AcceptTo are the limits drawn in by the guard band; a
	// reading on them is accepted. The zero Quantity stands where there is no
	// limit.
	AcceptFrom, AcceptTo quantity.Quantity
	// CanAccept is false when the guard bands meet, so that no reading at all
	// would be accepted: the gauge is too poor for this tolerance.
	CanAccept bool
}

// Decide applies a decision rule with a guard band w to a reading y:
//
//	accept    LSL + w <= y <= USL - w
//	reject    y < LSL - w  or  y > USL + w
//	doubtful  in between
//
// With one limit only, only that limit counts. w = U, the expanded uncertainty
// (k = 2), is the rule of ISO 14253-1 as it is taught: uncertainty counts
// against whoever wants to prove something. w = GuardFor(..., 0.95) is the
// default of its 2017 edition (from memory; the text was not seen). w = 0 is
// simple acceptance, which is never doubtful and at the limit right half of the
// time.
//
// Any kind of quantity will do: lengths, roughness, forces, temperatures. A
// reading whose own error bound reaches across an edge is Doubtful. Errors: no
// limit, different kinds of quantity, a guard band below 0.
func Decide(reading, guard quantity.Quantity, limits quantity.Toleranced) (Decision, error) {
	if !limits.HasLower() && !limits.HasUpper() {
		return Decision{}, fmt.Errorf("%s has no limits to decide by; write them like 1.5000 ±0.0010 in or <= 0.0010 in", limits)
	}
	if _, err := reading.Cmp(limits.Nominal); err != nil {
		return Decision{}, fmt.Errorf("reading %s against %s: %w", reading, limits, err)
	}
	if guard.IsZeroValue() {
		return Decision{}, fmt.Errorf("the guard band is missing; write the expanded uncertainty, like 0.00015 in, or 0 for simple acceptance")
	}
	if guard.Sign() < 0 {
		return Decision{}, fmt.Errorf("the guard band %s is below 0; an uncertainty has no sign", guard)
	}
	d := Decision{Verdict: Doubtful, CanAccept: true}
	rejectBelow, rejectAbove := quantity.Quantity{}, quantity.Quantity{}
	var err error
	if limits.HasLower() {
		if d.AcceptFrom, err = limits.Lower.Add(guard); err == nil {
			rejectBelow, err = limits.Lower.Sub(guard)
		}
	}
	if limits.HasUpper() && err == nil {
		if d.AcceptTo, err = limits.Upper.Sub(guard); err == nil {
			rejectAbove, err = limits.Upper.Add(guard)
		}
	}
	if err != nil {
		return Decision{}, fmt.Errorf("guard band %s on %s: %w", guard, limits, err)
	}
	low, high := new(big.Rat).Sub(reading.Rat(), reading.Bound()), new(big.Rat).Add(reading.Rat(), reading.Bound())
	if limits.HasLower() && limits.HasUpper() {
		d.CanAccept = d.AcceptFrom.Rat().Cmp(d.AcceptTo.Rat()) <= 0
	}
	accepted := (!limits.HasLower() || low.Cmp(d.AcceptFrom.Rat()) >= 0) && (!limits.HasUpper() || high.Cmp(d.AcceptTo.Rat()) <= 0)
	rejected := limits.HasLower() && high.Cmp(rejectBelow.Rat()) < 0 || limits.HasUpper() && low.Cmp(rejectAbove.Rat()) > 0
	switch {
	case accepted:
		d.Verdict = Accept
	case rejected:
		d.Verdict = Reject
	}
	return d, nil
}

// Fitness says how a gauge stands to a tolerance.
type Fitness string

// The fitness of a gauge by T/(2U) (common practice).
const (
	Comfortable Fitness = "comfortable" // at least 4
	Thin        Fitness = "thin"        // from 2 to under 4
	Useless     Fitness = "useless"     // under 2: half the tolerance or more is doubt
	NotStated   Fitness = "not stated"  // no uncertainty given
)

// Suitability compares a gauge with the tolerance that it is to judge.
type Suitability struct {
	Ratio            quantity.Quantity // T/(2U), a plain number; zero Quantity when U is not stated
	Fitness          Fitness
	ResolutionShare  quantity.Quantity // resolution in % of T; zero Quantity when it is not stated
	ResolutionCoarse bool              // resolution above T/10: the last digit decides, not the part
}

// Suits compares resolution and expanded uncertainty U of a gauge with the
// tolerance T between two limits: resolution <= T/10, and T/(2U) at least 4,
// under 2 useless (common practice). Either of the two may be the zero Quantity,
// not stated, but not both. A comparison of two parts on one indicator is another
// matter: common errors cancel.
//
// Errors: limits that are not two and apart; a resolution or uncertainty that is
// not above 0 or of another kind than the limits.
func Suits(limits quantity.Toleranced, resolution, u quantity.Quantity) (Suitability, error) {
	t, ok := limits.Width()
	if !ok || t.Sign() <= 0 {
		return Suitability{}, fmt.Errorf("%s has no tolerance between two limits; write it like 1.5000 ±0.0010 in", limits)
	}
	if resolution.IsZeroValue() && u.IsZeroValue() {
		return Suitability{}, fmt.Errorf("neither resolution nor uncertainty of the gauge is given; give one, like 0.0001 in")
	}
	s := Suitability{Fitness: NotStated}
	for _, v := range []struct {
		name string
		q    quantity.Quantity
	}{{"resolution", resolution}, {"uncertainty", u}} {
		if v.q.IsZeroValue() {
			continue
		}
		if _, err := v.q.Cmp(t); err != nil {
			return Suitability{}, fmt.Errorf("%s %s of the gauge: %w", v.name, v.q, err)
		}
		if v.q.Sign() <= 0 {
			return Suitability{}, fmt.Errorf("the %s %s of the gauge is not possible; it must be above 0", v.name, v.q)
		}
	}
	if !resolution.IsZeroValue() {
		share := new(big.Rat).Quo(resolution.Rat(), t.Rat())
		s.ResolutionShare = percent(share)
		s.ResolutionCoarse = share.Cmp(big.NewRat(1, 10)) > 0
	}
	if !u.IsZeroValue() {
		ratio := new(big.Rat).Quo(t.Rat(), u.Rat())
		ratio.Quo(ratio, big.NewRat(2, 1))
		s.Ratio = quantity.New(ratio, quantity.One)
		switch {
		case ratio.Cmp(big.NewRat(4, 1)) >= 0:
			s.Fitness = Comfortable
		case ratio.Cmp(big.NewRat(2, 1)) >= 0:
			s.Fitness = Thin
		default:
			s.Fitness = Useless
		}
	}
	return s, nil
}
