package study

import (
	"cmp"
	"slices"

	"tenths/calc/locate"
)

// Way is one way to let every good part on a station with more than two pins.
// Pins are named by their index in Locating.Pins, lengths are in mm.
type Way struct {
	// Relieve are pins to relieve along the line to the pin To, each with a land
	// of at most Lands.
	Relieve []int
	To      int
	Lands   []float64
	// Smaller are pins that must be smaller, of at most Diameters each.
	Smaller   []int
	Diameters []float64
	// Loose is set if a smaller pin leaves more than a slip fit allows, so that it
	// no longer locates.
	Loose bool
}

// slipFit reports whether a clearance, in mm of diameter, is still that of a slip
// fit (common practice: up to 0.0012 in).
func slipFit(clearance float64) bool { return clearance <= 0.0012*25.4+locate.Tolerance }

// ways looks for cures, the best first: one pin relieved along the line to
// another, one pin smaller, all but one relieved towards it, all but two smaller.
// A land must last (an eighth of the hole), and the first pin that locates in
// both directions stays what it is.
func (l *Locating) ways(s setUp) []Way {
	first := max(0, slices.IndexFunc(l.Pins, func(p PinState) bool { return p.Now.Type.S == "round pin" }))
	var others []int
	for k := range l.Pins {
		if k != first {
			others = append(others, k)
		}
	}
	var out []Way
	if w, ok := l.relieveOne(s, first, others); ok {
		out = append(out, w)
	}
	if w, ok := l.smallerOne(s, others); ok {
		out = append(out, w)
	}
	if w, ok := l.relieveAll(s, first, others); ok && out == nil {
		out = append(out, w)
	}
	if w, ok := l.leaveTwo(s, first, others); ok && out == nil {
		out = append(out, w)
	}
	return out
}

// relieve gives a pin a land of a share of its hole, along the line to another.
func (l *Locating) relieve(pins []locate.Pin, s setUp, k, to int, share float64) {
	pins[k].Kind, pins[k].ReliefAxis = locate.Relieved, l.line(k, to)
	pins[k].Land = min(share*s.holes[k].D, pins[k].D-s.pinBands[k].D)
}

// relieveOne finds the pin that may keep the widest land for its hole, relieved
// along the line to the first pin or, if no such land lasts, to another.
func (l *Locating) relieveOne(s setUp, first int, others []int) (Way, bool) {
	best, share := Way{}, 0.0
	try := func(k, to int) {
		got := widest(max(narrowLand, share), 1, 1e-5, func(share float64) bool {
			return s.with(func(pins []locate.Pin) { l.relieve(pins, s, k, to, share) }).allGoOn()
		})
		if got > share {
			best, share = Way{Relieve: []int{k}, To: to, Lands: []float64{min(got*s.holes[k].D, s.pins[k].D)}}, got
		}
	}
	for _, k := range others {
		try(k, first)
	}
	for _, k := range others {
		for _, to := range others {
			if to != k && (best.Relieve == nil || best.To != first) {
				try(k, to)
			}
		}
	}
	return best, share > 0
}

// smallerOne finds the pin that needs the least to be taken off.
func (l *Locating) smallerOne(s setUp, others []int) (Way, bool) {
	best, least := Way{}, 0.0
	for _, k := range others {
		w, ok := l.smaller(s, []int{k})
		if off := s.pins[k].D + s.pinBands[k].D; ok && (best.Smaller == nil || off-w.Diameters[0] < least) {
			best, least = w, off-w.Diameters[0]
		}
	}
	return best, best.Smaller != nil
}

// smaller makes some pins smaller, all with the same clearance.
func (l *Locating) smaller(s setUp, which []int) (Way, bool) {
	c, ok := s.clearance(which)
	if !ok {
		return Way{}, false
	}
	w := Way{Smaller: which}
	for _, k := range which {
		hole := s.holes[k].D - s.holeBand[k].D
		d := l.stepDown(hole - c)
		w.Diameters = append(w.Diameters, d)
		w.Loose = w.Loose || !slipFit(hole-d)
	}
	return w, true
}

// relieveAll relieves all pins but one along the lines to it, with lands that
// are the same share of their holes.
func (l *Locating) relieveAll(s setUp, first int, others []int) (Way, bool) {
	share := widest(narrowLand, 1, 1e-5, func(share float64) bool {
		return s.with(func(pins []locate.Pin) {
			for _, k := range others {
				l.relieve(pins, s, k, first, share)
			}
		}).allGoOn()
	})
	w := Way{Relieve: others, To: first}
	for _, k := range others {
		w.Lands = append(w.Lands, min(share*s.holes[k].D, s.pins[k].D))
	}
	return w, share > 0
}

// leaveTwo lets two pins locate, the second relieved along the line to the first
// and as far from it as possible, and makes the others smaller.
func (l *Locating) leaveTwo(s setUp, first int, others []int) (Way, bool) {
	far := slices.MaxFunc(others, func(a, b int) int {
		d := func(k int) float64 {
			x, y := s.pins[k].X-s.pins[first].X, s.pins[k].Y-s.pins[first].Y
			return x*x + y*y
		}
		return cmp.Compare(d(a), d(b))
	})
	rest := slices.DeleteFunc(slices.Clone(others), func(k int) bool { return k == far })
	s = s.with(func(pins []locate.Pin) { l.relieve(pins, s, far, first, goodLand) })
	w, ok := l.smaller(s, rest)
	w.Relieve, w.To, w.Lands = []int{far}, first, []float64{s.pins[far].Land}
	return w, ok
}
