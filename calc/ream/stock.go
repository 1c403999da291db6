package ream

import (
	"errors"
	"fmt"
	"math/big"

	"tenths/calc/quantity"
)

// ErrNotCarried says that there is no figure for a size.
var ErrNotCarried = errors.New("not carried here")

// StockVerdict says what to expect of the stock that is left for a reamer.
type StockVerdict string

const (
	StockUsual     StockVerdict = "usual"
	StockTooLittle StockVerdict = "too little" // the reamer rubs and chatters
	StockTooMuch   StockVerdict = "too much"   // it deflects and cuts large
	StockNone      StockVerdict = "none"       // the hole is as large as the reamer, or larger
)

// Stock is what is left on the diameter for a reamer. Lengths are in the unit of
// the reamer.
type Stock struct {
	Amount      quantity.Quantity // reamer - hole before reaming; negative when the hole is larger
	Least, Most quantity.Quantity // what is usual for the size
	Verdict     StockVerdict
	Source      string // where Least and Most come from
}

// stockRow is what is usual from the row before up to and including a reamer
// size.
type stockRow struct {
	toIncl      *big.Rat // mm
	least, most *big.Rat // mm
	source      string
}

// stockRows goes by size: the inch figure where there is one, the metric texts
// on both sides of it. They agree: .004 to .012 in is 0.10 to 0.30 mm, which is
// both metric ranges taken together, and those change over at 5 mm.
var stockRows = []stockRow{
	{mm(3175, 1000), mm(10, 100), mm(20, 100), metricTexts},
	{mm(6350, 1000), mm(1016, 10000), mm(3048, 10000), "common practice for 1/8 to 1/4 in, .004 to .012 in"},
	{mm(20, 1), mm(20, 100), mm(30, 100), metricTexts},
	{mm(50, 1), mm(30, 100), mm(50, 100), "common practice, one fitter's training text, steel"},
}

const metricTexts = "common practice, two fitter's training texts that agree, steel"

func mm(n, d int64) *big.Rat { return big.NewRat(n, d) }

// UsualStock is what is usually left on the diameter for a reamer of this size.
// All of it is common practice: between 1/8 and 1/4 in .004 to .012 in; below
// that 0.1 to 0.2 mm and above it, up to 20 mm, 0.2 to 0.3 mm; over 20 up to 50 mm
// 0.3 to 0.5 mm, in one text only. The texts allow half as much again for light
// metals and tough materials. Carbide reamers that burnish want far less.
//
// Errors: a size that is no length or not above 0; ErrNotCarried above 50 mm.
func UsualStock(reamer quantity.Quantity) (least, most quantity.Quantity, source string, err error) {
	if err := checkSize(reamer, "the reamer", "0.1876 in or 4.008 mm"); err != nil {
		return quantity.Quantity{}, quantity.Quantity{}, "", err
	}
	size := reamer.Rat()
	for i, r := range stockRows {
		// 1/8 in itself belongs to the row that begins with it.
		if c := size.Cmp(r.toIncl); c > 0 || i == 0 && c == 0 {
			continue
		}
		if least, err = shown(r.least, reamer.Unit()); err != nil {
			return quantity.Quantity{}, quantity.Quantity{}, "", err
		}
		if most, err = shown(r.most, reamer.Unit()); err != nil {
			return quantity.Quantity{}, quantity.Quantity{}, "", err
		}
		return least, most, r.source, nil
	}
	return quantity.Quantity{}, quantity.Quantity{}, "", fmt.Errorf("reaming stock at %s is %w; there are figures up to and including 50 mm", reamer, ErrNotCarried)
}

// shown is a figure of the table in unit u, with the few decimals that common
// practice deserves.
func shown(v *big.Rat, u quantity.Unit) (quantity.Quantity, error) {
	q, err := quantity.New(v, quantity.Millimetre).As(u)
	if err != nil {
		return q, err
	}
	switch {
	case u.Same(quantity.Inch):
		q = q.WithDecimals(3)
	case u.Same(quantity.Millimetre):
		q = q.WithDecimals(2)
	}
	return q, nil
}

// StockFor compares what is left on the diameter with what is usual. The hole is
// its size before reaming; a drill usually cuts over its own size, so the drill's
// size gives the most that can be left.
//
// Errors: as UsualStock, for hole and reamer.
func StockFor(hole, reamer quantity.Quantity) (Stock, error) {
	if err := checkSize(hole, "the hole before reaming", "0.182 in or 3.8 mm"); err != nil {
		return Stock{}, err
	}
	var s Stock
	var err error
	if s.Least, s.Most, s.Source, err = UsualStock(reamer); err != nil {
		return Stock{}, err
	}
	if s.Amount, err = reamer.Sub(hole); err != nil {
		return Stock{}, err
	}
	amount := s.Amount.Rat()
	switch {
	case amount.Sign() <= 0:
		s.Verdict = StockNone
	case amount.Cmp(s.Least.Rat()) < 0:
		s.Verdict = StockTooLittle
	case amount.Cmp(s.Most.Rat()) > 0:
		s.Verdict = StockTooMuch
	default:
		s.Verdict = StockUsual
	}
	return s, nil
}
