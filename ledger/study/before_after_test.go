package study_test

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// testShop is the invented shop of the report's tests as of a day, with some
// texts of its files replaced: file, old, new in turn.
func testShop(t *testing.T, day string, replace ...string) *study.Set {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "report", "testdata", "shop.txtar"))
	require.NoError(t, err)
	files := map[string]string{}
	for _, f := range txtar.Parse(text).Files {
		files[f.Name] = string(f.Data)
	}
	for i := 0; i+2 < len(replace); i += 3 {
		require.Contains(t, files[replace[i]], replace[i+1], replace[i])
		files[replace[i]] = strings.Replace(files[replace[i]], replace[i+1], replace[i+2], 1)
	}
	l, err := ledger.Load(source.Map(files))
	require.NoError(t, err)
	require.Empty(t, l.Problems)
	return study.New(l, on(t, day))
}

func firstEvidence(t *testing.T, s *study.Set, id string) *study.Evidence {
	t.Helper()
	ev := s.Evidence(s.L.Record(id))
	require.NotEmpty(t, ev)
	return ev[0]
}

// The smallest shift that n and n parts show, four times in five, by the
// noncentral t distribution of gonum; the short form (t(0.975) + t(0.80)) s
// sqrt(2/n) gives 3.717 (SciPy 1.10.1).
func TestReach(t *testing.T) {
	s := testShop(t, "2025-11-25")
	r := s.Reach(firstEvidence(t, s, "CH-05"))
	assert.InDelta(t, 1.56791, r.SD, 1e-5)
	assert.Equal(t, 4, r.N)
	assert.InDelta(t, 3.7328, r.Sees, 1e-4)
	shown := func(n int, shift float64) float64 {
		crit := distuv.StudentsT{Sigma: 1, Nu: float64(2*n - 2)}.Quantile(0.975)
		d := distuv.NoncentralT{Nu: float64(2*n - 2), Mu: shift / r.SD * math.Sqrt(float64(n)/2)}
		return 1 - d.CDF(crit) + d.CDF(-crit)
	}
	assert.InDelta(t, 0.80, shown(4, r.Sees), 1e-8)
	assert.Less(t, shown(10, 2), 0.80)
	assert.GreaterOrEqual(t, shown(11, 2), 0.80)
	assert.True(t, r.Predicted)
	assert.InDelta(t, 2, r.Want, 1e-12)
	assert.Equal(t, 11, r.Need)
	assert.Nil(t, r.From)

	// Without readings after, the spread before serves; without any, that of
	// the characteristic's other inspections, but for one with a slip in it.
	r = s.Reach(firstEvidence(t, s, "CH-06"))
	assert.InDelta(t, 0.00022174, r.SD, 1e-8)
	assert.Zero(t, r.N)
	assert.Zero(t, r.Sees)
	s = testShop(t, "2025-11-25", "changes/CH-06.md", `before = "IN-06B"`, "", "inspections/IN-05B.md", `characteristic = "P-10/EDGE"`, `characteristic = "P-10/WIDTH"`, "inspections/IN-05B.md", `"3 6 6 5"`, `"3 6 6 3810"`)
	r = s.Reach(firstEvidence(t, s, "CH-06"))
	assert.InDelta(t, 0.00022174, r.SD, 1e-8)
	require.Len(t, r.From, 1)
	assert.Equal(t, "IN-06B", r.From[0].ID())

	s = testShop(t, "2025-11-25", "changes/CH-05.md", `predicted = "-2 tenths"`, `predicted = "-0.1 tenths"`)
	assert.Zero(t, s.Reach(firstEvidence(t, s, "CH-05")).Need, "more than anyone would make")
}

// With 9 and 9 degrees of freedom F is 4.026 at 2.5 % (NIST/SEMATECH
// e-Handbook 1.3.6.7.3), so a ratio of spreads is shown from 2.006 on. Twice the
// shares 3 of 20 and 0 of 20 give p = 0.026 (Fisher's exact test, SciPy 1.10.1).
func TestWhatItTakes(t *testing.T) {
	s := testShop(t, "2025-11-25")
	assert.InDelta(t, 2.0065, study.RatioFrom(firstEvidence(t, s, "CH-02").Spread), 1e-4)
	assert.Equal(t, 2, firstEvidence(t, s, "CH-04").CountsNeeded())
	s = testShop(t, "2025-11-25", "inspections/IN-04A.md", "0 of 20", "3 of 20")
	assert.Zero(t, firstEvidence(t, s, "CH-04").CountsNeeded(), "equal shares")
	s = testShop(t, "2025-11-25", "inspections/IN-04B.md", "3 of 20", "19 of 20")
	assert.Equal(t, 1, firstEvidence(t, s, "CH-04").CountsNeeded(), "shown already")
}

