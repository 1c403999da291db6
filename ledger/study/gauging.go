package study

import (
	"math/big"
	"strings"
	"time"
	"unicode"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// Standing is how a gauge stood on the day of a reading.
type Standing int

// The standings of a gauge on a day.
const (
	Valid         Standing = iota // a check that had conformed was not yet due again
	Overdue                       // the last check was due again before that day
	NeverChecked                  // no check on or before that day
	Failed                        // the last check before that day did not conform, or was doubtful, and nothing was adjusted
	OutOfService                  // the gauge was not in service on that day
	ReferenceOnly                 // the gauge decides nothing
)

// Gauging is what an inspection's gauge could prove on the day.
type Gauging struct {
	Inspection *ledger.Record
	In         *ledger.Inspection
	GaugeRec   *ledger.Record
	Gauge      *ledger.Gauge
	Char       *ledger.Characteristic // as of the day, nil if the inspection names none
	CharRec    *ledger.Record
	Standing   Standing
	Last       *ledger.Calibration // last check on or before the day
	Due        time.Time           // when the next one was due; zero if there was none
	// Rescue is a later check that conformed before any adjustment: it shows
	// that the gauge was good on the day all the same.
	Rescue *ledger.Calibration
	// CheckedSameDay is set if the gauge was checked that day on a standard that
	// was itself good on that day.
	CheckedSameDay bool
	// Attribute is set for gauges that only say inside or outside: plugs and pins.
	Attribute bool
	Width     quantity.Quantity // tolerance of the characteristic; zero value if it has no two limits
	// PerCount is tolerance over resolution, and Ratio tolerance over twice the
	// uncertainty; nil if a part is unknown or the dimensions differ.
	PerCount, Ratio *big.Rat
}

// IsAttribute reports whether a gauge only says inside or outside.
func IsAttribute(g *ledger.Gauge) bool {
	// Whole words: a spring scale is no ring.
	t := " " + strings.Join(strings.FieldsFunc(strings.ToLower(g.Type.S), func(r rune) bool { return !unicode.IsLetter(r) }), " ") + " "
	for _, w := range []string{"plug", "plugs", "pin set", "pin sets", "pin gauge", "pin gauges", "pin gage", "pin gages", "gauge pins", "gage pins", "limit", "ring", "rings", "snap"} {
		if strings.Contains(t, " "+w+" ") {
			return true
		}
	}
	return g.Go.Set() || g.NotGo.Set()
}

// IsBlocks reports whether a gauge is a set of gauge blocks: a standard that
// others are checked on.
func IsBlocks(g *ledger.Gauge) bool {
	return strings.Contains(strings.ToLower(g.Type.S), "block")
}

// Gauging computes the gauging study of an inspection; nil if the record is no
// inspection or has no gauge, no day, or names a gauge that is not there.
func (s *Set) Gauging(rec *ledger.Record) *Gauging {
	in, ok := rec.Data.(*ledger.Inspection)
	if !ok || !in.Gauge.Set() || !in.On.Set() {
		return nil
	}
	return s.gauging.get(rec, func() *Gauging {
		gr := s.L.Record(in.Gauge.S)
		if gr == nil {
			return nil
		}
		g, ok := gr.Data.(*ledger.Gauge)
		if !ok {
			return nil
		}
		out := &Gauging{Inspection: rec, In: in, GaugeRec: gr, Gauge: g, Attribute: IsAttribute(g), CheckedSameDay: s.checkedOn(in)}
		out.Standing, out.Last, out.Due = s.StandingOn(g, in.On.T)
		if out.Standing == Overdue || out.Standing == NeverChecked {
			out.Rescue = s.rescue(g, in.On.T)
		}
		out.CharRec, out.Char = s.characteristic(in.Characteristic.S, in.On.T)
		if out.Char != nil && out.Char.Limits.Set() {
			out.ratios()
		}
		return out
	})
}

// Late is how many days the next check was overdue on the day of the readings;
// 0 if it was not.
func (g *Gauging) Late() int {
	if g.Standing != Overdue {
		return 0
	}
	return int(g.In.On.T.Sub(g.Due).Hours() / 24)
}

// checkedOn reports whether the gauge was checked on a standard that can be
// trusted. A standard that is not in the ledger is a broken reference and is
// taken at its word here.
func (s *Set) checkedOn(in *ledger.Inspection) bool {
	if !in.CheckedOn.Set() {
		return false
	}
	rec := s.L.Record(in.CheckedOn.S)
	if rec == nil {
		return true
	}
	g, ok := rec.Data.(*ledger.Gauge)
	if !ok {
		return true
	}
	switch standing, _, _ := s.StandingOn(g, in.On.T); standing {
	case Valid:
		return true
	case Overdue:
		return IsBlocks(g) || s.rescue(g, in.On.T) != nil
	case NeverChecked:
		return IsBlocks(g)
	}
	return false
}

// characteristic finds a characteristic as of a day. The size of a feature is
// one too: its limits are those of the size.
func (s *Set) characteristic(path string, day time.Time) (*ledger.Record, *ledger.Characteristic) {
	if path == "" {
		return nil, nil
	}
	t, err := s.L.Find(path)
	if err != nil {
		return nil, nil
	}
	switch n := t.Node.(type) {
	case *ledger.Characteristic:
		now := ledger.OnDay(*n, day)
		return t.Rec, &now
	case *ledger.Feature:
		now := ledger.OnDay(*n, day)
		if t.Size != nil && t.Size != &n.Size || !now.Size.Set() {
			return nil, nil
		}
		return t.Rec, &ledger.Characteristic{
			Span: now.Span, ID: now.ID, Title: now.Title, Limits: now.Size,
			Type: ledger.Text{S: "size", Span: now.Size.Span}, Feature: []ledger.Text{now.ID},
		}
	}
	return nil, nil
}

// StandingOn says how a gauge stood on a day, with its last check and the day
// the next one was due.
func (s *Set) StandingOn(g *ledger.Gauge, day time.Time) (Standing, *ledger.Calibration, time.Time) {
	if g.Since.Set() && day.Before(g.Since.T) || g.Until.Set() && day.After(g.Until.T) {
		return OutOfService, nil, time.Time{}
	}
	last := lastCheck(g, day)
	if g.State.S == "reference only" {
		return ReferenceOnly, last, time.Time{}
	}
	if last == nil {
		return NeverChecked, nil, time.Time{}
	}
	// The state is that of today: it overrules a check that lies before the day
	// if no later check says how the gauge stood.
	if g.State.S == "failed" && day.After(last.On.T) && lastCheck(g, endOfTime) == last {
		return Failed, last, time.Time{}
	}
	if last.Result.S != "conforms" && !last.AsLeft.Set() {
		return Failed, last, time.Time{}
	}
	due := s.DueAfter(g, last)
	if day.After(due) {
		return Overdue, last, due
	}
	return Valid, last, due
}

// endOfTime is later than any day of a ledger.
var endOfTime = time.Date(9999, 12, 31, 0, 0, 0, 0, time.UTC)

func lastCheck(g *ledger.Gauge, day time.Time) *ledger.Calibration {
	var last *ledger.Calibration
	for i := range g.Calibration {
		c := &g.Calibration[i]
		if c.On.By(day) && (last == nil || c.On.T.After(last.On.T)) {
			last = c
		}
	}
	return last
}

// DueAfter is the last day on which a check counts.
func (s *Set) DueAfter(g *ledger.Gauge, c *ledger.Calibration) time.Time {
	if c.Due.Set() {
		return c.Due.T
	}
	interval := s.L.Config.DefaultInterval()
	if g.Interval.Set() {
		interval = g.Interval.V
	}
	return interval.After(c.On.T)
}

// rescue finds the first check after the day, up to the day asked for; it
// counts if the gauge conformed as found.
func (s *Set) rescue(g *ledger.Gauge, day time.Time) *ledger.Calibration {
	var first *ledger.Calibration
	for i := range g.Calibration {
		c := &g.Calibration[i]
		if c.On.Set() && c.On.T.After(day) && c.On.By(s.AsOf) && (first == nil || c.On.T.Before(first.On.T)) {
			first = c
		}
	}
	if first == nil || first.Result.S != "conforms" {
		return nil
	}
	return first
}

func (g *Gauging) ratios() {
	w, ok := g.Char.Limits.Tol.Width()
	if !ok {
		return
	}
	g.Width = w
	g.PerCount = over(w, g.Gauge.Resolution, 1)
	g.Ratio = over(w, g.Gauge.U, 2)
}

// over is w / (n · size), exactly; nil where that has no meaning.
func over(w quantity.Quantity, size ledger.Size, n int64) *big.Rat {
	if !size.Set() || size.Nominal().Sign() <= 0 || size.Nominal().Dim() != w.Dim() {
		return nil
	}
	d := new(big.Rat).Mul(size.Nominal().Rat(), new(big.Rat).SetInt64(n))
	return new(big.Rat).Quo(w.Rat(), d)
}
