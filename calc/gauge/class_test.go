package gauge_test

import (
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/gauge"
	"tenths/calc/internal/testkit"
	"tenths/calc/quantity"
)

// The source keys are those of data/README.md.
func TestClassTolerance(t *testing.T) {
	for _, c := range []struct {
		class              gauge.Class
		size, want, source string
	}{
		{gauge.ZZ, "0.25 in", "0.0002 in", "K1 to K5, seen in several places"},
		{gauge.Z, "0.25 in", "0.0001 in", "K1 to K5, seen in several places"},
		{gauge.Y, "0.25 in", "0.00007 in", "K1 to K5, seen in several places"},
		{gauge.X, "0.25 in", "0.00004 in", "K1 to K5, seen in several places"},
		{gauge.XX, "0.25 in", "0.00002 in", "K1 to K5, seen in several places"},
		{gauge.XXX, "0.25 in", "0.00001 in", "K1, K2"},
		{gauge.Z, "0.825 in", "0.0001 in", "the end of a step belongs to it"},
		{gauge.Z, "0.8250001 in", "0.00012 in", "above it the next step begins"},
		{gauge.Z, "1.000 in", "0.00012 in", "K1 to K5; K6 takes .0001 in for class Z here"},
		{gauge.Y, "1.000 in", "0.00009 in", "K1 to K5"},
		{gauge.XXX, "6.510 in", "0.000033 in", "K1, K2"},
		{gauge.ZZ, "12.010 in", "0.0008 in", "K1, K2"},
		{gauge.X, "187.5 thou", "0.04 thou", "K1: another inch unit"},
		{gauge.XX, "6 mm", "0.00051 mm", "K1, K2"},
		{gauge.XX, "25 mm", "0.00076 mm", "K1, K2"},
		{gauge.ZZ, "4 mm", "0.00508 mm", "K1, K2; K3 rounds to .005"},
		{gauge.X, "165.35 mm", "0.0033 mm", "K1; K2 misprints the end of this step as 163.35"},
		{gauge.X, "20.96 mm", "0.00102 mm", "K1, K2; K4 prints 20.25 for 20.95"},
		{gauge.X, "20.961 mm", "0.00152 mm", "K1, K2"},
		{gauge.XX, "6000 um", "0.51 um", "K1: another metric unit"},
	} {
		got, err := c.class.Tolerance(testkit.Q(t, c.size))
		require.NoError(t, err, c.size)
		testkit.Equal(t, c.want, got, string(c.class)+" at "+c.size+", "+c.source)
		assert.Equal(t, testkit.Q(t, c.size).Unit().Name(), got.Unit().Name())
	}
}

// The whole class table, cell by cell: XXX, XX, X, Y, Z, ZZ, just over the lower
// end of each step and at its upper end. Source keys as above, seen in several
// places (inch) and in two (metric).
func TestClassTable(t *testing.T) {
	for _, row := range []struct {
		unit, over, to string
		tolerances     [6]string
		source         string
	}{
		{"in", "0.010", "0.825", [6]string{"0.000010", "0.000020", "0.000040", "0.000070", "0.000100", "0.000200"}, "K1 to K5"},
		{"in", "0.825", "1.510", [6]string{"0.000015", "0.000030", "0.000060", "0.000090", "0.000120", "0.000240"}, "K1 to K5"},
		{"in", "1.510", "2.510", [6]string{"0.000020", "0.000040", "0.000080", "0.000120", "0.000160", "0.000320"}, "K1 to K5"},
		{"in", "2.510", "4.510", [6]string{"0.000025", "0.000050", "0.000100", "0.000150", "0.000200", "0.000400"}, "K1 to K5"},
		{"in", "4.510", "6.510", [6]string{"0.000033", "0.000065", "0.000130", "0.000190", "0.000250", "0.000500"}, "K1 to K5"},
		{"in", "6.510", "9.010", [6]string{"0.000040", "0.000080", "0.000160", "0.000240", "0.000320", "0.000640"}, "K1 to K5"},
		{"in", "9.010", "12.010", [6]string{"0.000050", "0.000100", "0.000200", "0.000300", "0.000400", "0.000800"}, "K1 to K5"},
		{"mm", "0.254", "20.96", [6]string{"0.00025", "0.00051", "0.00102", "0.00178", "0.00254", "0.00508"}, "K1, K2"},
		{"mm", "20.96", "38.35", [6]string{"0.00038", "0.00076", "0.00152", "0.00229", "0.00305", "0.00610"}, "K1, K2"},
		{"mm", "38.35", "63.75", [6]string{"0.00051", "0.00102", "0.00203", "0.00305", "0.00406", "0.00813"}, "K1, K2"},
		{"mm", "63.75", "114.55", [6]string{"0.00064", "0.00127", "0.00254", "0.00381", "0.00508", "0.01016"}, "K1, K2"},
		{"mm", "114.55", "165.35", [6]string{"0.00084", "0.00165", "0.00330", "0.00483", "0.00635", "0.01270"}, "K1, K2"},
		{"mm", "165.35", "228.85", [6]string{"0.00102", "0.00203", "0.00406", "0.00610", "0.00813", "0.01626"}, "K1, K2"},
		{"mm", "228.85", "305.05", [6]string{"0.00127", "0.00254", "0.00508", "0.00762", "0.01016", "0.02032"}, "K1, K2"},
	} {
		for i, class := range gauge.Classes() {
			for _, size := range []string{row.over + "01 " + row.unit, row.to + " " + row.unit} {
				got, err := class.Tolerance(testkit.Q(t, size))
				require.NoError(t, err, size)
				testkit.Equal(t, row.tolerances[i]+" "+row.unit, got, string(class)+" at "+size+", "+row.source)
			}
		}
	}
}

