package gauge

import (
	"fmt"
	"math"
	"math/big"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"

	"tenths/calc/quantity"
)

// Conformity is the probability that a part conforms, after a reading with the
// standard uncertainty u (half the expanded uncertainty for k = 2), when nothing
// else is known of the part:
//
//	p = Phi((USL - y)/u) - Phi((LSL - y)/u)
//
// with an absent limit at infinity (JCGM 106:2012, clause 7, normal
// distribution). The differences are taken exactly before anything is rounded.
//
// Errors: no limit, different kinds of quantity, an uncertainty not above 0.
func Conformity(reading, u quantity.Quantity, limits quantity.Toleranced) (float64, error) {
	low, high, err := inUnits(reading, u, limits, "the standard uncertainty")
	if err != nil {
		return 0, fmt.Errorf("reading %s: %w", reading, err)
	}
	return normalBetween(low, high), nil
}

// inUnits gives the limits as multiples of u from a centre; absent ones are
// infinite.
func inUnits(centre, u quantity.Quantity, limits quantity.Toleranced, name string) (low, high float64, err error) {
	if !limits.HasLower() && !limits.HasUpper() {
		return 0, 0, fmt.Errorf("%s has no limits; write them like 1.5000 ±0.0010 in or <= 0.0010 in", limits)
	}
	if u.IsZeroValue() || u.Sign() <= 0 {
		return 0, 0, fmt.Errorf("%s must be above 0 and is %s; no measurement is without doubt", name, u)
	}
	low, high = math.Inf(-1), math.Inf(1)
	for _, l := range []struct {
		into  *float64
		limit quantity.Quantity
		there bool
	}{{&low, limits.Lower, limits.HasLower()}, {&high, limits.Upper, limits.HasUpper()}} {
		if !l.there {
			continue
		}
		d, err := l.limit.Sub(centre)
		if err != nil {
			return 0, 0, err
		}
		if _, err := d.Cmp(u); err != nil {
			return 0, 0, err
		}
		*l.into, _ = new(big.Rat).Quo(d.Rat(), u.Rat()).Float64()
	}
	return low, high, nil
}

// upperTail is the normal probability above z, accurate far out.
func upperTail(z float64) float64 { return 0.5 * math.Erfc(z/math.Sqrt2) }

// normalBetween is the standard normal probability of low..high, taken in the tail
// where both lie, so that small probabilities keep their digits.
func normalBetween(low, high float64) float64 {
	if low > 0 {
		return max(0, upperTail(low)-upperTail(high))
	}
	if high < 0 {
		return max(0, upperTail(-high)-upperTail(-low))
	}
	return max(0, 1-upperTail(-low)-upperTail(high))
}

// GuardFor is the guard band that leaves at least probability p of conforming to
// a part accepted at the very edge of the acceptance zone, for a standard
// uncertainty u. With one limit it is the normal quantile of p times u (1.645 u
// for 0.95); with two limits it is a little more when the tolerance is narrow
// against u, because the other limit takes its share:
//
//	Phi(T/u - g) - Phi(-g) = p
//
// (own derivation from JCGM 106, 7.3; ISO 14253-1:2017 is said to ask for 0.95,
// from memory). The answer is in the unit of u and inexact.
//
// Errors: p outside 0.5 to 1, no limit, an uncertainty not above 0; a tolerance
// so narrow that no reading gives p, with the narrowest that would.
func GuardFor(u quantity.Quantity, limits quantity.Toleranced, p float64) (quantity.Quantity, error) {
	if !(p >= 0.5 && p < 1) {
		return quantity.Quantity{}, fmt.Errorf("a probability of %g is not possible here; give one from 0.5 to under 1, such as 0.95", p)
	}
	low, high, err := inUnits(limits.Nominal, u, limits, "the standard uncertainty")
	if err != nil {
		return quantity.Quantity{}, err
	}
	width := high - low // T/u; infinite for one limit
	outside := func(g float64) float64 { return upperTail(g) + upperTail(width-g) }
	if outside(width/2) > 1-p { // in the middle of the tolerance it is least
		need := 2 * math.Sqrt2 * math.Erfinv(p)
		return quantity.Quantity{}, fmt.Errorf("with %s and a standard uncertainty of %s nothing can be accepted at %g %%; the tolerance would have to be at least %.4g times the uncertainty and is %.4g times",
			limits, u, 100*p, need, width)
	}
	// Outside falls from the limit to the middle; halve to the last bit.
	a, b := 0.0, math.Min(width/2, 40)
	for range 100 {
		m := a + (b-a)/2
		if outside(m) > 1-p {
			a = m
		} else {
			b = m
		}
	}
	g := quantity.New(new(big.Rat).SetFloat64(b), quantity.One).WithBound(big.NewRat(1, 1e12))
	return u.Mul(g), nil
}

