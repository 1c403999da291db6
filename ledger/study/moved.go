package study

import (
	"math/big"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// Moved is how far two surveys of a pin say that it has moved.
type Moved struct {
	From, To *ledger.Survey
	X, Y     quantity.Quantity
	// U is the expanded uncertainty of the later survey, else of the earlier one,
	// else a tenth (common practice).
	U quantity.Quantity
}

// Beyond reports whether the pin has moved by more than the uncertainty.
func (m Moved) Beyond() bool {
	square := func(q quantity.Quantity) *big.Rat { return new(big.Rat).Mul(q.Rat(), q.Rat()) }
	return new(big.Rat).Add(square(m.X), square(m.Y)).Cmp(square(m.U)) > 0
}

// tenth is 0.0001 in, about what a pin can be surveyed to with an indicator
// (common practice).
func tenth() quantity.Quantity { return quantity.New(big.NewRat(1, 10000), quantity.Inch) }

// movedBetween compares two surveys; ok is false if one has no position.
func movedBetween(from, to *ledger.Survey) (m Moved, ok bool) {
	if from == nil || to == nil || !from.Off.Set() || !to.Off.Set() {
		return m, false
	}
	m = Moved{From: from, To: to, U: tenth()}
	for _, sv := range []*ledger.Survey{from, to} {
		if sv.U.Set() {
			m.U = sv.U.Nominal()
		}
	}
	var err1, err2 error
	m.X, err1 = to.Off.X.Nominal().Sub(from.Off.X.Nominal())
	m.Y, err2 = to.Off.Y.Nominal().Sub(from.Off.Y.Nominal())
	return m, err1 == nil && err2 == nil
}

// isPin reports whether a locator is a round or a relieved pin.
func isPin(l ledger.Locator) bool { return l.Type.S == "round pin" || l.Type.S == "relieved pin" }
