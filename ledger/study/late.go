package study

import (
	"slices"
	"sort"
	"strings"
	"time"

	"tenths/ledger"
)

// Lateness says when something was written, beside the moment from which the
// result of a change was known.
type Lateness int

// The latenesses, the weakest first.
const (
	// InTime is before that moment, or nothing shows that it was later.
	InTime Lateness = iota
	// NextDay is on a later day than the readings, in a commit that does not have
	// them yet: the day of a commit is when it was kept, not when it was thought of.
	NextDay
	// Together is in the commit that brought the readings; git cannot tell which
	// of the two came first.
	Together
	// After is in a commit that was built on one with the readings.
	After
)

// Late is something about a change that was written when its result was known.
type Late struct {
	What string // in words: the goal
	Rec  *ledger.Record
	// At is where it stands in Rec.
	At       ledger.Span
	Was, Is  string // before that moment, and now; "" for nothing
	Lateness Lateness
	// By is the version in which it became what it is, Known the one that first
	// had the result, Result the record that holds it.
	By, Known *ledger.Version
	Result    *ledger.Record
	// On is the day of the readings; unset for a change that is judged otherwise.
	On ledger.Date
}

// outcome is the moment from which the result of a change was known.
type outcome struct {
	rec   *ledger.Record
	first []*ledger.Version // with the result, none of them built on another
	on    ledger.Date
}

// lateness compares what was written in a version with the moment of the result.
func (s *Set) lateness(v *ledger.Version, o outcome) (Lateness, *ledger.Version) {
	for _, f := range o.first {
		if s.Past.Follows(v, f) {
			return After, f
		}
	}
	for _, f := range o.first {
		if v.Commit == f.Commit {
			return Together, f
		}
	}
	if o.on.Set() && !o.on.About && !v.On.IsZero() && v.On.After(o.on.T) {
		return NextDay, o.first[0]
	}
	return InTime, nil
}

// outcomeOf finds when the readings after a change were first committed, or, for
// one that is judged by a criterion, its verdict. It is false without history, if
// there is no result, and if the readings are of a day that has not come yet.
func (s *Set) outcomeOf(rec *ledger.Record, ch *ledger.Change) (outcome, bool) {
	if s.Past == nil {
		return outcome{}, false
	}
	var o outcome
	var has func(*ledger.Record) bool
	after, on := s.dayOf(ch.After)
	switch {
	case after != nil && !(on.Set() && on.T.After(s.AsOf)):
		o.rec, o.on = after, on
		has = func(r *ledger.Record) bool {
			in, ok := r.Data.(*ledger.Inspection)
			return ok && in.HasReadings()
		}
	case after == nil && ch.Criterion.Set():
		o.rec = rec
		has = func(r *ledger.Record) bool {
			ch, ok := r.Data.(*ledger.Change)
			return ok && slices.Contains([]string{"verified effective", "not effective", "inconclusive", "harmful"}, ch.State.S)
		}
	default:
		return o, false
	}
	if !has(o.rec) {
		return o, false
	}
	o.first = began(s.Past.Versions(o.rec), has)
	return o, len(o.first) > 0
}

// began gives the versions in which something first was so: it is so there, and in
// none of the versions right before.
func began(versions []*ledger.Version, so func(*ledger.Record) bool) []*ledger.Version {
	var out []*ledger.Version
	for _, v := range versions {
		r := v.Record()
		if r == nil || !so(r) {
			continue
		}
		if !slices.ContainsFunc(readable(v.Prev), func(p *ledger.Version) bool { return so(p.Record()) }) {
			out = append(out, v)
		}
	}
	return out
}

// readable gives the versions that can be read, or those before them.
func readable(list []*ledger.Version) []*ledger.Version {
	var out []*ledger.Version
	seen := map[*ledger.Version]bool{}
	for open := slices.Clone(list); len(open) > 0; {
		v := open[0]
		open = open[1:]
		if seen[v] {
			continue
		}
		if seen[v] = true; v.Record() != nil {
			out = append(out, v)
		} else {
			open = append(open, v.Prev...)
		}
	}
	return out
}

// trait is something that a record says and that may have been altered.
type trait struct {
	what string
	at   ledger.Span
	text func(*ledger.Record) string
	same func(was, is string) bool
}

// writtenLate finds out whether a trait of a record became what it is when the
// result was known. A record that was first committed at that time is left alone,
// since nothing shows what it would have said before, and so is one whose trait
// is as it was in time.
func (s *Set) writtenLate(rec *ledger.Record, o outcome, t trait) *Late {
	versions := s.Past.Versions(rec)
	if len(versions) < 2 {
		return nil
	}
	is := t.text(rec)
	so := func(r *ledger.Record) bool { return t.same(t.text(r), is) }
	var by *ledger.Version
	l := Late{What: t.what, Rec: rec, At: t.at, Is: is, Result: o.rec, On: o.on}
	all := began(versions, so)
	for _, v := range all {
		if slices.ContainsFunc(all, func(u *ledger.Version) bool { return s.Past.Follows(u, v) }) {
			continue // it was altered and came back later
		}
		if late, known := s.lateness(v, o); by == nil || late < l.Lateness {
			by, l.Lateness, l.Known = v, late, known
		}
	}
	if by == nil || l.Lateness == InTime || by.On.After(s.AsOf) {
		return nil
	}
	l.By = by
	earlier := func(than Lateness) *ledger.Version {
		seen := map[*ledger.Version]bool{}
		for open := readable(by.Prev); len(open) > 0; {
			v := open[0]
			open = open[1:]
			if late, _ := s.lateness(v, o); late < than {
				return v
			}
			if !seen[v] {
				seen[v] = true
				open = append(open, readable(v.Prev)...)
			}
		}
		return nil
	}
	base := earlier(l.Lateness)
	if base == nil {
		return nil
	}
	if first := earlier(NextDay); first != nil && so(first.Record()) || so(base.Record()) {
		return nil // altered meanwhile, and put back
	}
	if l.Was = t.text(base.Record()); l.Was == "" && l.Lateness != After {
		return nil
	}
	return &l
}

