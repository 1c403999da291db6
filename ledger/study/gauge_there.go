package study

import (
	"slices"
	"time"

	"tenths/calc/gauge"
	"tenths/calc/quantity"
	"tenths/ledger"
)

// NotThere is a use of a gauge on a day on which it was not in service.
type NotThere struct {
	GaugeUse
	// Before is set if the gauge came into service only later, on the day Since;
	// else it had left service after the day Until.
	Before bool
}

// NotThere lists the uses of a gauge that lie outside its days of service. A use
// or an end of service that is only about known counts if no day that it may
// mean fits.
func (s *Set) NotThere(rec *ledger.Record, uses []GaugeUse) []NotThere {
	g, ok := rec.Data.(*ledger.Gauge)
	if !ok {
		return nil
	}
	var out []NotThere
	for _, u := range uses {
		switch {
		case g.Since.Set() && u.Last.Before(g.Since.T):
			out = append(out, NotThere{u, true})
		case g.Until.Set() && u.First.After(lastDay(rec, g.Until)):
			out = append(out, NotThere{u, false})
		}
	}
	return out
}

// PinGap is an inspection that needed a pin of a set which was not in it, or not
// as the set says.
type PinGap struct {
	Use   GaugeUse
	Pin   *ledger.Consumed // what took it out
	Back  *ledger.Consumed // what filled its place later; nil if nothing has
	Reads []Read           // the readings that need it
}

// PinGaps lists the inspections with a set of pins whose readings name a pin
// that had been used up before and was not replaced by then. What fills the
// place of a pin on a day that nobody noted may have been there.
func (s *Set) PinGaps(rec *ledger.Record, uses []GaugeUse) []PinGap {
	g, ok := rec.Data.(*ledger.Gauge)
	if !ok {
		return nil
	}
	var out []PinGap
	for _, sl := range slotsOf(g) {
		for _, u := range uses {
			pin, back := sl.emptyFor(rec, u)
			if pin == nil {
				continue
			}
			if list := s.readsOf(u, pin.Size); list != nil {
				out = append(out, PinGap{u, pin, back, list})
			}
		}
	}
	return out
}

// slot is what became of the pins of one size of a set, as written.
type slot []*ledger.Consumed

func slotsOf(g *ledger.Gauge) []slot {
	var out []slot
	for i := range g.Consumed {
		c := &g.Consumed[i]
		if !c.Size.Set() || !c.On.Set() {
			continue
		}
		k := slices.IndexFunc(out, func(sl slot) bool { return sameSize(sl[0].Size, c.Size) })
		if k < 0 {
			out, k = append(out, nil), len(out)
		}
		out[k] = append(out[k], c)
	}
	return out
}

// emptyFor gives what had emptied the place before a use, and what filled it
// afterwards; nil if it was not empty.
func (sl slot) emptyFor(rec *ledger.Record, u GaugeUse) (pin, back *ledger.Consumed) {
	for _, c := range sl {
		if lastDay(rec, c.On).Before(u.First) && (pin == nil || c.On.T.After(pin.On.T)) {
			pin = c
		}
	}
	if pin == nil {
		return nil, nil
	}
	undated := false
	for _, c := range sl {
		switch {
		case c.From.Set() && !c.From.T.Before(pin.On.T):
			if back == nil || c.From.T.Before(back.From.T) {
				back = c
			}
		case !c.From.Set() && !c.On.T.Before(pin.On.T):
			undated = undated || c.Replaced.Set() || c.Class.Set()
		}
	}
	if back == nil && undated || back != nil && !back.From.T.After(u.Last) {
		return nil, nil
	}
	return pin, back
}

// readsOf lists the readings of a use for which a pin of that size was tried: it
// lies in what they leave open.
func (s *Set) readsOf(u GaugeUse, size ledger.Size) []Read {
	if u.Kind != UsedForReadings {
		return nil
	}
	var out []Read
	for _, v := range s.Readings(u.Rec).Live {
		low, high := v.ends()
		if low.IsZeroValue() || high.IsZeroValue() {
			continue
		}
		a, err1 := size.Nominal().Cmp(low)
		b, err2 := size.Nominal().Cmp(high)
		if err1 == nil && err2 == nil && a >= 0 && b <= 0 {
			out = append(out, v)
		}
	}
	return out
}

// LookAlike is a pin that fills the place of one that was used up and is of a
// coarser class than the set, or of one that nobody knows.
type LookAlike struct {
	Pin *ledger.Consumed
	// Class is that of the pin, Set that of the set; Class is empty if the word
	// is none of the classes. Its and Wanted are the tolerances of the two at
	// that size; zero Quantities if they are not known.
	Class, Set  gauge.Class
	Its, Wanted quantity.Quantity
	From        time.Time
	Out         *ledger.Consumed // what took it out again; nil if it is still there
	Reads       []PinGap         // the inspections that used it since
}

// LookAlikes lists the pins of a set that were replaced by another class. A
// finer one does no harm. One that was taken out again is listed if readings
// used it meanwhile.
func (s *Set) LookAlikes(rec *ledger.Record, uses []GaugeUse) []LookAlike {
	g, ok := rec.Data.(*ledger.Gauge)
	if !ok {
		return nil
	}
	set, err := gauge.ParseClass(g.Class.S)
	if err != nil {
		return nil
	}
	var out []LookAlike
	for i := range g.Consumed {
		c := &g.Consumed[i]
		a := LookAlike{Pin: c, Set: set, From: c.On.T}
		if c.From.Set() {
			a.From = c.From.T
		}
		if !c.Class.Set() || !c.Size.Set() || !c.On.Set() || a.From.After(s.AsOf) {
			continue
		}
		if class, err := gauge.ParseClass(c.Class.S); err == nil {
			if slices.Index(gauge.Classes(), class) <= slices.Index(gauge.Classes(), set) {
				continue
			}
			a.Class = class
			a.Its = plainly(class.Tolerance(c.Size.Nominal()))
		}
		a.Wanted = plainly(set.Tolerance(c.Size.Nominal()))
		a.takenOut(g, s.AsOf)
		for _, u := range uses {
			if u.First.Before(a.From) || a.Out != nil && u.Last.After(a.Out.On.T) {
				continue
			}
			if list := s.readsOf(u, c.Size); list != nil {
				a.Reads = append(a.Reads, PinGap{Use: u, Pin: c, Reads: list})
			}
		}
		if a.Out == nil || a.Reads != nil {
			out = append(out, a)
		}
	}
	return out
}

// takenOut finds the first entry that took a pin of that size out of the set
// after this one had come in.
func (a *LookAlike) takenOut(g *ledger.Gauge, asOf time.Time) {
	for i := range g.Consumed {
		c := &g.Consumed[i]
		if c == a.Pin || !c.On.By(asOf) || !c.Size.Set() || !sameSize(c.Size, a.Pin.Size) || c.On.T.Before(a.From) || c.On.T.Equal(a.Pin.On.T) {
			continue
		}
		if a.Out == nil || c.On.T.Before(a.Out.On.T) {
			a.Out = c
		}
	}
}
