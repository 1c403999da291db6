package bench

import (
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/thermal"
)

// Thermal asks what temperature does to a length.
type Thermal struct {
	Length    string `placeholder:"LENGTH" help:"A length at 20C, for its growth, or with --fixture the pitch."`
	Reading   string `placeholder:"LENGTH" help:"... or what a gauge reads, for the size at 20C; with --gauge."`
	Part      string `placeholder:"MATERIAL" help:"Material of the part, or its expansion: 6061, 23.6ppm/K."`
	Gauge     string `placeholder:"MATERIAL" help:"Material of the gauge."`
	Fixture   string `placeholder:"MATERIAL" help:"Material of the fixture."`
	At        string `placeholder:"TEMPERATURE" help:"Temperature of everything: 80F, 27C."`
	PartAt    string `placeholder:"TEMPERATURE" help:"Temperature of the part, if it is another."`
	GaugeAt   string `placeholder:"TEMPERATURE" help:"Temperature of the gauge, if it is another."`
	FixtureAt string `placeholder:"TEMPERATURE" help:"Temperature of the fixture, if it is another."`

	UAt        string `name:"u-at" placeholder:"DIFFERENCE" help:"Uncertainty of each temperature, 1dF or 0.5K; like the other uncertainties of one kind, standard or expanded."`
	UShared    string `name:"u-shared" placeholder:"DIFFERENCE" help:"Uncertainty that both temperatures share, as from one thermometer."`
	UExpansion string `name:"u-expansion" placeholder:"VALUE" help:"Uncertainty of each expansion: 1ppm/K."`
	UReading   string `name:"u-reading" placeholder:"LENGTH" help:"Uncertainty of the reading itself."`
}

// About implements Question.
func (Thermal) About() string {
	return "Away from 20 C (68 F), where sizes hold: the growth of a length; with --fixture, the pitch of a part against the pins of a fixture; with --reading and --gauge, the size that the part will have at 20 C. Where sources differ on a material the answer covers both ends."
}

// Examples implements Question.
func (Thermal) Examples() []string {
	return []string{"--length 4in --part 6061 --fixture steel --at 88F", "--reading 1.0000in --part 6061 --gauge steel --at 80F", "--length 25mm --part steel --at 26C"}
}

// ThermalAnswer is the answer to Thermal; what was not asked is null.
type ThermalAnswer struct {
	MinGrowth     quantity.Quantity `json:"min_part_growth"`
	MaxGrowth     quantity.Quantity `json:"max_part_growth"`
	MinFixture    quantity.Quantity `json:"min_fixture_growth"`
	MaxFixture    quantity.Quantity `json:"max_fixture_growth"`
	MinDifference quantity.Quantity `json:"min_difference"` // part - fixture
	MaxDifference quantity.Quantity `json:"max_difference"`
	MinSize       quantity.Quantity `json:"min_size_at_20"`
	MaxSize       quantity.Quantity `json:"max_size_at_20"`
	MinCorrection quantity.Quantity `json:"min_correction"` // size - reading
	MaxCorrection quantity.Quantity `json:"max_correction"`
	U             quantity.Quantity `json:"u"`       // root sum square of the uncertainties that were given
	Worst         quantity.Quantity `json:"u_worst"` // their sum
	Sheet
}

// warm is a body with what is known of its expansion.
type warm struct {
	property
	at quantity.Quantity
}

