package report

import (
	"errors"
	"slices"
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
)

// lotSheet is the page of a lot: everything as it was on the day on which it was
// made, and what nobody wrote down.
func lotSheet(s *study.Set, l *study.Lot) *Sheet {
	now := study.New(s.L, l.Day)
	rec := slices.Concat(l.Inspections, l.Plans)[0]
	sh := &Sheet{
		AsOf: day(l.Day), Path: l.Name, Record: rec.ID(), Kind: "lot", Title: line(titlesOf(l.Parts)),
		File: rec.Path, Line: lineOf(rec, rec.Common.ID.Span), Sections: []Section{},
	}
	b := lotBuilder{sheetBuilder{s: now, sh: sh, rec: rec}, l, s, now.MadeWith(l), nil}
	b.whole()
	b.readOn()
	for _, m := range b.made {
		b.madeBy(m)
		for _, st := range m.Stations {
			b.heldBy(m, st)
		}
	}
	b.tools()
	b.gauges()
	b.machines()
	if b.open != nil {
		sec := b.section("not known")
		for _, o := range b.open {
			sec.row(cell("of", o[0]), cell("what", o[1]))
		}
	}
	return sh
}

func titlesOf(list []*ledger.Record) string {
	var out []string
	for _, r := range list {
		out = append(out, r.Common.Title.S)
	}
	return strings.Join(out, ", ")
}

type lotBuilder struct {
	sheetBuilder
	lot  *study.Lot
	read *study.Set // as of the day asked for, which knows the readings
	made []*study.MadeOn
	open [][2]string
}

func (b *lotBuilder) unknown(of, what string) {
	if o := [2]string{of, what}; !slices.Contains(b.open, o) {
		b.open = append(b.open, o)
	}
}

func (b *lotBuilder) whole() {
	s := b.section("lot " + line(b.lot.Name))
	s.say("taken for", day(b.lot.Day))
	s.say("because", b.lot.Why)
	var parts []string
	for _, p := range b.lot.Parts {
		parts = append(parts, p.ID()+" "+p.Common.Title.S)
	}
	s.say("parts", strings.Join(parts, ", "))
	if !b.lot.Known {
		b.unknown("lot "+b.lot.Name, "the day on which it was made")
	}
}

// readOn lists the readings on the lot, with the standing of each gauge.
func (b *lotBuilder) readOn() {
	if len(b.lot.Inspections) == 0 {
		b.unknown("lot "+b.lot.Name, "how it came out: no readings name it")
		return
	}
	s := b.section("read on it")
	for _, rec := range b.lot.Inspections {
		in := rec.Data.(*ledger.Inspection)
		gauge := in.Gauge.S
		if g := b.read.Gauging(rec); g != nil {
			gauge += ", " + standing(g)
		}
		s.row(cell("on", in.On.String()), cell("inspection", rec.ID()), cell("characteristic", in.Characteristic.S), cell("gauge", gauge), cell("result", orWord(in.Result.S, in.State.S)))
	}
}

// madeBy lists the operations of the plan in force.
func (b *lotBuilder) madeBy(m *study.MadeOn) {
	id := m.Part.ID()
	if m.Plan == nil {
		if p, ok := m.Part.Data.(*ledger.Part); ok && len(p.MadeOf) == 0 {
			b.unknown(id, "the plan: none was in force on "+day(b.lot.Day))
		}
		return
	}
	p := m.Plan.Data.(*ledger.Plan)
	name := "plan of " + id + ": " + m.Plan.ID() + prefixed(" rev ", m.Plan.Common.Rev.S) + prefixed(", in force since ", p.From.String())
	if p.Lot.Set() {
		name += ", for this lot alone"
	}
	s := b.section(name)
	for _, op := range m.Operations() {
		s.row(cell("operation", op.ID.S), cell("title", op.Title.S), cell("fixture", op.Fixture.S), cell("tools", joinRefs(op.Tools)), cell("program", op.Program.S))
	}
}

// heldBy lists the pins of a station as they stood.
func (b *lotBuilder) heldBy(m *study.MadeOn, st *study.LotStation) {
	name := "station " + st.Path() + " for " + m.Part.ID()
	var ops []string
	for _, op := range st.Ops {
		ops = append(ops, op.ID.S)
	}
	if ops == nil {
		name += " (no plan says so, but it is one of its stations)"
	}
	s := b.section(name + prefixed(", ", strings.Join(ops, " ")))
	s.say("state of the fixture", study.StandingOfFixture(st.Fixture.Data.(*ledger.Fixture), b.lot.Day))
	for _, f := range b.s.StateOf(st.Fixture) {
		if f.Path == st.Path() && strings.HasPrefix(f.Key, "work offset") || f.Path == st.Fixture.ID() && (f.Key == "rev" || f.Key == "seat height") {
			text := f.Text
			if since := day(f.From); !strings.HasPrefix(text, since) {
				text += prefixed(", since ", since)
			}
			s.say(f.Key, text)
		}
	}
	for i := range st.Station.Locators {
		loc := ledger.OnDay(st.Station.Locators[i], b.lot.Day)
		off, on, used := "not known", "never as it stood", size(loc.Size)
		if sv, ok := loc.SurveyOn(b.lot.Day); ok {
			off, on = orWord(sv.Off.String(), off), sv.On.String()
			if sv.Size.Set() {
				used = size(sv.Size) + " as surveyed"
			}
		} else if !strings.HasSuffix(loc.Type.S, "pin") {
			continue
		} else {
			b.unknown(st.Path()+"/"+loc.ID.S, "where it stood: it had not been surveyed as it was then")
		}
		s.row(cell("locator", loc.ID.S), cell("type", loc.Type.S), cell("in", loc.Engages.S), cell("size", used), cell("stands off its place", off), cell("surveyed", on), cell("made by", loc.MadeBy.S))
	}
}

