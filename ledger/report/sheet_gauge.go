package report

import (
	"fmt"
	"slices"

	"tenths/ledger"
	"tenths/ledger/study"
)

// recentUses is how many inspections a gauge's page lists.
const recentUses = 8

func (b *sheetBuilder) gauge(g *ledger.Gauge) {
	s := b.section("standing on " + day(b.s.AsOf))
	st, last, due := b.s.StandingOn(g, b.s.AsOf)
	s.say("standing", standing(&study.Gauging{Standing: st, Last: last, Due: due, Gauge: g}))
	s.say("next check due", day(due))
	b.checks(g)
	b.interval(g)
	uses := b.inspections(func(in *ledger.Inspection) bool { return in.Gauge.S == b.rec.ID() })
	if len(uses) == 0 {
		return
	}
	name := "recent uses"
	if len(uses) > recentUses {
		name = fmt.Sprintf("recent uses, %d of %d", recentUses, len(uses))
		uses = uses[:recentUses]
	}
	u := b.section(name)
	for _, rec := range uses {
		in := rec.Data.(*ledger.Inspection)
		that := ""
		if ga := b.s.Gauging(rec); ga != nil {
			that = standing(ga)
		}
		u.row(cell("on", in.On.String()), cell("inspection", rec.ID()), cell("characteristic", in.Characteristic.S), cell("purpose", orWord(in.Purpose.S, "acceptance")), cell("its standing that day", that))
	}
}

// checks lists the comparisons of a gauge with a standard.
func (b *sheetBuilder) checks(g *ledger.Gauge) {
	var rows [][]Fact
	for _, c := range g.Calibration {
		if c.On.By(b.s.AsOf) {
			rows = append(rows, []Fact{cell("on", c.On.String()), cell("result", c.Result.S), cell("as found", size(c.AsFound)), cell("at", size(c.At)), cell("as left", size(c.AsLeft)), cell("against", c.Against.S), cell("look back", c.LookBack.S)})
		}
	}
	if rows != nil {
		s := b.section("checks")
		for _, r := range rows {
			s.row(r...)
		}
	}
}

// machine lists what a machine ran with, the latest last.
func (b *sheetBuilder) machine(m *ledger.Machine) {
	now := m.RunsOn(b.s.AsOf)
	var rows [][]Fact
	for _, r := range m.Runs {
		if r.On.By(b.s.AsOf) {
			inForce := ""
			if slices.ContainsFunc(now, func(n ledger.Running) bool { return n.Span == r.Span }) {
				inForce = "in force"
			}
			rows = append(rows, []Fact{cell("since", r.On.String()), cell("runs with", r.What.S), cell("", r.Is.S), cell("note", r.Note.S), cell("standing", inForce)})
		}
	}
	if rows != nil {
		s := b.section("runs with")
		for _, r := range rows {
			s.row(r...)
		}
	}
}

func (b *sheetBuilder) tool(t *ledger.Tool) {
	now := ledger.OnDay(*t, b.s.AsOf)
	if now.Count.Set() && now.Life.Set() && len(b.sh.Later) == 0 && now.Life.Nominal().Sign() > 0 {
		s := b.section("life")
		left, err := now.Life.Nominal().Sub(now.Count.Nominal())
		if err == nil {
			s.sayQ("left", left.String()+" of "+now.Life.Nominal().String(), left)
		}
	}
	b.drift(&now)
	if len(t.Cuts) > 0 {
		s := b.section("sizes it really cuts")
		for _, c := range t.Cuts {
			s.row(cell("material", c.Material.S), cell("size", size(c.Size)), cell("on", c.On.String()))
		}
	}
	var rows [][]Fact
	for _, rec := range b.s.L.Records {
		p, ok := rec.Data.(*ledger.Plan)
		if !ok || p.From.Set() && !p.From.By(b.s.AsOf) {
			continue
		}
		for _, op := range p.Operations {
			for _, tool := range op.Tools {
				if tool.S == b.rec.ID() {
					rows = append(rows, []Fact{cell("plan", rec.ID()+prefixed(" rev ", rec.Common.Rev.S)), cell("state", p.State.S), cell("operation", op.ID.S), cell("title", op.Title.S), cell("cut", op.Cut.S)})
				}
			}
		}
	}
	if rows != nil {
		s := b.section("plans that use it")
		for _, r := range rows {
			s.row(r...)
		}
	}
}
