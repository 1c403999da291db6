package report

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"tenths/ledger"
	"tenths/ledger/study"
)

// RestartItem is one thing to look at before cutting again.
type RestartItem struct {
	// Operation is the first of the plan that needs it; empty: the plan as a whole.
	Operation string `json:"operation"`
	Kind      string `json:"kind"` // plan, machine, fixture, offset, survey, tool, gauge, concession, change, first part
	Record    string `json:"record"`
	What      string `json:"what"`
	Why       string `json:"why"`
	Source    string `json:"source"`
	// Standing is open for what the records show to be wanting, check for what is
	// looked at after any pause.
	Standing string `json:"standing"`
	File     string `json:"file"`
	Line     int    `json:"line"`
}

// RestartList is what is to be looked at before a plan is cut again after a pause.
type RestartList struct {
	AsOf  string `json:"as_of"`
	Plan  string `json:"plan"`
	Title string `json:"title"`
	// Since is the day of the last part, from the readings or as asked for; empty if it
	// is not known, and then Days is 0.
	Since     string        `json:"since"`
	SinceFrom string        `json:"since_from"`
	Days      int           `json:"days"`
	Items     []RestartItem `json:"items"`
}

// Sources of the list.
const (
	usualPractice = "common practice"
	sourceGauges  = "ISO 9001 7.1.5.2 and ISO 10012: in calibration on the day of use"
	sourceHeat    = "common practice: weld shrinkage moves what stands next to it, a skim every height"
	sourceFirst   = "first part checked after a start: common practice; AS9102 asks for the whole again after two years without production, from memory"
	sourceWarmth  = "ISO 1: sizes are meant at 20 °C; common practice"
)

// longPause is from how many days on the first part is checked in full.
const longPause = 2 * 365

// Restart lists what has to be looked at before the plan is cut again, in the order in
// which its operations need it. since is the day of the last part; if it is zero, that
// of the last readings on the plan's part. The record must be a plan.
func Restart(s *study.Set, rec *ledger.Record, since time.Time) (*RestartList, error) {
	g := s.PlanGraph(rec)
	if g == nil {
		return nil, fmt.Errorf("%s is a %s, and a restart is listed for a plan", rec.ID(), rec.Kind())
	}
	out := &RestartList{AsOf: day(s.AsOf), Plan: rec.ID(), Title: line(rec.Common.Title.S), Items: []RestartItem{}, SinceFrom: "as asked for"}
	if since.IsZero() {
		since, out.SinceFrom = lastReadings(s, g)
	}
	if !since.IsZero() {
		out.Since, out.Days = day(since), max(0, int(s.AsOf.Sub(since).Hours()/24))
	}
	r := restarter{s: s, g: g, since: since, days: out.Days, seen: map[string]bool{}}
	r.plan()
	for i := range g.Ops {
		r.operation(&g.Ops[i])
	}
	if r.out != nil {
		out.Items = r.out
	}
	return out, nil
}

// lastReadings is the last day with readings on the part of the plan, and from what.
func lastReadings(s *study.Set, g *study.PlanGraph) (time.Time, string) {
	var last time.Time
	from := "no readings on " + g.Plan.Part.S + " say when the last part was made"
	for _, rec := range s.L.Records {
		in, ok := rec.Data.(*ledger.Inspection)
		if !ok || rec.Quiet() || !in.On.By(s.AsOf) || in.State.S == "void" || in.Part.S != g.Plan.Part.S && !strings.HasPrefix(in.Characteristic.S, g.Plan.Part.S+"/") {
			continue
		}
		if in.On.T.After(last) {
			last, from = in.On.T, "last readings on "+g.Plan.Part.S+", "+rec.ID()
		}
	}
	return last, from
}

type restarter struct {
	s     *study.Set
	g     *study.PlanGraph
	since time.Time
	days  int
	op    string
	seen  map[string]bool
	out   []RestartItem
}

// add notes an item, once for each kind and words.
func (r *restarter) add(rec *ledger.Record, at ledger.Span, kind, standing, what, why, source string) {
	key := kind + "\x00" + rec.ID() + "\x00" + what
	if r.seen[key] {
		return
	}
	r.seen[key] = true
	if !at.Set() {
		at = rec.Whole()
	}
	r.out = append(r.out, RestartItem{Operation: r.op, Kind: kind, Record: rec.ID(), What: line(what), Why: line(why), Source: source, Standing: standing,
		File: rec.Path, Line: ledger.PositionOf(rec.Src, at.Start).Line})
}

