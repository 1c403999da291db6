package study_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/locate"
	"tenths/ledger"
	"tenths/ledger/study"
)

// holeAt and pinIn are one feature and the locator in it, as written in TOML.
type holeAt struct{ x, y, size string }
type pinIn struct{ size, more string }

// pattern writes a ledger with one part and one station of any number of pins.
func pattern(t testing.TB, units, head string, holes []holeAt, pins []pinIn) (*study.Set, *study.Locating) {
	t.Helper()
	part := "kind = \"part\"\nid = \"P\"\ntitle = \"p\"\nmaterial = \"6061-T6\"\n"
	for k, h := range holes {
		part += fmt.Sprintf("[[feature]]\nid = \"H%d\"\ntype = \"hole\"\nat = [\"%s\", \"%s\"]\nsize = \"%s\"\n", k+1, h.x, h.y, h.size)
	}
	fixture := "kind = \"fixture\"\nid = \"F\"\ntitle = \"f\"\nmaterial = \"4140 pre-hard\"\nstate = \"in use\"\n[[station]]\nid = \"A\"\npart = \"P\"\n" + head
	for k, p := range pins {
		kind := "round pin"
		if strings.Contains(p.more, "land") {
			kind = "relieved pin"
		}
		fixture += fmt.Sprintf("[[station.locator]]\nid = \"P%d\"\ntype = \"%s\"\nengages = \"H%d\"\nsize = \"%s\"\n%s\n", k+1, kind, k+1, p.size, p.more)
	}
	l := loadTexts(t, map[string]string{
		ledger.ConfigName: "units = \"" + units + "\"\ncoldest = \"58 F\"\nhottest = \"84 F\"\n",
		"p.md":            part, "f.md": fixture,
	})
	s := study.New(l, on(t, "2025-11-25"))
	rec := l.Record("F")
	return s, s.Locating(rec, &rec.Data.(*ledger.Fixture).Stations[0])
}

// TestPatternCheckCases runs every case of testdata/locating/pinpattern.json,
// worked out apart from this code (see the README there), through a ledger:
// margin, angle range and play.
func TestPatternCheckCases(t *testing.T) {
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
				ThetaMin *float64 `json:"theta_min"`
				ThetaMax *float64 `json:"theta_max"`
				Play     []struct {
					Point, Direction [2]float64
					MaxPlus          float64 `json:"max_plus"`
					MaxMinus         float64 `json:"max_minus"`
				}
			}
		}
	}
	require.NoError(t, json.Unmarshal(text, &file))
	more := 0
	for _, c := range file.Cases {
		if len(c.Pins) > 2 {
			more++
		}
		t.Run(c.ID, func(t *testing.T) {
			var holes []holeAt
			var pins []pinIn
			for i, p := range c.Pins {
				h := c.Holes[i]
				holes = append(holes, holeAt{fmt.Sprint(h.X), fmt.Sprint(h.Y), fmt.Sprint(h.Diameter)})
				text := fmt.Sprintf("at = [\"%v\", \"%v\"]\n", p.X, p.Y)
				if p.Kind == "relieved" {
					text += fmt.Sprintf("land = \"%v\"\nrelieved_along = \"%v deg\"\n", p.Land, p.Axis)
				}
				pins = append(pins, pinIn{fmt.Sprint(p.Diameter), text})
			}
			_, got := pattern(t, "mm", "", holes, pins)
			require.Empty(t, got.Skip)
			assert.InDelta(t, c.Expect.Margin, got.Worst.Margin, 1e-9)
			assert.Equal(t, c.Expect.Together, got.Worst.GoesOn)
			assert.Len(t, got.Pins, len(c.Pins))
			if c.Expect.ThetaMin != nil && c.Expect.ThetaMax != nil {
				least, most, err := got.Usual.AngleRange()
				require.NoError(t, err)
				assert.InDelta(t, *c.Expect.ThetaMin, least, 1e-9)
				assert.InDelta(t, *c.Expect.ThetaMax, most, 1e-9)
			}
			for _, p := range c.Expect.Play {
				plus, minus, err := got.Looseness(p.Point, p.Direction)
				require.NoError(t, err)
				assert.InDelta(t, p.MaxPlus, plus, 3e-7)
				assert.InDelta(t, p.MaxMinus, minus, 3e-7)
			}
		})
	}
	assert.Equal(t, 2, more, "cases with three and four pins")
}

