package stats

import (
	"math"
	"slices"
)

// maxWork bounds the steps of an exact distribution: about a tenth of a second.
const maxWork = 60_000_000

// chosen gives, for every split of whole-number scores into k chosen ones and
// the rest, in how many splits the chosen ones sum to each number: ways[s] for
// the sum s. All splits are equally likely when nothing changed. It is false if
// that takes more than maxWork steps.
func chosen(scores []int, k int) (ways []float64, ok bool) {
	top := slices.Clone(scores)
	slices.Sort(top)
	most := 0
	for _, s := range top[len(top)-k:] {
		most += s
	}
	if float64(len(scores))*float64(k)*float64(most+1) > maxWork {
		return nil, false
	}
	table := make([][]float64, k+1)
	for j := range table {
		table[j] = make([]float64, most+1)
	}
	table[0][0] = 1
	for i, s := range top {
		for j := min(i+1, k); j >= 1; j-- {
			from, to := table[j-1], table[j]
			for sum := most - s; sum >= 0; sum-- {
				to[sum+s] += from[sum]
			}
		}
	}
	return table[k], true
}

// tails are the shares of splits whose sum is at most, at least, and at least as
// far from the middle as the sum seen. twiceMiddle is twice the expected sum, so
// that a half is compared exactly.
type tails struct{ less, more, two float64 }

func tailsOf(ways []float64, seen int, twiceMiddle float64) tails {
	var t tails
	var all float64
	far := math.Abs(2*float64(seen) - twiceMiddle)
	for s, w := range ways {
		all += w
		if s <= seen {
			t.less += w
		}
		if s >= seen {
			t.more += w
		}
		if math.Abs(2*float64(s)-twiceMiddle) >= far-1e-6 {
			t.two += w
		}
	}
	return tails{min(1, t.less/all), min(1, t.more/all), min(1, t.two/all)}
}

// onGrid gives readings as whole numbers of steps above the lowest of them;
// false if there is no step or one lies off the grid.
func onGrid(step float64, groups ...[]float64) ([][]int, bool) {
	if step <= 0 {
		return nil, false
	}
	low := math.Inf(1)
	for _, g := range groups {
		low = min(low, slices.Min(g))
	}
	out := make([][]int, len(groups))
	for i, g := range groups {
		for _, x := range g {
			n := (x - low) / step
			whole := math.Round(n)
			if math.Abs(n-whole) > 1e-4 || whole > 1e6 {
				return nil, false
			}
			out[i] = append(out[i], int(whole))
		}
	}
	return out, true
}
