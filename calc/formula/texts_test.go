package formula

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"tenths/calc/quantity"
	"tenths/calc/uncertainty"
)

func TestParseCommon(t *testing.T) {
	for text, want := range map[string]Common{
		"reamer": {Source: "reamer", Part: 1}, "reamer T11 60 %": {Source: "reamer T11", Part: 0.6}, " against  T11 12.5%": {Source: "T11", Part: 0.125, Against: true}, "T 11": {Source: "T 11", Part: 1},
	} {
		c, err := ParseCommon(text)
		assert.NoError(t, err)
		assert.Equal(t, want, c, text)
	}
	for _, text := range []string{"", "60 %", "against", "reamer 0 %", "reamer 101 %", "50 % reamer %"} {
		_, err := ParseCommon(text)
		assert.Error(t, err, text)
	}
}

func TestParseSpread(t *testing.T) {
	for text, want := range map[string]uncertainty.Shape{"normal": uncertainty.Normal, "uniform": uncertainty.Uniform, "triangular": uncertainty.Triangular, "arcsine": uncertainty.Arcsine} {
		s, err := ParseSpread(text, quantity.Unit{})
		assert.NoError(t, err)
		assert.Equal(t, Spread{Shape: want}, s)
	}
	for text, want := range map[string]string{"0.0002 in": "0.0002 in", "normal 2 um": "2 um", "0.0003": "0.0003 in", "2 dF": "2 dF", "2 F": "2 dF"} {
		s, err := ParseSpread(text, quantity.Inch)
		assert.NoError(t, err, text)
		assert.Equal(t, want, s.SD.String())
		assert.Empty(t, s.Shape)
	}
	for _, text := range []string{"", "even", "uniform 0.1 in", "-0.1 in", "0 in", "normal normal", "normal 1 lump"} {
		_, err := ParseSpread(text, quantity.Unit{})
		assert.Error(t, err, text)
	}
}