// fourHoles is a part of 100 by 60 mm with tolerances of ±0.01 on three holes.
func fourHoles() []holeAt {
	return []holeAt{{"0", "0", "8 +0.015/-0"}, {"100 ±0.01", "0", "8 +0.015/-0"}, {"100 ±0.01", "60 ±0.01", "8 +0.015/-0"}, {"0", "60 ±0.01", "8 +0.015/-0"}}
}

// TestFourRoundPins has its worst case by hand: holes 8.000 on pins 7.990 leave
// 0.005 of radius each. Of two pins on a diagonal the holes can come ±0.01 in
// both directions, so along the diagonal by 0.01·(100+60)/sqrt(100²+60²), and
// both pins take up 0.01; the margin of four can only be less than that of two.
func TestFourRoundPins(t *testing.T) {
	p := pinIn{size: "7.990"}
	_, l := pattern(t, "mm", "", fourHoles(), []pinIn{p, p, p, p})
	require.Empty(t, l.Skip)
	diagonal := 0.01 * 160 / math.Hypot(100, 60)
	assert.LessOrEqual(t, l.Worst.Margin, (0.01-diagonal)/2+1e-4)
	assert.False(t, l.Worst.GoesOn)
	assert.InDelta(t, 0.00875, l.Usual.Margin, 1e-9, "all in the middle: half of 8.0075 less 7.990")
	// No part drawn at random is worse than the worst; some are as bad as that they
	// do not go on.
	c, ok := l.Chance()
	require.True(t, ok)
	assert.Less(t, c.P, 1.0)
	assert.Greater(t, c.P, 0.5)
	again, _ := l.Chance()
	assert.Equal(t, c, again)
	// Each way is checked by going it.
	require.NotEmpty(t, l.Ways)
	for _, w := range l.Ways {
		pins := []pinIn{p, p, p, p}
		for i, k := range w.Relieve {
			pins[k].more = fmt.Sprintf("land = \"%.4f\"\nrelieved_along = \"line to P%d\"\n", w.Lands[i]-1e-4, w.To+1)
		}
		for i, k := range w.Smaller {
			pins[k].size = fmt.Sprintf("%.3f", w.Diameters[i])
		}
		_, cured := pattern(t, "mm", "", fourHoles(), pins)
		require.Empty(t, cured.Skip)
		assert.True(t, cured.Worst.GoesOn, "%+v", w)
		assert.Empty(t, cured.Advice())
		_, drawn := cured.Chance()
		assert.False(t, drawn, "where every good part goes on nothing is drawn")
	}
	assert.Contains(t, l.Advice(), "P")
}

// TestThreePins is a round pin with two relieved ones along the lines to it, and
// a third round pin that is in the way.
func TestThreePins(t *testing.T) {
	holes := fourHoles()[:3]
	holes[2] = holeAt{"0", "60 ±0.01", "8 +0.015/-0"}
	relieved := "land = \"2\"\n" // without a word: along the line to the one round pin
	_, l := pattern(t, "mm", "", holes, []pinIn{{"7.985", ""}, {"7.985", relieved}, {"7.985", relieved}})
	require.Empty(t, l.Skip)
	for k, line := range map[int]float64{1: 0, 2: 0} {
		assert.Equal(t, 0, l.Pins[k].To)
		assert.True(t, l.Pins[k].TurnKnown)
		assert.InDelta(t, line, l.Pins[k].Turn, 1e-9)
	}
	assert.True(t, l.Worst.GoesOn)
	assert.Nil(t, l.Ways)
	// Turned by 90 deg the third pin holds the pitch: 0.0075 twice against 0.01
	// goes on, but with a smaller margin, and the turn is known.
	_, turned := pattern(t, "mm", "", holes, []pinIn{{"7.985", ""}, {"7.985", relieved}, {"7.985", relieved + "relieved_along = \"across the line to P1\"\n"}})
	assert.InDelta(t, 90, turned.Pins[2].Turn, 1e-9)
	assert.Less(t, turned.Worst.Margin, l.Worst.Margin)
	_, named := pattern(t, "mm", "", holes, []pinIn{{"7.985", ""}, {"7.985", relieved}, {"7.985", relieved + "relieved_along = \"90 deg\"\n"}})
	assert.InDelta(t, l.Worst.Margin, named.Worst.Margin, 1e-9, "the angle of the line to P1")
	// Two round pins beside a relieved one: no direction is the right one by
	// itself, so it must be said.
	_, two := pattern(t, "mm", "", holes, []pinIn{{"7.985", ""}, {"7.985", ""}, {"7.985", relieved}})
	assert.Contains(t, two.Skip, "more than one pin could be meant")
	_, said := pattern(t, "mm", "", holes, []pinIn{{"7.985", ""}, {"7.985", ""}, {"7.985", relieved + "relieved_along = \"line to P2\"\n"}})
	require.Empty(t, said.Skip)
	assert.Equal(t, -1, said.Pins[2].To)
	assert.False(t, said.Pins[2].TurnKnown)
}

