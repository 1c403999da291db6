package study

import (
	"fmt"
	"math"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// moves are how far the outlines of each side should go, in the axes of the part,
// for the shifts that are shown: that of the side whose first pin is the main
// suspect goes to where the pin stands; where no pin is, that of the proud part.
func (d *Diagnosis) moves() map[*SeamSide][2]float64 {
	out := map[*SeamSide][2]float64{}
	if d.Seam.OneStation() {
		return out
	}
	if side, m, ok := d.moveAtPoint(); ok {
		out[side] = m
		return out
	}
	for axis, key := range []string{"dx", "dy"} {
		t := d.trait(key)
		if t == nil || !t.Shown {
			continue
		}
		first := d.Sources[t.Suspects[0].Source]
		if first.Kind == FromSize || first.Kind == FromForm || first.Kind == FromGauge {
			continue
		}
		side, takes := first.Side, t.Suspects[0].Adds
		if side == nil {
			side = &d.Seam.Proud
		}
		if first.Kind != FromPin || t.Suspects[0].Probability < 0.5 {
			takes = t.True
		}
		// The outline must go the other way: that of the proud part against the
		// shift, that of the other with it.
		m := out[side]
		m[axis] = -takes * d.sign(side)
		out[side] = m
	}
	return out
}

// sign is what the outline of a side counts with in the step.
func (d *Diagnosis) sign(side *SeamSide) float64 {
	if side == &d.Seam.Other {
		return -1
	}
	return 1
}

// offset proposes to move the work offset of a side's station. by is the step
// that it takes out at each point.
func (d *Diagnosis) offset(side *SeamSide) (c SeamCure, by []float64, ok bool) {
	m := d.moves()[side]
	m[0], m[1] = d.roundMove(m[0]), d.roundMove(m[1])
	machine := side.machine(m)
	text := d.axesText(machine)
	if text == "" {
		return c, nil, false
	}
	return SeamCure{Kind: CureOffset, Side: side, Move: machine, Do: fmt.Sprintf("move the work offset of %s: %s (and write it down as a shift of the station)", side.Path(), text)}, d.takenOut(side, m), true
}

// takenOut is what a move of a side's outline, in the axes of the part, takes out
// of the step at each point.
func (d *Diagnosis) takenOut(side *SeamSide, m [2]float64) []float64 {
	by := make([]float64, len(d.Points))
	for i, p := range d.Points {
		n := normal(p.At)
		by[i] = -d.sign(side) * (m[0]*n[0] + m[1]*n[1])
	}
	return by
}

// axesText says by how much to move along each axis that is moved.
func (d *Diagnosis) axesText(m [2]float64) string {
	var parts []string
	for axis, name := range []string{"x", "y"} {
		if m[axis] != 0 {
			parts = append(parts, name+" "+d.signed(m[axis]))
		}
	}
	return strings.Join(parts, ", ")
}

// moveAtPoint is the move that takes out the step at the only point that is
// shown, where shift, turn and size cannot be told apart and a first pin is the
// main suspect: along the normal of the point.
func (d *Diagnosis) moveAtPoint() (side *SeamSide, m [2]float64, ok bool) {
	if d.Cannot == "" {
		return nil, m, false
	}
	var only *SeamTrait
	for i := range d.Traits {
		if t := &d.Traits[i]; t.Shown {
			if only != nil {
				return nil, m, false
			}
			only = t
		}
	}
	if only == nil {
		return nil, m, false
	}
	s := d.Sources[only.Suspects[0].Source]
	if s.Kind != FromPin || s.Pin != &s.Side.Pins[0] {
		return nil, m, false
	}
	n := normal(d.Points[d.index(only)].At)
	move := -only.Suspects[0].Adds * d.sign(s.Side)
	return s.Side, [2]float64{move * n[0], move * n[1]}, true
}

// machine turns a move in the axes of the part into one in those of the machine:
// a part on its face is mirrored about the line of its pins.
func (s *SeamSide) machine(m [2]float64) [2]float64 {
	if !s.FaceDown {
		return m
	}
	dx, dy := s.Pins[1].X-s.Pins[0].X, s.Pins[1].Y-s.Pins[0].Y
	l := math.Hypot(dx, dy)
	dx, dy = dx/l, dy/l
	along, across := m[0]*dx+m[1]*dy, -m[0]*dy+m[1]*dx
	return [2]float64{along*dx + across*dy, along*dy - across*dx}
}

// signed prints a move with its sign, as it is typed in.
func (d *Diagnosis) signed(mm float64) string {
	u, decimals := d.Seam.Unit, 4
	if !u.Same(quantity.Inch) {
		decimals = 3
	}
	text := lengthIn(mm, u).Format(u, decimals)
	if mm > 0 {
		text = "+" + text
	}
	return text
}

// roundMove rounds a move to what is typed into a control: 0.0001 in or 0.001 mm.
func (d *Diagnosis) roundMove(mm float64) float64 {
	step := practised(d.Seam.Unit, 1, 1).Float()
	return math.Round(mm/step) * step
}

// rotation proposes to turn the work offset, and to move it too where a shift is
// shown, if the control can.
func (s *Set) rotation(d *Diagnosis) (c SeamCure, by []float64, ok bool) {
	t := d.trait("turn")
	if t == nil || !t.Shown || d.Seam.OneStation() {
		return c, nil, false
	}
	first := d.Sources[t.Suspects[0].Source]
	side := first.Side
	if side == nil || first.Kind == FromSize {
		side = &d.Seam.Proud
	}
	can, machine := s.canRotate(side)
	if !can {
		if machine != "" {
			d.assume("a turned work offset would take out the turn, but %s does not say that its control can do that (can_rotate)", machine)
		}
		return c, nil, false
	}
	takes := t.True
	if first.Kind == FromPin && t.Suspects[0].Probability >= 0.5 {
		takes = 0
		for _, sp := range t.Suspects {
			if src := d.Sources[sp.Source]; src.Kind == FromPin && src.Side == side {
				takes += sp.Adds
			}
		}
	}
	m := d.moves()[side]
	m[0], m[1] = d.roundMove(m[0]), d.roundMove(m[1])
	by = d.takenOut(side, m)
	for i := range by {
		by[i] += takes * d.units["turn"][i]
	}
	move := -takes * d.sign(side)
	if side.FaceDown {
		move = -move
	}
	c = SeamCure{Kind: CureRotation, Side: side, Move: side.machine(m), Turn: move}
	c.Do = fmt.Sprintf("turn the work offset of %s by %+.4f deg about %s", side.Path(), move/d.Seam.Pitch()*180/math.Pi, side.Pins[0].Locator.ID.S)
	if text := d.axesText(c.Move); text != "" {
		c.Do += " and move it: " + text
	}
	c.Do += " (and write it down as a shift of the station)"
	return c, by, true
}

// canRotate reports whether the control of the machine that a side is cut on can
// turn a work offset, and names that machine.
func (s *Set) canRotate(side *SeamSide) (bool, string) {
	name := ""
	if side.Op != nil {
		name = side.Op.Machine.S
	}
	if f, ok := side.Fixture.Data.(*ledger.Fixture); ok && name == "" {
		name = f.Machine.S
	}
	rec := s.L.Record(name)
	if rec == nil {
		return false, ""
	}
	m, ok := rec.Data.(*ledger.Machine)
	return ok && m.Rotation.B, rec.ID()
}

// wear proposes to move the wear offset of the cutter.
func (d *Diagnosis) wear(add func(SeamCure, []float64)) {
	t := d.trait("size")
	if t == nil || !t.Shown {
		return
	}
	takes := d.roundMove(t.True)
	if takes == 0 {
		return
	}
	side, other := &d.Seam.Proud, &d.Seam.Other
	first := t.Suspects[0]
	if k := d.Sources[first.Source].Kind; k == FromGauge || k == FromForm {
		return
	}
	if s := d.Sources[first.Source]; s.Side == other && len(first.Alike) == 0 {
		side, other = other, side
	}
	// The proud part smaller or the other larger, or the other way round.
	way, back := "smaller", "larger"
	move := -takes
	if side == &d.Seam.Other {
		move = takes
	}
	if move > 0 {
		way, back = back, way
	}
	tool := "the finisher"
	if side.Tool != nil {
		tool = side.Tool.ID()
	}
	do := fmt.Sprintf("wear offset of %s for %s: cut the outline %s %s on a side", tool, side.Part.ID(), strings.TrimLeft(d.signed(math.Abs(move)), "+"), way)
	if len(first.Alike) > 0 {
		do += fmt.Sprintf(", or %s so much %s", other.Part.ID(), back)
	}
	add(SeamCure{Kind: CureWear, Side: side, Move: [2]float64{move}, Do: do}, constant(len(d.Points), takes))
}
