package bench

import (
	"strings"

	"tenths/calc/gauge"
	"tenths/calc/quantity"
)

// The way a gauge is written.
const egGauge = "'0.1875 in X plus', '0.1880 in X minus' or, measured, '0.18752 ±0.00002 in'"

// gauge reads what is known of a gauge's true size: a marked size with class and
// sign, or limits.
func (w *work) gauge(name, text string) quantity.Toleranced {
	if w.err != nil {
		return quantity.Toleranced{}
	}
	f := strings.Fields(text)
	if n := len(f); n >= 2 {
		if sign, ok := signOf(f[n-1]); ok {
			size, classText := f[:n-2], f[n-2]
			if n >= 3 && strings.EqualFold(f[n-3], "class") {
				size = f[:n-3]
			}
			class, err := gauge.ParseClass(classText)
			if err != nil {
				w.fail("%s: %w; type a gauge such as %s", name, err, egGauge)
				return quantity.Toleranced{}
			}
			marked := w.needed(name, strings.Join(size, " "), quantity.Length, egGauge)
			if w.err != nil {
				return quantity.Toleranced{}
			}
			t, err := class.Gauge(marked, sign)
			if err != nil {
				w.fail("%s: %w", name, err)
			}
			return t
		}
		if _, err := gauge.ParseClass(f[n-1]); err == nil {
			w.fail("%s: %q has a class and no sign; add plus, minus or master, such as %s", name, text, egGauge)
			return quantity.Toleranced{}
		}
	}
	t := w.size(name, text, egGauge, true)
	if w.err == nil && t.Form == quantity.Plain {
		w.fail("%s: %s says nothing of how far the gauge may be off; type its class and sign, or its measured size, such as %s", name, t, egGauge)
	}
	return t
}

func signOf(word string) (gauge.Sign, bool) {
	switch strings.ToLower(word) {
	case "plus", "+":
		return gauge.Plus, true
	case "minus", "-":
		return gauge.Minus, true
	case "master":
		return gauge.Master, true
	}
	return 0, false
}

// Plug asks what limit gauges are worth and what they prove.
type Plug struct {
	Hole    string   `placeholder:"SIZE" help:"The hole with its limits: '0.1875 +0.0005/-0 in'."`
	Shaft   string   `placeholder:"SIZE" help:"... or a shaft, for rings."`
	Class   string   `placeholder:"CLASS" help:"The class of a pair to be sized: XXX, XX, X, Y, Z or ZZ; the coarsest that will do if not given."`
	Entered []string `sep:"none" placeholder:"GAUGE" help:"A plug that went in (a ring that went over): '0.1875 in X plus'. May be repeated."`
	Refused []string `sep:"none" placeholder:"GAUGE" help:"A plug that refused (a ring that refused): '0.1880 in X minus'. May be repeated."`
	Rings   bool     `help:"The gauges are rings on a shaft; without it they are plugs in a hole."`
	Entry   string   `placeholder:"LENGTH" help:"Clearance that a gauge may still want before it goes; 0 if not given."`
}

// About implements Question.
func (Plug) About() string {
	return "With --hole or --shaft: the GO and NOT GO pair of a class, and how much of the tolerance each class eats. With --entered and --refused: what the gauges prove, an interval with their own tolerance and never a number. With both: what it proves about the limits, and whether the gauges bracket them. A gauge is its marked size with class and sign (plus, minus, master), or its measured size with ±."
}

// Examples implements Question.
func (Plug) Examples() []string {
	return []string{"--hole '0.1875 +0.0005/-0 in' --entered '0.1875 in X plus' --refused '0.1880 in X minus'"}
}

// PlugPair is a GO and a NOT GO gauge of one class.
type PlugPair struct {
	Class    gauge.Class        `json:"class"`
	GoMin    quantity.Quantity  `json:"go_min"`
	GoMax    quantity.Quantity  `json:"go_max"`
	NotGoMin quantity.Quantity  `json:"not_go_min"`
	NotGoMax quantity.Quantity  `json:"not_go_max"`
	Share    Rough              `json:"share"` // of the tolerance, GO and NOT GO together
	Verdict  gauge.ShareVerdict `json:"share_verdict"`
}

