package rules

import (
	"fmt"
	"slices"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var valueImpossible = &lint.Rule{
	Name:     "value-impossible",
	Severity: lint.Warning,
	Title:    "a value that cannot be real",
	Page: lint.Page{
		What: "Each reading is compared with its nominal and the width T of the limits of its day, with the range of its gauge, and with the smallest step that is read on the gauge (reads_to, else resolution). " +
			"Sizes are looked at for a minus, and pins for being far smaller than the holes that they locate. Eight pieces and more are looked at for readings that are all the same. A reading that units-mixed explains is not told twice.",
		Why:     "One slip of the decimal point moves averages, offsets and verdicts.",
		Formula: "|reading - nominal| <= 20 T; reading within the gauge's range; reading = whole number of steps of the gauge; size >= 0; smallest hole - largest pin <= 0.010 in (0.25 mm) and <= a tenth of the hole.",
		Source:  "Common practice. That a reading has no more digits than the gauge shows: resolution, VIM (JCGM 200:2012) 4.14.",
		Cure:    "Look the value up in the notes or measure again. A reading that is wrong and cannot be had again gets state = \"void\" with its reason.",
		Concede: "Readings that are all the same are real where the parts differ by less than the gauge shows: a finer gauge would tell, or concede it with that reason. Averages of several readings may have more digits than the gauge.",
	},
	Check: checkValueImpossible,
}

func checkValueImpossible(p *lint.Pass) {
	for _, rec := range p.L.Records {
		negativeSizes(p, rec)
	}
	smallPins(p)
	eachInspection(p, func(rec *ledger.Record, in *ledger.Inspection) {
		r := p.S.OddReadings(rec)
		var far, negative, range_, fine []study.Read
		for _, v := range r.Live {
			switch {
			case v.Slip != nil || v.OtherKind:
			case v.Far:
				far = append(far, v)
			case v.Negative:
				negative = append(negative, v)
			case v.OutOfRange:
				range_ = append(range_, v)
			case v.TooFine:
				fine = append(fine, v)
			}
		}
		if len(far) > 0 {
			p.Report(rec, far[0].Written.Span, farOut(r, far))
		}
		if len(negative) > 0 {
			v := negative[0]
			p.Report(rec, v.Written.Span, lint.Found{
				Message: fmt.Sprintf("%s: %s of %s is below zero%s", piece(v), readingIn(v, limitUnit(r)), in.Characteristic.S, andMore(len(negative), "such reading")),
				Fix:     "take the minus out, or say what the readings deviate from (deviation_in, nominal_is)",
				Related: others(r, negative),
			})
		}
		if len(range_) > 0 {
			v := range_[0]
			p.Report(rec, v.Written.Span, lint.Found{
				Message: fmt.Sprintf("%s: %s lies outside what %s can measure, %s%s", piece(v), readingIn(v, limitUnit(r)), r.GaugeRec.ID(), r.Gauge.Range.Tol, andMore(len(range_), "such reading")),
				Fix:     "correct the reading, or name the gauge that was used",
				Numbers: []lint.Number{{Name: "reading", Q: v.Full}},
				Related: append(others(r, range_), lint.Place{Rec: r.GaugeRec, Span: r.Gauge.Range.Span, Message: "the range of " + r.GaugeRec.ID()}),
			})
		}
		if len(fine) > 0 {
			v := fine[0]
			p.Report(rec, v.Written.Span, lint.Found{
				Message: fmt.Sprintf("%s: %s has digits that %s cannot show; it reads in steps of %s%s", piece(v), readingIn(v, limitUnit(r)), r.GaugeRec.ID(), r.Step.Nominal(), andMore(len(fine), "such reading")),
				Fix:     "write what the gauge showed, or name the gauge that was used",
				Numbers: []lint.Number{{Name: "reading", Q: v.Written.Nominal()}, {Name: "step", Q: r.Step.Nominal()}},
				Related: []lint.Place{{Rec: r.GaugeRec, Span: r.Step.Span, Message: "the step of " + r.GaugeRec.ID()}},
			})
		}
		if r.Same > 0 && len(r.Live) > 0 {
			v := r.Live[0]
			p.Report(rec, v.Written.Span, lint.Found{
				Message: fmt.Sprintf("all %d pieces read the same: %s", r.Same, readingIn(v, limitUnit(r))),
				Fix:     "see whether the readings were copied; if they are real, use a finer gauge, or concede with that reason",
				Numbers: []lint.Number{{Name: "pieces", Q: count(r.Same, "parts")}},
			})
		}
	})
}

func farOut(r *study.Readings, far []study.Read) lint.Found {
	v := far[0]
	lim := r.Char.Limits
	width, _ := lim.Tol.Width()
	f := lint.Found{
		Message: fmt.Sprintf("%s: %s lies %s from %s of %s, more than %d times their width of %s%s",
			piece(v), readingIn(v, limitUnit(r)), study.ShowIn(v.Off(), lim.Nominal().Unit()), nominalOf(lim), r.In.Characteristic.S, study.FarOut, width, andMore(len(far), "such reading")),
		Fix:     "look the reading up: a slip of the decimal point, or another characteristic",
		Numbers: []lint.Number{{Name: "reading", Q: v.Full}, {Name: "nominal", Q: lim.Nominal()}, {Name: "tolerance", Q: width}},
		Related: append(others(r, far), lint.Place{Rec: r.CharRec, Span: lim.Span, Message: fmt.Sprintf("the limits of %s: %s", r.In.Characteristic.S, lim.Tol)}),
	}
	return f
}

// neverNegative are the keys of sizes of things, which have no minus.
var neverNegative = map[string]bool{
	"size": true, "as_made": true, "land": true, "height": true, "thickness": true, "diameter": true, "position": true,
	"resolution": true, "reads_to": true, "uncertainty": true, "go": true, "not_go": true, "life": true, "count": true,
	"at_count": true, "pieces": true, "hours": true,
}

// smallPins reports pins far smaller than their holes, at the size that is the
// odd one of the station, each once.
func smallPins(p *lint.Pass) {
	seen := map[place]bool{}
	for _, rec := range p.L.Records {
		for _, s := range p.S.PinSlips(rec) {
			at, other := lint.Place{Rec: rec, Span: s.PinSize.Span}, lint.Place{Rec: s.HoleRec, Span: s.HoleSize.Span, Message: fmt.Sprintf("the hole, %s/%s: %s", s.HoleRec.ID(), s.HoleName, s.HoleSize.Tol)}
			if s.Hole {
				at, other = lint.Place{Rec: s.HoleRec, Span: s.HoleSize.Span}, lint.Place{Rec: rec, Span: s.PinSize.Span, Message: fmt.Sprintf("the pin, %s: %s", s.Pin.ID.S, s.PinSize.Tol)}
			}
			key := place{at.Rec, at.Span}
			if seen[key] || mixedUp(p, rec, s.PinSize.Span) || mixedUp(p, s.HoleRec, s.HoleSize.Span) {
				continue
			}
			seen[key] = true
			clearance := study.Show(s.Clearance)
			message := fmt.Sprintf("pin %s, %s, is %s smaller than its hole %s/%s, %s: it cannot locate", s.Pin.ID.S, s.PinSize.Tol, clearance, s.HoleRec.ID(), s.HoleName, s.HoleSize.Tol)
			if s.Hole {
				message = fmt.Sprintf("hole %s, %s, is %s larger than its pin %s of %s, %s: that pin cannot locate it", s.HoleName, s.HoleSize.Tol, clearance, s.Pin.ID.S, rec.ID(), s.PinSize.Tol)
			}
			fix := "look both sizes up: a slip of the decimal point, or another pin"
			if s.Times > 0 {
				message += fmt.Sprintf("; the hole is about %d times as large", s.Times)
				fix = "look both sizes up: the decimal point has slipped in one of them"
			}
			p.Report(at.Rec, at.Span, lint.Found{
				Message: message, Fix: fix, Related: []lint.Place{other},
				Numbers: []lint.Number{{Name: "pin", Q: s.PinSize.Nominal()}, {Name: "hole", Q: s.HoleSize.Nominal()}, {Name: "clearance", Q: s.Clearance}, {Name: "most", Q: s.Most}},
			})
		}
	}
}

// place is where something stands, for telling it once.
type place struct {
	rec *ledger.Record
	at  ledger.Span
}

// mixedUp reports whether units-mixed speaks of a size.
func mixedUp(p *lint.Pass, rec *ledger.Record, at ledger.Span) bool {
	for _, m := range p.S.MixedSizes(rec) {
		if m.Span == at {
			return true
		}
	}
	_, list := p.S.OtherSystem(rec)
	return slices.ContainsFunc(list, func(k ledger.KeySize) bool { return k.Span == at })
}

func negativeSizes(p *lint.Pass, rec *ledger.Record) {
	for _, k := range rec.Sizes() {
		if neverNegative[k.Key] && k.Nominal().Sign() < 0 {
			p.Report(rec, k.Span, lint.Found{
				Message: fmt.Sprintf("%s: %s is below zero", k.Key, k.Nominal()),
				Fix:     "take the minus out",
				Numbers: []lint.Number{{Name: k.Key, Q: k.Nominal()}},
			})
		}
	}
}
