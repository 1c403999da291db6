package rules

import (
	"fmt"
	"strings"

	"tenths/calc/dowel"
	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

// fitRules are the rules about how pins sit in parts and in fixtures.
func fitRules() []*lint.Rule {
	return []*lint.Rule{adhesiveExposed, blindSeat, coatingInFit, dowelAsSlip, pinHeight, retentionFit}
}

// eachLocator visits the locators of the stations that somebody works on.
func eachLocator(p *lint.Pass, visit func(rec *ledger.Record, st *ledger.Station, loc *ledger.Locator)) {
	eachStation(p, func(rec *ledger.Record, st *ledger.Station, _ *study.Locating) {
		for i := range st.Locators {
			visit(rec, st, &st.Locators[i])
		}
	})
}

// locatorIs names a locator in a message.
func locatorIs(rec *ledger.Record, st *ledger.Station, loc *ledger.Locator) string {
	return fmt.Sprintf("%s of station %s of %s", loc.ID.S, st.ID.S, rec.ID())
}

// tight says in words how tight something sits; below 0 it is loose.
func tight(q quantity.Quantity) string {
	switch q.Sign() {
	case 0:
		return "size for size"
	case 1:
		return q.String() + " tight"
	}
	return q.Abs().String() + " loose"
}

// tightFrom says in words from how loose to how tight something sits.
func tightFrom(loosest, tightest quantity.Quantity) string {
	if c, err := loosest.Cmp(tightest); err == nil && c == 0 {
		return tight(loosest)
	}
	if loosest.Sign() > 0 && tightest.Sign() > 0 {
		return span(study.Range{Min: loosest, Max: tightest}) + " tight"
	}
	if loosest.Sign() < 0 && tightest.Sign() < 0 {
		return span(study.Range{Min: tightest.Abs(), Max: loosest.Abs()}) + " loose"
	}
	return fmt.Sprintf("from %s to %s", tight(loosest), tight(tightest))
}

// span says a range in words, "0.0002 to 0.0005 in", or the one value that it is.
func span(r study.Range) string {
	low, high := r.Min.String(), r.Max.String()
	if c, err := r.Min.Cmp(r.Max); err == nil && c == 0 {
		return high
	}
	if unit := " " + r.Max.Unit().Name(); strings.HasSuffix(high, unit) {
		low = strings.TrimSuffix(low, unit)
	}
	return low + " to " + high
}

// pinIs says what is known of a pin's diameter, and from where.
func pinIs(p study.PinSize) string {
	r := p.Range()
	switch p.From {
	case study.Measured:
		return fmt.Sprintf("the pin measures %s", p.Tol)
	case study.MadeTo:
		return fmt.Sprintf("the pin is %s", span(r))
	}
	text := ""
	for i, d := range p.Dowels {
		if i == 0 {
			text = fmt.Sprintf("a %s dowel is made ", d.Nominal)
		} else {
			text += ", or "
		}
		text += fmt.Sprintf("%s (%s", span(study.Range{Min: d.Diameter.Lower, Max: d.Diameter.Upper}), d.Spec)
		if d.DiameterStanding == dowel.Memory {
			text += ", from memory"
		}
		text += ")"
	}
	return text
}

// withArticle puts a or an before a word.
func withArticle(word string) string {
	if strings.ContainsRune("aeiou", rune(word[0])) {
		return "an " + word
	}
	return "a " + word
}