// Ask implements Question (ISO 1; package thermal).
func (q Thermal) Ask(o Options) (Answer, error) {
	w := start(o, quantity.Length)
	length := w.above("length", q.Length, quantity.Length, "4in or 100mm")
	reading := w.above("reading", q.Reading, quantity.Length, "1.0000in or 25.400mm")
	switch {
	case w.err != nil:
	case length.IsZeroValue() == reading.IsZeroValue():
		w.fail("length: type either a length at 20C, such as --length 4in, or what a gauge reads, such as --reading 1.0000in")
	case q.Gauge != "" && q.Fixture != "":
		w.fail("gauge and fixture are both given; leave one out")
	case !reading.IsZeroValue() && q.Gauge == "":
		w.fail("gauge: no value; type the material of the gauge, such as --gauge steel, or its expansion")
	case !reading.IsZeroValue() && q.Fixture != "" || !length.IsZeroValue() && q.Gauge != "":
		w.fail("a reading goes with a gauge, a length with a fixture; leave one out")
	}
	part := w.warm("part", q.Part, q.PartAt, q.At, true)
	gauge := w.warm("gauge", q.Gauge, q.GaugeAt, q.At, q.Gauge != "")
	fixture := w.warm("fixture", q.Fixture, q.FixtureAt, q.At, q.Fixture != "")
	u := thermal.Body{UAt: w.above("u-at", q.UAt, quantity.TemperatureDifference, "1dF or 0.5K"), UExpansion: w.above("u-expansion", q.UExpansion, expansionDim, "1ppm/K")}
	shared := w.above("u-shared", q.UShared, quantity.TemperatureDifference, "1dF or 0.5K")
	uReading := w.above("u-reading", q.UReading, quantity.Length, "0.0001in")
	if w.err == nil && q.Fixture == "" && q.Gauge == "" && (q.UAt+q.UExpansion+q.UShared+q.UReading != "") {
		w.fail("u-at: uncertainties are for a pitch or a reading; type --fixture or --gauge too, or leave them out")
	}
	if w.err == nil && q.Gauge == "" && q.UReading != "" {
		w.fail("u-reading: there is no reading; type --reading and --gauge, or leave it out")
	}
	if w.err != nil {
		return nil, w.err
	}
	a := &ThermalAnswer{Sheet: newSheet()}
	var err error
	switch {
	case gauge.given():
		err = a.correct(w, reading, uReading, shared, part, gauge, u)
	case fixture.given():
		err = a.mismatch(w, length, shared, part, fixture, u)
	default:
		err = a.growth(w, length, part)
	}
	if err != nil {
		return nil, err
	}
	a.cite("sizes hold at 20 C (ISO 1:2016, clause 3); growth taken as linear with one coefficient")
	for _, b := range []warm{part, gauge, fixture} {
		a.Sheet.property(b.property)
	}
	a.mind("the temperature of the metal counts, not that of the air; books differ by some percent on the expansion")
	return done(a, w)
}

// warm reads a body.
func (w *work) warm(name, material, at, all string, needed bool) warm {
	if !needed {
		if strings.TrimSpace(at) != "" {
			w.fail("%s-at: there is no %s; type its material too, such as --%s steel, or leave it out", name, name, name)
		}
		return warm{}
	}
	b := warm{property: w.expansion(name, name, material, true)}
	if strings.TrimSpace(at) == "" {
		at = all
	}
	if strings.TrimSpace(at) == "" {
		w.fail("%s-at: no value; type the temperature of the %s, such as 80F or 27C, or --at for everything", name, name)
	}
	b.at = w.temperature(name+"-at", at)
	return b
}

// bodies are the ends of what is known of a body's expansion.
func (b warm) bodies(u thermal.Body) [2]thermal.Body {
	out := [2]thermal.Body{u, u}
	out[0].Expansion, out[1].Expansion = b.low, b.high
	out[0].At, out[1].At = b.at, b.at
	return out
}

// bounds keeps the least and the most of several results.
type bounds struct{ low, high quantity.Quantity }

func (b *bounds) take(q quantity.Quantity) {
	if b.low.IsZeroValue() {
		b.low, b.high = q, q
	}
	b.low, b.high = least(b.low, q), most(b.high, q)
}

// away is what the temperature lies away from 20 °C, in the degrees that the
// expansion of the body is for.
func (w *work) away(b warm) Rough {
	d := w.sub(b.at, thermal.Reference())
	to := quantity.Kelvin
	if f, ok := quantity.LookupUnit("dF"); ok && strings.HasSuffix(b.low.Unit().Name(), "F") {
		to = f
	}
	return Rough{Quantity: w.keep(d.As(to)), digits: 3}
}

// alpha is what is known of a body's expansion.
func (b warm) alpha() string {
	if s := span(b.low, b.high); s == b.low.String() {
		return s
	}
	return "(" + span(b.low, b.high) + ")"
}

func (a *ThermalAnswer) growth(w *work, length quantity.Quantity, part warm) error {
	var g bounds
	for _, b := range part.bodies(thermal.Body{}) {
		c, err := thermal.Change(length, b)
		if err != nil {
			return err
		}
		g.take(c)
	}
	a.MinGrowth, a.MaxGrowth = w.near(g.low), w.near(g.high)
	a.say("%s at %s: %s", w.show(length), part.at, longer(a.MinGrowth, a.MaxGrowth))
	a.stepGrowth(w, "growth", length, part, a.MinGrowth, a.MaxGrowth)
	return nil
}

