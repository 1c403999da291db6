package study

import (
	"slices"
	"sort"
	"strings"
	"time"

	"tenths/ledger"
)

// Happening is a dated entry of the ledger that falls between the readings
// before a change and those after it.
type Happening struct {
	On    ledger.Date
	Rec   *ledger.Record
	Paths []string // what it happened to
	What  string   // what happened, in words
	// Near is set if it belongs to the parts of the characteristic: their
	// features, the stations and tools that make them, the gauges of the readings.
	Near bool
	// Alters is set if it alters how the part is made and can act on what was
	// measured, so that it may have done what the change is thought to have done.
	Alters bool
	state  bool // it began a state that is in force until another one begins
}

// Window is the time between the readings before a change and those after it,
// or between the day it was opened and the day it was done if it has no readings.
type Window struct {
	From, To time.Time // zero if not known
	// Touched is what happened to the things that the change says it touches,
	// Else what happened to others; both by day and path.
	Touched, Else []Happening
	near          map[string]bool // ids of parts, tools, gauges, plans, fixtures; stations as FX1/A
}

// Near reports whether a record belongs to what makes and measures the parts of
// the characteristics.
func (w Window) Near(id string) bool { return w.near[id] }

// Window lists what the ledger says happened between the readings before and
// after a change: after the first day, up to and with the second. A state that
// began on the first day was in force for the readings before.
func (s *Set) Window(rec *ledger.Record) Window { return s.window(rec, s.L.Records) }

// Acting is the window of a change with only that in Else which may have done
// what the change is thought to have done (Alters). It looks at what is near and
// at no other record.
func (s *Set) Acting(rec *ledger.Record) Window {
	w := s.window(rec, nil)
	w.Else = slices.DeleteFunc(w.Else, func(h Happening) bool { return !h.Alters })
	return w
}

// window looks through the records given; nil stands for those that are near,
// and all changes.
func (s *Set) window(rec *ledger.Record, in []*ledger.Record) Window {
	ch, ok := rec.Data.(*ledger.Change)
	if !ok {
		return Window{}
	}
	w := windowFinder{s: s, self: rec, ch: ch}
	w.From, w.To = s.windowOf(rec, ch)
	if w.From.IsZero() || w.To.IsZero() {
		return w.Window
	}
	w.nearby()
	w.act = w.actors()
	if in == nil {
		in = w.nearest()
	}
	for _, r := range in {
		if !r.Quiet() {
			w.record(r)
		}
	}
	for _, list := range [][]Happening{w.Touched, w.Else} {
		sort.SliceStable(list, func(i, j int) bool {
			a, b := list[i], list[j]
			if !a.On.T.Equal(b.On.T) {
				return a.On.T.Before(b.On.T)
			}
			return a.Paths[0] < b.Paths[0]
		})
	}
	return w.Window
}

// windowOf is the first and the last day of the readings of a change.
func (s *Set) windowOf(rec *ledger.Record, ch *ledger.Change) (from, to time.Time) {
	for _, ev := range s.Evidence(rec) {
		if ev.Before != nil && ev.Before.In.On.Set() && (from.IsZero() || ev.Before.Day().Before(from)) {
			from = ev.Before.Day()
		}
		if ev.After != nil && ev.After.In.On.Set() && ev.After.Day().After(to) {
			to = ev.After.Day()
		}
	}
	if from.IsZero() {
		from = ch.Opened.T
	}
	if to.IsZero() {
		to = ch.Done.T
	}
	return from, to
}

type windowFinder struct {
	Window
	s    *Set
	self *ledger.Record
	ch   *ledger.Change
	act  actors
}

// nearby collects what makes and measures the parts of the characteristics.
func (w *windowFinder) nearby() {
	w.near = map[string]bool{}
	for _, ev := range w.s.Evidence(w.self) {
		if ev.CharRec != nil {
			w.part(ev.CharRec)
		}
		for _, g := range []*Group{ev.Before, ev.After} {
			if g != nil && g.Gauge != nil {
				w.near[g.Gauge.GaugeRec.ID()] = true
			}
		}
	}
	w.around()
}

