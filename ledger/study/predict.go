package study

import (
	"fmt"
	"math"
	"slices"
	"time"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// Outlook is what a change is expected to do, from what was known on a day.
type Outlook struct {
	Rec    *ledger.Record
	Change *ledger.Change
	// Day is the day whose knowledge counts, and Why says why that one.
	Day   time.Time
	Why   string
	Items []*Foretold
}

// Foretold is what a change is expected to do to one characteristic. Numbers are
// in Unit, counted from the base of the evidence.
type Foretold struct {
	// Ev holds the readings before and after, as far as there are any.
	Ev *Evidence
	// Skip says why nothing can be foretold; the rest is then empty.
	Skip string
	Unit quantity.Unit
	// Decimals is how many the numbers deserve.
	Decimals int
	// Pieces are how many are measured before and after, and PiecesFrom where
	// that comes from.
	Pieces     [2]int
	PiecesFrom string
	// Measured is set if readings before were known on the day: Before is then
	// their mean, and After that mean and the difference that was computed;
	// SDBefore is their spread, and SDAfter that spread times the ratio.
	Measured bool
	// Change, Before and After are of the mean over the pieces of the number that
	// each is judged by; not set if PerPoint is.
	Before, After, Change Interval
	// SDBefore, SDAfter and Ratio are the spread over the pieces, and after over
	// before, where a spread is claimed.
	SDBefore, SDAfter, Ratio Interval
	PerPoint                 bool
	Points                   []PointForetold
	// Beside is the standard deviation at a point of what the model does not
	// explain of the readings before; 0 if it explains them, or there are none.
	Beside float64
	// Shares say what the width of Change comes from, at the average point.
	Shares []ForetoldShare
	// Idle names planned things that do not act on the characteristic.
	Idle    []string
	Assumed []string
	open    unlike
	closed  unlike
}

// Interval is a number with the interval that holds it 95 times in 100.
type Interval struct{ Value, Low, High float64 }

// Half is the mean of the two half-widths.
func (i Interval) Half() float64 { return (i.High - i.Low) / 2 }

// PointForetold is a point of a characteristic.
type PointForetold struct {
	Point                 string
	Before, After, Change Interval
	// Worse is the probability that the level of the point ends farther from
	// zero.
	Worse float64
}

// GetsWorse and MayGetWorse are the probabilities from which a point is said to
// get worse, and that it may.
const (
	GetsWorse   = 0.95
	MayGetWorse = 0.2
)

// ForetoldShare is the part of the variance of a difference that one source has.
type ForetoldShare struct {
	Name string
	Part float64
}

// Predict computes what a change is expected to do, from its planned states
// and from what was known on a day: for work that is still to come the day asked
// for, else the day of the prediction, or that on which the change was opened,
// in any case before the work. It is nil if the record is no change.
func (s *Set) Predict(rec *ledger.Record) *Outlook {
	ch, ok := rec.Data.(*ledger.Change)
	if !ok {
		return nil
	}
	return s.outlook.get(rec, func() *Outlook {
		out := &Outlook{Rec: rec, Change: ch}
		out.Day, out.Why = s.predictionDay(ch)
		evidence := s.Evidence(rec)
		for i, ev := range evidence {
			ask := readOf{ch.Points, ch.Before, ch.After}
			if !ev.Primary {
				also := ch.Also[i-(len(evidence)-len(ch.Also))]
				ask = readOf{also.Points, also.Before, also.After}
			}
			out.Items = append(out.Items, s.foretell(out, ev, ask))
		}
		return out
	})
}

// readOf is what a change says of the readings of one characteristic.
type readOf struct {
	points        []ledger.Text
	before, after ledger.Ref
}

// predictionDay is the day whose knowledge a prediction rests on.
func (s *Set) predictionDay(ch *ledger.Change) (time.Time, string) {
	if !ch.Done.By(s.AsOf) {
		return s.AsOf, "the work is still to come"
	}
	day, why := ch.Done.T.AddDate(0, 0, -1), "the day before the work"
	for _, c := range []struct {
		on  ledger.Date
		why string
	}{{ch.PredictedOn, "the day of the prediction"}, {ch.Opened, "the day on which the change was opened"}} {
		if c.on.Set() && c.on.T.Before(ch.Done.T) {
			return c.on.T, c.why
		}
	}
	return day, why
}

// foretell computes one characteristic of a change.
func (s *Set) foretell(o *Outlook, ev *Evidence, ask readOf) *Foretold {
	f := &Foretold{Ev: ev}
	switch {
	case ev.Char == nil:
		f.Skip = ev.Problem
		return f
	case len(o.Change.Planned) == 0:
		f.Skip = "the change does not say what it means to make; add a [[planned]] entry for each thing that it alters (tenths explain change lists the keys)"
		return f
	}
	f.pieces(s, ask)
	f.Unit = ev.Unit
	if f.Unit.Dim() == quantity.Length && ev.Before == nil && ev.After == nil {
		f.Unit = smallUnit(f.Unit)
	}
	f.Measured = ev.Before != nil && ev.Before.HasNumbers() && ev.Before.In.On.By(o.Day)
	seam := ev.Char.Proud.Set() && ev.Char.Against.Set()
	switch {
	case seam && f.Unit.Dim() != quantity.Length:
		f.Skip = "its readings are no lengths"
	case ev.Claim == "spread" && min(f.Pieces[0], f.Pieces[1]) < 2:
		f.Skip = "a spread takes two pieces or more before and after"
	case seam:
		f.seam(s, o, f.pointNames(names(ask.points)))
	default:
		f.size(s, o)
	}
	if f.Skip == "" {
		f.digits()
	}
	return f
}

// smallUnit is the unit in which small lengths are told.
func smallUnit(u quantity.Unit) quantity.Unit {
	name := map[string]string{"in": "tenths", "mm": "um"}[u.Name()]
	if small, ok := quantity.LookupUnit(name); ok {
		return small
	}
	return u
}

// Pieces that are taken where a record says nothing (common practice: five or
// more before and after for a level, ten for a spread).
const (
	piecesForLevel  = 5
	piecesForSpread = 10
)

// pieces finds how many pieces are compared. The readings that the change names
// say it, whatever their day: how many were measured is no outcome.
func (f *Foretold) pieces(s *Set, ask readOf) {
	f.Pieces = [2]int{s.countPieces(ask.before), s.countPieces(ask.after)}
	f.PiecesFrom = "as many as were read"
	for k := range f.Pieces {
		if f.Pieces[k] == 0 {
			f.Pieces[k] = f.Pieces[1-k]
			f.PiecesFrom = "as many before as after"
		}
	}
	if f.Pieces[0] == 0 {
		n := piecesForLevel
		if f.Ev.Claim == "spread" {
			n = piecesForSpread
		}
		f.Pieces, f.PiecesFrom = [2]int{n, n}, "no readings are named; this many is common practice"
	}
}

func (s *Set) countPieces(r ledger.Ref) int {
	rec := s.L.Record(r.S)
	if rec == nil {
		return 0
	}
	in, ok := rec.Data.(*ledger.Inspection)
	if !ok {
		return 0
	}
	n := 0
	for _, row := range in.Rows() {
		if row.Live() {
			n++
		}
	}
	return n
}

// digits chooses as many decimals as the width of the prediction deserves: the
// last one is not coarser than a fifth of the half-width.
func (f *Foretold) digits() {
	half := f.Change.Half()
	if f.Ev.Claim == "spread" {
		half = max(f.SDBefore.Half(), f.SDAfter.Half())
	}
	for _, p := range f.Points {
		if f.PerPoint || half == 0 {
			half = max(half, p.Change.Half())
		}
	}
	for f.Decimals = 0; f.Decimals < 6 && math.Pow10(-f.Decimals) > half/5*(1+1e-9); f.Decimals++ {
	}
}

// Q is a number of the prediction as a quantity with its digits.
func (f *Foretold) Q(v float64) quantity.Quantity {
	return Rounded(quantity.FromFloat(v, f.Unit), f.Decimals)
}

// Text writes the prediction as the key predicted of a change takes it, such as
// -6.2 +3.1/-3.0 tenths, or for a spread as the ratio of after to before; empty
// if there is no one number.
func (f *Foretold) Text() string {
	if f.Skip != "" || f.PerPoint {
		return ""
	}
	i, unit, decimals := f.Change, f.Unit, f.Decimals
	if f.Ev.Claim == "spread" {
		i, unit, decimals = f.Ratio, quantity.One, 2
	}
	round := func(v float64) float64 { return math.RoundToEven(v*math.Pow10(decimals)) / math.Pow10(decimals) }
	up, down := round(i.High)-round(i.Value), round(i.Value)-round(i.Low)
	number := func(v float64) string { return fmt.Sprintf("%.*f", decimals, v+0) } // no minus before zero
	value, around := number(round(i.Value)), "±"+number(up)
	if u, d := number(up), number(down); u != d {
		around = "+" + u + "/-" + d
	}
	if unit.Name() == "" {
		return value + " " + around
	}
	text := value + " " + around + " " + unit.Name()
	for _, def := range []quantity.Unit{quantity.Inch, quantity.Millimetre} {
		// A small value beside a large tolerance could be in another unit.
		if _, err := quantity.ParseToleranced(text, def); err != nil {
			return value + " " + unit.Name() + " " + around
		}
	}
	return text
}

// pointNames gives the points that are judged: those asked for, else those that
// were read, else all.
func (f *Foretold) pointNames(asked []string) []string {
	if len(asked) > 0 {
		return asked
	}
	for _, g := range []*Group{f.Ev.Before, f.Ev.After} {
		if g != nil && len(g.Points) > 0 && !slices.Contains(g.Points, "") {
			return g.Points
		}
	}
	var out []string
	for _, p := range f.Ev.Char.Points {
		out = append(out, p.ID.S)
	}
	return out
}
