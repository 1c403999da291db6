package ledger

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPlacesInSpace reads places of two and three numbers, and forces with
// their unit.
func TestPlacesInSpace(t *testing.T) {
	station := func(more string) *Ledger {
		return load(t, map[string]string{"f.md": "+++\nkind = \"fixture\"\nid = \"FX1\"\ntitle = \"t\"\nunits = \"mm\"\n[[station]]\nid = \"A\"\n" + more + "+++\n"})
	}
	l := station("[[station.locator]]\nid = \"R1\"\ntype = \"rest\"\nat = [1.5, 2, \"0.1 in\"]\npushes = [0, 0, 1]\n" +
		"[[station.locator]]\nid = \"S1\"\ntype = \"stop\"\nat = [3, 4]\npushes = [-1, 0]\n" +
		"[[station.clamp]]\nid = \"C1\"\nat = [0, 0, 8]\nforce = \"300 lbf\"\n" +
		"[[station.load]]\nid = \"DRILL\"\nat = [0, 0, 8]\npushes = [0, 0, -1]\nforce = \"500 N\"\ntorque = \"1.5 N*m\"\n")
	require.Empty(t, listed(l))
	for path, want := range map[string]float64{
		"FX1/A/R1/at/z": 2.54, "FX1/A/R1/at/x": 1.5, "FX1/A/S1/pushes/x": -1, "FX1/A/C1/force": 300 * 4.4482216152605, "FX1/A/DRILL/torque": 1500,
	} {
		size, _, err := l.ValueOn(path, time.Time{})
		require.NoError(t, err, path)
		assert.InDelta(t, want, size.Nominal().Float(), 1e-9, path)
	}
	_, err := l.Find("FX1/A/S1/at/z")
	assert.Error(t, err, "there is no third number")
	var keys []string
	for _, s := range l.Record("FX1").Sizes() {
		keys = append(keys, s.Key)
	}
	assert.Equal(t, 3+3+2+2+3+1+3+3+1+1, len(keys))

	for text, says := range map[string]string{
		"[[station.clamp]]\nid = \"C1\"\nforce = 1200\n":                                                                   "force",
		"[[station.load]]\nid = \"L\"\ntorque = \"5 N\"\n":                                                                 "torque: 5 N is a force",
		"[[station.clamp]]\nid = \"C1\"\nat = [1]\n":                                                                       "at: a list is not [x, y] or [x, y, z]",
		"[[station.locator]]\nid = \"P\"\ntype = \"stop\"\n[[station.locator.survey]]\non = 2024-01-01\noff = [1, 2, 3]\n": "off: a list is not a pair",
	} {
		l := station(text)
		require.Len(t, l.Problems, 1, text)
		assert.Contains(t, l.Problems[0].Msg, says)
	}
}
