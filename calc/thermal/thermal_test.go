package thermal

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/internal/testkit"
	"tenths/calc/quantity"
)

func body(t require.TestingT, expansion, at string) Body {
	return Body{Expansion: testkit.Q(t, expansion), At: testkit.Q(t, at)}
}

// Standings of a check value. The coefficients come from the handbook or from
// memory as each row says; the oracle is the arithmetic done apart from this
// code, or the printed result.
const (
	seen     = "seen in two or more places"
	apart    = "computed apart from this code"
	practice = "common practice"
)

func TestChange(t *testing.T) {
	for _, c := range []struct {
		name, source, standing string
		length, alpha, at      string
		want                   string
	}{
		{"steel, 6 K", "appendix value 11.7 ppm/K of a materials textbook", apart, "25 mm", "11.7 ppm/K", "26 C", "1.76 um"},
		{"6061, 6 K", "appendix value 23.6 ppm/K of the same", apart, "25 mm", "23.6 ppm/K", "26 C", "3.54 um"},
		{"a diameter", "10 mm, 10 K, aluminium", apart, "10 mm", "23.6 ppm/K", "30 C", "0.0024 mm"},
		{"brass, a kelvin", "19.3 ppm/K from memory, 90 mm", apart, "90 mm", "19.3 ppm/K", "21 C", "0.0017 mm"},
		{"cold", "sign", apart, "25 mm", "11.7 ppm/K", "14 C", "-1.76 um"},
		{"68 F is 20 C", "ISO 1, clause 3; NIST SP 811", seen, "25 mm", "11.7 ppm/K", "68 F", "0 um"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Change(testkit.Q(t, c.length), body(t, c.alpha, c.at))
			require.NoError(t, err)
			assert.True(t, got.Exact())
			want := testkit.Q(t, c.want)
			assert.Equal(t, c.want, got.Format(want.Unit(), max(0, want.Decimals())), c.source)
		})
	}
}

func TestPitch(t *testing.T) {
	for _, c := range []struct {
		name, source, standing string
		length                 string
		part, partAt           string
		fixture, fixtureAt     string
		want                   string
	}{
		{"Al on steel, both 30 C", "worked out with a numeric library; coefficients from memory", apart, "300 mm", "23.6 ppm/K", "30 C", "11.7 ppm/K", "30 C", "0.0357 mm"},
		{"Al 35 C on steel 22 C", "the same", apart, "300 mm", "23.6 ppm/K", "35 C", "11.7 ppm/K", "22 C", "0.09918 mm"},
		{"steel warm from washing", "the same", apart, "250 mm", "11.7 ppm/K", "45 C", "11.7 ppm/K", "20 C", "0.073125 mm"},
		{"both at 20 C", "definition", apart, "300 mm", "23.6 ppm/K", "20 C", "11.7 ppm/K", "20 C", "0.0000 mm"},
		// The shop's formula sheet, with the handbook's 23.6 and 11.7 ppm/K. Its
		// rounded 13 and 6.5 ppm/F give 0.00052.
		{"4 in Al on steel, both +20 F", "formula sheet of the trade, F6", practice, "4 in", "23.6 ppm/K", "88 F", "11.7 ppm/K", "88 F", "0.00053 in"},
		{"the same, rounded coefficients", "formula sheet of the trade, F6", practice, "4 in", "13 ppm/F", "88 F", "6.5 ppm/F", "88 F", "0.00052 in"},
		{"brass on steel, 6 K over 90 mm", "invented demo shop, brass 19.3 ppm/K from memory", apart, "90 mm", "19.3 ppm/K", "26 C", "11.7 ppm/K", "26 C", "4.1 um"},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := Pitch(testkit.Q(t, c.length), body(t, c.part, c.partAt), body(t, c.fixture, c.fixtureAt), quantity.Quantity{})
			require.NoError(t, err)
			assert.True(t, m.Difference.Exact())
			want := testkit.Q(t, c.want)
			assert.Equal(t, c.want, m.Difference.Format(want.Unit(), want.Decimals()), c.source)
			assert.True(t, m.U.IsZeroValue(), "no uncertainty was entered")
		})
	}
}

