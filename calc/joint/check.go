package joint

import (
	"math/big"

	"tenths/calc/check"
	"tenths/calc/quantity"
)

const (
	egLength  = "0.5 in or 12 mm"
	egStress  = "30 N/mm² (30 MPa) or 4000 lbf/in² (4000 psi)"
	egModulus = "207000 N/mm² (207 GPa) or 30000000 lbf/in²"
	egForce   = "5000 N or 1000 lbf"
)

// sums is exact arithmetic that keeps its first error.
type sums struct{ check.Sums }

// below reports whether a is certainly below b.
func below(a, b quantity.Quantity) bool { return check.High(a).Cmp(check.Low(b)) < 0 }

// plain is an exact plain number.
func plain(a, b int64) quantity.Quantity { return quantity.New(big.NewRat(a, b), quantity.One) }
