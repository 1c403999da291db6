package bench

import (
	"math"
	"strconv"
	"strings"

	"tenths/calc/chart"
	"tenths/calc/quantity"
)

// Drift asks how what a tool cuts moves with the parts that it has cut.
type Drift struct {
	Readings   []string `arg:"" optional:"" help:"Counts and readings, the unit at the end: '1:0 9:+1 17:+3 25:+2 tenths'."`
	Limit      string   `placeholder:"VALUE" help:"The limit that it runs towards, counted as the readings are: 5tenths."`
	Count      string   `placeholder:"PARTS" help:"Parts that the tool has cut now."`
	Resolution string   `placeholder:"VALUE" help:"What one count of the gauge is."`
}

// About implements Question.
func (Drift) About() string {
	return "The drift of a tool: how much a size moves a part, when the line through the readings comes to a limit, and up to which part a single one still keeps it with the scatter and the doubt about the line taken in. Readings are sizes or deviations from nominal, with the parts that the tool had cut."
}

// Examples implements Question.
func (Drift) Examples() []string {
	return []string{"'1:0 9:+1 17:+3 25:+2 33:+4 41:+4 50:+5 58:+5 66:+6 74:+7 82:+7 90:+8 tenths' --limit 5tenths --resolution 0.5tenths"}
}

// DriftAnswer is the answer to Drift; what was not asked is null.
type DriftAnswer struct {
	Slope     Rough             `json:"drift_per_part"`
	SlopeLow  Rough             `json:"drift_per_part_low"` // 95 %
	SlopeHigh Rough             `json:"drift_per_part_high"`
	Shown     bool              `json:"drift_shown"`
	Bent      bool              `json:"bent"` // a curve fits better than the line
	Scatter   Rough             `json:"scatter"`
	Limit     quantity.Quantity `json:"limit"`
	LineAt    *int              `json:"line_at_limit"` // count of parts; null if it never gets there
	SafeTo    *int              `json:"single_part_safe_to"`
	PartsLeft *int              `json:"parts_left"` // null without --count
	Sheet
}

// Ask implements Question (package chart).
func (q Drift) Ask(o Options) (Answer, error) {
	w := &work{}
	if words(q.Readings) == "" {
		w.fail("readings: no values; type counts and readings with the unit at the end, such as '1:0 9:+1 17:+3 25:+2 tenths'")
	}
	counts, texts := w.pairs(words(q.Readings))
	_, unit, _ := w.readingsOf("readings", texts, quantity.Unit{})
	if w.err != nil {
		return nil, w.err
	}
	w = start(o, unit.Dim())
	if !w.unit.IsZero() {
		unit = w.unit
	}
	values, _, decimals := w.readingsOf("readings", texts, unit)
	limit := w.given("limit", q.Limit, unit.Dim(), "5tenths")
	resolution := w.above("resolution", q.Resolution, unit.Dim(), "0.5tenths")
	now := w.zeroOr("count", q.Count, quantity.Number, "25")
	if w.err == nil && !now.IsZeroValue() && limit.IsZeroValue() {
		w.fail("count: nothing is left without an end; type the limit too, such as --limit 5tenths")
	}
	if w.err != nil {
		return nil, w.err
	}
	res := 0.0
	if !resolution.IsZeroValue() {
		res = resolution.FloatIn(unit)
	}
	d, err := chart.NewDrift(counts, values, res, confidence)
	if err != nil {
		return nil, err
	}
	a := &DriftAnswer{Shown: d.Shown, Bent: d.Bent, Scatter: Rough{Quantity: quantity.FromFloat(d.S, unit), digits: 2}, Sheet: newSheet()}
	half := (d.SlopeHigh - d.SlopeLow) / 2
	shown := func(v float64) Rough { return alike(v, half, unit) }
	a.Slope, a.SlopeLow, a.SlopeHigh = shown(d.Slope), shown(d.SlopeLow), shown(d.SlopeHigh)
	if !limit.IsZeroValue() {
		a.reach(w, d, limit, unit, now)
	}
	word := "a drift is shown"
	if !d.Shown {
		word = "no drift is shown"
	}
	a.say("%s: %s a part (95 %%: %s to %s)", word, a.Slope, a.SlopeLow, a.SlopeHigh)
	if d.Bent {
		a.say("a curve goes through these readings better than a line: nothing can be counted on beyond part %g", d.Last)
	}
	a.say("single readings scatter by %s about the line, one standard deviation", a.Scatter)
	level := shownWith(quantity.FromFloat(d.Level, unit), max(decimals, 0)+1)
	a.step("line by least squares through %d readings: %s + %s·(count - %s)", d.N, level, a.Slope, strconv.FormatFloat(d.MeanCount, 'f', 1, 64))
	a.step("one part at a count: line ± t·scatter·sqrt(1 + 1/n + (count - mean)²/sum of squares), t(97.5 %%) with %d degrees of freedom", d.N-2)
	a.cite("straight line by least squares, its intervals: NIST/SEMATECH e-Handbook 4.1.4.1 and the usual textbooks")
	a.mind("even wear only: a chipped edge or another material gives no warning. Width and outside sizes grow by twice the wear of the radius")
	return done(a, w)
}

