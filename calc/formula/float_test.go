package formula

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
)

// The float form agrees with the exact evaluation for every function of the
// grammar, whatever the units of the inputs.
func TestFloatAgreesWithEval(t *testing.T) {
	inputs := map[string]string{"a": "1.5 in", "b": "20 mm", "c": "0.3", "t": "25 C", "g": "30 deg"}
	covered := map[string]bool{}
	for _, text := range []string{
		"a + b", "a - b", "-a", "a*b", "a/b", "c/a", "abs(b - a)", "min(a, b, 2*a)", "max(a, b)", "sqrt(a*b)", "hypot(a, b)", "pow(a, 3)", "pow(b, -1)",
		"sin(g)", "cos(g)", "tan(g)", "asin(c)", "acos(c)", "atan(c)", "atan2(a, b)", "a*(1 + 11.5e-6*(t - 68*F)/(1*K))", "25.4*mm + a - pi*b",
		"if(a < b, a, b)", "if(a > b && !(a == b), a/2, b)", "if(a <= b || c >= 1, a, -b)", "if(t != 77*F, a, 2*a)", "if(t == 77*F, a, 2*a)",
	} {
		e, err := Parse(text)
		require.NoError(t, err, text)
		var in []Input
		x := []float64{}
		for _, name := range e.Names() {
			v, err := quantity.ParseToleranced(inputs[name], quantity.One)
			require.NoError(t, err)
			in = append(in, Input{Name: name, Value: v})
			x = append(x, toFloat(v.Nominal.Rat()))
		}
		r, err := e.Eval(in, Options{})
		require.NoError(t, err, text)
		want := toFloat(r.Value.Rat())
		assert.InDelta(t, want, e.Float()(x), 1e-12*math.Max(1, math.Abs(want)), text)
		walk(e.root, covered)
	}
	for name := range functions {
		assert.True(t, covered[name], "%s has no check", name)
	}
}

func walk(n *node, seen map[string]bool) {
	if n.fn != nil {
		seen[n.fn.name] = true
	}
	for _, a := range n.args {
		walk(a, seen)
	}
}
