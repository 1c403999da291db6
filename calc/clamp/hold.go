package clamp

import (
	"errors"
	"fmt"
	"math"

	"tenths/calc/freedom"
)

// Goal is what Hold makes small.
type Goal int

const (
	LeastSum     Goal = iota // the sum of all clamp forces
	LeastLargest             // the largest clamp force
)

// Options of Hold.
type Options struct {
	// Safety multiplies every load. It has to be stated: 1 is none; common
	// practice is 2 or more, 2.5 or more where only friction opposes the cut.
	Safety float64
	// Sides is the number of sides of the polygon that stands for the circle of
	// friction, with a corner first along the normal crossed with the axis it
	// is least along. 0 means 16. The polygon lies inside the circle, so the
	// friction counted is too small by up to 1 - cos(pi/Sides), on the careful
	// side.
	Sides int
	Goal  Goal
}

// Holding is the outcome of Hold.
type Holding struct {
	// Clamps are the least forces, N, of the clamps, the same for all loads.
	Clamps []float64
	Total  float64 // their sum, N
	// Alone is the least sum (or largest, by the goal) that each load would ask
	// for by itself. The largest shows which load decides, unless loads that
	// ask for different clamps add up.
	Alone []float64
	// Locators are the normal forces, N, of the locators in one balance for each
	// load. Others may exist.
	Locators [][]float64
	// LowerBound is always true: a balance exists with these forces, but nothing
	// says that the part finds it.
	LowerBound bool
	Safety     float64
	Sides      int
	// Understated is the share by which the polygon makes friction too small.
	Understated float64
	// Cautions are to be shown with the result.
	Cautions []Caution
}

// Hold finds the least clamp forces with which, for every load times the
// safety, forces of the contacts exist that balance it: locators push with what
// it takes, clamps push with their force, and each carries friction up to Mu
// times its force. The same clamp forces serve all loads; each is a state of its
// own, such as a cut in one direction. A load of zero stands for the part
// clamped and not cut. It is a linear program, solved with the simplex method.
//
// Errors: ErrCannotHold with the load that no clamp force holds, no safety
// stated, no loads or clamps, values that are not numbers of sensible size, and
// a program too large.
func Hold(locs, clamps []Contact, loads []Load, o Options) (Holding, error) {
	h := Holding{LowerBound: true, Safety: o.Safety, Sides: o.Sides}
	if h.Sides == 0 {
		h.Sides = 16
	}
	switch {
	case !(o.Safety >= 1) || o.Safety > 1000:
		return Holding{}, fmt.Errorf("safety %g: state a factor on the loads, 1 for none; 2 or more is common practice", o.Safety)
	case h.Sides < 3 || h.Sides > 1024:
		return Holding{}, fmt.Errorf("%d sides of the friction cone: 3 to 1024 are possible, 16 is usual", h.Sides)
	case o.Goal != LeastSum && o.Goal != LeastLargest:
		return Holding{}, fmt.Errorf("unknown goal %d", int(o.Goal))
	case len(clamps) == 0:
		return Holding{}, errors.New("there is no clamp; Seat tells whether the part stays without")
	case len(loads) == 0:
		return Holding{}, errors.New("there is no load to hold the part against")
	}
	s := setUp{clamps: len(clamps), length: reach(locs, clamps), goal: o.Goal}
	if err := s.cones(locs, clamps, h.Sides); err != nil {
		return Holding{}, err
	}
	for i, l := range loads {
		w, err := l.wrench()
		if err != nil {
			return Holding{}, fmt.Errorf("load %d: %w", i+1, err)
		}
		for k := range w {
			w[k] *= o.Safety
		}
		s.size = max(s.size, w.size(s.length))
		s.loads = append(s.loads, w.column(s.length))
	}
	if s.size < tooSmall {
		s.size = 1
	}
	for i := range s.loads {
		alone := s
		alone.loads = s.loads[i : i+1]
		y, err := alone.solve()
		switch {
		case errors.Is(err, errInfeasible):
			return Holding{}, why(locs, clamps, loads[i], i)
		case err != nil:
			return Holding{}, err
		}
		h.Alone = append(h.Alone, s.value(y))
	}
	var err error
	if h.Clamps, h.Locators, err = s.together(h.Alone); err != nil {
		return Holding{}, err
	}
	for _, n := range h.Clamps {
		h.Total += n
	}
	h.Understated = 1 - math.Cos(math.Pi/float64(h.Sides))
	h.Cautions = cautions(h.Safety, h.Understated, locs, clamps)
	return h, nil
}

