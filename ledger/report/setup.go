package report

import (
	"fmt"
	"slices"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
)

// SetupSheets are the sheets of a plan, one page an operation, as everything stood on
// a day. They hold programs and offsets and are not for the public.
type SetupSheets struct {
	AsOf      string      `json:"as_of"`
	Shop      string      `json:"shop"`
	Plan      string      `json:"plan"`
	PlanTitle string      `json:"plan_title"`
	PlanRev   string      `json:"plan_rev"`
	PlanState string      `json:"plan_state"`
	Part      string      `json:"part"`
	PartTitle string      `json:"part_title"`
	PartRev   string      `json:"part_rev"`
	PartState string      `json:"part_state"`
	Material  string      `json:"material"`
	Pieces    int         `json:"pieces"` // 0 if nothing says
	Pages     []SetupPage `json:"pages"`
}

// SetupPage is the sheet of one operation.
type SetupPage struct {
	Operation string `json:"operation"`
	Title     string `json:"title"`
	N         int    `json:"n"`
	Of        int    `json:"of"`
	// First is what must be looked at before anything else.
	First    []string    `json:"first"`
	Place    []Fact      `json:"place"`
	Seating  []string    `json:"seating"`
	Clamps   [][]Fact    `json:"clamps"`
	Locators [][]Fact    `json:"locators"`
	Tools    [][]Fact    `json:"tools"`
	Gauges   [][]Fact    `json:"gauges"`
	Checks   [][]Fact    `json:"checks"`
	Steps    []SheetStep `json:"steps"`
	IfBad    []string    `json:"if_bad"`
	// IfBadUsual is set if the plan does not say it and the usual list stands there.
	IfBadUsual bool   `json:"if_bad_usual"`
	Note       string `json:"note"`
	// Hazard is set if any step has cautions, written or missing.
	Hazard bool `json:"hazard"`
	// Picture is drawn into the HTML page; its words stand in Locators.
	Picture string `json:"-"`
}

// usualIfBad is what to do on a bad reading where the plan does not say it (common
// practice).
var usualIfBad = []string{
	"stop; leave the part, the offset and the tool as they are",
	"wipe part and gauge, let both come to the same warmth, zero the gauge on a block near the size, read again",
	"if it stands: write it down as read (tenths record), mark the part and set it aside",
	"read the part before it and the first one of the batch; look at the seat for a chip and at the edge of the tool",
	"move an offset only by what several parts show, never by one reading, and write the move down",
}

// Setups gathers the sheets of a plan; operation is the one to print, all if it is
// empty, and pieces the size of the batch, 0 for what the plan says. The record must be
// a plan.
func Setups(s *study.Set, rec *ledger.Record, operation string, pieces int) (*SetupSheets, error) {
	g := s.PlanGraph(rec)
	if g == nil {
		return nil, fmt.Errorf("%s is a %s, and sheets are printed of a plan", rec.ID(), rec.Kind())
	}
	out := &SetupSheets{
		AsOf: day(s.AsOf), Shop: line(s.L.Config.Shop.S), Plan: rec.ID(), PlanTitle: line(rec.Common.Title.S), PlanRev: line(rec.Common.Rev.S), PlanState: orWord(g.Plan.State.S, "state not stated"),
		Part: line(g.Plan.Part.S), Pieces: pieces, Pages: []SetupPage{},
	}
	if out.Pieces == 0 {
		out.Pieces = g.Batch()
	}
	if g.Part != nil {
		out.PartTitle, out.PartRev, out.PartState, out.Material = line(g.PartRec.Common.Title.S), line(g.PartRec.Common.Rev.S), line(g.Part.State.S), line(g.Part.Material.S)
	}
	b := setupBuilder{s: s, g: g, notes: planNotes(s, g), runs: g.ToolRuns(pieces)}
	var ids []string
	for i := range g.Ops {
		ids = append(ids, g.Ops[i].ID.S)
		if operation == "" || g.Ops[i].ID.S == operation {
			out.Pages = append(out.Pages, b.page(i))
		}
	}
	if operation != "" && len(out.Pages) == 0 {
		return nil, fmt.Errorf("%s has no operation %s; it has %s", rec.ID(), ledger.Printable(operation), orWord(line(listed(ids)), "none"))
	}
	return out, nil
}

type setupBuilder struct {
	s     *study.Set
	g     *study.PlanGraph
	notes []planNote
	runs  []study.ToolRun
}

