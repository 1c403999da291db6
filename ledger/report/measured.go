package report

import (
	"fmt"
	"strings"

	"tenths/ledger/study"
)

// measuredOf says how the readings of some evidence were taken.
func measuredOf(ev *study.Evidence, private bool) Measured {
	m := Measured{Characteristic: fmt.Sprintf("%s (%s/%s)", line(ev.Char.Title.S), ev.CharRec.ID(), ev.Char.ID.S), Method: line(ev.Char.Method.S), Datum: []string{}, Points: []string{}, Because: []string{}}
	for _, d := range ev.Char.Datum {
		m.Datum = append(m.Datum, line(d.S))
	}
	for _, g := range []*study.Group{ev.Before, ev.After} {
		if g == nil {
			continue
		}
		for _, p := range g.Points {
			if p != "" && !contains(m.Points, p) {
				m.Points = append(m.Points, p)
			}
		}
	}
	m.Before, m.After, m.Undone = takenOf(ev.Before, private), takenOf(ev.After, private), takenOf(ev.Back, private)
	if ev.Before == nil || ev.After == nil {
		return m
	}
	m.Comparable = "yes"
	for _, mm := range ev.Mismatches() {
		if mm.Serious {
			m.Comparable = "no"
		} else if m.Comparable == "yes" {
			m.Comparable = "with care"
		}
		text := line(mm.Text(private))
		if mm.What == "gauge" && ev.C.UGauge > 0 {
			text += " (the interval takes in the uncertainty of both)"
		}
		m.Because = append(m.Because, text)
	}
	if m.Because = append([]string{}, m.Because...); len(m.Because) == 0 {
		m.Because = append(m.Because, alike(ev))
	}
	return m
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// alike says what both groups have in common.
func alike(ev *study.Evidence) string {
	same := []string{"same characteristic"}
	if ev.Before.In.Gauge.Set() {
		same = append(same, "gauge")
	}
	if len(ev.Before.Points) > 1 || ev.Before.Points != nil && ev.Before.Points[0] != "" {
		same = append(same, "points")
	}
	if ev.Before.In.By.Set() && ev.After.In.By.Set() {
		same = append(same, "person")
	}
	if ev.Before.In.Held.Set() && ev.After.In.Held.Set() {
		same = append(same, "state of the part")
	}
	return strings.Join(same, ", ")
}

func takenOf(g *study.Group, private bool) *Taken {
	if g == nil {
		return nil
	}
	t := &Taken{On: g.In.On.String(), Gauge: line(g.In.Gauge.S), Temperature: nominal(g.In.Temperature), Held: g.In.Held.S, Picked: g.In.Picked.S, Lot: line(g.In.Lot.S), LeftOut: g.Void, Doubt: line(g.DoubtText())}
	if private {
		t.By = line(g.In.By.S)
	}
	if g.Gauge != nil {
		t.GaugeTitle = line(g.Gauge.GaugeRec.Common.Title.S)
		t.Standing = standing(g.Gauge)
		t.Resolution, t.ReadsTo, t.U = nominal(g.Gauge.Gauge.Resolution), nominal(g.Gauge.Gauge.Reads), nominal(g.Gauge.Gauge.U)
	} else if !g.In.Gauge.Set() {
		t.Standing = "no gauge named"
	}
	return t
}

// standing says how a gauge stood on the day of the readings.
func standing(g *study.Gauging) string {
	text := study.StandingWords(g.Standing, g.Last, g.Due)
	if g.Rescue != nil {
		text += "; found good on " + g.Rescue.On.String()
	}
	if g.CheckedSameDay {
		text += "; checked against a standard the same day"
	}
	return text
}
