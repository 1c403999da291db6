package study_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/gaugestudy"
	"tenths/ledger"
	"tenths/ledger/study"
)

// The demo's finisher (invented data; figures of the demo, computed with R): .083 ±
// .012 of a tenth a part over the long life with half a thousandth near part 53, .111
// ± .041 over the short one.
func TestFinisherOfTheDemo(t *testing.T) {
	s := demoOf(t, "focuser", "2025-11-25")
	drifts := s.ToolDrifts(s.L.Record("T12"))
	require.Len(t, drifts, 1)
	d := drifts[0]
	assert.Equal(t, "WIDTH", d.Series.Char.ID.S)
	require.Len(t, d.Lives, 2)
	for i, want := range []struct{ slope, half, halfWay float64 }{{0.083, 0.012, 53}, {0.111, 0.041, 55}} {
		l := d.Lives[i].Drift
		assert.InDelta(t, want.slope, l.Slope, 5e-4)
		assert.InDelta(t, want.half, l.SlopeHigh-l.Slope, 5e-4)
		assert.InDelta(t, want.halfWay, d.Lives[i].Half, 0.5)
	}
	parts, bound, ok := d.SafeParts()
	require.True(t, ok)
	assert.Equal(t, 74, parts)
	assert.Equal(t, "upper limit", bound.Name)
	assert.Equal(t, "1.5010 in", bound.Size.String())

	// Before the change only the first life is known, and its life of 90 parts lies
	// within what a single part may do.
	early := study.New(s.L, on(t, "2025-04-01"))
	d = early.ToolDrifts(s.L.Record("T12"))[0]
	require.Len(t, d.Lives, 1)
	parts, _, ok = d.SafeParts()
	require.True(t, ok)
	assert.Equal(t, 96, parts)
	assert.Empty(t, s.ToolDrifts(s.L.Record("T11")), "a reamer without counts")
	assert.Empty(t, s.ToolDrifts(s.L.Record("G5")), "no tool at all")
}

// The planted hole of .1882 stands out of the chart since the change, and the width
// read in millimetres is left out.
func TestChartsOfTheDemo(t *testing.T) {
	s := demoOf(t, "focuser", "2025-11-25")
	hole := s.Follow("P-10/HOLE")
	require.Len(t, hole, 1)
	c, from, since, err := hole[0].Chart(s)
	require.NoError(t, err)
	assert.Equal(t, "CH-02", since.Rec.ID())
	assert.Equal(t, 10, from)
	require.Len(t, c.Outside, 1)
	odd := hole[0].Readings[from+c.Outside[0]]
	assert.Equal(t, "IN-2024-06-20", odd.Rec.ID())
	assert.InDelta(t, 7, odd.Value, 1e-9)
	for _, r := range hole[0].Readings {
		assert.NotEqual(t, "G2", r.In.Gauge.S, "a GO / NOT GO pair reads no sizes")
	}
	// A change that was undone is two turns.
	taper := s.Follow("P-10/TAPER")[0]
	turns := taper.Turns(s)
	require.Len(t, turns, 2)
	assert.Equal(t, [2]bool{false, true}, [2]bool{turns[0].Undone, turns[1].Undone})
	_, from, since, err = taper.Chart(s)
	require.NoError(t, err)
	assert.True(t, since.Undone)
	assert.Equal(t, len(taper.Readings)-4, from)
	width := s.Follow("P-10/WIDTH")[0]
	assert.Equal(t, 1, width.LeftOut)
	for _, r := range width.Readings {
		assert.Less(t, math.Abs(r.Value), 20.0)
	}
	assert.Len(t, s.Follow("A-01/KC-1"), 6, "each point by itself")
	assert.Empty(t, s.Follow("A-01/NOTHING"))
}

// Two people on the same lots: the bias is that between them, whatever lots differ
// by. By hand: in both lots the partner reads 2 over the owner.
func TestBetweenTwoPeople(t *testing.T) {
	by := func(who, day, lot, readings, more string) string {
		return fmt.Sprintf("by = %q\non = %s\nlot = %q\ncharacteristic = \"P/W\"\ndeviation_in = \"tenths\"\n%s%s", who, day, lot, more, readings)
	}
	readings := func(text string) string { return fmt.Sprintf("readings = %q\n", text) }
	lots := []string{
		by("owner", "2025-01-06", "L-1", readings("1 2 3"), ""), by("partner", "2025-01-06", "L-1", readings("3 4 5"), ""),
		by("owner", "2025-02-06", "L-2", readings("-7 -6"), ""), by("partner", "2025-02-07", "L-2", readings("-5 -4"), ""),
		by("partner", "2025-03-07", "L-3", readings("9 9 9"), ""), // of no other's lot
		by("owner", "2025-03-08", "L-4", readings("0 0"), "purpose = \"set-up\"\n"),
	}
	s, _ := used(t, "", lots...)
	f := s.Follow("P/W")
	require.Len(t, f, 1)
	all := s.Betweens(f[0])
	require.Len(t, all, 1)
	b := all[0]
	assert.Equal(t, [3]string{"people", "owner", "partner"}, [3]string{b.What, b.First, b.Second})
	assert.Empty(t, b.Problem)
	assert.Equal(t, 2, b.Bias.Blocks)
	assert.InDelta(t, 2, b.Bias.Difference, 1e-9)
	assert.True(t, b.Bias.Shown)
	assert.False(t, b.Pieces)

	// Pieces that both name are compared one by one.
	pieces := func(values ...int) string {
		var out strings.Builder
		for i, v := range values {
			fmt.Fprintf(&out, "[[reading]]\npiece = \"%d\"\nvalues = \"%+d\"\n", i+1, v)
		}
		return out.String()
	}
	s, _ = used(t, "", by("owner", "2025-01-06", "L-1", pieces(1, 9, -5, 4), ""), by("partner", "2025-01-06", "L-1", pieces(2, 10, -4, 6), ""))
	b = s.Betweens(s.Follow("P/W")[0])[0]
	assert.True(t, b.Pieces)
	assert.Equal(t, 4, b.Bias.Blocks)
	assert.InDelta(t, 1.25, b.Bias.Difference, 1e-9)
	assert.Equal(t, 3.0, b.Bias.DF)
	assert.True(t, b.Bias.Shown)

	// Different lots say nothing, however far apart.
	s, _ = used(t, "", by("owner", "2025-01-06", "L-1", readings("1 2 3"), ""), by("partner", "2025-01-07", "L-2", readings("8 8 9"), ""))
	b = s.Betweens(s.Follow("P/W")[0])[0]
	assert.Contains(t, b.Problem, "never measured the same")
}

