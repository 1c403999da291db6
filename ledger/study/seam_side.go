package study

import (
	"fmt"
	"math"
	"strings"

	"tenths/calc/locate"
	"tenths/calc/quantity"
	"tenths/ledger"
)

// gather finds the station of a side on the day, its pins, face and tool.
func (b *seamBuilder) gather(side *SeamSide, ref ledger.Ref, i int) error {
	rec := b.s.L.Record(ref.S)
	if rec == nil {
		return fmt.Errorf("%s is not in the ledger", ledger.Printable(ref.S))
	}
	part, ok := rec.Data.(*ledger.Part)
	if !ok {
		return fmt.Errorf("%s is no part", ledger.Printable(ref.S))
	}
	side.Part = rec
	if err := b.station(side, part, i); err != nil {
		return fmt.Errorf("%s: %w", rec.ID(), err)
	}
	if err := b.pins(side, part); err != nil {
		return fmt.Errorf("%s on %s: %w", rec.ID(), side.Path(), err)
	}
	down, told := faceDown(side.Station.Face.S)
	side.FaceDown = down
	if !told {
		b.assume("%s does not say which face is up: the part is taken to lie face up", side.Path())
	}
	if sh, ok := side.Station.ShiftOn(b.out.Day); ok {
		side.Shift = [2]float64{sh.By.X.Nominal().Float(), sh.By.Y.Nominal().Float()}
		if sh.Turn.Set() {
			side.Turn = sh.Turn.Nominal().FloatIn(quantity.Degree) * math.Pi / 180
		}
	}
	b.tool(side, part)
	return b.sameAxes(rec, part)
}

// faceDown reads which face of the part is up. told is false if the words do not
// say.
func faceDown(text string) (down, told bool) {
	back := false
	for _, w := range strings.Fields(strings.ToLower(text)) {
		switch strings.Trim(w, ",.;") {
		case "inside", "back", "rear", "bottom", "under":
			back = true
		case "up", "upwards":
			told = true
		case "down", "downwards":
			down, told = true, true
		}
	}
	return down != back && told, told
}

// station finds where the outline is finished: what a planned state or the
// characteristic names, what the plan in force says, or the only station.
func (b *seamBuilder) station(side *SeamSide, part *ledger.Part, i int) error {
	id := side.Part.ID()
	named := ""
	if cut := b.out.Char.CutOn; i < len(cut) {
		named = cut[i].S
	}
	for _, w := range b.with {
		if w.CutOn[id] != "" {
			named = w.CutOn[id]
		}
	}
	if named != "" {
		t, err := b.s.L.Find(named)
		if err != nil {
			return err
		}
		st, ok := t.Node.(*ledger.Station)
		if !ok {
			return fmt.Errorf("%s is no station", ledger.Printable(named))
		}
		side.Fixture, side.Station = t.Rec, st
		return nil
	}
	outline := outlineOf(part)
	if plan := b.s.planOn(id, b.out.Day); plan != nil {
		p := plan.Data.(*ledger.Plan)
		for k := range p.Operations {
			op := &p.Operations[k]
			if op.Cut.S != "finish" || outline != "" && op.Surface.S != outline {
				continue
			}
			if rec, st := b.s.StationOf(p, op); st != nil {
				side.Plan, side.Op, side.Fixture, side.Station = plan, op, rec, st
			}
		}
		if side.Station != nil {
			return nil
		}
	}
	found := b.stationsOf(id)
	switch len(found) {
	case 0:
		return fmt.Errorf("%w on %s: no plan in force then finishes it on a station, and no fixture in use has one for the part; name both stations in cut_on of %s",
			errNoStation, b.out.Day.Format("2006-01-02"), b.out.Char.ID.S)
	case 1:
		*side = SeamSide{Part: side.Part, Fixture: found[0].Fixture, Station: found[0].Station}
		b.assume("no plan in force on %s finishes the outline of %s on a station: %s is its only one", b.out.Day.Format("2006-01-02"), id, side.Path())
		return nil
	}
	var paths []string
	for _, f := range found {
		paths = append(paths, f.Path())
	}
	return fmt.Errorf("%w on %s: no plan in force then says it, and %s are all for the part; name both stations in cut_on of %s",
		errNoStation, b.out.Day.Format("2006-01-02"), strings.Join(paths, ", "), b.out.Char.ID.S)
}

