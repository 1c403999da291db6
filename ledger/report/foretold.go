package report

import (
	"fmt"
	"math"
	"slices"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/report/svg"
	"tenths/ledger/study"
)

// PointFound is what was foretold, beside what was found: the mean after at a
// point, or where there are no points the change, or for a spread the ratio of
// after to before.
type PointFound struct {
	Point     string            `json:"point"`
	Predicted ForecastRange     `json:"predicted"`
	Found     quantity.Quantity `json:"found"`
	Inside    bool              `json:"inside"` // the interval holds what was found
}

// foretell puts the points as they were foretold beside those that were found,
// worked out again from the planned states and from what was known before the
// work. It leaves the evidence alone if the change has no plan, or no points.
func (e *Evidence) foretell(s *study.Set, rec *ledger.Record, i int) {
	ch, ok := rec.Data.(*ledger.Change)
	if !ok || len(ch.Planned) == 0 || e.ev == nil {
		return
	}
	o := s.Predict(rec)
	f := o.Items[i]
	if f.Skip != "" {
		return
	}
	e.told, e.known = f, day(o.Day)
	switch {
	case f.Ev.Claim == "spread":
		if e.ev.Spread.HasF {
			ratio := func(v float64) quantity.Quantity { return study.Rounded(quantity.FromFloat(v, quantity.One), 2) }
			e.compared("after over before", f.Ratio, e.ev.Spread.SDRatio, ratio(e.ev.Spread.SDRatio), ratio)
		}
	case len(f.Points) == 0:
		if e.ev.C.HasInterval {
			e.compared("change", f.Change, e.in(f, e.ev.C.Difference), e.ev.Shown(e.ev.C.Difference), f.Q)
		}
	}
	for _, p := range f.Points {
		if found, ok := e.foundAt(p.Point); ok && f.Ev.Claim != "spread" {
			e.compared(p.Point, p.After, e.in(f, found), e.ev.Shown(found), f.Q)
		}
	}
}

// in takes a number of the evidence into the unit of the prediction.
func (e *Evidence) in(f *study.Foretold, v float64) float64 {
	return quantity.FromFloat(v, e.ev.Unit).FloatIn(f.Unit)
}

// compared adds a row: held against the interval as computed, and shown with the
// digits that both deserve.
func (e *Evidence) compared(name string, i study.Interval, found float64, shown quantity.Quantity, show func(float64) quantity.Quantity) {
	e.Foretold = append(e.Foretold, PointFound{
		Point: name, Found: shown, Inside: found >= i.Low && found <= i.High,
		Predicted: ForecastRange{show(i.Value), show(i.Low), show(i.High)},
	})
}

// foundAt is the mean that was found at a point after the change.
func (e *Evidence) foundAt(point string) (float64, bool) {
	g := e.ev.After
	if g == nil {
		return 0, false
	}
	col := slices.Index(g.Points, point)
	if col < 0 {
		return 0, false
	}
	m := mean(g.Column(col))
	return m, !math.IsNaN(m)
}

// toldSteps are the predicted steps at the points; nil if there are none for
// one of them.
func (e *Evidence) toldSteps(names []string) []svg.OutlineStep {
	if e.told == nil || len(e.Foretold) == 0 {
		return nil
	}
	var out []svg.OutlineStep
	for _, name := range names {
		i := slices.IndexFunc(e.told.Points, func(p study.PointForetold) bool { return p.Point == name })
		if i < 0 {
			return nil
		}
		step := outlineStep(e.told, e.told.Points[i].After)
		step.Text = "pred. " + step.Text
		out = append(out, step)
	}
	return out
}

// foretoldRows is the table of prediction against result, head first.
func (e *Evidence) foretoldRows() [][]string {
	if len(e.Foretold) == 0 {
		return nil
	}
	head := "point"
	if len(e.told.Points) == 0 || e.told.Ev.Claim == "spread" {
		head = "what"
	}
	rows := [][]string{{head, "predicted", "95 % interval", "found", "by the interval"}}
	for _, p := range e.Foretold {
		word := "inside"
		if !p.Inside {
			word = "outside"
		}
		rows = append(rows, []string{p.Point, number(p.Predicted.Value), number(p.Predicted.Low) + " … " + number(p.Predicted.High), number(p.Found), word})
	}
	return rows
}

// foretoldWords says what the table is.
func (e *Evidence) foretoldWords() string {
	inside := 0
	for _, p := range e.Foretold {
		if p.Inside {
			inside++
		}
	}
	what := "Mean after at each point, in " + unitWords(e.told.Unit.Name())
	switch {
	case e.told.Ev.Claim == "spread":
		what = "Spread"
	case len(e.told.Points) == 0:
		what = "Change, in " + unitWords(e.told.Unit.Name())
	}
	what += ", worked out again from the plan and what was known on " + e.known
	if len(e.Foretold) == 1 {
		return what
	}
	return what + fmt.Sprintf(": the interval holds what was found at %d of %d points, which share their pins and so miss together", inside, len(e.Foretold))
}
