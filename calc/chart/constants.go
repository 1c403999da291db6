package chart

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// Constants are the factors of control charts for subgroups of n normal readings.
type Constants struct {
	N int
	// D2 and D3 are the mean and the standard deviation of the range, C4 the mean
	// of the standard deviation, all in units of the true standard deviation.
	D2, D3, C4 float64
}

// MaxSubgroup is the largest subgroup that constants are computed for.
const MaxSubgroup = 100

// ConstantsFor computes the factors by integration:
//
//	d2 = ∫ 1 - Φⁿ - (1-Φ)ⁿ dx
//	d3² = 2∫ w·(1 - F(w)) dw - d2², F(w) = n·∫ φ(x)·(Φ(x+w) - Φ(x))ⁿ⁻¹ dx
//	c4 = √(2/(n-1))·Γ(n/2)/Γ((n-1)/2)
//
// (L. H. C. Tippett, Biometrika 17 (1925) 364, for the range; c4 in ISO 7870-2, from
// memory). Published tables round them to three decimals, and carry misprints; see
// the tests.
//
// Errors: n under 2 or over MaxSubgroup.
func ConstantsFor(n int) (Constants, error) {
	if n < 2 || n > MaxSubgroup {
		return Constants{}, fmt.Errorf("a subgroup has 2 to %d readings, not %d", MaxSubgroup, n)
	}
	c := Constants{N: n}
	const far, points = 9.0, 120 // standard deviations; nothing lies beyond
	power := float64(n)
	c.D2 = quad.Fixed(func(x float64) float64 {
		return 1 - math.Pow(distuv.UnitNormal.CDF(x), power) - math.Pow(distuv.UnitNormal.CDF(-x), power)
	}, -far, far, points, quad.Legendre{}, 0)
	// The places of the inner integral are the same for every w.
	x, weight, below := make([]float64, points), make([]float64, points), make([]float64, points)
	quad.Legendre{}.FixedLocations(x, weight, -far, far)
	for i := range x {
		weight[i] *= power * distuv.UnitNormal.Prob(x[i])
		below[i] = distuv.UnitNormal.CDF(x[i])
	}
	square := 2 * quad.Fixed(func(w float64) float64 {
		f := 0.0
		for i := range x {
			f += weight[i] * math.Pow(distuv.UnitNormal.CDF(x[i]+w)-below[i], power-1)
		}
		return w * (1 - f)
	}, 0, 2*far, points, quad.Legendre{}, 0)
	c.D3 = math.Sqrt(square - c.D2*c.D2)
	upper, _ := math.Lgamma(power / 2)
	lower, _ := math.Lgamma((power - 1) / 2)
	c.C4 = math.Sqrt(2/(power-1)) * math.Exp(upper-lower)
	return c, nil
}

// The factors of the usual charts with limits at three standard deviations.

// A2 times the mean range is the half-width of the limits of a mean.
func (c Constants) A2() float64 { return 3 / (c.D2 * math.Sqrt(float64(c.N))) }

// A3 times the mean standard deviation is the half-width of the limits of a mean.
func (c Constants) A3() float64 { return 3 / (c.C4 * math.Sqrt(float64(c.N))) }

// E2 times the mean moving range of n is the half-width of the limits of a reading.
func (c Constants) E2() float64 { return 3 / c.D2 }

// D3Low and D4 times the mean range are the limits of a range; D3Low is the D3 of
// the tables.
func (c Constants) D3Low() float64 { return max(0, 1-3*c.D3/c.D2) }

// D4 is the upper of the two.
func (c Constants) D4() float64 { return 1 + 3*c.D3/c.D2 }

// B3 and B4 times the mean standard deviation are the limits of a standard
// deviation.
func (c Constants) B3() float64 { return max(0, 1-3*c.spread()/c.C4) }

// B4 is the upper of the two.
func (c Constants) B4() float64 { return 1 + 3*c.spread()/c.C4 }

// spread is the standard deviation of the standard deviation.
func (c Constants) spread() float64 { return math.Sqrt(1 - c.C4*c.C4) }

// D2Star is what the mean of so many ranges is divided by where its square is
// wanted without bias: √(d2² + d3²/subgroups) (A. J. Duncan, Quality Control and
// Industrial Statistics, from memory).
func (c Constants) D2Star(subgroups int) float64 {
	return math.Sqrt(c.D2*c.D2 + c.D3*c.D3/float64(subgroups))
}
