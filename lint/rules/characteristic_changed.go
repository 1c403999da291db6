package rules

import (
	"fmt"
	"strings"

	"tenths/ledger/study"
	"tenths/lint"
)

var characteristicChanged = &lint.Rule{
	Name:     "characteristic-changed",
	Severity: lint.Warning,
	Title:    "the readings after are of something else than the readings before",
	Page: lint.Page{
		What:    "For a change that was carried out: the characteristic that it is judged by, against the characteristics that the readings before and after say they are of; and the points that were read before, against those read after. Further points after are welcome.",
		Why:     "The dimension that is easy to measure gets reported, and the customer's complaint does not.",
		Source:  "The same characteristic and the same points before and after: common practice.",
		Cure:    "Measure after the change what was measured before it, at all its points; the other readings may stand beside them, under also.",
		Concede: "When a point can no longer be reached, or the two characteristics are the same thing under two names: say so.",
	},
	Check: func(p *lint.Pass) { eachPair(p, func(c compared) { checkCharacteristic(p, c) }) },
}

func checkCharacteristic(p *lint.Pass, c compared) {
	if c.Ev.Char == nil {
		return // a broken reference
	}
	var ways []string
	for _, side := range []struct {
		g    *study.Group
		when string
	}{{c.Ev.Before, "before"}, {c.Ev.After, "after"}} {
		if other := c.Ev.OtherCharacteristic(side.g); other != "" {
			ways = append(ways, fmt.Sprintf("the readings %s, %s, are of %s", side.when, side.g.Rec.ID(), other))
		}
	}
	found := lint.Found{Softer: c.open(), Related: c.places()}
	var left []string
	if ways == nil {
		left = c.Ev.LeftOut()
	}
	switch {
	case ways != nil:
		found.Message = fmt.Sprintf("%s is judged by %s, but %s", c.Rec.ID(), c.name(), strings.Join(ways, ", and "))
		found.Fix = fmt.Sprintf("measure %s before and after, or name the characteristic that was measured; put the other under also", c.name())
	case left != nil && !(c.Ev.Problem != "" && c.unproven()):
		found.Message = fmt.Sprintf("%s is judged by %s at %s before, but the readings after, %s, are only of %s: %s was left out",
			c.Rec.ID(), c.name(), listed(c.Ev.Before.Points), c.Ev.After.Rec.ID(), listed(c.Ev.After.Points), listed(left))
		found.Fix = fmt.Sprintf("measure %s after the change too; or name in points those that were meant from the start", listed(left))
		found.Numbers = []lint.Number{{Name: "left_out", Q: count(len(left), "1")}}
	default:
		return
	}
	p.Report(c.Rec, c.At, found)
}
