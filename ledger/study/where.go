package study

import (
	"fmt"
	"slices"
	"strings"

	"tenths/ledger"
)

// WhereUsed is what names a record or value, and what it names, followed to a
// depth.
type WhereUsed struct {
	Target  ledger.Target
	Title   string  // of the thing, or of its record
	NamedBy []*Link // what depends on it
	Names   []*Link // what it depends on
}

// Link is one step of a trace, with the steps beyond it.
type Link struct {
	Rec *ledger.Record
	// Path is the thing in that record: FX1/A/P1, or the record's id.
	Path  string
	Title string // of the thing, or of its record
	// Keys are those that name, in whichever of the two records; notes for a link
	// in the text below the keys, which is no dependence and is not followed.
	Keys []string
	// At is the place in Rec: where it first names, or where what is named stands.
	At ledger.Span
	// Derived is set if the link runs through the formula of a derived value;
	// Share is then the part, 0 to 1, of its worst case that comes from the values
	// behind the link, and is 0 if that is not known.
	Derived *Derived
	Share   float64
	Links   []*Link
	// Elsewhere is set if what lies beyond is listed at another place of the
	// trace, so that a circle ends. Beyond counts the links that the depth cut off.
	Elsewhere bool
	Beyond    int
}

// Where traces a record or value, such as FX1 or FX1/A/P1/size, in both
// directions and to so many steps. What names a part of it counts as naming it,
// and so does what names the whole that it is a part of, unless that is its
// whole record. What is dated after the day asked for is left out. A thing is
// followed once, where it is nearest. The error is a *ledger.NotFound, or says
// that the depth is below 1.
func (s *Set) Where(path string, depth int) (*WhereUsed, error) {
	if depth < 1 {
		return nil, fmt.Errorf("a trace needs a depth of at least 1, not %d", depth)
	}
	t, err := s.L.Find(path)
	if err != nil {
		return nil, err
	}
	tr := newTracer(s)
	start := place{t.Rec, path}
	return &WhereUsed{Target: t, Title: titleOf(t.Rec, t.Node), NamedBy: tr.follow(start, depth, tr.up), Names: tr.follow(start, depth, tr.down)}, nil
}

// place is a thing of the ledger: two revisions share a path, not a record.
type place struct {
	rec  *ledger.Record
	path string
}

// within reports whether a path is another one or lies below it.
func within(path, above string) bool {
	return path == above || strings.HasPrefix(path, above+"/")
}

// edge is one reference between two things.
type edge struct {
	from, to place
	key      string
	at       ledger.Span // in from's record
	toAt     ledger.Span // in to's record
	names    [2]string   // titles of from and to
	derived  *Derived
	share    float64
}

type tracer struct {
	s        *Set
	out, ins map[*ledger.Record][]*edge // by the record that names, by the one that is named
}

func newTracer(s *Set) *tracer {
	t := &tracer{s: s, out: map[*ledger.Record][]*edge{}, ins: map[*ledger.Record][]*edge{}}
	files := map[string]*ledger.Record{}
	for _, rec := range s.L.Records {
		if files[rec.Path] == nil {
			files[rec.Path] = rec // of a file of readings, its head
		}
	}
	for _, rec := range s.L.Records {
		for _, ref := range s.L.References(rec) {
			e := &edge{key: ref.Key, at: ref.At}
			if ref.File {
				to := files[ref.Path]
				if to == nil || to.ID() == "" {
					continue // a picture or a table; the page of the record shows it
				}
				e.key, e.to, e.toAt = "notes", place{to, to.ID()}, to.Common.ID.Span
				e.names[1] = titleOf(to, to.Data)
			} else {
				target, err := s.L.FindFrom(rec, ref.Path)
				if err != nil {
					continue // a broken reference, which is a finding
				}
				e.to, e.toAt = place{target.Rec, ref.Path}, target.Span()
				e.names[1] = titleOf(target.Rec, target.Node)
			}
			var node any
			e.from, node = t.enclosing(rec, ref.At)
			if t.later(rec, node) {
				continue
			}
			e.names[0] = titleOf(rec, node)
			if d, ok := node.(*ledger.Derived); ok && ref.Key == "where" {
				e.derived, e.share = t.formula(d, ref.Path)
			}
			t.out[rec] = append(t.out[rec], e)
			t.ins[e.to.rec] = append(t.ins[e.to.rec], e)
		}
	}
	return t
}

// enclosing is the innermost thing with a path around a place in a record.
func (t *tracer) enclosing(rec *ledger.Record, at ledger.Span) (place, any) {
	for i := range rec.Common.Derived {
		d := &rec.Common.Derived[i]
		for _, b := range d.Where {
			if b.Ref.Span == at && d.Name.S != "" {
				return place{rec, rec.ID() + "/" + d.Name.S}, d // the name may hold a slash
			}
		}
	}
	path, node := rec.ID(), rec.Data
	keys := strings.Split(rec.KeyPath(at), "/")
	for i := 0; i+1 < len(keys); i += 2 {
		next := path + "/" + keys[i+1]
		target, err := t.s.L.FindFrom(rec, next)
		if err != nil || target.Size != nil || target.Node == node {
			break
		}
		if path, node = next, target.Node; !isThing(node) {
			// A check of a gauge, or a look at a neighbour, belongs to the whole.
			return place{rec, rec.ID()}, node
		}
	}
	return place{rec, path}, node
}

