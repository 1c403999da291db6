package clamp

import (
	"errors"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/mat"

	"tenths/calc/freedom"
)

// Seating is how loads press a part on its locators without any friction.
type Seating struct {
	// Forces are the forces, N, with which the locators would have to push. A
	// negative one would have to pull: the part lifts off there.
	Forces []float64
	// Stays reports whether every locator pushes, so that the part is seated
	// without the help of friction.
	Stays bool
	Lifts []int // locators that do not push
	// Unique reports whether balance alone decides the forces. If there are more
	// locators than it needs, Forces is the set with the largest least force.
	Unique bool
	// Motions are those that the locators leave free; the loads do not drive
	// them, and nothing but friction stops them.
	Motions []freedom.Motion
}

// Seat computes the forces of the locators under the sum of the loads, weight
// and clamps included, without friction: the non-negative solution N of
// Gᵀ N + w = 0 with the rows G of the locators (see package freedom), if there
// is one.
//
// Errors: ErrCannotHold with the motion that the loads drive and no locator
// stops, and values that are not numbers of sensible size.
func Seat(contacts []Contact, loads ...Load) (Seating, error) {
	if len(contacts) == 0 {
		return Seating{}, errors.New("there is no locator to seat the part on")
	}
	length := reach(contacts)
	p := program{right: make([]float64, 7)}
	for i, c := range contacts {
		n, err := c.normal()
		if err != nil {
			return Seating{}, fmt.Errorf("locator %d: %w", i+1, err)
		}
		w := c.force(n)
		p.add(append(w.column(length), 0), 0)
	}
	var sum wrench
	for i, l := range loads {
		w, err := l.wrench()
		if err != nil {
			return Seating{}, fmt.Errorf("load %d: %w", i+1, err)
		}
		for k := range sum {
			sum[k] += w[k]
		}
	}
	f, err := freedom.Space(locators(contacts), freedom.Options{Scale: length})
	if err != nil {
		return Seating{}, err
	}
	s := Seating{Unique: f.Redundancy == 0, Motions: f.Free}
	size := sum.size(length)
	if size == 0 {
		s.Forces = make([]float64, len(contacts))
	} else if m := driven(f.Free, sum, length, size); m != "" {
		return Seating{}, fmt.Errorf("%w: the loads make it %s, and no locator stops that", ErrCannotHold, m)
	} else if s.Unique {
		s.Forces, err = balance(p.columns, sum.column(length))
	} else {
		s.Forces, err = p.mostEven(sum.column(length), size)
	}
	if err != nil {
		return Seating{}, err
	}
	for i, n := range s.Forces {
		if n <= 1e-9*size {
			s.Lifts = append(s.Lifts, i)
		}
	}
	s.Stays = len(s.Lifts) == 0
	return s, nil
}

// column is the wrench with its moments divided by a length.
func (w wrench) column(length float64) []float64 {
	out := slices.Clone(w[:])
	for i := 3; i < 6; i++ {
		out[i] /= length
	}
	return out
}

// balance solves for forces that are decided by balance.
func balance(columns [][]float64, load []float64) ([]float64, error) {
	a := mat.NewDense(6, len(columns), nil)
	b := mat.NewVecDense(6, nil)
	for j, c := range columns {
		a.SetCol(j, c[:6])
	}
	for i, v := range load {
		b.SetVec(i, -v)
	}
	var x mat.VecDense
	if err := x.SolveVec(a, b); err != nil {
		var poor mat.Condition
		if !errors.As(err, &poor) {
			return nil, fmt.Errorf("the balance of forces could not be solved: %w", err)
		}
	}
	return x.RawVector().Data, nil
}

// mostEven finds the forces whose least is largest: with N = z + s, s >= 0,
// the largest z, cut off at the size of the load, since locators that face each
// other could press as hard as they like.
func (p *program) mostEven(load []float64, size float64) ([]float64, error) {
	n := len(p.columns)
	for i, v := range load {
		p.right[i] = -v / size
	}
	p.right[6] = 1
	up, down, rest := make([]float64, 7), make([]float64, 7), make([]float64, 7)
	for _, c := range p.columns {
		for i, v := range c {
			up[i] += v
			down[i] -= v
		}
	}
	up[6], down[6], rest[6] = 1, -1, 1
	p.add(up, -1)
	p.add(down, 1)
	p.add(rest, 0)
	x, err := p.solve()
	if err != nil {
		return nil, fmt.Errorf("the seat of the part: %w", err)
	}
	forces := make([]float64, n)
	for i := range forces {
		forces[i] = (x[i] + x[n] - x[n+1]) * size
	}
	return forces, nil
}
