package stats

import (
	"fmt"

	"gonum.org/v1/gonum/stat/distuv"
)

// Proportion gives the interval for the true share of hits after hit of n, by
// the exact method of Clopper and Pearson: the ends are quantiles of beta
// distributions, and the interval holds the true share at least as often as conf
// says. Low and High lie between 0 and 1.
//
// Errors: hit outside 0 to n, n under 1, conf not between 0 and 1. Source: C. J.
// Clopper, E. S. Pearson, Biometrika 26 (1934).
func Proportion(hit, n int, conf float64) (Range, error) {
	if err := checkConf(conf); err != nil {
		return Range{}, err
	}
	if n < 1 || hit < 0 || hit > n {
		return Range{}, fmt.Errorf("%d of %d is no count", hit, n)
	}
	tail, k, rest := (1-conf)/2, float64(hit), float64(n-hit)
	out := Range{Low: 0, High: 1}
	if hit > 0 {
		out.Low = distuv.Beta{Alpha: k, Beta: rest + 1}.Quantile(tail)
	}
	if hit < n {
		out.High = distuv.Beta{Alpha: k + 1, Beta: rest}.Quantile(1 - tail)
	}
	out.Half = (out.High - out.Low) / 2
	return out, nil
}
