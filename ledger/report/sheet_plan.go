package report

import (
	"fmt"
	"strings"

	"tenths/calc/order"
	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
)

// plan shows a plan as a graph: what each operation makes, locates on, alters and
// checks, what does not hold together, what must come before what, the set-ups, and
// what a batch does to the tools.
func (b *sheetBuilder) plan(p *ledger.Plan) {
	g := b.s.PlanGraph(b.rec)
	b.operations(g)
	notes := planNotes(b.s, g)
	s := b.section("does it hold together")
	if notes == nil {
		s.say("in short", "nothing was found against the order, the checks, the tools or the cautions, as far as the records say what is made, located on, altered and checked")
	}
	for _, n := range notes {
		s.row(cell("about", n.About), cell("operations", strings.Join(n.Ops, ", ")), cell("what", n.Text))
	}
	if len(p.Operations) > len(g.Ops) {
		s.say("looked at", fmt.Sprintf("the first %d of %d operations", len(g.Ops), len(p.Operations)))
	}
	b.constraints(g)
	b.setups(g)
	b.batch(g)
}

func (b *sheetBuilder) operations(g *study.PlanGraph) {
	s := b.section("operations")
	s.Picture = planPicture(g, "plan")
	for i := range g.Ops {
		op := &g.Ops[i]
		var on []string
		for _, l := range op.On {
			on = append(on, l.Feature)
		}
		alters := joinTexts(op.Alters)
		if op.Alters != nil && op.Clear.B {
			alters += " (clear of the locators)"
		}
		cut := op.Cut.S
		if op.Surface.Set() && cut != "" {
			cut += " " + op.Surface.S
		}
		s.row(cell("operation", op.ID.S), cell("title", op.Title.S), cell("fixture", op.Fixture.S), cell("tools", joinRefs(op.Tools)), cell("locates on", strings.Join(on, ", ")),
			cell("makes", joinTexts(op.Makes)), cell("alters", alters), cell("checks", joinTexts(op.Checks)), cell("cut", cut))
	}
}

// maxConstraints is how many of them are listed.
const maxConstraints = 60

// constraints lists what must come before what, each with its reason.
func (b *sheetBuilder) constraints(g *study.PlanGraph) {
	list := g.Constraints()
	if list == nil {
		return
	}
	name := "what must come before what"
	if len(list) > maxConstraints {
		name, list = fmt.Sprintf("%s, %d of %d", name, maxConstraints, len(list)), list[:maxConstraints]
	}
	s := b.section(name)
	for _, c := range list {
		why := map[order.Kind]string{
			order.Located: "locates on %s", order.Altered: "alters %s", order.Checked: "needs %s for a check",
			order.Roughed: "finishes %s", order.Needed: "changes %s, on which the first locates",
		}[c.Kind]
		s.row(cell("first", c.Before.ID.S), cell("then", c.After.ID.S), cell("because the second", fmt.Sprintf(why, listed(c.Features))))
	}
}

// setups lists where the part is held, each time it is moved.
func (b *sheetBuilder) setups(g *study.PlanGraph) {
	list := g.Setups()
	if len(list) == 0 {
		return
	}
	s := b.section("set-ups (private)")
	for n, st := range list {
		var programs, tools, gauges []string
		for _, op := range st.Ops {
			programs, tools, gauges = withNew(programs, op.Program.S), withNew(tools, refNames(op.Tools)...), withNew(gauges, refNames(op.Gauges)...)
		}
		first := st.Ops[0]
		face, offset, found := "", "", ""
		if st.Station != nil {
			face, offset, found = st.Station.Face.S, st.Station.Offset.S, st.Found.String()
		}
		s.row(cell("set-up", fmt.Sprint(n+1)), cell("operations", strings.Join(opIDs(st.Ops), ", ")), cell("held in", orWord(first.Fixture.S, first.Where.S)), cell("machine", first.Machine.S), cell("face", face),
			cell("work offset", offset), cell("found", found), cell("program", strings.Join(programs, ", ")), cell("tools", strings.Join(tools, ", ")), cell("gauges", strings.Join(gauges, ", ")))
	}
}

