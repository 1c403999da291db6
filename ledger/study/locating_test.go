package study_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/locate"
	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

const inch = 25.4

func loadTexts(t testing.TB, texts map[string]string) *ledger.Ledger {
	t.Helper()
	if _, ok := texts[ledger.ConfigName]; !ok {
		texts[ledger.ConfigName] = "units = \"in\"\n"
	}
	for name, text := range texts {
		if strings.HasSuffix(name, ".md") && !strings.HasPrefix(text, "+++") {
			texts[name] = "+++\n" + text + "+++\n"
		}
	}
	l, err := ledger.Load(source.Map(texts))
	require.NoError(t, err)
	for _, p := range l.Problems {
		require.True(t, p.Gap, "%s: %s", p.File, p.Msg)
	}
	return l
}

func on(t testing.TB, day string) time.Time {
	t.Helper()
	d, err := time.Parse(time.DateOnly, day)
	require.NoError(t, err)
	return d
}

// station gives the study of a station as of a day.
func station(t *testing.T, l *ledger.Ledger, fixture, id, day string) *study.Locating {
	t.Helper()
	rec := l.Record(fixture)
	require.NotNil(t, rec)
	fx := rec.Data.(*ledger.Fixture)
	for i := range fx.Stations {
		if fx.Stations[i].ID.S == id {
			return study.New(l, on(t, day)).Locating(rec, &fx.Stations[i])
		}
	}
	t.Fatalf("no station %s", id)
	return nil
}

// focuser is the invented shop's side plate and its fixture, with the states
// and surveys of stations A and B.
func focuser(t *testing.T) *ledger.Ledger {
	return loadTexts(t, map[string]string{
		"p.md": `kind = "part"
id = "P-10"
title = "Side plate"
[[feature]]
id = "H1"
type = "hole"
at = [0.0, 0.0]
size = "0.1875 +0.0005/-0"
as_made = "0.1877"
[[feature.was]]
until = 2024-05-20
size = "0.1875 +0.0010/-0"
as_made = "0.1881"
[[feature]]
id = "H2"
type = "hole"
at = ["2.4000 ±0.0005", 0.0]
size = "0.1875 +0.0005/-0"
as_made = "0.1877"
[[feature.was]]
until = 2024-05-20
size = "0.1875 +0.0010/-0"
as_made = "0.1881"
`,
		"f.md": `kind = "fixture"
id = "FX1"
title = "Side plate and cap"
state = "in use"
[[station]]
id = "A"
part = "P-10"
[[station.locator]]
id = "P1"
type = "round pin"
engages = "H1"
size = "0.1873"
[[station.locator.survey]]
on = 2021-05-03
off = ["4 tenths", "-9 tenths"]
[[station.locator.survey]]
on = 2024-03-11
off = ["0.5 tenths", "1.0 tenths"]
[[station.locator.was]]
until = 2024-03-11
made_by = "drilled"
[[station.locator]]
id = "P2"
type = "relieved pin"
engages = "H2"
size = "0.1873"
land = "0.045"
relieved_along = "line to P1"
[[station.locator.survey]]
on = 2021-05-03
off = ["6 tenths", "7 tenths"]
[[station.locator.survey]]
on = 2024-03-11
off = ["0 tenths", "0 tenths"]
[[station.locator.was]]
until = 2024-03-11
size = "0.1874"
[[station]]
id = "B"
part = "P-10"
[[station.locator]]
id = "P1"
type = "round pin"
engages = "H1"
size = "0.1873"
[[station.locator.survey]]
on = 2021-05-03
off = ["-3 tenths", "4 tenths"]
[[station.locator]]
id = "P2"
type = "relieved pin"
engages = "H2"
size = "0.1873"
land = "0.045"
relieved_along = "line to P1"
[[station.locator.survey]]
on = 2021-05-03
off = ["-1 tenths", "2 tenths"]
[[station.locator.was]]
until = 2024-10-14
type = "round pin"
`,
	})
}

