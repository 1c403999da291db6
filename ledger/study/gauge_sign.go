package study

import (
	"tenths/calc/gauge"
	"tenths/calc/quantity"
	"tenths/ledger"
)

// WrongSign is a member of a GO / NOT GO pair that is made to the side on which
// it lets bad parts pass: GO of a hole smaller than it is called, NOT GO larger;
// on a shaft the other way round (ASME B89.1.5, B89.1.6).
type WrongSign struct {
	Name   string      // GO or NOT GO
	Member ledger.Size // as written
	At     ledger.Span // what says so: the tolerance of the member, or the sign of the gauge
	Hole   bool        // false for a shaft
	Small  bool        // the member may be smaller than it is called; false for larger
	// Worst is the end of its tolerance on the bad side; the zero Quantity if
	// nothing says how far it may deviate.
	Worst quantity.Quantity
	// Limit is the limit of the size that it guards, and Beyond how far Worst lies
	// outside it; zero Quantities if they are not known.
	Limit, Beyond quantity.Quantity
	Size          ledger.Size    // whose limit it is, with its record; absent if not known
	SizeRec       *ledger.Record // nil if not known
}

// WrongSigns lists the members of a pair that are made to the wrong side. Where
// the limits are known, a member that stays inside its limit all the same does
// no harm, and one that is written with a tolerance beyond it is LimitGauge's:
// then only a sign remains to be told, of a member that is written plainly.
func (s *Set) WrongSigns(rec *ledger.Record) []WrongSign {
	g, ok := rec.Data.(*ledger.Gauge)
	if !ok || !g.Go.Set() && !g.NotGo.Set() {
		return nil
	}
	pair := s.LimitGauge(rec)
	hole := s.gaugesHole(g)
	var out []WrongSign
	for _, m := range []struct {
		name  string
		size  ledger.Size
		small bool // being smaller than it is called is the bad side
	}{{"GO", g.Go, hole}, {"NOT GO", g.NotGo, !hole}} {
		if !m.size.Set() {
			continue
		}
		w := WrongSign{Name: m.name, Member: m.size, Hole: hole, Small: m.small}
		if !w.made(g) {
			continue
		}
		guards := Member{}
		if pair != nil {
			guards = pair.Go
			if m.name == "NOT GO" {
				guards = pair.NotGo
			}
		}
		if !guards.Limit.IsZeroValue() {
			if m.size.Tol.Form != quantity.Plain || guards.Out || !w.against(guards.Limit) {
				continue
			}
			w.Limit, w.Size, w.SizeRec = guards.Limit, pair.Size, pair.SizeRec
		}
		out = append(out, w)
	}
	return out
}

// made reports whether the member is made to its bad side, and how far.
func (w *WrongSign) made(g *ledger.Gauge) bool {
	if w.Member.Tol.Form != quantity.Plain {
		lower, upper, ok := w.Member.Tol.Deviations()
		if !ok {
			return false
		}
		w.At = w.Member.Span
		if w.Small {
			w.Worst = w.Member.Tol.Lower
			return lower.Sign() < 0 && upper.Sign() <= 0
		}
		w.Worst = w.Member.Tol.Upper
		return upper.Sign() > 0 && lower.Sign() >= 0
	}
	sign, ok := signOf(g)
	bad := gauge.Plus
	if w.Small {
		bad = gauge.Minus
	}
	if !ok || sign != bad {
		return false
	}
	own := ownTolerance(g, w.Member, sign)
	switch own.From {
	case ToleranceUncertainty:
		return false // it is as measured, whatever it was made to
	case ToleranceOfClass:
		w.Worst = own.High
		if w.Small {
			w.Worst = own.Low
		}
	}
	w.At = g.Sign.Span
	return true
}

// against reports whether the member can lie outside the limit. Without a class
// nobody knows how far it deviates; only a member at its limit, or beyond it, is
// sure to be able to.
func (w *WrongSign) against(limit quantity.Quantity) bool {
	worst := w.Worst
	if worst.IsZeroValue() {
		d, err := w.Member.Nominal().Cmp(limit)
		return err == nil && d == 0
	}
	beyond, err := worst.Sub(limit)
	if w.Small {
		beyond, err = limit.Sub(worst)
	}
	w.Beyond = beyond
	return err == nil && beyond.Sign() > 0
}

// SmallPin is a reading that a pin of a minus set stands for.
type SmallPin struct {
	Read
	Entered quantity.Quantity // what the pin is called
	// Smallest is the smallest that the pin can be, and Beyond how far that is
	// below the lower limit; zero Quantities if the class is not known.
	Smallest, Beyond quantity.Quantity
}

