package gaugestudy

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/stats"
)

func newNormal() func() float64 {
	r := rand.New(rand.NewPCG(1, 2))
	return r.NormFloat64
}

// Source: Vardeman and Jobe, Basic Engineering Data Collection and Analysis (2023),
// eight bushings by two technicians: mean difference -.000125, t -1, p .35061666
// (R 4.2.2). Only the differences matter: seven of them 0 and one -.001.
func TestPairedBushings(t *testing.T) {
	var blocks []Block
	for i := range 8 {
		x := 1.2500 + 0.0005*float64(i)
		d := 0.0
		if i == 3 {
			d = -0.001
		}
		blocks = append(blocks, Block{[]float64{x}, []float64{x + d}})
	}
	b, err := BetweenTwo(blocks, 0, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, -0.000125, b.Difference, 1e-12)
	assert.Equal(t, 7.0, b.DF)
	assert.InDelta(t, -1, b.T, 1e-9)
	assert.InDelta(t, 0.35061666, b.P, 1e-8)
	assert.False(t, b.Shown)
}

// Source: NIST/SEMATECH e-Handbook 1.3.5.3, AUTO83B, two means with a common
// spread: t -12.62059 with 326 degrees of freedom, pooled deviation 6.34260. Two
// groups are made that have the printed mean and standard deviation.
func TestOneBlock(t *testing.T) {
	made := func(n int, mean, sd float64) []float64 {
		v := make([]float64, n)
		squares := 0.0
		for i := range v {
			v[i] = float64(i) - float64(n-1)/2
			squares += v[i] * v[i]
		}
		k := sd / math.Sqrt(squares/float64(n-1))
		for i := range v {
			v[i] = mean + k*v[i]
		}
		return v
	}
	b, err := BetweenTwo([]Block{{made(79, 30.48101, 6.10771), made(249, 20.14458, 6.41470)}}, 0, 0.95)
	require.NoError(t, err)
	assert.Equal(t, 326.0, b.DF)
	assert.InDelta(t, -12.62059, b.T, 1e-4)
	assert.InDelta(t, 6.34260, b.U/math.Sqrt(1.0/249+1.0/79), 1e-5)
	assert.True(t, b.Shown)
	assert.InDelta(t, -11.947653, b.Low, 5e-5)
	assert.InDelta(t, -8.725216, b.High, 5e-5)
}

// Against a least-squares fit written out another way: with blocks of different
// sizes the estimate is the one with the least sum of squares.
func TestLeastSquares(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var blocks []Block
		for range rapid.IntRange(1, 4).Draw(t, "blocks") {
			some := rapid.SliceOfN(rapid.Map(rapid.IntRange(-20, 20), func(i int) float64 { return float64(i) }), 1, 4)
			blocks = append(blocks, Block{some.Draw(t, "first"), some.Draw(t, "second")})
		}
		b, err := BetweenTwo(blocks, 0, 0.95)
		if err != nil {
			return
		}
		left := func(bias float64) float64 {
			sum := 0.0
			for _, block := range blocks {
				var all []float64
				all = append(all, block.First...)
				for _, v := range block.Second {
					all = append(all, v-bias)
				}
				s, err := stats.Summarize(all)
				require.NoError(t, err)
				sum += s.SD * s.SD * float64(s.N-1)
			}
			return sum
		}
		at := left(b.Difference)
		require.LessOrEqual(t, at, left(b.Difference+0.01)+1e-9)
		require.LessOrEqual(t, at, left(b.Difference-0.01)+1e-9)
		// A set against itself has no bias.
		same := make([]Block, len(blocks))
		turned := make([]Block, len(blocks))
		for i := range blocks {
			same[i] = Block{blocks[i].First, blocks[i].First}
			turned[i] = Block{blocks[i].Second, blocks[i].First}
		}
		if s, err := BetweenTwo(same, 0, 0.95); err == nil {
			require.InDelta(t, 0, s.Difference, 1e-12)
			require.False(t, s.Shown)
		}
		u, err := BetweenTwo(turned, 0, 0.95)
		require.NoError(t, err)
		require.InDelta(t, -b.Difference, u.Difference, 1e-9)
		require.Equal(t, b.Shown, u.Shown)
	})
}

// One reading of each a block is the paired comparison of package stats, one block
// the comparison of two means of it where both spreads and numbers are alike.
func TestAgreesWithStats(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 8).Draw(t, "n")
		value := rapid.Map(rapid.IntRange(-50, 50), func(i int) float64 { return float64(i) })
		first, second := rapid.SliceOfN(value, n, n).Draw(t, "first"), rapid.SliceOfN(value, n, n).Draw(t, "second")
		var blocks []Block
		for i := range first {
			blocks = append(blocks, Block{first[i : i+1], second[i : i+1]})
		}
		b, err := BetweenTwo(blocks, 0, 0.95)
		require.NoError(t, err)
		if p, err := stats.Paired(first, second, 0.95); err == nil {
			require.InDelta(t, p.Difference, b.Difference, 1e-9)
			require.InDelta(t, p.Low, b.Low, 1e-7)
			require.InDelta(t, p.P, b.P, 1e-9)
		}
		one, err := BetweenTwo([]Block{{first, second}}, 0, 0.95)
		require.NoError(t, err)
		if w, err := stats.Welch(first, second, 0.95); err == nil {
			require.InDelta(t, w.U, one.U, 1e-9, "equal numbers: the same uncertainty")
		}
	})
}

func TestBiasEdges(t *testing.T) {
	_, err := BetweenTwo([]Block{{[]float64{1, 2}, nil}, {nil, []float64{1}}}, 0, 0.95)
	assert.ErrorContains(t, err, "never measured the same")
	_, err = BetweenTwo([]Block{{[]float64{1}, []float64{2}}}, 0, 0.95)
	assert.ErrorContains(t, err, "two parts or more")
	_, err = BetweenTwo([]Block{{[]float64{math.NaN()}, []float64{2}}}, 0, 0.95)
	assert.ErrorContains(t, err, "block 1, first")
	_, err = BetweenTwo([]Block{{[]float64{1}, []float64{math.Inf(1)}}}, 0, 0.95)
	assert.ErrorContains(t, err, "block 1, second")
	_, err = BetweenTwo(nil, -1, 0.95)
	assert.ErrorContains(t, err, "resolution")
	_, err = BetweenTwo(nil, 0, 1)
	assert.ErrorContains(t, err, "between 0 and 1")
	// Readings that do not vary: half a count is nothing, two counts are something,
	// and without a known count nothing is shown.
	three := []Block{{[]float64{3, 3, 3}, []float64{3.5, 3.5, 3.5}}}
	b, err := BetweenTwo(three, 1, 0.95)
	require.NoError(t, err)
	assert.False(t, b.Shown)
	three[0].Second = []float64{5, 5, 5}
	b, err = BetweenTwo(three, 1, 0.95)
	require.NoError(t, err)
	assert.True(t, b.Shown)
	b, err = BetweenTwo(three, 0, 0.95)
	require.NoError(t, err)
	assert.False(t, b.Shown)
}
