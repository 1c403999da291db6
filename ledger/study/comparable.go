package study

import (
	"fmt"
	"math"
	"strings"

	"tenths/ledger"
)

// Mismatch is a way in which the readings before and after were not taken
// alike.
type Mismatch struct {
	What          string // gauge, characteristic, points, part held, temperature, person, picking
	Before, After string
	// Serious is set if the difference of the two groups may be the mismatch
	// and not the change.
	Serious bool
	// Person is set if the texts name people.
	Person bool
}

// likeTemperature is the difference in K up to which two temperatures count as
// alike: 1 in of aluminium then differs by half a tenth (common practice).
const likeTemperature = 2.0

// Mismatches compares how the readings before and after were taken; empty if
// they are comparable, nil also if one of them is missing.
func (ev *Evidence) Mismatches() []Mismatch {
	if ev.Before == nil || ev.After == nil {
		return nil
	}
	b, a := ev.Before.In, ev.After.In
	var out []Mismatch
	add := func(what, before, after string, serious bool) {
		if before != after {
			out = append(out, Mismatch{What: what, Before: before, After: after, Serious: serious})
		}
	}
	add("gauge", b.Gauge.S, a.Gauge.S, true)
	add("characteristic", b.Characteristic.S, a.Characteristic.S, true)
	if !ev.Before.Count.Set() && !ev.After.Count.Set() {
		add("points", strings.Join(ev.Before.Points, " "), strings.Join(ev.After.Points, " "), true)
	}
	add("part held", b.Held.S, a.Held.S, b.Held.Set() && a.Held.Set())
	if b.Temperature.Set() && a.Temperature.Set() {
		// Base values of temperatures are kelvin.
		if d := a.Temperature.Nominal().Float() - b.Temperature.Nominal().Float(); math.Abs(d) > likeTemperature {
			add("temperature", b.Temperature.Nominal().String(), a.Temperature.Nominal().String(), false)
		}
	}
	if b.By.S != a.By.S && b.By.Set() && a.By.Set() {
		out = append(out, Mismatch{What: "person", Before: b.By.S, After: a.By.S, Person: true})
	}
	for i, in := range []*ledger.Inspection{b, a} {
		if in.Picked.S == "picked" {
			m := Mismatch{What: "picking", Before: b.Picked.S, After: a.Picked.S, Serious: true}
			if i == 0 || b.Picked.S != "picked" {
				out = append(out, m)
			}
		}
	}
	return out
}

// Text says the mismatch in words; names of people are left out unless private
// is set.
func (m Mismatch) Text(private bool) string {
	switch {
	case m.Person && !private:
		return "another person measured"
	case m.What == "picking":
		return fmt.Sprintf("pieces were picked, not consecutive or by lot (%s before, %s after)", orNot(m.Before), orNot(m.After))
	}
	return fmt.Sprintf("%s: %s before, %s after", m.What, orNot(m.Before), orNot(m.After))
}

func orNot(s string) string {
	if s == "" {
		return "not said"
	}
	return s
}
