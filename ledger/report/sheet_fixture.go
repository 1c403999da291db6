package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
)

func (b *sheetBuilder) fixture(f *ledger.Fixture) {
	if len(f.Seat) > 0 {
		s := b.section("seat")
		for _, seat := range f.Seat {
			if seat.MeasuredBy(b.s.AsOf) {
				s.row(cell("on", seat.On.String()), cellQ("height", seat.Height.Nominal()), cell("note", seat.Note.S))
			}
		}
	}
	for i := range f.Stations {
		b.station(&f.Stations[i])
		b.freedom(&f.Stations[i])
	}
}

// station tells what the pins and the holes of its part say about each other.
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
	b.goesOn(s, l)
	s.Picture = stationPicture(b.s, l, fmt.Sprintf("station%d", len(b.sh.Sections)), false)
	b.pinStudy(l)
	b.looseness(st, l)
}

// goesOn tells whether every good part goes on, with what to spare, and what
// would help.
func (b *sheetBuilder) goesOn(s *Section, l *study.Locating) {
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
	b.inDoubt(s, l)
	if c, ok := l.Chance(); ok {
		s.say("share that goes on", fmt.Sprintf("%s %% of good parts, sizes and places anywhere within their limits (95 %% sure: %s to %s %%; %d drawn)",
			shareText(c.P), shareText(c.Low), shareText(c.High), c.Parts))
	}
	mm("margin, usual part", " in the middle of all limits", l.Usual.Margin)
	if len(l.Pins) == 2 {
		mm("pitch difference", ", worst good part", l.Worst.Mismatch)
		mm("pitch allowance", " of pitch difference still goes on, worst good part", l.Worst.Allowance)
		reach(s, l)
		s.say("held up by", l.Worst.Limit.String())
	}
	s.say("binds first", bindsFirst(l))
	if least, most, err := l.Usual.AngleRange(); err == nil {
		s.say("turn", fmt.Sprintf("%s to %s deg, counter-clockwise plus, usual part", turned(least), turned(most)))
	}
	if l.Land > 0 {
		if text := study.ShowDown(l.MM(l.Land), 4); text != "" {
			s.sayQ("widest land", text+" for the second pin, relieved along the line", study.RoundedDown(l.MM(l.Land), 4))
		}
	}
	s.say("advice", l.Advice())
	b.warm(s, l)
}

// inDoubt says what the surveys leave open.
func (b *sheetBuilder) inDoubt(s *Section, l *study.Locating) {
	low, known := l.MarginInDoubt()
	if !known {
		return
	}
	text := ", every survey wrong by all of its uncertainty (k = 2)"
	if l.Worst.GoesOn && low < 0 {
		text += "; then not every good part goes on"
	}
	q := study.Shown(l.MM(low))
	s.sayQ("margin in doubt", study.Show(q)+text, q)
}

// bindsFirst names the pins that touch first when the margin is used up.
func bindsFirst(l *study.Locating) string {
	var parts []string
	for _, c := range l.Worst.Binds {
		parts = append(parts, fmt.Sprintf("%s (%s)", l.Pins[c.Pin-1].Locator.ID.S, c.Face))
	}
	return strings.Join(parts, ", ")
}

// warm tells of the coldest and the hottest shop.
func (b *sheetBuilder) warm(s *Section, l *study.Locating) {
	w := b.s.WarmFit(l)
	if w.Skip != "" {
		if b.s.L.Config.Hottest.Set() {
			s.say("cold and warm", "not computed: "+w.Skip)
		}
		return
	}
	for _, at := range []struct {
		name string
		t    *study.AtTemperature
	}{{"coldest shop", &w.Cold}, {"hottest shop", &w.Hot}} {
		apart, way := at.t.Difference, "farther apart"
		if apart.Sign() < 0 {
			way = "closer together"
		}
		goes := "every good part goes on"
		if !at.t.Worst.GoesOn {
			goes = "not every good part goes on"
		}
		text := fmt.Sprintf("%s: holes %s %s against the pins", at.t.At, study.Show(apart.Abs()), way)
		if !math.IsInf(at.t.Share, 0) {
			text += fmt.Sprintf(", %.0f %% of what they allow", 100*at.t.Share)
		}
		s.sayQ(at.name, fmt.Sprintf("%s; %s, margin %s", text, goes, study.Show(l.MM(at.t.Worst.Margin))), study.Shown(apart))
	}
}

// shareText prints a share without pretending to know that it is all or nothing.
func shareText(p float64) string {
	switch {
	case p > 0 && p < 0.0001:
		return "below 0.01"
	case p < 1 && p > 0.9999:
		return "above 99.99"
	}
	return strconv.FormatFloat(100*p, 'f', 2, 64)
}

// turned prints a small angle, given in rad, in degrees.
func turned(rad float64) string { return strconv.FormatFloat(rad*180/math.Pi, 'f', 4, 64) }

// pinStudy lists the pins of a study with their holes, and how large each may be,
// the others as they are.
func (b *sheetBuilder) pinStudy(l *study.Locating) {
	s := b.section("pins of station " + l.Station.ID.S)
	largest := l.LargestPins()
	for k, p := range l.Pins {
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
			relief = study.Degrees(p.Turn) + " from the line to " + l.Pins[p.To].Locator.ID.S
		}
		used := size(p.Now.Size)
		if p.Survey != nil && p.Survey.Size.Set() {
			used = size(p.Survey.Size) + " as surveyed"
		}
		s.row(cell("pin", p.Locator.ID.S), cell("type", p.Now.Type.S), cell("size", used), cell("in", p.Locator.Engages.S+" "+hole),
			cell("off x, off y", off), cell("surveyed", surveyed), cell("land", land), cell("relief", relief),
			cell("may be up to", orWord(largestText(l, largest[k]), "none alone serves")))
	}
}

// reach tells what a relieved pin lets its hole move along the line to the other
// pin, with the handbook's figure beside it.
func reach(s *Section, l *study.Locating) {
	for k := range l.Worst.Reach {
		if len(l.Pins) != 2 || !l.Pins[k].TurnKnown || l.Worst.Reach[k] == 0 {
			continue
		}
		q := study.Shown(l.MM(l.Worst.Reach[k]))
		s.sayQ("reach of "+l.Pins[k].Locator.ID.S, fmt.Sprintf("%s each way along the line, exact; the handbook formula, which is high, says %s", study.Show(q), study.Show(l.MM(l.Worst.HandbookReach[k]))), q)
	}
}

func largestText(l *study.Locating, mm float64) string {
	if mm <= 0 {
		return ""
	}
	return l.PinSize(mm)
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
	var before *Section
	for _, w := range l.Was {
		if w.Until.By(b.s.AsOf) {
			if before == nil {
				before = b.section("before")
			}
			before.row(cell("until", w.Until.String()), cell("type", w.Type.S), cell("size", size(w.Size)), cell("land", size(w.Land)), cell("relieved along", w.Relief.S), cell("made by", w.MadeBy.S), cell("held by", w.HeldBy.S))
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