// As found against the uncertainty in use; the demo's G5 was .0003 out after nine
// months with .00015 allowed: half of that time is 136 days.
func TestCheckInterval(t *testing.T) {
	s := demoOf(t, "focuser", "2025-11-25")
	gauge := func(id string) *ledger.Gauge { return s.L.Record(id).Data.(*ledger.Gauge) }
	c, err := s.CheckInterval(gauge("G5"))
	require.NoError(t, err)
	assert.Equal(t, gaugestudy.Shorten, c.Advice.Step)
	assert.Equal(t, 136, c.Advice.Days)
	assert.Equal(t, 3, c.Checks)
	c, err = s.CheckInterval(gauge("G4"))
	require.NoError(t, err)
	assert.Equal(t, gaugestudy.Lengthen, c.Advice.Step)
	c, err = study.New(s.L, on(t, "2025-01-01")).CheckInterval(gauge("G5"))
	require.NoError(t, err)
	assert.Equal(t, gaugestudy.Keep, c.Advice.Step, "nobody knew on that day")
	_, err = s.CheckInterval(gauge("G1"))
	assert.ErrorContains(t, err, "states no uncertainty")

	found := func(more string) error {
		s, rec := used(t, "uncertainty = \"0.0002\"\n"+more)
		_, err := s.CheckInterval(rec.Data.(*ledger.Gauge))
		return err
	}
	assert.ErrorContains(t, found(""), "no check says")
	assert.ErrorContains(t, found(check("2025-01-01", "conforms", "")), "no check says")
	assert.ErrorContains(t, found(check("2024-01-01", "conforms", "as_found = \"0\"\n")+check("2025-01-01", "conforms", "")), "the last check does not say")
	// Several sizes on a day: the worst one counts.
	two := check("2025-01-01", "conforms", "as_found = \"0.00005\"\nat = \"1.0\"\n") + check("2025-01-01", "does not conform", "as_found = \"-0.0004\"\nat = \"2.0\"\n")
	s2, rec := used(t, "uncertainty = \"0.0002\"\n"+two)
	c, err = s2.CheckInterval(rec.Data.(*ledger.Gauge))
	require.NoError(t, err)
	assert.Equal(t, 1, c.Checks)
	assert.Equal(t, gaugestudy.Shorten, c.Advice.Step)
}

// A characteristic of which less is better has no lower end, a line that bends is
// not counted on, and a set-up reading is no part.
func TestDriftTowardsNothing(t *testing.T) {
	load := func(char string, values ...float64) []*study.ToolDrift {
		var in strings.Builder
		for i, v := range values {
			fmt.Fprintf(&in, "[[reading]]\nat_count = \"%d parts\"\nvalues = \"%.5f\"\n", 1+10*i, v/10000)
		}
		l := loadTexts(t, map[string]string{
			"t.md": "kind = \"tool\"\nid = \"T\"\ntitle = \"t\"\ncount = \"5 parts\"\n",
			"p.md": "kind = \"part\"\nid = \"P\"\ntitle = \"p\"\nunits = \"in\"\n[[feature]]\nid = \"E\"\ntype = \"edge\"\ntool = \"T\"\n[[characteristic]]\nid = \"C\"\nfeatures = [\"E\"]\n" + char,
			"i.md": "kind = \"inspection\"\nid = \"I\"\ntitle = \"i\"\non = 2025-01-06\ncharacteristic = \"P/C\"\n" + in.String(),
		})
		return study.New(l, on(t, "2025-11-25")).ToolDrifts(l.Record("T"))
	}
	d := load("limits = \"0..0.0010\"\nbetter = \"smaller\"\n", 5, 4.1, 2.9, 2, 1.1)
	require.Len(t, d, 1)
	assert.True(t, d[0].Last().Shown)
	assert.Empty(t, d[0].Bounds)
	_, _, ok := d[0].SafeParts()
	assert.False(t, ok)
	d = load("limits = \"0..0.0030\"\n", 0, 1.1, 3.9, 9.1, 15.8, 25.2)
	assert.True(t, d[0].Last().Bent)
	_, _, ok = d[0].SafeParts()
	assert.False(t, ok)
	d = load("limits = \"0..0.0030\"\n", 5, 6, 5, 6, 5)
	assert.False(t, d[0].Last().Shown)
	assert.Empty(t, d[0].Bounds)
	assert.Empty(t, load("limits = \"0..0.0030\"\n", 5, 6), "two readings make no line")
}
