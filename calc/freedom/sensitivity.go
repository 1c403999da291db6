package freedom

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// ErrFree is returned, wrapped, when something is asked of a part that can
// still move so that the question has no answer.
var ErrFree = errors.New("the locators do not fix it")

// Pose is a small displacement of the part.
type Pose struct {
	Shift [3]float64 // of the part point at the origin, mm
	Turn  [3]float64 // rotation vector, rad; in the plane only the third
}

// At is the shift of the part point p, mm, to first order: Shift + Turn × p.
func (p Pose) At(point [3]float64) [3]float64 { return add(p.Shift, cross(p.Turn, point)) }

// Pose is where the part goes when each locator stands proud (+) or short (-)
// along its normal by proud, mm. Stock too much on the part at a locator counts
// as proud, stock missing as short. Where locators fight, the pose is the one of
// unweighted least squares; really it depends on which of them the clamps press.
//
// Errors: ErrFree with the motions that are left, and values that do not match
// the locators.
func (f *Freedom) Pose(proud []float64) (Pose, error) {
	if err := checkCount(proud, len(f.Rows)); err != nil {
		return Pose{}, err
	}
	if !f.Fixed() {
		return Pose{}, fmt.Errorf("the place of the part: %w; it can still %v", ErrFree, f.Free[0])
	}
	var p Pose
	for i := range f.Dim {
		c := make([]float64, f.Dim)
		c[i] = 1
		a := f.weights(c)
		x := Influence(a).dot(proud)
		switch {
		case i < 3 && !(f.plane && i == 2):
			p.Shift[i] = x
		case f.plane:
			p.Turn[2] = x
		default:
			p.Turn[i-3] = x
		}
	}
	return p, nil
}

// Influence is how far a point of the part shifts in a direction for each
// millimetre that a locator stands proud.
type Influence []float64

// Influence of every locator on the part point at, mm, in direction dir, which
// need not have unit length. Where locators fight it is that of least squares,
// as in Pose.
//
// Errors: ErrFree if the point can still move in that direction, a point or
// direction that is not made of numbers.
func (f *Freedom) Influence(at, dir [3]float64) (Influence, error) {
	row, err := Locator{at, dir}.row(f.plane)
	if err != nil {
		return nil, fmt.Errorf("the feature: %w", err)
	}
	c := f.pick(row)
	a := f.weights(c)
	// What the locators cannot do shows as a rest.
	rest, most := make([]float64, f.Dim), 0.0
	copy(rest, f.scaledRow(c))
	for _, x := range rest {
		most = max(most, math.Abs(x))
	}
	for i, r := range f.Rows {
		for j, x := range f.scaledRow(r) {
			rest[j] -= a[i] * x
		}
	}
	for _, x := range rest {
		if math.Abs(x) > 1e-7*most {
			return nil, fmt.Errorf("the point (%g, %g, %g) in direction (%g, %g, %g): %w; the part can still %v",
				at[0], at[1], at[2], dir[0], dir[1], dir[2], ErrFree, f.Free[0])
		}
	}
	return a, nil
}

// weights is the shortest solution a of Rowsᵀ a = c, or the nearest to one:
// with the decomposition rows = U S Vᵀ it is U S⁻¹ Vᵀ c.
func (f *Freedom) weights(c []float64) []float64 {
	var u, v mat.Dense
	f.svd.UTo(&u)
	f.svd.VTo(&v)
	c = f.scaledRow(c)
	a := make([]float64, len(f.Rows))
	for k := range f.Rank {
		var s float64
		for j, x := range c {
			s += v.At(j, k) * x
		}
		s /= f.Singular[k]
		for i := range a {
			a[i] += u.At(i, k) * s
		}
	}
	return a
}

func (a Influence) dot(x []float64) float64 {
	var s float64
	for i := range a {
		s += a[i] * x[i]
	}
	return s
}

// Along is the shift, mm, of the point when the locators stand proud by proud.
func (a Influence) Along(proud []float64) (float64, error) {
	if err := checkCount(proud, len(a)); err != nil {
		return 0, err
	}
	return a.dot(proud), nil
}

// Worst is the largest shift, mm, that locators within ±tol can make.
func (a Influence) Worst(tol []float64) (float64, error) {
	if err := checkTolerances(tol, len(a)); err != nil {
		return 0, err
	}
	var s float64
	for i := range a {
		s += math.Abs(a[i]) * tol[i]
	}
	return s, nil
}

// RootSumSquare is the usual shift, mm, if the locators are off by ±tol
// independently of each other: the root of the sum of squares.
func (a Influence) RootSumSquare(tol []float64) (float64, error) {
	if err := checkTolerances(tol, len(a)); err != nil {
		return 0, err
	}
	var s float64
	for i := range a {
		s = math.Hypot(s, a[i]*tol[i])
	}
	return s, nil
}

func checkTolerances(tol []float64, n int) error {
	if err := checkCount(tol, n); err != nil {
		return err
	}
	for i, t := range tol {
		if t < 0 {
			return fmt.Errorf("locator %d: the tolerance ±%g mm must not be negative", i+1, t)
		}
	}
	return nil
}
