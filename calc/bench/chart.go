package bench

import (
	"fmt"
	"strings"

	"tenths/calc/chart"
	"tenths/calc/quantity"
)

// Chart asks whether a process stays as it is.
type Chart struct {
	Readings   []string `arg:"" optional:"" help:"Readings in the order of the parts, the unit at the end; a new lot after a semicolon: '+1 0 +2; +1 -1 +4 tenths'."`
	Resolution string   `placeholder:"VALUE" help:"What one count of the gauge is."`
	Subgroups  bool     `help:"Each lot is a subgroup of its own: a chart of means and ranges."`
	Spreads    string   `placeholder:"VALUES" help:"Several parts on one chart: the stated spread (one standard deviation, piece to piece) of each lot between semicolons, such as '2 0.5 tenths'. Each reading is then its deviation from nominal divided by that spread."`
	Nominals   string   `placeholder:"VALUES" help:"With --spreads: the nominal of each lot, such as '1.5000 0.8750 in'; without it the readings are deviations."`
}

// About implements Question.
func (Chart) About() string {
	return "A short-run chart in words: single readings, or deviations from the nominal of each part, with limits from the steps between one reading and the next. It says whether the process moved, and where. Between lots no step is counted. With the spread of each part stated, several parts stand on one chart, and limits are there from the first piece on."
}

// Examples implements Question.
func (Chart) Examples() []string {
	return []string{"'2 1 3 2 1 2 2 9 2 1 tenths' --resolution 0.5tenths", "'+1 -1 +2; +0.5 -0.5; +7 +1 tenths' --spreads '2 0.5 2 tenths'", "'49.6 47.6 49.9 51.3 47.8 51.2 52.6 52.4 53.6 52.1 um'"}
}

// ChartSign is one reading that stands out.
type ChartSign struct {
	Place   int   `json:"place"` // of the reading, or of the subgroup, from 1
	Reading Rough `json:"reading"`
}

// ChartAnswer is the answer to Chart.
type ChartAnswer struct {
	Moved     bool        `json:"moved"`
	Mean      Rough       `json:"mean"`
	MeanRange Rough       `json:"mean_moving_range"` // of subgroups, the mean range
	Sigma     Rough       `json:"spread_part_to_part"`
	Lower     Rough       `json:"lower_chart_limit"`
	Upper     Rough       `json:"upper_chart_limit"`
	LargeStep Rough       `json:"moving_range_limit"` // of subgroups, the limit of a range
	Outside   []ChartSign `json:"outside"`
	Jumps     []ChartSign `json:"large_steps"`
	Runs      [][2]int    `json:"runs"` // places of first and last, from 1
	Coarse    bool        `json:"gauge_too_coarse"`
	Sheet
}

// Ask implements Question (package chart).
func (q Chart) Ask(o Options) (Answer, error) {
	w := &work{}
	text := words(q.Readings)
	if text == "" {
		w.fail("readings: no values; type them in the order of the parts with the unit at the end, such as '+1 0 +2 tenths'")
	}
	_, unit, _ := w.readingsOf("readings", text, quantity.Unit{})
	if w.err != nil {
		return nil, w.err
	}
	w = start(o, unit.Dim())
	if !w.unit.IsZero() {
		unit = w.unit
	}
	values, _, decimals := w.readingsOf("readings", text, unit)
	resolution := w.above("resolution", q.Resolution, unit.Dim(), "0.5tenths")
	if w.err != nil {
		return nil, w.err
	}
	res := 0.0
	if !resolution.IsZeroValue() {
		res = resolution.FloatIn(unit)
	}
	show := func(v float64) Rough {
		q := quantity.FromFloat(v, unit)
		return Rough{Quantity: q, text: shownWith(q, max(decimals, 0)+1).String()}
	}
	lots := w.lots("readings", text, unit)
	if q.Spreads == "" && q.Nominals != "" {
		w.fail("nominals: they need the spread of each part too; add --spreads '2 0.5 tenths'")
	}
	if q.Spreads != "" && w.err == nil {
		return q.standardized(w, lots, unit)
	}
	if q.Subgroups && w.err == nil {
		return subgroups(lots, show)
	}
	var starts []int
	at := 0
	for _, lot := range lots {
		if at > 0 {
			starts = append(starts, at)
		}
		at += len(lot)
	}
	if w.err != nil {
		return nil, w.err
	}
	c, err := chart.NewIndividuals(values, starts, res)
	if err != nil {
		return nil, err
	}
	a := &ChartAnswer{
		Mean: show(c.Mean), MeanRange: show(c.MeanRange), Sigma: show(c.Sigma), Lower: show(c.Lower), Upper: show(c.Upper), LargeStep: show(c.RangeUpper),
		Outside: []ChartSign{}, Jumps: []ChartSign{}, Runs: [][2]int{}, Coarse: c.Coarse, Sheet: newSheet(),
	}
	a.signs(c, show)
	a.say("mean %s, chart limits %s to %s, largest step expected %s", a.Mean, a.Lower, a.Upper, a.LargeStep)
	if len(c.Values) < 15 {
		a.mind("limits from %d readings are only a first idea; twenty and more make them firm", len(c.Values))
	}
	a.step("spread part to part = mean step/d2 = %s/1.128 = %s; limits = mean ± 3·spread", a.MeanRange, a.Sigma)
	a.step("largest step expected = D4·mean step = 3.267·%s = %s (d2 and D4 computed, shown rounded)", a.MeanRange, a.LargeStep)
	a.cite("individuals and moving range: NIST/SEMATECH e-Handbook 6.3.2.2; eight in a row on one side of the mean: common practice")
	a.mind("the chart says whether the process stays as it is, not whether parts are good: the limits of the drawing do that")
	return done(a, w)
}

