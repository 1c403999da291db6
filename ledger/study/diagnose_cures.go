package study

import (
	"fmt"
	"math"
	"sort"
)

// CureKind is a way to make a step smaller.
type CureKind string

// The ways, those that cut no metal first.
const (
	CureOffset   CureKind = "work offset"
	CureRotation CureKind = "rotation"
	CureWear     CureKind = "wear offset"
	CureStation  CureKind = "one station"
	CureTurnPin  CureKind = "turn the relieved pin"
	CureFit      CureKind = "fit of the holes"
	CureRelieve  CureKind = "relieve a pin"
	CureRebore   CureKind = "re-bore"
)

// SeamCure is something that can be done about a step.
type SeamCure struct {
	Kind CureKind
	Side *SeamSide // where it is done; nil for both parts
	// Do says in one sentence what to do.
	Do string
	// Move is by how much, mm: the offset in x and y, or in its first the size on
	// a side; Turn is that of the offset as it shows over the pitch. Zero for what
	// is no number to type in.
	Move [2]float64
	Turn float64
	// Before and After are the typical step, its root mean square over points and
	// assemblies, mm.
	Before, After float64
	// Hours, Risk and Undo are what it takes and what it can cost (common
	// practice).
	Hours float64
	Risk  string
	// Cautions stand before work that cuts, presses or heats.
	Cautions string
}

// Gain is by how much the typical step falls, mm.
func (c SeamCure) Gain() float64 { return c.Before - c.After }

// cureTable is the work of the cures in hours, and how much a risk weighs
// against the gain (common practice: what such work takes in a small shop).
var cureTable = map[CureKind]struct {
	hours  float64
	weight float64
	risk   string
}{
	CureOffset:   {0.1, 1, "none: one number, taken back as easily"},
	CureRotation: {0.2, 1, "none: one number, taken back as easily"},
	CureWear:     {0.1, 1, "little: set it back to nothing with the next cutter, or it cuts small"},
	CureStation:  {2, 2, "little: both parts must go on the one station, the same way up; the batch takes turns"},
	CureTurnPin:  {3, 2, "some: the pin must come out and go back square"},
	CureFit:      {4, 1.5, "some: holes that are too tight do not go on; check the pitch they then allow"},
	CureRelieve:  {4, 2, "some: the pin must come out, its land be ground and stand square to the line"},
	CureRebore:   {8, 3, "most: metal is cut and cannot be put back; neighbours must be surveyed again"},
}

const cutCautions = "Cuts and presses on a fixture: spindle stopped and no gloves near it while gauging and deburring, eyes covered for pulling and pressing, hands clear. If a hole is to be welded up, take the fixture off the machine first. Local codes and licensed practice decide."

// effects of what a cure changes: the step at each point that the amounts of
// some sources make.
func (d *Diagnosis) stepsOf(take func(SeamSource) bool) []float64 {
	out := make([]float64, len(d.Points))
	for k, s := range d.Sources {
		if !take(s) {
			continue
		}
		for j, e := range d.problem.Sources[k].Effects {
			for i := range out {
				out[i] += e[i] * d.Answer.Amounts[k][j]
			}
		}
	}
	return out
}

// typical is the root mean square of steps and what varies.
func typical(steps, varies []float64) float64 {
	var sum float64
	for i := range steps {
		sum += (steps[i]*steps[i] + varies[i]*varies[i]) / float64(len(steps))
	}
	return math.Sqrt(sum)
}

// less takes steps out of the mean ones, as far as they belong to traits that are
// shown: nobody can count on the rest.
func (d *Diagnosis) less(by []float64) []float64 {
	out := append([]float64(nil), d.Answer.Mean...)
	for t, tr := range d.Traits {
		if !tr.Shown {
			continue
		}
		v := d.Answer.Value(t, by)
		for i, u := range d.units[tr.Key] {
			out[i] -= v * u
		}
	}
	return out
}