func (a *ThermalAnswer) stepGrowth(w *work, name string, length quantity.Quantity, b warm, low, high quantity.Quantity) {
	a.step("%s = length·expansion·(t - 20 C) = %s·%s·%s = %s", name, w.show(length), b.alpha(), w.away(b), span(low, high))
}

// mismatch is the pitch of a part against a fixture.
func (a *ThermalAnswer) mismatch(w *work, length, shared quantity.Quantity, part, fixture warm, u thermal.Body) error {
	var p, f, d, sum, worst bounds
	for _, pb := range part.bodies(u) {
		for _, fb := range fixture.bodies(u) {
			m, err := thermal.Pitch(length, pb, fb, shared)
			if err != nil {
				return err
			}
			p.take(m.Part)
			f.take(m.Fixture)
			d.take(m.Difference)
			if !m.U.IsZeroValue() {
				sum.take(m.U)
				worst.take(m.Worst)
			}
		}
	}
	a.MinGrowth, a.MaxGrowth, a.MinFixture, a.MaxFixture = w.near(p.low), w.near(p.high), w.near(f.low), w.near(f.high)
	a.MinDifference, a.MaxDifference, a.U, a.Worst = w.near(d.low), w.near(d.high), w.near(sum.high), w.near(worst.high)
	a.say("the pitch of the part against that of the fixture: %s", longer(a.MinDifference, a.MaxDifference))
	a.uncertainty()
	a.stepGrowth(w, "part", length, part, a.MinGrowth, a.MaxGrowth)
	a.stepGrowth(w, "fixture", length, fixture, a.MinFixture, a.MaxFixture)
	a.step("difference = part - fixture = %s", span(a.MinDifference, a.MaxDifference))
	a.mind("the difference adds to the pitch error that two pins must take up; see tenths calc pins")
	return nil
}

// longer says a difference of lengths in words.
func longer(low, high quantity.Quantity) string {
	switch {
	case low.Sign() == 0 && high.Sign() == 0:
		return "no difference"
	case high.Sign() <= 0:
		return "shorter by " + span(high.Neg(), low.Neg())
	case low.Sign() >= 0:
		return "longer by " + span(low, high)
	}
	return "from " + low.Neg().String() + " shorter to " + high.String() + " longer"
}

func (a *ThermalAnswer) uncertainty() {
	if a.U.IsZeroValue() {
		return
	}
	a.say("uncertainty of it ±%s (root sum square), ±%s (sum), of the kind that was typed", a.U, a.Worst)
	a.cite("propagation of uncertainty, first order: JCGM 100:2008, 5.1.2")
}

// correct is a reading taken to 20 °C.
func (a *ThermalAnswer) correct(w *work, reading, uReading, shared quantity.Quantity, part, gauge warm, u thermal.Body) error {
	var size, by, sum, worst bounds
	for _, pb := range part.bodies(u) {
		for _, gb := range gauge.bodies(u) {
			c, err := thermal.AtReference(thermal.Measurement{Reading: reading, UReading: uReading, Part: pb, Gauge: gb, UShared: shared})
			if err != nil {
				return err
			}
			size.take(c.Size)
			by.take(c.Correction)
			if !c.U.IsZeroValue() {
				sum.take(c.U)
				worst.take(c.Worst)
			}
		}
	}
	a.MinSize, a.MaxSize, a.MinCorrection, a.MaxCorrection = w.near(size.low), w.near(size.high), w.near(by.low), w.near(by.high)
	a.U, a.Worst = w.near(sum.high), w.near(worst.high)
	a.say("at 20 C the part measures %s (correction %s)", span(a.MinSize, a.MaxSize), span(a.MinCorrection, a.MaxCorrection))
	a.uncertainty()
	a.step("size = reading·(1 + expansion of gauge·(t - 20 C))/(1 + expansion of part·(t - 20 C)) = %s·(1 + %s·%s)/(1 + %s·%s) = %s",
		w.show(reading), gauge.alpha(), w.away(gauge), part.alpha(), w.away(part), span(a.MinSize, a.MaxSize))
	return nil
}
