package bench

import (
	"math"
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/stats"
)

// Parts asks how many parts it takes to show something.
type Parts struct {
	SD        string `name:"sd" placeholder:"VALUE" help:"Standard deviation from part to part: 0.0002in."`
	Shift     string `placeholder:"VALUE" help:"The change of the mean that should show: 0.0004in."`
	N         int    `name:"n" placeholder:"N" help:"The number of parts before, and as many after. With a shift too: how often it is shown."`
	BadBefore string `placeholder:"SHARE" help:"Share of bad parts before: 30%."`
	BadAfter  string `placeholder:"SHARE" help:"... and the share after that should show: 5%."`
	NoneBad   int    `placeholder:"N" help:"A number of parts of which none was bad."`
	AtMost    string `placeholder:"SHARE" help:"... or the share of bad parts that should be ruled out: 10%."`
	Power     string `placeholder:"SHARE" help:"How often a change that is there should be shown; 80% if not given."`
}

// About implements Question.
func (Parts) About() string {
	return "How many parts: the smallest change of a mean that so many parts before and after will show, how many it takes for a change, or how often so many show it; how many it takes to show a change of a share of bad parts; what none bad in so many parts rules out, or how many that takes. Confidence 95 %, power 80 % unless another is given."
}

// Examples implements Question.
func (Parts) Examples() []string {
	return []string{"--n 5 --sd 0.0002in", "--sd 0.0002in --shift 0.0004in", "--sd 0.0002in --shift 0.0004in --n 5", "--bad-before 30% --bad-after 5%", "--none-bad 30", "--at-most 10%"}
}

// PartsAnswer is the answer to Parts; what was not asked is null or 0.
type PartsAnswer struct {
	N             int   `json:"n"` // before, and as many after; or the parts of which none may be bad
	Power         Rough `json:"power"`
	SmallestShift Rough `json:"smallest_shift"`
	ShiftInSD     Rough `json:"smallest_shift_in_sd"`
	BadAtMost     Rough `json:"bad_at_most"`
	Sheet
}

const (
	maxParts   = 100_000
	maxCounted = 1_000 // of counts, where the exact test is gone through count by count
	confidence = 0.95
)

// Ask implements Question (package stats).
func (q Parts) Ask(o Options) (Answer, error) {
	none := q.NoneBad != 0 || strings.TrimSpace(q.AtMost) != ""
	shares := strings.TrimSpace(q.BadBefore+q.BadAfter) != ""
	shift := !shares && q.N != 0 || strings.TrimSpace(q.SD+q.Shift) != ""
	w := &work{}
	kinds := 0
	for _, asked := range []bool{none, shares, shift} {
		if asked {
			kinds++
		}
	}
	switch {
	case kinds != 1:
		w.fail("sd: type either --sd with --n or --shift, for a change of the mean, or --bad-before with --bad-after, for a change of a share, or --none-bad or --at-most, for bad parts")
	case none && strings.TrimSpace(q.Power) != "":
		w.fail("power: none bad in so many parts has no power; leave --power out")
	case none || shares:
		w.noUnits(o, "a share")
	}
	power := w.share("power", q.Power, 1, "80%")
	if power == 0 {
		power = stats.UsualPower
	}
	if w.err != nil {
		return nil, w.err
	}
	a := &PartsAnswer{Sheet: newSheet()}
	var err error
	switch {
	case none:
		err = a.none(w, q)
	case shares:
		err = a.shares(w, q, power)
	default:
		err = a.shift(q, o, power)
	}
	if err != nil {
		return nil, err
	}
	return done(a, w)
}

// share reads a share above 0 and below most; 0 if it is not given.
func (w *work) share(name, text string, most float64, eg string) float64 {
	q := w.above(name, text, quantity.Number, eg)
	if w.err != nil || q.IsZeroValue() {
		return 0
	}
	if q.Float() >= most {
		w.fail("%s: %s is not below %.0f %%; type a share such as %s", name, q, 100*most, eg)
	}
	return q.Float()
}

