// Package testkit reads the quantities that tests of the calculations write as text.
package testkit

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
)

// Q reads a quantity of a test table; "" is a value left out.
func Q(t require.TestingT, text string) quantity.Quantity {
	if text == "" {
		return quantity.Quantity{}
	}
	q, err := quantity.Parse(text, quantity.One)
	require.NoError(t, err)
	return q
}

// Tol reads a quantity with its tolerance.
func Tol(t require.TestingT, text string) quantity.Toleranced {
	q, err := quantity.ParseToleranced(text, quantity.One)
	require.NoError(t, err)
	return q
}

// Equal compares exactly.
func Equal(t testing.TB, want string, got quantity.Quantity, what string) {
	t.Helper()
	c, err := Q(t, want).Cmp(got)
	require.NoError(t, err, what)
	assert.Zero(t, c, "%s: want %s, got %s", what, want, got)
}
