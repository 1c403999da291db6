package rules

import (
	"fmt"

	"tenths/ledger"
	"tenths/lint"
)

var asFoundMissing = &lint.Rule{
	Name:     "as-found-missing",
	Severity: lint.Warning,
	Gap:      true,
	Title:    "a gauge was adjusted, and what it showed before is not written down",
	Page: lint.Page{
		What:    "Every check of a gauge with the error that was left (as_left) is looked at for the error that was found before anything was adjusted (as_found). Two entries of one day at one size count as one check.",
		Why:     "Without what was found nobody can say which of the parts that it measured before are affected.",
		Source:  "Results before and after an adjustment: ISO/IEC 17025:2017, 7.8.4; calibration practice.",
		Cure:    "Ask for the value: the certificate, or whoever adjusted it, may have it. If it is lost, look at the readings since the last good check as if the gauge had been bad, and write what came out into look_back.",
		Concede: "The first check of a new gauge, before which it was not used, is left in peace. Concede it where the value is lost and the readings before were looked at.",
	},
	Check: func(p *lint.Pass) {
		uses := p.S.GaugeUses()
		for _, rec := range p.L.Records {
			if _, ok := rec.Data.(*ledger.Gauge); !ok || rec != p.L.Record(rec.ID()) {
				continue
			}
			for _, a := range p.S.AsFoundMissing(rec, uses[rec.ID()]) {
				c := a.Check
				f := lint.Found{
					Message: fmt.Sprintf("%s was adjusted on %s and left at %s; what it was off by before is not written down", rec.ID(), c.On, c.AsLeft.Nominal()),
					Fix:     "write down what was found before the adjustment (as_found)",
					Related: usePlaces(a.Uses),
				}
				if len(a.Uses) > 0 {
					f.Message += fmt.Sprintf(", and %s %s on it", usedFor(a.Uses), plural(len(a.Uses), "rests", "rest"))
					f.Fix += "; if it is lost, treat the gauge as bad and look at what was measured with it since the last good check"
				}
				if a.Since != nil {
					f.Related = append(f.Related, lint.Place{Rec: rec, Span: a.Since.On.Span, Message: "the check before it"})
				}
				p.Report(rec, c.AsLeft.Span, f)
			}
		}
	},
}
