package fit_test

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/fit"
	"tenths/calc/quantity"
)

func ratio(n, d int64) *big.Rat { return big.NewRat(n, d) }

// For all sizes and classes the limits of hole and shaft give the clearances
// exactly: smallest = EI - es, largest = ES - ei (ISO 286-1).
func TestLimitsGiveTheClearances(t *testing.T) {
	holes := []string{"D", "E", "F", "G", "H", "JS", "K", "M", "N", "P", "R", "S"}
	rapid.Check(t, func(t *rapid.T) {
		nominal := quantity.New(ratio(rapid.Int64Range(1001, 500000).Draw(t, "um"), 1000), quantity.Millimetre)
		hole := rapid.SampledFrom(holes).Draw(t, "hole") + strconv.Itoa(rapid.IntRange(3, 8).Draw(t, "hole grade"))
		shaft := strings.ToLower(rapid.SampledFrom(holes).Draw(t, "shaft")) + strconv.Itoa(rapid.IntRange(1, 13).Draw(t, "shaft grade"))
		h, err := fit.LimitsOf(nominal, hole)
		require.NoError(t, err)
		s, err := fit.LimitsOf(nominal, shaft)
		require.NoError(t, err)
		f, err := fit.Parse(nominal.Plain()+" mm "+hole+"/"+shaft, quantity.Unit{})
		require.NoError(t, err)
		require.Equal(t, hole+"/"+shaft, f.Name)
		require.Zero(t, f.MinClearance.Rat().Cmp(new(big.Rat).Sub(h.LowerDeviation.Rat(), s.UpperDeviation.Rat())))
		require.Zero(t, f.MaxClearance.Rat().Cmp(new(big.Rat).Sub(h.UpperDeviation.Rat(), s.LowerDeviation.Rat())))
		require.LessOrEqual(t, f.RSSMin.Float(), f.RSSMax.Float())
		require.GreaterOrEqual(t, f.RSSMin.Float(), f.MinClearance.Float()-1e-12, "the usual range lies inside the limits")
		require.LessOrEqual(t, f.RSSMax.Float(), f.MaxClearance.Float()+1e-12)

		// Limits reads the same text as LimitsOf computes.
		m, err := fit.Limits(nominal.Plain()+" mm "+hole, quantity.Unit{})
		require.NoError(t, err)
		require.Zero(t, m.Max.Rat().Cmp(h.Max.Rat()))
		require.Zero(t, m.Min.Rat().Cmp(h.Min.Rat()))
		// And another metric unit changes nothing but the unit.
		um, ok := quantity.LookupUnit("um")
		require.True(t, ok)
		inUM, err := nominal.As(um)
		require.NoError(t, err)
		u, err := fit.LimitsOf(inUM, hole)
		require.NoError(t, err)
		require.Equal(t, "um", u.Max.Unit().Name())
		require.Zero(t, u.Max.Rat().Cmp(h.Max.Rat()))
		require.Zero(t, u.LowerDeviation.Rat().Cmp(h.LowerDeviation.Rat()))
	})
}

// Every class of ANSI B4.1 at every size of its step gives the clearances that
// the table prints, and thou says the same as inches.
func TestPrintedClearancesHoldForTheWholeStep(t *testing.T) {
	rows := b41Rows(t)
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.SampledFrom(rows).Draw(t, "row")
		over, to := inTenths(r.over), inTenths(r.to)
		n := rapid.Int64Range(max(over+1, 200), to).Draw(t, "size in tenths") // below .02 in a fit of some classes has no pin left
		f, err := fit.Parse(fmt.Sprintf("0.%04d in %s", n%10000, r.class), quantity.Unit{})
		if n >= 10000 {
			f, err = fit.Parse(fmt.Sprintf("1.%04d in %s", n-10000, r.class), quantity.Unit{})
		}
		require.NoError(t, err)
		thou, err := fit.Parse(fmt.Sprintf("%d.%d thou %s", n/10, n%10, r.class), quantity.Unit{})
		require.NoError(t, err)
		for _, got := range []fit.Fit{f, thou} {
			require.Equal(t, r.min, thousandths(got.MinClearance))
			require.Equal(t, r.max, thousandths(got.MaxClearance))
		}
		require.Equal(t, "thou", thou.MinClearance.Unit().Name())
		require.Equal(t, "in", f.MinClearance.Unit().Name())
	})
}

func inTenths(text string) int64 {
	r, ok := new(big.Rat).SetString(text)
	if !ok {
		return 0
	}
	return new(big.Int).Quo(new(big.Rat).Mul(r, ratio(10000, 1)).Num(), big.NewInt(1)).Int64()
}

// thousandths writes a length as the table does.
func thousandths(q quantity.Quantity) string {
	u, _ := quantity.LookupUnit("thou")
	v, err := q.In(u)
	if err != nil {
		return err.Error()
	}
	n, _ := v.FloatPrec()
	return v.FloatString(n)
}

// A pair of sizes written in inches and the same pair written in millimetres is
// the same fit.
func TestInchAndMetricAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, low, high int64) quantity.Quantity {
			return quantity.New(ratio(rapid.Int64Range(low, high).Draw(t, name), 10000), quantity.Inch)
		}
		hole := draw("hole", 1000, 20000)
		width := draw("hole width", 0, 30)
		shaft := draw("shaft", 1000, 20000)
		shaftWidth := draw("shaft width", 0, 30)
		inch, err := fit.Of(limitsIn(t, hole, width, quantity.Inch), limitsIn(t, shaft, shaftWidth, quantity.Inch))
		require.NoError(t, err)
		mm, err := fit.Of(limitsIn(t, hole, width, quantity.Millimetre), limitsIn(t, shaft, shaftWidth, quantity.Millimetre))
		require.NoError(t, err)
		mixed, err := fit.Of(limitsIn(t, hole, width, quantity.Inch), limitsIn(t, shaft, shaftWidth, quantity.Millimetre))
		require.NoError(t, err)
		for _, other := range []fit.Fit{mm, mixed} {
			require.Equal(t, inch.Kind, other.Kind)
			require.Zero(t, inch.MinClearance.Rat().Cmp(other.MinClearance.Rat()))
			require.Zero(t, inch.MaxClearance.Rat().Cmp(other.MaxClearance.Rat()))
			require.Zero(t, inch.Middle.Rat().Cmp(other.Middle.Rat()))
			require.InDelta(t, inch.RSSMin.Float(), other.RSSMin.Float(), 1e-12)
		}
		assert.Equal(t, "mm", mm.MinClearance.Unit().Name())
		assert.Equal(t, "in", mixed.MinClearance.Unit().Name())
	})
}

func limitsIn(t require.TestingT, low, width quantity.Quantity, u quantity.Unit) quantity.Toleranced {
	low, err := low.As(u)
	require.NoError(t, err)
	high, err := low.Add(width)
	require.NoError(t, err)
	lim, err := quantity.WithLimits(low, low, high)
	require.NoError(t, err)
	return lim
}