// seamCures lists what would make the step smaller, the most gain for the work
// and risk first. Only traits that are shown are acted upon.
func (s *Set) seamCures(d *Diagnosis) []SeamCure {
	varies := d.Answer.Variation()
	now := typical(d.Answer.Mean, varies)
	var out []SeamCure
	add := func(c SeamCure, steps, varies []float64) {
		t := cureTable[c.Kind]
		c.Before, c.After, c.Hours, c.Risk = now, typical(steps, varies), t.hours, t.risk
		if c.Kind == CureRebore || c.Kind == CureRelieve || c.Kind == CureTurnPin {
			c.Cautions = cutCautions
		}
		if c.Gain() > 0.01*now {
			out = append(out, c)
		}
	}
	for _, side := range []*SeamSide{&d.Seam.Proud, &d.Seam.Other} {
		if c, by, ok := d.offset(side); ok {
			add(c, d.less(by), varies)
		}
	}
	if c, by, ok := s.rotation(d); ok {
		add(c, d.less(by), varies)
	}
	d.wear(func(c SeamCure, by []float64) { add(c, d.less(by), varies) })
	if d.pinsNamed(nil) && !d.Seam.OneStation() && d.Seam.Proud.FaceDown == d.Seam.Other.FaceDown && sameHoles(&d.Seam.Proud, &d.Seam.Other) {
		path := d.Seam.Other.Path()
		add(SeamCure{Kind: CureStation, Do: fmt.Sprintf("finish both outlines on %s, the same way up: what its pins are out by is then the same for both parts", path)},
			d.less(d.stepsOf(func(s SeamSource) bool { return s.Kind == FromPin })), varies)
	}
	for _, side := range []*SeamSide{&d.Seam.Proud, &d.Seam.Other} {
		if d.pinsNamed(side) {
			add(SeamCure{Kind: CureRebore, Side: side, Do: fmt.Sprintf("re-bore the holes of %s and %s true to place, and survey every station of %s after it", side.Pins[0].Path, side.Pins[1].Path, side.Fixture.ID())},
				d.less(d.stepsOf(func(s SeamSource) bool { return s.Kind == FromPin && s.Side == side })), varies)
		}
		if p := side.Pins[1]; p.Relieved && math.Abs(math.Sin(p.Relief)) > math.Sin(math.Pi/4) {
			steps, v := d.looser(side, [2]float64{1, (p.Hole - p.Pin) / 2 / p.Clearance})
			add(SeamCure{Kind: CureTurnPin, Side: side, Do: fmt.Sprintf("turn %s by 90 deg, so that it is relieved along the line to %s: it holds the part against turning only then", p.Path, side.Pins[0].Locator.ID.S)}, steps, v)
		}
	}
	steps, v := d.looser(nil, [2]float64{0.5, 0.5})
	add(SeamCure{Kind: CureFit, Do: d.fitText()}, steps, v)
	if c, ok := s.relieve(d); ok {
		out = append(out, c)
	}
	sort.SliceStable(out, func(i, j int) bool { return worth(out[i]) > worth(out[j]) })
	return out
}

// worth is the gain for the work, with an hour for thinking, trying and reading
// again, and less for what can go wrong.
func worth(c SeamCure) float64 {
	t := cureTable[c.Kind]
	return c.Gain() / (1 + t.hours) / t.weight
}

// pinsNamed reports whether a pin, of a side if there is one, is the first
// suspect of a trait that is shown.
func (d *Diagnosis) pinsNamed(side *SeamSide) bool {
	for _, t := range d.Traits {
		if t.Shown && len(t.Suspects) > 0 {
			if s := d.Sources[t.Suspects[0].Source]; s.Kind == FromPin && (side == nil || s.Side == side) {
				return true
			}
		}
	}
	return false
}

func (d *Diagnosis) trait(key string) *SeamTrait {
	for i := range d.Traits {
		if d.Traits[i].Key == key {
			return &d.Traits[i]
		}
	}
	return nil
}

// sameHoles reports whether both parts have the holes that the other's pins take.
func sameHoles(a, b *SeamSide) bool {
	for i := range a.Pins {
		if a.Pins[i].Feature.ID.S != b.Pins[i].Feature.ID.S {
			return false
		}
	}
	return true
}

// looser is what stays the same and what varies at each point with the looseness
// of a side, or of both, at its first and second pin times a factor.
func (d *Diagnosis) looser(side *SeamSide, times [2]float64) (steps, varies []float64) {
	now := d.Answer.Variation()
	by := make([]float64, len(now))
	varies = make([]float64, len(now))
	for i := range now {
		varies[i] = now[i] * now[i]
	}
	for k, s := range d.Sources {
		if s.Kind != FromLoose || side != nil && s.Side != side {
			continue
		}
		still := 1 - d.Answer.Changed[k] // how probable it is that it varies at all
		src := d.problem.Sources[k]
		for j, e := range src.Effects {
			f := times[0]
			if j == 2 {
				f = times[1]
			}
			for i := range by {
				sd := e[i] * src.Varies[j] * d.Answer.Scale
				varies[i] -= still * sd * sd * (1 - f*f)
				by[i] += e[i] * d.Answer.Amounts[k][j] * (1 - f)
			}
		}
	}
	for i := range varies {
		varies[i] = math.Sqrt(max(0, varies[i]))
	}
	return d.less(by), varies
}

// fitText says what halving the clearances means.
func (d *Diagnosis) fitText() string {
	var most float64
	for _, side := range []*SeamSide{&d.Seam.Proud, &d.Seam.Other} {
		for _, p := range side.Pins {
			most = max(most, p.Hole-p.Pin)
		}
	}
	return fmt.Sprintf("halve the clearance of the locating holes, now up to %s: ream them closer to the pins", Show(d.MM(most)))
}

// relieve proposes to relieve the second of two round pins on which a good part
// may not go. It moves no step by itself.
func (s *Set) relieve(d *Diagnosis) (SeamCure, bool) {
	day := New(s.L, d.Day)
	for _, side := range []*SeamSide{&d.Seam.Proud, &d.Seam.Other} {
		if side.Pins[1].Relieved {
			continue
		}
		l := day.Locating(side.Fixture, side.Station)
		if l.Skip != "" || l.ByConstruction || l.Worst.Margin >= 0 {
			continue
		}
		t := cureTable[CureRelieve]
		now := typical(d.Answer.Mean, d.Answer.Variation())
		return SeamCure{Kind: CureRelieve, Side: side, Before: now, After: now, Hours: t.hours, Risk: t.risk, Cautions: cutCautions,
			Do: fmt.Sprintf("relieve %s along the line to %s: a good part may not go on two round pins. That moves no step by itself", side.Pins[1].Path, side.Pins[0].Locator.ID.S)}, true
	}
	return SeamCure{}, false
}
