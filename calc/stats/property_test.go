package stats

import (
	"encoding/json"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawSample draws readings on a grid of half counts, so that ties, constant
// groups and borderline spreads are common.
func drawSample(t *rapid.T, name string) Sample {
	half := rapid.SliceOfN(rapid.IntRange(-8, 8), 0, 12).Draw(t, name)
	s := Sample{
		Resolution: rapid.SampledFrom([]float64{0, 0.5, 1, 1}).Draw(t, name+" resolution"),
		U:          rapid.SampledFrom([]float64{0, 1, 3}).Draw(t, name+" U"),
		Gauge:      rapid.SampledFrom([]string{"a", "b"}).Draw(t, name+" gauge"),
	}
	for _, h := range half {
		s.Values = append(s.Values, float64(h)/2)
	}
	return s
}

func mapSample(s Sample, scale, shift float64) Sample {
	out := Sample{Resolution: s.Resolution * scale, U: s.U * scale, Gauge: s.Gauge}
	for _, v := range s.Values {
		out.Values = append(out.Values, (v+shift)*scale)
	}
	return out
}

func TestVerdictsDoNotHangOnForm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		before, after := drawSample(t, "before"), drawSample(t, "after")
		c, err := Compare(before, after, 0.95)
		require.NoError(t, err)
		s, err := CompareSpread(before, after, 0.95)
		require.NoError(t, err)
		_, err = json.Marshal([]any{c, s})
		require.NoError(t, err, "no NaN and no infinity")

		// Order.
		seed := rapid.Int64().Draw(t, "order")
		shuffled := before
		shuffled.Values = append([]float64(nil), before.Values...)
		rand.New(rand.NewSource(seed)).Shuffle(len(shuffled.Values), func(i, j int) {
			shuffled.Values[i], shuffled.Values[j] = shuffled.Values[j], shuffled.Values[i]
		})
		c2, err := Compare(shuffled, after, 0.95)
		require.NoError(t, err)
		assert.Equal(t, c, c2, "order")

		// Unit, and a constant added to all.
		for _, unit := range []float64{1e-4, 25.4, 25.4e-4, 1 / 25.4} {
			for _, shift := range []float64{0, 7, 1250, -7500} {
				c2, err = Compare(mapSample(before, unit, shift), mapSample(after, unit, shift), 0.95)
				require.NoError(t, err)
				s2, err := CompareSpread(mapSample(before, unit, shift), mapSample(after, unit, shift), 0.95)
				require.NoError(t, err)
				assert.Equal(t, c.Verdict, c2.Verdict, "unit %g shift %g", unit, shift)
				assert.Equal(t, c.Reason, c2.Reason)
				assert.Equal(t, c.Floor.Cause, c2.Floor.Cause)
				assert.InDelta(t, c.Difference*unit, c2.Difference, 1e-9*unit)
				assert.InDelta(t, c.Low*unit, c2.Low, 1e-7*unit)
				assert.InDelta(t, c.High*unit, c2.High, 1e-7*unit)
				assert.Equal(t, s.Verdict, s2.Verdict)
				assert.Equal(t, s.Reason, s2.Reason)
			}
		}

		// Changing the sides turns the sign and nothing else.
		c2, err = Compare(after, before, 0.95)
		require.NoError(t, err)
		assert.Equal(t, c.Verdict, c2.Verdict)
		assert.InDelta(t, c.Low, -c2.High, 1e-9)
	})
}

func TestASetAgainstItselfIsNeverShown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSample(t, "set")
		other := s
		other.Gauge = rapid.SampledFrom([]string{"a", "b"}).Draw(t, "second gauge")
		c, err := Compare(s, other, rapid.SampledFrom([]float64{0.5, 0.9, 0.95, 0.99}).Draw(t, "conf"))
		require.NoError(t, err)
		assert.NotEqual(t, Shown, c.Verdict)
		sp, err := CompareSpread(s, other, 0.95)
		require.NoError(t, err)
		assert.NotEqual(t, Shown, sp.Verdict)
	})
}

func TestCoarserGaugeNeverShowsMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		before, after := drawSample(t, "before"), drawSample(t, "after")
		before.Resolution, after.Resolution = 0.5, 0.5
		fine, err := Compare(before, after, 0.95)
		require.NoError(t, err)
		before.Resolution, after.Resolution = 2, 2
		coarse, err := Compare(before, after, 0.95)
		require.NoError(t, err)
		if fine.Verdict != Shown {
			assert.NotEqual(t, Shown, coarse.Verdict)
		}
	})
}

// About five in a hundred pairs of samples of one and the same process may be
// called changed at 95 %, not more (simulation, fixed seed).
func TestFalseAlarmRate(t *testing.T) {
	rng := rand.New(rand.NewSource(95))
	const trials = 4000
	alarms := 0
	draw := func() Sample {
		s := Sample{Resolution: 0.5}
		for range 6 {
			s.Values = append(s.Values, float64(int(200+4*rng.NormFloat64()))/2)
		}
		return s
	}
	for range trials {
		c, err := Compare(draw(), draw(), 0.95)
		require.NoError(t, err)
		if c.Verdict == Shown {
			alarms++
		}
	}
	assert.InDelta(t, 0.05, float64(alarms)/trials, 0.015)
}
