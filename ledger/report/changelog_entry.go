package report

import (
	"regexp"
	"slices"
	"strings"
	"time"

	"tenths/ledger"
	"tenths/ledger/redact"
	"tenths/ledger/study"
)

// entryBuilder makes an entry. It keeps what must not be published of the texts
// that it takes from records, so that nothing is before all are looked through.
type entryBuilder struct {
	s     *study.Set
	rec   *ledger.Record
	ch    *ledger.Change
	opt   LogOptions
	leaks []study.Leak
}

// What may not stand in the texts beside the numbers: lengths beside
// percentages of the limit, and the other way round.
var (
	lengthWord     = regexp.MustCompile(`(?i)\b(tenths?|thou|um|uin|microns?|micrometres?)\b|µm|μm|\d\s*(mm|in)\b`)
	percentOfLimit = regexp.MustCompile(`(?i)\d\s*(%|percent|per cent)\s+of\s+(the\s+|our\s+)?(limit|tolerance|goal)`)
)

func (b *entryBuilder) besides() *regexp.Regexp {
	if b.opt.Percent {
		return lengthWord
	}
	return percentOfLimit
}

// take uses a text of a record; for the public without its sizes and days.
func (b *entryBuilder) take(rec *ledger.Record, t ledger.Text) string {
	if !b.opt.Public || !t.Set() {
		return line(t.S)
	}
	text, leaks := b.s.PublicText(rec, t)
	if b.opt.Serials && t == b.ch.AppliesFrom {
		leaks = slices.DeleteFunc(leaks, func(l study.Leak) bool { return l.Why == redact.SerialOfUnits })
	}
	if m := b.besides().FindString(text); m != "" {
		leaks = append(leaks, study.Leak{Rec: rec, At: t.Span, Word: strings.TrimSpace(m), Why: "a difference beside a percentage of the limit, which gives the limit away"})
	}
	for _, l := range leaks {
		if !slices.Contains(b.leaks, l) {
			b.leaks = append(b.leaks, l)
		}
	}
	return line(text)
}

func (b *entryBuilder) entry(on ledger.Date) Entry {
	ch := b.ch
	e := Entry{Change: b.take(b.rec, b.rec.Common.ID), Date: on.String(), RolledBack: ch.RolledBack.String(), State: ch.State.S,
		Notice: b.take(b.rec, ch.Notice), Results: []Result{}, ElseChanged: len(ch.AlsoChanged), Corrections: []Corrected{}, on: on.T}
	customers := b.opt.For == Customers
	if !customers {
		e.Title, e.Kind, e.SideEffects, e.Lesson = b.take(b.rec, b.rec.Common.Title), b.take(b.rec, ch.Factor), b.take(b.rec, ch.Side), b.take(b.rec, ch.Lesson)
		if e.Cause = b.take(b.rec, ch.Cause.Text); e.Cause != "" {
			e.CauseStanding = ch.Cause.Standing.S
		}
	}
	if b.opt.For != Makers {
		e.OlderUnits = b.take(b.rec, ch.OlderUnits)
	}
	if !b.opt.Public {
		e.Criterion = line(ch.Criterion.S)
	}
	if !b.opt.Public || b.opt.Serials {
		e.AppliesFrom = b.take(b.rec, ch.AppliesFrom)
	}
	for _, c := range ch.Corrections {
		if c.On.By(b.s.AsOf) {
			e.Corrections = append(e.Corrections, Corrected{b.on(c.On.String()), b.take(b.rec, c.Text)})
		}
	}
	e.Date, e.RolledBack = b.on(e.Date), b.on(e.RolledBack)
	if rec := b.part(); rec != nil {
		e.Part = b.take(rec, rec.Common.Title)
	}
	for _, ev := range b.s.Evidence(b.rec) {
		if ev.Char == nil || ev.Before == nil && ev.After == nil {
			continue
		}
		if customers {
			e.Results = append(e.Results, b.plainResult(ev))
		} else {
			e.Results = append(e.Results, b.result(ev))
		}
		for _, p := range ev.Points {
			if ev.Primary && p.Worse {
				e.WorsePoints++
			}
		}
	}
	e.updated = b.updated(on)
	e.Updated = b.on(day(e.updated))
	e.Caveat = b.caveat(len(e.Results) > 0)
	if customers {
		e.Outcome = outcome(e)
	}
	return e
}

// on is a day as it may be told: in a public log its month.
func (b *entryBuilder) on(d string) string {
	if b.opt.Public {
		return month(d)
	}
	return d
}

// part is the part that a change is about: that of its readings, else that on
// the station that was altered; nil if neither is known.
func (b *entryBuilder) part() *ledger.Record {
	for _, ev := range b.s.Evidence(b.rec) {
		if ev.CharRec != nil {
			return ev.CharRec
		}
	}
	for _, t := range b.ch.Touches {
		path := strings.Split(t.S, "/")
		r := b.s.L.Record(path[0])
		if r == nil {
			continue
		}
		switch d := r.Data.(type) {
		case *ledger.Part:
			return r
		case *ledger.Fixture:
			for _, st := range d.Stations {
				if p := b.s.L.Record(st.Part.S); p != nil && len(path) > 1 && st.ID.S == path[1] {
					return p
				}
			}
		}
	}
	return nil
}

// updated is the newest day on which something became known of a change.
func (b *entryBuilder) updated(on ledger.Date) time.Time {
	newest := on.T
	later := func(d ledger.Date) {
		if d.By(b.s.AsOf) && d.T.After(newest) {
			newest = d.T
		}
	}
	later(b.ch.RolledBack)
	for _, c := range b.ch.Corrections {
		later(c.On)
	}
	for _, ev := range b.s.Evidence(b.rec) {
		for _, g := range []*study.Group{ev.Before, ev.After, ev.Back} {
			if g != nil {
				later(g.In.On)
			}
		}
	}
	return newest
}

// groups names the groups that an entry belongs to.
func (b *entryBuilder) groups(on ledger.Date) []string {
	var out []string
	add := func(rec *ledger.Record) {
		name := b.take(rec, rec.Common.Title)
		if !b.opt.Public {
			name = rec.ID() + " " + name
		}
		if !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	switch b.opt.By {
	case ByPart:
		for _, ev := range b.s.Evidence(b.rec) {
			if ev.CharRec != nil {
				add(ev.CharRec)
			}
		}
	case ByFixture:
		for _, t := range b.ch.Touches {
			id, _, _ := strings.Cut(t.S, "/")
			if r := b.s.L.Record(id); r != nil && r.Kind() == ledger.KindFixture {
				add(r)
			}
		}
	default:
		if on.Set() {
			return []string{month(on.String())}
		}
	}
	if out == nil {
		return []string{"other"}
	}
	return out
}
