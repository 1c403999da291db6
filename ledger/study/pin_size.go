package study

import (
	"math/big"
	"time"

	"tenths/calc/dowel"
	"tenths/calc/quantity"
	"tenths/ledger"
)

// SizeFrom says where the diameter of a locator is known from.
type SizeFrom int

// The sources of a diameter.
const (
	Measured  SizeFrom = iota // found, by its size or by its survey
	MadeTo                    // a size or a trade size that is written with its tolerance
	FromTable                 // what the standard makes a dowel of its trade size to
)

// PinSize is what is known of the diameter of a locator.
type PinSize struct {
	From SizeFrom
	// Tol holds the limits of the diameter, or the size found.
	Tol quantity.Toleranced
	// Dowels holds, for FromTable, the pin of each standard that has the trade
	// size; Tol then spans all of them.
	Dowels []dowel.Pin
	At     ledger.Span // where the record says it
}

// Range is the smallest and the largest that the diameter can be.
func (p PinSize) Range() Range { return rangeOf(ledger.Size{Tol: &p.Tol}) }

// dowelSeries names the series of the tables for what a pin was bought as; nil
// for what is no dowel.
func dowelSeries(bought string) []dowel.Series {
	switch bought {
	case "standard dowel":
		return []dowel.Series{dowel.Standard, dowel.M6}
	case "oversize dowel":
		return []dowel.Series{dowel.Oversize}
	}
	return nil
}

// pinSize is the diameter of a locator as of a day: as its survey found it, as
// written, or as the standard makes a dowel of its trade size. now is the state
// of that day. ok is false if nothing is known.
//
// A dowel of which the plain trade size is written as its size, with no nominal
// beside it, was not measured: no dowel is of that size.
func pinSize(now ledger.Locator, day time.Time) (p PinSize, ok bool) {
	if sv, found := now.SurveyOn(day); found && sv.Size.Set() {
		return PinSize{From: Measured, Tol: *sv.Size.Tol, At: sv.Size.Span}, true
	}
	if now.Size.Set() {
		if !now.Nominal.Set() {
			if p, ok := fromTable(now.Size, now.Bought.S); ok {
				return p, true
			}
		}
		return PinSize{From: from(now.Size), Tol: *now.Size.Tol, At: now.Size.Span}, true
	}
	if !now.Nominal.Set() {
		return p, false
	}
	if from(now.Nominal) == MadeTo {
		return PinSize{From: MadeTo, Tol: *now.Nominal.Tol, At: now.Nominal.Span}, true
	}
	return fromTable(now.Nominal, now.Bought.S)
}

// from tells a size that was found from one that is written with a tolerance.
func from(s ledger.Size) SizeFrom {
	if s.Tol.HasLower() || s.Tol.HasUpper() {
		return MadeTo
	}
	return Measured
}

// fromTable is the diameter of a dowel by its trade size. Where two standards
// make that size to different limits, both count, since the record does not say
// which of them it is.
func fromTable(trade ledger.Size, bought string) (p PinSize, ok bool) {
	series := dowelSeries(bought)
	if series == nil || from(trade) == MadeTo {
		return p, false
	}
	found, err := dowel.Find(trade.Nominal())
	if err != nil {
		return p, false
	}
	p = PinSize{From: FromTable, At: trade.Span}
	var low, high quantity.Quantity
	for _, d := range found {
		for _, s := range series {
			if d.Series != s {
				continue
			}
			p.Dowels = append(p.Dowels, d)
			if low.IsZeroValue() || d.Diameter.Lower.Rat().Cmp(low.Rat()) < 0 {
				low = d.Diameter.Lower
			}
			if high.IsZeroValue() || d.Diameter.Upper.Rat().Cmp(high.Rat()) > 0 {
				high = d.Diameter.Upper
			}
		}
	}
	if p.Dowels == nil {
		return p, false
	}
	p.Tol, err = limitsOf(low, high)
	return p, err == nil
}

// limitsOf is a size between two limits, written as such.
func limitsOf(low, high quantity.Quantity) (quantity.Toleranced, error) {
	sum, err := low.Add(high)
	if err != nil {
		return quantity.Toleranced{}, err
	}
	return quantity.WithLimits(sum.Scale(big.NewRat(1, 2)), low, high)
}

// asToday reports whether a locator was on that day what it is today. How it is
// held and exposed, how tall it is and what it was bought as are written for
// today only; of an earlier state nothing is known about them.
func asToday(loc *ledger.Locator, day time.Time) bool {
	for _, w := range loc.Was {
		if w.Until.Set() && day.Before(w.Until.T) {
			return false
		}
	}
	return true
}

// practised is a length of common practice in the unit of a record: so many
// ten-thousandths of an inch, or micrometres. The two are what shops say in
// either unit and are not converted into each other.
func practised(u quantity.Unit, tenths, um int64) quantity.Quantity {
	if u.Same(quantity.Inch) {
		return quantity.New(big.NewRat(tenths, 10000), quantity.Inch).WithDecimals(4)
	}
	return quantity.New(big.NewRat(um, 1000), quantity.Millimetre).WithDecimals(3)
}
