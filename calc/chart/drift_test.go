package chart

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"
)

// Widths over the life of a finisher, tenths over 1.5000 in (invented data of the
// demo shop).
var (
	longCounts  = []float64{1, 9, 17, 25, 33, 41, 50, 58, 66, 74, 82, 90}
	longWidths  = []float64{0, 1, 3, 2, 4, 4, 5, 5, 6, 7, 7, 8}
	shortCounts = []float64{1, 5, 8, 12, 15, 19, 22, 26, 29, 33, 36, 40}
	shortWidths = []float64{0, -1, -1, 0, 0, 1, 2, 2, 2, 3, 4, 2}
)

// Source: the demo shop's own figures, computed with R: .083 ± .012 a part and
// .111 ± .041 a part, +5 near part 53.
func TestFinisherDrift(t *testing.T) {
	d, err := NewDrift(longCounts, longWidths, 0.5, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, 0.083, d.Slope, 0.0005)
	assert.InDelta(t, 0.012, d.SlopeHigh-d.Slope, 0.0005)
	assert.True(t, d.Shown)
	assert.False(t, d.Bent)
	r := d.Reach(5, true, 1)
	assert.True(t, r.Ever)
	assert.InDelta(t, 53, r.Count, 0.5)
	assert.Less(t, r.Safe, r.Count, "a single part is over sooner than the line")
	assert.Less(t, d.At(r.Safe)+d.Next(r.Safe), 5+1e-6)
	assert.Greater(t, d.At(r.Safe+1)+d.Next(r.Safe+1), 5.0)

	d, err = NewDrift(shortCounts, shortWidths, 0.5, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, 0.111, d.Slope, 0.0005)
	assert.InDelta(t, 0.041, d.SlopeHigh-d.Slope, 0.0005)
	// The wear rate is unchanged: .083 lies inside the interval.
	assert.Less(t, d.SlopeLow, 0.083)
	assert.False(t, d.Reach(-10, false, 1).Ever, "it runs away from the lower limit")
}

// Source: gonum's own regression, on random data; the interval of the slope
// against the correlation coefficient: t = r·√((n-2)/(1-r²)).
func TestDriftAgainstLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 20).Draw(t, "n")
		x, y := make([]float64, n), make([]float64, n)
		for i := range n {
			x[i] = float64(i) + rapid.Float64Range(0, 0.9).Draw(t, "x")
			y[i] = rapid.Float64Range(-10, 10).Draw(t, "y")
		}
		d, err := NewDrift(x, y, 0, 0.95)
		require.NoError(t, err)
		a, b := stat.LinearRegression(x, y, nil, false)
		require.InDelta(t, b, d.Slope, 1e-9)
		require.InDelta(t, a, d.At(0), 1e-7)
		if r := stat.Correlation(x, y, nil); math.Abs(r) < 0.999 && math.Abs(r) > 1e-6 {
			want := r * math.Sqrt(float64(n-2)/(1-r*r))
			got := d.Slope / ((d.SlopeHigh - d.Slope) / factor(0.95, float64(n-2)))
			require.InEpsilon(t, want, got, 1e-6)
		}
		// Order of the readings, a common amount and the unit change nothing.
		for i := range n {
			x[i], x[n-1-i] = x[n-1-i], x[i]
			y[i], y[n-1-i] = y[n-1-i], y[i]
			if i >= n/2-1 {
				break
			}
		}
		for i := range y {
			y[i] = 25.4 * (y[i] + 3)
		}
		e, err := NewDrift(x, y, 0, 0.95)
		require.NoError(t, err)
		require.InDelta(t, 25.4*d.Slope, e.Slope, 1e-8)
		require.Equal(t, d.Shown, e.Shown)
		require.Equal(t, d.Bent, e.Bent)
	})
}

// Where the line says so, a part made there lies inside; the coverage of the
// interval is that of Student, checked in closed form at the middle of the counts.
func TestNext(t *testing.T) {
	d, err := NewDrift([]float64{0, 1, 2, 3, 4}, []float64{1, 3, 2, 5, 4}, 0, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, 3.182446305*d.S*math.Sqrt(1.2), d.Next(2), 1e-8, "t(97.5 %%, 3) = 3.1824")
	assert.Greater(t, d.Next(8), d.Next(4))
}

func TestBentAndFlat(t *testing.T) {
	d, err := NewDrift([]float64{0, 10, 20, 30, 40, 50}, []float64{0, 1.1, 3.9, 9.1, 15.8, 25.2}, 0, 0.95)
	require.NoError(t, err)
	assert.True(t, d.Bent)
	d, err = NewDrift([]float64{1, 2, 3, 4}, []float64{2, 2, 2, 2}, 1, 0.95)
	require.NoError(t, err)
	assert.False(t, d.Shown)
	assert.Zero(t, d.S)
	assert.InDelta(t, 1/math.Sqrt(12), d.Scatter, 1e-12, "one count hides so much")
	r := d.Reach(100, true, 4)
	assert.False(t, r.Ever)
	assert.True(t, r.Far)
	r = d.Reach(2.1, true, 4)
	assert.True(t, r.Passed)
	assert.Equal(t, 4.0, r.Safe)
}

func TestDriftErrors(t *testing.T) {
	_, err := NewDrift([]float64{1, 2}, []float64{1, 2}, 0, 0.95)
	assert.ErrorIs(t, err, ErrNoDrift)
	_, err = NewDrift([]float64{5, 5, 5}, []float64{1, 2, 3}, 0, 0.95)
	assert.ErrorIs(t, err, ErrNoDrift)
	_, err = NewDrift([]float64{5, 5}, []float64{1, 2, 3}, 0, 0.95)
	assert.ErrorContains(t, err, "2 counts")
	_, err = NewDrift([]float64{1, 2, math.NaN()}, []float64{1, 2, 3}, 0, 0.95)
	assert.ErrorContains(t, err, "count 3")
	_, err = NewDrift([]float64{1, 2, 3}, []float64{1, 2, math.Inf(1)}, 0, 0.95)
	assert.ErrorContains(t, err, "reading 3")
	_, err = NewDrift([]float64{1, 2, 3}, []float64{1, 2, 3}, -1, 0.95)
	assert.ErrorContains(t, err, "resolution")
	_, err = NewDrift([]float64{1, 2, 3}, []float64{1, 2, 3}, 0, 95)
	assert.ErrorContains(t, err, "between 0 and 1")
}

// A finisher at part 25, the limit five tenths over nominal.
func ExampleDrift_Reach() {
	d, err := NewDrift(longCounts, longWidths, 0.5, 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	r := d.Reach(5, true, 25)
	fmt.Printf("%.3f (%.3f to %.3f) tenths a part; the line is there at part %.0f, single parts from %.0f on\n", d.Slope, d.SlopeLow, d.SlopeHigh, r.Count, r.Safe)
	// Output: 0.083 (0.071 to 0.096) tenths a part; the line is there at part 53, single parts from 38 on
}
