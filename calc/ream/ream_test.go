package ream_test

import (
	"encoding/csv"
	"fmt"
	"math/big"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/internal/testkit"
	"tenths/calc/quantity"
	"tenths/calc/ream"
)

func ratio(n, d int64) *big.Rat { return big.NewRat(n, d) }

func TestLimits(t *testing.T) {
	for _, c := range []struct{ hole, max, min, source string }{
		{"10.040..10.062 mm", "10.058 mm", "10.050 mm", "reamer maker's page, worked example 10 D8 (3.3 up to 4, 7.7 up to 8): printed"},
		{"10 mm D8", "10.058 mm", "10.050 mm", "the same by its class"},
		{"20 mm H7", "20.017 mm", "20.009 mm", "reamer maker's catalogue, H7 18-30 mm +17/+9: printed"},
		{"4 mm H7", "4.010 mm", "4.005 mm", "formula sheet F17 with H7 of ISO 286; H7 3-6 mm +10/+5 is printed in the catalogue"},
		{"0.1250..0.1255 in", "0.1254 in", "0.1252 in", "formula sheet F17, recomputed"},
		{"0.1875..0.1880 in", "0.1879 in", "0.1877 in", "formula sheet F17, demo shop"},
		{"0.1875 +0.0005/-0 in", "0.1879 in", "0.1877 in", "the same with deviations"},
		{"187.5..188.0 thou", "187.9 thou", "187.7 thou", "the same in thou"},
		{"0.2500 +0.0010/-0 in", "0.2508 in", "0.2504 in", "own: 1.5 up to 2 tenths, 3.5 up to 4"},
		{"0.2500 +0.0020/-0 in", "0.2517 in", "0.2510 in", "own: 3 and 7 tenths are whole and stay"},
		{"25 mm H7", "25.017 mm", "25.009 mm", "catalogue, as 20 H7"},
	} {
		t.Run(c.hole, func(t *testing.T) {
			got, err := ream.Limits(testkit.Tol(t, c.hole))
			require.NoError(t, err)
			testkit.Equal(t, c.max, got.Upper, c.source)
			testkit.Equal(t, c.min, got.Lower, c.source)
			assert.Equal(t, testkit.Tol(t, c.hole).Upper.Unit().Name(), got.Upper.Unit().Name())
		})
	}
	got, err := ream.Limits(testkit.Tol(t, "0.1250 +0.0005/-0 in"))
	require.NoError(t, err)
	assert.Equal(t, "0.1252 in 0.1254 in 0.1250 in", got.Lower.String()+" "+got.Upper.String()+" "+got.Nominal.String())
}

