package chart

import (
	"fmt"
	"math"
	"slices"
)

// Subgroups is a chart of the means and ranges of subgroups.
type Subgroups struct {
	Means, Ranges []float64
	GrandMean     float64
	MeanRange     float64
	// SigmaRange is MeanRange/d2, and SigmaSD the mean standard deviation over c4.
	SigmaRange, SigmaSD    float64
	Lower, Upper           float64 // of a mean, GrandMean ± A2·MeanRange
	RangeLower, RangeUpper float64
	Outside, RangeOutside  []int
}

// NewSubgroups makes the chart for subgroups of one size (NIST/SEMATECH e-Handbook
// 6.3.2.1).
//
// Errors: fewer than two subgroups, subgroups of different sizes or of one reading,
// an unusable reading.
func NewSubgroups(groups [][]float64) (Subgroups, error) {
	if len(groups) < 2 {
		return Subgroups{}, fmt.Errorf("a chart needs two subgroups or more; there are %d", len(groups))
	}
	k, err := ConstantsFor(len(groups[0]))
	if err != nil {
		return Subgroups{}, err
	}
	c := Subgroups{}
	var sds []float64
	for i, g := range groups {
		if len(g) != k.N {
			return Subgroups{}, fmt.Errorf("subgroup %d has %d readings and the first has %d; a chart needs them all alike", i+1, len(g), k.N)
		}
		if err := checkValues(g, fmt.Sprintf("subgroup %d, reading", i+1)); err != nil {
			return Subgroups{}, err
		}
		m, squares := mean(g), 0.0
		for _, v := range g {
			squares += (v - m) * (v - m)
		}
		c.Means, c.Ranges = append(c.Means, m), append(c.Ranges, slices.Max(g)-slices.Min(g))
		sds = append(sds, math.Sqrt(squares/float64(k.N-1)))
	}
	c.GrandMean, c.MeanRange = mean(c.Means), mean(c.Ranges)
	c.SigmaRange, c.SigmaSD = c.MeanRange/k.D2, mean(sds)/k.C4
	c.Lower, c.Upper = c.GrandMean-k.A2()*c.MeanRange, c.GrandMean+k.A2()*c.MeanRange
	c.RangeLower, c.RangeUpper = k.D3Low()*c.MeanRange, k.D4()*c.MeanRange
	slack := 1e-9 * c.SigmaRange
	for i := range groups {
		if m := c.Means[i]; m > c.Upper+slack || m < c.Lower-slack {
			c.Outside = append(c.Outside, i)
		}
		if r := c.Ranges[i]; r > c.RangeUpper+slack || r < c.RangeLower-slack {
			c.RangeOutside = append(c.RangeOutside, i)
		}
	}
	return c, nil
}
