package bench

import (
	"fmt"
	"strings"

	"tenths/calc/gaugestudy"
	"tenths/calc/quantity"
)

// Repeat asks how far a measurement repeats.
type Repeat struct {
	People    []string `arg:"" optional:"" help:"A text for each person: the readings of one part after the other, parts between commas, the unit at the end: '1.5001 1.5002, 1.5008 1.5008, 1.4997 1.4998 in'."`
	Tolerance string   `placeholder:"VALUE" help:"Width of the tolerance that is to be judged: 0.0020in."`
}

// About implements Question.
func (Repeat) About() string {
	return "How far a measurement repeats: one person on the same part again, and people among each other, by two methods that do not give quite the same, the average and range and the analysis of variance; what both are of the spread seen and of a tolerance, and how many kinds of part the gauge tells apart. Every person measures every part the same number of times, best without seeing the other readings."
}

// Examples implements Question.
func (Repeat) Examples() []string {
	return []string{"'1 2, 6 6, 11 10, 4 4, 8 9 tenths' '2 2, 8 7, 12 12, 5 6, 9 9 tenths' --tolerance 20tenths"}
}

// RepeatMethod is the result of one method; all are standard deviations.
type RepeatMethod struct {
	Method          string `json:"method"`
	Repeatability   Rough  `json:"repeatability"`
	Reproducibility Rough  `json:"reproducibility"`
	Interaction     Rough  `json:"interaction"`
	Gauge           Rough  `json:"gauge"`
	Part            Rough  `json:"part"`
	Total           Rough  `json:"total"`
	OfTotal         Rough  `json:"gauge_of_total"`
	OfTolerance     Rough  `json:"gauge_of_tolerance"` // six standard deviations; null without a tolerance
	Categories      int    `json:"categories"`
}

// RepeatAnswer is the answer to Repeat.
type RepeatAnswer struct {
	People  int            `json:"people"`
	Parts   int            `json:"parts"`
	Trials  int            `json:"trials"`
	Methods []RepeatMethod `json:"methods"`
	Sheet
}

// Ask implements Question (package gaugestudy).
func (q Repeat) Ask(o Options) (Answer, error) {
	const eg = "'1 2, 6 6, 11 10 tenths' '2 2, 8 7, 12 12 tenths'"
	w := &work{}
	if len(q.People) == 0 || strings.TrimSpace(q.People[0]) == "" {
		w.fail("people: no readings; type a text for each person, parts between commas and the unit at the end, such as %s", eg)
		return nil, w.err
	}
	_, unit, _ := w.readingsOf("person 1", strings.ReplaceAll(q.People[0], ",", " "), quantity.Unit{})
	if w.err != nil {
		return nil, w.err
	}
	w = start(o, unit.Dim())
	if !w.unit.IsZero() {
		unit = w.unit
	}
	var readings gaugestudy.Readings
	for i, text := range q.People {
		readings = append(readings, w.partsOf(fmt.Sprintf("person %d", i+1), text, unit))
	}
	tolerance := w.above("tolerance", q.Tolerance, unit.Dim(), "0.0020in")
	if w.err != nil {
		return nil, w.err
	}
	ranges, err := gaugestudy.ByRanges(readings)
	if err != nil {
		return nil, fmt.Errorf("%w; type them such as %s", err, eg)
	}
	variance, err := gaugestudy.ByVariance(readings, gaugestudy.PoolIfUnseen)
	if err != nil {
		return nil, err
	}
	a := &RepeatAnswer{People: ranges.People, Parts: ranges.Parts, Trials: ranges.Trials, Sheet: newSheet()}
	for _, r := range []gaugestudy.Result{variance, ranges} {
		a.method(r, unit, tolerance)
	}
	a.say("%s, %s, %s each", counted(a.People, "person", "people"), counted(a.Parts, "part", "parts"), counted(a.Trials, "time", "times"))
	for _, o := range ranges.Odd {
		a.say("look again at person %d, part %d: its readings lie farther apart than all others let expect", o[0]+1, o[1]+1)
	}
	a.step("by ranges: repeatability = mean range/d2; people and parts = range of their means/d2*, less what repeatability puts into it")
	a.step("by variance: mean squares of people, parts, their interaction and the rest, solved for what each contributes")
	if variance.People > 1 {
		word := "kept"
		if variance.Pooled {
			word = "not seen and pooled"
		}
		a.step("interaction of people and parts: p = %.2g, %s", variance.PInteraction, word)
	}
	a.cite("average and range, kinds of part 1.41·part/gauge rounded down: measurement systems analysis of the automotive industry, 4th edition; variance: two factors at random (Montgomery, from memory)")
	a.mind("10 %% or less of the tolerance is good and more than 30 %% too much (common practice); parts must be chosen over all that the process makes, or the share of the total says nothing")
	if a.Parts < 5 || a.People*a.Parts*(a.Trials-1) < 10 {
		a.mind("so few readings only give an idea: ten parts, two or three people and two or three trials are usual")
	}
	return done(a, w)
}

// partsOf reads the readings of one person: parts between commas.
func (w *work) partsOf(name, text string, unit quantity.Unit) [][]float64 {
	var out [][]float64
	pieces := strings.Split(text, ",")
	// The unit stands at the end of the last part and is that of all.
	f := strings.Fields(pieces[len(pieces)-1])
	last := ""
	if len(f) > 0 {
		last = f[len(f)-1]
	}
	if _, ok := quantity.LookupUnit(last); !ok {
		w.fail("%s: the unit is missing at the end of %q; type the readings such as '1 2, 6 6, 11 10 tenths'", name, text)
	}
	for i, piece := range pieces {
		if i < len(pieces)-1 {
			piece += " " + last
		}
		values, _, _ := w.readingsOf(fmt.Sprintf("%s, part %d", name, i+1), piece, unit)
		out = append(out, values)
	}
	return out
}

func (a *RepeatAnswer) method(r gaugestudy.Result, unit quantity.Unit, tolerance quantity.Quantity) {
	sd := func(v float64) Rough { return Rough{Quantity: quantity.FromFloat(v, unit), digits: 2} }
	m := RepeatMethod{
		Method: string(r.Method), Repeatability: sd(r.Repeatability), Reproducibility: sd(r.Reproducibility), Interaction: sd(r.Interaction),
		Gauge: sd(r.Gauge), Part: sd(r.Part), Total: sd(r.Total), OfTotal: percent(r.Share(r.Gauge)), Categories: r.Categories,
	}
	words := fmt.Sprintf("%s of the spread seen", m.OfTotal)
	if !tolerance.IsZeroValue() {
		m.OfTolerance = percent(r.OfTolerance(tolerance.FloatIn(unit)))
		words = fmt.Sprintf("six of them are %s of the tolerance; %s", m.OfTolerance, words)
	}
	a.Methods = append(a.Methods, m)
	a.say("by %s: the measurement varies by %s, one standard deviation; %s", r.Method, m.Gauge, words)
	a.say("  one person again %s, people %s, from part to part %s", m.Repeatability, m.Reproducibility, m.Part)
	if r.Interaction > 0 {
		a.say("  people differ from part to part by %s", m.Interaction)
	}
	switch {
	case r.Gauge == 0:
		a.say("  no reading differs from its repeats: the steps of the gauge hide how it repeats")
	default:
		a.say("  it tells %s of part apart (5 or more are wanted)", counted(r.Categories, "kind", "kinds"))
	}
}
