package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// ToleranceFactor is the factor k for which mean ± k·sd of n normal readings
// holds the given share of all parts with confidence conf. It is the exact
// factor: the share between mean - k·sd and mean + k·sd depends on where the mean
// fell, z/sqrt(n) off, and on the spread, and k is the root of
//
//	E over z of P(chi² with n-1 degrees of freedom > (n-1)·r(z)²/k²) = conf,
//	where Φ(z/sqrt(n) + r) - Φ(z/sqrt(n) - r) = share
//
// (A. Wald and J. Wolfowitz, Ann. Math. Stat. 17 (1946) 208, and ISO 16269-6,
// from memory). The usual approximation of Howe (NIST/SEMATECH e-Handbook
// 7.2.6.3) is within 1 % of it from n = 10 on, on either side.
//
// Errors: n < 2, a share or a confidence outside (0, 1).
func ToleranceFactor(n int, share, conf float64) (float64, error) {
	if err := checkTolerance(n, share, conf); err != nil {
		return 0, err
	}
	df := float64(n - 1)
	type node struct{ weight, r2 float64 }
	var nodes []node
	const panels, perPanel, far = 5, 12, 8.5
	for p := range panels {
		for _, g := range legendre(perPanel) {
			z := far / panels * (float64(p) + (g[0]+1)/2)
			off := z / math.Sqrt(float64(n))
			r := root(func(r float64) float64 {
				return distuv.UnitNormal.CDF(off+r) - distuv.UnitNormal.CDF(off-r) - share
			}, 0, off+10)
			nodes = append(nodes, node{g[1] * far / panels / 2 * 2 * distuv.UnitNormal.Prob(z), r * r})
		}
	}
	chi := distuv.ChiSquared{K: df}
	held := func(k float64) float64 {
		var sum float64
		for _, nd := range nodes {
			sum += nd.weight * chi.Survival(df*nd.r2/(k*k))
		}
		return sum - conf
	}
	high := 1.0
	for held(high) < 0 && high < 1e9 {
		high *= 2
	}
	return root(held, high/1e4, high), nil
}

// ToleranceFactorOneSided is the factor k for which at least the given share of
// all parts lies below mean + k·sd, or above mean - k·sd, with confidence conf:
// k·sqrt(n) is the quantile of the noncentral t distribution with n-1 degrees of
// freedom and the noncentrality z(share)·sqrt(n) (NIST/SEMATECH e-Handbook
// 7.2.6.3, the exact form).
//
// Errors: as ToleranceFactor.
func ToleranceFactorOneSided(n int, share, conf float64) (float64, error) {
	if err := checkTolerance(n, share, conf); err != nil {
		return 0, err
	}
	root0 := math.Sqrt(float64(n))
	shift := distuv.UnitNormal.Quantile(share) * root0
	held := func(t float64) float64 { return noncentralT(t, float64(n-1), shift) - conf }
	low, high := min(-1, -math.Abs(shift)), max(1, math.Abs(shift))
	for held(low) > 0 && low > -1e12 {
		low *= 2
	}
	for held(high) < 0 && high < 1e12 {
		high *= 2
	}
	return root(held, low, high) / root0, nil
}

// Extremes is what the smallest and the largest of n readings prove of all
// parts, whatever the shape of their spread.
type Extremes struct {
	// Between is the confidence that at least the share asked for lies between
	// the smallest and the largest; Beyond, that it lies below the largest (or
	// above the smallest).
	Between, Beyond float64
}

// ToleranceOfExtremes gives the confidence with which the extremes of n readings
// hold the given share of all parts: 1 - n·p^(n-1) + (n-1)·p^n between both,
// 1 - p^n on one side (S. S. Wilks, Ann. Math. Stat. 12 (1941) 91;
// NIST/SEMATECH e-Handbook 7.2.6.4, from memory).
//
// Errors: n < 2, a share outside (0, 1).
func ToleranceOfExtremes(n int, share float64) (Extremes, error) {
	if err := checkTolerance(n, share, 0.5); err != nil {
		return Extremes{}, err
	}
	m, l := float64(n), math.Log(share)
	one := -math.Expm1(m * l)
	return Extremes{Beyond: one, Between: max(0, one-m*(1-share)*math.Exp((m-1)*l))}, nil
}

// PartsForExtremes is the smallest number of readings whose smallest and largest
// hold the given share of all parts with confidence conf; oneSided, whose
// largest alone does.
//
// Errors: a share or a confidence outside (0, 1), more than MaxParts.
func PartsForExtremes(share, conf float64, oneSided bool) (int, error) {
	if err := checkTolerance(2, share, conf); err != nil {
		return 0, err
	}
	enough := func(n int) bool {
		e, err := ToleranceOfExtremes(n, share)
		return err == nil && (oneSided && e.Beyond >= conf || !oneSided && e.Between >= conf)
	}
	low, high := 1, 2
	for !enough(high) {
		if low, high = high, high*2; high > MaxParts {
			return 0, fmt.Errorf("it takes more than %d parts", MaxParts)
		}
	}
	for high-low > 1 {
		if mid := (low + high) / 2; enough(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high, nil
}

func checkTolerance(n int, share, conf float64) error {
	if err := checkConf(conf); err != nil {
		return err
	}
	if !(share > 0 && share < 1) {
		return fmt.Errorf("the share %g of all parts must lie between 0 and 1, for example 0.95", share)
	}
	if n < 2 {
		return fmt.Errorf("at least two readings are needed; there are %d", n)
	}
	return nil
}
