package bench

import (
	"encoding/csv"
	"encoding/json"
	"math/big"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/quantity"
)

// Source keys are those of ../limits/data/README.md.
func TestLimitsPublished(t *testing.T) {
	for _, c := range []struct{ size, standard, upper, lower, max, min, source, standing string }{
		{"25 mm H7", "ISO 286-2", "0.021 mm", "0 mm", "25.021 mm", "25.000 mm", "T1; also GATE 2011 exam item", "seen twice"},
		{"25 mm H8", "ISO 286-2", "0.033 mm", "0 mm", "25.033 mm", "25 mm", "T1; also GATE 2011 exam item", "seen twice"},
		{"3 mm G7", "ISO 286-2", "0.012 mm", "0.002 mm", "3.012 mm", "3.002 mm", "T1", "one source"},
		{"10 mm H8", "ISO 286-2", "0.022 mm", "0 mm", "10.022 mm", "10 mm", "T1: 10 mm belongs to 6 to 10", "one source"},
		{"10.001 mm H7", "ISO 286-2", "0.018 mm", "0 mm", "10.019 mm", "10.001 mm", "T1: over 10 mm", "one source"},
		{"12 mm K7", "ISO 286-2", "0.006 mm", "-0.012 mm", "12.006 mm", "11.988 mm", "T1+T2", "seen twice"},
		{"25 mm N7", "ISO 286-2", "-0.007 mm", "-0.028 mm", "24.993 mm", "24.972 mm", "T1+T2", "seen twice"},
		{"60 mm R7", "ISO 286-2", "-0.030 mm", "-0.060 mm", "59.970 mm", "59.940 mm", "T2", "one source"},
		{"100 mm H7", "ISO 286-2", "0.035 mm", "0 mm", "100.035 mm", "100 mm", "T4", "one source"},
		{"3 mm h6", "ISO 286-2", "0 mm", "-0.006 mm", "3 mm", "2.994 mm", "T3", "one source"},
		{"6 mm m6", "ISO 286-2", "0.012 mm", "0.004 mm", "6.012 mm", "6.004 mm", "T3; DIN 7 pins at nutbolt.org", "seen twice"},
		{"6 mm g6", "ISO 286-2", "-0.004 mm", "-0.012 mm", "5.996 mm", "5.988 mm", "T3", "one source"},
		{"8 mm d9", "ISO 286-2", "-0.040 mm", "-0.076 mm", "7.960 mm", "7.924 mm", "T3", "one source"},
		{"18 mm s6", "ISO 286-2", "0.039 mm", "0.028 mm", "18.039 mm", "18.028 mm", "T3", "one source"},
		{"100 mm n6", "ISO 286-2", "0.045 mm", "0.023 mm", "100.045 mm", "100.023 mm", "seen deviation and seen grade", "derived"},
		{"0.1875 in RC4 hole", "ANSI B4.1", "0.0007 in", "0 in", "0.1882 in", "0.1875 in", "MH31, CE, MH23", "seen"},
		{"0.1875 in RC4 shaft", "ANSI B4.1", "-0.0004 in", "-0.0009 in", "0.1871 in", "0.1866 in", "MH31, CE, MH23", "seen"},
		{"1 in FN2 shaft", "ANSI B4.1", "0.0019 in", "0.0014 in", "1.0019 in", "1.0014 in", "MH27", "one source"},
		{"187.5 thou RC4 hole", "ANSI B4.1", "0.7 thou", "0 thou", "0.1882 in", "0.1875 in", "MH31, CE, MH23, in thou", "seen"},
	} {
		t.Run(c.size, func(t *testing.T) {
			what := c.source + ", " + c.standing
			r := asked(t, Limits{Size: strings.Fields(c.size)}, "")
			assert.Equal(t, c.standard, r.at(t, "standard"), what)
			r.exactly(t, c.upper, "upper_deviation", what)
			r.exactly(t, c.lower, "lower_deviation", what)
			r.exactly(t, c.max, "max_size", what)
			r.exactly(t, c.min, "min_size", what)
		})
	}
}

