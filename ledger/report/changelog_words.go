package report

import (
	"fmt"
	"strings"

	"tenths/ledger/study"
)

// caveat says what the state of a change claims and its readings do not show;
// empty if there is nothing to say.
func (b *entryBuilder) caveat(measured bool) string {
	var own *study.Evidence
	for _, ev := range b.s.Evidence(b.rec) {
		if ev.Primary && (ev.Before != nil || ev.After != nil) {
			own = ev
		}
	}
	says := func(want study.Effect) string {
		switch {
		case !measured:
			return ""
		case own == nil:
			return "no readings of what it was meant to improve"
		case own.Effect != want:
			return "the readings by themselves: " + string(own.Effect)
		}
		return ""
	}
	switch b.ch.State.S {
	case "verified effective":
		return says(study.Better)
	case "harmful":
		return says(study.Worse)
	case "not effective":
		if own != nil && own.Effect == study.Better {
			return "the readings by themselves: " + string(own.Effect)
		}
	case "done":
		return "no verdict yet"
	case "rolled back":
		if own == nil || own.Back == nil {
			return "no readings show that all is again as it was"
		}
	}
	return ""
}

// outcome says for customers what came out.
func outcome(e Entry) string {
	switch e.State {
	case "verified effective":
		switch {
		case len(e.Results) == 0:
			return "done; judged without readings before and after"
		case e.Caveat != "":
			return "done; readings before and after do not show by themselves that it helped"
		case e.ElseChanged > 0:
			return "better, and readings before and after show it; whether by this alone is not sure"
		}
		return "it helped, and readings before and after show it"
	case "done":
		return "done; whether it helped is not known yet"
	case "not effective":
		return "tried, and it did not help"
	case "inconclusive":
		return "tried, and we cannot tell whether it helps"
	case "harmful":
		return "tried, and it made things worse"
	case "rolled back":
		return "tried and taken back"
	}
	return e.State
}

// plainResult is a result for customers: what was measured on how many pieces,
// and what that shows.
func (b *entryBuilder) plainResult(ev *study.Evidence) Result {
	r := Result{What: b.take(ev.CharRec, ev.Char.Title), Effect: string(ev.Effect), Note: b.takeNote(ev)}
	switch {
	case ev.C.Before.N > 0 && ev.C.After.N > 0:
		r.N = []int{ev.C.Before.N, ev.C.After.N}
	case ev.HasCounts:
		r.N = []int{ev.Before.Count.Of, ev.After.Count.Of}
	}
	r.Text = piecesWords(r.N) + string(ev.Effect)
	return r
}

// how says to makers how something was measured, and what was not alike before
// and after.
func (b *entryBuilder) how(ev *study.Evidence) string {
	if ev.Before == nil || ev.After == nil {
		return ""
	}
	var parts []string
	kind := func(g *study.Group) string {
		if g.Gauge == nil {
			return ""
		}
		return b.take(g.Gauge.GaugeRec, g.Gauge.Gauge.Type)
	}
	before, after := kind(ev.Before), kind(ev.After)
	switch {
	case before == "" && after == "":
	case ev.Before.In.Gauge.S == ev.After.In.Gauge.S:
		parts = append(parts, "same gauge before and after ("+before+")")
	default:
		text := "another gauge after than before"
		switch {
		case before == after && before != "":
			text += " (each a " + before + ")"
		case before != "" && after != "":
			text += " (" + before + ", then " + after + ")"
		}
		if ev.C.UGauge > 0 {
			text += ", whose uncertainties are in the interval"
		}
		parts = append(parts, text)
	}
	if picked := ev.Before.In.Picked.S; picked == ev.After.In.Picked.S && picked != "" {
		parts = append(parts, map[string]string{"consecutive": "consecutive pieces", "by lot": "pieces by lot", "all": "all pieces", "picked": "picked pieces"}[picked])
	}
	if by := ev.Before.In.By; by.Set() && by.S == ev.After.In.By.S {
		parts = append(parts, "same person")
	}
	if ev.Paired {
		parts = append(parts, "the same pieces before and after")
	}
	for _, m := range ev.Mismatches() {
		switch m.What {
		case "gauge":
		case "person":
			parts = append(parts, "another person after than before")
		case "picking":
			parts = append(parts, "pieces picked out, which flatters or spoils a result")
		default:
			parts = append(parts, "not alike: "+m.What)
		}
	}
	return strings.Join(parts, "; ")
}

// causeName is the word before a cause.
func (e Entry) causeName() string {
	switch e.CauseStanding {
	case "suspected":
		return "why (suspected)"
	case "excluded":
		return "thought to be why, and it is not"
	}
	return "why"
}