// plan looks at what concerns the plan as a whole: whether it holds, what was written
// for an older state, concessions that ended, and changes that are not closed.
func (r *restarter) plan() {
	p := r.g.Plan
	if _, open, ok := r.s.PlanDay(r.g.Rec); !ok || !open {
		r.add(r.g.Rec, p.State.Span, "plan", "open", "find the plan that holds", r.g.Rec.ID()+" is "+orWord(r.g.Rec.State(), "over")+" and nobody works by it", usualPractice)
	}
	for _, b := range r.s.BehindSheets() {
		if b.Plan == r.g.Rec && b.Op == nil {
			r.add(b.Plan, b.At, "plan", "open", "bring the plan up to revision "+b.New+" of "+b.Name, "it was written for revision "+b.Old, "common practice; revisions after ISO 10007")
		}
	}
	records := r.used()
	for _, rec := range records {
		for i := range rec.Common.Concessions {
			if c := &rec.Common.Concessions[i]; c.Until.Set() && c.Until.T.Before(r.s.AsOf) {
				r.add(rec, c.Until.Span, "concession", "open", "decide on "+c.Rule.S+" of "+rec.ID()+" again", "it was conceded until "+c.Until.String()+": "+c.Reason.S, "the record itself")
			}
		}
	}
	for _, rec := range r.s.L.Records {
		ch, ok := rec.Data.(*ledger.Change)
		if !ok || !r.touches(ch, records) {
			continue
		}
		switch state := r.s.StateOn(ch); state {
		case "agreed", "in progress", "done":
			why := "it is " + state + " and touches what this plan uses: " + refWords(ch.Touches)
			r.add(rec, ch.State.Span, "change", "open", "finish or take back "+rec.ID()+", "+rec.Common.Title.S, why, "changes under control: ISO 9001 8.5.6")
		}
		if ch.Due.Set() && ch.Due.T.Before(r.s.AsOf) && !ch.Rechecked.Set() && r.s.StateOn(ch) != "rolled back" && r.s.StateOn(ch) != "cancelled" {
			r.add(rec, ch.Due.Span, "change", "open", "measure "+orWord(ch.Characteristic.S, "its effect")+" again for "+rec.ID(), "its re-check was due on "+ch.Due.String(), usualPractice)
		}
	}
}

// used lists the records that the plan leads to: itself, its part, and what its
// operations name.
func (r *restarter) used() []*ledger.Record {
	out := []*ledger.Record{r.g.Rec}
	add := func(id string) {
		if t, err := r.s.L.Find(id); err == nil && !slices.Contains(out, t.Rec) {
			out = append(out, t.Rec)
		}
	}
	add(r.g.Plan.Part.S)
	for i := range r.g.Ops {
		op := &r.g.Ops[i]
		for _, id := range slices.Concat([]string{op.Fixture.S, op.Machine.S}, refNames(op.Tools), r.gauges(op)) {
			if id != "" {
				add(id)
			}
		}
	}
	return out
}

func (r *restarter) gauges(op *study.PlanOp) []string {
	b := setupBuilder{s: r.s, g: r.g}
	return b.gaugeRefs(op)
}

// touches reports whether a change touches a record that the plan uses; of a fixture,
// a station that the plan uses.
func (r *restarter) touches(ch *ledger.Change, records []*ledger.Record) bool {
	for _, ref := range ch.Touches {
		t, err := r.s.L.Find(ref.S)
		if err != nil || !slices.Contains(records, t.Rec) {
			continue
		}
		station := ""
		for _, n := range []any{t.Node, t.Owner} {
			if st, ok := n.(*ledger.Station); ok {
				station = st.ID.S
			}
		}
		if station == "" || slices.ContainsFunc(r.g.Ops, func(op study.PlanOp) bool { return op.Rec == t.Rec && op.Station != nil && op.Station.ID.S == station }) {
			return true
		}
	}
	return false
}

func refWords(list []ledger.Ref) string { return listed(refNames(list)) }

// operation looks at what one operation needs, in the order in which it is met at the
// machine.
func (r *restarter) operation(op *study.PlanOp) {
	r.op = line(op.ID.S)
	r.machine(op)
	r.fixture(op)
	r.tools(op)
	r.calibrations(op)
	r.first(op)
}

