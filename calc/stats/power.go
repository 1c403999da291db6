package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// UsualPower is how often a change is to be shown when it is there: four cases
// of five (common practice).
const UsualPower = 0.80

// Power is how often nb readings before and na after show a change of the mean
// by shift, two-sided at the confidence given, when the standard deviation from
// part to part is s on both sides: exact, by the noncentral t distribution with
// nb + na - 2 degrees of freedom and the noncentrality
// shift / (s·sqrt(1/nb + 1/na)) (J. Cohen, Statistical Power Analysis, 2nd ed.
// 1988, chapter 2, from memory). It is that of the pooled comparison; Welch's
// loses a little where the groups are unequal.
//
// Errors: fewer than two on a side, s not above 0, a shift that is not a usable
// number, a confidence outside (0, 1).
func Power(shift, s float64, nb, na int, conf float64) (float64, error) {
	if err := checkConf(conf); err != nil {
		return 0, err
	}
	if nb < 2 || na < 2 {
		return 0, fmt.Errorf("%w: there are %d before and %d after", ErrTooFew, nb, na)
	}
	if err := checkSD(s); err != nil {
		return 0, err
	}
	if s == 0 {
		return 0, ErrNoSpread
	}
	if !(math.Abs(shift) <= 1e100) {
		return 0, fmt.Errorf("the shift %g is not a usable number", shift)
	}
	df := float64(nb + na - 2)
	far := math.Abs(shift) / s / math.Sqrt(1/float64(nb)+1/float64(na))
	t := tFactor(conf, df)
	if far > t+40 {
		return 1, nil
	}
	return max(0, min(1, 1-noncentralT(t, df, far)+noncentralT(-t, df, far))), nil
}

// SmallestShift returns the smallest change of a mean, in the unit of s, that n
// readings before and n after show with the power given, when the part-to-part
// standard deviation is s and the test is two-sided at 5 %: the root of Power.
// The textbook's short form (t(0.975) + t(power))·s·sqrt(2/n) is, at 80 %, 5 %
// lower at n = 2, 1.2 % at 3 and the same to 0.2 % from n = 5 on.
//
// Errors: n < 2, s negative or not a number, a power below 0.1 or not below 1.
func SmallestShift(n int, s, power float64) (float64, error) {
	if n < 2 {
		return 0, fmt.Errorf("%w: n is %d", ErrTooFew, n)
	}
	if err := checkSD(s); err != nil {
		return 0, err
	}
	if !(power >= 0.1 && power < 1) {
		return 0, fmt.Errorf("the power %g must lie between 0.1 and 1, for example 0.8", power)
	}
	lacks := func(shift float64) float64 {
		p, err := Power(shift, 1, n, n, 0.95)
		if err != nil {
			return -1
		}
		return p - power
	}
	t := tFactor(0.95, float64(2*n-2)) * math.Sqrt(2/float64(n))
	high := 2 * t
	for lacks(high) < 0 && high < 1e9 {
		high *= 2
	}
	return s * root(lacks, 0, high), nil
}

// PartsNeeded is the smallest number of readings on each side that shows a
// change of the mean by shift with the power given. It is 0 if that takes more
// than most.
//
// Errors: as Power; a shift of 0, a power outside (0, 1).
func PartsNeeded(shift, s, power, conf float64, most int) (int, error) {
	if !(power > 0 && power < 1) {
		return 0, fmt.Errorf("the power %g must lie between 0 and 1, for example 0.8", power)
	}
	if shift == 0 {
		return 0, fmt.Errorf("no number of parts shows a change of 0")
	}
	if _, err := Power(shift, s, 2, 2, conf); err != nil {
		return 0, err
	}
	enough := func(n int) bool {
		p, err := Power(shift, s, n, n, conf)
		return err == nil && p >= power*(1-tie)
	}
	low, high := 1, 2
	for high <= most && !enough(high) {
		low, high = high, high*2
	}
	if high > most {
		if high = most; high < 2 || !enough(high) {
			return 0, nil
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
