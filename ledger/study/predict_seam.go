package study

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/seam"
	"tenths/calc/stats"
)

// A prediction is simulated with so many draws, always from the same seed: the
// ends of an interval then have a standard error of about a sixtieth of its
// half-width (2.7/√draws standard deviations).
const (
	predictDraws = 8000
	predictSeed  = 1
)

// seam foretells the step at a seam: the pins, holes, offsets and sizes of the
// day against the same with the planned states laid over them.
//
// The difference is that of the model. Where readings before were known, it is
// added to what was measured, so that what the model does not know and the
// change leaves alone is in the level after. What the model does not explain of
// the readings before, beyond what looseness, pins and gauge let expect, may be
// touched by the change or not: the difference is made unsure by it.
func (f *Foretold) seam(s *Set, o *Outlook, points []string) {
	path := f.Ev.CharRec.ID() + "/" + f.Ev.Char.ID.S
	before, err := s.Seam(path, o.Day)
	if err != nil {
		f.Skip = err.Error()
		return
	}
	plan := s.plannedState(o.Change.Planned)
	after, err := s.Seam(path, o.Day, plan.seamPlan(f.Ev.Char))
	if plan.err != nil {
		err = plan.err
	}
	if err != nil {
		f.Skip = "with what is planned: " + err.Error()
		return
	}
	f.Idle = plan.idle()
	if len(f.Idle) > 0 && !slices.Contains(plan.acted, true) {
		f.Skip = "nothing that is planned acts on the pins, holes, offsets or cutters that this step is computed from"
		return
	}
	which := before.at(points)
	if len(which) == 0 {
		f.Skip = fmt.Sprintf("none of the points %v has a place and a normal", points)
		return
	}
	f.Assumed = append(slices.Clone(after.Assumed), plan.assumed...)
	at := pick(before.At(), which)
	lots := seam.Lots{
		Before: before.only(which), After: after.only(which), Anew: plan.anew(before, after),
		NBefore: f.Pieces[0], NAfter: f.Pieces[1],
	}
	f.beside(before, which, &lots)
	draws := f.drawsOf(s)
	look, err := lots.Look(at, draws, predictSeed)
	if err != nil {
		f.Skip = err.Error()
		return
	}
	f.fill(before, which, look)
	f.shares(before, after, which, lots)
	f.open = opening(before, after, lots, at)
	f.open.draws = draws
	f.closed = settled(lots, at, draws)
}

// mostDrawn is how many assemblies are made up in all for one prediction: large
// lots are drawn less often, as their means hardly vary.
const mostDrawn = 1_500_000

func (f *Foretold) drawsOf(s *Set) int {
	return min(s.draws, max(200, mostDrawn/(f.Pieces[0]+f.Pieces[1])))
}

// at finds the points of a seam by name, in the order asked for; all if none is
// asked for.
func (o *Seam) at(names []string) []int {
	var out []int
	if len(names) == 0 {
		for i := range o.Points {
			out = append(out, i)
		}
	}
	for _, n := range names {
		for i, p := range o.Points {
			if p.ID == n {
				out = append(out, i)
			}
		}
	}
	return out
}

func pick[T any](list []T, which []int) []T {
	out := make([]T, len(which))
	for i, k := range which {
		out[i] = list[k]
	}
	return out
}

// only is the problem of a seam at some of its points.
func (o *Seam) only(which []int) seam.Seam {
	p := o.Problem
	p.Extra = slices.Clone(p.Extra)
	for i := range p.Extra {
		p.Extra[i].Effect = pick(p.Extra[i].Effect, which)
	}
	return p
}

// perMM is how many of the unit are in a millimetre.
func (f *Foretold) perMM() float64 {
	return quantity.FromFloat(1, quantity.Millimetre).FloatIn(f.Unit)
}