func (r *restarter) machine(op *study.PlanOp) {
	rec := r.s.L.Record(op.Machine.S)
	if rec == nil {
		return
	}
	m, ok := rec.Data.(*ledger.Machine)
	if !ok {
		return
	}
	if m.State.S == "out of service" {
		r.add(rec, m.State.Span, "machine", "open", "see whether "+rec.ID()+" runs", "it is out of service", "the record itself")
	}
	kept := ""
	if m.Coolant.Set() {
		kept = "; it is kept at " + m.Coolant.S
	}
	r.add(rec, m.Coolant.Span, "machine", "check", "measure the coolant, skim off the oil"+kept, "water goes first, so it stands stronger or stale after weeks; finish and size follow it", usualPractice)
	warm := "run it warm before a part is finished"
	if m.WarmUp.Set() {
		warm += ": " + m.WarmUp.S
	}
	r.add(rec, m.WarmUp.Span, "machine", "check", warm, "spindle and ways grow on the way to their usual warmth", usualPractice)
	temper := "let stock, fixture and gauges come to one warmth, and read the thermometer"
	if c := r.s.L.Config; c.Coldest.Set() && c.Hottest.Set() {
		temper += fmt.Sprintf("; the shop gets from %s to %s", c.Coldest.Tol, c.Hottest.Tol)
	}
	r.add(rec, ledger.Span{}, "machine", "check", temper, "part and fixture of different metals change their pitch against each other", sourceWarmth)
}

func (r *restarter) fixture(op *study.PlanOp) {
	for _, o := range r.g.OutOfUse() {
		if o.Op == op.Operation && o.Rec.Kind() != ledger.KindTool {
			r.add(o.Rec, o.At, string(o.Rec.Kind()), "open", "find what takes the place of "+o.Ref.S, "it is "+o.State, "common practice; states after ISO 10007")
		}
	}
	for _, b := range r.s.BehindSheets() {
		if b.Plan == r.g.Rec && b.Op == op.Operation {
			r.add(b.Plan, b.At, "plan", "open", "bring "+b.Op.ID.S+" up to revision "+b.New+" of "+b.Name, "it was written for revision "+b.Old, "common practice; revisions after ISO 10007")
		}
	}
	if op.Station == nil {
		return
	}
	r.stood(op)
	path := op.Rec.ID() + "/" + op.Station.ID.S
	for _, b := range r.s.BehindOffsets() {
		if b.Station == op.Station {
			r.add(op.Rec, b.Set.Span, "offset", "open", "find the offset of "+path+" anew"+prefixed(", ", op.Station.Offset.S), behindOffset(b), usualPractice)
		}
	}
	var found ledger.Date
	for _, z := range op.Station.Found {
		if z.On.By(r.s.AsOf) && (!found.Set() || z.On.T.After(found.T)) {
			found = z.On
		}
	}
	why := "nothing says when it was found"
	if found.Set() {
		why = "it was last found on " + found.String() + ", and others have had the machine since"
	}
	r.add(op.Rec, found.Span, "offset", "check", "wipe seat and pins of "+path+", indicate P1 and the seat against the offset"+prefixed(" ", op.Station.Offset.S), why, usualPractice)
}

// stood looks at whether the fixture of an operation was surveyed and looked at since
// anything was done to it.
func (r *restarter) stood(op *study.PlanOp) {
	fx := op.Rec.Data.(*ledger.Fixture)
	path := op.Rec.ID() + "/" + op.Station.ID.S
	if state := study.StandingOfFixture(fx, r.s.AsOf); state == "under rework" || state == "unverified" {
		r.add(op.Rec, fx.State.Span, "fixture", "open", "release "+op.Rec.ID()+" before a part goes on", "it is "+state, usualPractice)
	}
	for _, u := range r.s.Unchecked() {
		if u.Rec == op.Rec {
			r.add(op.Rec, u.On.Span, "fixture", "open", "indicate one pin and the seat of "+op.Rec.ID()+", or read one part", "it went back on the machine on "+u.On.String()+" and nothing says that it was looked at since", usualPractice)
		}
	}
	for _, u := range r.s.Unsurveyed() {
		if u.Fixture != op.Rec {
			continue
		}
		why := fmt.Sprintf("%s of %s on %s came after the last survey", u.Steps[0].What, u.Rec.ID(), u.Steps[0].Day)
		for _, p := range u.Pins {
			if p.Station == op.Station {
				r.add(op.Rec, p.Locator.Span, "survey", "open", "survey "+p.Locator.ID.S+" of "+path, why, sourceHeat)
			}
		}
		if u.NoSeat {
			r.add(op.Rec, ledger.Span{}, "survey", "open", "measure the seat of "+op.Rec.ID(), why, sourceHeat)
		}
	}
	r.surveys(op, fx, path)
}

