package bench

import (
	"strconv"

	"tenths/calc/quantity"
	"tenths/calc/stats"
)

// Looks asks whether to stop.
type Looks struct {
	Before     string `placeholder:"READINGS" help:"All readings before so far, the unit at the end: '13.0 12.0 13.5 tenths'."`
	After      string `placeholder:"READINGS" help:"All readings after so far, likewise."`
	Look       int    `placeholder:"N" help:"Which look this is, from 1."`
	Of         int    `placeholder:"N" help:"How many looks were planned before the first reading."`
	Want       string `placeholder:"VALUE" help:"The change that would be worth having: 4tenths."`
	Resolution string `placeholder:"VALUE" help:"What one count of the gauge is."`
}

// About implements Question.
func (Looks) About() string {
	return "Stop or go on, while readings still come in: the change is shown, a change as large as wanted is ruled out, the gauge cannot show it, or go on. Looks are planned beforehand and share the 5 % of false claims among them, so that looking often does not turn luck into proof."
}

// Examples implements Question.
func (Looks) Examples() []string {
	return []string{"--before '13.0 12.0 13.5 16.5 tenths' --after '4.5 2.0 7.0 3.0 tenths' --look 1 --of 3 --want 4tenths --resolution 0.5tenths"}
}

// LooksAnswer is the answer to Looks; what does not apply is null.
type LooksAnswer struct {
	Decision   stats.Decision    `json:"decision"`
	Look       int               `json:"look"`
	Of         int               `json:"of"`
	Confidence Rough             `json:"confidence"` // of each look
	Difference quantity.Quantity `json:"difference"`
	Low        quantity.Quantity `json:"difference_low"` // at the confidence of the look
	High       quantity.Quantity `json:"difference_high"`
	Want       quantity.Quantity `json:"want"`
	Sheet
}

// Ask implements Question (package stats).
func (q Looks) Ask(o Options) (Answer, error) {
	w, g := readSides(o, sides{before: q.Before, after: q.After, resolution: q.Resolution})
	switch {
	case w.err != nil:
	case q.Of < 1 || q.Of > 100:
		w.fail("of: %d; type how many looks were planned, from 1 to 100", q.Of)
	case q.Look < 1 || q.Look > q.Of:
		w.fail("look: %d; type which of the %d planned looks this is", q.Look, q.Of)
	}
	if w.err != nil {
		return nil, w.err
	}
	want := w.above("want", q.Want, g.unit.Dim(), "4tenths")
	if w.err != nil {
		return nil, w.err
	}
	r, err := stats.Look(g.before, g.after, q.Look, q.Of, floatIn(want, g.unit), confidence)
	if err != nil {
		return nil, err
	}
	u, _ := quantity.LookupUnit("%")
	a := &LooksAnswer{Sheet: newSheet(), Decision: r.Decision, Look: q.Look, Of: q.Of, Want: w.show(want), Difference: g.shown(r.C.Difference)}
	a.Confidence = Rough{Quantity: quantity.FromFloat(100*r.Level, u), text: strconv.FormatFloat(100*r.Level, 'f', 2, 64) + " %"}
	interval := ""
	if r.C.HasInterval {
		a.Low, a.High = g.shown(r.C.Low), g.shown(r.C.High)
		interval = " (" + a.Confidence.String() + ": " + a.Low.String() + " to " + a.High.String() + ")"
	}
	a.say("%s; look %d of %d: mean after - mean before = %s%s", r.Decision, q.Look, q.Of, signed(a.Difference), interval)
	if !want.IsZeroValue() && r.Whole.HasInterval {
		a.say("the 95 %% interval is %s to %s; wanted is %s", g.shown(r.Whole.Low), g.shown(r.Whole.High), a.Want)
	}
	a.step("each of %d looks claims at 1 - 0.05/%d = %s; the whole then claims falsely in 5 %% of cases at most", q.Of, q.Of, a.Confidence)
	a.step("a change as large as wanted is ruled out where the 95 %% interval lies within ± that")
	a.cite("Boole's inequality; interval by Welch with the resolution floor. A plain design of our own: bounds of Pocock or O'Brien and Fleming ask a little less, but suppose dozens of readings")
	a.mind("the number of looks is fixed before the first reading, and nobody looks in between")
	return done(a, w)
}
