package formula

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/uncertainty"
)

// Two inputs of ±0.3 and ±0.4 that move together by a part; all by hand.
func TestCommonSource(t *testing.T) {
	for _, c := range []struct {
		text       string
		one, two   Common
		worst, rss float64
		names      []string
	}{
		{"a + b", Common{}, Common{}, 0.7, 0.5, []string{"a", "b"}},
		{"a + b", Common{Source: "reamer", Part: 1}, Common{Source: "reamer", Part: 1}, 0.7, 0.7, []string{"reamer"}},
		{"a - b", Common{Source: "reamer", Part: 1}, Common{Source: "reamer", Part: 1}, 0.1, 0.1, []string{"reamer"}},
		{"a - b", Common{Source: "reamer", Part: 1}, Common{Source: "reamer", Part: 1, Against: true}, 0.7, 0.7, []string{"reamer"}},
		{"a - b", Common{Source: "reamer", Part: 0.5}, Common{Source: "reamer", Part: 0.5}, 0.05 + 0.15 + 0.2, math.Sqrt(0.0025 + 0.0225 + 0.04), []string{"a", "b", "reamer"}},
		{"a + b", Common{Source: "reamer", Part: 0.5}, Common{}, 0.7, math.Sqrt(0.0225 + 0.0225 + 0.16), []string{"a", "b", "reamer"}},
		{"a + b", Common{Source: "reamer", Part: 1}, Common{Source: "drill", Part: 1}, 0.7, 0.5, []string{"reamer", "drill"}},
	} {
		in := inputs(t, "a", "2 mm ±0.3", "b", "1 mm ±0.4")
		in[0].Common, in[1].Common = c.one, c.two
		r := eval(t, c.text, in...)
		assert.Equal(t, Linear, r.Method)
		assert.InDelta(t, c.worst, r.WorstUpper.Float()-r.Centre.Float(), 1e-12, "%s %v", c.text, c.one)
		assert.InDelta(t, c.worst, r.Centre.Float()-r.WorstLower.Float(), 1e-12)
		assert.InDelta(t, c.rss, r.RSS.Float(), 1e-12, "%s %v", c.text, c.one)
		assert.InDelta(t, c.rss/3, r.SD.Float(), 1e-12)
		var names []string
		worst, share := 0.0, 0.0
		for _, k := range r.Contributors {
			names = append(names, k.Name)
			worst += k.Effect.Float()
			share += k.Share
			if k.Name == "reamer" && c.two.Source == "reamer" {
				assert.Equal(t, []string{"a", "b"}, k.Members)
			}
		}
		assert.ElementsMatch(t, c.names, names)
		assert.InDelta(t, c.worst, worst, 1e-12)
		assert.InDelta(t, 1, share, 1e-12)
		// The simulation draws them together too.
		s, err := parsed(t, c.text).Simulate(in, SimOptions{Seed: 1})
		require.NoError(t, err)
		assert.InEpsilon(t, r.SD.Float(), s.SD.Float(), 0.03)
	}
	// The nominal is not the middle: the value is at the nominal all the same.
	in := inputs(t, "a", "2 mm +0.3/-0.1", "b", "1 mm")
	in[0].Common = Common{Source: "reamer", Part: 0.6}
	r := eval(t, "a*b/mm", in...)
	assert.Equal(t, "2 mm", r.Value.String())
	assert.Equal(t, "1.9 mm", r.WorstLower.String())
	assert.Equal(t, "2.3 mm", r.WorstUpper.String())
	assert.Equal(t, "2.1 mm", r.Centre.String())
}

func TestCommonSourceRefused(t *testing.T) {
	for says, change := range map[string]func(in []Input){
		"'a' takes a part of 0 from 'reamer'; a part is above 0 %": func(in []Input) { in[0].Common = Common{Source: "reamer"} },
		"'b' takes a part of 1.5 from 'reamer'":                    func(in []Input) { in[1].Common = Common{Source: "reamer", Part: 1.5} },
		"'c' has no tolerance to share with 'reamer'":              func(in []Input) { in[2].Common = Common{Source: "reamer", Part: 1} },
		"'a' and 'b' move with 'reamer' and are spread differently;": func(in []Input) {
			in[0].Common, in[1].Common, in[1].Spread.Shape = Common{Source: "reamer", Part: 1}, Common{Source: "reamer", Part: 1}, uncertainty.Uniform
		},
		"are the same thing ('P1') with different spreads or common sources": func(in []Input) {
			in[0].Source, in[1].Source, in[0].Common = "P1", "P1", Common{Source: "reamer", Part: 1}
		},
	} {
		in := inputs(t, "a", "2 mm ±0.3", "b", "2 mm ±0.3", "c", "1 mm")
		change(in)
		_, err := parsed(t, "a + b + c").Eval(in, Options{})
		assert.ErrorContains(t, err, says)
	}
}
