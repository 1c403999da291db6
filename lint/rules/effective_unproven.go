package rules

import (
	"fmt"
	"slices"
	"strings"

	"tenths/calc/stats"
	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var effectiveUnproven = &lint.Rule{
	Name:     "effective-unproven",
	Severity: lint.Warning,
	Gap:      true,
	Title:    "a change called effective that its readings do not show to be",
	Page: lint.Page{
		What: "A change in the state \"verified effective\" must have readings after it, taken after the work, and the comparison of before and after must show that its characteristic came nearer to where it should be. " +
			"Where each of several points is judged by itself, one at least must be shown better and none worse. Readings in doubt count, but must not be what the proof hangs on. Readings that value-impossible or units-mixed already doubts are left to them, and a difference smaller than the gauge can show to below-resolution.",
		Why:     "Many a problem that was called cured comes back, and then nobody knows whether it was ever cured.",
		Formula: "Difference of the means ± t·sqrt(sb²/nb + sa²/na) with 95 %, with the uncertainty of a changed gauge and the resolution taken in; the same pieces by their differences; spreads by the ratio of variances, counts by the exact test, grades by touch by exact ranks. Each of k points is held to 1 - 0.05/k.",
		Source: "Welch, Biometrika 34 (1947) 28; NIST/SEMATECH e-Handbook 1.3.5.3 and 1.3.5.9; R. A. Fisher's exact test; rank sum of Wilcoxon, Mann and Whitney; several points: Bonferroni's inequality (e-Handbook 7.4.7.3); resolution after JCGM 100 F.2.2.1. " +
			"That nothing is called effective without readings after it: common practice.",
		Cure:    "Take the readings; or call it inconclusive, not effective or harmful, as they say. That is worth as much to whoever tries it next.",
		Concede: "If it is judged by something else than readings before and after, such as a survey of the pins or a change for comfort, write that into criterion; then nothing is reported.",
	},
	Check: func(p *lint.Pass) {
		for _, rec := range p.L.Records {
			ch, ok := rec.Data.(*ledger.Change)
			if !ok || ch.State.S != "verified effective" || ch.Criterion.Set() || tooEarly(p, rec, ch) || ch.Done.Set() && ch.Done.T.After(p.AsOf) {
				continue
			}
			checkEffective(p, rec, ch)
		}
	},
}

func checkEffective(p *lint.Pass, rec *ledger.Record, ch *ledger.Change) {
	unproven := func(at ledger.Span, message, fix string, numbers []lint.Number, related ...lint.Place) {
		p.Report(rec, firstSet(at, ch.State.Span), lint.Found{
			Message: fmt.Sprintf("%s is called effective, but %s", rec.ID(), message), Fix: fix, Numbers: numbers, Related: related,
		})
	}
	const measure = "take the readings after the change, on the same characteristic, points and gauge as before; or say with criterion how it was judged"
	var ev *study.Evidence
	for _, e := range p.S.Evidence(rec) {
		if e.Primary {
			ev = e
		} else if e.Effect == study.Better && !ch.Characteristic.Set() && !ch.Before.Set() && !ch.After.Set() {
			return // judged by what stands under also
		}
	}
	after := lookUp(p, ch.After)
	switch {
	case after.elsewhere:
		return
	case after.lack != "":
		unproven(ch.After.Span, after.lacks("after"), measure, nil)
		return
	case ev == nil || ev.After == nil && ev.Char == nil && !ch.Characteristic.Set():
		unproven(ledger.Span{}, "it names no characteristic, so nothing says what became better", "name the characteristic that was to become better, and the readings before and after", nil)
		return
	case ev.Char == nil || ev.Before == nil || ev.After == nil:
		return // a broken reference, or before-missing
	case ev.BelowGauge():
		return // below-resolution
	case ev.Effect == study.Better && (ev.WithoutDoubt == "" || ev.WithoutDoubt == study.Better), oddReadings(p, ev):
		return
	case ev.Effect == study.Better:
		unproven(ledger.Span{}, fmt.Sprintf("what shows it is in doubt: %s; without them: %s", ev.DoubtText(), ev.WithoutDoubt),
			"measure again, or settle the doubt and say so in the readings (state, doubt, why); else call it inconclusive", nil,
			lint.Place{Rec: ev.Before.Rec, Message: "readings before"}, lint.Place{Rec: ev.After.Rec, Message: "readings after"})
		return
	}
	message, fix := unshown(p, ev)
	if d := ev.DoubtText(); d != "" {
		message += "; in doubt: " + d
	}
	var numbers []lint.Number
	if ev.C.HasInterval {
		numbers = []lint.Number{{Name: "difference", Q: ev.Shown(ev.C.Difference)}, {Name: "low", Q: ev.Shown(ev.C.Low)}, {Name: "high", Q: ev.Shown(ev.C.High)}}
	}
	unproven(ledger.Span{}, message, fix, numbers,
		lint.Place{Rec: ev.Before.Rec, Message: "readings before"}, lint.Place{Rec: ev.After.Rec, Message: "readings after"})
}

// tooEarly reports readings after that were taken before the work was done. Days
// are compared with each other, whatever day is asked for.
func tooEarly(p *lint.Pass, rec *ledger.Record, ch *ledger.Change) bool {
	pairs := [][2]ledger.Ref{{ch.Before, ch.After}}
	if !ch.Characteristic.Set() && !ch.Before.Set() && !ch.After.Set() {
		for _, e := range ch.Also {
			pairs = append(pairs, [2]ledger.Ref{e.Before, e.After})
		}
	}
	for _, pair := range pairs {
		o := p.S.OrderOf(ch.Done, pair[0], pair[1])
		if !o.AfterEarly {
			continue
		}
		p.Report(rec, pair[1].Span, lint.Found{
			Message: fmt.Sprintf("%s is called effective, but its readings after, %s, were taken on %s, before the work was done on %s", rec.ID(), o.After.ID(), o.Then, ch.Done),
			Fix:     "name readings from after the work, or put the wrong day right",
			Related: []lint.Place{{Rec: o.After, Span: o.Then.Span, Message: "day of the readings"}, {Rec: rec, Span: ch.Done.Span, Message: "day of the work"}},
		})
		return true
	}
	return false
}

// oddReadings reports whether value-impossible or units-mixed already speaks of
// a reading of the comparison that moves its numbers.
func oddReadings(p *lint.Pass, ev *study.Evidence) bool {
	for _, g := range []*study.Group{ev.Before, ev.After, ev.Back} {
		if g == nil {
			continue
		}
		r := p.S.OddReadings(g.Rec)
		if r != nil && slices.ContainsFunc(r.Live, func(v study.Read) bool { return v.Slip != nil || v.OtherKind || v.Far || v.Negative || v.OutOfRange }) {
			return true
		}
	}
	return false
}

// unshown says what the comparison came to, and what to do about it.
func unshown(p *lint.Pass, ev *study.Evidence) (message, fix string) {
	name := ev.CharRec.ID() + "/" + ev.Char.ID.S
	head := map[study.Effect]string{
		study.NotShown: "its readings do not show it", study.Worse: "its readings show that it became worse",
		study.CannotTell: "its readings cannot tell", study.TooFew: "there are too few readings to tell",
	}[ev.Effect]
	fix = "call it inconclusive, or show it with more parts"
	switch {
	case !ev.Before.HasNumbers() || !ev.After.HasNumbers():
		if ev.Touch != nil {
			message = fmt.Sprintf("%s: %s by touch, grades 0, 1, 2: %v before, %v after; chance alone gives grades as unlike as these in %s",
				head, name, ev.Touch.Before, ev.Touch.After, share(ev.Touch.Rank.P))
		} else if ev.HasCounts {
			message = fmt.Sprintf("%s: %s %d of %d before, %d of %d after; chance alone gives a difference like that in %s",
				head, name, ev.Before.Count.Hit, ev.Before.Count.Of, ev.After.Count.Hit, ev.After.Count.Of, share(ev.Counts.TwoSided))
			if k := ev.CountsNeeded(); k > 1 {
				fix += fmt.Sprintf(": %d and %d with the same shares would do, %d and %d more", k*ev.Before.Count.Of, k*ev.After.Count.Of, (k-1)*ev.Before.Count.Of, (k-1)*ev.After.Count.Of)
			}
		} else {
			message = fmt.Sprintf("%s: %s has no reading that can be compared", head, name)
		}
	case ev.Problem != "":
		message, fix = ev.Problem, "compare readings of the same points"
	case ev.PerPoint:
		message = fmt.Sprintf("%s: %s, each of %d points by itself: %s; %d + %d pieces", head, name, len(ev.Points), pointWords(ev), ev.Before.N(), ev.After.N())
		fix = "call it inconclusive, or show it with more parts; a point that was meant beforehand can be named (points), and is then judged alone"
		if slices.ContainsFunc(ev.Points, func(pt study.PointEvidence) bool { return pt.Worse }) {
			fix = "look at the point that became worse before it is called effective; or call it inconclusive"
		}
	case ev.Claim == "spread":
		message = fmt.Sprintf("%s: the spread of %s went from %s to %s, %d + %d readings", head, name,
			ev.Shown(ev.Spread.Before.SD), ev.Shown(ev.Spread.After.SD), ev.Spread.Before.N, ev.Spread.After.N)
		if r := study.RatioFrom(ev.Spread); r > 0 {
			message += fmt.Sprintf("; so many show a ratio of %.1f or more", r)
		}
	default:
		message = fmt.Sprintf("%s: %s changed by %s", head, name, withSign(ev.Shown(ev.C.Difference).String()))
		if ev.C.HasInterval {
			low := strings.TrimSuffix(ev.Shown(ev.C.Low).String(), " "+ev.Unit.Name())
			message += fmt.Sprintf(" (95 %%: %s to %s)", withSign(low), withSign(ev.Shown(ev.C.High).String()))
		}
		message += fmt.Sprintf(", %d + %d readings", ev.C.Before.N, ev.C.After.N)
		switch r := p.S.Reach(ev); {
		case ev.C.Verdict == stats.CannotTell && ev.C.Reason != stats.TooFew:
			message += "; " + string(ev.C.Reason)
			fix = "call it inconclusive, or show it with a finer gauge, the same one before and after"
		case ev.Effect == study.NotShown && r.Sees > 0:
			message += fmt.Sprintf("; so many show a change of %s or more", ev.Shown(r.Sees))
			if r.Need > r.N {
				if r.Plan == stats.Pairs {
					fix += fmt.Sprintf(": %d pairs would show a change of %s, %d more", r.Need, ev.Shown(r.Want), r.Need-r.N)
				} else {
					fix += fmt.Sprintf(": %d + %d would show a change of %s, %d more on each side", r.Need, r.Need, ev.Shown(r.Want), r.Need-r.N)
				}
			}
		}
	}
	if ev.Effect == study.Worse {
		fix = "call it harmful or not effective, and go back"
	}
	return message, fix
}

// pointWords says at which points the readings show what.
func pointWords(ev *study.Evidence) string {
	var better, worse, other []string
	for _, pt := range ev.Points {
		b, a := pt.C.Before.Mean, pt.C.After.Mean
		if ev.Claim == "spread" {
			b, a = pt.Spread.Before.SD, pt.Spread.After.SD
		}
		text := fmt.Sprintf("%s (%s to %s)", pt.Point, strings.TrimSuffix(ev.Shown(b).String(), " "+ev.Unit.Name()), ev.Shown(a))
		switch {
		case pt.Worse:
			worse = append(worse, text)
		case pt.Better:
			better = append(better, text)
		default:
			other = append(other, text)
		}
	}
	var parts []string
	for _, x := range []struct {
		word   string
		points []string
	}{{"worse", worse}, {"better", better}, {"not shown better", other}} {
		if x.points != nil {
			parts = append(parts, x.word+" at "+strings.Join(x.points, ", "))
		}
	}
	return strings.Join(parts, "; ")
}

// withSign puts a plus before a number that has no minus.
func withSign(text string) string {
	if strings.HasPrefix(text, "-") {
		return text
	}
	return "+" + text
}

// share prints a probability as cases out of a hundred.
func share(p float64) string {
	if p < 0.01 {
		return "less than 1 case of 100"
	}
	return fmt.Sprintf("%.0f cases of 100", 100*p)
}

// readings is what stands behind a reference to an inspection.
type readings struct {
	rec *ledger.Record
	in  *ledger.Inspection
	// lack says why the readings do not count; "" if they do.
	lack string
	// elsewhere is set if another rule speaks of the trouble, or the readings
	// are later than the day asked for.
	elsewhere bool
}

func lookUp(p *lint.Pass, ref ledger.Ref) readings {
	if !ref.Set() {
		return readings{lack: "none"}
	}
	r := readings{rec: p.L.Record(ref.S)}
	if r.rec == nil {
		return readings{elsewhere: true}
	}
	var ok bool
	if r.in, ok = r.rec.Data.(*ledger.Inspection); !ok {
		return readings{elsewhere: true}
	}
	switch {
	case r.in.On.Set() && r.in.On.T.After(p.AsOf):
		r.elsewhere = true
	case r.rec.Quiet():
		r.lack = "are only a draft"
	case r.in.State.S == "void" || r.in.State.S == "superseded":
		r.lack = "are " + r.in.State.S
	case !r.in.HasReadings():
		r.lack = "hold no reading"
	}
	return r
}

// lacks says the lack in words.
func (r readings) lacks(when string) string {
	if r.rec == nil {
		return "there are no readings " + when + " it"
	}
	return fmt.Sprintf("its readings %s, %s, %s", when, r.rec.ID(), r.lack)
}