// Direction of the gauge tolerance (all sources seen agree; the pin of class ZZ
// is written out in one source and follows from the table).
func TestClassGauge(t *testing.T) {
	for _, c := range []struct {
		class              gauge.Class
		marked             string
		sign               gauge.Sign
		low, high, written string
	}{
		{gauge.ZZ, "0.2500 in", gauge.Plus, "0.2500 in", "0.2502 in", "0.2500 +0.0002/-0.0000 in"},
		{gauge.ZZ, "0.2500 in", gauge.Minus, "0.2498 in", "0.2500 in", "0.2500 +0.0000/-0.0002 in"},
		{gauge.X, "0.1875 in", gauge.Plus, "0.1875 in", "0.18754 in", "0.1875 +0.00004/-0.00000 in"},
		{gauge.X, "0.1880 in", gauge.Minus, "0.18796 in", "0.1880 in", "0.1880 +0.00000/-0.00004 in"},
		{gauge.XXX, "1.0000 in", gauge.Master, "0.9999925 in", "1.0000075 in", "1.0000 +0.0000075/-0.0000075 in"},
		{gauge.XX, "4.000 mm", gauge.Plus, "4.000 mm", "4.00051 mm", "4.000 +0.00051/-0.00000 mm"},
	} {
		g, err := c.class.Gauge(testkit.Q(t, c.marked), c.sign)
		require.NoError(t, err)
		testkit.Equal(t, c.low, g.Lower, c.marked)
		testkit.Equal(t, c.high, g.Upper, c.marked)
		assert.Equal(t, c.written, g.String())
	}
	assert.Equal(t, "plus minus master", strings.Join([]string{gauge.Plus.String(), gauge.Minus.String(), gauge.Master.String()}, " "))
}

func TestClassRefusals(t *testing.T) {
	for _, c := range []struct {
		class      gauge.Class
		size, says string
		notCarried bool
	}{
		{gauge.X, "12.011 in", "over 0.010 in up to and including 12.010 in", true},
		{gauge.X, "0.010 in", "over 0.010 in", true},
		{gauge.X, "306 mm", "over 0.254 mm up to and including 305.05 mm", true},
		{gauge.X, "0 in", "a size must be above 0", false},
		{gauge.X, "-1 in", "a size must be above 0", false},
		{gauge.X, "5 deg", "is no length; write it like 0.1875 in", false},
		{gauge.X, "0.5", "is no length", false},
		{"W", "0.5 in", "the classes are XXX, XX, X, Y, Z and ZZ", false},
	} {
		_, err := c.class.Tolerance(testkit.Q(t, c.size))
		require.Error(t, err, c.size)
		assert.ErrorContains(t, err, c.says)
		if c.notCarried {
			assert.ErrorIs(t, err, gauge.ErrNotCarried)
		}
	}
	_, err := gauge.X.Tolerance(quantity.Quantity{})
	assert.ErrorContains(t, err, "the gauge size is missing")
	_, err = gauge.X.Gauge(testkit.Q(t, "0.5 in"), gauge.Sign(7))
	assert.ErrorContains(t, err, "plus, minus or as a master")
	c, err := gauge.ParseClass(" zz ")
	require.NoError(t, err)
	assert.Equal(t, gauge.ZZ, c)
	for _, text := range []string{"", "ZZZ", "XXXX", "A", strings.Repeat("X", 500)} {
		_, err := gauge.ParseClass(text)
		assert.ErrorContains(t, err, "no gauge-maker's class")
		assert.Less(t, len(err.Error()), 200)
	}
}

