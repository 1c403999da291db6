package rules

import (
	"fmt"
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var changeUndone = &lint.Rule{
	Name:     "change-undone",
	Severity: lint.Warning,
	Title:    "what a proven change made was altered, and no change says so",
	Page: lint.Page{
		What: "From git, before a commit: a value at a place that a change of state verified effective touches (touches) is not the one last committed, and no other change speaks of it. " +
			"A change speaks of it if it touches the same place and is proposed, agreed or in progress, or if its own record is new or altered too. What counts is what a change sets: type, place, size, land, relief, height, how it is made and held, role and life of a tool, gauge, method, coating, coolant; not titles, notes, standing, counts, or what was measured, such as a survey.",
		Why:     "An odd pin is there for a reason that was paid for and measured. Whoever makes it ordinary again without knowing brings the fault back, and nobody will remember why.",
		Source:  "A rule of our own; that what rests on a change is looked at before it is altered: common practice of configuration management (ISO 10007, from memory).",
		Cure:    "Put the old value back; or write a change that touches the place, with its reason and its readings before and after (tenths new change), and commit both together. If the value was only written wrongly, alter the change that made it as well, so that both say the same.",
		Concede: "When a slip of the pen was put right: say so. After the commit the rule is silent, and without git it never speaks.",
	},
	Check: func(p *lint.Pass) {
		for _, u := range p.S.Undone() {
			reportUndone(p, u)
		}
	},
}

func reportUndone(p *lint.Pass, u study.Undone) {
	var keys []string
	for _, k := range u.Keys[:min(len(u.Keys), shownPlaces)] {
		switch {
		case k.Was == "" && k.Is == "":
			keys = append(keys, "it is gone")
		case k.Was == "":
			keys = append(keys, fmt.Sprintf("%s %s is new", k.Key, k.Is))
		case k.Is == "":
			keys = append(keys, fmt.Sprintf("%s %s is gone", k.Key, k.Was))
		default:
			keys = append(keys, fmt.Sprintf("%s %s -> %s", k.Key, k.Was, k.Is))
		}
	}
	if more := len(u.Keys) - len(keys); more > 0 {
		keys = append(keys, fmt.Sprintf("%d more", more))
	}
	var ids []string
	f := lint.Found{}
	for _, rec := range u.Because {
		ids = append(ids, fmt.Sprintf("%s (%s)", rec.ID(), rec.Common.Title.S))
		ch := rec.Data.(*ledger.Change)
		why := ch.Factor.S
		if ch.Lesson.Set() {
			why = ch.Lesson.S
		}
		f.Related = append(f.Related, lint.Place{Rec: rec, Span: firstSet(ch.State.Span, rec.Common.ID.Span), Message: strings.TrimSuffix("why it is so: "+why, ": ")})
	}
	f.Message = fmt.Sprintf("%s is altered since the last commit (%s), and no change says so; it stands as it is because of %s", u.Path, strings.Join(keys, "; "), listed(ids))
	f.Fix = fmt.Sprintf("put it back; or write a change that touches %s, with its reason, and commit both together", u.Path)
	p.Report(u.Rec, u.Keys[0].At, f)
}
