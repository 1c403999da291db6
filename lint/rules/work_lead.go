package rules

import (
	"fmt"
	"strings"

	"tenths/ledger/study"
	"tenths/lint"
)

var workLead = &lint.Rule{
	Name:     "work-lead",
	Severity: lint.Error,
	Gap:      true,
	Title:    "arc welding on a machine with the work lead not on the work",
	Page: lint.Page{
		What: "Arc welding on something that stands on a machine (where says so) is asked where the work lead is clamped (work_lead): it belongs on the fixture or the work itself, not on the table, the vise, the spindle or the column.",
		Why: "The current takes every way back to the lead: through ways, screws, scales and spindle bearings, which show it weeks later, and through whoever closes the circuit. " +
			"Local codes and licensed practice decide what is required.",
		Source:  "Work lead firmly on the work, and no second path: ANSI Z49.1; as near to the weld as can be, nothing that turns or slides in between: common practice. Local codes and licensed practice decide.",
		Cure:    "Best, take the fixture off the machine. Else clamp the work lead on the piece that is welded, next to the weld, keep spindle and probes out of contact, isolate the control, and write the place into work_lead.",
		Concede: "Work on the bench is told by where = \"on the bench\" and left alone.",
	},
	Check: func(p *lint.Pass) {
		eachStep(p, func(s step) {
			if !s.work.Is(study.Welding) || !s.work.OnMachine {
				return
			}
			on := "the fixture"
			if s.on != "" {
				on, _, _ = strings.Cut(s.on, "/")
			}
			fix := fmt.Sprintf("take %s off the machine, or clamp the work lead on %s itself, next to the weld, with nothing that turns or slides in between (ANSI Z49.1: firmly on the work); then write work_lead = \"on the fixture, next to the weld\"; local codes and licensed practice decide", on, on)
			at, message := s.at, ""
			switch study.LeadOn(s.lead.S) {
			case study.LeadOnWork:
				return
			case study.LeadElsewhere:
				at = s.lead.Span
				message = fmt.Sprintf("%s is arc welding%s with the work lead %q and not on the work: the current can return through ways, screws and spindle bearings", s.name, s.place(), strings.TrimSpace(s.lead.S))
			case study.LeadUnclear:
				at = s.lead.Span
				message = fmt.Sprintf("%s is arc welding%s, and work_lead %q does not say that the lead is on the fixture or the work itself", s.name, s.place(), strings.TrimSpace(s.lead.S))
			case study.LeadNotSaid:
				message = fmt.Sprintf("%s is arc welding%s, and nothing says where the work lead is clamped", s.name, s.place())
			}
			p.Report(s.rec, at, lint.Found{Message: message, Fix: fix, Related: wherePlace(s)})
		})
	},
}

// wherePlace points at the words that put the work on a machine.
func wherePlace(s step) []lint.Place {
	if !s.where.Set() {
		return nil
	}
	return []lint.Place{{Rec: s.rec, Span: s.where.Span, Message: fmt.Sprintf("it is done%s", s.place())}}
}
