package study

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// CureKind is a way to make a step smaller.
type CureKind string

// The ways, those that cut no metal first.
const (
	CureOffset   CureKind = "work offset"
	CureRotation CureKind = "rotation"
	CureWear     CureKind = "wear offset"
	CureStation  CureKind = "one station"
	CureTurnPin  CureKind = "turn the relieved pin"
	CureFit      CureKind = "fit of the holes"
	CureRelieve  CureKind = "relieve a pin"
	CureRebore   CureKind = "re-bore"
)

// SeamCure is something that can be done about a step.
type SeamCure struct {
	Kind CureKind
	Side *SeamSide // where it is done; nil for both parts
	// Do says in one sentence what to do.
	Do string
	// Move is by how much, mm: the offset in x and y, or in its first the size on
	// a side; Turn is that of the offset as it shows over the pitch. Zero for what
	// is no number to type in.
	Move [2]float64
	Turn float64
	// Before and After are the typical step, its root mean square over points and
	// assemblies, mm.
	Before, After float64
	// Hours, Risk and Undo are what it takes and what it can cost (common
	// practice).
	Hours float64
	Risk  string
	// Cautions stand before work that cuts, presses or heats.
	Cautions string
}

// Gain is by how much the typical step falls, mm.
func (c SeamCure) Gain() float64 { return c.Before - c.After }

// cureTable is the work of the cures in hours, and how much a risk weighs
// against the gain (common practice: what such work takes in a small shop).
var cureTable = map[CureKind]struct {
	hours  float64
	weight float64
	risk   string
}{
	CureOffset:   {0.1, 1, "none: one number, taken back as easily"},
	CureRotation: {0.2, 1, "none: one number, taken back as easily"},
	CureWear:     {0.1, 1, "little: set it back to nothing with the next cutter, or it cuts small"},
	CureStation:  {2, 2, "little: both parts must go on the one station, the same way up; the batch takes turns"},
	CureTurnPin:  {3, 2, "some: the pin must come out and go back square"},
	CureFit:      {4, 1.5, "some: holes that are too tight do not go on; check the pitch they then allow"},
	CureRelieve:  {4, 2, "some: the pin must come out, its land be ground and stand square to the line"},
	CureRebore:   {8, 3, "most: metal is cut and cannot be put back; neighbours must be surveyed again"},
}

const cutCautions = "Cuts and presses on a fixture: spindle stopped and no gloves near it while gauging and deburring, eyes covered for pulling and pressing, hands clear. If a hole is to be welded up, take the fixture off the machine first. Local codes and licensed practice decide."

// effects of what a cure changes: the step at each point that the amounts of
// some sources make.
func (d *Diagnosis) stepsOf(take func(SeamSource) bool) []float64 {
	out := make([]float64, len(d.Points))
	for k, s := range d.Sources {
		if !take(s) {
			continue
		}
		for j, e := range d.problem.Sources[k].Effects {
			for i := range out {
				out[i] += e[i] * d.Answer.Amounts[k][j]
			}
		}
	}
	return out
}

// typical is the root mean square of steps and what varies.
func typical(steps, varies []float64) float64 {
	var sum float64
	for i := range steps {
		sum += (steps[i]*steps[i] + varies[i]*varies[i]) / float64(len(steps))
	}
	return math.Sqrt(sum)
}

// less takes steps out of the mean ones, as far as they belong to traits that are
// shown: nobody can count on the rest.
func (d *Diagnosis) less(by []float64) []float64 {
	out := append([]float64(nil), d.Answer.Mean...)
	for t, tr := range d.Traits {
		if !tr.Shown {
			continue
		}
		v := d.Answer.Value(t, by)
		for i, u := range d.units[tr.Key] {
			out[i] -= v * u
		}
	}
	return out
}

// seamCures lists what would make the step smaller, the most gain for the work
// and risk first. Only traits that are shown are acted upon.
func (s *Set) seamCures(d *Diagnosis) []SeamCure {
	varies := d.Answer.Variation()
	now := typical(d.Answer.Mean, varies)
	var out []SeamCure
	add := func(c SeamCure, steps, varies []float64) {
		t := cureTable[c.Kind]
		c.Before, c.After, c.Hours, c.Risk = now, typical(steps, varies), t.hours, t.risk
		if c.Kind == CureRebore || c.Kind == CureRelieve || c.Kind == CureTurnPin {
			c.Cautions = cutCautions
		}
		if c.Gain() > 0.01*now {
			out = append(out, c)
		}
	}
	for _, side := range []*SeamSide{&d.Seam.Proud, &d.Seam.Other} {
		if c, by, ok := d.offset(side); ok {
			add(c, d.less(by), varies)
		}
	}
	if c, by, ok := s.rotation(d); ok {
		add(c, d.less(by), varies)
	}
	d.wear(func(c SeamCure, by []float64) { add(c, d.less(by), varies) })
	if d.pinsNamed(nil) && !d.Seam.OneStation() && d.Seam.Proud.FaceDown == d.Seam.Other.FaceDown && sameHoles(&d.Seam.Proud, &d.Seam.Other) {
		path := d.Seam.Other.Path()
		add(SeamCure{Kind: CureStation, Do: fmt.Sprintf("finish both outlines on %s, the same way up: what its pins are out by is then the same for both parts", path)},
			d.less(d.stepsOf(func(s SeamSource) bool { return s.Kind == FromPin })), varies)
	}
	for _, side := range []*SeamSide{&d.Seam.Proud, &d.Seam.Other} {
		if d.pinsNamed(side) {
			add(SeamCure{Kind: CureRebore, Side: side, Do: fmt.Sprintf("re-bore the holes of %s and %s true to place, and survey every station of %s after it", side.Pins[0].Path, side.Pins[1].Path, side.Fixture.ID())},
				d.less(d.stepsOf(func(s SeamSource) bool { return s.Kind == FromPin && s.Side == side })), varies)
		}
		if p := side.Pins[1]; p.Relieved && math.Abs(math.Sin(p.Relief)) > math.Sin(math.Pi/4) {
			steps, v := d.looser(side, [2]float64{1, (p.Hole - p.Pin) / 2 / p.Clearance})
			add(SeamCure{Kind: CureTurnPin, Side: side, Do: fmt.Sprintf("turn %s by 90 deg, so that it is relieved along the line to %s: it holds the part against turning only then", p.Path, side.Pins[0].Locator.ID.S)}, steps, v)
		}
	}
	steps, v := d.looser(nil, [2]float64{0.5, 0.5})
	add(SeamCure{Kind: CureFit, Do: d.fitText()}, steps, v)
	if c, ok := s.relieve(d); ok {
		out = append(out, c)
	}
	sort.SliceStable(out, func(i, j int) bool { return worth(out[i]) > worth(out[j]) })
	return out
}

