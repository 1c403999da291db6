package rules

import (
	"fmt"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var plugAsNumber = &lint.Rule{
	Name:     "plug-as-number",
	Severity: lint.Note,
	Title:    "what a plug said, written down as an exact size",
	Page: lint.Page{
		What:    "Inspections that accept parts by plugs, pins or rings are looked at for sizes without a range. Such a gauge enters or does not; it shows no size, and says nothing of out-of-round, taper or bell mouth.",
		Why:     "A size that looks exact is used to pass a hole or to set the next cut, and nobody has measured it.",
		Formula: "g1 enters and g2 does not: g1 < D < g2, so D = (g1 + g2)/2 ± ((g2 - g1)/2 + the tolerance of the pins).",
		Source:  "What a limit gauge proves: ISO 1938-1. A pin needs a little clearance to enter, and middle ± half as the way to write it: common practice.",
		Cure:    "Write the middle and half the range, such as 2.5±0.5 (no spaces), or both ends, such as 0.1877..0.1878; or only how many did not pass (count).",
		Concede: "Counts, and readings of 0 that stand for \"GO goes, NOT GO does not\" (nominal_is is then the middle of the pair), are left in peace. " +
			"So are set-up, trial, survey, and readings before and after a change, where the same pins and the same hand are compared with themselves.",
	},
	Check: func(p *lint.Pass) {
		eachInspection(p, func(rec *ledger.Record, in *ledger.Inspection) {
			if !accepts(in) {
				return
			}
			if n := p.S.PlugNumbers(rec); n != nil {
				reportPlugNumber(p, rec, n)
			}
		})
	},
}

func reportPlugNumber(p *lint.Pass, rec *ledger.Record, n *study.PlugNumbers) {
	v, r := n.Exact[0], n.R
	f := lint.Found{
		Message: fmt.Sprintf("%s: %s is written as an exact size, but %s only enters or does not%s", piece(v), readingIn(v, limitUnit(r)), r.GaugeRec.ID(), andMore(len(n.Exact), "such reading")),
		Fix:     "write the range that the gauges left open, as middle ± half without spaces or as from..to",
		Related: []lint.Place{{Rec: r.GaugeRec, Span: r.Gauge.Type.Span, Message: fmt.Sprintf("%s is a gauge of the type %s", r.GaugeRec.ID(), r.Gauge.Type.S)}},
	}
	switch {
	case n.Pair:
		f.Fix = "write how many of how many did not pass (count), or 0 with nominal_is as the middle of the pair; a number needs a gauge that shows one"
	case !n.Next.IsZeroValue():
		f.Fix = fmt.Sprintf("write the range that the pins left open: if the %s pin was the largest that entered and the %s pin did not, that is %s±%s, and the pins' own tolerance on top", study.ShowIn(v.Full, limitUnit(r)), study.ShowIn(n.Next, limitUnit(r)), n.Middle.Plain(), n.Half.Plain())
		f.Numbers = []lint.Number{{Name: "middle", Q: n.Middle}, {Name: "half", Q: n.Half}}
	}
	p.Report(rec, v.Written.Span, f)
}
