package stats

import "gonum.org/v1/gonum/stat/distuv"

// FResult compares two spreads by the ratio of their variances.
type FResult struct {
	Ratio        float64 // variance after / variance before
	DFAfter      int     // n-1 after, the numerator
	DFBefore     int     // n-1 before, the denominator
	P            float64 // two-sided: twice the smaller tail
	Low, High    float64 // confidence interval of the ratio of true variances
	CriticalLow  float64 // a change is shown outside CriticalLow..CriticalHigh
	CriticalHigh float64
}

// FRatio compares two spreads with the F test (NIST/SEMATECH e-Handbook
// 1.3.5.9). It assumes normal readings and is sensitive to that assumption. The
// handbooks' form "larger over smaller against one critical value" is the same
// test when both groups are equally large.
//
// Errors: ErrTooFew, ErrNoSpread when the before group is constant, a
// confidence outside (0, 1), an unusable reading.
func FRatio(before, after []float64, conf float64) (FResult, error) {
	b, a, err := summarizeBoth(before, after, conf)
	if err != nil {
		return FResult{}, err
	}
	return fRatio(b, a, conf)
}

func fRatio(b, a Summary, conf float64) (FResult, error) {
	if b.SD == 0 {
		return FResult{}, ErrNoSpread
	}
	k := a.SD / b.SD
	r := FResult{Ratio: k * k, DFAfter: a.N - 1, DFBefore: b.N - 1}
	da, db := float64(r.DFAfter), float64(r.DFBefore)
	tail := (1 - conf) / 2
	// The upper quantile and tail from the reciprocal, which keeps the digits
	// of a small probability.
	straight, turned := distuv.F{D1: da, D2: db}, distuv.F{D1: db, D2: da}
	r.CriticalLow, r.CriticalHigh = straight.Quantile(tail), 1/turned.Quantile(tail)
	r.Low, r.High = r.Ratio/r.CriticalHigh, r.Ratio/r.CriticalLow
	if r.Ratio > 0 {
		r.P = min(1, 2*min(straight.CDF(r.Ratio), turned.CDF(1/r.Ratio)))
	}
	return r, nil
}
