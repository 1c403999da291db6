package rules

import (
	"fmt"
	"slices"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var goalMoved = &lint.Rule{
	Name:     "goal-moved",
	Severity: lint.Warning,
	Title:    "what a change is judged by was altered when its result was known",
	Page: lint.Page{
		What: "From git: the goal, the criterion, the characteristic, the points and the claim of a change, and the limits and the goal of the characteristic as they held on the day of the readings, as they stood when the readings after were committed, and as they stand now. " +
			"Of a change that is judged by a criterion without readings: when its verdict was committed. What was altered in the very commit that brought the readings, or later than their day but before that commit, is a note: a text may be older than its commit.",
		Why: "A target that is painted round the arrow is always hit, and whoever reads the result later believes it.",
		Formula: "One commit is later than another if it was built on it, whatever the clocks say; a day counts only if the days of the commits around it do not contradict it. " +
			"Wordings are the same if their numbers are, with their units, and their words but for a slip of one letter in four.",
		Source: "That a goal is fixed before the readings: common practice. That a limit holds from its day on: ISO 10007, effectivity (from memory).",
		Cure: "Put back what was asked for and call the result what it is; a new goal belongs to the next change. Limits that were altered on purpose keep their old value with its last day (was). " +
			"Commit the goal before you measure.",
		Concede: "When a slip was put right and nobody was judged by it: say what it was. Where git shows no earlier text the rule is silent: without git, beyond the cut of a shallow clone, " +
			"and for a record that was first committed when its readings were, such as one from old notes. Other branches are not looked at.",
	},
	Check: func(p *lint.Pass) {
		type shared struct {
			late    study.Late
			changes []string
		}
		var limits []*shared
		for _, rec := range p.L.Records {
			for _, l := range p.S.GoalMoved(rec) {
				if l.Rec == rec {
					reportMoved(p, l, rec.ID(), "put it back and call the result what it is; a new goal belongs to the next change. A slip that was put right is conceded, with what it was")
					continue
				}
				// One edit of a limit is one finding, however many changes were judged by it.
				i := slices.IndexFunc(limits, func(s *shared) bool { return s.late.Rec == l.Rec && s.late.What == l.What })
				if i < 0 {
					i, limits = len(limits), append(limits, &shared{late: l})
				}
				limits[i].changes = append(limits[i].changes, rec.ID())
			}
		}
		for _, s := range limits {
			reportMoved(p, s.late, listed(s.changes), "put it back; or, if it was altered on purpose, keep the old value with its last day (was), so that older readings are held to what held then")
		}
	},
}

// reportMoved says what was altered, and when beside the result of the changes.
func reportMoved(p *lint.Pass, l study.Late, changes, fix string) {
	f := lint.Found{Fix: fix, Softer: l.Lateness < study.After, Related: []lint.Place{{Rec: l.Result, Message: "its result"}}}
	result, stop := "the readings after, "+l.Result.ID(), ","
	if _, ok := l.Result.Data.(*ledger.Change); ok {
		result, stop = "the verdict", ""
	}
	what := l.What
	if l.Rec.Kind() == ledger.KindChange {
		what += " of " + changes
	} else {
		what += ", by which " + changes + " is judged"
	}
	from := fmt.Sprintf("from %q", l.Was)
	if l.Was == "" {
		from = "from none"
	}
	switch l.Lateness {
	case study.After:
		f.Message = fmt.Sprintf("altered when the result was known: %s, %s when %s came in (%s) to %s", what, from, result+stop, committed(l.Known), becameNow(l))
	case study.Together:
		f.Message = fmt.Sprintf("altered together with the result: %s, %s to %q in the commit that brought %s (%s); git cannot tell which was first", what, from, l.Is, result, committed(l.By))
		f.Fix = "commit what is asked for before you measure; if it was altered afterwards, " + fix
	default:
		f.Message = fmt.Sprintf("altered later than the day of the readings: %s, %s to %s; %s are of %s", what, from, becameNow(l), result+stop, l.On)
	}
	at := l.At
	if ch, ok := l.Rec.Data.(*ledger.Change); ok {
		at = firstSet(at, ch.State.Span)
	}
	p.Report(l.Rec, at, f)
}

// becameNow says what something is now, and since which commit.
func becameNow(l study.Late) string {
	is := "none"
	if l.Is != "" {
		is = fmt.Sprintf("%q", l.Is)
	}
	if l.By.Uncommitted {
		return is + ", not committed yet"
	}
	return is + " in " + committed(l.By)
}

// committed names a commit with its day.
func committed(v *ledger.Version) string {
	switch {
	case v.Uncommitted:
		return "not committed yet"
	case v.On.IsZero():
		return "commit " + v.Commit[:min(7, len(v.Commit))]
	}
	return fmt.Sprintf("commit %s of %s", v.Commit[:min(7, len(v.Commit))], v.On.Format("2006-01-02"))
}
