package stats

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// ErrTooFew is returned, wrapped, when a group has fewer than two readings.
var ErrTooFew = errors.New("at least two readings are needed on each side")

// ErrNoSpread is returned when the readings of both groups (Welch) or of the
// group divided by (FRatio) are all equal: a spread of 0 is the work of the
// gauge's resolution, and no interval can be built on it.
var ErrNoSpread = errors.New("the readings do not vary")

// WelchResult compares two means. Difference, U, Low and High are in the unit
// of the readings.
type WelchResult struct {
	Difference float64 // mean after - mean before
	U          float64 // standard uncertainty of the difference from sampling
	DF         float64 // effective degrees of freedom (Welch-Satterthwaite)
	Low, High  float64 // confidence interval of the difference
	T          float64 // Difference / U
	P          float64 // two-sided
}

// Welch compares two means without assuming equal spread: U² = s1²/n1 + s2²/n2,
// degrees of freedom after Welch and Satterthwaite, interval Difference ± t·U
// (Welch, Biometrika 34 (1947) 28; NIST/SEMATECH e-Handbook 1.3.5.3).
//
// Errors: ErrTooFew, ErrNoSpread when both groups are constant, a confidence
// outside (0, 1), an unusable reading.
func Welch(before, after []float64, conf float64) (WelchResult, error) {
	b, a, err := summarizeBoth(before, after, conf)
	if err != nil {
		return WelchResult{}, err
	}
	return welch(b, a, conf)
}

func welch(b, a Summary, conf float64) (WelchResult, error) {
	vb, va := b.SD*b.SD/float64(b.N), a.SD*a.SD/float64(a.N)
	if vb+va == 0 {
		return WelchResult{}, ErrNoSpread
	}
	r := WelchResult{Difference: a.Mean - b.Mean, U: math.Sqrt(vb + va)}
	share := vb / (vb + va)
	r.DF = 1 / (share*share/float64(b.N-1) + (1-share)*(1-share)/float64(a.N-1))
	r.T = r.Difference / r.U
	r.P = min(1, 2*studentsT(r.DF).CDF(-math.Abs(r.T)))
	half := tFactor(conf, r.DF) * r.U
	r.Low, r.High = r.Difference-half, r.Difference+half
	return r, nil
}

func summarizeBoth(before, after []float64, conf float64) (b, a Summary, err error) {
	if err := checkConf(conf); err != nil {
		return b, a, err
	}
	if len(before) < 2 || len(after) < 2 {
		return b, a, fmt.Errorf("%w: there are %d before and %d after", ErrTooFew, len(before), len(after))
	}
	if b, err = Summarize(before); err != nil {
		return b, a, fmt.Errorf("before: %w", err)
	}
	if a, err = Summarize(after); err != nil {
		return b, a, fmt.Errorf("after: %w", err)
	}
	return b, a, nil
}

func studentsT(df float64) distuv.StudentsT { return distuv.StudentsT{Sigma: 1, Nu: df} }

// tFactor is the two-sided Student factor. The lower tail is asked for, because
// a small tail probability is exact there.
func tFactor(conf, df float64) float64 { return -studentsT(df).Quantile((1 - conf) / 2) }
