package seam

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// ErrCannotSeparate is returned, wrapped, when the points cannot tell the
// unknowns of a fit apart.
var ErrCannotSeparate = errors.New("these points cannot tell what the step comes from")

// Options of Fit.
type Options struct {
	// NoTurn and NoSize leave an unknown out, as if it were known to be zero.
	NoTurn, NoSize bool
}

// Fitted is what steps that were read say.
type Fitted struct {
	// Pattern explains the readings best.
	Pattern Pattern
	// Err are the standard errors (1 s) of Pattern from the readings alone. With
	// two assemblies or more they come from how much the fits of the single
	// assemblies scatter, so that looseness is in them. With one they come from
	// how far its points lie from the fit: looseness shifts and turns a single
	// assembly as a whole, does not show there and is not in them; ScatterSeen
	// is then false. Compare ErrorOf, which needs no readings.
	Err Pattern
	// DF are the degrees of freedom of Err. 0 means that Err is not known and
	// zero: a single assembly with no more points than unknowns.
	DF          int
	ScatterSeen bool
	// Half are the half-widths of the 95 % intervals, Err times Student's t.
	Half Pattern
	// Each are the fits of the single assemblies.
	Each []Pattern
	// Means are the mean steps, point by point, and Rest what the pattern leaves
	// of them.
	Means, Rest []float64
	// RestSD is the standard deviation of single readings about the fit of their
	// own assembly: gauge, form, burrs. It needs RestDF > 0.
	RestSD float64
	RestDF int
}

// Fit finds the shift, turn and size that explain steps best, by unweighted
// least squares (C. F. Gauss; see Pattern.At for the model). readings holds for
// every assembly the step at each of the points, mm. As all points were read on
// all assemblies, the fit to the means is the mean of the fits.
//
// Errors: ErrCannotSeparate with the unknowns that the points confuse, fewer
// points than unknowns, an assembly that lacks readings, values that are not
// numbers.
func Fit(points []Point, readings [][]float64, o Options) (Fitted, error) {
	solve, err := newSolver(points, o)
	if err != nil {
		return Fitted{}, err
	}
	if len(readings) == 0 {
		return Fitted{}, errors.New("there are no readings")
	}
	n := float64(len(readings))
	f := Fitted{Means: make([]float64, len(points))}
	for a, r := range readings {
		if len(r) != len(points) {
			return Fitted{}, fmt.Errorf("assembly %d has %d readings for %d points: every point must be read on every assembly", a+1, len(r), len(points))
		}
		for i, v := range r {
			if !finite(v) || math.Abs(v) > tooLarge {
				return Fitted{}, fmt.Errorf("assembly %d, point %d: the reading %g mm is not a number of sensible size", a+1, i+1, v)
			}
			f.Means[i] += v / n
		}
		f.Each = append(f.Each, solve.fit(r))
	}
	f.Pattern = solve.fit(f.Means)
	f.Rest = solve.rest(f.Means, f.Pattern)
	var sum float64
	for a, r := range readings {
		for _, d := range solve.rest(r, f.Each[a]) {
			sum += d * d
		}
	}
	if f.RestDF = len(readings) * (len(points) - len(solve.unknowns)); f.RestDF > 0 {
		f.RestSD = math.Sqrt(sum / float64(f.RestDF))
	}
	var err4 [4]float64
	if f.ScatterSeen = len(readings) > 1; f.ScatterSeen {
		f.DF = len(readings) - 1
		mean := f.Pattern.four()
		for _, e := range f.Each {
			for k, v := range e.four() {
				err4[k] += (v - mean[k]) * (v - mean[k]) / (n * (n - 1))
			}
		}
		for k := range err4 {
			err4[k] = math.Sqrt(err4[k])
		}
	} else if f.DF = f.RestDF; f.DF > 0 {
		for k, u := range solve.unknowns {
			err4[u] = f.RestSD * solve.gain(k)
		}
	}
	f.Err = fromFour(err4)
	if f.DF > 0 {
		t := distuv.StudentsT{Sigma: 1, Nu: float64(f.DF)}.Quantile(0.975)
		f.Half = f.Err.times(t)
	}
	return f, nil
}

// ErrorOf is the standard error (1 s) that the pattern of a fit to a number of
// assemblies will have, from looseness and other sources that vary, and the
// gauge. What is the same for all assemblies is not an error of the fit but what
// it finds.
//
// Errors: those of Fit and Forward, and a number of assemblies under 1.
func ErrorOf(points []Point, s Seam, assemblies int, o Options) (Pattern, error) {
	solve, err := newSolver(points, o)
	if err != nil {
		return Pattern{}, err
	}
	effects, sources, err := s.check(points)
	if err != nil {
		return Pattern{}, err
	}
	if assemblies < 1 {
		return Pattern{}, fmt.Errorf("%d assemblies: there must be one or more", assemblies)
	}
	var sum [4]float64
	for k, u := range solve.unknowns {
		sum[u] = square(s.Gauge * solve.gain(k))
	}
	steps := make([]float64, len(points))
	for _, f := range sources {
		if !f.varies {
			continue
		}
		for k, band := range f.band {
			for i := range steps {
				steps[i] = f.effect(k, i, effects[i])
			}
			for u, v := range solve.fit(steps).four() {
				sum[u] += square(v*band) / 3
			}
		}
	}
	for u := range sum {
		sum[u] = math.Sqrt(sum[u] / float64(assemblies))
	}
	return fromFour(sum), nil
}

