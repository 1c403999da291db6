package formula

import (
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
)

func TestEvalRefuses(t *testing.T) {
	for _, c := range []struct {
		text   string
		in     []string
		column int
		says   string
	}{
		// dimensions, at the node
		{"a + 30*deg", []string{"a", "1"}, 3, "cannot add an angle to a length"},
		{"x + (a - w)", []string{"a", "1", "x", "1", "w", "3 deg"}, 8, "cannot subtract an angle from a length"},
		{"a + 0.5", []string{"a", "1"}, 3, "cannot add a plain number to a length; a number takes its unit, like 0.5*in"},
		{"w - 5", []string{"w", "1 deg"}, 3, "like 0.5*deg"},
		{"a*a + a", []string{"a", "1"}, 5, "cannot add a length to an area"},
		{"a*a + 5", []string{"a", "1"}, 5, "both sides must have the same dimension"},
		{"min(a, 1*deg)", []string{"a", "1"}, 9, "min compares a length with an angle"},
		{"max(a, a, 2)", []string{"a", "1"}, 11, "max compares a length with a plain number"},
		{"hypot(a, 2)", []string{"a", "1"}, 10, "hypot compares a length with a plain number"},
		{"atan2(a, 2)", []string{"a", "1"}, 10, "atan2 compares"},
		{"sqrt(a)", []string{"a", "1"}, 6, "sqrt of a length has no unit"},
		{"sin(30)", nil, 5, "sin takes an angle, not a plain number; an angle has a unit, like 30*deg"},
		{"cos(a)", []string{"a", "1"}, 5, "cos takes an angle, not a length"},
		{"tan(pi)", nil, 5, "tan takes an angle"},
		{"asin(a)", []string{"a", "1"}, 6, "asin takes a plain number, not a length; divide two lengths, like asin(a/b)"},
		{"acos(1*deg)", nil, 7, "acos takes a plain number, not an angle"},
		{"atan(a)", []string{"a", "1"}, 6, "atan takes a plain number"},
		{"pow(pow(a, 8), 8)", []string{"a", "1"}, 1, "beyond the power of 12"},
		// temperatures
		{"t + t", []string{"t", "68 F"}, 3, "temperatures only subtract from each other"},
		{"5*dF - t", []string{"t", "68 F"}, 6, "cannot subtract a temperature from a temperature difference"},
		{"2*t", []string{"t", "68 F"}, 3, "* takes a temperature difference, not a temperature; subtract a reference, like (t - 68*F)"},
		{"-t", []string{"t", "68 F"}, 2, "takes a temperature difference"},
		{"max(t, 68*F)", []string{"t", "68 F"}, 5, "max takes a temperature difference"},
		{"t - 68", []string{"t", "68 F"}, 3, "cannot subtract a plain number from a temperature"},
		// domains
		{"1/a", []string{"a", "0"}, 2, "division by zero"},
		{"a/(b - b)", []string{"a", "1", "b", "1 ±0.1"}, 2, "division by zero"},
		{"1/(a - b)", []string{"a", "1 ±0.1", "b", "0.9 ±0.05"}, 2, "the divisor can be zero: it lies between -0.05 in and 0.25 in"},
		{"1/(a - b)", []string{"a", "1 ±0.1", "b", "0.9 +0/-0"}, 2, "the divisor can be zero: it lies between 0 in and 0.2 in"},
		{"x*(1/a)", []string{"x", "2", "a", "0 +0.2/-0.1"}, 5, "division by zero"},
		{"1/a", []string{"a", "-0.1..0.2"}, 2, "the divisor can be zero"},
		{"pow(a, -2)", []string{"a", "0"}, 5, "a negative power of zero"},
		{"pow(a, -2)", []string{"a", "1 ±2"}, 5, "a negative power of a value that can be zero: it lies between -1 in and 3 in"},
		{"sqrt(a - b)", []string{"a", "1 %", "b", "2 %"}, 8, "sqrt of a negative value: -1 %"},
		{"sqrt(a*a - b*b)", []string{"a", "1 ±0.2", "b", "0.9 ±0.2"}, 10, "sqrt of a value that can be negative: it lies between"},
		{"asin(a/b)", []string{"a", "2", "b", "1"}, 7, "asin takes a value from -1 to 1, not 2"},
		{"acos(a/b)", []string{"a", "1 ±0.01", "b", "1"}, 7, "acos takes a value from -1 to 1, and this lies between 0.99 and 1.01"},
		{"tan(w)", []string{"w", "90 deg"}, 5, "tan is infinite at 90 deg"},
		{"tan(w)", []string{"w", "-270 deg"}, 5, "tan is infinite"},
		{"tan(w)", []string{"w", "89 ±2 deg"}, 5, "the angle lies between 87 deg and 91 deg"},
		{"atan2(a, b)", []string{"a", "0", "b", "0"}, 1, "no direction where both"},
		{"atan2(a, b)", []string{"a", "0.1 ±0.2", "b", "0.1 ±0.2"}, 1, "no direction where both"},
		{"atan2(a, b)", []string{"a", "0.1 ±0.2", "b", "-1"}, 1, "turns over from 180 to -180"},
		// size
		{"pow(pow(x, 64), 64)", []string{"x", "150 %"}, 1, "the number becomes too long"},
		{"sqrt(2*pow(x, 64))", []string{"x", "99999 %"}, 0, ""},
		{"sqrt(2*pow(x, 64))", []string{"x", "99999999999 %"}, 1, "the value is too large to compute"},
		// inputs
		{"a + b", []string{"a", "1"}, 5, "'b' has no value; values are given for a"},
		{"a + b", nil, 1, "'a' has no value; no values are given"},
		{"a*h", []string{"a", "1"}, 3, "the unit h comes in with the value of an input"},
		{"a", []string{"a", "1", "b", "2"}, 1, "there is no 'b' in the formula; its names are a"},
		{"a + 1*mm", []string{"a", "1", "mm", "2"}, 1, "it is the name of a unit; choose another name"},
		{"a", []string{"a", "1", "sqrt", "2"}, 1, "the name has a meaning of its own"},
		{"a", []string{"a", "1", "pi", "2"}, 1, "the name has a meaning of its own"},
		{"1*in + a", []string{"a", "1", "a", "1"}, 8, "'a' is given twice"},
		{"1*in + a", []string{"a", "<= 0.001"}, 8, "has a limit on one side only; a formula needs both or none"},
		{"a", []string{"a", ">= 0.001"}, 1, "has a limit on one side only"},
	} {
		e := parsed(t, c.text)
		r, err := e.Eval(inputs(t, c.in...), Options{})
		if c.says == "" {
			assert.NoError(t, err, c.text)
			continue
		}
		require.Error(t, err, c.text)
		assert.Nil(t, r)
		var p *Error
		require.ErrorAs(t, err, &p, c.text)
		assert.Equal(t, c.column, p.Column, "%v", err)
		assert.Contains(t, err.Error(), c.says, c.text)
	}
}

