package gauge

import (
	"fmt"
	"math/big"

	"tenths/calc/quantity"
)

// Pair is a GO and a NOT GO gauge of one class for one feature.
type Pair struct {
	Kind      Kind
	Class     Class
	Go, NotGo quantity.Toleranced // nominal: the size to be marked
	Share     Share
}

// PairFor sizes a GO and NOT GO pair for the limits of a feature.
//
//	hole, plugs:  GO at the low limit, plus; NOT GO at the high limit, minus
//	shaft, rings: GO at the high limit, minus; NOT GO at the low limit, plus
//
// So the gauges' own tolerance lies inside the part's: bad parts are not passed,
// some good ones near a limit are refused (ASME B89.1.5 practice; the direction
// is the same in all sources seen). Whether the pair is worth having says Share.
//
// Errors: a feature without both limits, no length, not above 0; a limit outside
// the class tables.
func PairFor(kind Kind, feature quantity.Toleranced, class Class) (Pair, error) {
	if err := kind.check(); err != nil {
		return Pair{}, err
	}
	tolerance, err := checkLimits(feature, kind.feature())
	if err != nil {
		return Pair{}, err
	}
	p := Pair{Kind: kind, Class: class}
	goSize, notGoSize, goSign, notGoSign := feature.Lower, feature.Upper, Plus, Minus
	if kind == Ring {
		goSize, notGoSize, goSign, notGoSign = feature.Upper, feature.Lower, Minus, Plus
	}
	if p.Go, err = class.Gauge(goSize, goSign); err != nil {
		return Pair{}, fmt.Errorf("GO %s: %w", kind, err)
	}
	if p.NotGo, err = class.Gauge(notGoSize, notGoSign); err != nil {
		return Pair{}, fmt.Errorf("NOT GO %s: %w", kind, err)
	}
	goTol, _ := p.Go.Width()
	notGoTol, _ := p.NotGo.Width()
	if p.Share, err = ShareOf(goTol, notGoTol, tolerance); err != nil {
		return Pair{}, err
	}
	return p, nil
}

// ShareVerdict says how the share of a pair is to be taken.
type ShareVerdict string

// The verdicts, by the share of the part tolerance that GO and NOT GO take
// together (common practice). A share on the line belongs to the milder side.
const (
	WithinRule ShareVerdict = "within 10 %" // the ten percent rule: 5 % for each of the two
	OverRule   ShareVerdict = "over 10 %"
	Warn       ShareVerdict = "over 20 %"
	Stop       ShareVerdict = "over 40 %"
)

// Share is the part of a tolerance that a pair of gauges takes.
type Share struct {
	Percent quantity.Quantity // (GO tolerance + NOT GO tolerance) / part tolerance, in %
	Verdict ShareVerdict
}

// ShareOf is (t_GO + t_NOTGO)/T with its verdict. The ten percent rule is read
// as 10 % for the pair, 5 % for each gauge; some write it as a 5 % rule for one
// gauge, which is the same, and some mean 10 % for each, which is not.
//
// Errors: a part tolerance that is no length above 0; a gauge tolerance that is
// no length or below 0.
func ShareOf(goTolerance, notGoTolerance, partTolerance quantity.Quantity) (Share, error) {
	if err := needLength(partTolerance, "the tolerance of the part", "0.0005 in"); err != nil {
		return Share{}, err
	}
	if partTolerance.Sign() <= 0 {
		return Share{}, fmt.Errorf("the tolerance of the part is %s; no gauge can be chosen for it, it must be above 0", partTolerance)
	}
	sum := new(big.Rat)
	for _, g := range []struct {
		name string
		tol  quantity.Quantity
	}{{"the GO tolerance", goTolerance}, {"the NOT GO tolerance", notGoTolerance}} {
		if err := needLength(g.tol, g.name, "0.00004 in"); err != nil {
			return Share{}, err
		}
		if g.tol.Sign() < 0 {
			return Share{}, fmt.Errorf("%s %s is below 0", g.name, g.tol)
		}
		sum.Add(sum, g.tol.Rat())
	}
	ratio := sum.Quo(sum, partTolerance.Rat())
	s := Share{Verdict: WithinRule}
	for _, step := range []struct {
		percent int64
		verdict ShareVerdict
	}{{10, OverRule}, {20, Warn}, {40, Stop}} {
		if ratio.Cmp(big.NewRat(step.percent, 100)) > 0 {
			s.Verdict = step.verdict
		}
	}
	s.Percent = percent(ratio)
	return s, nil
}

