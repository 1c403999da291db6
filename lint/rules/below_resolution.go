package rules

import (
	"fmt"

	"tenths/lint"
)

var belowResolution = &lint.Rule{
	Name:     "below-resolution",
	Severity: lint.Warning,
	Title:    "a change smaller than what its gauge can show",
	Page: lint.Page{
		What: "For a change that was carried out: the difference of the readings before and after, against one count of the gauge and half the interval of the difference. It is only a note on a change called inconclusive.",
		Why:  "A gain smaller than the gauge can see is a story, and more parts do not make it more.",
		Formula: "Where the readings vary by less than about half a count, each mean carries count/√12 that no number of parts takes away: |difference| must exceed 2·sqrt(sb²/nb + sa²/na + countb²/12 + counta²/12). " +
			"Readings that vary by more than that are judged by their scatter: an average of many does resolve below one count.",
		Source:  "JCGM 100 F.2.2.1; that scatter and resolution are both kept: Phillips, Toman and Estler, J. Res. NIST 113 (2008) 143.",
		Cure:    "Measure both sides with a gauge that reads finer; else call it inconclusive.",
		Concede: "When the gain is known by another way, such as a finger or a finer gauge that is not in the ledger: say which, best in criterion.",
	},
	Check: func(p *lint.Pass) {
		eachCompared(p, func(c compared) {
			if c.Ev.BelowGauge() && !oddReadings(p, c.Ev) {
				reportBelow(p, c)
			}
		})
	},
}

func reportBelow(p *lint.Pass, c compared) {
	d, n := c.Ev.Largest()
	difference, step, least := c.Ev.Shown(d), c.Ev.Shown(n), c.Ev.Shown(c.Ev.HalfWidth())
	gauge := "the gauge"
	if g := c.Ev.After.Gauge; g != nil {
		gauge = g.GaugeRec.ID()
	}
	p.Report(c.Rec, c.At, lint.Found{
		Softer: c.open(),
		Message: fmt.Sprintf("%s is called %s, but %s changed by %s, and one count of %s is %s: with %d + %d parts that vary this little nothing under %s can be told from no change",
			c.Rec.ID(), c.State, c.name(), signed(difference), gauge, step, c.Ev.Before.N(), c.Ev.After.N(), least),
		Fix:     "measure both sides with a gauge that reads finer; else call it inconclusive",
		Numbers: []lint.Number{{Name: "difference", Q: difference}, {Name: "count", Q: step}, {Name: "shows", Q: least}},
		Related: c.places(),
	})
}
