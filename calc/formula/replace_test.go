package formula

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A chain of formulas put into one gives what the whole formula gives, and an
// input that comes in twice counts once.
func TestReplace(t *testing.T) {
	outer := parsed(t, "gap - 2*wall")
	e, err := outer.Replace(map[string]*Expr{
		"gap":  parsed(t, "width - pin"),
		"wall": parsed(t, "(width - bore)/2"),
	})
	require.NoError(t, err)
	assert.Equal(t, []string{"width", "pin", "bore"}, e.Names())
	assert.Equal(t, "gap - 2*wall", e.String())
	assert.Equal(t, []string{"gap", "wall"}, outer.Names(), "the outer formula is untouched")
	in := inputs(t, "width", "2 ±0.01", "pin", "0.5 ±0.002", "bore", "0.6 ±0.003")
	got, err := e.Eval(in, Options{})
	require.NoError(t, err)
	want := eval(t, "bore - pin", in[2], in[1])
	assert.Zero(t, got.WorstLower.Rat().Cmp(want.WorstLower.Rat()))
	assert.Zero(t, got.WorstUpper.Rat().Cmp(want.WorstUpper.Rat()))
	assert.Zero(t, got.RSS.Rat().Cmp(want.RSS.Rat()))
	assert.True(t, got.Linear)
	assert.Zero(t, got.Contributors[0].Sensitivity.Sign(), "the width cancels")
}

func TestReplaceKeepsPlaces(t *testing.T) {
	e, err := parsed(t, "a + b").Replace(map[string]*Expr{"b": parsed(t, "pow(1*in/c, 3)*in")})
	require.NoError(t, err)
	_, err = e.Eval(inputs(t, "a", "1", "c", "0"), Options{})
	var p *Error
	require.ErrorAs(t, err, &p)
	assert.Equal(t, 5, p.Column, "where b stands in the outer formula")
	assert.Contains(t, p.Msg, "division by zero")
}

func TestReplaceWithVariable(t *testing.T) {
	e, err := parsed(t, "a - b").Replace(map[string]*Expr{"a": Variable("FX1/A/P1"), "b": Variable("FX1/A/P1")})
	require.NoError(t, err)
	assert.Equal(t, []string{"FX1/A/P1"}, e.Names())
	r, err := e.Eval([]Input{given(t, "FX1/A/P1", "1 ±0.1")}, Options{})
	require.NoError(t, err)
	assert.Zero(t, r.WorstUpper.Sign())
}

func TestReplaceIsBounded(t *testing.T) {
	e := parsed(t, strings.Repeat("a+", 100)+"a")
	_, err := e.Replace(map[string]*Expr{"a": e})
	var p *Error
	require.True(t, errors.As(err, &p))
	assert.Contains(t, p.Msg, "more than 500 parts")
}