// TestLocatingByDay sets the study against calc/locate fed by hand with what
// held on the day, in inches.
func TestLocatingByDay(t *testing.T) {
	l := focuser(t)
	relieved := func(p locate.Pin) locate.Pin {
		p.Kind, p.Land = locate.Relieved, 0.045
		return p
	}
	for _, c := range []struct {
		name, station, day string
		hole               float64
		pins               [2]locate.Pin
		surveyed           [2]string // day of the survey in force
		allowance          float64   // handbook or demo figure, in
		source             string
	}{
		{"A before the rework", "A", "2024-03-10", 0.1881,
			[2]locate.Pin{{X: 0.0004, Y: -0.0009, D: 0.1873}, relieved(locate.Pin{X: 2.4006, Y: 0.0007, D: 0.1874})}, [2]string{"2021-05-03", "2021-05-03"}, 0, ""},
		{"A after it", "A", "2024-03-11", 0.1881,
			[2]locate.Pin{{X: 0.00005, Y: 0.0001, D: 0.1873}, relieved(locate.Pin{X: 2.4, D: 0.1873})}, [2]string{"2024-03-11", "2024-03-11"}, 0, ""},
		{"A with reamed holes", "A", "2024-05-20", 0.1877,
			[2]locate.Pin{{X: 0.00005, Y: 0.0001, D: 0.1873}, relieved(locate.Pin{X: 2.4, D: 0.1873})}, [2]string{"2024-03-11", "2024-03-11"}, 0.0010, "round + relieved ±.0010, invented demo shop"},
		{"B, two round pins, milled holes", "B", "2024-05-19", 0.1881,
			[2]locate.Pin{{X: -0.0003, Y: 0.0004, D: 0.1873}, {X: 2.3999, Y: 0.0002, D: 0.1873}}, [2]string{"2021-05-03", "2021-05-03"}, 0.0008, "F1: half the sum of the clearances"},
		{"B, two round pins, reamed holes", "B", "2024-10-13", 0.1877,
			[2]locate.Pin{{X: -0.0003, Y: 0.0004, D: 0.1873}, {X: 2.3999, Y: 0.0002, D: 0.1873}}, [2]string{"2021-05-03", "2021-05-03"}, 0.0004, "F1: half the sum of the clearances"},
		{"B relieved, never surveyed since", "B", "2024-10-14", 0.1877,
			[2]locate.Pin{{X: -0.0003, Y: 0.0004, D: 0.1873}, relieved(locate.Pin{X: 2.4, D: 0.1873})}, [2]string{"2021-05-03", ""}, 0.0010, "round + relieved ±.0010, invented demo shop"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := station(t, l, "FX1", c.station, c.day)
			require.Empty(t, got.Skip)
			worst := locate.Result{Margin: math.Inf(1)}
			var usual locate.Result
			for _, off := range []float64{-0.0005, 0, 0.0005} {
				var pins [2]locate.Pin
				holes := [2]locate.Hole{{D: c.hole * inch}, {X: (2.4 + off) * inch, D: c.hole * inch}}
				for i, p := range c.pins {
					pins[i] = locate.Pin{X: p.X * inch, Y: p.Y * inch, D: p.D * inch, Kind: p.Kind, Land: p.Land * inch}
				}
				line := math.Atan2(pins[0].Y-pins[1].Y, pins[0].X-pins[1].X)
				pins[1].ReliefAxis = line
				r, err := locate.TwoPins(pins, holes)
				require.NoError(t, err)
				if off == 0 {
					usual = r
				}
				if r.Margin < worst.Margin || r.Margin == worst.Margin && math.Abs(r.Mismatch) > math.Abs(worst.Mismatch) {
					worst = r
				}
			}
			assert.InDelta(t, worst.Margin, got.Worst.Margin, 1e-12)
			assert.InDelta(t, worst.Mismatch, got.Worst.Mismatch, 1e-12)
			assert.InDelta(t, usual.Margin, got.Usual.Margin, 1e-12)
			assert.InDelta(t, usual.Allowance, got.Usual.Allowance, 1e-12)
			for i, day := range c.surveyed {
				if day == "" {
					assert.Nil(t, got.Pins[i].Survey)
				} else if assert.NotNil(t, got.Pins[i].Survey) {
					assert.Equal(t, day, got.Pins[i].Survey.On.String())
				}
			}
			if c.source != "" {
				assert.InDelta(t, c.allowance, got.Usual.Allowance/inch, 0.00005, c.source)
			}
		})
	}
}

