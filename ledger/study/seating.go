package study

import (
	"math/big"

	"tenths/calc/fit"
	"tenths/calc/quantity"
	"tenths/ledger"
)

// SeatVerdict says how a locator sits in the fixture, against its duty.
type SeatVerdict int

// The verdicts.
const (
	SeatServes   SeatVerdict = iota
	NeverTight               // is to stay by its fit, and no pair of sizes is tight
	MaybeLoose               // is to stay by its fit, and some pairs are loose
	HardlyTight              // is to stay by its fit; usually tight by less than common practice
	TooTight                 // pressed in; even the loosest pair tighter than common practice
	DoesNotLeave             // is to come out by hand, and some pairs or all are not loose
)

// Seating is a locator in the hole of the fixture that holds it.
type Seating struct {
	Now     ledger.Locator
	Holding Holding
	Pin     PinSize
	// Fit is that of the pin in its seat; its clearances are negative where it is
	// tight.
	Fit       fit.Fit
	Removable bool
	Metal     Metal
	// Want is, of a locator that is to stay, the tightness of common practice, and
	// of one that is to come out the clearance. For another metal than steel and
	// aluminium it spans the figures of both.
	Want    Range
	Verdict SeatVerdict
	// Seat is the hole in which every such pin would have it; the zero Toleranced
	// where the pin's own tolerance is too wide for that, or the metal not known.
	Seat quantity.Toleranced
}

// largestUsual is the diameter up to which the upper figure of common practice is
// held against a press fit, half an inch in mm: it comes from locating pins, and
// larger ones are pressed tighter.
var largestUsual = big.NewRat(127, 10)

// Seating compares a locator with the hole in the fixture that holds it, as of
// the day asked for:
//
//	tightest  largest pin - smallest seat
//	loosest   smallest pin - largest seat      (ISO 286-1; below 0 it is loose)
//	usual     both in the middle of their limits
//
// A locator that is to stay by press or shrink must not be loose at the loosest,
// and be as tight as common practice in the usual case: 0.0002 to 0.0005 in in
// steel, 0.0005 to 0.0007 in in aluminium (0.005 to 0.013 and 0.013 to 0.018 mm).
// One that is to come out by hand must be loose at the tightest; 0.0002 to 0.0012
// in (0.005 to 0.030 mm) is common practice.
//
// It is nil if sizes are missing, if something else than the fit is said to hold
// the locator, or if it stood differently on the day.
func (s *Set) Seating(rec *ledger.Record, loc *ledger.Locator) *Seating {
	out, ok := s.seatFit(rec, loc)
	if !ok {
		return nil
	}
	h := out.Holding
	switch fits := h.Press || h.Shrink; {
	case h.Adhesive || h.Screw || h.Sleeve:
		return nil
	case !out.Removable && h.Said && !fits:
		return nil
	}
	out.judge(s.unitOf(rec))
	return out
}

// seatFit is the fit of a locator in its seat, whatever holds it.
func (s *Set) seatFit(rec *ledger.Record, loc *ledger.Locator) (*Seating, bool) {
	now := ledger.OnDay(*loc, s.AsOf)
	if !now.SeatHole.Set() || !asToday(loc, s.AsOf) {
		return nil, false
	}
	pin, ok := pinSize(now, s.AsOf)
	if !ok {
		return nil, false
	}
	f, err := fit.Of(*now.SeatHole.Tol, pin.Tol)
	if err != nil {
		return nil, false
	}
	out := &Seating{Now: now, Holding: HoldingOf(now), Pin: pin, Fit: f, Removable: now.Duty.S == "removable"}
	if fx, ok := rec.Data.(*ledger.Fixture); ok {
		out.Metal = MetalOf(fx.Material.S)
	}
	return out, true
}

