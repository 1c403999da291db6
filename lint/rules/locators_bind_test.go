package rules

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
	"tenths/lint"
)

// TestLocatorsBindNumbers checks the numbers of a finding by hand: holes 0.1875
// +0.0005/-0 in at 2.4000 ±0.0005 in, pins 0.1873 in, as F1 and F2 of the
// trade's formulas give them.
func TestLocatorsBindNumbers(t *testing.T) {
	const part = "+++\nkind = \"part\"\nid = \"P\"\ntitle = \"p\"\n[[feature]]\nid = \"H1\"\ntype = \"hole\"\nat = [0, 0]\nsize = \"0.1875 +0.0005/-0\"\n[[feature]]\nid = \"H2\"\ntype = \"hole\"\nat = [\"2.4000 ±0.0005\", 0]\nsize = \"0.1875 +0.0005/-0\"\n+++\n"
	const fixture = "+++\nkind = \"fixture\"\nid = \"F\"\ntitle = \"f\"\nstate = \"in use\"\n[[station]]\nid = \"A\"\npart = \"P\"\n[[station.locator]]\nid = \"P1\"\ntype = \"round pin\"\nengages = \"H1\"\nsize = \"0.1873\"\n[[station.locator]]\nid = \"P2\"\nengages = \"H2\"\nsize = \"0.1873\"\n"
	for _, c := range []struct {
		name, second string
		want         map[string]float64
	}{
		{"two round pins", "type = \"round pin\"\n", map[string]float64{
			"mismatch": 0.0005, "allowance": 0.0002, "missing": 0.0003, "margin": -0.00015, "c1": 0.0002, "c2": 0.0002, "land": 0.04645,
		}},
		// e = (-0.06 + sqrt(0.06² + 0.1875² - 0.1873²))/2 = 0.0003107; the
		// handbook says 0.1875·0.0002/0.12 = 0.0003125. Both add 0.0001. A finding
		// gives them to 0.00001 in, in its numbers as in its words.
		{"a land that is too wide", "type = \"relieved pin\"\nland = \"0.060\"\n", map[string]float64{
			"mismatch": 0.0005, "allowance": 0.00041, "missing": 0.00009, "handbook_allowance": 0.00041, "c1": 0.0002, "c2": 0.0002, "land": 0.04645,
		}},
	} {
		l, err := ledger.Load(source.Map(map[string]string{ledger.ConfigName: "units = \"in\"\n", "p.md": part, "f.md": fixture + c.second + "+++\n"}))
		require.NoError(t, err)
		res, err := lint.Run(l, study.New(l, asOf), []*lint.Rule{locatorsBind}, lint.Options{})
		require.NoError(t, err)
		require.Len(t, res.Findings, 1, c.name)
		got := map[string]float64{}
		for _, n := range res.Findings[0].Numbers {
			assert.Equal(t, "in", n.Q.Unit().Name())
			got[n.Name] = n.Q.FloatIn(n.Q.Unit())
		}
		for name, want := range c.want {
			assert.InDelta(t, want, got[name], 1e-7, "%s: %s", c.name, name)
		}
	}
}
