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

// shop is a true hole, cutter and set of pins that the dialogue knows nothing
// of but what it is told. Lengths in 1e-7 in.
type shop struct {
	hole   *big.Rat
	pins   []int64 // marked sizes
	actual []int64
	half   int64 // half tolerance of the pins
	entry  int64
}

// gaugeIt tries every pin, as a careful machinist with a set would around the
// size: the facts that matter are the largest that enters and the smallest that
// refuses.
func (s *shop) gaugeIt(t *rapid.T) []Fact {
	var facts []Fact
	for i := range s.pins {
		needs := rapid.Int64Range(0, s.entry).Draw(t, "clearance needed")
		enters := s.hole.Cmp(big.NewRat(s.actual[i]+needs, 1)) >= 0
		facts = append(facts, Fact{Gauge: between(t, s.pins[i]-s.half, s.pins[i]+s.half), Entered: enters})
	}
	return facts
}

// cut makes the pass: radius change times gain, and some spring.
func (s *shop) cut(change quantity.Quantity, gain *big.Rat, spring int64) {
	r, _ := change.In(quantity.Inch)
	r.Mul(r, gain)
	r.Mul(r, big.NewRat(2*10000000, 1))
	s.hole.Add(s.hole, r).Add(s.hole, big.NewRat(2*spring, 1))
}

func drawShop(t *rapid.T, step, half, entry int64) *shop {
	s := &shop{half: half, entry: entry}
	s.hole = big.NewRat(rapid.OneOf(
		rapid.Int64Range(1866000, 1874900),
		rapid.Custom(func(t *rapid.T) int64 { // just under a pin that refuses
			return 1864000 + step*rapid.Int64Range(2, 10000/step).Draw(t, "pin") - 1
		}),
	).Draw(t, "true hole"), 1)
	for m := int64(1864000); m <= 1886000; m += step {
		s.pins = append(s.pins, m)
		s.actual = append(s.actual, m+rapid.Int64Range(-half, half).Draw(t, "pin off"))
	}
	return s
}

// Over random true holes, true pins, gains that stray from pass to pass and
// spring, no pass that Next gives puts the hole above its upper limit, and what
// Next foretells holds.
func TestNextNeverGoesOver(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShop(t, rapid.SampledFrom([]int64{500, 1000, 2000}).Draw(t, "step of the set"),
			rapid.SampledFrom([]int64{0, 100, 500}).Draw(t, "half tolerance"), rapid.SampledFrom([]int64{0, 500}).Draw(t, "entry"))
		loPct := rapid.IntRange(50, 100).Draw(t, "lowest gain, %")
		hiPct := rapid.IntRange(loPct, 110).Draw(t, "highest gain, %")
		spreadPct := rapid.IntRange(0, 15).Draw(t, "spread, %")
		meanPct := rapid.IntRange(loPct, hiPct).Draw(t, "mean gain, %")
		spring := rapid.SampledFrom([]int64{0, 200}).Draw(t, "spring")
		pct := func(n int) quantity.Quantity { return quantity.New(big.NewRat(int64(n), 100), quantity.One) }
		job := Job{
			Limits: tol(t, "0.1875 +0.0005/-0 in"), Start: s.gaugeIt(t), Entry: ten7(s.entry),
			Gain: Gain{Low: pct(loPct), High: pct(hiPct), Spread: pct(spreadPct), Spring: ten7(spring)},
			// Aimed at the upper limit, only what cannot go over holds it back.
			Target: ten7(rapid.SampledFrom([]int64{1877500, 1880000}).Draw(t, "target")),
		}
		hostile := rapid.Bool().Draw(t, "always as much as the cutter ever takes")
		limit := big.NewRat(1880000, 1)
		for range 12 {
			step, err := Next(job)
			require.NoError(t, err)
			require.NotEqual(t, Oversize, step.Decision, step.Why)
			require.NotContains(t, step.Why, "granted", "what was taken for granted does hold")
			switch step.Decision {
			case Stop:
				assert.True(t, s.hole.Cmp(big.NewRat(1875000, 1)) >= 0 && s.hole.Cmp(limit) <= 0, "stopped outside the limits")
				return
			case CannotTell:
				return
			}
			require.Positive(t, step.Change.Sign())
			assert.LessOrEqual(t, step.Change.Rat().Cmp(step.Most.Rat()), 0)
			assert.LessOrEqual(t, step.After.Upper.Rat().Cmp(testkit.Q(t, "0.1880 in").Rat()), 0)
			most := int64(100 * min(hiPct, meanPct+spreadPct))
			gain, sprung := most, spring
			if !hostile {
				gain = rapid.Int64Range(int64(100*max(loPct, meanPct-spreadPct)), most).Draw(t, "gain, 1e-4")
				sprung = rapid.Int64Range(0, spring).Draw(t, "sprung")
			}
			s.cut(step.Change, big.NewRat(gain, 10000), sprung)
			require.LessOrEqual(t, s.hole.Cmp(limit), 0, "the pass went over: %s", step.Why)
			hole := new(big.Rat).Mul(s.hole, ten7(1).Rat())
			require.LessOrEqual(t, hole.Cmp(step.After.Upper.Rat()), 0)
			require.GreaterOrEqual(t, hole.Cmp(step.After.Lower.Rat()), 0)
			pass := Pass{Change: step.Change}
			if rapid.IntRange(0, 4).Draw(t, "gauged") > 0 {
				pass.Facts = s.gaugeIt(t)
			}
			job.Passes = append(job.Passes, pass)
		}
	})
}

