package stats

import (
	"fmt"
	"math"
)

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
	for _, s := range []struct {
		name   string
		bad, n int
	}{{"before", badBefore, nBefore}, {"after", badAfter, nAfter}} {
		switch {
		case s.n < 1:
			return FisherResult{}, fmt.Errorf("%s: at least one part is needed; there are %d", s.name, s.n)
		case s.bad < 0 || s.bad > s.n:
			return FisherResult{}, fmt.Errorf("%s: %d bad of %d parts is not possible", s.name, s.bad, s.n)
		case s.n > MaxParts:
			return FisherResult{}, fmt.Errorf("%s: %d parts is more than the %d this can count", s.name, s.n, MaxParts)
		}
	}
	bad := badBefore + badAfter
	chance := func(after int) float64 {
		return math.Exp(logChoose(nAfter, after) + logChoose(nBefore, bad-after) - logChoose(nBefore+nAfter, bad))
	}
	seen := chance(badAfter)
	var r FisherResult
	for k := max(0, bad-nBefore); k <= min(bad, nAfter); k++ {
		p := chance(k)
		if k <= badAfter {
			r.Fewer += p
		}
		if k >= badAfter {
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