// TestLocatingDemoVerdicts checks what the demo shop (invented) says about its
// stations: with holes reamed to 0.1877 two round pins on station B take up
// 0.0004 in against 0.0005 + 0.0002, and the relieved pin takes it up.
func TestLocatingDemoVerdicts(t *testing.T) {
	l := focuser(t)
	milled := station(t, l, "FX1", "B", "2024-05-19")
	assert.True(t, milled.Worst.GoesOn)
	tight := station(t, l, "FX1", "B", "2024-10-13")
	assert.False(t, tight.Worst.GoesOn)
	assert.InDelta(t, 0.0003, tight.Missing/inch, 1e-7, "0.0005 + 0.0002 - 0.0004")
	assert.InDelta(t, 0.0002, tight.PinError()/inch, 1e-7, "-1 - (-3) tenths")
	assert.False(t, tight.PitchCures(), "the pins are only 0.0002 in off")
	assert.Equal(t, 1, tight.Second())
	assert.True(t, station(t, l, "FX1", "B", "2024-10-14").Worst.GoesOn)
	// Looseness across at 2.8 in, F3: |1 - a/L|·c1/2 + |a/L|·c2/2.
	for _, c := range []struct {
		day  string
		want float64
	}{{"2024-05-19", 0.00053}, {"2024-05-20", 0.00027}} {
		plus, minus, err := station(t, l, "FX1", "A", c.day).Looseness([2]float64{2.8 * inch, 0}, [2]float64{0, 1})
		require.NoError(t, err)
		assert.InDelta(t, 2*c.want, (plus+minus)/inch, 0.00002, "looseness at K4 of the demo shop, both senses")
	}
}

// twoPins writes a ledger with one part and one station in millimetres.
func twoPins(t *testing.T, units, h1, h2, p1, p2 string) *study.Locating {
	t.Helper()
	l := loadTexts(t, map[string]string{
		ledger.ConfigName: "units = \"" + units + "\"\n",
		"p.md":            "kind = \"part\"\nid = \"P\"\ntitle = \"p\"\n[[feature]]\nid = \"H1\"\ntype = \"hole\"\n" + h1 + "\n[[feature]]\nid = \"H2\"\ntype = \"hole\"\n" + h2 + "\n",
		"f.md": "kind = \"fixture\"\nid = \"F\"\ntitle = \"f\"\nstate = \"in use\"\n[[station]]\nid = \"A\"\npart = \"P\"\n" +
			"[[station.locator]]\nid = \"P1\"\nengages = \"H1\"\n" + p1 + "\n[[station.locator]]\nid = \"P2\"\nengages = \"H2\"\n" + p2 + "\n",
	})
	return station(t, l, "F", "A", "2025-11-25")
}

// TestLocatingCheckCases runs the two-pin cases of testdata/locating, worked
// out apart from this code (see the README there), through a ledger.
func TestLocatingCheckCases(t *testing.T) {
	text, err := os.ReadFile("../../testdata/locating/pinpattern.json")
	require.NoError(t, err)
	var file struct {
		Cases []struct {
			ID   string
			Pins []struct {
				X, Y, Diameter float64
				Kind           string
				Land           float64 `json:"land_width"`
				Axis           float64 `json:"relief_axis_deg"`
			}
			Holes  []struct{ X, Y, Diameter float64 }
			Expect struct {
				Together bool `json:"goes_together"`
				Margin   float64
			}
		}
	}
	require.NoError(t, json.Unmarshal(text, &file))
	run := 0
	for _, c := range file.Cases {
		if len(c.Pins) != 2 {
			continue
		}
		run++
		t.Run(c.ID, func(t *testing.T) {
			var holes, pins [2]string
			for i := range 2 {
				p, h := c.Pins[i], c.Holes[i]
				holes[i] = fmt.Sprintf("at = [\"%v\", \"%v\"]\nsize = \"%v\"", h.X, h.Y, h.Diameter)
				pins[i] = fmt.Sprintf("type = \"%s pin\"\nat = [\"%v\", \"%v\"]\nsize = \"%v\"", p.Kind, p.X, p.Y, p.Diameter)
				if p.Kind == "relieved" {
					pins[i] += fmt.Sprintf("\nland = \"%v\"\nrelieved_along = \"%v deg\"", p.Land, p.Axis)
				}
			}
			got := twoPins(t, "mm", holes[0], holes[1], pins[0], pins[1])
			require.Empty(t, got.Skip)
			assert.InDelta(t, c.Expect.Margin, got.Worst.Margin, 1e-9)
			assert.Equal(t, c.Expect.Together, got.Worst.GoesOn)
		})
	}
	assert.Equal(t, 4, run)
}

