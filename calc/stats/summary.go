// Package stats holds the statistics of before-and-after evidence in a small
// shop: a handful of readings on each side of a change, a gauge whose count is
// often as large as the effect, and an honest answer: shown, not shown, or the
// gauge cannot tell.
//
// One file a subject: summary (also intervals, order of readings), welch, paired,
// fratio, levene, ranks, resample (permutation, bootstrap), proportion, fisher,
// touch, tolerance, capability, plan and power (how many parts), same
// (equivalence), looks (sequential stop), floor and rounded (resolution), and
// compare and spread, which put them together into a verdict.
//
// Readings are float64 in any one unit; every function gives the same verdict
// whatever the unit and whatever the order of the readings. Results hold no NaN
// and no infinity; where a number does not exist, a field or an error says so.
package stats

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// ErrNoReadings is returned when there is nothing to summarise.
var ErrNoReadings = errors.New("there are no readings")

// Summary describes one group of readings, in the unit of the readings.
type Summary struct {
	N        int
	Mean     float64
	SD       float64 // divisor n-1; 0 when N is 1, where no spread can be known
	Median   float64 // of an even number, the mean of the middle two
	Min, Max float64
	Distinct int // number of different values
}

// Summarize computes the summary of a group of readings. The mean and the
// standard deviation (divisor n-1) are computed in two passes about the median,
// so a large common part of the readings costs no digits, readings that are all
// equal have a deviation of exactly 0, and the order of the readings does not
// change a bit of the result. The corrected two-pass form is that of Chan,
// Golub and LeVeque, The American Statistician 37 (1983) 242 (from memory).
//
// Errors: ErrNoReadings; a reading that is not a number or is beyond 1e100.
func Summarize(readings []float64) (Summary, error) {
	if len(readings) == 0 {
		return Summary{}, ErrNoReadings
	}
	for i, x := range readings {
		if math.IsNaN(x) || math.Abs(x) > 1e100 {
			return Summary{}, fmt.Errorf("reading %d, %g, is not a usable number", i+1, x)
		}
	}
	x := slices.Clone(readings)
	slices.Sort(x)
	n := len(x)
	s := Summary{N: n, Min: x[0], Max: x[n-1], Median: x[n/2], Distinct: 1}
	if n%2 == 0 {
		s.Median = x[n/2-1] + (x[n/2]-x[n/2-1])/2
	}
	for i := 1; i < n; i++ {
		if x[i] != x[i-1] {
			s.Distinct++
		}
	}
	about := x[n/2] // a reading, so that equal readings deviate by exactly 0
	var sum float64
	for _, v := range x {
		sum += v - about
	}
	shift := sum / float64(n)
	s.Mean = about + shift
	if n > 1 {
		var squares, rest float64
		for _, v := range x {
			d := (v - about) - shift
			squares += d * d
			rest += d
		}
		// The rest is 0 but for rounding of shift; its square corrects that.
		s.SD = math.Sqrt(max(0, squares-rest*rest/float64(n)) / float64(n-1))
	}
	return s, nil
}

// Range is the largest reading less the smallest.
func (s Summary) Range() float64 { return s.Max - s.Min }

// SE is the standard error of the mean, SD / sqrt(N).
func (s Summary) SE() float64 {
	if s.N == 0 {
		return 0
	}
	return s.SD / math.Sqrt(float64(s.N))
}

// MeanIn is the confidence interval of the mean of all parts: mean ± t·SE with
// N-1 degrees of freedom (NIST/SEMATECH e-Handbook 1.3.5.2).
//
// Errors: ErrTooFew, wrapped, for one reading, a confidence outside (0, 1).
func (s Summary) MeanIn(conf float64) (Interval, error) {
	if err := checkConf(conf); err != nil {
		return Interval{}, err
	}
	if s.N < 2 {
		return Interval{}, fmt.Errorf("an interval of the mean: %w", errOne)
	}
	half := tFactor(conf, float64(s.N-1)) * s.SE()
	return Interval{s.Mean - half, s.Mean + half}, nil
}

// SDIn is the confidence interval of the standard deviation of all parts,
// SD·sqrt((N-1)/chi²) with N-1 degrees of freedom (NIST/SEMATECH e-Handbook
// 1.3.5.8). It supposes normal readings.
//
// Errors: as MeanIn.
func (s Summary) SDIn(conf float64) (Interval, error) {
	if err := checkConf(conf); err != nil {
		return Interval{}, err
	}
	if s.N < 2 {
		return Interval{}, fmt.Errorf("an interval of the spread: %w", errOne)
	}
	df, tail := float64(s.N-1), (1-conf)/2
	chi := distuv.ChiSquared{K: df}
	return Interval{s.SD * math.Sqrt(df/chi.Quantile(1-tail)), s.SD * math.Sqrt(df/chi.Quantile(tail))}, nil
}

var errOne = errors.New("at least two readings are needed")

// Lag1 is how far each reading follows the one before it: the autocorrelation at
// lag 1 of readings in the order they were made, between -1 and 1 (NIST/SEMATECH
// e-Handbook 1.3.5.12). Readings that vary by chance stay within ±z/sqrt(N),
// z = 1.96 for 95 % (1.3.3.1); beyond that a drift, or an alternation, is in
// them, and intervals from N readings say too much. It is 0 for readings that
// are all equal.
//
// Errors: ErrNoReadings, an unusable reading.
func Lag1(readings []float64) (r float64, stands bool, err error) {
	s, err := Summarize(readings)
	if err != nil || s.SD == 0 {
		return 0, false, err
	}
	var sum float64
	for i := 1; i < len(readings); i++ {
		sum += (readings[i] - s.Mean) * (readings[i-1] - s.Mean)
	}
	r = sum / (s.SD * s.SD * float64(s.N-1))
	return r, math.Abs(r) > zFactor(0.95)/math.Sqrt(float64(s.N)), nil
}

func checkConf(conf float64) error {
	if !(conf > 0 && conf < 1) {
		return fmt.Errorf("the confidence %g must lie between 0 and 1, for example 0.95", conf)
	}
	return nil
}
