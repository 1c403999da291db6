package study

import (
	"math"

	"tenths/calc/stats"
)

// How many parts on each side carry a claim (common practice): five for a
// level, ten for a spread, thirty without a bad one for "fewer than one in ten".
// A shift of five times the part-to-part spread shows with three.
const (
	levelParts  = 5
	spreadParts = 10
	countParts  = 30
	strongShift = 5
	strongParts = 3
)

// Parts says how many parts a comparison rests on, and how many it should.
type Parts struct {
	Before, After, Least int
	// Few is set if there are fewer than Least on a side and the shift is not so
	// large that fewer do.
	Few bool
	// Counted is set for counted evidence; Bad is then the largest share of bad
	// parts that the parts after leave possible, 0 to 1, if none of them was bad.
	Counted bool
	Bad     float64
	// Reach lacks what it sees and needs unless Few is set.
	Reach Reach
}

// Parts says whether the readings of a comparison are enough for its claim. It
// is false if one side has none.
func (s *Set) Parts(ev *Evidence) (Parts, bool) {
	if ev.Before == nil || ev.After == nil || ev.Problem != "" {
		return Parts{}, false
	}
	if !ev.Before.HasNumbers() || !ev.After.HasNumbers() {
		return ev.countedParts()
	}
	p := Parts{Before: ev.Before.N(), After: ev.After.N(), Least: levelParts, Reach: s.spreadFor(ev)}
	for _, pt := range ev.Points {
		if ev.PerPoint { // the parts that were read at every point that is judged
			p.Before, p.After = min(p.Before, len(pt.Before)), min(p.After, len(pt.After))
		}
	}
	if ev.Claim == "spread" {
		p.Least = spreadParts
	}
	least := min(p.Before, p.After)
	p.Few = least < p.Least && (ev.Claim == "spread" || least < strongParts || !ev.strong(p.Reach.SD))
	if p.Few {
		p.Reach = s.Reach(ev)
	}
	return p, true
}

// strong reports whether the shift is so large against the part-to-part spread,
// or one count of the gauge if nothing varies, that few parts show it.
func (ev *Evidence) strong(sd float64) bool {
	sd = max(sd, ev.C.Count/2)
	shift := math.Abs(ev.C.Difference)
	for _, p := range ev.Points {
		if ev.PerPoint {
			shift, sd = max(shift, math.Abs(p.C.Difference)), max(sd, p.C.Count/2)
		}
	}
	return sd > 0 && shift >= strongShift*sd
}

func (ev *Evidence) countedParts() (Parts, bool) {
	if !ev.HasCounts {
		return Parts{}, false
	}
	p := Parts{Before: ev.Before.Count.Of, After: ev.After.Count.Of, Least: countParts, Counted: true}
	p.Few = p.After < countParts && ev.After.Count.Hit == 0 && ev.Effect == NotShown
	if share, err := stats.NoneBad(p.After, Confidence); err == nil {
		p.Bad = share
	}
	return p, true
}
