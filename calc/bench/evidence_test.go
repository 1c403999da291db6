package bench

import (
	"encoding/json"
	"fmt"
	"math/big"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Growth and mismatch computed apart; the coefficients are those of a
// materials-science textbook's appendix (steel 11.7, 6061 23.6 ppm/K) and of a shop
// sheet (13 and 6.5 ppm/F, common practice).
func TestThermal(t *testing.T) {
	for _, c := range []struct {
		q         Thermal
		key, want string
		tolerance float64
		source    string
	}{
		{Thermal{Length: "25mm", Part: "11.7ppm/K", At: "26C"}, "max_part_growth", "1.755 um", 1e-9, "25 mm of steel, 6 K"},
		{Thermal{Length: "25mm", Part: "23.6ppm/K", At: "26C"}, "max_part_growth", "3.54 um", 1e-9, "25 mm of 6061, 6 K"},
		{Thermal{Reading: "1.000in", Part: "23.6ppm/K", Gauge: "11.7ppm/K", At: "80F"}, "min_correction", "-79.3 uin", 0.1, "6061 read with a steel scale at 80 F"},
		{Thermal{Length: "4in", Part: "13ppm/F", Fixture: "6.5ppm/F", At: "88F"}, "max_difference", "0.00052 in", 1e-9, "shop sheet: 4 in, +20 F; it rounds up to .00053 with 13.1"},
		{Thermal{Length: "300mm", Part: "23.6ppm/K", Fixture: "11.7ppm/K", At: "30C"}, "max_difference", "0.0357 mm", 1e-9, "both at 30 C"},
		{Thermal{Length: "300mm", Part: "23.6ppm/K", Fixture: "11.7ppm/K", PartAt: "35C", FixtureAt: "22C"}, "max_difference", "0.09918 mm", 1e-9, "35 on 22 C"},
		{Thermal{Length: "250mm", Part: "11.7ppm/K", Fixture: "11.7ppm/K", PartAt: "45C", FixtureAt: "20C"}, "max_difference", "0.073125 mm", 1e-9, "straight from washing"},
		{Thermal{Length: "250mm", Part: "6061", Fixture: "steel", At: "68F"}, "max_difference", "0 mm", 0, "ISO 1: at 20 C nothing, whatever the materials"},
	} {
		for _, units := range []string{"", "in", "um"} {
			asked(t, c.q, units).within(t, c.want, c.tolerance, c.key, c.source)
		}
	}
	// Sources differ on 6061: 23.58 to 24.3 ppm/K, and both ends are answered.
	r := asked(t, Thermal{Length: "100mm", Part: "6061", At: "30C"}, "")
	r.exactly(t, "0.02358 mm", "min_part_growth", "lowest source")
	r.exactly(t, "0.0243 mm", "max_part_growth", "highest source")
	// Uncertainty of both temperatures: L·sqrt((23.6·1)² + (11.7·1)²) ppm.
	r = asked(t, Thermal{Length: "100mm", Part: "23.6ppm/K", Fixture: "11.7ppm/K", At: "20C", UAt: "1K"}, "")
	r.within(t, "2.6341 um", 1e-3, "u", "JCGM 100:2008, 5.1.2")
	r.within(t, "3.53 um", 1e-9, "u_worst", "sum")
}

// Stacks with printed results: testdata/stacks and its README name the sources.
func TestStackPublished(t *testing.T) {
	var computed map[string]struct{ Gap, Wc, Rss float64 }
	raw, err := os.ReadFile("../../testdata/stacks/computed.json")
	require.NoError(t, err)
	var whole map[string]json.RawMessage
	require.NoError(t, json.Unmarshal(raw, &whole))
	computed = map[string]struct{ Gap, Wc, Rss float64 }{}
	for _, name := range []string{"motor11", "shaft7", "pocket4"} {
		var c struct{ Gap, Wc, Rss float64 }
		require.NoError(t, json.Unmarshal(whole[name], &c))
		computed[name] = c
	}
	for _, c := range []struct {
		name   string
		terms  []string // sign, value and tolerance
		unit   string
		source string
	}{
		{"motor11", []string{"-0.3595 ±0.0155", "0.032 ±0.002", "0.060 ±0.003", "0.4305 ±0.0075", "0.120 ±0.005", "1.503 ±0.007", "0.120 ±0.005", "0.4305 ±0.0075", "0.450 ±0.007", "-3.025 ±0.006", "0.300 ±0.030"},
			"in", "Drake, Dimensioning and Tolerancing Handbook, ch. 9: gap 0.0615, worst ±0.0955, root sum square ±0.0381, printed"},
		{"shaft7", []string{"-0.0505 ±0.0015", "8.000 ±0.008", "-0.5093 ±0.0025", "0.400 ±0.002", "-7.711 ±0.006", "0.400 ±0.002", "-0.5093 ±0.0025"},
			"in", "Chase: root sum square 0.01108, from memory"},
		{"pocket4", []string{"20.200 ±0.05", "-6.000 ±0.10", "-9.000 ±0.12", "-5.000 ±0.08"}, "mm", "open teaching page, results by R"},
	} {
		q := Stack{}
		for i, term := range c.terms {
			name, sign := fmt.Sprintf("x%d", i), " + "
			if strings.HasPrefix(term, "-") {
				sign, term = " - ", term[1:]
			}
			if i == 0 && sign == " + " {
				sign = ""
			}
			q.Formula += sign + name
			q.Inputs = append(q.Inputs, name+"="+term+" "+c.unit)
		}
		want := computed[c.name]
		r := asked(t, q, "")
		num := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) + " " + c.unit }
		r.within(t, num(want.Gap), 1e-9, "value", c.source)
		r.within(t, num(want.Gap-want.Wc), 1e-9, "worst_lower", c.source)
		r.within(t, num(want.Gap+want.Wc), 1e-9, "worst_upper", c.source)
		r.within(t, num(want.Rss), 1e-9, "root_sum_square_half_width", c.source)
		assert.Len(t, r["shares"], len(c.terms))
	}
	// A name used twice counts once; a deviation to one side is read as written
	// (a transcription that read +0.010/-0.004 as a band from +0.004 is the trap).
	r := asked(t, Stack{Formula: "a - a + b", Inputs: []string{"a=1.500 +0.010/-0.004 in", "b=0.500 ±0.001 in"}, Limits: "0.4995..0.5015 in"}, "")
	r.exactly(t, "0.499 in", "worst_lower", "a cancels")
	assert.Equal(t, false, r.at(t, "worst_case_inside_limits"))
	r = asked(t, Stack{Formula: "a", Inputs: []string{"a=1.500 +0.010/-0.004 in"}}, "mm")
	r.exactly(t, "1.496 in", "worst_lower", "as written")
	r.exactly(t, "1.503 in", "root_sum_square_middle", "middle")
	assert.Equal(t, "37.9984 mm", r.text(t, "worst_lower"))
}