func TestBadInputs(t *testing.T) {
	e := parsed(t, "a + b")
	_, err := e.Eval([]Input{{Name: "a"}, given(t, "b", "1")}, Options{})
	assert.EqualError(t, err, "'a + b', column 1: 'a' has no value")
	crossed := given(t, "a", "1 ±0.1")
	crossed.Value.Lower, crossed.Value.Upper = crossed.Value.Upper, crossed.Value.Lower
	_, err = e.Eval([]Input{crossed, given(t, "b", "1")}, Options{})
	assert.EqualError(t, err, "'a + b', column 1: 'a' has its lower limit above the upper")
	in := inputs(t, "a", "1 ±0.1", "b", "1 ±0.2")
	in[0].Source, in[1].Source = "P1/size", "P1/size"
	_, err = e.Eval(in, Options{})
	assert.EqualError(t, err, "'a + b', column 5: 'a' and 'b' are the same thing ('P1/size') with different values")
	_, err = e.Eval(inputs(t, "a", "1", "b", "1"), Options{Unit: quantity.Degree})
	assert.EqualError(t, err, "'a + b', column 1: the formula gives a length, not an angle")
}

// A hole 0.1875 +0.0005/-0 bored with a 0.125 cutter: path diameter 0.0625,
// 0.0625 to 0.0630. Arithmetic by hand.
func TestUnequalDeviations(t *testing.T) {
	r := eval(t, "hole - cutter", inputs(t, "hole", "0.1875 +0.0005/-0 in", "cutter", "0.1250 in")...)
	assert.Equal(t, "0.0625 in", r.Value.String())
	assert.Equal(t, "0.0625 in", r.WorstLower.Format(quantity.Inch, 4))
	assert.Equal(t, "0.0630 in", r.WorstUpper.Format(quantity.Inch, 4))
	assert.Equal(t, "0.06275 in", r.Centre.String())
	assert.Equal(t, "0.00025 in", r.RSS.String())
	assert.Equal(t, quantity.Length, r.Dim)
	require.Len(t, r.Contributors, 2)
	assert.Equal(t, "cutter", r.Contributors[1].Name)
	assert.Zero(t, r.Contributors[1].HalfWidth.Sign())
	assert.Zero(t, r.Contributors[1].Sensitivity.Rat().Cmp(big.NewRat(-1, 1)))
	assert.Equal(t, 1.0, r.Contributors[0].WorstShare)
	assert.Equal(t, 0.0, r.Contributors[1].RSSShare)
	// Both limits off to one side of the nominal.
	r = eval(t, "2*a", given(t, "a", "1.0 +0.0005/+0.0002"))
	assert.Equal(t, "2.0 in", r.Value.Format(quantity.Inch, 1))
	assert.Equal(t, "2.0004 in", r.WorstLower.Format(quantity.Inch, 4))
	assert.Equal(t, "2.0010 in", r.WorstUpper.Format(quantity.Inch, 4))
}

