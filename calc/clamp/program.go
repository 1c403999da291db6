package clamp

import (
	"errors"
	"math"
)

// program is a linear program: find x >= 0 with the least cost·x for which the
// rows of columns·x equal right.
type program struct {
	right   []float64
	columns [][]float64
	cost    []float64
}

func (p *program) add(column []float64, cost float64) {
	p.columns = append(p.columns, column)
	p.cost = append(p.cost, cost)
}

var (
	errInfeasible = errors.New("no solution")
	errRounding   = errors.New("the balance of forces could not be solved: rounding is too large")
)

// solve returns the optimum.
//
// Errors: errInfeasible, errRounding.
func (p *program) solve() ([]float64, error) {
	scale := 0.0
	for _, b := range p.right {
		scale = max(scale, math.Abs(b))
	}
	if scale == 0 {
		scale = 1
	}
	rows, right, err := p.independent(scale)
	if err != nil {
		return nil, err
	}
	x, err := simplex(rows, right, p.cost)
	if err != nil {
		return nil, err
	}
	// The solver is trusted no further than this.
	for i, q := range rows {
		b := -right[i]
		for j := range q {
			b += q[j] * x[j]
		}
		if !(math.Abs(b) < 1e-7) {
			return nil, errRounding
		}
	}
	for j := range x {
		x[j] *= scale
	}
	return x, nil
}

// independent makes the rows orthonormal (Gram and Schmidt), their right sides
// divided by scale. Rows that say nothing new are left out; one that
// contradicts the others ends it.
func (p *program) independent(scale float64) (rows [][]float64, right []float64, err error) {
	n := len(p.columns)
	for i, b := range p.right {
		r := make([]float64, n)
		var was float64
		for j, c := range p.columns {
			r[j] = c[i]
			was += c[i] * c[i]
		}
		b /= scale
		for range 2 { // twice, for the rounding of the first time
			for k, q := range rows {
				var d float64
				for j := range r {
					d += r[j] * q[j]
				}
				for j := range r {
					r[j] -= d * q[j]
				}
				b -= d * right[k]
			}
		}
		var rest float64
		for _, x := range r {
			rest += x * x
		}
		if rest <= 1e-20*was {
			if math.Abs(b) > 1e-9 {
				return nil, nil, errInfeasible
			}
			continue
		}
		l := math.Sqrt(rest)
		for j := range r {
			r[j] /= l
		}
		rows, right = append(rows, r), append(right, b/l)
	}
	return rows, right, nil
}
