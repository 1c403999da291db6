package joint

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/internal/testkit"
	"tenths/calc/quantity"
)

func tol(t require.TestingT, text string) quantity.Toleranced {
	v, err := quantity.ParseToleranced(text, quantity.Unit{})
	require.NoError(t, err)
	return v
}

// Standings of a check value; no row rests on a value from memory.
const (
	printed = "printed in one source and recomputed"
	single  = "seen in one source"
	apart   = "computed apart from this code"
	useful  = "common practice"
)

// near compares with a printed value to half of its last digit; a printed whole
// number may be rounded to tens, as the size of round says.
func near(t *testing.T, want string, got quantity.Quantity, round float64, msg ...any) {
	t.Helper()
	w := testkit.Q(t, want)
	require.Equal(t, w.Kind(), got.Kind(), msg...)
	half := 0.500001 * math.Pow(10, -float64(max(0, w.Decimals())))
	assert.InDelta(t, w.FloatIn(w.Unit()), got.FloatIn(w.Unit()), max(half, round), msg...)
}
