package study_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"tenths/ledger/study"
)

// twoPoints is a characteristic of two points, each judged by itself.
const twoPoints = `kind = "part"
id = "P-20"
title = "Plate (invented)"
[[characteristic]]
id = "KC-2"
title = "Step"
limits = "0 ±0.0010"
goal = "0 ±0.0005"
[[characteristic.point]]
id = "K1"
[[characteristic.point]]
id = "K2"
`

// atPoints compares readings in tenths, a row a piece.
func atPoints(t *testing.T, change string, before, after [][]float64) *study.Evidence {
	group := func(id, day string, rows [][]float64) string {
		return fmt.Sprintf("kind = \"inspection\"\ntitle = \"readings\"\nid = %q\non = %s\npart = \"P-20\"\ncharacteristic = \"P-20/KC-2\"\n%s", id, day, seam(rows))
	}
	l := loadTexts(t, map[string]string{
		"p.md": twoPoints, "g.md": evidenceParts["gauges/G4.md"], "b.md": group("B", "2024-05-01", before), "a.md": group("A", "2024-06-01", after),
		"c.md": "kind = \"change\"\nid = \"CH\"\ntitle = \"change\"\nstate = \"done\"\n" + pair + change,
	})
	return study.New(l, on(t, "2025-11-25")).Evidence(l.Record("CH"))[0]
}

// rows puts the readings of two points into pieces.
func rows(k1, k2 []float64) [][]float64 {
	var out [][]float64
	for i := range k1 {
		out = append(out, []float64{k1[i], k2[i]})
	}
	return out
}

// TestEachPoint: what cancels in a mean of points does not pass. +20 at K1 and
// -20 at K2 of every piece have the mean 0; all eight readings are outside.
func TestEachPoint(t *testing.T) {
	far := func(by float64) []float64 { return []float64{by, by + 1, by - 1, by + .5} }
	for _, c := range []struct {
		name                         string
		change                       string
		before, after                [][]float64
		effect                       study.Effect
		outsideLimits, outsideGoal   int
		better1, worse1, b2, worse2  bool
		beforeOutside, afterReadings int
	}{
		{"cancels in the mean", "", rows(far(30), far(-2)), rows(far(20), far(-20)), study.NotShown, 8, 8, true, false, false, true, 4, 8},
		{"as far as before", "", rows(far(20), far(-20)), rows(far(20), far(-20)), study.NotShown, 8, 8, false, false, false, false, 8, 8},
		{"one better, the other as before", "", rows(far(20), far(3)), rows(far(2), far(3)), study.Better, 0, 0, true, false, false, false, 4, 8},
		{"one worse, the other as before", "", rows(far(2), far(3)), rows(far(20), far(3)), study.Worse, 4, 4, false, true, false, false, 0, 8},
		{"both better", "", rows(far(20), far(-20)), rows(far(2), far(-2)), study.Better, 0, 0, true, false, true, false, 8, 8},
		{"the other side, hardly nearer", "", rows(far(8), far(3)), rows(far(-7.5), far(3)), study.NotShown, 0, 4, false, false, false, false, 0, 8},
		{"too few", "", rows([]float64{20}, []float64{3}), rows([]float64{2}, []float64{3}), study.TooFew, 0, 0, false, false, false, false, 1, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := atPoints(t, c.change, c.before, c.after)
			require.Empty(t, e.Problem)
			assert.True(t, e.PerPoint)
			assert.Empty(t, e.Before.Judged, "no number stands for a piece")
			assert.Zero(t, e.C.Before.N, "no comparison of means of points")
			assert.Equal(t, c.effect, e.Effect)
			assert.Equal(t, [2]int{c.outsideLimits, c.outsideGoal}, [2]int{e.OutsideLimits, e.OutsideGoal})
			limits, _, _ := e.Outside(e.Before)
			_, _, n := e.Outside(e.After)
			assert.Equal(t, [2]int{c.beforeOutside, c.afterReadings}, [2]int{limits, n})
			require.Len(t, e.Points, 2)
			assert.Equal(t, [4]bool{c.better1, c.worse1, c.b2, c.worse2}, [4]bool{e.Points[0].Better, e.Points[0].Worse, e.Points[1].Better, e.Points[1].Worse})
		})
	}
}

// TestOnePointNamed: a point named beforehand is judged alone, by one number a
// piece.
func TestOnePointNamed(t *testing.T) {
	e := atPoints(t, "points = [\"K1\"]\n", rows([]float64{20, 21, 19}, []float64{2, 3, 1}), rows([]float64{2, 3, 1}, []float64{20, 21, 19}))
	assert.False(t, e.PerPoint)
	assert.Equal(t, study.Better, e.Effect)
	assert.InDeltaSlice(t, []float64{2, 3, 1}, e.After.Judged, 1e-9)
}

