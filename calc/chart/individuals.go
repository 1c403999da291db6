package chart

import (
	"fmt"
	"math"
	"slices"

	"tenths/calc/stats"
)

// RunLength is how many readings in a row on one side of the mean are a sign that
// the process has moved (common practice).
const RunLength = 8

// Individuals is a chart of single readings with their moving ranges.
type Individuals struct {
	Values []float64
	// Starts are the places where a new series begins, such as another lot: no
	// moving range is taken across.
	Starts    []int
	Ranges    []float64 // moving ranges of two, one for each reading that has one before it
	Mean      float64
	MeanRange float64
	// Sigma is MeanRange/d2, the standard deviation from part to part; Lower and
	// Upper are Mean ± 3·Sigma, RangeUpper is D4·MeanRange.
	Sigma        float64
	Lower, Upper float64
	RangeUpper   float64
	Outside      []int // places of readings beyond Lower or Upper
	Jumps        []int // places of readings whose moving range lies beyond RangeUpper
	Runs         []Run
	// Coarse is set if Sigma is under stats.MinSpreadCounts of the gauge's count:
	// the limits then follow the steps of the gauge, not the parts.
	Coarse bool
}

// Run is a row of readings on one side of the mean.
type Run struct {
	From, To int // places of its first and last reading
	Above    bool
}

// NewIndividuals makes the chart (NIST/SEMATECH e-Handbook 6.3.2.2). Limits rest on
// the moving range, so that a drift or a step within the readings does not widen
// them. starts are the places where a new series begins, and may be nil; resolution
// is one count of the gauge, 0 where it is not known.
//
// Errors: fewer than three readings or two moving ranges, an unusable reading or
// place.
func NewIndividuals(values []float64, starts []int, resolution float64) (Individuals, error) {
	if err := checkValues(values, "reading"); err != nil {
		return Individuals{}, err
	}
	if !(resolution >= 0 && resolution <= 1e100) {
		return Individuals{}, fmt.Errorf("the resolution %g must be a positive number, or 0 when not known", resolution)
	}
	c := Individuals{Values: slices.Clone(values), Starts: slices.Clone(starts)}
	slices.Sort(c.Starts)
	for _, s := range c.Starts {
		if s < 0 || s >= len(values) {
			return Individuals{}, fmt.Errorf("a series cannot begin at reading %d of %d", s+1, len(values))
		}
	}
	place := []int{} // of the reading that each range ends at
	for i := 1; i < len(values); i++ {
		if _, first := slices.BinarySearch(c.Starts, i); !first {
			c.Ranges, place = append(c.Ranges, math.Abs(values[i]-values[i-1])), append(place, i)
		}
	}
	if len(c.Ranges) < 2 {
		return Individuals{}, fmt.Errorf("a chart needs three readings in a row or more, to see how they vary; there are %d readings and %d steps from one to the next", len(values), len(c.Ranges))
	}
	pair, err := ConstantsFor(2)
	if err != nil {
		return Individuals{}, err
	}
	c.Mean, c.MeanRange = mean(values), mean(c.Ranges)
	c.Sigma = c.MeanRange / pair.D2
	c.Lower, c.Upper, c.RangeUpper = c.Mean-3*c.Sigma, c.Mean+3*c.Sigma, pair.D4()*c.MeanRange
	c.Coarse = c.Sigma < stats.MinSpreadCounts*resolution
	slack := 1e-9 * c.Sigma
	for i, v := range values {
		if v > c.Upper+slack || v < c.Lower-slack {
			c.Outside = append(c.Outside, i)
		}
	}
	for i, r := range c.Ranges {
		if r > c.RangeUpper+slack {
			c.Jumps = append(c.Jumps, place[i])
		}
	}
	c.runs(slack)
	return c, nil
}

// runs finds the rows on one side of the mean. A reading on the mean ends a row.
func (c *Individuals) runs(slack float64) {
	from, side := 0, 0
	end := func(to int) {
		if side != 0 && to-from >= RunLength {
			c.Runs = append(c.Runs, Run{From: from, To: to - 1, Above: side > 0})
		}
	}
	for i, v := range c.Values {
		now := 0
		switch {
		case v > c.Mean+slack:
			now = 1
		case v < c.Mean-slack:
			now = -1
		}
		if now != side {
			end(i)
			from, side = i, now
		}
	}
	end(len(c.Values))
}
