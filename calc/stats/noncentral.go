package stats

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// noncentralT is the probability that (Z + shift) / sqrt(chi²/df) is at most t,
// Z standard normal: the integral of Φ(t·s - shift) over the distribution of
// s = sqrt(chi²/df). Series for it lose their digits from a shift of about 37 on
// (R's pt says so; gonum's NoncentralT goes over to an approximation there);
// the integral does not.
func noncentralT(t, df, shift float64) float64 {
	return overSpread(df, t, shift, func(s float64) float64 { return distuv.UnitNormal.CDF(float64(t*s) - shift) })
}

// overSpread integrates f(s) over the distribution of s, the ratio of a standard
// deviation with df degrees of freedom to the true one. f may rise steeply about
// s = shift/t.
func overSpread(df, t, shift float64, f func(s float64) float64) float64 {
	lg, _ := math.Lgamma(df / 2)
	constant := math.Ln2 + float64(df/2*math.Log(df/2)) - lg
	density := func(s float64) float64 {
		return math.Exp(constant + float64((df-1)*math.Log(s)) - float64(df*s*s/2))
	}
	reach := 9 / math.Sqrt(2*df)
	low, high := max(0, 1-reach), 1+reach
	knots := []float64{low}
	if step := shift / t; !math.IsInf(step, 0) && !math.IsNaN(step) {
		width := 8 / math.Abs(t)
		for _, k := range []float64{step - width, step, step + width} {
			if k > knots[len(knots)-1] && k < high {
				knots = append(knots, k)
			}
		}
	}
	knots = append(knots, high)
	const panels, nodes = 6, 20
	at := legendre(nodes)
	var sum float64
	for i := range len(knots) - 1 {
		half := (knots[i+1] - knots[i]) / panels / 2
		for p := range panels {
			middle := knots[i] + float64(2*p+1)*half
			for _, g := range at {
				s := middle + half*g[0]
				sum += half * g[1] * density(s) * f(s)
			}
		}
	}
	return sum
}

// shiftFor is the shift at which noncentralT(t, df, shift) is p. It falls with
// the shift.
func shiftFor(t, df, p float64) float64 {
	reach := 10 + 2*math.Abs(t)
	return root(func(shift float64) float64 { return noncentralT(t, df, shift) - p }, t-reach, t+reach)
}

// root finds where a monotone function changes its sign between low and high
// (Ridders' method, which falls back on halves).
func root(f func(float64) float64, low, high float64) float64 {
	fl, fh := f(low), f(high)
	switch {
	case fl == 0 || math.Abs(fl) < math.Abs(fh) && fl > 0 == (fh > 0):
		return low
	case fh == 0 || fl > 0 == (fh > 0):
		return high
	}
	last := math.Inf(1)
	for range 200 {
		mid := low + (high-low)/2
		fm := f(mid)
		if fm == 0 {
			return mid
		}
		x := mid
		if d := math.Sqrt(fm*fm - fl*fh); d > 0 {
			x = mid + (mid-low)*fm/d*math.Copysign(1, fl-fh)
		}
		if !(x > low && x < high) {
			x = mid
		}
		fx := f(x)
		switch {
		case fx == 0:
			return x
		case fm > 0 != (fx > 0):
			if low, fl, high, fh = mid, fm, x, fx; low > high {
				low, fl, high, fh = high, fh, low, fl
			}
		case fx > 0 == (fl > 0):
			low, fl = x, fx
			if mid > x {
				low, fl = mid, fm
			}
		default:
			high, fh = x, fx
			if mid < x {
				high, fh = mid, fm
			}
		}
		small := 1e-13 * max(math.Abs(low), math.Abs(high))
		if high-low <= small || math.Abs(x-last) <= small {
			return x
		}
		last = x
	}
	return low + (high-low)/2
}

// legendre gives nodes on -1 … 1 with their weights.
func legendre(n int) [][2]float64 {
	x, w := make([]float64, n), make([]float64, n)
	quad.Legendre{}.FixedLocations(x, w, -1, 1)
	out := make([][2]float64, n)
	for i := range out {
		out[i] = [2]float64{x[i], w[i]}
	}
	return out
}
