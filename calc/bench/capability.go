package bench

import (
	"math"
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/stats"
)

// Capability asks how a spread fits its limits.
type Capability struct {
	Readings   []string `arg:"" optional:"" sep:"none" help:"The readings in the order they were made, the unit at the end: '0.7505 0.7504 0.7506 in'."`
	Limits     string   `placeholder:"SIZE" help:"The limits: 0.7500..0.7510in, '0.7505 ±0.0005 in', or one alone, '<= 0.0010 in'."`
	Resolution string   `placeholder:"VALUE" help:"What one count of the gauge is."`
	Subgroup   int      `placeholder:"N" help:"Number of parts made together: the spread within such groups then gives Cp and Cpk."`
}

// About implements Question.
func (Capability) About() string {
	return "How the spread of a process fits its limits: Pp and Ppk from the spread of all parts, Cp and Cpk from that within subgroups, each with its interval, and where the next part will lie. From a handful of parts it says so."
}

// Examples implements Question.
func (Capability) Examples() []string {
	return []string{"'0.7505 0.7505 0.7504 0.7504 0.7504 0.7506 0.7504 0.7504 0.7505 0.7507 in' --limits 0.7500..0.7510in --resolution 0.0001in"}
}

// Index is one pair of indices with intervals; what there is not is null.
type Index struct {
	SD        Rough `json:"sd"`
	DF        int   `json:"degrees_of_freedom"`
	C         Rough `json:"c"` // Cp or Pp
	CLow      Rough `json:"c_low"`
	CHigh     Rough `json:"c_high"`
	CK        Rough `json:"ck"` // Cpk or Ppk
	CKLow     Rough `json:"ck_low"`
	CKHigh    Rough `json:"ck_high"`
	CKAtLeast Rough `json:"ck_at_least"` // one-sided, 95 %
}

// CapabilityAnswer is the answer to Capability.
type CapabilityAnswer struct {
	N int `json:"n"`
	// Hidden says that the gauge hides the spread: indices are "or better", without
	// an interval.
	Hidden   bool              `json:"spread_hidden"`
	Few      bool              `json:"few"`
	Mean     quantity.Quantity `json:"mean"`
	Overall  Index             `json:"overall"` // Pp, Ppk
	Within   *Index            `json:"within"`  // Cp, Cpk; null without subgroups
	NextLow  quantity.Quantity `json:"next_part_low"`
	NextHigh quantity.Quantity `json:"next_part_high"`
	Outside  int               `json:"outside"` // readings
	Sheet
}

// Ask implements Question (package stats).
func (q Capability) Ask(o Options) (Answer, error) {
	w, g := oneGroup(o, words(q.Readings), q.Resolution)
	if w.err == nil && strings.TrimSpace(q.Limits) == "" {
		w.fail("limits: none; type both limits or one, such as 0.7500..0.7510in")
	}
	if w.err != nil {
		return nil, w.err
	}
	limits := w.limits("limits", q.Limits, g.unit.Dim(), "0.7500..0.7510in")
	if w.err == nil && !limits.HasLower() && !limits.HasUpper() {
		w.fail("limits: %s is a size without limits; type both or one, such as 0.7500..0.7510in", limits)
	}
	if w.err == nil && (q.Subgroup < 0 || q.Subgroup == 1) {
		w.fail("subgroup: %d; type the number of parts made together, 2 or more", q.Subgroup)
	}
	if w.err != nil {
		return nil, w.err
	}
	values := g.before.Values
	s, err := stats.Summarize(values)
	if err != nil {
		return nil, err
	}
	switch {
	case s.N < 2:
		w.fail("readings: one only; type two or more, and better thirty")
	case s.SD == 0 && g.before.Resolution == 0:
		w.fail("readings: all are equal, and their spread is hidden by the count of the gauge; type what that is, such as --resolution 0.0001in")
	case q.Subgroup > 0 && (s.N%q.Subgroup != 0 || s.N < 2*q.Subgroup):
		w.fail("subgroup: %d readings are no two or more whole groups of %d; type a number that divides them", s.N, q.Subgroup)
	}
	if w.err != nil {
		return nil, w.err
	}
	low, high := math.NaN(), math.NaN()
	if limits.HasLower() {
		low = limits.Lower.FloatIn(g.unit)
	}
	if limits.HasUpper() {
		high = limits.Upper.FloatIn(g.unit)
	}
	a := &CapabilityAnswer{Sheet: newSheet(), N: s.N, Mean: g.shown(s.Mean)}
	var sd float64
	sd, a.Hidden = stats.LeastSpread(s.SD, g.before.Resolution)
	overall, err := stats.CapabilityOf(s.Mean, sd, s.N, s.N-1, low, high, confidence)
	if err != nil {
		return nil, err
	}
	a.Few, a.Overall = overall.Few, indexOf(overall, sd, g.unit, a.Hidden)
	for _, v := range values {
		const tie = 1e-9
		if span := tie * max(math.Abs(v), s.SD); v < low-span || v > high+span {
			a.Outside++
		}
	}
	a.sayIndex("Pp", "Ppk", a.Overall, overall)
	if q.Subgroup > 0 && a.Hidden {
		a.mind("the gauge hides the spread, so that there is none within the groups to be told from it")
	} else if q.Subgroup > 0 {
		if err := a.within(q.Subgroup, s, values, low, high, g.unit); err != nil {
			return nil, err
		}
	}
	next, err := stats.Prediction(s.Mean, sd, s.N, confidence)
	if err != nil {
		return nil, err
	}
	a.NextLow, a.NextHigh = g.shown(next.Low), g.shown(next.High)
	a.say("mean %s, spread %s, %s, %d of them outside; the next part lies between %s and %s", a.Mean, a.Overall.SD, counted(s.N, "reading", "readings"), a.Outside, a.NextLow, a.NextHigh)
	if a.Few {
		a.mind("%d parts are few for an index: look at its interval, and at where the next part lies; from %d parts on an index begins to say something", s.N, stats.FewForCapability)
	}
	a.mind("normal readings of a process that stays as it is; the spread of the gauge is in them, and a drift makes the overall spread the larger one, though not always")
	a.step("Pp = (upper - lower)/(6·sd), Ppk = the smaller of (upper - mean)/(3·sd) and (mean - lower)/(3·sd), sd of all readings with n - 1 = %d", s.N-1)
	if a.Within != nil {
		a.step("Cp, Cpk: the same with the spread within groups of %d, pooled, %d degrees of freedom", q.Subgroup, a.Within.DF)
	}
	a.step("interval of Pp: Pp·sqrt(chi²/df); of Ppk: noncentral t about 3·sqrt(n)·Ppk, exact for one limit, that of the nearer one for two")
	a.cite("NIST/SEMATECH e-Handbook 6.1.6; Rodriguez, J. Quality Technology 24 (1992) 176; under 25 parts rather the next part: common practice")
	return done(a, w)
}

