package stats

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// LeveneResult compares the spreads of groups by how far readings lie from the
// median of their group.
type LeveneResult struct {
	F        float64
	DF1, DF2 int // between the groups, within them
	P        float64
}

// LeveneMedian is Levene's test of equal spread with the median as the centre,
// the form of Brown and Forsythe (NIST/SEMATECH e-Handbook 1.3.5.10): the
// analysis of variance of |reading - median of its group|. It is far less
// misled by readings that are not normal than the F test. The centre matters:
// with means in the place of medians the handbook's own example is decided the
// other way.
//
// Errors: fewer than two groups, ErrTooFew for a group of one, ErrNoSpread when
// no distance differs from those of its group, an unusable reading.
func LeveneMedian(groups ...[]float64) (LeveneResult, error) {
	return levene(func(s Summary) float64 { return s.Median }, groups)
}

func levene(centre func(Summary) float64, groups [][]float64) (LeveneResult, error) {
	if len(groups) < 2 {
		return LeveneResult{}, fmt.Errorf("spreads are compared between two groups or more; there are %d", len(groups))
	}
	var distances [][]float64
	var all []float64
	for i, g := range groups {
		if len(g) < 2 {
			return LeveneResult{}, fmt.Errorf("group %d: %w", i+1, ErrTooFew)
		}
		s, err := Summarize(g)
		if err != nil {
			return LeveneResult{}, fmt.Errorf("group %d: %w", i+1, err)
		}
		d := make([]float64, len(g))
		for j, x := range g {
			d[j] = math.Abs(x - centre(s))
		}
		slices.Sort(d) // so that the order of the readings changes no bit
		distances, all = append(distances, d), append(all, d...)
	}
	slices.Sort(all)
	whole, err := Summarize(all)
	if err != nil {
		return LeveneResult{}, err
	}
	var between, within float64
	for _, d := range distances {
		s, err := Summarize(d)
		if err != nil {
			return LeveneResult{}, err
		}
		between += float64(s.N) * (s.Mean - whole.Mean) * (s.Mean - whole.Mean)
		within += float64(s.N-1) * s.SD * s.SD
	}
	if within <= 1e-24*whole.Max*whole.Max {
		return LeveneResult{}, ErrNoSpread
	}
	r := LeveneResult{DF1: len(groups) - 1, DF2: len(all) - len(groups)}
	r.F = (between / float64(r.DF1)) / (within / float64(r.DF2))
	r.P = 1
	if r.F > 0 {
		// The lower tail of the reciprocal keeps the digits of a small probability.
		r.P = distuv.F{D1: float64(r.DF2), D2: float64(r.DF1)}.CDF(1 / r.F)
	}
	return r, nil
}
