// Package clamp asks whether a part stays on its locators: Seat without
// friction, under weight, clamps and cutting forces that are known; Hold with
// friction, for the smallest clamp forces with which a balance of forces exists;
// Reserves, for how many times the loads clamps of known force hold.
//
// A contact pushes along its normal, never pulls, and with friction carries
// sideways up to Mu times its normal force (Coulomb). The part is rigid.
//
// The answer of Hold is a lower bound and no permission. With friction the
// forces between part, locators and clamps are not determined by balance alone:
// that a balance exists does not mean that the part finds it. Every result
// carries its Cautions, which are to be shown with it.
//
// Forces are float64 in newtons, lengths in millimetres, moments in newton
// millimetres; only the short formulas of fixture handbooks (Pull, BoltForce,
// StrapForce) take quantities. Locators, clamps and loads are numbered from 0 in results; errors
// count them from 1.
package clamp

import (
	"errors"
	"fmt"
	"math"

	"tenths/calc/freedom"
)

// Contact is a point where a locator or a clamp touches the part.
type Contact struct {
	At     [3]float64 // mm
	Normal [3]float64 // into the part; any length
	Mu     float64    // coefficient of friction; Seat does not use it
}

// Load is a force on the part, and a moment if there is one.
type Load struct {
	Force  [3]float64 // N
	At     [3]float64 // where the force acts, mm
	Moment [3]float64 // N mm
}

// ErrCannotHold is returned, wrapped, when no forces of the contacts balance
// the loads.
var ErrCannotHold = errors.New("the part is not held")

const (
	tooLarge = 1e9
	tooSmall = 1e-9
)

// wrench is a force and its moment about the origin.
type wrench [6]float64

func (l Load) wrench() (wrench, error) {
	for _, x := range [][3]float64{l.Force, l.At, l.Moment} {
		for _, v := range x {
			if math.IsNaN(v) || math.Abs(v) > tooLarge {
				return wrench{}, fmt.Errorf("force (%g, %g, %g) N at (%g, %g, %g) mm with moment (%g, %g, %g) N mm: every value must be a number of sensible size",
					l.Force[0], l.Force[1], l.Force[2], l.At[0], l.At[1], l.At[2], l.Moment[0], l.Moment[1], l.Moment[2])
			}
		}
	}
	m := cross(l.At, l.Force)
	return wrench{l.Force[0], l.Force[1], l.Force[2], m[0] + l.Moment[0], m[1] + l.Moment[1], m[2] + l.Moment[2]}, nil
}

// normal checks the contact and returns its normal with unit length.
func (c Contact) normal() ([3]float64, error) {
	for _, v := range c.At {
		if math.IsNaN(v) || math.Abs(v) > tooLarge {
			return c.Normal, fmt.Errorf("the position (%g, %g, %g) mm is not made of numbers, or too far away", c.At[0], c.At[1], c.At[2])
		}
	}
	n := c.Normal
	most := max(math.Abs(n[0]), math.Abs(n[1]), math.Abs(n[2])) // NaN if one is
	if !(most > 0) || math.IsInf(most, 0) {
		return n, errors.New("the normal has no length")
	}
	for i := range n {
		n[i] /= most
	}
	l := math.Sqrt(n[0]*n[0] + n[1]*n[1] + n[2]*n[2])
	for i := range n {
		n[i] /= l
	}
	if !(c.Mu >= 0) || c.Mu > 10 {
		return n, fmt.Errorf("the coefficient of friction %g must be zero or more, and no machined surface has more than 10", c.Mu)
	}
	return n, nil
}

// force is the wrench of a force acting at the contact.
func (c Contact) force(f [3]float64) wrench {
	m := cross(c.At, f)
	return wrench{f[0], f[1], f[2], m[0], m[1], m[2]}
}

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// reach is a length of the size of the set-up: moments over it compare with
// forces.
func reach(contacts ...[]Contact) float64 {
	var most float64
	for _, cs := range contacts {
		for _, c := range cs {
			for _, v := range c.At {
				most = max(most, math.Abs(v))
			}
		}
	}
	if most == 0 {
		return 1
	}
	return most
}

// locators turns contacts into locators for package freedom.
func locators(contacts []Contact) []freedom.Locator {
	var out []freedom.Locator
	for _, c := range contacts {
		out = append(out, freedom.Locator{At: c.At, Normal: c.Normal})
	}
	return out
}

// driven names a motion, out of those that are free, on which a load does work;
// empty if there is none.
func driven(free []freedom.Motion, w wrench, length, size float64) string {
	f := [3]float64{w[0], w[1], w[2]}
	for _, m := range free {
		moment := cross(m.Through, f)
		var along, about float64
		for i := range 3 {
			along += m.Along[i] * f[i]
			about += m.Along[i] * (w[3+i] - moment[i])
		}
		work := along
		if m.Kind != freedom.Shift {
			work = (about + along*m.Lead/(2*math.Pi)) / length
		}
		if math.Abs(work) > 1e-9*size {
			return m.String()
		}
	}
	return ""
}

// size is the size of a load in N, moments divided by a length.
func (w wrench) size(length float64) float64 {
	var most float64
	for i, v := range w {
		if i >= 3 {
			v /= length
		}
		most = max(most, math.Abs(v))
	}
	return most
}