// TestPatternIsThatOfTwoPins: a third pin with all the room in the world changes
// nothing of what two say.
func TestPatternIsThatOfTwoPins(t *testing.T) {
	holes := []holeAt{{"0", "0", "0.1875 +0.0005/-0"}, {"2.4000 ±0.0005", "0", "0.1875 +0.0005/-0"}, {"1.2", "1", "0.5"}}
	pins := []pinIn{{"0.1870", ""}, {"0.1870", "land = \"0.045\"\nrelieved_along = \"line to P1\"\n"}, {"0.3", ""}}
	_, two := pattern(t, "in", "", holes[:2], pins[:2])
	_, three := pattern(t, "in", "", holes, pins)
	require.Empty(t, three.Skip)
	assert.InDelta(t, two.Worst.Margin, three.Worst.Margin, 1e-9)
	for _, dir := range [][2]float64{{1, 0}, {0, 1}, {1, 2}} {
		plus, minus, err := two.Looseness([2]float64{70, 10}, dir)
		require.NoError(t, err)
		plus3, minus3, err := three.Looseness([2]float64{70, 10}, dir)
		require.NoError(t, err)
		assert.InDelta(t, plus, plus3, 1e-8)
		assert.InDelta(t, minus, minus3, 1e-8)
	}
	w2, w3 := two.WidestLand(1), three.WidestLand(1)
	assert.InDelta(t, w2, w3, 1e-3, "the closed form and the search")
}

// TestLargestPins: one step larger and not every good part goes on.
func TestLargestPins(t *testing.T) {
	for _, pins := range [][]pinIn{
		{{"0.1870", ""}, {"0.1870", "land = \"0.045\"\nrelieved_along = \"line to P1\"\n"}},
		{{"0.1871", ""}, {"0.1865", ""}},
	} {
		holes := []holeAt{{"0", "0", "0.1875 +0.0005/-0"}, {"2.4000 ±0.0003", "0", "0.1875 +0.0005/-0"}}
		_, l := pattern(t, "in", "", holes, pins)
		require.Empty(t, l.Skip)
		for k, d := range l.LargestPins() {
			for step, want := range map[float64]bool{0: true, 0.0001: false} {
				other := append([]pinIn(nil), pins...)
				other[k].size = fmt.Sprintf("%.4f", d/inch+step)
				_, got := pattern(t, "in", "", holes, other)
				assert.Equal(t, want, got.Worst.GoesOn && !got.Pins[k].TooBig(), "pin %d of %s", k+1, other[k].size)
			}
		}
	}
}

