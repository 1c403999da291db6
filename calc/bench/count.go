package bench

import (
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/stats"
)

// Count asks what a count says of all parts.
type Count struct {
	Count  []string `arg:"" optional:"" sep:"none" help:"Parts of all parts: '7 of 20'."`
	Chance string   `placeholder:"SHARE" help:"Blind calls: the share that guessing gets right, 50% for two choices. Asks how often guessing does as well."`
}

// About implements Question.
func (Count) About() string {
	return "What a count such as 7 of 20 says of all parts: the share with its exact interval and Wilson's, 95 %. With a chance: how often guessing gets as many blind calls right."
}

// Examples implements Question.
func (Count) Examples() []string { return []string{"'7 of 20'", "'9 of 10' --chance 50%"} }

// CountAnswer is the answer to Count.
type CountAnswer struct {
	Hit        int   `json:"hit"`
	N          int   `json:"n"`
	Share      Rough `json:"share"`
	Low        Rough `json:"low"` // exact
	High       Rough `json:"high"`
	WilsonLow  Rough `json:"wilson_low"`
	WilsonHigh Rough `json:"wilson_high"`
	ByChance   Rough `json:"by_chance"` // null without a chance
	Sheet
}

// Ask implements Question (package stats).
func (q Count) Ask(o Options) (Answer, error) {
	w := &work{}
	text := words(q.Count)
	if !isCount(text) {
		w.fail("count: %q is no count; type parts of all parts, such as 7 of 20", text)
		return nil, w.err
	}
	w.noUnits(o, "a count")
	hit, n := w.count("count", text)
	guess := w.share("chance", q.Chance, 1, "50%")
	if w.err != nil {
		return nil, w.err
	}
	s, err := stats.CountShare(hit, n, confidence)
	if err != nil {
		return nil, err
	}
	share := func(v float64) Rough {
		if v == 0 || v == 1 {
			u, _ := quantity.LookupUnit("%")
			return Rough{Quantity: quantity.FromFloat(100*v, u), digits: 3}
		}
		return percent(v)
	}
	a := &CountAnswer{
		Sheet: newSheet(), Hit: hit, N: n, Share: share(s.Share), Low: share(s.Exact.Low), High: share(s.Exact.High),
		WilsonLow: share(s.Wilson.Low), WilsonHigh: share(s.Wilson.High),
	}
	if strings.TrimSpace(q.Chance) != "" {
		p, err := stats.ByChance(hit, n, guess)
		if err != nil {
			return nil, err
		}
		a.ByChance = chance(p)
		a.say("%d of %d right: guessing does as well in %s of cases", hit, n, a.ByChance)
		a.step("chance = the sum of binomial probabilities of %d and more right of %d at %s each = %s", hit, n, percent(guess), a.ByChance)
		a.mind("blind means that who feels does not know which part is which, and that the parts are shuffled")
	}
	a.say("%d of %d is %s; of all parts between %s and %s, with 95 %% confidence", hit, n, a.Share, a.Low, a.High)
	a.say("Wilson's interval, which covers 95 %% on the average: %s to %s", a.WilsonLow, a.WilsonHigh)
	a.step("exact: the shares at which so many or fewer, and so many or more, of %d happen in 2.5 %% of cases", n)
	a.step("Wilson: the shares whose distance from %d/%d is z·sqrt(p·(1 - p)/n)", hit, n)
	a.cite("Clopper and Pearson 1934, Wilson 1927; NIST/SEMATECH e-Handbook 7.2.4.1")
	a.mind("parts as they come from a process that stays as it is, not picked ones")
	if hit == 0 {
		a.mind("none of %d leaves room: the upper end alone, with 95 %%, is what calc parts --none-bad %d says", n, n)
	}
	return done(a, w)
}