// Growth with temperature: length times coefficient times difference. 4 in of
// aluminium at 13 ppm per degree F, 20 degrees over 68 F: 0.00104 in, by hand.
func TestTemperature(t *testing.T) {
	for _, text := range []string{"l*13*ppm/dF*(t - 68*F)", "l*alpha*(t - ref)", "l*alpha*(t - 20*C)"} {
		in := inputs(t, "l", "4 in", "t", "88 ±5 F")
		if strings.Contains(text, "alpha") {
			in = append(in, given(t, "alpha", "13 uin/in/F"))
		}
		if strings.Contains(text, "ref") {
			in = append(in, given(t, "ref", "20 C"))
		}
		r := eval(t, text, in...)
		assert.Zero(t, r.Value.Rat().Cmp(rational(t, "0.026416")), text) // 0.00104 in in mm
		assert.Equal(t, "0.00104 in", r.Value.String())
		assert.Equal(t, "0.00078 in", r.WorstLower.String())
		assert.Equal(t, "0.0013 in", r.WorstUpper.String())
	}
	r := eval(t, "t + 9*dF", given(t, "t", "68 ±2 F"))
	assert.Equal(t, "77 F", r.Value.String())
	assert.Equal(t, "75 F", r.WorstLower.String())
	assert.Equal(t, "2 dF", r.RSS.String())
	r = eval(t, "-5*C - t", given(t, "t", "68 F"))
	assert.Equal(t, "-25 dC", r.Value.String())
}

