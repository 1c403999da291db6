package bench

import (
	"encoding/json"
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/weld"
)

// Weld asks what it takes to fill a hole with weld metal.
type Weld struct {
	Diameter    string `placeholder:"SIZE" help:"Diameter of the hole."`
	Depth       string `placeholder:"LENGTH" help:"Depth of the full diameter."`
	Point       string `placeholder:"ANGLE" help:"Angle of the drill point: 118deg; a flat bottom if not given."`
	Cap         string `placeholder:"LENGTH" help:"Height of the cap above the face; none if not given."`
	CapDiameter string `placeholder:"SIZE" help:"Diameter of the cap; that of the hole if not given."`
	Count       int    `default:"1" placeholder:"N" help:"Number of such holes."`
	Allowance   string `placeholder:"SHARE" help:"Metal beside the hole and machined away: 10%; none if not given."`

	Wire       string `placeholder:"SIZE" help:"Diameter of the wire or rod."`
	Efficiency string `placeholder:"SHARE" help:"Metal deposited over wire used: 0.95."`
	Density    string `placeholder:"VALUE" help:"Density in g/cm³, or as a weight, 0.283lbf/in³; 7.85 for steel if not given."`
	Feed       string `placeholder:"SPEED" help:"Feed of the wire, for the time: 6m/min."`

	Process string `placeholder:"PROCESS" help:"MMA, MAG, TIG or SAW, for the heat."`
	Volts   string `placeholder:"NUMBER" help:"Arc voltage, in volts."`
	Amps    string `placeholder:"NUMBER" help:"Current, in amperes."`
	Time    string `placeholder:"TIME" help:"Time with the arc on; that of the wire if not given."`
	Speed   string `placeholder:"SPEED" help:"Travel speed along a seam: 300mm/min."`
	Weight  string `placeholder:"WEIGHT" help:"Weight of the piece, for its mean rise of temperature: 10N, 2.2lbf."`
}

// About implements Question.
func (Weld) About() string {
	return "Filling a hole with weld metal: volume, wire and arc time, and with a process, volts and amperes the energy of the arc and the heat that reaches the work. The usual cautions are printed every time; they are a reminder and not complete, and local codes and licensed practice decide."
}

// Examples implements Question.
func (Weld) Examples() []string {
	return []string{"--diameter 8mm --depth 20mm --point 118deg --wire 0.9mm --efficiency 0.95 --feed 6m/min --process MAG --volts 20 --amps 120", "--process MAG --volts 24 --amps 180 --speed 300mm/min"}
}

// Figure is a mass, a rate or an energy as package weld shows it, with three
// digits; empty is null in JSON.
type Figure string

// MarshalJSON has the keys of a quantity.
func (f Figure) MarshalJSON() ([]byte, error) {
	number, unit, _ := strings.Cut(string(f), " ")
	if number == "" {
		return []byte("null"), nil
	}
	if !json.Valid([]byte(number)) {
		return json.Marshal(string(f))
	}
	return json.Marshal(keys{json.Number(number), unit, string(f)})
}

func figure(q quantity.Quantity) Figure {
	if q.IsZeroValue() {
		return ""
	}
	return Figure(weld.Text(q))
}

// WeldAnswer is the answer to Weld; what was not asked is null.
type WeldAnswer struct {
	Volume     Rough  `json:"volume"` // of weld metal, with the allowance
	Deposited  Figure `json:"deposited"`
	WireUsed   Figure `json:"wire_used"`
	WireLength Rough  `json:"wire_length"`
	ArcTime    Rough  `json:"arc_time"`
	Rate       Figure `json:"deposition_rate"`
	ArcEnergy  Figure `json:"arc_energy"` // for each length of a seam
	HeatInput  Figure `json:"heat_input"` // for each length of a seam
	Energy     Figure `json:"total_arc_energy"`
	Heat       Figure `json:"total_heat"`
	Rise       Rough  `json:"mean_rise"`
	Sheet
}

