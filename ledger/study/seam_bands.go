package study

import (
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// PinBand is how far a pin that was never surveyed may stand from where it
// should, by how the hole under it was made.
type PinBand struct {
	How        string
	tenths, um int64
}

// The bands of this tool for pins of unknown position, ± in either axis (common
// practice: what a careful small shop reaches; no standard gives them). A reamer
// follows the hole before it, so that reaming keeps a drilled position.
var (
	drilledBand   = PinBand{"drilled", 15, 40}
	reamedBand    = PinBand{"drilled and reamed", 10, 25}
	boredBand     = PinBand{"bored, or milled on a helix", 3, 8}
	indicatedBand = PinBand{"set by indicator", 2, 5}
	unknownBand   = PinBand{"made in a way that is not recorded", 15, 40}
)

// Further bands of common practice, in tenths and micrometres.
var (
	surveyBand = [2]int64{1, 2}   // a survey that states no uncertainty
	sizeBand   = [2]int64{2, 5}   // one side of an outline whose cutter's wear is not known
	movedBand  = [2]int64{10, 25} // a pin, or the size of an outline, that is no longer as the records say
)

// bandOf gives the band for how a pin's hole was made.
func bandOf(now ledger.Locator) PinBand {
	made := now.MadeBy.S
	switch {
	case SetByIndicator(made, now.HeldBy.S):
		return indicatedBand
	case OnlyDrilled(made):
		return drilledBand
	}
	ream, bore := false, false
	for _, w := range wordsOf(made) {
		part := lastPart(w)
		for _, stem := range opened {
			if strings.HasPrefix(part, stem) {
				bore = bore || stem != "ream"
				ream = ream || stem == "ream"
			}
		}
	}
	switch {
	case bore:
		return boredBand
	case ream:
		return reamedBand
	}
	return unknownBand
}

// Size is the band in the unit of a record.
func (b PinBand) Size(u quantity.Unit) quantity.Quantity { return practised(u, b.tenths, b.um) }

func practisedMM(u quantity.Unit, band [2]int64) float64 {
	return practised(u, band[0], band[1]).FloatIn(quantity.Millimetre)
}
