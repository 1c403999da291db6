package study

import (
	"slices"

	"tenths/ledger"
)

// Undone is something that stands as it is because of a proven change, and that
// was altered since the last commit with no change that says so.
type Undone struct {
	Path string
	Rec  *ledger.Record
	Keys []Difference
	// Because are the proven changes that it rests on.
	Because []*ledger.Record
}

// gone is the key of a thing that is no longer there.
const gone = "gone"

// made are the keys that a change sets on purpose. Others describe, file, count or
// tell what was measured, and are written anew in daily use.
var made = []string{
	"type", "part", "face", "engages", "at", "size", "land", "relieved_along", "height", "pushes", "made_by", "held_by", "turn_held_by",
	"adhesive", "vent", "role", "life", "stick_out", "flutes", "tool", "gauge", "method", "coating", "masked", "warm_up", "coolant",
}

// Undone compares every record that a proven change touches with its last
// committed text, and lists what was altered at the touched paths and below. A
// change that touches the same thing says so if it is under way, or if its own
// record is new or was altered too. Without git nothing is listed.
func (s *Set) Undone() []Undone {
	if s.Past == nil {
		return nil
	}
	rests := map[*ledger.Record][]*ledger.Record{} // proven changes by what they touch
	var order []*ledger.Record
	for _, rec := range s.ofKind(ledger.KindChange) {
		ch, ok := rec.Data.(*ledger.Change)
		if !ok || s.StateOn(ch) != "verified effective" {
			continue
		}
		for _, t := range ch.Touches {
			on := s.L.Record(recordOf(t.S))
			if on == nil || on.Quiet() || slices.Contains(rests[on], rec) {
				continue
			}
			if rests[on] == nil {
				order = append(order, on)
			}
			rests[on] = append(rests[on], rec)
		}
	}
	var out []Undone
	for _, rec := range order {
		for _, u := range s.alteredSince(rec) {
			u.Because = touching(rests[rec], u.Path)
			if len(u.Because) > 0 && !s.saidToAlter(u.Path) {
				out = append(out, u)
			}
		}
	}
	return out
}

// uncommitted gives the text of a record as a version if it is not committed as
// it is.
func (s *Set) uncommitted(rec *ledger.Record) (now *ledger.Version, ok bool) {
	list := s.Past.Versions(rec)
	if len(list) == 0 || !list[len(list)-1].Uncommitted {
		return nil, false
	}
	return list[len(list)-1], true
}

// alteredSince lists the keys of a record that differ from its last committed
// text, by what they belong to.
func (s *Set) alteredSince(rec *ledger.Record) []Undone {
	v, ok := s.uncommitted(rec)
	if !ok || len(v.Prev) == 0 {
		return nil
	}
	old := v.Prev[0].Record()
	if old == nil || old.ID() != rec.ID() {
		return nil
	}
	type place struct{ path, key string }
	is := map[place]ledger.Said{}
	there := map[string]bool{}
	for _, x := range rec.SaidOn(s.AsOf) {
		is[place{x.Path, x.Key}], there[x.Path] = x, true
	}
	var out []Undone
	add := func(path string, d Difference) {
		if d.Key != gone && !slices.Contains(made, d.Key) {
			return
		}
		i := slices.IndexFunc(out, func(u Undone) bool { return u.Path == path })
		if i < 0 {
			i, out = len(out), append(out, Undone{Path: path, Rec: rec})
		}
		out[i].Keys = append(out[i].Keys, d)
	}
	was, missing := map[place]bool{}, map[string]bool{}
	for _, x := range old.SaidOn(s.AsOf) {
		p := place{x.Path, x.Key}
		was[p] = true
		now := is[p]
		switch {
		case !there[x.Path]:
			if !missing[x.Path] {
				missing[x.Path] = true
				add(x.Path, Difference{Key: gone, Rec: rec, At: rec.Common.ID.Span})
			}
		case now.Text != x.Text:
			at := now.At
			if now.Text == "" {
				at = rec.Common.ID.Span
			}
			add(x.Path, Difference{Key: x.Key, Was: x.Text, Is: now.Text, Rec: rec, At: at})
		}
	}
	for _, x := range rec.SaidOn(s.AsOf) {
		if !was[place{x.Path, x.Key}] {
			add(x.Path, Difference{Key: x.Key, Is: x.Text, Rec: rec, At: x.At})
		}
	}
	return out
}

// touching picks the changes that touch a path or something above it.
func touching(changes []*ledger.Record, path string) []*ledger.Record {
	var out []*ledger.Record
	for _, rec := range changes {
		for _, t := range rec.Data.(*ledger.Change).Touches {
			if within(path, t.S) {
				out = append(out, rec)
				break
			}
		}
	}
	return out
}

// saidToAlter reports whether a change says that something is being altered: it
// touches it or something below it, and is under way or itself not committed.
func (s *Set) saidToAlter(path string) bool {
	for _, rec := range s.ofKind(ledger.KindChange) {
		ch, ok := rec.Data.(*ledger.Change)
		if !ok || !slices.ContainsFunc(ch.Touches, func(t ledger.Ref) bool { return within(path, t.S) || within(t.S, path) }) {
			continue
		}
		switch s.StateOn(ch) {
		case "proposed", "agreed", "in progress":
			return true
		}
		if _, now := s.uncommitted(rec); now {
			return true
		}
	}
	return false
}
