package rules

import (
	"fmt"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var pinHeight = &lint.Rule{
	Name:     "pin-height",
	Severity: lint.Note,
	Title:    "a pin that stands out of the part, or two pins of equal height",
	Page: lint.Page{
		What: "The height of each pin above the seat is compared with the thickness of the part at its locating holes, the tallest pin with the thinnest part; and the heights of the two pins of a station with each other.",
		Why:  "A pin that stands out of the part takes the clamp instead of it. Two pins that must be entered at once cock the part and score its holes.",
		Formula: "height <= thickness; the round pin taller than the relieved one by about a quarter of its diameter D. " +
			"Heights count as equal where they differ by less than D/16, a choice of this tool.",
		Source:  "Pins below the clamped face, the principal pin taller by about D/4: common practice.",
		Cure:    "Shorten the pin that stands out; shorten the relieved pin, or make the round one taller as long as it stays below the part.",
		Concede: "Nothing is reported where heights or the thickness are not given, and for pins that stand beside the part. Concede where the hole is open above and the clamp is elsewhere.",
	},
	Check: func(p *lint.Pass) {
		eachStation(p, func(rec *ledger.Record, st *ledger.Station, l *study.Locating) {
			for _, t := range p.S.ProudPins(l) {
				reportProud(p, l, t)
			}
			if e, ok := p.S.EqualPins(l); ok {
				reportEqual(p, l, e)
			}
		})
	},
}

func reportProud(p *lint.Pass, l *study.Locating, t study.ProudPin) {
	text := fmt.Sprintf("thickness of %s", l.Part.ID())
	found := lint.Found{
		Message: fmt.Sprintf("%s stands out of %s by up to %s: it is up to %s high, the part down to %s thick; a clamp over it bears on the pin",
			locatorIs(l.Rec, l.Station, t.Pin.Locator), l.Part.ID(), t.Proud, t.Tall, t.Thin),
		Fix:     fmt.Sprintf("shorten it to less than %s", t.Thin),
		Numbers: []lint.Number{{Name: "height", Q: t.Tall}, {Name: "thickness", Q: t.Thin}, {Name: "proud", Q: t.Proud}},
	}
	if part, ok := l.Part.Data.(*ledger.Part); ok {
		found.Related = []lint.Place{{Rec: l.Part, Span: part.Thickness.Span, Message: text + ", " + part.Thickness.Tol.String()}}
	}
	p.Report(l.Rec, t.Pin.Now.Height.Span, found)
}

func reportEqual(p *lint.Pass, l *study.Locating, e study.EqualPins) {
	first, second := e.First, e.Second
	about := e.Step.Format(quantity.Inch, 2)
	if l.Unit.Same(quantity.Millimetre) {
		about = e.Step.Format(quantity.Millimetre, 1)
	}
	are := "are of equal height"
	if e.Apart.Sign() > 0 {
		are = fmt.Sprintf("differ in height by %s only", e.Apart)
	}
	fix := fmt.Sprintf("make the %s %s taller than %s by about %s, a quarter of its diameter (common practice), or %s shorter; both stay below the part",
		first.Now.Type.S, first.Locator.ID.S, second.Locator.ID.S, about, second.Locator.ID.S)
	if first.Now.Type.S == second.Now.Type.S {
		fix = fmt.Sprintf("make one of the two taller than the other by about %s, a quarter of its diameter (common practice); both stay below the part", about)
	}
	p.Report(l.Rec, second.Now.Height.Span, lint.Found{
		Message: fmt.Sprintf("%s and %s of station %s of %s %s (%s and %s): the part must enter both at once",
			first.Locator.ID.S, second.Locator.ID.S, l.Station.ID.S, l.Rec.ID(), are, first.Now.Height.Tol, second.Now.Height.Tol),
		Fix:     fix,
		Numbers: []lint.Number{{Name: "apart", Q: e.Apart}, {Name: "step", Q: e.Step}},
		Related: []lint.Place{{Rec: l.Rec, Span: first.Now.Height.Span, Message: fmt.Sprintf("%s %s, %s high", first.Now.Type.S, first.Locator.ID.S, first.Now.Height.Tol)}},
	})
}
