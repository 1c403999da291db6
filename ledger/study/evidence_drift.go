package study

import "tenths/calc/chart"

// Drifts puts a line through the readings before and through those after, over
// how many parts the tool had cut. A group without three readings at different
// counts gives none.
func (ev *Evidence) Drifts() (before, after *chart.Drift) {
	return ev.drift(ev.Before), ev.drift(ev.After)
}

func (ev *Evidence) drift(g *Group) *chart.Drift {
	if g == nil || len(g.Cols) != 1 {
		return nil
	}
	var counts, values []float64
	next := 0
	for i, row := range g.Rows {
		if _, ok := ev.judged(g.Pieces[i]); !ok {
			continue
		}
		if row.At.Set() {
			counts, values = append(counts, row.At.Nominal().Float()), append(values, g.Judged[next])
		}
		next++
	}
	line, err := chart.NewDrift(counts, values, ev.sample(g, nil).Resolution, Confidence)
	if err != nil {
		return nil
	}
	return &line
}