// reach says when the limit comes.
func (a *DriftAnswer) reach(w *work, d chart.Drift, limit quantity.Quantity, unit quantity.Unit, now quantity.Quantity) {
	at := limit.FloatIn(unit)
	from := d.First
	if !now.IsZeroValue() {
		from = now.Float()
	}
	up := at > d.At(d.First)
	r := d.Reach(at, up, from)
	a.Limit = w.show(limit)
	if r.Ever {
		n := int(math.Round(r.Count))
		a.LineAt = &n
	}
	safe := int(r.Safe + 1e-9)
	switch {
	case !d.Shown:
		a.say("it is not known to run to %s at all", a.Limit)
		return
	case !r.Ever:
		a.say("it runs away from %s", a.Limit)
		return
	case r.Passed:
		safe = 0
		a.say("a single part can be beyond %s already; the line is there at part %d", a.Limit, *a.LineAt)
	case r.Far:
		a.say("%s is far off: the line is there at part %d, and that is more than these readings can say", a.Limit, *a.LineAt)
		return
	default:
		a.say("the line is at %s with part %d; a single part can be beyond it after part %d", a.Limit, *a.LineAt, safe)
	}
	a.SafeTo = &safe
	if !now.IsZeroValue() {
		left := max(0, safe-int(now.Float()))
		a.PartsLeft = &left
		a.say("parts left: %d", left)
	}
}

// pairs takes COUNT:READING apart; the words without a colon are the unit.
func (w *work) pairs(text string) (counts []float64, readings string) {
	var rest []string
	for _, word := range strings.Fields(text) {
		count, reading, ok := strings.Cut(word, ":")
		if !ok {
			rest = append(rest, word)
			continue
		}
		c := w.zeroOr("readings", count, quantity.Number, "17:+3")
		if w.err == nil && (c.IsZeroValue() || reading == "") {
			w.fail("readings: %q is no count with its reading; type them such as 17:+3", word)
		}
		if w.err != nil {
			return nil, ""
		}
		counts, rest = append(counts, c.Float()), append(rest, reading)
	}
	if w.err == nil && len(counts) == 0 && text != "" {
		w.fail("readings: %q has no counts; type each reading with the parts the tool had cut, such as '1:0 9:+1 17:+3 tenths'", text)
	}
	return counts, strings.Join(rest, " ")
}

// alike shows a value with the decimals at which its half-width has two digits, in a
// smaller unit where those would be more than six.
func alike(v, half float64, unit quantity.Unit) Rough {
	q := quantity.FromFloat(v, unit)
	if !(half > 0) {
		return Rough{Quantity: q, digits: 3}
	}
	n := max(0, 1-int(math.Floor(math.Log10(half))))
	small := map[string]string{"in": "uin", "mm": "um"}[unit.Name()]
	if u, ok := quantity.LookupUnit(small); ok && n > 6 {
		if in, err := q.As(u); err == nil {
			return alike(in.FloatIn(u), quantity.FromFloat(half, unit).FloatIn(u), u)
		}
	}
	return Rough{Quantity: q, text: q.WithDecimals(min(n, 12)).String()}
}
