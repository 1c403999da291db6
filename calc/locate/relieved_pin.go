package locate

import (
	"fmt"
	"math"
)

// Reach returns the exact one-sided reach e (mm) of a relieved pin along its
// relief axis: how far the hole centre can leave the pin centre in that
// direction with no sideways offset. D is the hole diameter, d the diameter of
// the pin circle, w the land width, all in mm.
//
//	e = (-w + sqrt(w² + D² - d²)) / 2
//
// from (e + w/2)² + h² = D²/4 for the land corner at height h, with
// h² = (d² - w²)/4. A full land w = d gives the radial clearance (D-d)/2.
//
// Errors: a size that is not positive, d > D, w > d.
func Reach(D, d, w float64) (e float64, err error) {
	if err := checkFit(D, d); err != nil {
		return 0, err
	}
	if err := checkLand(w, d); err != nil {
		return 0, err
	}
	return reach(D/2, d/2, w), nil
}

// reach in terms of radii, written as a quotient so that a small clearance
// does not cancel: e = 2(rho²-r²)/(w + sqrt(w² + 4(rho²-r²))).
func reach(rho, r, w float64) float64 {
	k := (rho - r) * (rho + r)
	if k <= 0 {
		return 0
	}
	return 2 * k / (w + math.Sqrt(w*w+4*k))
}

// PinFor returns the largest diameter (mm) of a relieved pin with land w that
// reaches e in a hole D: d = sqrt(D² - 4e(e+w)), the inverse of Reach.
//
// Errors: D or w not positive, e negative, and a reach so large that the pin
// would be narrower than its own land.
func PinFor(D, e, w float64) (d float64, err error) {
	if !finite(D) || D <= 0 {
		return 0, fmt.Errorf("the hole diameter %g mm must be more than zero", D)
	}
	if !finite(w) || w <= 0 {
		return 0, fmt.Errorf("the land %g mm must be more than zero", w)
	}
	if !finite(e) || e < 0 {
		return 0, fmt.Errorf("the reach %g mm must not be negative", e)
	}
	k := D*D - 4*e*(e+w)
	if k < w*w*(1-1e-12) { // rounding only: w = d is a full land
		return 0, fmt.Errorf("no pin with a land of %g mm reaches %g mm in a hole of %g mm: it would be narrower than its land", w, e, D)
	}
	return max(math.Sqrt(k), w), nil
}

// LandFor returns the widest land (mm) with which a pin of diameter d in a hole
// D reaches e: w = (D² - d²)/(4e) - e, the inverse of Reach. A reach that even
// the round pin has, e <= (D-d)/2, gives d: no relief is needed.
//
// Errors: a size that is not positive, d > D, e negative, and a reach that even
// a knife edge, sqrt(D²-d²)/2, would not give.
func LandFor(D, d, e float64) (w float64, err error) {
	if err := checkFit(D, d); err != nil {
		return 0, err
	}
	if !finite(e) || e < 0 {
		return 0, fmt.Errorf("the reach %g mm must not be negative", e)
	}
	if e <= (D-d)/2 {
		return d, nil
	}
	k := (D - d) * (D + d)
	w = k/(4*e) - e
	if w <= 0 {
		return 0, fmt.Errorf("a pin of %g mm in a hole of %g mm cannot reach %g mm: even a knife edge reaches only %.6g mm", d, D, e, math.Sqrt(k)/2)
	}
	return min(w, d), nil
}

// LargestLand returns the widest land (mm) for the second pin, relieved along
// the line of centres, with which a pitch mismatch of ±need still goes on. D and
// d are hole and pin diameter at that pin, c1 the radial clearance at the round
// pin, which takes its share: LandFor(D, d, need-c1). A result of d means that
// the pin may stay round.
//
// Errors: as LandFor; need or c1 negative.
func LargestLand(D, d, need, c1 float64) (w float64, err error) {
	if !finite(need) || need < 0 {
		return 0, fmt.Errorf("the mismatch to take up, %g mm, must not be negative", need)
	}
	if !finite(c1) || c1 < 0 {
		return 0, fmt.Errorf("the round pin is larger than its hole (radial clearance %g mm): no land cures that", c1)
	}
	return LandFor(D, d, max(0, need-c1))
}

// TurnedLooseness returns how far (mm, one-sided) the hole can leave a relieved
// pin along and across the line of centres when the relief axis is turned by
// turn (rad) from that line. Turned by pi/2, the wrong way round, the pin takes
// up no more pitch error than a round one and is loose across by its full
// Reach.
//
// Errors: as Reach; a turn that is not a number.
func TurnedLooseness(D, d, w, turn float64) (along, across float64, err error) {
	if _, err := Reach(D, d, w); err != nil {
		return 0, 0, err
	}
	if !finite(turn) {
		return 0, 0, fmt.Errorf("the turn %g rad is not an angle", turn)
	}
	g := region{rho: D / 2, r: d / 2}
	g.relieve(w, turn)
	x, y := vec{1, 0}, vec{0, 1}
	return g.support(x).dot(x), g.support(y).dot(y), nil
}

func checkFit(D, d float64) error {
	if !finite(D) || D <= 0 {
		return fmt.Errorf("the hole diameter %g mm must be more than zero", D)
	}
	if !finite(d) || d <= 0 {
		return fmt.Errorf("the pin diameter %g mm must be more than zero", d)
	}
	if d > D {
		return fmt.Errorf("the pin, %g mm, is larger than the hole, %g mm", d, D)
	}
	return nil
}

func checkLand(w, d float64) error {
	if !finite(w) || w <= 0 || w > d {
		return fmt.Errorf("the land %g mm must be more than zero and not wider than the pin, %g mm", w, d)
	}
	return nil
}
