package rules

import (
	"fmt"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var predictionLate = &lint.Rule{
	Name:     "prediction-late",
	Severity: lint.Note,
	Title:    "a prediction that was written when the result was known",
	Page: lint.Page{
		What: "The prediction of a change, held against the readings after: its day (predicted_on) must not be later than theirs; and in git it must not be new or altered in a commit that was built on one with the readings, " +
			"in that commit itself if another one stood there before, or on a later day.",
		Why:     "A prediction earns trust only if it could have failed; one that is written to the result teaches nothing about the model, and does not count in the record of how good predictions are.",
		Formula: "As for goal-moved: the order in which commits were built on each other, and days only where the commits around do not contradict them. The same value in another unit is the same prediction.",
		Source:  "That a prediction is written down before its test: common practice.",
		Cure:    "Write it with tenths predict --write and commit it before the work; it refuses once the readings after are in the ledger. One that was computed again afterwards says so (recomputed).",
		Concede: "When it was made in time on paper, and only typed later: say so. Where git shows no earlier text the rule is silent, as goal-moved is.",
	},
	Check: func(p *lint.Pass) {
		for _, rec := range p.L.Records {
			l := p.S.PredictionLate(rec)
			if l == nil {
				continue
			}
			ch := rec.Data.(*ledger.Change)
			f := lint.Found{
				Fix:     "if it was computed again, say so and why in recomputed; if it is older and was only typed late, concede it with where it was written",
				Related: []lint.Place{{Rec: l.Result, Message: "readings after"}},
			}
			result := "the readings after, " + l.Result.ID()
			switch {
			case l.By == nil:
				f.Message = fmt.Sprintf("%s predicts %s on %s, and %s, are of %s", rec.ID(), l.Is, ch.PredictedOn, result, l.On)
			case l.Was == "":
				f.Message = fmt.Sprintf("the prediction of %s was written when the result was known: %s; %s, came in before (%s)", rec.ID(), becameNow(*l), result, committed(l.Known))
			case l.Lateness == study.After:
				f.Message = fmt.Sprintf("the prediction of %s was altered when the result was known: from %q when %s, came in (%s) to %s", rec.ID(), l.Was, result, committed(l.Known), becameNow(*l))
			case l.Lateness == study.Together:
				f.Message = fmt.Sprintf("the prediction of %s was altered together with the result: from %q to %q in the commit that brought %s (%s)", rec.ID(), l.Was, l.Is, result, committed(l.By))
			default:
				f.Message = fmt.Sprintf("the prediction of %s was altered later than the day of the readings: from %q to %s; %s, are of %s", rec.ID(), l.Was, becameNow(*l), result, l.On)
			}
			p.Report(rec, l.At, f)
		}
	},
}
