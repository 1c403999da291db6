package study_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"tenths/calc/stats"
	"tenths/ledger/study"
)

// marked are readings of pieces with marks: "7 3.5" is 3.5 tenths on piece 7.
func marked(pieces ...string) string {
	out := "gauge = \"G4\"\ndeviation_in = \"tenths\"\n"
	for _, p := range pieces {
		mark, values, _ := strings.Cut(p, " ")
		out += "[[reading]]\npiece = \"" + mark + "\"\nvalues = \"" + values + "\"\n"
	}
	return out
}

// TestPairs: the same pieces measured twice are compared by their differences,
// matched by their marks in any order, or by their order without marks. The
// interval is Student's, by gonum.
func TestPairs(t *testing.T) {
	const paired = pair + "paired = true\ncharacteristic = \"A-01/KC-4\"\n"
	before := inspection("B", "2024-10-05", "KC-4", marked("1 12", "2 31", "3 22", "4 45", "5 18"))
	after := inspection("A", "2024-10-16", "KC-4", marked("5 16", "4 41", "3 20", "2 27", "1 9"))
	d := []float64{-3, -4, -2, -4, -2}
	mean, sd := stat.MeanStdDev(d, nil)
	half := distuv.StudentsT{Sigma: 1, Nu: 4}.Quantile(0.975) * sd / math.Sqrt(5)
	for name, in := range map[string][2]string{
		"marks":       {before, after},
		"no marks":    {inspection("B", "2024-10-05", "KC-4", tenthsBy("G4", "12 31 22 45 18")), inspection("A", "2024-10-16", "KC-4", tenthsBy("G4", "9 27 20 41 16"))},
		"one left":    {before, inspection("A", "2024-10-16", "KC-4", marked("5 16", "4 41", "9 -80", "3 20", "2 27", "1 9"))},
		"one void":    {before + "[[reading]]\npiece = \"1\"\nvalues = \"99\"\nstate = \"void\"\n", after},
		"without one": {inspection("B", "2024-10-05", "KC-4", marked("1 12", "2 31", "3 22", "4 45", "5 18", "6 70")), after},
	} {
		e := evidence(t, "2025-11-25", paired, in[0], in[1])[0]
		require.Empty(t, e.Problem, name)
		assert.True(t, e.C.Paired, name)
		assert.InDelta(t, mean, e.C.Difference, 1e-9, name)
		assert.InDelta(t, mean-half, e.C.Low, 1e-9, name)
		assert.InDelta(t, mean+half, e.C.High, 1e-9, name)
		assert.Equal(t, study.Better, e.Effect, name)
		want := 0
		if name == "one left" || name == "without one" {
			want = 1
		}
		assert.Equal(t, want, e.Unpaired, name)
	}
	unpaired := evidence(t, "2025-11-25", pair+"characteristic = \"A-01/KC-4\"\n", before, after)[0]
	assert.Equal(t, study.NotShown, unpaired.Effect, "what differs from piece to piece hides it")

	for says, in := range map[string][2]string{
		"there are 2 before and 3 after": {inspection("B", "2024-10-05", "KC-4", tenthsBy("G4", "1 2")), inspection("A", "2024-10-16", "KC-4", tenthsBy("G4", "1 2 3"))},
		"piece 2 stands there twice":     {before, inspection("A", "2024-10-16", "KC-4", marked("1 2", "2 3", "2 4"))},
		"no mark of a piece":             {before, inspection("A", "2024-10-16", "KC-4", marked("7 2", "8 3"))},
	} {
		assert.Contains(t, evidence(t, "2025-11-25", paired, in[0], in[1])[0].Problem, says)
	}
}