// PlugAnswer is the answer to Plug; what was not asked is null or empty.
type PlugAnswer struct {
	Pair        *PlugPair         `json:"pair"`
	Classes     []PlugPair        `json:"classes"`
	ProvedMin   quantity.Quantity `json:"proved_min"` // null: nothing shows a lower limit
	ProvedMax   quantity.Quantity `json:"proved_max"`
	Verdict     gauge.Verdict     `json:"verdict"` // about the limits; empty without them or without gauges
	Brackets    *bool             `json:"brackets"`
	PassesBelow quantity.Quantity `json:"passes_below"`
	PassesAbove quantity.Quantity `json:"passes_above"`
	Sheet
}

// Ask implements Question (package gauge).
func (q Plug) Ask(o Options) (Answer, error) {
	w := start(o, quantity.Length)
	a := &PlugAnswer{Classes: []PlugPair{}, Sheet: newSheet()}
	kind, text, name, eg := gauge.Plug, q.Hole, "hole", "'0.1875 +0.0005/-0 in'"
	switch {
	case q.Hole != "" && q.Shaft != "":
		w.fail("hole and shaft are both given; a pair of gauges is for one of them, leave the other out")
	case q.Shaft != "":
		kind, text, name, eg = gauge.Ring, q.Shaft, "shaft", "'0.1873 +0/-0.0003 in'"
	case q.Rings && q.Hole != "":
		w.fail("rings: a hole is tried with plugs; leave --rings out, or give the shaft")
	case q.Rings:
		kind = gauge.Ring
	}
	feature := w.size(name, text, eg, false)
	tried := len(q.Entered)+len(q.Refused) > 0
	switch {
	case w.err != nil:
	case feature.Nominal.IsZeroValue() && !tried:
		w.fail("hole: no value; type the hole with its limits, such as %s, or the gauges that were tried, such as --entered %s", eg, "'0.1875 in X plus'")
	case feature.Nominal.IsZeroValue() && q.Class != "":
		w.fail("class: a pair is sized for a hole or a shaft; type it too, such as --hole %s", eg)
	case !feature.Nominal.IsZeroValue() && feature.Form == quantity.Plain:
		w.fail("%s: %s has no limits; type them, such as %s", name, feature, eg)
	}
	if w.err != nil {
		return nil, w.err
	}
	if tried {
		if err := a.prove(w, q, kind, feature); err != nil {
			return nil, err
		}
	}
	if !feature.Nominal.IsZeroValue() {
		if err := a.pair(w, q.Class, kind, feature); err != nil {
			return nil, err
		}
	}
	a.cite("gauge-maker's classes: ASME B89.1.5; GO at the maximum material limit and plus, NOT GO at the other and minus (rings reversed)")
	a.mind("gauges prove nothing of form: a NOT GO plug refuses a hole that is too wide one way only, a GO plug finds no bell mouth; try the whole depth, part and gauge at one temperature")
	return done(a, w)
}

// prove says what the gauges that were tried prove.
func (a *PlugAnswer) prove(w *work, q Plug, kind gauge.Kind, feature quantity.Toleranced) error {
	entry := w.zeroOr("entry", q.Entry, quantity.Length, "0.00005in")
	var trials []gauge.Trial
	for _, g := range q.Entered {
		trials = append(trials, gauge.Trial{Gauge: w.inUnit(w.gauge("entered", g)), Goes: true})
	}
	for _, g := range q.Refused {
		trials = append(trials, gauge.Trial{Gauge: w.inUnit(w.gauge("refused", g))})
	}
	if w.err != nil {
		return w.err
	}
	r, err := gauge.Prove(kind, entry, trials...)
	if err != nil {
		return err
	}
	a.ProvedMin, a.ProvedMax = w.show(r.Low), w.show(r.High)
	what := "hole"
	if kind == gauge.Ring {
		what = "shaft"
	}
	a.say("the %s is %s", what, provedText(a.ProvedMin, a.ProvedMax))
	if kind == gauge.Plug {
		a.step("hole: not below the smallest that an entered plug can be, not above the largest that a refused plug can be%s", entryText(w, entry, " + "))
	} else {
		a.step("shaft: not above the largest that a ring that went over can be, not below the smallest that a refused ring can be%s", entryText(w, entry, " - "))
	}
	a.cite("meaning of limit gauges: ISO 1938-1 and common practice")
	if feature.Nominal.IsZeroValue() {
		return nil
	}
	if a.Verdict, err = r.Against(feature); err != nil {
		return err
	}
	a.say("against %s: %s", w.inUnit(feature), verdictText(a.Verdict))
	if len(q.Entered) != 1 || len(q.Refused) != 1 {
		return nil
	}
	b, err := gauge.BracketOf(kind, feature, trials[0].Gauge, trials[1].Gauge)
	if err != nil {
		return nil // not a GO and a NOT GO of this feature: nothing to say of them as a pair
	}
	brackets := b.Brackets()
	a.Brackets, a.PassesBelow, a.PassesAbove = &brackets, w.show(b.PassesBelow), w.show(b.PassesAbove)
	for _, pass := range []struct {
		by    quantity.Quantity
		limit string
	}{{a.PassesBelow, "under its low limit"}, {a.PassesAbove, "over its high limit"}} {
		if pass.by.Sign() > 0 {
			a.say("these gauges do not bracket the limits: a %s may be passed %s %s", what, pass.by, pass.limit)
		}
	}
	return nil
}

