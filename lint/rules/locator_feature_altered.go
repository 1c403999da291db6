package rules

import (
	"fmt"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var locatorFeatureAltered = &lint.Rule{
	Name:     "locator-feature-altered",
	Severity: lint.Error,
	Title:    "a locating feature that is changed between two operations that need it",
	Page: lint.Page{
		What:    "For every feature that locates the part in several operations of a plan (locates_on, else what the locators of the station engage): an operation between them that alters it (alters), makes it again (makes), cuts it (surface with cut), or whose words say that it coats or heat-treats the part.",
		Why:     "The part no longer sits where the first operations put it, and everything cut afterwards stands off from everything cut before.",
		Formula: "The clearance that is given is hole less pin at the station of the next operation, from the sizes as made and surveyed, else from the limits.",
		Source:  "No change between the first and the last use unless measured again: common practice.",
		Cure:    "Move the operation behind the last one that locates on the feature, or measure the feature again before that one and write it under checks.",
		Concede: "What stays clear of the locators, such as a chamfer at a mouth that no pin reaches, is written as clear_of_locators = true and left alone; so is a masked hole under a coating, and a feature that is checked (checks) up to its next use. Concede where it was shown that the part sits as before, and say how.",
	},
	Check: func(p *lint.Pass) {
		eachPlan(p, func(rec *ledger.Record, _ *ledger.Plan) {
			for _, a := range p.S.Altered(rec) {
				reportAltered(p, rec, a)
			}
		})
	},
}

func reportAltered(p *lint.Pass, rec *ledger.Record, a study.Altered) {
	plan := rec.Data.(*ledger.Plan)
	var names []string
	found := lint.Found{}
	fit := ""
	for _, f := range a.Features {
		names = append(names, f.Feature)
		if fit == "" && !f.Fit.Max.IsZeroValue() {
			fit = fmt.Sprintf("; before that, %s %s", f.Feature, clearanceIs(f.Fit, a.After))
			found.Numbers = []lint.Number{{Name: "clearance_min", Q: f.Fit.Min}, {Name: "clearance_max", Q: f.Fit.Max}}
		}
	}
	used := fmt.Sprintf("after %s has located on %s", a.Before.ID.S, plural(len(names), "it", "them"))
	if a.Before == a.Op {
		used = fmt.Sprintf("while it locates on %s itself", plural(len(names), "it", "them"))
	}
	found.Message = fmt.Sprintf("%s %s %s of %s %s, and %s locates on %s again without a check%s",
		stepName(a.Op.ID.S, a.Op.Title, a.Op.Does), a.How, listed(names), plan.Part.S, used, a.After.ID.S, plural(len(names), "it", "them"), fit)
	found.Fix = fmt.Sprintf("move %s behind the last operation that locates on %s; or measure %s again before %s (checks); if it stays clear of where the locators touch, write clear_of_locators = true",
		a.Op.ID.S, listed(names), plural(len(names), "it", "them"), a.After.ID.S)
	found.Related = []lint.Place{
		{Rec: rec, Span: firstSet(a.Before.Fixture.Span, a.Before.ID.Span), Message: fmt.Sprintf("%s locates on %s", a.Before.ID.S, listed(names))},
		{Rec: rec, Span: firstSet(a.After.Fixture.Span, a.After.ID.Span), Message: fmt.Sprintf("%s locates on %s", a.After.ID.S, listed(names))},
	}
	if a.Before == a.Op {
		found.Related = found.Related[1:]
	}
	p.Report(rec, a.Features[0].At, found)
}

// clearanceIs says how a feature fits on the locator of an operation.
func clearanceIs(r study.Range, op *ledger.Operation) string {
	if r.Min.Sign() < 0 {
		return fmt.Sprintf("has from %s too little to %s of clearance on its pin in %s", r.Min.Abs(), r.Max, op.ID.S)
	}
	return fmt.Sprintf("has %s of clearance on its pin in %s", span(r), op.ID.S)
}
