package study

import (
	"math"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// Decimals is how many decimals, in Unit, a mean or a difference of the
// evidence deserves: the last one is not coarser than a fifth of the gauge's
// count. Without a gauge the readings as written stand in for the count, without
// readings the limits.
func (ev *Evidence) Decimals() int {
	count := ev.C.Count
	if count == 0 {
		for _, g := range []*Group{ev.Before, ev.After} {
			if g != nil {
				count = max(count, ev.countOf(g))
			}
		}
	}
	if count == 0 && ev.Before == nil && ev.After == nil && ev.Char != nil && ev.Char.Limits.Set() {
		if d := ev.Char.Limits.Nominal().Decimals(); d >= 0 {
			count = ev.inUnit(step1(ev.Char.Limits, d))
		}
	}
	if count == 0 {
		return 2
	}
	for n := range 9 {
		if math.Pow10(-n) <= count/5*(1+1e-9) {
			return n
		}
	}
	return 9
}

// countOf is the step of a group's gauge, else the finest step in which its
// readings are written; 0 if neither says.
func (ev *Evidence) countOf(g *Group) float64 {
	if r := ev.sample(g, nil).Resolution; r > 0 {
		return r
	}
	step := 0.0
	type written struct {
		unit     string
		decimals int
	}
	seen := map[written]bool{} // thousands of readings are written in one way or two
	for _, row := range g.Rows {
		for _, v := range row.Values {
			if d := v.Nominal().Decimals(); d >= 0 && !seen[written{v.Nominal().Unit().Name(), d}] {
				seen[written{v.Nominal().Unit().Name(), d}] = true
				one := ev.inUnit(step1(v, d))
				if one > 0 && (step == 0 || one < step) {
					step = one
				}
			}
		}
	}
	return step
}

// step1 is one step of the last of d decimals of a size.
func step1(v ledger.Size, d int) ledger.Size {
	q := quantity.FromFloat(math.Pow10(-d), v.Nominal().Unit())
	return ledger.Size{Tol: &quantity.Toleranced{Nominal: q}, Span: v.Span}
}

// Shown is a number of the evidence, counted from Base or a difference, rounded
// to the digits that it deserves, so that a program reads no more out of it than
// a person. It is for showing only; nothing is computed from it.
func (ev *Evidence) Shown(v float64) quantity.Quantity {
	return Rounded(ev.Q(v), ev.Decimals())
}

// Bounds gives the limits of a size exactly, in Unit and counted from Base; a
// limit that there is not is the zero Quantity.
func (ev *Evidence) Bounds(size ledger.Size) (lower, upper quantity.Quantity) {
	if !size.Set() {
		return lower, upper
	}
	from := func(q quantity.Quantity) quantity.Quantity {
		d, err := q.Sub(ev.Base)
		if err != nil {
			return quantity.Quantity{}
		}
		decimals := d.Decimals()
		if d, err = d.As(ev.Unit); err != nil {
			return quantity.Quantity{}
		}
		if q.Unit().Same(ev.Unit) {
			d = d.WithDecimals(max(decimals, q.Decimals()))
		}
		return d
	}
	if size.Tol.HasLower() {
		lower = from(size.Tol.Lower)
	}
	if size.Tol.HasUpper() {
		upper = from(size.Tol.Upper)
	}
	// Both ends have the decimals of the finer one, with its zeros.
	n := max(lower.Decimals(), upper.Decimals())
	if nominal := size.Tol.Nominal; nominal.Unit().Same(ev.Unit) {
		n = max(n, nominal.Decimals())
	}
	return withZeros(lower, n), withZeros(upper, n)
}

// withZeros gives an exact quantity n decimals, unless it has more already, does
// not end within n, or is nothing.
func withZeros(q quantity.Quantity, n int) quantity.Quantity {
	if q.IsZeroValue() || q.Sign() == 0 || !q.Exact() || n < 0 || q.Decimals() >= n {
		return q
	}
	v, err := q.In(q.Unit())
	if err != nil {
		return q
	}
	if places, exact := v.FloatPrec(); !exact || places > n {
		return q
	}
	return q.WithDecimals(n)
}

// Percent gives a level, or with change set a difference of two levels, as a
// percentage of the distance from the target to the limit; false if there is
// no such limit. For a characteristic of which less, or more, is always better
// it is the share of the one limit.
func (ev *Evidence) Percent(v float64, change bool) (float64, bool) {
	from, to := ev.Target, ev.Limits[1]
	switch {
	case math.IsInf(ev.Target, 1):
		from, to = 0, ev.Limits[0]
	case math.IsInf(ev.Target, -1):
		from = 0
	}
	reach := math.Abs(to - from)
	if math.IsNaN(reach) || reach == 0 {
		return 0, false
	}
	if change {
		from = 0
	}
	return float64(100*float64(v-from)) / reach, true
}
