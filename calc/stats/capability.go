package stats

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// FewForCapability is the number of parts under which a capability index says
// little: with 24 parts, 1.33 may stand for anything from 0.9 to 1.7. The
// interval of the next part says more then (common practice).
const FewForCapability = 25

// Capability compares a spread with limits. A limit that there is not gives no
// index of its side; without both there is no C.
type Capability struct {
	N  int
	DF int // degrees of freedom of the spread
	// C is (upper - lower) / 6 sd: Cp when sd is the spread within subgroups, Pp
	// when it is that of all parts.
	C    float64
	HasC bool
	CIn  Interval
	// CK is the smaller of (upper - mean) / 3 sd and (mean - lower) / 3 sd: Cpk
	// or Ppk. It may be below 0, and it may be larger with the one spread than
	// with the other.
	CK, Upper, Lower   float64
	HasUpper, HasLower bool
	CKIn               Interval
	CKAtLeast          float64 // one-sided lower bound of CK
	Few                bool    // fewer than FewForCapability parts
}

// ErrNoLimits is returned when there is neither a lower nor an upper limit.
var ErrNoLimits = errors.New("a capability needs limits; there are none")

// CapabilityOf computes the indices of n normal parts with the given mean and a
// standard deviation of df degrees of freedom. NaN is a limit that there is not.
//
// The interval of C is that of the standard deviation, C·sqrt(chi²(tail)/df)
// (NIST/SEMATECH e-Handbook 6.1.6). That of CK inverts the noncentral t
// distribution, to which 3·sqrt(n)·CK belongs with df degrees of freedom: exact
// for one limit; for two it is that of the nearer limit, an approximation (R. N.
// Rodriguez, J. Quality Technology 24 (1992) 176). The normal approximation of
// Bissell agrees with it to about 1 % from 20 parts on.
//
// Errors: ErrNoLimits, limits in the wrong order, ErrNoSpread for sd 0, a number
// that is not usable, df below 1 or n below 2, a confidence outside (0, 1).
func CapabilityOf(mean, sd float64, n, df int, lower, upper, conf float64) (Capability, error) {
	if err := checkConf(conf); err != nil {
		return Capability{}, err
	}
	c := Capability{N: n, DF: df, HasLower: !math.IsNaN(lower), HasUpper: !math.IsNaN(upper), Few: n < FewForCapability}
	switch {
	case !c.HasLower && !c.HasUpper:
		return Capability{}, ErrNoLimits
	case c.HasLower && c.HasUpper && !(lower < upper):
		return Capability{}, fmt.Errorf("the lower limit %g is not below the upper limit %g", lower, upper)
	case !(math.Abs(mean) <= 1e100):
		return Capability{}, fmt.Errorf("the mean %g is not a usable number", mean)
	case n < 2 || df < 1:
		return Capability{}, fmt.Errorf("%w: %d parts, %d degrees of freedom", ErrTooFew, n, df)
	}
	if err := checkSD(sd); err != nil {
		return Capability{}, err
	}
	if sd == 0 {
		return Capability{}, ErrNoSpread
	}
	tail, f := (1-conf)/2, float64(df)
	if c.HasLower && c.HasUpper {
		c.C, c.HasC = (upper-lower)/(6*sd), true
		chi := distuv.ChiSquared{K: f}
		c.CIn = Interval{c.C * math.Sqrt(chi.Quantile(tail)/f), c.C * math.Sqrt(chi.Quantile(1-tail)/f)}
	}
	c.CK = math.Inf(1)
	if c.HasUpper {
		c.Upper = (upper - mean) / (3 * sd)
		c.CK = c.Upper
	}
	if c.HasLower {
		c.Lower = (mean - lower) / (3 * sd)
		c.CK = min(c.CK, c.Lower)
	}
	scale := 3 * math.Sqrt(float64(n))
	t := scale * c.CK
	c.CKIn = Interval{shiftFor(t, f, 1-tail) / scale, shiftFor(t, f, tail) / scale}
	c.CKAtLeast = shiftFor(t, f, conf) / scale
	return c, nil
}

// WithinSubgroups is the pooled standard deviation of the readings within their
// subgroups, and its degrees of freedom. It leaves out what differs from one
// subgroup to the next.
//
// Errors: no subgroup of two readings or more, an unusable reading.
func WithinSubgroups(groups [][]float64) (sd float64, df int, err error) {
	var squares float64
	for i, g := range groups {
		s, err := Summarize(g)
		if err != nil {
			return 0, 0, fmt.Errorf("subgroup %d: %w", i+1, err)
		}
		squares += s.SD * s.SD * float64(s.N-1)
		df += s.N - 1
	}
	if df == 0 {
		return 0, 0, errors.New("no subgroup has two readings or more")
	}
	return math.Sqrt(squares / float64(df)), df, nil
}