// The worst case of formulas that are not linear, with the extremes by hand.
func TestWorstCaseNotLinear(t *testing.T) {
	for _, c := range []struct {
		text         string
		in           []string
		lower, upper string // base units
		method       Method
	}{
		{"a*b", []string{"a", "2 mm ±0.1", "b", "-3 mm ±0.2"}, "-6.72", "-5.32", Independent},
		{"a*b", []string{"a", "0 mm ±1", "b", "0 mm ±2"}, "-2", "2", Independent},
		{"a/b", []string{"a", "1 mm ±0.5", "b", "-2 mm ±1"}, "-1.5", "-1/6", Independent},
		{"abs(a)", []string{"a", "1 mm ±2"}, "0", "3", Independent},
		{"abs(a)", []string{"a", "-1 mm ±2"}, "0", "3", Independent},
		{"abs(a)", []string{"a", "-3 mm ±2"}, "1", "5", Linear},
		{"abs(a - b)", []string{"a", "2.4 mm ±0.3", "b", "2.4 mm ±0.2"}, "0", "0.5", Independent},
		{"pow(a, 2)", []string{"a", "1 mm ±2"}, "0", "9", Independent},
		{"pow(a, 3)", []string{"a", "1 mm ±2"}, "-1", "27", Independent},
		{"pow(a, -1)", []string{"a", "2 mm ±1"}, "1/3", "1", Independent},
		{"pow(a, -2)", []string{"a", "-2 mm ±1"}, "1/9", "1", Independent},
		{"min(a, b)", []string{"a", "2 mm ±1", "b", "2.5 mm ±1"}, "1", "3", Independent},
		{"max(a, b)", []string{"a", "2 mm ±1", "b", "2.5 mm ±1"}, "1.5", "3.5", Independent},
		{"min(a, b)", []string{"a", "2 mm ±1", "b", "5 mm ±1"}, "1", "3", Linear},
		{"max(b, a)", []string{"a", "2 mm ±1", "b", "5 mm ±1"}, "4", "6", Linear},
		{"max(a, 0*mm)", []string{"a", "1 mm ±2"}, "0", "3", Independent},
		{"sqrt(a)", []string{"a", "2.5 mm² ±1.5"}, "1", "2", Independent},
		{"hypot(a, b)", []string{"a", "0 mm ±3", "b", "2 mm ±2"}, "0", "5", Independent},
		{"sin(w)", []string{"w", "90 ±60 deg"}, "1/2", "1", Independent},
		{"sin(w)", []string{"w", "-90 ±60 deg"}, "-1", "-1/2", Independent},
		{"cos(w)", []string{"w", "0 ±60 deg"}, "1/2", "1", Independent},
		{"cos(w)", []string{"w", "360 ±180 deg"}, "-1", "1", Independent},
		{"tan(w)", []string{"w", "0 ±45 deg"}, "-1", "1", Independent},
		{"tan(w)", []string{"w", "180 ±45 deg"}, "-1", "1", Independent},
		{"asin(x)", []string{"x", "0 ±100 %"}, "-90", "90", Independent},
		{"acos(x)", []string{"x", "0 ±50 %"}, "60", "120", Independent},
		{"atan(x)", []string{"x", "0 ±100 %"}, "-45", "45", Independent},
		{"atan2(a, b)", []string{"a", "1 mm ±1", "b", "0 mm ±1"}, "", "", Independent},
		{"atan2(a, b)", []string{"a", "2 mm ±1", "b", "0 mm ±1"}, "45", "135", Independent},
		{"atan2(a, b)", []string{"a", "1 mm", "b", "-1 mm"}, "135", "135", Linear},
		{"a*a", []string{"a", "2 mm ±1"}, "1", "9", Corners},
		{"a/(a + b)", []string{"a", "2 mm ±1", "b", "2 mm ±1"}, "1/4", "3/4", Corners},
		{"(a + b)/2 + (a - b)/2", []string{"a", "2 mm ±1", "b", "2 mm ±1"}, "1", "3", Linear},
		{"(a - b)*(c + d)", []string{"a", "2 mm ±1", "b", "0 mm ±1", "c", "1 mm", "d", "1 mm ±1"}, "0", "12", Independent},
	} {
		e := parsed(t, c.text)
		r, err := e.Eval(inputs(t, c.in...), Options{})
		if c.lower == "" {
			assert.Error(t, err, "%s: the direction is open at the corner", c.text)
			continue
		}
		require.NoError(t, err, c.text)
		assert.Equal(t, c.method, r.Method, c.text)
		assert.Equal(t, c.method == Linear, r.Linear, c.text)
		assert.Zero(t, r.WorstLower.Rat().Cmp(rational(t, c.lower)), "%s: lower %s", c.text, r.WorstLower)
		assert.Zero(t, r.WorstUpper.Rat().Cmp(rational(t, c.upper)), "%s: upper %s", c.text, r.WorstUpper)
		assert.Zero(t, r.Gap.Sign(), c.text)
	}
}

