package stats

import (
	"math"
	"math/rand/v2"
	"slices"
)

const (
	// seed is fixed: the same readings give the same answer, on every day.
	seed = 19470928
	// maxSplits bounds what is counted one by one.
	maxSplits = 200_000
	draws     = 20_000
)

// PermutationResult is the permutation test of two means.
type PermutationResult struct {
	Difference float64 // mean after - mean before
	P          float64 // two-sided
	Exact      bool    // every split counted; else draws with a fixed seed
}

// Permutation asks how often the readings, dealt out by chance into groups of
// the same sizes, give means at least as far apart as those seen (R. A. Fisher,
// The Design of Experiments, 1935, section 21, from memory). It supposes nothing
// about the shape of the spread. step is one count of the gauge, 0 if not known:
// readings that are whole counts are counted exactly whatever their number.
// Splits too many to count are drawn, 20000 of them with a fixed seed, and the
// split seen counts as one of them.
//
// Errors: ErrTooFew, an unusable reading.
func Permutation(before, after []float64, step float64) (PermutationResult, error) {
	b, a, err := summarizeBoth(before, after, 0.5)
	if err != nil {
		return PermutationResult{}, err
	}
	r := PermutationResult{Difference: a.Mean - b.Mean, P: 1, Exact: true}
	all := slices.Concat(before, after)
	k, n := len(after), len(all)
	if whole, ok := onGrid(step, before, after); ok {
		scores := slices.Concat(whole[0], whole[1])
		seen, sum := 0, 0
		for i, s := range scores {
			sum += s
			if i >= len(before) {
				seen += s
			}
		}
		if ways, ok := chosen(scores, k); ok {
			r.P = tailsOf(ways, seen, 2*float64(sum)*float64(k)/float64(n)).two
			return r, nil
		}
	}
	whole, err := Summarize(all)
	if err != nil {
		return PermutationResult{}, err
	}
	seen := 0.0
	for _, x := range after {
		seen += x - whole.Mean
	}
	x := slices.Clone(all)
	slices.Sort(x)
	far := math.Abs(seen) - tie*float64(n)*(whole.Max-whole.Min)
	if logChoose(n, k) <= math.Log(maxSplits) {
		hits, total := 0, 0
		everySplit(n, k, func(pick []int) {
			sum := 0.0
			for _, i := range pick {
				sum += x[i] - whole.Mean
			}
			total++
			if math.Abs(sum) >= far {
				hits++
			}
		})
		r.P = float64(hits) / float64(total)
		return r, nil
	}
	r.Exact = false
	rng := rand.New(rand.NewPCG(seed, 1))
	hits := 0
	for range draws {
		sum := 0.0
		for i := range k { // the first k of a shuffle
			j := i + rng.IntN(n-i)
			x[i], x[j] = x[j], x[i]
			sum += x[i] - whole.Mean
		}
		if math.Abs(sum) >= far {
			hits++
		}
	}
	r.P = float64(hits+1) / (draws + 1)
	return r, nil
}

// everySplit calls do with every choice of k out of n, in order.
func everySplit(n, k int, do func([]int)) {
	pick := make([]int, k)
	for i := range pick {
		pick[i] = i
	}
	for {
		do(pick)
		i := k - 1
		for i >= 0 && pick[i] == n-k+i {
			i--
		}
		if i < 0 {
			return
		}
		pick[i]++
		for j := i + 1; j < k; j++ {
			pick[j] = pick[j-1] + 1
		}
	}
}

// BootstrapResult is a percentile interval of the difference of two means.
type BootstrapResult struct {
	Low, High float64
	SE        float64 // standard deviation of the resampled difference
	Exact     bool    // every resample counted; else draws with a fixed seed
}

// Bootstrap resamples both groups with replacement and gives the percentile
// interval of the difference mean after - mean before: the smallest values that
// a share (1-conf)/2, and 1-(1-conf)/2, of the resamples do not exceed (B. Efron
// and R. Tibshirani, An Introduction to the Bootstrap, 1993, chapter 13, from
// memory). With a handful of readings it is too narrow: its variance lacks the
// factor n/(n-1). step as for Permutation: whole counts are enumerated, so that
// there is no random error at all.
//
// Errors: ErrTooFew, a confidence outside (0, 1), an unusable reading.
func Bootstrap(before, after []float64, step, conf float64) (BootstrapResult, error) {
	b, a, err := summarizeBoth(before, after, conf)
	if err != nil {
		return BootstrapResult{}, err
	}
	variance := func(s Summary) float64 { n := float64(s.N); return s.SD * s.SD * (n - 1) / (n * n) }
	r := BootstrapResult{SE: math.Sqrt(variance(b) + variance(a)), Exact: true}
	tail := (1 - conf) / 2
	if whole, ok := onGrid(step, before, after); ok {
		if low, high, ok := enumerate(whole[0], whole[1], tail); ok {
			scale := step / (float64(b.N) * float64(a.N))
			r.Low, r.High = float64(low)*scale, float64(high)*scale
			return r, nil
		}
	}
	r.Exact = false
	rng := rand.New(rand.NewPCG(seed, 2))
	mean := func(x []float64, s Summary) float64 {
		sum := 0.0
		for range x {
			sum += x[rng.IntN(len(x))] - s.Mean
		}
		return sum / float64(len(x))
	}
	x, y := slices.Clone(before), slices.Clone(after)
	slices.Sort(x)
	slices.Sort(y)
	diffs := make([]float64, draws)
	for i := range diffs {
		diffs[i] = mean(y, a) - mean(x, b) + (a.Mean - b.Mean)
	}
	slices.Sort(diffs)
	at := func(p float64) float64 { return diffs[min(draws-1, max(0, int(math.Ceil(p*draws-1e-9))-1))] }
	r.Low, r.High = at(tail), at(1-tail)
	return r, nil
}

// enumerate gives the two percentiles of the resampled difference in steps of
// 1/(nb·na) of a count; false if there are too many resamples to go through.
func enumerate(before, after []int, tail float64) (low, high int, ok bool) {
	nb, na := len(before), len(after)
	sb, sa := slices.Max(before)*nb, slices.Max(after)*na
	if float64(sb+1)*float64(sa+1) > maxWork/60 || float64(nb)*float64(nb)*float64(sb+1) > maxWork || float64(na)*float64(na)*float64(sa+1) > maxWork {
		return 0, 0, false
	}
	pb, pa := resampled(before, sb), resampled(after, sa)
	type point struct {
		at int
		p  float64
	}
	points := make([]point, 0, len(pb)*len(pa))
	for i, p := range pb {
		for j, q := range pa {
			if p*q > 0 {
				points = append(points, point{j*nb - i*na, p * q})
			}
		}
	}
	slices.SortFunc(points, func(a, b point) int { return a.at - b.at })
	low, high = points[0].at, points[len(points)-1].at
	var sum float64
	gotLow := false
	for i, p := range points {
		sum += p.p
		if i+1 < len(points) && points[i+1].at == p.at {
			continue
		}
		if !gotLow && sum >= tail*(1-tie) {
			low, gotLow = p.at, true
		}
		if sum >= (1-tail)*(1-tie) {
			return low, p.at, true
		}
	}
	return low, high, true
}

// resampled is the distribution of the sum of as many draws with replacement as
// there are values.
func resampled(values []int, most int) []float64 {
	p := make([]float64, most+1)
	p[0] = 1
	share := 1 / float64(len(values))
	for range values {
		next := make([]float64, most+1)
		for s, w := range p {
			if w == 0 {
				continue
			}
			for _, v := range values {
				next[s+v] += w * share
			}
		}
		p = next
	}
	return p
}