// The six keys of the contract come first and in this order, with the whole
// value and its text.
func TestLimitsContract(t *testing.T) {
	a, err := Limits{Size: []string{"25 mm H7"}}.Ask(Options{})
	require.NoError(t, err)
	raw, err := json.Marshal(a)
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(string(raw), `{"standard":"ISO 286-2",`+
		`"nominal":{"value":25,"unit":"mm","text":"25 mm"},`+
		`"upper_deviation":{"value":0.021,"unit":"mm","text":"0.021 mm"},`+
		`"lower_deviation":{"value":0.000,"unit":"mm","text":"0.000 mm"},`+
		`"max_size":{"value":25.021,"unit":"mm","text":"25.021 mm"},`+
		`"min_size":{"value":25.000,"unit":"mm","text":"25.000 mm"},`), string(raw))
}

func TestFitContract(t *testing.T) {
	a, err := Fit{Fit: []string{"25 mm H7/g6"}}.Ask(Options{})
	require.NoError(t, err)
	raw, err := json.Marshal(a)
	require.NoError(t, err)
	text := string(raw)
	at := 0
	for _, key := range []string{`"standard":"ISO 286-2"`, `"hole":{`, `"shaft":{`, `"min_clearance":{"value":0.007,"unit":"mm","text":"0.007 mm"}`,
		`"max_clearance":{"value":0.041,"unit":"mm","text":"0.041 mm"}`, `"kind":"clearance"`} {
		i := strings.Index(text[at:], key)
		require.GreaterOrEqual(t, i, 0, "%s in %s", key, text)
		at += i
	}
}

// Clearances in micrometres, the limits of which are printed in the tables named;
// minus is interference.
func TestFitsPublished(t *testing.T) {
	for _, c := range []struct{ fit, min, max, kind, source string }{
		{"3 mm H7/p6", "-12", "4", "transition", "T1, T3; ANSI B4.2 extracts note that H7/p6 is a transition fit up to 3 mm"},
		{"6 mm H7/m6", "-12", "8", "transition", "T1, T3"},
		{"6 mm H7/g6", "4", "24", "clearance", "T1, T3"},
		{"6 mm H7/h6", "0", "20", "clearance", "T1, T3"},
		{"6 mm H7/p6", "-20", "0", "interference", "T1, T3"},
		{"6 mm H8/f7", "10", "40", "clearance", "T1, T3"},
		{"10 mm H7/g6", "5", "29", "clearance", "T1, T3"},
		{"12 mm H7/k6", "-12", "17", "transition", "T1, T3"},
		{"20 mm H7/r6", "-41", "-7", "interference", "T1, T3"},
		{"25 mm H7/g6", "7", "41", "clearance", "T1, T3"},
		{"25 mm H7/k6", "-15", "19", "transition", "T1, T3"},
		{"25 mm H7/s6", "-48", "-14", "interference", "T1, T3"},
		{"25 mm H9/d9", "65", "169", "clearance", "T1, T3"},
		{"34 mm H11/c11", "120", "440", "clearance", "TXT Example 7-7, printed"},
		{"50 mm H7/s6", "-59", "-18", "interference", "T1, T3 and a textbook companion's data file"},
		{"25 mm K7/h6", "-15", "19", "transition", "T1, T3"},
		{"25 mm P7/h6", "-35", "-1", "interference", "T1, T3"},
	} {
		r := asked(t, Fit{Fit: strings.Fields(c.fit)}, "")
		r.exactly(t, c.min+" um", "min_clearance", c.source)
		r.exactly(t, c.max+" um", "max_clearance", c.source)
		assert.Equal(t, c.kind, r.at(t, "kind"), c.fit)
		assert.Equal(t, "ISO 286-2", r.at(t, "standard"))
	}
}