// Before and after: the frozen sets of testdata/statistics, by R.
func TestComparePublished(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/statistics/public_three.json")
	require.NoError(t, err)
	var file struct {
		Datasets []struct {
			ID            string
			Before, After []json.Number
			Data          struct{ Before, After []json.Number }
			Expected      struct {
				Difference_Of_Means float64
			}
		}
	}
	require.NoError(t, json.Unmarshal(raw, &file))
	// Welch by R, as printed in the reference notes: difference and 95 % interval in
	// inches; P3 is below what the gauge resolves.
	want := map[string]struct {
		diff, low, high, verdict string
	}{
		"P1": {"-0.00028 in", "-0.000426613 in", "-0.000133387 in", "shown"},
		"P2": {"0.00074 in", "0.000050556 in", "0.001429444 in", "shown"},
		"P3": {"-0.0000441667 in", "", "", "cannot tell"},
	}
	for _, d := range file.Datasets {
		before, after := d.Before, d.After
		if len(before) == 0 {
			before, after = d.Data.Before, d.Data.After
		}
		require.NotEmpty(t, before, d.ID)
		w, ok := want[d.ID]
		require.True(t, ok, d.ID)
		line := func(v []json.Number) string {
			s := ""
			for _, n := range v {
				s += n.String() + " "
			}
			return s + "in"
		}
		q := Compare{Before: line(before), After: line(after), Resolution: "0.0001in"}
		for _, units := range []string{"", "tenths", "um"} {
			r := asked(t, q, units)
			r.within(t, w.diff, 1e-9, "difference", d.ID)
			if w.low != "" {
				r.within(t, w.low, 5e-9, "difference_low", d.ID)
				r.within(t, w.high, 5e-9, "difference_high", d.ID)
			}
			assert.Equal(t, w.verdict, r.at(t, "verdict"), d.ID)
		}
	}
	// Counts: 3 of 20 and 0 of 20, hypergeometric by hand: 2·C(20,3)/C(40,3) = 0.2308.
	r := asked(t, Compare{Before: "3 of 20", After: "0 of 20"}, "")
	r.within(t, "23.0769 %", 1e-3, "p", "by hand")
	assert.Equal(t, "not shown", r.at(t, "verdict"))
	assert.Equal(t, "shown", asked(t, Compare{Before: "12 of 20", After: "0 of 20"}, "").at(t, "verdict"))
}

