package chart

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Drift is a straight line through readings taken at counts of parts: reading =
// Level + Slope·(count - MeanCount).
type Drift struct {
	N                   int
	First, Last         float64 // least and largest count
	MeanCount, Level    float64 // the middle of the counts, and the line there
	Slope               float64 // unit of the readings a part
	SlopeLow, SlopeHigh float64 // its confidence interval
	// S is the standard deviation of the readings about the line (n-2 degrees of
	// freedom), and Scatter the same with one count of the gauge as its least
	// value, count/√12; predictions rest on Scatter.
	S, Scatter float64
	Conf       float64
	// Shown says that the interval of the slope leaves 0 outside.
	Shown bool
	// Bent says that a curve through the readings is better than the line, by a t
	// test of its curvature at 1 %: the tool does not wear evenly, or chipped.
	Bent bool

	t, spread float64 // Student's factor; sum of squares of the counts about their mean
}

// ErrNoDrift is returned, wrapped, when a line cannot be put through the readings.
var ErrNoDrift = errors.New("no line can be put through these readings")

// NewDrift fits the line by least squares (NIST/SEMATECH e-Handbook 4.1.4.1; the
// intervals as in Vardeman and Jobe, Basic Engineering Data Collection and Analysis,
// chapter 9, from memory). resolution is one count of the gauge, 0 where it is not
// known.
//
// Errors: fewer than three readings, all at one count (both ErrNoDrift), unusable
// numbers.
func NewDrift(counts, values []float64, resolution, conf float64) (Drift, error) {
	switch {
	case !(conf > 0 && conf < 1):
		return Drift{}, fmt.Errorf("the confidence %g must lie between 0 and 1, for example 0.95", conf)
	case len(counts) != len(values):
		return Drift{}, fmt.Errorf("%d counts for %d readings", len(counts), len(values))
	case len(values) < 3:
		return Drift{}, fmt.Errorf("%w: it takes three or more and there are %d", ErrNoDrift, len(values))
	case !(resolution >= 0 && resolution <= 1e100):
		return Drift{}, fmt.Errorf("the resolution %g must be a positive number, or 0 when not known", resolution)
	}
	if err := checkValues(counts, "count"); err != nil {
		return Drift{}, err
	}
	if err := checkValues(values, "reading"); err != nil {
		return Drift{}, err
	}
	n := float64(len(values))
	d := Drift{N: len(values), First: counts[0], Last: counts[0], MeanCount: mean(counts), Level: mean(values), Conf: conf}
	sxy := 0.0
	for i, c := range counts {
		d.First, d.Last = min(d.First, c), max(d.Last, c)
		d.spread += (c - d.MeanCount) * (c - d.MeanCount)
		sxy += (c - d.MeanCount) * (values[i] - d.Level)
	}
	if d.First == d.Last {
		return Drift{}, fmt.Errorf("%w: all were taken at one count", ErrNoDrift)
	}
	d.Slope = sxy / d.spread
	squares := 0.0
	for i, c := range counts {
		r := values[i] - d.At(c)
		squares += r * r
	}
	d.S = math.Sqrt(squares / (n - 2))
	d.Scatter = max(d.S, resolution/math.Sqrt(12))
	d.t = factor(conf, n-2)
	half := d.t * d.S / math.Sqrt(d.spread)
	d.SlopeLow, d.SlopeHigh = d.Slope-half, d.Slope+half
	d.Shown = math.Abs(d.Slope) > half*(1+1e-9) && d.Slope != 0
	d.Bent = d.bent(counts, values, squares)
	return d, nil
}

// factor is the two-sided factor of Student.
func factor(conf, df float64) float64 {
	return -distuv.StudentsT{Sigma: 1, Nu: df}.Quantile((1 - conf) / 2)
}

// bent tests the curvature: the part of count² that the line does not explain is
// held against what is left of the readings.
func (d Drift) bent(counts, values []float64, squares float64) bool {
	if d.N < 5 {
		return false
	}
	q := make([]float64, d.N) // count² without its mean and its slope
	var cubes, q2, qr float64
	for i, c := range counts {
		q[i] = (c - d.MeanCount) * (c - d.MeanCount)
		cubes += q[i] * (c - d.MeanCount)
	}
	m := d.spread / float64(d.N)
	for i, c := range counts {
		q[i] -= m + cubes/d.spread*(c-d.MeanCount)
		q2 += q[i] * q[i]
		qr += q[i] * (values[i] - d.At(c))
	}
	if q2 <= 1e-12*d.spread*d.spread || squares == 0 {
		return false // only two different counts, or nothing left to explain
	}
	df := float64(d.N - 3)
	left := max(0, squares-qr*qr/q2)
	return qr*qr/q2 > factor(0.99, df)*factor(0.99, df)*left/df*(1+1e-9) && d.S > 1e-9*math.Abs(d.Slope)*(d.Last-d.First)
}

// At is the line at a count.
func (d Drift) At(count float64) float64 { return d.Level + d.Slope*(count-d.MeanCount) }

// Next is half the width of the interval in which one part at a count will lie.
func (d Drift) Next(count float64) float64 {
	x := count - d.MeanCount
	return d.t * d.Scatter * math.Sqrt(1+1/float64(d.N)+x*x/d.spread)
}

// Reach says when a drift comes to a limit.
type Reach struct {
	// Count is where the line meets the limit, which may lie before From; Ever is
	// false if it runs away from the limit, or so flat along it that it never gets
	// there.
	Count float64
	Ever  bool
	// Safe is the count up to which a part still lies inside the limit with the
	// confidence of the drift, its scatter and the doubt about the line taken in;
	// it is never before From. Passed says that already at From it does not.
	Safe   float64
	From   float64
	Passed bool
	// Far says that no count up to the horizon is unsafe; Safe is then the horizon.
	Far bool
}

// horizon is how many times the span of the counts a line is followed beyond them;
// nobody should believe it farther.
const horizon = 10

// Reach follows the line from a count on to an upper or a lower limit.
func (d Drift) Reach(limit float64, upper bool, from float64) Reach {
	r := Reach{From: from}
	span := d.Last - d.First
	if d.Slope != 0 && upper == (d.Slope > 0) {
		r.Count = d.MeanCount + (limit-d.Level)/d.Slope
		r.Ever = math.Abs(r.Count-d.MeanCount) <= 100*horizon*span
	}
	if !r.Ever {
		r.Count = 0
	}
	sign := 1.0
	if !upper {
		sign = -1
	}
	over := func(c float64) bool { return sign*(d.At(c)-limit)+d.Next(c) > 0 }
	r.Safe = from
	if over(from) {
		r.Passed = true
		return r
	}
	low, high := from, max(from, d.Last)+horizon*span
	if !over(high) {
		r.Safe, r.Far = high, true
		return r
	}
	for range 100 { // the bound is convex, so it goes over once
		mid := low + (high-low)/2
		if over(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	r.Safe = low
	return r
}