func (a *ChartAnswer) signs(c chart.Individuals, show func(float64) Rough) {
	var words []string
	sign := func(places []int) (out []ChartSign, named []string) {
		for _, i := range places {
			out = append(out, ChartSign{i + 1, show(c.Values[i])})
			named = append(named, fmt.Sprint(i+1))
		}
		return out, named
	}
	if out, named := sign(c.Outside); out != nil {
		a.Outside = out
		words = append(words, "outside the chart: "+counted(len(out), "reading", "readings")+" ("+strings.Join(named, ", ")+")")
	}
	if out, named := sign(c.Jumps); out != nil {
		a.Jumps = out
		words = append(words, "a step larger than expected to "+strings.Join(named, ", "))
	}
	for _, r := range c.Runs {
		a.Runs = append(a.Runs, [2]int{r.From + 1, r.To + 1})
		side := map[bool]string{true: "above", false: "below"}[r.Above]
		words = append(words, fmt.Sprintf("%d to %d all %s the mean", r.From+1, r.To+1, side))
	}
	a.Moved = len(words) > 0 && !c.Coarse
	switch {
	case c.Coarse:
		a.say("the steps of the gauge are too coarse to follow these parts: the limits follow the gauge")
	case a.Moved:
		a.say("the process moved; %s", strings.Join(words, "; "))
	default:
		a.say("no sign that the process moved")
	}
}

// subgroups answers for means and ranges.
func subgroups(lots [][]float64, show func(float64) Rough) (Answer, error) {
	c, err := chart.NewSubgroups(lots)
	if err != nil {
		return nil, err
	}
	a := &ChartAnswer{
		Mean: show(c.GrandMean), MeanRange: show(c.MeanRange), Sigma: show(c.SigmaRange), Lower: show(c.Lower), Upper: show(c.Upper), LargeStep: show(c.RangeUpper),
		Outside: []ChartSign{}, Jumps: []ChartSign{}, Runs: [][2]int{}, Sheet: newSheet(),
	}
	var signs []string
	for _, i := range c.Outside {
		a.Outside = append(a.Outside, ChartSign{i + 1, show(c.Means[i])})
		signs = append(signs, fmt.Sprintf("mean of subgroup %d: %s", i+1, show(c.Means[i])))
	}
	for _, i := range c.RangeOutside {
		a.Jumps = append(a.Jumps, ChartSign{i + 1, show(c.Ranges[i])})
		signs = append(signs, fmt.Sprintf("range of subgroup %d: %s", i+1, show(c.Ranges[i])))
	}
	a.Moved = signs != nil
	if a.Moved {
		a.say("the process moved; outside the chart: %s", strings.Join(signs, "; "))
	} else {
		a.say("no sign that the process moved")
	}
	a.say("means %s, chart limits %s to %s; ranges %s, at most %s", a.Mean, a.Lower, a.Upper, a.MeanRange, a.LargeStep)
	if len(lots) < 20 {
		a.mind("limits from %s are only a first idea; twenty and more make them firm", counted(len(lots), "subgroup", "subgroups"))
	}
	a.step("limits of a mean = mean ± A2·mean range, largest range = D4·mean range; spread within a subgroup = mean range/d2 = %s", a.Sigma)
	a.cite("means and ranges: NIST/SEMATECH e-Handbook 6.3.2.1; the factors are computed")
	a.mind("the chart says whether the process stays as it is, not whether parts are good: the limits of the drawing do that")
	return a, nil
}
