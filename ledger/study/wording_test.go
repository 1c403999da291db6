package study

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestSameWording(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"mean 0 ±0.0002", "Mean  0 +-0.0002.", true},
		{"largest no more than 0.0005 in", "largest: no mor than 5 tenths", true},
		{"largest no more than 12.7 um", "largest no more than 5 tenths", true},
		{"no more than 0.0005", "no more than .00050", true},
		{"spread of K3 halved", "spread of K3 halvd", true},
		{"≤ 5 tenths", "<= 5 tenths", true},
		{"mean within 0.0002 in", "mean within 0.0003 in", false},
		{"mean within 0.0002 in", "mean within 0.0002 mm", false},
		{"5 of 6", "6 of 6", false},
		{"mean of K4 0 ±0.0002", "mean 0 ±0.0002", false},
		{"largest no more than 0.0005 in", "mean no more than 0.0005 in", false},
		{"every point inside", "every point outside", false},
		{"K3 halved", "K4 halved", false},
		{"< 5 tenths", "> 5 tenths", false},
		{"no step can be felt", "a step can be felt", false},
		{"", "mean 0", false},
	} {
		assert.Equal(t, c.same, sameWording(c.a, c.b), "%q and %q", c.a, c.b)
		assert.Equal(t, c.same, sameWording(c.b, c.a), "%q and %q", c.b, c.a)
	}
}

func TestSameAmount(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"-6.2 +2.8/-3.0 tenths", "-0.00062 +0.00028/-0.00030 in", true},
		{"0 ±0.0010 in", "-0.0010..0.0010 in", true},
		{"0 ±0.0010 in", "0 ±0.0011 in", false},
		{"-6.2 tenths", "-6.2 +2.8/-3.0 tenths", false},
		{"25.4 mm", "1.000 in", true},
		{"12 deg", "12 in", false},
		{"", "12 in", false},
		{"?", "?", true},
	} {
		assert.Equal(t, c.same, sameAmount(c.a, c.b), "%q and %q", c.a, c.b)
	}
}

// A wording is always the same as itself, in capitals and with other spaces too.
func TestSameWordingAsItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[a-z0-9 .±<>]{0,40}`).Draw(t, "text")
		if !sameWording(text, "  "+text+"  ") {
			t.Fatalf("%q", text)
		}
	})
}
