package study

import (
	"errors"
	"fmt"
	"maps"
	"math/big"
	"slices"
	"strconv"
	"strings"
	"time"

	"tenths/calc/formula"
	"tenths/calc/quantity"
	"tenths/calc/stack"
	"tenths/ledger"
)

// valueFrom gives the value that a path names in a record on a day, what is
// computed for a locator included.
func (s *Set) valueFrom(from *ledger.Record, path string, day time.Time) (ledger.Size, ledger.Target, error) {
	size, t, err := s.L.ValueFrom(from, path, day)
	switch {
	case t.Computed() == ledger.ComputedLooseness:
		size, err = s.looseness(t, day)
	case t.Computed() == ledger.ComputedOff && err == nil && size.Tol.Form == quantity.Plain:
		// As the study of seams takes it.
		size, err = size.Within(practised(s.unitOf(t.Rec), surveyBand[0], surveyBand[1]))
	}
	return size, t, err
}

// looseness is nothing ± the radial clearance that the hole of the part leaves on a
// pin, across the line of the pins for a relieved one: that of the study of seams.
func (s *Set) looseness(t ledger.Target, day time.Time) (ledger.Size, error) {
	st, ok := t.Owner.(*ledger.Station)
	if !ok {
		return ledger.Size{}, fmt.Errorf("%s: looseness is that of a pin of a station", t.Path)
	}
	rec := s.L.Record(st.Part.S)
	var part *ledger.Part
	if rec != nil {
		part, _ = rec.Data.(*ledger.Part)
	}
	if part == nil {
		return ledger.Size{}, fmt.Errorf("%s: the station names no part, so that no hole is known", t.Path)
	}
	unit := s.unitOf(t.Rec)
	b := &seamBuilder{s: s, out: &Seam{Day: day, Unit: unit}}
	side := &SeamSide{Part: rec, Fixture: t.Rec, Station: st}
	err := b.pins(side, part)
	if err == nil {
		err = b.clearances(side)
	}
	if err != nil {
		return ledger.Size{}, fmt.Errorf("%s: %w", t.Path, err)
	}
	i := slices.IndexFunc(side.Pins[:], func(p SeamPin) bool { return p.Locator == t.Node })
	if i < 0 {
		return ledger.Size{}, fmt.Errorf("%s is no pin of its station", t.Path)
	}
	zero := quantity.New(new(big.Rat), unit)
	return ledger.Size{Tol: &quantity.Toleranced{Nominal: zero}, Raw: "0", Span: t.Span()}.Within(lengthIn(side.Pins[i].Clearance, unit))
}

// key names the value behind an input in the whole formula.
func (in Input) key() string {
	if in.day == "" {
		return in.Path
	}
	return in.Path + " on " + in.day
}

// leaf adds a measured value. Of one that comes in on several ways, what is said on
// one way holds for all.
func (d *Derived) leaf(at ledger.Span, key string, l *leaf) {
	if d.leaves == nil {
		d.leaves = map[string]*leaf{}
	}
	old := d.leaves[key]
	if old == nil {
		copied := *l
		d.leaves[key] = &copied
		return
	}
	if l.stated {
		d.spread(at, key, l.spread)
		old.stated = true
	}
	d.common(at, key, l.common)
}

func (d *Derived) spread(at ledger.Span, key string, spread formula.Spread) {
	l := d.leaves[key]
	if l.stated && !l.spread.Same(spread) {
		d.fail(at, fmt.Errorf("%s has two different spreads", key), "say the same of it in both formulas")
	}
	l.spread = spread
}

func (d *Derived) common(at ledger.Span, key string, common formula.Common) {
	l := d.leaves[key]
	if l.common.Source != "" && common.Source != "" && l.common != common {
		d.fail(at, fmt.Errorf("%s moves with %s and with %s", key, l.common.Source, common.Source), "say the same of it in both formulas")
	}
	if common.Source != "" {
		l.common = common
	}
}

// takeOver adds what a derived value among the inputs follows from.
func (d *Derived) takeOver(in Input) {
	for _, key := range slices.Sorted(maps.Keys(in.From.leaves)) {
		d.leaf(in.At, key, in.From.leaves[key])
	}
	for _, key := range slices.Sorted(maps.Keys(in.From.costs)) {
		d.cost(in.At, key, in.From.costs[key])
	}
}

