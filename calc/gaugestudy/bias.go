package gaugestudy

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"tenths/calc/stats"
)

// Block is what two people, or two gauges, read on the same thing: one part that
// both measured, or parts of one lot, some measured by the one and some by the
// other.
type Block struct{ First, Second []float64 }

// Bias is how much the second reads over the first.
type Bias struct {
	Difference   float64 // second - first, unit of the readings
	U            float64 // its standard uncertainty, from the scatter within blocks
	DF           float64
	Low, High    float64
	Conf         float64
	T, P         float64 // two-sided
	Blocks       int     // that hold readings of both
	First        int     // readings of the first in them
	Second       int
	SmallestSeen float64 // the smallest difference that this much reading would have shown, t·U
	// Shown says that the interval leaves 0 outside and the difference is more than
	// one count can hide.
	Shown bool
}

// BetweenTwo estimates the bias between two people or gauges by least squares: each
// block has a size of its own, the bias is common to all. With one reading of each
// in every block it is the paired comparison, with one block the comparison of two
// means with a common spread (both in NIST/SEMATECH e-Handbook 7.3.1), and in
// between it takes from ordinary work what blocks tell. A block without readings of
// both tells nothing. resolution is one count, 0 where it is not known: where the
// readings scatter by less than stats.MinSpreadCounts, a difference under
// 2·√(count²/6) is not shown.
//
// Errors: no block with readings of both, or too few readings to see their scatter;
// unusable numbers.
func BetweenTwo(blocks []Block, resolution, conf float64) (Bias, error) {
	if !(conf > 0 && conf < 1) {
		return Bias{}, fmt.Errorf("the confidence %g must lie between 0 and 1, for example 0.95", conf)
	}
	if !(resolution >= 0 && resolution <= 1e100) {
		return Bias{}, fmt.Errorf("the resolution %g must be a positive number, or 0 when not known", resolution)
	}
	b := Bias{Conf: conf}
	type pair struct{ first, second stats.Summary }
	var pairs []pair
	weights, sum := 0.0, 0.0
	for i, block := range blocks {
		if len(block.First) == 0 || len(block.Second) == 0 {
			continue
		}
		first, err := stats.Summarize(block.First)
		if err != nil {
			return Bias{}, fmt.Errorf("block %d, first: %w", i+1, err)
		}
		second, err := stats.Summarize(block.Second)
		if err != nil {
			return Bias{}, fmt.Errorf("block %d, second: %w", i+1, err)
		}
		pairs = append(pairs, pair{first, second})
		w := weight(first.N, second.N)
		weights, sum = weights+w, sum+w*(second.Mean-first.Mean)
		b.Blocks, b.First, b.Second = b.Blocks+1, b.First+first.N, b.Second+second.N
	}
	if b.Blocks == 0 {
		return Bias{}, fmt.Errorf("the two never measured the same thing: no part and no lot has readings of both")
	}
	b.DF = float64(b.First + b.Second - b.Blocks - 1)
	if b.DF < 1 {
		return Bias{}, fmt.Errorf("one reading of each says nothing of the scatter; let both measure two parts or more")
	}
	b.Difference = sum / weights
	squares := 0.0
	for _, p := range pairs {
		squares += square(p.first.SD)*float64(p.first.N-1) + square(p.second.SD)*float64(p.second.N-1)
		squares += weight(p.first.N, p.second.N) * square(p.second.Mean-p.first.Mean-b.Difference)
	}
	scatter := math.Sqrt(squares / b.DF)
	b.U = scatter / math.Sqrt(weights)
	t := distuv.StudentsT{Sigma: 1, Nu: b.DF}
	b.SmallestSeen = -t.Quantile((1-conf)/2) * b.U
	if scatter < stats.MinSpreadCounts*resolution*(1+1e-9) {
		b.SmallestSeen = max(b.SmallestSeen, 2*resolution/math.Sqrt(6))
	}
	b.Low, b.High = b.Difference-b.SmallestSeen, b.Difference+b.SmallestSeen
	if b.U > 0 {
		b.T = b.Difference / b.U
		b.P = min(1, 2*t.CDF(-math.Abs(b.T)))
	}
	b.Shown = math.Abs(b.Difference) > b.SmallestSeen*(1+1e-9) && (b.U > 0 || resolution > 0)
	return b, nil
}

// weight is what a block is worth: 1/(1/first + 1/second).
func weight(first, second int) float64 {
	return float64(first) * float64(second) / float64(first+second)
}
