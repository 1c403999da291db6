package rules

import (
	"fmt"
	"strings"

	"tenths/ledger/study"
	"tenths/lint"
)

var gaugeChanged = &lint.Rule{
	Name:     "gauge-changed",
	Severity: lint.Warning,
	Title:    "the readings after were taken with another gauge, by another person or on a part held otherwise",
	Page: lint.Page{
		What: "For a change that was carried out: the gauge, the person and the state of the part (free or clamped) of the readings before and of those after. Another person on the same gauge is only a note, and so is all of it on a change called inconclusive.",
		Why:  "Two micrometers, or two hands, differ by a tenth or two, which is as much as the gain that is claimed.",
		Formula: "What two gauges alone may make of the difference: ±sqrt(Ub² + Ua²), with 95 %. It is taken into the interval of the difference; " +
			"where the level is shown to have changed even so, nothing is said of the gauge.",
		Source:  "JCGM 100 5.1.2 (uncertainty of a difference of independent values), VIM 2.21 and 2.25. Two gauges compared on one standard within the month count as one: common practice.",
		Cure:    "Measure the parts of one of the two again with the other's gauge, hand and holding; or check both gauges on the same block (against, at) within the month.",
		Concede: "When the two are known to read alike: say how that is known.",
	},
	Check: func(p *lint.Pass) {
		eachCompared(p, func(c compared) {
			if swap, ok := p.S.Swap(c.Ev); ok && !c.unproven() {
				reportSwap(p, c, swap)
			}
		})
	},
}

func reportSwap(p *lint.Pass, c compared, swap study.Swap) {
	var ways []string
	softer := true
	for _, m := range swap.Mismatches {
		ways = append(ways, m.Text(true))
		softer = softer && m.Person
	}
	found := lint.Found{Softer: softer || c.open(), Related: c.places(),
		Fix: "measure the parts of one side again as the other was measured, if they are still there"}
	found.Message = fmt.Sprintf("the readings of %s were not taken alike: %s", c.Rec.ID(), strings.Join(ways, ", "))
	text, numbers := c.moved()
	found.Numbers = numbers
	if text != "" {
		found.Message += "; " + text
	}
	if swap.Gauge {
		found.Fix += "; or check both gauges on the same standard within the month of the readings"
		if swap.Adds {
			u := c.Ev.Shown(swap.U)
			found.Message += fmt.Sprintf("; the two gauges alone may make ±%s of a difference", u)
			found.Numbers = append(found.Numbers, lint.Number{Name: "gauges", Q: u})
		} else {
			found.Message += "; the uncertainty of one of the gauges is not stated, so nobody knows what the change of gauge makes of it"
		}
	}
	if text != "" && swap.Adds && c.Ev.C.HasInterval && c.Ev.Claim == "level" {
		low, high := c.Ev.Shown(c.Ev.C.Low), c.Ev.Shown(c.Ev.C.High)
		found.Message += fmt.Sprintf("; with that taken in it lies between %s and %s (95 %%)", signed(low), signed(high))
		found.Numbers = append(found.Numbers, lint.Number{Name: "low", Q: low}, lint.Number{Name: "high", Q: high})
	}
	p.Report(c.Rec, c.At, found)
}