// Two gauges: their uncertainties widen the interval, and without them nothing is
// said.
func TestCompareOtherGauge(t *testing.T) {
	q := Compare{Before: "10 11 10 11 10 11 tenths", After: "7 8 7 8 7 8 tenths", Resolution: "1tenths"}
	assert.Equal(t, "shown", asked(t, q, "").at(t, "verdict"))
	q.OtherGauge = true
	assert.Equal(t, "cannot tell", asked(t, q, "").at(t, "verdict"), "no uncertainty stated")
	q.UBefore, q.UAfter = "2tenths", "2tenths"
	r := asked(t, q, "")
	assert.Equal(t, "cannot tell", r.at(t, "verdict"), "sqrt(1 + 1) tenths standard is too much for 3 tenths")
	q.UBefore, q.UAfter = "0.2tenths", "0.2tenths"
	assert.Equal(t, "shown", asked(t, q, "").at(t, "verdict"))
}

// The unit that readings are typed in changes no verdict and no number.
func TestCompareUnitOfEntry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) []int64 { return rapid.SliceOfN(rapid.Int64Range(-30, 30), 2, 8).Draw(t, name) }
		before, after := draw("before"), draw("after")
		ask := func(metric bool) *CompareAnswer {
			text := func(tenths []int64) string {
				s := ""
				for _, n := range tenths {
					if metric { // exactly the same length
						s += big.NewRat(n*254, 100).FloatString(2) + " "
					} else {
						s += strconv.FormatInt(n, 10) + " "
					}
				}
				return s + map[bool]string{true: "um", false: "tenths"}[metric]
			}
			q := Compare{Before: text(before), After: text(after), Resolution: "1tenths"}
			a, err := q.Ask(Options{})
			require.NoError(t, err)
			return a.(*CompareAnswer)
		}
		a, b := ask(false), ask(true)
		require.Equal(t, a.Verdict, b.Verdict)
		require.Equal(t, a.SpreadVerdict, b.SpreadVerdict)
		require.InDelta(t, a.Difference.Float(), b.Difference.Float(), 1e-9)
		if !a.Low.IsZeroValue() {
			require.InDelta(t, a.Low.Float(), b.Low.Float(), 1e-9)
		}
	})
}