// TestSurveysInDoubt widens the places of the pins by hand: two round pins along
// x, each surveyed to ±0.0001 in, so that the pitch can be 0.0002 in worse and the
// margin half of that.
func TestSurveysInDoubt(t *testing.T) {
	holes := []holeAt{{"0", "0", "0.1875 +0.0005/-0"}, {"2.4000 ±0.0002", "0", "0.1875 +0.0005/-0"}}
	sv := "[[station.locator.survey]]\non = 2025-01-02\noff = [\"1 tenths\", 0]\n"
	known := sv + "uncertainty = \"1 tenth\"\n"
	_, l := pattern(t, "in", "", holes, []pinIn{{"0.1871", known}, {"0.1871", known}})
	low, ok := l.MarginInDoubt()
	require.True(t, ok)
	assert.InDelta(t, 0.0001, l.Worst.Margin/inch, 1e-9, "(0.0004 - 0.0002)/2")
	// The corners of the squares that the places lie in also turn the line by a
	// hair, which the closed form of the pitch does not see.
	assert.InDelta(t, 0, low/inch, 1e-8)
	by, ok := l.InDoubt()
	assert.True(t, ok)
	assert.InDelta(t, 0.0002, by/inch, 1e-9)
	assert.True(t, l.Worst.GoesOn, "what was found is what counts")
	_, none := pattern(t, "in", "", holes, []pinIn{{"0.1871", sv}, {"0.1871", sv}})
	_, ok = none.MarginInDoubt()
	assert.False(t, ok, "the surveys do not say how good they are")
	assert.Equal(t, none.Worst.Margin, l.Worst.Margin)
	_, one := pattern(t, "in", "", holes, []pinIn{{"0.1871", sv}, {"0.1871", known}})
	low, ok = one.MarginInDoubt()
	assert.True(t, ok)
	assert.InDelta(t, 0.00005, low/inch, 1e-8)
}

// TestChanceAgainstClosedForm: two round pins of equal clearance c in radius
// take up 2c of pitch, which lies evenly within ±a: 2c/a of the parts go on. With
// the sizes of the holes even as well, their mean counts.
func TestChanceAgainstClosedForm(t *testing.T) {
	for _, c := range []struct {
		hole string
		want float64
	}{{"8.010", 0.01 / 0.04}, {"8.010 ±0.006", 0.01 / 0.04}, {"8.020 ±0.003", 0.02 / 0.04}} {
		_, l := pattern(t, "mm", "", []holeAt{{"0", "0", c.hole}, {"100 ±0.04", "0", c.hole}}, []pinIn{{"8.000", ""}, {"8.000", ""}})
		got, ok := l.Chance()
		require.True(t, ok)
		assert.InDelta(t, c.want, got.P, 4*got.StdErr, c.hole)
		assert.Less(t, got.StdErr, 0.0013)
	}
}

// TestWarmFit against the formula: 2.4 in of 6061 on 4140 at 84 and 58 °F, with
// 23.94 and 12.3 ppm/K from the table of materials, 16 and 10 °F from 68.
func TestWarmFit(t *testing.T) {
	holes := []holeAt{{"0", "0", "0.1875 +0.0005/-0"}, {"2.4000 ±0.0002", "0", "0.1875 +0.0005/-0"}}
	pins := []pinIn{{"0.1871", ""}, {"0.1871", ""}}
	s, l := pattern(t, "in", "", holes, pins)
	w := s.WarmFit(l)
	require.Empty(t, w.Skip)
	assert.Equal(t, "6061", w.Part.Name)
	assert.Equal(t, "4140", w.Fixture.Name)
	hot, cold := 2.4*11.64e-6*16/1.8, -2.4*11.64e-6*10/1.8
	assert.InDelta(t, hot, w.Hot.Difference.FloatIn(w.Hot.Difference.Unit()), 1e-12)
	assert.InDelta(t, cold, w.Cold.Difference.FloatIn(w.Cold.Difference.Unit()), 1e-12)
	assert.InDelta(t, 0.0004, w.Allowance/inch, 1e-9)
	assert.InDelta(t, hot/0.0004, w.Hot.Share, 1e-6)
	assert.Equal(t, &w.Hot, w.Worse())
	assert.True(t, w.TooMuch(l), "62 %")
	// The worst part at that temperature: the pitch tolerance and the growth, less
	// the gain in clearance, as the hole grows more than the pin.
	grown := (0.1875*23.94e-6 - 0.1871*12.3e-6) * 16 / 1.8
	assert.InDelta(t, (0.0004+grown-0.0002-hot)/2, w.Hot.Worst.Margin/inch, 1e-7)
	// Half the expansion, half the share: the same on a longer allowance.
	s, l = pattern(t, "in", "", holes, []pinIn{{"0.1869", ""}, {"0.1869", ""}})
	assert.False(t, s.WarmFit(l).TooMuch(l), "41 %")
	// Three pins: the allowance of the pattern, found by search, is that of the
	// longest pair where the third has room.
	s, l = pattern(t, "in", "", append(holes, holeAt{"1.2", "0.5", "0.25"}), append(pins, pinIn{"0.2", ""}))
	three := s.WarmFit(l)
	require.Empty(t, three.Skip)
	assert.Equal(t, [2]int{0, 1}, [2]int{three.From, three.To})
	assert.InDelta(t, w.Allowance, three.Allowance, 1e-6)
	assert.InDelta(t, w.Hot.Share, three.Hot.Share, 1e-4)
}

