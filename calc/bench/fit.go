package bench

import (
	"fmt"
	"strings"

	"tenths/calc/fit"
	"tenths/calc/quantity"
)

// Fit asks how a hole and a shaft go together.
type Fit struct {
	Fit   []string `arg:"" optional:"" help:"A fit of a standard: 25 mm H7/g6, 0.5 in RC4."`
	Hole  string   `placeholder:"SIZE" help:"In place of a standard fit: the hole, such as '0.1875 +0.0005/-0 in'."`
	Shaft string   `placeholder:"SIZE" help:"... and the shaft or pin, such as 0.1873in."`
}

// About implements Question.
func (Fit) About() string {
	return "The clearance of a hole and a shaft: smallest, largest and usual. A negative clearance is interference. Give a fit of ISO 286 (metric nominal, hole first) or of ANSI B4.1 (inch nominal), or --hole and --shaft with their own limits; a size without a tolerance counts as measured."
}

// Examples implements Question.
func (Fit) Examples() []string {
	return []string{"25 mm H7/g6", "0.5 in RC4", "--hole '0.1875 +0.0005/-0 in' --shaft 0.1873in"}
}

// FitMember is one part of a fit.
type FitMember struct {
	Class          string            `json:"class"` // empty for limits without a class
	Nominal        quantity.Quantity `json:"nominal"`
	UpperDeviation quantity.Quantity `json:"upper_deviation"`
	LowerDeviation quantity.Quantity `json:"lower_deviation"`
	MaxSize        quantity.Quantity `json:"max_size"`
	MinSize        quantity.Quantity `json:"min_size"`
}

// FitAnswer is the answer to Fit. Clearances are hole minus shaft; below 0 they
// are interference.
type FitAnswer struct {
	Standard     fit.Standard      `json:"standard"` // empty for limits without a class
	Hole         FitMember         `json:"hole"`
	Shaft        FitMember         `json:"shaft"`
	MinClearance quantity.Quantity `json:"min_clearance"`
	MaxClearance quantity.Quantity `json:"max_clearance"`
	Kind         fit.Kind          `json:"kind"`
	Name         string            `json:"name"`
	Middle       quantity.Quantity `json:"middle_clearance"`
	UsualMin     quantity.Quantity `json:"usual_min_clearance"`
	UsualMax     quantity.Quantity `json:"usual_max_clearance"`
	Sheet
}

// Ask implements Question (ISO 286-1; package fit).
func (q Fit) Ask(o Options) (Answer, error) {
	w := start(o, quantity.Length)
	f := w.readFit(words(q.Fit), q.Hole, q.Shaft)
	if w.err != nil {
		return nil, w.err
	}
	a := &FitAnswer{
		Standard: f.Standard, Name: f.Name, Kind: f.Kind, Hole: w.fitMember(f.Hole), Shaft: w.fitMember(f.Shaft),
		MinClearance: w.show(f.MinClearance), MaxClearance: w.show(f.MaxClearance), Middle: w.show(f.Middle),
		UsualMin: w.show(f.RSSMin), UsualMax: w.show(f.RSSMax), Sheet: newSheet(),
	}
	name := fmt.Sprintf("%s in %s", f.Shaft, f.Hole)
	if f.Name != "" {
		name = fmt.Sprintf("%s %s (%s)", f.Hole.Nominal, f.Name, f.Standard)
	}
	a.say("%s: %s fit, %s", name, f.Kind, clearanceText(a.MinClearance, a.MaxClearance))
	a.say("hole  %s to %s", a.Hole.MinSize, a.Hole.MaxSize)
	a.say("shaft %s to %s", a.Shaft.MinSize, a.Shaft.MaxSize)
	if f.RSSMin.Rat().Cmp(f.RSSMax.Rat()) != 0 {
		a.say("usually %s", clearanceText(a.UsualMin, a.UsualMax))
	}
	a.step("smallest clearance = smallest hole - largest shaft = %s - %s = %s", a.Hole.MinSize, a.Shaft.MaxSize, a.MinClearance)
	a.step("largest clearance = largest hole - smallest shaft = %s - %s = %s", a.Hole.MaxSize, a.Shaft.MinSize, a.MaxClearance)
	if f.RSSMin.Rat().Cmp(f.RSSMax.Rat()) != 0 {
		a.step("usual = middle ± sqrt(hole tolerance² + shaft tolerance²)/2 = %s to %s", a.UsualMin, a.UsualMax)
	}
	a.cite("clearance, interference and kind of fit: ISO 286-1")
	if f.Standard != "" {
		a.standard(f.Standard, f.Hole.Class, f.Shaft.Class)
		w.converted(&a.Sheet, f.Hole.Nominal)
	}
	if f.RSSMin.Rat().Cmp(f.RSSMax.Rat()) != 0 {
		a.mind("the usual range holds when both sizes vary about the middle of their limits (common practice); a tool that cuts to one side makes it untrue")
	}
	return done(a, w)
}

// readFit reads a fit of a standard, or a hole and a shaft.
func (w *work) readFit(name, hole, shaft string) fit.Fit {
	own := hole != "" || shaft != ""
	switch {
	case w.err != nil:
	case name == "" && !own:
		w.fail("fit: no value; type a fit such as 25 mm H7/g6 or 0.5 in RC4, or give the hole and the shaft")
	case name != "" && own:
		w.fail("fit: %s is given and a hole or shaft besides; leave one of the two out", name)
	case name != "":
		f, err := fit.Parse(name, quantity.Unit{})
		if err != nil {
			w.fail("%w", err)
		}
		return f
	}
	h := w.size("hole", hole, "'0.1875 +0.0005/-0 in'", true)
	s := w.size("shaft", shaft, "'0.1873 ±0.0001 in'", true)
	if w.err != nil {
		return fit.Fit{}
	}
	f, err := fit.Of(h, s)
	if err != nil {
		w.fail("%w", err)
	}
	return f
}

