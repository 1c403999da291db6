package study

import (
	"math"
	"slices"
	"sort"
	"strings"
	"time"

	"tenths/ledger"
)

// Comparison is what differed in the shop between two states: two days of one
// ledger, or two ledgers.
type Comparison struct {
	From, To *Set
	// CharRec and Char are what it is looked at for; nil if for nothing.
	CharRec *ledger.Record
	Char    *ledger.Characteristic
	// Things are what differs. With a characteristic those come first that can act
	// on it, the largest effect first; else they come in the order of the ledger.
	Things []*Differing
	// Together is what all of it does to the characteristic, and NoEffect says why
	// that cannot be computed. Assumed is what was taken where records are silent.
	Together []EffectAt
	NoEffect string
	Assumed  []string
}

// Differing is a thing of the ledger that was not the same in both states.
type Differing struct {
	Path  string
	Rec   *ledger.Record
	Title string
	Keys  []Difference
	// Changes are those that touched it in between, by day.
	Changes []*ledger.Record
	// Acts is set if it can act on the characteristic, Near if it only belongs to
	// what the characteristic is about or measures it.
	Acts, Near bool
	// Effect is what it alone does to the characteristic, point by point; empty if
	// that cannot be computed.
	Effect []EffectAt
}

// Difference is one key that was not the same.
type Difference struct {
	Key     string
	Was, Is string // empty if it was not there
	// On is the day from which it is as it is; zero if that is not known.
	On time.Time
	// Rec and At are where it stands, where it was if it is gone.
	Rec    *ledger.Record
	At     ledger.Span
	judged bool
}

// Compare lists what differs between two states. With the name of a
// characteristic, such as A-01/KC-1 or KC-1, it says of each thing whether it can
// act on it, and what it does where the study of the seam or of the locators can
// compute that. An empty name compares only.
//
// Errors: no such characteristic, or several.
func Compare(from, to *Set, char string) (*Comparison, error) {
	c := &Comparison{From: from, To: to}
	if char != "" {
		var err error
		if c.CharRec, c.Char, err = to.characteristicNamed(char); err != nil {
			return nil, err
		}
	}
	c.differ()
	c.changes()
	if c.Char == nil {
		return c, nil
	}
	c.judge()
	c.effects()
	sort.SliceStable(c.Things, func(i, j int) bool {
		a, b := c.Things[i], c.Things[j]
		if a.Acts != b.Acts {
			return a.Acts
		}
		if x, y := most(a.Effect), most(b.Effect); x != y {
			return x > y
		}
		return a.Near && !b.Near
	})
	return c, nil
}

// most is the largest effect of a thing on a mean, mm; less than nothing if it
// has none, and in between if it only alters a range.
func most(list []EffectAt) float64 {
	out := -1.0
	for _, e := range list {
		out = max(out, math.Abs(e.Change), 1e-9*math.Abs(e.Range[1]-e.Range[0]))
	}
	return out
}

