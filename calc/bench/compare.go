package bench

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/stats"
)

// Compare asks whether readings changed.
type Compare struct {
	Before     string `placeholder:"READINGS" help:"Readings before, the unit at the end: '13.0 12.0 13.5 tenths'; or a count of bad parts, '3 of 20'."`
	After      string `placeholder:"READINGS" help:"Readings after, likewise."`
	Resolution string `placeholder:"VALUE" help:"What one count of the gauge is."`
	OtherGauge bool   `help:"After was read with another gauge than before."`
	UBefore    string `name:"u-before" placeholder:"VALUE" help:"Expanded uncertainty (k = 2) of the gauge before; it counts with --other-gauge."`
	UAfter     string `name:"u-after" placeholder:"VALUE" help:"Expanded uncertainty (k = 2) of the gauge after."`
}

// About implements Question.
func (Compare) About() string {
	return "Did it change: shown, not shown, or beyond what this gauge can tell. Means with the interval of their difference, the spreads, and what the resolution of the gauge lets anyone claim. Counts of bad parts are compared by Fisher's exact test."
}

// Examples implements Question.
func (Compare) Examples() []string {
	return []string{"--before '13.0 12.0 13.5 16.5 17.5 9.0 tenths' --after '14.5 12.0 7.0 9.0 3.0 5.0 tenths' --resolution 0.5tenths", "--before '3 of 20' --after '0 of 20'"}
}

// CompareSide is what the readings of one side come to.
type CompareSide struct {
	N    int               `json:"n"`
	Mean quantity.Quantity `json:"mean"`
	SD   Rough             `json:"sd"`
	Min  quantity.Quantity `json:"min"`
	Max  quantity.Quantity `json:"max"`
}

// CompareAnswer is the answer to Compare; what does not apply is null or empty.
type CompareAnswer struct {
	Verdict       stats.Verdict     `json:"verdict"` // of the mean, or of the counts
	Reason        string            `json:"reason"`
	Difference    quantity.Quantity `json:"difference"` // mean after - mean before
	Low           quantity.Quantity `json:"difference_low"`
	High          quantity.Quantity `json:"difference_high"`
	Before        *CompareSide      `json:"before"`
	After         *CompareSide      `json:"after"`
	Floor         Rough             `json:"resolution_floor"`
	SpreadVerdict stats.Verdict     `json:"spread_verdict"`
	SDRatio       Rough             `json:"sd_ratio"` // after over before
	BadBefore     Rough             `json:"bad_before"`
	BadAfter      Rough             `json:"bad_after"`
	P             Rough             `json:"p"` // of the counts, two-sided
	Sheet
}

// Ask implements Question (package stats).
func (q Compare) Ask(o Options) (Answer, error) {
	const eg = "'13.0 12.0 13.5 tenths' or '3 of 20'"
	w := &work{}
	for _, side := range [][2]string{{"before", q.Before}, {"after", q.After}} {
		if strings.TrimSpace(side[1]) == "" {
			w.fail("%s: no readings; type them with the unit at the end, such as %s", side[0], eg)
		}
	}
	if w.err != nil {
		return nil, w.err
	}
	countBefore, countAfter := isCount(q.Before), isCount(q.After)
	switch {
	case countBefore != countAfter:
		w.fail("before and after are not of one kind; type readings for both, or a count such as 3 of 20 for both")
	case countBefore && (q.Resolution+q.UBefore+q.UAfter != "" || q.OtherGauge):
		w.fail("resolution: counts have no gauge to speak of; leave --resolution, --other-gauge and the uncertainties out")
	}
	if w.err != nil {
		return nil, w.err
	}
	a := &CompareAnswer{Sheet: newSheet()}
	var err error
	if countBefore {
		w.noUnits(o, "a count")
		err = a.counts(w, q)
	} else {
		err = a.readings(q, o)
	}
	if err != nil {
		return nil, err
	}
	return a, nil
}

func isCount(text string) bool {
	f := strings.Fields(text)
	return len(f) == 3 && strings.EqualFold(f[1], "of")
}

