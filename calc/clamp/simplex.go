package clamp

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// simplex finds x >= 0 with the least cost·x for which rows·x = right. The rows
// are orthonormal, the right sides of the order of one.
//
// It is the revised two-phase simplex method (G. B. Dantzig, Linear Programming
// and Extensions, 1963) with the basis factorised anew at every step. Balances
// of forces are degenerate: most right sides are zero, many contacts carry
// nothing, and rules against cycling that rely on exact zeros fail in floating
// point (gonum's solver, tried first, cycled for ever on a block with three
// clamps). So the right sides are shifted by unequal amounts of some 1e-9 while
// the basis is sought; the basis found is then solved with the true ones.
//
// Errors: errInfeasible, errRounding.
func simplex(rows [][]float64, right, cost []float64) ([]float64, error) {
	m, n := len(rows), len(cost)
	x := make([]float64, n)
	if m == 0 {
		return x, nil
	}
	s := &search{rows: rows, m: m, n: n, basis: make([]int, m), sign: make([]float64, m)}
	s.right = mat.NewVecDense(m, nil)
	for i, b := range right {
		s.sign[i] = 1
		if b < 0 {
			s.sign[i] = -1
		}
		// Multiples of the golden ratio never fall together.
		_, f := math.Modf(float64(i+1) * 0.6180339887498949)
		s.right.SetVec(i, b+s.sign[i]*1e-9*(1+f))
		s.basis[i] = n + i
	}
	// First drive the artificial unknowns n, n+1, ... to zero, then out.
	first := make([]float64, n+m)
	for i := range m {
		first[n+i] = 1
	}
	if err := s.minimise(first); err != nil {
		return nil, err
	}
	values, err := s.values(s.right)
	if err != nil {
		return nil, err
	}
	var left float64
	for i, j := range s.basis {
		if j >= n {
			left += math.Abs(values.AtVec(i))
		}
	}
	if left > 1e-7 {
		return nil, errInfeasible
	}
	if err := s.expel(); err != nil {
		return nil, err
	}
	if err := s.minimise(append(append([]float64(nil), cost...), make([]float64, m)...)); err != nil {
		return nil, err
	}
	if values, err = s.values(mat.NewVecDense(m, right)); err != nil {
		return nil, err
	}
	for k, j := range s.basis {
		v := values.AtVec(k)
		if !(v > -1e-6) {
			return nil, errRounding
		}
		x[j] = max(0, v)
	}
	return x, nil
}

// search is the state of the simplex method: which unknowns are in the basis.
// Unknown n+i is the artificial one of row i, with the sign of its right side.
type search struct {
	rows  [][]float64
	right *mat.VecDense
	sign  []float64
	m, n  int
	basis []int
	lu    mat.LU
}

// factorise prepares the basis for solving.
func (s *search) factorise() error {
	b := mat.NewDense(s.m, s.m, nil)
	for k, j := range s.basis {
		for i := range s.m {
			b.Set(i, k, s.at(i, j))
		}
	}
	s.lu.Factorize(b)
	if c := s.lu.Cond(); math.IsNaN(c) || c > 1e14 {
		return errRounding
	}
	return nil
}

// at is the coefficient of unknown j in row i.
func (s *search) at(i, j int) float64 {
	switch {
	case j < s.n:
		return s.rows[i][j]
	case j == s.n+i:
		return s.sign[i]
	}
	return 0
}

// values are the values of the basis for right sides.
func (s *search) values(right *mat.VecDense) (*mat.VecDense, error) {
	if err := s.factorise(); err != nil {
		return nil, err
	}
	return s.with(right, false), nil
}

// with solves B x = v, or Bᵀ x = v.
func (s *search) with(v *mat.VecDense, transposed bool) *mat.VecDense {
	x := mat.NewVecDense(s.m, nil)
	// The error only repeats the condition that factorise has checked.
	_ = s.lu.SolveVecTo(x, transposed, v)
	return x
}

// minimise goes from basis to basis until no unknown but the artificial ones
// lowers the cost.
func (s *search) minimise(cost []float64) error {
	costs, column := mat.NewVecDense(s.m, nil), mat.NewVecDense(s.m, nil)
	reduced := make([]float64, s.n)
	for range 500 + 50*s.m + s.n {
		values, err := s.values(s.right)
		if err != nil {
			return err
		}
		for i, j := range s.basis {
			costs.SetVec(i, cost[j])
		}
		worth := s.with(costs, true) // of one more on each right side
		copy(reduced, cost)
		for i, r := range s.rows {
			if w := worth.AtVec(i); w != 0 {
				for j, v := range r {
					reduced[j] -= w * v
				}
			}
		}
		in := 0
		for j, d := range reduced {
			if d < reduced[in] {
				in = j
			}
		}
		if reduced[in] >= -1e-9 {
			return nil
		}
		for i := range s.m {
			column.SetVec(i, s.rows[i][in])
		}
		out := leaving(values, s.with(column, false))
		if out < 0 {
			return errRounding // no cost here falls without bound
		}
		s.basis[out] = in
	}
	return errRounding
}

// leaving picks the member of the basis that reaches zero first as another
// unknown grows; of those that reach it within rounding of each other, the one
// that keeps the basis best conditioned (P. M. J. Harris, 1973).
func leaving(values, falls *mat.VecDense) int {
	const small, slack = 1e-9, 1e-11
	far := math.Inf(1)
	for i := range values.Len() {
		if d := falls.AtVec(i); d > small {
			far = min(far, (max(0, values.AtVec(i))+slack)/d)
		}
	}
	out := -1
	for i := range values.Len() {
		d := falls.AtVec(i)
		if d > small && max(0, values.AtVec(i))/d <= far && (out < 0 || d > falls.AtVec(out)) {
			out = i
		}
	}
	return out
}

// expel replaces the artificial unknowns that are left in the basis, all of
// value zero, by real ones.
func (s *search) expel() error {
	for i, j := range s.basis {
		if j < s.n {
			continue
		}
		if err := s.factorise(); err != nil {
			return err
		}
		e := mat.NewVecDense(s.m, nil)
		e.SetVec(i, 1)
		z := s.with(e, true)
		best, most := -1, 1e-9
		for c := range s.n {
			var v float64
			for k, r := range s.rows {
				v += z.AtVec(k) * r[c]
			}
			if math.Abs(v) > most {
				best, most = c, math.Abs(v)
			}
		}
		if best < 0 {
			return errRounding // the rows are independent
		}
		s.basis[i] = best
	}
	return nil
}
