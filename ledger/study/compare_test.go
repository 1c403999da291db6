package study_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/study"
)

func compared(t *testing.T, l *ledger.Ledger, from, to, char string) *study.Comparison {
	t.Helper()
	c, err := study.Compare(study.New(l, on(t, from)), study.New(l, on(t, to)), char)
	require.NoError(t, err)
	return c
}

func thingAt(t *testing.T, c *study.Comparison, path string) *study.Differing {
	t.Helper()
	for _, d := range c.Things {
		if d.Path == path {
			return d
		}
	}
	require.Fail(t, "nothing differs at "+path)
	return nil
}

func keyOf(d *study.Differing, key string) string {
	for _, k := range d.Keys {
		if k.Key == key {
			return k.Was + " -> " + k.Is
		}
	}
	return ""
}

// inTenths are effects in tenths of a thousandth of an inch.
func inTenths(list []study.EffectAt, of func(study.EffectAt) float64) []float64 {
	var out []float64
	for _, e := range list {
		out = append(out, of(e)/0.00254)
	}
	return out
}

func change(e study.EffectAt) float64 { return e.Change }

// TestCompareShop follows the states of FX1 that the invented shop is built on:
// r0 of 2021, and r1 of each station with its day.
func TestCompareShop(t *testing.T) {
	l := demo(t)
	for _, row := range []struct {
		from, to, path, off string
	}{
		{"2024-03-10", "2024-03-11", "FX1/A/P1", "4, -9 tenths -> 0.5, 1.0 tenths"},
		{"2024-03-10", "2024-03-11", "FX1/A/P2", "6, 7 tenths -> 0, 0 tenths"},
		{"2024-10-13", "2024-10-14", "FX1/B/P1", "-3, 4 tenths -> 0, 0.5 tenths"},
		{"2024-10-13", "2024-10-14", "FX1/B/P2", "-1, 2 tenths -> 0, 0 tenths"},
		{"2025-07-13", "2025-07-14", "FX1/C/P1", "7, -12 tenths -> 0.5, -0.5 tenths"},
		{"2025-07-13", "2025-07-14", "FX1/C/P2", "9, 10 tenths -> 0, 1 tenths"},
		{"2025-07-13", "2025-07-14", "FX1/D/P1", "1, 1 tenths -> 1, 3 tenths"},
		{"2025-07-13", "2025-07-14", "FX1/D/P2", "0, -1 tenths -> 1, -4 tenths"},
		{"2025-08-31", "2025-09-01", "FX1/D/P1", "1, 3 tenths -> 0, 0.5 tenths"},
		{"2025-08-31", "2025-09-01", "FX1/D/P2", "1, -4 tenths -> 0, 0 tenths"},
	} {
		d := thingAt(t, compared(t, l, row.from, row.to, ""), row.path)
		assert.Equal(t, row.off, keyOf(d, "stands off its place"), row.path)
	}
	skim := thingAt(t, compared(t, l, "2025-07-13", "2025-07-14", ""), "FX1")
	assert.Equal(t, "1.5000 in -> 1.4940 in", keyOf(skim, "seat height"))
	second := thingAt(t, compared(t, l, "2024-10-13", "2024-10-14", ""), "FX1/B/P2")
	assert.Equal(t, "round pin -> relieved pin", keyOf(second, "type"))
	require.Len(t, second.Changes, 1)
	assert.Equal(t, "CH-04", second.Changes[0].ID())
	for _, day := range []string{"2024-06-01", "2021-05-03", "2030-01-01"} {
		assert.Empty(t, compared(t, l, day, day, "").Things, "a day differs from itself on %s", day)
	}
}

