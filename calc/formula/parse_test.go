package formula

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestNames(t *testing.T) {
	for _, c := range []struct {
		text string
		want []string
	}{
		{"hole - cutter", []string{"hole", "cutter"}},
		{"b + a*b - a", []string{"b", "a"}},
		{"25.4*mm + 0.001*inch + 1*in + 2*deg/deg", nil},
		{"pi*d", []string{"d"}},
		{"min(x, max(y, 0.5*in))", []string{"x", "y"}},
		{"h + s + m + part + day", []string{"h", "s", "m", "part", "day"}},
		{"Δ_1 + μ2", []string{"Δ_1", "μ2"}},
		{"t - 68*F", []string{"t"}},
		{"a\n\t+ b\r\n", []string{"a", "b"}},
	} {
		e := parsed(t, c.text)
		assert.Equal(t, c.want, e.Names(), c.text)
		assert.Equal(t, c.text, e.String())
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		text   string
		column int
		says   string
	}{
		{"", 1, "the formula is empty"},
		{"  ", 1, "the formula is empty"},
		{"2*a^2", 4, "^ is not a power here: the grammar reads it as exclusive or; write a*a or pow(a, 2)"},
		{"a^=2", 2, "^ is not a power"},
		{"25.4 mm", 6, "an operator is missing between 25.4 and mm; write 25.4*mm"},
		{"25.4mm", 5, "write 25.4*mm"},
		{"2pi", 2, "write 2*pi"},
		{"2in", 2, "write 2*in"},
		{"2 pi", 3, "write 2*pi"},
		{"3i*a", 2, "write 3*i"},
		{"2e", 2, "write 2*e"},
		{"µ + 2pi", 6, "write 2*pi"},
		{"a b", 3, "write a*b, or one word"},
		{"2(a)", 2, "multiplication is written with *"},
		{"(a)(b)", 4, "multiplication is written with *"},
		{"(a) 2", 5, "multiplication is written with *"},
		{"a(b)", 1, "'a' is no known function"},
		{"in(3)", 1, "'in' is a unit, not a function"},
		{"pi(3)", 1, "no known function"},
		{"1 1/2*in", 3, "write 1 1/2 as (1 + 1/2)"},
		{"1..2", 3, "an operator is missing between 1. and .2"},
		{"a,b", 2, "only separates the arguments"},
		{"0,5*in", 2, "a decimal is written with a point"},
		{"abs((a, b))", 7, "only separates the arguments"},
		{"a +", 4, "a value is missing at the end"},
		{"a*", 3, "a value is missing at the end"},
		{"*a", 1, "a value is missing before *"},
		{"a*/b", 3, "a value is missing between * and /"},
		{"a**b", 2, "** has no meaning in a formula; write a*a or pow(a, 2)"},
		{"(a", 1, "this parenthesis is not closed"},
		{"abs(a", 4, "this parenthesis is not closed"},
		{"a)", 2, "this parenthesis was never opened"},
		{"()", 2, "a value is missing between ( and )"},
		{"abs()", 5, "a value is missing"},
		{"min(a,,b)", 7, "a value is missing between , and ,"},
		{"min(a,)", 7, "a value is missing"},
		{"abs(a, b)", 1, "abs takes 1 argument, not 2; write abs(a)"},
		{"min(a)", 1, "min takes at least 2 arguments, not 1"},
		{"atan2(a)", 1, "atan2 takes 2 arguments, not 1"},
		{"abs(a...)", 6, "... has no meaning"},
		{"sqrt + 1", 1, "sqrt is a function; write sqrt(a)"},
		{"log(a)", 1, "'log' is no known function; functions are abs, acos, asin, atan, atan2, cos, hypot, if, max, min, pow, sin, sqrt, tan"},
		{"a == b", 3, "the formula is a condition and gives no value; write if(a < b, a, b)"},
		{"!(a < b)", 1, "the formula is a condition"},
		{"!a", 2, "! takes a condition here, not a value; compare two values, like a < b"},
		{"if(a && b < c, a, b)", 4, "&& takes a condition here"},
		{"if(a, b, c)", 4, "if takes a condition here, not a value"},
		{"if(a < b, b < c, c)", 13, "if takes a value here, not a condition"},
		{"if(a < b < c, a, b)", 6, "a condition does not compare with a value; write a < b && b < c"},
		{"(a < b) + c", 4, "+ takes a value here, not a condition"},
		{"+(a < b)", 5, "+ takes a value here"},
		{"-(a < b)", 5, "- takes a value here"},
		{"abs(a < b)", 7, "abs takes a value here"},
		{"if(a < b, a)", 1, "if takes 3 arguments, not 2; write if(a < b, a, b)"},
		{"if a < b", 1, "if is a function; write if(a < b, a, b)"},
		{"a + if", 5, "if is a function"},
		{"if*a", 1, "if is a function"},
		{"if(a < b, a else b)", 13, "'else' is a reserved word and has no meaning here; write if(a < b, a, b)"},
		{"if(a <-b, a, b)", 6, "to compare with a negative value write a < (-b)"},
		{"if(a = b, a, b)", 6, "values compare with =="},
		{"if(a =< b, a, b)", 6, "values compare with =="},
		{"if(a < b and b < c, a, b)", 10, "for and write &&"},
		{"if(a < b or b < c, a, b)", 10, "for or write ||"},
		{"if(a & b, a, b)", 6, "conditions are joined with &&"},
		{"if(a ≤ b, a, b)", 6, "write <="},
		{"if(a < , a, b)", 8, "a value is missing between < and ,"},
		{"if(a ! b, a, b)", 6, "values that differ compare with !="},
		{"a + __", 5, "__ is no name"},
		{"x = a + b", 3, "write only the right side"},
		{"x := a", 3, "write only the right side"},
		{"a++b", 2, "write a + (+b)"},
		{"a--b", 2, "write a - (-b)"},
		{"a[1]", 2, "only round parentheses group"},
		{"a{1}", 2, "only round parentheses group"},
		{"a.b", 2, "a name is one word"},
		{"a; b", 2, "a formula is one expression"},
		{"a % b", 3, "for a percentage write 90/100"},
		{"a & b", 3, "& has no meaning"},
		{"&a", 1, "& has no meaning"},
		{"<-a", 1, "<- has no meaning"},
		{"a << 2", 3, "<< has no meaning"},
		{"a // b", 3, "// has no meaning in a formula; divide with a single /"},
		{"a /* b */", 3, "/* has no meaning"},
		{`"a"`, 1, "quotation marks"},
		{`0.5"`, 4, "for inches write *in"},
		{"'a'", 1, "quotation marks"},
		{"`a`", 1, "quotation marks"},
		{"2×a", 2, "'×' has no meaning in a formula; write *"},
		{"a \u2212 b", 3, "write the minus sign as -"},
		{"a²", 2, "pow(a, 2)"},
		{"√a", 1, "write sqrt(a)"},
		{"30°", 3, "write *deg"},
		{"d₁", 2, "write digits as 0 to 9"},
		{"d\u0661 * 2", 0, ""}, // Arabic-Indic digits are letters of a name to Go
		{"1 ± 2", 3, "the tolerance belongs to the inputs"},
		{"a @ b", 3, "'@' has no meaning"},
		{"a \x00", 3, "has no meaning"},
		{"a + \xff", 5, "not valid UTF-8"},
		{"if", 1, "if is a function; write if(a < b, a, b)"},
		{"range + 1", 1, "'range' is a reserved word and cannot be a name; choose another name"},
		{"func(a)", 1, "'func' is a reserved word"},
		{"_", 1, "_ is no name"},
		{"0x10", 1, "only decimal numbers"},
		{"0b1", 1, "only decimal numbers"},
		{"010", 1, "a whole number does not start with 0; write 10"},
		{"00", 1, "write 0"},
		{"08", 1, "write 8"},
		{"1_000", 2, "underscore"},
		{"1e41", 1, "the power of ten lies beyond 40"},
		{"1e99999999999999999999", 1, "the power of ten lies beyond 40"},
		{strings.Repeat("1", 41), 1, "at most 40 digits"},
		{"F", 1, "makes a temperature, like 68*F"},
		{"a*F", 3, "makes a temperature, like 68*F"},
		{"(68)*F", 6, "makes a temperature, like 68*F"},
		{"68/F", 4, "makes a temperature, like 68*F"},
		{"-300*C", 1, "below absolute zero"},
		{"pow(a, b)", 8, "the power is a whole number from -64 to 64"},
		{"pow(a, 0.5)", 8, "the power is a whole number"},
		{"pow(a, -65)", 8, "the power is a whole number"},
		{"pow(a, 2*in)", 9, "the power is a whole number"},
		{strings.Repeat("(", 51) + "a" + strings.Repeat(")", 51), 51, "too many parentheses"},
		{strings.Repeat("a+", 250) + "a", 0, "more than 500 parts"},
		{strings.Repeat("a", 4001), 4001, "too long"},
		{strings.Repeat("- ", 600) + "a", 0, "more than 500 parts"},
	} {
		e, err := Parse(c.text)
		if c.says == "" {
			assert.NoError(t, err, c.text)
			continue
		}
		require.Error(t, err, c.text)
		assert.Nil(t, e)
		var p *Error
		require.ErrorAs(t, err, &p, c.text)
		assert.Equal(t, c.text, p.Text)
		assert.Contains(t, err.Error(), c.says, c.text)
		if c.column > 0 {
			assert.Equal(t, c.column, p.Column, "%v", err)
		}
	}
}

