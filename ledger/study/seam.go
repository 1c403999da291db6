package study

import (
	"errors"
	"fmt"
	"math"
	"time"

	"tenths/calc/quantity"
	"tenths/calc/seam"
	"tenths/ledger"
)

// Seam is the step between two parts as the records say that it comes about on
// a day: the pins on which both outlines were finished, and all that varies.
// Lengths are in mm, in the axes of the characteristic's part.
type Seam struct {
	Rec    *ledger.Record
	Char   *ledger.Characteristic // as of the day
	Day    time.Time
	Unit   quantity.Unit // of the characteristic's record
	Points []SeamPoint
	// Proud stands out where a reading is above zero, over Other.
	Proud, Other SeamSide
	// Gauge is the standard uncertainty of a reading, mm, and GaugeRec the gauge
	// that it comes from; nil if none is known.
	Gauge    float64
	GaugeRec *ledger.Record
	// Heat is what a difference of temperature between the two finishing cuts
	// does, for one kelvin; nil if the records do not tell it.
	Heat *seam.Source
	// Problem is what calc/seam was asked, and Forecast its answer: point by
	// point the mean, the worst case, the usual range, and the share of each
	// contributor. Shares of pins are named by their path.
	Problem  seam.Seam
	Forecast seam.Forecast
	// Assumed says in plain words what the records leave open and what was
	// taken instead.
	Assumed []string
}

// SeamPoint is a point of the seam.
type SeamPoint struct {
	ID string
	At seam.Point
}

// SeamSide is one of the two parts of a seam, with the station on which its
// outline was finished. Lengths are in mm.
type SeamSide struct {
	Part    *ledger.Record
	Fixture *ledger.Record
	Station *ledger.Station
	// Plan and Op are the plan in force and its finishing operation; nil where
	// the station is the only one of the part, or was named.
	Plan *ledger.Record
	Op   *ledger.Operation
	Tool *ledger.Record // that finishes the outline; nil if not known
	// FaceDown is set for a part that lies on its face.
	FaceDown bool
	// Pins are the pin that decides where the part sits, and the one that keeps
	// it from turning.
	Pins [2]SeamPin
	// Size is how much larger than it should be the outline is on every side, as
	// far as known, and SizeBand ± what is not known of it. Wear is ± what it
	// differs by over the parts of one run as the cutter wears; Problem leaves it
	// out, as the run is part of the life that SizeBand spans.
	Size, SizeBand, Wear float64
	// Shift and Turn are where the work offset stands from the designed zero.
	Shift [2]float64
	Turn  float64 // rad
}

// Path names the station.
func (s *SeamSide) Path() string { return s.Fixture.ID() + "/" + s.Station.ID.S }

// name tells the side apart even where both parts are cut on one station.
func (s *SeamSide) name() string { return s.Part.ID() + " on " + s.Path() }

// SeamPin is a locating pin of a station on a day. Lengths are in mm.
type SeamPin struct {
	Path    string
	Locator *ledger.Locator // as written
	Now     ledger.Locator  // as of the day
	Feature *ledger.Feature // of the part, as of the day
	Survey  *ledger.Survey  // in force that day, nil if there is none
	// X and Y are where its hole is in the part.
	X, Y float64
	// Known is set if Error was surveyed. Error is where the pin stands less
	// where it should, in the axes of the machine, and Band ± what is not known
	// of it: the uncertainty of the survey, or what pins made so may be out.
	Known bool
	Error [2]float64
	Band  [2]float64
	// Hole and Pin are the diameters, in the middle of what is made. Land and
	// Relief, the angle in rad between the relief and the line to the other pin,
	// count for a relieved pin.
	Hole, Pin    float64
	Relieved     bool
	Land, Relief float64
	// Clearance is what the hole leaves radially, across the line of the pins
	// for a relieved one. It is computed from the diameters.
	Clearance float64
}

// SeamPlan lays a planned state over what the records say of a day.
type SeamPlan struct {
	// CutOn names by the id of a part the station on which its outline is to be
	// finished, such as FX1/A.
	CutOn map[string]string
	// Side may alter what was gathered of a side, before anything is computed
	// from it: errors and bands of its pins, diameters, faces, sizes. It is
	// called for both sides.
	Side func(*SeamSide)
}

