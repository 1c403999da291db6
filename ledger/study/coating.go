package study

import (
	"math/big"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// Coated is a part whose coating goes into features that locate it or that are
// held closely.
type Coated struct {
	Rec  *ledger.Record
	Part *ledger.Part
	Kind CoatKind
	// Film is the thickness on one surface; zero Quantities if it is not said.
	Film Range
	// Takes is how much smaller in diameter a hole becomes, and how much larger a
	// shaft; zero Quantities if it is not known.
	Takes Range
	// Practice is set where Takes is not from the part's own film but what an
	// anodize usually does (common practice).
	Practice bool
	Features []CoatedFeature
}

// CoatedFeature is a feature that the coating goes into.
type CoatedFeature struct {
	Feature *ledger.Feature // as written
	Now     ledger.Feature  // as of the day
	Thread  bool            // its pitch diameter changes by twice Takes
	// Tolerance is the width of its limits, the zero Quantity if it has none.
	Tolerance quantity.Quantity
	// Bare is the smallest hole or the largest shaft before the coating, Coat the
	// same after the thickest film; zero Quantities if not known. AsMade says that
	// Bare is what the process really makes, and not a limit.
	Bare, Coat quantity.Quantity
	AsMade     bool
	// Pins is what locates on it.
	Pins []CoatedPin
}

// CoatedPin is a locator that goes into a coated feature.
type CoatedPin struct {
	Rec     *ledger.Record
	Station *ledger.Station
	Locator *ledger.Locator
	// Largest is the largest that the locator can be, Left the clearance that it
	// keeps in the smallest coated hole, below 0 if it does not enter; zero
	// Quantities if not known.
	Largest, Left quantity.Quantity
}

// wideAgainst is how many times wider than what the film takes a tolerance is
// that need not heed it (common practice, rule of ten).
var wideAgainst = big.NewRat(10, 1)

// coatedTypes are the types of features into which a coating matters; what a
// locator goes into need not say its type.
var coatedTypes = map[string]bool{"hole": true, "bore": true, "shaft": true, "slot": true, "thread": true}

// Coatings lists the coated parts with the features that are neither kept free of
// the coating nor finished after it, and that a locator goes into or whose limits
// are narrower than what the film takes. Of the latter only those are listed for
// which the film is known; a tolerance ten times as wide as what the film takes
// is left in peace.
//
// A film of thickness t changes a diameter by t where half of it grows outward,
// as with anodize, and by 2 t where all of it lies on the surface, as with
// lacquer and plating; where the kind is not known, by t to 2 t. The pitch
// diameter of a 60 deg thread changes by twice as much as a diameter, t/sin 30°
// at each flank. (Half outward: common practice. The rest is plane geometry.)
func (s *Set) Coatings() []*Coated {
	var out []*Coated
	var located map[*ledger.Feature][]CoatedPin
	for _, rec := range s.L.Records {
		p, ok := rec.Data.(*ledger.Part)
		if !ok || rec.Quiet() || p.State.S == "superseded" || p.State.S == "withdrawn" {
			continue
		}
		c := coatOf(rec, p, s.unitOf(rec))
		if c == nil {
			continue
		}
		if located == nil {
			located = s.located()
		}
		for i := range p.Features {
			if f, ok := s.coated(c, &p.Features[i], located[&p.Features[i]]); ok {
				c.Features = append(c.Features, f)
			}
		}
		if c.Features != nil {
			out = append(out, c)
		}
	}
	return out
}

// located maps the features of parts to the locators that go into them, on the
// fixtures that somebody works on.
func (s *Set) located() map[*ledger.Feature][]CoatedPin {
	out := map[*ledger.Feature][]CoatedPin{}
	for _, rec := range s.L.Records {
		fx, ok := rec.Data.(*ledger.Fixture)
		if !ok || rec.Quiet() || s.Gone(rec) {
			continue
		}
		for i := range fx.Stations {
			st := &fx.Stations[i]
			part := s.L.Record(st.Part.S)
			if part == nil {
				continue
			}
			p, ok := part.Data.(*ledger.Part)
			if !ok {
				continue
			}
			for k := range st.Locators {
				loc := &st.Locators[k]
				if f := featureNamed(p, loc.Engages.S); f != nil {
					out[f] = append(out[f], CoatedPin{Rec: rec, Station: st, Locator: loc})
				}
			}
		}
	}
	return out
}

func featureNamed(p *ledger.Part, id string) *ledger.Feature {
	for i := range p.Features {
		if id != "" && p.Features[i].ID.S == id {
			return &p.Features[i]
		}
	}
	return nil
}

// coatOf is the coating of a part, nil if it has none, if its words speak of
// masking, or if it builds next to nothing.
func coatOf(rec *ledger.Record, p *ledger.Part, u quantity.Unit) *Coated {
	c := &Coated{Rec: rec, Part: p, Kind: CoatKindOf(p.Coating.S)}
	switch {
	case !p.Film.Set() && (c.Kind == NoCoat || c.Kind == ThinCoat), speaksOfMasking(p.Coating.S):
		return nil
	case !p.Film.Set():
		if c.Kind == HalfOutward {
			c.Takes, c.Practice = Range{practised(u, 3, 8), practised(u, 7, 18)}, true
		}
		return c
	}
	c.Film = rangeOf(p.Film)
	if c.Film.Max.Sign() <= 0 {
		return nil
	}
	low, high := int64(1), int64(2)
	switch c.Kind {
	case HalfOutward:
		high = 1
	case AllOutward:
		low = 2
	}
	c.Takes = Range{times(c.Film.Min, low), times(c.Film.Max, high)}
	return c
}

// times is a multiple of a length with the decimals of the length.
func times(q quantity.Quantity, n int64) quantity.Quantity {
	return q.Scale(big.NewRat(n, 1)).WithDecimals(q.Decimals())
}

// Tightest is the locator that keeps the least clearance in its coated hole; ok
// is false if none is known.
func (c *Coated) Tightest() (f *CoatedFeature, pin *CoatedPin, ok bool) {
	for i := range c.Features {
		for k := range c.Features[i].Pins {
			p := &c.Features[i].Pins[k]
			if !p.Left.IsZeroValue() && (pin == nil || p.Left.Rat().Cmp(pin.Left.Rat()) < 0) {
				f, pin = &c.Features[i], p
			}
		}
	}
	return f, pin, pin != nil
}

// coated looks at one feature of a coated part; ok is false if it may be coated.
func (s *Set) coated(c *Coated, feature *ledger.Feature, pins []CoatedPin) (f CoatedFeature, ok bool) {
	now := ledger.OnDay(*feature, s.AsOf)
	f = CoatedFeature{Feature: feature, Now: now, Thread: now.Type.S == "thread", Pins: pins}
	if !coatedTypes[now.Type.S] && (now.Type.S != "" || pins == nil) || masked(c.Part, now) || finishedAfter(now.MadeBy.S) {
		return f, false
	}
	if now.Size.Set() {
		if w, known := now.Size.Tol.Width(); known && w.Sign() > 0 {
			f.Tolerance = w
		}
	}
	takes := c.Takes
	if f.Thread && !takes.Max.IsZeroValue() {
		takes = Range{times(takes.Min, 2), times(takes.Max, 2)}
	}
	known := !takes.Max.IsZeroValue()
	switch {
	case known && !f.Tolerance.IsZeroValue() && takes.Max.Scale(wideAgainst).Rat().Cmp(f.Tolerance.Rat()) <= 0:
		return f, false
	case pins != nil:
	case !known || c.Practice || f.Tolerance.IsZeroValue() || f.Tolerance.Rat().Cmp(takes.Min.Rat()) >= 0:
		return f, false
	}
	s.afterCoat(c, &f)
	return f, true
}

// afterCoat fills in the sizes after the coating, of holes and shafts.
func (s *Set) afterCoat(c *Coated, f *CoatedFeature) {
	f.Pins = append([]CoatedPin(nil), f.Pins...)
	for i := range f.Pins {
		if size, known := pinSize(ledger.OnDay(*f.Pins[i].Locator, s.AsOf), s.AsOf); known {
			f.Pins[i].Largest = size.Range().Max
		}
	}
	size := f.Now.AsMade
	if f.AsMade = size.Set(); !f.AsMade {
		size = f.Now.Size
	}
	if f.Thread || !size.Set() || c.Takes.Max.IsZeroValue() || c.Practice {
		return
	}
	bare, takes := rangeOf(size).Min, c.Takes.Max.Neg()
	if f.Now.Type.S == "shaft" {
		bare, takes = rangeOf(size).Max, c.Takes.Max
	}
	coat, err := bare.Add(takes)
	if err != nil {
		return
	}
	f.Bare, f.Coat = bare, coat
	if f.Now.Type.S == "shaft" {
		return
	}
	for i := range f.Pins {
		if p := &f.Pins[i]; !p.Largest.IsZeroValue() {
			p.Left, _ = coat.Sub(p.Largest)
		}
	}
}