func square(x float64) float64 { return x * x }

func (a Pattern) four() [4]float64 { return [4]float64{a.DX, a.DY, a.Turn, a.Size} }

func fromFour(v [4]float64) Pattern { return Pattern{v[0], v[1], v[2], v[3]} }

var unknownNames = [4]string{"shift in x", "shift in y", "turn", "size"}

// solver is the least-squares problem of a set of points.
type solver struct {
	effects  [][4]float64
	unknowns []int
	// pseudo holds what a reading at a point adds to an unknown: unknown by
	// point.
	pseudo *mat.Dense
}

func newSolver(points []Point, o Options) (*solver, error) {
	s := &solver{}
	var err error
	if s.effects, err = allEffects(points); err != nil {
		return nil, err
	}
	for u := range unknownNames {
		if !(u == 2 && o.NoTurn) && !(u == 3 && o.NoSize) {
			s.unknowns = append(s.unknowns, u)
		}
	}
	n, m := len(points), len(s.unknowns)
	if n < m {
		few := fmt.Sprintf("%d points are", n)
		if n == 1 {
			few = "one point is"
		}
		return nil, fmt.Errorf("%w: %s too few for %s; it takes %d well spread over the outline, 6 are better",
			ErrCannotSeparate, few, s.list(s.unknowns), m)
	}
	// Solve for shifts of the middle of the points and turns about it, times the
	// size of their outline, so that all unknowns are lengths that compare.
	var cx, cy, scale float64
	for _, p := range points {
		cx, cy = cx+p.X/float64(n), cy+p.Y/float64(n)
	}
	for _, p := range points {
		scale = max(scale, math.Hypot(p.X-cx, p.Y-cy))
	}
	if scale == 0 {
		scale = 1
	}
	a := mat.NewDense(n, m, nil)
	for i, g := range s.effects {
		g[2] = (g[2] - g[1]*cx + g[0]*cy) / scale
		for k, u := range s.unknowns {
			a.Set(i, k, g[u])
		}
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThin) {
		return nil, errors.New("the points cannot be analysed: their effects do not decompose")
	}
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	values := svd.Values(nil)
	// Confused unknowns are those that take part in a null vector.
	confused := map[int]bool{}
	for k, x := range values {
		if x > 1e-6*values[0] {
			continue
		}
		for j, name := range s.unknowns {
			if math.Abs(v.At(j, k)) > 1e-4 {
				confused[name] = true
			}
		}
	}
	if len(confused) > 0 {
		return nil, s.confusion(confused)
	}
	// The pseudo-inverse V S⁻¹ Uᵀ.
	for k, x := range values {
		for j := range m {
			v.Set(j, k, v.At(j, k)/x)
		}
	}
	s.pseudo = mat.NewDense(m, n, nil)
	s.pseudo.Mul(&v, u.T())
	if !o.NoTurn {
		// Back to shifts of the origin and to turns in rad.
		for i := range n {
			turn := s.pseudo.At(2, i) / scale
			s.pseudo.Set(0, i, s.pseudo.At(0, i)+cy*turn)
			s.pseudo.Set(1, i, s.pseudo.At(1, i)-cx*turn)
			s.pseudo.Set(2, i, turn)
		}
	}
	return s, nil
}

func (s *solver) list(us []int) string {
	var names []string
	for _, u := range us {
		names = append(names, unknownNames[u])
	}
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

func (s *solver) confusion(confused map[int]bool) error {
	var us []int
	for u := range unknownNames {
		if confused[u] {
			us = append(us, u)
		}
	}
	if len(us) == 1 {
		if us[0] == 2 {
			return fmt.Errorf("%w: no point shows a turn; add points away from the middle of a side", ErrCannotSeparate)
		}
		return fmt.Errorf("%w: no point shows the %s; add points on edges that face that way", ErrCannotSeparate, unknownNames[us[0]])
	}
	return fmt.Errorf("%w: %s look the same at all of them; add points on opposite edges and well apart, or leave one out",
		ErrCannotSeparate, s.list(us))
}

// fit solves for one set of steps.
func (s *solver) fit(steps []float64) Pattern {
	var out [4]float64
	for k, u := range s.unknowns {
		for i, y := range steps {
			out[u] += s.pseudo.At(k, i) * y
		}
	}
	return fromFour(out)
}

// rest is what a pattern leaves of steps.
func (s *solver) rest(steps []float64, a Pattern) []float64 {
	out := make([]float64, len(steps))
	for i, y := range steps {
		out[i] = y - a.at(s.effects[i])
	}
	return out
}

// gain is how much larger the standard error of unknown k is than that of a
// reading.
func (s *solver) gain(k int) float64 {
	var sum float64
	for i := range s.effects {
		sum += square(s.pseudo.At(k, i))
	}
	return math.Sqrt(sum)
}
