package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Proportion gives the interval for the true share of hits after hit of n, by
// the exact method of Clopper and Pearson: the ends are quantiles of beta
// distributions, and the interval holds the true share at least as often as conf
// says. Low and High lie between 0 and 1.
//
// Errors: a count that is not possible, more than MaxParts, conf not between 0
// and 1. Source: C. J. Clopper, E. S. Pearson, Biometrika 26 (1934) 404.
func Proportion(hit, n int, conf float64) (Range, error) {
	if err := checkConf(conf); err != nil {
		return Range{}, err
	}
	if err := checkCount("count", hit, n); err != nil {
		return Range{}, err
	}
	tail, k, rest := (1-conf)/2, float64(hit), float64(n-hit)
	out := Range{Low: 0, High: 1}
	switch {
	case hit == 0:
		out.High = -math.Expm1(math.Log(tail) / rest)
	case hit == n:
		out.Low = math.Exp(math.Log(tail) / k)
	default:
		out.Low = distuv.Beta{Alpha: k, Beta: rest + 1}.Quantile(tail)
		// The upper end from the other side, whose tail is the small one.
		out.High = 1 - distuv.Beta{Alpha: rest, Beta: k + 1}.Quantile(tail)
	}
	out.Half = (out.High - out.Low) / 2
	return out, nil
}

// Share is what a count such as 7 of 20 says of all parts.
type Share struct {
	Hit, N int
	Share  float64
	// Exact is the interval of Clopper and Pearson: it never covers less than
	// its confidence, and is wide for it.
	Exact Interval
	// Wilson is the score interval of Wilson: it covers its confidence on the
	// average, and is what Newcombe's interval of a difference is built of.
	Wilson Interval
}

// Interval has two ends.
type Interval struct{ Low, High float64 }

// CountShare gives the share of all parts with its two-sided intervals
// (Proportion; Wilson, J. Am. Stat. Assoc. 22 (1927) 209, without continuity
// correction, from memory, formula in NIST/SEMATECH e-Handbook 7.2.4.1).
//
// Errors: a count that is not possible, more than MaxParts, a confidence
// outside (0, 1).
func CountShare(hit, n int, conf float64) (Share, error) {
	exact, err := Proportion(hit, n, conf)
	if err != nil {
		return Share{}, err
	}
	x, m := float64(hit), float64(n)
	s := Share{Hit: hit, N: n, Share: x / m, Exact: Interval{exact.Low, exact.High}}
	z := zFactor(conf)
	middle := (x + z*z/2) / (m + z*z)
	half := z / (m + z*z) * math.Sqrt(x*(m-x)/m+z*z/4)
	s.Wilson = Interval{max(0, middle-half), min(1, middle+half)}
	if hit == 0 {
		s.Wilson.Low = 0
	}
	if hit == n {
		s.Wilson.High = 1
	}
	return s, nil
}

// ShareDifference is the interval of the share after minus the share before by
// Newcombe's hybrid of two Wilson intervals (R. G. Newcombe, Statistics in
// Medicine 17 (1998) 873, method 10, from memory). It stays within -1 … 1 and
// has a width where nothing was bad on either side.
//
// Errors: as CountShare.
func ShareDifference(badBefore, nBefore, badAfter, nAfter int, conf float64) (difference float64, in Interval, err error) {
	if err := checkCount("before", badBefore, nBefore); err != nil {
		return 0, Interval{}, err
	}
	if err := checkCount("after", badAfter, nAfter); err != nil {
		return 0, Interval{}, err
	}
	b, err := CountShare(badBefore, nBefore, conf)
	if err != nil {
		return 0, Interval{}, err
	}
	a, err := CountShare(badAfter, nAfter, conf)
	if err != nil {
		return 0, Interval{}, err
	}
	d := a.Share - b.Share
	return d, Interval{
		Low:  d - math.Hypot(a.Share-a.Wilson.Low, b.Wilson.High-b.Share),
		High: d + math.Hypot(a.Wilson.High-a.Share, b.Share-b.Wilson.Low),
	}, nil
}

// ByChance is how often guessing with the given chance gets at least so many of
// n right (binomial distribution): blind calls, nine of ten right, happen by
// chance in 1 % of cases.
//
// Errors: a count that is not possible, a chance outside (0, 1).
func ByChance(right, n int, chance float64) (float64, error) {
	if err := checkCount("calls", right, n); err != nil {
		return 0, err
	}
	if !(chance > 0 && chance < 1) {
		return 0, fmt.Errorf("the chance %g must lie between 0 and 1, for example 0.5", chance)
	}
	if right == 0 {
		return 1, nil
	}
	return distuv.Beta{Alpha: float64(right), Beta: float64(n - right + 1)}.CDF(chance), nil
}

func checkCount(name string, bad, n int) error {
	switch {
	case n < 1:
		return fmt.Errorf("%s: at least one part is needed; there are %d", name, n)
	case bad < 0 || bad > n:
		return fmt.Errorf("%s: %d bad of %d parts is not possible", name, bad, n)
	case n > MaxParts:
		return fmt.Errorf("%s: %d parts is more than the %d this can count", name, n, MaxParts)
	}
	return nil
}

// zFactor is the two-sided normal factor, from the lower tail.
func zFactor(conf float64) float64 { return -distuv.UnitNormal.Quantile((1 - conf) / 2) }