// Every row of the ANSI B4.1 tables at the upper end of its size step: the
// clearances that the row prints beside its limits.
func TestFitsB41(t *testing.T) {
	f, err := os.Open("../limits/data/ansi_b4_1_limits.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 171)
	for _, row := range rows[1:] {
		_, size, _ := strings.Cut(row[1], "-")
		source := "ANSI B4.1 " + row[0] + ", " + row[1] + " in, " + row[8]
		r := asked(t, Fit{Fit: []string{size, "in", row[0]}}, "")
		r.exactly(t, row[2]+" thou", "min_clearance", source)
		r.exactly(t, row[3]+" thou", "max_clearance", source)
		r.exactly(t, row[4]+" thou", "hole/upper_deviation", source)
		r.exactly(t, row[7]+" thou", "shaft/lower_deviation", source)
		assert.Equal(t, "ANSI B4.1", r.at(t, "standard"))
	}
}

// Letter codes are not enough: 1 in is 25.4 mm, and the two standards differ.
func TestStandardsNeverAnswerForEachOther(t *testing.T) {
	refuses(t, Limits{Size: []string{"1 in H7"}}, "", "H7 is a metric class", "RC4 hole")
	refuses(t, Fit{Fit: []string{"25.4 mm RC4"}}, "", "inch fit")
	iso := asked(t, Fit{Fit: []string{"25.4 mm H8/f7"}}, "in")
	b41 := asked(t, Fit{Fit: []string{"1 in RC4"}}, "")
	iso.within(t, "0.00079 in", 0.00001, "min_clearance", "ISO 286: 20 um")
	b41.exactly(t, "0.0008 in", "min_clearance", "ANSI B4.1: RC4 is its H8/f7")
	b41.exactly(t, "0.0028 in", "max_clearance", "ANSI B4.1")
	iso.within(t, "0.00291 in", 0.00001, "max_clearance", "ISO 286: 74 um")
}

// The same parts in inches and in millimetres are the same fit, exactly, and so
// is the answer in any unit.
func TestFitUnitOfEntry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// Tenths of a thou, so that both texts are exact.
		base := rapid.Int64Range(400, 20000).Draw(t, "hole, tenths")
		hole := [2]int64{base, base + rapid.Int64Range(0, 40).Draw(t, "hole tolerance")}
		low := base + rapid.Int64Range(-60, 60).Draw(t, "shaft")
		shaft := [2]int64{low, low + rapid.Int64Range(0, 40).Draw(t, "shaft tolerance")}
		in := func(v [2]int64) string {
			return big.NewRat(v[0], 10000).FloatString(4) + ".." + big.NewRat(v[1], 10000).FloatString(4) + " in"
		}
		mm := func(v [2]int64) string {
			return big.NewRat(v[0]*254, 100000).FloatString(5) + ".." + big.NewRat(v[1]*254, 100000).FloatString(5) + " mm"
		}
		units := rapid.SampledFrom([]string{"", "in", "mm", "um", "tenths"}).Draw(t, "units")
		a, err := Fit{Hole: in(hole), Shaft: in(shaft)}.Ask(Options{})
		require.NoError(t, err)
		b, err := Fit{Hole: mm(hole), Shaft: mm(shaft)}.Ask(Options{Units: units})
		require.NoError(t, err)
		x, y := a.(*FitAnswer), b.(*FitAnswer)
		require.Equal(t, x.Kind, y.Kind)
		require.Zero(t, x.MinClearance.Rat().Cmp(y.MinClearance.Rat()))
		require.Zero(t, x.MaxClearance.Rat().Cmp(y.MaxClearance.Rat()))
		require.Zero(t, x.MinClearance.Rat().Cmp(new(big.Rat).Mul(big.NewRat(hole[0]-shaft[1], 1), big.NewRat(254, 100000))))
	})
}

// A metric size in any metric unit, and the answer in any unit.
func TestLimitsUnitOfEntry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		um := rapid.Int64Range(1001, 500000).Draw(t, "um")
		class := rapid.SampledFrom([]string{"H7", "g6", "N8", "p6", "JS9", "k5"}).Draw(t, "class")
		var want *LimitsAnswer
		for _, text := range []string{
			big.NewRat(um, 1000).FloatString(3) + " mm", big.NewRat(um, 10000).FloatString(4) + " cm", big.NewRat(um, 1).FloatString(0) + " um",
		} {
			for _, units := range []string{"", "in", "thou", "m"} {
				a, err := Limits{Size: []string{text, class}}.Ask(Options{Units: units})
				require.NoError(t, err)
				got := a.(*LimitsAnswer)
				if want == nil {
					want = got
				}
				require.Zero(t, got.MaxSize.Rat().Cmp(want.MaxSize.Rat()), text+" in "+units)
				require.Zero(t, got.MinSize.Rat().Cmp(want.MinSize.Rat()), text+" in "+units)
			}
		}
	})
}

