package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/stats"
	"tenths/ledger/study"
)

// withLevels lists the types of characteristic whose level may be public: gaps,
// steps and errors of form and place. The level of a size would be the size.
var withLevels = []string{"step", "position", "runout", "flatness", "profile", "taper", "tilt"}

// largestLevel is the largest level or change, in mm, that is told: what is
// larger is a size, whatever it is called, or a slip of the pen.
const largestLevel = 0.5

// mayTellLevel reports whether the level of a characteristic tells no size: it
// is counted from a nominal that the limits are written about, or from a zero
// that lies within them, as that of a gap or an error of form.
func mayTellLevel(ev *study.Evidence) bool {
	lim := ev.Char.Limits
	if !slices.Contains(withLevels, ev.Char.Type.S) || !lim.Set() {
		return false
	}
	for _, g := range []*study.Group{ev.Before, ev.After} {
		// nominal_is of an inspection is a size of its own.
		if g != nil && g.In.NominalIs.Set() {
			return false
		}
	}
	if lim.Tol.Form != quantity.Limits && lim.Tol.Form != quantity.AtMost && lim.Tol.Form != quantity.AtLeast {
		d, err := ev.Base.Cmp(lim.Nominal())
		return err == nil && d == 0
	}
	return ev.Base.Sign() == 0 && !(ev.Limits[0] > 0) && !(ev.Limits[1] < 0)
}

// tooLarge reports whether one of the numbers is a length that may not be told.
func tooLarge(ev *study.Evidence, numbers ...float64) bool {
	for _, v := range numbers {
		if mm, err := ev.Q(v).As(quantity.Millimetre); err == nil && !(math.Abs(mm.Float()) <= largestLevel) {
			return true
		}
	}
	return false
}

// result puts what came out at a characteristic into a line of the log.
func (b *entryBuilder) result(ev *study.Evidence) Result {
	if !b.opt.Public {
		e := evidenceOf(b.s, ev, false)
		r := Result{What: e.Title, Effect: e.Effect, Text: e.Verdict, Note: e.Note}
		if e.Difference != nil {
			r.Before, r.After = e.Before.Mean, e.After.Mean
			r.Change, r.Low, r.High = e.Difference.Value, e.Difference.Low, e.Difference.High
			r.N = []int{e.Before.N, e.After.N}
		}
		return r
	}
	r := Result{What: b.take(ev.CharRec, ev.Char.Title), Effect: string(ev.Effect)}
	if judged := judgedWords(ev); judged != "each reading" && !strings.HasPrefix(judged, "at ") {
		r.What += ", " + judged
	}
	r.Note = b.takeNote(ev)
	measured := ev.C.Before.N > 0 && ev.C.After.N > 0
	switch {
	case measured && ev.Claim == "spread":
		r.N = []int{ev.C.Before.N, ev.C.After.N}
		r.Text = spreadInKind(ev)
	case measured:
		r.N = []int{ev.C.Before.N, ev.C.After.N}
		b.publicLevel(ev, &r)
	case ev.HasCounts:
		r.N = []int{ev.Before.Count.Of, ev.After.Count.Of}
		r.Text = fmt.Sprintf("%d of %d → %d of %d", ev.Before.Count.Hit, ev.Before.Count.Of, ev.After.Count.Hit, ev.After.Count.Of)
	}
	r.Text = strings.TrimPrefix(r.Text+"; ", "; ") + piecesWords(r.N) + string(ev.Effect)
	if undone := undoneInKind(ev); undone != "" {
		r.Text += "; after it was undone, against before: " + undone
	}
	r.How = b.how(ev)
	return r
}

// takeNote finds the note of evidence under also as the text that it is, so
// that it is looked through.
func (b *entryBuilder) takeNote(ev *study.Evidence) string {
	if ev.Primary || ev.Note == "" {
		return ""
	}
	for _, a := range b.ch.Also {
		if a.Note.S == ev.Note {
			return b.take(b.rec, a.Note)
		}
	}
	return ""
}

// undoneInKind says whether going back brought the old state back; empty if
// nobody measured that.
func undoneInKind(ev *study.Evidence) string {
	if ev.Restored != nil {
		return restored(ev)
	}
	if ev.Back == nil || !ev.PerPoint {
		return ""
	}
	for _, p := range ev.Points {
		if p.Restored != nil && p.Restored.Verdict == stats.Shown {
			return restoredWords(stats.Shown)
		}
	}
	return restoredWords(stats.NotShown)
}

func piecesWords(n []int) string {
	if len(n) != 2 {
		return ""
	}
	return fmt.Sprintf("%d + %d pieces: ", n[0], n[1])
}

// spreadInKind gives a change of spread as a ratio, which tells no size.
func spreadInKind(ev *study.Evidence) string {
	if !ev.Spread.HasF || ev.Spread.After.SD == 0 {
		return "spread"
	}
	if ratio := 1 / ev.Spread.SDRatio; ratio >= 1 {
		return fmt.Sprintf("spread %.1f times smaller", ratio)
	}
	return fmt.Sprintf("spread %.1f times larger", ev.Spread.SDRatio)
}

// publicLevel fills in the numbers of a level: percentages of the limit, or a
// difference, and with it the levels of what is no size.
func (b *entryBuilder) publicLevel(ev *study.Evidence, r *Result) {
	c := ev.C
	if tooLarge(ev, c.Difference) {
		r.Text = "how much is not told: it is no small difference"
		return
	}
	show := func(v float64, change bool) quantity.Quantity { return small(ev, v) }
	levels := mayTellLevel(ev) && !tooLarge(ev, c.Before.Mean, c.After.Mean)
	after := ""
	if percent, ok := quantity.LookupUnit("%"); ok && b.opt.Percent {
		if _, ok := ev.Percent(0, false); ok {
			show = func(v float64, change bool) quantity.Quantity {
				p, _ := ev.Percent(v, change)
				return quantity.FromFloat(p, percent).WithDecimals(0)
			}
			levels = true
			after = " of the limit"
		}
	}
	if levels {
		r.Before, r.After = show(c.Before.Mean, false), show(c.After.Mean, false)
		r.Text = fmt.Sprintf("%s → %s%s, ", number(r.Before), textOf(r.After), after)
	}
	r.Change = show(c.Difference, true)
	if levels {
		r.Text += "change " + number(r.Change)
	} else {
		r.Text += "change " + textOf(r.Change)
	}
	if c.HasInterval {
		r.Low, r.High = show(c.Low, true), show(c.High, true)
		r.Text += fmt.Sprintf(" (95 %% %s … %s)", number(r.Low), number(r.High))
	}
}

// small shows a difference in the small unit of its system: tenths or um.
func small(ev *study.Evidence, v float64) quantity.Quantity {
	q := ev.Shown(v)
	name, digits := "", 0
	switch ev.Unit.Name() {
	case "in":
		name, digits = "tenths", 4
	case "mm":
		name, digits = "um", 3
	default:
		return q
	}
	u, ok := quantity.LookupUnit(name)
	if !ok {
		return q
	}
	out, err := q.As(u)
	if err != nil {
		return q
	}
	return out.WithDecimals(max(0, ev.Decimals()-digits))
}
