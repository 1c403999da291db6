package uncertainty

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Line is the part of one input in a budget.
type Line struct {
	Input
	Sensitivity  float64 // ∂F/∂x, unit of the result over that of the input
	Contribution float64 // Sensitivity·U, with its sign, unit of the result
	// Share of the first-order variance, 0 to 1; 0 for all where inputs are
	// correlated, because shares then overlap.
	Share float64
}

// SecondTerm is what two inputs, or one with itself, add together beyond their
// sensitivities.
type SecondTerm struct {
	A, B     int
	Variance float64 // in the unit of the result, squared; can be below 0
}

// Budget is the combined uncertainty of a result, in its unit.
type Budget struct {
	Value float64
	Lines []Line
	// FirstOrder is √(ΣΣ c·c·r·u·u) (JCGM 100, 5.1.2 and 5.2.2).
	FirstOrder float64
	// Second are the terms of second order that matter (5.1.2, note), and U the
	// combined standard uncertainty with them. They hold for independent inputs;
	// with correlated ones Second is nil and U is FirstOrder.
	Second []SecondTerm
	U      float64
	// DF is the effective degrees of freedom as computed, and DFUsed that rounded
	// down to a whole number, as the coverage factor takes it (G.4.1); 0 where no
	// input limits them.
	DF       float64
	DFUsed   float64
	Conf     float64
	K        float64 // coverage factor: Student's t for DFUsed
	Expanded float64 // K·U
}

// NewBudget combines uncertainties after JCGM 100:2008.
//
// Sensitivities are those of the model if it gives them. Otherwise they are found
// from differences over ± one and ± half a standard uncertainty of the input,
// extrapolated; second-order terms come from differences over ± one. All are exact
// for products of up to three inputs and for squares.
//
// Effective degrees of freedom are those of Welch and Satterthwaite,
// U⁴/Σ(contribution⁴/df) with the first-order uncertainty (G.4.1), which supposes
// independent inputs. With correlated inputs that formula does not hold; the least
// degrees of freedom of any contributing input stand in, on the wide side.
//
// Errors: an unusable input, correlation or confidence; a model without a value at
// the estimates or one standard uncertainty from them.
func NewBudget(m Model, conf float64) (Budget, error) {
	if err := checkConf(conf); err != nil {
		return Budget{}, err
	}
	if err := m.check(); err != nil {
		return Budget{}, err
	}
	b := Budget{Value: m.F(m.estimates()), Conf: conf}
	s := &steps{m: m, x: make([]float64, len(m.Inputs))}
	for i, in := range m.Inputs {
		l := Line{Input: in}
		switch {
		case m.Slopes != nil:
			l.Sensitivity = m.Slopes[i]
			l.Contribution = l.Sensitivity * in.U
		case in.U > 0:
			l.Contribution = s.first(i)
			l.Sensitivity = l.Contribution / in.U
		}
		b.Lines = append(b.Lines, l)
	}
	variance := 0.0
	for _, l := range b.Lines {
		variance += l.Contribution * l.Contribution
	}
	if !m.correlated() {
		for i := range b.Lines {
			if variance > 0 {
				b.Lines[i].Share = b.Lines[i].Contribution * b.Lines[i].Contribution / variance
			}
		}
	}
	for _, c := range m.Correlations {
		variance += 2 * c.R * b.Lines[c.A].Contribution * b.Lines[c.B].Contribution
	}
	variance = max(0, variance) // below 0 by rounding, where all of it cancels
	b.FirstOrder = math.Sqrt(variance)
	if !m.correlated() {
		variance += b.second(s)
	}
	if s.bad {
		return Budget{}, fmt.Errorf("the model has no value one standard uncertainty from the estimates; it cannot be taken as smooth there")
	}
	b.U = math.Sqrt(max(0, variance))
	b.cover(m.correlated())
	return b, nil
}

// second sets the terms of second order and gives their sum:
//
//	½(∂²f/∂x∂x)² + ∂f/∂x·∂³f/∂x∂x², times u²u², over all pairs
func (b *Budget) second(s *steps) float64 {
	// Differences of a large result hold nothing below its last bits.
	noise := 64 * 0x1p-52 * math.Abs(b.Value)
	sum := 0.0
	for i := range b.Lines {
		for j := i; j < len(b.Lines); j++ {
			if b.Lines[i].U == 0 || b.Lines[j].U == 0 {
				continue
			}
			cross := quiet(s.cross(i, j), noise)
			v := cross*cross/2 + b.Lines[i].Contribution*quiet(s.third(i, j), noise)
			if i != j { // each pair stands twice in the double sum
				v += cross*cross/2 + b.Lines[j].Contribution*quiet(s.third(j, i), noise)
			}
			if math.Abs(v) > 1e-12*b.FirstOrder*b.FirstOrder {
				b.Second = append(b.Second, SecondTerm{A: i, B: j, Variance: v})
				sum += v
			}
		}
	}
	return sum
}

func quiet(v, noise float64) float64 {
	if math.Abs(v) <= noise {
		return 0
	}
	return v
}

// cover sets the degrees of freedom and what follows from them.
func (b *Budget) cover(correlated bool) {
	sum, least := 0.0, math.Inf(1)
	for _, l := range b.Lines {
		if l.DF == 0 || l.Contribution == 0 || b.FirstOrder == 0 {
			continue
		}
		sum += math.Pow(l.Contribution/b.FirstOrder, 4) / l.DF
		least = min(least, l.DF)
	}
	switch {
	case sum == 0:
	case correlated:
		b.DF = least
	default:
		b.DF = 1 / sum
	}
	b.K = distuv.UnitNormal.Quantile((1 + b.Conf) / 2)
	if b.DF > 0 && b.DF < 1e9 {
		// 18 that came out as 17.999999999 is 18.
		b.DFUsed = max(1, math.Floor(b.DF*(1+1e-12)))
		b.K = -distuv.StudentsT{Sigma: 1, Nu: b.DFUsed}.Quantile((1 - b.Conf) / 2)
	}
	b.Expanded = b.K * b.U
}

func checkConf(conf float64) error {
	if !(conf > 0 && conf < 1) {
		return fmt.Errorf("the coverage probability %g must lie between 0 and 1, for example 0.95", conf)
	}
	return nil
}
