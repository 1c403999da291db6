package bench

import (
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/stats"
)

// Same asks whether two groups agree.
type Same struct {
	Before     string `placeholder:"READINGS" help:"Readings of one group, the unit at the end: '2.0 2.0 2.5 tenths'."`
	After      string `placeholder:"READINGS" help:"Readings of the other, likewise."`
	Margin     string `placeholder:"VALUE" help:"The largest difference that does not matter, fixed before the readings: 2tenths."`
	Resolution string `placeholder:"VALUE" help:"What one count of the gauge is."`
	OtherGauge bool   `help:"The second group was read with another gauge."`
	UBefore    string `name:"u-before" placeholder:"VALUE" help:"Expanded uncertainty (k = 2) of the first gauge; it counts with --other-gauge."`
	UAfter     string `name:"u-after" placeholder:"VALUE" help:"Expanded uncertainty (k = 2) of the second gauge."`
}

// About implements Question.
func (Same) About() string {
	return "Are they the same but for a margin that does not matter: after a change that should change nothing, or one that was undone. Two one-sided tests at 5 %. That no difference is shown is not yet that: it may only mean that too few were looked at."
}

// Examples implements Question.
func (Same) Examples() []string {
	return []string{"--before '2.0 2.0 2.5 2.0 2.0 tenths' --after '3.0 1.5 2.0 2.0 tenths' --margin 2tenths --resolution 0.5tenths"}
}

// SameAnswer is the answer to Same; what does not apply is null.
type SameAnswer struct {
	Verdict    stats.Verdict     `json:"verdict"`
	Reason     string            `json:"reason"`
	Margin     quantity.Quantity `json:"margin"`
	Difference quantity.Quantity `json:"difference"`
	Low        quantity.Quantity `json:"difference_low"` // 90 %
	High       quantity.Quantity `json:"difference_high"`
	Floor      Rough             `json:"resolution_floor"`
	Sheet
}

// Ask implements Question (package stats).
func (q Same) Ask(o Options) (Answer, error) {
	w, g := readSides(o, sides{q.Before, q.After, q.Resolution, q.OtherGauge, q.UBefore, q.UAfter})
	if w.err == nil && strings.TrimSpace(q.Margin) == "" {
		w.fail("margin: none; type the largest difference that does not matter, such as 2tenths")
	}
	if w.err != nil {
		return nil, w.err
	}
	margin := w.above("margin", q.Margin, g.unit.Dim(), "2tenths")
	if w.err != nil {
		return nil, w.err
	}
	r, err := stats.Same(g.before, g.after, margin.FloatIn(g.unit), confidence)
	if err != nil {
		return nil, err
	}
	a := &SameAnswer{Sheet: newSheet(), Verdict: r.Verdict, Reason: string(r.Reason), Margin: w.show(margin), Difference: g.shown(r.C.Difference)}
	interval := ""
	if r.C.HasInterval {
		a.Low, a.High = g.shown(r.Low), g.shown(r.High)
		interval = " (90 %: " + a.Low.String() + " to " + a.High.String() + ")"
	}
	a.say("the same within %s: %s; difference of the means %s%s; %s", a.Margin, r.Verdict, signed(a.Difference), interval, r.Reason)
	if r.C.Floor.Used {
		a.Floor = Rough{Quantity: quantity.FromFloat(r.C.Floor.Limit, g.unit), digits: 2}
		a.say("the resolution of the gauge tells nothing under %s (%s)", a.Floor, r.C.Floor.Cause)
	}
	a.step("two one-sided tests at 5 %%: the 90 %% interval of the difference must lie within ±%s", a.Margin)
	a.cite("Schuirmann, J. Pharmacokinetics and Biopharmaceutics 15 (1987) 657 (from memory); interval by Welch, with the resolution floor and a change of gauge")
	a.mind("the margin is fixed by what the part must do, before the readings; made to fit them it proves nothing")
	if !q.OtherGauge && q.UBefore+q.UAfter != "" {
		a.mind(oneGauge)
	}
	return done(a, w)
}
