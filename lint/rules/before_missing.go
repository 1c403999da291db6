package rules

import (
	"fmt"
	"slices"
	"strings"

	"tenths/ledger"
	"tenths/lint"
)

var beforeMissing = &lint.Rule{
	Name:     "before-missing",
	Severity: lint.Warning,
	Gap:      true,
	Title:    "a change under way, or made, without readings before it",
	Page: lint.Page{
		What:    "A change that is in progress, or whose outcome is decided, must have readings from before anything was touched. The days of the readings and of the work are compared with each other, whatever day is asked for.",
		Why:     "Without a before there is no improvement, only a state; and once the metal is touched it cannot be had any more.",
		Source:  "At least 3, better 5, consecutive parts before anything is touched: common practice.",
		Cure:    "Measure parts from before the change, if there still are some; else say with criterion how the change is judged.",
		Concede: "A change that is only proposed, agreed or cancelled is left alone, and so is one with a criterion and one for a new product (say \"new product\" in factor or title).",
	},
	Check: func(p *lint.Pass) {
		for _, rec := range p.L.Records {
			if ch, ok := rec.Data.(*ledger.Change); ok {
				checkBefore(p, rec, ch)
			}
		}
	},
}

func checkBefore(p *lint.Pass, rec *ledger.Record, ch *ledger.Change) {
	if !slices.Contains([]string{"in progress", "done", "verified effective", "not effective", "inconclusive", "harmful", "rolled back"}, ch.State.S) {
		return
	}
	if ch.Criterion.Set() || isNew(ch) || tooLate(p, rec, ch) || ch.Opened.Set() && ch.Opened.T.After(p.AsOf) {
		return
	}
	if !ch.Before.Set() && !ch.Characteristic.Set() && slices.ContainsFunc(ch.Also, func(e ledger.Evidence) bool { return e.Before.Set() }) {
		return // judged by what stands under also
	}
	before := lookUp(p, ch.Before)
	if before.elsewhere {
		return
	}
	fix := "measure parts from before the change if there are some left; else say with criterion how it is judged"
	if ch.State.S == "in progress" {
		fix = "stop and measure at least 3, better 5, consecutive parts before more is touched; or say with criterion how the change is judged"
	}
	if before.lack != "" {
		p.Report(rec, firstSet(ch.Before.Span, ch.State.Span), lint.Found{
			Message: fmt.Sprintf("%s is %s, but %s", rec.ID(), ch.State.S, before.lacks("before")), Fix: fix,
		})
	}
}

// tooLate reports readings before that were taken after the work, or, where the
// day of the work is not known, after the readings after.
func tooLate(p *lint.Pass, rec *ledger.Record, ch *ledger.Change) bool {
	o := p.S.OrderOf(ch.Done, ch.Before, ch.After)
	switch {
	case o.BeforeLate:
		p.Report(rec, ch.Before.Span, lint.Found{
			Message: fmt.Sprintf("the readings before %s, %s, were taken on %s, after the change was carried out on %s", rec.ID(), o.Before.ID(), o.On, ch.Done),
			Fix:     "name readings from before the work, or put the wrong day right",
			Related: []lint.Place{{Rec: o.Before, Span: o.On.Span, Message: "day of the readings"}, {Rec: rec, Span: ch.Done.Span, Message: "day of the work"}},
		})
	case o.Swapped:
		p.Report(rec, ch.Before.Span, lint.Found{
			Message: fmt.Sprintf("the readings before %s, %s, were taken on %s, later than those after, %s on %s", rec.ID(), o.Before.ID(), o.On, o.After.ID(), o.Then),
			Fix:     "name the readings the right way round, or put the wrong day right",
			Related: []lint.Place{{Rec: o.Before, Span: o.On.Span, Message: "day of the readings before"}, {Rec: o.After, Span: o.Then.Span, Message: "day of the readings after"}},
		})
	default:
		return false
	}
	return true
}

// isNew reports whether the change says that it is about a new product.
func isNew(ch *ledger.Change) bool {
	for _, t := range []ledger.Text{ch.Title, ch.Factor, ch.Several, ch.Complaint} {
		if strings.Contains(strings.ToLower(t.S), "new product") {
			return true
		}
	}
	return false
}
