package rules

import (
	"fmt"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var unitsMixed = &lint.Rule{
	Name:     "units-mixed",
	Severity: lint.Error,
	Title:    "a length in the wrong unit, or converted wrongly",
	Page: lint.Page{
		What: "Three things. Each reading that lies outside its limits, and each size, is divided by its nominal and compared with the ratios of a mix-up. " +
			"Each length is compared with the unit of its record, inch or metric; trade sizes (nominal) and ranges of gauges may stand in the other one. " +
			"A size that is its trade size of the other system is compared with the exact conversion.",
		Why: "A mix-up of inches and millimetres is the classic way to scrap a batch and break a tool.",
		Formula: "size / nominal = 25.4, 1/25.4, 1000 or 1/1000, each ± 3 %. 1 in = 25.4 mm exactly. " +
			"A trade size may be rounded by a tenth of its tolerance; without a tolerance, by 0.00005 in (0.0013 mm).",
		Source:  "25.4: NIST Special Publication 811, appendix B. One unit a record, with its conversion shown: ISO 80000-1. The 3 % and the rounding: common practice.",
		Cure:    "Write the value with the unit in which it was measured; the record's own unit is for values without one. A trade size goes into nominal, the exact size into size.",
		Concede: "A part of the other system on purpose, such as a metric screw in an inch product: put its trade size into nominal, or concede it in that record.",
	},
	Check: checkUnitsMixed,
}

func checkUnitsMixed(p *lint.Pass) {
	for _, rec := range p.L.Records {
		unit, list := p.S.OtherSystem(rec)
		if len(list) > 0 {
			p.Report(rec, list[0].Span, otherSystem(rec, unit, list))
		}
		for _, m := range p.S.MixedSizes(rec) {
			p.Report(rec, m.Span, mixedSize(m))
		}
	}
	eachInspection(p, func(rec *ledger.Record, in *ledger.Inspection) {
		r := p.S.OddReadings(rec)
		var slips, kinds []study.Read
		for _, v := range r.Live {
			if v.Slip != nil {
				slips = append(slips, v)
			}
			if v.OtherKind {
				kinds = append(kinds, v)
			}
		}
		if len(slips) > 0 {
			v := slips[0]
			nominal := r.Char.Limits.Nominal()
			p.Report(rec, v.Written.Span, lint.Found{
				Message: fmt.Sprintf("%s: %s is about %s %s of %s%s", piece(v), v.Full, v.Slip.Times, nominalOf(r.Char.Limits), in.Characteristic.S, andMore(len(slips), "such reading")),
				Fix:     slipFix(v.Slip, nominal),
				Numbers: []lint.Number{{Name: "reading", Q: v.Full}, {Name: "nominal", Q: nominal}},
				Related: append(others(r, slips), lint.Place{Rec: r.CharRec, Span: r.Char.Limits.Span, Message: fmt.Sprintf("the limits of %s: %s", in.Characteristic.S, r.Char.Limits.Tol)}),
			})
		}
		if len(kinds) > 0 {
			v := kinds[0]
			p.Report(rec, v.Written.Span, lint.Found{
				Message: fmt.Sprintf("%s: %s is a %s, but %s is a %s%s", piece(v), v.Full, v.Full.Kind(), in.Characteristic.S, r.Char.Limits.Nominal().Kind(), andMore(len(kinds), "such reading")),
				Fix:     fmt.Sprintf("write the unit with each reading, such as \"%s %s\", or name it for all in deviation_in where they are deviations", bare(v), r.Char.Limits.Nominal().Unit().Name()),
				Related: []lint.Place{{Rec: r.CharRec, Span: r.Char.Limits.Span, Message: fmt.Sprintf("the limits of %s: %s", in.Characteristic.S, r.Char.Limits.Tol)}},
			})
		}
	})
}

// bare is the number of a reading without its unit.
func bare(v study.Read) string {
	return v.Written.Nominal().Plain()
}

func otherSystem(rec *ledger.Record, unit quantity.Unit, list []ledger.KeySize) lint.Found {
	first := list[0]
	system := "metric"
	if first.Nominal().Unit().System() == "inch" {
		system = "an inch size"
	}
	f := lint.Found{
		Message: fmt.Sprintf("%s: %s is %s in a record in %s%s", first.Key, first.Raw, system, unitWord(unit), andMore(len(list), "such length")),
		Fix:     fmt.Sprintf("write it in %s; a trade size goes into nominal; if all of it is so, change units of the record", unitWord(unit)),
	}
	for _, k := range list[1:min(len(list), 1+shownPlaces)] {
		f.Related = append(f.Related, lint.Place{Rec: rec, Span: k.Span, Message: fmt.Sprintf("%s: %s", k.Key, k.Raw)})
	}
	if first.Key != "deviation_in" {
		f.Numbers = []lint.Number{{Name: "length", Q: first.Nominal()}}
	}
	return f
}

func mixedSize(m study.MixedSize) lint.Found {
	q := m.Nominal()
	f := lint.Found{
		Numbers: []lint.Number{{Name: "size", Q: q}, {Name: "nominal", Q: m.Base.Nominal()}},
		Related: []lint.Place{{Rec: m.BaseRec, Span: m.Base.Span, Message: fmt.Sprintf("%s: %s", m.BaseName, m.Base.Tol)}},
	}
	if m.Slip == nil {
		f.Message = fmt.Sprintf("%s: %s is the trade size %s, rounded: it is %s", m.Key, q, m.Base.Nominal(), m.Exact)
		f.Fix = fmt.Sprintf("write %q, or the size as measured", m.Exact)
		f.Numbers = append(f.Numbers, lint.Number{Name: "exact", Q: m.Exact})
		return f
	}
	f.Message = fmt.Sprintf("%s: %s is about %s %s, %s", m.Key, q, m.Slip.Times, m.BaseName, m.Base.Nominal())
	f.Fix = slipFix(m.Slip, m.Base.Nominal())
	return f
}

// slipFix says in which unit the number makes sense.
func slipFix(s *study.Slip, nominal quantity.Quantity) string {
	if s.Meant.IsZeroValue() {
		return "look the value up; it may have been converted twice"
	}
	return fmt.Sprintf("if %s were meant, write %q, which is %s", unitWord(s.Meant.Unit()), s.Meant, study.ShowIn(s.Meant, nominal.Unit()))
}