// MinusPins is an inspection that takes a pin of a minus set as GO.
type MinusPins struct {
	Gauging *Gauging
	R       *Readings
	Limit   quantity.Quantity // lower limit of the day
	// Class is that of the set; empty if it is not known. Least is then what a pin
	// that is called like the limit may be, and Safe the smallest pin that is sure
	// not to be below it.
	Class       gauge.Class
	Least, Safe quantity.Quantity
	Pins        []SmallPin
	// Counted is set if the pieces were only counted, so that nothing says which
	// pin was taken.
	Counted bool
}

// MinusPins looks for readings that a minus set of pins is taken to prove: the
// pin entered and is called no less than the lower limit, but may be less. A
// reading that is written as a range, middle ± half, is taken to hold the
// tolerance of the pin already; one from..to begins with the pin that entered.
// It is nil if there is nothing to tell.
func (s *Set) MinusPins(rec *ledger.Record) *MinusPins {
	g := s.Gauging(rec)
	if g == nil || g.Gauge.Go.Set() || g.Gauge.NotGo.Set() || g.Char == nil || !isSize(g.Char) || !g.Attribute || !s.gaugesHole(g.Gauge) {
		return nil
	}
	if sign, ok := signOf(g.Gauge); !ok || sign != gauge.Minus {
		return nil
	}
	lim := g.Char.Limits
	if !lim.Set() || !lim.Tol.HasLower() || lim.Nominal().Dim() != quantity.Length {
		return nil
	}
	out := &MinusPins{Gauging: g, R: s.Readings(rec), Limit: lim.Tol.Lower}
	if c, err := gauge.ParseClass(g.Gauge.Class.S); err == nil {
		if t, err := c.Tolerance(out.Limit); err == nil {
			out.Class = c
			out.Least, out.Safe = plainly(out.Limit.Sub(t)), plainly(out.Limit.Add(t))
		}
	}
	for _, v := range out.R.Live {
		if v.HasLimits && v.Side == quantity.Inside {
			out.look(v)
		}
	}
	out.Counted = len(out.R.Live) == 0 && g.In.Count.Set()
	if out.Pins == nil && !out.Counted {
		return nil
	}
	return out
}

func (m *MinusPins) look(v Read) {
	pin := SmallPin{Read: v, Entered: v.Full}
	switch v.Written.Tol.Form {
	case quantity.Plain:
	case quantity.Limits, quantity.AtLeast:
		pin.Entered, _ = v.ends()
	default:
		return
	}
	above, err := pin.Entered.Sub(m.Limit)
	if err != nil || above.Sign() < 0 {
		return
	}
	if m.Class == "" {
		if above.Sign() == 0 {
			m.Pins = append(m.Pins, pin)
		}
		return
	}
	t, err := m.Class.Gauge(pin.Entered, gauge.Minus)
	if err != nil {
		return
	}
	pin.Smallest = t.Lower
	if pin.Beyond, err = m.Limit.Sub(pin.Smallest); err == nil && pin.Beyond.Sign() > 0 {
		m.Pins = append(m.Pins, pin)
	}
}

// ends are the smallest and largest full size that a reading leaves open; both
// are the size itself for a plain number, and an end that is open is the zero
// Quantity.
func (c Checked) ends() (low, high quantity.Quantity) {
	if c.Problem != "" {
		return low, high
	}
	if c.Written.Tol.Form == quantity.Plain {
		return c.Full, c.Full
	}
	end := func(has bool, q quantity.Quantity) quantity.Quantity {
		if !has {
			return quantity.Quantity{}
		}
		off, err := q.Sub(c.Written.Nominal())
		if err != nil {
			return quantity.Quantity{}
		}
		out, err := c.Full.Add(off)
		if err != nil {
			return quantity.Quantity{}
		}
		return out
	}
	return end(c.Written.Tol.HasLower(), c.Written.Tol.Lower), end(c.Written.Tol.HasUpper(), c.Written.Tol.Upper)
}

// plainly takes off the decimals of a class table, which would print as digits
// that mean something.
func plainly(q quantity.Quantity, err error) quantity.Quantity {
	if err != nil {
		return quantity.Quantity{}
	}
	return q.WithDecimals(-1)
}

// isSize reports whether a characteristic is a size, as far as it says.
func isSize(c *ledger.Characteristic) bool {
	return c.Type.S == "" || c.Type.S == "size"
}
