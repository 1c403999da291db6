package study

import (
	"math"
	"slices"
	"time"

	"tenths/calc/chart"
	"tenths/calc/quantity"
	"tenths/ledger"
)

// Following is the readings of a characteristic at one point, in the order in which
// they were taken.
type Following struct {
	CharRec *ledger.Record
	Char    *ledger.Characteristic // as of the day asked for
	Point   string                 // empty if it has none
	Unit    quantity.Unit
	Base    quantity.Quantity // what the numbers are counted from
	// Limits and Goal are in Unit from Base; NaN where there is none.
	Limits, Goal [2]float64
	Readings     []Followed
	// LeftOut is how many readings are no sizes of this characteristic: slips, other
	// units, outside of what the gauge measures.
	LeftOut int
	// Count is the coarsest step of the gauges, in Unit; 0 if none says.
	Count float64
}

// Followed is one reading.
type Followed struct {
	Rec   *ledger.Record
	In    *ledger.Inspection
	Row   *ledger.Reading
	Value float64
	// Cut is how many parts the tool had cut; HasCut if that is known.
	Cut    float64
	HasCut bool
	Step   float64 // of the gauge, in Unit; 0 if it is not known
}

// Follow gathers the readings of a characteristic up to the day asked for, one
// series a point: those that count, with a day, and not taken for set-up. It is
// empty if the path names no characteristic with limits or readings.
func (s *Set) Follow(path string) []*Following {
	rec, char := s.characteristic(path, s.AsOf)
	if char == nil {
		return nil
	}
	var recs []*ledger.Record
	var ins []*ledger.Inspection
	for _, r := range s.followed(rec.ID(), char.ID.S) {
		recs, ins = append(recs, r), append(ins, r.Data.(*ledger.Inspection))
	}
	scale := &Evidence{CharRec: rec, Char: char}
	scale.scale(s, fromNominal(ins, char)...)
	var out []*Following
	for i, r := range recs {
		step := s.step(scale, ins[i])
		for _, v := range s.Readings(r).Live {
			f := seriesAt(&out, scale, v.Point)
			d, err := v.Full.Sub(scale.Base)
			if err != nil || v.Problem != "" || v.Slip != nil || v.OtherKind || v.Far || v.OutOfRange || v.Negative {
				f.LeftOut++
				continue
			}
			x := Followed{Rec: r, In: ins[i], Row: v.Row, Value: d.FloatIn(scale.Unit), Step: step}
			if v.Row.At.Set() {
				x.Cut, x.HasCut = v.Row.At.Nominal().Float(), true
			}
			if math.IsNaN(x.Value) {
				f.LeftOut++
				continue
			}
			f.Readings = append(f.Readings, x)
			f.Count = max(f.Count, step)
		}
	}
	return out
}

// fromNominal is the inspections without what each counts its deviations from: where a
// characteristic has limits, all of them are counted from its nominal.
func fromNominal(ins []*ledger.Inspection, char *ledger.Characteristic) []*ledger.Inspection {
	if !char.Limits.Set() {
		return ins
	}
	out := make([]*ledger.Inspection, len(ins))
	for i, in := range ins {
		own := *in
		own.NominalIs = ledger.Size{}
		out[i] = &own
	}
	return out
}

// seriesAt is the series of a point, a new one if there is none.
func seriesAt(all *[]*Following, scale *Evidence, point string) *Following {
	for _, f := range *all {
		if f.Point == point {
			return f
		}
	}
	f := &Following{CharRec: scale.CharRec, Char: scale.Char, Point: point, Unit: scale.Unit, Base: scale.Base, Limits: scale.Limits, Goal: scale.Goal}
	*all = append(*all, f)
	return f
}

// followed lists the inspections of a characteristic that count, by day. They are
// gathered once: a tool has many characteristics and a ledger many inspections.
func (s *Set) followed(part, char string) []*ledger.Record {
	s.counted.Do(func() {
		s.byChar = map[[2]string][]*ledger.Record{}
		for _, r := range s.L.Records {
			in, ok := r.Data.(*ledger.Inspection)
			if !ok || r.Quiet() || !in.On.By(s.AsOf) || in.State.S == "void" || in.State.S == "superseded" || in.Purpose.S == "set-up" || s.passOrFail(in) {
				continue
			}
			if rec, c := s.characteristic(in.Characteristic.S, in.On.T); c != nil {
				key := [2]string{rec.ID(), c.ID.S}
				s.byChar[key] = append(s.byChar[key], r)
			}
		}
		for _, list := range s.byChar {
			slices.SortStableFunc(list, func(a, b *ledger.Record) int {
				return a.Data.(*ledger.Inspection).On.T.Compare(b.Data.(*ledger.Inspection).On.T)
			})
		}
	})
	return s.byChar[[2]string{part, char}]
}