// How many parts: the shop sheet prints 3.0 s for 3, 2.0 for 5, 1.3 for 10, .9 for
// 20 (recomputed apart), and 63, 45, 26, 10 % for none bad in 3, 5, 10, 30.
func TestParts(t *testing.T) {
	for n, want := range map[int]string{3: "3.0", 4: "2.4", 5: "2.0", 6: "1.8", 8: "1.5", 10: "1.3", 15: "1.1", 20: "0.90"} {
		r := asked(t, Parts{N: n, SD: "0.0002in"}, "")
		tolerance := 0.05
		if n == 3 {
			tolerance = 0.075 // the sheet's short form; the exact power gives 3.07
		}
		r.within(t, want, tolerance, "smallest_shift_in_sd", "shop sheet, common practice")
	}
	r := asked(t, Parts{N: 5, SD: "0.0002in"}, "tenths")
	assert.Equal(t, "4.0 tenths", r.text(t, "smallest_shift"), "5 + 5 parts show .0004")
	for n, want := range map[int]string{1: "95.0 %", 3: "63 %", 5: "45 %", 10: "26 %", 30: "9.5 %"} {
		assert.Equal(t, want, asked(t, Parts{NoneBad: n}, "").text(t, "bad_at_most"), "1 - 0.05^(1/n)")
	}
	assert.Equal(t, json.Number("59"), asked(t, Parts{AtMost: "5%"}, "").at(t, "n"), "the usual rule: 59 without a fault for 5 % with 95 %")
	// Cohen: 64 and 64 parts for half a standard deviation, 26 for 0.8 (from
	// memory); and how often they show it.
	for shift, n := range map[string]string{"5um": "64", "8um": "26"} {
		assert.Equal(t, json.Number(n), asked(t, Parts{SD: "10um", Shift: shift}, "").at(t, "n"))
	}
	asked(t, Parts{SD: "10um", Shift: "5um", N: 64}, "").within(t, "80.1 %", 0.1, "power", "Cohen, table for 64 and half a standard deviation")
	assert.Equal(t, json.Number("86"), asked(t, Parts{SD: "10um", Shift: "5um", Power: "90%"}, "").at(t, "n"), "Cohen: 85 by the table (from memory), 86 exactly")
	// 30 % bad, then 5 %: every pair of counts gone through with whole numbers, in
	// another language: 0.445736 for 20, 0.792010 for 38, 0.806846 for 39.
	r = asked(t, Parts{BadBefore: "30%", BadAfter: "5%", N: 20}, "")
	assert.Equal(t, json.Number("20"), r.at(t, "n"))
	r.within(t, "44.5736 %", 1e-4, "power", "every pair of counts")
	r = asked(t, Parts{BadBefore: "30%", BadAfter: "5%"}, "")
	assert.Equal(t, json.Number("39"), r.at(t, "n"))
	r.within(t, "80.6846 %", 1e-4, "power", "every pair of counts")
	// The number for a shift is the smallest that shows it.
	rapid.Check(t, func(t *rapid.T) {
		sd := rapid.IntRange(1, 50).Draw(t, "sd")
		shift := rapid.IntRange(1, 200).Draw(t, "shift")
		a, err := Parts{SD: fmt.Sprintf("%d um", sd), Shift: fmt.Sprintf("%d um", shift)}.Ask(Options{})
		require.NoError(t, err)
		p := a.(*PartsAnswer)
		require.LessOrEqual(t, p.SmallestShift.Float(), float64(shift)/1000*(1+1e-9))
		if p.N > 2 {
			b, err := Parts{SD: fmt.Sprintf("%d um", sd), N: p.N - 1}.Ask(Options{})
			require.NoError(t, err)
			require.Greater(t, b.(*PartsAnswer).SmallestShift.Float(), float64(shift)/1000)
		}
	})
}