// stationsOf lists the stations of a part on fixtures that were in use that day.
func (b *seamBuilder) stationsOf(id string) []SeamSide {
	var out []SeamSide
	for _, rec := range b.s.L.Records {
		f, ok := rec.Data.(*ledger.Fixture)
		if !ok || StandingOfFixture(f, b.out.Day) != "in use" {
			continue
		}
		for i := range f.Stations {
			if f.Stations[i].Part.S == id {
				out = append(out, SeamSide{Fixture: rec, Station: &f.Stations[i]})
			}
		}
	}
	return out
}

// outlineOf is the name of the part's outline; empty if it has none or several.
func outlineOf(part *ledger.Part) string {
	name := ""
	for _, f := range part.Features {
		if f.Type.S == "outline" {
			if name != "" {
				return ""
			}
			name = f.ID.S
		}
	}
	return name
}

// pins gathers the two pins of a station.
func (b *seamBuilder) pins(side *SeamSide, part *ledger.Part) error {
	var found []SeamPin
	for i := range side.Station.Locators {
		loc := &side.Station.Locators[i]
		now := ledger.OnDay(*loc, b.out.Day)
		if !isPin(now) {
			continue
		}
		p, err := b.pin(side, part, loc, now)
		if err != nil {
			return err
		}
		found = append(found, p)
	}
	if len(found) != 2 {
		return fmt.Errorf("the step at a seam is computed for two locating pins; the station has %d", len(found))
	}
	side.Pins = [2]SeamPin(found)
	return side.settle()
}

// settle puts the pin first that decides where the part sits, and finds how the
// other is relieved.
func (s *SeamSide) settle() error {
	if s.Pins[0].Relieved && s.Pins[1].Relieved {
		return fmt.Errorf("both pins are relieved: none decides where the part sits along their line")
	}
	if s.Pins[0].Relieved {
		s.Pins[0], s.Pins[1] = s.Pins[1], s.Pins[0]
	}
	if second := &s.Pins[1]; second.Relieved {
		l := Locating{Station: s.Station}
		for _, p := range []*SeamPin{second, &s.Pins[0]} {
			l.Pins = append(l.Pins, PinState{Locator: p.Locator, Now: p.Now, At: [2]axis{{nominal: p.X}, {nominal: p.Y}}, To: 1})
		}
		relief, ok := l.reliefAxis(0)
		if !ok {
			return fmt.Errorf("%s is relieved, but %q gives no direction; write \"line to P1\" or an angle such as \"90 deg\"", second.Path, ledger.Printable(second.Now.Relief.S))
		}
		second.Relief = relief - l.line(0, 1)
	}
	return nil
}

func (b *seamBuilder) pin(side *SeamSide, part *ledger.Part, loc *ledger.Locator, now ledger.Locator) (SeamPin, error) {
	p := SeamPin{Path: side.Path() + "/" + loc.ID.S, Locator: loc, Now: now, Relieved: now.Type.S == "relieved pin"}
	f := featureNamed(part, now.Engages.S)
	if f == nil {
		return p, fmt.Errorf("%s engages no hole of the part", p.Path)
	}
	day := ledger.OnDay(*f, b.out.Day)
	p.Feature = &day
	at, ok := axes(day.At)
	if !ok {
		return p, fmt.Errorf("%s has no position (at)", day.ID.S)
	}
	p.X, p.Y = at[0].nominal, at[1].nominal
	size := day.AsMade
	if !size.Set() {
		size = day.Size
		b.assume("hole %s of %s: what the process really makes (as_made) is not known, the middle of its limits is taken", day.ID.S, side.Part.ID())
	}
	if !size.Set() {
		return p, fmt.Errorf("hole %s has no size", day.ID.S)
	}
	p.Hole = rangeOf(size).middle()
	pin, ok := pinSize(now, b.out.Day)
	if !ok {
		return p, fmt.Errorf("%s has no size", p.Path)
	}
	p.Pin = pin.Range().middle()
	if p.Relieved {
		if !now.Land.Set() {
			return p, fmt.Errorf("%s is relieved, but its land has no width", p.Path)
		}
		p.Land = now.Land.Nominal().Float()
	}
	b.position(&p)
	return p, nil
}

