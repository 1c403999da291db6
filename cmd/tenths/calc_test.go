package main

import (
	"bytes"
	"encoding/json"
	"math"
	"math/big"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
)

// calcExamples are the example command lines of every subject, by its name.
func calcExamples(t *testing.T) map[string][]string {
	out := map[string][]string{}
	v := reflect.ValueOf(calcCmd{})
	for i := range v.NumField() {
		if s, ok := v.Field(i).Interface().(interface{ examples() []string }); ok {
			out[strings.ToLower(v.Type().Field(i).Name)] = s.examples()
		}
	}
	require.Len(t, out, 32)
	return out
}

// words splits a command line as a shell does, with single quotes.
func words(line string) []string {
	var out []string
	word, inWord, quoted := "", false, false
	for _, r := range line {
		switch {
		case r == '\'':
			quoted, inWord = !quoted, true
		case r == ' ' && !quoted:
			if inWord {
				out = append(out, word)
			}
			word, inWord = "", false
		default:
			word, inWord = word+string(r), true
		}
	}
	if inWord {
		out = append(out, word)
	}
	return out
}

// calc runs a command line that begins with the program's name.
func calc(t *testing.T, line string, more ...string) (out, errs string, code int) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(append(words(line)[1:], more...), env{out: &o, err: &e, dir: t.TempDir()})
	return o.String(), e.String(), code
}

// Every subject shows its examples in its help, and every example runs: the
// answer first, then formula, source and cautions; as JSON too.
func TestCalcExamples(t *testing.T) {
	list, _, code := calc(t, "tenths calc")
	require.Zero(t, code)
	for subject, examples := range calcExamples(t) {
		help, _, code := calc(t, "tenths calc "+subject+" --help")
		assert.Zero(t, code, subject)
		assert.Contains(t, list, examples[0], "the list shows an example of %s", subject)
		for _, line := range examples {
			assert.Contains(t, help, line)
			text, errs, code := calc(t, line)
			assert.Zero(t, code, line)
			assert.Empty(t, errs, line)
			at := 0
			for _, part := range []string{"\nformula ", "\nsource ", "\ncautions "} {
				i := strings.Index(text[at:], part)
				require.Greater(t, i, 0, "%s: %q comes after the answer, in this order\n%s", line, part, text)
				at += i
			}
			assert.NotRegexp(t, `(?i)\bsafe\b`, text, "nothing here says that work is safe")

			var answer map[string]any
			out, _, code := calc(t, line, "--format", "json")
			require.Zero(t, code, line)
			require.NoError(t, json.Unmarshal([]byte(out), &answer), line)
			for _, key := range []string{"answer", "formula", "source", "cautions"} {
				assert.NotEmpty(t, answer[key], "%s: %s", line, key)
			}
			first := answer["answer"].([]any)[0].(string)
			assert.Equal(t, strings.Fields(first), strings.Fields(text)[:len(strings.Fields(first))], "the same answer in both")
		}
	}
}

// leaves collects the quantities of an answer by their path.
func leaves(v any, path string, into map[string]map[string]any) {
	switch v := v.(type) {
	case map[string]any:
		if _, ok := v["value"]; ok && len(v) == 3 {
			into[path] = v
			return
		}
		for k, x := range v {
			leaves(x, path+"/"+k, into)
		}
	case []any:
		for i, x := range v {
			leaves(x, path+"/"+string(rune('0'+i)), into)
		}
	}
}

// The unit of the answer changes the unit and no value, in every subject. The next
// boring pass is a whole number of the control's steps, so that step is given.
func TestCalcUnitsChangeNoValue(t *testing.T) {
	compared := 0
	for _, examples := range calcExamples(t) {
		for _, line := range examples {
			var want map[string]map[string]any
			for _, units := range []string{"", "in", "mm", "um", "thou"} {
				var more []string
				if units != "" {
					more = []string{"--units", units}
				}
				if strings.Contains(line, "calc bore --limits") {
					more = append(more, "--increment", "0.1tenths")
				}
				out, errs, code := calc(t, line, append(more, "--format", "json")...)
				if code != exitOK {
					assert.Contains(t, errs, "has no unit", line)
					continue
				}
				var answer any
				dec := json.NewDecoder(strings.NewReader(out))
				dec.UseNumber()
				require.NoError(t, dec.Decode(&answer))
				got := map[string]map[string]any{}
				leaves(answer, "", got)
				if want == nil {
					want = got
					continue
				}
				require.Len(t, got, len(want), line)
				for path, w := range want {
					a, okA := base(t, w)
					b, okB := base(t, got[path])
					if okA && okB { // masses and energies have units of their own
						assert.InDelta(t, a, b, 2e-6*math.Abs(a)+1e-12, "%s --units %s: %s", line, units, path)
						compared++
					}
				}
			}
		}
	}
	assert.Greater(t, compared, 1000)
}

// base is a quantity of an answer in the base unit of its dimension.
func base(t *testing.T, q map[string]any) (float64, bool) {
	v, ok := new(big.Rat).SetString(q["value"].(json.Number).String())
	require.True(t, ok)
	u, ok := quantity.LookupUnit(q["unit"].(string))
	if q["unit"] == "" {
		u, ok = quantity.One, true
	}
	return quantity.New(v, u).Float(), ok
}

// No number has more digits than a shop can mean: seven significant ones at most,
// six decimals, and each quantity has its unit in its text.
func TestCalcDigits(t *testing.T) {
	number := regexp.MustCompile(`\d+\.\d+|\d+`)
	for _, examples := range calcExamples(t) {
		for _, line := range examples {
			for _, units := range []string{"", "in", "mm", "um"} {
				args := []string{"--format", "json"}
				if units != "" {
					args = append(args, "--units", units)
				}
				out, _, code := calc(t, line, args...)
				if code != exitOK {
					continue
				}
				var answer any
				dec := json.NewDecoder(strings.NewReader(out))
				dec.UseNumber()
				require.NoError(t, dec.Decode(&answer))
				got := map[string]map[string]any{}
				leaves(answer, "", got)
				for path, q := range got {
					text := q["text"].(string)
					if unit := q["unit"].(string); unit != "" {
						assert.True(t, strings.HasSuffix(text, " "+unit), "%s: %s: %q", line, path, text)
					}
				}
				answered := answer.(map[string]any)
				for _, key := range []string{"answer", "formula"} {
					for _, s := range answered[key].([]any) {
						for _, n := range number.FindAllString(s.(string), -1) {
							whole, part, _ := strings.Cut(n, ".")
							digits := len(strings.Trim(whole+part, "0"))
							assert.LessOrEqual(t, digits, 7, "%s --units %s: %s in %q", line, units, n, s)
							assert.LessOrEqual(t, len(part), 6, "%s --units %s: %s in %q", line, units, n, s)
						}
					}
				}
			}
		}
	}
}

// A number that begins with a minus is no option; an option stays one.
func TestMinusNumbers(t *testing.T) {
	assert.Equal(t, []string{"calc", " -0.3thou", " -.3", "-C", "--units", "-", "--", " -3 -1 2 tenths", "3-1"},
		minusNumbers([]string{"calc", "-0.3thou", "-.3", "-C", "--units", "-", "--", "-3 -1 2 tenths", "3-1"}))
}

func TestWordsOfAShell(t *testing.T) {
	assert.Equal(t, []string{"a", "b c", "x=1 2", ""}, words("a 'b c'  x='1 2' ''"))
}