// shift answers for a change of a mean.
func (a *PartsAnswer) shift(q Parts, o Options, power float64) error {
	sdAny, err := quantity.Parse(q.SD, quantity.Unit{})
	w := &work{}
	switch {
	case strings.TrimSpace(q.SD) == "":
		w.fail("sd: no value; type the standard deviation from part to part, such as 0.0002in")
	case err != nil:
		w.fail("sd: %w", err)
	case sdAny.Unit().Point():
		w.fail("sd: %s is a temperature; type a difference, such as 2dF", sdAny)
	}
	if w.err != nil {
		return w.err
	}
	dim := sdAny.Dim()
	w = start(o, dim)
	sd := w.needed("sd", q.SD, dim, "0.0002in")
	wanted := w.above("shift", q.Shift, dim, "0.0004in")
	switch {
	case w.err != nil:
	case q.N == 0 && wanted.IsZeroValue():
		w.fail("n: no value; type the number of parts before and after, such as --n 5, or the change that should show, such as --shift 0.0004in")
	case q.N < 0 || q.N == 1 || q.N > maxParts:
		w.fail("n: %d; type a number of parts from 2 to %d", q.N, maxParts)
	case q.N != 0 && !wanted.IsZeroValue() && strings.TrimSpace(q.Power) != "":
		w.fail("power: n and shift are both given and decide it; leave one of the three out")
	}
	if w.err != nil {
		return w.err
	}
	ratio := 0.0
	if !wanted.IsZeroValue() {
		ratio = w.div(wanted, sd).Float()
	}
	if a.N = q.N; a.N == 0 {
		if a.N, err = stats.PartsNeeded(ratio, 1, power, confidence, maxParts); err != nil {
			return err
		}
		if a.N == 0 {
			w.fail("shift: not even %d parts before and after would show so small a change; find a steadier gauge or process, or ask for a larger change", maxParts)
			return w.err
		}
	}
	times, err := stats.SmallestShift(a.N, 1, power)
	if err != nil {
		return err
	}
	a.SmallestShift = w.rough(quantity.FromFloat(float64(times*sd.FloatIn(sd.Unit())), sd.Unit()), 2)
	a.ShiftInSD = Rough{Quantity: quantity.FromFloat(times, quantity.One), digits: 2}
	a.Power = percent(power)
	if !wanted.IsZeroValue() {
		p, err := stats.Power(ratio, 1, a.N, a.N, confidence)
		if err != nil {
			return err
		}
		a.Power = percent(p)
	}
	often := oftenWords(power)
	switch {
	case wanted.IsZeroValue():
		a.say("%d parts before and %d after show a change of %s or more, in %s", a.N, a.N, a.SmallestShift, often)
	case q.N != 0:
		a.say("%d parts before and %d after show a change of %s in %s of cases (a change of %s in %s)", a.N, a.N, w.show(wanted), a.Power, a.SmallestShift, often)
	default:
		a.say("%d parts before and %d after show a change of %s, in %s (they show %s or more)", a.N, a.N, w.show(wanted), often, a.SmallestShift)
	}
	a.step("power: the share of the noncentral t distribution beyond t(97.5 %%), %d degrees of freedom, noncentrality shift/(sd·sqrt(2/n))", 2*a.N-2)
	a.step("it is %s at a shift of %s·sd = %s·%s = %s", percent(power), a.ShiftInSD, a.ShiftInSD, w.show(sd), a.SmallestShift)
	a.cite("power of the two-sided comparison of means at 5 %%, exact (Cohen, Statistical Power Analysis, 1988, from memory)")
	if a.N > 2 {
		a.cite("shop short form (t(97.5 %%) + t(80 %%))·sd·sqrt(2/n), common practice: up to 1.2 %% lower")
	}
	a.mind("the spread must be that of this characteristic, from parts like these; a gauge whose count is coarser than the change shows nothing however many parts")
	return w.err
}

// oftenWords says a power in words.
func oftenWords(power float64) string {
	if power == stats.UsualPower {
		return "four cases of five"
	}
	return percent(power).String() + " of cases"
}

