package rules

import (
	"fmt"
	"slices"
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var rollbackUnproven = &lint.Rule{
	Name:     "rollback-unproven",
	Severity: lint.Error,
	Gap:      true,
	Title:    "a change taken back, and nothing shows that all is as it was",
	Page: lint.Page{
		What: "For a change that was rolled back after it was carried out: readings after it was undone (after_roll_back), that they are not shown to be worse than those before the change, and that of what it touches no state that began with it is still in force: " +
			"a pin, a feature, a shift of the work offset, a tool's role or life, a plan that came into force from the work to the eve of its undoing.",
		Why:     "The shop then runs on a third state, neither the old nor the tried one, and nobody has written it down.",
		Formula: "Difference of the means ± t·sqrt(sb²/nb + sa²/na) with 95 %. A single reading: mean ± t·s·sqrt(1 + 1/n) of those before, and one count of the gauge.",
		Source:  "Welch, Biometrika 34 (1947) 28; interval of the next part: ISO 16269-8 (from memory), and Vardeman and Jobe, Basic Engineering Data Collection and Analysis. That nothing is back until it is measured: common practice.",
		Cure:    "Measure some parts with everything back, name them in after_roll_back, and put plan, offset and tool record back or write their state down with its day.",
		Concede: "A change that was never carried out (no done and no readings after) is left alone, and so is one with a criterion. Concede when no part will be made that way again.",
	},
	Check: func(p *lint.Pass) {
		for _, rec := range p.L.Records {
			ch, ok := rec.Data.(*ledger.Change)
			if ok && p.S.StateOn(ch) == "rolled back" && !ch.Criterion.Set() && (ch.Done.Set() || ch.After.Set()) {
				checkRollback(p, rec, ch)
			}
		}
	},
}

func checkRollback(p *lint.Pass, rec *ledger.Record, ch *ledger.Change) {
	for _, h := range p.S.StillTried(rec) {
		p.Report(rec, firstSet(ch.RolledBack.Span, ch.State.Span), lint.Found{
			Message: fmt.Sprintf("%s was undone on %s, but what began with it is still in force: %s on %s: %s", rec.ID(), ch.RolledBack, listed(h.Paths), h.On, h.What),
			Fix:     "put it back and write that down with its day, or say what holds now",
			Related: []lint.Place{{Rec: h.Rec, Span: h.On.Span, Message: h.What}},
		})
	}
	alone := !ch.Before.Set() && !ch.Characteristic.Set() && slices.ContainsFunc(ch.Also, func(e ledger.Evidence) bool { return e.Before.Set() })
	if b := lookUp(p, ch.Before); alone || b.lack != "" || b.elsewhere {
		return // judged by what stands under also, or before-missing
	}
	const measure = "measure some parts with everything back as it was, as many as before the change, and name them in after_roll_back"
	report := func(at ledger.Span, message, fix string, numbers []lint.Number, related ...lint.Place) {
		p.Report(rec, firstSet(at, ch.State.Span), lint.Found{
			Message: fmt.Sprintf("%s was undone, but %s", rec.ID(), message), Fix: fix, Numbers: numbers, Related: related,
		})
	}
	back := lookUp(p, ch.Restored)
	switch o := p.S.OrderOf(ch.RolledBack, ledger.Ref{}, ch.Restored); {
	case back.elsewhere:
		return
	case back.lack != "":
		message := "there are no readings from after that"
		if back.rec != nil {
			message = back.lacks("after that")
		}
		report(ch.Restored.Span, message, measure, nil)
		return
	case o.AfterEarly:
		report(ch.Restored.Span, fmt.Sprintf("its readings after that, %s, were taken on %s, before it was undone on %s", o.After.ID(), o.Then, ch.RolledBack), measure, nil,
			lint.Place{Rec: o.After, Span: o.Then.Span, Message: "day of the readings"})
		return
	}
	for _, ev := range p.S.Evidence(rec) {
		if ev.Primary && ev.Char != nil && !oddReadings(p, ev) {
			reportNotBack(ev, func(message string, numbers []lint.Number) {
				report(ch.Restored.Span, message, "find out what still differs from before the change, put it back and measure again", numbers, lint.Place{Rec: ev.Before.Rec, Message: "readings before"}, lint.Place{Rec: ev.Back.Rec, Message: "readings after it was undone"})
			})
		}
	}
}

func reportNotBack(ev *study.Evidence, report func(string, []lint.Number)) {
	var texts []string
	var numbers []lint.Number
	for _, n := range ev.NotBack() {
		name := strings.TrimSuffix(ev.CharRec.ID()+"/"+ev.Char.ID.S+" at "+n.Point, " at ")
		before, then, low, high := ev.Shown(n.Before), ev.Shown(n.Then), ev.Shown(n.Low), ev.Shown(n.High)
		numbers = append(numbers, lint.Number{Name: "before", Q: before}, lint.Number{Name: "undone", Q: then}, lint.Number{Name: "low", Q: low}, lint.Number{Name: "high", Q: high})
		if n.One {
			texts = append(texts, fmt.Sprintf("%s was %s before and is %s, where the next part was to lie between %s and %s (95 %%)", name, before, then, low, high))
			continue
		}
		texts = append(texts, fmt.Sprintf("%s was %s before and is %s, off by %s to %s (95 %%)", name, before, then, signed(low), signed(high)))
	}
	if texts != nil {
		report("the readings have not come back: "+strings.Join(texts, "; "), numbered(numbers))
	}
}