// surveys looks at when the pins of a station were surveyed.
func (r *restarter) surveys(op *study.PlanOp, fx *ledger.Fixture, path string) {
	for i := range op.Station.Locators {
		loc := &op.Station.Locators[i]
		now := ledger.OnDay(*loc, r.s.AsOf)
		if now.Type.S != "round pin" && now.Type.S != "relieved pin" {
			continue
		}
		if _, ok := now.SurveyOn(r.s.AsOf); ok {
			continue
		}
		why := "it was never surveyed"
		if len(loc.Surveys) > 0 {
			why = "it was made anew after its last survey"
		}
		r.add(op.Rec, loc.Span, "survey", "open", "survey "+loc.ID.S+" of "+path, why, usualPractice)
	}
	if last, due, wanted := r.s.SurveyDue(fx, op.Station); wanted && !last.IsZero() && due.Before(r.s.AsOf) {
		r.add(op.Rec, op.Station.Span, "survey", "open", "survey the pins of "+path, "last surveyed "+day(last)+", due "+day(due), usualPractice)
	}
}

func (r *restarter) tools(op *study.PlanOp) {
	for _, o := range r.g.OutOfUse() {
		if o.Op == op.Operation && o.Rec.Kind() == ledger.KindTool {
			r.add(o.Rec, o.At, "tool", "open", "put a tool in the place of "+o.Ref.S, "it is "+o.State, usualPractice)
		}
	}
	for _, u := range r.g.UnfitFinishers() {
		if u.Op != op.Operation {
			continue
		}
		if u.Wear == nil {
			r.add(u.Rec, u.Now.Role.Span, "tool", "open", "put a finisher in the place of "+u.Ref.S, "its role is "+u.Now.Role.S, usualPractice)
		} else {
			r.add(u.Rec, u.Now.Count.Span, "tool", "open", "lay out the next "+u.Ref.S+" before the batch", fmt.Sprintf("it has cut %s of a life of %s", u.Wear.Count, u.Wear.Life), usualPractice)
		}
	}
	for _, run := range r.g.ToolRuns(0) {
		if !slices.Contains(run.Ops, op) {
			continue
		}
		tool, ok := run.Rec.Data.(*ledger.Tool)
		if ok && run.Life > 0 && run.Count < 0 {
			r.add(run.Rec, tool.Life.Span, "tool", "check", "count what "+run.Rec.ID()+" has cut", "it has a life and no count", usualPractice)
		}
		r.add(run.Rec, ledger.Span{}, "tool", "check", "look at the edge of "+run.Rec.ID()+" under the loupe, measure its length anew"+prefixed(", ", toolStand(&run)), "it may have been used or knocked elsewhere", usualPractice)
	}
}

// toolStand says how far a cutter is, for the list.
func toolStand(r *study.ToolRun) string {
	if w := lifeWords(r); w != "" && r.Count >= 0 {
		return "it has cut " + strings.TrimPrefix(w, "has cut ")
	}
	return ""
}

func (r *restarter) calibrations(op *study.PlanOp) {
	for _, id := range r.gauges(op) {
		rec := r.s.L.Record(id)
		if rec == nil {
			continue
		}
		ga, ok := rec.Data.(*ledger.Gauge)
		if !ok {
			continue
		}
		st, last, due := r.s.StandingOn(ga, r.s.AsOf)
		switch st {
		case study.Overdue:
			when := ""
			if !r.since.IsZero() && due.After(r.since) {
				when = ", within the pause"
			}
			r.add(rec, last.Span, "gauge", "open", "calibrate "+id, "it fell due on "+day(due)+when, sourceGauges)
		case study.NeverChecked, study.Failed, study.OutOfService:
			r.add(rec, ga.ID.Span, "gauge", "open", "take another gauge than "+id+", or calibrate it", "it is "+standing(&study.Gauging{Standing: st, Last: last, Due: due, Gauge: ga}), sourceGauges)
		}
		if ga.Go.Set() || strings.Contains(ga.Type.S, "pin") || strings.Contains(ga.Type.S, "block") {
			r.add(rec, ga.Type.Span, "gauge", "check", "wipe "+id+" and look for rust and burrs", "a burr makes a good hole bad, wear a bad one good", usualPractice)
		} else {
			r.add(rec, ga.ID.Span, "gauge", "check", "zero "+id+" and read a block near the size", "it may have been knocked; a zero alone does not show it", usualPractice)
		}
	}
}

// first asks for the first part to be checked, before the second goes on.
func (r *restarter) first(op *study.PlanOp) {
	if len(op.Checks) == 0 {
		return
	}
	what := "first part: check " + listed(textNames(op.Checks)) + " before the second goes on"
	why := "nothing else shows that all of it together makes a good part"
	if r.days > longPause {
		what, why = what+", every limit of the drawing with it", fmt.Sprintf("more than two years (%d days) have gone", r.days)
	}
	r.add(r.g.Rec, op.Checks[0].Span, "first part", "check", what, why, sourceFirst)
}

func textNames(list []ledger.Text) []string {
	var out []string
	for _, t := range list {
		out = append(out, t.S)
	}
	return out
}
