package quantity

import (
	"fmt"
	"math/big"
)

// Form says how a tolerance was written.
type Form int

// The forms of a toleranced quantity.
const (
	Plain      Form = iota // 0.1875 in: no tolerance
	PlusMinus              // 2.4000 ±0.0005 in
	Deviations             // 0.1875 +0.0005/-0 in
	Limits                 // 0.1875..0.1880 in
	Class                  // 4 mm H7, 0.1875 in RC4 hole
	AtMost                 // <= 0.0010 in
	AtLeast                // >= 6 ozf
)

// Side says where a value lies against limits.
type Side int

// The sides of a pair of limits. The limits themselves belong to Inside.
const (
	Inside   Side = iota
	Below         // below the lower limit
	Above         // above the upper limit
	TooClose      // inexact, and its error bound reaches across a limit
)

// String names the side in words.
func (s Side) String() string {
	switch s {
	case Inside:
		return "inside"
	case Below:
		return "below"
	case Above:
		return "above"
	case TooClose:
		return "too close to call"
	}
	return "unknown side"
}

// Toleranced is a quantity with its exact limits. A limit that the text does
// not give is the zero Quantity.
//
// Nominal is as written; for limits a..b it is the computed middle, and for a
// one-sided limit that limit.
type Toleranced struct {
	Nominal      Quantity
	Lower, Upper Quantity
	Class        string // "H7" or "RC4 hole" when written so
	Form         Form

	off *deviations // as written, for String; nil where there are none
}

// deviations are those of the limits from the nominal. Most quantities of a ledger
// have none.
type deviations struct{ low, high Quantity }

// WithLimits is a nominal between two limits of the same kind; a zero Quantity
// stands for an absent limit. It is an error when lower lies above upper.
func WithLimits(nominal, lower, upper Quantity) (Toleranced, error) {
	t := Toleranced{Nominal: nominal, Lower: lower, Upper: upper}
	if nominal.IsZeroValue() {
		return Toleranced{}, errNoValue
	}
	for _, l := range []Quantity{lower, upper} {
		if !l.IsZeroValue() {
			if _, err := nominal.Cmp(l); err != nil {
				return Toleranced{}, err
			}
		}
	}
	switch {
	case t.HasLower() && t.HasUpper():
		if lower.value.Cmp(upper.value) > 0 {
			return Toleranced{}, crossed(lower, upper)
		}
		t.Form = Deviations
		low, err := lower.Sub(nominal)
		if err != nil {
			return Toleranced{}, err
		}
		high, err := upper.Sub(nominal)
		if err != nil {
			return Toleranced{}, err
		}
		t.off = &deviations{low, high}
	case t.HasUpper():
		t.Form = AtMost
	case t.HasLower():
		t.Form = AtLeast
	}
	return t, nil
}

// crossed is the error for a lower limit above the upper.
func crossed(lower, upper Quantity) error {
	return fmt.Errorf("the lower limit %s lies above the upper limit %s", lower, upper)
}

// HasLower reports whether there is a lower limit.
func (t Toleranced) HasLower() bool { return !t.Lower.IsZeroValue() }

// HasUpper reports whether there is an upper limit.
func (t Toleranced) HasUpper() bool { return !t.Upper.IsZeroValue() }

// Width is upper minus lower; false when a limit is absent.
func (t Toleranced) Width() (Quantity, bool) {
	if !t.HasLower() || !t.HasUpper() {
		return Quantity{}, false
	}
	w, err := t.Upper.Sub(t.Lower)
	return w, err == nil
}

// HalfWidth is half of Width; false when a limit is absent.
func (t Toleranced) HalfWidth() (Quantity, bool) {
	w, ok := t.Width()
	if !ok {
		return Quantity{}, false
	}
	return half(w), true
}

// Middle is the value half-way between the limits; false when a limit is
// absent.
func (t Toleranced) Middle() (Quantity, bool) {
	w, ok := t.HalfWidth()
	if !ok {
		return Quantity{}, false
	}
	m, err := t.Lower.Add(w)
	return m, err == nil
}

