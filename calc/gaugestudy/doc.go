// Package gaugestudy says how good a measurement is from measurements: how far one
// person repeats, how far people differ, what lies between two people or two
// gauges, and how long a gauge may go until its next check.
//
// Readings are float64 in any one unit. Results hold no NaN and no infinity.
package gaugestudy

import (
	"fmt"
	"math"
)

// Readings are those of a study in which every person measured every part the
// same number of times: Readings[person][part][trial].
type Readings [][][]float64

// size checks a study.
func (r Readings) size() (people, parts, trials int, err error) {
	if len(r) == 0 || len(r[0]) < 2 || len(r[0][0]) < 2 {
		return 0, 0, 0, fmt.Errorf("a study needs two parts or more, each measured twice or more by the same person")
	}
	people, parts, trials = len(r), len(r[0]), len(r[0][0])
	for i, person := range r {
		if len(person) != parts {
			return 0, 0, 0, fmt.Errorf("person %d has %d of %d parts; every person measures every part", i+1, len(person), parts)
		}
		for j, part := range person {
			if len(part) != trials {
				return 0, 0, 0, fmt.Errorf("person %d, part %d: readings are %d where others have %d; all parts are measured the same number of times", i+1, j+1, len(part), trials)
			}
			for k, v := range part {
				if !(math.Abs(v) <= 1e100) {
					return 0, 0, 0, fmt.Errorf("person %d, part %d, trial %d: %g is not a usable number", i+1, j+1, k+1, v)
				}
			}
		}
	}
	return people, parts, trials, nil
}

func mean(values ...float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v - values[0]
	}
	return values[0] + sum/float64(len(values))
}
