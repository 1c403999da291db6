package stats

import (
	"encoding/json"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// answers are what two groups of readings come to, numbers without a unit only.
func answers(t *rapid.T, before, after Sample, scale float64) map[string]any {
	out := map[string]any{}
	b, a := before.Values, after.Values
	r, err := RankSum(b, a)
	require.NoError(t, err)
	out["ranks"] = []any{r.U, r.P, r.Less, r.More, r.Exact}
	p, err := Permutation(b, a, before.Resolution)
	require.NoError(t, err)
	out["permutation"], out["permutation exact"] = p.P, p.Exact
	bs, err := Bootstrap(b, a, before.Resolution, 0.95)
	require.NoError(t, err)
	out["bootstrap"] = []any{bs.Low > 1e-9*scale || bs.High < -1e-9*scale, bs.Exact}
	if l, err := LeveneMedian(b, a); err == nil {
		out["Levene"] = l.P < 0.05
	}
	for margin := 1.0; margin < 8; margin *= 4 {
		s, err := Same(before, after, margin*scale, 0.95)
		require.NoError(t, err)
		l, err := Look(before, after, 1, 2, margin*scale, 0.95)
		require.NoError(t, err)
		out["same"], out["look"] = []any{s.Verdict, s.Reason}, l.Decision
	}
	n := min(len(b), len(a))
	pb, pa := before, after
	pb.Values, pa.Values = b[:n], a[:n]
	c, err := ComparePaired(pb, pa, 0.95)
	require.NoError(t, err)
	out["paired"] = []any{c.Verdict, c.Reason, c.Floor.Cause}
	sr, pairs, err := SignedRank(pb.Values, pa.Values)
	require.NoError(t, err)
	out["signed ranks"] = []any{sr, pairs}
	_, err = FitRounded(b, 1*scale)
	out["fit"] = err == nil
	_, err = json.Marshal([]any{out, c, bs})
	require.NoError(t, err, "no NaN and no infinity")
	return out
}

// The order of the readings, their unit, and a constant added to both groups
// change no answer.
func TestAnswersDoNotHangOnForm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) Sample {
			values := drawReadings(t, name, 2)
			return Sample{Values: values[:min(7, len(values))], Resolution: rapid.SampledFrom([]float64{0, 1}).Draw(t, name+" resolution")}
		}
		before, after := draw("before"), draw("after")
		want := answers(t, before, after, 1)
		for _, unit := range []float64{1, 1e-4, 25.4e-4} {
			for _, shift := range []float64{0, 1250} {
				got := answers(t, mapSample(before, unit, shift), mapSample(after, unit, shift), unit)
				for k, w := range want {
					if k == "permutation" {
						assert.InDelta(t, w, got[k], 1e-12)
						continue
					}
					assert.Equal(t, w, got[k], "%s, unit %g shift %g", k, unit, shift)
				}
			}
		}
		order := rapid.Int64().Draw(t, "order")
		mixed := mapSample(before, 1, 0)
		rand.New(rand.NewSource(order)).Shuffle(len(mixed.Values), func(i, j int) {
			mixed.Values[i], mixed.Values[j] = mixed.Values[j], mixed.Values[i]
		})
		got := answers(t, mixed, after, 1)
		for _, k := range []string{"ranks", "permutation", "bootstrap", "Levene", "same", "look", "fit"} {
			assert.Equal(t, want[k], got[k], k)
		}
		// Pairs may be told in any order, but stay pairs.
		n := min(len(before.Values), len(after.Values))
		b, a := before, after
		b.Values, a.Values = nil, nil
		for _, i := range rand.New(rand.NewSource(order)).Perm(n) {
			b.Values, a.Values = append(b.Values, before.Values[i]), append(a.Values, after.Values[i])
		}
		again := answers(t, b, a, 1)
		assert.Equal(t, want["paired"], again["paired"])
		assert.Equal(t, want["signed ranks"], again["signed ranks"])
	})
}

// A set compared with itself is never an improvement, whatever looks at it.
func TestNothingIsBetterThanItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Sample{Values: drawReadings(t, "set", 2), Resolution: rapid.SampledFrom([]float64{0, 0.5, 1}).Draw(t, "resolution")}
		c, err := ComparePaired(s, s, 0.95)
		require.NoError(t, err)
		assert.NotEqual(t, Shown, c.Verdict)
		r, err := RankSum(s.Values, s.Values)
		require.NoError(t, err)
		assert.InDelta(t, 1, r.P, 1e-9)
		p, err := Permutation(s.Values, s.Values, s.Resolution)
		require.NoError(t, err)
		assert.InDelta(t, 1, p.P, 1e-9)
		if l, err := LeveneMedian(s.Values, s.Values); err == nil {
			assert.InDelta(t, 1, l.P, 1e-9)
		}
		l, err := Look(s, s, 1, 1, 0, 0.95)
		require.NoError(t, err)
		assert.NotEqual(t, StopShown, l.Decision)
		var grades []int
		for _, v := range s.Values {
			grades = append(grades, (int(v)+12)%3)
		}
		touch, err := CompareTouch(grades, grades, 0.95)
		require.NoError(t, err)
		assert.NotEqual(t, Shown, touch.Verdict)
		bad := rapid.IntRange(0, 20).Draw(t, "bad")
		d, in, err := ShareDifference(bad, 20, bad, 20, 0.95)
		require.NoError(t, err)
		assert.Zero(t, d)
		assert.True(t, in.Low <= 0 && in.High >= 0)
	})
}

// Pairs take out what differs from piece to piece, and rounding stays in.
func TestComparePaired(t *testing.T) {
	s := func(v ...float64) Sample { return Sample{Values: v, Resolution: 1, Gauge: "a"} }
	for _, c := range []struct {
		name          string
		before, after Sample
		verdict       Verdict
		reason        Reason
		cause         FloorCause
	}{
		{"the same gain on unlike pieces", s(10, 40, 70, 20, 90), s(7, 38, 66, 18, 87), Shown, ExcludesZero, FloorNotNeeded},
		{"every piece five counts lower", s(10, 40, 70, 20), s(5, 35, 65, 15), Shown, ExcludesZero, FloorPairs},
		{"every piece half a count lower", s(10, 40, 70, 20), s(9.5, 39.5, 69.5, 19.5), CannotTell, BelowFloor, FloorPairs},
		{"nothing moved", s(10, 40, 70, 20), s(10, 40, 70, 20), CannotTell, BelowFloor, FloorPairs},
		{"up and down", s(10, 40, 70, 20), s(14, 35, 76, 15), NotShown, IncludesZero, FloorNotNeeded},
		{"one pair", s(10), s(7), CannotTell, TooFew, ""},
	} {
		r, err := ComparePaired(c.before, c.after, 0.95)
		require.NoError(t, err, c.name)
		assert.True(t, r.Paired)
		assert.Equal(t, c.verdict, r.Verdict, c.name)
		assert.Equal(t, c.reason, r.Reason, c.name)
		assert.Equal(t, c.cause, r.Floor.Cause, c.name)
	}
	unpaired, err := Compare(s(10, 40, 70, 20, 90), s(7, 38, 66, 18, 87), 0.95)
	require.NoError(t, err)
	assert.Equal(t, NotShown, unpaired.Verdict, "without pairs the pieces hide it")
	// Differences that are equal but for binary rounding have no spread.
	_, err = Paired([]float64{0.1, 0.2, 0.3}, []float64{1.1, 1.2, 1.3}, 0.95)
	assert.ErrorIs(t, err, ErrNoSpread)
}
