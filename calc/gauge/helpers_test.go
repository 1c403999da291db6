package gauge_test

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
)

func quant(t require.TestingT, text string) quantity.Quantity {
	if text == "" {
		return quantity.Quantity{}
	}
	q, err := quantity.Parse(text, quantity.One)
	require.NoError(t, err)
	return q
}

func tol(t require.TestingT, text string) quantity.Toleranced {
	q, err := quantity.ParseToleranced(text, quantity.One)
	require.NoError(t, err)
	return q
}

// equal compares exactly.
func equal(t testing.TB, want string, got quantity.Quantity, what string) {
	t.Helper()
	c, err := quant(t, want).Cmp(got)
	require.NoError(t, err, what)
	assert.Zero(t, c, "%s: want %s, got %s", what, want, got)
}

func in(n, d int64) quantity.Quantity { return quantity.New(big.NewRat(n, d), quantity.Inch) }

func limits(t require.TestingT, low, high quantity.Quantity) quantity.Toleranced {
	l, err := quantity.WithLimits(low, low, high)
	require.NoError(t, err)
	return l
}

func metric(t require.TestingT, q quantity.Quantity) quantity.Quantity {
	m, err := q.As(quantity.Millimetre)
	require.NoError(t, err)
	return m
}
