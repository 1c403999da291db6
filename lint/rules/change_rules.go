package rules

import (
	"fmt"
	"slices"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

// changeRules are the rules about what the readings of a change can carry.
func changeRules() []*lint.Rule {
	return []*lint.Rule{belowResolution, changeUndone, characteristicChanged, confounded, gaugeChanged, goalMoved, pickedParts, pointWorse, predictionLate, privateInPublic, rollbackUnproven, tooFewParts, useUnlisted}
}

// compared is one comparison of a change about which something is said.
type compared struct {
	Rec   *ledger.Record
	Ch    *ledger.Change
	State string // on the day asked for
	Ev    *study.Evidence
	At    ledger.Span // where it names its readings after
}

// eachCompared visits what eachPair does, if the readings could be compared.
func eachCompared(p *lint.Pass, visit func(c compared)) {
	eachPair(p, func(c compared) {
		if c.Ev.Problem == "" {
			visit(c)
		}
	})
}

// eachPair visits the comparisons of the changes that were carried out and not
// taken back, if readings before and after are there. Changes that are judged by
// something else than readings are left out.
func eachPair(p *lint.Pass, visit func(c compared)) {
	for _, rec := range p.L.Records {
		ch, ok := rec.Data.(*ledger.Change)
		if !ok || ch.Criterion.Set() {
			continue
		}
		state := p.S.StateOn(ch)
		if !slices.Contains([]string{"done", "verified effective", "not effective", "inconclusive", "harmful"}, state) {
			continue
		}
		also := 0
		for _, ev := range p.S.Evidence(rec) {
			at := ch.After.Span
			if !ev.Primary {
				at = ch.Also[also].After.Span
				also++
			}
			if ev.Before != nil && ev.After != nil {
				visit(compared{rec, ch, state, ev, firstSet(at, ch.State.Span)})
			}
		}
	}
}

// unproven reports whether effective-unproven speaks of the comparison already.
func (c compared) unproven() bool {
	shown := c.Ev.Effect == study.Better && (c.Ev.WithoutDoubt == "" || c.Ev.WithoutDoubt == study.Better)
	return c.State == "verified effective" && c.Ev.Primary && !shown
}

// open reports whether the record itself says that it shows nothing: then what is
// said about its readings is only a note.
func (c compared) open() bool { return c.State == "inconclusive" }

// name names what was measured.
func (c compared) name() string { return c.Ev.CharRec.ID() + "/" + c.Ev.Char.ID.S }

// places are the two sets of readings.
func (c compared) places() []lint.Place {
	return []lint.Place{{Rec: c.Ev.Before.Rec, Message: "readings before"}, {Rec: c.Ev.After.Rec, Message: "readings after"}}
}

// moved says by how much what was measured changed, with the number; "" if no
// one number says so.
func (c compared) moved() (string, []lint.Number) {
	ev := c.Ev
	switch {
	case ev.PerPoint || !ev.Before.HasNumbers() || !ev.After.HasNumbers():
		return "", nil
	case ev.Claim == "spread":
		before, after := ev.Shown(ev.Spread.Before.SD), ev.Shown(ev.Spread.After.SD)
		return fmt.Sprintf("the spread of %s went from %s to %s", c.name(), before, after), []lint.Number{{Name: "spread_before", Q: before}, {Name: "spread_after", Q: after}}
	}
	q := ev.Shown(ev.C.Difference)
	return fmt.Sprintf("%s changed by %s", c.name(), signed(q)), []lint.Number{{Name: "difference", Q: q}}
}

// signed prints a number with its sign.
func signed(q quantity.Quantity) string { return withSign(q.String()) }
