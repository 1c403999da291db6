package study

import (
	"slices"

	"tenths/ledger"
)

// actors is what can act on the characteristics of a change: the features they
// are about, and the operations that make or alter those, with their stations
// and tools. A pin of a station that only drills cross holes cannot move a bore.
type actors struct {
	// known is set if the plans say by which operations every characteristic is
	// made; without it everything near by may act.
	known bool
	paths map[string]bool
	lots  map[string]bool // of the readings
}

func (w *windowFinder) actors() actors {
	a := actors{known: true, paths: map[string]bool{}, lots: map[string]bool{}}
	for _, ev := range w.s.Evidence(w.self) {
		for _, g := range []*Group{ev.Before, ev.After} {
			if g != nil && g.In.Lot.Set() {
				a.lots[g.In.Lot.S] = true
			}
		}
		if !w.making(&a, ev) {
			a.known = false
		}
	}
	return a
}

// making adds what makes the features of a characteristic; it reports whether
// the plans say so.
func (w *windowFinder) making(a *actors, ev *Evidence) bool {
	if ev.Char == nil || len(ev.Char.Feature) == 0 {
		return false
	}
	part := ev.CharRec.ID()
	features := map[string]bool{}
	for _, f := range append(names(ev.Char.Feature), names(ev.Char.Datum)...) {
		features[f], a.paths[part+"/"+f] = true, true
	}
	made := map[string]bool{}
	for _, rec := range w.s.ofKind(ledger.KindPlan) {
		plan, ok := rec.Data.(*ledger.Plan)
		if !ok || plan.Part.S != part || rec.Quiet() {
			continue
		}
		for i := range plan.Operations {
			op := &plan.Operations[i]
			acts := features[op.Surface.S]
			for _, f := range append(names(op.Makes), names(op.Alters)...) {
				if features[f] {
					acts, made[f] = true, true
				}
			}
			if features[op.Surface.S] {
				made[op.Surface.S] = true
			}
			if !acts {
				continue
			}
			a.paths[op.Fixture.S], a.paths[rec.ID()], a.paths[op.Machine.S] = true, true, true
			for _, t := range op.Tools {
				a.paths[t.S] = true
			}
			for _, f := range w.s.LocatesOn(plan, op) {
				a.paths[part+"/"+f.Feature] = true
			}
		}
	}
	for _, f := range names(ev.Char.Feature) {
		if !made[f] {
			return false
		}
	}
	return true
}

// on reports whether what happens to a path can act: the path, something above
// it or something below it makes what was measured.
func (a actors) on(path string) bool {
	if !a.known {
		return true
	}
	for p := range a.paths {
		if p != "" && (within(path, p) || within(p, path)) {
			return true
		}
	}
	return false
}

// change reports whether another change can act: one of the things that it
// touches can, or it does not say what it touches.
func (a actors) change(ch *ledger.Change) bool {
	return len(ch.Touches) == 0 || slices.ContainsFunc(ch.Touches, func(t ledger.Ref) bool { return a.on(t.S) })
}
