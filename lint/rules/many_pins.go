package rules

import (
	"fmt"
	"slices"
	"strings"

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
		Fix:     waysText(l),
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

// waysText says how a station with more than two pins takes every good part.
func waysText(l *study.Locating) string {
	var out []string
	for _, w := range l.Ways {
		out = append(out, wayText(l, w))
	}
	if l.Straight {
		out = append([]string{"turn the reliefs along the lines to the round pin"}, out...)
	}
	if out == nil {
		return "no relief and no smaller pin takes up so much: bring the places of pins and holes together; two pins locate a part, so the others may go"
	}
	return strings.Join(out, "; or ")
}

func wayText(l *study.Locating, w study.Way) string {
	id := func(k int) string { return l.Pins[k].Locator.ID.S }
	var out []string
	for i, k := range w.Relieve {
		verb := "relieve %s along the line to %s with a land of at most %s"
		if l.Pins[k].Now.Type.S == "relieved pin" {
			verb = "the relief of %s along the line to %s, with a land of at most %s"
		}
		out = append(out, fmt.Sprintf(verb, id(k), id(w.To), study.ShowDown(l.MM(w.Lands[i]), 3)))
	}
	for i, k := range w.Smaller {
		out = append(out, fmt.Sprintf("a pin of at most %s for %s", l.MM(w.Diameters[i]).Format(l.Unit, decimals(l, 4)), id(k)))
	}
	text := listed(out)
	if w.Loose {
		text += ", which then no longer " + map[bool]string{true: "locates", false: "locate"}[len(w.Smaller) == 1]
	}
	return text
}
