package bench

import (
	"encoding/json"
	"math"
	"math/big"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
)

// reply is an answer as its JSON, so that every check is one of the contract.
type reply map[string]any

// asked is the JSON of an answer.
func asked(t testing.TB, q Question, units string) reply {
	t.Helper()
	a, err := q.Ask(Options{Units: units})
	require.NoError(t, err)
	raw, err := json.Marshal(a)
	require.NoError(t, err)
	dec := json.NewDecoder(strings.NewReader(string(raw)))
	dec.UseNumber()
	var r reply
	require.NoError(t, dec.Decode(&r))
	return r
}

// at follows a path of keys and indices.
func (r reply) at(t testing.TB, path string) any {
	t.Helper()
	var v any = map[string]any(r)
	for _, key := range strings.Split(path, "/") {
		if list, ok := v.([]any); ok {
			i, err := strconv.Atoi(key)
			require.NoError(t, err, path)
			require.Less(t, i, len(list), path)
			v = list[i]
			continue
		}
		m, ok := v.(map[string]any)
		require.True(t, ok, "%s: no keys under here", path)
		require.Contains(t, m, key, path)
		v = m[key]
	}
	return v
}

// quantity is the value of the path in the base unit of its dimension.
func (r reply) quantity(t testing.TB, path string) (*big.Rat, quantity.Unit) {
	t.Helper()
	m, ok := r.at(t, path).(map[string]any)
	require.True(t, ok, "%s is no quantity: %v", path, r.at(t, path))
	v, ok := new(big.Rat).SetString(m["value"].(json.Number).String())
	require.True(t, ok, path)
	name := m["unit"].(string)
	if name == "" {
		return v, quantity.One
	}
	u, ok := quantity.LookupUnit(name)
	require.True(t, ok, "%s: unit %q", path, name)
	return quantity.New(v, u).Rat(), u
}

// exactly compares without any rounding; want may be in another unit.
func (r reply) exactly(t testing.TB, want, path, source string) {
	t.Helper()
	got, _ := r.quantity(t, path)
	w := one(t, want)
	assert.Zero(t, w.Rat().Cmp(got), "%s: %s: want %s, got %v", source, path, want, r.at(t, path))
}

// within compares with a tolerance in the unit of want, and with the seven digits
// that a computed value has in JSON.
func (r reply) within(t testing.TB, want string, tolerance float64, path, source string) {
	t.Helper()
	got, u := r.quantity(t, path)
	w := one(t, want)
	assert.Equal(t, w.Dim(), u.Dim(), path)
	v := quantity.New(got, quantity.BaseUnit(w.Dim())).FloatIn(w.Unit())
	want7 := w.FloatIn(w.Unit())
	assert.InDelta(t, want7, v, tolerance+1e-6*math.Abs(want7), "%s: %s", source, path)
}

func (r reply) text(t testing.TB, path string) string {
	t.Helper()
	m, ok := r.at(t, path).(map[string]any)
	require.True(t, ok, path)
	return m["text"].(string)
}

func one(t testing.TB, text string) quantity.Quantity {
	t.Helper()
	q, err := quantity.Parse(text, quantity.One)
	require.NoError(t, err)
	return q
}

// refuses asks and wants an error that says so.
func refuses(t testing.TB, q Question, units string, says ...string) {
	t.Helper()
	a, err := q.Ask(Options{Units: units})
	if !assert.Error(t, err, "%+v", q) {
		return
	}
	assert.True(t, a == nil, "an error comes without an answer: %+v", q)
	for _, s := range says {
		assert.ErrorContains(t, err, s)
	}
}

// questions are all subjects.
func questions() []Question {
	return []Question{
		&Limits{}, &Fit{}, &Choose{}, &Pins{}, &Dowel{}, &Plug{}, &Accept{}, &Ream{}, &Bore{}, &Press{}, &Shrink{}, &Seat{}, &Bond{}, &Clamp{},
		&Thermal{}, &Weld{}, &Stack{}, &Compare{}, &Parts{},
		&Summary{}, &Same{}, &Looks{}, &Touch{}, &Count{}, &Tolerance{}, &Capability{},
		&Guard{}, &Budget{}, &Repeat{}, &Bias{}, &Chart{}, &Drift{},
	}
}