// Formulas that rise and fall: the extremes by hand, in base units.
func TestBoundedSearch(t *testing.T) {
	for _, c := range []struct {
		text         string
		in           []string
		lower, upper float64
	}{
		{"a*a", []string{"a", "1 mm ±2"}, 0, 9},
		{"a*a - 2*mm*a", []string{"a", "0.9 mm ±2"}, -1, 3.41},
		{"(a - 1*mm)*(a + 1*mm)*(a - 2*mm)", []string{"a", "0.5 mm ±2"}, -4.375, 2.625},
		{"a*b - a*a", []string{"a", "0 mm ±1", "b", "0 mm ±1"}, -2, 0.25},
		{"a*a + b*b - a*b", []string{"a", "0 mm ±1", "b", "1 mm ±1"}, 0, 7},
		{"sin(w)*cos(w)", []string{"w", "0 ±60 deg"}, -0.5, 0.5},
		{"w*sin(w)", []string{"w", "0 ±170 deg"}, 0, 1.8197057 * 180 / math.Pi /* x sin x at x = 2.0288 */},
		{"sqrt(a*a + b*b)", []string{"a", "0 mm ±3", "b", "0 mm ±4"}, 0, 5},
		{"hypot(a, b) - abs(a)/2", []string{"a", "0 mm ±3", "b", "2 mm ±1"}, math.Sqrt(3) / 2, 3},
		{"max(a, b) - min(a, b) + a*a/mm/100", []string{"a", "2 mm ±1", "b", "2 mm ±1"}, 0.01, 2.09},
		{"abs(abs(a) - 1*mm) + a", []string{"a", "0 mm ±2"}, -1, 3},
		{"atan2(a, b + a)", []string{"a", "1 mm ±2", "b", "5 mm ±1"}, math.Atan2(-1, 3) * 180 / math.Pi, math.Atan2(3, 7) * 180 / math.Pi},
		{"1/(1*mm*mm + a*a - 1*mm*a)", []string{"a", "0 mm ±1"}, 1.0 / 3, 4.0 / 3},
		{"pow(a, -2) + a*mm/(mm*mm*mm*mm)", []string{"a", "1.5 mm ±1"}, 1.5 * math.Cbrt(2), 4.5},
	} {
		r := eval(t, c.text, inputs(t, c.in...)...)
		tolerance := 2e-6 * (c.upper - c.lower)
		assert.InDelta(t, c.lower, r.WorstLower.Float(), tolerance, c.text)
		assert.InDelta(t, c.upper, r.WorstUpper.Float(), tolerance, c.text)
		if r.Method == Searched {
			assert.LessOrEqual(t, r.Gap.Float(), tolerance, c.text)
			assert.LessOrEqual(t, r.WorstLower.Float(), c.lower+1e-8, "%s: the limit is never exceeded", c.text)
			assert.GreaterOrEqual(t, r.WorstUpper.Float(), c.upper-1e-8, "%s: the limit is never exceeded", c.text)
		} else {
			assert.Equal(t, Corners, r.Method, c.text)
			assert.Zero(t, r.Gap.Sign())
		}
	}
	// Where a whole line of values is the least, the effort runs out, and the answer
	// says how much too wide it may be.
	r := eval(t, "max(a, b) - min(a, b)", inputs(t, "a", "2 mm ±1", "b", "2 mm ±1")...)
	assert.Equal(t, Searched, r.Method)
	assert.LessOrEqual(t, r.WorstLower.Float(), 0.0)
	assert.Less(t, r.WorstUpper.Float()-r.WorstLower.Float()-2, r.Gap.Float()*2)
	assert.Less(t, r.Gap.Float(), 0.002)
	assert.Greater(t, r.Gap.Float(), 0.00001)
	// With eight inputs that is far too wide still.
	var in []Input
	for _, n := range strings.Split("abcdefgh", "") {
		in = append(in, given(t, n+"1", "2 mm ±1"))
	}
	r = eval(t, "max(a1, b1, c1, d1, e1, f1, g1, h1) - min(a1, b1, c1, d1, e1, f1, g1, h1)", in...)
	assert.Equal(t, Enclosed, r.Method)
	assert.LessOrEqual(t, r.WorstLower.Float(), 0.0)
	assert.InDelta(t, 2, r.WorstUpper.Float(), 1e-9)
	assert.GreaterOrEqual(t, r.Gap.Float(), -r.WorstLower.Float())
}

// What an input that stands twice excludes is no error; what can happen is one.
func TestSearchDecidesWhatCanHappen(t *testing.T) {
	r := eval(t, "1/(a - a + 1*mm) + 0/mm", given(t, "a", "3 mm ±2"))
	assert.Equal(t, "1", r.WorstUpper.Format(quantity.BaseUnit(quantity.Number.Over(quantity.Length)), 0)[:1])
	// The square of a - b, multiplied out: it looks as if it could be below -1.
	r = eval(t, "sqrt(a*a - 2*a*b + b*b + 1*mm*mm)", inputs(t, "a", "3 mm ±2", "b", "3 mm ±2")...)
	assert.InDelta(t, math.Sqrt(17), r.WorstUpper.Float(), 1e-4)
	assert.InDelta(t, 1, r.WorstLower.Float(), 2e-3)
	for text, column := range map[string]int{"1/(a*a - b*b)": 2, "sqrt(a*a - b*b)": 10, "asin(a*b/(b*b))": 9, "pow(a*a - a*b, -2)": 9} {
		_, err := parsed(t, text).Eval(inputs(t, "a", "3 mm ±0.2", "b", "3.1 mm ±0.2"), Options{})
		var p *Error
		require.ErrorAs(t, err, &p, text)
		assert.Equal(t, column, p.Column, "%v", err)
	}
}

