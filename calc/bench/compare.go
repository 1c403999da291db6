package bench

import (
	"fmt"
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
	Paired     bool   `help:"The same pieces before and after, in the same order."`
	Also       bool   `help:"Also say what ranks, permutation, bootstrap and Levene's test give; the verdict stays that of the interval."`
}

// About implements Question.
func (Compare) About() string {
	return "Did it change: shown, not shown, or beyond what this gauge can tell. Means with the interval of their difference, the spreads, and what the resolution of the gauge lets anyone claim. The same pieces before and after can be compared as pairs. Counts of bad parts are compared by Fisher's exact test."
}

// Examples implements Question.
func (Compare) Examples() []string {
	return []string{"--before '13.0 12.0 13.5 16.5 17.5 9.0 tenths' --after '14.5 12.0 7.0 9.0 3.0 5.0 tenths' --resolution 0.5tenths", "--before '3 of 20' --after '0 of 20'", "--paired --also --before '12 31 22 45 18 tenths' --after '9 27 20 41 16 tenths' --resolution 1tenths"}
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
	// The change of the share of bad parts, with its interval.
	BadChange     Rough `json:"bad_change"`
	BadChangeLow  Rough `json:"bad_change_low"`
	BadChangeHigh Rough `json:"bad_change_high"`
	// Asked for with --also.
	RankP         Rough             `json:"rank_p"`
	PermutationP  Rough             `json:"permutation_p"`
	BootstrapLow  quantity.Quantity `json:"bootstrap_low"`
	BootstrapHigh quantity.Quantity `json:"bootstrap_high"`
	LeveneP       Rough             `json:"levene_p"`
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
	case countBefore && (q.Paired || q.Also):
		w.fail("paired: counts are neither paired nor ranked; leave --paired and --also out")
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

// readings compares two groups of readings.
func (a *CompareAnswer) readings(q Compare, o Options) error {
	w, g := readSides(o, sides{q.Before, q.After, q.Resolution, q.OtherGauge, q.UBefore, q.UAfter})
	if w.err != nil {
		return w.err
	}
	if !q.OtherGauge && q.UBefore+q.UAfter != "" {
		a.mind(oneGauge)
	}
	b, c, unit, shown := g.before, g.after, g.unit, g.shown
	compare := stats.Compare
	if q.Paired {
		compare = stats.ComparePaired
	}
	r, err := compare(b, c, confidence)
	if err != nil {
		return err
	}
	s, err := stats.CompareSpread(b, c, confidence)
	if err != nil {
		return err
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
	if q.Also {
		if err := a.also(r, b, c, shown); err != nil {
			return err
		}
	}
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
		scatter := "sd²/n + sd²/n"
		if r.Paired {
			scatter = "sd of the differences²/n"
		}
		a.step("resolution floor = 2·sqrt(%s + count²/12 + count²/12) = %s", scatter, a.Floor)
	}
	ratio := ""
	if s.HasF {
		ratio = fmt.Sprintf(", after over before %s", a.SDRatio)
	}
	a.say("change of the spread: %s%s; %s", s.Verdict, ratio, s.Reason)
	a.step("difference = mean after - mean before = %s - %s = %s", a.After.Mean, a.Before.Mean, a.Difference)
	if r.HasSampling && r.Paired {
		a.step("interval = difference ± t·sd of the differences/sqrt(n), t(97.5 %%) with %.0f degrees of freedom", r.Sampling.DF)
		a.cite("Student's comparison of pairs (Vardeman and Jobe, Basic Engineering Data Collection and Analysis)")
	} else if r.HasSampling {
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

// also says what other tests give, beside the verdict.
func (a *CompareAnswer) also(r stats.Comparison, b, c stats.Sample, shown func(float64) quantity.Quantity) error {
	if r.Paired {
		p, pairs, err := stats.SignedRank(b.Values, c.Values)
		if err != nil {
			return err
		}
		a.RankP = chance(p)
		a.say("by signed ranks of the %s that differ: by chance so or more unlike in %s of cases", counted(pairs, "pair", "pairs"), a.RankP)
		a.cite("Wilcoxon's signed ranks, exact, pairs without a difference left out")
	} else if err := a.alsoUnpaired(b, c, shown); err != nil {
		return err
	}
	a.mind("several tests on one change: the one named before the readings counts, here the interval of the means; among many, one or the other speaks by luck")
	return nil
}

func (a *CompareAnswer) alsoUnpaired(b, c stats.Sample, shown func(float64) quantity.Quantity) error {
	ranks, err := stats.RankSum(b.Values, c.Values)
	if err != nil {
		return err
	}
	a.RankP = chance(ranks.P)
	how := "exact"
	if !ranks.Exact {
		how = "normal approximation"
	}
	a.say("by ranks (%s): by chance so or more unlike in %s of cases", how, a.RankP)
	a.cite("rank sum of Wilcoxon, Mann and Whitney, conditional on ties")
	if p := stats.SmallestRankP(len(b.Values), len(c.Values)); p > 1-confidence {
		a.mind("%d and %d readings: ranks alone can never show anything, %s of cases at the least", len(b.Values), len(c.Values), chance(p))
	}
	if len(b.Values) < 2 || len(c.Values) < 2 {
		return nil
	}
	perm, err := stats.Permutation(b.Values, c.Values, b.Resolution)
	if err != nil {
		return err
	}
	boot, err := stats.Bootstrap(b.Values, c.Values, b.Resolution, confidence)
	if err != nil {
		return err
	}
	a.PermutationP, a.BootstrapLow, a.BootstrapHigh = chance(perm.P), shown(boot.Low), shown(boot.High)
	drawn := map[bool]string{true: "every split counted", false: "20000 drawn, fixed seed"}
	a.say("by permutation of the readings (%s): %s of cases", drawn[perm.Exact], a.PermutationP)
	a.say("by bootstrap: 95 %% %s to %s, too narrow for a handful of readings", a.BootstrapLow, a.BootstrapHigh)
	a.cite("permutation test (Fisher 1935), bootstrap percentiles (Efron and Tibshirani 1993), both from memory")
	if l, err := stats.LeveneMedian(b.Values, c.Values); err == nil {
		a.LeveneP = chance(l.P)
		a.say("change of the spread by Levene's test about the medians: by chance in %s of cases", a.LeveneP)
		a.cite("Levene's test, median centre (NIST/SEMATECH e-Handbook 1.3.5.10)")
	}
	return nil
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
	a.P = chance(r.TwoSided)
	a.BadBefore, a.BadAfter = percent(float64(badB)/float64(nB)), percent(float64(badA)/float64(nA))
	a.say("%s: %d of %d before, %d of %d after; by chance alone so or more unlike in %s of cases", a.Verdict, badB, nB, badA, nA, a.P)
	d, in, err := stats.ShareDifference(badB, nB, badA, nA, confidence)
	if err != nil {
		return err
	}
	a.BadChange, a.BadChangeLow, a.BadChangeHigh = points(d), points(in.Low), points(in.High)
	a.say("change of the share of bad parts: %s of all parts (95 %%: %s to %s)", a.BadChange, a.BadChangeLow, a.BadChangeHigh)
	a.step("Fisher's exact test, two-sided: every split of %d bad among %d parts that is no likelier than this one = %s", badB+badA, nB+nA, a.P)
	a.step("interval of the change: of the Wilson intervals of both shares, sqrt(share after's reach² + share before's reach²)")
	a.cite("Fisher's exact test (1935), hypergeometric distribution")
	a.cite("Newcombe's interval of a difference of shares (Statistics in Medicine 17 (1998) 873, method 10, from memory)")
	a.mind("counts need many parts to show anything: readings say more")
	return nil
}
