package formula

import (
	"math/big"

	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
)

// tester is what both *testing.T and *rapid.T offer.
type tester interface {
	Helper()
	Errorf(format string, args ...any)
	FailNow()
}

// given is an input from text; lengths without unit are inches.
func given(t tester, name, text string) Input {
	t.Helper()
	v, err := quantity.ParseToleranced(text, quantity.Inch)
	require.NoError(t, err, text)
	return Input{Name: name, Value: v}
}

// inputs reads name, text, name, text.
func inputs(t tester, pairs ...string) []Input {
	t.Helper()
	var out []Input
	for i := 0; i+1 < len(pairs); i += 2 {
		out = append(out, given(t, pairs[i], pairs[i+1]))
	}
	return out
}

func parsed(t tester, text string) *Expr {
	t.Helper()
	e, err := Parse(text)
	require.NoError(t, err, text)
	return e
}

// eval evaluates a formula that must work.
func eval(t tester, text string, in ...Input) *Result {
	t.Helper()
	r, err := parsed(t, text).Eval(in, Options{})
	require.NoError(t, err, text)
	return r
}

func rational(t tester, s string) *big.Rat {
	t.Helper()
	r, ok := new(big.Rat).SetString(s)
	require.True(t, ok, "test value %q", s)
	return r
}

func unit(t tester, name string) quantity.Unit {
	t.Helper()
	u, ok := quantity.LookupUnit(name)
	require.True(t, ok, "test unit %q", name)
	return u
}

// within reports whether two quantities can be the same: their distance is not
// more than both error bounds together.
func within(a, b quantity.Quantity) bool {
	d := new(big.Rat).Sub(a.Rat(), b.Rat())
	return d.Abs(d).Cmp(new(big.Rat).Add(a.Bound(), b.Bound())) <= 0
}

// holds reports whether a range can hold q.
func holds(lo, hi, q quantity.Quantity) bool {
	s := span{lo, hi}
	one := span{q, q}
	return s.below().Cmp(one.above()) <= 0 && s.above().Cmp(one.below()) >= 0
}