func TestChoose(t *testing.T) {
	r := asked(t, Choose{Nominal: []string{"3/16", "in"}, Clearance: "0.0002..0.0012in"}, "")
	assert.Equal(t, "RC3", r.at(t, "fits/0/name"), "ANSI B4.1 RC3, 0.12 to 0.24 in: 0.4 to 1.2 thou (MH31, CE, MH23)")
	r.exactly(t, "0.0004 in", "fits/0/min_clearance", "ANSI B4.1")

	// Interference is clearance with its sign turned.
	a := asked(t, Choose{Nominal: []string{"25", "mm"}, Interference: "0..35um"}, "")
	b := asked(t, Choose{Nominal: []string{"25", "mm"}, Clearance: "-35..0um"}, "")
	assert.Equal(t, a["fits"], b["fits"])
	names := ""
	for i := range a["fits"].([]any) {
		names += a.at(t, "fits/"+string(rune('0'+i))+"/name").(string) + " "
	}
	assert.Contains(t, names, "H7/p6", "25 H7/p6 is -35 to -1 um (T1, T3)")

	// No class serves: that is an answer.
	none := asked(t, Choose{Nominal: []string{"3/16", "in"}, Clearance: "0.0002..0.0003in"}, "")
	assert.Empty(t, none["fits"])
	assert.Contains(t, none.at(t, "answer/0"), "no fit of ANSI B4.1")
}

func TestFitErrors(t *testing.T) {
	for _, c := range []struct {
		q     Question
		units string
		says  []string
	}{
		{Limits{}, "", []string{"size: no value", "25 mm H7"}},
		{Limits{Size: []string{"501 mm H7"}}, "", []string{"501 mm", "up to and including 500 mm"}},
		{Limits{Size: []string{"25 mm Q7"}}, "", []string{"Q7", "there is no such letter"}},
		{Limits{Size: []string{"0.8 mm H14"}}, "", []string{"no grades 14 to 18 for sizes up to and including 1 mm"}},
		{Limits{Size: []string{"0 mm H7"}}, "", []string{"must be above 0"}},
		{Limits{Size: []string{"-25 mm H7"}}, "", []string{"must be above 0"}},
		{Limits{Size: []string{"25 H7"}}, "", []string{"unit of the nominal is missing", "in, mm"}},
		{Limits{Size: []string{"25 mm"}}, "", []string{"has no tolerance class", "25 mm H7"}},
		{Limits{Size: []string{"25 deg H7"}}, "", []string{"belongs to a length"}},
		{Limits{Size: []string{"1.2 in RC4 hole"}}, "", []string{"up to and including 1.19 in"}},
		{Limits{Size: []string{"0.1 in LT3 hole"}}, "", []string{"not carried here"}},
		{Limits{Size: []string{"25 mm H7"}}, "deg", []string{"deg measures an angle", "in, mm"}},
		{Limits{Size: []string{"25 mm H7"}}, "furlong", []string{`no unit "furlong"`, "in, mm"}},
		{Limits{Size: []string{"25 mm H7"}}, "F", []string{"F measures a temperature"}},
		{Fit{}, "", []string{"fit: no value", "25 mm H7/g6"}},
		{Fit{Fit: []string{"25 mm g6/H7"}}, "", []string{"write the hole first"}},
		{Fit{Fit: []string{"25 mm H7/g6"}, Hole: "25mm"}, "", []string{"leave one of the two out"}},
		{Fit{Hole: "0.1875in"}, "", []string{"shaft: no value"}},
		{Fit{Hole: "0.1875 +0.0005/-0", Shaft: "0.1873in"}, "", []string{"hole: ", "the unit is missing"}},
		{Fit{Hole: "<= 0.1875 in", Shaft: "0.1873in"}, "", []string{"hole: ", "only one limit"}},
		{Fit{Hole: "0in", Shaft: "0.1873in"}, "", []string{"hole: 0 in is not above 0"}},
		{Fit{Hole: "-0.2in", Shaft: "0.1873in"}, "", []string{"not above 0"}},
		{Fit{Hole: "12deg", Shaft: "0.1873in"}, "", []string{"12 deg is an angle; type a length"}},
		{Choose{}, "", []string{"nominal: no value"}},
		{Choose{Nominal: []string{"25mm"}}, "", []string{"clearance: no value", "0.0002..0.0012in"}},
		{Choose{Nominal: []string{"25mm"}, Clearance: "<= 3um"}, "", []string{"only one end"}},
		{Choose{Nominal: []string{"25mm"}, Clearance: "1..3um", Interference: "1..3um"}, "", []string{"leave one out"}},
		{Choose{Nominal: []string{"600mm"}, Clearance: "1..300um"}, "", []string{"not carried here"}},
		{Choose{Nominal: []string{"0mm"}, Clearance: "1..300um"}, "", []string{"not above 0"}},
	} {
		refuses(t, c.q, c.units, c.says...)
	}
}

