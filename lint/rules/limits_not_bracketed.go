package rules

import (
	"fmt"
	"math/big"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var limitsNotBracketed = &lint.Rule{
	Name:     "limits-not-bracketed",
	Severity: lint.Error,
	Title:    "a GO / NOT GO pair that does not stand at the limits it is for",
	Page: lint.Page{
		What: "Each member of a pair, as measured or at the bad end of its own tolerance, is compared with the limit that it guards: on a hole GO with the lower and NOT GO with the upper limit, on a shaft the other way round. " +
			"A member that lies more than a quarter of the tolerance inside its limit is a note, unless the pair is meant to (inside_limits = true).",
		Why: "Bad parts pass where a member lies outside the limits; where it lies far inside, good holes are bored open.",
		Formula: "hole: smallest GO >= lower limit, largest NOT GO <= upper limit; shaft: largest GO <= upper limit, smallest NOT GO >= lower limit. " +
			"The making tolerance of a NOT GO member may be centred on its limit, up to T / 8 to each side.",
		Source:  "ISO 1938-1 (limit gauges of plain workpieces); NOT GO centred on its limit: DIN 7162. The quarter and the eighth: common practice.",
		Cure:    "Use a pair for these limits, or enter the members as measured if they are better than their class.",
		Concede: "A pair that steers the process inside the limits on purpose gets inside_limits = true.",
	},
	Check: checkLimitsNotBracketed,
}

// farInside is the part of the tolerance that a member may take away.
var farInside = big.NewRat(1, 4)

func checkLimitsNotBracketed(p *lint.Pass) {
	for _, rec := range p.L.Records {
		pair := p.S.LimitGauge(rec)
		if pair == nil || !inUse(p, pair.Gauge) {
			continue
		}
		if pair.Crossed {
			p.Report(rec, pair.Go.Size.Span, lint.Found{
				Message: fmt.Sprintf("GO %s and NOT GO %s are exchanged: on a %s the GO member is the %s one", pair.Go.Size.Tol, pair.NotGo.Size.Tol, piecename(pair), smaller(pair)),
				Fix:     "exchange go and not_go",
				Related: []lint.Place{{Rec: rec, Span: pair.NotGo.Size.Span, Message: "NOT GO"}},
			})
			continue
		}
		member(p, rec, pair, "GO", pair.Go, !pair.Inside)
		member(p, rec, pair, "NOT GO", pair.NotGo, pair.Inside)
	}
}

// inUse leaves out gauges that decide nothing on the day asked for.
func inUse(p *lint.Pass, g *ledger.Gauge) bool {
	switch g.State.S {
	case "failed", "out of service", "consumed":
		return false
	}
	return !g.Until.Set() || !p.AsOf.After(g.Until.T)
}

func piecename(pair *study.LimitGauge) string {
	if pair.Inside {
		return "hole"
	}
	return "shaft"
}

func smaller(pair *study.LimitGauge) string {
	if pair.Inside {
		return "smaller"
	}
	return "larger"
}

// member reports a member that lies on the wrong side of its limit.
func member(p *lint.Pass, rec *ledger.Record, pair *study.LimitGauge, name string, m study.Member, upper bool) {
	if m.Limit.IsZeroValue() {
		return // there is no such member, or no such limit
	}
	limit, passes, end := "lower", "too small", "smallest"
	if upper {
		limit, passes, end = "upper", "too large", "largest"
	}
	f := lint.Found{
		Numbers: []lint.Number{{Name: "member", Q: m.Worst}, {Name: limit + "_limit", Q: m.Limit}, {Name: "beyond", Q: m.Beyond}},
		Related: []lint.Place{{Rec: pair.SizeRec, Span: pair.Size.Span, Message: fmt.Sprintf("the limits of %s: %s", pair.Gauge.For.S, pair.Size.Tol)}},
	}
	at := m.Worst.String()
	if m.Size.Tol.HasLower() || m.Size.Tol.HasUpper() {
		at = fmt.Sprintf("at its %s %s", end, m.Worst)
	}
	switch {
	case m.Out:
		f.Message = fmt.Sprintf("%s, %s, lies outside the %s limit %s of %s by %s: %ss that are %s pass", name, at, limit, m.Limit, pair.Gauge.For.S, m.Beyond, piecename(pair), passes)
		f.Fix = "take the pair out of use and use one for these limits, or enter the member as measured"
	case m.Share != nil && m.Share.Cmp(farInside) > 0 && !pair.Gauge.Inside.B:
		f.Softer = true
		f.Message = fmt.Sprintf("%s, %s, lies %s inside the %s limit %s of %s: good %ss are turned away", name, at, m.Beyond.Neg(), limit, m.Limit, pair.Gauge.For.S, piecename(pair))
		f.Fix = "set inside_limits = true if that is on purpose, or use a pair for these limits"
	default:
		return
	}
	p.Report(rec, m.Size.Span, f)
}
