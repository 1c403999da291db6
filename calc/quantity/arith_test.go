package quantity

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func parse(t interface {
	Errorf(format string, args ...any)
	FailNow()
}, text string) Quantity {
	q, err := Parse(text, One)
	require.NoError(t, err, text)
	return q
}

func TestArithmeticShowsUnits(t *testing.T) {
	for _, c := range []struct{ a, op, b, want string }{
		{"0.1875 in", "+", "0.0005 in", "0.1880 in"},
		{"0.1875 in", "+", "5 tenths", "0.188 in"},
		{"0.1880 in", "-", "4.7752 mm", "0 in"},
		{"0.1876 in", "-", "0.1873 in", "0.0003 in"},
		{"3/32 in", "+", "3/32 in", "0.1875 in"},
		{"1 in", "-", "2 in", "-1 in"},
		{"70 F", "-", "68 F", "2 dF"},
		{"68 F", "+", "9 dF", "77 F"},
		{"20 C", "-", "5 K", "15 C"},
		{"20 C", "-", "68 F", "0 dC"},
		{"2 in", "*", "3 in", "6 in²"},
		{"2 mm", "*", "3 mm", "6 mm²"},
		{"5 tenths", "*", "2", "10 tenths"},
		{"2", "*", "5 tenths", "10 tenths"},
		{"50 %", "*", "5 tenths", "2.5 tenths"},
		{"10 lbf", "*", "2 in", "20 in·lbf"},
		{"1 in", "/", "2 in", "0.5"},
		{"1 in", "/", "25.4 mm", "1"},
		{"1 in", "/", "4", "0.25 in"},
		{"1", "/", "20", "0.05"},
		{"1 in", "/", "3", "0.333333 in"},
		{"2", "/", "3", "0.666667"},
		{"12 in", "/", "2 min", "0.1 in/s"},
	} {
		a, b := parse(t, c.a), parse(t, c.b)
		var got Quantity
		var err error
		switch c.op {
		case "+":
			got, err = a.Add(b)
		case "-":
			got, err = a.Sub(b)
		case "*":
			got = a.Mul(b)
		case "/":
			got, err = a.Div(b)
		}
		require.NoError(t, err, "%s %s %s", c.a, c.op, c.b)
		assert.Equal(t, c.want, got.String(), "%s %s %s", c.a, c.op, c.b)
	}
}

func TestArithmeticRefuses(t *testing.T) {
	in, deg, f, df := parse(t, "1 in"), parse(t, "1 deg"), parse(t, "68 F"), parse(t, "1 dF")
	for _, c := range []struct {
		do   func() (Quantity, error)
		want string
	}{
		{func() (Quantity, error) { return in.Add(deg) }, "cannot add an angle to a length"},
		{func() (Quantity, error) { return in.Sub(deg) }, "cannot subtract an angle from a length"},
		{func() (Quantity, error) { return f.Add(f) }, "cannot add a temperature to a temperature"},
		{func() (Quantity, error) { return df.Add(f) }, "cannot add a temperature to a temperature difference"},
		{func() (Quantity, error) { return df.Sub(f) }, "cannot subtract a temperature from a temperature difference"},
		{func() (Quantity, error) { return in.Div(parse(t, "0 mm")) }, "division by zero"},
		{func() (Quantity, error) { return in.Div(FromFloat(1e-9, One).WithBound(big.NewRat(1, 1000))) }, "division by zero"},
		{func() (Quantity, error) { return in.Add(Quantity{}) }, "a quantity without a value"},
		{func() (Quantity, error) { return Quantity{}.Sub(in) }, "a quantity without a value"},
		{func() (Quantity, error) { return in.Div(Quantity{}) }, "a quantity without a value"},
		{func() (Quantity, error) { return in.As(Degree) }, "cannot show a length in an angle"},
	} {
		q, err := c.do()
		assert.EqualError(t, err, c.want)
		assert.True(t, q.IsZeroValue())
	}
	_, err := f.In(unit(t, "dF"))
	assert.EqualError(t, err, "cannot convert a temperature to a temperature difference")
	_, err = f.Cmp(df)
	assert.EqualError(t, err, "cannot compare a temperature with a temperature difference")
	assert.True(t, math.IsNaN(in.FloatIn(Degree)))
}

func TestZeroQuantity(t *testing.T) {
	var q Quantity
	assert.True(t, q.IsZeroValue())
	assert.False(t, q.Exact())
	assert.Equal(t, "no value", q.String())
	assert.Equal(t, "no value", q.Format(Inch, 3))
	assert.Equal(t, "", q.Plain())
	assert.Zero(t, q.Sign())
	assert.Zero(t, q.Float())
	assert.True(t, q.Neg().IsZeroValue())
	assert.True(t, q.Abs().IsZeroValue())
	assert.True(t, q.Mul(q).IsZeroValue())
	assert.True(t, q.Scale(big.NewRat(1, 2)).IsZeroValue())
	assert.True(t, q.WithBound(big.NewRat(1, 1)).IsZeroValue())
	assert.True(t, FromFloat(math.NaN(), Inch).IsZeroValue())
	assert.True(t, FromFloat(math.Inf(-1), Inch).IsZeroValue())
	_, err := q.Cmp(q)
	assert.Error(t, err)
	_, err = q.In(Inch)
	assert.Error(t, err)
}

