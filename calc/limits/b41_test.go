package limits

import (
	"encoding/csv"
	"math/big"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// All 170 rows of the published fit tables (testdata/README.md), at both ends of
// their step: the deviations of both parts, and the two identities by which the
// printed limits of the fit follow from them.
func TestANSIB41Published(t *testing.T) {
	f, err := os.Open("testdata/b41_published.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+170)
	seen := map[string]bool{}
	for _, r := range rows[1:] {
		class, over, to, source, standing := r[0], r[1], r[2], r[9], r[10]
		name := class + " " + over + "-" + to
		t.Run(name, func(t *testing.T) {
			assert.False(t, seen[name], "twice in the table")
			seen[name] = true
			assert.NotEmpty(t, source)
			assert.Contains(t, []string{"seen twice", "one source", "derived"}, standing)
			what := source + ", " + standing
			in := func(i int) *big.Rat { return thou(rat(t, r[i])) }
			justOver := rat(t, over)
			justOver.Add(justOver, big.NewRat(1, 1000000))
			for _, nominal := range []*big.Rat{justOver, rat(t, to)} {
				holeLo, holeUp, err := ANSIB41(nominal, class, Hole)
				require.NoError(t, err)
				shaftLo, shaftUp, err := ANSIB41(nominal, class, Shaft)
				require.NoError(t, err)
				equalRat(t, in(5), holeUp, what)
				equalRat(t, in(6), holeLo, what)
				equalRat(t, in(7), shaftUp, what)
				equalRat(t, in(8), shaftLo, what)
				equalRat(t, in(3), new(big.Rat).Sub(holeLo, shaftUp), what)
				equalRat(t, in(4), new(big.Rat).Sub(holeUp, shaftLo), what)
			}
		})
	}
}
