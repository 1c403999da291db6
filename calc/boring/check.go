package boring

import (
	"math/big"

	"tenths/calc/check"
	"tenths/calc/quantity"
)

// sums is exact arithmetic that keeps its first error.
type sums struct{ check.Sums }

// atLeast reports whether a is certainly not below b.
func atLeast(a, b quantity.Quantity) bool { return check.Low(a).Cmp(check.High(b)) >= 0 }

// computed is a float64 result in the base unit shown in unit u. Its error is
// that of a dozen roundings and of what the inputs bring in; the functions of
// this package change relative errors by less than four.
func computed(v float64, u quantity.Unit, from ...quantity.Quantity) (quantity.Quantity, error) {
	q := quantity.FromFloat(v, quantity.BaseUnit(u.Dim()))
	share := new(big.Rat)
	for _, in := range from {
		if in.Bound().Sign() > 0 && in.Sign() != 0 {
			share.Add(share, new(big.Rat).Quo(in.Bound(), in.Abs().Rat()))
		}
	}
	if share.Sign() > 0 {
		share.Mul(share, big.NewRat(4, 1)).Mul(share, q.Abs().Rat())
		q = q.WithBound(share.Add(share, q.Bound()))
	}
	return q.As(u)
}
