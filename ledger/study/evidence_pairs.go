package study

import (
	"fmt"
	"math"
	"slices"

	"tenths/calc/stats"
	"tenths/ledger"
)

// level compares the level of two samples, of the same pieces where the record
// says so.
func (ev *Evidence) level(before, after stats.Sample, conf float64) (stats.Comparison, error) {
	if ev.Paired {
		return stats.ComparePaired(before, after, conf)
	}
	return stats.Compare(before, after, conf)
}

// matched gives both groups with only the pieces that were measured before and
// after, in the same order, and with only the readings that there are on both
// sides. The problem says why pieces cannot be matched.
func (ev *Evidence) matched() (before, after *Group, problem string) {
	b, a := *ev.Before, *ev.After
	marks := func(g *Group) []string {
		var out []string
		for _, row := range g.Rows {
			if row.Piece.Set() {
				out = append(out, row.Piece.S)
			}
		}
		return out
	}
	mb, ma := marks(&b), marks(&a)
	var pairs [][2]int
	switch {
	case len(mb) == 0 && len(ma) == 0:
		if len(b.Rows) != len(a.Rows) {
			return nil, nil, fmt.Sprintf("the same pieces are said to have been measured, but there are %d before and %d after, without marks to tell them by", len(b.Rows), len(a.Rows))
		}
		for i := range b.Rows {
			pairs = append(pairs, [2]int{i, i})
		}
	default:
		for _, list := range [][]string{mb, ma} {
			if twice := repeated(list); twice != "" {
				return nil, nil, fmt.Sprintf("the same pieces are said to have been measured, but piece %s stands there twice on one side", twice)
			}
		}
		for i, row := range b.Rows {
			j := slices.IndexFunc(a.Rows, func(r ledger.Reading) bool { return r.Piece.Set() && r.Piece.S == row.Piece.S })
			if row.Piece.Set() && j >= 0 {
				pairs = append(pairs, [2]int{i, j})
			}
		}
	}
	if len(pairs) == 0 {
		return nil, nil, "the same pieces are said to have been measured, but no mark of a piece stands on both sides"
	}
	b.Pieces, b.Rows, b.Judged = nil, nil, nil
	a.Pieces, a.Rows, a.Judged = nil, nil, nil
	for _, p := range pairs {
		vb, va := slices.Clone(ev.Before.Pieces[p[0]]), slices.Clone(ev.After.Pieces[p[1]])
		for i, name := range b.Points {
			j := slices.Index(a.Points, name)
			if j < 0 || math.IsNaN(va[j]) {
				vb[i] = math.NaN()
			}
		}
		for j, name := range a.Points {
			i := slices.Index(b.Points, name)
			if i < 0 || math.IsNaN(vb[i]) {
				va[j] = math.NaN()
			}
		}
		b.Pieces, b.Rows = append(b.Pieces, vb), append(b.Rows, ev.Before.Rows[p[0]])
		a.Pieces, a.Rows = append(a.Pieces, va), append(a.Rows, ev.After.Rows[p[1]])
		if x, ok := ev.judged(vb); ok {
			if y, ok := ev.judged(va); ok {
				b.Judged, a.Judged = append(b.Judged, x), append(a.Judged, y)
			}
		}
	}
	return &b, &a, ""
}

// repeated is the first text that stands in the list twice; empty if none does.
func repeated(list []string) string {
	for i, s := range list {
		if slices.Contains(list[:i], s) {
			return s
		}
	}
	return ""
}