func TestMessageOnOneLine(t *testing.T) {
	_, err := Parse("a\n+ \x1b[31m b")
	assert.EqualError(t, err, "'a + \uFFFD[31m b', column 5: '\uFFFD' has no meaning in a formula")
}

// Literals stay exact: these differ from their nearest float64.
func TestLiteralsAreExact(t *testing.T) {
	for text, want := range map[string]string{
		"0.1": "1/10", "25.4": "127/5", ".5": "1/2", "5.": "5", "1e-3": "1/1000", "1.5E+2": "150", "0": "0", "0.0": "0", "007.50": "15/2",
		"3/32": "3/32", "13e-6": "13/1000000", "9007199254740993": "9007199254740993",
	} {
		r := eval(t, text)
		assert.Zero(t, r.Value.Rat().Cmp(rational(t, want)), "%s: %s", text, r.Value.Rat())
		assert.True(t, r.Exact && r.Linear, text)
	}
}

// The order of operations is that of school algebra (and of Go's grammar).
func TestPrecedence(t *testing.T) {
	for text, want := range map[string]string{
		"2+3*4": "14", "(2+3)*4": "20", "2-3-4": "-5", "24/4/2": "3", "24/4*2": "12", "-2*3": "-6", "2- -3": "5", "-pow(2, 2)": "-4", "+3": "3",
		"2*pow(3, 2)": "18", "- - 2": "2", "pow(2, -2)": "1/4", "pow(2, 0)": "1", "pow(-2, 3)": "-8",
	} {
		assert.Zero(t, eval(t, text).Value.Rat().Cmp(rational(t, want)), text)
	}
}