// The table of reamer limits: H7 up to 80 mm is printed, the other columns
// were computed apart from this code and check only the arithmetic
// (testdata/README.md).
func TestTableOfDIN1420(t *testing.T) {
	f, err := os.Open("testdata/reamer_din1420.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 9)
	for _, row := range rows[1:] {
		over, err := strconv.Atoi(row[0])
		require.NoError(t, err)
		for _, size := range []string{fmt.Sprintf("%d.001", over), row[1]} {
			for grade := 6; grade <= 11; grade++ {
				up, low := row[2+2*(grade-6)], row[3+2*(grade-6)]
				hole := fmt.Sprintf("%s mm H%d", size, grade)
				if over == 0 {
					hole = fmt.Sprintf("%s mm H%d", row[1], grade)
				}
				got, err := ream.Limits(testkit.Tol(t, hole))
				require.NoError(t, err)
				above, err := got.Upper.Sub(got.Nominal)
				require.NoError(t, err)
				testkit.Equal(t, up+" um", above, hole)
				below, err := got.Lower.Sub(got.Nominal)
				require.NoError(t, err)
				testkit.Equal(t, low+" um", below, hole)
			}
		}
	}
}

// In binary floating point 0.35 times 180 is 62.99999999999999 and other
// products land a hair above a whole number, which would cost a whole step.
func TestWholeProductsAreNotRoundedUp(t *testing.T) {
	for tolerance := int64(20); tolerance <= 2000; tolerance += 20 { // 15 % and 35 % are whole
		hole, err := quantity.WithLimits(testkit.Q(t, "50 mm"), testkit.Q(t, "50 mm"), quantity.New(ratio(50000+tolerance, 1000), quantity.Millimetre))
		require.NoError(t, err)
		got, err := ream.Limits(hole)
		require.NoError(t, err)
		assert.Zero(t, got.Upper.Rat().Cmp(ratio(50000+tolerance-tolerance*15/100, 1000)), "T = %d um", tolerance)
		assert.Zero(t, got.Lower.Rat().Cmp(ratio(50000+tolerance-tolerance*50/100, 1000)), "T = %d um", tolerance)
	}
}

func TestLimitsRefusals(t *testing.T) {
	for _, c := range []struct{ hole, says string }{
		{"0.1875 in", "the hole 0.1875 in needs both limits; write it like 0.1875 +0.0005/-0 in or 4 mm H7"},
		{"<= 0.1875 in", "needs both limits"},
		{"5 ±1 deg", "is no length"},
		{"0 +0.0005/-0 in", "a size must be above 0"},
		{"-1 ±0.1 in", "a size must be above 0"},
		{"0.1875..0.1875 in", "has no tolerance"},
		{"0.1875 +0.0002/-0 in", "too narrow for reamers in steps of 0.0001 in: the smallest would be 0.1875 in; take a finer step"},
		{"4 +0.002/-0 mm", "too narrow for reamers in steps of 0.001 mm"},
	} {
		_, err := ream.Limits(testkit.Tol(t, c.hole))
		assert.ErrorContains(t, err, c.says, c.hole)
		_, err = ream.Place(testkit.Tol(t, c.hole), testkit.Q(t, "0.1876 in"))
		assert.ErrorContains(t, err, c.says, c.hole)
	}
	_, err := ream.Limits(quantity.Toleranced{})
	assert.ErrorContains(t, err, "the hole is missing")
	at := quantity.FromFloat(25, quantity.Millimetre)
	computed, err := quantity.WithLimits(at, at, testkit.Q(t, "25.021 mm"))
	require.NoError(t, err)
	_, err = ream.Limits(computed)
	assert.ErrorContains(t, err, "computed limits")
	for _, c := range []struct{ step, says string }{
		{"0 in", "must be exact and above 0"}, {"-0.0001 in", "must be exact and above 0"}, {"1 deg", "is no length"}, {"", "is no length"},
	} {
		_, err := ream.LimitsIn(testkit.Tol(t, "0.1875 +0.0005/-0 in"), testkit.Q(t, c.step))
		assert.ErrorContains(t, err, c.says)
	}
	// A finer step helps where tenths are too coarse.
	got, err := ream.LimitsIn(testkit.Tol(t, "0.1875 +0.0002/-0 in"), testkit.Q(t, "10 uin"))
	require.NoError(t, err)
	testkit.Equal(t, "0.18767 in", got.Upper, "0.03 tenths up to 0.03")
	testkit.Equal(t, "0.18760 in", got.Lower, "0.07 tenths up to 0.07")
}

// The reamer of the demo shop (invented) and the formula sheet's remark that a
// nominal-size reamer lies outside.
func TestPlace(t *testing.T) {
	const hole = "0.1875 +0.0005/-0 in"
	for _, c := range []struct {
		hole, reamer        string
		position            ream.Position
		overLow, under, off string
		source              string
	}{
		{hole, "0.1876 in", ream.LowSide, "0.0001 in", "0.0004 in", "-0.0001 in", "demo shop: on the low side, proven by its holes"},
		{hole, "0.1877 in", ream.Inside, "0.0002 in", "0.0003 in", "0 in", "F17, lower edge"},
		{hole, "0.1879 in", ream.Inside, "0.0004 in", "0.0001 in", "0 in", "F17, upper edge"},
		{hole, "0.18795 in", ream.HighSide, "0.00045 in", "0.00005 in", "0.00005 in", "own"},
		{hole, "0.1875 in", ream.Outside, "0 in", "0.0005 in", "-0.0002 in", "F17: a nominal-size reamer lies outside"},
		{hole, "0.1880 in", ream.Outside, "0.0005 in", "0 in", "0.0001 in", "own"},
		{hole, "0.1870 in", ream.Outside, "-0.0005 in", "0.0010 in", "-0.0007 in", "own"},
		{hole, "0.1885 in", ream.Outside, "0.0010 in", "-0.0005 in", "0.0006 in", "own"},
		{"0.1250..0.1255 in", "0.1250 in", ream.Outside, "0 in", "0.0005 in", "-0.0002 in", "F17"},
		{"4 mm H7", "4.008 mm", ream.Inside, "0.008 mm", "0.004 mm", "0 mm", "demo shop: window 4.005 to 4.010"},
		{"4 mm H7", "0.1576 in", ream.LowSide, "0.00304 mm", "0.00896 mm", "-0.00196 mm", "an inch reamer in a metric hole, own"},
		{hole, "4.7676 mm", ream.Inside, "0.0051 mm", "0.0076 mm", "0 mm", "a metric reamer in an inch hole, own"},
	} {
		t.Run(c.reamer+" in "+c.hole, func(t *testing.T) {
			p, err := ream.Place(testkit.Tol(t, c.hole), testkit.Q(t, c.reamer))
			require.NoError(t, err)
			assert.Equal(t, c.position, p.Position, c.source)
			testkit.Equal(t, c.overLow, p.OverLow, c.source)
			testkit.Equal(t, c.under, p.UnderTop, c.source)
			testkit.Equal(t, c.off, p.Off, c.source)
			for _, q := range []quantity.Quantity{p.OverLow, p.UnderTop, p.Off, p.Want.Upper} {
				assert.Equal(t, testkit.Tol(t, c.hole).Upper.Unit().Name(), q.Unit().Name())
			}
		})
	}
	for _, c := range []struct{ reamer, says string }{
		{"0 in", "a size must be above 0"}, {"-0.1876 in", "a size must be above 0"}, {"5 deg", "the reamer 5 deg is no length; write it like 0.1876 in"}, {"", "the reamer is missing"},
	} {
		_, err := ream.Place(testkit.Tol(t, hole), testkit.Q(t, c.reamer))
		assert.ErrorContains(t, err, c.says)
	}
	_, err := ream.Place(testkit.Tol(t, hole), quantity.FromFloat(0.1877, quantity.Inch))
	assert.ErrorContains(t, err, "is a computed value and lies on a limit")
}

// Common practice: .004 to .012 in for 1/8 to 1/4 in; 0.1-0.2 mm up to 5 mm and
// 0.2-0.3 mm from 5 to 20 mm in two fitter's training texts that agree; 0.3-0.5 mm
// over 20 mm in one of them.
func TestStock(t *testing.T) {
	for _, c := range []struct {
		hole, reamer, amount, least, most string
		verdict                           ream.StockVerdict
		why                               string
	}{
		{"0.182 in", "0.1876 in", "0.0056 in", "0.004 in", "0.012 in", ream.StockUsual, "demo shop: drill .182 before reamer .1876"},
		{"0.1836 in", "0.1876 in", "0.0040 in", "0.004 in", "0.012 in", ream.StockUsual, "the edge belongs to it"},
		{"0.1837 in", "0.1876 in", "0.0039 in", "0.004 in", "0.012 in", ream.StockTooLittle, "rubs"},
		{"0.1756 in", "0.1876 in", "0.0120 in", "0.004 in", "0.012 in", ream.StockUsual, "the other edge"},
		{"11/64 in", "0.1876 in", "0.015725 in", "0.004 in", "0.012 in", ream.StockTooMuch, "deflects"},
		{"0.1876 in", "0.1876 in", "0 in", "0.004 in", "0.012 in", ream.StockNone, "nothing left"},
		{"0.1880 in", "0.1876 in", "-0.0004 in", "0.004 in", "0.012 in", ream.StockNone, "larger than the reamer"},
		{"0.120 in", "1/8 in", "0.005 in", "0.004 in", "0.012 in", ream.StockUsual, "1/8 in belongs to the range that begins with it"},
		{"0.24 in", "1/4 in", "0.01 in", "0.004 in", "0.012 in", ream.StockUsual, "1/4 in too"},
		{"3.8 mm", "4 mm", "0.2 mm", "0.1016 mm", "0.3048 mm", ream.StockUsual, "metric size in the same range"},
		{"2.9 mm", "3 mm", "0.1 mm", "0.1 mm", "0.2 mm", ream.StockUsual, "up to 1/8 in"},
		{"2.7 mm", "3 mm", "0.3 mm", "0.1 mm", "0.2 mm", ream.StockTooMuch, "up to 1/8 in"},
		{"7.8 mm", "8 mm", "0.2 mm", "0.2 mm", "0.3 mm", ream.StockUsual, "a model engineer's habit as well: 7.8 before 8"},
		{"9.9 mm", "10 mm", "0.1 mm", "0.2 mm", "0.3 mm", ream.StockTooLittle, "over 1/4 in"},
		{"29.6 mm", "30 mm", "0.4 mm", "0.3 mm", "0.5 mm", ream.StockUsual, "one text"},
		{"31/64 in", "1/2 in", "0.015625 in", "0.2 mm", "0.3 mm", ream.StockTooMuch, "1/64 in is more than the texts leave"},
	} {
		t.Run(c.hole+" to "+c.reamer, func(t *testing.T) {
			s, err := ream.StockFor(testkit.Q(t, c.hole), testkit.Q(t, c.reamer))
			require.NoError(t, err)
			testkit.Equal(t, c.amount, s.Amount, c.why)
			testkit.Equal(t, c.least, s.Least, c.why)
			testkit.Equal(t, c.most, s.Most, c.why)
			assert.Equal(t, c.verdict, s.Verdict, c.why)
			assert.Contains(t, s.Source, "common practice")
			assert.Equal(t, testkit.Q(t, c.reamer).Unit().Name(), s.Most.Unit().Name())
		})
	}
	least, most, _, err := ream.UsualStock(testkit.Q(t, "1/2 in"))
	require.NoError(t, err)
	assert.Equal(t, "0.008 in to 0.012 in", least.String()+" to "+most.String(), "no more digits than common practice deserves")
	for _, c := range []struct {
		hole, reamer, says string
	}{
		{"0.182 in", "0 in", "a size must be above 0"},
		{"0 in", "0.1876 in", "the hole before reaming 0 in is not possible"},
		{"0.182 in", "5 deg", "is no length"},
		{"5 deg", "0.1876 in", "is no length"},
		{"49 mm", "51 mm", "up to and including 50 mm"},
	} {
		_, err := ream.StockFor(testkit.Q(t, c.hole), testkit.Q(t, c.reamer))
		assert.ErrorContains(t, err, c.says)
	}
	_, err = ream.StockFor(testkit.Q(t, "49 mm"), testkit.Q(t, "51 mm"))
	assert.ErrorIs(t, err, ream.ErrNotCarried)
}

// For every hole and step: the reamer lies inside the hole, its limits are whole
// steps off the largest hole, no more than a step beyond the exact shares, and
// inches and millimetres give the same reamer.
func TestLimitsProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := quantity.New(ratio(rapid.Int64Range(500, 20000).Draw(t, "tenths"), 10000), quantity.Inch)
		width := quantity.New(ratio(rapid.Int64Range(4, 100).Draw(t, "tolerance, tenths"), 10000), quantity.Inch)
		step := quantity.New(ratio(rapid.Int64Range(1, 10).Draw(t, "step, 10 uin"), 100000), quantity.Inch)
		var got [2]quantity.Toleranced
		for i, u := range []quantity.Unit{quantity.Inch, quantity.Millimetre} {
			l, err := low.As(u)
			require.NoError(t, err)
			h, err := l.Add(width)
			require.NoError(t, err)
			hole, err := quantity.WithLimits(l, l, h)
			require.NoError(t, err)
			got[i], err = ream.LimitsIn(hole, step)
			require.NoError(t, err)
			above, err := h.Sub(got[i].Upper)
			require.NoError(t, err)
			whole(t, above, step)
			between, err := got[i].Upper.Sub(got[i].Lower)
			require.NoError(t, err)
			whole(t, between, step)
			near(t, above, width.Scale(ratio(15, 100)), step)
			near(t, between, width.Scale(ratio(35, 100)), step)
			require.Positive(t, got[i].Lower.Rat().Cmp(l.Rat()))
			require.Equal(t, u.Name(), got[i].Upper.Unit().Name())
			for _, c := range []struct {
				size quantity.Quantity
				want ream.Position
			}{{l, ream.Outside}, {h, ream.Outside}} {
				p, err := ream.Place(hole, c.size)
				require.NoError(t, err)
				require.Equal(t, c.want, p.Position)
			}
		}
		require.Zero(t, got[0].Upper.Rat().Cmp(got[1].Upper.Rat()))
		require.Zero(t, got[0].Lower.Rat().Cmp(got[1].Lower.Rat()))
	})
}

// whole: q is a whole number of steps.
func whole(t require.TestingT, q, step quantity.Quantity) {
	r := new(big.Rat).Quo(q.Rat(), step.Rat())
	require.True(t, r.IsInt(), "%s in steps of %s", q, step)
}

// near: q is not below exact and less than a step above it.
func near(t require.TestingT, q, exact, step quantity.Quantity) {
	d := new(big.Rat).Sub(q.Rat(), exact.Rat())
	require.GreaterOrEqual(t, d.Sign(), 0)
	require.Negative(t, d.Cmp(step.Rat()))
}
