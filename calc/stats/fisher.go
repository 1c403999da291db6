package stats

import "math"

// MaxParts bounds the counts FisherExact takes.
const MaxParts = 1_000_000

// FisherResult holds the probabilities of Fisher's exact test: with as many bad
// parts in all, and no true change, how often chance alone deals them out so.
type FisherResult struct {
	Fewer    float64 // as few bad parts after, or fewer
	More     float64 // as many bad parts after, or more
	TwoSided float64 // every split no more likely than the one seen
}

// FisherExact compares bad parts out of all parts before and after a change
// (Fisher 1935; hypergeometric distribution). The two-sided value sums every
// split that is no more likely than the one seen; splits equally likely but for
// rounding (1e-7) count, as general statistics programs do.
//
// Errors: no parts on a side, more bad than parts, negative counts, more than
// MaxParts.
func FisherExact(badBefore, nBefore, badAfter, nAfter int) (FisherResult, error) {
	if err := checkCount("before", badBefore, nBefore); err != nil {
		return FisherResult{}, err
	}
	if err := checkCount("after", badAfter, nAfter); err != nil {
		return FisherResult{}, err
	}
	bad := badBefore + badAfter
	chance := splits(nBefore, nAfter, bad)
	first := max(0, bad-nBefore)
	seen := chance[badAfter-first]
	var r FisherResult
	for i, p := range chance {
		if first+i <= badAfter {
			r.Fewer += p
		}
		if first+i >= badAfter {
			r.More += p
		}
		if p <= seen*(1+1e-7) {
			r.TwoSided += p
		}
	}
	r.Fewer, r.More, r.TwoSided = min(r.Fewer, 1), min(r.More, 1), min(r.TwoSided, 1)
	return r, nil
}

func logChoose(n, k int) float64 {
	lg := func(m int) float64 { v, _ := math.Lgamma(float64(m) + 1); return v }
	return lg(n) - lg(k) - lg(n-k)
}
