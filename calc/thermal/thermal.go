// Package thermal computes what temperature does to lengths: growth of a part,
// a size measured away from the reference temperature, and the pitch of a part
// against the pins of a fixture.
//
// Sizes hold at 20 °C, which is 68 °F (ISO 1, clause 3). Growth is taken as
// exactly linear with one coefficient for the whole range, the usual coefficient
// of linear expansion α near room temperature. Books differ by some percent on α
// (see package joint for the values and their sources); that difference, and not
// the arithmetic, limits the answers.
//
// Values are exact rationals; only uncertainties come out of a root.
package thermal

import (
	"math"
	"math/big"

	"tenths/calc/check"
	"tenths/calc/quantity"
)

// Reference is the temperature at which sizes hold, 20 °C (ISO 1:2016, clause
// 3; 68 °F).
func Reference() quantity.Quantity {
	c, _ := quantity.LookupUnit("C")
	return quantity.New(big.NewRat(20, 1), c)
}

// Body is a part, a gauge or a fixture at a temperature.
type Body struct {
	Expansion quantity.Quantity // coefficient of linear expansion, 11.7 ppm/K or 6.5 ppm/F
	At        quantity.Quantity // temperature, 68 F or 20 C

	// Uncertainties of the two, all of the same kind (all standard, or all
	// expanded with one factor); left out: not counted.
	UExpansion quantity.Quantity // 1 ppm/K
	UAt        quantity.Quantity // a temperature difference, 1 dF or 0.5 K
}

func (s *sums) body(b Body, name string) {
	s.Coefficient(b.Expansion, "expansion of the "+name)
	s.Temperature(b.At, "temperature of the "+name)
	s.Optional(b.UExpansion, "uncertainty of the expansion of the "+name, check.Expansion, "1 ppm/K")
	s.Optional(b.UAt, "uncertainty of the temperature of the "+name, quantity.TemperatureDifference, egSpan)
}

// away is the temperature minus the reference.
func (s *sums) away(b Body) quantity.Quantity { return s.Sub(b.At, Reference()) }

// Change is the growth of a length away from the reference temperature,
// L·α·(T - 20 °C), exact, in the unit of the length; negative in the cold.
func Change(length quantity.Quantity, b Body) (quantity.Quantity, error) {
	var s sums
	s.Positive(length, "length", quantity.Length, egLength)
	s.body(b, "body")
	if s.Err != nil {
		return quantity.Quantity{}, s.Err
	}
	return s.change(length, b), s.Err
}

func (s *sums) change(length quantity.Quantity, b Body) quantity.Quantity {
	return s.Keep(length.Mul(b.Expansion.Mul(s.away(b))).As(length.Unit()))
}

// Term is what one input adds to an uncertainty.
type Term struct {
	Name string
	U    quantity.Quantity
}

// Mismatch is the pitch of a part against the pitch of a fixture, both right at
// the reference temperature.
type Mismatch struct {
	Part, Fixture quantity.Quantity // growth of each
	Difference    quantity.Quantity // Part - Fixture; above 0: the part is longer

	// U is the root sum of the squares of Terms, of the same kind as the
	// uncertainties entered; Worst is their plain sum. Absent where none was
	// entered.
	U, Worst quantity.Quantity
	Terms    []Term
}

// Pitch computes L·[α_p·(T_p - 20 °C) - α_f·(T_f - 20 °C)], exact, in the unit of
// the length. Both at 20 °C gives 0 whatever the materials, and so does the same
// material at the same temperature.
//
// shared is an uncertainty that both temperatures have in common, as from one
// thermometer; it acts through the difference of the coefficients only. Left
// out, it is not counted.
func Pitch(length quantity.Quantity, part, fixture Body, shared quantity.Quantity) (Mismatch, error) {
	var s sums
	s.Positive(length, "pitch", quantity.Length, egLength)
	s.body(part, "part")
	s.body(fixture, "fixture")
	s.Optional(shared, "uncertainty that both temperatures share", quantity.TemperatureDifference, egSpan)
	if s.Err != nil {
		return Mismatch{}, s.Err
	}
	m := Mismatch{Part: s.change(length, part), Fixture: s.change(length, fixture)}
	m.Difference = s.Sub(m.Part, m.Fixture)
	m.Terms = s.terms(length, part, fixture, "fixture", shared)
	m.U, m.Worst = s.combine(m.Terms, length.Unit())
	if s.Err != nil {
		return Mismatch{}, s.Err
	}
	return m, nil
}

