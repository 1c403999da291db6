package rules

import (
	"fmt"
	"slices"

	"tenths/calc/locate"
	"tenths/ledger/study"
	"tenths/lint"
)

// reportManyBind tells of a station with more than two pins.
func reportManyBind(p *lint.Pass, l *study.Locating) {
	w := &l.Worst
	var names []string
	var related []lint.Place
	at := &l.Pins[len(l.Pins)-1]
	for k := range l.Pins {
		pin := &l.Pins[k]
		if slices.ContainsFunc(w.Binds, func(c locate.Contact) bool { return c.Pin == k+1 }) {
			names, at = append(names, pin.Locator.ID.S), pin
			related = append(related, pinPlace(l, pin), holePlace(l, pin))
		}
	}
	doubt, more := inDoubt(l)
	p.Report(l.Rec, firstSet(at.Now.Size.Span, at.Now.Type.Span), lint.Found{
		Message: fmt.Sprintf("station %s of %s will not take every good %s: on its %d pins the worst one lacks %s of radius in every hole; %s bind%s",
			l.Station.ID.S, l.Rec.ID(), l.Part.ID(), len(l.Pins), study.Show(l.MM(-w.Margin)), listed(names), doubt),
		Fix:     l.Advice(),
		Numbers: append([]lint.Number{{Name: "margin", Q: l.MM(w.Margin)}}, more...),
		Related: related,
	})
}

// inDoubt says what the uncertainty of the surveys could add to what is missing,
// or take from it.
func inDoubt(l *study.Locating) (string, []lint.Number) {
	by, known := l.InDoubt()
	if !known {
		return "", nil
	}
	return fmt.Sprintf(" (by the uncertainty of the surveys, up to %s more or less)", study.Show(l.MM(by))),
		[]lint.Number{{Name: "survey_doubt", Q: l.MM(by)}}
}