// TestMovingTheStation turns and shifts a whole station: the part in its own
// axes, with the pins designed where the holes are.
func TestMovingTheStation(t *testing.T) {
	at := func(turn float64) ([]holeAt, []pinIn) {
		sin, cos := math.Sincos(turn)
		var holes []holeAt
		for _, p := range [][2]float64{{0, 0}, {90, 5}, {40, 60}} {
			holes = append(holes, holeAt{fmt.Sprintf("%.9f", 20+cos*p[0]-sin*p[1]), fmt.Sprintf("%.9f", -7+sin*p[0]+cos*p[1]), "8.02"})
		}
		off := func(x, y float64) string {
			return fmt.Sprintf("[[station.locator.survey]]\non = 2025-01-02\noff = [\"%.9f\", \"%.9f\"]\n", cos*x-sin*y, sin*x+cos*y)
		}
		return holes, []pinIn{{"8", off(0.001, 0.004)}, {"8", "land = \"2\"\nrelieved_along = \"line to P1\"\n" + off(0.006, -0.002)}, {"7.99", off(-0.003, 0.001)}}
	}
	holes, pins := at(0)
	_, still := pattern(t, "mm", "", holes, pins)
	require.Empty(t, still.Skip)
	plus, minus, err := still.Looseness([2]float64{20 + 100, -7}, [2]float64{0, 1})
	require.NoError(t, err)
	for _, turn := range []float64{0.3, 1.9, -2.6} {
		holes, pins := at(turn)
		_, moved := pattern(t, "mm", "", holes, pins)
		require.Empty(t, moved.Skip)
		assert.InDelta(t, still.Worst.Margin, moved.Worst.Margin, 1e-7)
		assert.Equal(t, still.Worst.Binds, moved.Worst.Binds)
		sin, cos := math.Sincos(turn)
		p, m, err := moved.Looseness([2]float64{20 + cos*100, -7 + sin*100}, [2]float64{-sin, cos})
		require.NoError(t, err)
		assert.InDelta(t, plus, p, 1e-6)
		assert.InDelta(t, minus, m, 1e-6)
	}
}

// TestTooManyTolerances: the corners of eight pins are too many to try.
func TestTooManyTolerances(t *testing.T) {
	var holes []holeAt
	var pins []pinIn
	for k := range 8 {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / 8)
		holes = append(holes, holeAt{fmt.Sprintf("%.3f ±0.01", 50*cos), fmt.Sprintf("%.3f ±0.01", 50*sin), "5.05"})
		pins = append(pins, pinIn{"5", ""})
	}
	_, l := pattern(t, "mm", "", holes, pins)
	assert.Contains(t, l.Skip, "coordinates are uncertain")
	assert.Len(t, l.Pins, 8)
	assert.Empty(t, l.Advice())
	_, ok := l.Chance()
	assert.False(t, ok)
}

// TestLandFault is the rule's data by itself; the rule has stories of its own.
func TestLandFault(t *testing.T) {
	holes := []holeAt{{"0", "0", "0.1875 +0.0005/-0"}, {"2.4000 ±0.0002", "0", "0.1875 +0.0005/-0"}}
	for land, want := range map[string]study.LandFault{
		"0.0099": study.KnifeEdge, "0.0100": study.LandServes, "0.25 mm": study.KnifeEdge, "0.254 mm": study.LandServes, "0.090": study.LandServes, "0.1870": study.NoRelief, "0.45": study.NoRelief,
	} {
		_, l := pattern(t, "in", "", holes, []pinIn{{"0.1870", ""}, {"0.1870", "land = \"" + land + "\"\nrelieved_along = \"line to P1\"\n"}})
		assert.Equal(t, want, l.LandFault(1), land)
		assert.Equal(t, study.LandServes, l.LandFault(0), "a round pin has no land")
	}
}