// page fills the sheet of operation i.
func (b *setupBuilder) page(i int) SetupPage {
	op := &b.g.Ops[i]
	p := SetupPage{Operation: line(op.ID.S), Title: line(op.Title.S), N: i + 1, Of: len(b.g.Ops), Note: line(op.Note.S), First: []string{}, Place: []Fact{}, Seating: []string{}, IfBad: []string{}}
	for _, n := range b.notes {
		if n.About != "cautions" && n.of(op.ID.S) || n.Ops == nil && n.About == "set-up" {
			p.First = append(p.First, n.Text)
		}
	}
	p.First = append(p.First, b.standing(op)...)
	p.Place = b.place(op)
	if st := op.Station; st != nil {
		for _, t := range st.Seating {
			p.Seating = append(p.Seating, line(t.S))
		}
		p.Locators, p.Clamps = b.locators(op), b.clamps(st)
		p.Picture = stationPicture(b.s, b.s.Locating(op.Rec, st), fmt.Sprintf("station%d", i+1), true)
	}
	p.Tools = b.tools(op)
	p.Gauges, p.Checks = b.gauges(op), b.checks(op)
	p.Steps = stepsOf(op.Operation)
	for _, st := range p.Steps {
		p.Hazard = p.Hazard || len(st.Kinds)+len(st.Cautions) > 0
	}
	for _, t := range op.IfBad {
		p.IfBad = append(p.IfBad, line(t.S))
	}
	if len(p.IfBad) == 0 && (len(p.Checks) > 0 || len(p.Gauges) > 0) {
		p.IfBad, p.IfBadUsual = slices.Clone(usualIfBad), true
	}
	for _, rows := range []*[][]Fact{&p.Clamps, &p.Locators, &p.Tools, &p.Gauges, &p.Checks} {
		if *rows == nil {
			*rows = [][]Fact{}
		}
	}
	return p
}

// standing says that a plan or a fixture is not one to work by.
func (b *setupBuilder) standing(op *study.PlanOp) []string {
	var out []string
	if _, open, ok := b.s.PlanDay(b.g.Rec); !ok {
		out = append(out, fmt.Sprintf("the plan is %s: nobody works by it on %s", b.g.Rec.State(), day(b.s.AsOf)))
	} else if !open {
		out = append(out, fmt.Sprintf("the plan ended on %s", b.g.Plan.Until))
	}
	if from := b.g.Plan.From; from.Set() && from.T.After(b.s.AsOf) {
		out = append(out, fmt.Sprintf("the plan holds from %s on, not yet on %s", from, day(b.s.AsOf)))
	}
	if op.Fixture.Set() && op.Station == nil {
		out = append(out, op.Fixture.S+" leads to no station for "+b.g.Plan.Part.S+": what holds and locates the part is not known here")
	}
	for _, id := range b.gaugeRefs(op) {
		rec := b.s.L.Record(id)
		if rec == nil {
			continue
		}
		if ga, ok := rec.Data.(*ledger.Gauge); ok {
			if st, last, due := b.s.StandingOn(ga, b.s.AsOf); st != study.Valid && st != study.ReferenceOnly {
				out = append(out, id+" is not fit to decide: "+standing(&study.Gauging{Standing: st, Last: last, Due: due, Gauge: ga}))
			}
		}
	}
	if op.Station != nil {
		r := restarter{s: b.s, g: b.g, seen: map[string]bool{}}
		r.stood(op)
		for _, it := range r.out {
			out = append(out, it.What+": "+it.Why)
		}
	}
	return out
}

// addFact adds what is there to be said.
func addFact(list []Fact, name, text string) []Fact {
	if text = line(text); text == "" {
		return list
	}
	return append(list, Fact{Name: name, Text: text})
}

