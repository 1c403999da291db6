package study

import (
	"math"
	"slices"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// EffectAt is what a difference does at one place. Lengths are in mm.
type EffectAt struct {
	// At is the point of the seam, or the feature; Along the direction in words:
	// "outwards, the proud part plus", "x".
	At, Along string
	// Change is how far the mean step, or the place of the feature, moves.
	Change float64
	// Mean and Range are the mean step and half of the range that 95 of 100
	// assemblies read in, before and after; only set for a seam.
	Mean, Range [2]float64
}

// Unit is the unit in which effects are told.
func (c *Comparison) Unit() quantity.Unit { return smallUnit(c.To.unitOf(c.CharRec)) }

// judge says of each thing whether it can act on the characteristic.
func (c *Comparison) judge() {
	path := c.CharRec.ID() + "/" + c.Char.ID.S
	w := windowFinder{s: c.To}
	w.near = map[string]bool{}
	w.part(c.CharRec)
	w.around()
	w.near[c.Char.Gauge.S] = true
	known, acting := c.acting(path)
	for _, t := range c.Things {
		id, _, _ := strings.Cut(t.Path, "/")
		t.Near = w.near[id]
		if f, ok := t.Rec.Data.(*ledger.Fixture); ok && strings.Contains(t.Path, "/") {
			t.Near = slices.ContainsFunc(f.Stations, func(st ledger.Station) bool {
				return w.near[id+"/"+st.ID.S] && within(t.Path, id+"/"+st.ID.S)
			})
		}
		if !t.Near || t.Rec.Kind() == ledger.KindGauge || t.Path == path {
			continue
		}
		alters := slices.ContainsFunc(t.Keys, func(d Difference) bool { return !d.judged })
		t.Acts = alters && (!known || slices.ContainsFunc(acting, func(p string) bool { return p != "" && within(t.Path, p) }))
		if _, isPart := t.Rec.Data.(*ledger.Part); isPart && t.Path == id && known {
			t.Acts = t.Acts || slices.ContainsFunc(t.Keys, func(d Difference) bool { return d.Key == planOf }) && slices.ContainsFunc(acting, func(p string) bool { return within(p, id) })
		}
	}
}

// acting lists the paths that can act on the characteristic in either state;
// known is false if the records do not tell.
func (c *Comparison) acting(path string) (known bool, paths []string) {
	if c.Char.Proud.Set() && c.Char.Against.Set() {
		for _, s := range []*Set{c.From, c.To} {
			o, err := s.Seam(path, s.AsOf)
			if err != nil {
				return false, nil
			}
			for _, side := range []*SeamSide{&o.Proud, &o.Other} {
				paths = append(paths, side.acting()...)
			}
		}
		return true, paths
	}
	known = true
	for _, s := range []*Set{c.From, c.To} {
		a := actors{paths: map[string]bool{}}
		w := windowFinder{s: s}
		known = w.making(&a, &Evidence{CharRec: c.CharRec, Char: c.Char}) && known
		for p := range a.paths {
			paths = append(paths, p)
		}
	}
	return known, paths
}

// acting are the paths of what makes one side of a seam: its station and machine,
// its outline and the holes on the pins, and the operations and tools that make or
// alter those.
func (s *SeamSide) acting() []string {
	id := s.Part.ID()
	out := []string{s.Path()}
	var features []string
	if p, ok := s.Part.Data.(*ledger.Part); ok {
		features = append(features, outlineOf(p))
	}
	for _, p := range s.Pins {
		features = append(features, p.Feature.ID.S)
	}
	for _, f := range features {
		out = append(out, id+"/"+f)
	}
	if s.Tool != nil {
		out = append(out, s.Tool.ID())
	}
	if s.Plan == nil {
		return out
	}
	plan := s.Plan.Data.(*ledger.Plan)
	for i := range plan.Operations {
		op := &plan.Operations[i]
		for _, f := range append(append([]ledger.Text{op.Surface}, op.Makes...), op.Alters...) {
			if f.S != "" && slices.Contains(features, f.S) {
				out = append(out, s.Plan.ID()+"/"+op.ID.S, op.Machine.S)
				for _, t := range op.Tools {
					out = append(out, t.S)
				}
			}
		}
	}
	return out
}

// effects computes what each thing does to the characteristic.
func (c *Comparison) effects() {
	if c.Char.Proud.Set() && c.Char.Against.Set() {
		c.seamEffects()
		return
	}
	if c.Char.Type.S != "position" {
		c.NoEffect = "that is done for a step at a seam, and for the position of what is made on a station"
		return
	}
	c.placeEffects()
}

// seamEffects puts the things of the later state one by one into the earlier one.
func (c *Comparison) seamEffects() {
	path := c.CharRec.ID() + "/" + c.Char.ID.S
	was, err := c.From.Seam(path, c.From.AsOf)
	if err != nil {
		c.NoEffect = err.Error()
		return
	}
	is, err := c.To.Seam(path, c.To.AsOf)
	if err != nil {
		c.NoEffect = err.Error()
		return
	}
	c.Together = stepsBetween(was, is)
	for _, list := range [][]string{was.Assumed, is.Assumed} {
		for _, a := range list {
			if !slices.Contains(c.Assumed, a) {
				c.Assumed = append(c.Assumed, a)
			}
		}
	}
	for _, t := range c.Things {
		if !t.Acts {
			continue
		}
		put := &replaced{path: t.Path, later: is}
		with := SeamPlan{Side: put.side}
		if cut := c.cutElsewhere(t, was, is); cut != nil {
			with.CutOn, put.done = cut, true
		}
		one, err := c.From.Seam(path, c.From.AsOf, with)
		if err == nil && put.err == nil && put.done {
			t.Effect = stepsBetween(was, one)
		}
	}
}

// cutElsewhere gives the stations of the later state if the thing is the plan, or
// an operation, that moved the outline of a part to another station.
func (c *Comparison) cutElsewhere(t *Differing, was, is *Seam) map[string]string {
	for i, before := range []*SeamSide{&was.Proud, &was.Other} {
		after := []*SeamSide{&is.Proud, &is.Other}[i]
		moved := before.Path() != after.Path()
		if moved && (t.Path == after.Part.ID() || after.Plan != nil && t.Rec.ID() == after.Plan.ID()) {
			return map[string]string{after.Part.ID(): after.Path()}
		}
	}
	return nil
}

// replaced puts one thing of a later seam into an earlier one.
type replaced struct {
	path  string
	later *Seam
	done  bool
	err   error
}

func (r *replaced) side(side *SeamSide) {
	for _, o := range []*SeamSide{&r.later.Proud, &r.later.Other} {
		if o.Part.ID() != side.Part.ID() {
			continue
		}
		for k := range side.Pins {
			for j := range o.Pins {
				r.pin(side, &side.Pins[k], &o.Pins[j])
			}
		}
		if r.path == side.Path() && r.path == o.Path() {
			// Where the offset was only found anew nobody knows what that did.
			r.done = r.done || side.Shift != o.Shift || side.Turn != o.Turn || side.FaceDown != o.FaceDown
			side.Shift, side.Turn, side.FaceDown = o.Shift, o.Turn, o.FaceDown
		}
		if side.Tool != nil && o.Tool != nil && r.path == side.Tool.ID() && side.Tool.ID() == o.Tool.ID() {
			side.Size, side.SizeBand, side.Wear, r.done = o.Size, o.SizeBand, o.Wear, true
		}
	}
	if err := side.settle(); err != nil && r.err == nil {
		r.err = err
	}
}

// pin takes a pin, or the hole that goes on it, as it is later.
func (r *replaced) pin(side *SeamSide, p, later *SeamPin) {
	if p.Path == r.path && later.Path == r.path {
		hole, feature := p.Hole, p.Feature
		*p, r.done = *later, true
		p.Hole, p.Feature = hole, feature
	}
	if of := side.Part.ID() + "/" + p.Feature.ID.S; of == r.path && later.Feature.ID.S == p.Feature.ID.S {
		p.Hole, p.Feature, r.done = later.Hole, later.Feature, true
	}
}

// stepsBetween is what one seam differs by from another, point by point.
func stepsBetween(was, is *Seam) []EffectAt {
	var out []EffectAt
	for i, p := range was.Forecast.Points {
		if i >= len(is.Forecast.Points) {
			break
		}
		q := is.Forecast.Points[i]
		half := func(low, high float64) float64 { return (high - low) / 2 }
		out = append(out, EffectAt{
			At: was.Points[i].ID, Along: "outwards", Change: q.Mean - p.Mean,
			Mean: [2]float64{p.Mean, q.Mean}, Range: [2]float64{half(p.UsualLow, p.UsualHigh), half(q.UsualLow, q.UsualHigh)},
		})
	}
	return out
}

// placeEffects computes how far the features of the characteristic move as the
// locators of the stations that make them stand otherwise.
func (c *Comparison) placeEffects() {
	stations := c.makingStations()
	if len(stations) != 1 {
		c.NoEffect = "the plan in force does not name one station that makes " + strings.Join(names(c.Char.Feature), ", ") + " on both days"
		return
	}
	var path string
	for p := range stations {
		path = p
	}
	var free [2]*Freedom
	for i, s := range []*Set{c.From, c.To} {
		t, err := s.L.Find(path)
		st, ok := t.Node.(*ledger.Station)
		if err != nil || !ok {
			c.NoEffect = path + " is not in both ledgers"
			return
		}
		if free[i] = s.Freedom(t.Rec, st); free[i].Skip != "" {
			c.NoEffect = path + ": " + free[i].Skip
			return
		}
	}
	part, ok := free[1].Part.Data.(*ledger.Part)
	if !ok {
		return
	}
	if down, _ := faceDown(free[1].Station.Face.S); down {
		c.NoEffect = "the part lies on its face on " + path + ", whose errors then count the other way: not computed"
		return
	}
	for _, name := range names(c.Char.Feature) {
		f := featureNamed(part, name)
		at, ok := axes(f.At)
		if !ok {
			c.NoEffect = c.CharRec.ID() + "/" + name + " has no place (at)"
			return
		}
		for _, along := range []struct {
			name string
			dir  [3]float64
		}{{"x", [3]float64{1, 0, 0}}, {"y", [3]float64{0, 1, 0}}} {
			was, err1 := free[0].ShiftOf([3]float64{at[0].nominal, at[1].nominal, free[0].mid[2]}, along.dir)
			is, err2 := free[1].ShiftOf([3]float64{at[0].nominal, at[1].nominal, free[1].mid[2]}, along.dir)
			if err1 != nil || err2 != nil {
				c.NoEffect = path + " does not hold the part there"
				return
			}
			// What is cut at a fixed place of the machine lies the other way in the part.
			c.Together = append(c.Together, EffectAt{At: c.CharRec.ID() + "/" + name, Along: along.name, Change: was.Shift - is.Shift})
			c.ofLocators(path, free, was, EffectAt{At: c.CharRec.ID() + "/" + name, Along: along.name})
		}
	}
	c.Assumed = append(c.Assumed, "the feature is cut where the machine was told to; a shift of the work offset is not counted")
}

// ofLocators shares the move of a feature among the locators that stand otherwise.
func (c *Comparison) ofLocators(station string, free [2]*Freedom, shift PointShift, effect EffectAt) {
	for _, t := range c.Things {
		id, ok := strings.CutPrefix(t.Path, station+"/")
		if !ok || !t.Acts {
			continue
		}
		sum, found := 0.0, false
		for i, r := range free[0].Rows {
			for _, q := range free[1].Rows {
				if r.Locator.ID.S == id && q.Name == r.Name && i < len(shift.Factors) {
					sum += shift.Factors[i] * (r.Proud - q.Proud)
					found = true
				}
			}
		}
		if found && !math.IsNaN(sum) {
			effect.Change = sum
			t.Effect = append(t.Effect, effect)
		}
	}
}

// makingStations are the stations on which the features of the characteristic are
// made in both states.
func (c *Comparison) makingStations() map[string]bool {
	features := names(c.Char.Feature)
	out := map[string]bool{}
	for _, s := range []*Set{c.From, c.To} {
		rec := s.planOn(c.CharRec.ID(), s.AsOf)
		if rec == nil {
			return nil
		}
		plan := rec.Data.(*ledger.Plan)
		for i := range plan.Operations {
			op := &plan.Operations[i]
			if !slices.ContainsFunc(op.Makes, func(m ledger.Text) bool { return slices.Contains(features, m.S) }) {
				continue
			}
			if fx, st := s.StationOf(plan, op); st != nil {
				out[fx.ID()+"/"+st.ID.S] = true
			}
		}
	}
	return out
}