func TestFractionsKeepTheirSign(t *testing.T) {
	q := parse(t, "1 1/2 in")
	assert.Equal(t, "-1 1/2 in", q.Neg().String())
	assert.Equal(t, "1 1/2 in", q.Neg().Neg().String())
	assert.Equal(t, "1 1/2 in", q.Neg().Abs().String())
	assert.Equal(t, "0/4 in", parse(t, "0/4 in").Neg().String())
}

// Values are shared between quantities; nothing that a caller holds may change
// them.
func TestImmutable(t *testing.T) {
	v := big.NewRat(1, 2)
	q := New(v, Inch)
	v.SetInt64(9)
	q.Rat().SetInt64(9)
	q.Bound().SetInt64(9)
	in, err := q.In(Inch)
	require.NoError(t, err)
	in.SetInt64(9)
	_ = q.Neg()
	_, err = q.Add(q)
	require.NoError(t, err)
	assert.Equal(t, "0.5 in", q.String())
	assert.Equal(t, "1 in", New(big.NewRat(1, 1), Inch).String(), "the unit table is untouched")
}

func drawRat(t *rapid.T, name string) *big.Rat {
	return big.NewRat(rapid.Int64Range(-1_000_000, 1_000_000).Draw(t, name), rapid.Int64Range(1, 10_000).Draw(t, name+" divisor"))
}

func TestAlgebra(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lengths := rapid.SampledFrom([]string{"in", "mm", "thou", "tenths", "uin", "um"})
		draw := func(name string) Quantity {
			return New(drawRat(t, name), unit(t, lengths.Draw(t, name+" unit")))
		}
		a, b, c := draw("a"), draw("b"), draw("c")
		must := func(q Quantity, err error) Quantity { require.NoError(t, err); return q }
		equal := func(x, y Quantity) {
			n, err := x.Cmp(y)
			require.NoError(t, err)
			assert.Zero(t, n, "%s and %s", x.Rat(), y.Rat())
			assert.True(t, x.Exact() && y.Exact())
		}
		equal(must(must(a.Add(b)).Sub(b)), a)
		equal(must(a.Add(b)), must(b.Add(a)))
		equal(must(a.Sub(b)), must(b.Sub(a)).Neg())
		equal(must(a.Add(b)).Mul(c), must(a.Mul(c).Add(b.Mul(c))))
		if b.Sign() != 0 {
			equal(must(a.Mul(b).Div(b)), a)
		}
		shown := must(a.As(unit(t, lengths.Draw(t, "shown in"))))
		equal(shown, a)
		v := must2(t, a, shown.Unit())
		equal(New(v, shown.Unit()), a)
	})
}

func must2(t *rapid.T, q Quantity, u Unit) *big.Rat {
	v, err := q.In(u)
	require.NoError(t, err)
	return v
}

// The bound of an inexact result holds the exact result: each operation on
// values moved within their bounds stays within the bound of the outcome.
func TestBoundsHoldTheExactResult(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		inexact := func(name string) (Quantity, Quantity) {
			truth := drawRat(t, name)
			off := new(big.Rat).Mul(big.NewRat(rapid.Int64Range(-1000, 1000).Draw(t, name+" error"), 1000), big.NewRat(1, 100))
			seen := New(new(big.Rat).Add(truth, off), Millimetre).WithBound(big.NewRat(1, 100))
			return New(truth, Millimetre), seen
		}
		a, as := inexact("a")
		b, bs := inexact("b")
		holds := func(truth, seen Quantity) {
			require.False(t, seen.Exact())
			d := new(big.Rat).Sub(truth.Rat(), seen.Rat())
			assert.True(t, d.Abs(d).Cmp(seen.Bound()) <= 0, "%s: off by %s, bound %s", truth, d.FloatString(20), seen.Bound().FloatString(20))
		}
		sum, err := a.Add(b)
		require.NoError(t, err)
		sumSeen, err := as.Add(bs)
		require.NoError(t, err)
		holds(sum, sumSeen)
		holds(a.Mul(b), as.Mul(bs))
		holds(a.Neg(), as.Neg())
		q, err := as.Div(bs)
		if err != nil {
			require.ErrorIs(t, err, ErrDivideByZero)
			assert.True(t, bs.Abs().Rat().Cmp(bs.Bound()) <= 0)
			return
		}
		truth, err := a.Div(b)
		require.NoError(t, err)
		holds(truth, q)
	})
}

// In exact numbers 0.1 + 0.2 is 0.3, and 0.188*25.4 is 4.7752.
func TestNoBinaryRounding(t *testing.T) {
	sum, err := parse(t, "0.1 in").Add(parse(t, "0.2 in"))
	require.NoError(t, err)
	assert.Equal(t, "0.3 in", sum.String())
	n, err := sum.Cmp(parse(t, "0.3 in"))
	require.NoError(t, err)
	assert.Zero(t, n)
	for k := int64(0); k < 40_000; k += 7 { // every seventh size of 0.0001 in to 4 in
		in := New(big.NewRat(k, 10_000), Inch)
		mm, err := Parse(new(big.Rat).Mul(big.NewRat(k, 10_000), big.NewRat(254, 10)).FloatString(5)+" mm", Unit{})
		require.NoError(t, err)
		n, err := in.Cmp(mm)
		require.NoError(t, err)
		require.Zero(t, n, "%s and %s", in, mm)
	}
}
