package study

import (
	"sort"
	"time"

	"tenths/ledger"
)

// RestingGauge is a gauge that was compared with the suspect gauge, or with one
// that was itself, while that one was in doubt.
type RestingGauge struct {
	Rec *ledger.Record
	// Check is the calibration; nil if the gauge was only checked on the day of
	// the inspections.
	Check   *ledger.Calibration
	Against *ledger.Record // the gauge that it was compared with
	Level   int            // 1 for the suspect gauge itself, 2 for one that rests on it, and on
	// Inspections are those with readings under that check, by day; Readings
	// counts the readings in them that are not void.
	Inspections []*ledger.Record
	Readings    int
}

// ChangeUse is one place where a change takes readings that are in doubt.
type ChangeUse struct {
	Key        string // before, after, after_roll_back, rechecked_by, also.before or also.after
	At         ledger.Span
	Inspection *ledger.Record
	Through    *ledger.Record // the gauge of the readings
	// Noted is set if the inspection says that it is in doubt, so that pages of
	// the change say so too.
	Noted bool
	// Cancels is set if the readings that it is compared with came from the same
	// gauge and are in doubt too: a steady error cancels in the difference, though
	// not against limits or goal.
	Cancels bool
}

// RestingChange is a change whose verdict rests on readings in doubt.
type RestingChange struct {
	Rec    *ledger.Record
	Change *ledger.Change
	Uses   []ChangeUse
}

// RestingSurvey is where a locator was found to stand, by a gauge in doubt.
type RestingSurvey struct {
	Rec     *ledger.Record
	Path    string // of the locator
	Survey  *ledger.Survey
	Through *ledger.Record
}

// RestingValue is a derived value that takes a value of an inspection or of a
// survey in doubt, or another such derived value.
type RestingValue struct {
	Derived *Derived
	Path    string // what it takes
}

// doubtSpan is the time in which a gauge is in doubt: after from, up to and
// with to.
type doubtSpan struct {
	rec      *ledger.Record
	from, to time.Time
	level    int
}

func (d doubtSpan) holds(on ledger.Date) bool {
	return on.Set() && on.T.After(d.from) && !on.T.After(d.to)
}

// rest follows what rests on the readings.
func (w *suspectFinder) rest() {
	spans, through := w.gauges()
	for _, list := range [][]*SuspectGroup{w.Groups, w.Later} {
		for _, g := range list {
			for _, r := range g.Readings {
				through[r.Rec] = w.GaugeRec
			}
		}
	}
	w.changes(through)
	surveys := w.surveys(spans)
	w.derived(through, surveys)
}

// gauges finds the gauges that rest on the suspect one, level by level, and
// gives the gauge behind each of their inspections.
func (w *suspectFinder) gauges() (spans []doubtSpan, through map[*ledger.Record]*ledger.Record) {
	spans = []doubtSpan{{rec: w.GaugeRec, from: w.From, to: w.Until}}
	through = map[*ledger.Record]*ledger.Record{}
	seen := map[*ledger.Calibration]bool{}
	for i := 0; i < len(spans); i++ {
		span := spans[i]
		for _, rec := range w.s.L.Records {
			if rec.Quiet() || rec == w.GaugeRec {
				continue
			}
			switch d := rec.Data.(type) {
			case *ledger.Gauge:
				for j := range d.Calibration {
					c := &d.Calibration[j]
					if c.Against.S != span.rec.ID() || !span.holds(c.On) || seen[c] {
						continue
					}
					seen[c] = true
					next := doubtSpan{rec, c.On.T.AddDate(0, 0, -1), w.lastUnder(d, c), span.level + 1}
					spans = append(spans, next)
					w.Gauges = append(w.Gauges, &RestingGauge{Rec: rec, Check: c, Against: span.rec, Level: next.level, Inspections: w.inspectionsIn(next)})
				}
			case *ledger.Inspection:
				if d.CheckedOn.S == span.rec.ID() && span.holds(d.On) && d.Gauge.S != w.GaugeRec.ID() {
					w.sameDay(rec, d, span)
				}
			}
		}
	}
	// An inspection under a calibration in doubt counts there, and not once more
	// for the check of its day.
	sort.SliceStable(w.Gauges, func(i, j int) bool {
		a, b := w.Gauges[i], w.Gauges[j]
		if a.Level != b.Level {
			return a.Level < b.Level
		}
		return a.Check != nil && b.Check == nil
	})
	kept := w.Gauges[:0]
	for _, g := range w.Gauges {
		var own []*ledger.Record
		for _, rec := range g.Inspections {
			if through[rec] != nil {
				continue
			}
			through[rec] = g.Rec
			own = append(own, rec)
			for _, c := range w.s.Checks(rec) {
				if c.Row.Live() {
					g.Readings++
				}
			}
		}
		if g.Inspections = own; g.Check != nil || own != nil {
			kept = append(kept, g)
		}
	}
	w.Gauges = kept
	return spans, through
}

