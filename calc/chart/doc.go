// Package chart follows a process part by part: charts of individual readings and
// of subgroups with their limits, and the drift of a tool with the parts that are
// left to a limit.
//
// Readings are float64 in any one unit, in the order in which the parts were made;
// on a short-run chart they are deviations from the nominal of each part, so that
// several parts stand on one chart (ISO 7870-8 by title). Results hold no NaN and
// no infinity.
package chart

import (
	"fmt"
	"math"
)

func checkValues(values []float64, what string) error {
	for i, v := range values {
		if !(math.Abs(v) <= 1e100) {
			return fmt.Errorf("%s %d, %g, is not a usable number", what, i+1, v)
		}
	}
	return nil
}

func mean(values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	sum := 0.0
	for _, v := range values {
		sum += v - values[0]
	}
	return values[0] + sum/float64(len(values))
}
