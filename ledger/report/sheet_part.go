package report

import (
	"sort"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
)

func (b *sheetBuilder) part(p *ledger.Part) {
	b.features(p.Features)
	b.characteristics(p.Characteristic)
}

// bothUnits shows a length in inches and millimetres, its own first. Limits are
// given as finely in the other unit as they are written: 0.1875 in is
// 4.7625 mm, and 4.012 mm is 0.15795 in.
func bothUnits(q quantity.Quantity) string {
	if q.IsZeroValue() {
		return ""
	}
	other, digits := quantity.Millimetre, 0
	switch q.Unit().Name() {
	case "in":
	case "mm":
		other, digits = quantity.Inch, 2
	default:
		return q.String()
	}
	if q.Decimals() < 0 {
		return q.String() + " = " + study.ShowIn(q, other)
	}
	return q.String() + " = " + q.Format(other, q.Decimals()+digits)
}

func limitCell(name string, q quantity.Quantity) Fact {
	return Fact{Name: name, Text: bothUnits(q), Value: q}
}

// features lists features with their limits in both units, and what locates on
// them.
func (b *sheetBuilder) features(list []ledger.Feature) {
	if len(list) == 0 {
		return
	}
	s := b.section("features")
	for i := range list {
		f := ledger.OnDay(list[i], b.s.AsOf)
		lower, upper := quantity.Quantity{}, quantity.Quantity{}
		if f.Size.Set() {
			lower, upper = f.Size.Tol.Lower, f.Size.Tol.Upper
		}
		s.row(cell("feature", f.ID.S), cell("type", f.Type.S), cell("size", size(f.Size)),
			limitCell("lower limit", lower), limitCell("upper limit", upper),
			cell("as made", size(f.AsMade)), cell("located on by", b.locatedBy(f.ID.S)))
	}
}

// locatedBy lists the locators that engage a feature of the record, on
// fixtures that are still worked on.
func (b *sheetBuilder) locatedBy(feature string) string {
	var out []ledger.Text
	for _, rec := range b.s.L.Records {
		fx, ok := rec.Data.(*ledger.Fixture)
		if !ok || rec.Quiet() || b.s.Gone(rec) {
			continue
		}
		for _, st := range fx.Stations {
			if st.Part.S != b.rec.ID() {
				continue
			}
			for _, loc := range st.Locators {
				if loc.Engages.S == feature {
					out = append(out, ledger.Text{S: rec.ID() + "/" + st.ID.S + "/" + loc.ID.S})
				}
			}
		}
	}
	return joinTexts(out)
}

// characteristics lists characteristics with their limits in both units and
// the latest readings.
func (b *sheetBuilder) characteristics(list []ledger.Characteristic) {
	if len(list) == 0 {
		return
	}
	s := b.section("characteristics")
	for i := range list {
		c := ledger.OnDay(list[i], b.s.AsOf)
		lower, upper := quantity.Quantity{}, quantity.Quantity{}
		if c.Limits.Set() {
			lower, upper = c.Limits.Tol.Lower, c.Limits.Tol.Upper
		}
		s.row(cell("characteristic", c.ID.S), cell("title", c.Title.S), cell("limits", size(c.Limits)),
			limitCell("lower limit", lower), limitCell("upper limit", upper), cell("goal", size(c.Goal)),
			cell("gauge", c.Gauge.S), cell("last measured", b.lastMeasured(c.ID.S)))
	}
}

func (b *sheetBuilder) lastMeasured(id string) string {
	uses := b.inspections(func(in *ledger.Inspection) bool { return in.Characteristic.S == b.rec.ID()+"/"+id })
	if len(uses) == 0 {
		return "never"
	}
	last := uses[0]
	return last.Data.(*ledger.Inspection).On.String() + " " + last.ID()
}

// inspections lists the inspections up to the day asked for that count, the
// latest first.
func (b *sheetBuilder) inspections(want func(*ledger.Inspection) bool) []*ledger.Record {
	var out []*ledger.Record
	for _, rec := range b.s.L.Records {
		if in, ok := rec.Data.(*ledger.Inspection); ok && !rec.Quiet() && in.On.By(b.s.AsOf) && want(in) {
			out = append(out, rec)
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		return out[i].Data.(*ledger.Inspection).On.T.After(out[j].Data.(*ledger.Inspection).On.T)
	})
	return out
}