// readingsOf reads numbers with their unit at the end, in the unit u if it is
// not zero. decimals is the finest of them.
func (w *work) readingsOf(name, text string, u quantity.Unit) (values []float64, unit quantity.Unit, decimals int) {
	const eg = "'13.0 12.0 13.5 tenths'"
	f := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\t' || r == '\n' || r == ';' })
	if w.err != nil || len(f) == 0 {
		return
	}
	last := f[len(f)-1]
	unit, ok := quantity.LookupUnit(last)
	if ok {
		f = f[:len(f)-1]
	} else if one, err := quantity.Parse(last, quantity.Unit{}); err == nil { // 9.0tenths
		unit, ok = one.Unit(), true
	}
	if !ok || len(f) == 0 {
		w.fail("%s: the unit is missing at the end of %q; type the readings such as %s", name, text, eg)
		return
	}
	if unit.Point() {
		w.fail("%s: temperatures are not compared here; type readings such as %s", name, eg)
		return
	}
	for _, word := range f {
		r, err := quantity.Parse(word, unit)
		if err != nil {
			w.fail("%s: %w", name, err)
			return
		}
		if !u.IsZero() {
			if r.Dim() != u.Dim() {
				w.fail("%s: %s is %s and the readings before are not; type readings of one kind", name, r, article(r.Kind()))
				return
			}
			decimals = max(decimals, scaled(r, u))
			values = append(values, r.FloatIn(u))
			continue
		}
		decimals = max(decimals, r.Decimals())
		values = append(values, r.FloatIn(unit))
	}
	return values, unit, decimals
}

// scaled is how many decimals a reading is worth in another unit.
func scaled(r quantity.Quantity, u quantity.Unit) int {
	if r.Unit().Same(u) {
		return r.Decimals()
	}
	n, ok := places[u.Name()]
	if !ok {
		return 4
	}
	return n - 1
}

// readings compares two groups of readings.
func (a *CompareAnswer) readings(q Compare, o Options) error {
	w := &work{}
	_, unit, _ := w.readingsOf("before", q.Before, quantity.Unit{})
	if w.err != nil {
		return w.err
	}
	w = start(o, unit.Dim())
	if !w.unit.IsZero() {
		unit = w.unit
	}
	before, _, d1 := w.readingsOf("before", q.Before, unit)
	after, _, d2 := w.readingsOf("after", q.After, unit)
	resolution := w.above("resolution", q.Resolution, unit.Dim(), "0.5tenths")
	uBefore, uAfter := w.above("u-before", q.UBefore, unit.Dim(), "1tenths"), w.above("u-after", q.UAfter, unit.Dim(), "1tenths")
	if w.err != nil {
		return w.err
	}
	in := func(q quantity.Quantity) float64 {
		if q.IsZeroValue() {
			return 0
		}
		return q.FloatIn(unit)
	}
	b := stats.Sample{Values: before, Resolution: in(resolution), U: in(uBefore), Gauge: "one"}
	c := stats.Sample{Values: after, Resolution: in(resolution), U: in(uAfter), Gauge: "one"}
	if q.OtherGauge {
		c.Gauge = "other"
	} else if q.UBefore+q.UAfter != "" {
		a.mind("one and the same gauge: its uncertainty is common to both sides and cancels; it counts with --other-gauge only")
	}
	r, err := stats.Compare(b, c, confidence)
	if err != nil {
		return err
	}
	s, err := stats.CompareSpread(b, c, confidence)
	if err != nil {
		return err
	}
	// Means deserve one digit more than the readings.
	shown := func(v float64) quantity.Quantity {
		return shownWith(quantity.FromFloat(v, unit), max(d1, d2, 0)+1)
	}
	a.Verdict, a.Reason, a.Difference = r.Verdict, string(r.Reason), shown(r.Difference)
	a.Before, a.After = sideOf(r.Before, unit, shown), sideOf(r.After, unit, shown)
	if r.HasInterval {
		a.Low, a.High = shown(r.Low), shown(r.High)
	}
	a.SpreadVerdict = s.Verdict
	if s.SDRatio > 0 {
		a.SDRatio = Rough{Quantity: quantity.FromFloat(s.SDRatio, quantity.One), digits: 2}
	}
	a.verdict(r, s, unit)
	return w.err
}

func sideOf(s stats.Summary, unit quantity.Unit, shown func(float64) quantity.Quantity) *CompareSide {
	return &CompareSide{N: s.N, Mean: shown(s.Mean), SD: Rough{Quantity: quantity.FromFloat(s.SD, unit), digits: 2}, Min: shown(s.Min), Max: shown(s.Max)}
}

