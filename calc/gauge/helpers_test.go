package gauge_test

import (
	"math/big"

	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
)

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
