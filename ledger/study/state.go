package study

import (
	"fmt"
	"strings"
	"time"

	"tenths/ledger"
)

// InForce is one thing that held in the shop on a day: a key of a record as it
// was then, or what a dated entry says, such as where a pin was found to stand.
type InForce struct {
	ledger.Said
	Rec *ledger.Record
	// Judged is set for what says how well a thing is known, such as the last
	// check of a gauge, and alters nothing about it.
	Judged bool
}

// Words for what dated entries say; keys of records have their own names.
const (
	standsOff   = "stands off its place"
	seatHeight  = "seat height"
	offsetFound = "work offset found"
	offsetAt    = "work offset stands at"
	planOf      = "plan in force"
	gaugeStands = "standing"
	usedUp      = "used up of the set"
	surveyed    = "size as surveyed"
)

// StateOf lists what held for a record on the day asked for: what the record
// says of that day, and its dated entries in force. Of plans it lists nothing;
// the plan in force belongs to its part. Inspections and changes are no states.
func (s *Set) StateOf(rec *ledger.Record) []InForce {
	b := stateBuilder{s: s, rec: rec}
	switch d := rec.Data.(type) {
	case *ledger.Fixture:
		b.fixture(d)
	case *ledger.Gauge:
		b.said()
		b.gauge(d)
	case *ledger.Machine:
		b.said()
		for _, r := range d.RunsOn(s.AsOf) {
			b.add(rec.ID(), r.What.S, r.Is.S, r.Is.Span, r.On.T)
		}
	case *ledger.Part:
		b.said()
		b.plan()
	case *ledger.Tool:
		b.said()
	}
	return b.out
}

type stateBuilder struct {
	s   *Set
	rec *ledger.Record
	out []InForce
}

func (b *stateBuilder) add(path, key, text string, at ledger.Span, since time.Time) *InForce {
	b.out = append(b.out, InForce{Rec: b.rec, Said: ledger.Said{Path: path, Key: key, Text: text, At: at, Dated: ledger.Dated{From: since}}})
	return &b.out[len(b.out)-1]
}

// said adds what the record itself says, but for the keys named.
func (b *stateBuilder) said(but ...string) {
next:
	for _, x := range b.rec.SaidOn(b.s.AsOf) {
		for _, key := range but {
			if x.Path == b.rec.ID() && x.Key == key {
				continue next
			}
		}
		b.out = append(b.out, InForce{Said: x, Rec: b.rec})
	}
}

func (b *stateBuilder) fixture(f *ledger.Fixture) {
	id := b.rec.ID()
	state, since := StandingOfFixture(f, b.s.AsOf), time.Time{}
	if state != "" && ledger.OnDay(*f, b.s.AsOf).State.Span == f.State.Span {
		since = f.Since.T
	}
	b.add(id, "state", state, f.State.Span, since)
	b.said("state", "since")
	if seat := seatOn(f, b.s.AsOf); seat != nil {
		b.add(id, seatHeight, seat.Height.Tol.String(), seat.Height.Span, seat.On.T)
	}
	for i := range f.Stations {
		st := &f.Stations[i]
		path := id + "/" + st.ID.S
		if z := zeroOn(st, b.s.AsOf); z != nil {
			b.add(path, offsetFound, strings.TrimSuffix(z.On.String()+", "+z.How.S, ", "), z.On.Span, z.On.T)
		}
		if sh, ok := st.ShiftOn(b.s.AsOf); ok {
			text := sh.By.String()
			if sh.Turn.Set() {
				text += ", turned " + sh.Turn.Tol.String()
			}
			b.add(path, offsetAt, text, sh.By.Span, sh.On.T)
		}
		for k := range st.Locators {
			b.survey(path, &st.Locators[k])
		}
	}
}

// survey adds where a locator was found to stand.
func (b *stateBuilder) survey(station string, loc *ledger.Locator) {
	sv, ok := loc.SurveyOn(b.s.AsOf)
	path := station + "/" + loc.ID.S
	if !ok {
		if isPin(ledger.OnDay(*loc, b.s.AsOf)) {
			b.add(path, standsOff, "never surveyed as it stands", loc.Span, time.Time{}).Judged = true
		}
		return
	}
	if sv.Off.Set() {
		b.add(path, standsOff, sv.Off.String(), sv.Off.Span, sv.On.T)
	}
	if sv.Size.Set() {
		b.add(path, surveyed, sv.Size.Tol.String(), sv.Size.Span, sv.On.T)
	}
}

