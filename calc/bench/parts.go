package bench

import (
	"math"
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/stats"
)

// Parts asks how many parts it takes to show something.
type Parts struct {
	SD      string `name:"sd" placeholder:"VALUE" help:"Standard deviation from part to part: 0.0002in."`
	Shift   string `placeholder:"VALUE" help:"The change of the mean that should show: 0.0004in."`
	N       int    `name:"n" placeholder:"N" help:"... or the number of parts before, and as many after."`
	NoneBad int    `placeholder:"N" help:"A number of parts of which none was bad."`
	AtMost  string `placeholder:"SHARE" help:"... or the share of bad parts that should be ruled out: 10%."`
}

// About implements Question.
func (Parts) About() string {
	return "How many parts: the smallest change of a mean that so many parts before and after will show, or how many it takes for a change; what none bad in so many parts rules out, or how many it takes. Power 80 %, confidence 95 %."
}

// Examples implements Question.
func (Parts) Examples() []string {
	return []string{"--n 5 --sd 0.0002in", "--sd 0.0002in --shift 0.0004in", "--none-bad 30", "--at-most 10%"}
}

// PartsAnswer is the answer to Parts; what was not asked is null or 0.
type PartsAnswer struct {
	N             int   `json:"n"` // before, and as many after; or the parts of which none may be bad
	SmallestShift Rough `json:"smallest_shift"`
	ShiftInSD     Rough `json:"smallest_shift_in_sd"`
	BadAtMost     Rough `json:"bad_at_most"`
	Sheet
}

const (
	maxParts   = 100_000
	confidence = 0.95
)

// Ask implements Question (package stats).
func (q Parts) Ask(o Options) (Answer, error) {
	none := q.NoneBad != 0 || strings.TrimSpace(q.AtMost) != ""
	shift := q.N != 0 || strings.TrimSpace(q.SD+q.Shift) != ""
	w := &work{}
	switch {
	case none == shift:
		w.fail("sd: type either --sd with --n or --shift, for a change of the mean, or --none-bad or --at-most, for bad parts")
	case none:
		w.noUnits(o, "a share")
	}
	if w.err != nil {
		return nil, w.err
	}
	a := &PartsAnswer{Sheet: newSheet()}
	var err error
	if none {
		err = a.none(w, q)
	} else {
		err = a.shift(q, o)
	}
	if err != nil {
		return nil, err
	}
	return done(a, w)
}

// shift answers for a change of a mean.
func (a *PartsAnswer) shift(q Parts, o Options) error {
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
	case q.N != 0 && !wanted.IsZeroValue():
		w.fail("n and shift are both given and each decides the other; leave one out")
	case q.N == 0 && wanted.IsZeroValue():
		w.fail("n: no value; type the number of parts before and after, such as --n 5, or the change that should show, such as --shift 0.0004in")
	case q.N < 0 || q.N == 1 || q.N > maxParts:
		w.fail("n: %d; type a number of parts from 2 to %d", q.N, maxParts)
	}
	if w.err != nil {
		return w.err
	}
	a.N = q.N
	if !wanted.IsZeroValue() {
		ratio := w.div(wanted, sd).Float()
		if a.N, err = partsFor(ratio); err != nil {
			return err
		}
	}
	times, err := stats.SmallestShift(a.N, 1)
	if err != nil {
		return err
	}
	v, err := stats.SmallestShift(a.N, sd.FloatIn(sd.Unit()))
	if err != nil {
		return err
	}
	a.SmallestShift = w.rough(quantity.FromFloat(v, sd.Unit()), 2)
	a.ShiftInSD = Rough{Quantity: quantity.FromFloat(times, quantity.One), digits: 2}
	if wanted.IsZeroValue() {
		a.say("%d parts before and %d after show a change of %s or more, in four cases of five", a.N, a.N, a.SmallestShift)
	} else {
		a.say("%d parts before and %d after show a change of %s, in four cases of five (they show %s or more)", a.N, a.N, w.show(wanted), a.SmallestShift)
	}
	a.step("smallest shift = (t(97.5 %%) + t(80 %%))·sd·sqrt(2/n) with 2n - 2 = %d degrees of freedom = %s·%s = %s", 2*a.N-2, a.ShiftInSD, w.show(sd), a.SmallestShift)
	a.cite("textbook approximation to the noncentral t, power 80 %%, two-sided at 5 %% (common practice)")
	if a.N < 5 {
		a.mind("with so few parts the exact figure is a little larger: 5 %% at 2, 1.2 %% at 3, 0.4 %% at 4 parts")
	}
	a.mind("the spread must be that of this characteristic, from parts like these; a gauge whose count is coarser than the change shows nothing however many parts")
	return w.err
}

// partsFor is the smallest number of parts that shows a shift of so many
// standard deviations. The shift falls with the number, so it is bisected.
func partsFor(ratio float64) (int, error) {
	w := &work{}
	shows := func(n int) bool {
		s, err := stats.SmallestShift(n, 1)
		if err != nil {
			w.fail("%w", err)
		}
		return s <= ratio
	}
	low, high := 1, maxParts // low does not show it
	if !shows(high) {
		w.fail("shift: not even %d parts before and after would show so small a change; find a steadier gauge or process, or ask for a larger change", maxParts)
	}
	for high-low > 1 {
		if mid := (low + high) / 2; shows(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high, w.err
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
