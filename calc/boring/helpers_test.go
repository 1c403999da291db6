package boring

import (
	"testing"

	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
)

func tol(t require.TestingT, text string) quantity.Toleranced {
	v, err := quantity.ParseToleranced(text, quantity.Inch)
	require.NoError(t, err)
	return v
}

func unit(t *testing.T, name string) quantity.Unit {
	u, ok := quantity.LookupUnit(name)
	require.True(t, ok, name)
	return u
}

// Standings of a check value. Only the first three may be the oracle of a row.
const (
	seen      = "seen in two or more places"
	oneSource = "seen in one source"
	apart     = "computed apart from this code"
	practice  = "common practice"
)
