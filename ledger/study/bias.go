package study

import (
	"slices"
	"strings"

	"tenths/calc/gaugestudy"
)

// Between is what lies between two people, or two gauges, on one characteristic.
type Between struct {
	Series        *Following
	What          string // people or gauges
	First, Second string // Bias is Second over First
	// Bias is computed from lots, or pieces, that both measured; Problem says why
	// there is none.
	Bias    gaugestudy.Bias
	Problem string
	Pieces  bool // pieces with the same name were compared one by one
}

// Betweens compares the people who measured a characteristic, gauge by gauge, and
// the gauges it was measured with, person by person, from ordinary readings: only
// what both read on the same lot counts, because lots differ. It lists every pair
// that stands in the readings.
func (s *Set) Betweens(f *Following) []Between {
	who := func(r Followed) string { return strings.TrimSpace(r.In.By.S) }
	gauge := func(r Followed) string { return r.In.Gauge.S }
	return append(f.pairs("people", who, gauge), f.pairs("gauges", gauge, who)...)
}

// pairs compares by one key what another key, the lot and the point leave alike.
func (f *Following) pairs(what string, by, same func(Followed) string) []Between {
	var all []string
	for _, r := range f.Readings {
		if k := by(r); k != "" && !slices.Contains(all, k) {
			all = append(all, k)
		}
	}
	slices.Sort(all)
	var out []Between
	for i, first := range all {
		for _, second := range all[i+1:] {
			b := Between{Series: f, What: what, First: first, Second: second}
			blocks := f.blocks(first, second, by, same)
			b.Pieces = len(blocks) > 0 && onePiece(blocks)
			var err error
			if b.Bias, err = gaugestudy.BetweenTwo(blocks, f.Count, Confidence); err != nil {
				b.Problem = err.Error()
			}
			out = append(out, b)
		}
	}
	return out
}

func onePiece(blocks []gaugestudy.Block) bool {
	return !slices.ContainsFunc(blocks, func(b gaugestudy.Block) bool { return len(b.First) != 1 || len(b.Second) != 1 })
}

// blocks are the lots that both measured with the rest alike; where all pieces of a
// lot carry names that both used, its pieces.
func (f *Following) blocks(first, second string, by, same func(Followed) string) []gaugestudy.Block {
	type lot struct{ id, same string }
	type piece struct {
		lot
		name string
	}
	lots, pieces := map[lot]*gaugestudy.Block{}, map[piece]*gaugestudy.Block{}
	var order []lot
	var named []piece
	for _, r := range f.Readings {
		id := r.Row.Lot.S
		if id == "" {
			id = r.In.Lot.S
		}
		k := by(r)
		if id == "" || k != first && k != second {
			continue
		}
		at := lot{id, same(r)}
		if lots[at] == nil {
			lots[at], order = &gaugestudy.Block{}, append(order, at)
		}
		// A piece that the record itself names; others are only numbered.
		p := piece{at, ""}
		if r.Row.Piece.Set() {
			p.name = r.Row.Piece.S
		}
		if pieces[p] == nil {
			pieces[p], named = &gaugestudy.Block{}, append(named, p)
		}
		for _, b := range []*gaugestudy.Block{lots[at], pieces[p]} {
			if k == first {
				b.First = append(b.First, r.Value)
			} else {
				b.Second = append(b.Second, r.Value)
			}
		}
	}
	var out []gaugestudy.Block
	for _, at := range order {
		var own []gaugestudy.Block
		alike := true
		for _, p := range named {
			if p.lot == at {
				b := pieces[p]
				alike = alike && p.name != "" && len(b.First) > 0 && len(b.Second) > 0
				own = append(own, *b)
			}
		}
		switch b := lots[at]; {
		case len(b.First) == 0 || len(b.Second) == 0:
		case alike:
			out = append(out, own...)
		default:
			out = append(out, *b)
		}
	}
	return out
}
