package study

import (
	"errors"
	"fmt"
	"sort"
	"strings"
	"time"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// Suspect answers the question that is asked when a gauge is found out, or
// might be: which readings are in doubt, which are cleared, and what rests on
// them (ISO 9001:2015, 7.1.5.2: the validity of earlier results is to be
// looked into).
type Suspect struct {
	GaugeRec *ledger.Record
	Gauge    *ledger.Gauge
	// Failed is the latest check, by the day asked for, that did not conform or
	// was doubtful; nil if there is none and the answer is what would be in
	// doubt if the gauge were out.
	Failed *ledger.Calibration
	// Good is the last check before it that left the gauge good; nil if none is
	// known.
	Good *ledger.Calibration
	// Readings taken after From, up to and with To, are in doubt. From is zero if
	// no good check is known. After To they are, up to and with Until, if the
	// gauge went on being used as it was found.
	From, To, Until time.Time
	// Error is the error as found, reading minus true size; the zero Quantity if
	// it is not known. Nothing is classified then.
	Error quantity.Quantity
	// Curve is the error at several sizes, smallest first, if the check found
	// more than one; else nil.
	Curve []ErrorAt
	// Groups are the readings of the window, Later those after the failed check,
	// by characteristic, in the order of their first day.
	Groups, Later []*SuspectGroup
	// Undated lists inspections with the gauge whose day is not known well enough
	// to say whether they lie in the window.
	Undated []*ledger.Record

	// What rests on the readings: gauges that were compared with this one, and
	// then what was decided, set or computed.
	Gauges  []*RestingGauge
	Changes []*RestingChange
	Surveys []RestingSurvey
	Derived []RestingValue
}

// SuspectGroup is the readings of one characteristic.
type SuspectGroup struct {
	Path    string                 // as the inspections name it; "" if they name none
	CharRec *ledger.Record         // nil if it is not in the ledger
	Char    *ledger.Characteristic // as of the day of the last reading
	// Decided is set if one of the inspections accepted parts: its purpose was
	// acceptance or first-off.
	Decided  bool
	Readings []SuspectReading
	Tally    Tally
	Lots     []LotTally // in the order of the readings
}

// LotTally counts the readings of a lot; its name is empty for pieces without one.
type LotTally struct {
	Lot   string
	Tally Tally
}

// SuspectReading is one reading, as it was read and as it is without the error.
type SuspectReading struct {
	Checked // as read
	Rec     *ledger.Record
	In      *ledger.Inspection
	Lot     string
	Limits  *quantity.Toleranced // of the day; nil if there are none
	// Error is what was taken off, Corrected the rest; zero Quantities if the
	// error is not known or cannot be taken off this reading.
	Error, Corrected quantity.Quantity
	// CorrectedSide and Margin are where the corrected value lies, and how far
	// inside the nearest limit; negative for outside. Margin is the zero Quantity
	// if nothing was classified.
	CorrectedSide quantity.Side
	Margin        quantity.Quantity
	Standing      Doubt
	Why           string // what to know about the standing
}

// Doubt is what became of a reading when its gauge was found out.
type Doubt string

// What can become of a reading.
const (
	Cleared      Doubt = "cleared"        // proven inside without the error
	InDoubt      Doubt = "doubtful"       // nearer to a limit than the uncertainty of the gauge
	FoundOutside Doubt = "outside"        // proven outside without the error
	RestsOnIt    Doubt = "rests on it"    // the error is not known
	Unclassified Doubt = "not classified" // the error is known but does not help; Why says why
	Voided       Doubt = "void"           // void or superseded
	ForSetUp     Doubt = "set-up"         // decided no part
	ForReference Doubt = "reference"      // the gauge decides nothing
)

// Tally counts readings by what became of them.
type Tally struct {
	Readings, Cleared, Doubtful, Outside, Resting, Unclassified, Void, SetUp, Reference int
}

func (t *Tally) add(d Doubt) {
	t.Readings++
	for _, c := range t.counters() {
		if c.standing == d {
			*c.n++
		}
	}
}

type counter struct {
	standing Doubt
	n        *int
}

func (t *Tally) counters() []counter {
	return []counter{
		{Cleared, &t.Cleared}, {InDoubt, &t.Doubtful}, {FoundOutside, &t.Outside}, {RestsOnIt, &t.Resting},
		{Unclassified, &t.Unclassified}, {Voided, &t.Void}, {ForSetUp, &t.SetUp}, {ForReference, &t.Reference},
	}
}

// Plus adds two tallies.
func (t Tally) Plus(o Tally) Tally {
	to := o.counters()
	for i, c := range t.counters() {
		*c.n += *to[i].n
	}
	t.Readings += o.Readings
	return t
}

// String says it in words: "7 readings: 5 cleared, 2 doubtful".
func (t Tally) String() string {
	word := "readings"
	switch t.Readings {
	case 0:
		return "no readings"
	case 1:
		word = "reading"
	}
	rest := "rest on it"
	if t.Resting == 1 {
		rest = string(RestsOnIt)
	}
	if t.Resting == t.Readings {
		return fmt.Sprintf("%d %s %s", t.Readings, word, rest)
	}
	var parts []string
	for _, c := range t.counters() {
		if *c.n == 0 {
			continue
		}
		name := string(c.standing)
		if c.standing == RestsOnIt {
			name = rest
		}
		parts = append(parts, fmt.Sprintf("%d %s", *c.n, name))
	}
	return fmt.Sprintf("%d %s: %s", t.Readings, word, strings.Join(parts, ", "))
}

// Tally counts the readings of the window.
func (sp *Suspect) Tally() Tally { return tallyOf(sp.Groups) }

// TallyLater counts the readings after the failed check.
func (sp *Suspect) TallyLater() Tally { return tallyOf(sp.Later) }

func tallyOf(groups []*SuspectGroup) Tally {
	var t Tally
	for _, g := range groups {
		t = t.Plus(g.Tally)
	}
	return t
}

// Suspect looks back over the readings of a gauge.
//
// The window runs from the last good check to the failed one: the day of the
// good check is still under the one before it, the day of the failed check
// belongs to the window. Each reading of the window is corrected and judged
// again against the limits of its day:
//
//	corrected = reading - error as found
//	accept    LSL + U <= corrected <= USL - U
//	reject    corrected < LSL - U or corrected > USL + U
//	doubtful  between
//
// with U the expanded uncertainty of the gauge (ISO 14253-1). All of it is
// exact. The error is taken to be the same at every size, unless the check
// found it at several: between two of them it is a straight line (common
// practice). It is also taken to have been there on every day of the window,
// since nobody knows when the gauge went out.
//
// Without a failed check, or without its error, the readings are listed and
// not classified. The error is for a record that is no gauge.
func (s *Set) Suspect(rec *ledger.Record) (*Suspect, error) {
	if rec == nil || rec.Data == nil {
		return nil, errors.New("only a gauge can be suspected, and this record cannot be read as one")
	}
	g, ok := rec.Data.(*ledger.Gauge)
	if !ok {
		return nil, fmt.Errorf("%s is a record of a %s; only a gauge can be suspected", rec.ID(), rec.Kind())
	}
	w := &suspectFinder{Suspect: &Suspect{GaugeRec: rec, Gauge: g}, s: s}
	w.window()
	w.errorFound()
	w.readings()
	w.rest()
	return w.Suspect, nil
}

type suspectFinder struct {
	*Suspect
	s *Set
}

// failed and good read a check: an adjustment leaves a gauge good, whatever
// was found before it.
func failed(c *ledger.Calibration) bool {
	return c.Result.S == "does not conform" || c.Result.S == "doubtful"
}

func good(c *ledger.Calibration) bool { return c.Result.S == "conforms" || c.AsLeft.Set() }

func (w *suspectFinder) window() {
	list := w.Gauge.Calibration
	for i := range list {
		c := &list[i]
		if !failed(c) || !c.On.By(w.s.AsOf) {
			continue
		}
		// Of several on one day, the one that found an error says more.
		if w.Failed == nil || c.On.T.After(w.Failed.On.T) || c.On.T.Equal(w.Failed.On.T) && !w.Failed.AsFound.Set() && c.AsFound.Set() {
			w.Failed = c
		}
	}
	w.To = w.s.AsOf
	if w.Failed != nil {
		w.To = earlier(lastDay(w.GaugeRec, w.Failed.On), w.s.AsOf)
	}
	w.Until = w.To
	if w.Failed != nil && !w.Failed.AsLeft.Set() {
		w.Until = w.s.AsOf
	}
	for i := range list {
		c := &list[i]
		if !good(c) || !c.On.By(w.s.AsOf) {
			continue
		}
		switch {
		case w.Failed == nil || c.On.T.Before(w.Failed.On.T):
			if w.Good == nil || c.On.T.After(w.Good.On.T) {
				w.Good = c
			}
		case c.On.T.After(w.To):
			w.Until = earlier(w.Until, c.On.T.AddDate(0, 0, -1))
		case c != w.Failed && sameSize(c.At, w.Failed.At):
			// Found out and checked good at the same size on one day: it was put
			// right in between.
			w.Until = w.To
		}
	}
	if w.Good != nil {
		w.From = w.Good.On.T
	}
}

// sameSize reports whether two checks were made at one size, as far as they say.
func sameSize(a, b ledger.Size) bool {
	if !a.Set() || !b.Set() {
		return true
	}
	d, err := a.Nominal().Cmp(b.Nominal())
	return err == nil && d == 0
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

// lastDay is the last day that a date may mean: "about 2021" ends with the year.
func lastDay(rec *ledger.Record, d ledger.Date) time.Time {
	if d.About && d.End <= len(rec.Src) {
		switch strings.Count(string(rec.Src[d.Start:d.End]), "-") {
		case 0:
			return d.T.AddDate(1, 0, -1)
		case 1:
			return d.T.AddDate(0, 1, -1)
		}
	}
	return d.T
}

// readings collects the inspections with the gauge.
func (w *suspectFinder) readings() {
	var recs []*ledger.Record
	for _, rec := range w.s.L.Records {
		in, ok := rec.Data.(*ledger.Inspection)
		if !ok || rec.Quiet() || in.Gauge.S != w.GaugeRec.ID() {
			continue
		}
		if !in.On.Set() {
			w.Undated = append(w.Undated, rec)
			continue
		}
		switch first, last := in.On.T, lastDay(rec, in.On); {
		case first.After(w.Until) || !last.After(w.From):
		case !first.After(w.From) || last.After(w.Until):
			w.Undated = append(w.Undated, rec)
		default:
			recs = append(recs, rec)
		}
	}
	sort.SliceStable(recs, func(i, j int) bool { return onOf(recs[i]).Before(onOf(recs[j])) })
	for _, rec := range recs {
		in := rec.Data.(*ledger.Inspection)
		list := &w.Groups
		if lastDay(rec, in.On).After(w.To) {
			list = &w.Later
		}
		w.group(list, rec, in)
	}
}

func onOf(rec *ledger.Record) time.Time { return rec.Data.(*ledger.Inspection).On.T }

// group adds the readings of an inspection to those of its characteristic.
func (w *suspectFinder) group(list *[]*SuspectGroup, rec *ledger.Record, in *ledger.Inspection) {
	var g *SuspectGroup
	for _, have := range *list {
		if have.Path == in.Characteristic.S {
			g = have
		}
	}
	if g == nil {
		g = &SuspectGroup{Path: in.Characteristic.S}
		*list = append(*list, g)
	}
	g.CharRec, g.Char = w.s.characteristic(in.Characteristic.S, in.On.T)
	switch in.Purpose.S {
	case "", "acceptance", "first-off":
		g.Decided = g.Decided || in.State.S != "void" && in.State.S != "superseded"
	}
	for _, r := range w.judged(rec, in, g.Char) {
		g.Readings = append(g.Readings, r)
		g.Tally.add(r.Standing)
		at := -1
		for i := range g.Lots {
			if g.Lots[i].Lot == r.Lot {
				at = i
			}
		}
		if at < 0 {
			at = len(g.Lots)
			g.Lots = append(g.Lots, LotTally{Lot: r.Lot})
		}
		g.Lots[at].Tally.add(r.Standing)
	}
}
