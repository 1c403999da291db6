package stats

import (
	"fmt"
	"math"
)

// Paired compares the means of the same pieces before and after: the mean of
// the differences after - before, interval ± t·sd/sqrt(n) with n-1 degrees of
// freedom (Student's paired comparison; Vardeman and Jobe, Basic Engineering
// Data Collection and Analysis, section on paired differences). What differs
// from piece to piece drops out.
//
// Errors: groups of unequal length, ErrTooFew, ErrNoSpread when all differences
// are equal, a confidence outside (0, 1), an unusable reading.
func Paired(before, after []float64, conf float64) (WelchResult, error) {
	if _, _, err := summarizeBoth(before, after, conf); err != nil {
		return WelchResult{}, err
	}
	d, err := differences(before, after)
	if err != nil {
		return WelchResult{}, err
	}
	return ofPairs(d, conf)
}

// differences summarises after - before, piece by piece.
func differences(before, after []float64) (Summary, error) {
	if len(before) != len(after) {
		return Summary{}, fmt.Errorf("pairs need as many readings before as after; there are %d and %d", len(before), len(after))
	}
	d := make([]float64, len(before))
	size := 0.0
	for i := range before {
		d[i] = after[i] - before[i]
		size = max(size, math.Abs(before[i]), math.Abs(after[i]))
	}
	s, err := Summarize(d)
	// Differences that are equal but for binary rounding do not vary.
	if s.SD <= 1e-12*size {
		s.SD = 0
	}
	return s, err
}

func ofPairs(d Summary, conf float64) (WelchResult, error) {
	if d.SD == 0 {
		return WelchResult{}, ErrNoSpread
	}
	r := WelchResult{Difference: d.Mean, U: d.SD / math.Sqrt(float64(d.N)), DF: float64(d.N - 1)}
	r.T = r.Difference / r.U
	r.P = min(1, 2*studentsT(r.DF).CDF(-math.Abs(r.T)))
	half := tFactor(conf, r.DF) * r.U
	r.Low, r.High = r.Difference-half, r.Difference+half
	return r, nil
}

// pairFloor is the resolution floor of pairs. Rounding acts as noise while the
// pieces vary enough to fall anywhere in a count, before and after; it is kept
// whole where they do not, and where the differences themselves vary less than
// MinSpreadCounts.
func pairFloor(before, after, d Summary, countBefore, countAfter float64) Floor {
	f := floorOf(before, after, countBefore, countAfter, d.SD*d.SD/float64(d.N))
	if !f.Used && variesTooLittle(d, max(countBefore, countAfter)) {
		f.Used, f.Cause = true, FloorPairs
	}
	return f
}

// ComparePaired is Compare for the same pieces before and after, in the same
// order: the interval is that of the mean difference of the pairs (see Paired),
// the floor keeps rounding whole where the pieces or their differences vary too
// little for it to average out, and the verdicts are those of Compare.
//
// Errors: as Compare, and groups of unequal length.
func ComparePaired(before, after Sample, conf float64) (Comparison, error) {
	if len(before.Values) != len(after.Values) {
		_, err := differences(before.Values, after.Values)
		return Comparison{}, err
	}
	return compare(before, after, conf, true)
}
