package rules

import (
	"fmt"
	"strings"

	"tenths/lint"
)

var derivedStale = &lint.Rule{
	Name:     "derived-stale",
	Severity: lint.Warning,
	Title:    "a derived value that no longer follows from its inputs",
	Page: lint.Page{
		What:    "The value kept beside a formula is compared with the one computed today from the values behind its names; equal means exactly, or to the last digit that is written.",
		Why:     "People trust the number that is printed; an input was measured again or changed since.",
		Source:  "Common practice.",
		Cure:    "tenths derive --write puts the computed value in its place; then look who uses it (tenths trace).",
		Concede: "A value that is kept on purpose, such as a prediction made on a day, says why with keep, or names the day of its inputs with on.",
	},
	Check: func(p *lint.Pass) {
		for _, d := range p.S.Derived() {
			if d.Err != nil || !d.Stale {
				continue
			}
			var inputs []string
			var related []lint.Place
			for _, in := range d.Inputs {
				value := in.Size.Raw
				at := in.Size.Span
				if in.From != nil {
					value, at = in.From.Text, in.From.D.Formula.Span
				} else if in.Size.Tol != nil {
					value = in.Size.Tol.String()
				}
				inputs = append(inputs, in.Path+" = "+value)
				related = append(related, lint.Place{Rec: in.Rec, Span: at, Message: in.Path + " is " + value})
			}
			from := ""
			if inputs != nil {
				from = " from " + strings.Join(inputs, ", ")
			}
			kept := d.D.Value.Nominal()
			numbers := []lint.Number{{Name: "kept", Q: kept}, {Name: "computed", Q: d.Value}}
			if diff, err := d.Value.Sub(kept); err == nil {
				numbers = append(numbers, lint.Number{Name: "difference", Q: diff})
			}
			p.Report(d.Rec, d.D.Value.Span, lint.Found{
				Message: fmt.Sprintf("%s is kept as %s, but its formula gives %s%s", d.Path(), kept, d.Text, from),
				Fix:     "tenths derive --write puts it right; if it is kept on purpose, say why with keep",
				Numbers: numbers,
				Related: related,
			})
		}
	},
}