func TestAtReference(t *testing.T) {
	for _, c := range []struct {
		name, source, standing string
		reading                string
		part, partAt           string
		gauge, gaugeAt         string
		correction             string
	}{
		{"6061 read with a steel scale, both 80 F", "(23.6-11.7) ppm/K · 6.667 K · 1 in", apart, "1.000 in", "23.6 ppm/K", "80 F", "11.7 ppm/K", "80 F", "-79 uin"},
		{"6061 against a steel gauge at 26 C", "3.54 - 1.76 um", apart, "25 mm", "23.6 ppm/K", "26 C", "11.7 ppm/K", "26 C", "-1.8 um"},
		{"warm part, gauge at 20 C", "growth of the part alone", apart, "25 mm", "23.6 ppm/K", "26 C", "11.7 ppm/K", "20 C", "-3.5 um"},
		{"warm gauge, part at 20 C", "growth of the gauge alone", apart, "25 mm", "23.6 ppm/K", "20 C", "11.7 ppm/K", "26 C", "1.8 um"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := AtReference(Measurement{Reading: testkit.Q(t, c.reading), Part: body(t, c.part, c.partAt), Gauge: body(t, c.gauge, c.gaugeAt)})
			require.NoError(t, err)
			assert.True(t, r.Size.Exact())
			want := testkit.Q(t, c.correction)
			assert.Equal(t, c.correction, r.Correction.Format(want.Unit(), max(0, want.Decimals())), c.source)
		})
	}
}

// JCGM 100:2008, example H.1: a 50 mm end gauge against a standard of nearly the
// same temperature and coefficient. Inputs seen in the documentation of two
// statistics packages; printed results 50.000838 mm and 32 nm, with 31.71 nm for
// the inputs as rounded there. The example writes α_p = α_s + δα and
// T_p = T_s + δθ, so the uncertainty of δα and δθ is that of the part alone and
// that of the mean temperature is shared.
func TestEndGaugeOfTheGuide(t *testing.T) {
	reading := testkit.Q(t, "50.000838 mm") // standard 50.000623 and difference 215 nm
	part := body(t, "11.5 ppm/K", "19.9 C")
	gauge := part
	part.UExpansion, part.UAt = testkit.Q(t, "0.58 ppm/K"), testkit.Q(t, "0.029 K")
	um, _ := quantity.LookupUnit("um")
	uReading := quantity.FromFloat(math.Hypot(0.025, 0.0097), um) // standard and difference
	r, err := AtReference(Measurement{Reading: reading, UReading: uReading, Part: part, Gauge: gauge, UShared: testkit.Q(t, "0.41 K")})
	require.NoError(t, err)
	assert.Equal(t, "50.000838 mm", r.Size.Format(quantity.Millimetre, 6))
	assert.Equal(t, "0.032 um", r.U.Format(um, 3))
	assert.InDelta(t, 31.7106, 1e6*r.U.Float(), 0.0005)
	var got []float64
	for _, term := range r.Terms {
		got = append(got, 1e6*term.U.Float())
	}
	assert.InDeltaSlice(t, []float64{26.816, 2.9, 16.675, 0}, got, 0.001) // printed 25 and 9.7, 2.9, 16.68, 0
}

func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := quantity.New(big.NewRat(rapid.Int64Range(1, 500000).Draw(t, "length"), 10000), quantity.Inch)
		mm, err := length.As(quantity.Millimetre)
		require.NoError(t, err)
		f, _ := quantity.LookupUnit("F")
		c, _ := quantity.LookupUnit("C")
		draw := func(name string) (a, b Body) {
			alpha := rapid.Int64Range(10, 300).Draw(t, name+" alpha")
			ppmK, _ := quantity.LookupUnit("ppm/K")
			ppmF, _ := quantity.LookupUnit("ppm/F")
			at := rapid.Int64Range(-40, 212).Draw(t, name+" at")
			a = Body{Expansion: quantity.New(big.NewRat(alpha, 10), ppmK), At: quantity.New(big.NewRat(at, 1), f)}
			b = Body{Expansion: quantity.New(big.NewRat(alpha, 18), ppmF), At: quantity.New(big.NewRat((at-32)*5, 9), c)}
			return a, b
		}
		partF, partC := draw("part")
		otherF, otherC := draw("other")
		none := quantity.Quantity{}

		// The unit of entry changes nothing.
		x, err := Pitch(length, partF, otherF, none)
		require.NoError(t, err)
		y, err := Pitch(mm, partC, otherC, none)
		require.NoError(t, err)
		assert.Zero(t, x.Difference.Rat().Cmp(y.Difference.Rat()))
		m, err := AtReference(Measurement{Reading: length, Part: partF, Gauge: otherF})
		require.NoError(t, err)
		n, err := AtReference(Measurement{Reading: mm, Part: partC, Gauge: otherC})
		require.NoError(t, err)
		assert.Zero(t, m.Size.Rat().Cmp(n.Size.Rat()))

		// Exchanged, the mismatch changes its sign and the ratio inverts.
		z, err := Pitch(length, otherF, partF, none)
		require.NoError(t, err)
		assert.Zero(t, x.Difference.Rat().Cmp(z.Difference.Neg().Rat()))
		back, err := AtReference(Measurement{Reading: m.Size, Part: otherF, Gauge: partF})
		require.NoError(t, err)
		assert.Zero(t, back.Size.Rat().Cmp(length.Rat()))

		// The same material at the same temperature needs no correction.
		same, err := AtReference(Measurement{Reading: length, Part: partF, Gauge: partF})
		require.NoError(t, err)
		assert.Zero(t, same.Correction.Sign())

		// A warmer part is the smaller for the same reading.
		warmer := partF
		warmer.At, err = partF.At.Add(testkit.Q(t, "1 dF"))
		require.NoError(t, err)
		w, err := AtReference(Measurement{Reading: length, Part: warmer, Gauge: otherF})
		require.NoError(t, err)
		assert.Negative(t, w.Size.Rat().Cmp(m.Size.Rat()))

		// Worst case and root sum square; more uncertainty is never less.
		partF.UAt, otherF.UAt = testkit.Q(t, "1 dF"), testkit.Q(t, "2 dF")
		u1, err := Pitch(length, partF, otherF, none)
		require.NoError(t, err)
		assert.LessOrEqual(t, u1.U.Float(), u1.Worst.Float()*(1+1e-12))
		partF.UExpansion = testkit.Q(t, "1 ppm/K")
		u2, err := Pitch(length, partF, otherF, testkit.Q(t, "0.5 K"))
		require.NoError(t, err)
		assert.GreaterOrEqual(t, u2.U.Float(), u1.U.Float()*(1-1e-12))
		assert.Zero(t, u2.Difference.Rat().Cmp(x.Difference.Rat()))
	})
}

