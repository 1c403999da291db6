package rules

import (
	"fmt"
	"math"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var warmFit = &lint.Rule{
	Name:     "warm-fit",
	Severity: lint.Warning,
	Title:    "pins and holes that grow apart with the temperature of the shop",
	Page: lint.Page{
		What: "For the coldest and the hottest shop of tenths.toml it is computed how much farther apart the holes of the part come than the pins of the fixture, both at the temperature of the shop and both right at 20 °C (68 °F). " +
			"It is reported if that alone uses more than half of what the pins allow.",
		Why: "A fit that works in March jams in August, and the pitch error that the drawing permits has no room left.",
		Formula: "dL = L·(α_part - α_fixture)·(T - 20 °C), against the allowance of the pins: (c1 + c2)/2 for two round ones, the round pin's share plus the exact reach of the relieved one otherwise. " +
			"For more than two pins L is the longest distance of two holes, and the allowance is how much it may change with all others in proportion.",
		Source:  "Linear expansion, sizes hold at 20 °C: ISO 1. Coefficients: the table of materials of this tool, each with its source, in the middle of what they say. More than half of the allowance: common practice.",
		Cure:    "Relieve a pin, or give it a narrower land, until the allowance is twice what temperature takes; load parts and fixture at rest near 20 °C; or make the fixture of the metal of the part.",
		Concede: "Silent where part and fixture are of one material, where the holes are made on this very station, and for holes less than an inch apart. Concede if the part is always loaded at rest in a room that is kept at one temperature, or better, write that temperature into tenths.toml.",
	},
	Check: func(p *lint.Pass) {
		eachStation(p, func(rec *ledger.Record, st *ledger.Station, l *study.Locating) {
			// A station that never takes every good part has another trouble first.
			if l.Skip != "" || l.ByConstruction || !l.Worst.GoesOn {
				return
			}
			if w := p.S.WarmFit(l); w.TooMuch(l) {
				reportWarm(p, l, w)
			}
		})
	},
}

func reportWarm(p *lint.Pass, l *study.Locating, w *study.WarmFit) {
	t := w.Worse()
	from, to := &l.Pins[w.From], &l.Pins[w.To]
	apart, way := t.Difference, "farther apart than"
	if apart.Sign() < 0 {
		way = "closer together than"
	}
	message := fmt.Sprintf("station %s of %s: at %s the holes %s and %s of %s come %s %s their pins, %.0f %% of the %s that the pins allow",
		l.Station.ID.S, l.Rec.ID(), t.At, from.Feature.ID.S, to.Feature.ID.S, l.Part.ID(), study.Show(apart.Abs()), way, 100*t.Share, study.Show(l.MM(w.Allowance)))
	if !t.Worst.GoesOn {
		message += fmt.Sprintf("; not every good %s goes on then", l.Part.ID())
	}
	cure := "let the pins allow twice as much, by relieving one or narrowing its land"
	if w.Land > 0 {
		second, first := &l.Pins[l.Second()], &l.Pins[1-l.Second()]
		cure = fmt.Sprintf("%s relieved along the line to %s with a land of at most %s allows twice as much", second.Locator.ID.S, first.Locator.ID.S, study.ShowDown(l.MM(w.Land), 3))
	}
	p.Report(l.Rec, firstSet(to.Now.Size.Span, to.Locator.Span), lint.Found{
		Message: message,
		Fix: fmt.Sprintf("%s (%s) against %s (%s): %s; or load at rest near 20 C",
			w.Part.Name, ppm(w.Part), w.Fixture.Name, ppm(w.Fixture), cure),
		Numbers: []lint.Number{{Name: "temperature", Q: t.At}, {Name: "difference", Q: apart}, {Name: "allowance", Q: l.MM(w.Allowance)}},
		Related: []lint.Place{pinPlace(l, from), holePlace(l, from), holePlace(l, to)},
	})
}

// ppm prints a coefficient of expansion.
func ppm(m study.Material) string {
	return fmt.Sprintf("%.1f ppm/K", math.Round(m.Expansion.FloatIn(m.Expansion.Unit())*10)/10)
}
