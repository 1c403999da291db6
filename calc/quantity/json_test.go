package quantity

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestJSON(t *testing.T) {
	for text, want := range map[string]string{
		"0.1880 in":  `{"value":0.1880,"unit":"in","text":"0.1880 in"}`,
		"25.021 mm":  `{"value":25.021,"unit":"mm","text":"25.021 mm"}`,
		"3/32 in":    `{"value":0.09375,"unit":"in","text":"3/32 in"}`,
		"-1 tenth":   `{"value":-1,"unit":"tenths","text":"-1 tenths"}`,
		"7":          `{"value":7,"unit":"","text":"7"}`,
		".0005 in":   `{"value":0.0005,"unit":"in","text":"0.0005 in"}`,
		"-0.5 tenth": `{"value":-0.5,"unit":"tenths","text":"-0.5 tenths"}`,
	} {
		q, err := Parse(text, One)
		require.NoError(t, err)
		got, err := json.Marshal(q)
		require.NoError(t, err)
		assert.JSONEq(t, want, string(got), text)
	}
	got, err := json.Marshal(FromFloat(1.0/3, Millimetre))
	require.NoError(t, err)
	assert.JSONEq(t, `{"value":0.3333333,"unit":"mm","text":"0.33333 mm"}`, string(got), "a computed value has seven digits")
	got, err = json.Marshal(struct{ Q Quantity }{})
	require.NoError(t, err)
	assert.Equal(t, `{"Q":null}`, string(got))
}