// TestSharedLevel: with two points each is held to 1 - 0.05/2 (Bonferroni's
// inequality, NIST/SEMATECH e-Handbook 7.4.7.3). The readings at K1 stand out at
// 95 % and not at 97.5 %, by Welch's interval with gonum's distribution.
func TestSharedLevel(t *testing.T) {
	b, a := []float64{9, 6, 8, 5}, []float64{4.5, 1.5, 5.5, 2.5}
	mb, sb := stat.MeanStdDev(b, nil)
	ma, sa := stat.MeanStdDev(a, nil)
	vb, va := sb*sb/4, sa*sa/4
	df := (vb + va) * (vb + va) / (vb*vb/3 + va*va/3)
	half := func(level float64) float64 {
		return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile((1+level)/2) * math.Sqrt(vb+va)
	}
	require.Greater(t, mb-ma, half(0.95))
	require.Less(t, mb-ma, half(0.975))
	same := []float64{3, 1, 2, 4}
	e := atPoints(t, "", rows(b, same), rows(a, same))
	assert.Equal(t, study.NotShown, e.Effect)
	assert.Equal(t, "shown", string(e.Points[0].C.Verdict), "alone it would be shown")
	alone := atPoints(t, "points = [\"K1\"]\n", rows(b, same), rows(a, same))
	assert.Equal(t, study.Better, alone.Effect)
}

// TestEachPointSpread: spreads are compared point by point too. The means of
// the points would have no spread at all before.
func TestEachPointSpread(t *testing.T) {
	wide := []float64{-9, 7, -5, 8, -7, 9, 0, 4, -4, 3}
	var other, narrow []float64
	for _, v := range wide {
		other, narrow = append(other, -v), append(narrow, v/10)
	}
	e := atPoints(t, "claim = \"spread\"\n", rows(wide, other), rows(narrow, other))
	require.Empty(t, e.Problem)
	_, sd := stat.MeanStdDev(wide, nil)
	assert.InDelta(t, sd, e.Points[0].Spread.Before.SD, 1e-9)
	assert.Equal(t, study.Better, e.Effect)
	assert.True(t, e.Points[0].Better)
	assert.False(t, e.Points[1].Better || e.Points[1].Worse)
	assert.Equal(t, study.Worse, atPoints(t, "claim = \"spread\"\n", rows(narrow, other), rows(wide, other)).Effect)
}

// TestNoCommonPoint: readings at other points are no comparison.
func TestNoCommonPoint(t *testing.T) {
	in := func(id, day, points, values string) string {
		return fmt.Sprintf("kind = \"inspection\"\ntitle = \"r\"\nid = %q\non = %s\ncharacteristic = \"P-20/KC-2\"\ngauge = \"G4\"\ndeviation_in = \"tenths\"\npoints = %s\n[[reading]]\nvalues = %q\n[[reading]]\nvalues = %q\n", id, day, points, values, values)
	}
	part := strings.Replace(twoPoints, "[[characteristic.point]]\nid = \"K2\"", "[[characteristic.point]]\nid = \"K2\"\n[[characteristic.point]]\nid = \"K3\"", 1)
	l := loadTexts(t, map[string]string{
		"p.md": part, "g.md": evidenceParts["gauges/G4.md"], "b.md": in("B", "2024-05-01", `["K1", "K2"]`, "20 20"), "a.md": in("A", "2024-06-01", `["K3"]`, "1"),
		"c.md": "kind = \"change\"\nid = \"CH\"\ntitle = \"change\"\nstate = \"done\"\n" + pair,
	})
	e := study.New(l, on(t, "2025-11-25")).Evidence(l.Record("CH"))[0]
	assert.Equal(t, "the readings before and after have no point in common", e.Problem)
	assert.Equal(t, study.Missing, e.Effect)
}

// TestEachPointProperty: whatever the readings, the count is that of the single
// readings, and no change is called better that has a point shown worse.
func TestEachPointProperty(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		tenth := rapid.Custom(func(r *rapid.T) float64 { return float64(rapid.IntRange(-60, 60).Draw(r, "half tenths")) / 2 })
		group := rapid.SliceOfN(rapid.SliceOfN(tenth, 2, 2), 2, 6)
		before, after := group.Draw(r, "before"), group.Draw(r, "after")
		e := atPoints(t, "", before, after)
		want := 0
		for _, row := range after {
			for _, v := range row {
				if math.Abs(v) > 10 {
					want++
				}
			}
		}
		if e.OutsideLimits != want {
			r.Fatalf("%d readings outside, counted %d", want, e.OutsideLimits)
		}
		for _, p := range e.Points {
			if p.Worse && e.Effect == study.Better {
				r.Fatalf("%s got worse, but the change is called better", p.Point)
			}
		}
	})
}