// around adds the stations, plans and tools of the parts that are near.
func (w *windowFinder) around() {
	for _, r := range w.s.ofKind(ledger.KindFixture) {
		d, ok := r.Data.(*ledger.Fixture)
		if !ok {
			continue
		}
		for i := range d.Stations {
			st := &d.Stations[i]
			if st.Part.Set() && w.near[st.Part.S] {
				w.near[r.ID()+"/"+st.ID.S], w.near[r.ID()] = true, true
			}
		}
	}
	for _, r := range w.s.ofKind(ledger.KindPlan) {
		d, ok := r.Data.(*ledger.Plan)
		if !ok || !w.near[d.Part.S] {
			continue
		}
		w.near[r.ID()] = true
		for i := range d.Operations {
			if m := d.Operations[i].Machine.S; m != "" {
				w.near[m] = true
			}
			for _, t := range d.Operations[i].Tools {
				w.near[t.S] = true
			}
		}
	}
}

// nearOf names what is near that a change touches, empty if nothing is.
func (w *windowFinder) nearOf(d *ledger.Change) string {
	near := ""
	look := func(t ledger.Ref) {
		if key, _, _ := strings.Cut(t.S, "/"); w.near[key] {
			near = key
		}
	}
	look(d.Characteristic)
	for _, t := range d.Touches {
		look(t)
	}
	return near
}

// nearest lists the records that are near, and the changes to them that were
// done or undone in the window.
func (w *windowFinder) nearest() []*ledger.Record {
	var out []*ledger.Record
	for id := range w.near {
		if r := w.s.L.Record(id); r != nil && r.Kind() != ledger.KindChange {
			out = append(out, r)
		}
	}
	for _, worked := range w.s.workedAfter(w.From) {
		if worked.on.After(w.To) {
			break
		}
		if w.nearOf(worked.ch) != "" && !slices.Contains(out, worked.rec) {
			out = append(out, worked.rec)
		}
	}
	// In the order of the ledger, since what happened on one day to one thing is
	// listed as it was found.
	sort.Slice(out, func(i, j int) bool { return out[i].Path < out[j].Path })
	return out
}

// workDay is a day on which a change was done or undone.
type workDay struct {
	on  time.Time
	rec *ledger.Record
	ch  *ledger.Change
}

// workedAfter lists the days after t on which changes were done or undone, in
// order. They are sorted once: over years every change of many asks for its own
// few weeks.
func (s *Set) workedAfter(t time.Time) []workDay {
	s.dated.Do(func() {
		for _, r := range s.ofKind(ledger.KindChange) {
			ch, ok := r.Data.(*ledger.Change)
			if !ok {
				continue
			}
			for _, d := range []ledger.Date{ch.Done, ch.RolledBack} {
				if d.Set() {
					s.work = append(s.work, workDay{d.T, r, ch})
				}
			}
		}
		slices.SortStableFunc(s.work, func(a, b workDay) int { return a.on.Compare(b.on) })
	})
	first := sort.Search(len(s.work), func(i int) bool { return s.work[i].on.After(t) })
	return s.work[first:]
}

func (w *windowFinder) part(rec *ledger.Record) {
	p, ok := rec.Data.(*ledger.Part)
	if !ok || w.near[rec.ID()] {
		return
	}
	w.near[rec.ID()] = true
	for _, m := range p.MadeOf {
		if r := w.s.L.Record(m.S); r != nil {
			w.part(r)
		}
	}
}

func (w *windowFinder) inside(d ledger.Date) bool {
	return d.Set() && d.T.After(w.From) && !d.T.After(w.To)
}

// touched reports whether the change says that it alters the path, something
// above it, or something below it.
func (w *windowFinder) touched(path string) bool {
	for _, t := range w.ch.Touches {
		if t.S == path || strings.HasPrefix(path, t.S+"/") || strings.HasPrefix(t.S, path+"/") {
			return true
		}
	}
	return false
}