func refNames(list []ledger.Ref) []string {
	var out []string
	for _, r := range list {
		out = append(out, r.S)
	}
	return out
}

// withNew adds the names that a list does not hold.
func withNew(list []string, names ...string) []string {
	for _, n := range names {
		seen := n == ""
		for _, have := range list {
			seen = seen || have == n
		}
		if !seen {
			list = append(list, n)
		}
	}
	return list
}

// batch says what the parts to run do to each tool.
func (b *sheetBuilder) batch(g *study.PlanGraph) {
	runs := g.ToolRuns(0)
	if len(runs) == 0 {
		return
	}
	s := b.section("tools over the batch")
	for _, r := range runs {
		s.row(cell("tool", r.Rec.ID()), cell("title", r.Rec.Common.Title.S), cell("role", r.Now.Role.S), cell("in", strings.Join(opIDs(r.Ops), ", ")),
			cell("batch", countWord(r.Pieces)), cell("life", lifeWords(&r)), cell("in this batch", runWords(&r)))
	}
}

func countWord(n int) string {
	if n <= 0 {
		return ""
	}
	return fmt.Sprint(n)
}

// lifeWords says how much of its life a cutter has behind it.
func lifeWords(r *study.ToolRun) string {
	switch {
	case r.Life < 0 && r.Count < 0:
		return ""
	case r.Life < 0:
		return fmt.Sprintf("has cut %d, life not stated", r.Count)
	case r.Count < 0:
		return fmt.Sprintf("life %d, count not stated", r.Life)
	}
	return fmt.Sprintf("%d of %d", r.Count, r.Life)
}

// runWords says what the batch does to a cutter.
func runWords(r *study.ToolRun) string {
	if r.Pieces == 0 || r.Count < 0 {
		return ""
	}
	var out []string
	switch {
	case r.N > 0:
		var at []string
		for _, c := range r.Changes {
			at = append(at, fmt.Sprintf("%d (%s)", c.Before, c.Op.ID.S))
		}
		more := ""
		if r.N > len(at) {
			more = fmt.Sprintf(" and %d more", r.N-len(at))
		}
		out = append(out, fmt.Sprintf("%d %s of cutter, before part %s%s", r.N, plural(r.N, "change"), listed(at), more))
	case r.Life >= 0:
		out = append(out, fmt.Sprintf("no change; %d of %d at the end", r.End, r.Life))
	}
	if !r.Edge.IsZeroValue() {
		out = append(out, fmt.Sprintf("one side of an outline stands %s out by wear at part %d of a cutter, by its stated wear", study.Show(inUnit(r.Edge, r.Now.Diameter)), r.Most))
	}
	for _, d := range r.Drifts {
		out = append(out, driftAt(d, r.Most))
	}
	return strings.Join(out, "; ")
}

// inUnit shows a length in the unit of another.
func inUnit(q quantity.Quantity, as ledger.Size) quantity.Quantity {
	if as.Set() {
		if v, err := q.As(as.Nominal().Unit()); err == nil {
			return v
		}
	}
	return q
}

// driftAt says where the measured drift takes a characteristic at a count.
func driftAt(d study.RunDrift, count int) string {
	f := d.Series
	name := f.Char.ID.S
	if d.Far {
		return fmt.Sprintf("%s drifts with it, but part %d lies too far beyond the readings to say how much", name, count)
	}
	text := fmt.Sprintf("by its readings %s is then at %s, a single part within %s of that", name, seriesValue(f, d.At), f.Shown(d.Within).String())
	if d.SafeOK {
		text += fmt.Sprintf("; after part %d of a cutter one can be beyond the limit", d.Safe)
	}
	return text
}

// seriesValue is a number of a series with what it is counted from.
func seriesValue(f *study.Following, v float64) string {
	text := f.Shown(v).String()
	if f.Base.IsZeroValue() || f.Base.Sign() == 0 {
		return text
	}
	if v > 0 {
		text = "+" + text
	}
	return text + " from " + f.Base.String()
}
