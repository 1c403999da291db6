// Package stats holds the statistics of before-and-after evidence in a small
// shop: a handful of readings on each side of a change, a gauge whose count is
// often as large as the effect, and an honest answer: shown, not shown, or the
// gauge cannot tell.
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

func checkConf(conf float64) error {
	if !(conf > 0 && conf < 1) {
		return fmt.Errorf("the confidence %g must lie between 0 and 1, for example 0.95", conf)
	}
	return nil
}