// differ finds the keys that are not the same.
func (c *Comparison) differ() {
	type place struct{ path, key string }
	was, is := map[place]InForce{}, map[place]InForce{}
	var order []place
	there := [2]map[string]*ledger.Record{{}, {}}
	for i, s := range []*Set{c.From, c.To} {
		held := []map[place]InForce{was, is}[i]
		for _, rec := range s.L.Records {
			if rec.Quiet() || rec.ID() == "" || s.L.Record(rec.ID()) != rec {
				continue
			}
			there[i][rec.ID()] = rec
			for _, f := range s.StateOf(rec) {
				p := place{f.Path, f.Key}
				if _, twice := held[p]; twice && f.Key != usedUp {
					continue
				}
				for f.Key == usedUp && held[p].Rec != nil {
					p.key += " too" // one of several
				}
				if _, known := was[p]; !known || i == 0 {
					order = append(order, p)
				}
				held[p] = f
			}
		}
	}
	things := map[string]*Differing{}
	thing := func(path string, rec *ledger.Record) *Differing {
		t := things[path]
		if t == nil {
			t = &Differing{Path: path, Rec: rec, Title: titleAt(c.To, rec, path)}
			things[path] = t
			c.Things = append(c.Things, t)
		}
		return t
	}
	// What stood only in one of the states is told as a whole.
	alone := map[string][2]bool{}
	for _, p := range order {
		for _, path := range []string{p.path, recordOf(p.path)} {
			at := alone[path]
			at[0], at[1] = at[0] || was[p].Rec != nil, at[1] || is[p].Rec != nil
			alone[path] = at
		}
	}
	for _, p := range order {
		a, b := was[p], is[p]
		if a.Text == b.Text && a.Rec != nil && b.Rec != nil {
			continue
		}
		rec, at := b.Rec, b.At
		if rec == nil {
			rec, at = a.Rec, a.At
		}
		if rec.Kind() == ledger.KindPlan && alone[rec.ID()] != [2]bool{true, true} {
			continue // the plan in force, of its part, says it
		}
		d := Difference{Key: strings.TrimSuffix(p.key, " too"), Was: a.Text, Is: b.Text, On: b.From, Rec: rec, At: at, judged: a.Judged || b.Judged}
		if p, ok := rec.Data.(*ledger.Plan); ok && b.Rec == nil {
			d.On = is[place{p.Part.S, planOf}].From // gone with the plan that followed
		} else if b.Rec == nil && c.From.L == c.To.L {
			d.On = a.Until
		}
		id := recordOf(p.path)
		switch {
		case there[0][id] == nil || there[1][id] == nil:
			c.whole(thing(id, rec), there, id)
		case alone[p.path] != [2]bool{true, true} && p.path != id:
			t := thing(p.path, rec)
			if t.Keys == nil {
				d.Key, d.Was, d.Is = "there", "", ""
				if a.Rec != nil {
					d.Was = t.Title
				} else {
					d.Is = t.Title
				}
				t.Keys = []Difference{d}
			}
		default:
			t := thing(p.path, rec)
			t.Keys = append(t.Keys, d)
		}
	}
	for i, s := range []*Set{c.From, c.To} {
		for _, rec := range s.L.Records {
			id := rec.ID()
			if there[i][id] == rec && there[1-i][id] == nil && things[id] == nil {
				c.whole(thing(id, rec), there, id)
			}
		}
	}
}

// recordOf is the id of the record at the head of a path.
func recordOf(path string) string {
	id, _, _ := strings.Cut(path, "/")
	return id
}

// whole says of a record that only one ledger has it.
func (c *Comparison) whole(t *Differing, there [2]map[string]*ledger.Record, id string) {
	if t.Keys != nil {
		return
	}
	d := Difference{Key: "there", Rec: t.Rec, At: t.Rec.Common.ID.Span}
	for i, text := range []*string{&d.Was, &d.Is} {
		if r := there[i][id]; r != nil {
			*text = r.Common.Title.S
		}
	}
	t.Keys = []Difference{d}
}

// titleAt is what a person calls the thing at a path.
func titleAt(s *Set, rec *ledger.Record, path string) string {
	if t, err := s.L.FindFrom(rec, path); err == nil && t.Rec == rec {
		if loc, ok := t.Node.(*ledger.Locator); ok {
			now := ledger.OnDay(*loc, s.AsOf)
			return strings.TrimSuffix(now.Type.S+" in "+now.Engages.S, " in ")
		}
		return titleOf(rec, t.Node)
	}
	return rec.Common.Title.S
}

// changes names the changes in between that touched each thing.
func (c *Comparison) changes() {
	done := func(d ledger.Date) bool {
		return d.Set() && d.T.After(c.From.AsOf) && !d.T.After(c.To.AsOf)
	}
	var recs []*ledger.Record
	for _, rec := range c.To.ofKind(ledger.KindChange) {
		ch, ok := rec.Data.(*ledger.Change)
		if ok && !rec.Quiet() && (done(ch.Done) || done(ch.RolledBack)) {
			recs = append(recs, rec)
		}
	}
	slices.SortStableFunc(recs, func(a, b *ledger.Record) int {
		return a.Data.(*ledger.Change).Done.T.Compare(b.Data.(*ledger.Change).Done.T)
	})
	for _, t := range c.Things {
		for _, rec := range recs {
			for _, ref := range rec.Data.(*ledger.Change).Touches {
				if within(t.Path, ref.S) || within(ref.S, t.Path) && strings.Contains(t.Path, "/") {
					t.Changes = append(t.Changes, rec)
					break
				}
			}
		}
	}
}