// worth is the gain for the work, with an hour for thinking, trying and reading
// again, and less for what can go wrong.
func worth(c SeamCure) float64 {
	t := cureTable[c.Kind]
	return c.Gain() / (1 + t.hours) / t.weight
}

// pinsNamed reports whether a pin, of a side if there is one, is the first
// suspect of a trait that is shown.
func (d *Diagnosis) pinsNamed(side *SeamSide) bool {
	for _, t := range d.Traits {
		if t.Shown && len(t.Suspects) > 0 {
			if s := d.Sources[t.Suspects[0].Source]; s.Kind == FromPin && (side == nil || s.Side == side) {
				return true
			}
		}
	}
	return false
}

func (d *Diagnosis) trait(key string) *SeamTrait {
	for i := range d.Traits {
		if d.Traits[i].Key == key {
			return &d.Traits[i]
		}
	}
	return nil
}

// roundMove rounds a move to what is typed into a control: 0.0001 in or 0.001 mm.
func (d *Diagnosis) roundMove(mm float64) float64 {
	step := practised(d.Seam.Unit, 1, 1).Float()
	return math.Round(mm/step) * step
}

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

// sameHoles reports whether both parts have the holes that the other's pins take.
func sameHoles(a, b *SeamSide) bool {
	for i := range a.Pins {
		if a.Pins[i].Feature.ID.S != b.Pins[i].Feature.ID.S {
			return false
		}
	}
	return true
}

// looser is what stays the same and what varies at each point with the looseness
// of a side, or of both, at its first and second pin times a factor.
func (d *Diagnosis) looser(side *SeamSide, times [2]float64) (steps, varies []float64) {
	now := d.Answer.Variation()
	by := make([]float64, len(now))
	varies = make([]float64, len(now))
	for i := range now {
		varies[i] = now[i] * now[i]
	}
	for k, s := range d.Sources {
		if s.Kind != FromLoose || side != nil && s.Side != side {
			continue
		}
		still := 1 - d.Answer.Changed[k] // how probable it is that it varies at all
		src := d.problem.Sources[k]
		for j, e := range src.Effects {
			f := times[0]
			if j == 2 {
				f = times[1]
			}
			for i := range by {
				sd := e[i] * src.Varies[j] * d.Answer.Scale
				varies[i] -= still * sd * sd * (1 - f*f)
				by[i] += e[i] * d.Answer.Amounts[k][j] * (1 - f)
			}
		}
	}
	for i := range varies {
		varies[i] = math.Sqrt(max(0, varies[i]))
	}
	return d.less(by), varies
}

// fitText says what halving the clearances means.
func (d *Diagnosis) fitText() string {
	var most float64
	for _, side := range []*SeamSide{&d.Seam.Proud, &d.Seam.Other} {
		for _, p := range side.Pins {
			most = max(most, p.Hole-p.Pin)
		}
	}
	return fmt.Sprintf("halve the clearance of the locating holes, now up to %s: ream them closer to the pins", Show(d.MM(most)))
}

// relieve proposes to relieve the second of two round pins on which a good part
// may not go. It moves no step by itself.
func (s *Set) relieve(d *Diagnosis) (SeamCure, bool) {
	day := New(s.L, d.Day)
	for _, side := range []*SeamSide{&d.Seam.Proud, &d.Seam.Other} {
		if side.Pins[1].Relieved {
			continue
		}
		l := day.Locating(side.Fixture, side.Station)
		if l.Skip != "" || l.ByConstruction || l.Worst.Margin >= 0 {
			continue
		}
		t := cureTable[CureRelieve]
		now := typical(d.Answer.Mean, d.Answer.Variation())
		return SeamCure{Kind: CureRelieve, Side: side, Before: now, After: now, Hours: t.hours, Risk: t.risk, Cautions: cutCautions,
			Do: fmt.Sprintf("relieve %s along the line to %s: a good part may not go on two round pins. That moves no step by itself", side.Pins[1].Path, side.Pins[0].Locator.ID.S)}, true
	}
	return SeamCure{}, false
}
