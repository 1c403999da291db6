// Package cause weighs which of several sources made what was read at a number
// of points on a number of pieces.
//
// Every source shifts the readings by amounts of which something is known before
// any reading: a mean, and a standard deviation. Some sources have a second
// state, in which they are no longer as recorded. What the readings say of the
// amounts follows from Bayes' theorem with normal distributions (linear model
// with known covariance: C. E. Rasmussen and C. K. I. Williams, Gaussian
// Processes for Machine Learning, 2006, section 2.1 and appendix A.2; from
// memory); the states are weighed by how probable each makes the readings
// (Bayesian model comparison; D. J. C. MacKay, Information Theory, Inference, and
// Learning Algorithms, 2003, chapter 28; from memory).
//
// Numbers are float64 in one unit that the caller chooses.
package cause

import (
	"errors"
	"fmt"
	"math"
)

// Source is something that shifts readings.
type Source struct {
	Name string
	// Effects holds, for each of its amounts, what an amount of one does to the
	// reading at each point.
	Effects [][]float64
	// Known is the mean of each amount and SD the standard deviation of what is
	// not known of it; both are the same for all pieces.
	Known, SD []float64
	// Varies is the standard deviation of each amount from piece to piece; nil
	// if all pieces get the same.
	Varies []float64
	// Other is the standard deviation of each amount in the second state, which
	// is the same for all pieces: a source that varies varies no longer then. nil
	// if there is no such state. Odds is the probability before any reading that
	// the source is in it, 0 to 1.
	Other []float64
	Odds  float64
}

// Problem is what is known before any reading.
type Problem struct {
	Sources []Source
	// Noise is the standard deviation of a single reading beside all sources.
	Noise float64
}

// Suspect is a source that may be the main one behind a trait.
type Suspect struct {
	Source int
	// Probability is that of being the main source: of all sources the one that
	// adds most to the trait, in the direction that the trait really has.
	Probability float64
	// Adds is what it adds to the trait, with its standard deviation.
	Adds, SD float64
}

// Trait is one property of the readings, such as the shift in x.
type Trait struct {
	// Value is that of the mean readings, and Error its standard error (1 s):
	// from what varies and the noise, over the number of pieces. What is the
	// same for all pieces is no error of it but what it finds.
	Value, Error float64
	// True is what the trait really is, by readings and records together, with
	// its standard deviation.
	True, TrueSD float64
	// Suspects are all sources, the most probable first, in steps of 0.05.
	Suspects []Suspect
}

// Answer is what readings say of the sources.
type Answer struct {
	// AsRecorded is the probability that every source is in its first state, and
	// Changed that of each source being in its second. They add up to one: two
	// sources are not taken to have changed at once.
	AsRecorded float64
	Changed    []float64
	// Scale is how many times as far pieces differ among each other as the
	// sources let them; 1 unless that is beyond chance (1 in 100). All that
	// varies was then widened by it, as R. T. Birge did with inconsistent
	// results (Physical Review 40, 207, 1932; from memory).
	Scale float64
	// Traits are in the order in which they were asked for.
	Traits []Trait
	// Mean are the readings to expect, point by point, but for what varies.
	Mean []float64
	// Amounts are the amounts of each source, with their standard deviations.
	Amounts, AmountSD [][]float64

	m         *model
	mean      []float64   // of all amounts
	cov       [][]float64 // of all amounts
	variation [][]float64 // of one piece, by point
	traits    [][]float64
}

// ErrReadings is returned, wrapped, for readings that cannot be weighed.
var ErrReadings = errors.New("these readings cannot be weighed")

// check refuses what cannot be computed.
func (p Problem) check(readings, traits [][]float64) error {
	if len(readings) == 0 || len(readings[0]) == 0 {
		return fmt.Errorf("%w: there are none", ErrReadings)
	}
	points := len(readings[0])
	for i, r := range readings {
		if len(r) != points || !finite(r...) {
			return fmt.Errorf("%w: piece %d has not a number at each of the %d points", ErrReadings, i+1, points)
		}
	}
	for i, t := range traits {
		if len(t) != points || !finite(t...) {
			return fmt.Errorf("trait %d: it needs a number for each of the %d points", i+1, points)
		}
	}
	if !finite(p.Noise) || p.Noise <= 0 {
		return fmt.Errorf("the noise of a reading, %g, must be more than zero", p.Noise)
	}
	sum := 0.0
	for _, s := range p.Sources {
		n := len(s.Effects)
		if n == 0 || len(s.Known) != n || len(s.SD) != n || s.Varies != nil && len(s.Varies) != n || s.Other != nil && len(s.Other) != n {
			return fmt.Errorf("%s: effects, known amounts and standard deviations must be of one number, at least one", s.Name)
		}
		for _, e := range s.Effects {
			if len(e) != points || !finite(e...) {
				return fmt.Errorf("%s: an effect needs a number for each of the %d points", s.Name, points)
			}
		}
		if !finite(s.Known...) {
			return fmt.Errorf("%s: a known amount is no number", s.Name)
		}
		for _, sds := range [][]float64{s.SD, s.Varies, s.Other} {
			for _, sd := range sds {
				if !finite(sd) || sd < 0 {
					return fmt.Errorf("%s: a standard deviation must not be negative", s.Name)
				}
			}
		}
		if s.Other != nil {
			if !finite(s.Odds) || s.Odds < 0 || s.Odds > 1 {
				return fmt.Errorf("%s: the odds of its second state, %g, must lie between 0 and 1", s.Name, s.Odds)
			}
			sum += s.Odds
		}
	}
	if sum > 1 {
		return fmt.Errorf("the odds of the second states add up to %g, more than 1", sum)
	}
	return nil
}

func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