// within adds Cp and Cpk.
func (a *CapabilityAnswer) within(size int, s stats.Summary, values []float64, low, high float64, unit quantity.Unit) error {
	var subgroups [][]float64
	for i := 0; i < len(values); i += size {
		subgroups = append(subgroups, values[i:i+size])
	}
	sd, df, err := stats.WithinSubgroups(subgroups)
	if err != nil {
		return err
	}
	if sd == 0 {
		a.mind("within the groups all readings are equal: there is no Cp")
		return nil
	}
	c, err := stats.CapabilityOf(s.Mean, sd, s.N, df, low, high, confidence)
	if err != nil {
		return err
	}
	in := indexOf(c, sd, unit, false)
	a.Within = &in
	a.sayIndex("Cp", "Cpk", in, c)
	return nil
}

func (a *CapabilityAnswer) sayIndex(p, pk string, in Index, c stats.Capability) {
	few := ""
	if c.Few {
		few = ", from only " + counted(c.N, "part", "parts")
	}
	if a.Hidden {
		text := pk + " about " + in.CK.String() + " or better"
		if c.HasC {
			text += "; " + p + " about " + in.C.String() + " or better"
		}
		a.say("%s%s: the gauge hides the spread, and %s is the least that rounding allows", text, few, in.SD)
		a.step("spread = no less than count/sqrt(12), where readings vary by less than 0.6 of a count = %s", in.SD)
		return
	}
	both := ""
	if c.HasC {
		both = "; " + p + " " + in.C.String() + " (" + in.CLow.String() + " to " + in.CHigh.String() + ")"
	}
	a.say("%s %s (95 %%: %s to %s)%s%s; %s is at least %s with 95 %% confidence", pk, in.CK, in.CKLow, in.CKHigh, both, few, pk, in.CKAtLeast)
}

func indexOf(c stats.Capability, sd float64, unit quantity.Unit, hidden bool) Index {
	index := func(v float64) Rough {
		return Rough{Quantity: quantity.FromFloat(v, quantity.One), text: quantity.FromFloat(v, quantity.One).Format(quantity.One, 2)}
	}
	in := Index{SD: Rough{Quantity: quantity.FromFloat(sd, unit), digits: 2}, DF: c.DF, CK: index(c.CK)}
	if c.HasC {
		in.C = index(c.C)
	}
	if hidden {
		return in
	}
	in.CKLow, in.CKHigh, in.CKAtLeast = index(c.CKIn.Low), index(c.CKIn.High), index(c.CKAtLeast)
	if c.HasC {
		in.CLow, in.CHigh = index(c.CIn.Low), index(c.CIn.High)
	}
	return in
}
