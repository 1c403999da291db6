package study

import (
	"math"

	"tenths/ledger"
)

// PointPlay is how far a point of the part can move on its pins.
type PointPlay struct {
	Path string // the point, such as A-01/KC-1/K4, or the feature at the far end
	// Plus and Minus are, in mm, how far the point can get from its nominal place
	// along its normal and against it, for the part in the middle of its limits.
	// One of them is below zero where the pins stand off by more than the play:
	// the looseness is Plus + Minus, and (Plus - Minus)/2 is where the part
	// stands in the middle of it.
	Plus, Minus float64
	// Across is set if there was no point with a normal: the movement is that
	// of the feature farthest from the first pin, square to the line from there.
	Across bool
}

// LoosenessAt gives the looseness at every point of the characteristics that
// are measured on the part of a station, or on an assembly of it; without such
// a point, at the feature farthest from the first pin. It is nil if the part
// does not go on, or nothing could be computed.
func (s *Set) LoosenessAt(l *Locating) []PointPlay {
	if l.Skip != "" || !l.Usual.GoesOn {
		return nil
	}
	var out []PointPlay
	for _, p := range s.keyPoints(l.Part) {
		plus, minus, err := l.Looseness(p.at, p.normal)
		if err == nil {
			out = append(out, PointPlay{Path: p.path, Plus: plus, Minus: minus})
		}
	}
	if out == nil {
		if p, ok := l.farEnd(); ok {
			out = append(out, p)
		}
	}
	return out
}

func madeOf(p *ledger.Part, id string) bool {
	for _, m := range p.MadeOf {
		if m.S == id {
			return true
		}
	}
	return false
}

// farEnd is the looseness at the feature farthest from the first pin.
func (l *Locating) farEnd() (PointPlay, bool) {
	p, ok := l.Part.Data.(*ledger.Part)
	if !ok {
		return PointPlay{}, false
	}
	a := l.Usual.Pins[0]
	best, far := PointPlay{}, -1.0
	for _, f := range p.Features {
		at, ok := axes(f.At)
		if !ok {
			continue
		}
		x, y := at[0].nominal-a.X, at[1].nominal-a.Y
		d := math.Hypot(x, y)
		if d <= far || d < a.D {
			continue // nothing, or what the pin itself locates
		}
		plus, minus, err := l.Looseness([2]float64{at[0].nominal, at[1].nominal}, [2]float64{-y, x})
		if err != nil {
			continue
		}
		far = d
		best = PointPlay{Path: l.Part.ID() + "/" + f.ID.S, Plus: plus, Minus: minus, Across: true}
	}
	return best, far >= 0
}
