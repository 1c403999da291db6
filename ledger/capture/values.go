package capture

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// readings is a line that could be read: what is written into the file.
type readings struct {
	place     *place
	last      *ledger.Inspection // the readings that gaps are filled from, or nil
	into      *ledger.Record     // the set that holds the piece that is corrected, or nil
	piece     string             // that piece
	unit      string             // of the values, as it was said
	units     string             // of the set, where it is not that of the file
	points    []string
	deviation string // unit of deviations
	nominalIs string
	rows      [][]string // the values of each piece, as typed
	touch     []string
	count     string
	counts    string
	gauge     string
	lot       string
	part      string
	held      string
	picked    string
	compare   bool
	note      string
	corrects  string
	imported  string
	sheet     *Sheet // that the rows come from, or nil
	remarks   []string
}

// read reads the line.
func (c *clerk) read() (*readings, *trouble) {
	words := strings.Fields(c.line)
	if len(words) == 0 {
		return nil, because("nothing was typed")
	}
	place, remark, t := c.find(words[0])
	if t != nil {
		return nil, t
	}
	r := &readings{place: place, unit: c.ask.Unit, note: ledger.Printable(c.ask.Note)}
	if remark != "" {
		r.remarks = append(r.remarks, remark)
	}
	if t := c.corrected(r); t != nil {
		return nil, t
	}
	if r.last == nil {
		_, r.last = c.last(func(in *ledger.Inspection) bool { return in.Characteristic.S == place.path })
	}
	if t := c.fill(r); t != nil {
		return nil, t
	}
	rest := words[1:]
	if i := slices.IndexFunc(rest, func(w string) bool { return strings.EqualFold(w, "note:") }); i >= 0 {
		r.note = strings.TrimSpace(strings.Join(append(strings.Fields(r.note), rest[i+1:]...), " "))
		rest = rest[:i]
	}
	if counted, t := r.readCount(rest); counted || t != nil {
		return r, t
	}
	values, t := c.readWords(r, rest)
	if t != nil {
		return nil, t
	}
	if place.char.Type.S == "touch" {
		return r, r.readTouch(values)
	}
	if t := c.readUnits(r, values); t != nil {
		return nil, t
	}
	return r, r.readRows(values)
}

// fill takes what was not said from the readings before.
func (c *clerk) fill(r *readings) *trouble {
	a, last := c.ask, r.last
	if last == nil {
		last = &ledger.Inspection{}
	}
	or := func(said, before string) string {
		if said != "" {
			return ledger.Printable(said)
		}
		return before
	}
	r.gauge = or(a.Gauge, last.Gauge.S)
	if r.gauge == "" {
		r.gauge = r.place.char.Gauge.S
	}
	r.lot, r.held, r.picked = or(a.Lot, last.Lot.S), or(a.Held, last.Held.S), or(a.Picked, last.Picked.S)
	r.part = last.Part.S
	if r.part == "" {
		r.part = r.place.rec.ID()
	}
	r.compare = last.Compare.B && r.gauge == last.Gauge.S
	if a.Gauge == "" {
		return nil
	}
	var gauges []string
	for _, rec := range c.l.Records {
		if rec.Kind() == ledger.KindGauge {
			if strings.EqualFold(rec.ID(), a.Gauge) {
				r.gauge = rec.ID()
				return nil
			}
			gauges = append(gauges, rec.ID())
		}
	}
	t := because("no gauge is called %s", ledger.Printable(a.Gauge))
	if near := ledger.Nearest(a.Gauge, gauges, 1+max(1, len(a.Gauge)/2)); near != "" {
		t.near = "--gauge " + near
	}
	return t
}

// readCount reads "7 of 20" and what was counted.
func (r *readings) readCount(words []string) (bool, *trouble) {
	i := slices.Index(words, "of")
	if i < 0 {
		return false, nil
	}
	if i != 1 || len(words) < 3 {
		return true, because("a count is written like 7 of 20, with what was counted after it")
	}
	r.count = strings.Join(words[:3], " ")
	if _, _, err := ledger.ParseCount(r.count); err != nil {
		return true, because("%v", err)
	}
	r.counts = strings.Join(words[3:], " ")
	if r.counts == "" && r.last != nil {
		r.counts = r.last.Counts.S
	}
	return true, nil
}

// readTouch reads what was felt by finger.
func (r *readings) readTouch(values []string) *trouble {
	for _, v := range values {
		if v != "0" && v != "1" && v != "2" {
			return because("%s is felt by finger: 0 not felt, 1 felt, 2 catches a nail; not %s", r.place.path, v)
		}
	}
	r.touch, r.gauge = values, ""
	return nil
}

// readWords takes names of points and of a unit out of the words and gives the
// values.
func (c *clerk) readWords(r *readings, words []string) ([]string, *trouble) {
	var values []string
	if r.place.point != "" {
		r.points = []string{r.place.point}
	}
	addPoint := func(name string) bool {
		if strings.ContainsFunc(name, unicode.IsLetter) && r.place.point == "" {
			if id := pointNamed(r.place.char, name); id != "" {
				r.points = append(r.points, id)
				return true
			}
		}
		return false
	}
	for _, w := range words {
		w = strings.TrimRight(w, ",;:")
		if name, value, ok := strings.Cut(w, "="); ok && addPoint(name) {
			w = value
		} else if addPoint(w) {
			continue
		}
		if u, ok := quantity.LookupUnit(w); ok {
			if r.unit != "" && r.unit != u.Name() {
				return nil, because("two units, %s and %s, stand in one line", r.unit, u.Name())
			}
			r.unit = u.Name()
			continue
		}
		if w == "" {
			continue
		}
		if _, err := quantity.ParseToleranced(w, quantity.One); err != nil {
			return nil, because("%q is no reading", ledger.Printable(w))
		}
		values = append(values, w)
	}
	if len(values) == 0 {
		return nil, because("there is no reading in it")
	}
	return values, nil
}