// TestLocatingWorkedExample has the published inputs of a housing on a plane
// and two pins (open manufacturing course in Chinese, chapter 51.7: holes 8H7,
// pitch 220 ±0.03, pin 8g6, relieved pin 7.970/7.961 with a land of 3, pin
// pitch ±0.01). The figures are worked out by hand here: need 0.04, the
// relieved pin reaches 0.039407, the round pin adds 0.0025.
func TestLocatingWorkedExample(t *testing.T) {
	l := twoPins(t, "mm",
		"at = [0, 0]\nsize = \"8 mm H7\"", "at = [\"220 ±0.03\", 0]\nsize = \"8 mm H7\"",
		"type = \"round pin\"\nsize = \"8 -0.005/-0.014\"", "type = \"relieved pin\"\nat = [\"220 ±0.01\", 0]\nsize = \"7.961..7.970\"\nland = \"3\"\nrelieved_along = \"line to P1\"")
	require.Empty(t, l.Skip)
	assert.InDelta(t, 0.04, math.Abs(l.Worst.Mismatch), 1e-9)
	assert.InDelta(t, 0.039407+0.0025, l.Worst.Allowance, 5e-7)
	assert.True(t, l.Worst.GoesOn)
	assert.InDelta(t, 8.0075, l.Usual.C1*2+7.9905, 1e-9, "the middle of 8H7 less the middle of 8g6")
	// Two round pins would not do: 0.0025 + 0.015 against 0.04.
	round := twoPins(t, "mm",
		"at = [0, 0]\nsize = \"8 mm H7\"", "at = [\"220 ±0.03\", 0]\nsize = \"8 mm H7\"",
		"type = \"round pin\"\nsize = \"8 -0.005/-0.014\"", "type = \"round pin\"\nat = [\"220 ±0.01\", 0]\nsize = \"7.961..7.970\"")
	assert.False(t, round.Worst.GoesOn)
	assert.InDelta(t, 0.0225, round.Missing, 1e-9)
	assert.InDelta(t, 7.925, round.RoundPin, 1e-9, "8 - 2·(0.04 - 0.0025)")
}

// TestLocatingUnsurveyed takes pins as designed, with what they may deviate.
func TestLocatingUnsurveyed(t *testing.T) {
	l := twoPins(t, "in",
		"at = [0, 0]\nsize = \"0.1875 +0.0005/-0\"", "at = [\"2.4000 ±0.0005\", 0]\nsize = \"0.1875 +0.0005/-0\"",
		"type = \"round pin\"\nat = [\"0 ±0.0001\", 0]\nsize = \"0.1870 ±0.0002\"", "type = \"round pin\"\nat = [\"2.4002 ±0.0001\", 0]\nsize = \"0.1870 ±0.0002\"")
	require.Empty(t, l.Skip)
	assert.Nil(t, l.Pins[0].Survey)
	// Holes 0.1875, pins 0.1872: half the sum of the clearances is 0.0003. The
	// pitch may differ by 0.0002 + 0.0005 + 0.0001 + 0.0001.
	assert.InDelta(t, 0.0003, l.Worst.Allowance/inch, 1e-9)
	assert.InDelta(t, -0.0009, l.Worst.Mismatch/inch, 1e-9)
	assert.InDelta(t, 0.0006, l.Missing/inch, 1e-9)
	assert.InDelta(t, 0.0002, l.PinError()/inch, 1e-9)
	// A survey takes the place of both tolerances.
	s := twoPins(t, "in",
		"at = [0, 0]\nsize = \"0.1875 +0.0005/-0\"", "at = [\"2.4000 ±0.0005\", 0]\nsize = \"0.1875 +0.0005/-0\"",
		"type = \"round pin\"\nat = [\"0 ±0.0001\", 0]\nsize = \"0.1870 ±0.0002\"\n[[station.locator.survey]]\non = 2025-01-02\noff = [0, 0]\nsize = \"0.1870\"",
		"type = \"round pin\"\nat = [\"2.4002 ±0.0001\", 0]\nsize = \"0.1870 ±0.0002\"\n[[station.locator.survey]]\non = 2025-01-02\noff = [\"-2 tenths\", 0]\nsize = \"0.1871\"")
	assert.InDelta(t, 0.00045, s.Worst.Allowance/inch, 1e-9)
	assert.InDelta(t, 0.0005, math.Abs(s.Worst.Mismatch)/inch, 1e-9)
}

