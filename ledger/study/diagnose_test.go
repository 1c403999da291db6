package study_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger/study"
)

func diagnose(t *testing.T, s *study.Set, id string) *study.Diagnosis {
	t.Helper()
	rec := s.L.Record(id)
	require.NotNil(t, rec, id)
	d, err := s.Diagnose(rec)
	require.NoError(t, err)
	return d
}

// TestDiagnoseTheDemo: CH-01 of the demo shop, before and after (invented data:
// simulated apart from this code, fits and true values stated with it).
func TestDiagnoseTheDemo(t *testing.T) {
	s := demoOf(t, "focuser", "2025-11-25")
	stated := []float64{1.4, 1.3, 2.1, 0.3} // 1 s
	for _, c := range []struct {
		id         string
		fit, truth []float64
		shown      []bool
	}{
		{"IN-2024-03-09", []float64{6.2, -13.3, 18.3, 0.6}, []float64{7, -13, 18, 1}, []bool{true, true, true, false}},
		{"IN-2024-03-13", []float64{3.5, -2.1, -3.3, 1.4}, []float64{3.5, -3, 1, 1}, []bool{true, false, false, true}},
	} {
		d := diagnose(t, s, c.id)
		assert.Equal(t, 6, d.Pieces)
		assert.Empty(t, d.Cannot)
		for k, tr := range d.Traits {
			assert.InDelta(t, c.fit[k], tr.Value/tenthMM, 0.0501, "%s %s", c.id, tr.Name)
			assert.InDelta(t, stated[k], tr.Error/tenthMM, 0.25, "%s %s", c.id, tr.Name)
			// The stated truth lies inside 2.1 s; the turn after CH-01 is 2.05 off.
			assert.InDelta(t, c.truth[k], tr.Value/tenthMM, 2.1*stated[k])
			// Records and readings together come closer than either alone.
			assert.Less(t, tr.TrueSD, tr.Error)
			assert.InDelta(t, c.truth[k], tr.True/tenthMM, 2*tr.TrueSD/tenthMM, "%s %s", c.id, tr.Name)
			assert.Equal(t, c.shown[k], tr.Shown, "%s %s", c.id, tr.Name)
		}
	}

	// Before: station A, above all its first pin.
	d := diagnose(t, s, "IN-2024-03-09")
	require.NotNil(t, d.Main)
	assert.Equal(t, "dy", d.Main.Key)
	assert.Equal(t, "FX1/A/P1", d.Sources[d.Main.Suspects[0].Source].Name)
	assert.InDelta(t, -9, d.Main.Suspects[0].Adds/tenthMM, 1, "P1 stands 9 tenths too low")
	assert.Equal(t, study.CureStation, d.Cures[0].Kind)
	var kinds []study.CureKind
	for _, c := range d.Cures {
		kinds = append(kinds, c.Kind)
		if c.Kind == study.CureRebore {
			assert.Equal(t, "FX1/A", c.Side.Path())
			assert.Contains(t, c.Cautions, "Local codes and licensed practice decide")
		}
	}
	assert.Contains(t, kinds, study.CureRebore)
	assert.NotContains(t, kinds, study.CureRotation, "the control cannot turn a work offset")
	assert.Contains(t, strings.Join(d.Assumed, "\n"), "M1 does not say that its control can do that")

	// After: station B's shift in x, one offset, and the spread.
	d = diagnose(t, s, "IN-2024-03-13")
	require.NotNil(t, d.Main)
	assert.Equal(t, "dx", d.Main.Key)
	assert.Equal(t, 1, d.Main.Named)
	assert.Equal(t, "FX1/B/P1", d.Sources[d.Main.Suspects[0].Source].Name)
	assert.InDelta(t, 3, d.Main.Suspects[0].Adds/tenthMM, 0.5)
	first := d.Cures[0]
	assert.Equal(t, study.CureOffset, first.Kind)
	assert.Equal(t, "FX1/B", first.Side.Path())
	assert.InDeltaSlice(t, []float64{-3, 0}, tenthsOf(first.Move[:]...), 1e-9, "one offset of .0003 in x, to where the pin stands; y and turn are left alone")
	assert.InDelta(t, 1, d.Varies/d.Same, 0.25, "the spread matters as much as the position")
	fit := false
	for i, c := range d.Cures {
		if c.Kind == study.CureFit {
			fit = true
			assert.Less(t, i, 3)
			for _, other := range d.Cures {
				assert.GreaterOrEqual(t, c.Gain(), other.Gain(), "the fit of the holes gains most")
			}
		}
	}
	assert.True(t, fit)
	// The size may be of either part or of the gauge: that is said, with what
	// would tell.
	size := d.Traits[3]
	assert.GreaterOrEqual(t, size.Named, 2)
	assert.Len(t, size.Suspects[0].Alike, 1)
	trait, a, b := d.Rivals()
	require.NotNil(t, trait)
	assert.Equal(t, "size", trait.Key)
	assert.InDelta(t, a.Probability, b.Probability, 0.1)
	require.NotEmpty(t, d.Next)
	assert.True(t, d.Next[0].Tells)
	assert.Contains(t, d.Next[0].Do, "alone, each from its own locating holes")
}