// Found is -5.2 (-10.1 … -0.3) tenths. Metrological compatibility (VIM 2.47).
func TestPrediction(t *testing.T) {
	for predicted, want := range map[string]study.Agreement{
		"-6.2 +2.8/-3.0 tenths": study.Agrees,
		"-2 tenths":             study.Agrees,
		"-10 tenths":            study.Agrees,
		"-0.2 tenths":           study.Contradict,
		"-11 tenths":            study.Contradict,
		"3 tenths ±4 tenths":    study.Contradict, // 8.2 apart, root sum square of 4 and 4.9 is 6.3
		"1 tenths ±4 tenths":    study.Agrees,     // 6.2 apart
	} {
		s := testShop(t, "2025-11-25", "changes/CH-01.md", "-6.2 +2.8/-3.0 tenths", predicted)
		p := firstEvidence(t, s, "CH-01").Predicted()
		require.NotNil(t, p, predicted)
		assert.Equal(t, want, p.Agreement, predicted)
		assert.InDelta(t, -5.1667, p.Found, 1e-4)
	}
	s := testShop(t, "2025-11-25", "changes/CH-01.md", "-6.2 +2.8/-3.0 tenths", "3 ozf")
	assert.Nil(t, firstEvidence(t, s, "CH-01").Predicted(), "another kind of quantity")
	s = testShop(t, "2024-03-12")
	assert.Equal(t, study.Unmeasured, firstEvidence(t, s, "CH-01").Predicted().Agreement, "before the readings after")
	s = testShop(t, "2025-11-25", "changes/CH-02.md", `claim = "spread"`, "claim = \"spread\"\npredicted = \"40 %\"")
	p := firstEvidence(t, s, "CH-02").Predicted()
	require.True(t, p.Ratio)
	assert.InDelta(t, 1/2.875, p.Found, 1e-3)
	assert.Equal(t, study.Agrees, p.Agreement)
}

func TestWindowBounds(t *testing.T) {
	what := func(s *study.Set) string {
		w := s.Window(s.L.Record("CH-01"))
		var out []string
		for _, h := range append(w.Touched, w.Else...) {
			out = append(out, h.On.String()+" "+strings.Join(h.Paths, " ")+" "+h.What)
		}
		return strings.Join(out, "\n")
	}
	all := what(testShop(t, "2025-11-25"))
	assert.Contains(t, all, "2024-03-11 FX1/A/P1 new state: 0.1872 in -> 0.1873 in, drilled -> helical bore")
	assert.Contains(t, all, "2024-03-11 FX1/A/P1 FX1/A/P2 surveyed")
	assert.NotContains(t, all, "G4", "its check of 2024-03-04 came before the readings")
	all = what(testShop(t, "2025-11-25", "gauges/G4.md", "on = 2024-03-04", "on = 2024-03-09"))
	assert.NotContains(t, all, "G4", "a state of the first day holds for the readings before")
	all = what(testShop(t, "2025-11-25", "gauges/G4.md", "on = 2024-03-04", "on = 2024-03-13"))
	assert.Contains(t, all, "2024-03-13 G4 checked: conforms", "the last day counts")
	s := testShop(t, "2025-11-25", "changes/CH-07.md", "done = 2024-03-11", "")
	assert.True(t, s.Window(s.L.Record("CH-07")).To.IsZero())
	assert.Empty(t, s.Window(s.L.Record("G4")).Else)
}

func TestMismatches(t *testing.T) {
	for _, c := range []struct {
		name, old, new string
		want           string
		serious        bool
	}{
		{"alike", "held", "held", "", false},
		{"gauge", `gauge = "G4"`, `gauge = "G9"`, "gauge: G4 before, G9 after", true},
		{"clamped", `held = "free"`, `held = "clamped"`, "part held: free before, clamped after", true},
		{"held not said", `held = "free"`, "", "part held: free before, not said after", false},
		{"points", `lot = "L-22"`, `points = ["K1", "K2", "K3", "K4", "K5"]`, "points: K1 K2 K3 K4 K5 K6 before, K1 K2 K3 K4 K5 after", true},
		{"picked", `picked = "consecutive"`, `picked = "picked"`, "pieces were picked, not consecutive or by lot (consecutive before, picked after)", true},
		{"warm", `temperature = "68 F"`, `temperature = "75 F"`, "temperature: 68 F before, 75 F after", false},
		{"as warm", `temperature = "68 F"`, `temperature = "70 F"`, "", false},
		{"person", `by = "owner"`, `by = "partner"`, "another person measured", false},
	} {
		s := testShop(t, "2025-11-25", "inspections/IN-01A.md", c.old, c.new)
		got := firstEvidence(t, s, "CH-01").Mismatches()
		if c.want == "" {
			assert.Empty(t, got, c.name)
			continue
		}
		require.Len(t, got, 1, c.name)
		assert.Equal(t, c.want, got[0].Text(false), c.name)
		assert.Equal(t, c.serious, got[0].Serious, c.name)
	}
}

