package study

import (
	"fmt"
	"math"
	"time"

	"tenths/calc/cause"
	"tenths/calc/quantity"
	"tenths/ledger"
)

// NamedTo is the probability at which suspects are named: as many as together
// reach it.
const NamedTo = 0.9

// ShownFrom is how many standard errors a trait must be away from nothing before
// a source is named for it.
const ShownFrom = 2

// Diagnosis is what the readings of a seam say of its sources. Lengths are in mm,
// turns in mm over the pitch of the pins.
type Diagnosis struct {
	Rec    *ledger.Record
	In     *ledger.Inspection
	Seam   *Seam
	Day    time.Time
	Points []SeamPoint // those that were read
	Pieces int
	Void   int       // pieces left out as void or superseded
	Means  []float64 // mean reading at each point
	Gauge  *Gauging  // nil if the inspection names no gauge that is there
	// Cannot says why the points do not tell shift, turn and size apart; the
	// traits are then the mean steps at the points themselves.
	Cannot string
	// Unread are the points of the characteristic that were not read.
	Unread []string
	// Noise is the standard deviation of a single reading about the pattern, and
	// NoiseSeen is set if the readings scatter more than their gauge explains, so
	// that it was taken from them.
	Noise     float64
	NoiseSeen bool
	// Form is what of the mean readings no shift, turn or size explains, as a
	// standard deviation, where that is beyond chance: burrs, clamps that spring
	// the part, form. FormAt is the point that it is largest at.
	Form   float64
	FormAt string
	// SizeVaries is the standard deviation by which the size differs from assembly
	// to assembly where gauge and wear do not explain it; else 0.
	SizeVaries float64
	Answer     *cause.Answer
	// Sources are what can make a step, in the order of the Answer's.
	Sources []SeamSource
	Traits  []SeamTrait
	// Main is the trait that is shown and makes the largest steps; nil if none is
	// shown.
	Main *SeamTrait
	// Same and Varies are, as root mean squares over the points, the step that
	// all assemblies share and what differs between them.
	Same, Varies float64
	// GoodEnough is set if no trait is shown and about 95 of 100 steps lie inside
	// the goal, or the limits where there is no goal, at each point.
	GoodEnough bool
	Cures      []SeamCure
	Next       []SeamLook
	Assumed    []string

	problem cause.Problem
	units   map[string][]float64 // step at each point for one mm of a trait
}

// SeamSource is one thing that can make a step.
type SeamSource struct {
	Name string
	Side *SeamSide // nil for what belongs to no single part
	Pin  *SeamPin  // nil for what is no pin
	Kind SourceKind
	// Changed says what the second state is: the source is no longer as the
	// records say. Empty if there is none.
	Changed string
	// Probability that it is in it.
	ChangedP float64
}

// SourceKind is what kind of source makes a step.
type SourceKind string

// The kinds of source.
const (
	FromPin   SourceKind = "pin"
	FromLoose SourceKind = "looseness"
	FromSize  SourceKind = "size"
	FromHeat  SourceKind = "temperature"
	FromGauge SourceKind = "gauge"
	FromForm  SourceKind = "form"
)

// SeamTrait is one property of the pattern: shift, turn or size, or the step at a
// point where they cannot be told apart.
type SeamTrait struct {
	Name string
	Key  string // dx, dy, turn, size, or the point
	// Value is what the readings show and Error its standard error (1 s). Shown
	// is set beyond 2 s: only then are suspects named.
	Value, Error float64
	Shown        bool
	// Records is what the records alone make one expect, True what both together
	// say, with its standard deviation.
	Records, True, TrueSD float64
	// Steps is the root mean square over the points of the step that it makes.
	Steps float64
	// Suspects are the sources that may be the main one behind it, the most
	// probable first; Named is how many of them together reach NamedTo, and
	// NamedP their probability.
	Suspects []SeamSuspect
	Named    int
	NamedP   float64
}

// SeamSuspect is a source that may be the main one behind a trait.
type SeamSuspect struct {
	Source int // in Sources
	// Probability is that of adding more to the trait, in its direction, than any
	// other source. Adds is what it adds, with its standard deviation.
	Probability, Adds, SD float64
	// Alike are the other named suspects that these points can never tell from
	// it, however many assemblies are read.
	Alike []int
}

// The odds, before any reading, that something is no longer as recorded (our
// choice; no standard gives any).
const (
	oddsPinMoved = 0.05
	oddsResized  = 0.05
	oddsPushed   = 0.1
)

// Diagnose finds from the readings of an inspection what makes the step at a seam.
//
// Errors say what is missing: no readings at points with normals, no day, a
// characteristic that is no step between two parts, what Seam lacks.
func (s *Set) Diagnose(rec *ledger.Record) (*Diagnosis, error) {
	in, ok := rec.Data.(*ledger.Inspection)
	if !ok {
		return nil, fmt.Errorf("%s is no inspection", rec.ID())
	}
	if !in.On.Set() {
		return nil, fmt.Errorf("%s has no day (on), so that nobody knows which pins were in force", rec.ID())
	}
	if !in.Characteristic.Set() {
		return nil, fmt.Errorf("%s names no characteristic", rec.ID())
	}
	o, err := s.Seam(in.Characteristic.S, in.On.T)
	if err != nil {
		return nil, err
	}
	d := &Diagnosis{Rec: rec, In: in, Seam: o, Day: in.On.T, Gauge: s.Gauging(rec), Assumed: o.Assumed, units: map[string][]float64{}}
	readings, err := d.read(s)
	if err != nil {
		return nil, err
	}
	d.noise(readings)
	traits, err := d.pattern(readings)
	if err != nil {
		return nil, err
	}
	if err := d.sources(); err != nil {
		return nil, err
	}
	if d.Answer, err = cause.Weigh(d.problem, readings, traits); err != nil {
		return nil, fmt.Errorf("%s: %w", rec.ID(), err)
	}
	if d.Answer.Scale > 1 {
		d.assume("the assemblies differ %.1f times as much as looseness and wear explain, beyond chance: errors are widened by that", d.Answer.Scale)
	}
	d.judge()
	d.Cures = s.seamCures(d)
	d.Next = d.looks()
	return d, nil
}

