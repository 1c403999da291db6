package stats

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// ErrNotIdentified is returned where readings fall on one or two neighbouring
// counts: a spread of any size below a count fits them equally well, down to
// none, and no number would be honest.
var ErrNotIdentified = errors.New("the readings fall on one or two neighbouring counts: the spread of the parts cannot be found from them; read finer")

// Sheppard takes the rounding out of a standard deviation of readings:
// sqrt(sd² - count²/12) (W. F. Sheppard 1898, from memory). It is false where the
// readings vary by less than MinSpreadCounts, since rounding is then no noise
// that could be taken out.
func Sheppard(sd, count float64) (float64, bool) {
	if !(count >= 0) || !(sd >= 0) || variesTooLittle(Summary{SD: sd}, count) {
		return 0, false
	}
	return math.Sqrt(max(0, sd*sd-count*count/12)), true
}

// LeastSpread is the standard deviation to use where one too small would flatter,
// as in a capability index: that of the readings, but where they vary by less
// than MinSpreadCounts none below count/√12, that of rounding alone. hidden says
// that they do; an index from it is then no more than "about this or better".
func LeastSpread(sd, count float64) (use float64, hidden bool) {
	if !variesTooLittle(Summary{SD: sd}, count) {
		return sd, false
	}
	return max(sd, count/math.Sqrt(12)), true
}

// RoundedFit is a normal distribution fitted to rounded readings, in their unit.
type RoundedFit struct {
	Mean, SD     float64
	SEMean, SESD float64 // standard errors, from the curvature at the top
}

// FitRounded fits a normal distribution to readings that are rounded to a count:
// each says only that the true value lies within half a count. It gives the
// values for which the readings are the likeliest (maximum likelihood, divisor n
// and not n-1; the likelihood has one top, J. Burridge, Biometrika 68 (1981) 41,
// from memory).
//
// Errors: ErrNotIdentified, ErrNoReadings, a count not above 0, an unusable
// reading.
func FitRounded(readings []float64, count float64) (RoundedFit, error) {
	s, err := Summarize(readings)
	if err != nil {
		return RoundedFit{}, err
	}
	if !(count > 0 && count <= 1e100) {
		return RoundedFit{}, fmt.Errorf("the count %g must be above 0", count)
	}
	type cell struct{ low, high, n float64 }
	at := map[float64]int{}
	var cells []cell
	for _, x := range readings {
		u := math.Round((x-s.Median)/count*1e6) / 1e6
		i, ok := at[u]
		if !ok {
			i = len(cells)
			at[u] = i
			cells = append(cells, cell{u - 0.5, u + 0.5, 0})
		}
		cells[i].n++
	}
	if len(cells) < 2 || len(cells) == 2 && math.Abs(cells[0].low-cells[1].low) < 1+1e-6 {
		return RoundedFit{}, ErrNotIdentified
	}
	// In a = mean/sd and b = 1/sd the likelihood is concave.
	type slope struct{ l, ga, gb, aa, ab, bb float64 }
	look := func(a, b float64) slope {
		var t slope
		for _, c := range cells {
			zl, zh := b*c.low-a, b*c.high-a
			p := distuv.UnitNormal.CDF(zh) - distuv.UnitNormal.CDF(zl)
			if zl > 0 {
				p = distuv.UnitNormal.CDF(-zl) - distuv.UnitNormal.CDF(-zh)
			}
			fl, fh := distuv.UnitNormal.Prob(zl), distuv.UnitNormal.Prob(zh)
			pa, pb := fl-fh, c.high*fh-c.low*fl
			paa, pab, pbb := zl*fl-zh*fh, c.high*zh*fh-c.low*zl*fl, c.low*c.low*zl*fl-c.high*c.high*zh*fh
			t.l += c.n * math.Log(p)
			t.ga += c.n * pa / p
			t.gb += c.n * pb / p
			t.aa += c.n * (paa/p - pa*pa/(p*p))
			t.ab += c.n * (pab/p - pa*pb/(p*p))
			t.bb += c.n * (pbb/p - pb*pb/(p*p))
		}
		return t
	}
	sd := max(s.SD/count, 0.4)
	a, b := (s.Mean-s.Median)/count/sd, 1/sd
	t := look(a, b)
	for range 200 {
		det := t.aa*t.bb - t.ab*t.ab
		da, db := (t.bb*t.ga-t.ab*t.gb)/det, (t.aa*t.gb-t.ab*t.ga)/det
		step := 1.0
		var next slope
		for range 60 {
			if b-step*db > 0 {
				if next = look(a-step*da, b-step*db); next.l >= t.l-1e-12*math.Abs(t.l) {
					break
				}
			}
			step /= 2
		}
		a, b, t = a-step*da, b-step*db, next
		if math.Abs(da) <= 1e-11*(1+math.Abs(a)) && math.Abs(db) <= 1e-11*b {
			break
		}
	}
	det := t.aa*t.bb - t.ab*t.ab
	if !(b > 0) || !(t.aa < 0) || !(det > 0) || math.IsInf(t.l, 0) {
		return RoundedFit{}, ErrNotIdentified
	}
	vaa, vab, vbb := -t.bb/det, t.ab/det, -t.aa/det
	varMean := (vaa - 2*vab*a/b + vbb*a*a/(b*b)) / (b * b)
	return RoundedFit{
		Mean: s.Median + a/b*count, SD: count / b,
		SEMean: math.Sqrt(max(0, varMean)) * count, SESD: math.Sqrt(vbb) / (b * b) * count,
	}, nil
}