// TestCompareSeam checks effects against the model steps of the invented shop
// (typed there from the pins by hand): before -7.0 -11.5 +3.5 +7.0 -3.5 +11.5,
// after -3.5 -2.9 -2.1 +3.5 +2.1 +2.9 tenths.
func TestCompareSeam(t *testing.T) {
	c := compared(t, demo(t), "2024-03-01", "2024-06-01", "KC-1")
	require.Empty(t, c.NoEffect)
	assert.Equal(t, "A-01", c.CharRec.ID())
	assert.InDeltaSlice(t, []float64{-7.0, -11.5, 3.5, 7.0, -3.5, 11.5}, inTenths(c.Together, func(e study.EffectAt) float64 { return e.Mean[0] }), 0.06)
	assert.InDeltaSlice(t, []float64{-3.5, -2.9, -2.1, 3.5, 2.1, 2.9}, inTenths(c.Together, func(e study.EffectAt) float64 { return e.Mean[1] }), 0.06)
	// By hand, formula F4 of the trade: P1 of the plate went by (-3.5, +10.0), so
	// the plate's edge by minus that along the normal, less the turn that it makes.
	p1 := thingAt(t, c, "FX1/A/P1")
	assert.InDeltaSlice(t, []float64{3.5, 10 * 2.2 / 2.4, 10 * 0.2 / 2.4, -3.5, -10 * 0.2 / 2.4, -10 * 2.2 / 2.4}, inTenths(p1.Effect, change), 0.01)
	p2 := thingAt(t, c, "FX1/A/P2")
	assert.InDeltaSlice(t, []float64{0, -7 * 0.2 / 2.4, -7 * 2.2 / 2.4, 0, 7 * 2.2 / 2.4, 7 * 0.2 / 2.4}, inTenths(p2.Effect, change), 0.01)
	for i, e := range c.Together {
		sum := 0.0
		for _, d := range c.Things {
			if len(d.Effect) > 0 {
				sum += d.Effect[i].Change
			}
		}
		assert.InDelta(t, e.Change, sum, 1e-9, "the means of one thing at a time add up at %s", e.At)
	}
	// What can act comes first, the largest effect before all others.
	assert.Equal(t, "FX1/A/P1", c.Things[0].Path)
	acts := true
	for _, d := range c.Things {
		assert.False(t, d.Acts && !acts, "%s acts and comes late", d.Path)
		acts = d.Acts
		if strings.HasPrefix(d.Path, "FX1/C") || strings.HasPrefix(d.Path, "FX1/D") || d.Rec.Kind() == ledger.KindGauge {
			assert.False(t, d.Acts, d.Path)
		}
	}
	hole := thingAt(t, c, "P-10/H1")
	assert.True(t, hole.Acts)
	assert.InDelta(t, 0, hole.Effect[0].Change, 1e-12, "a closer hole moves no mean")
	assert.Less(t, hole.Effect[0].Range[1], hole.Effect[0].Range[0])
}

// TestComparePosition checks the place of the saddle bore against formula F4 by
// hand: pins (1, 3) and (1, -4) over 2.4 turn the part by -7/2.4 tenths an inch, so
// that the bore at (1.2, -0.75) lies +1.1875 and +0.5 off; pins (0, 0.5) and (0, 0)
// leave +0.15625 and -0.25.
func TestComparePosition(t *testing.T) {
	c := compared(t, demo(t), "2025-08-20", "2025-09-10", "P-10/SADDLE-POS")
	require.Empty(t, c.NoEffect)
	got := inTenths(c.Together, change)
	assert.InDeltaSlice(t, []float64{0.15625 - 1.1875, -0.25 - 0.5}, got, 0.01)
	sum := []float64{0, 0}
	for _, path := range []string{"FX1/D/P1", "FX1/D/P2"} {
		d := thingAt(t, c, path)
		require.Len(t, d.Effect, 2)
		for i, e := range d.Effect {
			sum[i] += e.Change / 0.00254
		}
	}
	assert.InDeltaSlice(t, got, sum, 1e-9)
	for _, d := range c.Things {
		assert.False(t, d.Acts && strings.HasPrefix(d.Path, "FX1/C"), "cross holes do not move the bore")
	}
}

// TestCompareBackwards swaps the two states: what was is what is, and effects
// change their sign.
func TestCompareBackwards(t *testing.T) {
	l := demo(t)
	there, back := compared(t, l, "2024-03-01", "2024-03-20", "KC-1"), compared(t, l, "2024-03-20", "2024-03-01", "KC-1")
	require.Len(t, back.Things, len(there.Things))
	for i, e := range there.Together {
		assert.InDelta(t, -e.Change, back.Together[i].Change, 1e-12)
	}
	for _, d := range there.Things {
		other := thingAt(t, back, d.Path)
		require.Len(t, other.Keys, len(d.Keys))
		for i, k := range d.Keys {
			assert.Equal(t, [2]string{k.Was, k.Is}, [2]string{other.Keys[i].Is, other.Keys[i].Was}, d.Path+" "+k.Key)
		}
	}
}

func TestCompareRefuses(t *testing.T) {
	l := demo(t)
	s := study.New(l, on(t, "2024-06-01"))
	_, err := study.Compare(s, s, "KC-9")
	assert.ErrorContains(t, err, "no characteristic is called KC-9")
	_, err = study.Compare(s, s, "HOLE")
	assert.ErrorContains(t, err, "HOLE may be P-10/HOLE or P-20/HOLE")
	c, err := study.Compare(s, s, "P-10/WIDTH")
	require.NoError(t, err)
	assert.NotEmpty(t, c.NoEffect)
}

