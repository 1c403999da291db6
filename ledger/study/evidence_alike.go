package study

import "slices"

// OtherCharacteristic gives what a group of the comparison says that it measured,
// if that is not what the comparison is about; else "".
func (ev *Evidence) OtherCharacteristic(g *Group) string {
	if said := g.In.Characteristic.S; said != "" && said != ev.CharRec.ID()+"/"+ev.Char.ID.S {
		return said
	}
	return ""
}

// LeftOut lists the points that were read before and not after. Points that were
// read after only stand beside the others and spoil nothing.
func (ev *Evidence) LeftOut() []string {
	if !ev.Before.HasNumbers() || !ev.After.HasNumbers() {
		return nil
	}
	var out []string
	for _, name := range ev.Before.Points {
		if name != "" && !slices.Contains(ev.After.Points, name) {
			out = append(out, name)
		}
	}
	return out
}

// Picked lists the groups of the comparison whose pieces were picked. It is nil
// if both are of the same pieces by name: the worst one measured again.
func (ev *Evidence) Picked() []*Group {
	if b, a := pieceNames(ev.Before), pieceNames(ev.After); b != nil && slices.Equal(b, a) {
		return nil
	}
	var out []*Group
	for _, g := range []*Group{ev.Before, ev.After} {
		if g.In.Picked.S == "picked" {
			out = append(out, g)
		}
	}
	return out
}

// pieceNames are the names that the record gives its pieces, sorted; nil if one
// of them has none.
func pieceNames(g *Group) []string {
	var out []string
	for _, row := range g.In.Pieces {
		if row.Piece.S == "" {
			return nil
		}
		if row.Live() {
			out = append(out, row.Piece.S)
		}
	}
	slices.Sort(out)
	return out
}

// Parts is how many pieces a group has, read or counted.
func (g *Group) Parts() int {
	if g.HasNumbers() || !g.Count.Set() {
		return g.N()
	}
	return g.Count.Of
}
