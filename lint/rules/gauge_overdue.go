package rules

import (
	"fmt"
	"time"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var gaugeOverdue = &lint.Rule{
	Name:     "gauge-overdue",
	Severity: lint.Warning,
	Title:    "a gauge was used on a day on which no good check of it was in force",
	Page: lint.Page{
		What: "The day of the readings is compared with the checks of the gauge: on that day, and not today, a check that conformed must have been made and not yet be due again. " +
			"Readings for set-up give a note. Gauge blocks are the standard itself and are left out here.",
		Why:     "The number may be right, but nothing shows it; one failed check later makes all such readings doubtful.",
		Formula: "check <= day of the readings <= due; due as stated, else check + interval of the gauge, else of the ledger, else 12 months.",
		Source:  "ISO 9001:2015, 7.1.5.2; ISO 10012. Intervals: ILAC-G24.",
		Cure:    "Have the gauge checked, as found, before anything is adjusted: if it conforms then, that check clears the readings. Or say on which block the gauge was checked that day (checked_against).",
		Concede: "When the readings decided nothing after all, or another gauge confirmed them: concede it in the inspection with that reason.",
	},
	Check: checkGaugeOverdue,
}

func checkGaugeOverdue(p *lint.Pass) {
	eachInspection(p, func(rec *ledger.Record, in *ledger.Inspection) {
		g := p.S.Gauging(rec)
		// A day that is only about known cannot be compared with a check.
		if g == nil || in.On.About || g.CheckedSameDay || study.IsBlocks(g.Gauge) || checkWithoutDay(g.Gauge) {
			return
		}
		f := lint.Found{Softer: in.Purpose.S == "set-up"}
		id, day := g.GaugeRec.ID(), in.On
		switch g.Standing {
		case study.Overdue:
			if g.Rescue != nil {
				return
			}
			f.Message = fmt.Sprintf("%s was due for a check on %s, %s before these readings of %s", id, g.Due.Format(time.DateOnly), days(g.Late()), day)
			f.Numbers = []lint.Number{{Name: "overdue", Q: count(g.Late(), "days")}}
		case study.NeverChecked:
			f.Message = fmt.Sprintf("%s had never been checked when it was used on %s", id, day)
			f.Fix = fmt.Sprintf("have %s checked before it is used", id)
			if g.Rescue != nil {
				f.Fix = fmt.Sprintf("check a gauge before its first use; if %s was not touched until its check of %s, concede these readings with that reason", id, g.Rescue.On)
			}
		case study.Failed:
			f.Message = fmt.Sprintf("%s did not conform at its last check before these readings of %s, and nothing was adjusted", id, day)
			if g.Last.Result.S == "conforms" {
				f.Message = fmt.Sprintf("%s is marked as failed, and these readings of %s come after its last check that says otherwise", id, day)
			}
		case study.ReferenceOnly:
			if in.Purpose.S == "set-up" || in.Purpose.S == "trial" {
				return
			}
			f.Message = fmt.Sprintf("%s is for reference only, but these readings of %s decide something (purpose %s)", id, day, purpose(in))
			f.Fix = "measure with a gauge that is checked, or set purpose to set-up or trial"
		default:
			return
		}
		if f.Fix == "" {
			f.Fix = fmt.Sprintf("have %s checked as found; if it conforms, that clears the readings. Or name the standard it was checked on that day (checked_against)", id)
			if g.Standing == study.Failed {
				f.Fix = fmt.Sprintf("measure again with a gauge that conforms; enter the adjustment of %s (as_left) if there was one", id)
			}
		}
		if g.Last != nil {
			f.Related = append(f.Related, lint.Place{Rec: g.GaugeRec, Span: g.Last.On.Span, Message: fmt.Sprintf("last check of %s: %s, %s", id, g.Last.On, result(g.Last))})
		} else if first := firstCheck(p, g.Gauge); first != nil {
			f.Related = append(f.Related, lint.Place{Rec: g.GaugeRec, Span: first.On.Span, Message: fmt.Sprintf("first check of %s: %s, %s", id, first.On, result(first))})
		}
		if in.CheckedOn.Set() {
			f.Related = append(f.Related, lint.Place{Rec: rec, Span: in.CheckedOn.Span, Message: fmt.Sprintf("it was checked on %s that day, which had no good check in force itself", in.CheckedOn.S)})
		}
		p.Report(rec, in.Gauge.Span, f)
	})
}

// checkWithoutDay reports whether the day of a check could not be read, which is
// told there.
func checkWithoutDay(g *ledger.Gauge) bool {
	for _, c := range g.Calibration {
		if !c.On.Set() {
			return true
		}
	}
	return false
}

func purpose(in *ledger.Inspection) string {
	if in.Purpose.S == "" {
		return "acceptance"
	}
	return in.Purpose.S
}

func result(c *ledger.Calibration) string {
	if c.Result.S == "" {
		return "no result"
	}
	return c.Result.S
}

func days(n int) string {
	if n == 1 {
		return "1 day"
	}
	return fmt.Sprintf("%d days", n)
}

// firstCheck is the first check of a gauge up to the day asked for.
func firstCheck(p *lint.Pass, g *ledger.Gauge) *ledger.Calibration {
	var first *ledger.Calibration
	for i := range g.Calibration {
		c := &g.Calibration[i]
		if c.On.By(p.AsOf) && (first == nil || c.On.T.Before(first.On.T)) {
			first = c
		}
	}
	return first
}