// Measurement is a reading of a part away from the reference temperature.
type Measurement struct {
	Reading  quantity.Quantity // what the gauge shows; right when the gauge is at 20 °C
	UReading quantity.Quantity // uncertainty of the reading itself; left out: not counted
	Part     Body
	Gauge    Body
	// UShared is an uncertainty that both temperatures have in common, as from
	// one thermometer; left out: not counted.
	UShared quantity.Quantity
}

// Corrected is a size at the reference temperature.
type Corrected struct {
	Size       quantity.Quantity // of the part at 20 °C
	Correction quantity.Quantity // Size - Reading

	// U and Worst as in Mismatch.
	U, Worst quantity.Quantity
	Terms    []Term
}

// AtReference is the size of a part at 20 °C from a reading taken elsewhere. The
// gauge has grown, so it covers more than it shows; the part has grown too:
//
//	Size = Reading·(1 + α_g·(T_g - 20 °C)) / (1 + α_p·(T_p - 20 °C))
//
// exact. U is the first-order law of propagation with the inputs taken as
// independent but for UShared (JCGM 100:2008, 5.1.2); terms of second order are
// left out, which matters only where both a temperature and a coefficient are at
// their reference and poorly known (JCGM 100:2008, H.1).
func AtReference(m Measurement) (Corrected, error) {
	var s sums
	s.Positive(m.Reading, "reading", quantity.Length, egLength)
	s.Optional(m.UReading, "uncertainty of the reading", quantity.Length, "0.0001 in")
	s.body(m.Part, "part")
	s.body(m.Gauge, "gauge")
	s.Optional(m.UShared, "uncertainty that both temperatures share", quantity.TemperatureDifference, egSpan)
	if s.Err != nil {
		return Corrected{}, s.Err
	}
	one := quantity.New(big.NewRat(1, 1), quantity.One)
	gauge := s.Add(one, m.Gauge.Expansion.Mul(s.away(m.Gauge)))
	part := s.Add(one, m.Part.Expansion.Mul(s.away(m.Part)))
	var c Corrected
	c.Size = s.Keep(m.Reading.Mul(s.Div(gauge, part)).As(m.Reading.Unit()))
	c.Correction = s.Sub(c.Size, m.Reading)
	if !m.UReading.IsZeroValue() {
		c.Terms = append(c.Terms, Term{"reading", s.Keep(m.UReading.As(m.Reading.Unit()))})
	}
	c.Terms = append(c.Terms, s.terms(m.Reading, m.Part, m.Gauge, "gauge", m.UShared)...)
	c.U, c.Worst = s.combine(c.Terms, m.Reading.Unit())
	if s.Err != nil {
		return Corrected{}, s.Err
	}
	return c, nil
}

// terms are the first-order contributions of temperatures and coefficients:
// L·(T - 20 °C)·u(α), L·α·u(T), and L·(α_p - α_o)·u(both T).
func (s *sums) terms(length quantity.Quantity, part, other Body, name string, shared quantity.Quantity) []Term {
	var out []Term
	term := func(name string, u, slope quantity.Quantity) {
		if !u.IsZeroValue() {
			out = append(out, Term{name, s.Keep(length.Mul(slope.Mul(u)).Abs().As(length.Unit()))})
		}
	}
	term("expansion of the part", part.UExpansion, s.away(part))
	term("temperature of the part", part.UAt, part.Expansion)
	term("expansion of the "+name, other.UExpansion, s.away(other))
	term("temperature of the "+name, other.UAt, other.Expansion)
	term("temperature of both", shared, s.Sub(part.Expansion, other.Expansion))
	return out
}

// combine is the root sum of squares, and the sum.
func (s *sums) combine(terms []Term, u quantity.Unit) (root, sum quantity.Quantity) {
	if s.Err != nil || len(terms) == 0 {
		return quantity.Quantity{}, quantity.Quantity{}
	}
	var square float64
	sum = quantity.New(new(big.Rat), u)
	for _, t := range terms {
		square += t.U.FloatIn(u) * t.U.FloatIn(u)
		sum = s.Add(sum, t.U)
	}
	return quantity.FromFloat(math.Sqrt(square), u), sum
}
