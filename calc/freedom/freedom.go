package freedom

import (
	"errors"
	"fmt"

	"gonum.org/v1/gonum/mat"
)

// tolerance is the share of the largest singular value below which a smaller
// one counts as zero.
const tolerance = 1e-9

// Options say how to look at a set of locators.
type Options struct {
	// Scale, mm, is the length at which a turn counts as much as a shift,
	// usually half the size of the part. It decides about Singular and Spread
	// and about nothing else. 0 means half the distance of the two locators
	// farthest apart.
	Scale float64
	// Centre is the point, mm, that turns are named about if they can be.
	Centre [3]float64
}

// Freedom is how a set of locators holds a part. No field is NaN or infinite.
type Freedom struct {
	// Dim is the number of freedoms that a part has: 3 in the plane, 6 in space.
	Dim int
	// Rows are the rows of the locators: normal and moment about the origin,
	// [nx ny m] in the plane, [nx ny nz mx my mz] in space.
	Rows [][]float64
	// Singular are the Dim singular values of the rows, moments divided by the
	// scale, largest first.
	Singular []float64
	// Spread is the smallest of them over the largest: how well the locators are
	// spread, 0 if the part is not fixed. It depends on the origin and the
	// scale, and is meant for comparing layouts of one part.
	Spread float64
	// Rank is how many freedoms the locators take.
	Rank int
	// Redundancy is the number of locators over the rank.
	Redundancy int
	// Free are the Dim-Rank motions that are left; any mixture of them is free
	// as well.
	Free []Motion
	// Essential are the locators without which the part would be freer, and
	// which can always touch.
	Essential []int
	// Groups are the others, each with those it fights with.
	Groups []Group

	plane bool
	scale float64
	svd   mat.SVD
}

// Plane looks at locators in the plane; third coordinates are not used.
//
// Errors: a point or normal that is not made of numbers, a normal without
// length, a negative scale. No locators at all are not an error.
func Plane(locators []Locator, o Options) (*Freedom, error) { return look(locators, o, true) }

// Space looks at locators in space. Errors as in Plane.
func Space(locators []Locator, o Options) (*Freedom, error) { return look(locators, o, false) }

// Fixed reports whether the locators fix the place of the part ("deterministic
// locating").
func (f *Freedom) Fixed() bool { return f.Rank == f.Dim }

func look(locators []Locator, o Options, plane bool) (*Freedom, error) {
	f := &Freedom{Dim: 6, plane: plane}
	if plane {
		f.Dim = 3
		o.Centre[2] = 0
	}
	if !finite(o.Scale) || o.Scale < 0 || o.Scale > tooLarge {
		return nil, fmt.Errorf("the scale %g mm must be a length; half the size of the part is usual", o.Scale)
	}
	if err := checkPoint(o.Centre); err != nil {
		return nil, fmt.Errorf("the centre: %w", err)
	}
	for i, l := range locators {
		r, err := l.row(plane)
		if err != nil {
			return nil, fmt.Errorf("locator %d: %w", i+1, err)
		}
		f.Rows = append(f.Rows, f.pick(r))
	}
	f.scale = o.Scale
	if f.scale == 0 {
		f.scale = halfSize(locators, plane)
	}
	// Rows of zeros make room for the vectors of the freedoms that no locator
	// takes.
	g := mat.NewDense(max(len(f.Rows), f.Dim), f.Dim, nil)
	for i, r := range f.Rows {
		g.SetRow(i, f.scaledRow(r))
	}
	if !f.svd.Factorize(g, mat.SVDFull) {
		return nil, errors.New("the locators cannot be analysed: their rows do not decompose")
	}
	f.Singular = f.svd.Values(nil)
	for _, s := range f.Singular {
		if s > tolerance*f.Singular[0] {
			f.Rank++
		}
	}
	if f.Rank == f.Dim {
		f.Spread = f.Singular[f.Dim-1] / f.Singular[0]
	}
	f.Redundancy = len(f.Rows) - f.Rank
	f.Free = f.motions(o.Centre)
	f.group()
	return f, nil
}

// pick takes the components of the plane or of space out of six.
func (f *Freedom) pick(r [6]float64) []float64 {
	if f.plane {
		return []float64{r[0], r[1], r[5]}
	}
	return r[:]
}

// full is the inverse of pick.
func (f *Freedom) full(v []float64) [6]float64 {
	if f.plane {
		return [6]float64{v[0], v[1], 0, 0, 0, v[2]}
	}
	return [6]float64(v)
}

// scaledRow is a row with its moments divided by the scale.
func (f *Freedom) scaledRow(r []float64) []float64 {
	out := append([]float64(nil), r...)
	from := 3
	if f.plane {
		from = 2
	}
	for i := from; i < len(out); i++ {
		out[i] /= f.scale
	}
	return out
}

// halfSize is half the distance of the two locators farthest apart, or 1.
func halfSize(locators []Locator, plane bool) float64 {
	var most float64
	for i, a := range locators {
		for _, b := range locators[:i] {
			d := add(a.At, scaled(b.At, -1))
			if plane {
				d[2] = 0
			}
			most = max(most, norm(d)/2)
		}
	}
	if most == 0 {
		return 1
	}
	return most
}