// isThing reports whether a part of a record is something that others depend on.
func isThing(node any) bool {
	switch node.(type) {
	case *ledger.Feature, *ledger.Characteristic, *ledger.Station, *ledger.Locator, *ledger.Survey, *ledger.Operation, *ledger.Derived:
		return true
	}
	return false
}

// later reports whether a thing is dated after the day asked for.
func (t *tracer) later(rec *ledger.Record, node any) bool {
	after := func(d ledger.Date) bool { return d.Set() && d.T.After(t.s.AsOf) }
	switch d := rec.Data.(type) {
	case *ledger.Inspection:
		return after(d.On)
	case *ledger.Change:
		return after(d.Opened)
	case *ledger.Plan:
		return after(d.From)
	}
	switch n := node.(type) {
	case *ledger.Survey:
		return after(n.On)
	case *ledger.Calibration:
		return after(n.On)
	}
	return false
}

// formula finds the computed value behind a link, and the share of its worst
// case that the value at the path has in it.
func (t *tracer) formula(d *ledger.Derived, path string) (*Derived, float64) {
	got := t.s.DerivedOf(d)
	if got == nil {
		return nil, 0
	}
	for _, sh := range got.Shares {
		if sh.Path == path {
			return got, sh.Worst
		}
	}
	return got, 0
}

// titleOf is what a person calls a thing: its own title, or its record's.
func titleOf(rec *ledger.Record, node any) string {
	title := ""
	switch n := node.(type) {
	case *ledger.Feature:
		title = n.Title.S
	case *ledger.Characteristic:
		title = n.Title.S
	case *ledger.Station:
		title = n.Title.S
	case *ledger.Operation:
		title = n.Title.S
	}
	if title == "" {
		title = rec.Common.Title.S
	}
	return title
}

// up gives what names a thing.
func (t *tracer) up(p place) *links {
	out := newLinks()
	for _, e := range t.ins[p.rec] {
		part := within(e.to.path, p.path)
		whole := within(p.path, e.to.path) && strings.Contains(e.to.path, "/")
		if (part || whole) && (e.from.rec != p.rec || !within(e.from.path, p.path)) {
			out.add(e, e.from, e.at, e.names[0])
		}
	}
	return out
}

// down gives what a thing names.
func (t *tracer) down(p place) *links {
	out := newLinks()
	for _, e := range t.out[p.rec] {
		inside := within(e.from.path, p.path)
		// A key of a derived value is the value itself.
		own := e.derived != nil && within(p.path, e.from.path)
		if (inside || own) && (e.to.rec != p.rec || !within(e.to.path, p.path)) {
			out.add(e, e.to, e.toAt, e.names[1])
		}
	}
	return out
}

// links are those of one step, one for each thing.
type links struct {
	list    []*Link
	places  []place
	at      map[place]*Link
	shares  map[place]map[string]bool // paths whose share was counted
	several map[place]bool            // reached through several formulas
}

func newLinks() *links {
	return &links{at: map[place]*Link{}, shares: map[place]map[string]bool{}, several: map[place]bool{}}
}

// add joins an edge to the link to the same thing: a change touches a pin and
// works on it. Each value behind a formula gives its share once.
func (l *links) add(e *edge, p place, at ledger.Span, title string) {
	link := l.at[p]
	if link == nil {
		link = &Link{Rec: p.rec, Path: p.path, Title: title, At: at}
		l.at[p] = link
		l.list = append(l.list, link)
		l.places = append(l.places, p)
	}
	if e.key != "notes" && !slices.Contains(link.Keys, e.key) || link.Keys == nil {
		link.Keys = append(link.Keys, e.key)
	}
	if e.derived == nil || l.several[p] {
		return
	}
	if link.Derived != nil && link.Derived != e.derived {
		// Several formulas of the record take it: no one of them is the link.
		link.Derived, link.Share, l.several[p] = nil, 0, true
		return
	}
	link.Derived = e.derived
	if l.shares[p] == nil {
		l.shares[p] = map[string]bool{}
	}
	if !l.shares[p][e.to.path] {
		l.shares[p][e.to.path] = true
		link.Share += e.share
	}
}

// followed reports whether a link is one of dependence.
func (l *Link) followed() bool { return l.Keys[0] != "notes" }

// follow walks level by level, so that a thing is followed where it is nearest.
func (t *tracer) follow(start place, depth int, step func(place) *links) []*Link {
	type open struct {
		at  place
		put func([]*Link)
	}
	var first []*Link
	done := map[place]bool{start: true}
	level := []open{{start, func(l []*Link) { first = l }}}
	for d := 0; d < depth && len(level) > 0; d++ {
		var below []open
		for _, o := range level {
			found := step(o.at)
			o.put(found.list)
			for i, l := range found.list {
				if !l.followed() {
					continue
				}
				to := found.places[i]
				beyond := len(step(to).list)
				if done[to] {
					l.Elsewhere = beyond > 0
					continue
				}
				done[to] = true
				if d+1 == depth {
					l.Beyond = beyond
					continue
				}
				below = append(below, open{to, func(more []*Link) { l.Links = more }})
			}
		}
		level = below
	}
	return first
}
