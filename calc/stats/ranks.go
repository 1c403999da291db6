package stats

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// RankResult compares two groups by the order of their readings alone.
type RankResult struct {
	U float64 // of all pairs of one before and one after, those with after higher; a tie counts half
	// Superior is U over all pairs: how often a reading after is higher than one
	// before; 0.5 when neither tends to be.
	Superior float64
	P        float64 // two-sided
	Less     float64 // one-sided: after as low as this or lower
	More     float64 // one-sided: after as high as this or higher
	Exact    bool    // else the normal approximation
	Ties     bool
}

// RankSum is the rank-sum test of Wilcoxon, Mann and Whitney. Equal readings
// share the mean of their ranks, and the probabilities are exact, conditional on
// the ties: every split of the readings seen into the two groups is equally
// likely when nothing changed, and the two-sided one counts splits whose rank
// sum lies as far from its middle as the one seen. Groups too large for that
// (about 100 + 100) get the normal approximation with the variance corrected for
// ties and with a continuity correction of a half (E. L. Lehmann,
// Nonparametrics, 1975, sections 1.4 and 1.5, from memory).
//
// Errors: ErrNoReadings, wrapped, for an empty group, an unusable reading.
func RankSum(before, after []float64) (RankResult, error) {
	for _, g := range []struct {
		name string
		x    []float64
	}{{"before", before}, {"after", after}} {
		if _, err := Summarize(g.x); err != nil {
			return RankResult{}, fmt.Errorf("%s: %w", g.name, err)
		}
	}
	all := slices.Concat(before, after)
	twice, tieTerm := twiceRanks(all)
	seen := 0
	for _, r := range twice[len(before):] {
		seen += r
	}
	nb, na, n := float64(len(before)), float64(len(after)), float64(len(all))
	r := RankResult{Ties: tieTerm > 0}
	r.U = (float64(seen) - na*(na+1)) / 2
	r.Superior = r.U / (nb * na)
	if ways, ok := chosen(twice, len(after)); ok {
		t := tailsOf(ways, seen, 2*na*(n+1))
		r.Less, r.More, r.P, r.Exact = t.less, t.more, t.two, true
		return r, nil
	}
	r.normal(nb, na, tieTerm)
	return r, nil
}

// normal fills in the normal approximation.
func (r *RankResult) normal(nb, na, tieTerm float64) {
	n := nb + na
	sd := math.Sqrt(nb * na / 12 * (n + 1 - tieTerm/(n*(n-1))))
	if sd == 0 {
		r.Less, r.More, r.P = 1, 1, 1
		return
	}
	off := r.U - nb*na/2
	lower := func(x float64) float64 { return distuv.UnitNormal.CDF(x / sd) }
	r.Less, r.More = lower(off+0.5), lower(-off+0.5)
	r.P = min(1, 2*lower(-math.Abs(off)+0.5))
}

// twiceRanks gives twice the rank of each value, so that shared ranks are whole,
// and the sum of t³ - t over groups of t equal values.
func twiceRanks(x []float64) (twice []int, tieTerm float64) {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		switch {
		case x[a] < x[b]:
			return -1
		case x[a] > x[b]:
			return 1
		}
		return 0
	})
	twice = make([]int, len(x))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && x[order[j]] == x[order[i]] {
			j++
		}
		for _, k := range order[i:j] {
			twice[k] = i + 1 + j
		}
		t := float64(j - i)
		tieTerm += t*t*t - t
		i = j
	}
	return twice, tieTerm
}

// SmallestRankP is the smallest two-sided probability that RankSum can give for
// groups of nb and na without ties: 2 over the number of splits. Three against
// three can never reach 5 %.
func SmallestRankP(nb, na int) float64 {
	if nb < 1 || na < 1 {
		return 1
	}
	return min(1, 2*math.Exp(-logChoose(nb+na, na)))
}

// SignedRank is the signed-rank test of Wilcoxon for the same pieces before and
// after, two-sided and exact: pairs without a difference are left out, equal
// sizes share the mean of their ranks, and every choice of signs is equally
// likely when nothing changed. pairs is how many were left in; p is 1 with none.
//
// Errors: groups of unequal length, more than 500 pairs, an unusable reading.
func SignedRank(before, after []float64) (p float64, pairs int, err error) {
	if _, _, err := summarizeBoth(before, after, 0.5); err != nil {
		return 0, 0, err
	}
	if _, err := differences(before, after); err != nil {
		return 0, 0, err
	}
	const most = 500
	if len(before) > most {
		return 0, 0, fmt.Errorf("%d pairs are more than the %d this can rank", len(before), most)
	}
	size := 0.0
	for i := range before {
		size = max(size, math.Abs(before[i]), math.Abs(after[i]))
	}
	var sizes []float64
	var up []bool
	for i := range before {
		if d := after[i] - before[i]; math.Abs(d) > 1e-12*size {
			// Differences that are equal but for binary rounding are ties.
			grain := 1e-9 * size
			sizes, up = append(sizes, math.Round(math.Abs(d)/grain)*grain), append(up, d > 0)
		}
	}
	if len(sizes) == 0 {
		return 1, 0, nil
	}
	twice, _ := twiceRanks(sizes)
	seen, all := 0, 0
	for i, r := range twice {
		all += r
		if up[i] {
			seen += r
		}
	}
	ways := make([]float64, all+1)
	ways[0] = 1
	for _, r := range twice {
		for s := all; s >= r; s-- {
			ways[s] += ways[s-r]
		}
		for s := range ways { // halved, so that 500 signs stay within range
			ways[s] /= 2
		}
	}
	return tailsOf(ways, seen, float64(all)).two, len(sizes), nil
}
