package report

import (
	"fmt"

	"tenths/calc/gaugestudy"
	"tenths/ledger"
	"tenths/ledger/study"
)

// interval suggests the time to the next check of a gauge.
func (b *sheetBuilder) interval(g *ledger.Gauge) {
	c, err := b.s.CheckInterval(g)
	if c.Checks == 0 && err != nil && !g.U.Set() {
		return // no figures at all: nothing to say
	}
	s := b.section("time between checks")
	if err != nil {
		s.say("suggested", "nothing: "+line(err.Error()))
		return
	}
	a := c.Advice
	s.say("suggested", suggested(c))
	s.say("because", intervalReason(c))
	if a.Drift > 0 && a.Step != gaugestudy.Shorten {
		s.say("fastest drift seen", fmt.Sprintf("would use up %s in %s", c.Limit, span(a.DriftDays)))
	}
	s.say("rests on", fmt.Sprintf("%d %s with an error as found, against the uncertainty in use of %s; halve after one that is over it or leaves little of it, half as long again after three in a row within half of it, never longer than the fastest drift allows (common practice; ILAC-G24 names the method)", c.Checks, plural(c.Checks, "check"), c.Limit))
}

func suggested(c study.CheckInterval) string {
	if c.Advice.Step == gaugestudy.Keep {
		return "keep " + c.Now.String()
	}
	return fmt.Sprintf("%s to %s, now %s", c.Advice.Step, span(c.Advice.Days), c.Now)
}

func intervalReason(c study.CheckInterval) string {
	a := c.Advice
	switch {
	case a.Step == gaugestudy.Shorten && !a.Over:
		return fmt.Sprintf("at the fastest drift seen what is left of %s is used up in %s", c.Limit, span(a.DriftDays))
	case a.Step == gaugestudy.Shorten:
		return "the last check found more than " + c.Limit.String()
	case a.Step == gaugestudy.Lengthen:
		return fmt.Sprintf("%d checks in a row within half of %s", a.Good, c.Limit)
	case a.Good >= 3:
		return "the errors are small, but the fastest drift seen, or five years, allows no more"
	}
	return "the last check was good; three in a row within half of " + c.Limit.String() + " would allow more"
}

// span is a number of days for people, rounded down.
func span(days int) string {
	const month = 30.4375
	if n := int(float64(days) / month); n >= 3 {
		return fmt.Sprintf("%d months (%d days)", n, days)
	}
	return fmt.Sprintf("%d days", days)
}
