package study

import (
	"math/big"
	"strings"
	"time"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// LimitGauge is a GO / NOT GO pair against the limits that it is for. On a hole
// the GO member is the small plug and the NOT GO member the large one; on a
// shaft the GO ring is the large one and the NOT GO ring the small one
// (ISO 1938-1).
type LimitGauge struct {
	Gauge   *ledger.Gauge
	Size    ledger.Size // the size with its limits, as of the day
	SizeRec *ledger.Record
	Inside  bool // the size is that of a hole; false for a shaft
	Go      Member
	NotGo   Member
	// Crossed is set if the GO member is the larger one on a hole, or the
	// smaller one on a shaft.
	Crossed bool
}

// Member is one member of the pair against its own limit.
type Member struct {
	Size ledger.Size
	// Worst is the end of the member's tolerance that lies farther out, Limit
	// the limit of the size that it guards; zero Quantities if one is missing.
	Worst, Limit quantity.Quantity
	// Beyond is how far Worst lies outside the limits, negative inside; bad
	// parts pass where it is positive.
	Beyond quantity.Quantity
	// Out is set where Worst lies outside the limits.
	Out bool
	// Share is the part of the tolerance by which Worst lies inside, in which
	// good parts are turned away; nil if it has no meaning.
	Share *big.Rat
}

// LimitGauge compares a GO / NOT GO pair with the size that it checks, as of
// the day asked for; nil if the record is no such pair or the size has no
// limits. Comparisons are exact.
func (s *Set) LimitGauge(rec *ledger.Record) *LimitGauge {
	g, ok := rec.Data.(*ledger.Gauge)
	if !ok || !g.Go.Set() && !g.NotGo.Set() {
		return nil
	}
	size, of := s.checksSize(g, s.AsOf)
	if !size.Set() || !size.Tol.HasLower() && !size.Tol.HasUpper() {
		return nil
	}
	out := &LimitGauge{Gauge: g, Size: size, SizeRec: of, Inside: s.gaugesHole(g)}
	width, _ := size.Tol.Width()
	low, high := g.Go, g.NotGo
	if !out.Inside {
		low, high = g.NotGo, g.Go
	}
	lower := member(low, size.Tol.Lower, width, false)
	upper := member(high, size.Tol.Upper, width, true)
	if out.Inside {
		upper.allowCentred(width)
	} else {
		lower.allowCentred(width)
	}
	out.Go, out.NotGo = lower, upper
	if !out.Inside {
		out.Go, out.NotGo = upper, lower
	}
	if low.Set() && high.Set() {
		if d, err := rangeOf(low).Min.Cmp(rangeOf(high).Max); err == nil {
			out.Crossed = d > 0
		}
	}
	return out
}

// member judges one member: upper says which limit it guards.
func member(size ledger.Size, limit, width quantity.Quantity, upper bool) Member {
	m := Member{Size: size}
	if !size.Set() || limit.IsZeroValue() {
		return m
	}
	r := rangeOf(size)
	worst := r.Min
	beyond, err := limit.Sub(worst)
	if upper {
		worst = r.Max
		beyond, err = worst.Sub(limit)
	}
	if err != nil {
		return m
	}
	m.Worst, m.Limit, m.Beyond = worst, limit, beyond
	m.Out = beyond.Sign() > 0
	if !width.IsZeroValue() && width.Sign() > 0 {
		m.Share = new(big.Rat).Quo(beyond.Neg().Rat(), width.Rat())
	}
	return m
}

// centredWithin is the part of the tolerance that the making tolerance of a NOT
// GO member may reach past the limit when it is centred on it: H/2 of the limit
// gauges of DIN 7162 and ISO 1938, about a tenth for IT6 and IT7.
var centredWithin = big.NewRat(1, 8)

// allowCentred lets a NOT GO member pass whose making tolerance is centred on its
// limit, as those standards make it.
func (m *Member) allowCentred(width quantity.Quantity) {
	if !m.Out || m.Size.Tol.Form != quantity.PlusMinus || width.IsZeroValue() {
		return
	}
	if d, err := m.Size.Nominal().Cmp(m.Limit); err != nil || d != 0 {
		return
	}
	m.Out = m.Beyond.Rat().Cmp(new(big.Rat).Mul(width.Rat(), centredWithin)) > 0
}

// checksSize is the size that a pair is for, as of a day, with its record.
func (s *Set) checksSize(g *ledger.Gauge, day time.Time) (ledger.Size, *ledger.Record) {
	if !g.For.Set() {
		return ledger.Size{}, nil
	}
	if rec, char := s.characteristic(g.For.S, day); char != nil {
		return char.Limits, rec
	}
	size, t, err := s.L.ValueOn(g.For.S, day)
	if err != nil {
		return ledger.Size{}, nil
	}
	return size, t.Rec
}

// gaugesHole tells a pair for holes from one for shafts: by its own name, or by
// the feature that it checks.
func (s *Set) gaugesHole(g *ledger.Gauge) bool {
	t := strings.ToLower(g.Type.S)
	switch {
	case strings.Contains(t, "plug"), strings.Contains(t, "pin"):
		return true
	case strings.Contains(t, "ring"), strings.Contains(t, "snap"), strings.Contains(t, "gap"):
		return false
	}
	if target, err := s.L.Find(g.For.S); err == nil {
		if f, ok := target.Node.(*ledger.Feature); ok {
			switch f.Type.S {
			case "shaft", "outline", "flat", "edge", "face":
				return false
			}
		}
	}
	return true
}
