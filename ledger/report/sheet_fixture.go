package report

import (
	"fmt"

	"tenths/ledger"
	"tenths/ledger/study"
)

func (b *sheetBuilder) fixture(f *ledger.Fixture) {
	if len(f.Seat) > 0 {
		s := b.section("seat")
		for _, seat := range f.Seat {
			if seat.On.By(b.s.AsOf) && seat.Height.Set() {
				s.row(cell("on", seat.On.String()), cellQ("height", seat.Height.Nominal()), cell("note", seat.Note.S))
			}
		}
	}
	for i := range f.Stations {
		b.station(&f.Stations[i])
		b.freedom(&f.Stations[i])
	}
}

// station tells what the two pins and the holes of its part say about each
// other.
func (b *sheetBuilder) station(st *ledger.Station) {
	s := b.section("station " + st.ID.S + prefixed(": ", line(st.Title.S)))
	l := b.s.Locating(b.rec, st)
	s.say("part", st.Part.S)
	s.say("face", st.Face.S)
	s.say("work offset", st.Offset.S)
	s.say("turn held by", st.Rest.S)
	if l.Skip != "" {
		s.say("locating", "not computed: "+l.Skip)
		b.pins(st)
		return
	}
	goes := "every good part goes on"
	if !l.Worst.GoesOn {
		goes = "not every good part goes on"
	}
	if l.ByConstruction {
		goes += "; the holes are made on this very station, so their pitch cannot differ"
	}
	s.say("goes on", goes)
	mm := func(name, about string, v float64) {
		q := study.Shown(l.MM(v))
		s.sayQ(name, study.Show(q)+about, q)
	}
	mm("margin", " left at every hole radius, worst good part", l.Worst.Margin)
	mm("margin, usual part", " in the middle of all limits", l.Usual.Margin)
	mm("pitch difference", ", worst good part", l.Worst.Mismatch)
	mm("pitch allowance", " of pitch difference still goes on, worst good part", l.Worst.Allowance)
	s.say("held up by", l.Worst.Limit.String())
	if l.Land > 0 {
		if text := study.ShowDown(l.MM(l.Land), 4); text != "" {
			s.sayQ("widest land", text+" for the second pin, relieved along the line", study.RoundedDown(l.MM(l.Land), 4))
		}
	}
	b.pinStudy(l)
	b.looseness(st, l)
}

// pinStudy lists the two pins of a study with their holes.
func (b *sheetBuilder) pinStudy(l *study.Locating) {
	s := b.section("pins of station " + l.Station.ID.S)
	for _, p := range l.Pins {
		hole := size(p.Size)
		if p.AsMade {
			hole += " as made"
		}
		off, surveyed := "", "never in this state: taken as designed"
		if p.Survey != nil {
			surveyed = p.Survey.On.String()
			if p.Survey.Off.Set() {
				off = offText(PinState{OffX: nominal(p.Survey.Off.X), OffY: nominal(p.Survey.Off.Y)})
			}
		}
		land, relief := "", ""
		if p.Now.Type.S == "relieved pin" {
			land = size(p.Now.Land)
		}
		if p.TurnKnown {
			relief = study.Degrees(p.Turn) + " from the pin line"
		}
		used := size(p.Now.Size)
		if p.Survey != nil && p.Survey.Size.Set() {
			used = size(p.Survey.Size) + " as surveyed"
		}
		s.row(cell("pin", p.Locator.ID.S), cell("type", p.Now.Type.S), cell("size", used), cell("in", p.Locator.Engages.S+" "+hole),
			cell("off x, off y", off), cell("surveyed", surveyed), cell("land", land), cell("relief", relief))
	}
}

// looseness lists how far the part can move at each point that matters: all of
// its travel along a direction, and where the middle of that travel stands,
// which is where the pins put the part and no looseness.
func (b *sheetBuilder) looseness(st *ledger.Station, l *study.Locating) {
	plays := b.s.LoosenessAt(l)
	if plays == nil {
		return
	}
	s := b.section("looseness on station " + st.ID.S + ", part in the middle of its limits")
	for _, p := range plays {
		along := "its normal"
		if p.Across {
			along = "across the pin line"
		}
		s.row(cell("at", p.Path), cell("along", along), length("travel in all", l.MM(p.Plus+p.Minus)), length("its middle, outwards plus", l.MM((p.Plus-p.Minus)/2)))
	}
}

// pins lists the locators of a station without a study.
func (b *sheetBuilder) pins(st *ledger.Station) {
	if len(st.Locators) == 0 {
		return
	}
	s := b.section("locators of station " + st.ID.S)
	for i := range st.Locators {
		now := ledger.OnDay(st.Locators[i], b.s.AsOf)
		surveyed, used := "never in this state", size(now.Size)
		if sv, ok := now.SurveyOn(b.s.AsOf); ok {
			surveyed = sv.On.String()
			if sv.Size.Set() {
				used = size(sv.Size) + " as surveyed"
			}
		}
		s.row(cell("locator", now.ID.S), cell("type", now.Type.S), cell("engages", now.Engages.S), cell("size", used), cell("surveyed", surveyed))
	}
}

// locator lists the surveys and earlier states of one locator.
func (b *sheetBuilder) locator(l *ledger.Locator) {
	if len(l.Surveys) > 0 {
		s := b.section("surveys")
		for _, sv := range l.Surveys {
			if !sv.On.By(b.s.AsOf) {
				continue
			}
			inForce := ""
			if now, ok := l.SurveyOn(b.s.AsOf); ok && now.On.T.Equal(sv.On.T) {
				inForce = "in force"
			}
			s.row(cell("on", sv.On.String()), cellQ("off x", nominal(sv.Off.X)), cellQ("off y", nominal(sv.Off.Y)), cell("size", size(sv.Size)), cell("U", size(sv.U)), cell("", inForce))
		}
	}
	if len(l.Was) > 0 {
		s := b.section("before")
		for _, w := range l.Was {
			s.row(cell("until", w.Until.String()), cell("type", w.Type.S), cell("size", size(w.Size)), cell("land", size(w.Land)), cell("relieved along", w.Relief.S), cell("made by", w.MadeBy.S), cell("held by", w.HeldBy.S))
		}
	}
	for _, rec := range b.s.L.Records {
		ch, ok := rec.Data.(*ledger.Change)
		if !ok || rec.Quiet() {
			continue
		}
		for _, p := range b.s.PinChanges(rec) {
			if p.Rec == b.rec && p.Path == b.sh.Path && ch.Done.By(b.s.AsOf) {
				b.because(rec, ch)
			}
		}
	}
}

// because names a change that made a thing as it is, so that nobody undoes it
// without knowing.
func (b *sheetBuilder) because(rec *ledger.Record, ch *ledger.Change) {
	s := b.section(fmt.Sprintf("because of %s, %s", rec.ID(), ch.Done))
	s.say("changed", ch.Factor.S)
	s.say("state", ch.State.S)
	s.say("lesson", ch.Lesson.S)
}