func TestErrorsSayWhatToType(t *testing.T) {
	ok := body(t, "11.7 ppm/K", "68 F")
	for _, c := range []struct {
		length, alpha, at string
		want              string
	}{
		{"", "11.7 ppm/K", "68 F", "length: no value; type a length above 0, such as 1.5 in or 38 mm"},
		{"0 in", "11.7 ppm/K", "68 F", "length: 0 in is not above 0; type a length above 0"},
		{"-1 in", "11.7 ppm/K", "68 F", "length: -1 in is not above 0"},
		{"12 deg", "11.7 ppm/K", "68 F", "length: 12 deg is an angle; type a length above 0"},
		{"1 in", "", "68 F", "expansion of the body: no value; type a coefficient of expansion above 0, such as 11.7 ppm/K or 6.5 ppm/F"},
		{"1 in", "11.7 ppm", "68 F", "expansion of the body: 11.7 ppm is a plain number; type"},
		{"1 in", "-1 ppm/K", "68 F", "is not above 0"},
		{"1 in", "11.7 1/K", "68 F", "is beyond any material; type it in millionths, such as 11.7 ppm/K"},
		{"1 in", "11.7 ppm/K", "", "temperature of the body: no value; type a temperature, such as 68 F or 20 C"},
		{"1 in", "11.7 ppm/K", "20 dF", "temperature of the body: 20 dF is a temperature difference; type a temperature"},
		{"1 in", "11.7 ppm/K", "293 K", "type a temperature, such as 68 F or 20 C"},
	} {
		_, err := Change(testkit.Q(t, c.length), body(t, c.alpha, c.at))
		require.Error(t, err, c.want)
		assert.Contains(t, err.Error(), c.want)
	}
	f, _ := quantity.LookupUnit("F")
	_, err := Change(testkit.Q(t, "1 in"), Body{Expansion: ok.Expansion, At: quantity.New(big.NewRat(-500, 1), f)})
	assert.ErrorContains(t, err, "temperature of the body: -500 F is below absolute zero")
	bad := ok
	bad.UAt = testkit.Q(t, "1 F")
	_, err = Pitch(testkit.Q(t, "1 in"), ok, bad, quantity.Quantity{})
	assert.ErrorContains(t, err, "uncertainty of the temperature of the fixture: 1 F is a temperature; type a temperature difference above 0, such as 1 dF")
	_, err = Pitch(testkit.Q(t, "1 in"), ok, ok, testkit.Q(t, "1 in"))
	assert.ErrorContains(t, err, "uncertainty that both temperatures share: 1 in is a length")
	bad = ok
	bad.UExpansion = testkit.Q(t, "-1 ppm/K")
	_, err = AtReference(Measurement{Reading: testkit.Q(t, "1 in"), Part: bad, Gauge: ok})
	assert.ErrorContains(t, err, "uncertainty of the expansion of the part: -1 ppm/K is not above 0")
	_, err = AtReference(Measurement{Reading: testkit.Q(t, "1 in"), UReading: testkit.Q(t, "0 in"), Part: ok, Gauge: ok})
	assert.ErrorContains(t, err, "uncertainty of the reading: 0 in is not above 0")
}
