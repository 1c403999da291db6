package cause

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Look is a further measurement that could be made: rows of what it would see of
// each amount of each source, and the covariance of its error.
type Look struct {
	Sees  [][][]float64 // row, source, amount
	Error [][]float64   // row by row
}

// Gap is by how much source i adds more to a trait than source j, with its
// standard deviation.
func (out *Answer) Gap(trait, i, j int) (mean, sd float64) {
	return out.moments(out.gap(trait, i, j))
}

func (out *Answer) gap(trait, i, j int) []float64 {
	g, h := out.adds(trait, i), out.adds(trait, j)
	for a := range g {
		g[a] -= h[a]
	}
	return g
}

// After is the standard deviation that the Gap would have after a further
// measurement, whatever that finds (linear model with normal distributions).
//
// Errors: rows that do not fit the sources, an error that is no covariance.
func (out *Answer) After(trait, i, j int, look Look) (float64, error) {
	m := out.m
	rows := len(look.Sees)
	if rows == 0 || len(look.Error) != rows {
		return 0, errors.New("the look needs at least one row and a covariance of as many")
	}
	g := out.gap(trait, i, j)
	h := mat.NewDense(rows, m.amounts, nil)
	for r, row := range look.Sees {
		if len(row) != len(m.p.Sources) || len(look.Error[r]) != rows {
			return 0, errors.New("a row of the look does not fit the sources")
		}
		for a, k := range m.of {
			if row[k] != nil {
				h.Set(r, a, row[k][m.at[a]])
			}
		}
	}
	cov := mat.NewDense(m.amounts, m.amounts, nil)
	for a := range m.amounts {
		cov.SetRow(a, out.cov[a])
	}
	var hv, s mat.Dense
	hv.Mul(h, cov)
	s.Mul(&hv, h.T())
	sym := mat.NewSymDense(rows, nil)
	for r := range rows {
		for c := r; c < rows; c++ {
			sym.SetSym(r, c, (s.At(r, c)+s.At(c, r))/2+look.Error[r][c])
		}
	}
	var x mat.VecDense
	x.MulVec(&hv, mat.NewVecDense(m.amounts, g))
	_, sd := out.moments(g)
	var chol mat.Cholesky
	if !chol.Factorize(sym) {
		return 0, errors.New("the look has no error, so that nothing can be said of it")
	}
	var y mat.VecDense
	if err := chol.SolveVecTo(&y, &x); err != nil {
		return 0, errors.New("the look has no error, so that nothing can be said of it")
	}
	return math.Sqrt(max(0, sd*sd-mat.Dot(&x, &y))), nil
}

// Effect is what an amount of one of a source adds to a trait.
func (out *Answer) Effect(trait, source, amount int) float64 {
	var sum float64
	for i, l := range out.traits[trait] {
		sum += l * out.m.p.Sources[source].Effects[amount][i]
	}
	return sum
}

// Value is the trait of any readings, one at each point.
func (out *Answer) Value(trait int, readings []float64) float64 {
	var sum float64
	for i, l := range out.traits[trait] {
		sum += l * readings[i]
	}
	return sum
}

// More is a look at so many more pieces at the same points.
func (out *Answer) More(pieces int) Look {
	var look Look
	for i := range out.m.points {
		look.Sees = append(look.Sees, make([][]float64, len(out.m.p.Sources)))
		for k, s := range out.m.p.Sources {
			for j := range s.Effects {
				look.Sees[i][k] = append(look.Sees[i][k], s.Effects[j][i])
			}
		}
		row := make([]float64, out.m.points)
		for c := range row {
			row[c] = out.variation[i][c] / float64(pieces)
		}
		look.Error = append(look.Error, row)
	}
	return look
}

// Alike reports whether readings at these points cannot tell apart what two
// sources add to a trait, however many pieces are read: each amount of the one
// that adds to it makes the same steps, but for a factor, as one of the other.
func (out *Answer) Alike(trait, i, j int) bool {
	one := func(i, j int) bool {
		any := false
		add := out.adds(trait, i)
		for a, x := range add {
			if x == 0 || out.m.of[a] != i {
				continue
			}
			any = true
			if !out.parallel(trait, a, j) {
				return false
			}
		}
		return any
	}
	return one(i, j) && one(j, i)
}

// parallel reports whether an amount of source j makes the same steps as amount a.
func (out *Answer) parallel(trait, a, j int) bool {
	for b, x := range out.adds(trait, j) {
		if x == 0 || out.m.of[b] != j {
			continue
		}
		u, v := mat.Col(nil, a, out.m.effect), mat.Col(nil, b, out.m.effect)
		var uv, uu, vv float64
		for i := range u {
			uv, uu, vv = uv+u[i]*v[i], uu+u[i]*u[i], vv+v[i]*v[i]
		}
		if uv*uv > (1-1e-6)*uu*vv {
			return true
		}
	}
	return false
}

// Variation is the standard deviation of one piece at each point, but for the
// noise of its reading.
func (out *Answer) Variation() []float64 {
	v := make([]float64, out.m.points)
	noise := out.m.p.Noise * out.Scale
	for i := range v {
		v[i] = math.Sqrt(max(0, out.variation[i][i]-noise*noise))
	}
	return v
}