func TestPinChanges(t *testing.T) {
	s := testShop(t, "2025-11-25", "changes/CH-01.md", `["FX1/A/P1", "FX1/A/P2"]`, `["FX1", "FX1/A", "FX1/A/P1", "T12"]`)
	var paths []string
	for _, p := range s.PinChanges(s.L.Record("CH-01")) {
		paths = append(paths, p.Path)
	}
	assert.Equal(t, []string{"FX1/A/P1", "FX1/A/P2", "FX1/D/P1"}, paths, "each once")
	assert.Nil(t, s.PinChanges(s.L.Record("CH-06")), "not done yet")
}

// Looseness across the pin line at distance a from the round pin is
// ±(|1-a/L| c1/2 + |a/L| c2/2): with L = 2.4 in, a = 3.6 in and clearances of
// 0.0003 in it is ±0.0003 in (two levers; common practice).
func TestLoosenessAt(t *testing.T) {
	texts := map[string]string{
		"P.md": `kind = "part"
id = "P"
title = "part"
[[feature]]
id = "H1"
type = "hole"
at = [0, 0]
size = "0.1876"
[[feature]]
id = "H2"
type = "hole"
at = [2.4, 0]
size = "0.1876"
[[feature]]
id = "TIP"
type = "edge"
at = [3.6, 0]
`,
		"A.md": `kind = "part"
id = "A"
title = "assembly"
made_of = ["P"]
`,
		"F.md": `kind = "fixture"
id = "F"
title = "fixture"
[[station]]
id = "A"
part = "P"
[[station.locator]]
id = "P1"
type = "round pin"
engages = "H1"
size = "0.1873"
[[station.locator]]
id = "P2"
type = "relieved pin"
engages = "H2"
size = "0.1873"
land = "0.045"
relieved_along = "line to P1"
`,
	}
	plays := func() []study.PointPlay {
		l := loadTexts(t, texts)
		s := study.New(l, on(t, "2025-11-25"))
		rec := l.Record("F")
		return s.LoosenessAt(s.Locating(rec, &rec.Data.(*ledger.Fixture).Stations[0]))
	}
	got := plays()
	require.Len(t, got, 1)
	assert.Equal(t, "P/TIP", got[0].Path)
	assert.True(t, got[0].Across)
	assert.InDelta(t, 0.0003*25.4, got[0].Plus, 1e-7)
	assert.InDelta(t, 0.0003*25.4, got[0].Minus, 1e-7)

	texts["A.md"] = strings.TrimSuffix(texts["A.md"], "+++\n") + `[[characteristic]]
id = "KC"
title = "step"
point = [{ id = "K1", at = [3.6, 0], normal = [0, 2] }, { id = "K2", at = [1.2, 0], normal = [1, 0] }, { id = "K3" }]
+++
`
	got = plays()
	require.Len(t, got, 2, "points of the assembly, those with a normal")
	assert.Equal(t, "A/KC/K1", got[0].Path)
	assert.InDelta(t, 0.0003*25.4, got[0].Plus, 1e-7)
	assert.InDelta(t, 0.00015*25.4, got[1].Plus, 1e-7, "along the line only the round pin holds")
}

// Zones of ISO 14253-1 about 1.5000 ±0.0010 in with U 0.00015 in; exact, so the
// edges of the zones are hit.
func TestChecks(t *testing.T) {
	s := testShop(t, "2025-11-25", "inspections/IN-06B.md", `["1.5007", "1.5009", "1.5011", "1.5012"]`,
		`["1.50085", "1.50086", "1.5010", "1.50115", "1.50116", "1.49915", "1.49914", "1.49884"]`)
	var got []study.Zone
	for _, c := range s.Checks(s.L.Record("IN-06B")) {
		got = append(got, c.Zone)
	}
	assert.Equal(t, []study.Zone{study.Conforms, study.Doubtful, study.Doubtful, study.Doubtful, study.DoesNot, study.Conforms, study.Doubtful, study.DoesNot}, got)

	checks := s.Checks(s.L.Record("IN-02B"))
	require.Len(t, checks, 10)
	assert.Equal(t, "0.1878 in", checks[0].Full.String(), "nominal plus 3 tenths")
	assert.Equal(t, study.OfLimitGauge, checks[0].Zone)
	assert.Equal(t, quantity.Inside, checks[1].Side, "0.1884: the limit was 0.1885 that day")
	checks = s.Checks(s.L.Record("IN-01B"))
	require.Len(t, checks, 42, "void pieces too")
	assert.Equal(t, "K6", checks[5].Point)
	assert.Nil(t, s.Checks(s.L.Record("G4")))
}

