package rules

import (
	"fmt"
	"strings"

	"tenths/ledger/study"
	"tenths/lint"
)

var coatingInFit = &lint.Rule{
	Name:     "coating-in-fit",
	Severity: lint.Warning,
	Title:    "a coating that goes into holes that locate, or into narrow limits",
	Page: lint.Page{
		What: "The holes, bores, shafts, slots and threads of a coated part (coating, film) that are neither listed under masked nor finished after the coating by their made_by: those that a locator goes into, and those whose limits are narrower than what the film takes.",
		Why:  "Parts that are perfect when bare do not go together, or no longer on the fixture, after the coater.",
		Formula: "A film of thickness t closes a hole by t in diameter where half of it grows outward (anodize), and by 2 t where all of it lies on the surface (lacquer, paint, plating); where the words do not tell, by t to 2 t. A shaft grows by as much. " +
			"The pitch diameter of a 60 deg thread changes by twice that. Without a film, an anodize counts as 0.0003 to 0.0007 in (0.008 to 0.018 mm) on a hole.",
		Source:  "Half of an anodize outward, 0.0003 to 0.0007 in on a hole: common practice; the rest is plane geometry. A tolerance ten times as wide as what the film takes need not heed it: common practice (rule of ten).",
		Cure:    "Mask the features and list them under masked; or finish them after the coating and say so in made_by (\"reamed after anodize\"); or make them larger by what the film takes, and say which limits hold before the coating.",
		Concede: "Nothing is reported where the words of the coating speak of masking, for masked features, for limits that are wide against the film, and for what builds next to nothing (passivation, blackening, chromate conversion). Concede where the limits are those after the coating.",
	},
	Check: func(p *lint.Pass) {
		for _, c := range p.S.Coatings() {
			reportCoating(p, c)
		}
	},
}

func reportCoating(p *lint.Pass, c *study.Coated) {
	var names []string
	found := lint.Found{}
	for _, f := range c.Features {
		names = append(names, f.Feature.ID.S)
		found.Related = append(found.Related, coatedPlaces(c, f)...)
	}
	coat := "the coating"
	if words := strings.TrimSpace(c.Part.Coating.S); words != "" {
		coat = fmt.Sprintf("the coating (%s)", words)
	}
	takes := "how much it takes is not said (film)"
	switch {
	case c.Practice:
		takes = fmt.Sprintf("the film is not said, and an anodize usually takes %s off a hole (common practice)", span(c.Takes))
	case !c.Takes.Max.IsZeroValue():
		takes = fmt.Sprintf("%s of film on each surface changes a diameter by %s", span(c.Film), span(c.Takes))
		found.Numbers = []lint.Number{{Name: "film", Q: c.Film.Max}, {Name: "takes", Q: c.Takes.Max}}
	}
	if f, pin, ok := c.Tightest(); ok {
		found.Numbers = append(found.Numbers, lint.Number{Name: "hole_coated", Q: f.Coat}, lint.Number{Name: "pin", Q: pin.Largest}, lint.Number{Name: "clearance", Q: pin.Left})
	}
	found.Message = fmt.Sprintf("%s of %s is not kept out of %s: %s", coat, c.Rec.ID(), listed(names), takes)
	if worst := tightest(c); worst != "" {
		found.Message += "; " + worst
	}
	quoted := make([]string, len(names))
	for i, n := range names {
		quoted[i] = fmt.Sprintf("%q", n)
	}
	found.Fix = fmt.Sprintf("mask them and write masked = [%s], or finish them after the coating and say so in made_by", strings.Join(quoted, ", "))
	if c.Takes.Max.IsZeroValue() || c.Practice {
		found.Fix += "; and write the film on one surface under film"
	}
	p.Report(c.Rec, firstSet(c.Part.Coating.Span, c.Part.Film.Span), found)
}

// tightest says what becomes of the hole with the least left.
func tightest(c *study.Coated) string {
	f, pin, ok := c.Tightest()
	if !ok {
		return ""
	}
	down := fmt.Sprintf("the smallest %s comes down to %s", f.Feature.ID.S, f.Coat)
	name := fmt.Sprintf("%s (%s)", locatorIs(pin.Rec, pin.Station, pin.Locator), pin.Largest)
	if pin.Left.Sign() <= 0 {
		return fmt.Sprintf("%s, into which %s does not go", down, name)
	}
	return fmt.Sprintf("%s, in which %s keeps %s of clearance", down, name, pin.Left)
}

// coatedPlaces says of a feature what the coating does to it, and what locates
// on it.
func coatedPlaces(c *study.Coated, f study.CoatedFeature) []lint.Place {
	text := f.Feature.ID.S
	if f.Now.Size.Set() {
		text += ", " + f.Now.Size.Tol.String()
	}
	how := "by its limits"
	if f.AsMade {
		how = "as made"
	}
	switch {
	case f.Thread && !c.Takes.Max.IsZeroValue():
		text += ": the pitch diameter of the thread changes by twice that of a hole"
	case f.Coat.IsZeroValue():
	case f.Now.Type.S == "shaft":
		text += fmt.Sprintf(": the largest, %s %s, comes up to %s", f.Bare, how, f.Coat)
	default:
		text += fmt.Sprintf(": the smallest, %s %s, comes down to %s", f.Bare, how, f.Coat)
	}
	if f.Pins == nil {
		text += fmt.Sprintf("; its limits are only %s wide", f.Tolerance)
	}
	out := []lint.Place{{Rec: c.Rec, Span: firstSet(f.Now.Size.Span, f.Feature.ID.Span), Message: text}}
	for _, pin := range f.Pins[:min(len(f.Pins), shownPlaces)] {
		out = append(out, lint.Place{Rec: pin.Rec, Span: pin.Locator.Engages.Span, Message: locatorIs(pin.Rec, pin.Station, pin.Locator) + " locates on it"})
	}
	return out
}
