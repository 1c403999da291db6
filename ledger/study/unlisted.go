package study

import (
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"tenths/ledger"
)

// Use is a place where something that a change alters is used for another product
// than those that the change names.
type Use struct {
	Touched ledger.Ref // as the change names it
	What    string     // what is used there: a tool, a gauge, a station or fixture, or a part
	// Rec is the plan that uses it, or the assembly that the part goes into, and At
	// the first place there.
	Rec *ledger.Record
	At  ledger.Span
	// Ops are the operations of the plan; Part is the part that it makes.
	Ops  []string
	Part string
}

// UnlistedUses finds the uses elsewhere that a change does not name: of the tools,
// gauges, stations and fixtures that it touches, the plans for other parts that
// were in force on the day of the work and still are; of the parts that it
// touches, a second assembly. The parts of what the change is about, and what its
// text mentions by id, are named; where it names no part at all, the only one is
// no use elsewhere. A machine has no uses elsewhere: all that is
// made runs on it. A plan that came into force after the work was written with it,
// and one for a lot is gone with the lot. Changes that are only proposed, or
// undone, have none.
func (s *Set) UnlistedUses(rec *ledger.Record) []Use {
	ch, ok := rec.Data.(*ledger.Change)
	if !ok || !slices.Contains([]string{"agreed", "in progress", "not done yet", "done", "verified effective", "not effective", "inconclusive", "harmful"}, s.StateOn(ch)) {
		return nil
	}
	u := useFinder{s: s, rec: rec, day: s.AsOf, covered: map[string]bool{}}
	if ch.Done.By(s.AsOf) {
		u.day = ch.Done.T
	}
	u.about(ch.Characteristic)
	for _, e := range ch.Also {
		u.about(e.Characteristic)
	}
	for _, list := range [][]ledger.Ref{ch.Touches, refs(ch.Neighbours)} {
		for _, t := range list {
			u.about(t)
		}
	}
	for _, t := range ch.Touches {
		u.touched(t)
	}
	return u.found
}

func refs(list []ledger.Recheck) []ledger.Ref {
	var out []ledger.Ref
	for _, n := range list {
		out = append(out, n.What)
	}
	return out
}

type useFinder struct {
	s       *Set
	rec     *ledger.Record
	day     time.Time
	covered map[string]bool // ids of parts
	found   []Use
}

// about covers the part that a path is of, with what it is made of: of a plan the
// part that it makes, of a station the one that it holds.
func (u *useFinder) about(ref ledger.Ref) {
	t, err := u.s.L.Find(ref.S)
	if err != nil {
		return
	}
	switch d := t.Rec.Data.(type) {
	case *ledger.Part:
		u.cover(t.Rec)
	case *ledger.Plan:
		u.cover(u.s.L.Record(d.Part.S))
	case *ledger.Fixture:
		for i := range d.Stations {
			if st := &d.Stations[i]; within(ref.S, t.Rec.ID()+"/"+st.ID.S) {
				u.cover(u.s.L.Record(st.Part.S))
			}
		}
	}
}

func (u *useFinder) cover(rec *ledger.Record) {
	if rec == nil || u.covered[rec.ID()] {
		return
	}
	u.covered[rec.ID()] = true
	if p, ok := rec.Data.(*ledger.Part); ok {
		for _, m := range p.MadeOf {
			u.cover(u.s.L.Record(m.S))
		}
	}
}

// named reports whether the change names a part or plan: it is about it, or its
// text mentions the id.
func (u *useFinder) named(id string) bool {
	return id == "" || u.covered[id] || mentions(string(u.rec.Src), id)
}

// mentions reports whether an id stands in a text by itself, or at the head of a
// path.
func mentions(text, id string) bool {
	part := func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '-' || r == '_' }
	for from := 0; ; {
		i := strings.Index(text[from:], id)
		if i < 0 {
			return false
		}
		start, end := from+i, from+i+len(id)
		before, _ := utf8.DecodeLastRuneInString(text[:start])
		after, _ := utf8.DecodeRuneInString(text[end:])
		if !part(before) && !part(after) {
			return true
		}
		from = end
	}
}