func (d *Diagnosis) assume(format string, args ...any) {
	d.Assumed = append(d.Assumed, fmt.Sprintf(format, args...))
}

// MM is a computed length as a quantity of the seam's unit.
func (d *Diagnosis) MM(v float64) quantity.Quantity { return lengthIn(v, d.Seam.Unit) }

// judge puts the answer into words of the seam.
func (d *Diagnosis) judge() {
	for k := range d.Sources {
		d.Sources[k].ChangedP = d.Answer.Changed[k]
	}
	n := float64(len(d.Points))
	for t := range d.Traits {
		tr := &d.Traits[t]
		a := d.Answer.Traits[t]
		tr.Value, tr.Error, tr.True, tr.TrueSD = a.Value, a.Error, a.True, a.TrueSD
		tr.Shown = math.Abs(tr.Value) > ShownFrom*tr.Error
		for _, u := range d.units[tr.Key] {
			tr.Steps += u * u * tr.Value * tr.Value / n
		}
		tr.Steps = math.Sqrt(tr.Steps)
		for k, src := range d.problem.Sources {
			for j := range src.Known {
				tr.Records += src.Known[j] * d.Answer.Effect(t, k, j)
			}
		}
		if !tr.Shown {
			continue
		}
		if d.Main == nil || tr.Steps > d.Main.Steps {
			d.Main = tr
		}
		for _, sp := range a.Suspects {
			tr.Suspects = append(tr.Suspects, SeamSuspect{Source: sp.Source, Probability: sp.Probability, Adds: sp.Adds, SD: sp.SD})
			if tr.NamedP < NamedTo {
				tr.Named++
				tr.NamedP += sp.Probability
			}
		}
		for i := range tr.Suspects[:tr.Named] {
			for j := range tr.Suspects[:tr.Named] {
				if a, b := tr.Suspects[i].Source, tr.Suspects[j].Source; i != j && d.Answer.Alike(t, a, b) {
					tr.Suspects[i].Alike = append(tr.Suspects[i].Alike, b)
				}
			}
		}
	}
	for i, v := range d.Answer.Mean {
		d.Same += v * v / n
		sd := d.Answer.Variation()[i]
		d.Varies += sd * sd / n
	}
	d.Same, d.Varies = math.Sqrt(d.Same), math.Sqrt(d.Varies)
	d.GoodEnough = d.Main == nil && d.inside()
}

// Bounds is what the steps should keep: the goal, or the limits where there is
// none.
func (d *Diagnosis) Bounds() ledger.Size {
	if d.Seam.Char.Goal.Set() {
		return d.Seam.Char.Goal
	}
	return d.Seam.Char.Limits
}

// inside reports whether the usual steps keep the bounds at each point.
func (d *Diagnosis) inside() bool {
	b := d.Bounds()
	if !b.Set() || b.Nominal().Dim() != quantity.Length || !b.Tol.HasLower() || !b.Tol.HasUpper() {
		return false
	}
	varies := d.Answer.Variation()
	for i, m := range d.Answer.Mean {
		if m-usualSDs*varies[i] < b.Tol.Lower.FloatIn(quantity.Millimetre) || m+usualSDs*varies[i] > b.Tol.Upper.FloatIn(quantity.Millimetre) {
			return false
		}
	}
	return true
}

// usualSDs is the 97.5 % point of the normal distribution.
const usualSDs = 1.96

// ReadIn is the unit in which steps are written: that of the deviations, else
// tenths of a thousandth of an inch, or micrometres.
func (d *Diagnosis) ReadIn() quantity.Unit {
	name := "um"
	if d.Seam.Unit.Same(quantity.Inch) {
		name = "tenths"
	}
	if u, ok := quantity.LookupUnit(d.In.DeviationIn.S); ok && u.Dim() == quantity.Length {
		return u
	}
	u, _ := quantity.LookupUnit(name)
	return u
}

// Steps is a computed length in mm in ReadIn, with one decimal of it.
func (d *Diagnosis) Steps(mm float64) quantity.Quantity {
	return Rounded(lengthIn(mm, d.ReadIn()), 1)
}

// Mean is the mean reading at point i, as Steps. What binary floating point adds
// to readings that were written in decimals is rounded off first, so that a mean
// of -2.75 is not -2.7499.
func (d *Diagnosis) Mean(i int) quantity.Quantity {
	return Rounded(Rounded(lengthIn(d.Means[i], d.ReadIn()), 7), 1)
}

// ShowsFrom is about how many assemblies in all would show a trait that is not
// shown yet, if it is as large as it was read; 0 if more than a thousand.
func (d *Diagnosis) ShowsFrom(t SeamTrait) int {
	if t.Shown || t.Value == 0 {
		return 0
	}
	ratio := ShownFrom * t.Error / math.Abs(t.Value)
	if n := math.Ceil(float64(d.Pieces) * ratio * ratio); n <= 1000 {
		return int(n)
	}
	return 0
}

// Expected is the mean step at a point by the records alone, mm.
func (d *Diagnosis) Expected(point string) float64 {
	for i, p := range d.Seam.Points {
		if p.ID == point {
			return d.Seam.Forecast.Points[i].Mean
		}
	}
	return math.NaN()
}
