// Package uncertainty combines the uncertainties of what a result is computed
// from: the budget of JCGM 100:2008 with sensitivities, correlations, effective
// degrees of freedom and second-order terms, and the simulation of JCGM 101:2008.
// Decision rules, guard bands and the probability that a part conforms stand in
// package gauge.
//
// Values are float64. An input has a unit of its own, a result the unit that the
// model gives; sensitivities are in the one over the other. Results hold no NaN and
// no infinity. Clause numbers are given from memory.
package uncertainty

import (
	"fmt"
	"math"

	"tenths/calc/stats"
)

// Shape is how the values of an input lie about its estimate.
type Shape string

// The shapes (JCGM 100, 4.3 and 4.4; JCGM 101, 6.4).
const (
	Normal          Shape = "normal"
	Uniform         Shape = "uniform"          // anything within the limits, as likely
	Triangular      Shape = "triangular"       // within the limits, the middle likelier
	Arcsine         Shape = "arcsine"          // swinging between the limits, as a temperature does
	StudentsT       Shape = "t"                // a mean of few readings
	CurvedTrapezoid Shape = "curved trapezoid" // uniform, the limits themselves not well known
)

// Input is one quantity that a result depends on.
type Input struct {
	Name  string
	Value float64
	U     float64 // standard uncertainty in the sense of JCGM 100; 0: a constant
	// DF is the degrees of freedom of U; 0 where U is as good as known.
	DF    float64
	Shape Shape
	// Edge is how far each limit of a CurvedTrapezoid may lie from where it is
	// given.
	Edge float64
}

// NormalInput has an expanded uncertainty with its coverage factor, as a
// certificate states it: u = U/k (JCGM 100, 4.3.3).
func NormalInput(name string, value, expanded, k float64) Input {
	return Input{Name: name, Value: value, U: expanded / k, Shape: Normal}
}

// UniformInput lies anywhere within value ± half: u = half/√3 (JCGM 100, 4.3.7). One
// count of a digital display is half = count/2, u = count/√12 (F.2.2.1).
func UniformInput(name string, value, half float64) Input {
	return Input{Name: name, Value: value, U: half / math.Sqrt(3), Shape: Uniform}
}

// TriangularInput lies within value ± half, the middle likelier: u = half/√6
// (JCGM 100, 4.3.9).
func TriangularInput(name string, value, half float64) Input {
	return Input{Name: name, Value: value, U: half / math.Sqrt(6), Shape: Triangular}
}

// ArcsineInput swings between value - half and value + half: u = half/√2 (JCGM 101,
// 6.4.6).
func ArcsineInput(name string, value, half float64) Input {
	return Input{Name: name, Value: value, U: half / math.Sqrt2, Shape: Arcsine}
}

// CurvedTrapezoidInput lies within value ± half where the half-width itself is
// only known to ± edge: u² = half²/3 + edge²/9 (JCGM 101, 6.4.3).
func CurvedTrapezoidInput(name string, value, half, edge float64) Input {
	return Input{Name: name, Value: value, U: math.Sqrt(half*half/3 + edge*edge/9), Shape: CurvedTrapezoid, Edge: edge}
}

// TInput is a mean whose standard uncertainty u rests on df degrees of freedom. In
// a simulation it is drawn from Student's t with the scale u, whose standard
// deviation u·√(df/(df-2)) is larger than u (JCGM 101, 6.4.9).
func TInput(name string, value, u, df float64) Input {
	return Input{Name: name, Value: value, U: u, DF: df, Shape: StudentsT}
}

// MeanInput is the mean of readings, u = s/√n with n-1 degrees of freedom (JCGM
// 100, 4.2). What the readings share, such as the calibration of the gauge, is an
// input of its own; so is one count of the gauge where they hardly vary.
//
// Errors: fewer than two readings, an unusable reading.
func MeanInput(name string, readings []float64) (Input, error) {
	s, err := stats.Summarize(readings)
	if err != nil {
		return Input{}, fmt.Errorf("%s: %w", name, err)
	}
	if s.N < 2 {
		return Input{}, fmt.Errorf("%s: one reading says nothing of its spread; give two or more, or the uncertainty itself", name)
	}
	return TInput(name, s.Mean, s.SD/math.Sqrt(float64(s.N)), float64(s.N-1)), nil
}

// DFForReliability is the degrees of freedom of a standard uncertainty that is
// itself known to a relative share, 0.1 for 10 %: 1/(2·share²) (JCGM 100, G.4.2).
func DFForReliability(share float64) float64 { return 1 / (2 * share * share) }

// half is the half-width of the limits of a bounded shape.
func (in Input) half() float64 {
	switch in.Shape {
	case Uniform:
		return in.U * math.Sqrt(3)
	case Triangular:
		return in.U * math.Sqrt(6)
	case Arcsine:
		return in.U * math.Sqrt2
	case CurvedTrapezoid:
		return math.Sqrt(3 * (in.U*in.U - in.Edge*in.Edge/9))
	}
	return 0
}

func (in Input) check() error {
	switch in.Shape {
	case Normal, Uniform, Triangular, Arcsine:
	case CurvedTrapezoid:
		if !(in.Edge >= 0 && in.Edge <= in.half()) {
			return fmt.Errorf("%s: the limits may be off by 0 to their half-width, not by %g", in.Name, in.Edge)
		}
	case StudentsT:
		if in.DF == 0 {
			return fmt.Errorf("%s: a t distribution needs degrees of freedom", in.Name)
		}
	default:
		return fmt.Errorf("%s: %q is no shape of a distribution; it is normal, uniform, triangular, arcsine, t or curved trapezoid", in.Name, string(in.Shape))
	}
	switch {
	case !(math.Abs(in.Value) <= 1e100):
		return fmt.Errorf("%s: the value %g is not a usable number", in.Name, in.Value)
	case !(in.U >= 0 && in.U <= 1e100):
		return fmt.Errorf("%s: the standard uncertainty %g must be a number, not below zero", in.Name, in.U)
	case in.DF != 0 && !(in.DF >= 1 && in.DF <= 1e100):
		return fmt.Errorf("%s: %g degrees of freedom; give 1 or more, or 0 where the uncertainty is as good as known", in.Name, in.DF)
	}
	return nil
}
