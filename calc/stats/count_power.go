package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// CountPower is how often Fisher's exact test shows a change of the share of bad
// parts from before to after, with nb and na parts, two-sided: the sum over all
// counts that it calls shown.
//
// Errors: shares outside 0 … 1, no parts, more than 2000 on a side, a confidence
// outside (0, 1).
func CountPower(before, after float64, nb, na int, conf float64) (float64, error) {
	const most = 2000
	if err := checkConf(conf); err != nil {
		return 0, err
	}
	if !(before >= 0 && before <= 1 && after >= 0 && after <= 1) {
		return 0, fmt.Errorf("the shares %g and %g must lie between 0 and 1", before, after)
	}
	if nb < 1 || na < 1 || nb > most || na > most {
		return 0, fmt.Errorf("%d and %d parts: type numbers from 1 to %d", nb, na, most)
	}
	pb, pa := binomial(nb, before), binomial(na, after)
	var power float64
	for bad := range nb + na + 1 {
		low, high := max(0, bad-nb), min(bad, na)
		var seen float64 // chance of so many bad parts in all
		for k := low; k <= high; k++ {
			seen += pb[bad-k] * pa[k]
		}
		if seen < 1e-12 {
			continue
		}
		chance := splits(nb, na, bad)
		// Splits from the least likely on are shown while their sum allows it;
		// the least likely ones stand at the two ends.
		l, h := 0, len(chance)-1
		var sum float64
		for l <= h {
			least := min(chance[l], chance[h])
			var here, of float64
			i, j := l, h
			for i <= j && chance[i] <= least*(1+1e-7) {
				here, of = here+chance[i], of+pb[bad-low-i]*pa[low+i]
				i++
			}
			for j >= i && chance[j] <= least*(1+1e-7) {
				here, of = here+chance[j], of+pb[bad-low-j]*pa[low+j]
				j--
			}
			if sum += here; sum > (1-conf)*(1+tie) {
				break
			}
			power += of
			l, h = i, j
		}
	}
	return min(1, power), nil
}

// CountPartsNeeded is the smallest number of parts on each side, from which on
// ten numbers in a row show the change of a share with the power given: the
// power of an exact test rises in steps and falls between them. It is 0 if that
// takes more than most.
//
// Errors: as CountPower; equal shares, a power outside (0, 1).
func CountPartsNeeded(before, after, power, conf float64, most int) (int, error) {
	if !(power > 0 && power < 1) {
		return 0, fmt.Errorf("the power %g must lie between 0 and 1, for example 0.8", power)
	}
	if before == after {
		return 0, fmt.Errorf("no number of parts shows a difference of two equal shares")
	}
	if _, err := CountPower(before, after, 1, 1, conf); err != nil {
		return 0, err
	}
	// The normal approximation is lower than what the exact test needs.
	z := zFactor(conf) + distuv.UnitNormal.Quantile(power)
	d := after - before
	first := int(0.7 * z * z * (before*(1-before) + after*(1-after)) / (d * d))
	const row = 10
	run := 0
	for n := max(2, first); n <= most; n++ {
		p, err := CountPower(before, after, n, n, conf)
		if err != nil {
			return 0, err
		}
		if p < power {
			run = 0
			continue
		}
		if run++; run == row {
			return n - row + 1, nil
		}
	}
	return 0, nil
}

// splits are the chances of each split of bad parts, from the fewest after on.
func splits(nb, na, bad int) []float64 {
	low, high := max(0, bad-nb), min(bad, na)
	out := make([]float64, high-low+1)
	all := logChoose(nb+na, bad)
	for i := range out {
		out[i] = math.Exp(logChoose(na, low+i) + logChoose(nb, bad-low-i) - all)
	}
	return out
}

func binomial(n int, p float64) []float64 {
	out := make([]float64, n+1)
	switch p {
	case 0:
		out[0] = 1
		return out
	case 1:
		out[n] = 1
		return out
	}
	for k := range out {
		out[k] = math.Exp(logChoose(n, k) + float64(k)*math.Log(p) + float64(n-k)*math.Log1p(-p))
	}
	return out
}
