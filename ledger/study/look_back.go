package study

import (
	"math/big"
	"strings"
	"time"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// LookBack is a check that found a gauge out, with what the gauge had been used
// for since it was last known to be good.
type LookBack struct {
	Check *ledger.Calibration
	// Since is the last check before it that left the gauge good, or one since that
	// did not conform either, which stands for itself; nil if there is none. Good
	// says which of the two. Uses after its day, up to and with the day of the
	// failed check, are open.
	Since *ledger.Calibration
	Good  bool
	Uses  []GaugeUse
	// Error is the largest error as found on that day; the zero Quantity if none
	// is written down.
	Error quantity.Quantity
}

// negligible is the part of a tolerance below which an error changes nothing: a
// tenth, as for the resolution of a gauge (common practice).
var negligible = big.NewRat(1, 10)

// LookBacks lists the checks of a gauge that did not conform, about which nothing
// is said of the readings before (ISO 9001:2015, 7.1.5.2), where there are such
// readings. The window runs from the day of the last good check, which is still
// under the one before it, to the day of the failed one. Set-up decides no part,
// and in the comparison of two parts on one gauge its error cancels: they are
// left out. So is all of it where the error is below a tenth of every tolerance
// that the gauge served.
func (s *Set) LookBacks(rec *ledger.Record, uses []GaugeUse) []LookBack {
	g, ok := rec.Data.(*ledger.Gauge)
	if !ok || g.State.S == "reference only" {
		return nil
	}
	var out []LookBack
	for i := range g.Calibration {
		c := &g.Calibration[i]
		if c.Result.S != "does not conform" || !c.On.By(s.AsOf) || c.On.About || lookedBack(g, c) || !firstOfDay(g, c) {
			continue
		}
		l := LookBack{Check: c, Error: largestError(g, c)}
		l.window(g)
		for _, u := range uses {
			if u.within(l.from(), c.On.T) && (u.In == nil || u.In.Purpose.S != "set-up" && !u.In.Compare.B) {
				l.Uses = append(l.Uses, u)
			}
		}
		if l.Uses != nil && !l.small() {
			out = append(out, l)
		}
	}
	return out
}

// lookedBack reports whether a check of that day, which may be one of several at
// several sizes, says what became of the readings.
func lookedBack(g *ledger.Gauge, c *ledger.Calibration) bool {
	for i := range g.Calibration {
		if o := &g.Calibration[i]; o.On.Set() && o.On.T.Equal(c.On.T) && strings.TrimSpace(o.LookBack.S) != "" {
			return true
		}
	}
	return false
}

// firstOfDay reports whether no check before it in the record, of the same day,
// did not conform either.
func firstOfDay(g *ledger.Gauge, c *ledger.Calibration) bool {
	for i := range g.Calibration {
		o := &g.Calibration[i]
		if o == c {
			return true
		}
		if o.Result.S == c.Result.S && o.On.Set() && o.On.T.Equal(c.On.T) {
			return false
		}
	}
	return true
}

func largestError(g *ledger.Gauge, c *ledger.Calibration) quantity.Quantity {
	var out quantity.Quantity
	for i := range g.Calibration {
		o := &g.Calibration[i]
		if !o.On.Set() || !o.On.T.Equal(c.On.T) || !o.AsFound.Set() {
			continue
		}
		e := o.AsFound.Nominal()
		if d, err := e.Abs().Cmp(out.Abs()); out.IsZeroValue() || err == nil && d > 0 {
			out = e
		}
	}
	return out
}

// window finds the last check before the failed one after which nothing is open.
func (l *LookBack) window(g *ledger.Gauge) {
	for i := range g.Calibration {
		c := &g.Calibration[i]
		if !c.On.Set() || !c.On.T.Before(l.Check.On.T) || !good(c) && c.Result.S != "does not conform" {
			continue
		}
		if l.Since == nil || c.On.T.After(l.Since.On.T) || c.On.T.Equal(l.Since.On.T) && good(c) {
			l.Since, l.Good = c, good(c)
		}
	}
}

// from is the day after which uses are open; zero if no such check is known.
func (l *LookBack) from() time.Time {
	if l.Since == nil {
		return time.Time{}
	}
	return l.Since.On.T
}

// small reports whether the error is below a tenth of everything that the gauge
// was used for.
func (l *LookBack) small() bool {
	if l.Error.IsZeroValue() {
		return false
	}
	for _, u := range l.Uses {
		if u.Needs.IsZeroValue() || u.Needs.Unit().Difference().Dim() != l.Error.Unit().Difference().Dim() ||
			l.Error.Abs().Rat().Cmp(new(big.Rat).Mul(u.Needs.Rat(), negligible)) >= 0 {
			return false
		}
	}
	return true
}

// Adjusted is a check at which a gauge was adjusted, and nobody wrote down what
// it had read before.
type Adjusted struct {
	Check *ledger.Calibration
	Since *ledger.Calibration // the last check before it, as of a LookBack; nil if there is none
	Uses  []GaugeUse          // what the gauge was used for in between
}

// AsFoundMissing lists the checks of a gauge with the error left and not the one
// found (ISO/IEC 17025:2017, 7.8.4). The first check of a gauge that had not
// been used before needs none: it was new. Two entries of one day at one size
// are one check.
func (s *Set) AsFoundMissing(rec *ledger.Record, uses []GaugeUse) []Adjusted {
	g, ok := rec.Data.(*ledger.Gauge)
	if !ok {
		return nil
	}
	var out []Adjusted
	for i := range g.Calibration {
		c := &g.Calibration[i]
		if !c.AsLeft.Set() || !c.On.By(s.AsOf) || foundThatDay(g, c) {
			continue
		}
		l := LookBack{Check: c}
		l.window(g)
		a := Adjusted{Check: c, Since: l.Since}
		first, to := firstCheck(g, c), c.On.T
		if first {
			to = dayBefore(c.On) // it was checked that day and then used
		}
		for _, u := range uses {
			if u.within(l.from(), to) {
				a.Uses = append(a.Uses, u)
			}
		}
		if a.Uses != nil || !first {
			out = append(out, a)
		}
	}
	return out
}

func foundThatDay(g *ledger.Gauge, c *ledger.Calibration) bool {
	for i := range g.Calibration {
		o := &g.Calibration[i]
		if o.AsFound.Set() && (o == c || o.On.Set() && o.On.T.Equal(c.On.T) && sameSize(o.At, c.At)) {
			return true
		}
	}
	return false
}

// firstCheck reports whether there was no check of the gauge before that day.
func firstCheck(g *ledger.Gauge, c *ledger.Calibration) bool {
	for i := range g.Calibration {
		if o := &g.Calibration[i]; o.On.Set() && o.On.T.Before(c.On.T) {
			return false
		}
	}
	return true
}
