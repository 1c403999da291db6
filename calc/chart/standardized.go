package chart

import (
	"fmt"
	"math"
)

// Standardized is a short-run chart of several parts or characteristics together:
// each reading is its deviation from the nominal of its part, divided by the spread
// that is stated for it, z = (x - nominal)/s. All of them then stand about 0 with a
// spread of 1, and share one pair of limits. The limits come from the stated
// spreads, not from the readings, so that the first piece of a new part is judged.
type Standardized struct {
	// Z has no unit. Ranges are the moving ranges of two, also from the last piece of
	// one part to the first of the next.
	Z, Ranges []float64
	// Lower and Upper are ∓3, RangeMean and RangeUpper the mean of a moving range and
	// its limit, d2 and d2 + 3·d3.
	Lower, Upper, RangeMean, RangeUpper float64
	Outside                             []int // places of readings beyond Lower or Upper
	Jumps                               []int // places of readings whose moving range lies beyond RangeUpper
	Runs                                []Run // rows on one side of 0
	// Mean of the readings, and Spread by their moving ranges over d2: 0 and 1 where
	// nominals and stated spreads are right.
	Mean, Spread float64
}

// Nominal is what one reading is held to.
type Nominal struct {
	Size   float64
	Spread float64 // stated standard deviation from piece to piece, in the unit of the readings
}

// NewStandardized makes the chart. Readings and what each is held to stand in the
// order in which the pieces were made; two parts may be in different units, as long
// as each is in that of its own nominal and spread. Limits for a known mean and
// standard deviation are those of ISO 7870-2 (from memory), on the variable that
// ISO 7870-8 has by its title; the constants are computed (ConstantsFor).
//
// Errors: fewer than two readings, another number of nominals, an unusable number, a
// spread that is not above 0.
func NewStandardized(values []float64, held []Nominal) (Standardized, error) {
	if err := checkValues(values, "reading"); err != nil {
		return Standardized{}, err
	}
	if len(values) < 2 || len(held) != len(values) {
		return Standardized{}, fmt.Errorf("a chart needs two readings or more, each with its nominal and spread; there are %d and %d", len(values), len(held))
	}
	pair, err := ConstantsFor(2)
	if err != nil {
		return Standardized{}, err
	}
	c := Standardized{Lower: -3, Upper: 3, RangeMean: pair.D2, RangeUpper: pair.D2 + 3*pair.D3}
	for i, v := range values {
		h := held[i]
		z := float64(v-h.Size) / h.Spread
		if !(h.Spread > 0) || !(math.Abs(z) <= 1e100) {
			return Standardized{}, fmt.Errorf("reading %d, %g, cannot be held to nominal %g with spread %g; a spread is above 0", i+1, v, h.Size, h.Spread)
		}
		c.Z = append(c.Z, z)
		if i > 0 {
			c.Ranges = append(c.Ranges, math.Abs(z-c.Z[i-1]))
		}
	}
	const slack = 1e-9
	for i, z := range c.Z {
		if math.Abs(z) > c.Upper+slack {
			c.Outside = append(c.Outside, i)
		}
		if i > 0 && c.Ranges[i-1] > c.RangeUpper+slack {
			c.Jumps = append(c.Jumps, i)
		}
	}
	c.Mean, c.Spread = mean(c.Z), mean(c.Ranges)/pair.D2
	about := Individuals{Values: c.Z} // rows are those about a mean of 0
	about.runs(slack)
	c.Runs = about.Runs
	return c, nil
}
