package rules

import (
	"fmt"
	"math"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var locatorsBind = &lint.Rule{
	Name:     "locators-bind",
	Severity: lint.Error,
	Title:    "pins of a station on which not every good part goes",
	Page: lint.Page{
		What: "The places of the locating pins of a station, two or more, are compared with those of the holes that go on them, for the worst part that is still good: the smallest holes, the largest pins, the places at that end of their tolerances which leaves the least. " +
			"Holes count as they are really made (as_made) and pins as they were last surveyed; without that, by their limits. A pin that is larger than its hole is found too. " +
			"It is the surveyed state that is judged: what the uncertainty of the surveys could add or take is said beside it, and \"tenths show\" says it for stations that are in order.",
		Why: "The part will not go on, or it is forced on: the holes are bruised, and the next station locates on the bruise.",
		Formula: "Two round pins: |pitch of holes - pitch of pins| <= (c1 + c2)/2. A relieved pin along the line takes up e = (-w + sqrt(w² + D² - d²))/2 in place of c2/2. " +
			"c1, c2 are hole minus pin in diameter, D the hole, d the pin, w the land. The handbook formula D·(D - d)/(2w) is always a little too high and is printed only beside the exact figure. " +
			"Widest land for a reach e: w = (D² - d²)/(4e) - e. " +
			"More than two pins: the largest m for which the part can be laid with every hole, its radius less m, over its pin, over all shifts and turns; below zero it does not go on.",
		Source: "Plane geometry of holes on pins, exact; the handbook formula and a land of an eighth to a third of the pin: common practice.",
		Cure:   "Relieve the second pin along the line to the first, with a land no wider than the message says; or a smaller second pin; or bring the pins to the pitch of the holes. Never by opening the holes alone: that costs location. Two pins locate a part; with more, each further one is a chance to bind and may be smaller.",
		Concede: "Say bored_here = true on a station on which the holes themselves are made, and type = \"slot\" for a slot. " +
			"Concede when the parts are matched to the station one by one, and say so.",
	},
	Check: func(p *lint.Pass) {
		eachStation(p, func(rec *ledger.Record, st *ledger.Station, l *study.Locating) {
			tooBig := false
			for i := range l.Pins {
				if l.Pins[i].TooBig() {
					tooBig = true
					reportTooBig(p, l, &l.Pins[i])
				}
			}
			switch {
			case tooBig, l.Skip != "", l.ByConstruction, l.Worst.GoesOn:
				return
			case l.Straight && reliefTurned(st, l):
				return // relief-direction speaks of the same pin
			case len(l.Pins) == 2:
				reportBinds(p, l)
			default:
				reportManyBind(p, l)
			}
		})
	},
}

func reportTooBig(p *lint.Pass, l *study.Locating, pin *study.PinState) {
	which := "the smallest good " + pin.Feature.ID.S
	if pin.AsMade {
		which = "the smallest " + pin.Feature.ID.S + " that is made"
	}
	slip := "0.0002 to 0.0005 in"
	if l.Unit.Name() == "mm" {
		slip = "0.005 to 0.013 mm"
	}
	p.Report(l.Rec, firstSet(pin.Now.Size.Span, pin.Locator.Span), lint.Found{
		Message: fmt.Sprintf("pin %s of station %s of %s does not enter %s of %s: the pin is up to %s, the hole down to %s",
			pin.Locator.ID.S, l.Station.ID.S, l.Rec.ID(), which, l.Part.ID(), pin.Pin.Max, pin.Hole.Min),
		Fix:     fmt.Sprintf("a pin smaller than %s; for work in tenths, smaller by %s is common practice", pin.Hole.Min, slip),
		Numbers: []lint.Number{{Name: "pin", Q: pin.Pin.Max}, {Name: "hole", Q: pin.Hole.Min}},
		Related: []lint.Place{holePlace(l, pin)},
	})
}

func reportBinds(p *lint.Pass, l *study.Locating) {
	w := l.Worst
	second := &l.Pins[l.Second()]
	mm := func(v float64) string { return study.Show(l.MM(v)) }
	numbers := []lint.Number{
		{Name: "mismatch", Q: l.MM(math.Abs(w.Mismatch))}, {Name: "allowance", Q: l.MM(w.Allowance)}, {Name: "missing", Q: l.MM(l.Missing)},
		{Name: "margin", Q: l.MM(w.Margin)}, {Name: "c1", Q: l.MM(2 * w.C1)}, {Name: "c2", Q: l.MM(2 * w.C2)},
	}
	allow := "two round pins allow " + mm(w.Allowance)
	if l.Pins[0].TurnKnown || l.Pins[1].TurnKnown {
		handbook := w.HandbookReach[0] + w.HandbookReach[1]
		numbers = append(numbers, lint.Number{Name: "handbook_allowance", Q: l.MM(handbook)})
		allow = fmt.Sprintf("%s allow %s (%s by the handbook formula)", pinsAre(l), mm(w.Allowance), mm(handbook))
	}
	if l.Land > 0 {
		numbers = append(numbers, lint.Number{Name: "land", Q: l.MM(l.Land)})
	}
	doubt, more := inDoubt(l)
	p.Report(l.Rec, firstSet(second.Now.Size.Span, second.Now.Type.Span), lint.Found{
		Message: fmt.Sprintf("station %s of %s will not take every good %s: the pitch of holes and pins can differ by %s, %s; %s is missing%s",
			l.Station.ID.S, l.Rec.ID(), l.Part.ID(), mm(math.Abs(w.Mismatch)), allow, mm(l.Missing), doubt),
		Fix:     l.Advice(),
		Numbers: append(numbers, more...),
		Related: []lint.Place{pinPlace(l, &l.Pins[1-l.Second()]), holePlace(l, &l.Pins[0]), holePlace(l, &l.Pins[1])},
	})
}

// pinsAre names the two pins of a station with at least one relieved one.
func pinsAre(l *study.Locating) string {
	relieved := 0
	about := ""
	for i := range l.Pins {
		if pin := &l.Pins[i]; pin.TurnKnown {
			relieved++
			about = "land " + pin.Now.Land.Nominal().String()
			if pin.Turn > 0.5 {
				about += ", turned by " + study.Degrees(pin.Turn)
			}
		}
	}
	if relieved == 2 {
		return "two relieved pins"
	}
	return "the round and the relieved pin (" + about + ")"
}

func holePlace(l *study.Locating, pin *study.PinState) lint.Place {
	how := "by its limits"
	if pin.AsMade {
		how = "as made"
	}
	text := fmt.Sprintf("hole %s of %s, %s %s", pin.Feature.ID.S, l.Part.ID(), pin.Size.Tol, how)
	if at := pin.Feature.At; at.Set() {
		text += fmt.Sprintf(", at %s, %s", at.X.Tol, at.Y.Tol)
	}
	return lint.Place{Rec: l.Part, Span: firstSet(pin.Size.Span, pin.Feature.Span), Message: text}
}

func pinPlace(l *study.Locating, pin *study.PinState) lint.Place {
	text := fmt.Sprintf("%s %s, %s", pin.Now.Type.S, pin.Locator.ID.S, pin.Pin.Max)
	if pin.Survey != nil {
		text += ", surveyed " + pin.Survey.On.String()
	} else {
		text += ", never surveyed as it stands"
	}
	return lint.Place{Rec: l.Rec, Span: firstSet(pin.Now.Size.Span, pin.Locator.Span), Message: text}
}
