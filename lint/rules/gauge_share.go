package rules

import (
	"fmt"
	"math/big"

	"tenths/calc/gauge"
	"tenths/calc/quantity"
	"tenths/ledger/study"
	"tenths/lint"
)

var gaugeShare = &lint.Rule{
	Name:     "gauge-share",
	Severity: lint.Warning,
	Title:    "a GO / NOT GO pair that takes too much of the tolerance for itself",
	Page: lint.Page{
		What: "The tolerances of the GO and the NOT GO member together are compared with the width T of the limits that the pair is for (checks). " +
			"A member's tolerance is the one written with its size, else that of its class; a plain size of a gauge with a stated uncertainty U is one as measured, and 2 U counts. " +
			"A pair that does not stand at its limits at all is told by limits-not-bracketed.",
		Why:     "Parts are turned away that are good: the trouble with the fit is then in the gauge.",
		Formula: "(t_GO + t_NOTGO) / T: at most 10 % wanted, over 20 % is reported, over 40 % says stop.",
		Source: "Ten percent rule, 5 % for each of the two: common practice (gauge makers' pages; one of them writes it as 5 % for each gauge). 20 % and 40 %: common practice. " +
			"Widths of the classes: ASME B89.1.5.",
		Cure: "Use a pair of a finer class, or have the two measured and write what they really are, with the uncertainty.",
		Concede: "Members as measured count only with their uncertainty. A pair whose NOT GO is centred on its limit is made to ISO 1938-1 or DIN 7162, which set their own tolerances, and is left in peace. " +
			"Concede it where good parts that the pair refuses are measured again.",
	},
	Check: checkGaugeShare,
}

func checkGaugeShare(p *lint.Pass) {
	for _, rec := range p.L.Records {
		pair := p.S.PairShare(rec)
		if pair == nil || !inUse(p, pair.Gauge) {
			continue
		}
		stop := ""
		switch pair.Share.Verdict {
		case gauge.Warn:
		case gauge.Stop:
			stop = "stop: "
		default:
			continue
		}
		f := lint.Found{
			Message: fmt.Sprintf("%s%s takes %s of the tolerance %s of %s for itself (10 %% wanted): %s",
				stop, rec.ID(), wholePercent(pair.Share.Percent), pair.Tolerance, pair.Gauge.For.S, ownTolerances(pair)),
			Numbers: []lint.Number{{Name: "share", Q: pair.Share.Percent}, {Name: "tolerance", Q: pair.Tolerance}},
			Related: []lint.Place{{Rec: pair.SizeRec, Span: pair.Size.Span, Message: fmt.Sprintf("the limits of %s: %s", pair.Gauge.For.S, pair.Size.Tol)}},
			Fix:     "measure the size with a gauge that shows it: not even the finest class leaves a pair for so narrow a tolerance",
		}
		if b := pair.Better; b != nil {
			w, _ := b.Go.Width()
			f.Fix = fmt.Sprintf("use a pair of class %s (%s each), or have the members measured and enter what they are, with the uncertainty", b.Class, w)
			if pair.Go.From == study.ToleranceUncertainty || pair.NotGo.From == study.ToleranceUncertainty {
				f.Fix = fmt.Sprintf("have the members measured better, or use a pair of class %s (%s each)", b.Class, w)
			}
		}
		if stop != "" {
			f.Fix = "decide nothing by this pair; " + f.Fix
		}
		at := firstSet(pair.Go.Member.Span, pair.NotGo.Member.Span)
		if pair.Go.From == study.ToleranceOfClass || pair.NotGo.From == study.ToleranceOfClass {
			at = pair.Gauge.Class.Span
		}
		p.Report(rec, at, f)
	}
}

// wholePercent prints a share, rounded up so that what is over a line never
// reads as on it.
func wholePercent(share quantity.Quantity) string {
	v, err := share.In(share.Unit())
	if err != nil {
		return share.String()
	}
	whole, rest := new(big.Int).QuoRem(v.Num(), v.Denom(), new(big.Int))
	if rest.Sign() > 0 {
		whole.Add(whole, big.NewInt(1))
	}
	return quantity.New(new(big.Rat).SetInt(whole), share.Unit()).String()
}

// ownTolerances names the tolerances of the members that are known: "GO 0.0002 in
// (class ZZ) and NOT GO 0.0002 in (class ZZ)".
func ownTolerances(pair *study.PairShare) string {
	var out []string
	for _, m := range []struct {
		name string
		own  study.OwnTolerance
	}{{"GO", pair.Go}, {"NOT GO", pair.NotGo}} {
		text := m.name + " " + m.own.Width.String()
		switch m.own.From {
		case study.ToleranceUnknown:
			continue
		case study.ToleranceOfClass:
			text += fmt.Sprintf(" (class %s)", m.own.Class)
		case study.ToleranceUncertainty:
			text += " (as measured, 2 U)"
		}
		out = append(out, text)
	}
	return listed(out)
}
