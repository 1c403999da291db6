package study

import (
	"math"

	"tenths/ledger"
)

// PointPlay is how far a point of the part can move on its pins.
type PointPlay struct {
	Path string // the point, such as A-01/KC-1/K4, or the feature at the far end
	// At is where the point is on the part, in mm, and Along the direction in which
	// it moves.
	At, Along [2]float64
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
	for _, kp := range s.keyPoints(l.Part) {
		p := PointPlay{Path: kp.path, At: kp.at, Along: kp.normal}
		var err error
		if p.Plus, p.Minus, err = l.Looseness(p.At, p.Along); err == nil {
			out = append(out, p)
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
		p := PointPlay{Path: l.Part.ID() + "/" + f.ID.S, At: [2]float64{at[0].nominal, at[1].nominal}, Along: [2]float64{-y, x}, Across: true}
		var err error
		if p.Plus, p.Minus, err = l.Looseness(p.At, p.Along); err == nil {
			best, far = p, d
		}
	}
	return best, far >= 0
}
