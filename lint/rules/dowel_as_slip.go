package rules

import (
	"fmt"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var dowelAsSlip = &lint.Rule{
	Name:     "dowel-as-slip",
	Severity: lint.Warning,
	Title:    "a standard dowel as a pin that a part is to slip on",
	Page: lint.Page{
		What: "A locator that goes into a hole of the part and was bought as a standard or an oversize dowel (bought_as) is compared with the smallest hole: as really made (as_made), else by its limits. " +
			"The dowel counts as measured (size, survey), else as its standard makes it. A size that is exactly the trade size of a dowel, with no nominal beside it, is taken for the trade size.",
		Why:     "A dowel is not of its nominal size: it is ground over it, so that it presses into a hole reamed to nominal. There it never slips; the part jams and its holes bell out.",
		Formula: "clearance = smallest hole - largest dowel; a slip fit needs more than 0. Inch dowels are nominal +0.0001 to +0.0003 in, of the oversize series +0.0009 to +0.0011 in; metric ones have the limits of ASME B18.8.5M or m6.",
		Source:  "ASME B18.8.2-2000 for inch dowels; ASME B18.8.5M, from one source, and ISO 8734 with m6 of ISO 286, from memory, for metric ones; 0.0002 to 0.0005 in (0.005 to 0.013 mm) of clearance for work in tenths: common practice.",
		Cure:    "A pin ground smaller than the smallest hole, or a hole reamed to slip, 0.0005 in and more over the nominal of a standard dowel.",
		Concede: "Nothing is reported where the hole is large enough, or where the dowel was measured and clears. Lapped a dowel down? Write what it measures under size. Concede where parts are matched to the pin one by one.",
	},
	Check: func(p *lint.Pass) {
		eachStation(p, func(rec *ledger.Record, st *ledger.Station, l *study.Locating) {
			for _, d := range p.S.DowelSlips(l) {
				if !d.Slips {
					reportDowel(p, l, d)
				}
			}
		})
	},
}

func reportDowel(p *lint.Pass, l *study.Locating, d study.DowelSlip) {
	pin, now := d.Pin, d.Pin.Now
	which := "by its limits"
	if pin.AsMade {
		which = "as made"
	}
	over := d.Fit.MinClearance.Neg()
	how := "tight by up to " + over.String()
	if over.Sign() == 0 {
		how = "size for size, which does not slip"
	}
	largest := d.Size.Range().Max
	fix := fmt.Sprintf("ream %s so that its smallest is over %s", pin.Feature.ID.S, largest)
	if g := d.Ground; g.HasLower() {
		fix = fmt.Sprintf("a pin of %s, ground, for work in tenths (common practice); or %s", span(study.Range{Min: g.Lower, Max: g.Upper}), fix)
	}
	if d.Size.From == study.FromTable {
		fix += "; if the dowel was lapped down, write what it measures under size"
	}
	p.Report(l.Rec, firstSet(now.Bought.Span, now.Size.Span), lint.Found{
		Message: fmt.Sprintf("%s is %s and no slip pin: %s, and %s of %s goes down to %s %s; %s",
			locatorIs(l.Rec, l.Station, pin.Locator), withArticle(now.Bought.S), pinIs(d.Size), pin.Feature.ID.S, l.Part.ID(), pin.Hole.Min, which, how),
		Fix:     fix,
		Numbers: []lint.Number{{Name: "pin", Q: largest}, {Name: "hole", Q: pin.Hole.Min}, {Name: "clearance", Q: d.Fit.MinClearance}},
		Related: []lint.Place{{Rec: l.Part, Span: firstSet(pin.Size.Span, pin.Feature.Span), Message: fmt.Sprintf("hole %s of %s, %s %s", pin.Feature.ID.S, l.Part.ID(), pin.Size.Tol, which)}},
	})
}