// Deviations are lower minus nominal and upper minus nominal, with their
// signs; false when a limit is absent.
func (t Toleranced) Deviations() (lower, upper Quantity, ok bool) {
	if !t.HasLower() || !t.HasUpper() {
		return Quantity{}, Quantity{}, false
	}
	lower, err1 := t.Lower.Sub(t.Nominal)
	upper, err2 := t.Upper.Sub(t.Nominal)
	return lower, upper, err1 == nil && err2 == nil
}

// aligned gives both limits the same decimals, those of the longer one, so that
// they read 0.1875 and 0.1880.
func (t Toleranced) aligned() Toleranced {
	places := t.Nominal.decimals
	for _, l := range []Quantity{t.Lower, t.Upper} {
		n, exact := l.unit.fromBase(l.value).FloatPrec()
		if !exact || n > shortDecimals {
			return t
		}
		places = max(places, n, l.decimals)
	}
	t.Lower, t.Upper = t.Lower.WithDecimals(places), t.Upper.WithDecimals(places)
	return t
}

// half is q/2 without stated decimals.
func half(q Quantity) Quantity {
	return q.Scale(big.NewRat(1, 2))
}

// Side compares q with the limits exactly; a value on a limit is inside. An
// inexact value whose error bound reaches across a limit is TooClose. It is an
// error when q is of another kind or there is no limit at all.
func (t Toleranced) Side(q Quantity) (Side, error) {
	if _, err := q.Cmp(t.Nominal); err != nil {
		return Inside, err
	}
	if !t.HasLower() && !t.HasUpper() {
		return Inside, fmt.Errorf("%s has no limits to compare with", t.Nominal)
	}
	side := t.sideOf(q.value)
	if q.bound == nil {
		return side, nil
	}
	low := t.sideOf(new(big.Rat).Sub(q.value, q.bound))
	high := t.sideOf(new(big.Rat).Add(q.value, q.bound))
	if low != side || high != side {
		return TooClose, nil
	}
	return side, nil
}

func (t Toleranced) sideOf(v *big.Rat) Side {
	switch {
	case t.HasLower() && v.Cmp(t.Lower.value) < 0:
		return Below
	case t.HasUpper() && v.Cmp(t.Upper.value) > 0:
		return Above
	}
	return Inside
}

// String shows the text as written with even spacing: "0.1875 +0.0005/-0 in",
// "2.4000 ±0.0005 in", "0.1875..0.1880 in", "4 mm H7", "<= 0.0010 in".
func (t Toleranced) String() string {
	if t.Nominal.IsZeroValue() {
		return "no value"
	}
	switch t.Form {
	case PlusMinus:
		return t.withDeviations("±" + t.off.high.number())
	case Deviations:
		return t.withDeviations(withSign(t.off.high, "+") + "/" + withSign(t.off.low, "-"))
	case Limits:
		if t.Lower.unit.Same(t.Upper.unit) {
			return withUnit(t.Lower.number()+".."+t.Upper.number(), t.Upper.unit)
		}
		return t.Lower.String() + ".." + t.Upper.String()
	case Class:
		return t.Nominal.String() + " " + t.Class
	case AtMost:
		return "<= " + t.Upper.String()
	case AtLeast:
		return ">= " + t.Lower.String()
	}
	return t.Nominal.String()
}

// withDeviations puts one unit at the end where it cannot be mistaken to belong
// to the deviations only; see doubtful.
func (t Toleranced) withDeviations(dev string) string {
	u := t.Nominal.unit
	switch {
	case !t.off.high.unit.Same(u.Difference()):
		return t.Nominal.String() + " " + withUnit(dev, t.off.high.unit)
	case doubtful(u.fromBase(t.Nominal.value), t.off.low.unit.fromBase(t.off.low.value), t.off.high.unit.fromBase(t.off.high.value)):
		return t.Nominal.String() + " " + dev
	}
	return withUnit(t.Nominal.number()+" "+dev, u)
}

// withSign is the number of a deviation with its sign; zero takes the sign of
// its place.
func withSign(d Quantity, zero string) string {
	switch d.Sign() {
	case 0:
		return zero + d.number()
	case 1:
		return "+" + d.number()
	}
	return d.number()
}