// position says where a pin stands, and how well that is known.
func (b *seamBuilder) position(p *SeamPin) {
	if at, ok := axes(p.Now.At); ok {
		p.Error = [2]float64{at[0].nominal - p.X, at[1].nominal - p.Y}
	}
	if sv, ok := p.Now.SurveyOn(b.out.Day); ok {
		if off, ok := axes(sv.Off); ok {
			p.Survey, p.Known = &sv, true
			p.Error[0] += off[0].nominal
			p.Error[1] += off[1].nominal
			u := practisedMM(b.out.Unit, surveyBand)
			if sv.U.Set() {
				u = sv.U.Nominal().Float()
			} else {
				b.assume("the survey of %s states no uncertainty: ±%s is taken (common practice)", p.Path, b.show(u))
			}
			p.Band = [2]float64{u, u}
			return
		}
	}
	band := bandOf(p.Now)
	q := band.Size(b.out.Unit)
	p.Band = [2]float64{q.Float(), q.Float()}
	b.assume("%s was never surveyed as it stood: ±%s for a hole %s (common practice)", p.Path, Show(q), band.How)
}

// clearances computes what the holes leave, from the diameters.
func (b *seamBuilder) clearances(side *SeamSide) error {
	for i := range side.Pins {
		p := &side.Pins[i]
		if p.Hole < p.Pin {
			return fmt.Errorf("%s: its pin, %s, is larger than the hole, %s: the part does not go on", p.Path, b.show(p.Pin), b.show(p.Hole))
		}
		p.Clearance = (p.Hole - p.Pin) / 2
		if p.Relieved {
			_, across, err := locate.TurnedLooseness(p.Hole, p.Pin, min(p.Land, p.Pin), p.Relief)
			if err != nil {
				return fmt.Errorf("%s: %w", p.Path, err)
			}
			p.Clearance = across
		}
	}
	return nil
}

// tool finds the cutter that finishes the outline, and what its wear does.
func (b *seamBuilder) tool(side *SeamSide, part *ledger.Part) {
	path := ""
	if f := featureNamed(part, outlineOf(part)); f != nil {
		path = f.Tool.S
	}
	if side.Op != nil && len(side.Op.Tools) > 0 {
		path = side.Op.Tools[0].S
	}
	if rec := b.s.L.Record(path); rec != nil {
		if t, ok := rec.Data.(*ledger.Tool); ok {
			side.Tool = rec
			now := ledger.OnDay(*t, b.out.Day)
			if now.Life.Set() && now.Wear.Set() {
				most := now.Life.Nominal().Float() * now.Wear.Nominal().Float()
				side.Size, side.SizeBand = most/2, math.Abs(most/2)
				if side.Op != nil && side.Op.Pieces.Set() {
					side.Wear = math.Abs(now.Wear.Nominal().Float()*side.Op.Pieces.Nominal().Float()) / 2
				}
				return
			}
		}
	}
	side.SizeBand = practisedMM(b.out.Unit, sizeBand)
	of := "the outline of " + side.Part.ID()
	if side.Tool != nil {
		of += ", finished with " + side.Tool.ID() + " of which life and wear_per_part are not both known,"
	}
	b.assume("the size of %s is taken to be out by up to ±%s on a side (common practice)", of, b.show(side.SizeBand))
}

// sameAxes refuses a part whose holes lie elsewhere than those of the seam's own
// record: its points would mean other places.
func (b *seamBuilder) sameAxes(rec *ledger.Record, part *ledger.Part) error {
	whole, ok := b.out.Rec.Data.(*ledger.Part)
	if !ok || b.out.Rec == rec {
		return nil
	}
	for _, d := range b.out.Char.Datum {
		mine, its := featureNamed(whole, d.S), featureNamed(part, d.S)
		if mine == nil || its == nil {
			continue
		}
		a, ok1 := axes(mine.At)
		c, ok2 := axes(its.At)
		if ok1 && ok2 && math.Hypot(a[0].nominal-c[0].nominal, a[1].nominal-c[1].nominal) > 0.25 {
			return fmt.Errorf("hole %s lies at (%s, %s) in %s but at (%s, %s) in %s: write both parts in the same axes", d.S,
				b.show(c[0].nominal), b.show(c[1].nominal), rec.ID(), b.show(a[0].nominal), b.show(a[1].nominal), b.out.Rec.ID())
		}
	}
	return nil
}