// shares answers for a change of a share of bad parts.
func (a *PartsAnswer) shares(w *work, q Parts, power float64) error {
	const eg = "30%"
	read := func(name, text string) float64 {
		if strings.TrimSpace(text) == "" {
			w.fail("%s: no value; type a share of bad parts, such as %s", name, eg)
		}
		v := w.zeroOr(name, text, quantity.Number, eg)
		if w.err == nil && v.Float() > 1 {
			w.fail("%s: %s is more than all parts; type a share such as %s", name, v, eg)
		}
		if w.err != nil {
			return 0
		}
		return v.Float()
	}
	before, after := read("bad-before", q.BadBefore), read("bad-after", q.BadAfter)
	switch {
	case w.err != nil:
	case before == after:
		w.fail("bad-after: it is as before; type the share that should show")
	case q.N < 0 || q.N == 1 || q.N > maxCounted:
		w.fail("n: %d; type a number of parts from 2 to %d", q.N, maxCounted)
	case q.N != 0 && strings.TrimSpace(q.Power) != "":
		w.fail("power: n is given and decides it; leave one of the two out")
	}
	if w.err != nil {
		return w.err
	}
	var err error
	if a.N = q.N; a.N == 0 {
		if a.N, err = stats.CountPartsNeeded(before, after, power, confidence, maxCounted); err != nil {
			return err
		}
		if a.N == 0 {
			w.fail("bad-after: not even %d parts before and after would show so small a change; measure something with a number instead of counting", maxCounted)
			return w.err
		}
	}
	p, err := stats.CountPower(before, after, a.N, a.N, confidence)
	if err != nil {
		return err
	}
	a.Power = percent(p)
	a.say("%d parts before and %d after show a change from %s bad to %s in %s of cases", a.N, a.N, percent(before), percent(after), a.Power)
	a.step("power: the sum of the chances of all counts that Fisher's exact test calls shown, two-sided at 5 %% = %s", a.Power)
	a.cite("binomial distribution and Fisher's exact test (1935)")
	if q.N == 0 {
		a.mind("the power of an exact test rises in steps; from this number on it stays above for ten numbers in a row")
	}
	a.mind("counting shows little: a reading with a number, where there is one, takes far fewer parts")
	return nil
}

// none answers for bad parts.
func (a *PartsAnswer) none(w *work, q Parts) error {
	share := w.above("at-most", q.AtMost, quantity.Number, "10%")
	switch {
	case w.err != nil:
	case q.NoneBad != 0 && !share.IsZeroValue():
		w.fail("none-bad and at-most are both given and each decides the other; leave one out")
	case !share.IsZeroValue() && share.Float() >= 1:
		w.fail("at-most: %s rules out nothing; type a share below 100 %%, such as 10%%", share)
	case share.IsZeroValue() && (q.NoneBad < 1 || q.NoneBad > maxParts):
		w.fail("none-bad: %d; type a number of parts from 1 to %d", q.NoneBad, maxParts)
	}
	if w.err != nil {
		return w.err
	}
	a.N = q.NoneBad
	if !share.IsZeroValue() {
		n := math.Ceil(math.Log1p(-confidence) / math.Log1p(-share.Float()))
		if n > maxParts {
			w.fail("at-most: %s takes more than %d parts; ask for a larger share", share, maxParts)
			return w.err
		}
		a.N = int(n)
	}
	p, err := stats.NoneBad(a.N, confidence)
	if err != nil {
		return err
	}
	a.BadAtMost = percent(p)
	if share.IsZeroValue() {
		a.say("none bad in %s: at most %s of all parts are bad, with 95 %% confidence", counted(a.N, "part", "parts"), a.BadAtMost)
	} else {
		a.say("%s and none bad: then at most %s of all parts are bad, with 95 %% confidence", counted(a.N, "part", "parts"), a.BadAtMost)
	}
	a.step("at most = 1 - 0.05^(1/n) = 1 - 0.05^(1/%d) = %s", a.N, a.BadAtMost)
	a.cite("exact binomial limit for none bad of n")
	a.mind("parts picked as they come, from the process as it runs now; one bad part changes the answer")
	return nil
}