func (u *useFinder) touched(ref ledger.Ref) {
	t, err := u.s.L.Find(ref.S)
	if err != nil {
		return
	}
	id := t.Rec.ID()
	switch t.Rec.Data.(type) {
	case *ledger.Tool, *ledger.Gauge:
		u.plans(ref, id, id)
	case *ledger.Fixture:
		// A pin concerns its station, the fixture as a whole all of them.
		keys := strings.Split(ref.S, "/")
		u.plans(ref, id, strings.Join(keys[:min(2, len(keys))], "/"))
	case *ledger.Part:
		if _, ok := t.Node.(*ledger.Characteristic); !ok {
			u.assemblies(ref, id)
		}
	}
}

// plans looks for the plans in force for parts that are not named.
func (u *useFinder) plans(ref ledger.Ref, id, path string) {
	var uses []Use
	for _, o := range u.s.usersOf(id) {
		plan, ok := o.rec.Data.(*ledger.Plan)
		if !ok || !within(o.ref.S, path) && !within(path, o.ref.S) {
			continue
		}
		if n := len(uses); n > 0 && uses[n-1].Rec == o.rec {
			if !slices.Contains(uses[n-1].Ops, o.op) {
				uses[n-1].Ops = append(uses[n-1].Ops, o.op)
			}
			continue
		}
		if _, open, _ := u.s.PlanDay(o.rec); !open || plan.Lot.Set() || plan.From.Set() && plan.From.T.After(u.day) || u.named(o.rec.ID()) || u.named(plan.Part.S) {
			continue
		}
		uses = append(uses, Use{Touched: ref, What: path, Rec: o.rec, At: o.ref.Span, Ops: []string{o.op}, Part: plan.Part.S})
	}
	if len(u.covered) == 0 && !slices.ContainsFunc(uses, func(o Use) bool { return o.Part != uses[0].Part }) {
		return // the change names no product, and there is only this one
	}
	u.add(uses)
}

// assemblies looks for a second assembly that the part goes into. Its only one is
// no other use.
func (u *useFinder) assemblies(ref ledger.Ref, id string) {
	var uses []Use
	assemblies := 0
	for _, o := range u.s.usersOf(id) {
		p, ok := o.rec.Data.(*ledger.Part)
		if !ok || p.State.S == "superseded" || p.State.S == "withdrawn" {
			continue
		}
		assemblies++
		if !u.named(o.rec.ID()) {
			uses = append(uses, Use{Touched: ref, What: id, Rec: o.rec, At: o.ref.Span, Part: o.rec.ID()})
		}
	}
	if assemblies > 1 {
		u.add(uses)
	}
}

// add keeps each use once, whatever is touched of one thing.
func (u *useFinder) add(uses []Use) {
	for _, use := range uses {
		if !slices.ContainsFunc(u.found, func(o Use) bool { return o.Rec == use.Rec && o.What == use.What }) {
			u.found = append(u.found, use)
		}
	}
}

// user is a place that uses a record: an operation of a plan, or an assembly.
type user struct {
	rec *ledger.Record
	op  string
	ref ledger.Ref
}

// usersOf lists what uses a tool, a gauge, a fixture or a part, in the order of
// the ledger. Drafts use nothing.
func (s *Set) usersOf(id string) []user {
	s.using.Do(func() {
		s.users = map[string][]user{}
		add := func(rec *ledger.Record, op string, list ...ledger.Ref) {
			for _, ref := range list {
				if id, _, _ := strings.Cut(ref.S, "/"); id != "" {
					s.users[id] = append(s.users[id], user{rec, op, ref})
				}
			}
		}
		for _, rec := range s.ofKind(ledger.KindPlan) {
			plan, ok := rec.Data.(*ledger.Plan)
			if !ok || rec.Quiet() {
				continue
			}
			for i := range plan.Operations {
				op := &plan.Operations[i]
				add(rec, op.ID.S, op.Tools...)
				add(rec, op.ID.S, op.Gauges...)
				add(rec, op.ID.S, op.Fixture)
			}
		}
		for _, rec := range s.ofKind(ledger.KindPart) {
			if p, ok := rec.Data.(*ledger.Part); ok && !rec.Quiet() {
				add(rec, "", p.MadeOf...)
			}
		}
	})
	return s.users[id]
}
