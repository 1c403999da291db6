package rules

import (
	"fmt"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var reliefDirection = &lint.Rule{
	Name:     "relief-direction",
	Severity: lint.Error,
	Title:    "a relieved pin that is relieved in the wrong direction",
	Page: lint.Page{
		What: "The direction in which a relieved pin is cut away is compared with the line to the other pin of its station, or, among more than two, to the one round pin; 10 deg of difference are allowed. " +
			"Where several round pins stand beside a relieved one there is no one right line: then only locators-bind speaks, if the part does not go on.",
		Why:     "The lands must bear square to the line between the pins. Turned, the pin binds along the line like a round one and lets the part swing: it looks right and is loose where it should locate.",
		Formula: "A pin relieved along the line takes up e = (-w + sqrt(w² + D² - d²))/2 along it and leaves (D - d)/2 across it; turned by 90 deg the two change places.",
		Source:  "Plane geometry, exact; lands square to the line between the pins: tool-design handbooks, common practice; 10 deg: common practice.",
		Cure:    "Turn the pin, or correct relieved_along if only the record is wrong; \"line to P1\" is the usual direction.",
		Concede: "If an edge rest and not the pin holds the part against turning, say so with turn_held_by on the station; then nothing is reported.",
	},
	Check: func(p *lint.Pass) {
		eachStation(p, func(rec *ledger.Record, st *ledger.Station, l *study.Locating) {
			if st.Rest.Set() {
				return
			}
			for i := range l.Pins {
				pin := &l.Pins[i]
				if !pin.TurnedTooFar() {
					continue
				}
				other := &l.Pins[pin.To]
				id := pin.Locator.ID.S
				message := fmt.Sprintf("the relief of %s in station %s of %s is turned by %s from the line to %s (%d deg allowed)",
					id, st.ID.S, rec.ID(), study.Degrees(pin.Turn), other.Locator.ID.S, study.ReliefTurn)
				numbers := []lint.Number{{Name: "turn", Q: study.Angle(pin.Turn)}}
				if r := pin.Relief; r.RightAlong > 0 {
					mm := func(v float64) string { return study.Show(l.MM(v)) }
					message += fmt.Sprintf(": the pin takes up %s of pitch instead of %s, and leaves the part %s loose each way across the line instead of %s",
						mm(r.Along), mm(r.RightAlong), mm(r.Across), mm(r.RightAcross))
					numbers = append(numbers,
						lint.Number{Name: "along", Q: l.MM(r.Along)}, lint.Number{Name: "across", Q: l.MM(r.Across)},
						lint.Number{Name: "along_right", Q: l.MM(r.RightAlong)}, lint.Number{Name: "across_right", Q: l.MM(r.RightAcross)})
				}
				if l.Skip == "" && !l.Worst.GoesOn && l.Straight && !l.ByConstruction {
					message += fmt.Sprintf("; so not every good %s goes on", l.Part.ID())
				}
				p.Report(rec, firstSet(pin.Now.Relief.Span, pin.Locator.Span), lint.Found{
					Message: message,
					Fix:     fmt.Sprintf("turn %s so that it is relieved along the line to %s, or write relieved_along = \"line to %s\" if only the record is wrong; if an edge rest holds the part against turning, say so with turn_held_by", id, other.Locator.ID.S, other.Locator.ID.S),
					Numbers: numbers,
					Related: []lint.Place{pinPlace(l, other)},
				})
			}
		})
	},
}