// tools lists the tools of the plans as they were.
func (b *lotBuilder) tools() {
	var seen []string
	var rows [][]Fact
	for _, m := range b.made {
		for _, op := range m.Operations() {
			for _, ref := range op.Tools {
				rec := b.s.L.Record(ref.S)
				if rec == nil || slices.Contains(seen, ref.S) {
					continue
				}
				t, ok := rec.Data.(*ledger.Tool)
				if !ok {
					continue
				}
				seen = append(seen, ref.S)
				now := ledger.OnDay(*t, b.lot.Day)
				cut := "not known"
				if least, most, ok := b.read.CountsOf(b.lot, ref.S); ok {
					cut = study.CountWords(least, most)
				} else if now.Life.Set() {
					b.unknown(ref.S, "how many parts it had cut by then: no reading of the lot says it (at_count)")
				}
				rows = append(rows, []Fact{cell("tool", ref.S), cell("title", rec.Common.Title.S), cell("role", now.Role.S), cellQ("life", nominal(now.Life)), cell("had cut", cut)})
			}
		}
	}
	b.table("tools", rows)
}

func (b *lotBuilder) table(name string, rows [][]Fact) {
	if rows == nil {
		return
	}
	s := b.section(name)
	for _, r := range rows {
		s.row(r...)
	}
}

// gauges lists the gauges of the plans and of the readings as they stood.
func (b *lotBuilder) gauges() {
	var ids []string
	add := func(id string) {
		if id != "" && !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	for _, rec := range b.lot.Inspections {
		add(rec.Data.(*ledger.Inspection).Gauge.S)
	}
	for _, m := range b.made {
		for _, op := range m.Operations() {
			for _, g := range op.Gauges {
				add(g.S)
			}
		}
	}
	var rows [][]Fact
	for _, id := range ids {
		rec := b.s.L.Record(id)
		if rec == nil {
			continue
		}
		if g, ok := rec.Data.(*ledger.Gauge); ok {
			st, last, due := b.s.StandingOn(g, b.lot.Day)
			rows = append(rows, []Fact{cell("gauge", id), cell("title", rec.Common.Title.S), cell("standing", study.StandingWords(st, last, due))})
		}
	}
	b.table("gauges on that day", rows)
}

// machines lists what the machines ran with.
func (b *lotBuilder) machines() {
	var ids []string
	for _, m := range b.made {
		for _, op := range m.Operations() {
			if op.Machine.S != "" && !slices.Contains(ids, op.Machine.S) {
				ids = append(ids, op.Machine.S)
			}
		}
		for _, st := range m.Stations {
			if id := st.Fixture.Data.(*ledger.Fixture).Machine.S; id != "" && !slices.Contains(ids, id) {
				ids = append(ids, id)
			}
		}
	}
	if ids == nil {
		b.unknown("machine", "which one: neither plan nor fixture says it")
	}
	var rows [][]Fact
	for _, id := range ids {
		rec := b.s.L.Record(id)
		if rec == nil {
			continue
		}
		m, ok := rec.Data.(*ledger.Machine)
		if !ok {
			continue
		}
		runs := m.RunsOn(b.lot.Day)
		for _, r := range runs {
			rows = append(rows, []Fact{cell("machine", id), cell("runs with", r.What.S), cell("", r.Is.S), cell("since", r.On.String())})
		}
		if runs == nil {
			rows = append(rows, []Fact{cell("machine", id), cell("runs with", "not known"), cell("", ""), cell("since", "")})
			b.unknown(id, "coolant and the like: no runs_with entry of its record is of that day or before")
		}
	}
	b.table("machines", rows)
}

// lotNamed gives the page of a lot if nothing else in the ledger has the name.
func lotNamed(s *study.Set, name string, err error) (*Sheet, error) {
	nf := (*ledger.NotFound)(nil)
	if !errors.As(err, &nf) || strings.Contains(name, "/") {
		return nil, err
	}
	l, lotErr := s.Lot(name)
	unknown := (*study.UnknownLot)(nil)
	switch {
	case errors.As(lotErr, &unknown):
		if nf.Near == "" && unknown.Near != "" {
			return nil, &ledger.NotFound{Path: nf.Path, Part: nf.Part, Near: unknown.Near}
		}
		return nil, err
	case lotErr != nil:
		return nil, lotErr
	}
	return lotSheet(s, l), nil
}