func (d *Derived) cost(at ledger.Span, key string, cost float64) {
	if d.costs == nil {
		d.costs = map[string]float64{}
	}
	if old, known := d.costs[key]; known && old != cost {
		d.fail(at, fmt.Errorf("%s has two costs, %g and %g", key, old, cost), "say the same in both formulas")
	}
	d.costs[key] = cost
}

// say reads what the record says of the values of the formula.
func (d *Derived) say(s *Set) {
	sources := map[string]bool{}
	for _, n := range d.D.Spread {
		in := d.input(n, "spread")
		if in == nil {
			return
		}
		spread, err := formula.ParseSpread(n.S, s.recordUnit(d.Rec))
		if err != nil {
			d.fail(n.Span, err, "")
			return
		}
		d.spread(n.Span, in.key(), spread)
		d.leaves[in.key()].stated = true
	}
	for _, n := range d.D.Common {
		in := d.input(n, "common source")
		if in == nil {
			return
		}
		common, err := formula.ParseCommon(n.S)
		if err != nil {
			d.fail(n.Span, err, "")
			return
		}
		d.common(n.Span, in.key(), common)
		sources[common.Source] = true
	}
	for _, n := range d.D.Cost {
		cost, err := strconv.ParseFloat(n.S, 64)
		if err != nil || !(cost > 0) {
			d.fail(n.Span, fmt.Errorf("%s is no cost", n.S), "write a number above 0, such as 4")
			return
		}
		key := n.Name
		if !sources[key] {
			in := d.input(n, "cost")
			if in == nil {
				return
			}
			key = in.key()
		}
		d.cost(n.Span, key, cost)
	}
}

// input is the measured value that a name stands for.
func (d *Derived) input(n ledger.Named, what string) *Input {
	i := slices.IndexFunc(d.Inputs, func(in Input) bool { return in.Name == n.Name })
	switch {
	case i < 0:
		d.fail(n.Span, fmt.Errorf("a %s is given for %s, which is no name of the formula", what, n.Name), "its names stand under where")
		return nil
	case d.Inputs[i].From != nil:
		d.fail(n.Span, fmt.Errorf("%s is computed itself, from values with their own tolerances", n.Name), "give the "+what+" where "+d.Inputs[i].Path+" is computed")
		return nil
	}
	return &d.Inputs[i]
}

// took keeps what the formula gave.
func (d *Derived) took(res *formula.Result) {
	d.Value, d.Lower, d.Upper, d.Method, d.Gap = res.Value, res.WorstLower, res.WorstUpper, res.Method, res.Gap
	d.RSSMiddle, d.RSSHalf, d.SD = res.Centre, res.RSS, res.SD
	for _, c := range res.Contributors {
		s := Share{Path: c.Name, Members: c.Members, HalfWidth: c.HalfWidth, Effect: c.Effect, Worst: c.WorstShare, RSS: c.RSSShare, SD: c.EffectSD, Variance: c.Share, Cost: d.costs[c.Name]}
		if c.Members != nil {
			s.HalfWidth = quantity.Quantity{}
		}
		d.Shares = append(d.Shares, s)
	}
	if res.NoSlope != nil {
		d.Warnings = append(d.Warnings, "no root sum square: "+res.NoSlope.Msg)
	}
	for _, f := range res.Folds {
		d.Warnings = append(d.Warnings, "the root sum square holds on one side only: "+f.Msg)
	}
	if res.Method == formula.Enclosed {
		d.Warnings = append(d.Warnings, "the search for the worst case was cut short: it may be wider than what happens by up to "+Show(d.Gap))
	}
}

// simSeed makes the same ledger give the same draws.
const simSeed = 1

// Simulate draws what the value follows from. It is not done before it is asked
// for, because it takes a good part of a second.
func (d *Derived) Simulate() (*formula.Simulated, error) {
	if d.Err != nil || d.whole == nil {
		return nil, errors.New("the value cannot be computed")
	}
	return d.asked.Expr.Simulate(d.asked.Inputs, formula.SimOptions{Unit: d.asked.Unit, Limits: d.asked.Limits, Seed: simSeed})
}

// Allot shares the tolerance of the limits out over the values: at the least cost
// if costs are stated, else in the proportions that there are.
func (d *Derived) Allot() (*stack.Allotment, error) {
	if d.Standing == nil {
		return nil, errors.New("the value has no limits")
	}
	m := stack.Scaled
	if len(d.costs) > 0 {
		m = stack.LeastCost
	}
	return stack.Allot(d.asked, m, false)
}

// Moves lists what a common source moves, in words.
func (s Share) Moves() string { return strings.Join(s.Members, ", ") }