// Loosest, Tightest and Usual are how tight the locator sits; below 0 it is loose.
func (t *Seating) Loosest() quantity.Quantity  { return t.Fit.MaxClearance.Neg() }
func (t *Seating) Tightest() quantity.Quantity { return t.Fit.MinClearance.Neg() }
func (t *Seating) Usual() quantity.Quantity    { return t.Fit.Middle.Neg() }

func (t *Seating) judge(u quantity.Unit) {
	pin := t.Pin.Range()
	if t.Removable {
		t.Want = Range{practised(u, 2, 5), practised(u, 12, 30)}
		t.Seat = between(pin.Max, t.Want.Min, pin.Min, t.Want.Max)
		if t.Tightest().Sign() >= 0 {
			t.Verdict = DoesNotLeave
		}
		return
	}
	steel, aluminium := TightIn(Steel, u), TightIn(Aluminium, u)
	switch t.Metal {
	case Steel:
		t.Want = steel
	case Aluminium:
		t.Want = aluminium
	default:
		t.Want = Range{steel.Min, aluminium.Max}
	}
	if t.Metal != OtherMetal {
		t.Seat = between(pin.Max, t.Want.Max.Neg(), pin.Min, t.Want.Min.Neg())
	}
	switch {
	case t.Tightest().Sign() <= 0:
		t.Verdict = NeverTight
	case t.Loosest().Sign() < 0:
		t.Verdict = MaybeLoose
	case t.Usual().Rat().Cmp(t.Want.Min.Rat()) < 0:
		t.Verdict = HardlyTight
	case t.Metal != OtherMetal && !t.Holding.Shrink && t.Loosest().Rat().Cmp(t.Want.Max.Rat()) > 0 && pin.Max.Rat().Cmp(largestUsual) <= 0:
		t.Verdict = TooTight
	}
}

// TightIn is how tight a pin is pressed into a metal by common practice, in the
// unit of a record.
func TightIn(m Metal, u quantity.Unit) Range {
	if m == Aluminium {
		return Range{practised(u, 5, 13), practised(u, 7, 18)}
	}
	return Range{practised(u, 2, 5), practised(u, 5, 13)}
}

// between is the size from a + toA to b + toB, the zero Toleranced where that is
// none.
func between(a, toA, b, toB quantity.Quantity) quantity.Toleranced {
	low, err := a.Add(toA)
	if err != nil || low.Sign() <= 0 {
		return quantity.Toleranced{}
	}
	high, err := b.Add(toB)
	if err != nil || high.Rat().Cmp(low.Rat()) < 0 {
		return quantity.Toleranced{}
	}
	t, err := limitsOf(low, high)
	if err != nil {
		return quantity.Toleranced{}
	}
	return t
}

// ShutIn is a locator in a hole with a bottom, from which nothing gets out.
type ShutIn struct {
	Now     ledger.Locator
	Holding Holding
}

// ShutIn finds a locator that is pressed or glued into a blind hole without a
// vent and without a thread to pull it by. A pin that is everywhere looser than
// 0.001 in (0.025 mm) lets air and liquid out beside it (common practice). ok is
// false for everything else, and where the locator stood differently on the day.
func (s *Set) ShutIn(rec *ledger.Record, loc *ledger.Locator) (in ShutIn, ok bool) {
	now := ledger.OnDay(*loc, s.AsOf)
	in = ShutIn{Now: now, Holding: HoldingOf(now)}
	h := in.Holding
	if now.SeatEnd.S != "blind" || !h.Press && !h.Shrink && !h.Adhesive || now.Pull.B || vented(now.Vent.S) || !asToday(loc, s.AsOf) {
		return in, false
	}
	if t, known := s.seatFit(rec, loc); known && t.Fit.MinClearance.Rat().Cmp(practised(s.unitOf(rec), 10, 25).Rat()) > 0 {
		return in, false
	}
	return in, true
}

// vented reports whether the words name a way out; "none" names none.
func vented(text string) bool {
	for _, c := range clauses(text) {
		if len(c) > 0 && !denied(c) {
			return true
		}
	}
	return false
}