// verdict writes the answer for readings.
func (a *CompareAnswer) verdict(r stats.Comparison, s stats.SpreadComparison, unit quantity.Unit) {
	interval := ""
	if r.HasInterval {
		interval = fmt.Sprintf(" (95 %%: %s to %s)", a.Low, a.High)
	}
	a.say("%s: mean after - mean before = %s%s; %s", r.Verdict, signed(a.Difference), interval, r.Reason)
	a.say("before: mean %s, spread %s, %s", a.Before.Mean, a.Before.SD, counted(a.Before.N, "reading", "readings"))
	a.say("after: mean %s, spread %s, %s", a.After.Mean, a.After.SD, counted(a.After.N, "reading", "readings"))
	if r.Floor.Used {
		a.Floor = Rough{Quantity: quantity.FromFloat(r.Floor.Limit, unit), digits: 2}
		a.say("the resolution of the gauge shows nothing under %s (%s)", a.Floor, r.Floor.Cause)
		a.step("resolution floor = 2·sqrt(sd²/n + sd²/n + count²/12 + count²/12) = %s", a.Floor)
	}
	ratio := ""
	if s.HasF {
		ratio = fmt.Sprintf(", after over before %s", a.SDRatio)
	}
	a.say("change of the spread: %s%s; %s", s.Verdict, ratio, s.Reason)
	a.step("difference = mean after - mean before = %s - %s = %s", a.After.Mean, a.Before.Mean, a.Difference)
	if r.HasSampling {
		a.step("interval = difference ± t·sqrt(sd²/n before + sd²/n after), t(97.5 %%) with %s degrees of freedom", strconv.FormatFloat(r.Sampling.DF, 'f', 1, 64))
		a.cite("Welch's comparison of two means (Biometrika 34 (1947) 28; NIST/SEMATECH e-Handbook 1.3.5.3)")
	}
	if s.HasF {
		a.cite("F test of two spreads (NIST/SEMATECH e-Handbook 1.3.5.9)")
	}
	if r.Floor.Used {
		a.cite("a count as a rectangular uncertainty: JCGM 100, F.2.2.1 (from memory)")
	}
	a.mind("readings show that something changed, not why; one thing changed between the two, the same points, people and part state")
	a.mind("not shown is not the same as no change")
}

// counts compares bad parts by Fisher's exact test.
func (a *CompareAnswer) counts(w *work, q Compare) error {
	badB, nB := w.count("before", q.Before)
	badA, nA := w.count("after", q.After)
	if w.err != nil {
		return w.err
	}
	r, err := stats.FisherExact(badB, nB, badA, nA)
	if err != nil {
		return err
	}
	const level = 1 - confidence
	a.Verdict, a.Reason = stats.NotShown, "chance alone deals parts out so in more than 1 case of 20"
	if r.TwoSided <= level {
		a.Verdict, a.Reason = stats.Shown, "chance alone deals parts out so in less than 1 case of 20"
	}
	a.P = percent(max(r.TwoSided, math.SmallestNonzeroFloat64)) // never none at all
	a.BadBefore, a.BadAfter = percent(float64(badB)/float64(nB)), percent(float64(badA)/float64(nA))
	a.say("%s: %d of %d before, %d of %d after; by chance alone so or more unlike in %s of cases", a.Verdict, badB, nB, badA, nA, a.P)
	a.step("Fisher's exact test, two-sided: every split of %d bad among %d parts that is no likelier than this one = %s", badB+badA, nB+nA, a.P)
	a.cite("Fisher's exact test (1935), hypergeometric distribution")
	a.mind("counts need many parts to show anything: readings say more")
	return nil
}

// count reads "3 of 20".
func (w *work) count(name, text string) (bad, n int) {
	f := strings.Fields(text)
	bad, err1 := strconv.Atoi(f[0])
	n, err2 := strconv.Atoi(f[2])
	switch {
	case w.err != nil:
	case err1 != nil || err2 != nil || bad < 0 || n < 1 || bad > n:
		w.fail("%s: %q is no count; type bad parts of all parts, such as 3 of 20", name, text)
	}
	return bad, n
}
