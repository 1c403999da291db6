// Package seam computes the step at a seam between two parts that were cut on
// locating pins: from the errors of the pins to the step at every point
// (Forward), and from measured steps back to the shift, turn and size that
// explain them (Fit).
//
// Both parts have the same outline and the same locating holes. Coordinates are
// those of the outline seen from its face. The step at a point is how far the
// outline of one part, the proud one, stands out over the other along the
// outward normal n of the edge; negative, it stands back. Angles are small: a
// turn by t moves the point p by t·(-p.y, p.x).
//
// Lengths are float64 in millimetres, angles in radians, counter-clockwise
// positive. The formulas are plane kinematics; common practice in fixture work.
package seam

import (
	"errors"
	"fmt"
	"math"
)

// Point is a point of the seam where the step is measured.
type Point struct {
	X, Y   float64 // mm
	NX, NY float64 // outward normal of the edge; any length
}

// Pattern is a step all around a seam: the outline of the proud part shifted by
// (DX, DY), turned about the origin by Turn, and larger by Size on every side,
// as seen from the other part.
type Pattern struct {
	DX, DY float64 // mm
	Turn   float64 // rad
	Size   float64 // mm
}

// At is the step, mm, that the pattern makes at a point:
// n·(DX, DY) + Turn·(n.y p.x - n.x p.y) + Size.
//
// Errors: a point that is not made of numbers or has no normal.
func (a Pattern) At(p Point) (float64, error) {
	g, err := p.effects()
	if err != nil {
		return 0, err
	}
	return a.at(g), nil
}

func (a Pattern) at(g [4]float64) float64 {
	return g[0]*a.DX + g[1]*a.DY + g[2]*a.Turn + g[3]*a.Size
}

func (a Pattern) plus(b Pattern, f float64) Pattern {
	return Pattern{a.DX + f*b.DX, a.DY + f*b.DY, a.Turn + f*b.Turn, a.Size + f*b.Size}
}

// tooLarge, mm, is a thousand kilometres: beyond it squares could overflow.
const tooLarge = 1e9

// effects are the steps that one unit of shift in x and y, turn and size makes.
func (p Point) effects() ([4]float64, error) {
	if !finite(p.X, p.Y) || math.Hypot(p.X, p.Y) > tooLarge {
		return [4]float64{}, fmt.Errorf("the position (%g, %g) mm is not a pair of numbers, or too far away", p.X, p.Y)
	}
	l := math.Hypot(p.NX, p.NY)
	if !finite(l) || l == 0 {
		return [4]float64{}, errors.New("the normal of the edge has no length")
	}
	nx, ny := p.NX/l, p.NY/l
	return [4]float64{nx, ny, ny*p.X - nx*p.Y, 1}, nil
}

func allEffects(points []Point) ([][4]float64, error) {
	if len(points) == 0 {
		return nil, errors.New("there are no points")
	}
	out := make([][4]float64, len(points))
	for i, p := range points {
		var err error
		if out[i], err = p.effects(); err != nil {
			return nil, fmt.Errorf("point %d: %w", i+1, err)
		}
	}
	return out, nil
}

func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