// beside compares the model with the readings before, if they were known.
func (f *Foretold) beside(o *Seam, which []int, lots *seam.Lots) {
	if !f.Measured {
		return
	}
	g := f.Ev.Before
	toMM := 1 / quantity.FromFloat(1, quantity.Millimetre).FloatIn(f.Ev.Unit)
	off := make([]float64, len(which))
	var found, expected float64
	n := 0
	for i, k := range which {
		col := slices.Index(g.Points, o.Points[k].ID)
		if col < 0 {
			continue
		}
		values := g.Column(col)
		if len(values) == 0 {
			continue
		}
		e := o.Forecast.Points[k]
		off[i] = mean(values)*toMM - e.Mean
		found += off[i] * off[i]
		expected += e.Same*e.Same + e.Varies*e.Varies/float64(len(values))
		n++
	}
	if n == 0 || found <= expected {
		return
	}
	// What is found beyond what is expected is the model's; of each point's
	// deviation the like part is taken to stay.
	lots.Beside = math.Sqrt((found - expected) / float64(n))
	for i := range off {
		off[i] *= 1 - expected/found
	}
	lots.Offset = off
	f.Beside = lots.Beside * f.perMM()
}

func mean(values []float64) float64 {
	var sum float64
	for _, v := range values {
		sum += v
	}
	return sum / float64(len(values))
}

// fill takes over what the simulation gave.
func (f *Foretold) fill(o *Seam, which []int, look seam.Outlook) {
	per := f.perMM()
	to := func(s seam.Span) Interval { return Interval{s.Mean * per, s.Low * per, s.High * per} }
	judged := look.Largest
	f.PerPoint = f.Ev.Judge != "largest" && len(which) > 1
	if len(which) == 1 {
		judged = look.Points[0]
	}
	g := f.Ev.Before
	for i, k := range which {
		l := look.Points[i]
		p := PointForetold{Point: o.Points[k].ID, Before: to(l.Before), After: to(l.After), Change: to(l.Change), Worse: l.Worse}
		if f.Measured {
			if col := slices.Index(g.Points, p.Point); col >= 0 && len(g.Column(col)) > 0 {
				p.Before, p.After = onMeasured(f.toUnit(mean(g.Column(col))), p.Change)
			}
		}
		f.Points = append(f.Points, p)
	}
	if f.PerPoint {
		return
	}
	f.Before, f.After, f.Change = to(judged.Before), to(judged.After), to(judged.Change)
	f.SDBefore, f.SDAfter = to(judged.SDBefore), to(judged.SDAfter)
	f.Ratio = Interval{judged.Ratio.Mean, judged.Ratio.Low, judged.Ratio.High}
	f.onReadings()
}

// onReadings lays what was computed on the readings before, if they were known:
// the difference is added to their level, and their spread is multiplied by the
// ratio.
func (f *Foretold) onReadings() {
	if !f.Measured || len(f.Ev.Before.Judged) == 0 {
		return
	}
	f.Before, f.After = onMeasured(f.toUnit(mean(f.Ev.Before.Judged)), f.Change)
	if sum, err := stats.Summarize(f.Ev.Before.Judged); err == nil && sum.N > 1 {
		sd := f.toUnit(sum.SD)
		f.SDBefore = Interval{sd, sd, sd}
		f.SDAfter = Interval{sd * f.Ratio.Value, sd * f.Ratio.Low, sd * f.Ratio.High}
	}
}

// toUnit takes a number of the evidence into the unit of the prediction.
func (f *Foretold) toUnit(v float64) float64 {
	return quantity.FromFloat(v, f.Ev.Unit).FloatIn(f.Unit)
}

// onMeasured adds a difference to what was measured.
func onMeasured(measured float64, change Interval) (before, after Interval) {
	return Interval{measured, measured, measured}, Interval{measured + change.Value, measured + change.Low, measured + change.High}
}

// unlike is a comparison of lots that need not have in common what they should.
type unlike struct {
	lots  seam.Lots
	at    []seam.Point
	draws int
	what  []string // in words
}