// The metric table is the inch table times 25.4, rounded to five decimals; the
// steps likewise to two. One public page gives ZZ a tenth of its tolerance, and
// one a wrong end of a step: both would fail here.
func TestMetricTableIsTheInchTableRounded(t *testing.T) {
	ends := []string{"0.825", "1.510", "2.510", "4.510", "6.510", "9.010", "12.010"}
	metricEnds := []string{"20.96", "38.35", "63.75", "114.55", "165.35", "228.85", "305.05"}
	for i, end := range ends {
		inch, mm := testkit.Q(t, end+" in"), testkit.Q(t, metricEnds[i]+" mm")
		assert.LessOrEqual(t, distance(inch, mm), 0.0051, "end of step %s", end)
		finer := new(big.Rat)
		for _, c := range gauge.Classes() {
			a, err := c.Tolerance(inch)
			require.NoError(t, err)
			b, err := c.Tolerance(mm)
			require.NoError(t, err)
			assert.LessOrEqual(t, distance(a, b), 0.0000051, "class %s up to %s in", c, end)
			assert.Positive(t, a.Rat().Cmp(finer), "coarser than the class before")
			finer = a.Rat()
		}
	}
}

func distance(a, b quantity.Quantity) float64 {
	d := new(big.Rat).Sub(a.Rat(), b.Rat())
	f, _ := d.Abs(d).Float64()
	return f
}

// For every size and class: the class is as wide as its tolerance whatever the
// sign, coarser with size, and the same size in another unit of its system gives
// the same gauge; across the systems it agrees to the rounding of the tables.
func TestClassProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(101, 120099).Draw(t, "tenths")
		size := in(n, 10000)
		class := rapid.SampledFrom(gauge.Classes()).Draw(t, "class")
		tolerance, err := class.Tolerance(size)
		require.NoError(t, err)
		for _, sign := range []gauge.Sign{gauge.Plus, gauge.Minus, gauge.Master} {
			g, err := class.Gauge(size, sign)
			require.NoError(t, err)
			w, ok := g.Width()
			require.True(t, ok)
			require.Zero(t, w.Rat().Cmp(tolerance.Rat()))
		}
		larger, err := class.Tolerance(in(n+1, 10000))
		require.NoError(t, err)
		require.LessOrEqual(t, tolerance.Rat().Cmp(larger.Rat()), 0)
		thou, ok := quantity.LookupUnit("thou")
		require.True(t, ok)
		other, err := size.As(thou)
		require.NoError(t, err)
		same, err := class.Tolerance(other)
		require.NoError(t, err)
		require.Zero(t, same.Rat().Cmp(tolerance.Rat()))
		mm := metric(t, size)
		if v := mm.Float(); v > 0.26 && v < 305 && !nearStep(v) {
			m, err := class.Tolerance(mm)
			require.NoError(t, err)
			require.LessOrEqual(t, distance(m, tolerance), 0.0000051)
		}
	})
}

// nearStep: the metric steps are rounded, so a size within 0.01 mm of one may
// fall into the neighbouring step.
func nearStep(mm float64) bool {
	for _, e := range []float64{20.955, 38.354, 63.754, 114.554, 165.354, 228.854} {
		if mm > e-0.01 && mm < e+0.01 {
			return true
		}
	}
	return false
}

func FuzzParseClass(f *testing.F) {
	for _, s := range []string{"XXX", "xx", " y ", "ZZ", "ZZZ", "", "\xff", "Х"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, err := gauge.ParseClass(text)
		if err != nil {
			if c != "" {
				t.Fatalf("%q: a class beside an error", text)
			}
			return
		}
		if again, err := gauge.ParseClass(string(c)); err != nil || again != c {
			t.Fatalf("%q reads back as %q (%v)", text, again, err)
		}
		if _, err := c.Tolerance(in(1, 2)); err != nil {
			t.Fatal(err)
		}
	})
}