// facts lists what is told of a change, in order.
func (e Entry) facts() []fact {
	var out []fact
	add := func(name, text string) {
		if text != "" {
			out = append(out, fact{name, text})
		}
	}
	add("since then", e.News)
	if e.Outcome != "" {
		add("you will notice", e.Notice)
	} else {
		add("owners notice", e.Notice)
	}
	add("changed", e.Kind)
	add(e.causeName(), e.Cause)
	name := "result"
	if e.Outcome != "" {
		name = "measured"
	}
	for _, r := range e.Results {
		text := r.Text
		if !strings.HasPrefix(text, r.What) {
			text = r.What + ": " + text
		}
		add(name, joinSentences(text, r.Note, r.How))
	}
	if len(e.Results) == 0 {
		add("judged by", orWord(e.Criterion, "no readings before and after"))
	}
	add("but", e.Caveat)
	if e.WorsePoints > 0 {
		add("got worse", fmt.Sprintf("%d measured %s", e.WorsePoints, plural(e.WorsePoints, "point")))
	}
	if e.ElseChanged > 0 {
		add("not alone", fmt.Sprintf("%d other %s changed at the same time, so the result may not be due to this change", e.ElseChanged, plural(e.ElseChanged, "thing")))
	}
	add("side effects", e.SideEffects)
	add("lesson", e.Lesson)
	add("older units", e.OlderUnits)
	add("applies from", e.AppliesFrom)
	for _, c := range e.Corrections {
		add("correction "+c.On, c.Text)
	}
	return out
}

// heading is the line above an entry: its title, for customers the product.
func (e Entry) heading() string {
	if e.Outcome != "" {
		return orWord(e.Part, "Improvement")
	}
	return e.Title
}

// short is the line of an entry in a table of all: for customers what they
// notice, up to the end of the first sentence.
func (e Entry) short() string {
	if e.Outcome == "" {
		return e.Title
	}
	if i := strings.IndexAny(e.Notice, ".;"); i > 0 {
		return e.Notice[:i]
	}
	return e.Notice
}

// when is the month or day of the work.
func (e Entry) when() string {
	text := orWord(e.Date, "no date")
	if e.RolledBack != "" {
		text += ", undone " + e.RolledBack
	}
	return text
}

// said is what came out, in the words of those who read it.
func (e Entry) said() string { return orWord(e.Outcome, e.State) }

// title is the heading of the log.
func (l *Log) title() string {
	switch {
	case l.Public && l.Publisher != "":
		return "Improvements by " + l.Publisher
	case l.Public:
		return "Improvements"
	}
	return "Shop improvements"
}

// period says which time the log covers, and what stands in it.
func (l *Log) period() string {
	text := "As of " + l.AsOf
	switch {
	case l.SinceRevision != nil:
		r := l.SinceRevision
		text += ", what became known since " + r.Name + " (" + r.Commit[:min(12, len(r.Commit))] + " of " + r.On + ")"
		if !r.Ledger {
			text += ", when there was no ledger in this folder"
		}
	case l.compared:
		text += ", what became known since " + l.Since
	case l.Since != "" && l.Until != "":
		return text + ", work done from " + l.Since + " to " + l.Until + "." + honest
	case l.Since != "":
		text += ", work done since " + l.Since
	}
	if l.Until != "" {
		text += ", work done until " + l.Until
	}
	return text + "." + honest
}

// honest says that the list is no selection of successes.
const honest = " What did not help, and what could not be told, is listed too."

// leftOut says how much customers are not told of.
func (l *Log) leftOut() string {
	if l.LeftOut == 0 {
		return ""
	}
	return fmt.Sprintf("Left out here: %d more %s in the workshop, of which owners of the product notice nothing.", l.LeftOut, plural(l.LeftOut, "change"))
}

// gone are the sentences on what was withdrawn.
func (l *Log) gone() []string {
	var out []string
	for _, w := range l.Withdrawn {
		out = append(out, w.Change+" was listed then ("+w.State+") and is withdrawn.")
	}
	return out
}

// totals is the table of what came out; nil if there is nothing to count.
func (l *Log) totals() [][]string {
	rows := [][]string{{"what came out", "changes"}}
	for _, t := range l.Totals {
		state := t.State
		if l.For == Customers {
			state = outcomeShort[t.State]
		}
		if t.N > 0 {
			rows = append(rows, []string{state, fmt.Sprint(t.N)})
		}
	}
	if len(rows) == 1 {
		return nil
	}
	return rows
}

// outcomeShort are the states in words for customers.
var outcomeShort = map[string]string{
	"verified effective": "done, and judged to help", "done": "done, not judged yet", "not effective": "tried, did not help",
	"inconclusive": "tried, cannot be told", "harmful": "tried, made things worse", "rolled back": "tried and taken back",
}
