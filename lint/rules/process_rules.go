package rules

import (
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

// processRules are the rules about locating, plans, work and changes.
func processRules() []*lint.Rule {
	return []*lint.Rule{
		beforeMissing, cautionMissing, derivedOutside, derivedStale, drilledLocator, effectiveUnproven, formulaBroken, locatingFreedom, locatorsBind,
		reliefDirection, reliefLand, roughAfterFinish, supersededInPlan, usedBeforeMade, warmFit, workLead, wornFinisher,
	}
}

// eachStation visits the stations of the fixtures that somebody works on, with
// the study of their pins. A station for a part that is only a draft is left out.
func eachStation(p *lint.Pass, visit func(rec *ledger.Record, st *ledger.Station, l *study.Locating)) {
	for _, rec := range p.L.Records {
		fx, ok := rec.Data.(*ledger.Fixture)
		if !ok || rec.Quiet() || p.S.Gone(rec) {
			continue
		}
		for i := range fx.Stations {
			l := p.S.Locating(rec, &fx.Stations[i])
			if l.Part == nil || !l.Part.Quiet() {
				visit(rec, &fx.Stations[i], l)
			}
		}
	}
}

// eachPlan visits the plans that somebody works by, or worked by until they
// ended.
func eachPlan(p *lint.Pass, visit func(rec *ledger.Record, plan *ledger.Plan)) {
	for _, rec := range p.L.Records {
		if plan, ok := rec.Data.(*ledger.Plan); ok {
			if _, _, live := p.S.PlanDay(rec); live {
				visit(rec, plan)
			}
		}
	}
}

// firstSet gives the first place that is there.
func firstSet(places ...ledger.Span) ledger.Span {
	for _, at := range places {
		if at.Set() {
			return at
		}
	}
	return ledger.Span{}
}

// listed joins names: "H1", "H1 and H2", "H1, H2 and H3".
func listed(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}
