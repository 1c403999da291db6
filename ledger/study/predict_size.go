package study

import (
	"fmt"
	"math"

	"tenths/calc/quantity"
	"tenths/calc/stats"
	"tenths/ledger"
)

// normal95 is the 97.5 % point of the normal distribution.
const normal95 = 1.959963984540054

// size foretells the size of features from the range that the process is meant
// to give: sizes lie evenly over what is made now and over what is meant, and
// are read with the gauge.
func (f *Foretold) size(s *Set, o *Outlook) {
	now, want, lacks := f.ranges(s, o)
	if lacks != "" {
		f.Skip = lacks
		return
	}
	if f.Unit.Dim() != quantity.Length {
		f.Skip = "its readings are no lengths"
		return
	}
	per := f.perMM()
	lot := func(r Range, n int) (mean float64, l stats.Lot, err error) {
		d, err := quantity.FromFloat(r.middle(), quantity.Millimetre).Sub(f.Ev.Base)
		if err != nil {
			return 0, l, err
		}
		l, err = stats.EvenLot((r.Max.Float()-r.Min.Float())*per, f.reading(), n)
		return d.FloatIn(f.Unit), l, err
	}
	m0, l0, err := lot(now, f.Pieces[0])
	if err != nil {
		f.Skip = err.Error()
		return
	}
	m1, l1, err := lot(want, f.Pieces[1])
	if err != nil {
		f.Skip = err.Error()
		return
	}
	about := func(m, sd float64) Interval { return Interval{m, m - normal95*sd, m + normal95*sd} }
	times := func(m, rel float64) Interval {
		return Interval{m, m * math.Exp(-normal95*rel), m * math.Exp(normal95*rel)}
	}
	f.Before, f.After = about(m0, l0.SEOf), about(m1, l1.SEOf)
	f.Change = about(m1-m0, math.Hypot(l0.SEOf, l1.SEOf))
	f.SDBefore, f.SDAfter = times(l0.SD, l0.RelSE), times(l1.SD, l1.RelSE)
	f.Ratio = times(l1.SD/l0.SD, math.Hypot(l0.RelSE, l1.RelSE))
	f.onReadings()
	f.Assumed = append(f.Assumed, "sizes lie evenly over the range that is made (as_made), before and after")
}

// ranges finds what is made of the features of the characteristic on the day,
// and what is meant; lacks says in words what the records do not tell.
func (f *Foretold) ranges(s *Set, o *Outlook) (now, want Range, lacks string) {
	char := f.Ev.Char
	part, _ := f.Ev.CharRec.Data.(*ledger.Part)
	if part == nil || char.Type.S != "size" || len(char.Feature) == 0 {
		return now, want, fmt.Sprintf("%s/%s is neither a step at a seam (proud, against, points) nor the size of features (type, features), which is all that is foretold", f.Ev.CharRec.ID(), char.ID.S)
	}
	for _, name := range char.Feature {
		for _, p := range o.Change.Planned {
			t, err := s.L.Find(p.What.S)
			feature, ok := t.Node.(*ledger.Feature)
			if err != nil || !ok || t.Rec != f.Ev.CharRec || feature.ID.S != name.S {
				continue
			}
			was := ledger.OnDay(*feature, o.Day)
			switch {
			case !was.AsMade.Set():
				return now, want, fmt.Sprintf("what the process made of %s on %s (as_made) is not known", p.What.S, o.Day.Format("2006-01-02"))
			case !p.AsMade.Set():
				return now, want, fmt.Sprintf("the plan does not say which sizes %s is to come out with (as_made)", p.What.S)
			}
			return rangeOf(was.AsMade), rangeOf(p.AsMade), ""
		}
		if cut := f.cutterOf(s, o, part, name.S); cut != "" {
			return now, want, cut
		}
	}
	return now, want, "nothing that is planned acts on the features of this characteristic"
}

// cutterOf says why a planned cutter tells no size.
func (f *Foretold) cutterOf(s *Set, o *Outlook, part *ledger.Part, name string) string {
	feature := featureNamed(part, name)
	if feature == nil {
		return ""
	}
	for _, p := range o.Change.Planned {
		rec := s.L.Record(p.What.S)
		if rec == nil || p.What.S != feature.Tool.S {
			continue
		}
		out := fmt.Sprintf("the size at which the next %s begins cannot be foretold: no record tells how far one cutter differs from another", p.What.S)
		if t, ok := rec.Data.(*ledger.Tool); ok && t.Wear.Set() && p.Life.Set() {
			if was := ledger.OnDay(*t, o.Day).Life; was.Set() {
				less := (was.Nominal().Float() - p.Life.Nominal().Float()) / 2 * t.Wear.Nominal().Float()
				out += fmt.Sprintf("; its wear alone, %s a part on each side, is %s less on a side on average", t.Wear.Tol, smallLength(less, f.Unit))
			}
		}
		return out
	}
	return ""
}

// smallLength prints a small length, in mm, in tenths or micrometres.
func smallLength(mm float64, u quantity.Unit) string {
	if u.Same(quantity.Inch) || u.Same(quantity.Millimetre) {
		u = smallUnit(u)
	}
	return Rounded(lengthIn(mm, u), 1).String()
}

// reading is the standard uncertainty of one reading in the unit: of the gauge
// that was used, or else of the one that decides.
func (f *Foretold) reading() float64 {
	for _, g := range []*Group{f.Ev.Before, f.Ev.After} {
		if g != nil && g.Gauge != nil {
			if u, ok := standardU(g.Gauge.Gauge); ok {
				return u * f.perMM()
			}
		}
	}
	return 0
}
