package bench

import (
	"strings"

	"tenths/calc/gaugestudy"
	"tenths/calc/quantity"
)

// Bias asks what lies between two people or two gauges.
type Bias struct {
	First      string `placeholder:"READINGS" help:"What the first read, the unit at the end: '1 2 3 2 tenths'; lots of their own after semicolons."`
	Second     string `placeholder:"READINGS" help:"What the second read, likewise; the same lots in the same order."`
	Parts      bool   `help:"Both measured the same parts in this order, so that they are compared one by one."`
	Resolution string `placeholder:"VALUE" help:"What one count of the gauge is."`
}

// About implements Question.
func (Bias) About() string {
	return "What the second person, or gauge, reads over the first: with its interval, from the same parts one by one (--parts), or from lots that both measured some parts of. What lots differ by does not count."
}

// Examples implements Question.
func (Bias) Examples() []string {
	return []string{"--first '1 9 -5 4 tenths' --second '2 10 -4 6 tenths' --parts", "--first '1 2 3; -7 -6 tenths' --second '3 4 5; -5 -4 tenths' --resolution 0.5tenths"}
}

// BiasAnswer is the answer to Bias.
type BiasAnswer struct {
	Bias     Rough `json:"bias"` // second - first
	Low      Rough `json:"bias_low"`
	High     Rough `json:"bias_high"`
	Shown    bool  `json:"shown"`
	Smallest Rough `json:"smallest_shown"` // what these readings would have shown
	P        Rough `json:"p"`
	Sheet
}

// Ask implements Question (package gaugestudy).
func (q Bias) Ask(o Options) (Answer, error) {
	const eg = "'1 2 3 2 tenths'"
	w := &work{}
	for _, side := range [][2]string{{"first", q.First}, {"second", q.Second}} {
		if strings.TrimSpace(side[1]) == "" {
			w.fail("%s: no readings; type them with the unit at the end, such as %s", side[0], eg)
		}
	}
	_, unit, _ := w.readingsOf("first", q.First, quantity.Unit{})
	if w.err != nil {
		return nil, w.err
	}
	w = start(o, unit.Dim())
	if !w.unit.IsZero() {
		unit = w.unit
	}
	first, second := w.lots("first", q.First, unit), w.lots("second", q.Second, unit)
	if q.Parts {
		first, second = oneByOne(first), oneByOne(second)
	}
	resolution := w.above("resolution", q.Resolution, unit.Dim(), "0.5tenths")
	if w.err == nil && len(first) != len(second) {
		what := "lots"
		if q.Parts {
			what = "parts"
		}
		w.fail("second: %d where first has %d %s; type the same %s in the same order", len(second), len(first), what, what)
	}
	if w.err != nil {
		return nil, w.err
	}
	res := 0.0
	if !resolution.IsZeroValue() {
		res = resolution.FloatIn(unit)
	}
	var blocks []gaugestudy.Block
	for i := range first {
		blocks = append(blocks, gaugestudy.Block{First: first[i], Second: second[i]})
	}
	b, err := gaugestudy.BetweenTwo(blocks, res, confidence)
	if err != nil {
		return nil, err
	}
	show := func(v float64) Rough { return alike(v, b.SmallestSeen, unit) }
	a := &BiasAnswer{Bias: show(b.Difference), Low: show(b.Low), High: show(b.High), Shown: b.Shown, Smallest: show(b.SmallestSeen), Sheet: newSheet()}
	if b.U > 0 {
		a.P = percent(b.P)
	}
	word := "not shown"
	if b.Shown {
		word = "shown"
	}
	a.say("%s: the second reads %s over the first (95 %%: %s to %s)", word, a.Bias, a.Low, a.High)
	if !b.Shown {
		a.say("these readings would have shown a difference of %s or more", a.Smallest)
	}
	what := "lots that both measured"
	if q.Parts {
		what = "parts that both measured"
	}
	a.step("least squares over %d %s, each with a size of its own: difference ± t·u, t(97.5 %%) with %g degrees of freedom", b.Blocks, what, b.DF)
	a.cite("paired comparison, and two means with a common spread: NIST/SEMATECH e-Handbook 7.3.1")
	a.mind("the same part, the same place on it, the same temperature; who knows the other's reading reads it again")
	return done(a, w)
}

// oneByOne gives every reading a block of its own.
func oneByOne(lots [][]float64) (out [][]float64) {
	for _, lot := range lots {
		for _, v := range lot {
			out = append(out, []float64{v})
		}
	}
	return out
}

// lots reads readings with the unit at the end of all, lot by lot between
// semicolons.
func (w *work) lots(name, text string, unit quantity.Unit) [][]float64 {
	values, _, _ := w.readingsOf(name, text, unit)
	if w.err != nil {
		return nil
	}
	var out [][]float64
	for _, lot := range strings.Split(text, ";") {
		n := 0
		for _, word := range strings.Fields(lot) {
			if _, isUnit := quantity.LookupUnit(word); !isUnit {
				n++
			}
		}
		if n == 0 {
			w.fail("%s: a lot has no readings; type some between two semicolons, or leave one out", name)
			return nil
		}
		out, values = append(out, values[:n]), values[n:]
	}
	return out
}
