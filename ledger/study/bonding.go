package study

import (
	"slices"

	"tenths/ledger"
)

// Meets is something that a glued joint meets and that its adhesive bears badly.
type Meets struct {
	What string // heat, water or coolant, solvent
	At   ledger.Span
}

// BadlyMet lists what a locator that is held by plain instant adhesive meets
// according to exposed_to: heat, since half its strength is left at 80 °C, water
// and coolant, and solvent (a maker's resistance page; common practice). It is
// empty for every other adhesive, for a locator without, and where the locator
// stood differently on the day.
func (s *Set) BadlyMet(loc *ledger.Locator) []Meets {
	now := ledger.OnDay(*loc, s.AsOf)
	if AdhesiveOf(now) != InstantAdhesive || !asToday(loc, s.AsOf) {
		return nil
	}
	var out []Meets
	for _, e := range now.Exposed {
		for _, what := range exposures(e.S) {
			if !slices.ContainsFunc(out, func(m Meets) bool { return m.What == what }) {
				out = append(out, Meets{what, e.Span})
			}
		}
	}
	return out
}

// What a joint can meet, with the stems of its words.
var exposureStems = []struct {
	what  string
	stems []string
}{
	{"heat", []string{"heat", "hot", "warm", "torch", "weld", "oven", "furnace", "braz", "solder"}},
	{"water or coolant", []string{"coolant", "water", "wet", "wash", "steam", "moist", "humid", "emulsion"}},
	{"solvent", []string{"solvent", "acetone", "alcohol", "degreas", "thinner", "ipa", "isopropanol", "mek"}},
}

func exposures(text string) []string {
	var out []string
	for _, c := range clauses(text) {
		for i, w := range c {
			if denied(c[:i]) {
				break
			}
			for _, e := range exposureStems {
				if hasStem(w, e.stems...) && lastPart(w) != "free" && c.at(i+1) != "free" && !slices.Contains(out, e.what) {
					out = append(out, e.what)
				}
			}
		}
	}
	return out
}
