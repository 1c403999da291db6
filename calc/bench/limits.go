package bench

import (
	"strings"

	"tenths/calc/fit"
	"tenths/calc/quantity"
)

// Limits asks for the limits of a tolerance class.
type Limits struct {
	Size []string `arg:"" optional:"" help:"A size with its class: 25 mm H7, 0.1875 in RC4 hole."`
}

// About implements Question.
func (Limits) About() string {
	return "The limits of size of a tolerance class. Metric sizes take the classes of ISO 286 (H7, g6, js6), from 0 up to 500 mm; inch sizes take the fits of ANSI B4.1 with the word hole or shaft (RC4 hole), from 0 up to 1.19 in. What the tables here do not carry is refused."
}

// Examples implements Question.
func (Limits) Examples() []string {
	return []string{"25 mm H7", "0.1875 in RC4 hole"}
}

// LimitsAnswer is the answer to Limits. Lengths are exact.
type LimitsAnswer struct {
	Standard       fit.Standard      `json:"standard"`
	Nominal        quantity.Quantity `json:"nominal"`
	UpperDeviation quantity.Quantity `json:"upper_deviation"`
	LowerDeviation quantity.Quantity `json:"lower_deviation"`
	MaxSize        quantity.Quantity `json:"max_size"`
	MinSize        quantity.Quantity `json:"min_size"`
	Class          string            `json:"class"`
	Sheet
}

// Ask implements Question (ISO 286-1 and -2, ANSI B4.1; package fit).
func (q Limits) Ask(o Options) (Answer, error) {
	w := start(o, quantity.Length)
	text := words(q.Size)
	if text == "" {
		w.fail("size: no value; type a size with its class, such as 25 mm H7 or 0.1875 in RC4 hole")
	}
	if w.err != nil {
		return nil, w.err
	}
	m, err := fit.Limits(text, quantity.Unit{})
	if err != nil {
		return nil, err
	}
	a := &LimitsAnswer{
		Standard: m.Standard, Class: m.Class, Nominal: w.show(m.Nominal), UpperDeviation: w.show(m.UpperDeviation), LowerDeviation: w.show(m.LowerDeviation),
		MaxSize: w.show(m.Max), MinSize: w.show(m.Min), Sheet: newSheet(),
	}
	a.say("%s: %s to %s (%s)", m.Limits, a.MinSize, a.MaxSize, m.Standard)
	a.say("upper deviation %s, lower deviation %s", signed(a.UpperDeviation), signed(a.LowerDeviation))
	a.step("largest size = nominal + upper deviation = %s %s = %s", a.Nominal, plus(a.UpperDeviation), a.MaxSize)
	a.step("smallest size = nominal + lower deviation = %s %s = %s", a.Nominal, plus(a.LowerDeviation), a.MinSize)
	a.standard(m.Standard, m.Class)
	w.converted(&a.Sheet, m.Nominal)
	return done(a, w)
}

// standard cites where limits come from, with what to mind about it.
func (s *Sheet) standard(std fit.Standard, classes ...string) {
	if std == fit.ISO286 {
		s.cite("ISO 286-2 limits, by the grades, fundamental deviations and delta rule of ISO 286-1")
		for _, c := range classes {
			if strings.HasPrefix(strings.ToLower(c), "js") {
				s.mind("%s is exactly half the tolerance to each side; some printed tables make an odd tolerance even first and differ by half a micrometre", c)
			}
		}
		s.mind("name the standard on the drawing: the same letters in ANSI B4.1 are other limits")
		return
	}
	s.cite("ANSI B4.1 fit tables")
	for _, c := range classes {
		for _, derived := range []string{"LC1", "LC2", "LC3", "LC4", "LC5"} {
			if name, _, _ := strings.Cut(c, " "); name == derived {
				s.mind("the row of %s was put together from grade columns of the standard and not seen as a row; check it before it decides", derived)
				return
			}
		}
	}
	s.mind("name the standard on the drawing: the same letters in ISO 286 are other limits")
}

// converted says that limits were rounded on their way to another system.
func (w *work) converted(s *Sheet, was quantity.Quantity) {
	if !w.unit.IsZero() && w.unit.System() != was.Unit().System() {
		system := was.Unit().System()
		s.mind("converted, and rounded for reading; the %s limits decide", system)
	}
}