// A text that ends in a unit of the other system is what it says.
func TestConvertedLimitsSayWhoDecides(t *testing.T) {
	r := asked(t, Limits{Size: []string{"25 mm H7"}}, "in")
	assert.Equal(t, "0.98508 in", r.text(t, "max_size"))
	assert.Contains(t, strings.Join(texts(t, r, "cautions"), "\n"), "the metric limits decide")
	r = asked(t, Limits{Size: []string{"25 mm H7"}}, "um")
	assert.Equal(t, "25021 um", r.text(t, "max_size"))
	assert.NotContains(t, strings.Join(texts(t, r, "cautions"), "\n"), "decide")
}

func texts(t testing.TB, r reply, key string) []string {
	t.Helper()
	var out []string
	for _, v := range r.at(t, key).([]any) {
		out = append(out, v.(string))
	}
	return out
}

func TestShow(t *testing.T) {
	w := &work{}
	for _, c := range []struct {
		q    quantity.Quantity
		want string
	}{
		{one(t, "0.1880 in"), "0.1880 in"},
		{one(t, "3/32 in"), "3/32 in"},
		{quantity.New(big.NewRat(1, 3), quantity.Inch), "0.33333 in"},
		{quantity.New(big.NewRat(1, 16), quantity.Inch), "0.0625 in"},
		{quantity.FromFloat(1e-7, quantity.Inch), "0.0000001 in"},
		{quantity.FromFloat(-0.000004, quantity.Inch), "-0.000004 in"},
		{quantity.FromFloat(0, quantity.Inch), "0 in"},
		{quantity.FromFloat(12.3456789, quantity.Degree), "12.346 deg"},
	} {
		assert.Equal(t, c.want, w.show(c.q).String())
	}
	assert.Equal(t, "no value", w.show(quantity.Quantity{}).String())
}

func TestRough(t *testing.T) {
	n, _ := quantity.LookupUnit("N")
	for _, c := range []struct {
		v      string
		digits int
		want   string
	}{
		{"4863.9", 3, "4860 N"}, {"99.96", 3, "100 N"}, {"0.0012345", 2, "0.0012 N"}, {"-45.678", 2, "-46 N"}, {"999.5", 3, "1000 N"}, {"9.96", 2, "10 N"},
		{"1", 3, "1.00 N"}, {"125", 2, "120 N"}, {"0", 2, "0 N"},
	} {
		v, _ := new(big.Rat).SetString(c.v)
		r := Rough{Quantity: quantity.New(v, n), digits: c.digits}
		assert.Equal(t, c.want, r.String(), c.v)
		raw, err := json.Marshal(r)
		require.NoError(t, err)
		assert.Contains(t, string(raw), `"text":"`+c.want+`"`)
	}
	raw, err := json.Marshal(Rough{})
	require.NoError(t, err)
	assert.Equal(t, "null", string(raw))
	for share, want := range map[float64]string{0.5: "50 %", 0.0234: "2.3 %", 0.97725: "97.7 %", 0.9986501: "99.87 %", 1 - 1e-9: "over 99.99 %", 1e-9: "under 0.01 %", 1: "100 %", 0: "0 %"} {
		assert.Equal(t, want, percent(share).String())
	}
}

// What is permitted is rounded down, and binary rounding does not take a whole
// digit off.
func TestDown(t *testing.T) {
	for _, c := range []struct {
		v, want string
		n       int
	}{{"0.04619", "0.046 in", 3}, {"0.0469999", "0.046 in", 3}, {"0.047", "0.047 in", 3}, {"0.04699999999999999", "0.047 in", 3}, {"0.0004", "0.000 in", 3}} {
		v, _ := new(big.Rat).SetString(c.v)
		assert.Equal(t, c.want, down(quantity.New(v, quantity.Inch), c.n).String())
	}
}

// A change that may be commanded is never shown above what it is.
func TestNotAbove(t *testing.T) {
	w := &work{}
	for _, c := range []struct{ v, unit, want string }{
		{"0.00032", "in", "0.00032 in"}, {"0.008128", "mm", "0.008128 mm"}, {"0.0081289999", "mm", "0.0081 mm"}, {"1/3", "in", "0.33333 in"}, {"2/3", "mm", "0.6666 mm"},
	} {
		v, ok := new(big.Rat).SetString(c.v)
		require.True(t, ok)
		u, ok := quantity.LookupUnit(c.unit)
		require.True(t, ok)
		q := quantity.New(v, u)
		r := w.notAbove(q)
		assert.Equal(t, c.want, r.String())
		assert.Zero(t, r.Rat().Cmp(q.Rat()), "the value is whole")
	}
}
