//go:build unix

package capture

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/study"
)

const seamPart = `+++
kind = "part"
id = "A-01"
title = "Body"
units = "in"

[[characteristic]]
id = "KC-1"
type = "step"
limits = "0 ±0.0010"

[[characteristic.point]]
id = "K1"

[[characteristic.point]]
id = "K2"

[[characteristic]]
id = "MM"
type = "size"
limits = "4 mm H7"

[[characteristic]]
id = "WIDTH"
type = "size"
limits = "2.0000 ±0.0010"
+++
`

// TestWhatALineMeans checks full values that can be added up by hand: 1 tenth is
// 0.0001 in and 1 in is 25.4 mm exactly (NIST Special Publication 811, appendix B).
// That a sign makes a deviation is common practice of the trade.
func TestWhatALineMeans(t *testing.T) {
	for _, c := range []struct{ line, values, unit string }{
		{"P-10/WIDTH +3 -1 +2.5", "1.5003 1.4999 1.50025", "in"},
		{"P-10/WIDTH +3, 0, -1", "1.5003 1.5000 1.4999", "in"},
		{"P-10/WIDTH 1.5003 1.50000", "1.5003 1.50000", "in"}, // a trailing zero states the resolution
		{"P-10/WIDTH +0.3 -0.1 thou", "1.5003 1.4999", "in"},
		{"P-10/WIDTH +0.3thou", "1.5003", "in"},
		{"P-10/WIDTH +0.0003", "1.5003", "in"},
		{"P-10/WIDTH 38.1 mm", "38.1", "mm"},
		{"KC-1 +3 -1", "0.0003 -0.0001", "in"},
		{"KC-1 3 1", "0.0003 0.0001", "in"},
		{"KC-1 0.0003 -0.0001", "0.0003 -0.0001", "in"},
		{"KC-1 K2=+3", "0.0003", "in"},
		{"kc-1/k2 +3 -1 +2", "0.0003 -0.0001 0.0002", "in"},
		{"MM 4.003 4.010", "4.003 4.010", "mm"},
		{"MM +3 +10", "4.003 4.010", "mm"}, // um in a metric part
	} {
		root := shop(t, map[string]string{"parts/A-01.md": seamPart})
		k, err := Record(root, open(root), Ask{Words: strings.Fields(c.line), On: day, By: "owner"})
		require.NoError(t, err, c.line)
		require.False(t, k.Unsorted, "%s: %s", c.line, k.Why)
		var got []string
		for _, v := range k.Values {
			assert.Equal(t, c.unit, v.Full.Unit().Name(), c.line)
			got = append(got, v.Full.Plain())
		}
		assert.Equal(t, c.values, strings.Join(got, " "), c.line)
		assert.Empty(t, open(root).L.Problems, c.line)
	}
}

// TestWhatIsNoReading keeps each line as typed, says why, and loses nothing of it.
func TestWhatIsNoReading(t *testing.T) {
	root := shop(t, map[string]string{"parts/A-01.md": seamPart})
	for i, c := range []struct{ line, why, near string }{
		{"WIDTH +3", "WIDTH may be A-01/WIDTH or P-10/WIDTH", "A-01/WIDTH"},
		{"KC-1/K3 +3", "no point K3", "A-01/KC-1/K1"},
		{"P-10/WIDTH", "no reading in it", ""},
		{"P-10/WIDTH 1.5003 +2", "some of the values are full sizes", ""},
		{"P-10/WIDTH +3 thou -1 tenths", "two units", ""},
		{"KC-1 +1 +2 +3", "3 readings do not divide over 2 points", ""},
		{"P-10/WIDTH 21 of 20", "counts more than there are", ""},
		{"P-10/WIDTH \x1b[2J\"+3\\", "no reading", ""},
	} {
		k, err := Record(root, open(root), Ask{Words: []string{c.line}, On: day, By: "owner"})
		require.NoError(t, err)
		require.True(t, k.Unsorted, c.line)
		assert.Contains(t, k.Why, c.why, c.line)
		assert.Equal(t, c.near, k.Near, c.line)
		s := open(root)
		require.Empty(t, s.L.Problems)
		waiting := Unsorted(s)
		require.Len(t, waiting, i+1)
		assert.Equal(t, ledger.Printable(c.line), waiting[i].Line.Line.S)
	}
}