// Seam computes the step at the points of a characteristic, A-01/KC-1, from the
// states of a day, and with planned states if there are any.
//
// Errors say what the records lack: a characteristic that names no two parts
// (proud, against) or has no points with normals, a station that cannot be told,
// a pin without a size, a pin larger than its hole.
func (s *Set) Seam(path string, day time.Time, with ...SeamPlan) (*Seam, error) {
	rec, char := s.characteristic(path, day)
	if char == nil {
		return nil, fmt.Errorf("%s is no characteristic of this ledger", ledger.Printable(path))
	}
	b := &seamBuilder{s: s, with: with, out: &Seam{Rec: rec, Char: char, Day: day, Unit: s.unitOf(rec)}}
	return b.out, b.build()
}

type seamBuilder struct {
	s    *Set
	with []SeamPlan
	out  *Seam
}

func (b *seamBuilder) assume(format string, args ...any) {
	b.out.Assumed = append(b.out.Assumed, fmt.Sprintf(format, args...))
}

// show prints a length in mm in the unit of the seam.
func (b *seamBuilder) show(mm float64) string { return Show(lengthIn(mm, b.out.Unit)) }

func (b *seamBuilder) build() error {
	o := b.out
	name := o.Rec.ID() + "/" + o.Char.ID.S
	if !o.Char.Proud.Set() || !o.Char.Against.Set() {
		return fmt.Errorf("%s does not say which part stands out where a reading is above zero, and over which; add proud = \"...\" and against = \"...\"", name)
	}
	for _, p := range o.Char.Points {
		at, ok1 := axes(p.At)
		n, ok2 := axes(p.Normal)
		if ok1 && ok2 {
			o.Points = append(o.Points, SeamPoint{p.ID.S, seam.Point{X: at[0].nominal, Y: at[1].nominal, NX: n[0].nominal, NY: n[1].nominal}})
		}
	}
	if len(o.Points) == 0 {
		return fmt.Errorf("%s has no points with a place (at) and a normal, so nothing can be computed along the seam", name)
	}
	for i, side := range []*SeamSide{&o.Proud, &o.Other} {
		ref := []ledger.Ref{o.Char.Proud, o.Char.Against}[i]
		if err := b.gather(side, ref, i); err != nil {
			return err
		}
		for _, w := range b.with {
			if w.Side != nil {
				w.Side(side)
			}
		}
		if err := b.clearances(side); err != nil {
			return err
		}
	}
	b.gauge()
	b.heat()
	o.Problem = seam.Seam{Proud: o.Proud.calc(), Other: o.Other.calc(), Gauge: o.Gauge}
	if o.Heat != nil {
		o.Problem.Extra = append(o.Problem.Extra, *o.Heat)
	}
	if o.OneStation() {
		if err := o.share(); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	f, err := seam.Forward(o.At(), o.Problem)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	o.Forecast = f
	o.nameShares()
	b.assume("the two parts are put together with their locating holes in line, and are pushed to no side on their pins")
	return nil
}

// OneStation is set if both outlines are finished on the same station: what its
// pins are out by is then the same for both parts.
func (o *Seam) OneStation() bool { return o.Proud.Station == o.Other.Station }

// share makes one source of each error of a pin that both parts share. Lying the
// same way up they cancel; with one part on its face what is sideways doubles.
func (o *Seam) share() error {
	p := &o.Problem
	for i, names := range o.Proud.Pins {
		for axis := range 2 {
			one, two := p.Proud, p.Other
			for _, st := range []*seam.Station{&one, &two} {
				st.First.Error, st.Second.Error, st.Size = [2]float64{}, [2]float64{}, 0
				[]*seam.Pin{&st.First, &st.Second}[i].Error[axis] = 1
			}
			effect, err := steps(o.At(), seam.Seam{Proud: one, Other: two})
			if err != nil {
				return err
			}
			pin := []seam.Pin{p.Proud.First, p.Proud.Second}[i]
			p.Extra = append(p.Extra, seam.Source{Name: names.Path, Effect: effect, Amount: pin.Error[axis], Band: pin.Band[axis]})
		}
	}
	for _, st := range []*seam.Station{&p.Proud, &p.Other} {
		for _, pin := range []*seam.Pin{&st.First, &st.Second} {
			pin.Error, pin.Band = [2]float64{}, [2]float64{}
		}
	}
	return nil
}

// steps are the mean steps at the points.
func steps(points []seam.Point, s seam.Seam) ([]float64, error) {
	f, err := seam.Forward(points, s)
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(f.Points))
	for i, p := range f.Points {
		out[i] = p.Mean
	}
	return out, nil
}

