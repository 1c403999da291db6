package stats

import "fmt"

// TouchGrades is how many grades a reading by touch has: 0 not felt, 1 felt,
// 2 catches a nail.
const TouchGrades = 3

// TouchResult compares readings by touch.
type TouchResult struct {
	Before, After [TouchGrades]int // how many of each grade
	Rank          RankResult
	// Felt is the change of the share that is felt at all, with Newcombe's
	// interval.
	Felt    float64
	FeltIn  Interval
	Verdict Verdict
	Reason  Reason
}

// CompareTouch compares readings by touch, which have an order and no distance:
// 2 is worse than 1, not twice as bad. So no mean is taken; the verdict is that
// of the exact rank-sum test at the confidence given. Lower after is better.
//   - CannotTell, TooFew: so few that even the most unlike readings would not be
//     shown, such as three against three at 95 %.
//   - Shown, ExcludesZero, and NotShown, IncludesZero, by the two-sided
//     probability.
//
// Errors: a grade that is not 0, 1 or 2, a group without readings, a confidence
// outside (0, 1).
func CompareTouch(before, after []int, conf float64) (TouchResult, error) {
	if err := checkConf(conf); err != nil {
		return TouchResult{}, err
	}
	var r TouchResult
	values := make([][]float64, 2)
	for i, side := range []struct {
		name   string
		grades []int
		n      *[TouchGrades]int
	}{{"before", before, &r.Before}, {"after", after, &r.After}} {
		for j, g := range side.grades {
			if g < 0 || g >= TouchGrades {
				return TouchResult{}, fmt.Errorf("%s: reading %d, %d, is no grade of touch: 0 not felt, 1 felt, 2 catches a nail", side.name, j+1, g)
			}
			side.n[g]++
			values[i] = append(values[i], float64(g))
		}
	}
	var err error
	if r.Rank, err = RankSum(values[0], values[1]); err != nil {
		return TouchResult{}, err
	}
	nb, na := len(before), len(after)
	if r.Felt, r.FeltIn, err = ShareDifference(nb-r.Before[0], nb, na-r.After[0], na, conf); err != nil {
		return TouchResult{}, err
	}
	level := (1 - conf) * (1 + tie)
	switch {
	case SmallestRankP(nb, na) > level:
		r.Verdict, r.Reason = CannotTell, TooFew
	case r.Rank.P <= level:
		r.Verdict, r.Reason = Shown, ExcludesZero
	default:
		r.Verdict, r.Reason = NotShown, IncludesZero
	}
	return r, nil
}
