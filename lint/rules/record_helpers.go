package rules

import (
	"fmt"
	"math/big"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

// eachInspection calls f for every inspection with readings that count on the
// day asked for: taken by then, and neither void nor superseded.
func eachInspection(p *lint.Pass, f func(rec *ledger.Record, in *ledger.Inspection)) {
	for _, rec := range p.L.Records {
		in, ok := rec.Data.(*ledger.Inspection)
		if !ok || !in.HasReadings() || in.State.S == "void" || in.State.S == "superseded" || in.On.Set() && in.On.T.After(p.AsOf) {
			continue
		}
		f(rec, in)
	}
}

// piece names the piece, and the point if it has several, of a reading.
func piece(r study.Read) string {
	if r.Point == "" {
		return "piece " + r.Row.Piece.S
	}
	return "piece " + r.Row.Piece.S + ", " + r.Point
}

// readingIn is the value as it is written, with the size that it stands for, in
// the unit, where that says more.
func readingIn(r study.Read, u quantity.Unit) string {
	q := r.Written.Nominal()
	if r.Full.IsZeroValue() || u.IsZero() {
		return q.String()
	}
	same, err := r.Full.Cmp(q)
	if err == nil && same == 0 && q.Unit().Name() == u.Name() {
		return q.String()
	}
	if same != 0 && q.Sign() > 0 {
		return fmt.Sprintf("+%s (%s)", q, study.ShowIn(r.Full, u))
	}
	return fmt.Sprintf("%s (%s)", q, study.ShowIn(r.Full, u))
}

// limitUnit is the unit of the limits that the readings are compared with; the
// zero Unit if there are none.
func limitUnit(r *study.Readings) quantity.Unit {
	if r.Char == nil || !r.Char.Limits.Set() {
		return quantity.Unit{}
	}
	return r.Char.Limits.Nominal().Unit()
}

// shownPlaces is how many further places a finding lists; the message has the
// number of all.
const shownPlaces = 5

// others lists the further readings of a finding as places.
func others(r *study.Readings, list []study.Read) []lint.Place {
	var out []lint.Place
	for _, v := range list[1:min(len(list), 1+shownPlaces)] {
		out = append(out, lint.Place{Rec: r.Rec, Span: v.Written.Span, Message: piece(v) + ": " + readingIn(v, limitUnit(r))})
	}
	return out
}

// andMore says how many more there are than the one that is named.
func andMore(n int, what string) string {
	switch {
	case n < 2:
		return ""
	case n == 2:
		return " (and 1 more " + what + ")"
	}
	return fmt.Sprintf(" (and %d more %ss)", n-1, what)
}

// number is a plain number as a quantity.
func number(v *big.Rat) quantity.Quantity { return quantity.New(v, quantity.One) }

// times prints a ratio with one decimal at most, rounded down so that what is
// too little never reads as enough.
func times(v *big.Rat) string {
	tenfold := new(big.Rat).Mul(v, big.NewRat(10, 1))
	whole := new(big.Int).Quo(tenfold.Num(), tenfold.Denom())
	return strings.TrimSuffix(new(big.Rat).SetFrac(whole, big.NewInt(10)).FloatString(1), ".0")
}

// unitWord is a unit of length in words.
func unitWord(u quantity.Unit) string {
	switch u.Name() {
	case "in":
		return "inches"
	case "mm":
		return "millimetres"
	case "thou":
		return "thousandths of an inch"
	case "um":
		return "micrometres"
	}
	return u.Name()
}

// nominalOf names the nominal of limits; without one it is their middle.
func nominalOf(lim ledger.Size) string {
	if lim.Tol.Form == quantity.Limits {
		text := lim.Nominal().String()
		if same := lim.Nominal().Format(lim.Nominal().Unit(), max(lim.Tol.Lower.Decimals(), lim.Tol.Upper.Decimals())); len(same) > len(text) {
			text = same // as many decimals as the limits
		}
		return "the middle " + text + " of the limits"
	}
	return "the nominal " + lim.Nominal().String()
}

// count is a whole number of something that is a unit: parts, days.
func count(n int, unit string) quantity.Quantity {
	u, _ := quantity.LookupUnit(unit)
	return quantity.New(big.NewRat(int64(n), 1), u)
}