// lastUnder is the last day on which a check was the latest one.
func (w *suspectFinder) lastUnder(g *ledger.Gauge, c *ledger.Calibration) time.Time {
	last := w.s.AsOf
	for i := range g.Calibration {
		if next := g.Calibration[i].On; next.Set() && next.T.After(c.On.T) {
			last = earlier(last, next.T.AddDate(0, 0, -1))
		}
	}
	return last
}

func (w *suspectFinder) inspectionsIn(span doubtSpan) []*ledger.Record {
	var out []*ledger.Record
	for _, rec := range w.s.L.Records {
		in, ok := rec.Data.(*ledger.Inspection)
		if ok && !rec.Quiet() && in.Gauge.S == span.rec.ID() && span.holds(in.On) {
			out = append(out, rec)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return onOf(out[i]).Before(onOf(out[j])) })
	return out
}

// sameDay adds an inspection whose gauge was checked on a gauge in doubt.
func (w *suspectFinder) sameDay(rec *ledger.Record, in *ledger.Inspection, span doubtSpan) {
	gauge := w.s.L.Record(in.Gauge.S)
	if gauge == nil {
		return
	}
	for _, g := range w.Gauges {
		if g.Rec == gauge && g.Check == nil && g.Against == span.rec {
			g.Inspections = append(g.Inspections, rec)
			return
		}
	}
	w.Gauges = append(w.Gauges, &RestingGauge{Rec: gauge, Against: span.rec, Level: span.level + 1, Inspections: []*ledger.Record{rec}})
}

func (w *suspectFinder) changes(through map[*ledger.Record]*ledger.Record) {
	for _, rec := range w.s.L.Records {
		ch, ok := rec.Data.(*ledger.Change)
		if !ok || ch.State.S == "cancelled" || ch.Opened.Set() && ch.Opened.T.After(w.s.AsOf) {
			continue
		}
		out := &RestingChange{Rec: rec, Change: ch}
		use := func(key string, ref, with ledger.Ref) {
			in := w.s.L.Record(ref.S)
			if in == nil || through[in] == nil {
				return
			}
			d := in.Data.(*ledger.Inspection)
			other := w.s.L.Record(with.S)
			out.Uses = append(out.Uses, ChangeUse{
				Key: key, At: ref.Span, Inspection: in, Through: through[in],
				Noted:   d.Doubt.Set() || d.State.S == "doubtful",
				Cancels: other != nil && through[other] == through[in],
			})
		}
		use("before", ch.Before, ch.After)
		use("after", ch.After, ch.Before)
		use("after_roll_back", ch.Restored, ch.Before)
		use("rechecked_by", ch.Rechecked, ch.After)
		for _, also := range ch.Also {
			use("also.before", also.Before, also.After)
			use("also.after", also.After, also.Before)
		}
		if out.Uses != nil {
			w.Changes = append(w.Changes, out)
		}
	}
}

func (w *suspectFinder) surveys(spans []doubtSpan) map[*ledger.Survey]bool {
	in := map[*ledger.Survey]bool{}
	for _, rec := range w.s.L.Records {
		fx, ok := rec.Data.(*ledger.Fixture)
		if !ok {
			continue
		}
		for i := range fx.Stations {
			for j := range fx.Stations[i].Locators {
				loc := &fx.Stations[i].Locators[j]
				for k := range loc.Surveys {
					sv := &loc.Surveys[k]
					for _, span := range spans {
						if sv.Gauge.S == span.rec.ID() && span.holds(sv.On) && !in[sv] {
							in[sv] = true
							w.Surveys = append(w.Surveys, RestingSurvey{Rec: rec, Path: rec.ID() + "/" + fx.Stations[i].ID.S + "/" + loc.ID.S, Survey: sv, Through: span.rec})
						}
					}
				}
			}
		}
	}
	return in
}

// derived finds the derived values that take what is in doubt, and those that
// take them in turn.
func (w *suspectFinder) derived(through map[*ledger.Record]*ledger.Record, surveys map[*ledger.Survey]bool) {
	rests := map[*ledger.Derived]string{}
	takes := func(d *Derived) string {
		for _, b := range d.D.Where {
			t, err := w.s.L.Find(b.S)
			if err != nil {
				continue
			}
			if through[t.Rec] != nil {
				return b.S
			}
			switch n := t.Node.(type) {
			case *ledger.Survey:
				if surveys[n] {
					return b.S
				}
			case *ledger.Derived:
				if rests[n] != "" {
					return b.S
				}
			}
		}
		return ""
	}
	all := w.s.Derived()
	for again := true; again; {
		again = false
		for _, d := range all {
			if rests[d.D] == "" {
				rests[d.D] = takes(d)
				again = again || rests[d.D] != ""
			}
		}
	}
	for _, d := range all {
		if p := rests[d.D]; p != "" {
			w.Derived = append(w.Derived, RestingValue{d, p})
		}
	}
}