// passOrFail reports whether an inspection was made with a pair of limit gauges,
// which gives no sizes.
func (s *Set) passOrFail(in *ledger.Inspection) bool {
	g := s.gaugeOf(in)
	return g != nil && (g.Go.Set() || g.NotGo.Set())
}

func (s *Set) gaugeOf(in *ledger.Inspection) *ledger.Gauge {
	if rec := s.L.Record(in.Gauge.S); rec != nil {
		if g, ok := rec.Data.(*ledger.Gauge); ok {
			return g
		}
	}
	return nil
}

// step is the step of an inspection's gauge in the unit of the series.
func (s *Set) step(scale *Evidence, in *ledger.Inspection) float64 {
	g := s.gaugeOf(in)
	switch {
	case g == nil:
		return 0
	case g.Reads.Set():
		return scale.inUnit(g.Reads)
	}
	return scale.inUnit(g.Resolution)
}

// Day is the day of a reading.
func (f Followed) Day() time.Time { return f.In.On.T }

// Q is a number of the series as a quantity: a deviation from Base or a difference.
func (f *Following) Q(v float64) quantity.Quantity { return quantity.FromFloat(v, f.Unit) }

// Shown is Q with the digits that it deserves: the last is not coarser than a fifth
// of the gauge's step.
func (f *Following) Shown(v float64) quantity.Quantity {
	if f.Count == 0 {
		return Rounded(f.Q(v), 2)
	}
	for n := range 9 {
		if math.Pow10(-n) <= f.Count/5*(1+1e-9) {
			return Rounded(f.Q(v), n)
		}
	}
	return Rounded(f.Q(v), 9)
}

// Tools are the ids of the tools that finish the features of the characteristic.
func (f *Following) Tools() []string {
	part, ok := f.CharRec.Data.(*ledger.Part)
	if !ok {
		return nil
	}
	var out []string
	for _, feature := range part.Features {
		mine := slices.ContainsFunc(f.Char.Feature, func(t ledger.Text) bool { return t.S == feature.ID.S })
		if mine && feature.Tool.Set() && !slices.Contains(out, feature.Tool.S) {
			out = append(out, feature.Tool.S)
		}
	}
	return out
}

// Values are the numbers of the series.
func (f *Following) Values() []float64 {
	out := make([]float64, len(f.Readings))
	for i, r := range f.Readings {
		out[i] = r.Value
	}
	return out
}

// Starts are the places where another inspection begins.
func (f *Following) Starts() []int {
	var out []int
	for i := 1; i < len(f.Readings); i++ {
		if f.Readings[i].Rec != f.Readings[i-1].Rec {
			out = append(out, i)
		}
	}
	return out
}

// Turn is a change of the characteristic that was done, or undone, between its first
// and its last reading.
type Turn struct {
	Rec    *ledger.Record
	On     ledger.Date
	Undone bool
	Place  int // of the first reading after it
}

// Turns lists the changes of the characteristic by day.
func (f *Following) Turns(s *Set) []Turn {
	path := f.CharRec.ID() + "/" + f.Char.ID.S
	var out []Turn
	for _, rec := range s.L.Records {
		ch, ok := rec.Data.(*ledger.Change)
		if !ok || rec.Quiet() || ch.State.S == "cancelled" {
			continue
		}
		about := ch.Characteristic.S == path
		for _, e := range ch.Also {
			about = about || e.Characteristic.S == path
		}
		for i, on := range []ledger.Date{ch.Done, ch.RolledBack} {
			at := slices.IndexFunc(f.Readings, func(r Followed) bool { return !r.Day().Before(on.T) })
			if about && on.By(s.AsOf) && at > 0 {
				out = append(out, Turn{rec, on, i == 1, at})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Turn) int { return a.On.T.Compare(b.On.T) })
	return out
}

// fewForChart is how many readings after a change are enough for a chart of their
// own (common practice).
const fewForChart = 4

// Chart is the short-run chart of the series: single readings, with moving ranges
// within each inspection. It begins anew after the last change of the
// characteristic that has enough readings after it; from is the place of its first
// reading and since that change, nil if the chart holds all readings. The error says
// that there are too few.
func (f *Following) Chart(s *Set) (c chart.Individuals, from int, since *Turn, err error) {
	for _, t := range f.Turns(s) {
		if len(f.Readings)-t.Place >= fewForChart {
			from, since = t.Place, &t
		}
	}
	var starts []int
	for _, at := range f.Starts() {
		if at > from {
			starts = append(starts, at-from)
		}
	}
	count := 0.0
	for _, r := range f.Readings[from:] {
		count = max(count, r.Step)
	}
	c, err = chart.NewIndividuals(f.Values()[from:], starts, count)
	return c, from, since, err
}
