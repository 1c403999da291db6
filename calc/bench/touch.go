package bench

import (
	"fmt"
	"strconv"
	"strings"

	"tenths/calc/stats"
)

// Touch asks whether parts feel different.
type Touch struct {
	Before string `placeholder:"GRADES" help:"Grades by touch before: 0 not felt, 1 felt, 2 catches a nail; '1 2 0 1 1 2'."`
	After  string `placeholder:"GRADES" help:"Grades after, likewise."`
}

// About implements Question.
func (Touch) About() string {
	return "Did it change to the touch: grades 0 (not felt), 1 (felt), 2 (catches a nail) before and after, by their order alone, exact with ties. A grade is no size, so no mean is taken."
}

// Examples implements Question.
func (Touch) Examples() []string {
	return []string{"--before '1 2 1 1 2 0 1 1' --after '0 0 1 0 0 0 1 0'"}
}

// TouchAnswer is the answer to Touch.
type TouchAnswer struct {
	Verdict  stats.Verdict `json:"verdict"`
	Reason   string        `json:"reason"`
	Before   []int         `json:"before"` // how many of each grade
	After    []int         `json:"after"`
	P        Rough         `json:"p"`             // two-sided
	Rougher  Rough         `json:"after_rougher"` // share of pairs in which the part after is the rougher one; a tie is half
	Felt     Rough         `json:"felt_change"`
	FeltLow  Rough         `json:"felt_change_low"`
	FeltHigh Rough         `json:"felt_change_high"`
	Sheet
}

// Ask implements Question (package stats).
func (q Touch) Ask(o Options) (Answer, error) {
	w := &work{}
	w.noUnits(o, "a grade")
	before, after := w.grades("before", q.Before), w.grades("after", q.After)
	if w.err != nil {
		return nil, w.err
	}
	r, err := stats.CompareTouch(before, after, confidence)
	if err != nil {
		return nil, err
	}
	a := &TouchAnswer{
		Sheet: newSheet(), Verdict: r.Verdict, Reason: string(r.Reason), Before: r.Before[:], After: r.After[:], P: chance(r.Rank.P), Rougher: points(r.Rank.Superior),
		Felt: points(r.Felt), FeltLow: points(r.FeltIn.Low), FeltHigh: points(r.FeltIn.High),
	}
	felt := func(n [stats.TouchGrades]int) string {
		return fmt.Sprintf("%d not felt, %d felt, %d catching a nail", n[0], n[1], n[2])
	}
	if r.Verdict == stats.CannotTell {
		a.say("%s: so few parts can never show it; even the most unlike grades come by chance in %s of cases", r.Verdict, chance(stats.SmallestRankP(len(before), len(after))))
	} else {
		a.say("%s: by chance alone so or more unlike in %s of cases", r.Verdict, a.P)
	}
	a.say("before: %s; after: %s", felt(r.Before), felt(r.After))
	a.say("change of the share felt: %s of all parts (95 %%: %s to %s)", a.Felt, a.FeltLow, a.FeltHigh)
	a.step("exact rank sum with ties: every split of these grades into %d and %d whose rank sum is as far from its middle = %s", len(before), len(after), a.P)
	a.cite("rank sum of Wilcoxon, Mann and Whitney; change of the share: Newcombe 1998, method 10 (from memory)")
	a.mind("who feels must not know which parts are the new ones; a broken edge hides a step")
	a.mind("not shown is not the same as no change")
	return done(a, w)
}

// grades reads grades of touch.
func (w *work) grades(name, text string) []int {
	var out []int
	for _, f := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" \t\n;,", r) }) {
		n, err := strconv.Atoi(f)
		if err != nil || n < 0 || n >= stats.TouchGrades {
			w.fail("%s: %q is no grade; type 0 (not felt), 1 (felt) or 2 (catches a nail) for each part", name, f)
			return nil
		}
		out = append(out, n)
	}
	if len(out) == 0 {
		w.fail("%s: no grades; type 0 (not felt), 1 (felt) or 2 (catches a nail) for each part, such as '1 2 0 1'", name)
	}
	return out
}
