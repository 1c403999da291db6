package study

import (
	"fmt"
	"math"
	"slices"

	"tenths/ledger"
)

// plannedState lays what a change means to make over the sides of a seam.
type plannedState struct {
	s       *Set
	list    []ledger.Planned
	targets []ledger.Target // what each entry names; the zero Target if nothing
	acted   []bool          // which entries the seam depends on
	moved   []string        // paths of pins whose position is made anew
	assumed []string
	err     error
}

func (s *Set) plannedState(list []ledger.Planned) *plannedState {
	out := &plannedState{s: s, list: list, targets: make([]ledger.Target, len(list)), acted: make([]bool, len(list))}
	for i, p := range list {
		if t, err := s.L.Find(p.What.S); err == nil {
			out.targets[i] = t
		}
	}
	return out
}

// seamPlan gives the plan for Set.Seam.
func (p *plannedState) seamPlan(char *ledger.Characteristic) SeamPlan {
	cut := map[string]string{}
	for i, want := range p.list {
		id := p.targets[i].Path
		if want.CutOn.Set() && (id == char.Proud.S || id == char.Against.S) {
			cut[id] = want.CutOn.S
			p.acted[i] = true
		}
	}
	return SeamPlan{CutOn: cut, Side: p.side}
}

// side alters one side of the seam. Set.Seam calls it for both.
func (p *plannedState) side(side *SeamSide) {
	for i, want := range p.list {
		switch node := p.targets[i].Node.(type) {
		case *ledger.Locator:
			for k := range side.Pins {
				if side.Pins[k].Locator == node {
					p.acted[i] = true
					p.pin(side, &side.Pins[k], want)
				}
			}
		case *ledger.Feature:
			for k := range side.Pins {
				if side.Part == p.targets[i].Rec && side.Pins[k].Feature.ID.S == node.ID.S {
					p.acted[i] = p.hole(&side.Pins[k], want) || p.acted[i]
				}
			}
		case *ledger.Station:
			if side.Station == node && (want.Shift.Set() || want.Turn.Set()) {
				p.acted[i] = true
				if want.Shift.Set() {
					side.Shift = [2]float64{want.Shift.X.Nominal().Float(), want.Shift.Y.Nominal().Float()}
				}
				if want.Turn.Set() {
					side.Turn = want.Turn.Nominal().Float() * math.Pi / 180
				}
			}
		case *ledger.Tool:
			if side.Tool == p.targets[i].Rec {
				p.acted[i] = p.tool(side, node, want) || p.acted[i]
			}
		}
	}
	if err := side.settle(); err != nil && p.err == nil {
		p.err = err
	}
}

// pin lays a planned pin over the one that is there.
func (p *plannedState) pin(side *SeamSide, pin *SeamPin, want ledger.Planned) {
	if want.Type.Set() {
		pin.Now.Type, pin.Relieved = want.Type, want.Type.S == "relieved pin"
		if want.Type.S != "round pin" && want.Type.S != "relieved pin" {
			p.fail("%s is to become a %s: the step at a seam is computed for two locating pins", pin.Path, want.Type.S)
		}
	}
	if want.Size.Set() {
		pin.Pin = rangeOf(want.Size).middle()
	}
	if want.Relief.Set() {
		pin.Now.Relief = want.Relief
	}
	if want.Land.Set() {
		pin.Now.Land, pin.Land = want.Land, want.Land.Nominal().Float()
	}
	if pin.Relieved && pin.Land == 0 {
		p.fail("%s is to be relieved, but its land has no width; add land = \"...\"", pin.Path)
	}
	off, ok := axes(want.Off)
	if !ok {
		return
	}
	p.moved = append(p.moved, pin.Path)
	pin.Known, pin.Survey = false, nil
	pin.Error = [2]float64{}
	if at, ok := axes(pin.Now.At); ok {
		pin.Error = [2]float64{at[0].nominal - pin.X, at[1].nominal - pin.Y}
	}
	for k, o := range off {
		pin.Error[k] += o.nominal + (o.lower+o.upper)/2
		pin.Band[k] = (o.upper - o.lower) / 2
	}
	if pin.Band == ([2]float64{}) {
		u := p.s.unitOf(side.Fixture)
		q := boredBand.Size(u)
		pin.Band = [2]float64{q.Float(), q.Float()}
		p.assumed = append(p.assumed, fmt.Sprintf("the plan gives no tolerance for the position of %s: ±%s is taken, that of a hole %s (common practice)", pin.Path, Show(q), boredBand.How))
	}
}

// hole lays a planned hole over the one on a pin.
func (p *plannedState) hole(pin *SeamPin, want ledger.Planned) bool {
	size := want.AsMade
	if !size.Set() {
		size = want.Size
	}
	if !size.Set() {
		return false
	}
	pin.Hole = rangeOf(size).middle()
	return true
}

// tool lays a planned cutter, its life or its wear offset, over the one that
// finishes the outline.
func (p *plannedState) tool(side *SeamSide, t *ledger.Tool, want ledger.Planned) bool {
	acts := false
	if want.Life.Set() && t.Wear.Set() {
		most := want.Life.Nominal().Float() * t.Wear.Nominal().Float()
		side.Size, side.SizeBand, acts = most/2, math.Abs(most/2), true
	}
	if want.Wear.Set() {
		side.Size += want.Wear.Nominal().Float()
		acts = true
	}
	return acts
}

func (p *plannedState) fail(format string, args ...any) {
	if p.err == nil {
		p.err = fmt.Errorf(format, args...)
	}
}

// anew names the sources of calc/seam that the plan makes anew: the pins that
// are set again, and all pins of a side on which they change places.
func (p *plannedState) anew(before, after *Seam) []string {
	var out []string
	sides := [][2]*SeamSide{{&before.Proud, &after.Proud}, {&before.Other, &after.Other}}
	for _, pair := range sides {
		was, is := pair[0], pair[1]
		for k, name := range []string{": first pin", ": second pin"} {
			if slices.Contains(p.moved, is.Pins[k].Path) || was.Pins[k].Locator != is.Pins[k].Locator {
				out = append(out, is.name()+name, is.Pins[k].Path)
			}
		}
	}
	return out
}

// idle lists the entries of the plan that the seam does not depend on.
func (p *plannedState) idle() []string {
	var out []string
	for i, acted := range p.acted {
		if !acted && !slices.Contains(out, p.list[i].What.S) {
			out = append(out, p.list[i].What.S)
		}
	}
	return out
}
