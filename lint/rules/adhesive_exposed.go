package rules

import (
	"fmt"
	"strings"
	"time"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var adhesiveExposed = &lint.Rule{
	Name:     "adhesive-exposed",
	Severity: lint.Warning,
	Title:    "a glued locator that meets what its adhesive does not bear, or work before it has cured",
	Page: lint.Page{
		What: "A locator held by plain instant adhesive (cyanoacrylate) whose exposed_to names heat, water or coolant, or solvent; and welding, heat, solvent or machining on a glued locator, its station or its fixture, of whatever adhesive, within the cure time that the locator gives (cure).",
		Why:  "The pin turns or lifts under the first side load, and nothing shows it until a part is measured.",
		Formula: "Plain instant adhesive keeps about half its strength at 80 °C (176 °F). The cure counts from the step that glues the locator, else from the day of its present state: 8 h on that day itself, 24 h for each day after it. " +
			"On that same day only steps written below the gluing one count.",
		Source:  "About half the strength at 80 °C, poor in water: a maker's resistance page for cyanoacrylates (permabond.com); softened by solvent, no load before the cure: common practice. The cure time is that of the maker's data sheet.",
		Cure:    "Anaerobic retaining compound, a press fit, a sleeve or a screw where heat or coolant comes; heat, solvent and cutting only after the cure. Cautions for glue and solvent: ventilation, no flame, eyes and skin; the sheet of the product and local rules decide.",
		Concede: "Anaerobic retaining compound and epoxy are left in peace where coolant comes, and work is not judged where the cure time or the day is not given. Concede where the joint was proof-loaded or surveyed afterwards and held.",
	},
	Check: func(p *lint.Pass) {
		eachLocator(p, func(rec *ledger.Record, st *ledger.Station, loc *ledger.Locator) {
			if met := p.S.BadlyMet(loc); met != nil {
				reportMet(p, rec, st, loc, met)
			}
		})
		for _, e := range p.S.EarlyWork() {
			reportEarly(p, e)
		}
	},
}

func reportMet(p *lint.Pass, rec *ledger.Record, st *ledger.Station, loc *ledger.Locator, met []study.Meets) {
	var what, why []string
	for _, m := range met {
		what = append(what, m.What)
		switch m.What {
		case "heat":
			why = append(why, "about half its strength is left at 80 °C")
		case "solvent":
			why = append(why, "solvent softens it")
		default:
			why = append(why, "it is poor in water")
		}
	}
	p.Report(rec, met[0].At, lint.Found{
		Message: fmt.Sprintf("%s is held by plain instant adhesive and meets %s: %s", locatorIs(rec, st, loc), listed(what), strings.Join(why, ", ")),
		Fix:     "anaerobic retaining compound (by its data sheet), a press fit, a sleeve or a screw; then survey the pin",
		Related: []lint.Place{{Rec: rec, Span: firstSet(loc.Adhesive.Span, loc.HeldBy.Span), Message: "how it is held"}},
	})
}

func reportEarly(p *lint.Pass, e study.EarlyWork) {
	first := e.Joints[0]
	found := lint.Found{Numbers: []lint.Number{{Name: "elapsed", Q: first.Elapsed}, {Name: "cure", Q: first.Cure}}}
	for _, j := range e.Joints {
		since := "was glued on"
		if j.Since {
			since = "is as it stands since"
		}
		found.Related = append(found.Related, lint.Place{Rec: j.Rec, Span: j.Now.CureDays.Span,
			Message: fmt.Sprintf("%s %s %s; its adhesive needs %s", locatorIs(j.Rec, j.Station, j.Locator), since, j.Glued.Format(time.DateOnly), j.Cure)})
	}
	had := "glued on " + first.Glued.Format(time.DateOnly)
	switch {
	case first.Since:
		had = "the pin is as it stands since " + first.Glued.Format(time.DateOnly)
	case !first.Glued.Before(e.Step.Day.T):
		had = "glued the same day"
	}
	found.Message = fmt.Sprintf("%s of %s, %s on %s, comes before the adhesive of %s has cured: %s, and it needs %s",
		stepName(fmt.Sprintf("step %d", e.N), e.Step.Title, e.Step.Does), e.Rec.ID(), e.What, e.Step.Day, jointsAre(e.Joints), had, first.Cure)
	found.Fix = "heat, solvent and cutting before the gluing or after the cure; where it is done already, survey the pins, try them by hand, and glue again what has moved"
	p.Report(e.Rec, e.Step.Day.Span, found)
}

// jointsAre names the glued locators of a step, station by station.
func jointsAre(joints []study.Joint) string {
	var out, ids []string
	for i, j := range joints {
		ids = append(ids, j.Locator.ID.S)
		if i+1 == len(joints) || joints[i+1].Station != j.Station {
			out = append(out, fmt.Sprintf("%s of station %s of %s", listed(ids), j.Station.ID.S, j.Rec.ID()))
			ids = nil
		}
	}
	return listed(out)
}
