package formula

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// used leaves the inputs that a formula has.
func used(e *Expr, all []Input) (out []Input) {
	for _, in := range all {
		if _, ok := e.where[in.Name]; ok {
			out = append(out, in)
		}
	}
	return out
}

// The truth of comparisons and their joins, by hand; && binds before ||, and both
// after the comparisons, as in Go.
func TestConditions(t *testing.T) {
	in := inputs(t, "a", "1 in", "b", "25.4 mm", "c", "2 in", "t", "68 F", "w", "30 deg")
	for text, want := range map[string]bool{
		"a < c": true, "c < a": false, "a < b": false, "a <= b": true, "a >= b": true, "a > b": false, "c > a": true, "c >= a": true, "a <= c": true, "c <= a": false,
		"a == b": true, "a != b": false, "a == c": false, "a != c": true, "!(a == b)": false, "!!(a < c)": true,
		"a < c && c < a": false, "a < c && b < c": true, "a < c || c < a": true, "c < a || c < b": false,
		"a < c || a < c && c < a": true, "(a < c || a < c) && c < a": false, "!(a < c) || b < c": true,
		"t == 20*C": true, "t < 21*C": true, "t - 60*F > 7*dF": true, "w > 0*deg": true, "sin(w) == 0.5": true, "a/c < 0.6": true,
	} {
		e := parsed(t, "if("+text+", 1, 0)")
		r, err := e.Eval(used(e, in), Options{})
		require.NoError(t, err, text)
		assert.Equal(t, want, r.Value.Sign() == 1, text)
	}
}

// What a condition leaves out is not computed, but its dimensions count.
func TestChoice(t *testing.T) {
	r := eval(t, "if(b == 0*mm, 0*mm, a*a/b)", inputs(t, "a", "2 mm", "b", "0 mm")...)
	assert.Equal(t, "0 mm", r.Value.String())
	r = eval(t, "if(b != 0*mm && a/b > 1, a, b)", inputs(t, "a", "2 mm", "b", "0 mm")...)
	assert.Equal(t, "0 mm", r.Value.String())
	r = eval(t, "if(a > 1*mm, if(a > 3*mm, 3, 2), 1)*mm", inputs(t, "a", "2 mm")...)
	assert.Equal(t, "2 mm", r.Value.String())
	r = eval(t, "if(t > 70*F, t, 70*F) - 68*F", inputs(t, "t", "68 F")...)
	assert.Equal(t, "2 dF", r.Value.String())
	for _, c := range []struct {
		text   string
		column int
		says   string
	}{
		{"if(a < b, a, 1*deg + a/0)", 20, "cannot add a length to an angle"},
		{"if(a < b, a, 1*deg)", 15, "if chooses between a length and an angle"},
		{"if(a < b, a, 2)", 14, "if chooses between a length and a plain number; a number takes its unit, like 0.5*in"},
		{"if(a < 2, a, b)", 8, "< compares a length and a plain number"},
		{"if(a < b, a, b + 2)", 16, "cannot add a plain number to a length"},
		{"if(68*F < 3*K, a, b)", 12, "< compares a temperature and a temperature difference; a temperature is written like 68*F"},
		{"if(sqrt(2)*sqrt(2) < 2, a, b)", 20, "too close to tell"},
	} {
		e := parsed(t, c.text)
		_, err := e.Eval(used(e, inputs(t, "a", "1", "b", "2")), Options{})
		var p *Error
		require.ErrorAs(t, err, &p, c.text)
		assert.Equal(t, c.column, p.Column, "%v", err)
		assert.Contains(t, err.Error(), c.says)
	}
}

// A condition that turns over within the tolerances: both sides are enclosed, and
// there is no root sum square.
func TestConditionWithinTolerances(t *testing.T) {
	// A step of 0.010 where the hole is over 0.2500; by hand.
	text := "if(hole > 0.25*in, 0.01*in, 0*in) + hole"
	r := eval(t, text, given(t, "hole", "0.2500 ±0.0010"))
	assert.InDelta(t, 0.2490, r.WorstLower.FloatIn(unit(t, "in")), 1e-7)
	assert.InDelta(t, 0.2610, r.WorstUpper.FloatIn(unit(t, "in")), 1e-7)
	require.NotNil(t, r.NoSlope)
	assert.Equal(t, 9, r.NoSlope.Column)
	assert.Contains(t, r.NoSlope.Msg, "can hold or fail within the tolerances")
	assert.True(t, r.RSS.IsZeroValue())
	// Decided over the whole range: as if the condition were not there.
	r = eval(t, text, given(t, "hole", "0.2520 ±0.0010"))
	assert.Nil(t, r.NoSlope)
	assert.True(t, r.Linear && r.Exact)
	assert.Equal(t, "0.262 in", r.Value.String())
	assert.Equal(t, "0.001 in", r.RSS.String())
	// On the border: a limit that stands on it counts as the comparison says.
	r = eval(t, text, given(t, "hole", "0.2490 ±0.0010"))
	assert.Nil(t, r.NoSlope)
	assert.Equal(t, "0.25 in", r.WorstUpper.String())
	r = eval(t, "if(hole >= 0.25*in, 0.01*in, 0*in) + hole", given(t, "hole", "0.2490 ±0.0010"))
	assert.NotNil(t, r.NoSlope)
	assert.InDelta(t, 0.26, r.WorstUpper.FloatIn(unit(t, "in")), 1e-9)
	// Sides of their own inputs: exact.
	r = eval(t, "if(a < b, c, d)", inputs(t, "a", "1 ±0.1", "b", "1.05 ±0.1", "c", "1 ±0.5", "d", "5 ±0.1")...)
	assert.Equal(t, Independent, r.Method)
	assert.Equal(t, "0.5 in", r.WorstLower.String())
	assert.Equal(t, "5.1 in", r.WorstUpper.String())
	// A guard against what would be undefined holds over the range too.
	r = eval(t, "if(a > 0.5*in, 1*in*in/a, 2*in)", given(t, "a", "0 ±1"))
	assert.InDelta(t, 1, r.WorstLower.FloatIn(unit(t, "in")), 1e-5)
	assert.InDelta(t, 2, r.WorstUpper.FloatIn(unit(t, "in")), 1e-5)
	_, err := parsed(t, "if(a > -0.5*in, 1*in*in/a, 2*in)").Eval([]Input{given(t, "a", "0.1 ±1")}, Options{})
	assert.ErrorContains(t, err, "the divisor can be zero")
	// An abs that can turn over says so beside the root sum square.
	r = eval(t, "abs(a - b)", inputs(t, "a", "1.05 ±0.1", "b", "1 ±0.1")...)
	require.Len(t, r.Folds, 1)
	assert.Contains(t, r.Folds[0].Msg, "abs can turn over within the tolerances")
	assert.Empty(t, eval(t, "abs(a - b)", inputs(t, "a", "2 ±0.1", "b", "1 ±0.1")...).Folds)
}