// opening prepares the comparison with new draws of what is the same within a
// lot, but only within its band: the wear of the cutter and the temperature.
func opening(before, after *Seam, lots seam.Lots, at []seam.Point) unlike {
	out := unlike{lots: lots, at: at}
	var names []string
	for _, o := range []*Seam{before, after} {
		for _, side := range []*SeamSide{&o.Proud, &o.Other} {
			if side.SizeBand > 0 {
				names = append(names, side.name()+": size")
			}
		}
	}
	if len(names) > 0 {
		out.what = append(out.what, "the wear of the finishing cutter")
	}
	if before.Heat != nil && before.Heat.Band > 0 {
		names = append(names, before.Heat.Name)
		out.what = append(out.what, "the temperature at the finishing cuts")
	}
	out.lots.Anew = append(slices.Clone(lots.Anew), names...)
	return out
}

// Open is the change to expect if the lots before and after differ in what is
// named as far as it may vary, instead of being alike in it. It is false where
// there is no such thing, and for a spread.
func (f *Foretold) Open() (change Interval, what []string, ok bool) {
	if f.Skip != "" || f.PerPoint || f.Ev.Claim == "spread" || len(f.open.what) == 0 {
		return change, nil, false
	}
	change, ok = f.again(f.open)
	return change, f.open.what, ok
}

// again computes the change of what is judged on other lots.
func (f *Foretold) again(u unlike) (Interval, bool) {
	look, err := u.lots.Look(u.at, u.draws, predictSeed)
	if err != nil {
		return Interval{}, false
	}
	s := look.Largest.Change
	if len(u.at) == 1 {
		s = look.Points[0].Change
	}
	per := f.perMM()
	return Interval{s.Mean * per, s.Low * per, s.High * per}, true
}

// settled is the same comparison with every pin exactly where the surveys and
// the plan have it: what is left is how lots differ by chance.
func settled(lots seam.Lots, at []seam.Point, draws int) unlike {
	out := unlike{lots: lots, at: at, draws: draws}
	for _, side := range []*seam.Station{&out.lots.Before.Proud, &out.lots.Before.Other, &out.lots.After.Proud, &out.lots.After.Other} {
		for _, pin := range []*seam.Pin{&side.First, &side.Second} {
			if pin.Band != [2]float64{} {
				pin.Band = [2]float64{}
				out.what = append(out.what, side.Name)
			}
		}
	}
	return out
}

// PinsSettled is the change to expect if every pin stood exactly where its
// survey or the plan has it. It is false where no pin's place is unsure, where
// nothing was computed, and for a spread.
func (f *Foretold) PinsSettled() (change Interval, ok bool) {
	if f.Skip != "" || f.PerPoint || f.Ev.Claim == "spread" || len(f.closed.what) == 0 {
		return change, false
	}
	return f.again(f.closed)
}

// shares adds up what the width of the difference comes from, over the points.
func (f *Foretold) shares(before, after *Seam, which []int, lots seam.Lots) {
	sums := map[string]float64{}
	var order []string
	total := 0.0
	add := func(name string, v float64) {
		if _, ok := sums[name]; !ok {
			order = append(order, name)
		}
		sums[name] += v
		total += v
	}
	renewed := map[string]bool{}
	for _, name := range lots.Anew {
		renewed[name] = true
	}
	for _, side := range []struct {
		o *Seam
		n int
	}{{before, f.Pieces[0]}, {after, f.Pieces[1]}} {
		for _, k := range which {
			for _, sh := range side.o.Forecast.Points[k].Shares {
				switch {
				case sh.Name == "gauge" || strings.HasPrefix(sh.Name, looseOf):
					add(sh.Name, sh.SD*sh.SD/float64(side.n))
				case renewed[sh.Name]:
					add(sh.Name, sh.SD*sh.SD)
				}
			}
		}
	}
	if lots.Beside > 0 {
		add("what the model does not explain of the readings before", lots.Beside*lots.Beside*float64(len(which)))
	}
	for _, name := range order {
		if total > 0 && sums[name] > 0 {
			f.Shares = append(f.Shares, ForetoldShare{name, sums[name] / total})
		}
	}
	slices.SortStableFunc(f.Shares, func(a, b ForetoldShare) int {
		switch {
		case a.Part > b.Part:
			return -1
		case a.Part < b.Part:
			return 1
		}
		return 0
	})
}
