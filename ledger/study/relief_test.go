package study_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/locate"
	"tenths/ledger/study"
)

// TestLocatingCures checks each cure by making it.
func TestLocatingCures(t *testing.T) {
	holes := [2]string{"at = [0, 0]\nsize = \"0.1875 +0.0005/-0\"", "at = [\"2.4000 ±0.0005\", 0]\nsize = \"0.1875 +0.0005/-0\""}
	first := "type = \"round pin\"\nsize = \"0.1873\""
	bad := twoPins(t, "in", holes[0], holes[1], first, first)
	require.False(t, bad.Worst.GoesOn)
	assert.InDelta(t, 0.0003, bad.Missing/inch, 1e-9)
	// w = (D² - d²)/(4e) - e with e = 0.0005 - 0.0001, in inches.
	e := 0.0004
	assert.InDelta(t, (0.1875*0.1875-0.1873*0.1873)/(4*e)-e, bad.Land/inch, 1e-9)
	assert.InDelta(t, 0.1875*0.0002/(2*e), bad.HandbookLand/inch, 1e-9)
	assert.True(t, bad.LandLasts())
	land := func(w float64) *study.Locating {
		return twoPins(t, "in", holes[0], holes[1], first, fmt.Sprintf("type = \"relieved pin\"\nsize = \"0.1873\"\nland = \"%.5f\"", w/inch))
	}
	assert.True(t, land(bad.Land-0.001).Worst.GoesOn)
	assert.False(t, land(bad.Land+0.001).Worst.GoesOn)
	assert.False(t, land(bad.HandbookLand).Worst.GoesOn, "the handbook's land is too wide")
	// A pin that may be rounded down to tenths, with the land that goes with it.
	smaller := twoPins(t, "in", holes[0], holes[1], first, fmt.Sprintf("type = \"relieved pin\"\nsize = \"%.4f\"\nland = \"%.6f\"", bad.SmallerPin/inch, bad.SmallerLand/inch-1e-6))
	assert.True(t, smaller.Worst.GoesOn)
	round := twoPins(t, "in", holes[0], holes[1], first, fmt.Sprintf("type = \"round pin\"\nsize = \"%.4f\"", bad.RoundPin/inch))
	assert.True(t, round.Worst.GoesOn)
	assert.InDelta(t, 0.1867, bad.RoundPin/inch, 1e-9, "0.1875 - 2·0.0004")
	// Turned the wrong way it is as if it were round; turned back it goes on.
	turned := twoPins(t, "in", holes[0], holes[1], first, "type = \"relieved pin\"\nsize = \"0.1873\"\nland = \"0.040\"\nrelieved_along = \"90 deg\"")
	assert.InDelta(t, 90, turned.Pins[1].Turn, 1e-9)
	assert.False(t, turned.Worst.GoesOn)
	assert.True(t, turned.Straight)
	assert.InDelta(t, 0.0001, turned.Worst.Reach[1]/inch, 1e-9)
	assert.InDelta(t, turned.Pins[1].Relief.RightAlong, turned.Pins[1].Relief.Across, 1e-9)
	assert.InDelta(t, turned.Pins[1].Relief.RightAcross, turned.Pins[1].Relief.Along, 1e-9)
}

// TestReliefDirection reads the direction in words and as an angle from the
// part's x axis. The second hole stands at 45 deg from the first.
func TestReliefDirection(t *testing.T) {
	for _, c := range []struct {
		along string
		turn  float64
	}{
		{"line to P1", 0}, {"line", 0}, {"across the line to P1", 90}, {"across it", 90},
		{"45 deg", 0}, {"225 deg", 0}, {"-135", 0}, {"135 deg", 90}, {"0 deg", 45}, {"90 deg", 45}, {"35 deg", 10}, {"56 deg", 11}, {"170", 55},
	} {
		l := twoPins(t, "in", "at = [0, 0]\nsize = \"0.1875\"", "at = [2, 2]\nsize = \"0.1875\"",
			"type = \"round pin\"\nsize = \"0.1873\"", "type = \"relieved pin\"\nsize = \"0.1873\"\nland = \"0.045\"\nrelieved_along = \""+c.along+"\"")
		require.Empty(t, l.Skip, c.along)
		assert.True(t, l.Pins[1].TurnKnown)
		assert.InDelta(t, c.turn, l.Pins[1].Turn, 1e-9, c.along)
	}
	l := twoPins(t, "in", "at = [0, 0]\nsize = \"0.1875\"", "at = [2, 2]\nsize = \"0.1875\"",
		"type = \"round pin\"\nsize = \"0.1873\"", "type = \"relieved pin\"\nsize = \"0.1873\"\nland = \"0.045\"\nrelieved_along = \"sideways\"")
	assert.Contains(t, l.Skip, `"sideways" gives no direction`)
	assert.False(t, l.Pins[1].TurnKnown)
}

// TestReliefTurnKeepsItsSign mirrors a station about the line of its pins: the
// movement of a mirrored point in the mirrored direction must be the same.
func TestReliefTurnKeepsItsSign(t *testing.T) {
	play := func(deg string, y float64) (plus, minus float64) {
		l := twoPins(t, "in", "at = [0, 0]\nsize = \"0.1880\"", "at = [2.4, 0]\nsize = \"0.1880\"",
			"type = \"round pin\"\nsize = \"0.1873\"", "type = \"relieved pin\"\nsize = \"0.1873\"\nland = \"0.030\"\nrelieved_along = \""+deg+"\"")
		require.Empty(t, l.Skip)
		plus, minus, err := l.Looseness([2]float64{2.4 * inch, y * inch}, [2]float64{1, math.Copysign(1, y)})
		require.NoError(t, err)
		return plus, minus
	}
	p1, m1 := play("30 deg", 1)
	// The same fed to calc/locate by hand, the angle from the part's x axis.
	pins := [2]locate.Pin{{D: 0.1873 * inch}, {X: 2.4 * inch, D: 0.1873 * inch, Kind: locate.Relieved, Land: 0.030 * inch, ReliefAxis: math.Pi / 6}}
	plus, minus, err := locate.Play(pins, [2]locate.Hole{{D: 0.1880 * inch}, {X: 2.4 * inch, D: 0.1880 * inch}}, [2]float64{2.4 * inch, inch}, [2]float64{1, 1})
	require.NoError(t, err)
	assert.InDelta(t, plus, p1, 1e-7)
	assert.InDelta(t, minus, m1, 1e-7)
	p2, m2 := play("-30 deg", -1)
	assert.InDelta(t, p1, p2, 1e-7)
	assert.InDelta(t, m1, m2, 1e-7)
	p3, m3 := play("-30 deg", 1)
	assert.Greater(t, math.Abs(p3-p1)+math.Abs(m3-m1), 1e-4, "the other turn is another station")
}
