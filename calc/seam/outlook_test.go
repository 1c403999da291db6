package seam

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const draws = 20_000

// sure is what an end of an interval may be off, in standard deviations: four
// standard errors of a 2.5 % point of that many draws of a normal distribution.
var sure = 4 * 2.7 / math.Sqrt(draws)

// shopLots are station A re-bored to within a tenth, six assemblies each.
func shopLots() Lots {
	banded := func(s Station, b float64) Station {
		s.First.Band, s.Second.Band = [2]float64{b * tenth, b * tenth}, [2]float64{b * tenth, b * tenth}
		return s
	}
	b := banded(stationB0, 0.87)
	b.SizeBand = 2 * tenth
	return Lots{
		Before: Seam{Proud: b, Other: banded(stationA0, 0.87), Gauge: gauge},
		After:  Seam{Proud: b, Other: banded(station(0, 0, 0, 0, 4), 1), Gauge: gauge},
		Anew:   []string{"other part: first pin", "other part: second pin"}, NBefore: 6, NAfter: 6,
	}
}

// At a point everything is a sum, so the closed form of Forward says what the
// simulation must give: what is the same in both lots cancels in the difference.
func TestLookAtPointsIsTheClosedForm(t *testing.T) {
	l := shopLots()
	o, err := l.Look(shopPoints(), draws, 1)
	require.NoError(t, err)
	f0, err := Forward(shopPoints(), l.Before)
	require.NoError(t, err)
	f1, err := Forward(shopPoints(), l.After)
	require.NoError(t, err)
	anew := func(e Expect) (sum float64) {
		for _, s := range e.Shares {
			if s.Name == l.Anew[0] || s.Name == l.Anew[1] {
				sum += s.SD * s.SD
			}
		}
		return sum
	}
	for i, p := range o.Points {
		b, a := f0.Points[i], f1.Points[i]
		near := func(mean, variance float64, got Span) {
			t.Helper()
			sd := math.Sqrt(variance)
			assert.InDelta(t, mean, got.Mean, 4*sd/math.Sqrt(draws))
			// Uniform parts make the tails a little shorter than those of a
			// normal distribution.
			assert.InDelta(t, mean-usual*sd, got.Low, (sure+0.06)*sd)
			assert.InDelta(t, mean+usual*sd, got.High, (sure+0.06)*sd)
		}
		near(b.Mean, b.Same*b.Same+b.Varies*b.Varies/6, p.Before)
		near(a.Mean, a.Same*a.Same+a.Varies*a.Varies/6, p.After)
		near(a.Mean-b.Mean, anew(b)+anew(a)+(b.Varies*b.Varies+a.Varies*a.Varies)/6, p.Change)
		assert.InDelta(t, b.Varies, p.SDBefore.Mean, 0.02*b.Varies)
		assert.InDelta(t, a.Varies, p.SDAfter.Mean, 0.02*a.Varies)
	}
}

// The demo shop foretold -6.2 (-9.2 … -3.4) tenths for the largest step, by a
// simulation apart from this code that took the pins as known; here both pins
// of the new station lie anywhere within a tenth of where they are meant to be.
func TestLookAtTheLargestStepOfTheShop(t *testing.T) {
	o, err := shopLots().Look(shopPoints(), draws, 1)
	require.NoError(t, err)
	c := o.Largest.Change
	assert.InDelta(t, -6.2, c.Mean/tenth, 0.15)
	assert.InDelta(t, -9.2, c.Low/tenth, 0.3)
	assert.InDelta(t, -3.4, c.High/tenth, 0.4)
	m0, s0 := largest(t, shopLots().Before)
	assert.InDelta(t, m0, o.Largest.Before.Mean/tenth, 1, "Draw takes one lot's pins, Look all that may be")
	assert.InDelta(t, s0, o.Largest.SDBefore.Mean/tenth, 0.3)
	assert.True(t, math.IsNaN(o.Largest.Worse))
}

func TestLookAtASpread(t *testing.T) {
	l := shopLots()
	l.After = l.Before
	for _, s := range []*Station{&l.After.Proud, &l.After.Other} {
		s.First.Clearance, s.Second.Clearance = 2*tenth, 2*tenth
	}
	l.Anew, l.NBefore, l.NAfter = nil, 10, 10
	k3 := shopPoints()[2:3]
	o, err := l.Look(k3, draws, 1)
	require.NoError(t, err)
	p := o.Points[0]
	f0, err := Forward(k3, l.Before)
	require.NoError(t, err)
	f1, err := Forward(k3, l.After)
	require.NoError(t, err)
	assert.InDelta(t, f1.Points[0].Varies/f0.Points[0].Varies, p.Ratio.Mean, 0.005, "half the clearance is half the spread but for the gauge")
	// The ratio of two sample variances of ten follows Fisher's F with 9 and 9
	// degrees of freedom, 97.5 % point 4.026 (published tables): of two normal
	// samples. Looseness is flatter, so the interval is narrower.
	assert.Greater(t, p.Ratio.Low, 0.5/math.Sqrt(4.026))
	assert.Less(t, p.Ratio.High, 0.5*math.Sqrt(4.026))
	assert.Less(t, p.Ratio.Low, 0.3)
	assert.Greater(t, p.Ratio.High, 0.85)
	// What all assemblies share cancels to the last bit.
	assert.InDelta(t, 0, p.Change.Mean, 0.05*tenth)
	assert.Zero(t, p.Worse)
}

