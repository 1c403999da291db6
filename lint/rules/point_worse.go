package rules

import (
	"fmt"
	"slices"
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var pointWorse = &lint.Rule{
	Name:     "point-worse",
	Severity: lint.Warning,
	Title:    "a point that became worse with the change",
	Page: lint.Page{
		What: "For a change that was carried out: every point that was read before and after. A point is named if the readings show that it moved away from where it should be, and it now stands farther off than a third of the way to its limit. " +
			"Where each point is judged by itself and the change is called effective, effective-unproven speaks of it.",
		Why:     "What cures one edge often moves the error to the other side, and the largest of all points, or their mean, hides it.",
		Formula: "Difference of the means of the point ± t·sqrt(sb²/nb + sa²/na) with 95 %, with resolution and a changed gauge taken in.",
		Source:  "Welch, Biometrika 34 (1947) 28. That every point is reported, and a third of the limit: common practice.",
		Cure:    "Find out why (tenths diagnose on the readings after), and say in side_effects what became of the point.",
		Concede: "A point that the record names in side_effects or lesson is known, and nothing is said of it. Nor of a change called harmful.",
	},
	Check: func(p *lint.Pass) {
		eachCompared(p, func(c compared) {
			if c.State != "harmful" && !c.unproven() && !oddReadings(p, c.Ev) {
				reportWorse(p, c)
			}
		})
	},
}

func reportWorse(p *lint.Pass, c compared) {
	var texts []string
	var numbers []lint.Number
	for _, pt := range c.Ev.WorsePoints() {
		if pt.Point == "" || told(c.Ch, pt) {
			continue
		}
		before, after := c.Ev.Shown(pt.C.Before.Mean), c.Ev.Shown(pt.C.After.Mean)
		texts = append(texts, fmt.Sprintf("%s from %s to %s (by %s to %s, 95 %%)", pt.Point, before, after, signed(c.Ev.Shown(pt.C.Low)), signed(c.Ev.Shown(pt.C.High))))
		numbers = append(numbers, lint.Number{Name: "before", Q: before}, lint.Number{Name: "after", Q: after})
	}
	if texts == nil {
		return
	}
	limits := ""
	if lim := c.Ev.Char.Limits; lim.Set() {
		limits = fmt.Sprintf("; the limits are %s", lim.Tol)
	}
	p.Report(c.Rec, c.At, lint.Found{
		Softer:  c.open() || c.State == "not effective",
		Message: fmt.Sprintf("%s is called %s, but of %s became worse: %s%s", c.Rec.ID(), c.State, c.name(), strings.Join(texts, ", "), limits),
		Fix:     fmt.Sprintf("find out why (tenths diagnose %s), and say in side_effects what became of it", c.Ev.After.Rec.ID()),
		Numbers: numbered(numbers), Related: c.places(),
	})
}

// told reports whether the change names the point where it says what else it did.
func told(ch *ledger.Change, pt study.PointEvidence) bool {
	return slices.Contains(wordsIn(ch.Side.S+" "+ch.Lesson.S), pt.Point)
}
