package rules

import (
	"fmt"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var gaugeNotThere = &lint.Rule{
	Name:     "gauge-not-there",
	Severity: lint.Warning,
	Title:    "a gauge, or a pin of a set, that was not there on that day or is not what its set says",
	Page: lint.Page{
		What: "The days on which a gauge was used, for readings, for the survey of a pin or for the check of another gauge, are compared with its days of service (since, until). " +
			"Of a set, pins that were used up (consumed) are looked for in the readings after that day until their place was filled again (replaced_on), and what fills the place is compared with the class of the set (replaced_class). " +
			"That a size lies outside the range of a gauge is told by value-impossible.",
		Why:     "The reading is put down to something that could not have made it, or that is not what its record says.",
		Formula: "since <= day <= until; tolerance of the pin's class <= tolerance of the set's class, at its size.",
		Source:  "That measuring equipment is identified and its status known: ISO 9001:2015, 7.1.5.2. Widths of the classes: ASME B89.1.5. That a gauge turned into a pin is noted with what replaced it: common practice.",
		Cure:    "Name the gauge that was really used, or put the days of service right. Put a pin of the set's class into the place; enter the look-alike as consumed, with the new one as its replacement.",
		Concede: "A finer pin in a set is left in peace, and so is a day that is only about known and may fit. A look-alike is asked about once: concede it in the record of the set with what keeps it from being used.",
	},
	Check: func(p *lint.Pass) {
		uses := p.S.GaugeUses()
		for _, rec := range p.L.Records {
			g, ok := rec.Data.(*ledger.Gauge)
			if !ok || rec != p.L.Record(rec.ID()) {
				continue
			}
			for _, u := range p.S.NotThere(rec, uses[rec.ID()]) {
				reportNotThere(p, rec, g, u)
			}
			noEnd(p, rec, g, uses[rec.ID()])
			for _, gap := range p.S.PinGaps(rec, uses[rec.ID()]) {
				reportGap(p, rec, gap)
			}
			for _, a := range p.S.LookAlikes(rec, uses[rec.ID()]) {
				if inUse(p, g) || a.Reads != nil {
					reportLookAlike(p, rec, g, a)
				}
			}
		}
	},
}

func reportNotThere(p *lint.Pass, rec *ledger.Record, g *ledger.Gauge, u study.NotThere) {
	f := lint.Found{
		Message: fmt.Sprintf("%s came into service only %s, after the %s of %s", rec.ID(), onDay(g.Since), useName(u.GaugeUse), u.On),
		Fix:     fmt.Sprintf("name the gauge that was really used, or put since of %s right", rec.ID()),
		Related: []lint.Place{{Rec: rec, Span: g.Since.Span, Message: "first day in service of " + rec.ID()}},
	}
	if !u.Before {
		f.Message = fmt.Sprintf("%s had left service %s, before the %s of %s", rec.ID(), onDay(g.Until), useName(u.GaugeUse), u.On)
		f.Fix = fmt.Sprintf("name the gauge that was really used, or put until of %s right", rec.ID())
		f.Related = []lint.Place{{Rec: rec, Span: g.Until.Span, Message: "last day in service of " + rec.ID()}}
	}
	p.Report(u.Rec, u.At, f)
}

// noEnd asks, once, for the last day of a gauge that is out of service, so that
// its readings can be told from those that it cannot have made.
func noEnd(p *lint.Pass, rec *ledger.Record, g *ledger.Gauge, uses []study.GaugeUse) {
	if g.Until.Set() || g.State.S != "out of service" && g.State.S != "consumed" || len(uses) == 0 {
		return
	}
	last := uses[len(uses)-1]
	p.Report(rec, g.State.Span, lint.Found{
		Softer:  true,
		Message: fmt.Sprintf("%s is %s, but nothing says since when; it was used for %s, the last %s", rec.ID(), g.State.S, usedFor(uses), onDay(last.On)),
		Fix:     "write its last day in service (until)",
		Related: usePlaces([]study.GaugeUse{last}),
	})
}

func reportGap(p *lint.Pass, rec *ledger.Record, gap study.PinGap) {
	first := gap.Reads[0]
	r := p.S.Readings(gap.Use.Rec)
	pin := gap.Pin
	gone := fmt.Sprintf("left the set %s%s", onDay(pin.On), usedAs(pin))
	back := "has not been replaced"
	if gap.Back != nil {
		back = "was replaced only " + onDay(gap.Back.From)
	}
	p.Report(gap.Use.Rec, first.Written.Span, lint.Found{
		Message: fmt.Sprintf("%s: %s of %s needs the %s pin of %s, which %s and %s%s", piece(first), readingIn(first, limitUnit(r)), gap.Use.On, pin.Size.Nominal(), rec.ID(), gone, back, andMore(len(gap.Reads), "such reading")),
		Fix:     "name the pins that were really used; or enter when and by what the pin was replaced (replaced_on, replaced_class)",
		Related: append(others(r, gap.Reads), lint.Place{Rec: rec, Span: pin.On.Span, Message: fmt.Sprintf("the %s pin was used up", pin.Size.Nominal())}),
	})
}

func reportLookAlike(p *lint.Pass, rec *ledger.Record, g *ledger.Gauge, a study.LookAlike) {
	pin := a.Pin
	by := fmt.Sprintf("one whose class is not known (%s)", pin.Class.S)
	f := lint.Found{Related: []lint.Place{{Rec: rec, Span: g.Class.Span, Message: "class of the set"}}}
	if a.Class != "" {
		by = "one of class " + string(a.Class)
		if !a.Its.IsZeroValue() {
			by += fmt.Sprintf(" (%s instead of %s)", a.Its, a.Wanted)
			f.Numbers = []lint.Number{{Name: "tolerance", Q: a.Its}, {Name: "wanted", Q: a.Wanted}}
		}
	}
	f.Message = fmt.Sprintf("%s is a set of class %s, but its %s pin, used up %s%s, was replaced by %s", rec.ID(), a.Set, pin.Size.Nominal(), onDay(pin.On), usedAs(pin), by)
	f.Fix = fmt.Sprintf("put a pin of class %s into its place; until then mark the slot, so that no hole is gauged with it", a.Set)
	if a.Out != nil {
		f.Message += ", which was taken out again " + onDay(a.Out.On)
		f.Fix = "gauge these holes again"
	}
	var n int
	for i, gap := range a.Reads {
		n += len(gap.Reads)
		if i < shownPlaces {
			f.Related = append(f.Related, lint.Place{Rec: gap.Use.Rec, Span: gap.Reads[0].Written.Span, Message: fmt.Sprintf("%s of %s: %s", piece(gap.Reads[0]), gap.Use.On, readingIn(gap.Reads[0], limitUnit(p.S.Readings(gap.Use.Rec))))})
		}
	}
	if n > 0 {
		f.Message += fmt.Sprintf("; %d %s on that pin", n, plural(n, "reading since rests", "readings since rest"))
		if a.Out == nil {
			f.Fix += "; and gauge again what it passed"
		}
	}
	p.Report(rec, pin.Class.Span, f)
}

// onDay says a day in a sentence: "on 2024-03-11", "about 2024-04".
func onDay(d ledger.Date) string {
	if d.About {
		return d.String()
	}
	return "on " + d.String()
}

// usedAs says what became of a pin, if that is known: " (FX1/A/P1)".
func usedAs(pin *ledger.Consumed) string {
	if blank(pin.UsedAs.S) {
		return ""
	}
	return " (" + pin.UsedAs.S + ")"
}