func TestLookAtWhatTheModelLeavesOpen(t *testing.T) {
	l := shopLots()
	plain, err := l.Look(shopPoints(), draws, 1)
	require.NoError(t, err)
	l.Offset = []float64{0, 0, 0, 0, 3 * tenth, 0}
	with, err := l.Look(shopPoints(), draws, 1)
	require.NoError(t, err)
	assert.InDelta(t, plain.Points[4].Before.Mean+3*tenth, with.Points[4].Before.Mean, 1e-9)
	assert.InDelta(t, plain.Points[4].Change.Mean, with.Points[4].Change.Mean, 1e-9)
	assert.InDelta(t, plain.Points[3].After.Low, with.Points[3].After.Low, 1e-9)
	assert.Greater(t, with.Points[4].Worse, plain.Points[4].Worse, "from -0.5 to 5.2 instead of -3.5 to 2.2 tenths")
	l.Offset, l.Beside = nil, 2*tenth
	wide, err := l.Look(shopPoints(), draws, 1)
	require.NoError(t, err)
	for i := range wide.Points {
		half := func(s Span) float64 { return (s.High - s.Low) / 2 }
		want := math.Hypot(half(plain.Points[i].Change), usual*2*tenth)
		assert.InDelta(t, want, half(wide.Points[i].Change), 0.05*want)
		assert.InDelta(t, half(plain.Points[i].Before), half(wide.Points[i].Before), 0.05*want)
	}
}

// A source that is there on one side only, or under another name, says nothing
// about the other side.
func TestLookAtOtherSources(t *testing.T) {
	half := func(l Lots) float64 {
		o, err := l.Look(shopPoints(), draws, 1)
		require.NoError(t, err)
		return (o.Points[3].Change.High - o.Points[3].Change.Low) / 2
	}
	plain := shopLots()
	with := func(before, after string) Lots {
		l := shopLots()
		one := func(name string) []Source {
			if name == "" {
				return nil
			}
			return []Source{{Name: name, Effect: []float64{0, 0, 0, 1, 0, 0}, Band: 3 * tenth}}
		}
		l.Before.Extra, l.After.Extra = one(before), one(after)
		return l
	}
	w, sd := half(plain), 3*tenth/math.Sqrt(3)
	assert.InDelta(t, w, half(with("a", "a")), 0.03*w, "cancels")
	assert.InDelta(t, math.Hypot(w, usual*sd), half(with("", "a")), 0.04*w)
	assert.InDelta(t, math.Hypot(w, usual*sd), half(with("a", "")), 0.04*w)
	assert.InDelta(t, math.Hypot(w, usual*sd*math.Sqrt2), half(with("a", "b")), 0.04*w)
}

func TestLookIsTheSameEveryTime(t *testing.T) {
	a, err := shopLots().Look(shopPoints(), 500, 7)
	require.NoError(t, err)
	b, err := shopLots().Look(shopPoints(), 500, 7)
	require.NoError(t, err)
	c, err := shopLots().Look(shopPoints(), 500, 8)
	require.NoError(t, err)
	assert.Equal(t, a.Points[0].Change, b.Points[0].Change)
	assert.NotEqual(t, a.Points[0].Change, c.Points[0].Change)
}

func TestLookRefuses(t *testing.T) {
	for name, spoil := range map[string]func(*Lots){
		"0 assemblies":   func(l *Lots) { l.NBefore = 0 },
		"more than":      func(l *Lots) { l.NAfter = 1 << 40 },
		"offsets":        func(l *Lots) { l.Offset = []float64{1} },
		"beside":         func(l *Lots) { l.Beside = math.NaN() },
		"a bad assembly": func(l *Lots) { l.After.Assembly = &Station{} },
		"a bad gauge":    func(l *Lots) { l.After.Gauge = -1 },
		"a bad gauge b4": func(l *Lots) { l.Before.Gauge = -1 },
	} {
		l := shopLots()
		spoil(&l)
		_, err := l.Look(shopPoints(), 500, 1)
		assert.Error(t, err, name)
	}
	_, err := shopLots().Look(shopPoints(), 99, 1)
	assert.ErrorContains(t, err, "100 or more")
	_, err = shopLots().Look(nil, 500, 1)
	assert.Error(t, err)
	one := shopLots()
	one.NBefore, one.NAfter = 1, 1
	o, err := one.Look(shopPoints(), 500, 1)
	require.NoError(t, err)
	assert.True(t, math.IsNaN(o.Points[0].Ratio.Mean))
}

func BenchmarkLook(b *testing.B) {
	l := shopLots()
	for b.Loop() {
		if _, err := l.Look(shopPoints(), 10_000, 1); err != nil {
			b.Fatal(err)
		}
	}
}