// With pins in steps of a twentieth of the tolerance, the dialogue comes to an
// end inside the limits, for every gain it was told of.
func TestTheDialogueEndsInsideTheLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShop(t, 250, 20, 0)
		mean := rapid.Int64Range(850, 950).Draw(t, "mean gain, 1e-3")
		job := Job{Limits: tol(t, "0.1875 +0.0005/-0 in"), Start: s.gaugeIt(t)}
		for range 8 {
			step, err := Next(job)
			require.NoError(t, err)
			if step.Decision == Stop {
				return
			}
			require.Equal(t, GoOn, step.Decision, step.Why)
			s.cut(step.Change, big.NewRat(mean+rapid.Int64Range(-50, 50).Draw(t, "stray, 1e-3"), 1000), 0)
			job.Passes = append(job.Passes, Pass{Change: step.Change, Facts: s.gaugeIt(t)})
		}
		t.Fatalf("not done after 8 passes")
	})
}

// The true mean gain lies within the running mean and its half-width.
func TestTheLearnedMeanHoldsTheTrueOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShop(t, 500, 100, 0)
		s.hole = big.NewRat(1866000, 1)
		job := Job{Limits: tol(t, "0.1900 +0.0005/-0 in"), Start: s.gaugeIt(t), Gain: Gain{Low: testkit.Q(t, "0.5"), High: testkit.Q(t, "1.2")}}
		from := new(big.Rat).Set(s.hole)
		commanded := new(big.Rat)
		for range rapid.IntRange(1, 4).Draw(t, "passes") {
			c := ten7(rapid.Int64Range(1000, 2000).Draw(t, "change"))
			s.cut(c, big.NewRat(rapid.Int64Range(850, 950).Draw(t, "gain, 1e-3"), 1000), 0)
			job.Passes = append(job.Passes, Pass{Change: c, Facts: s.gaugeIt(t)})
			commanded.Add(commanded, c.Rat())
		}
		step, err := Next(job)
		require.NoError(t, err)
		require.False(t, step.Learned.Mean.IsZeroValue())
		truth := new(big.Rat).Sub(s.hole, from)
		truth.Mul(truth, ten7(1).Rat()).Quo(truth, commanded.Mul(commanded, big.NewRat(2, 1)))
		off := truth.Sub(truth, step.Learned.Mean.Rat())
		assert.LessOrEqual(t, off.Abs(off).Cmp(step.Learned.Half.Rat()), 0)
	})
}

