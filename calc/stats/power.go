package stats

import (
	"fmt"
	"math"
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
	far := math.Abs(shift) / s / math.Sqrt(1/float64(nb)+1/float64(na))
	return beyond(far, float64(nb+na-2), conf), nil
}

// PairPower is Power for the same pieces before and after: s is the standard
// deviation of their differences, with pairs - 1 degrees of freedom and the
// noncentrality shift / (s/sqrt(pairs)).
//
// Errors: as Power, fewer than two pairs.
func PairPower(shift, s float64, pairs int, conf float64) (float64, error) {
	// Checked as two groups are.
	if _, err := Power(shift, s, pairs, pairs, conf); err != nil {
		return 0, err
	}
	return beyond(math.Abs(shift)/s*math.Sqrt(float64(pairs)), float64(pairs-1), conf), nil
}

// beyond is the share of the noncentral t distribution outside ±t.
func beyond(shift, df, conf float64) float64 {
	t := tFactor(conf, df)
	if shift > t+40 && df > 4 {
		return 1
	}
	return max(0, min(1, 1-noncentralT(t, df, shift)+noncentralT(-t, df, shift)))
}

// Plan is a way to compare: as many parts before as after, or the same pieces
// twice.
type Plan string

// The plans.
const (
	TwoGroups Plan = "two groups"
	Pairs     Plan = "pairs"
)

func (p Plan) power(shift, s float64, n int, conf float64) (float64, error) {
	if p == Pairs {
		return PairPower(shift, s, n, conf)
	}
	return Power(shift, s, n, n, conf)
}

// SmallestShift returns the smallest change of a mean, in the unit of s, that n
// readings before and n after show with the power given, when the part-to-part
// standard deviation is s (of Pairs, that of the differences) and the test is
// two-sided at 5 %: the root of Power. The textbook's short form for two groups,
// (t(0.975) + t(power))·s·sqrt(2/n), is, at 80 %, 5 % lower at n = 2, 1.2 % at 3
// and the same to 0.2 % from n = 5 on.
//
// Errors: n < 2, s negative or not a number, a power below 0.1 or not below 1.
func (p Plan) SmallestShift(n int, s, power float64) (float64, error) {
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
		is, err := p.power(shift, 1, n, 0.95)
		if err != nil {
			return -1
		}
		return is - power
	}
	high := 1.0
	for lacks(high) < 0 && high < 1e9 {
		high *= 2
	}
	return s * root(lacks, 0, high), nil
}

// SmallestShift is that of two groups.
func SmallestShift(n int, s, power float64) (float64, error) {
	return TwoGroups.SmallestShift(n, s, power)
}

// PartsNeeded is the smallest number of readings on each side that shows a
// change of the mean by shift with the power given. It is 0 if that takes more
// than most.
//
// Errors: as Power; a shift of 0, a power outside (0, 1).
func (p Plan) PartsNeeded(shift, s, power, conf float64, most int) (int, error) {
	if !(power > 0 && power < 1) {
		return 0, fmt.Errorf("the power %g must lie between 0 and 1, for example 0.8", power)
	}
	if shift == 0 {
		return 0, fmt.Errorf("no number of parts shows a change of 0")
	}
	if _, err := p.power(shift, s, 2, conf); err != nil {
		return 0, err
	}
	enough := func(n int) bool {
		is, err := p.power(shift, s, n, conf)
		return err == nil && is >= power*(1-tie)
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

// PartsNeeded is that of two groups.
func PartsNeeded(shift, s, power, conf float64, most int) (int, error) {
	return TwoGroups.PartsNeeded(shift, s, power, conf, most)
}
