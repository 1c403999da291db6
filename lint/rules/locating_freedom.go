package rules

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var locatingFreedom = &lint.Rule{
	Name:     "locating-freedom",
	Severity: lint.Error,
	Title:    "a station whose locators leave the part free, or hold it more than once",
	Page: lint.Page{
		What: "The locators of a station are counted against the six freedoms of its part: three by the seat, two by a round pin, one by a relieved pin or a slot, one by each rest or stop along the way that it pushes. " +
			"Found is a part that can still move, and a rest, stop or slot that holds what other locators hold already. " +
			"Pins alone are never found to be too many, since their clearances may let every part on (locators-bind), nor rests that only hold the part up. " +
			"A station with a nest, or with a locator of which place or direction are not said, is left in peace.",
		Why:     "A part that can still move lies differently every time it is loaded; one that is held twice lies on whatever touches first, or is bent when it is clamped.",
		Formula: "A locator at r that pushes along n takes the freedom n·d + (r × n)·w of a small shift d and turn w. Free is what makes all of them zero, fighting are those whose rows depend on each other. To first order: what curved faces stop beyond that is not counted.",
		Source:  "3-2-1 principle: tool-design handbooks, common practice; ranks of locator rows: Asada and By, IEEE J. Robotics and Automation RA-1, 1985 (cited from memory).",
		Cure:    "Free to turn: a relieved pin in a second hole, or an edge rest. Two relieved pins: make the one at the hole that matters a round one. Held twice: take one of the named locators away, or relieve it.",
		Concede: "If something else holds the part against turning, say so with turn_held_by on the station. A stop that only helps loading and is taken out again is duty = \"removable\"; one that belongs to a clamp is written as [[station.clamp]]. Soft jaws are type = \"nest\".",
	},
	Gap: true,
	Check: func(p *lint.Pass) {
		eachStation(p, func(rec *ledger.Record, st *ledger.Station, l *study.Locating) {
			f := p.S.Freedom(rec, st)
			if f.Skip != "" {
				return
			}
			if !f.Fixed() && !reliefTurned(st, l) {
				reportFree(p, f)
			}
			for _, g := range f.Fights {
				if g.OverHeld() {
					reportHeldTwice(p, f, g)
				}
			}
		})
	},
}

// reliefTurned reports whether relief-direction speaks of the station.
func reliefTurned(st *ledger.Station, l *study.Locating) bool {
	return !st.Rest.Set() && slices.ContainsFunc(l.Pins, func(pin study.PinState) bool { return pin.TurnedTooFar() })
}

// stationHolds names station and part: "station A of FX1" and "P-10".
func stationHolds(f *study.Freedom) (station, part string) {
	part = "its part"
	if f.Part != nil {
		part = f.Part.ID()
	}
	return fmt.Sprintf("station %s of %s", f.Station.ID.S, f.Rec.ID()), part
}

func reportFree(p *lint.Pass, f *study.Freedom) {
	var free []string
	var numbers []lint.Number
	turns, lifts := false, false
	for _, m := range f.Free {
		if m.HeldBy != "" {
			continue
		}
		text := m.Text
		if mm, ok := p.S.Travel(f, m); ok {
			q := f.MM(mm)
			text += fmt.Sprintf(" by up to %s", study.Show(q))
			numbers = append(numbers, lint.Number{Name: "travel", Q: q})
		}
		free = append(free, text)
		turns, lifts = turns || m.TurnsOnly(), lifts || m.Lifts()
	}
	station, part := stationHolds(f)
	where := " in the plane of the seat"
	if f.InSpace {
		where = ""
	}
	fix := "add a rest or stop that pushes that way"
	switch {
	case lifts:
		fix = "name every rest that holds the part up (type = \"rest\" with at), three at least and not in one line; without any rest the part is taken to lie on the plate"
	case turns:
		fix = "a relieved pin in a second hole, its relief along the line to the first pin, or an edge rest (type = \"rest\" with at and pushes); if something else holds the turn, say so with turn_held_by"
	case f.RelievedPins() == 2:
		fix = "make one of the two relieved pins a round one: the one at the hole that matters most"
	}
	numbers = append(numbers, lint.Number{Name: "taken", Q: number(big.NewRat(int64(f.Rank), 1))}, lint.Number{Name: "of", Q: number(big.NewRat(int64(f.Of), 1))})
	p.Report(f.Rec, firstSet(f.Station.ID.Span, f.Station.Span), lint.Found{
		Message: fmt.Sprintf("%s leaves %s free to %s: %s %s %d of the %d freedoms%s", station, part, strings.Join(free, " and to "), listed(f.Names()), takes(f), f.Rank, f.Of, where),
		Fix:     fix,
		Numbers: numbers,
	})
}

// takes is the verb for the locators of a station.
func takes(f *study.Freedom) string {
	if len(f.Station.Locators) == 1 {
		return "takes"
	}
	return "take"
}

func reportHeldTwice(p *lint.Pass, f *study.Freedom, g study.Fight) {
	station, part := stationHolds(f)
	last, _ := g.TooMany()
	var names []string
	var related []lint.Place
	for _, l := range g.Locators {
		names = append(names, l.ID.S)
		if l.ID != last.ID {
			related = append(related, lint.Place{Rec: f.Rec, Span: firstSet(l.Type.Span, l.Span), Message: l.Type.S + " " + l.ID.S})
		}
	}
	message := fmt.Sprintf("%s holds %s more than once: %s fight, %s", station, part, listed(names), tooMany(g.Surplus))
	var numbers []lint.Number
	for _, gap := range g.Gaps {
		if gap.Surveyed {
			message += "; " + gapText(f, gap)
			numbers = append(numbers, lint.Number{Name: "gap", Q: f.MM(gap.Open)})
		}
	}
	p.Report(f.Rec, firstSet(last.Type.Span, last.Span), lint.Found{
		Message: message,
		Fix:     fmt.Sprintf("take one of them away; if %s only helps loading, say duty = \"removable\", and if it belongs to a clamp, write it as [[station.clamp]]", last.ID.S),
		Numbers: numbers,
		Related: related,
	})
}

func tooMany(n int) string {
	if n == 1 {
		return "one of them is too many"
	}
	return fmt.Sprintf("%d of their holds are too many", n)
}

// gapText says what the surveys make of a fight.
func gapText(f *study.Freedom, g study.FightGap) string {
	q := f.MM(g.Open)
	if q.Sign() < 0 {
		return fmt.Sprintf("as surveyed %s stands %s beyond where the others put the part", g.Lead, study.Show(q.Abs()))
	}
	return fmt.Sprintf("as surveyed %s is open at %s when the others touch", study.Show(q), g.Lead)
}
