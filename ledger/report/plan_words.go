package report

import (
	"fmt"
	"slices"
	"strings"

	"tenths/calc/order"
	"tenths/ledger/study"
)

// planNote is something that the study of a plan found, in words.
type planNote struct {
	About string // order, checks, tools, set-up, cautions
	Ops   []string
	Text  string
}

// of reports whether the note speaks of an operation.
func (n planNote) of(op string) bool { return slices.Contains(n.Ops, op) }

// planNotes gathers what the study of a plan has to say, by its subject.
func planNotes(s *study.Set, g *study.PlanGraph) []planNote {
	p := planWords{s: s, g: g}
	p.order()
	p.altered()
	p.reorder()
	p.checks()
	p.tools()
	p.setup()
	p.cautions()
	return p.notes
}

type planWords struct {
	s     *study.Set
	g     *study.PlanGraph
	notes []planNote
}

func (p *planWords) add(about string, ops []string, format string, args ...any) {
	p.notes = append(p.notes, planNote{about, ops, line(fmt.Sprintf(format, args...))})
}

// order tells what is used before it is there, and what is roughed behind its finish.
func (p *planWords) order() {
	type key struct {
		kind      order.Kind
		op, other int
	}
	var keys []key
	features := map[key][]string{}
	for _, f := range p.g.Faults {
		if f.Kind == order.Needed {
			continue
		}
		k := key{f.Kind, f.Op, f.Other}
		if features[k] == nil {
			keys = append(keys, k)
		}
		features[k] = append(features[k], p.g.Names[f.Feature])
	}
	for _, k := range keys {
		op, other := p.g.Ops[k.op].ID.S, p.g.Ops[k.other].ID.S
		ops, what := []string{op, other}, listed(features[k])
		switch k.kind {
		case order.Located:
			p.add("order", ops, "%s locates on %s, which only %s makes, later", op, what, other)
		case order.Altered:
			p.add("order", ops, "%s alters %s, which only %s makes, later", op, what, other)
		case order.Checked:
			p.add("order", ops, "%s checks %s, which only %s makes, later", op, what, other)
		case order.Roughed:
			p.add("order", ops, "%s roughs %s after %s has finished it", op, what, other)
		}
	}
}

func (p *planWords) altered() {
	for _, a := range p.s.Altered(p.g.Rec) {
		var names []string
		for _, f := range a.Features {
			names = append(names, f.Feature)
		}
		p.add("order", []string{a.Op.ID.S, a.Before.ID.S, a.After.ID.S}, "%s %s %s, on which %s has located the part and %s locates it again, without a check in between",
			a.Op.ID.S, a.How, listed(names), a.Before.ID.S, a.After.ID.S)
	}
}

// reorder offers an order that keeps everything, or says why there is none.
func (p *planWords) reorder() {
	r := p.g.Reorder()
	if r == nil {
		return
	}
	if r.Order == nil {
		if len(r.Circle) > 1 {
			p.add("order", opIDs(r.Circle), "no order can hold: each of %s must come before the next, and the last before the first", listed(opIDs(r.Circle)))
		} else {
			p.add("order", nil, "no order was found that keeps all of this; a check of what was changed, before it is used again, may be the way")
		}
		return
	}
	var moves, ops []string
	for _, m := range r.Moves {
		ops = append(ops, m.Op.ID.S)
		if m.Behind == nil {
			moves = append(moves, m.Op.ID.S+" to the front")
		} else {
			moves = append(moves, m.Op.ID.S+" behind "+m.Behind.ID.S)
		}
	}
	p.add("order", ops, "an order that holds: move %s", listed(moves))
}

func opIDs(ops []*study.PlanOp) []string {
	var out []string
	for _, op := range ops {
		out = append(out, op.ID.S)
	}
	return out
}

// checks tells what is not checked, or not in time; what is alike in one sentence.
func (p *planWords) checks() {
	type key struct {
		how               study.MissingHow
		made, checked, by int
		uses              bool
	}
	var keys []key
	what := map[key][]study.MissingCheck{}
	for _, m := range p.g.MissingChecks() {
		k := key{m.How, m.Made, m.Checked, m.By, m.Uses}
		if what[k] == nil {
			keys = append(keys, k)
		}
		what[k] = append(what[k], m)
	}
	id := func(i int) string { return p.g.Ops[i].ID.S }
	for _, k := range keys {
		names := missingNames(what[k])
		var ops []string
		for _, i := range []int{k.made, k.checked, k.by} {
			if i >= 0 && !slices.Contains(ops, id(i)) {
				ops = append(ops, id(i))
			}
		}
		made := ""
		if k.made >= 0 {
			made = ", made in " + id(k.made)
		}
		is := pick(len(what[k]), "is", "are")
		switch k.how {
		case study.NoCheck:
			p.add("checks", ops, "no operation checks %s%s: a bad part leaves unseen", names, made)
		case study.CheckedCovered:
			p.add("checks", ops, "%s %s first checked in %s, but %s has covered it by then", names, is, id(k.checked), id(k.by))
		case study.CheckedBefore:
			p.add("checks", ops, "%s %s last checked in %s; %s changes it after that and nothing checks it again", names, is, id(k.checked), id(k.by))
		case study.CheckedLate:
			if k.uses {
				p.add("checks", ops, "%s%s, %s first checked in %s, and %s has located on it by then: all the work in between hangs on an unchecked feature", names, made, is, id(k.checked), id(k.by))
			} else {
				p.add("checks", ops, "%s%s, %s critical and first checked in %s: the work of %s is spent on a part that may be bad", names, made, is, id(k.checked), id(k.by))
			}
		}
	}
}

