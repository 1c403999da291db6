// Package freedom tells how locators hold a part: whether they fix its place,
// what the part can still do if they do not, which locators fight each other
// because there are more than can touch at once, and how much an error of each
// locator moves a point of the part.
//
// A locator is a point contact without friction that pushes along its normal.
// To first order a small movement of the part, the shift d of the part point at
// the origin and the rotation vector w, changes the distance at the locator at
// r with normal n by n·d + (r × n)·w. Those six numbers (three in the plane) are
// the row of the locator, and everything here is linear algebra on the rows:
// their rank, null vectors and dependencies (Asada and By, IEEE Journal of
// Robotics and Automation RA-1, 1985, for deterministic locating; cited from
// memory). "First order" means that a movement called free may still be stopped
// by the curvature of what touches.
//
// Lengths are float64 in millimetres, angles in radians, counter-clockwise
// positive. In results locators are numbered from 0, as in the slice that is
// given; errors count them from 1, as people do.
//
// Locators only push, and nothing here asks whether weight and clamps push the
// part against all of them; that is package clamp.
package freedom

import (
	"errors"
	"fmt"
	"math"
)

// Locator is a point that the part rests against. In the plane the third
// coordinates are not used.
type Locator struct {
	At     [3]float64 // point of contact, mm
	Normal [3]float64 // from the locator into the part; any length
}

// RoundPin is a round pin along Z in a hole: it locates in X and in Y.
func RoundPin(at [3]float64) [2]Locator {
	return [2]Locator{{at, [3]float64{1, 0, 0}}, {at, [3]float64{0, 1, 0}}}
}

// RelievedPin is a relieved pin along Z in a hole. It locates square to its
// relief axis (rad, from X), where its lands are.
func RelievedPin(at [3]float64, reliefAxis float64) Locator {
	s, c := math.Sincos(reliefAxis)
	return Locator{at, [3]float64{-s, c, 0}}
}

// Seat is a face square to Z that the part lies on: a locator upwards at every
// point. Three points that are not in line stand for a flat face.
func Seat(points ...[3]float64) []Locator {
	var out []Locator
	for _, p := range points {
		out = append(out, Locator{p, [3]float64{0, 0, 1}})
	}
	return out
}

// tooLarge, mm, is a thousand kilometres: beyond it squares could overflow.
const tooLarge = 1e9

// row is the row of a locator: normal and moment, six numbers. In the plane
// only the first, second and sixth are not zero.
func (l Locator) row(plane bool) ([6]float64, error) {
	at, n := l.At, l.Normal
	if plane {
		at[2], n[2] = 0, 0
	}
	if err := checkPoint(at); err != nil {
		return [6]float64{}, err
	}
	n, err := unit(n)
	if err != nil {
		return [6]float64{}, fmt.Errorf("the normal: %w", err)
	}
	m := cross(at, n)
	return [6]float64{n[0], n[1], n[2], m[0], m[1], m[2]}, nil
}

func checkPoint(p [3]float64) error {
	if !finite(p[:]...) {
		return fmt.Errorf("the position (%g, %g, %g) is not made of numbers", p[0], p[1], p[2])
	}
	if norm(p) > tooLarge {
		return fmt.Errorf("the position (%g, %g, %g) mm is too far away to compute", p[0], p[1], p[2])
	}
	return nil
}

func unit(n [3]float64) ([3]float64, error) {
	// Scaled first, so that no square is lost.
	most := max(math.Abs(n[0]), math.Abs(n[1]), math.Abs(n[2]))
	if !finite(n[:]...) || most == 0 {
		return n, errors.New("the direction has no length")
	}
	for i := range n {
		n[i] /= most
	}
	l := norm(n)
	for i := range n {
		n[i] /= l
	}
	return n, nil
}

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func norm(a [3]float64) float64 { return math.Sqrt(dot(a, a)) }

func add(a, b [3]float64) [3]float64 { return [3]float64{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }

func scaled(a [3]float64, f float64) [3]float64 { return [3]float64{a[0] * f, a[1] * f, a[2] * f} }

func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