// why tells what is wrong with a load that no clamp force holds.
func why(locs, clamps []Contact, l Load, i int) error {
	friction := false
	for _, cs := range [][]Contact{locs, clamps} {
		for _, c := range cs {
			friction = friction || c.Mu > 0
		}
	}
	if !friction {
		w, err := l.wrench()
		if err != nil {
			return err
		}
		all := append(locators(locs), locators(clamps)...)
		length := reach(locs, clamps)
		if f, err := freedom.Space(all, freedom.Options{Scale: length}); err == nil {
			if m := driven(f.Free, w, length, w.size(length)); m != "" {
				return fmt.Errorf("%w: load %d makes it %s, and without friction nothing stops that", ErrCannotHold, i+1, m)
			}
		}
	}
	return fmt.Errorf("%w: no clamp force holds load %d; it needs a stop in its way, or a clamp that pushes elsewhere", ErrCannotHold, i+1)
}

// cone gives the wrenches of the edges of a contact's friction cone, each with a
// normal force of one; without friction there is one.
func cone(c Contact, sides int, length float64) ([][]float64, error) {
	n, err := c.normal()
	if err != nil {
		return nil, err
	}
	if c.Mu == 0 {
		w := c.force(n)
		return [][]float64{w.column(length)}, nil
	}
	// The axis that the normal is least along, the first of equals.
	axis := 0
	for i := range n {
		if math.Abs(n[i]) < math.Abs(n[axis])-1e-12 {
			axis = i
		}
	}
	var e [3]float64
	e[axis] = 1
	t1 := cross(n, e)
	l := math.Sqrt(t1[0]*t1[0] + t1[1]*t1[1] + t1[2]*t1[2])
	for i := range t1 {
		t1[i] /= l
	}
	t2 := cross(n, t1)
	var out [][]float64
	for j := range sides {
		sin, cos := math.Sincos(2 * math.Pi * float64(j) / float64(sides))
		var f [3]float64
		for i := range f {
			f[i] = n[i] + c.Mu*(cos*t1[i]+sin*t2[i])
		}
		w := c.force(f)
		out = append(out, w.column(length))
	}
	return out, nil
}

// setUp is the linear program of Hold. Its unknowns are the clamp forces, then
// for the goal the largest of them with what each lacks to it, then for every
// load the shares of all cone edges, locators first. All are in units of size.
type setUp struct {
	clamps       int
	length, size float64
	goal         Goal
	edges        [][][]float64 // contact, edge, wrench
	loads        [][]float64
}

// mostNumbers is the size of program that is still solved in seconds.
const mostNumbers = 2_000_000

// first is the number of unknowns before those of the loads.
func (s *setUp) first() int {
	if s.goal == LeastLargest {
		return 2*s.clamps + 1
	}
	return s.clamps
}

// cones fills in the edges of all contacts, locators first.
func (s *setUp) cones(locs, clamps []Contact, sides int) error {
	for i, c := range locs {
		edges, err := cone(c, sides, s.length)
		if err != nil {
			return fmt.Errorf("locator %d: %w", i+1, err)
		}
		s.edges = append(s.edges, edges)
	}
	for i, c := range clamps {
		edges, err := cone(c, sides, s.length)
		if err != nil {
			return fmt.Errorf("clamp %d: %w", i+1, err)
		}
		s.edges = append(s.edges, edges)
	}
	return nil
}

func (s *setUp) solve() ([]float64, error) {
	each := 6 + s.clamps // six balances, and the force of every clamp
	rows := each * len(s.loads)
	extra := rows
	if s.goal == LeastLargest {
		rows += s.clamps
	}
	unknowns := s.first()
	unknowns += s.cuts() * len(s.loads)
	if unknowns*rows > mostNumbers {
		return nil, fmt.Errorf("%d unknowns and %d balances are too many; fewer sides of the friction cone are enough", unknowns, rows)
	}
	var p program
	p.right = make([]float64, rows)
	for c := range s.clamps {
		col := make([]float64, rows)
		for l := range s.loads {
			col[l*each+6+c] = -1
		}
		if s.goal == LeastLargest {
			col[extra+c] = 1
			p.add(col, 0)
		} else {
			p.add(col, 1)
		}
	}
	if s.goal == LeastLargest {
		largest := make([]float64, rows)
		for c := range s.clamps {
			largest[extra+c] = -1
		}
		p.add(largest, 1)
		for c := range s.clamps {
			col := make([]float64, rows)
			col[extra+c] = 1
			p.add(col, 0)
		}
	}
	locs := len(s.edges) - s.clamps
	for l, w := range s.loads {
		for i, v := range w {
			p.right[l*each+i] = -v / s.size
		}
		for k, edges := range s.edges {
			for _, e := range edges {
				col := make([]float64, rows)
				copy(col[l*each:], e)
				if k >= locs {
					col[l*each+6+k-locs] = 1
				}
				p.add(col, 0)
			}
		}
	}
	x, err := p.solve()
	for i := range x {
		x[i] *= s.size
	}
	return x, err
}

// value is what the goal made small.
func (s *setUp) value(x []float64) float64 {
	if s.goal == LeastLargest {
		return x[s.clamps]
	}
	var sum float64
	for _, n := range x[:s.clamps] {
		sum += n
	}
	return sum
}
