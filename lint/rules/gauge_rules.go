package rules

import (
	"fmt"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

// gaugeRules are the rules about plugs and pins, about what becomes of gauges,
// and about reamers.
func gaugeRules() []*lint.Rule {
	return []*lint.Rule{
		gaugeShare, gaugeSign, plugAsNumber, gaugeNotThere, lookbackMissing, asFoundMissing, reamerSize, reamingStock,
	}
}

// accepts reports whether an inspection decides parts, by what it says it is for.
func accepts(in *ledger.Inspection) bool {
	return purpose(in) == "acceptance" || purpose(in) == "first-off"
}

// partName is what a limit gauge is for.
func partName(hole bool) string {
	if hole {
		return "hole"
	}
	return "shaft"
}

// fromTo prints two limits: "0.1877..0.1879 in".
func fromTo(low, high quantity.Quantity) string {
	return digits(low, high) + ".." + high.String()
}

// digits is the number of q alone, with the unit and the decimals of like.
func digits(q, like quantity.Quantity) string {
	u := like.Unit()
	return strings.TrimSuffix(q.Format(u, max(q.Decimals(), like.Decimals(), 0)), " "+u.Name())
}

// usedFor counts what a gauge was used for: "3 inspections and 1 survey".
func usedFor(uses []study.GaugeUse) string {
	var n [3]int
	for _, u := range uses {
		n[u.Kind]++
	}
	var out []string
	for _, k := range []struct {
		kind      study.UseKind
		one, many string
	}{
		{study.UsedForReadings, "inspection", "inspections"}, {study.UsedForSurvey, "survey", "surveys"}, {study.UsedForCheck, "check of another gauge", "checks of other gauges"},
	} {
		if c := n[k.kind]; c > 0 {
			out = append(out, fmt.Sprintf("%d %s", c, plural(c, k.one, k.many)))
		}
	}
	return listed(out)
}

// usePlaces lists uses of a gauge as places; the message has the number of all.
func usePlaces(uses []study.GaugeUse) []lint.Place {
	var out []lint.Place
	for _, u := range uses[:min(len(uses), shownPlaces)] {
		out = append(out, lint.Place{Rec: u.Rec, Span: u.At, Message: useName(u) + " of " + u.On.String()})
	}
	return out
}

// useName is what a gauge was used for, in words.
func useName(u study.GaugeUse) string {
	switch u.Kind {
	case study.UsedForSurvey:
		return "survey of " + u.Of
	case study.UsedForCheck:
		return "check of " + u.Of
	}
	if u.In.Characteristic.Set() {
		return "readings of " + u.In.Characteristic.S
	}
	return "readings"
}