// TestTheLastOneMeasured takes an id that two parts have for the one that was
// measured last, and says so.
func TestTheLastOneMeasured(t *testing.T) {
	root := shop(t, map[string]string{"parts/A-01.md": seamPart})
	for _, line := range []string{"P-10/WIDTH +1", "WIDTH +2"} {
		k, err := Record(root, open(root), Ask{Words: strings.Fields(line), On: day, By: "owner"})
		require.NoError(t, err)
		assert.Equal(t, "P-10/WIDTH", k.Path)
		if line == "WIDTH +2" {
			assert.Equal(t, []string{"WIDTH is also A-01/WIDTH; taken as P-10/WIDTH, measured last"}, k.Remarks)
		}
	}
}

// TestNotesAndOtherBytesStay types into a file that people have written in, with
// the line ends of another system: every line of it stays as it was.
func TestNotesAndOtherBytesStay(t *testing.T) {
	root := shop(t, nil)
	_, err := Record(root, open(root), Ask{Words: []string{"WIDTH", "+1"}, On: day, By: "owner"})
	require.NoError(t, err)
	name := filepath.Join(root, Folder, "2026", "2026-11-25-owner.md")
	text, err := os.ReadFile(name)
	require.NoError(t, err)
	byHand := strings.ReplaceAll(strings.Replace(string(text), "by = ", "# mine\nby = ", 1)+"Coolant was low.", "\n", "\r\n")
	require.NoError(t, os.WriteFile(name, []byte(byHand), 0o644))
	_, err = Record(root, open(root), Ask{Words: []string{"WIDTH", "+2"}, On: day, By: "owner"})
	require.NoError(t, err)
	now, err := os.ReadFile(name)
	require.NoError(t, err)
	added := strings.Replace(string(now), "\r\n[[entry.reading]]\r\npiece = \"2\"\r\nvalues = \"+2\"\r\n", "", 1)
	assert.Equal(t, byHand, added)
}

// TestEvidenceSeesWhatWasTyped gives a change the sets as before and after, one of
// them corrected as a whole, and one with a corrected piece.
func TestEvidenceSeesWhatWasTyped(t *testing.T) {
	root := shop(t, map[string]string{"changes/CH-1.md": `+++
kind = "change"
id = "CH-1"
title = "Cutter changed"
state = "done"
opened = 2026-11-25
done = 2026-11-26
characteristic = "P-10/WIDTH"
factor = "cutter"
before = "R-2026-11-25-owner.1"
after = "R-2026-11-27-owner.1"
+++
`})
	record := func(on int, line string, a Ask) *Kept {
		a.Words, a.On, a.By = strings.Fields(line), day.AddDate(0, 0, on), "owner"
		k, err := Record(root, open(root), a)
		require.NoError(t, err)
		require.False(t, k.Unsorted, k.Why)
		return k
	}
	record(0, "WIDTH +3 +4 +90", Ask{})
	record(0, "WIDTH +5", Ask{Corrects: "R-2026-11-25-owner.1/3", Why: "a digit too many"})
	record(2, "WIDTH +7 +7 +7", Ask{})
	fixed := record(2, "WIDTH 0 +1 -1", Ask{Corrects: "R-2026-11-27-owner.1", Why: "read on the wrong side"})
	s := study.New(open(root).L, day.AddDate(0, 0, 10))
	ev := s.Evidence(s.L.Record("CH-1"))
	require.Len(t, ev, 1)
	assert.Equal(t, [][]float64{{3}, {4}, {5}}, ev[0].Before.Pieces)
	assert.Equal(t, [][]float64{{0}, {1}, {-1}}, ev[0].After.Pieces)
	assert.Equal(t, fixed.ID, s.L.Corrected("R-2026-11-27-owner.1").ID())
	assert.Equal(t, "superseded", s.L.Record("R-2026-11-27-owner.1").State())
}
