package rules

import (
	"fmt"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var retentionFit = &lint.Rule{
	Name:     "retention-fit",
	Severity: lint.Warning,
	Title:    "a locator whose fit in the fixture does not suit its duty",
	Page: lint.Page{
		What: "The diameter of a locator is compared with the hole in the fixture that holds it (seat_hole), at both ends of the tolerances and in their middle. One that stays by press or shrink (duty = \"retained\", or not said) must be tight; " +
			"one that comes out by hand (duty = \"removable\") must be loose.",
		Why: "A pin that should stay creeps up or turns under the first side load; one that should come out by hand must be pulled by force, and its seat goes with it.",
		Formula: "tight = pin - hole in diameter. To stay: the smallest pin in the largest hole is not loose, and the middle of both is as tight as common practice in the metal of the fixture; pressed in, not tighter than that even at the loosest, for pins up to 1/2 in (12.7 mm). " +
			"To come out: the largest pin in the smallest hole is loose.",
		Source: "Limits of a fit: ISO 286-1. 0.0002 to 0.0005 in tight in steel, 0.0005 to 0.0007 in in aluminium, 0.0002 to 0.0012 in loose to come out (0.005 to 0.013, 0.013 to 0.018, 0.005 to 0.030 mm): common practice (stgmachine.com). " +
			"H7/m6 and H7/k6 of ISO 286 may be loose; H7/p6 is not. That the upper figure ends at 1/2 in is a choice of this tool.",
		Cure: "Bore the seat to the hole that the message gives, measure the pin and bore to it, take an oversize dowel, or say what else holds it (held_by: screw, adhesive, sleeve).",
		Concede: "Nothing is reported where adhesive, a screw or a sleeve is said to hold the locator, or where seat_hole is not given. A pin that is shrunk in may be tighter. " +
			"Concede where the shank differs from the size that locates, or where the very pin was measured against its very hole.",
	},
	Check: func(p *lint.Pass) {
		eachLocator(p, func(rec *ledger.Record, st *ledger.Station, loc *ledger.Locator) {
			if t := p.S.Seating(rec, loc); t != nil && t.Verdict != study.SeatServes {
				reportSeating(p, rec, st, t)
			}
		})
	},
}

func reportSeating(p *lint.Pass, rec *ledger.Record, st *ledger.Station, t *study.Seating) {
	now := &t.Now
	name := locatorIs(rec, st, now)
	duty := "is to stay by its fit"
	if !t.Holding.Said {
		duty += " alone, as held_by says nothing,"
	}
	what := ""
	switch t.Verdict {
	case study.NeverTight:
		what = "and is never tight"
	case study.MaybeLoose:
		what = "and can be loose"
	case study.HardlyTight:
		what = "and is hardly tight"
	case study.TooTight:
		what = "and is tighter than common practice"
	case study.DoesNotLeave:
		duty, what = "is to come out by hand", "and can be tight"
		if t.Loosest().Sign() >= 0 {
			what = "and is never loose"
		}
	}
	sits := tightFrom(t.Loosest(), t.Tightest())
	if c, err := t.Loosest().Cmp(t.Tightest()); err != nil || c != 0 {
		sits += ", usually " + tight(t.Usual())
	}
	p.Report(rec, now.SeatHole.Span, lint.Found{
		Message: fmt.Sprintf("%s %s %s: %s, its seat %s: %s; %s", name, duty, what, pinIs(t.Pin), now.SeatHole.Tol, sits, rangeText(t)),
		Fix:     seatCure(t),
		Numbers: []lint.Number{
			{Name: "tight_least", Q: t.Loosest()}, {Name: "tight_usual", Q: t.Usual()}, {Name: "tight_most", Q: t.Tightest()},
			{Name: "wanted_least", Q: t.Want.Min}, {Name: "wanted_most", Q: t.Want.Max},
		},
		Related: seatPlaces(rec, t),
	})
}

// rangeText says what common practice is.
func rangeText(t *study.Seating) string {
	u := t.Want.Min.Unit()
	switch {
	case t.Removable:
		return "common practice " + span(t.Want) + " loose"
	case t.Metal == study.OtherMetal:
		return fmt.Sprintf("common practice %s tight in steel, %s in aluminium", span(study.TightIn(study.Steel, u)), span(study.TightIn(study.Aluminium, u)))
	}
	return fmt.Sprintf("common practice %s tight in %s", span(t.Want), t.Metal)
}

func seatCure(t *study.Seating) string {
	hole := "measure the pin and bore the seat to it"
	if s := t.Seat; s.HasLower() {
		hole = fmt.Sprintf("a seat of %s for this pin", span(study.Range{Min: s.Lower, Max: s.Upper}))
	}
	switch t.Verdict {
	case study.DoesNotLeave:
		return hole + "; or say duty = \"retained\" if it is to stay"
	case study.TooTight:
		return hole + "; pressed in so tight it can split a thin wall and move the pins beside it"
	}
	hole += " (a new hole or a sleeve)"
	if !t.Holding.Said {
		return hole + "; or say under held_by what else holds it"
	}
	return hole + "; or an oversize dowel, a screw or retaining compound, and say so under held_by"
}

func seatPlaces(rec *ledger.Record, t *study.Seating) []lint.Place {
	var out []lint.Place
	if t.Pin.At.Set() {
		out = append(out, lint.Place{Rec: rec, Span: t.Pin.At, Message: "diameter of the pin"})
	}
	if fx, ok := rec.Data.(*ledger.Fixture); ok && !t.Removable && fx.Material.Set() {
		text := "material of the fixture: " + fx.Material.S
		out = append(out, lint.Place{Rec: rec, Span: fx.Material.Span, Message: text})
	}
	return out
}
