package stats

import (
	"fmt"
	"math"
)

// Range is an interval about its middle.
type Range struct {
	Low, High float64
	Half      float64 // half the width
}

// Prediction returns the interval in which the next part will lie with
// confidence conf, after n normal readings with the given mean and standard
// deviation: mean ± t·s·sqrt(1 + 1/n), n-1 degrees of freedom (Vardeman and
// Jobe, Basic Engineering Data Collection and Analysis, section on prediction
// intervals).
//
// Errors: n < 2, s negative or not a number, mean not a number, a confidence
// outside (0, 1).
func Prediction(mean, s float64, n int, conf float64) (Range, error) {
	if err := checkConf(conf); err != nil {
		return Range{}, err
	}
	if n < 2 {
		return Range{}, fmt.Errorf("a prediction needs at least two readings; there are %d", n)
	}
	if err := checkSD(s); err != nil {
		return Range{}, err
	}
	if !(math.Abs(mean) <= 1e100) {
		return Range{}, fmt.Errorf("the mean %g is not a usable number", mean)
	}
	half := tFactor(conf, float64(n-1)) * s * math.Sqrt(1+1/float64(n))
	return Range{Low: mean - half, High: mean + half, Half: half}, nil
}

// NoneBad returns the upper confidence limit on the fraction bad when none of n
// parts was bad: 1 - (1-conf)^(1/n), the exact binomial limit.
//
// Errors: n < 1, a confidence outside (0, 1).
func NoneBad(n int, conf float64) (float64, error) {
	if err := checkConf(conf); err != nil {
		return 0, err
	}
	if n < 1 {
		return 0, fmt.Errorf("at least one part is needed; there are %d", n)
	}
	return -math.Expm1(math.Log1p(-conf) / float64(n)), nil
}

func checkSD(s float64) error {
	if !(s >= 0 && s <= 1e100) {
		return fmt.Errorf("the standard deviation %g must be a number, not below zero", s)
	}
	return nil
}
