package bench

import (
	"math"
	"strconv"
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/stats"
)

const oneGauge = "one and the same gauge: its uncertainty is common to both sides and cancels; it counts with --other-gauge only"

// sides are the texts of readings before and after.
type sides struct {
	before, after, resolution string
	otherGauge                bool
	uBefore, uAfter           string
}

// groups are readings before and after, in one unit.
type groups struct {
	before, after stats.Sample
	unit          quantity.Unit
	decimals      int // the finest of the readings
}

// shown gives a mean or a difference: it deserves one digit more than the
// readings.
func (g groups) shown(v float64) quantity.Quantity {
	return shownWith(quantity.FromFloat(v, g.unit), max(g.decimals, 0)+1)
}

// read gives a reading, or a difference of two, as finely as it was read.
func (g groups) read(v float64) quantity.Quantity {
	return shownWith(quantity.FromFloat(v, g.unit), max(g.decimals, 0))
}

// readSides reads both sides in the unit of the answer, or that of the readings
// before.
func readSides(o Options, s sides) (*work, groups) {
	w := &work{}
	const eg = "'13.0 12.0 13.5 tenths'"
	for _, side := range [][2]string{{"before", s.before}, {"after", s.after}} {
		if strings.TrimSpace(side[1]) == "" {
			w.fail("%s: no readings; type them with the unit at the end, such as %s", side[0], eg)
		}
	}
	_, unit, _ := w.readingsOf("before", s.before, quantity.Unit{})
	if w.err != nil {
		return w, groups{}
	}
	w = start(o, unit.Dim())
	if !w.unit.IsZero() {
		unit = w.unit
	}
	g := groups{unit: unit}
	before, _, d1 := w.readingsOf("before", s.before, unit)
	after, _, d2 := w.readingsOf("after", s.after, unit)
	resolution := w.above("resolution", s.resolution, unit.Dim(), "0.5tenths")
	uBefore, uAfter := w.above("u-before", s.uBefore, unit.Dim(), "1tenths"), w.above("u-after", s.uAfter, unit.Dim(), "1tenths")
	if w.err != nil {
		return w, g
	}
	g.decimals = max(d1, d2)
	g.before = stats.Sample{Values: before, Resolution: floatIn(resolution, unit), U: floatIn(uBefore, unit), Gauge: "one"}
	g.after = stats.Sample{Values: after, Resolution: floatIn(resolution, unit), U: floatIn(uAfter, unit), Gauge: "one"}
	if s.otherGauge {
		g.after.Gauge = "other"
	}
	return w, g
}

// floatIn is a quantity in a unit, 0 if there is none.
func floatIn(q quantity.Quantity, unit quantity.Unit) float64 {
	if q.IsZeroValue() {
		return 0
	}
	return q.FloatIn(unit)
}

// oneGroup reads readings alone.
func oneGroup(o Options, text, resolution string) (*work, groups) {
	w := &work{}
	if strings.TrimSpace(text) == "" {
		w.fail("readings: none; type them with the unit at the end, such as '13.0 12.0 13.5 tenths'")
	}
	_, unit, _ := w.readingsOf("readings", text, quantity.Unit{})
	if w.err != nil {
		return w, groups{}
	}
	w = start(o, unit.Dim())
	if !w.unit.IsZero() {
		unit = w.unit
	}
	g := groups{unit: unit}
	g.before.Values, _, g.decimals = w.readingsOf("readings", text, unit)
	g.before.Resolution = floatIn(w.above("resolution", resolution, unit.Dim(), "0.5tenths"), unit)
	return w, g
}

// chance is a probability that is never shown as none at all.
func chance(p float64) Rough { return percent(max(p, math.SmallestNonzeroFloat64)) }

// points is a change of a share in %, signed, to the whole point where it can be.
func points(d float64) Rough {
	u, _ := quantity.LookupUnit("%")
	return Rough{Quantity: quantity.FromFloat(d*100, u), digits: 2}
}

func isCount(text string) bool {
	f := strings.Fields(text)
	return len(f) == 3 && strings.EqualFold(f[1], "of")
}

// readingsOf reads numbers with their unit at the end, in the unit u if it is
// not zero. decimals is the finest of them.
func (w *work) readingsOf(name, text string, u quantity.Unit) (values []float64, unit quantity.Unit, decimals int) {
	const eg = "'13.0 12.0 13.5 tenths'"
	f := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\t' || r == '\n' || r == ';' })
	if len(f) == 0 && text != "" {
		w.fail("%s: no reading in %q; type them with the unit at the end, such as %s", name, text, eg)
	}
	if w.err != nil || len(f) == 0 {
		return
	}
	last := f[len(f)-1]
	unit, ok := quantity.LookupUnit(last)
	if ok {
		f = f[:len(f)-1]
	} else if one, err := quantity.Parse(last, quantity.Unit{}); err == nil { // 9.0tenths
		unit, ok = one.Unit(), true
	}
	if !ok || len(f) == 0 {
		w.fail("%s: the unit is missing at the end of %q; type the readings such as %s", name, text, eg)
		return
	}
	if unit.Point() {
		w.fail("%s: temperatures are not compared here; type readings such as %s", name, eg)
		return
	}
	for _, word := range f {
		r, err := quantity.Parse(word, unit)
		if err != nil {
			w.fail("%s: %w", name, err)
			return
		}
		if !u.IsZero() {
			if r.Dim() != u.Dim() {
				w.fail("%s: %s is %s and the readings before are not; type readings of one kind", name, r, article(r.Kind()))
				return
			}
			decimals = max(decimals, scaled(r, u))
			values = append(values, r.FloatIn(u))
			continue
		}
		decimals = max(decimals, r.Decimals())
		values = append(values, r.FloatIn(unit))
	}
	return values, unit, decimals
}

// scaled is how many decimals a reading is worth in another unit.
func scaled(r quantity.Quantity, u quantity.Unit) int {
	if r.Unit().Same(u) {
		return r.Decimals()
	}
	n, ok := places[u.Name()]
	if !ok {
		return 4
	}
	return n - 1
}

// count reads "3 of 20".
func (w *work) count(name, text string) (bad, n int) {
	f := strings.Fields(text)
	bad, err1 := strconv.Atoi(f[0])
	n, err2 := strconv.Atoi(f[2])
	switch {
	case w.err != nil:
	case err1 != nil || err2 != nil || bad < 0 || n < 1 || bad > n:
		w.fail("%s: %q is no count; type bad parts of all parts, such as 3 of 20", name, text)
	}
	return bad, n
}