func TestPublicText(t *testing.T) {
	s := testShop(t, "2025-11-25")
	rec := s.L.Record("CH-01")
	for _, c := range []struct{ text, want, leak string }{
		{"half a tenth on a 3/16 pin, 2.5 tenths", "half a tenth on a (size) pin, 2.5 tenths", ""},
		{"a 3/8 end mill, a 3/16 dowel, 5/20 tight", "a 3/8 end mill, a (size) dowel, 5/20 tight", ""}, // the holes are 0.1875
		{"from K1 to K6 at H1, bored H7", "from K1 to K6 at H1, bored (class)", ""},
		{"pins of .1873 in a hole of 0.1877 in.", "pins of (size) in a hole of (size) in.", ""},
		{"0.0005 in less, 0.032 mm looser", "(size) in less, (size) looser", ""},
		{"3.994 mm pins, 0.250mm lower", "(size) pins, (size) lower", ""},
		{"1.5 in long, version 1.2.345", "(size) in long, version 1.2.345", ""},
		{"done on 2024-03-11, again 2024-03", "done on 2024-03, again 2024-03", ""},
		{"INVENTED SUPPLY CO.", "INVENTED SUPPLY CO.", "Invented Supply Co"},
		{"Reinvented Supply Company", "Reinvented Supply Company", ""},
		{"G4 was checked", "G4 was checked", "G4"},
		{"G4a grade, XG4", "G4a grade, XG4", ""},
		{"no G43 there", "no G43 there", "G43"},
		{"file O1234.nc", "file O1234.nc", "O1234"},
		{"2O1234 is no word", "2O1234 is no word", ""},
		{"n20g2x1.0", "n20g (size)", "n20g2"},
		{"G55.1 P3", "G (size)", "G55.1"},
		{"reamed in 6061-T6, anodized", "reamed in 6061-T6, anodized", "6061"},
		{"reamed in aluminium, anodized", "reamed in aluminium, anodized", ""},
		{"about 40 €", "about 40 €", "40 €"},
	} {
		got, leaks := s.PublicText(rec, ledger.Text{S: c.text, Span: ledger.Span{Start: 1, End: 2}})
		assert.Equal(t, c.want, got)
		if c.leak == "" {
			assert.Empty(t, leaks, c.text)
			continue
		}
		require.NotEmpty(t, leaks, c.text)
		assert.Equal(t, c.leak, leaks[0].Word)
	}
}

func TestPercent(t *testing.T) {
	s := testShop(t, "2025-11-25")
	p, ok := firstEvidence(t, s, "CH-01").Percent(8.4, false)
	require.True(t, ok)
	assert.InDelta(t, 84, p, 1e-9, "largest step against a limit of 10")
	p, _ = firstEvidence(t, s, "CH-02").Percent(2.5, false)
	assert.InDelta(t, 0, p, 1e-9, "the middle of 0 … 5")
	p, _ = firstEvidence(t, s, "CH-02").Percent(-1, true)
	assert.InDelta(t, -40, p, 1e-9)
	_, ok = firstEvidence(t, s, "CH-04").Percent(1, false)
	assert.False(t, ok, "no limits")
}

// The last digit shown is not coarser than a fifth of the gauge's count.
func TestDecimals(t *testing.T) {
	for reads, want := range map[string]int{"0.00005": 1, "0.0001": 1, "0.00001": 2, "0.0005": 0, "0.00002": 2} {
		s := testShop(t, "2025-11-25", "gauges/G4.md", `reads_to = "0.00005"`, `reads_to = "`+reads+`"`)
		assert.Equal(t, want, firstEvidence(t, s, "CH-01").Decimals(), reads)
	}
	s := testShop(t, "2025-11-25")
	ev := firstEvidence(t, s, "CH-01")
	assert.Equal(t, "-5.2 tenths", ev.Shown(-5.16667).String())
	s = testShop(t, "2025-11-25", "inspections/IN-06B.md", `gauge = "G5"`, "")
	assert.Equal(t, 5, firstEvidence(t, s, "CH-06").Decimals(), "without a gauge as the readings are written")
}