// ofChange is a trait of a change.
func ofChange(what string, at ledger.Span, text func(*ledger.Change) string, same func(was, is string) bool) trait {
	return trait{what, at, func(r *ledger.Record) string {
		if ch, ok := r.Data.(*ledger.Change); ok {
			return text(ch)
		}
		return ""
	}, same}
}

func exactly(was, is string) bool { return was == is }

// GoalMoved lists what a change is judged by and what was altered when its result
// was known: the goal and the criterion, the characteristic, the points and the
// claim, and the limits and the goal of the characteristic in the part, as they
// were on the day of the readings. It needs Past.
func (s *Set) GoalMoved(rec *ledger.Record) []Late {
	ch, ok := rec.Data.(*ledger.Change)
	if !ok || s.Past == nil {
		return nil
	}
	// Most records are as they were first committed, and their texts need no look.
	target, _ := s.L.Find(ch.Characteristic.S)
	if len(s.Past.Versions(rec)) < 2 && (target.Rec == nil || len(s.Past.Versions(target.Rec)) < 2) {
		return nil
	}
	o, ok := s.outcomeOf(rec, ch)
	if !ok {
		return nil
	}
	traits := []trait{
		ofChange("the goal", ch.Goal.Span, func(c *ledger.Change) string { return c.Goal.S }, sameWording),
		ofChange("the criterion", ch.Criterion.Span, func(c *ledger.Change) string { return c.Criterion.S }, sameWording),
	}
	if o.rec != rec {
		traits = append(traits,
			ofChange("the characteristic", ch.Characteristic.Span, func(c *ledger.Change) string { return c.Characteristic.S }, exactly),
			ofChange("the points that are judged", pointsSpan(ch), func(c *ledger.Change) string {
				points := names(c.Points)
				sort.Strings(points)
				return strings.Join(points, ", ")
			}, exactly),
			ofChange("the claim", ch.Claim.Span, func(c *ledger.Change) string {
				if c.Claim.S == "spread" {
					return "spread"
				}
				return "level"
			}, exactly))
	}
	var out []Late
	add := func(rec *ledger.Record, t trait) {
		if l := s.writtenLate(rec, o, t); l != nil {
			out = append(out, *l)
		}
	}
	for _, t := range traits {
		add(rec, t)
	}
	if o.rec == rec || !o.on.Set() {
		return out
	}
	if c, ok := target.Node.(*ledger.Characteristic); ok && target.Size == nil {
		for _, t := range limitTraits(target.Rec.ID()+"/"+c.ID.S, c, o.on.T) {
			add(target.Rec, t)
		}
	}
	return slices.DeleteFunc(out, func(l Late) bool { return l.Rec != rec && l.Was == "" })
}

func pointsSpan(ch *ledger.Change) ledger.Span {
	if len(ch.Points) == 0 {
		return ledger.Span{}
	}
	return ch.Points[0].Span
}

// limitTraits are the limits and the goal of a characteristic as they held on a
// day.
func limitTraits(path string, c *ledger.Characteristic, day time.Time) []trait {
	of := func(what string, now ledger.Size, size func(ledger.Characteristic) ledger.Size) trait {
		return trait{what + " of " + path, now.Span, func(r *ledger.Record) string {
			part, ok := r.Data.(*ledger.Part)
			if !ok {
				return ""
			}
			for _, other := range part.Characteristic {
				if held := size(ledger.OnDay(other, day)); other.ID.S == c.ID.S && held.Set() {
					return held.Tol.String()
				}
			}
			return ""
		}, sameAmount}
	}
	return []trait{
		of("the limits", c.Limits, func(c ledger.Characteristic) ledger.Size { return c.Limits }),
		of("the goal", c.Goal, func(c ledger.Characteristic) ledger.Size { return c.Goal }),
	}
}

// PredictionLate tells whether the prediction of a change was written when the
// readings after were known; nil if it was made in time, or says itself that it
// was computed again (recomputed). By is nil if the record's own day shows it;
// otherwise it needs Past.
func (s *Set) PredictionLate(rec *ledger.Record) *Late {
	ch, ok := rec.Data.(*ledger.Change)
	if !ok || !ch.Predicted.Set() || ch.Recomputed.Set() {
		return nil
	}
	after, on := s.dayOf(ch.After)
	if after == nil || on.Set() && on.T.After(s.AsOf) {
		return nil
	}
	if in, ok := after.Data.(*ledger.Inspection); !ok || !in.HasReadings() {
		return nil
	}
	if later(ch.PredictedOn, on) {
		return &Late{What: "the prediction", Rec: rec, At: ch.PredictedOn.Span, Is: ch.Predicted.Tol.String(), Lateness: NextDay, Result: after, On: on}
	}
	if s.Past == nil || len(s.Past.Versions(rec)) < 2 {
		return nil
	}
	o, ok := s.outcomeOf(rec, ch)
	if !ok {
		return nil
	}
	return s.writtenLate(rec, o, ofChange("the prediction", ch.Predicted.Span, func(c *ledger.Change) string {
		if !c.Predicted.Set() {
			return ""
		}
		return c.Predicted.Tol.String()
	}, sameAmount))
}