// Many inputs that are used twice: the corners follow from the signs of the
// slopes, whatever their number.
func TestManyInputsUsedTwice(t *testing.T) {
	var terms []string
	var in []Input
	for i := range 40 {
		n := fmt.Sprintf("x%d", i)
		terms = append(terms, n+"*"+n)
		in = append(in, given(t, n, "2 mm ±1"))
	}
	r := eval(t, strings.Join(terms, " + "), in...)
	assert.Equal(t, Corners, r.Method)
	assert.Equal(t, "40 mm²", r.WorstLower.String())
	assert.Equal(t, "360 mm²", r.WorstUpper.String())
}

func TestNoSlope(t *testing.T) {
	for text, at := range map[string]int{
		"abs(a - b)":                        1,
		"1*mm + max(a, b)":                  8,
		"hypot(a - b, 0*mm)":                1,
		"sqrt(pow(a - b, 2))":               1,
		"2*(1*mm + abs(a - b)) + abs(a-b)":  11,
		"c*asin((a - b + 1*mm - 0.5*mm)/c)": 0,
	} {
		r, err := parsed(t, text).Eval(inputs(t, "a", "2 mm ±0.1", "b", "2 mm ±0.1"), Options{})
		if at == 0 {
			assert.Error(t, err)
			continue
		}
		require.NoError(t, err, text)
		require.NotNil(t, r.NoSlope, text)
		assert.Equal(t, at, r.NoSlope.Column, text)
		assert.True(t, r.RSS.IsZeroValue())
		require.Len(t, r.Contributors, 2)
		assert.True(t, r.Contributors[0].Sensitivity.IsZeroValue())
		assert.Equal(t, "0.1 mm", r.Contributors[0].HalfWidth.String())
		assert.False(t, r.Linear)
	}
}

func TestOneThingCountsOnce(t *testing.T) {
	r := eval(t, "a - a", given(t, "a", "2 ±0.1"))
	assert.Zero(t, r.WorstLower.Sign())
	assert.Zero(t, r.WorstUpper.Sign())
	assert.Zero(t, r.RSS.Sign())
	assert.Equal(t, 0.0, r.Contributors[0].WorstShare)
	in := inputs(t, "a", "2 ±0.1", "b", "2 ±0.1", "c", "1 ±0.1")
	r = eval(t, "a - b + c", in...)
	assert.Equal(t, "0.7 in", r.WorstLower.String())
	in[0].Source, in[1].Source, in[2].Source = "FX1/A/P1", "FX1/A/P1", "FX1/A/P2"
	r = eval(t, "a - b + c", in...)
	assert.Equal(t, "0.9 in", r.WorstLower.String())
	assert.Equal(t, "0.1 in", r.RSS.String())
	require.Len(t, r.Contributors, 2)
	assert.Zero(t, r.Contributors[0].Sensitivity.Sign())
	assert.Equal(t, 1.0, r.Contributors[1].RSSShare)
}

func TestNothingToleranced(t *testing.T) {
	r := eval(t, "3*in + 4*mm")
	assert.Equal(t, "3.15748 in", r.Value.String())
	assert.True(t, r.Linear && r.Exact)
	assert.Empty(t, r.Contributors)
	for _, q := range []quantity.Quantity{r.WorstLower, r.WorstUpper, r.Centre} {
		assert.Zero(t, q.Rat().Cmp(r.Value.Rat()))
	}
	assert.Zero(t, r.RSS.Sign())
	r = eval(t, "sin(w)", given(t, "w", "10 deg"))
	assert.True(t, r.Linear, "linear in what varies: nothing")
	assert.False(t, r.Exact)
	r, err := parsed(t, "a").Eval(inputs(t, "a", "1 in"), Options{Unit: quantity.Millimetre})
	require.NoError(t, err)
	assert.Equal(t, "25.4 mm", r.Value.String())
	assert.Equal(t, "25.4 mm", r.WorstUpper.String())
}