func TestNextIsMonotoneAndKnowsNoUnits(t *testing.T) {
	// Monotone: a wider bracket, a higher gain or more spring never gives a
	// larger pass; the unit of entry changes nothing.
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Int64Range(1868000, 1874000).Draw(t, "GO")
		up := lo + rapid.Int64Range(0, 4000).Draw(t, "width")
		wider := rapid.Int64Range(0, 1000).Draw(t, "wider")
		hi := rapid.IntRange(80, 110).Draw(t, "highest gain, %")
		more := rapid.IntRange(0, 30).Draw(t, "more gain, %")
		spring := rapid.Int64Range(0, 300).Draw(t, "spring")
		job := func(up int64, hi int, spring int64, limits string) Job {
			return Job{
				Limits: tol(t, limits), Gain: Gain{High: quantity.New(big.NewRat(int64(hi), 100), quantity.One), Spring: ten7(spring)},
				Start: []Fact{{Gauge: between(t, lo, lo), Entered: true}, {Gauge: between(t, up, up)}},
			}
		}
		most := func(j Job) *big.Rat {
			s, err := Next(j)
			require.NoError(t, err)
			if s.Most.IsZeroValue() {
				return big.NewRat(-1, 1)
			}
			return s.Most.Rat()
		}
		const inches = "0.1875 +0.0005/-0 in"
		base := most(job(up, hi, 0, inches))
		assert.LessOrEqual(t, most(job(up+wider, hi, 0, inches)).Cmp(base), 0)
		assert.LessOrEqual(t, most(job(up, hi+more, 0, inches)).Cmp(base), 0)
		assert.LessOrEqual(t, most(job(up, hi, spring, inches)).Cmp(base), 0)
		a, b := job(up, hi, spring, inches), job(up, hi, spring, "4.7625 +0.0127/-0 mm")
		a.Increment, b.Increment = testkit.Q(t, "0.00001 in"), testkit.Q(t, "0.000254 mm")
		x, err := Next(a)
		require.NoError(t, err)
		y, err := Next(b)
		require.NoError(t, err)
		assert.Equal(t, x.Decision, y.Decision)
		assert.Zero(t, x.Change.Rat().Cmp(y.Change.Rat()))
		assert.Zero(t, x.After.Upper.Rat().Cmp(y.After.Upper.Rat()))
	})
}

// With gauges as close as one likes, the learned limits still hold every gain
// that the next pass can have: the cutter's mean, give or take the spread.
func TestTheLearnedLimitsHoldTheNextGain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spread := rapid.Int64Range(0, 100).Draw(t, "spread, 1e-3")
		mean := rapid.Int64Range(700, 950).Draw(t, "mean, 1e-3")
		side := rapid.SampledFrom([]int64{-1, 0, 1}).Draw(t, "all passes stray to this side")
		milli := func(n int64) quantity.Quantity { return quantity.New(big.NewRat(n, 1000), quantity.One) }
		hole := big.NewRat(1800000, 1)
		width := rapid.Int64Range(0, 100).Draw(t, "width of the brackets")
		bracket := func() []Fact {
			whole := new(big.Int).Quo(hole.Num(), hole.Denom()).Int64()
			below := rapid.Int64Range(0, width).Draw(t, "below")
			return []Fact{{Gauge: between(t, whole-below, whole-below), Entered: true}, {Gauge: between(t, whole+1+width-below, whole+1+width-below)}}
		}
		job := Job{Limits: tol(t, "0.1900 +0.0005/-0 in"), Start: bracket(), Gain: Gain{Low: testkit.Q(t, "0.5"), High: testkit.Q(t, "1.2"), Spread: milli(spread)}}
		for range rapid.IntRange(1, 4).Draw(t, "passes") {
			c := rapid.Int64Range(500, 10000).Draw(t, "change")
			g := mean + side*spread
			if side == 0 {
				g = mean + rapid.Int64Range(-spread, spread).Draw(t, "stray")
			}
			hole.Add(hole, big.NewRat(2*c*g, 1000))
			job.Passes = append(job.Passes, Pass{Change: ten7(c), Facts: bracket()})
		}
		step, err := Next(job)
		require.NoError(t, err)
		require.False(t, step.Learned.High.IsZeroValue(), step.Why)
		assert.LessOrEqual(t, step.Learned.Low.Rat().Cmp(milli(mean-spread).Rat()), 0)
		assert.GreaterOrEqual(t, step.Learned.High.Rat().Cmp(milli(mean+spread).Rat()), 0)
	})
}