// readUnits finds out what the values are: full sizes or deviations, and in what.
// A sign makes a deviation, and so does a characteristic whose nominal is nothing,
// such as a step; three decimals and more are of the unit of the drawing.
func (c *clerk) readUnits(r *readings, values []string) *trouble {
	lim := r.place.char.Limits
	base, file := c.base(lim), c.fileUnits()
	if r.unit != "" {
		if _, ok := quantity.LookupUnit(r.unit); !ok {
			return because("%s is no unit", ledger.Printable(r.unit))
		}
	}
	if lim.Set() && lim.Nominal().Kind() != "length" {
		unit := lim.Nominal().Unit().Name()
		if r.unit != "" {
			unit = r.unit
		}
		withUnit(values, unit)
		return nil
	}
	if base != file {
		r.units = base
	}
	before := r.last != nil && r.last.DeviationIn.S != ""
	fromNothing := lim.Set() && lim.Nominal().Sign() == 0 || r.last != nil && r.last.NominalIs.Set() && r.last.NominalIs.Nominal().Sign() == 0
	full, dev, fine, unit := 0, 0, 0, r.unit
	// In a table only those below nothing have a sign.
	allOff := c.sheet && slices.ContainsFunc(values, func(v string) bool { return strings.HasPrefix(v, "-") })
	for _, v := range values {
		t, _ := quantity.ParseToleranced(v, quantity.One)
		signed := strings.ContainsAny(v[:1], "+-") || strings.HasPrefix(v, "−")
		if own := t.Nominal.Unit(); own.Name() != "" {
			if unit == "" {
				unit = own.Name()
			} else if unit != own.Name() {
				return because("two units, %s and %s, stand in one line", unit, own.Name())
			}
		}
		small := unit != "" && unit != base
		if t.Nominal.Decimals() >= 3 {
			fine++
		}
		switch {
		case t.Nominal.Sign() == 0 && !fromNothing:
			// nothing off, if the others are deviations
		case fromNothing && unit == base, fromNothing && !before && r.last != nil && !small:
			full++
		case fromNothing && r.last == nil && unit == "" && t.Nominal.Decimals() >= 3:
			full++
		case signed, fromNothing, allOff, before && !strings.Contains(v, ".") && unit == "":
			dev++
		default:
			full++
		}
	}
	if full > 0 && dev > 0 {
		return because("some of the values are full sizes and some deviations (+ or -)")
	}
	if full > 0 {
		switch r.unit {
		case "", base:
		case "in", "mm":
			// A set in the other system says so once; its readings stay as typed.
			if r.units = r.unit; r.units == file {
				r.units = ""
			}
		default:
			withUnit(values, r.unit)
		}
		return nil
	}
	switch {
	case unit != "":
		r.deviation = unit
	case fine > 0:
		r.deviation = base
	case before:
		r.deviation = r.last.DeviationIn.S
	case base == "mm":
		r.deviation = "um"
	default:
		r.deviation = "tenths"
	}
	if r.last != nil && r.last.NominalIs.Set() {
		r.nominalIs = r.last.NominalIs.Raw
	}
	return nil
}

// withUnit writes a unit behind the values that have none.
func withUnit(values []string, unit string) {
	for i, v := range values {
		if t, err := quantity.ParseToleranced(v, quantity.One); err == nil && t.Nominal.Unit().Name() == "" && unit != "" {
			values[i] = v + " " + unit
		}
	}
}

// base is the unit of length of a characteristic: in or mm.
func (c *clerk) base(lim ledger.Size) string {
	if lim.Set() {
		switch lim.Nominal().Unit().System() {
		case "inch":
			return "in"
		case "metric":
			return "mm"
		}
	}
	return c.fileUnits()
}

// fileUnits is the unit of length of the files that are written.
func (c *clerk) fileUnits() string {
	if c.l.Config.Units.S != "" {
		return c.l.Config.Units.S
	}
	return "in"
}

// readRows divides the values over pieces.
func (r *readings) readRows(values []string) *trouble {
	all := pointsOf(r.place.char)
	if r.points == nil {
		usual, how := all, "taken as"
		if r.last != nil && r.last.Points != nil {
			usual, how = nil, "taken, as last time, as"
			for _, p := range r.last.Points {
				usual = append(usual, p.S)
			}
		}
		r.points = usual[:min(len(values), len(usual))]
		if len(r.points) < len(all) {
			r.remarks = append(r.remarks, fmt.Sprintf("%s has %d points; %s %s (for others: %s=%s)",
				r.place.path, len(all), how, strings.Join(r.points, " "), all[len(all)-1], values[0]))
		}
	}
	width := max(1, len(r.points))
	if len(values)%width != 0 {
		return because("%s do not divide over %d points", counted(len(values), "reading"), width)
	}
	if slices.Equal(r.points, all) {
		r.points = nil
	}
	for ; len(values) > 0; values = values[width:] {
		r.rows = append(r.rows, values[:width])
	}
	return nil
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}
