package clamp

import (
	"errors"
	"fmt"
	"math"
)

// mostPushed is the largest load that Reserve looks for, in units of the largest
// clamp force: one that runs straight into a stop could grow without end.
const mostPushed = 20

// Reserve is what clamps with known forces hold.
type Reserve struct {
	// Times is, load by load, the largest factor on the load for which a balance
	// of forces exists. With More it is as far as was looked: the locators take
	// that load without the clamps.
	Times []float64
	More  []bool
	// Least is the load with the smallest factor.
	Least int
	// LowerBound, Sides, Understated and Cautions are as in Holding.
	LowerBound  bool
	Sides       int
	Understated float64
	Cautions    []Caution
}

// Reserves finds how many times each load could be as large until clamps that
// press with forces, N, no longer hold it: the largest k for which forces of the
// contacts exist that balance k times the load, clamps pushing with exactly
// their force, each contact with friction up to Mu times its own. The loads are
// looked at one by one. Like Hold it is a linear program with a polygon of so
// many sides (0 means 16) for the circle of friction, and like there a balance
// that exists is no promise that the part finds it.
//
// Errors: ErrCannotHold if the clamps push the part off its locators before any
// cut, forces that do not match the clamps or are all zero, no loads, a load
// without force, and values that are not numbers of sensible size.
func Reserves(locs, clamps []Contact, forces []float64, loads []Load, sides int) (Reserve, error) {
	if sides == 0 {
		sides = 16
	}
	switch {
	case sides < 3 || sides > 1024:
		return Reserve{}, fmt.Errorf("%d sides of the friction cone: 3 to 1024 are possible, 16 is usual", sides)
	case len(clamps) == 0:
		return Reserve{}, errors.New("there is no clamp; Seat tells whether the part stays without")
	case len(forces) != len(clamps):
		return Reserve{}, fmt.Errorf("%d forces for %d clamps: every clamp needs one", len(forces), len(clamps))
	case len(loads) == 0:
		return Reserve{}, errors.New("there is no load to hold the part against")
	}
	var size float64
	for i, f := range forces {
		if !(f >= 0) || f > tooLarge {
			return Reserve{}, fmt.Errorf("clamp %d: the force %g N must not be negative, and of sensible size", i+1, f)
		}
		size = max(size, f)
	}
	if size < tooSmall {
		return Reserve{}, errors.New("no clamp presses")
	}
	e := setUp{clamps: len(clamps), length: reach(locs, clamps), size: size}
	if err := e.cones(locs, clamps, sides); err != nil {
		return Reserve{}, err
	}
	p, err := e.pressed(forces)
	if err != nil {
		return Reserve{}, err
	}
	switch _, err := p.solve(); {
	case errors.Is(err, errInfeasible):
		return Reserve{}, fmt.Errorf("%w: the clamps alone push it off its locators, before any cut", ErrCannotHold)
	case err != nil:
		return Reserve{}, err
	}
	r := Reserve{LowerBound: true, Sides: sides, Understated: 1 - math.Cos(math.Pi/float64(sides))}
	for i, l := range loads {
		w, err := l.wrench()
		if err != nil {
			return Reserve{}, fmt.Errorf("load %d: %w", i+1, err)
		}
		of := w.size(e.length)
		if of < tooSmall {
			return Reserve{}, fmt.Errorf("load %d has no force", i+1)
		}
		x, err := p.largest(w.column(e.length), of)
		if err != nil {
			return Reserve{}, fmt.Errorf("load %d: %w", i+1, err)
		}
		r.Times = append(r.Times, x*size/of)
		r.More = append(r.More, x > mostPushed*(1-1e-9))
		if r.Times[i] < r.Times[r.Least] {
			r.Least = i
		}
	}
	r.Cautions = cautions(1, r.Understated, locs, clamps)
	return r, nil
}

// pressed is the program of clamps that press with given forces and of no load.
// Its unknowns are the shares of all cone edges, locators first, its rows the six
// balances and the force of every clamp, all in units of size.
func (s *setUp) pressed(forces []float64) (program, error) {
	rows := 6 + s.clamps
	p := program{right: make([]float64, rows)}
	for i, f := range forces {
		p.right[6+i] = f / s.size
	}
	locs := len(s.edges) - s.clamps
	for k, edges := range s.edges {
		for _, e := range edges {
			col := make([]float64, rows)
			copy(col, e)
			if k >= locs {
				col[6+k-locs] = 1
			}
			p.add(col, 0)
		}
	}
	if len(p.columns)*rows > mostNumbers {
		return p, fmt.Errorf("%d unknowns and %d balances are too many; fewer sides of the friction cone are enough", len(p.columns), rows)
	}
	return p, nil
}

// largest is the most of a load, in units of its own size, that the program
// still balances, up to mostPushed.
func (p *program) largest(load []float64, size float64) (float64, error) {
	rows := len(p.right)
	with := program{right: append(append([]float64(nil), p.right...), mostPushed)}
	for i, c := range p.columns {
		with.add(append(append([]float64(nil), c...), 0), p.cost[i])
	}
	push, rest := make([]float64, rows+1), make([]float64, rows+1)
	for i, v := range load {
		push[i] = v / size
	}
	push[rows], rest[rows] = 1, 1
	with.add(push, -1)
	with.add(rest, 0)
	x, err := with.solve()
	if err != nil {
		return 0, err
	}
	return x[len(p.columns)], nil
}