func entryText(w *work, entry quantity.Quantity, sign string) string {
	if entry.Sign() == 0 {
		return ""
	}
	return sign + w.show(entry).String() + " to enter"
}

func provedText(low, high quantity.Quantity) string {
	switch {
	case low.IsZeroValue():
		return "not above " + high.String() + "; nothing shows a lower limit"
	case high.IsZeroValue():
		return "not below " + low.String() + "; nothing shows an upper limit"
	}
	return "from " + low.String() + " to " + high.String() + ", and the gauges say no more"
}

func verdictText(v gauge.Verdict) string {
	switch v {
	case gauge.Accept:
		return "accept; all of that lies inside the limits"
	case gauge.Reject:
		return "reject; all of that lies outside the limits"
	}
	return "doubtful; it decides neither way"
}

// pair sizes a pair and lists the share of every class.
func (a *PlugAnswer) pair(w *work, className string, kind gauge.Kind, feature quantity.Toleranced) error {
	plain := func(p gauge.Pair) PlugPair {
		return PlugPair{
			Class: p.Class, GoMin: w.show(p.Go.Lower), GoMax: w.show(p.Go.Upper), NotGoMin: w.show(p.NotGo.Lower), NotGoMax: w.show(p.NotGo.Upper),
			Share: Rough{Quantity: p.Share.Percent, digits: 2}, Verdict: p.Share.Verdict,
		}
	}
	for _, c := range gauge.Classes() {
		p, err := gauge.PairFor(kind, feature, c)
		if err != nil {
			return err
		}
		a.Classes = append(a.Classes, plain(p))
	}
	chosen, err := gauge.Coarsest(kind, feature)
	why := "the coarsest class within 10 %"
	if className != "" {
		class, perr := gauge.ParseClass(className)
		if perr != nil {
			return perr
		}
		chosen, err = gauge.PairFor(kind, feature, class)
		why = string(chosen.Share.Verdict)
	}
	if err != nil {
		a.say("%v", err)
		a.Pair = nil
	} else {
		p := plain(chosen)
		a.Pair = &p
		a.say("pair of class %s: GO %s to %s, NOT GO %s to %s, %s of the tolerance (%s)", p.Class, p.GoMin, p.GoMax, p.NotGoMin, p.NotGoMax, p.Share, why)
	}
	for _, p := range a.Classes {
		a.say("  %-4s %6s of the tolerance: %s", p.Class, p.Share, p.Verdict)
	}
	width, _ := feature.Width()
	if a.Pair != nil {
		a.step("share = (GO tolerance + NOT GO tolerance)/tolerance = (%s + %s)/%s = %s", w.show(w.sub(chosen.Go.Upper, chosen.Go.Lower)), w.show(w.sub(chosen.NotGo.Upper, chosen.NotGo.Lower)), w.show(width), a.Pair.Share)
	}
	a.cite("ten percent rule: 10 %% of the tolerance for the pair, 5 %% for each gauge (common practice)")
	return nil
}