func TestShareOfInputs(t *testing.T) {
	r := eval(t, "a + 2*b", inputs(t, "a", "1 mm ±0.3", "b", "1 mm ±0.2")...)
	assert.InDelta(t, 3.0/7, r.Contributors[0].WorstShare, 1e-15)
	assert.InDelta(t, 4.0/7, r.Contributors[1].WorstShare, 1e-15)
	assert.InDelta(t, 9.0/25, r.Contributors[0].RSSShare, 1e-15)
	assert.InDelta(t, 16.0/25, r.Contributors[1].RSSShare, 1e-15)
	assert.True(t, r.RSS.Exact(), "3-4-5")
	assert.Equal(t, "0.5 mm", r.RSS.String())
	assert.Equal(t, "2", r.Contributors[1].Sensitivity.String())
	r = eval(t, "w*l/(90*deg)", inputs(t, "w", "45 ±1 deg", "l", "2 ±0.1 in")...)
	assert.Equal(t, "0.0222222 in/deg", r.Contributors[0].Sensitivity.String())
	assert.Equal(t, "0.5", r.Contributors[1].Sensitivity.String())
}

func TestMethodNames(t *testing.T) {
	assert.Equal(t, []string{"linear", "independent inputs", "corners", "bounded search", "bounded search, cut short", "unknown method"},
		[]string{Linear.String(), Independent.String(), Corners.String(), Searched.String(), Enclosed.String(), Method(9).String()})
}

// Slopes of the elementary functions, by the tables of calculus; angles in
// degrees, so that pi/180 stands in the slopes of sin, cos and tan and its
// inverse in those of the arc functions.
func TestElementarySlopes(t *testing.T) {
	for _, c := range []struct {
		text, name, at, want string // want is a formula of its own
	}{
		{"sqrt(a)", "a", "2.25 mm²", "1/(2*1.5*mm)"},
		{"hypot(a, 4*mm)", "a", "3 mm", "3/5"},
		{"pow(a, 3)", "a", "2 mm", "12*mm*mm"},
		{"pow(a, -2)", "a", "2 mm", "-1/4/(mm*mm*mm)"},
		{"pow(a, 0)*b", "b", "2 mm", "1"},
		{"1/a", "a", "2 mm", "-1/(4*mm*mm)"},
		{"abs(a)", "a", "-2 mm", "-1"},
		{"min(a, 3*mm)", "a", "2 mm", "1"},
		{"max(a, 3*mm)", "a", "2 mm", "0"},
		{"sin(w)", "w", "60 deg", "pi/360/deg"},
		{"cos(w)", "w", "30 deg", "-pi/360/deg"},
		{"tan(w)", "w", "60 deg", "4*pi/180/deg"},
		{"asin(x)", "x", "60 %", "180*deg/pi/0.8"},
		{"acos(x)", "x", "60 %", "-180*deg/pi/0.8"},
		{"atan(x)", "x", "200 %", "180*deg/pi/5"},
		{"atan2(a, 4*mm)", "a", "3 mm", "180*deg/pi*4/25/mm"},
		{"atan2(4*mm, a)", "a", "3 mm", "-180*deg/pi*4/25/mm"},
	} {
		in := inputs(t, c.name, c.at)
		if strings.Contains(c.text, "pow(a, 0)") {
			in = append(in, given(t, "a", "5 mm"))
		}
		r := eval(t, c.text, in...)
		want := eval(t, c.want).Value
		for _, k := range r.Contributors {
			if k.Name == c.name {
				assert.True(t, within(want, k.Sensitivity), "%s: %s, not %s", c.text, k.Sensitivity.Plain(), want.Plain())
				if k.Sensitivity.Sign() != 0 {
					assert.Equal(t, want.Dim(), k.Sensitivity.Dim(), c.text)
				}
			}
		}
	}
	for _, text := range []string{"asin(x)", "acos(x)"} {
		r := eval(t, text, given(t, "x", "100 %"))
		require.NotNil(t, r.NoSlope)
		assert.Contains(t, r.NoSlope.Error(), "the slope is infinite at 1 and -1")
	}
}