// looseOf begins the names of the shares of looseness.
const looseOf = "looseness of "

// shareNames calls the sources of calc/seam by what a shop calls them.
func (o *Seam) shareNames() map[string]string {
	names := map[string]string{}
	for _, side := range []*SeamSide{&o.Proud, &o.Other} {
		st := side.name() + ": "
		names[st+"first pin"], names[st+"second pin"] = side.Pins[0].Path, side.Pins[1].Path
		names[st+"looseness"], names[st+"size"] = side.looseName(), side.sizeName()
	}
	return names
}

func (o *Seam) nameShares() {
	names := o.shareNames()
	for _, p := range o.Forecast.Points {
		for k := range p.Shares {
			if name := names[p.Shares[k].Name]; name != "" {
				p.Shares[k].Name = name
			}
		}
	}
}

func (s *SeamSide) looseName() string { return looseOf + s.name() }
func (s *SeamSide) sizeName() string  { return "size of the outline of " + s.Part.ID() }
func (s *SeamSide) wearName() string  { return "wear over a run of " + s.Part.ID() }

// At lists the points for calc/seam.
func (o *Seam) At() []seam.Point {
	out := make([]seam.Point, len(o.Points))
	for i, p := range o.Points {
		out[i] = p.At
	}
	return out
}

// Pitch is the distance of the pins of the proud part, mm: what turns are
// written over.
func (o *Seam) Pitch() float64 {
	p := o.Proud.Pins
	return math.Hypot(p[1].X-p[0].X, p[1].Y-p[0].Y)
}

// calc is the station for calc/seam, its pins as seen from the work offset.
func (s *SeamSide) calc() seam.Station {
	out := seam.Station{Name: s.name(), FaceDown: s.FaceDown, Size: s.Size, SizeBand: s.SizeBand}
	for i, to := range []*seam.Pin{&out.First, &out.Second} {
		p := s.Pins[i]
		*to = seam.Pin{X: p.X, Y: p.Y, Error: p.Error, Band: p.Band, Clearance: p.Clearance}
		dx, dy := p.X-s.Pins[0].X, p.Y-s.Pins[0].Y
		to.Error[0] -= s.Shift[0] - s.Turn*dy
		to.Error[1] -= s.Shift[1] + s.Turn*dx
	}
	return out
}

// gauge finds the standard uncertainty of one reading.
func (b *seamBuilder) gauge() {
	o := b.out
	rec := b.s.L.Record(o.Char.Gauge.S)
	var g *ledger.Gauge
	if rec != nil {
		g, _ = rec.Data.(*ledger.Gauge)
	}
	if g == nil {
		b.assume("no gauge is named for %s: its uncertainty is not counted", o.Char.ID.S)
		return
	}
	o.GaugeRec = rec
	u, ok := standardU(g)
	if !ok {
		b.assume("%s states no uncertainty: none is counted", rec.ID())
		return
	}
	if !g.U.Set() {
		b.assume("%s states no uncertainty: half of its smallest step either way is taken", rec.ID())
	}
	o.Gauge = u
}

// standardU is the standard uncertainty of a reading in mm: half of the expanded
// one (k = 2), or that of a reading rounded to the gauge's step (JCGM 100:2008,
// F.2.2.1).
func standardU(g *ledger.Gauge) (float64, bool) {
	if g.U.Set() && g.U.Nominal().Dim() == quantity.Length {
		return g.U.Nominal().FloatIn(quantity.Millimetre) / 2, true
	}
	step := g.Resolution
	if g.Reads.Set() {
		step = g.Reads
	}
	if step.Set() && step.Nominal().Dim() == quantity.Length {
		return step.Nominal().FloatIn(quantity.Millimetre) / math.Sqrt(12), true
	}
	return 0, false
}

// errNoStation says that a station cannot be told.
var errNoStation = errors.New("the station on which its outline is finished cannot be told")