// missingNames names what is not checked: "TAPER, and the sizes of X1 and X2".
func missingNames(list []study.MissingCheck) string {
	var out, kinds []string
	of := map[string][]string{}
	for _, m := range list {
		switch {
		case m.Char != nil:
			out = append(out, m.Char.ID.S)
		case of[m.Of] == nil:
			kinds = append(kinds, m.Of)
			fallthrough
		default:
			of[m.Of] = append(of[m.Of], m.Feature.ID.S)
		}
	}
	for _, k := range kinds {
		out = append(out, "the "+plural(len(of[k]), k)+" of "+listed(of[k]))
	}
	return listed(out)
}

func pick(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// tools tells which tools may not do what they are named for.
func (p *planWords) tools() {
	for _, o := range p.g.OutOfUse() {
		since := ""
		if o.Since.Set() {
			since = " since " + o.Since.String()
		}
		if o.Instead != "" {
			since += "; " + o.Instead + " took its place"
		}
		p.add("set-up", []string{o.Op.ID.S}, "%s names %s, which is %s%s", o.Op.ID.S, o.Ref.S, o.State, since)
	}
	for _, u := range p.g.UnfitFinishers() {
		if u.Wear == nil {
			p.add("tools", []string{u.Op.ID.S}, "%s finishes with %s, whose role is %q", u.Op.ID.S, u.Ref.S, u.Now.Role.S)
			continue
		}
		p.add("tools", []string{u.Op.ID.S}, "%s finishes with %s, which has cut %s of a life of %s: it has to be changed on the way", u.Op.ID.S, u.Ref.S, u.Wear.Count, u.Wear.Life)
	}
	for _, r := range p.g.RoughingFinishers() {
		also := ""
		if r.Finishes != nil {
			also = " and " + r.Finishes.ID.S + " finishes with it"
		}
		p.add("tools", []string{r.Op.ID.S}, "%s roughs with %s, a finisher: roughing takes its edge%s", r.Op.ID.S, r.Rec.ID(), also)
	}
}

// setup tells what was written or set for an older state.
func (p *planWords) setup() {
	if _, open, ok := p.s.PlanDay(p.g.Rec); !ok || !open {
		return
	}
	for _, b := range p.s.BehindSheets() {
		if b.Plan != p.g.Rec {
			continue
		}
		who, ops := "the plan", []string(nil)
		if b.Op != nil {
			who, ops = b.Op.ID.S, []string{b.Op.ID.S}
		}
		p.add("set-up", ops, "%s was written for revision %s of %s %s, which is at %s", who, b.Old, b.Of, b.Name, b.New)
	}
	for _, b := range p.s.BehindOffsets() {
		var ops []string
		for i := range p.g.Ops {
			if p.g.Ops[i].Station == b.Station {
				ops = append(ops, p.g.Ops[i].ID.S)
			}
		}
		if ops != nil {
			p.add("set-up", ops, "%s", behindOffset(b))
		}
	}
	for _, r := range p.s.Relocated() {
		if r.Side.Plan == p.g.Rec && r.Other == nil {
			what := "the position of " + listed(r.Side.Features)
			if r.Char != nil {
				what = r.Char.ID.S
			}
			p.add("order", []string{r.Side.Op.ID.S}, "%s is measured from %s, but %s makes %s on %s: the errors of both are in it", what, listed(r.Datum), r.Side.Op.ID.S, listed(r.Side.Features), listed(r.Side.On))
		}
	}
}

// behindOffset says why the offset of a station has to be found anew.
func behindOffset(b study.BehindOffset) string {
	var why []string
	if b.SeatTo != nil {
		why = append(why, fmt.Sprintf("the seat stands at %s since %s, before that at %s", b.SeatTo.Height.Tol, b.SeatTo.On, b.SeatFrom.Height.Tol))
	}
	for _, m := range b.Pins {
		why = append(why, m.Locator.ID.S+" has moved")
	}
	for _, n := range b.New {
		why = append(why, fmt.Sprintf("%s was made anew on %s", n.Locator.ID.S, n.On))
	}
	return fmt.Sprintf("the offset of %s/%s was found on %s, and since then %s", b.Rec.ID(), b.Station.ID.S, b.SetToPins, strings.Join(why, "; "))
}

// cautions tells which usual cautions an operation or a step does without.
func (p *planWords) cautions() {
	for i := range p.g.Ops {
		for _, st := range stepsOf(p.g.Ops[i].Operation) {
			if len(st.Missing) == 0 {
				continue
			}
			p.add("cautions", []string{p.g.Ops[i].ID.S}, "%s stands without the usual %s for %s: %s; local codes and licensed practice decide",
				st.name(p.g.Ops[i].ID.S), plural(len(st.Missing), "caution"), listed(st.Kinds), listed(st.Missing))
		}
	}
}

// listed joins names: "H1", "H1 and H2", "H1, H2 and H3".
func listed(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}