func TestLocatingSkips(t *testing.T) {
	hole := "at = [0, 0]\nsize = \"0.1875\""
	far := "at = [2.4, 0]\nsize = \"0.1875\""
	pin := "type = \"round pin\"\nsize = \"0.1873\""
	for _, c := range []struct {
		name           string
		h1, h2, p1, p2 string
		want           string
	}{
		{"three pins, two in one hole", hole, far, pin, pin + "\n[[station.locator]]\nid = \"P3\"\ntype = \"round pin\"\nengages = \"H2\"\nsize = \"0.1873\"", "pins 2 and 3 overlap"},
		{"one pin and a slot", hole, far, pin, "type = \"slot\"\nsize = \"0.1873\"", "station A has one pin, on which the part turns freely"},
		{"no size of the hole", "at = [0, 0]", far, pin, pin, "locator P1 engages H1, which has no size"},
		{"no position", "size = \"0.1875\"", far, pin, pin, "locator P1 engages H1, which has no position (at)"},
		{"no size of the pin", hole, far, pin, "type = \"round pin\"", "locator P2 has no size"},
		{"no land", hole, far, pin, "type = \"relieved pin\"\nsize = \"0.1873\"", "locator P2 is relieved, but its land has no width"},
		{"both at one place", hole, hole, pin, pin, "the pins overlap"},
	} {
		l := twoPins(t, "in", c.h1, c.h2, c.p1, c.p2)
		assert.Contains(t, l.Skip, c.want, c.name)
		assert.GreaterOrEqual(t, len(l.Pins), 1)
	}
	// Slots, unknown features and parts.
	l := loadTexts(t, map[string]string{
		"p.md": "kind = \"part\"\nid = \"P\"\ntitle = \"p\"\n[[feature]]\nid = \"H1\"\ntype = \"hole\"\nat = [0, 0]\nsize = \"0.1875\"\n[[feature]]\nid = \"S1\"\ntype = \"slot\"\nat = [2.4, 0]\nsize = \"0.1875\"\n",
		"f.md": "kind = \"fixture\"\nid = \"F\"\ntitle = \"f\"\n" +
			"[[station]]\nid = \"A\"\npart = \"P\"\n[[station.locator]]\nid = \"P1\"\nengages = \"H1\"\n" + pin + "\n[[station.locator]]\nid = \"P2\"\nengages = \"S1\"\n" + pin + "\n" +
			"[[station]]\nid = \"B\"\npart = \"P\"\n[[station.locator]]\nid = \"P1\"\nengages = \"H9\"\n" + pin + "\n[[station.locator]]\nid = \"P2\"\n" + pin + "\n" +
			"[[station]]\nid = \"C\"\npart = \"Q\"\n[[station]]\nid = \"D\"\n[[station]]\nid = \"E\"\npart = \"F\"\n",
	})
	for id, want := range map[string]string{
		"A": "locator P2 engages S1, a slot, which leaves the pitch free", "B": "locator P1 engages H9, which P does not have",
		"C": "its part Q is not in the ledger", "D": "the station names no part", "E": "F is no part",
	} {
		assert.Equal(t, want, station(t, l, "F", id, "2025-11-25").Skip, id)
	}
}

// TestPinTooBig compares exactly: 3/16 in and 4.7625 mm are the same size,
// which binary floating point does not say of them.
func TestPinTooBig(t *testing.T) {
	for _, c := range []struct {
		hole, pin string
		tooBig    bool
	}{
		{"4.7625 mm", "3/16 in", false}, {"0.1880 in", "4.7752 mm", false}, {"0.1880 in", "4.77520001 mm", true},
		{"0.1875 +0.0005/-0", "0.1875", false}, {"0.1875 +0.0005/-0", "0.1874 ±0.0001", false}, {"0.1875 +0.0005/-0", "0.1875 ±0.0001", true},
	} {
		l := twoPins(t, "in", "at = [0, 0]\nsize = \""+c.hole+"\"", "at = [2.4, 0]\nsize = \"0.1875\"",
			"type = \"round pin\"\nsize = \""+c.pin+"\"", "type = \"round pin\"\nsize = \"0.1870\"")
		assert.Equal(t, c.tooBig, l.Pins[0].TooBig(), "%s in %s", c.pin, c.hole)
		assert.False(t, l.Pins[1].TooBig())
	}
}

func TestShowDown(t *testing.T) {
	inchWork := twoPins(t, "in", "at = [0, 0]\nsize = 1", "at = [9, 0]\nsize = 1", "type = \"round pin\"\nsize = 0.9", "type = \"round pin\"\nsize = 0.9")
	metric := twoPins(t, "mm", "at = [0, 0]\nsize = 1", "at = [9, 0]\nsize = 1", "type = \"round pin\"\nsize = 0.9", "type = \"round pin\"\nsize = 0.9")
	assert.Equal(t, "0.046 in", study.ShowDown(inchWork.MM(0.04645*inch), 3))
	assert.Equal(t, "0.046 in", study.ShowDown(inchWork.MM(0.046*inch), 3))
	assert.Equal(t, "0.045 in", study.ShowDown(inchWork.MM(0.04599*inch), 3))
	assert.Equal(t, "1.70 mm", study.ShowDown(metric.MM(1.706), 3))
	assert.Equal(t, "", study.ShowDown(metric.MM(0.004), 3))
	assert.Equal(t, "0.00041 in", study.Show(inchWork.MM(0.000411*inch)))
	assert.Equal(t, "0.0411 mm", study.Show(metric.MM(0.0411)))
}
