package rules

import (
	"fmt"

	"tenths/ledger"
	"tenths/lint"
)

var lookbackMissing = &lint.Rule{
	Name:     "lookback-missing",
	Severity: lint.Error,
	Gap:      true,
	Title:    "a gauge was found out, and nothing says what became of the readings before",
	Page: lint.Page{
		What: "For every check of a gauge that did not conform, what the gauge was used for since the last good check is looked for: readings, surveys of pins, and checks of other gauges. If there is anything, the check must say what was found about it (look_back). " +
			"Set-up, and comparisons of two parts on the one gauge, do not count.",
		Why:     "Nobody knows on which day the gauge went out: every part that it passed since may be bad, and this is the first question that will be asked.",
		Formula: "day of the last good check < day of use <= day of the failed check; nothing is asked if |error as found| < 1/10 of every tolerance that the gauge served in that time.",
		Source:  "ISO 9001:2015, 7.1.5.2, last paragraph. A tenth of the tolerance: common practice.",
		Cure:    "Correct each reading by the error as found and judge it again against the limits of its day; tenths trace GAUGE --suspect does so. Write into look_back what came out.",
		Concede: "When the parts are known to be good in another way: write that into look_back rather than conceding it.",
	},
	Check: func(p *lint.Pass) {
		uses := p.S.GaugeUses()
		for _, rec := range p.L.Records {
			if _, ok := rec.Data.(*ledger.Gauge); !ok || rec != p.L.Record(rec.ID()) {
				continue
			}
			for _, l := range p.S.LookBacks(rec, uses[rec.ID()]) {
				c := l.Check
				f := lint.Found{
					Fix:     fmt.Sprintf("look at that again (tenths trace %s --suspect), and write what came out into look_back", rec.ID()),
					Related: usePlaces(l.Uses),
				}
				found := ""
				if l.Error.IsZeroValue() {
					f.Fix = "write down the error as found (as_found); " + f.Fix
				} else {
					found = fmt.Sprintf(" (error %s)", l.Error)
					f.Numbers = []lint.Number{{Name: "error", Q: l.Error}}
				}
				since := "before"
				if l.Since != nil {
					since = "since " + l.Since.On.String()
					known := "it was last known to be good on that day"
					if !l.Good {
						known = "it did not conform on that day either"
					}
					f.Related = append(f.Related, lint.Place{Rec: rec, Span: l.Since.On.Span, Message: known})
				}
				f.Message = fmt.Sprintf("%s did not conform on %s%s; nothing says whether what was measured with it %s still holds: %s", rec.ID(), c.On, found, since, usedFor(l.Uses))
				p.Report(rec, c.Result.Span, f)
			}
		}
	},
}
