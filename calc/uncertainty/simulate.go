package uncertainty

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// SimOptions steer a simulation.
type SimOptions struct {
	Conf   float64 // coverage probability of the intervals, such as 0.95
	Digits int     // significant digits of the standard uncertainty that should be right; 0 means 2
	// MaxTrials ends the simulation where Digits is not reached; 0 means two
	// million.
	MaxTrials int
	Seed      uint64 // the same seed gives the same draws
	// Lower and Upper are limits of the result, to count what lies outside; both 0
	// where there are none, infinite where there is only one.
	Lower, Upper float64
}

// Outcome is what a simulation gives, in the unit of the result.
type Outcome struct {
	Trials int
	Mean   float64
	U      float64 // standard deviation of the draws
	// Low and High leave the same probability out on both sides; ShortLow and
	// ShortHigh are the shortest interval (JCGM 101, 7.7).
	Low, High           float64
	ShortLow, ShortHigh float64
	Conf                float64
	Least, Most         float64 // of all draws
	// Below and Above are the parts of the draws outside the limits, 0 to 1.
	Below, Above float64
	// Tolerance is half of the last digit that was asked for (7.9.2). Stable says
	// that twice the standard error of mean, U, Low and High is below it; Error is
	// the largest of the four standard errors.
	Tolerance float64
	Stable    bool
	Error     float64
}

const usualMaxTrials = 2_000_000

// Simulate draws the inputs from their distributions and carries each draw through
// the model: the adaptive procedure of JCGM 101:2008, 7.9. Blocks of draws are
// added until the results no longer change in the digits that were asked for.
//
// Correlated inputs must be normal (6.4.8); all others are drawn on their own. An
// input with the shape t is drawn from a t distribution with the scale U, so that
// its standard deviation is larger than U; with 2 degrees of freedom or fewer it
// has none, and is refused. The result of a normal input does not depend on DF.
//
// Errors: as NewBudget; a model that has no value for one of the draws.
func Simulate(m Model, o SimOptions) (Outcome, error) {
	if err := checkConf(o.Conf); err != nil {
		return Outcome{}, err
	}
	if err := m.check(); err != nil {
		return Outcome{}, err
	}
	if o.Digits == 0 {
		o.Digits = 2
	}
	if o.MaxTrials == 0 {
		o.MaxTrials = usualMaxTrials
	}
	if o.Digits < 1 || o.Digits > 4 {
		return Outcome{}, fmt.Errorf("%d digits of an uncertainty: ask for 1 to 4", o.Digits)
	}
	block := max(10_000, int(math.Ceil(100/(1-o.Conf))))
	if o.MaxTrials < 2*block {
		return Outcome{}, fmt.Errorf("%d trials are too few for %g %%; it takes %d", o.MaxTrials, 100*o.Conf, 2*block)
	}
	d, err := newDrawer(m, o.Seed)
	if err != nil {
		return Outcome{}, err
	}
	var all, values []float64
	var each [4][]float64 // mean, U, low, high of every block
	for {
		values = values[:0]
		for range block {
			v := m.F(d.draw())
			if !finite(v) {
				return Outcome{}, fmt.Errorf("the model has no value for a draw of its inputs (%v)", d.x)
			}
			values = append(values, v)
		}
		all = append(all, values...)
		out := describe(values, o.Conf)
		for i, v := range [...]float64{out.Mean, out.U, out.Low, out.High} {
			each[i] = append(each[i], v)
		}
		if len(each[0]) < 2 {
			continue
		}
		// The mean of the blocks' U is good enough to fix the digit.
		tolerance, worst := digit(meanOf(each[1]), o.Digits)/2, 0.0
		for _, e := range each {
			worst = max(worst, standardError(e))
		}
		if done := 2*worst < tolerance || worst == 0; done || len(all)+block > o.MaxTrials {
			out = describe(all, o.Conf)
			out.count(all, o)
			out.Tolerance, out.Stable, out.Error = tolerance, done, worst
			return out, nil
		}
	}
}

// digit is one unit in the last of so many significant digits of u.
func digit(u float64, digits int) float64 {
	if u == 0 {
		return 0
	}
	return math.Pow10(int(math.Floor(math.Log10(u))) - digits + 1)
}

func meanOf(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x - v[0]
	}
	return v[0] + sum/float64(len(v))
}

// standardError is that of the mean of blocks.
func standardError(v []float64) float64 {
	m, sum := meanOf(v), 0.0
	for _, x := range v {
		sum += (x - m) * (x - m)
	}
	n := float64(len(v))
	return math.Sqrt(sum / (n * (n - 1)))
}

// describe sorts the values and takes mean, deviation and intervals from them.
func describe(values []float64, conf float64) Outcome {
	slices.Sort(values)
	n := len(values)
	o := Outcome{Trials: n, Mean: meanOf(values), Conf: conf}
	sum := 0.0
	for _, v := range values {
		sum += (v - o.Mean) * (v - o.Mean)
	}
	o.U = math.Sqrt(sum / float64(n-1))
	q := min(n-1, int(conf*float64(n)+0.5))
	r := (n - q) / 2
	o.Low, o.High = values[r], values[min(r+q, n-1)]
	short := 0
	for i := 1; i+q < n; i++ {
		if values[i+q]-values[i] < values[short+q]-values[short] {
			short = i
		}
	}
	o.ShortLow, o.ShortHigh = values[short], values[short+q]
	return o
}

