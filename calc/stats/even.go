package stats

import (
	"errors"
	"fmt"
	"math"
)

// Lot is what to expect of n readings of pieces whose sizes lie evenly over a
// range.
type Lot struct {
	SD    float64 // standard deviation of a reading
	SEOf  float64 // standard error of the mean of n readings
	RelSE float64 // standard error of the standard deviation of n readings, over SD; NaN for n = 1
}

// EvenLot gives the spread of readings of pieces whose sizes are even over a
// range of the given width, read with the standard uncertainty u, and how sure
// mean and standard deviation of n of them are. Unit of both numbers is that of
// the result.
//
// SD² = width²/12 + u². The variance of a sample's variance is
// (m4 - SD⁴·(n-3)/(n-1))/n with the fourth moment m4 (H. Cramér, Mathematical
// Methods of Statistics, chapter 27), which to first order makes the relative
// error of the standard deviation half as large as that of the variance.
//
// Errors: a negative width or uncertainty, values that are not numbers, n under
// 1, and no spread at all.
func EvenLot(width, u float64, n int) (Lot, error) {
	if math.IsNaN(width+u) || math.IsInf(width+u, 0) || width < 0 || u < 0 {
		return Lot{}, fmt.Errorf("the width %g and the uncertainty %g must be numbers and not negative", width, u)
	}
	if n < 1 {
		return Lot{}, fmt.Errorf("%d pieces: there must be one or more", n)
	}
	even := width * width / 12
	v := even + u*u
	if v == 0 {
		return Lot{}, errors.New("pieces of one size, read without uncertainty, have no spread")
	}
	out := Lot{SD: math.Sqrt(v), SEOf: math.Sqrt(v / float64(n)), RelSE: math.NaN()}
	if n > 1 {
		// The kurtosis of an even spread is 9/5, that of the reading error 3.
		kurtosis := 3 - 1.2*even*even/(v*v)
		out.RelSE = math.Sqrt((kurtosis-float64(n-3)/float64(n-1))/float64(n)) / 2
	}
	return out, nil
}
