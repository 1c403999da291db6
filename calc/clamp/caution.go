package clamp

import (
	"fmt"
	"math"
)

// Caution is a usual caution that belongs to a result. The list is a reminder
// and not complete.
type Caution struct {
	Topic  string
	Text   string
	Source string
}

func cautions(safety, understated float64, locs, clamps []Contact) []Caution {
	return []Caution{
		{"lower bound", "with friction the forces are not determined: that a balance exists does not mean that the part finds it, and chatter, oil and springing parts take friction away; the forces given are the least that could do, not enough", "statics of frictional contact"},
		{"numbers used", fmt.Sprintf("friction %s at the locators and %s at the clamps, safety factor %g on the loads, friction counted up to %.2g %% too small by the polygon", friction(locs), friction(clamps), safety, 100*understated), "as given"},
		{"stop", "a solid stop in the way of the cut is better than friction", "common practice"},
		{"drill", "a drill that breaks through pulls the part up and turns it: that case usually sets the clamp, not full thrust", "common practice"},
		{"who decides", "what clamp, screw and part can bear is for their makers' figures; local rules and the responsible person decide whether a set-up may run; stand clear of the line of the cut on a first part", "common practice"},
	}
}

// friction is the range of coefficients.
func friction(cs []Contact) string {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, c := range cs {
		lo, hi = min(lo, c.Mu), max(hi, c.Mu)
	}
	switch {
	case len(cs) == 0:
		return "(none)"
	case lo == hi:
		return fmt.Sprintf("%g", lo)
	}
	return fmt.Sprintf("%g to %g", lo, hi)
}