// TestDiagnoseTheMetricDemo: the pin of M-01 that stood the wrong way round let
// the arm be pushed to one side; it shows as a step with little scatter.
func TestDiagnoseTheMetricDemo(t *testing.T) {
	s := demoOf(t, "instruments", "2025-11-25")
	d := diagnose(t, s, "IN-2024-05-06")
	assert.Contains(t, d.Cannot, "one point is too few")
	assert.Equal(t, []string{"E2"}, d.Unread)
	require.NotNil(t, d.Main)
	src := d.Sources[d.Main.Suspects[0].Source]
	assert.Equal(t, study.FromLoose, src.Kind)
	assert.Equal(t, "DV-11", src.Side.Part.ID())
	assert.Greater(t, src.ChangedP, 0.9)
	assert.Equal(t, study.CureTurnPin, d.Cures[0].Kind)
	assert.Contains(t, d.Cures[0].Do, "turn VX2/right/P2 by 90 deg")
	for _, c := range diagnose(t, s, "IN-2024-05-14").Cures {
		assert.NotEqual(t, study.CureTurnPin, c.Kind)
	}
}

// TestDiagnoseOnePoint: of one point nobody can tell shift from turn, but its
// step has sources all the same; and of nothing nothing is made.
func TestDiagnoseOnePoint(t *testing.T) {
	s := demoOf(t, "focuser", "2025-11-25")
	d := diagnose(t, s, "IN-2024-10-05")
	require.NotNil(t, d.Main)
	assert.Equal(t, "K4", d.Main.Key)
	assert.Equal(t, "FX1/B/P1", d.Sources[d.Main.Suspects[0].Source].Name)
	assert.InDeltaSlice(t, []float64{-3, 0}, tenthsOf(d.Cures[0].Move[:]...), 1e-9)
	d = diagnose(t, s, "IN-2024-05-15") // K3: -1.7, 1.8 s
	assert.Nil(t, d.Main)
	assert.Empty(t, d.Traits[0].Suspects, "nothing is named inside 2 s")
	assert.Empty(t, d.Next)
	assert.Equal(t, 13, d.ShowsFrom(d.Traits[0]), "10 assemblies, 2·0.96/1.70 squared")
	d = diagnose(t, s, "IN-2024-10-16")
	assert.True(t, d.GoodEnough)
	assert.False(t, diagnose(t, s, "IN-2024-10-05").GoodEnough)
}

// TestDiagnoseErrors: what cannot be diagnosed is said.
func TestDiagnoseErrors(t *testing.T) {
	s := demoOf(t, "focuser", "2025-11-25")
	for id, want := range map[string]string{
		"G5":            "G5 is no inspection",
		"IN-OLD-1":      "IN-OLD-1 has no day",
		"IN-2024-05-16": "P-10/HOLE does not say which part stands out",
	} {
		_, err := s.Diagnose(s.L.Record(id))
		assert.ErrorContains(t, err, want)
	}
}

// TestDiagnoseRotation: where the control can turn a work offset, that is a cure
// for a turn; its size and way are those that undo it.
func TestDiagnoseRotation(t *testing.T) {
	s := demoWith(t, "focuser", "2025-11-25", "machines/M1.md", "can_rotate = false", "can_rotate = true")
	d := diagnose(t, s, "IN-2024-03-09")
	found := false
	for _, c := range d.Cures {
		if c.Kind != study.CureRotation {
			continue
		}
		found = true
		assert.Equal(t, "FX1/A", c.Side.Path())
		// A's pins stand 16 tenths askew over the pitch: the axes must be turned so.
		assert.InDelta(t, 16, c.Turn/tenthMM, 1)
		assert.InDeltaSlice(t, []float64{4, -9}, tenthsOf(c.Move[:]...), 1e-9)
		for _, other := range d.Cures {
			if other.Kind == study.CureRebore {
				assert.InDelta(t, other.After, c.After, 0.1*tenthMM, "as good as re-boring")
			}
		}
		// Laid over the records it takes the turn out.
		o, err := s.Seam("A-01/KC-1", d.Day, study.SeamPlan{Side: func(side *study.SeamSide) {
			if side.Path() == "FX1/A" {
				side.Shift, side.Turn = c.Move, c.Turn/d.Seam.Pitch()
			}
		}})
		require.NoError(t, err)
		f := o.Forecast.Pattern
		assert.InDeltaSlice(t, []float64{3, -4, 2}, tenthsOf(f.DX, f.DY, f.Turn*o.Pitch()), 0.5, "what is left is B's")
	}
	assert.True(t, found)
}

