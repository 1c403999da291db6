package bench

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
)

// Every subject says what it is for, has an example, and asked for nothing says
// what to type.
func TestEveryQuestion(t *testing.T) {
	for _, q := range questions() {
		name := reflect.TypeOf(q).Elem().Name()
		assert.NotEmpty(t, q.About(), name)
		assert.NotEmpty(t, q.Examples(), name)
		a, err := q.Ask(Options{})
		require.Error(t, err, name)
		assert.True(t, a == nil, name)
		assert.Regexp(t, "type ", err, name)
		// Each value says what it is.
		typ := reflect.TypeOf(q).Elem()
		for i := range typ.NumField() {
			assert.NotEmpty(t, typ.Field(i).Tag.Get("help"), "%s.%s", name, typ.Field(i).Name)
		}
	}
}

func TestWriteText(t *testing.T) {
	s := newSheet()
	s.say("first")
	s.say("%s", "second, so long that it cannot stand on one line of the page and has to go on in the next one, hung in")
	s.step("a = b")
	s.mind("one")
	s.mind("two")
	var b bytes.Buffer
	require.NoError(t, s.WriteText(&b))
	assert.Equal(t, `first
  second, so long that it cannot stand on one line of the page and has to go on in the next one,
    hung in

formula   a = b

cautions  one
          two
`, b.String())
	for _, line := range strings.Split(b.String(), "\n") {
		assert.LessOrEqual(t, len(line), pageWidth)
	}
}

// Lists that are empty are [] in JSON, so that a script can walk them.
func TestSheetJSON(t *testing.T) {
	raw, err := json.Marshal(&PartsAnswer{Sheet: newSheet()})
	require.NoError(t, err)
	assert.Contains(t, string(raw), `"answer":[],"formula":[],"source":[],"cautions":[]`)
	assert.Contains(t, string(raw), `"smallest_shift":null`)
}

// FuzzReaders reads anything a person can type without a fall, and what is read
// makes sense.
func FuzzReaders(f *testing.F) {
	for _, s := range []string{
		"0.1875 in X plus", "0.1880 in class ZZ minus", "0.18752 ±0.00002 in", "X plus", "plus", "0.0003in; entered 0.1876 in X plus; refused 0.1878 in X minus", ";", "0in;;",
		"13.0 12.0 13.5 tenths", "3 of 20", "9.0tenths", "of of of", "3.6in,0in", ",", "steel", "207000 N/mm², 0.29", ",/", "11.7 ppm/K", "0.8..1", "..", "68F", "housing=1.5 ±0.004 in", "=", "-1 2 K",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		w := &work{}
		if g := w.gauge("g", text); w.err == nil {
			assert.True(t, g.HasLower() && g.HasUpper() && g.Lower.Sign() > 0, "%q", text)
		}
		w = &work{}
		if p := w.pass("p", text); w.err == nil {
			assert.GreaterOrEqual(t, p.Change.Sign(), 0, "%q", text)
		}
		w = &work{}
		if v, u, _ := w.readingsOf("r", text, quantity.Unit{}); w.err == nil && strings.TrimSpace(text) != "" && len(v) > 0 {
			assert.False(t, u.IsZero(), "%q", text)
		}
		w = &work{}
		w.point(text)
		if isCount(text) {
			w = &work{}
			if bad, n := w.count("c", text); w.err == nil {
				assert.True(t, bad >= 0 && bad <= n && n > 0, "%q", text)
			}
		}
		w = &work{}
		w.inputs([]string{text})
		w = &work{}
		if p := w.expansion("part", "part", text, true); w.err == nil {
			assert.True(t, p.low.Sign() > 0, "%q", text)
		}
		w = &work{}
		if e, nu := w.elastic("hub", "hub", text); w.err == nil {
			assert.True(t, e.low.Sign() > 0 && nu.low.Sign() > 0, "%q", text)
		}
		w = &work{}
		w.friction(text)
	})
}

// FuzzQuestions puts any two texts into every value of every subject.
func FuzzQuestions(f *testing.F) {
	for _, s := range [][2]string{{"0.1875 +0.0005/-0 in", "0.1873 in"}, {"25 mm H7", "25 mm H7/g6"}, {"8mm", "20mm"}, {"20 C", "steel"}, {"0.5", "10 %"}, {"1 2 3 tenths", "MAG"}, {"800mm/min", "0.02mm"}, {"", "5000N"}} {
		f.Add(s[0], s[1])
	}
	f.Fuzz(func(t *testing.T, a, b string) {
		for i, q := range questions() {
			v := reflect.ValueOf(q).Elem()
			for k := range v.NumField() {
				text := a
				if (i+k)%2 == 1 {
					text = b
				}
				switch field := v.Field(k); field.Kind() {
				case reflect.String:
					field.SetString(text)
				case reflect.Slice:
					field.Set(reflect.ValueOf([]string{text}))
				case reflect.Int:
					field.SetInt(int64(len(b)))
				}
			}
			answer, err := q.Ask(Options{})
			if err != nil {
				assert.True(t, answer == nil)
				continue
			}
			_, err = json.Marshal(answer)
			require.NoError(t, err)
			require.NoError(t, answer.WriteText(&bytes.Buffer{}))
		}
	})
}