// TestHandbookIsHigh: on every relieved pin of a station the handbook's reach is
// above the exact one.
func TestHandbookIsHigh(t *testing.T) {
	for _, land := range []string{"0.5", "1", "3", "7.9"} {
		_, l := pattern(t, "mm", "", []holeAt{{"0", "0", "8.02"}, {"90", "0", "8.02"}}, []pinIn{{"8", ""}, {"8", "land = \"" + land + "\"\nrelieved_along = \"line to P1\"\n"}})
		require.Empty(t, l.Skip)
		var w float64
		_, err := fmt.Sscan(land, &w)
		require.NoError(t, err)
		exact, err := locate.Reach(8.02, 8, w)
		require.NoError(t, err)
		assert.InDelta(t, exact, l.Usual.Reach[1], 1e-12)
		assert.InDelta(t, 8.02*0.02/(2*w), l.Usual.HandbookReach[1], 1e-9, "D·(D - d)/(2w), common practice")
		assert.Greater(t, l.Usual.HandbookReach[1], l.Usual.Reach[1])
	}
}

// BenchmarkStation is the whole study of a station as lint asks for it: from the
// records to the worst part and its cure.
func BenchmarkStation(b *testing.B) {
	two := []holeAt{{"0", "0", "0.1875 +0.0005/-0"}, {"2.4000 ±0.0005", "0", "0.1875 +0.0005/-0"}}
	for name, c := range map[string]struct {
		units string
		holes []holeAt
		pins  []pinIn
	}{
		"two that go on":    {"in", two, []pinIn{{"0.1870", ""}, {"0.1870", "land = \"0.045\"\nrelieved_along = \"line to P1\"\n"}}},
		"two that bind":     {"in", two, []pinIn{{"0.1873", ""}, {"0.1873", ""}}},
		"four that bind":    {"mm", fourHoles(), []pinIn{{"7.99", ""}, {"7.99", ""}, {"7.99", ""}, {"7.99", ""}}},
		"four that go on":   {"mm", fourHoles(), []pinIn{{"7.9", ""}, {"7.9", ""}, {"7.9", ""}, {"7.9", ""}}},
		"four, hardly bind": {"mm", fourHoles(), []pinIn{{"7.98", ""}, {"7.98", ""}, {"7.98", ""}, {"7.98", ""}}},
	} {
		s, l := pattern(b, c.units, "", c.holes, c.pins)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				study.New(s.L, s.AsOf).Locating(l.Rec, l.Station)
			}
		})
	}
}

// TestAdvice: what is said is what was computed, for two pins, for more, and for
// a pin that does not enter its hole.
func TestAdvice(t *testing.T) {
	two := []holeAt{{"0", "0", "0.1875 +0.0005/-0"}, {"2.4000 ±0.0005", "0", "0.1875 +0.0005/-0"}}
	for _, c := range []struct {
		name  string
		holes []holeAt
		pins  []pinIn
		want  string
	}{
		{"all go on", two, []pinIn{{"0.1865", ""}, {"0.1865", ""}}, ""},
		{"relieve", two, []pinIn{{"0.1873", ""}, {"0.1873", ""}}, "relieve P2 along the line to P1 with a land of at most 0.046 in (the handbook formula would say 0.047 in)"},
		{"narrow", two, []pinIn{{"0.1873", ""}, {"0.1873", "land = \"0.060\"\n"}}, "narrow the land of P2 to at most 0.046 in (the handbook formula would say 0.047 in)"},
		{"too large", two, []pinIn{{"0.1873", ""}, {"0.1876", ""}}, "a pin smaller than 0.1875 in for P2"},
		// Holes in line, the middle one off by up to 0.0002 across: the outer pins let
		// the part move by 0.0001, so that the middle one needs 0.0001 of radius. No
		// relief along the line helps across it.
		{"three", []holeAt{{"0", "0", "0.1875"}, {"2.4", "0", "0.1875"}, {"1.2", "0 ±0.0002", "0.1875"}}, []pinIn{{"0.1873", ""}, {"0.1873", ""}, {"0.1874", ""}}, "a pin of at most 0.1873 in for P3"},
	} {
		_, l := pattern(t, "in", "", c.holes, c.pins)
		require.Empty(t, l.Skip, c.name)
		assert.Equal(t, c.want, l.Advice(), c.name)
	}
}
