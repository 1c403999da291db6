package study

import (
	"math/big"

	"tenths/calc/gauge"
	"tenths/calc/quantity"
	"tenths/ledger"
)

// ToleranceFrom says what the tolerance of a GO or NOT GO member comes from.
type ToleranceFrom int

// Where a tolerance comes from.
const (
	ToleranceUnknown     ToleranceFrom = iota // a plain size, and neither class nor uncertainty
	ToleranceWritten                          // written with the size
	ToleranceOfClass                          // a plain size is what is marked on a member of that class
	ToleranceUncertainty                      // a plain size is as measured, ± the uncertainty of the gauge
)

// OwnTolerance is what the true size of a GO or NOT GO member may be.
type OwnTolerance struct {
	Member ledger.Size // as written; absent if the pair has no such member
	From   ToleranceFrom
	Class  gauge.Class // of ToleranceOfClass
	// Low and High are the ends, Width the difference; zero Quantities if they
	// are not known.
	Low, High, Width quantity.Quantity
}

// ownTolerance finds what a member may be. A size with a tolerance says it
// itself. A plain size is one as measured if the gauge states an uncertainty,
// else the mark of a gauge of its class: sign says to which side it is made.
func ownTolerance(g *ledger.Gauge, size ledger.Size, sign gauge.Sign) OwnTolerance {
	out := OwnTolerance{Member: size}
	if !size.Set() || size.Nominal().Dim() != quantity.Length {
		return out
	}
	take := func(from ToleranceFrom, t quantity.Toleranced) {
		if w, ok := t.Width(); ok {
			out.From, out.Low, out.High, out.Width = from, t.Lower, t.Upper, w
		}
	}
	if size.Tol.Form != quantity.Plain {
		take(ToleranceWritten, *size.Tol)
		return out
	}
	if u := g.U; u.Set() && u.Nominal().Dim() == quantity.Length && u.Nominal().Sign() > 0 {
		low, err1 := size.Nominal().Sub(u.Nominal())
		high, err2 := size.Nominal().Add(u.Nominal())
		if err1 == nil && err2 == nil {
			out.From, out.Low, out.High, out.Width = ToleranceUncertainty, low, high, u.Nominal().Scale(big.NewRat(2, 1))
		}
		return out
	}
	if c, err := gauge.ParseClass(g.Class.S); err == nil {
		if t, err := c.Gauge(size.Nominal(), sign); err == nil {
			take(ToleranceOfClass, t)
			out.Class = c
		}
	}
	return out
}

// signOf reads the sign of a gauge; ok is false if it says none.
func signOf(g *ledger.Gauge) (sign gauge.Sign, ok bool) {
	for _, s := range []gauge.Sign{gauge.Plus, gauge.Minus, gauge.Master} {
		if g.Sign.S == s.String() {
			return s, true
		}
	}
	return gauge.Plus, false
}

// PairShare is the part of a tolerance that a GO / NOT GO pair takes for itself.
type PairShare struct {
	Gauge     *ledger.Gauge
	Size      ledger.Size // the size with its limits, as of the day
	SizeRec   *ledger.Record
	Tolerance quantity.Quantity
	Go, NotGo OwnTolerance
	// Share counts what is known of the members' tolerances; a member as measured
	// counts 2 U, the width in which its true size lies.
	Share gauge.Share
	// Better is the coarsest pair that keeps the ten percent rule; nil if not even
	// the finest class does.
	Better *gauge.Pair
}

// PairShare compares the tolerances of a GO / NOT GO pair with the one that it
// is for, as of the day asked for:
//
//	share = (t_GO + t_NOTGO) / T
//
// It is nil if the record is no such pair, checks nothing that has two limits,
// or tells nothing of its own tolerances; and for a pair that does not stand at
// its limits at all. It is nil too where the NOT GO member is centred on its
// limit: that pair is made to ISO 1938-1 or DIN 7162, which give their own
// tolerances, about 40 % of an IT7 for the two (from memory).
func (s *Set) PairShare(rec *ledger.Record) *PairShare {
	pair := s.LimitGauge(rec)
	if pair == nil || pair.centred() || pair.Crossed || pair.Go.Out || pair.NotGo.Out {
		return nil
	}
	width, ok := pair.Size.Tol.Width()
	if !ok || width.Dim() != quantity.Length {
		return nil
	}
	out := &PairShare{Gauge: pair.Gauge, Size: pair.Size, SizeRec: pair.SizeRec, Tolerance: width}
	// The width of a class is the same to whichever side it is made.
	out.Go = ownTolerance(pair.Gauge, pair.Gauge.Go, gauge.Plus)
	out.NotGo = ownTolerance(pair.Gauge, pair.Gauge.NotGo, gauge.Minus)
	nothing := quantity.New(new(big.Rat), width.Unit())
	widths := [2]quantity.Quantity{nothing, nothing}
	known := false
	for i, m := range []OwnTolerance{out.Go, out.NotGo} {
		if m.From != ToleranceUnknown {
			widths[i], known = m.Width, true
		}
	}
	if !known {
		return nil
	}
	var err error
	if out.Share, err = gauge.ShareOf(widths[0], widths[1], width); err != nil {
		return nil
	}
	kind := gauge.Plug
	if !pair.Inside {
		kind = gauge.Ring
	}
	if better, err := gauge.Coarsest(kind, *pair.Size.Tol); err == nil {
		out.Better = &better
	}
	return out
}

// centred reports whether the NOT GO member is made centred on its limit.
func (l *LimitGauge) centred() bool {
	m := l.NotGo
	if !m.Size.Set() || m.Size.Tol.Form != quantity.PlusMinus || m.Limit.IsZeroValue() {
		return false
	}
	d, err := m.Size.Nominal().Cmp(m.Limit)
	return err == nil && d == 0
}
