package rules

import (
	"fmt"

	"tenths/ledger/study"
	"tenths/lint"
)

var derivedOutside = &lint.Rule{
	Name:     "derived-outside",
	Severity: lint.Warning,
	Title:    "a derived value whose worst case leaves its own limits",
	Page: lint.Page{
		What:    "The worst case of a derived value, with every input anywhere within its limits, is compared with the limits that the record sets for it. A worst case that stands on a limit is inside.",
		Why:     "The record says what the result must keep, and parts that are all within their limits can miss it.",
		Formula: "worst case: the smallest and the largest result over the limits of all inputs; an input that is used twice counts once.",
		Source:  "Worst-case stack-up, common practice in tolerance analysis.",
		Cure:    "Tighten the input with the largest share, or that with the most effect for its cost if costs are stated (tenths show of the value tells both, and what each input may have), or set limits that the work can keep.",
		Concede: "When the root sum square of the inputs is accepted as the measure, with its risk stated.",
	},
	Check: func(p *lint.Pass) {
		for _, d := range p.S.Derived() {
			if d.Err != nil || !d.Outside {
				continue
			}
			f := lint.Found{
				Message: fmt.Sprintf("%s can be anything from %s to %s; its limits are %s", d.Path(), study.Show(d.Lower), study.Show(d.Upper), d.D.Limits.Tol),
				Fix:     "widen the limits or tighten an input",
				Numbers: []lint.Number{{Name: "worst_lower", Q: d.Lower}, {Name: "worst_upper", Q: d.Upper}},
			}
			if st := d.Standing; st != nil && len(st.First) > 0 && st.First[0].Cost > 0 {
				f.Fix = fmt.Sprintf("tighten %s first: it gains most for its cost; or set limits that the work can keep", st.First[0].Name)
			} else if s, ok := d.Largest(); ok {
				f.Fix = fmt.Sprintf("tighten %s first: it makes %.0f %% of the worst case; or set limits that the work can keep", s.Path, 100*s.Worst)
			}
			p.Report(d.Rec, d.D.Limits.Span, f)
		}
	},
}
