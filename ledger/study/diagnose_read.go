package study

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"tenths/calc/quantity"
	"tenths/calc/seam"
	"tenths/ledger"
)

// read takes the readings that count, in mm from nothing, one row an assembly.
func (d *Diagnosis) read(s *Set) ([][]float64, error) {
	at := map[string]SeamPoint{}
	for _, p := range d.Seam.Points {
		at[p.ID] = p
	}
	var rows [][]float64
	var last *ledger.Reading
	var ids, row []string
	for _, c := range s.Checks(d.Rec) {
		if c.Row != last {
			if last, row = c.Row, nil; !c.Row.Live() {
				d.Void++
			} else {
				rows = append(rows, nil)
			}
		}
		if !c.Row.Live() {
			continue
		}
		if c.Problem != "" {
			return nil, fmt.Errorf("%s: a reading is %s", d.Rec.ID(), c.Problem)
		}
		if _, ok := at[c.Point]; !ok {
			return nil, fmt.Errorf("%s: a reading belongs to no point of %s that has a place and a normal", d.Rec.ID(), d.Seam.Char.ID.S)
		}
		if c.Full.Dim() != quantity.Length {
			return nil, fmt.Errorf("%s: the readings are no lengths", d.Rec.ID())
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], c.Full.FloatIn(quantity.Millimetre))
		if row = append(row, c.Point); len(row) > len(ids) {
			ids = append(ids[:0], row...)
		}
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("%s has no readings that count", d.Rec.ID())
	}
	for _, id := range ids {
		d.Points = append(d.Points, at[id])
	}
	for _, p := range d.Seam.Points {
		if !slices.Contains(ids, p.ID) {
			d.Unread = append(d.Unread, p.ID)
		}
	}
	whole := rows[:0]
	for _, r := range rows {
		if len(r) == len(ids) {
			whole = append(whole, r)
		}
	}
	if short := len(rows) - len(whole); short > 0 {
		d.assume("%d of %d assemblies lack a reading at a point and are left out", short, len(rows))
	}
	d.Pieces = len(whole)
	d.Means = make([]float64, len(ids))
	for _, r := range whole {
		for i, v := range r {
			d.Means[i] += v / float64(d.Pieces)
		}
	}
	return whole, nil
}

func (d *Diagnosis) at() []seam.Point {
	out := make([]seam.Point, len(d.Points))
	for i, p := range d.Points {
		out[i] = p.At
	}
	return out
}

// noise is the standard deviation of a reading: that of its gauge, or of the
// readings about the pattern where they scatter more than 1 in 100 times by
// chance.
func (d *Diagnosis) noise(readings [][]float64) {
	d.Noise = d.Seam.Gauge
	if g := d.Gauge; g != nil {
		if u, ok := standardU(g.Gauge); ok {
			d.Noise = u
		}
	}
	if d.Noise <= 0 {
		d.Noise = practisedMM(d.Seam.Unit, surveyBand) / 2
		d.assume("no uncertainty of the gauge is known: %s (1 s) is taken for a reading", Show(d.MM(d.Noise)))
	}
	f, err := seam.Fit(d.at(), readings, seam.Options{})
	if err != nil {
		return
	}
	// About the means, so that what every assembly shows at one point alone is
	// no noise.
	n, points := len(readings), len(d.Points)
	if df := (n - 1) * (points - 4); df > 0 {
		var sum float64
		for a, r := range readings {
			for i, v := range r {
				p, _ := f.Each[a].At(d.Points[i].At)
				rest := v - p - f.Rest[i]
				sum += rest * rest
			}
		}
		if sum/(d.Noise*d.Noise) > (distuv.ChiSquared{K: float64(df)}).Quantile(0.99) {
			d.Noise, d.NoiseSeen = math.Sqrt(sum/float64(df)), true
		}
	}
	d.sizes(f, n)
	if df := points - 4; df > 0 {
		var sum float64
		far := 0
		for i, r := range f.Rest {
			sum += r * r
			if math.Abs(r) > math.Abs(f.Rest[far]) {
				far = i
			}
		}
		if sum*float64(n)/(d.Noise*d.Noise) > (distuv.ChiSquared{K: float64(df)}).Quantile(0.99) {
			d.Form, d.FormAt = math.Sqrt(sum/float64(df)), d.Points[far].ID
		}
	}
}

// sizes finds whether the size differs more from assembly to assembly than the
// gauge and the wear of a run explain, 1 in 100 by chance. Looseness makes none.
func (d *Diagnosis) sizes(f seam.Fitted, n int) {
	if n < 2 {
		return
	}
	known := d.Noise * d.Noise / float64(len(d.Points))
	for _, side := range []*SeamSide{&d.Seam.Proud, &d.Seam.Other} {
		known += side.Wear * side.Wear / 3
	}
	var sum float64
	for _, e := range f.Each {
		sum += (e.Size - f.Pattern.Size) * (e.Size - f.Pattern.Size)
	}
	if df := float64(n - 1); sum/known > (distuv.ChiSquared{K: df}).Quantile(0.99) {
		d.SizeVaries = math.Sqrt(sum/df - known)
	}
}

// pattern says which traits the readings can show: for each the number that every
// mean reading counts with.
func (d *Diagnosis) pattern(readings [][]float64) ([][]float64, error) {
	points := d.at()
	unit := func(i int) [][]float64 {
		e := make([]float64, len(points))
		e[i] = 1
		return [][]float64{e}
	}
	pitch := d.Seam.Pitch()
	_, err := seam.Fit(points, readings, seam.Options{})
	switch {
	case err == nil:
		traits := make([][]float64, 4)
		for k := range traits {
			traits[k] = make([]float64, len(points))
		}
		for i := range points {
			f, err := seam.Fit(points, unit(i), seam.Options{})
			if err != nil {
				return nil, err
			}
			for k, v := range []float64{f.Pattern.DX, f.Pattern.DY, f.Pattern.Turn * pitch, f.Pattern.Size} {
				traits[k][i] = v
			}
		}
		for k, name := range []string{"shift in x", "shift in y", "turn over " + showPitch(pitch, d.Seam.Unit), "size"} {
			key := []string{"dx", "dy", "turn", "size"}[k]
			one := []seam.Pattern{{DX: 1}, {DY: 1}, {Turn: 1 / pitch}, {Size: 1}}[k]
			for _, p := range points {
				v, err := one.At(p)
				if err != nil {
					return nil, err
				}
				d.units[key] = append(d.units[key], v)
			}
			d.Traits = append(d.Traits, SeamTrait{Name: name, Key: key})
		}
		return traits, nil
	case errors.Is(err, seam.ErrCannotSeparate):
		d.Cannot = strings.TrimPrefix(err.Error(), seam.ErrCannotSeparate.Error()+": ")
		var traits [][]float64
		for i, p := range d.Points {
			traits = append(traits, unit(i)[0])
			d.units[p.ID] = unit(i)[0]
			d.Traits = append(d.Traits, SeamTrait{Name: "step at " + p.ID, Key: p.ID})
		}
		return traits, nil
	}
	return nil, err
}

// showPitch prints the pitch of the pins with the digits that name it.
func showPitch(mm float64, u quantity.Unit) string {
	decimals := 1
	if u.Same(quantity.Inch) {
		decimals = 2
	}
	return lengthIn(mm, u).Format(u, decimals)
}
