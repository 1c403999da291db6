package study

import (
	"math"
	"time"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// Group is the readings of one inspection as they enter a comparison.
type Group struct {
	Rec   *ledger.Record
	In    *ledger.Inspection
	Gauge *Gauging // nil if the inspection names no gauge that is there
	// Points are the names of the points, one empty name if there are none.
	Points []string
	// Pieces[i][j] is the reading of piece i at point j, in the evidence's unit
	// as a deviation from its base; NaN where there is none.
	Pieces [][]float64
	// Rows are the pieces as written, and Cols the columns of the points in
	// them: reading j of piece i is Rows[i].Values[Cols[j]], if it is there.
	Rows []ledger.Reading
	Cols []int
	// Judged is one number a piece: what the characteristic is judged by. It is
	// empty where each of several points is judged by itself.
	Judged []float64
	// Count is set for counted evidence.
	Count ledger.Count
	// Touch are grades by touch, one a piece; Count is then how many were felt.
	Touch []int
	// Void is how many pieces were left out as void or superseded.
	Void int
}

func (ev *Evidence) group(s *Set, rec *ledger.Record, in *ledger.Inspection, want []string) *Group {
	g := &Group{Rec: rec, In: in, Gauge: s.Gauging(rec), Count: in.Count}
	if !g.Count.Set() && len(in.Touch) > 0 {
		g.Count, g.Touch = felt(in.Touch)
	}
	from := ev.countedFrom(s, in)
	have := names(in.Points)
	if have == nil {
		for _, p := range ev.Char.Points {
			have = append(have, p.ID.S)
		}
	}
	cols := columns(have, want)
	g.Cols = cols
	for _, c := range cols {
		name := ""
		if c < len(have) {
			name = have[c]
		}
		g.Points = append(g.Points, name)
	}
	rows := in.Rows()
	g.Pieces, g.Rows = make([][]float64, 0, len(rows)), make([]ledger.Reading, 0, len(rows))
	for _, row := range rows {
		if !row.Live() {
			g.Void++
			continue
		}
		values := make([]float64, 0, len(cols))
		for _, c := range cols {
			v := math.NaN()
			if c < len(row.Values) {
				v = ev.number(row.Values[c], from)
			}
			values = append(values, v)
		}
		g.Pieces, g.Rows = append(g.Pieces, values), append(g.Rows, row)
		if j, ok := ev.judged(values); ok {
			g.Judged = append(g.Judged, j)
		}
	}
	return g
}

// columns gives the columns of the points that are wanted; all of them if none
// are named.
func columns(have, want []string) []int {
	if len(have) == 0 {
		return []int{0}
	}
	var out []int
	for i, h := range have {
		if len(want) == 0 {
			out = append(out, i)
			continue
		}
		for _, w := range want {
			if w == h {
				out = append(out, i)
			}
		}
	}
	return out
}

// countedFrom is what the readings of an inspection are counted from: nothing
// for full sizes, for deviations what the inspection says, else the nominal of
// the limits that held on its day.
func (ev *Evidence) countedFrom(s *Set, in *ledger.Inspection) quantity.Quantity {
	switch {
	case !in.DeviationIn.Set():
		return quantity.Quantity{}
	case in.NominalIs.Set():
		return in.NominalIs.Nominal()
	}
	char := ev.Char
	if in.On.Set() {
		if _, then := s.characteristic(ev.CharRec.ID()+"/"+char.ID.S, in.On.T); then != nil {
			char = then
		}
	}
	if lim := char.Limits; lim.Set() && lim.Tol.Form != quantity.AtMost && lim.Tol.Form != quantity.AtLeast {
		return lim.Nominal()
	}
	return ev.Base
}

// number gives a reading in Unit from Base, exactly until the last step. from
// is what the reading is counted from; the zero Quantity for a full size.
func (ev *Evidence) number(v ledger.Size, from quantity.Quantity) float64 {
	q := v.Nominal()
	if !from.IsZeroValue() {
		sum, err := from.Add(q)
		if err != nil {
			return math.NaN()
		}
		q = sum
	}
	d, err := q.Sub(ev.Base)
	if err != nil {
		return math.NaN()
	}
	return d.FloatIn(ev.Unit)
}

// judged reduces the readings of a piece to one number: its only one, or the
// largest of its points without sign. Where each of several points is judged by
// itself there is no such number.
func (ev *Evidence) judged(values []float64) (float64, bool) {
	if len(values) > 1 && ev.Judge != "largest" {
		return 0, false
	}
	largest, n := 0.0, 0
	for _, v := range values {
		if math.IsNaN(v) {
			continue
		}
		n++
		if len(values) == 1 {
			return v, true
		}
		largest = max(largest, math.Abs(v))
	}
	return largest, n > 0
}

// Column gives the readings at point i, those that are there.
func (g *Group) Column(i int) []float64 {
	var out []float64
	for _, p := range g.Pieces {
		if i < len(p) && !math.IsNaN(p[i]) {
			out = append(out, p[i])
		}
	}
	return out
}

// Day is the day of the readings; the zero time if it is not known.
func (g *Group) Day() time.Time { return g.In.On.T }
