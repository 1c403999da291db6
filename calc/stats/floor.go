package stats

import "math"

// MinSpreadCounts is the standard deviation of readings, in counts, under which
// rounding no longer acts as ordinary noise: below it a much smaller true spread
// may hide and averaging does not help. A true spread of 0.5 count shows as 0.57
// to 0.58, one of 0.3 count as anything from 0.31 to 0.50, while from 0.6 on
// rounding biases a mean by less than 0.0003 count (computed; see the table of
// rounding in testdata/statistics/real_and_edge_cases.json).
const MinSpreadCounts = 0.6

// FloorCause says why the resolution floor was or was not used.
type FloorCause string

const (
	FloorNotNeeded    FloorCause = "both groups vary enough"
	FloorNoResolution FloorCause = "no resolution stated"
	FloorBefore       FloorCause = "before varies too little"
	FloorAfter        FloorCause = "after varies too little"
	FloorBoth         FloorCause = "both vary too little"
	FloorPairs        FloorCause = "the differences of the pairs vary too little"
)

// Floor is the smallest difference of two means that the gauge's resolution lets
// anyone claim. U, Limit and Alone are in the unit of the readings.
type Floor struct {
	Used  bool
	Cause FloorCause
	U     float64 // sqrt(sb²/nb + sa²/na + countb²/12 + counta²/12)
	Limit float64 // 2·U
	Alone float64 // 2·sqrt(countb²/12 + counta²/12): what no number of readings lowers
}

// ResolutionFloor computes the floor for two groups and the counts (resolution)
// of the gauges they were read with; 0 means not stated.
//
// A reading rounded to a count carries the rectangular standard uncertainty
// count/√12 (JCGM 100, F.2.2.1, from memory). While the readings vary by at
// least MinSpreadCounts in both groups, that is already in their spread, shrinks
// with √n and must not be added again: the floor is not used. Otherwise it is
// added once for each mean, undivided by √n.
func ResolutionFloor(before, after Summary, countBefore, countAfter float64) Floor {
	u2 := 0.0
	for _, s := range []Summary{before, after} {
		if s.N > 0 {
			u2 += s.SD * s.SD / float64(s.N)
		}
	}
	return floorOf(before, after, countBefore, countAfter, u2)
}

// floorOf is the floor for a difference with the variance u2 from scatter.
func floorOf(before, after Summary, countBefore, countAfter, u2 float64) Floor {
	rounding := (countBefore*countBefore + countAfter*countAfter) / 12
	f := Floor{U: math.Sqrt(u2 + rounding), Alone: 2 * math.Sqrt(rounding)}
	f.Limit = 2 * f.U
	lowB, lowA := variesTooLittle(before, countBefore), variesTooLittle(after, countAfter)
	switch {
	case lowB && lowA:
		f.Used, f.Cause = true, FloorBoth
	case lowB:
		f.Used, f.Cause = true, FloorBefore
	case lowA:
		f.Used, f.Cause = true, FloorAfter
	case countBefore == 0 && countAfter == 0:
		f.Cause = FloorNoResolution
	default:
		f.Cause = FloorNotNeeded
	}
	return f
}

func variesTooLittle(s Summary, count float64) bool {
	return count > 0 && s.SD < MinSpreadCounts*count*(1+tie)
}
