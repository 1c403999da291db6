package rules

import (
	"fmt"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var gaugeSign = &lint.Rule{
	Name:     "gauge-sign",
	Severity: lint.Warning,
	Title:    "a gauge made to the side on which it lets bad parts pass",
	Page: lint.Page{
		What: "The GO member of a pair for holes must not be smaller than it is called, nor the NOT GO member larger; for shafts the other way round. What counts is the tolerance written with a member, or the sign of the gauge. " +
			"In inspections that accept parts, a pin of a set of minus pins that entered is looked at too: what it may be by its class against the lower limit. " +
			"A member with a tolerance that reaches beyond its limit is told by limits-not-bracketed and not twice.",
		Why:     "Parts outside their limits are called good: a hole that is too small then does not go on its pin.",
		Formula: "holes: GO from its mark to mark + t, NOT GO from mark - t to its mark; shafts: GO from mark - t, NOT GO to mark + t. A minus pin is mark - t to its mark: as GO it proves only mark - t.",
		Source:  "ASME B89.1.5 (plugs) and B89.1.6 (rings); plus and minus sets of pins: common practice.",
		Cure:    "Take a plus pin as GO, or a minus pin so much larger that even its smallest lies at the limit; or have the member measured and write its size with its uncertainty.",
		Concede: "Finding a size step by step (pass, or purpose trial or set-up) is left in peace, and so is a member that stays inside its limit all the same. Concede it where another gauge decided.",
	},
	Check: func(p *lint.Pass) {
		for _, rec := range p.L.Records {
			if g, ok := rec.Data.(*ledger.Gauge); ok && inUse(p, g) {
				for _, w := range p.S.WrongSigns(rec) {
					reportSign(p, rec, g, w)
				}
			}
		}
		eachInspection(p, func(rec *ledger.Record, in *ledger.Inspection) {
			if !accepts(in) || in.Result.S == "does not conform" || len(in.Passes) > 0 {
				return
			}
			if m := p.S.MinusPins(rec); m != nil {
				reportMinusPins(p, rec, in, m)
			}
		})
	},
}

func reportSign(p *lint.Pass, rec *ledger.Record, g *ledger.Gauge, w study.WrongSign) {
	made, limit, right, passes := "minus", "below the lower limit", "plus", "too small"
	if !w.Small {
		made, limit, right, passes = "plus", "above the upper limit", "minus", "too large"
	}
	f := lint.Found{Fix: fmt.Sprintf("use a %s that is made %s, or enter it as measured, with its uncertainty", w.Name, right)}
	may := " and may be "
	if !w.Worst.IsZeroValue() {
		may += w.Worst.String()
		f.Numbers = append(f.Numbers, lint.Number{Name: "member", Q: w.Worst})
		if !w.Limit.IsZeroValue() {
			may += fmt.Sprintf(", %s ", w.Beyond)
			f.Numbers = append(f.Numbers, lint.Number{Name: "limit", Q: w.Limit}, lint.Number{Name: "beyond", Q: w.Beyond})
		}
	}
	switch {
	case !w.Limit.IsZeroValue():
		may += fmt.Sprintf("%s %s of %s", limit, w.Limit, g.For.S)
		f.Related = append(f.Related, lint.Place{Rec: w.SizeRec, Span: w.Size.Span, Message: fmt.Sprintf("the limits of %s: %s", g.For.S, w.Size.Tol)})
	case w.Worst.IsZeroValue():
		may = ""
	}
	class := ""
	if w.At == g.Sign.Span {
		f.Related = append([]lint.Place{{Rec: rec, Span: w.Member.Span, Message: fmt.Sprintf("%s %s", w.Name, w.Member.Tol)}}, f.Related...)
		if !blank(g.Class.S) {
			class = fmt.Sprintf(" (class %s)", g.Class.S)
		}
	}
	f.Message = fmt.Sprintf("%s %s of %s is made %s%s%s: %ss that are %s pass", w.Name, w.Member.Tol, rec.ID(), made, class, may, partName(w.Hole), passes)
	p.Report(rec, w.At, f)
}

func reportMinusPins(p *lint.Pass, rec *ledger.Record, in *ledger.Inspection, m *study.MinusPins) {
	g := m.Gauging
	set := fmt.Sprintf("%s, which is made minus", g.GaugeRec.ID())
	f := lint.Found{
		Fix: "take a plus pin as GO",
		Related: []lint.Place{
			{Rec: g.GaugeRec, Span: g.Gauge.Sign.Span, Message: "the sign of " + g.GaugeRec.ID()},
			{Rec: g.CharRec, Span: g.Char.Limits.Span, Message: fmt.Sprintf("the limits of %s: %s", in.Characteristic.S, g.Char.Limits.Tol)},
		},
		Numbers: []lint.Number{{Name: "lower_limit", Q: m.Limit}},
	}
	if m.Class != "" {
		f.Fix += fmt.Sprintf(", or a minus pin of %s or more", m.Safe)
		set = fmt.Sprintf("%s, which is made minus (class %s)", g.GaugeRec.ID(), m.Class)
	}
	if m.Counted {
		may := "less"
		if m.Class != "" {
			may = m.Least.String()
		}
		f.Message = fmt.Sprintf("holes of %s were counted good by pins of %s: a GO pin called %s may be %s, and lets holes pass that are too small", in.Characteristic.S, set, m.Limit, may)
		f.Fix += "; or write down which pin was GO, as readings"
		p.Report(rec, in.Gauge.Span, f)
		return
	}
	first := m.Pins[0]
	may := "less, and the hole"
	if !first.Smallest.IsZeroValue() {
		may = fmt.Sprintf("%s, and the hole %s", first.Smallest, first.Beyond)
		f.Numbers = append(f.Numbers, lint.Number{Name: "smallest_pin", Q: first.Smallest}, lint.Number{Name: "beyond", Q: first.Beyond})
	}
	f.Message = fmt.Sprintf("%s: GO by the %s pin of %s: it may be %s below the lower limit %s of %s%s", piece(first.Read), first.Entered, set, may, m.Limit, in.Characteristic.S, andMore(len(m.Pins), "such reading"))
	for _, pin := range m.Pins[1:min(len(m.Pins), 1+shownPlaces)] {
		f.Related = append(f.Related, lint.Place{Rec: rec, Span: pin.Written.Span, Message: fmt.Sprintf("%s: by the %s pin", piece(pin.Read), pin.Entered)})
	}
	p.Report(rec, first.Written.Span, f)
}
