package rules

import (
	"fmt"
	"math/big"
	"strings"

	"tenths/ledger"
	"tenths/lint"
)

var gaugeCoarse = &lint.Rule{
	Name:     "gauge-coarse",
	Severity: lint.Warning,
	Title:    "a gauge too coarse for the tolerance that it decides",
	Page: lint.Page{
		What: "The resolution and the expanded uncertainty U of the gauge are compared with the width T of the limits that held on the day of the readings. " +
			"What is estimated between the marks (reads_to) does not count as resolution here.",
		Why:     "The last digit of the gauge decides then, and not the part.",
		Formula: "resolution <= T / 10; T / (2 U) >= 4, and below 2 the gauge decides nothing.",
		Source:  "Common practice (rule of ten; test uncertainty ratio of 4). What U does to a decision: ISO 14253-1.",
		Cure:    "Decide with a finer gauge, or compare the part with a master of nearly its size (comparison = true).",
		Concede: "Two parts compared on one indicator, limit gauges, and readings for set-up or trial are left in peace. Else concede it with what makes the decision sure.",
	},
	Check: checkGaugeCoarse,
}

// tooCoarse: ten counts in the tolerance, and four times twice the uncertainty.
var (
	countsWanted = big.NewRat(10, 1)
	ratioWanted  = big.NewRat(4, 1)
	ratioUseless = big.NewRat(2, 1)
)

func checkGaugeCoarse(p *lint.Pass) {
	eachInspection(p, func(rec *ledger.Record, in *ledger.Inspection) {
		g := p.S.Gauging(rec)
		if g == nil || g.Attribute || in.Compare.B || in.Purpose.S == "set-up" || in.Purpose.S == "trial" || !in.HasSizes() {
			return
		}
		f := lint.Found{Fix: "decide with a finer gauge, or compare with a master of nearly that size"}
		var said []string
		if g.PerCount != nil && g.PerCount.Cmp(countsWanted) < 0 {
			said = append(said, fmt.Sprintf("%s of its steps of %s (10 wanted)", times(g.PerCount), g.Gauge.Resolution.Nominal()))
			f.Numbers = append(f.Numbers, lint.Number{Name: "resolution", Q: g.Gauge.Resolution.Nominal()})
			f.Related = append(f.Related, lint.Place{Rec: g.GaugeRec, Span: g.Gauge.Resolution.Span, Message: "resolution of " + g.GaugeRec.ID()})
		}
		if g.Ratio != nil && g.Ratio.Cmp(ratioWanted) < 0 {
			said = append(said, fmt.Sprintf("%s x 2 U with U = %s (4 wanted)", times(g.Ratio), g.Gauge.U.Nominal()))
			f.Numbers = append(f.Numbers, lint.Number{Name: "uncertainty", Q: g.Gauge.U.Nominal()}, lint.Number{Name: "ratio", Q: number(g.Ratio)})
			f.Related = append(f.Related, lint.Place{Rec: g.GaugeRec, Span: g.Gauge.U.Span, Message: "uncertainty of " + g.GaugeRec.ID()})
			if g.Ratio.Cmp(ratioUseless) < 0 {
				f.Fix = "this gauge decides nothing here: " + f.Fix
			}
		}
		if len(said) == 0 {
			return
		}
		f.Message = fmt.Sprintf("%s is too coarse for %s: the limits are %s wide, only %s", g.GaugeRec.ID(), in.Characteristic.S, g.Width, strings.Join(said, " and "))
		f.Numbers = append(f.Numbers, lint.Number{Name: "tolerance", Q: g.Width})
		f.Related = append(f.Related, lint.Place{Rec: g.CharRec, Span: g.Char.Limits.Span, Message: fmt.Sprintf("the limits of %s: %s", in.Characteristic.S, g.Char.Limits.Tol)})
		p.Report(rec, in.Gauge.Span, f)
	})
}
