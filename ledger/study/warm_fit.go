package study

import (
	"fmt"
	"math"

	"tenths/calc/locate"
	"tenths/calc/quantity"
	"tenths/calc/thermal"
	"tenths/ledger"
)

// WarmFit is the study of a station in the coldest and in the hottest shop. Part
// and fixture are taken to have the temperature of the shop, both of them.
type WarmFit struct {
	Part, Fixture Material
	// From and To are the two holes that are farthest apart, as indices of
	// Locating.Pins.
	From, To int
	// Allowance is how much the distance of their holes may change against that
	// of their pins, in mm, with all distances in proportion: in the smallest holes
	// on the largest pins, everything else where it should be.
	Allowance float64
	Cold, Hot AtTemperature
	// Land is, of two pins, the widest land of the second with which the worse
	// temperature would use half of the allowance, in mm; 0 if none that lasts would
	// do.
	Land float64
	// Skip says why nothing could be computed.
	Skip string
}

// AtTemperature is a station at one temperature.
type AtTemperature struct {
	At quantity.Quantity
	// Difference is by how much more the distance of the holes grows than that of
	// the pins, exact; below zero it grows less, or shrinks more.
	Difference quantity.Quantity
	// Share is how much of the allowance that uses, without sign.
	Share float64
	// Worst is the worst good part at that temperature.
	Worst Case
}

// shortPitch, in mm, is a distance of holes under which temperature never matters
// in a shop: one inch (common practice).
const shortPitch = 25.4

// Worse is the temperature that uses more of the allowance.
func (w *WarmFit) Worse() *AtTemperature {
	if w.Cold.Share > w.Hot.Share {
		return &w.Cold
	}
	return &w.Hot
}

// TooMuch reports whether temperature alone uses more than half of what the pins
// allow (common practice), on holes an inch or more apart.
func (w *WarmFit) TooMuch(l *Locating) bool {
	if w.Skip != "" {
		return false
	}
	a, b := l.Usual.Holes[w.From], l.Usual.Holes[w.To]
	return w.Worse().Share > 0.5 && math.Hypot(a.X-b.X, a.Y-b.Y) >= shortPitch
}

// WarmFit computes a station at the temperatures that tenths.toml gives, from
// sizes and places that hold at 20 °C (package thermal), with the coefficients of
// package joint. The holes grow with the part, the places of the pins with the
// fixture, and the pins with what they are made of, or else with the fixture.
func (s *Set) WarmFit(l *Locating) *WarmFit {
	w := &WarmFit{}
	cold, hot := s.L.Config.Coldest, s.L.Config.Hottest
	switch {
	case l.Skip != "":
		w.Skip = l.Skip
	case !cold.Set() || !hot.Set():
		w.Skip = "tenths.toml does not say how cold and how hot the shop gets"
	}
	if w.Skip != "" {
		return w
	}
	part, fixture := l.Part.Data.(*ledger.Part).Material.S, l.Rec.Data.(*ledger.Fixture).Material.S
	var ok bool
	if w.Part, ok = materialOf(part); !ok {
		w.Skip = "the expansion of " + l.Part.ID() + " is not known: " + madeOfWhat(part)
		return w
	}
	if w.Fixture, ok = materialOf(fixture); !ok {
		w.Skip = "the expansion of " + l.Rec.ID() + " is not known: " + madeOfWhat(fixture)
		return w
	}
	w.From, w.To = l.farthest()
	w.Allowance = l.pitchAllowance(w.From, w.To)
	for _, at := range []struct {
		temperature quantity.Quantity
		into        *AtTemperature
	}{{cold.Nominal(), &w.Cold}, {hot.Nominal(), &w.Hot}} {
		at.into.At = at.temperature
		if err := w.at(l, at.into); err != nil {
			w.Skip = err.Error()
			return w
		}
	}
	if len(l.Pins) == 2 {
		second := l.Second()
		hole, pin := l.Worst.Holes[second].D, l.Worst.Pins[second].D
		need := 2 * math.Abs(w.Worse().Difference.Float())
		if land, err := locate.LargestLand(hole, pin, need, l.Worst.Reach[1-second]); err == nil && land >= narrowLand*hole {
			w.Land = land
		}
	}
	return w
}

func madeOfWhat(words string) string {
	if words == "" {
		return "its material is not said"
	}
	return fmt.Sprintf("%q names no one material of the table", words)
}

// farthest gives the two pins whose holes are farthest apart.
func (l *Locating) farthest() (from, to int) {
	most := -1.0
	for k, b := range l.Usual.Holes {
		for j, a := range l.Usual.Holes[:k] {
			if d := math.Hypot(a.X-b.X, a.Y-b.Y); d > most {
				from, to, most = j, k, d
			}
		}
	}
	return from, to
}

// pitchAllowance is how much the distance of two holes may change with all others
// in proportion.
func (l *Locating) pitchAllowance(from, to int) float64 {
	if len(l.Pins) == 2 {
		return l.Worst.Allowance
	}
	a, b := l.Usual.Holes[from], l.Usual.Holes[to]
	pitch := math.Hypot(a.X-b.X, a.Y-b.Y)
	pins := append([]locate.Pin(nil), l.Worst.Pins...)
	holes := append([]locate.Hole(nil), l.Worst.Holes...)
	var clearances float64
	for k := range pins {
		pins[k].X, pins[k].Y = l.Usual.Holes[k].X, l.Usual.Holes[k].Y
		clearances += max(0, holes[k].D-pins[k].D)
	}
	most := widest(0, 10*clearances, searchTol, func(d float64) bool {
		for k := range holes {
			holes[k].X, holes[k].Y = pins[k].X*(1+d/pitch), pins[k].Y*(1+d/pitch)
		}
		p, err := locate.Pattern(pins, holes)
		return err == nil && p.GoesOn
	})
	if math.IsNaN(most) {
		return 0
	}
	return most
}

// at computes the station at one temperature.
func (w *WarmFit) at(l *Locating, t *AtTemperature) error {
	a, b := l.Usual.Holes[w.From], l.Usual.Holes[w.To]
	pitch := l.MM(math.Hypot(a.X-b.X, a.Y-b.Y))
	m, err := thermal.Pitch(pitch, thermal.Body{Expansion: w.Part.Expansion, At: t.At}, thermal.Body{Expansion: w.Fixture.Expansion, At: t.At}, quantity.Quantity{})
	if err != nil {
		return err
	}
	t.Difference = m.Difference
	if used := math.Abs(m.Difference.Float()); used > 0 {
		t.Share = math.Inf(1)
		if w.Allowance > 0 {
			t.Share = used / w.Allowance
		}
	}
	s := l.setUp(false)
	grow := func(m Material) float64 {
		c, err := thermal.Change(l.MM(1), thermal.Body{Expansion: m.Expansion, At: t.At})
		if err != nil {
			return 1
		}
		return 1 + c.Float()
	}
	part, fixture := grow(w.Part), grow(w.Fixture)
	for k := range s.pins {
		p, h := &s.pins[k], &s.holes[k]
		p.X, p.Y = p.X*fixture, p.Y*fixture
		h.X, h.Y, h.D = h.X*part, h.Y*part, h.D*part
		pin := fixture
		if of, ok := materialOf(l.Pins[k].Now.Material.S); ok {
			pin = grow(of)
		}
		p.D *= pin
		p.Land = min(p.Land, p.D-s.pinBands[k].D)
	}
	worst, err := s.worst()
	if err != nil {
		return err
	}
	t.Worst = newCase(worst.Placement, worst.Pins, worst.Holes)
	return nil
}
