package uncertainty

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Model is a result as a function of its inputs.
type Model struct {
	Inputs []Input
	// F computes the result from values of the inputs, in their order. It must not
	// keep the slice. NaN or infinity says that there is no result.
	F func(x []float64) float64
	// Slopes are the exact sensitivities ∂F/∂x at the estimates; nil: they are
	// found by differences, see Budget.
	Slopes []float64
	// Correlations of pairs; pairs that are not named are independent.
	Correlations []Correlation
}

// Correlation says how much two inputs go together, from -1 to 1.
type Correlation struct {
	A, B int // places in Inputs
	R    float64
}

func (m Model) check() error {
	if m.F == nil || len(m.Inputs) == 0 {
		return fmt.Errorf("a model needs a function and at least one input")
	}
	for _, in := range m.Inputs {
		if err := in.check(); err != nil {
			return err
		}
	}
	if m.Slopes != nil && len(m.Slopes) != len(m.Inputs) {
		return fmt.Errorf("%d sensitivities for %d inputs", len(m.Slopes), len(m.Inputs))
	}
	for i, c := range m.Slopes {
		if !(math.Abs(c) <= 1e100) {
			return fmt.Errorf("%s: the sensitivity %g is not a usable number", m.Inputs[i].Name, c)
		}
	}
	if !finite(m.F(m.estimates())) {
		return fmt.Errorf("the model has no value at the estimates of its inputs")
	}
	return m.checkCorrelations()
}

// checkCorrelations refuses what cannot be: a matrix of correlations has no
// negative eigenvalue.
func (m Model) checkCorrelations() error {
	n := len(m.Inputs)
	seen := map[[2]int]bool{}
	for _, c := range m.Correlations {
		switch {
		case c.A < 0 || c.B < 0 || c.A >= n || c.B >= n || c.A == c.B:
			return fmt.Errorf("a correlation is one of two different inputs; there are %d", n)
		case !(c.R >= -1 && c.R <= 1):
			return fmt.Errorf("%s and %s: a correlation of %g is not possible; it lies from -1 to 1", m.Inputs[c.A].Name, m.Inputs[c.B].Name, c.R)
		case seen[[2]int{min(c.A, c.B), max(c.A, c.B)}]:
			return fmt.Errorf("%s and %s: their correlation is given twice", m.Inputs[c.A].Name, m.Inputs[c.B].Name)
		}
		seen[[2]int{min(c.A, c.B), max(c.A, c.B)}] = true
	}
	if !m.correlated() {
		return nil
	}
	var eig mat.EigenSym
	if !eig.Factorize(m.matrix(), false) {
		return fmt.Errorf("the correlations cannot be worked with")
	}
	for _, v := range eig.Values(nil) {
		if v < -1e-9 {
			return fmt.Errorf("the correlations contradict each other: no quantities can go together so")
		}
	}
	return nil
}

// matrix is the matrix of correlations.
func (m Model) matrix() *mat.SymDense {
	n := len(m.Inputs)
	r := mat.NewSymDense(n, nil)
	for i := range n {
		r.SetSym(i, i, 1)
	}
	for _, c := range m.Correlations {
		r.SetSym(c.A, c.B, c.R)
	}
	return r
}

func (m Model) correlated() bool {
	for _, c := range m.Correlations {
		if c.R != 0 {
			return true
		}
	}
	return false
}

func (m Model) estimates() []float64 {
	x := make([]float64, len(m.Inputs))
	for i, in := range m.Inputs {
		x[i] = in.Value
	}
	return x
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// steps evaluates a model in steps of one standard uncertainty about the
// estimates; derivatives by steps are contributions, in the unit of the result.
type steps struct {
	m   Model
	x   []float64 // scratch
	bad bool      // the model had no value somewhere
}

// at is the model with input i moved by a steps and input j by b.
func (s *steps) at(i int, a float64, j int, b float64) float64 {
	for k, in := range s.m.Inputs {
		s.x[k] = in.Value
	}
	s.x[i] += a * s.m.Inputs[i].U
	s.x[j] += b * s.m.Inputs[j].U
	v := s.m.F(s.x)
	s.bad = s.bad || !finite(v)
	return v
}

// first is u·∂f/∂x by differences over ± one and ± half a standard uncertainty
// (JCGM 100, 5.1.4 note 2, takes those over ± one), extrapolated after Richardson:
// exact for polynomials up to the fourth degree.
func (s *steps) first(i int) float64 {
	d := func(h float64) float64 { return (s.at(i, h, i, 0) - s.at(i, -h, i, 0)) / (2 * h) }
	return (4*d(0.5) - d(1)) / 3
}

// second is u²·∂²f/∂x² of input j with input i moved by a steps.
func (s *steps) second(j, i int, a float64) float64 {
	return s.at(j, 1, i, a) - 2*s.at(j, 0, i, a) + s.at(j, -1, i, a)
}

// cross is u·u·∂²f/∂x∂x of inputs i and j.
func (s *steps) cross(i, j int) float64 {
	if i == j {
		return s.second(i, i, 0)
	}
	return (s.at(i, 1, j, 1) - s.at(i, 1, j, -1) - s.at(i, -1, j, 1) + s.at(i, -1, j, -1)) / 4
}

// third is u·u²·∂³f/∂xi∂xj².
func (s *steps) third(i, j int) float64 { return (s.second(j, i, 1) - s.second(j, i, -1)) / 2 }
