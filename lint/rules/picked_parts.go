package rules

import (
	"fmt"
	"strings"

	"tenths/lint"
)

var pickedParts = &lint.Rule{
	Name:     "picked-parts",
	Severity: lint.Note,
	Title:    "a change judged by parts that somebody picked",
	Page: lint.Page{
		What:    "For a change that was carried out: how the parts of the readings before and after were chosen (picked). Consecutive parts, all of them, and parts drawn by lot are as they should be.",
		Why:     "The worst part of one lot against an ordinary one of the next shows a gain though nothing changed: what stands out once stands out less the next time.",
		Source:  "Regression towards the mean (F. Galton, J. Anthropological Institute 15 (1886) 246, from memory). Consecutive parts, or parts drawn by lot: common practice.",
		Cure:    "Measure consecutive parts, before and after.",
		Concede: "A part that was chosen on purpose and measured again afterwards, under the same name in both records (reading, piece), is left in peace.",
	},
	Check: func(p *lint.Pass) {
		eachCompared(p, func(c compared) {
			var ways []string
			var numbers []lint.Number
			for _, g := range c.Ev.Picked() {
				when := "before"
				if g == c.Ev.After {
					when = "after"
				}
				ways = append(ways, fmt.Sprintf("the %d of %s %s it", g.Parts(), g.Rec.ID(), when))
				numbers = append(numbers, lint.Number{Name: when, Q: count(g.Parts(), "parts")})
			}
			if ways == nil {
				return
			}
			message := fmt.Sprintf("%s is called %s on parts of %s that were picked: %s", c.Rec.ID(), c.State, c.name(), strings.Join(ways, " and "))
			text, moved := c.moved()
			if text != "" {
				message += "; " + text
			}
			p.Report(c.Rec, c.At, lint.Found{
				Message: message, Fix: "measure consecutive parts, or draw them by lot, before and after",
				Numbers: append(numbers, moved...), Related: c.places(),
			})
		})
	},
}
