package bench

import (
	"fmt"
	"strings"

	"tenths/calc/chart"
	"tenths/calc/quantity"
)

// MixedPlace is one reading of a chart of several parts that stands out.
type MixedPlace struct {
	Place int   `json:"place"` // of the reading, from 1
	Lot   int   `json:"lot"`   // the part that it is of, from 1
	Z     Rough `json:"deviation_over_spread"`
}

// MixedAnswer is the answer to Chart with the spread of each part stated.
type MixedAnswer struct {
	Moved bool `json:"moved"`
	// Z are the readings as deviations from nominal over the stated spread.
	Z         []Rough      `json:"deviations_over_spread"`
	Mean      Rough        `json:"mean"`
	Spread    Rough        `json:"spread_against_stated"` // 1 where the stated spreads are right
	Lower     Rough        `json:"lower_chart_limit"`
	Upper     Rough        `json:"upper_chart_limit"`
	LargeStep Rough        `json:"moving_range_limit"`
	Outside   []MixedPlace `json:"outside"`
	Jumps     []MixedPlace `json:"large_steps"`
	Runs      [][2]int     `json:"runs"` // places of first and last, from 1
	Sheet
}

// plain shows a number of spreads.
func plain(v float64) Rough {
	q := quantity.FromFloat(v, quantity.One)
	return Rough{Quantity: q, text: q.WithDecimals(2).String()}
}

// standardized answers for several parts on one chart.
func (q Chart) standardized(w *work, lots [][]float64, unit quantity.Unit) (Answer, error) {
	if q.Subgroups {
		w.fail("spreads: a chart of several parts is one of single readings; leave out --subgroups")
	}
	spreads, _, _ := w.readingsOf("spreads", q.Spreads, unit)
	nominals := make([]float64, len(lots))
	if q.Nominals != "" {
		nominals, _, _ = w.readingsOf("nominals", q.Nominals, unit)
	}
	if w.err == nil && (len(spreads) != len(lots) || len(nominals) != len(lots)) {
		w.fail("spreads: there are %s between semicolons, %d spreads and %d nominals; give one of each a lot, also where a part comes back", counted(len(lots), "lot", "lots"), len(spreads), len(nominals))
	}
	if w.err != nil {
		return nil, w.err
	}
	var values []float64
	var held []chart.Nominal
	var of []int
	for i, lot := range lots {
		for _, v := range lot {
			values, held, of = append(values, v), append(held, chart.Nominal{Size: nominals[i], Spread: spreads[i]}), append(of, i+1)
		}
	}
	c, err := chart.NewStandardized(values, held)
	if err != nil {
		return nil, err
	}
	a := &MixedAnswer{
		Mean: plain(c.Mean), Spread: plain(c.Spread), Lower: plain(c.Lower), Upper: plain(c.Upper), LargeStep: plain(c.RangeUpper),
		Outside: []MixedPlace{}, Jumps: []MixedPlace{}, Runs: [][2]int{}, Sheet: newSheet(),
	}
	var all []string
	for _, z := range c.Z {
		a.Z = append(a.Z, plain(z))
		all = append(all, fmt.Sprintf("%.1f", z))
	}
	var signs []string
	places := func(at []int, head string) []MixedPlace {
		out := []MixedPlace{}
		var named []string
		for _, i := range at {
			out = append(out, MixedPlace{i + 1, of[i], plain(c.Z[i])})
			named = append(named, fmt.Sprintf("%d (lot %d)", i+1, of[i]))
		}
		if named != nil {
			signs = append(signs, head+strings.Join(named, ", "))
		}
		return out
	}
	a.Outside, a.Jumps = places(c.Outside, "outside the chart: "), places(c.Jumps, "a step larger than expected to ")
	for _, r := range c.Runs {
		a.Runs = append(a.Runs, [2]int{r.From + 1, r.To + 1})
		signs = append(signs, fmt.Sprintf("%d to %d all %s nominal", r.From+1, r.To+1, map[bool]string{true: "above", false: "below"}[r.Above]))
	}
	if a.Moved = signs != nil; a.Moved {
		a.say("the process moved; %s", strings.Join(signs, "; "))
	} else {
		a.say("no sign that the process moved")
	}
	a.say("deviation over stated spread: %s; mean %.2f, chart limits -3 to 3, largest step expected %.2f", strings.Join(all, " "), c.Mean, c.RangeUpper)
	a.step("each reading: (reading - nominal)/stated spread; limits ±3, largest step = d2 + 3·d3 = %.3f (constants computed, shown rounded)", c.RangeUpper)
	if n := len(c.Ranges); n >= 10 {
		a.say("by the steps from reading to reading the spread is %.2f times the stated one", c.Spread)
	}
	a.cite("limits for a stated spread: ISO 7870-2; several parts on one chart: ISO 7870-8 by title (both from memory); eight in a row on one side: common practice")
	a.mind("the limits are as good as the stated spreads: take each from at least ten pieces of its own part")
	a.mind("the chart says whether the process stays as it is, not whether parts are good: the limits of the drawing do that")
	return done(a, w)
}