// Ask implements Question (solid geometry, EN 1011-1; package weld).
func (q Weld) Ask(o Options) (Answer, error) {
	w := start(o, quantity.Length)
	filling, laying, heating := q.Diameter+q.Depth != "", q.Wire+q.Efficiency+q.Feed != "", q.Process+q.Volts+q.Amps != ""
	switch {
	case w.err != nil:
	case laying && !filling:
		w.fail("diameter: wire is reckoned for a hole; type its diameter and depth too, such as --diameter 8mm --depth 20mm")
	case !filling && !heating:
		w.fail("diameter: no value; type the diameter and depth of the hole, such as --diameter 8mm --depth 20mm, or the process, volts and amperes")
	}
	if w.err != nil {
		return nil, w.err
	}
	a := &WeldAnswer{Sheet: newSheet()}
	var cautions []weld.Caution
	var notes []string
	var arc quantity.Quantity
	if filling {
		v, err := a.fill(w, q)
		if err != nil {
			return nil, err
		}
		cautions, notes = v.Cautions, v.Notes
		if laying {
			l, err := a.lay(w, q, v)
			if err != nil {
				return nil, err
			}
			arc = l.Time
		}
	}
	if heating {
		h, err := a.heat(w, q, arc)
		if err != nil {
			return nil, err
		}
		cautions, notes = h.Cautions, h.Notes
	}
	for _, n := range notes {
		a.mind("%s", n)
	}
	for _, c := range cautions {
		a.mind("%s: %s (%s)", c.Topic, c.Text, c.Source)
	}
	return done(a, w)
}

// lead is a value in the system of the answer, so that what is computed from it
// follows.
func (w *work) lead(q quantity.Quantity) quantity.Quantity {
	if u, ok := w.target(q); ok && u.System() != q.Unit().System() && w.err == nil {
		if q.Dim() == quantity.Length {
			u = quantity.Millimetre
			if w.unit.System() == quantity.Inch.System() {
				u = quantity.Inch
			}
		}
		return w.keep(q.As(u))
	}
	return q
}

func (a *WeldAnswer) fill(w *work, q Weld) (weld.Volume, error) {
	if q.Count < 1 {
		w.fail("count: %d; type the number of holes, from 1 on", q.Count)
	}
	h := weld.Hole{
		Diameter: w.needed("diameter", q.Diameter, quantity.Length, "8mm"), Depth: w.needed("depth", q.Depth, quantity.Length, "20mm"),
		Point: w.above("point", q.Point, quantity.Angle, "118deg"), Cap: w.zeroOr("cap", q.Cap, quantity.Length, "1.5mm"),
		CapDiameter: w.above("cap-diameter", q.CapDiameter, quantity.Length, "10mm"), Count: q.Count,
	}
	h.Diameter = w.lead(h.Diameter)
	allowance := w.zeroOr("allowance", q.Allowance, quantity.Number, "10%")
	if w.err != nil {
		return weld.Volume{}, w.err
	}
	v, err := weld.Fill(allowance, h)
	if err != nil {
		return v, err
	}
	const digits = 3
	a.Volume = w.rough(v.Total, digits)
	a.say("%s of weld metal", a.Volume)
	part := func(q quantity.Quantity) Rough { return w.rough(q, digits) }
	a.step("cylinder pi·d²·depth/4, d %s, depth %s, %s: %s", w.show(h.Diameter), w.show(h.Depth), counted(q.Count, "hole", "holes"), part(v.Cylinder))
	if v.Tip.Sign() > 0 {
		a.step("drill point pi·d³/(24·tan(s/2)), s %s: %s", h.Point, part(v.Tip))
	}
	if v.Cap.Sign() > 0 {
		a.step("cap pi·c·(3a² + c²)/6, c %s: %s", w.show(h.Cap), part(v.Cap))
	}
	if !allowance.IsZeroValue() {
		a.step("with %s of allowance: %s", allowance, a.Volume)
	}
	a.cite("volume: solid geometry")
	return v, nil
}