func TestEvidenceErrors(t *testing.T) {
	for _, c := range []struct {
		q     Question
		units string
		says  []string
	}{
		{Thermal{}, "", []string{"type either a length at 20C", "--reading"}},
		{Thermal{Length: "4in"}, "", []string{"part: no value"}},
		{Thermal{Length: "4in", Part: "steel"}, "", []string{"part-at: no value", "80F"}},
		{Thermal{Length: "4", Part: "steel", At: "80F"}, "", []string{"length: ", "unit is missing"}},
		{Thermal{Length: "0in", Part: "steel", At: "80F"}, "", []string{"length: 0 in is not above 0"}},
		{Thermal{Length: "4in", Part: "steel", At: "20K"}, "", []string{"part-at: 20 K is a temperature difference; type a temperature"}},
		{Thermal{Length: "4in", Part: "12 mm", At: "80F"}, "", []string{"part: 12 mm is a length; type a coefficient of expansion"}},
		{Thermal{Length: "4in", Part: "11.7 1/K", At: "80F"}, "", []string{"beyond any material"}},
		{Thermal{Length: "4in", Part: "steel", At: "80F", Gauge: "steel"}, "", []string{"a reading goes with a gauge"}},
		{Thermal{Reading: "4in", Part: "steel", At: "80F"}, "", []string{"gauge: no value"}},
		{Thermal{Length: "4in", Part: "steel", At: "80F", GaugeAt: "80F"}, "", []string{"gauge-at: there is no gauge"}},
		{Thermal{Length: "4in", Part: "steel", At: "80F", UAt: "1dF"}, "", []string{"uncertainties are for a pitch or a reading"}},
		{Thermal{Length: "4in", Part: "steel", At: "80F", Fixture: "steel", UReading: "1tenths"}, "", []string{"there is no reading"}},
		{Thermal{Length: "4in", Part: "steel", At: "80F"}, "F", []string{"F measures a temperature"}},
		{Stack{}, "", []string{"formula: no value"}},
		{Stack{Formula: "a - b", Inputs: []string{"a=1in"}}, "", []string{"b"}},
		{Stack{Formula: "a", Inputs: []string{"a"}}, "", []string{"gives no name a value"}},
		{Stack{Formula: "a", Inputs: []string{"a=1"}}, "", []string{"a: ", "unit is missing"}},
		{Stack{Formula: "a", Inputs: []string{"a=1in"}}, "deg", []string{"the formula gives a length, not an angle"}},
		{Stack{Formula: "a", Inputs: []string{"a=1in"}}, "xx", []string{"xx is no unit"}},
		{Stack{Formula: "a^2", Inputs: []string{"a=1in"}}, "", []string{"^ is not a power"}},
		{Stack{Formula: "a + b", Inputs: []string{"a=1in", "b=2deg"}}, "", []string{"length", "angle"}},
		{Stack{Formula: "a/b", Inputs: []string{"a=1in", "b=0 ±1in"}}, "", []string{"zero"}},
		{Stack{Formula: "a", Inputs: []string{"a=1in"}, Limits: "1..2 deg"}, "", []string{"angle"}},
		{Stack{Formula: "a", Inputs: []string{"a=1in"}, Limits: "1 in"}, "", []string{"limits: 1 in has no limit"}},
		{Stack{Formula: "a", Inputs: []string{"a=1in ±0.1"}, Allot: "equal"}, "", []string{"limits: no value"}},
		{Stack{Formula: "a", Inputs: []string{"a=1in ±0.1"}, Limits: "0..2in", Allot: "fair"}, "", []string{"allot: \"fair\" is no way"}},
		{Stack{Formula: "a", Inputs: []string{"a=1in ±0.1"}, Limits: "0..2in", Statistical: true}, "", []string{"statistical: nothing is shared out"}},
		{Stack{Formula: "a", Inputs: []string{"a=1in ±0.1"}, Limits: "0..2in", Fixed: []string{"b"}}, "", []string{"b is to stay as it is"}},
		{Stack{Formula: "a", Inputs: []string{"a=1in ±0.1"}, Spread: []string{"b=uniform"}}, "", []string{"spread: \"b=uniform\" names no input"}},
		{Stack{Formula: "a", Inputs: []string{"a=1in ±0.1"}, Spread: []string{"a=even"}}, "", []string{"spread: 'even' is no spread"}},
		{Stack{Formula: "a", Inputs: []string{"a=1in ±0.1"}, Common: []string{"a=50%"}}, "", []string{"common: '50%' names no common source"}},
		{Stack{Formula: "a", Inputs: []string{"a=1in ±0.1"}, Cost: []string{"a=dear"}}, "", []string{"cost: \"a=dear\" is no name with a number"}},
		{Stack{Formula: "a", Inputs: []string{"a=1in"}, Simulate: true}, "", []string{"nothing varies"}},
		{Compare{}, "", []string{"before: no readings"}},
		{Compare{Before: "1 2 3 tenths"}, "", []string{"after: no readings"}},
		{Compare{Before: "1 2 3", After: "1 2 3 tenths"}, "", []string{"before: the unit is missing"}},
		{Compare{Before: "tenths", After: "1 2 3 tenths"}, "", []string{"before: the unit is missing"}},
		{Compare{Before: "1 2 x tenths", After: "1 2 3 tenths"}, "", []string{"before: "}},
		{Compare{Before: "1 2 3 tenths", After: "1 2 3 deg"}, "", []string{"after: 1 deg is an angle"}},
		{Compare{Before: "1 2 3 tenths", After: "3 of 20"}, "", []string{"not of one kind"}},
		{Compare{Before: "3 of 20", After: "21 of 20"}, "", []string{"after: ", "bad parts of all parts"}},
		{Compare{Before: "3 of 20", After: "2 of 20", Resolution: "1tenths"}, "", []string{"counts have no gauge"}},
		{Compare{Before: "3 of 20", After: "2 of 20"}, "in", []string{"a count has no unit"}},
		{Compare{Before: "68 69 F", After: "70 71 F"}, "", []string{"temperatures are not compared"}},
		{Compare{Before: "1 2 tenths", After: "1 2 tenths", Resolution: "0tenths"}, "", []string{"resolution: 0 tenths is not above 0"}},
		{Parts{}, "", []string{"type either --sd"}},
		{Parts{SD: "0.0002in"}, "", []string{"n: no value"}},
		{Parts{N: 5}, "", []string{"sd: no value"}},
		{Parts{N: 1, SD: "1um"}, "", []string{"n: 1; type a number of parts from 2"}},
		{Parts{N: -5, SD: "1um"}, "", []string{"n: -5"}},
		{Parts{N: 5, SD: "0um"}, "", []string{"sd: 0 um is not above 0"}},
		{Parts{N: 5, SD: "2"}, "", []string{"sd: ", "unit is missing"}},
		{Parts{N: 5, SD: "1um", Shift: "1um", Power: "90%"}, "", []string{"leave one of the three out"}},
		{Parts{N: 5, SD: "1um", Power: "100%"}, "", []string{"power: 100 % is not below 100 %"}},
		{Parts{NoneBad: 5, Power: "90%"}, "", []string{"leave --power out"}},
		{Parts{BadBefore: "30%"}, "", []string{"bad-after: no value"}},
		{Parts{BadBefore: "30%", BadAfter: "130%"}, "", []string{"more than all parts"}},
		{Parts{BadBefore: "30%", BadAfter: "30%"}, "", []string{"it is as before"}},
		{Parts{BadBefore: "30%", BadAfter: "5%", N: 5000}, "", []string{"n: 5000"}},
		{Parts{BadBefore: "30%", BadAfter: "29.9%"}, "", []string{"not even 1000 parts"}},
		{Parts{BadBefore: "30%", BadAfter: "5%", SD: "1um"}, "", []string{"type either --sd"}},
		{Parts{SD: "1mm", Shift: "1um"}, "", []string{"not even 100000 parts"}},
		{Parts{SD: "1mm", Shift: "1deg"}, "", []string{"shift: 1 deg is an angle"}},
		{Parts{NoneBad: 5, N: 5}, "", []string{"type either --sd"}},
		{Parts{NoneBad: -1}, "", []string{"none-bad: -1"}},
		{Parts{AtMost: "100%"}, "", []string{"rules out nothing"}},
		{Parts{AtMost: "0%"}, "", []string{"at-most: 0 % is not above 0"}},
		{Parts{NoneBad: 5}, "in", []string{"a share has no unit"}},
	} {
		refuses(t, c.q, c.units, c.says...)
	}
}