// TestCompareLedgers compares two texts of a ledger, as two git revisions are.
func TestCompareLedgers(t *testing.T) {
	was := loadTexts(t, map[string]string{
		"t.md": "kind = \"tool\"\nid = \"T1\"\ntitle = \"cutter\"\ntype = \"end mill\"\ndiameter = \"0.1250\"\n",
		"u.md": "kind = \"tool\"\nid = \"T2\"\ntitle = \"old one\"\ntype = \"end mill\"\n",
		"p.md": "kind = \"part\"\nid = \"P\"\ntitle = \"plate\"\n[[feature]]\nid = \"H1\"\nsize = \"0.2\"\n",
	})
	is := loadTexts(t, map[string]string{
		"t.md": "kind = \"tool\"\nid = \"T1\"\ntitle = \"cutter\"\ntype = \"end mill\"\ndiameter = \"0.1248\"\nlife = \"40 parts\"\n",
		"v.md": "kind = \"tool\"\nid = \"T3\"\ntitle = \"new one\"\ntype = \"end mill\"\n",
		"p.md": "kind = \"part\"\nid = \"P\"\ntitle = \"plate\"\n[[feature]]\nid = \"H1\"\nsize = \"0.2\"\n[[feature]]\nid = \"H2\"\ntitle = \"second\"\nsize = \"0.2\"\n",
	})
	day := on(t, "2025-01-01")
	c, err := study.Compare(study.New(was, day), study.New(is, day), "")
	require.NoError(t, err)
	var got []string
	for _, d := range c.Things {
		for _, k := range d.Keys {
			got = append(got, d.Path+" "+k.Key+": "+k.Was+" -> "+k.Is)
		}
	}
	assert.ElementsMatch(t, []string{
		"T1 diameter: 0.1250 in -> 0.1248 in", "T1 life:  -> 40 parts", "T2 there: old one -> ", "T3 there:  -> new one", "P/H2 there:  -> second",
	}, got)
}

// TestLot gathers what a lot was made with.
func TestLot(t *testing.T) {
	s := study.New(demo(t), on(t, "2025-11-25"))
	lot, err := s.Lot("L-31")
	require.NoError(t, err)
	assert.Equal(t, "2024-09-12", lot.Day.Format("2006-01-02"))
	assert.False(t, lot.Known)
	assert.Contains(t, lot.Why, "on or before that day, when IN-2024-09-12 was read")
	made := study.New(s.L, lot.Day).MadeWith(lot)
	require.Len(t, made, 1)
	assert.Equal(t, "C", made[0].Plan.Common.Rev.S)
	var paths []string
	for _, st := range made[0].Stations {
		paths = append(paths, st.Path())
	}
	assert.Equal(t, []string{"FX1/A", "FX1/C", "FX1/D"}, paths)

	lot, err = s.Lot("L-44")
	require.NoError(t, err)
	least, most, ok := s.CountsOf(lot, "T12")
	require.True(t, ok, "the readings of CH-06 say the count")
	assert.Equal(t, []float64{1, 40}, []float64{least, most})

	lot, err = s.Lot("L-38")
	require.NoError(t, err)
	require.Len(t, lot.Plans, 1)
	made = study.New(s.L, lot.Day).MadeWith(lot)
	assert.Equal(t, "PL-10-L38", made[0].Plan.ID())

	_, err = s.Lot("L-311")
	unknown := (*study.UnknownLot)(nil)
	require.ErrorAs(t, err, &unknown)
	assert.NotEmpty(t, unknown.Near)
	_, err = study.New(s.L, on(t, "2024-09-11")).Lot("L-31")
	assert.ErrorAs(t, err, &unknown, "nobody knew of it the day before")
}

// TestLotMade takes the day of manufacture where it is written down.
func TestLotMade(t *testing.T) {
	l := loadTexts(t, map[string]string{
		"p.md": "kind = \"part\"\nid = \"P\"\ntitle = \"plate\"\n",
		"i.md": "kind = \"inspection\"\nid = \"I\"\ntitle = \"readings\"\non = 2024-06-05\nmade = 2024-06-01\npart = \"P\"\nlot = \"L-7\"\n",
		"j.md": "kind = \"inspection\"\nid = \"J\"\ntitle = \"readings\"\non = 2024-06-03\npart = \"P\"\n[[reading]]\npiece = \"1\"\nlot = \"L-7\"\nvalues = [0.1]\n",
	})
	lot, err := study.New(l, on(t, "2025-01-01")).Lot("L-7")
	require.NoError(t, err)
	assert.True(t, lot.Known)
	assert.Equal(t, "2024-06-01", lot.Day.Format("2006-01-02"))
	assert.Len(t, lot.Inspections, 2)
	lot, err = study.New(l, on(t, "2024-06-04")).Lot("L-7")
	require.NoError(t, err)
	assert.Equal(t, "2024-06-03", lot.Day.Format("2006-01-02"), "what is known then")
}
