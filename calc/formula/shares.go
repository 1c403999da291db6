package formula

import (
	"math/big"

	"tenths/calc/quantity"
)

// shares fills in the contributors, the root sum square and the standard deviation.
func (s *study) shares(r *Result, d []quantity.Quantity, unit quantity.Unit) *Error {
	zero := quantity.New(new(big.Rat), unit)
	var terms, deviations []quantity.Quantity
	for i, src := range s.sources {
		if src.input.Common.Part == 1 {
			continue // all of it is the common source's
		}
		c := Contributor{Name: src.input.Name, Source: src.input.Source, Members: src.members, HalfWidth: src.half, SD: src.sd()}
		if r.NoSlope == nil {
			if d != nil {
				c.Sensitivity = d[i]
			}
			if c.Sensitivity.IsZeroValue() {
				c.Sensitivity = quantity.New(new(big.Rat), quantity.BaseUnit(r.Dim.Over(src.half.Dim())))
			}
			var err error
			if c.Effect, err = c.Sensitivity.Mul(src.half).Abs().As(unit); err == nil {
				c.EffectSD, err = c.Sensitivity.Mul(c.SD).Abs().As(unit)
			}
			if err != nil {
				return s.fail(s.root.column, err.Error(), "")
			}
			terms, deviations = append(terms, c.Effect), append(deviations, c.EffectSD)
		}
		r.Contributors = append(r.Contributors, c)
	}
	if r.NoSlope != nil {
		return nil
	}
	r.RSS, r.SD = zero, zero
	if len(terms) == 0 {
		return nil
	}
	var err error
	for _, sum := range []struct {
		to    *quantity.Quantity
		terms []quantity.Quantity
	}{{&r.RSS, terms}, {&r.SD, deviations}} {
		if *sum.to, err = rss(sum.terms); err == nil {
			*sum.to, err = sum.to.As(unit)
		}
		if err != nil {
			return s.fail(s.root.column, err.Error(), "")
		}
	}
	worst := partsOf(terms, func(v float64) float64 { return v })
	squares := partsOf(terms, func(v float64) float64 { return v * v })
	variances := partsOf(deviations, func(v float64) float64 { return v * v })
	for i := range r.Contributors {
		c := &r.Contributors[i]
		c.WorstShare, c.RSSShare, c.Share = worst[i], squares[i], variances[i]
	}
	return nil
}

// partsOf are the parts of values in the sum of f over all of them.
func partsOf(values []quantity.Quantity, f func(float64) float64) []float64 {
	out := make([]float64, len(values))
	largest, sum := 0.0, 0.0
	for _, q := range values {
		largest = max(largest, q.Float())
	}
	if largest == 0 {
		return out
	}
	for i, q := range values {
		out[i] = f(q.Float() / largest) // so that no square is lost
		sum += out[i]
	}
	for i := range out {
		out[i] /= sum
	}
	return out
}