func (w *work) fitMember(t quantity.Toleranced) FitMember {
	low, high := ends(t)
	return FitMember{
		Class: t.Class, Nominal: w.show(t.Nominal), MaxSize: w.show(high), MinSize: w.show(low),
		UpperDeviation: w.show(w.sub(high, t.Nominal)), LowerDeviation: w.show(w.sub(low, t.Nominal)),
	}
}

// clearanceText says a range of clearance in words, interference with its sign
// taken off.
func clearanceText(low, high quantity.Quantity) string {
	switch {
	case low.Sign() >= 0:
		return "clearance " + span(low, high)
	case high.Sign() <= 0:
		return "interference " + span(high.Neg(), low.Neg())
	}
	return fmt.Sprintf("%s interference to %s clearance", low.Neg(), high)
}

// Choose asks which classes of the standards keep a wanted clearance.
type Choose struct {
	Nominal      []string `arg:"" optional:"" help:"The nominal size, such as 3/16 in or 25 mm."`
	Clearance    string   `placeholder:"RANGE" help:"The clearance that is wanted: 0.0002..0.0012in."`
	Interference string   `placeholder:"RANGE" help:"... or the interference: 0.0002..0.0012in."`
}

// About implements Question.
func (Choose) About() string {
	return "The fits of the standards that keep a wanted clearance or interference, the easiest to make first: ISO 286 for a metric nominal (usual pairs, hole and shaft basis), ANSI B4.1 for an inch nominal. No fit in the list ever leaves the wanted range."
}

// Examples implements Question.
func (Choose) Examples() []string {
	return []string{"3/16 in --clearance 0.0002..0.0012in", "25 mm --interference 0.000..0.035mm"}
}

// ChosenFit is one fit that serves.
type ChosenFit struct {
	Standard     fit.Standard      `json:"standard"`
	Name         string            `json:"name"`
	Hole         FitMember         `json:"hole"`
	Shaft        FitMember         `json:"shaft"`
	MinClearance quantity.Quantity `json:"min_clearance"`
	MaxClearance quantity.Quantity `json:"max_clearance"`
	Kind         fit.Kind          `json:"kind"`
}

// ChooseAnswer is the answer to Choose; Fits may be empty.
type ChooseAnswer struct {
	Nominal   quantity.Quantity `json:"nominal"`
	WantedMin quantity.Quantity `json:"wanted_min_clearance"`
	WantedMax quantity.Quantity `json:"wanted_max_clearance"`
	Fits      []ChosenFit       `json:"fits"`
	Sheet
}

// Ask implements Question (package fit, Choose).
func (q Choose) Ask(o Options) (Answer, error) {
	w := start(o, quantity.Length)
	nominal := w.needed("nominal", words(q.Nominal), quantity.Length, "3/16 in or 25 mm")
	wanted := w.wantedClearance(q.Clearance, q.Interference)
	if w.err != nil {
		return nil, w.err
	}
	fits, err := fit.Choose(nominal, wanted)
	if err != nil {
		return nil, err
	}
	a := &ChooseAnswer{Nominal: w.show(nominal), WantedMin: w.show(wanted.Lower), WantedMax: w.show(wanted.Upper), Fits: []ChosenFit{}, Sheet: newSheet()}
	std := fit.ISO286
	if nominal.Unit().System() == quantity.Inch.System() {
		std = fit.ANSIB41
	}
	want := clearanceText(a.WantedMin, a.WantedMax)
	if len(fits) == 0 {
		a.say("no fit of %s keeps %s at %s", std, want, nominal)
		a.mind("make the parts to limits of their own, or measure and pair them")
	} else {
		a.say("%s keeps %s at %s", fits[0].Name, want, nominal)
		a.mind("the first fit leaves the least of the wanted range unused, so its tolerances are the coarsest that serve")
	}
	for _, f := range fits {
		c := ChosenFit{Standard: f.Standard, Name: f.Name, Hole: w.fitMember(f.Hole), Shaft: w.fitMember(f.Shaft), MinClearance: w.show(f.MinClearance), MaxClearance: w.show(f.MaxClearance), Kind: f.Kind}
		a.Fits = append(a.Fits, c)
		a.say("%-8s %s (%s)", f.Name, clearanceText(c.MinClearance, c.MaxClearance), f.Kind)
	}
	a.step("smallest clearance = smallest hole - largest shaft, not below %s", a.WantedMin)
	a.step("largest clearance = largest hole - smallest shaft, not above %s", a.WantedMax)
	a.standard(std)
	return done(a, w)
}

// wantedClearance reads a wanted clearance, or an interference as a negative one.
func (w *work) wantedClearance(clearance, interference string) quantity.Toleranced {
	name, text, eg := "clearance", clearance, "0.0002..0.0012in or 0.005..0.030mm"
	switch {
	case strings.TrimSpace(clearance) == "" && strings.TrimSpace(interference) == "":
		w.fail("clearance: no value; type the range that is wanted, such as %s, or an interference", eg)
	case clearance != "" && interference != "":
		w.fail("clearance and interference are both given; leave one out")
	case interference != "":
		name, text = "interference", interference
	}
	t := w.limits(name, text, quantity.Length, eg)
	if w.err == nil && (!t.HasLower() || !t.HasUpper()) {
		w.fail("%s: %s has only one end; type the range that is wanted, such as %s", name, t, eg)
	}
	if w.err != nil || name == "clearance" {
		return t
	}
	out, err := quantity.WithLimits(t.Nominal.Neg(), t.Upper.Neg(), t.Lower.Neg())
	w.keep(t.Nominal, err)
	return out
}
