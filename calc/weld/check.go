package weld

import (
	"math/big"

	"tenths/calc/check"
	"tenths/calc/quantity"
)

var (
	volume = quantity.Length.Times(quantity.Length).Times(quantity.Length)
	rate   = check.Mass.Over(quantity.Time)
)

// sums is exact arithmetic that keeps its first error.
type sums struct{ check.Sums }

// share refuses what is no number above 0 and up to 1.
func (s *sums) share(q quantity.Quantity, name, eg string) {
	s.Positive(q, name, quantity.Number, eg)
	if s.Err == nil && q.Rat().Cmp(big.NewRat(1, 1)) > 0 {
		s.Fail("%s: %s is more than all of it; type a number up to 1, such as %s", name, q, eg)
	}
}

// unit is a combined unit of this package's code; all are in the list of
// quantity, as TestUnitsAreKnown shows.
func unit(name string) quantity.Unit {
	u, _ := quantity.LookupUnit(name)
	return u
}

func inches(q quantity.Quantity) bool { return q.Unit().System() == quantity.Inch.System() }