func (w *windowFinder) record(r *ledger.Record) {
	id := r.ID()
	switch d := r.Data.(type) {
	case *ledger.Fixture:
		w.fixture(r, d)
	case *ledger.Part:
		for _, f := range d.Features {
			for _, was := range f.Was {
				old, now := ledger.OnDay(f, dayBefore(was.Until)), ledger.OnDay(f, was.Until.T)
				w.began(r, was.Until, id+"/"+f.ID.S, id, "%s", newState("new state", stepOfSize(old.Size, now.Size), stepOfWord(old.MadeBy, now.MadeBy)))
			}
		}
		for _, c := range d.Characteristic {
			for _, was := range c.Was {
				w.add(r, was.Until, id+"/"+c.ID.S, id, "limits or goal changed")
			}
		}
	case *ledger.Tool:
		for _, was := range d.Was {
			old, now := ledger.OnDay(*d, dayBefore(was.Until)), ledger.OnDay(*d, was.Until.T)
			w.began(r, was.Until, id, id, "%s", newState("new role or life", stepOfWord(old.Role, now.Role), stepOfSize(old.Life, now.Life)))
		}
	case *ledger.Gauge:
		w.add(r, d.Since, id, id, "came into service")
		w.add(r, d.Until, id, id, "last day in service")
		for _, c := range d.Calibration {
			w.add(r, c.On, id, id, "checked: %s", c.Result.S)
		}
		for _, c := range d.Consumed {
			w.add(r, c.On, id, id, "a pin of the set was used up")
		}
	case *ledger.Machine:
		for _, now := range d.Runs {
			for _, old := range d.RunsOn(dayBefore(now.On)) {
				if old.What.S == now.What.S && old.Is.S != now.Is.S {
					w.began(r, now.On, id, id, "%s: %s -> %s", now.What.S, old.Is.S, now.Is.S)
				}
			}
		}
	case *ledger.Plan:
		begin := w.began
		if d.Lot.Set() && !w.act.lots[d.Lot.S] {
			begin = w.add
		}
		begin(r, d.From, id, id, "plan%s came into force", revision(r))
		w.add(r, d.Until, id, id, "plan%s ended", revision(r))
	case *ledger.Change:
		if r == w.self {
			return
		}
		near := w.nearOf(d)
		acts := w.near[near] && w.act.change(d) && !(w.inside(d.Done) && w.inside(d.RolledBack))
		w.note(Happening{On: d.Done, Rec: r, Alters: acts}, id, near, "another change was made: %s", r.Common.Title.S)
		w.note(Happening{On: d.RolledBack, Rec: r, Alters: acts}, id, near, "another change was undone: %s", r.Common.Title.S)
	}
}

func (w *windowFinder) fixture(r *ledger.Record, d *ledger.Fixture) {
	id := r.ID()
	w.add(r, d.Since, id, id, "standing became %s", d.State.S)
	for _, seat := range d.Seat {
		w.add(r, seat.On, id, id, "seat height measured")
	}
	for _, refit := range d.Refits {
		w.altered(r, refit.On, id, id, "put back on the machine")
	}
	for _, was := range d.Was {
		if was.State.Set() {
			w.add(r, was.Until, id, id, "standing was %s until then", was.State.S)
		}
		if was.Rev.Set() {
			w.add(r, was.Until, id, id, "revision was %s until then", was.Rev.S)
		}
	}
	for _, st := range d.Stations {
		key := id + "/" + st.ID.S
		for _, z := range st.Found {
			w.altered(r, z.On, key, key, "work offset found anew")
		}
		for _, sh := range st.Shifts {
			w.began(r, sh.On, key, key, "work offset shifted")
		}
		for _, loc := range st.Locators {
			path := key + "/" + loc.ID.S
			for _, was := range loc.Was {
				old, now := ledger.OnDay(loc, dayBefore(was.Until)), ledger.OnDay(loc, was.Until.T)
				w.began(r, was.Until, path, key, "%s", newState("new state", stepOfWord(old.Type, now.Type), stepOfSize(old.Size, now.Size), stepOfWord(old.MadeBy, now.MadeBy)))
			}
			for _, sv := range loc.Surveys {
				w.add(r, sv.On, path, key, "surveyed")
			}
		}
	}
}

func dayBefore(d ledger.Date) time.Time { return d.T.AddDate(0, 0, -1) }

// newState says what differs between a state and the next one.
func newState(head string, differences ...string) string {
	var parts []string
	for _, d := range differences {
		if d != "" {
			parts = append(parts, d)
		}
	}
	if parts == nil {
		return head
	}
	return head + ": " + strings.Join(parts, ", ")
}

func stepOfSize(old, now ledger.Size) string {
	if !old.Set() || !now.Set() || old.Raw == now.Raw {
		return ""
	}
	return old.Tol.String() + " -> " + now.Tol.String()
}

func stepOfWord(old, now ledger.Text) string {
	if !old.Set() || !now.Set() || old.S == now.S {
		return ""
	}
	return old.S + " -> " + now.S
}

func revision(r *ledger.Record) string {
	if r.Common.Rev.Set() {
		return " rev " + r.Common.Rev.S
	}
	return ""
}