// count sets the parts of the sorted draws that lie outside the limits. A value
// that is on a limit but for rounding is inside.
func (out *Outcome) count(sorted []float64, o SimOptions) {
	n := len(sorted)
	out.Least, out.Most = sorted[0], sorted[n-1]
	if o.Lower == 0 && o.Upper == 0 {
		return
	}
	slack := 1e-12 * max(math.Abs(out.Least), math.Abs(out.Most))
	below, _ := slices.BinarySearch(sorted, o.Lower-slack)
	above, _ := slices.BinarySearch(sorted, math.Nextafter(o.Upper+slack, math.Inf(1)))
	out.Below, out.Above = float64(below)/float64(n), float64(n-above)/float64(n)
}

// drawer draws the inputs of a model.
type drawer struct {
	inputs []Input
	t      []distuv.StudentsT // of the inputs that have one
	rng    *rand.Rand
	x      []float64
	// lower turns independent normal draws z into those of correlated inputs.
	lower      *mat.TriDense
	correlated []int
	z          []float64
}

func newDrawer(m Model, seed uint64) (*drawer, error) {
	src := rand.NewPCG(seed, 0x7465_6e74_6873)
	d := &drawer{inputs: m.Inputs, rng: rand.New(src), x: make([]float64, len(m.Inputs)), t: make([]distuv.StudentsT, len(m.Inputs))}
	for i, in := range m.Inputs {
		if in.Shape != StudentsT {
			continue
		}
		if in.DF <= 2 {
			return nil, fmt.Errorf("%s: a t distribution with %g degrees of freedom has no standard deviation; take more readings", in.Name, in.DF)
		}
		d.t[i] = distuv.StudentsT{Mu: in.Value, Sigma: in.U, Nu: in.DF, Src: src}
	}
	return d, d.correlate(m)
}

// correlate prepares the draws of inputs that go together.
func (d *drawer) correlate(m Model) error {
	if !m.correlated() {
		return nil
	}
	for _, c := range m.Correlations {
		for _, i := range []int{c.A, c.B} {
			if c.R == 0 || slices.Contains(d.correlated, i) {
				continue
			}
			if m.Inputs[i].Shape != Normal {
				return fmt.Errorf("%s: correlated inputs are drawn from a normal distribution only, and it is %s", m.Inputs[i].Name, m.Inputs[i].Shape)
			}
			d.correlated = append(d.correlated, i)
		}
	}
	slices.Sort(d.correlated)
	n := len(d.correlated)
	all, sub := m.matrix(), mat.NewSymDense(n, nil)
	for a, i := range d.correlated {
		for b, j := range d.correlated {
			// A correlation of 1 has no Cholesky form; a hair less has.
			v := all.At(i, j)
			if a != b {
				v *= 1 - 1e-12
			}
			sub.SetSym(a, b, v)
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(sub) {
		return fmt.Errorf("the correlations cannot be worked with")
	}
	d.lower = mat.NewTriDense(n, mat.Lower, nil)
	chol.LTo(d.lower)
	d.z = make([]float64, n)
	return nil
}

// draw gives one set of values; it is good until the next draw.
func (d *drawer) draw() []float64 {
	for i, in := range d.inputs {
		switch in.Shape {
		case Normal:
			d.x[i] = in.Value + in.U*d.rng.NormFloat64()
		case StudentsT:
			d.x[i] = in.Value
			if in.U > 0 {
				d.x[i] = d.t[i].Rand()
			}
		case Uniform:
			d.x[i] = in.Value + in.half()*(2*d.rng.Float64()-1)
		case Triangular:
			d.x[i] = in.Value + in.half()*(d.rng.Float64()+d.rng.Float64()-1)
		case Arcsine:
			d.x[i] = in.Value + in.half()*math.Sin(2*math.Pi*d.rng.Float64())
		case CurvedTrapezoid:
			half := in.half() + in.Edge*(2*d.rng.Float64()-1)
			d.x[i] = in.Value + half*(2*d.rng.Float64()-1)
		}
	}
	if d.lower == nil {
		return d.x
	}
	for k := range d.z {
		d.z[k] = d.rng.NormFloat64()
	}
	for k, i := range d.correlated {
		sum := 0.0
		for l := 0; l <= k; l++ {
			sum += d.lower.At(k, l) * d.z[l]
		}
		d.x[i] = d.inputs[i].Value + d.inputs[i].U*sum
	}
	return d.x
}

// Agreement says whether a budget and a simulation give the same interval.
type Agreement struct {
	Low, High float64 // how far the ends of value ± expanded lie from those of the simulation
	Tolerance float64 // half of the last digit of U that counts
	Agree     bool    // neither end by more than Tolerance
}

// Compare holds a budget against a simulation of the same model and coverage
// probability, to so many significant digits of U (JCGM 101, 8.1). The simulation
// should be asked for one digit more. Where they do not agree, the interval of the
// simulation stands.
func Compare(b Budget, o Outcome, digits int) Agreement {
	a := Agreement{Low: math.Abs(b.Value - b.Expanded - o.Low), High: math.Abs(b.Value + b.Expanded - o.High), Tolerance: digit(b.U, digits) / 2}
	a.Agree = max(a.Low, a.High) <= a.Tolerance
	return a
}