// place says where the operation is done and what is set there.
func (b *setupBuilder) place(op *study.PlanOp) []Fact {
	out := addFact(nil, "where", op.Where.S)
	if rec := b.s.L.Record(op.Machine.S); rec != nil {
		out = addFact(out, "machine", op.Machine.S+" "+rec.Common.Title.S)
		if m, ok := rec.Data.(*ledger.Machine); ok {
			if op.Cut.S == "finish" {
				out = addFact(out, "warm-up", m.WarmUp.S)
			}
			out = addFact(out, "coolant", m.Coolant.S)
		}
	} else {
		out = addFact(out, "machine", op.Machine.S)
	}
	if op.Rec != nil {
		fx := ledger.OnDay(*op.Rec.Data.(*ledger.Fixture), b.s.AsOf)
		out = addFact(out, "fixture", op.Rec.ID()+prefixed(" ", op.Rec.Common.Title.S)+prefixed(", rev ", fx.Rev.S)+prefixed(", ", fx.State.S))
		if n := len(fx.Seat); n > 0 {
			var last *ledger.Seat
			for i := range fx.Seat {
				if seat := &fx.Seat[i]; seat.On.By(b.s.AsOf) && (last == nil || seat.On.T.After(last.On.T)) {
					last = seat
				}
			}
			if last != nil {
				out = addFact(out, "seat height", fmt.Sprintf("%s, found %s", last.Height.Tol, last.On))
			}
		}
	} else {
		out = addFact(out, "held in", op.Fixture.S)
	}
	if st := op.Station; st != nil {
		out = addFact(out, "station", st.ID.S+prefixed(", ", st.Title.S))
		out = addFact(out, "face", st.Face.S)
		out = addFact(out, "work offset", b.offset(st))
	}
	out = addFact(out, "program", op.Program.S)
	var on []string
	for _, l := range op.On {
		on = append(on, l.Feature)
	}
	if op.Station == nil {
		out = addFact(out, "located on", listed(on))
	}
	switch {
	case op.Cut.S == "", op.Cut.S == "none", op.Cut.S == "finish" && joinTexts(op.Makes) == op.Surface.S:
	default:
		out = addFact(out, "cut", op.Cut.S+prefixed(" ", op.Surface.S))
	}
	out = addFact(out, "makes", joinTexts(op.Makes))
	out = addFact(out, "leave as it is", b.untouched(op))
	return out
}

// offset names the work offset with the last day on which it was found and how it
// stands off.
func (b *setupBuilder) offset(st *ledger.Station) string {
	text := st.Offset.S
	var found *ledger.Zero
	for i := range st.Found {
		if z := &st.Found[i]; z.On.By(b.s.AsOf) && (found == nil || !z.On.T.Before(found.On.T)) {
			found = z
		}
	}
	if found != nil {
		text += fmt.Sprintf(", found %s%s", found.On, prefixed(": ", found.How.S))
	}
	var shift *ledger.Shift
	for i := range st.Shifts {
		if sh := &st.Shifts[i]; sh.On.By(b.s.AsOf) && (shift == nil || !sh.On.T.Before(shift.On.T)) {
			shift = sh
		}
	}
	if shift != nil {
		text += fmt.Sprintf("; stands %s, %s off the designed zero since %s", shift.By.X.Tol, shift.By.Y.Tol, shift.On)
	}
	return text
}

// untouched lists the features that later operations locate on, which this one must
// leave alone: those that it neither makes, alters nor locates on by itself.
func (b *setupBuilder) untouched(op *study.PlanOp) string {
	var out []string
	later := false
	for i := range b.g.Ops {
		other := &b.g.Ops[i]
		if later {
			for _, l := range other.On {
				named := func(t ledger.Text) bool { return t.S == l.Feature }
				if !slices.Contains(out, l.Feature) && !slices.ContainsFunc(op.Makes, named) && !slices.ContainsFunc(op.Alters, named) && b.madeBy(l.Feature, op) {
					out = append(out, l.Feature)
				}
			}
		}
		later = later || other == op
	}
	if out == nil {
		return ""
	}
	return listed(out) + ", later operations locate on " + pick(len(out), "it", "them")
}

// madeBy reports whether a feature is there when the operation begins.
func (b *setupBuilder) madeBy(feature string, op *study.PlanOp) bool {
	for i := range b.g.Ops {
		if &b.g.Ops[i] == op {
			return false
		}
		if slices.ContainsFunc(b.g.Ops[i].Makes, func(t ledger.Text) bool { return t.S == feature }) {
			return true
		}
	}
	return false
}

// inShopUnit shows a length in the unit of the shop, as finely as it is written.
func (b *setupBuilder) inShopUnit(q quantity.Quantity) string {
	u, ok := quantity.LookupUnit(b.s.L.Config.Units.S)
	if q.IsZeroValue() {
		return ""
	}
	name := q.Unit().Name()
	if !ok || name == u.Name() || name != "in" && name != "mm" {
		return q.String()
	}
	digits := 2
	if name == "in" {
		digits = 0
	}
	if q.Decimals() < 0 {
		return study.ShowIn(q, u)
	}
	return q.Format(u, q.Decimals()+digits)
}