// TestPairsOfPoints: a reading that one side lacks leaves that point of that piece
// out, and nothing else moves.
func TestPairsOfPoints(t *testing.T) {
	b := inspection("B", "2024-03-09", "KC-1", marked("1 10 1 0 0 0 0", "2 30 2 0 0 0 0", "3 50 3 0 0 0 0", "4 70 4 0 0 0 0"))
	a := inspection("A", "2024-03-13", "KC-1", marked("4 64", "3 45 3 0 0 0 0", "2 25 2 0 0 0 0", "1 4 1 0 0 0 0"))
	e := evidence(t, "2025-11-25", pair+"paired = true\ncharacteristic = \"A-01/KC-1\"\n", b, a)[0]
	require.Empty(t, e.Problem)
	assert.InDelta(t, -5.5, e.Points[0].C.Difference, 1e-9, "-6 -5 -5 -6")
	assert.Equal(t, []float64{1, 2, 3}, e.Points[1].Before, "piece 4 has no reading at K2 after")
	assert.Equal(t, []float64{1, 2, 3}, e.Points[1].After)
}

// TestPairsReach: of pairs, the spread is that of the differences, and the number
// needed that of pairs (gonum's noncentral t).
func TestPairsReach(t *testing.T) {
	s := testShop(t, "2025-11-25", "changes/CH-05.md", `before = "IN-05B"`, "before = \"IN-05B\"\npaired = true")
	r := s.Reach(firstEvidence(t, s, "CH-05"))
	assert.Equal(t, stats.Pairs, r.Plan)
	_, sd := stat.MeanStdDev([]float64{-1, 0, -3, -1}, nil) // 3 6 6 5, then 2 6 3 4
	assert.InDelta(t, sd, r.SD, 1e-9)
	assert.Equal(t, 4, r.N)
	shown := func(n int, shift float64) float64 {
		crit := distuv.StudentsT{Sigma: 1, Nu: float64(n - 1)}.Quantile(0.975)
		d := distuv.NoncentralT{Nu: float64(n - 1), Mu: shift / r.SD * math.Sqrt(float64(n))}
		return 1 - d.CDF(crit) + d.CDF(-crit)
	}
	assert.InDelta(t, 0.80, shown(4, r.Sees), 1e-7)
	assert.GreaterOrEqual(t, shown(r.Need, r.Want), 0.80)
	assert.Less(t, shown(r.Need-1, r.Want), 0.80)
}

// TestTouchEvidence: grades by touch on both sides are compared by their order,
// exactly; the share felt alone would not show that no nail is caught any more.
func TestTouchEvidence(t *testing.T) {
	for _, c := range []struct {
		name, before, after string
		effect              study.Effect
	}{
		{"3 of 20 felt", "1 2 0 1 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0", "0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0", study.NotShown},
		{"no nail any more", "2 2 2 2 2 2", "1 1 1 1 1 1", study.Better},
		{"felt now", "0 0 0 0 0 1", "1 2 1 2 1 1", study.Worse},
		{"three and three", "2 2 2", "0 0 0", study.TooFew},
	} {
		e := evidence(t, "2025-11-25", pair+"characteristic = \"A-01/seat\"\n", inspection("B", "2024-10-05", "seat", "touch = \""+c.before+"\""), inspection("A", "2024-10-16", "seat", "touch = \""+c.after+"\""))[0]
		require.Empty(t, e.Problem, c.name)
		require.NotNil(t, e.Touch, c.name)
		assert.Equal(t, c.effect, e.Effect, c.name)
	}
	// Newcombe's printed example, 48 of 80 and 56 of 70: 5.24 % to 33.39 % (from
	// memory).
	e := evidence(t, "2025-11-25", pair+"characteristic = \"A-01/seat\"\n", inspection("B", "2024-10-05", "seat", "count = \"48 of 80\""), inspection("A", "2024-10-16", "seat", "count = \"56 of 70\""))[0]
	assert.InDelta(t, 0.20, e.ShareChange, 1e-9)
	assert.InDelta(t, 0.0524, e.ShareIn.Low, 6e-5)
	assert.InDelta(t, 0.3339, e.ShareIn.High, 6e-5)
}
