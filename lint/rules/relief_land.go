package rules

import (
	"fmt"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var reliefLand = &lint.Rule{
	Name:     "relief-land",
	Severity: lint.Warning,
	Title:    "a relieved pin whose land is ground away, or no relief at all",
	Page: lint.Page{
		What: "The width of the land of a relieved pin is looked at. A land under 0.010 in (0.25 mm) is a knife edge. A land as wide as the pin is no relief, and most often a slip of the decimal point. " +
			"A land of more than a third of the pin is reported only where the study of the station cannot show that it serves, because a size or a place is not known; where it is known to bind, locators-bind says so and gives the widest land.",
		Why: "A narrow land wears within a few hundred parts, and the part then swings on a pin that looks right. A wide one takes up hardly more pitch than a round pin.",
		Formula: "A relieved pin along the line takes up e = (-w + sqrt(w² + D² - d²))/2, so the widest land that lets every good part on is w = (D² - d²)/(4e) - e, with e the pitch difference less the clearance of the round pin on one side; " +
			"the handbook's w = D·(D - d)/(2e) is always too wide. D is the hole, d the pin.",
		Source:  "Plane geometry, exact; a land of an eighth to a third of the pin, and 0.010 in as the least that lasts: common practice.",
		Cure:    "Grind or buy a pin with a land between an eighth of its diameter and the widest that the message names; where only a knife edge would let every part on, take a smaller pin with a wider land.",
		Concede: "A pin under 1/8 in is left in peace, since any land on it is small. Concede for a station that sees few parts, and say how many.",
	},
	Check: func(p *lint.Pass) {
		eachStation(p, func(rec *ledger.Record, st *ledger.Station, l *study.Locating) {
			for k := range l.Pins {
				if fault := l.LandFault(k); fault != study.LandServes {
					reportLand(p, l, k, fault)
				}
			}
		})
	},
}

func reportLand(p *lint.Pass, l *study.Locating, k int, fault study.LandFault) {
	pin := &l.Pins[k]
	id, land := pin.Locator.ID.S, pin.Now.Land.Nominal()
	is := fmt.Sprintf("the land of %s in station %s of %s is %s on a pin of %s", id, l.Station.ID.S, l.Rec.ID(), land, pin.Pin.Max)
	numbers := []lint.Number{{Name: "land", Q: land}, {Name: "pin", Q: pin.Pin.Max}}
	least := study.ShowDown(l.MM(pin.Pin.Max.Float()/8), 3)
	fix := fmt.Sprintf("a land of %s, an eighth of the pin, to a third of it", least)
	if w := l.WidestLand(k); w > 0 {
		widest := l.MM(w)
		numbers = append(numbers, lint.Number{Name: "widest_land", Q: widest})
		fix = fmt.Sprintf("a land of %s, an eighth of the pin, up to %s, the widest that lets every good part on", least, study.ShowDown(widest, 3))
		if study.RoundedDown(widest, 3).FloatIn(l.Unit) < pin.Pin.Max.FloatIn(l.Unit)/8 {
			fix = fmt.Sprintf("a land of up to %s, the widest that lets every good part on", study.ShowDown(widest, 3))
		}
	}
	switch fault {
	case study.KnifeEdge:
		is += ": so narrow a land soon wears away, and then the part swings"
	case study.WidthNeeded:
		is += ": so narrow a land soon wears away, and then the part swings; but no wider one lets every good part on"
		fix = "a smaller pin, which may have a wider land"
		if len(l.Pins) == 2 && l.SmallerPin > 0 {
			fix = fmt.Sprintf("a smaller pin: at most %s with a land of %s", l.PinSize(l.SmallerPin), study.ShowDown(l.MM(l.SmallerLand), 3))
		}
	case study.NoRelief:
		is += ", which is no relief: was a decimal point lost?"
	case study.HardlyAny:
		is += fmt.Sprintf(", more than a third of it, and nothing shows that every good %s goes on (%s)", l.Part.ID(), l.Skip)
	}
	p.Report(l.Rec, firstSet(pin.Now.Land.Span, pin.Locator.Span), lint.Found{Message: is, Fix: fix, Numbers: numbers})
}
