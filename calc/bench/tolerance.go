package bench

import (
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/stats"
)

// Tolerance asks between which sizes nearly all parts lie.
type Tolerance struct {
	Readings []string `arg:"" optional:"" sep:"none" help:"The readings, the unit at the end: '12 10 8 10 11 9 tenths'."`
	N        int      `name:"n" placeholder:"N" help:"... or only their number, for the factor."`
	Share    string   `placeholder:"SHARE" help:"Share of all parts that should be held; 95% if not given."`
}

// About implements Question.
func (Tolerance) About() string {
	return "Between which sizes nearly all parts lie, with 95 % confidence: the interval mean ± k·sd of normal readings, exact, two-sided and one-sided; what the smallest and the largest reading prove whatever the shape; and how many readings that takes."
}

// Examples implements Question.
func (Tolerance) Examples() []string {
	return []string{"'12 10 8 10 10 9 13 12 10 10 11 10 12 10 11 11 10 10 11 10 tenths'", "--n 10 --share 99%"}
}

// ToleranceAnswer is the answer to Tolerance; without readings there are factors
// only.
type ToleranceAnswer struct {
	N          int               `json:"n"`
	Share      Rough             `json:"share"`
	K          Rough             `json:"k_two_sided"`
	KOneSided  Rough             `json:"k_one_sided"`
	Low        quantity.Quantity `json:"low"`
	High       quantity.Quantity `json:"high"`
	AllAbove   quantity.Quantity `json:"share_above"` // one-sided
	AllBelow   quantity.Quantity `json:"share_below"` // one-sided
	Between    Rough             `json:"confidence_between_extremes"`
	NeedsTwo   int               `json:"parts_for_extremes"` // 0: more than can be counted
	NeedsOne   int               `json:"parts_for_one_extreme"`
	SmallestIs quantity.Quantity `json:"min"`
	LargestIs  quantity.Quantity `json:"max"`
	Sheet
}

// Ask implements Question (package stats).
func (q Tolerance) Ask(o Options) (Answer, error) {
	text := words(q.Readings)
	w := &work{}
	var g groups
	switch {
	case text == "" && q.N == 0:
		w.fail("readings: none; type them with the unit at the end, such as '13.0 12.0 13.5 tenths', or their number alone, --n 10")
	case text != "" && q.N != 0:
		w.fail("n: the readings say how many they are; leave --n out")
	case text == "" && (q.N < 2 || q.N > maxParts):
		w.fail("n: %d; type a number of readings from 2 to %d", q.N, maxParts)
	case text == "":
		w.noUnits(o, "a factor")
	default:
		w, g = oneGroup(o, text, "")
	}
	share := w.share("share", q.Share, 1, "95%")
	if w.err != nil {
		return nil, w.err
	}
	if share == 0 {
		share = 0.95
	}
	a := &ToleranceAnswer{Sheet: newSheet(), N: q.N, Share: percent(share)}
	a.Share.text = strings.Replace(a.Share.String(), ".0 %", " %", 1)
	var s stats.Summary
	if text != "" {
		var err error
		if s, err = stats.Summarize(g.before.Values); err != nil {
			return nil, err
		}
		if a.N = s.N; a.N < 2 {
			w.fail("readings: one only; type two or more, and better ten")
			return nil, w.err
		}
	}
	k, err := stats.ToleranceFactor(a.N, share, confidence)
	if err != nil {
		return nil, err
	}
	one, err := stats.ToleranceFactorOneSided(a.N, share, confidence)
	if err != nil {
		return nil, err
	}
	factor := func(v float64) Rough { return Rough{Quantity: quantity.FromFloat(v, quantity.One), digits: 4} }
	a.K, a.KOneSided = factor(k), factor(one)
	if text == "" {
		a.say("%d readings: mean ± %s·sd holds %s of all parts, with 95 %% confidence", a.N, a.K, a.Share)
		a.say("on one side alone: mean + %s·sd, or mean - %s·sd", a.KOneSided, a.KOneSided)
	} else {
		a.Low, a.High = g.shown(s.Mean-k*s.SD), g.shown(s.Mean+k*s.SD)
		a.AllAbove, a.AllBelow = g.shown(s.Mean-one*s.SD), g.shown(s.Mean+one*s.SD)
		a.say("%s of all parts lie between %s and %s, with 95 %% confidence", a.Share, a.Low, a.High)
		a.say("on one side alone: above %s, or below %s", a.AllAbove, a.AllBelow)
	}
	if err := a.extremes(share, s, g); err != nil {
		return nil, err
	}
	a.step("k, two-sided and exact: the share between mean - k·sd and mean + k·sd is at least %s in 95 %% of samples of %d = %s", a.Share, a.N, a.K)
	a.step("k, one-sided: noncentral t with %d degrees of freedom and noncentrality z·sqrt(n), over sqrt(n) = %s", a.N-1, a.KOneSided)
	a.step("between the extremes: 1 - n·p^(n-1) + (n - 1)·p^n")
	a.cite("NIST/SEMATECH e-Handbook 7.2.6.3 and 7.2.6.4; ISO 16269-6 and Wilks 1941 (from memory)")
	a.mind("mean ± k·sd supposes normal readings of a process that stays as it is; the extremes suppose nothing of the shape")
	a.mind("this is wider than an interval of the mean or of the next part: it speaks of nearly all parts")
	if s.N > 0 && s.SD == 0 {
		a.mind("all readings are equal: their spread is the work of the gauge's count, and the interval means nothing")
	}
	return done(a, w)
}

func (a *ToleranceAnswer) extremes(share float64, s stats.Summary, g groups) error {
	e, err := stats.ToleranceOfExtremes(a.N, share)
	if err != nil {
		return err
	}
	a.Between = percent(e.Between)
	// Zero stands for more parts than can be counted.
	a.NeedsTwo, _ = stats.PartsForExtremes(share, confidence, false)
	a.NeedsOne, _ = stats.PartsForExtremes(share, confidence, true)
	between := "whatever the shape, between the smallest and the largest"
	if s.N > 0 {
		a.SmallestIs, a.LargestIs = g.read(s.Min), g.read(s.Max)
		between += " reading (" + strings.TrimSpace(a.SmallestIs.String()) + " and " + a.LargestIs.String() + ")"
	}
	text := between + ": with " + a.Between.String() + " confidence"
	if a.NeedsTwo > a.N {
		text += "; 95 % take " + counted(a.NeedsTwo, "reading", "readings")
	}
	a.say("%s", text)
	return nil
}
