package gaugestudy

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The numbers of the staircase are common practice and stand in the doc comment;
// the rows are worked by hand.
func TestNextInterval(t *testing.T) {
	good := func(days ...int) (out []Check) {
		for _, d := range days {
			out = append(out, Check{Day: d})
		}
		return out
	}
	for _, c := range []struct {
		name   string
		checks []Check
		limit  float64
		want   Advice
	}{
		{"one good check", good(0), 1, Advice{Days: 365, Step: Keep, Good: 1}},
		{"three good, nothing moved", good(0, 365, 730), 1, Advice{Days: 547, Step: Lengthen, Good: 3}},
		// 3 over a limit of 1.5 after 273 days: 1.5/(3/273) = 136 days, under half of
		// 365.
		{"out after nine months", append(good(-364, 0), Check{Day: 273, Found: -3}), 1.5, Advice{Days: 136, Step: Shorten, Drift: 3.0 / 273, Over: true}},
		{"out slowly", append(good(0), Check{Day: 365, Found: 1.1}), 1, Advice{Days: 182, Step: Shorten, Drift: 1.1 / 365, Over: true}},
		{"out, set right", append(good(0), Check{Day: 100, Found: 4, Adjusted: true}), 1, Advice{Days: 30, Step: Shorten, Drift: 0.04, DriftDays: 25, Over: true}},
		{"over half the limit", append(good(0, 365), Check{Day: 730, Found: 0.6}), 1, Advice{Days: 365, Step: Keep, Drift: 0.6 / 365, DriftDays: 243}},
		{"at the limit", append(good(0, 365), Check{Day: 730, Found: 1}), 1, Advice{Days: 182, Step: Shorten, Drift: 1.0 / 365}},
		// Three good ones, but the drift of .4 a year from where it stands leaves less
		// than is used now.
		{"good but drifting", []Check{{Day: 0}, {Day: 365, Found: 0.1}, {Day: 730, Found: 0.5}}, 1, Advice{Days: 456, Step: Lengthen, Drift: 0.4 / 365, DriftDays: 456, Good: 3}},
		{"set right each time", []Check{{Day: 0, Found: 0.5, Adjusted: true}, {Day: 365, Found: 0.5, Adjusted: true}, {Day: 730, Found: 0.5, Adjusted: true}}, 1, Advice{Days: 547, Step: Lengthen, Drift: 0.5 / 365, DriftDays: 730, Good: 3}},
	} {
		got, err := NextInterval(c.checks, c.limit, 365)
		require.NoError(t, err, c.name)
		assert.InDelta(t, c.want.Drift, got.Drift, 1e-12, c.name)
		got.Drift = c.want.Drift
		if c.want.Step == Shorten && c.want.DriftDays == 0 {
			got.DriftDays = 0 // over the limit nothing is left
		}
		assert.Equal(t, c.want, got, c.name)
	}
	a, err := NextInterval(good(0, 1, 2), 1, 5*365)
	require.NoError(t, err)
	assert.Equal(t, Keep, a.Step, "five years is the longest")
}

// A gauge that was found worse is never left longer; every suggestion is a possible
// one; the unit changes nothing.
func TestIntervalProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var checks []Check
		day := 0
		for range rapid.IntRange(1, 6).Draw(t, "n") {
			day += rapid.IntRange(1, 800).Draw(t, "days")
			checks = append(checks, Check{Day: day, Found: rapid.Float64Range(-2, 2).Draw(t, "found"), Adjusted: rapid.Bool().Draw(t, "adjusted")})
		}
		days := rapid.IntRange(30, 1825).Draw(t, "interval")
		a, err := NextInterval(checks, 1, days)
		require.NoError(t, err)
		require.GreaterOrEqual(t, a.Days, 30)
		require.LessOrEqual(t, a.Days, 5*365)
		worse := append([]Check(nil), checks...)
		last := &worse[len(worse)-1]
		last.Found *= 1.5
		b, err := NextInterval(worse, 1, days)
		require.NoError(t, err)
		if !checks[len(checks)-1].Adjusted {
			require.LessOrEqual(t, b.Days, max(a.Days, days))
		}
		var scaled []Check
		for _, c := range checks {
			c.Found *= 25.4
			scaled = append(scaled, c)
		}
		s, err := NextInterval(scaled, 25.4, days)
		require.NoError(t, err)
		require.Equal(t, a.Step, s.Step)
		require.InDelta(t, a.Days, s.Days, 1)
	})
}

func TestIntervalErrors(t *testing.T) {
	for _, c := range []struct {
		checks []Check
		limit  float64
		days   int
		says   string
	}{
		{nil, 1, 365, "no check"},
		{[]Check{{}}, 0, 365, "largest permitted error"},
		{[]Check{{}}, 1, 0, "interval of 0"},
		{[]Check{{Day: 3}, {Day: 3}}, 1, 365, "not after"},
		{[]Check{{Found: math.NaN()}}, 1, 365, "usable"},
	} {
		_, err := NextInterval(c.checks, c.limit, c.days)
		assert.ErrorContains(t, err, c.says)
	}
}
