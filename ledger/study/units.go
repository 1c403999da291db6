package study

import (
	"math"
	"math/big"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// Slip is a length that a mix-up of units explains.
type Slip struct {
	// Times says what the length is of its nominal, within 3 %: "25.4 times",
	// "1/25.4 of", "1000 times" or "1/1000 of".
	Times string
	// Meant is the same number in the unit in which it makes sense; the zero
	// Quantity if no unit of the shop makes it so.
	Meant quantity.Quantity
}

// slips are the ratios of a mix-up, each with the units from and to which it
// leads.
var slips = []struct {
	times string
	ratio *big.Rat
	units map[string]string // unit as written -> unit as meant
}{
	{"25.4 times", big.NewRat(254, 10), map[string]string{"in": "mm", "thou": "um"}},
	{"1/25.4 of", big.NewRat(10, 254), map[string]string{"mm": "in", "um": "thou"}},
	{"1000 times", big.NewRat(1000, 1), map[string]string{"in": "thou", "mm": "um", "m": "mm"}},
	{"1/1000 of", big.NewRat(1, 1000), map[string]string{"thou": "in", "um": "mm", "mm": "m"}},
}

// slipWithin is how near a ratio must be to that of a mix-up.
var slipWithin = big.NewRat(3, 100)

// SlipOf reports whether a length is about 25.4, 1/25.4, 1000 or 1/1000 times
// its nominal; nil if it is not, or has no ratio to it.
func SlipOf(q, nominal quantity.Quantity) *Slip {
	if q.Dim() != quantity.Length || nominal.Dim() != quantity.Length || nominal.Sign() == 0 {
		return nil
	}
	ratio := new(big.Rat).Quo(q.Rat(), nominal.Rat())
	for _, s := range slips {
		off := new(big.Rat).Quo(ratio, s.ratio)
		off.Sub(off, big.NewRat(1, 1))
		if off.Abs(off).Cmp(slipWithin) > 0 {
			continue
		}
		out := &Slip{Times: s.times}
		if u, ok := quantity.LookupUnit(s.units[q.Unit().Name()]); ok {
			if v, err := q.In(q.Unit()); err == nil {
				out.Meant = quantity.New(v, u).WithDecimals(q.Decimals())
			}
		}
		return out
	}
	return nil
}

// ShowIn prints a quantity in another unit with the decimals that the one in
// which it was written deserves there, 0.00001 in or 0.0001 mm at most: 38.1 mm
// is 1.500 in, 0.157 in is 3.99 mm.
func ShowIn(q quantity.Quantity, u quantity.Unit) string {
	if q.Unit().Name() == u.Name() || q.Dim() != u.Dim() {
		return notNothing(q.String(), q)
	}
	if q.Decimals() < 0 {
		if as, err := q.As(u); err == nil {
			return notNothing(as.String(), as)
		}
		return q.String()
	}
	one := quantity.New(big.NewRat(1, 1), q.Unit()).FloatIn(u)
	places := max(0, q.Decimals()+int(math.Ceil(-math.Log10(one))))
	switch u.Name() {
	case "in":
		places = min(places, 5)
	case "mm":
		places = min(places, 4)
	}
	if text := q.Format(u, places); q.Sign() == 0 || strings.ContainsAny(text, "123456789") {
		return text
	}
	return q.String() // what is not nothing is not shown as nothing
}

// notNothing is the text of a quantity, with the first two digits that are
// something in place of zeros alone.
func notNothing(text string, q quantity.Quantity) string {
	v := math.Abs(q.FloatIn(q.Unit()))
	if q.Sign() == 0 || v == 0 || math.IsNaN(v) || strings.ContainsAny(strings.TrimSuffix(text, q.Unit().Name()), "123456789") {
		return text
	}
	return q.Format(q.Unit(), int(math.Ceil(-math.Log10(v)))+1)
}

// MixedSize is a length of a record that a mix-up of units has reached.
type MixedSize struct {
	Key string
	ledger.Size
	// Slip is set for a length whose ratio to Base is that of a mix-up. Else
	// Base is a trade size and the length is Exact rounded.
	Slip     *Slip
	Exact    quantity.Quantity
	Base     ledger.Size
	BaseRec  *ledger.Record
	BaseName string // what Base is, in words
}

// OtherSystem lists the lengths of a record that are written in the other
// system than its unit, inch or metric, and gives the unit of the record. Trade
// sizes (nominal) and the ranges of gauges may stand in the other one. A unit
// that holds for many readings (deviation_in) is listed once.
func (s *Set) OtherSystem(rec *ledger.Record) (quantity.Unit, []ledger.KeySize) {
	unit := s.recordUnit(rec)
	if unit.IsZero() {
		return unit, nil
	}
	other := func(u quantity.Unit) bool {
		return u.Dim() == quantity.Length && u.System() != "" && u.System() != unit.System()
	}
	var out []ledger.KeySize
	add := func(key string, v ledger.Size) {
		if v.OwnUnit() && (other(v.Nominal().Unit()) || v.Tol.HasLower() && other(v.Tol.Lower.Unit()) || v.Tol.HasUpper() && other(v.Tol.Upper.Unit())) {
			out = append(out, ledger.KeySize{Key: key, Size: v})
		}
	}
	in, isInspection := rec.Data.(*ledger.Inspection)
	if isInspection && in.DeviationIn.Set() {
		if u, ok := quantity.LookupUnit(in.DeviationIn.S); ok && other(u) {
			one := quantity.Toleranced{Nominal: quantity.New(big.NewRat(1, 1), u)}
			out = append(out, ledger.KeySize{Key: "deviation_in", Size: ledger.Size{Tol: &one, Raw: in.DeviationIn.S, Span: in.DeviationIn.Span}})
		}
	}
	for _, v := range rec.Sizes() {
		if v.Key == "nominal" || v.Key == "range" && rec.Kind() == ledger.KindGauge {
			continue
		}
		add(v.Key, v.Size)
	}
	if isInspection {
		for _, row := range in.Rows() {
			for _, v := range row.Values {
				if v.Span == in.From.Span {
					add("readings_from", v)
				}
			}
		}
	}
	return unit, out
}

// recordUnit is the unit of a record's bare lengths; the zero Unit if neither
// the record nor the ledger says.
func (s *Set) recordUnit(rec *ledger.Record) quantity.Unit {
	switch rec.Common.Units.S {
	case "in":
		return quantity.Inch
	case "mm":
		return quantity.Millimetre
	}
	return s.L.Config.DefaultUnit()
}

// MixedSizes lists the sizes of a part, fixture, tool or gauge whose ratio to
// what they belong to is that of a mix-up of units, and those that are a trade
// size of the other system, rounded when it was converted.
func (s *Set) MixedSizes(rec *ledger.Record) []MixedSize {
	m := mixer{rec: rec}
	switch d := rec.Data.(type) {
	case *ledger.Part:
		for i := range d.Features {
			m.feature(&d.Features[i])
		}
	case *ledger.Fixture:
		for i := range d.Stations {
			st := &d.Stations[i]
			part := s.L.Record(st.Part.S)
			for j := range st.Locators {
				m.locator(&st.Locators[j], part)
			}
		}
	case *ledger.Tool:
		for i := range d.Cuts {
			m.compare("size", d.Cuts[i].Size, d.Diameter, rec, "the tool's diameter")
		}
	case *ledger.Gauge:
		if size, of := s.checksSize(d, s.AsOf); size.Set() {
			m.compare("go", d.Go, size, of, d.For.S)
			m.compare("not_go", d.NotGo, size, of, d.For.S)
		}
	}
	return m.out
}

type mixer struct {
	rec *ledger.Record
	out []MixedSize
}

func (m *mixer) feature(f *ledger.Feature) {
	base, name := f.Size, "the size of "+f.ID.S
	if f.Nominal.Set() {
		base, name = f.Nominal, "the trade size of "+f.ID.S
		m.trade("size", f.Size, f.Nominal)
		m.compare("size", f.Size, base, m.rec, name)
	}
	m.compare("as_made", f.AsMade, base, m.rec, name)
	for _, w := range f.Was {
		m.compare("size", w.Size, base, m.rec, name)
		m.compare("as_made", w.AsMade, base, m.rec, name)
	}
}

func (m *mixer) locator(l *ledger.Locator, part *ledger.Record) {
	base, rec, name := l.Nominal, m.rec, "the trade size of "+l.ID.S
	if l.Nominal.Set() {
		m.trade("size", l.Size, l.Nominal)
	} else if part != nil {
		if p, ok := part.Data.(*ledger.Part); ok {
			for _, f := range p.Features {
				if f.ID.S == l.Engages.S && f.ID.S != "" {
					base, rec, name = f.Size, part, "the size of "+part.ID()+"/"+f.ID.S
				}
			}
		}
	}
	m.compare("size", l.Size, base, rec, name)
	for _, w := range l.Was {
		m.compare("size", w.Size, base, rec, name)
	}
	for _, sv := range l.Surveys {
		m.compare("size", sv.Size, base, rec, name)
	}
}

func (m *mixer) compare(key string, size, base ledger.Size, rec *ledger.Record, name string) {
	if !size.Set() || !base.Set() {
		return
	}
	if slip := SlipOf(size.Nominal(), base.Nominal()); slip != nil {
		m.out = append(m.out, MixedSize{Key: key, Size: size, Slip: slip, Base: base, BaseRec: rec, BaseName: name})
	}
}

// roundedBy is the rounding of a size without tolerance that does not matter:
// half a tenth.
var roundedBy = quantity.New(big.NewRat(5, 100000), quantity.Inch)

// trade adds a size that is its trade size, of the other system, rounded on
// conversion by more than a tenth of its tolerance, or by more than half a
// tenth where it has none.
func (m *mixer) trade(key string, size, nominal ledger.Size) {
	if !size.Set() || size.Nominal().Decimals() < 0 {
		return
	}
	q, exact := size.Nominal(), nominal.Nominal()
	if q.Dim() != quantity.Length || exact.Dim() != quantity.Length || q.Unit().System() == exact.Unit().System() {
		return
	}
	off := new(big.Rat).Sub(q.Rat(), exact.Rat())
	off.Abs(off)
	may := roundedBy.Rat()
	if w, ok := size.Tol.Width(); ok {
		may = new(big.Rat).Quo(w.Rat(), big.NewRat(10, 1))
	}
	last := quantity.New(pow10(-q.Decimals()), q.Unit()).Rat()
	if off.Cmp(may) <= 0 || off.Cmp(last.Quo(last, big.NewRat(2, 1))) > 0 {
		return
	}
	if in, err := exact.As(q.Unit()); err == nil {
		exact = in
	}
	m.out = append(m.out, MixedSize{Key: key, Size: size, Exact: exact, Base: nominal, BaseRec: m.rec, BaseName: "the trade size"})
}

func pow10(n int) *big.Rat {
	p := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(n, -n))), nil)
	if n < 0 {
		return new(big.Rat).SetFrac(big.NewInt(1), p)
	}
	return new(big.Rat).SetInt(p)
}
