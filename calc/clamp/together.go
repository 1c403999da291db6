package clamp

import (
	"errors"
	"fmt"
	"slices"
)

// together finds the least clamp forces that hold all loads, and for every load
// the normal forces of the locators in one balance; alone is what each load asks
// for by itself. Few loads decide: the program is solved for the most demanding
// one, then also with the most demanding of those that the forces found do not
// hold, until they hold all. The least forces for some loads that hold all are
// the least for all.
func (s *setUp) together(alone []float64) (clamps []float64, locators [][]float64, err error) {
	some := *s
	some.loads = nil
	var order []int
	locators = make([][]float64, len(alone))
	loose := make([]int, len(alone))
	for i := range loose {
		loose[i] = i
	}
	for len(loose) > 0 {
		next := loose[0]
		for _, i := range loose {
			if alone[i] > alone[next] {
				next = i
			}
		}
		order = append(order, next)
		some.loads = append(some.loads, s.loads[next])
		x, err := some.solve()
		switch {
		case errors.Is(err, errInfeasible):
			return nil, nil, fmt.Errorf("%w: clamps hold each of the loads, but no clamp forces hold them all", ErrCannotHold)
		case err != nil:
			return nil, nil, err
		}
		clamps = x[:s.clamps]
		at := some.first()
		for k, i := range order {
			locators[i] = s.normals(x[at+k*s.cuts():])
		}
		p, err := s.pressed(clamps)
		if err != nil {
			return nil, nil, err
		}
		loose = nil
		for i, w := range s.loads {
			if slices.Contains(order, i) {
				continue
			}
			for k, v := range w {
				p.right[k] = -v / s.size
			}
			y, err := p.solve()
			if err != nil { // or only rounding: then it is looked at once too often
				loose = append(loose, i)
				continue
			}
			for k := range y {
				y[k] *= s.size
			}
			locators[i] = s.normals(y)
		}
	}
	return clamps, locators, nil
}

// cuts is the number of cone edges, which are the unknowns of each load.
func (s *setUp) cuts() int {
	n := 0
	for _, edges := range s.edges {
		n += len(edges)
	}
	return n
}

// normals are the normal forces of the locators, from the shares of the edges.
func (s *setUp) normals(x []float64) []float64 {
	out := make([]float64, len(s.edges)-s.clamps)
	at := 0
	for k := range out {
		for range s.edges[k] {
			out[k] += x[at]
			at++
		}
	}
	return out
}