// zeroOn is how the work offset of a station was last found by a day.
func zeroOn(st *ledger.Station, day time.Time) *ledger.Zero {
	var last *ledger.Zero
	for i := range st.Found {
		if z := &st.Found[i]; z.On.By(day) && (last == nil || !z.On.T.Before(last.On.T)) {
			last = z
		}
	}
	return last
}

func (b *stateBuilder) gauge(g *ledger.Gauge) {
	st, last, due := b.s.StandingOn(g, b.s.AsOf)
	at, since := g.ID.Span, time.Time{}
	if last != nil {
		at, since = last.On.Span, last.On.T
	}
	b.add(b.rec.ID(), gaugeStands, StandingWords(st, last, due), at, since).Judged = true
	for _, c := range g.Consumed {
		if !c.On.By(b.s.AsOf) {
			continue
		}
		text := c.Size.Raw
		if c.From.By(b.s.AsOf) {
			text += ", its place filled by " + c.Replaced.S
		}
		b.add(b.rec.ID(), usedUp, text, c.On.Span, c.On.T)
	}
}

// StandingWords says how a gauge stood, in one phrase.
func StandingWords(st Standing, last *ledger.Calibration, due time.Time) string {
	on := ""
	if last != nil {
		on = last.On.String()
	}
	switch st {
	case Valid:
		return "checked " + on + ", good until " + due.Format(time.DateOnly)
	case Overdue:
		return "overdue: checked " + on + ", was due " + due.Format(time.DateOnly)
	case NeverChecked:
		return "never checked"
	case Failed:
		return "failed its check of " + on
	case OutOfService:
		return "not in service"
	case ReferenceOnly:
		return "reference only, decides nothing"
	}
	return ""
}

// plan adds the plan by which a part was made, with its operations.
func (b *stateBuilder) plan() {
	rec := b.s.planOn(b.rec.ID(), b.s.AsOf)
	if rec == nil {
		return
	}
	p := rec.Data.(*ledger.Plan)
	b.add(b.rec.ID(), planOf, rec.ID()+revision(rec), p.From.Span, p.From.T)
	part := b.rec
	b.rec = rec
	before := "nothing"
	for i := range p.Operations {
		op := &p.Operations[i]
		b.add(rec.ID()+"/"+op.ID.S, "comes after", before, op.ID.Span, p.From.T)
		before = op.ID.S
	}
	for _, x := range rec.SaidOn(b.s.AsOf) {
		if x.Path != rec.ID() && x.Key != "note" {
			x.From = p.From.T
			b.out = append(b.out, InForce{Said: x, Rec: rec})
		}
	}
	b.rec = part
}

// FirstDay is the earliest day that the ledger knows anything of, with the
// record that says it; nil for a ledger without a day. Drafts do not count.
func (s *Set) FirstDay() (time.Time, *ledger.Record) {
	var first time.Time
	var of *ledger.Record
	for _, rec := range s.L.Records {
		if day := rec.FirstDay(); !day.IsZero() && !rec.Quiet() && (of == nil || day.Before(first)) {
			first, of = day, rec
		}
	}
	return first, of
}

// characteristicNamed finds a characteristic by its path, or by its own id alone.
func (s *Set) characteristicNamed(name string) (*ledger.Record, *ledger.Characteristic, error) {
	if rec, c := s.characteristic(name, s.AsOf); c != nil {
		return rec, c, nil
	}
	var paths []string
	for _, rec := range s.ofKind(ledger.KindPart) {
		p, ok := rec.Data.(*ledger.Part)
		if !ok || s.L.Record(rec.ID()) != rec {
			continue
		}
		for _, c := range p.Characteristic {
			if strings.EqualFold(c.ID.S, name) {
				paths = append(paths, rec.ID()+"/"+c.ID.S)
			}
		}
	}
	switch len(paths) {
	case 1:
		rec, c := s.characteristic(paths[0], s.AsOf)
		return rec, c, nil
	case 0:
		return nil, nil, fmt.Errorf("no characteristic is called %s", ledger.Printable(name))
	}
	return nil, nil, fmt.Errorf("%s may be %s", ledger.Printable(name), strings.Join(paths, " or "))
}