// percent shows a ratio in %.
func percent(ratio *big.Rat) quantity.Quantity {
	q := quantity.New(ratio, quantity.One)
	if u, ok := quantity.LookupUnit("%"); ok {
		if shown, err := q.As(u); err == nil {
			return shown
		}
	}
	return q
}

// Coarsest is the pair of the coarsest class that keeps the ten percent rule for
// a feature: the cheapest one that may be used.
//
// Errors: as PairFor; a tolerance for which even class XXX takes more than 10 %,
// with the share that it takes.
func Coarsest(kind Kind, feature quantity.Toleranced) (Pair, error) {
	classes := Classes()
	var p Pair
	var err error
	for i := len(classes) - 1; i >= 0; i-- {
		if p, err = PairFor(kind, feature, classes[i]); err != nil {
			return Pair{}, err
		}
		if p.Share.Verdict == WithinRule {
			return p, nil
		}
	}
	return Pair{}, fmt.Errorf("even class XXX takes %s of the tolerance of %s; the ten percent rule leaves no GO/NOT GO pair for it: measure the size instead",
		p.Share.Percent.Format(p.Share.Percent.Unit(), 0), feature)
}

// Bracket says what a GO and a NOT GO gauge, given by their true sizes, do at
// the limits of a feature. All four are lengths, 0 where nothing can happen.
type Bracket struct {
	PassesBelow quantity.Quantity // a feature may be passed by this much below its low limit
	PassesAbove quantity.Quantity // ... and by this much above its high limit
	RefusesLow  quantity.Quantity // good sizes that may be refused at the low limit
	RefusesHigh quantity.Quantity // ... and at the high limit
}

// Brackets reports whether the pair lies inside the limits, so that no bad
// feature is passed: GO not below the low limit and NOT GO not above the high
// limit of a hole, the reverse for a shaft (ISO 1938-1 practice).
func (b Bracket) Brackets() bool { return b.PassesBelow.Sign() == 0 && b.PassesAbove.Sign() == 0 }

// BracketOf compares a GO and NOT GO pair with the limits of a feature. The
// gauges are given by the range of their true sizes: the class tolerance with
// its sign (Class.Gauge), or the measured size with its uncertainty. A minus pin
// used as GO plug shows in PassesBelow, a plus pin used as NOT GO in
// PassesAbove.
//
// Errors: a feature or gauge without both limits, no length, not above 0; a GO
// gauge that does not lie on the GO side of the NOT GO gauge.
func BracketOf(kind Kind, feature, goGauge, notGoGauge quantity.Toleranced) (Bracket, error) {
	if err := kind.check(); err != nil {
		return Bracket{}, err
	}
	for _, l := range []struct {
		t    quantity.Toleranced
		what string
	}{{feature, kind.feature()}, {goGauge, "GO " + kind.String()}, {notGoGauge, "NOT GO " + kind.String()}} {
		if _, err := checkLimits(l.t, l.what); err != nil {
			return Bracket{}, err
		}
	}
	low, high := goGauge, notGoGauge // the gauges at the low and at the high limit
	if kind == Ring {
		low, high = notGoGauge, goGauge
	}
	if low.Lower.Rat().Cmp(high.Upper.Rat()) >= 0 {
		size := "smaller"
		if kind == Ring {
			size = "larger"
		}
		return Bracket{}, fmt.Errorf("the GO %[1]s %[2]s and the NOT GO %[1]s %[3]s stand the wrong way round; the GO %[1]s is the %[4]s one",
			kind, goGauge, notGoGauge, size)
	}
	var b Bracket
	for _, e := range []struct {
		into *quantity.Quantity
		a, b quantity.Quantity
	}{
		{&b.PassesBelow, feature.Lower, low.Lower},
		{&b.RefusesLow, low.Upper, feature.Lower},
		{&b.PassesAbove, high.Upper, feature.Upper},
		{&b.RefusesHigh, feature.Upper, high.Lower},
	} {
		d, err := excess(e.a, e.b)
		if err != nil {
			return Bracket{}, err
		}
		if *e.into, err = d.As(feature.Lower.Unit()); err != nil {
			return Bracket{}, err
		}
	}
	return b, nil
}
