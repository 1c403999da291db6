package rules

import (
	"fmt"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var passedOutside = &lint.Rule{
	Name:     "passed-outside",
	Severity: lint.Error,
	Title:    "an inspection says conforms, but a reading lies outside the limits of its day",
	Page: lint.Page{
		What:    "Each reading of an inspection with result = \"conforms\" is compared with the limits that held on its day. Void and superseded pieces are left out, and readings that units-mixed explains.",
		Why:     "A part outside the limits is in the batch as a good one.",
		Formula: "lower limit <= reading <= upper limit, exactly; a reading on a limit is inside. Deviations are added to their nominal first.",
		Source:  "Conformity with limits of size: ISO 14405-1; requirement fulfilled or not: ISO 9000, 3.6.11 and 3.6.9. The gauge's uncertainty is not counted here (ISO 14253-1).",
		Cure:    "Set the piece aside and write result = \"does not conform\", or correct the reading.",
		Concede: "A piece that is let through knowingly (a concession in the sense of ISO 9000, 3.12.5) is conceded here with who agreed and why.",
	},
	Check: checkPassedOutside,
}

func checkPassedOutside(p *lint.Pass) {
	eachInspection(p, func(rec *ledger.Record, in *ledger.Inspection) {
		if in.Result.S != "conforms" {
			return
		}
		r := p.S.Readings(rec)
		var out []study.Read
		for _, v := range r.Live {
			if v.HasLimits && (v.Side == quantity.Below || v.Side == quantity.Above) && v.Slip == nil {
				out = append(out, v)
			}
		}
		if len(out) == 0 {
			return
		}
		v := out[0]
		lim := r.Char.Limits
		limit, beyond := v.Limit()
		side := "above the upper"
		if v.Side == quantity.Below {
			side = "below the lower"
		}
		p.Report(rec, v.Written.Span, lint.Found{
			Message: fmt.Sprintf("%s: %s is %s limit %s of %s by %s%s; the result says conforms", piece(v), readingIn(v, limitUnit(r)), side, limit, in.Characteristic.S, study.ShowIn(beyond, limit.Unit()), andMore(len(out), "such reading")),
			Fix:     "set the piece aside and write result = \"does not conform\", or correct the reading",
			Numbers: []lint.Number{{Name: "reading", Q: v.Full}, {Name: "limit", Q: limit}, {Name: "beyond", Q: beyond}},
			Related: append(others(r, out), lint.Place{Rec: r.CharRec, Span: lim.Span, Message: fmt.Sprintf("the limits of %s on that day: %s", in.Characteristic.S, lim.Tol)}),
		})
	})
}
