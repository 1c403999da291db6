package study

import (
	"math/big"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// opened are the stems of ways to make a hole that leave it true to size or place.
var opened = []string{"ream", "bor", "mill", "ground", "grind", "hone", "honing", "lap", "interpolat", "wire", "erod"}

// OnlyDrilled reports whether the words say that a hole was drilled and not
// opened by anything else after the drill.
func OnlyDrilled(madeBy string) bool {
	drill, other := -1, -1
	for i, w := range wordsOf(madeBy) {
		part := lastPart(w)
		if strings.HasPrefix(part, "drill") {
			drill = i
		}
		for _, stem := range opened {
			if strings.HasPrefix(part, stem) {
				other = i
			}
		}
	}
	return drill >= 0 && other < drill
}

// SetByIndicator reports whether the words say that a locator was set in place
// by indicator, whatever the hole under it is like.
func SetByIndicator(texts ...string) bool {
	for _, t := range texts {
		for _, w := range wordsOf(t) {
			if strings.HasPrefix(w, "indicat") {
				return true
			}
		}
	}
	return false
}

// coarse is a width of limits over which a drilled hole may locate, in mm:
// 0.005 in.
var coarse = big.NewRat(127, 1000)

// CoarseHole reports whether the limits of a hole, or its position, are so wide
// that drilling serves them.
func CoarseHole(f ledger.Feature) bool {
	if f.Size.Set() {
		if w, ok := f.Size.Tol.Width(); ok && w.Dim() == quantity.Length && w.Rat().Cmp(coarse) > 0 {
			return true
		}
	}
	return f.Position.Set() && f.Position.Nominal().Rat().Cmp(coarse) > 0
}
