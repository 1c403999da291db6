package report

import (
	"fmt"
	"math"

	"tenths/calc/quantity"
	"tenths/calc/seam"
	"tenths/ledger"
	"tenths/ledger/report/svg"
	"tenths/ledger/study"
)

// seam shows the step at a seam as the records of the day let expect it, beside
// what was last read. It adds nothing for other characteristics.
func (b *sheetBuilder) seam(path string, c *ledger.Characteristic) {
	if !c.Proud.Set() || !c.Against.Set() {
		return
	}
	o, err := b.s.Seam(path, b.s.AsOf)
	sec := b.section("step to expect, from the records of " + day(b.s.AsOf))
	if err != nil {
		sec.say("not computed", err.Error())
		return
	}
	unit := o.Unit
	if small, ok := quantity.LookupUnit(map[string]string{"in": "tenths", "mm": "um"}[unit.Name()]); ok {
		unit = small
	}
	show := func(mm float64) quantity.Quantity {
		q, err := quantity.FromFloat(mm, quantity.Millimetre).As(unit)
		if err != nil {
			return quantity.Quantity{}
		}
		return study.Rounded(q, 1)
	}
	last := b.lastRead(path)
	sec.say("computed", "mean of many assemblies; 95 of 100 read within the range")
	if last != nil {
		sec.say("read", fmt.Sprintf("means of %d pieces of %s, %s", last.Pieces, last.Rec.ID(), day(last.Day)))
	}
	var told, found []svg.OutlineStep
	words := ""
	for i, p := range o.Points {
		e := o.Forecast.Points[i]
		row := []Fact{cell("point", p.ID), cellQ("computed", show(e.Mean)), cellQ("from", show(e.UsualLow)), cellQ("to", show(e.UsualHigh)), cell("most of the range from", largestShare(e.Shares))}
		told = append(told, svg.OutlineStep{Value: e.Mean, Low: e.UsualLow, High: e.UsualHigh, Text: number(show(e.Mean))})
		words += fmt.Sprintf("; %s %s", p.ID, number(show(e.Mean)))
		if last != nil {
			m := meanAt(last, p.ID)
			fact, step := cell("read", ""), svg.OutlineStep{Value: m}
			if !math.IsNaN(m) {
				fact = cellQ("read", show(m))
			}
			step.Text = number(fact.Value)
			row = append(row[:4], fact, row[4])
			found = append(found, step)
		}
		sec.row(row...)
	}
	for _, a := range o.Assumed {
		sec.say("taken", a)
	}
	sec.Picture = seamPicture(b, o, told, found, last, words, unit)
}

// lastRead is what the latest inspection of the seam that can be looked into
// says; nil if there is none.
func (b *sheetBuilder) lastRead(path string) *study.Diagnosis {
	for _, rec := range b.inspections(func(in *ledger.Inspection) bool { return in.Characteristic.S == path }) {
		if d, err := b.s.Diagnose(rec); err == nil {
			return d
		}
	}
	return nil
}

func meanAt(d *study.Diagnosis, point string) float64 {
	for i, p := range d.Points {
		if p.ID == point && i < len(d.Means) {
			return d.Means[i]
		}
	}
	return math.NaN()
}

func seamPicture(b *sheetBuilder, o *study.Seam, told, found []svg.OutlineStep, last *study.Diagnosis, words string, unit quantity.Unit) string {
	pic := svg.Outline{ID: fmt.Sprintf("seam%d", len(b.sh.Sections)), Title: line(o.Char.Title.S) + ": step at each point of the outline"}
	for _, p := range o.Points {
		pic.Points = append(pic.Points, svg.OutlinePoint{Name: p.ID, X: p.At.X, Y: p.At.Y, NX: p.At.NX, NY: p.At.NY})
	}
	for _, p := range o.Other.Pins {
		pic.Marks = append(pic.Marks, svg.OutlineMark{Name: p.Feature.ID.S, X: p.X, Y: p.Y})
	}
	if last != nil {
		pic.Panels = append(pic.Panels, svg.OutlinePanel{Head: "read " + day(last.Day), Series: []svg.OutlineSeries{{Kind: svg.Now, Steps: found}}})
	}
	pic.Panels = append(pic.Panels, svg.OutlinePanel{Head: "computed for " + day(b.s.AsOf), Series: []svg.OutlineSeries{{Kind: svg.Foretold, Steps: told}}})
	pic.Desc = "Arrows at the points of the outline show the step in " + unit.Name() + ", outwards is plus. Computed" + words + "."
	out, _ := pic.Draw()
	return out
}

// largestShare names the source of most of the range.
func largestShare(shares []seam.Share) string {
	best := seam.Share{}
	for _, s := range shares {
		if s.Part > best.Part {
			best = s
		}
	}
	if best.Part == 0 {
		return ""
	}
	return fmt.Sprintf("%s, %.0f %%", best.Name, 100*best.Part)
}