// TestMovesUndoWhatIsShown: each offset and turn that is proposed, laid over the
// records, makes the step smaller, whichever part it is for and which way up it
// lies.
func TestMovesUndoWhatIsShown(t *testing.T) {
	offsets, turns := 0, 0
	for _, down := range []string{"", "A", "B"} {
		for _, id := range []string{"IN-2024-03-09", "IN-2024-03-13"} {
			replace := []string{"machines/M1.md", "can_rotate = false", "can_rotate = true"}
			if down != "" {
				part := map[string]string{"A": "P-10", "B": "P-20"}[down]
				title := map[string]string{"A": "plate", "B": "cap"}[down]
				head := fmt.Sprintf("id = %q\ntitle = \"%s profile\"\npart = %q\nface = ", down, title, part)
				replace = append(replace, "fixtures/FX1.md", head+"\"outside up\"", head+"\"outside down\"")
			}
			s := demoWith(t, "focuser", "2025-11-25", replace...)
			d := diagnose(t, s, id)
			before, err := s.Seam("A-01/KC-1", d.Day)
			require.NoError(t, err)
			for _, c := range d.Cures {
				if c.Kind != study.CureOffset && c.Kind != study.CureRotation {
					continue
				}
				after, err := s.Seam("A-01/KC-1", d.Day, study.SeamPlan{Side: func(side *study.SeamSide) {
					if side.Path() == c.Side.Path() {
						side.Shift, side.Turn = c.Move, c.Turn/d.Seam.Pitch()
					}
				}})
				require.NoError(t, err)
				b, a := before.Forecast.Pattern, after.Forecast.Pattern
				got := []float64{a.DX - b.DX, a.DY - b.DY, (a.Turn - b.Turn) * d.Seam.Pitch()}
				for k, tr := range d.Traits[:3] {
					if k < 2 && c.Move[k] != 0 {
						offsets++
						assert.InDelta(t, math.Abs(c.Move[k]), math.Abs(got[k]), 1e-9)
					} else if k == 2 && c.Turn != 0 {
						turns++
						assert.InDelta(t, math.Abs(c.Turn), math.Abs(got[k]), 1e-9)
					} else {
						continue
					}
					assert.True(t, tr.Shown)
					assert.Negative(t, got[k]*tr.Value, "%s down, %s: %s against %s", down, id, c.Do, tr.Name)
				}
			}
		}
	}
	assert.Greater(t, offsets, 5)
	assert.Greater(t, turns, 2)
}

// TestDiagnoseOneStation: parts that are cut on one station share its pins, which
// then explain nothing of their step.
func TestDiagnoseOneStation(t *testing.T) {
	s := demoWith(t, "focuser", "2025-11-25", "parts/A-01.md", "against = \"P-10\"", "against = \"P-10\"\ncut_on = [\"FX1/A\", \"FX1/A\"]")
	d := diagnose(t, s, "IN-2024-03-09")
	assert.True(t, d.Seam.OneStation())
	names := map[string]int{}
	for _, src := range d.Sources {
		names[src.Name]++
	}
	assert.Equal(t, 1, names["FX1/A/P1"], "one source for both parts")
	for _, tr := range d.Traits {
		for _, sp := range tr.Suspects {
			if d.Sources[sp.Source].Kind == study.FromPin {
				assert.Zero(t, sp.Probability, tr.Name)
			}
		}
	}
	for _, c := range d.Cures {
		assert.NotContains(t, []study.CureKind{study.CureOffset, study.CureStation, study.CureRotation, study.CureRebore}, c.Kind)
	}
	// With one of them on its face what is sideways doubles: -9 of P1 makes 18.
	o, err := s.Seam("A-01/KC-1", d.Day, study.SeamPlan{Side: func(side *study.SeamSide) {
		side.FaceDown = side.Part.ID() == "P-20"
	}})
	require.NoError(t, err)
	assert.InDelta(t, 15.3, math.Abs(o.Forecast.Points[1].Mean)/tenthMM, 0.0501, "demo data: K2 7.7 -> 15.3 with one part flipped")
	assert.InDelta(t, 0, o.Forecast.Points[3].Mean, 1e-12)
}