// Risks are the shares of all parts of a process, 0 to 1.
type Risks struct {
	Nonconforming   float64 // outside the limits
	WronglyAccepted float64 // outside and accepted all the same
	WronglyRejected float64 // inside and not accepted
}

// LotRisks are the shares of parts that a process makes outside its limits and
// that a gauge sorts wrongly, when true sizes are normal about mean with standard
// deviation sd, readings are normal about the true size with standard
// uncertainty u, and a part is accepted from LSL + guard to USL - guard
// (JCGM 106:2012, clause 9, global risks; integrated numerically).
//
// Errors: no limit, different kinds of quantity, a spread or uncertainty not
// above 0, a guard band below 0 or so wide that nothing is accepted.
func LotRisks(mean, sd, u, guard quantity.Quantity, limits quantity.Toleranced) (Risks, error) {
	low, high, err := inUnits(mean, sd, limits, "the spread of the process")
	if err != nil {
		return Risks{}, fmt.Errorf("process mean %s: %w", mean, err)
	}
	d, err := Decide(mean, guard, limits)
	if err != nil {
		return Risks{}, err
	}
	if !d.CanAccept {
		return Risks{}, fmt.Errorf("a guard band of %s on both sides of %s accepts nothing", guard, limits)
	}
	if u.IsZeroValue() || u.Sign() <= 0 {
		return Risks{}, fmt.Errorf("the standard uncertainty must be above 0 and is %s; no measurement is without doubt", u)
	}
	if _, err := u.Cmp(sd); err != nil {
		return Risks{}, fmt.Errorf("standard uncertainty %s: %w", u, err)
	}
	// From here all is in units of sd from the mean; x is the true size.
	r, _ := new(big.Rat).Quo(u.Rat(), sd.Rat()).Float64()
	w, _ := new(big.Rat).Quo(guard.Rat(), sd.Rat()).Float64()
	density := func(x float64) float64 { return math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) }
	accepted := func(x float64) float64 { return density(x) * normalBetween((low+w-x)/r, (high-w-x)/r) }
	refused := func(x float64) float64 { return density(x) * (upperTail((x-low-w)/r) + upperTail((high-w-x)/r)) }
	edges := []float64{low + w, high - w}
	const far = 12.0 // sd; nothing lies beyond
	return Risks{
		Nonconforming:   upperTail(-low) + upperTail(high),
		WronglyAccepted: integral(accepted, -far, min(low, far), edges, r) + integral(accepted, max(high, -far), far, edges, r),
		WronglyRejected: integral(refused, max(low, -far), min(high, far), edges, r),
	}, nil
}

// integral is f over a..b, 0 when b is not above a. It goes in steps of half an
// sd, and in steps of r about the edges of the acceptance zone, where f falls off
// within a few r.
func integral(f func(float64) float64, a, b float64, edges []float64, r float64) float64 {
	if !(a < b) {
		return 0
	}
	cuts := []float64{a, b}
	for x := math.Ceil(a*2) / 2; x < b; x += 0.5 {
		cuts = append(cuts, x)
	}
	for _, e := range edges {
		for k := -10.0; k <= 10; k++ {
			if x := e + k*r; x > a && x < b {
				cuts = append(cuts, x)
			}
		}
	}
	slices.Sort(cuts)
	sum := 0.0
	for i := 1; i < len(cuts); i++ {
		sum += quad.Fixed(f, cuts[i-1], cuts[i], 12, quad.Legendre{}, 0)
	}
	return sum
}