func (a *WeldAnswer) lay(w *work, q Weld, v weld.Volume) (weld.Laid, error) {
	const speed = "6m/min or 240in/min"
	in := weld.Wire{Volume: v.Total, Diameter: w.lead(w.needed("wire", q.Wire, quantity.Length, "0.9mm")), Feed: w.above("feed", q.Feed, feedDim, speed)}
	if w.err == nil && strings.TrimSpace(q.Efficiency) == "" {
		var rows []string
		for _, e := range weld.Efficiencies() {
			rows = append(rows, e.Filler+" "+span(e.Low, e.High))
		}
		w.fail("efficiency: no value; type metal deposited over wire used, such as 0.95 (%s)", strings.Join(rows, "; "))
	}
	in.Efficiency = w.above("efficiency", q.Efficiency, quantity.Number, "0.95")
	if strings.TrimSpace(q.Density) != "" && w.err == nil {
		var err error
		if in.Density, err = quantity.Parse(q.Density, quantity.One); err != nil {
			w.fail("density: %w", err)
		}
	}
	if w.err != nil {
		return weld.Laid{}, w.err
	}
	l, err := weld.Lay(in)
	if err != nil {
		return l, err
	}
	const digits = 3
	a.Deposited, a.WireUsed, a.Rate = figure(l.Deposited), figure(l.Used), figure(l.Rate)
	a.WireLength, a.ArcTime = Rough{Quantity: l.Length, digits: digits}, Rough{Quantity: l.Time, digits: 2}
	a.say("%s of wire (%s), %s deposited", a.WireLength, a.WireUsed, a.Deposited)
	if !a.ArcTime.IsZeroValue() {
		a.say("%s with the arc on, %s deposited", a.ArcTime, a.Rate)
		a.step("arc time = wire length/feed = %s/(%s) = %s", a.WireLength, w.rough(in.Feed, 3), a.ArcTime)
	}
	a.step("wire length = volume/(efficiency·pi·wire²/4) = %s/(%s·pi·(%s)²/4) = %s", a.Volume, in.Efficiency, w.show(in.Diameter), a.WireLength)
	a.cite("wire = deposited/efficiency: filler-metal maker's handbook; density of steel 7.85 g/cm³ if none was typed")
	return l, nil
}

func (a *WeldAnswer) heat(w *work, q Weld, laid quantity.Quantity) (weld.Heat, error) {
	if strings.TrimSpace(q.Process) == "" {
		w.fail("process: no value; type MMA, MAG, TIG or SAW")
	}
	in := weld.Arc{
		Process: weld.Process(strings.TrimSpace(q.Process)), Volts: w.needed("volts", q.Volts, quantity.Number, "20"), Amps: w.needed("amps", q.Amps, quantity.Number, "120"),
		Time: w.above("time", q.Time, quantity.Time, "20s"), Speed: w.lead(w.above("speed", q.Speed, feedDim, "300mm/min or 12in/min")), Mass: w.above("weight", q.Weight, quantity.Force, "10N or 2.2lbf"),
	}
	if in.Time.IsZeroValue() {
		in.Time = laid
	}
	if w.err == nil && in.Time.IsZeroValue() && in.Speed.IsZeroValue() {
		w.fail("time: no value; type the time with the arc on, such as 20s, or for a seam its travel speed, such as --speed 300mm/min")
	}
	if w.err != nil {
		return weld.Heat{}, w.err
	}
	h, err := in.Heat()
	if err != nil {
		return h, err
	}
	a.ArcEnergy, a.HeatInput, a.Energy, a.Heat = figure(h.ArcEnergy), figure(h.HeatInput), figure(h.Energy), figure(h.Total)
	a.Rise = Rough{Quantity: h.Rise, digits: 2}
	if a.HeatInput != "" {
		a.say("heat input %s (arc energy %s)", a.HeatInput, a.ArcEnergy)
		a.step("heat input = factor·volts·amperes/speed = %s·%s V·%s A/%s = %s", h.Factor, in.Volts, in.Amps, in.Speed, a.HeatInput)
		a.mind("a welding procedure must say which it states, arc energy or heat input (ISO 15614-1:2017 admits either)")
	}
	if a.Heat != "" {
		a.say("%s of heat into the work in all (arc %s)", a.Heat, a.Energy)
		a.step("heat = factor·volts·amperes·time = %s·%s V·%s A·%s = %s", h.Factor, in.Volts, in.Amps, Rough{Quantity: in.Time, digits: 3}, a.Heat)
	}
	if !a.Rise.IsZeroValue() {
		a.say("the piece as a whole would rise by %s; near the weld it is far hotter", a.Rise)
	}
	a.cite("factor %s of %s and the quotient: EN 1011-1, as a steel maker's table prints it", h.Factor, in.Process)
	return h, nil
}
