package boring

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/internal/testkit"
	"tenths/calc/quantity"
)

func goes(t require.TestingT, g string) Fact    { return Fact{Gauge: tol(t, g), Entered: true} }
func refuses(t require.TestingT, g string) Fact { return Fact{Gauge: tol(t, g)} }

func TestBracket(t *testing.T) {
	for _, c := range []struct {
		name, source, standing string
		entry                  string
		facts                  []Fact
		lower, upper, half     string
	}{
		// Plus pin 0.2500 of class ZZ is 0.2500 to 0.2502, a minus pin 0.2498 to
		// 0.2500 (ASME B89.1.5 classes); the bracket is the outer ends.
		{"plus GO, minus NOT GO", "class ZZ of ASME B89.1.5", seen, "", []Fact{goes(t, "0.2500 +0.0002/-0 in"), refuses(t, "0.2510 +0/-0.0002 in")}, "0.2500 in", "0.2510 in", "0.0005 in"},
		{"gauge error outside", "g1 < D < g2 with each gauge's tolerance", practice, "", []Fact{goes(t, "0.1870 ±0.0001 in"), refuses(t, "0.1873 ±0.0001 in")}, "0.1869 in", "0.1874 in", "0.00025 in"},
		{"a pin needs clearance to enter", "a refusal says less", practice, "0.0001 in", []Fact{goes(t, "0.1870 ±0 in"), refuses(t, "0.1873 ±0 in")}, "0.1870 in", "0.1874 in", "0.0002 in"},
		{"the closest gauges count", "order does not matter", practice, "", []Fact{refuses(t, "4.02 ±0.001 mm"), goes(t, "3.98 ±0.001 mm"), refuses(t, "4.01 ±0.001 mm"), goes(t, "4 ±0.001 mm")}, "3.999 mm", "4.011 mm", "0.006 mm"},
		{"GO only", "", practice, "", []Fact{goes(t, "0.1870 ±0.0001 in")}, "0.1869 in", "", ""},
		{"NOT GO only", "", practice, "", []Fact{refuses(t, "0.1870 ±0.0001 in")}, "", "0.1871 in", ""},
		{"nothing", "", practice, "", nil, "", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			z, err := Bracket(testkit.Q(t, c.entry), c.facts...)
			require.NoError(t, err)
			same(t, c.lower, z.Lower)
			same(t, c.upper, z.Upper)
			_, half, ok := z.Estimate()
			assert.Equal(t, c.half != "", ok)
			same(t, c.half, half)
		})
	}
	_, err := Bracket(quantity.Quantity{}, goes(t, "0.1878 ±0.0001 in"), refuses(t, "0.1874 ±0.0001 in"))
	require.ErrorIs(t, err, ErrContradiction)
	assert.Contains(t, err.Error(), "0.1877 in entered and one of at most 0.1875 in refused")
}

func same(t *testing.T, want string, got quantity.Quantity) {
	t.Helper()
	if want == "" {
		assert.True(t, got.IsZeroValue(), "want no value, got %s", got)
		return
	}
	n, err := testkit.Q(t, want).Cmp(got)
	require.NoError(t, err)
	assert.Zero(t, n, "want %s, got %s", want, got)
}

// Whatever the true size of hole and gauges, the hole lies in its bracket.
func TestTheHoleLiesInItsBracket(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hole := rapid.Int64Range(1870000, 1880000).Draw(t, "hole, 1e-7 in")
		entry := rapid.Int64Range(0, 1000).Draw(t, "entry at most, 1e-7 in")
		var facts []Fact
		for range rapid.IntRange(1, 8).Draw(t, "gauges") {
			marked := rapid.Int64Range(1870, 1880).Draw(t, "marked, 1e-4 in") * 1000
			half := rapid.Int64Range(0, 1500).Draw(t, "half tolerance")
			true_ := marked + rapid.Int64Range(-half, half).Draw(t, "off")
			needs := rapid.Int64Range(0, entry).Draw(t, "needs")
			facts = append(facts, Fact{Gauge: between(t, marked-half, marked+half), Entered: hole >= true_+needs})
		}
		z, err := Bracket(ten7(entry), facts...)
		require.NoError(t, err)
		if !z.Lower.IsZeroValue() {
			assert.LessOrEqual(t, z.Lower.Rat().Cmp(ten7(hole).Rat()), 0)
		}
		if !z.Upper.IsZeroValue() {
			assert.GreaterOrEqual(t, z.Upper.Rat().Cmp(ten7(hole).Rat()), 0)
		}
	})
}

// ten7 is a length in 1e-7 in.
func ten7(n int64) quantity.Quantity { return quantity.New(big.NewRat(n, 10000000), quantity.Inch) }

func between(t require.TestingT, lower, upper int64) quantity.Toleranced {
	g, err := quantity.WithLimits(ten7((lower+upper)/2), ten7(lower), ten7(upper))
	require.NoError(t, err)
	return g
}
