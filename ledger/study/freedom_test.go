package study_test

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/freedom"
	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// held gives the study of the only station of a fixture FX1, whose keys follow
// those of the station.
func held(t *testing.T, units, day, part, keys string) (*study.Set, *study.Freedom) {
	t.Helper()
	texts := map[string]string{
		"f.md": "kind = \"fixture\"\nid = \"FX1\"\ntitle = \"t\"\nunits = \"" + units + "\"\n[[station]]\nid = \"A\"\n" + keys,
	}
	if part != "" {
		texts["p.md"] = "kind = \"part\"\nid = \"P-10\"\ntitle = \"t\"\nunits = \"" + units + "\"\n" + part
	}
	l := loadTexts(t, texts)
	s := study.New(l, on(t, day))
	rec := l.Record("FX1")
	return s, s.Freedom(rec, &rec.Data.(*ledger.Fixture).Stations[0])
}

// locatorText writes a locator: "round pin P1 0,0 more = ..." with at after the id.
func locatorText(kind, id, at, more string) string {
	return fmt.Sprintf("[[station.locator]]\nid = %q\ntype = %q\nat = [%s]\n%s\n", id, kind, at, more)
}

// TestFreedomReference writes the cases of testdata/locating/locating.json (see
// its README) as stations, and compares what comes back.
func TestFreedomReference(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/locating/locating.json")
	require.NoError(t, err)
	var file struct {
		Cases []struct {
			ID        string
			Dimension int
			Locators  []struct{ Point, Normal []float64 }
			Errors    []float64 `json:"locator_errors"`
			Tol       []float64 `json:"locator_tolerances"`
			At        []float64 `json:"feature_point"`
			Normal    []float64 `json:"feature_normal"`
			Expect    struct {
				Rank      int
				Fighting  []int     `json:"locators_in_a_redundancy"`
				Gap       float64   `json:"compatibility_residual_mm"`
				Influence []float64 `json:"influence"`
				Along     float64   `json:"along_normal"`
				Worst     float64   `json:"worst_case"`
				RSS       float64   `json:"rss"`
			}
		}
	}
	require.NoError(t, json.Unmarshal(raw, &file))
	require.Len(t, file.Cases, 3)
	list := func(v []float64) string { return strings.Trim(strings.Join(strings.Fields(fmt.Sprint(v)), ", "), "[]") }
	for _, c := range file.Cases {
		t.Run(c.ID, func(t *testing.T) {
			var keys strings.Builder
			for i, l := range c.Locators {
				n := l.Normal
				more := fmt.Sprintf("pushes = [%s]", list(n))
				if c.Dimension == 2 {
					more += fmt.Sprintf("\n[[station.locator.survey]]\non = 2024-01-01\noff = [%.12f, %.12f]\nuncertainty = %g", n[0]*c.Errors[i], n[1]*c.Errors[i], c.Tol[i])
				}
				keys.WriteString(locatorText("stop", fmt.Sprintf("L%d", i+1), list(l.Point), more))
			}
			_, f := held(t, "mm", "2025-01-01", "", keys.String())
			require.Empty(t, f.Skip)
			assert.True(t, f.Fixed())
			assert.Equal(t, c.Expect.Rank, f.Rank)
			assert.Equal(t, c.Dimension == 3, f.InSpace)
			assert.Positive(t, f.Spread)
			point := func(v []float64) (p [3]float64) { copy(p[:], v); return }
			p, err := f.ShiftOf(point(c.At), point(c.Normal))
			require.NoError(t, err)
			assert.InDeltaSlice(t, c.Expect.Influence, p.Factors, 1e-9)
			if len(c.Expect.Fighting) > 0 {
				require.Len(t, f.Fights, 1)
				var names []string
				for _, l := range f.Fights[0].Locators {
					names = append(names, l.ID.S)
				}
				assert.Len(t, names, len(c.Expect.Fighting))
				assert.InDelta(t, -c.Expect.Gap, f.Fights[0].Gaps[0].Open, 1e-9)
			}
			if c.Dimension == 2 {
				assert.InDelta(t, c.Expect.Along, p.Shift, 1e-8)
				assert.InDelta(t, c.Expect.RSS, p.Usual, 1e-8)
				assert.InDelta(t, c.Expect.Worst, p.Worst, 1e-8)
			}
		})
	}
}

// TestFreedomWords are the schemes that tool-design texts begin with (seat, round
// pin, relieved pin; 3-2-1; common practice) and what they leave.
func TestFreedomWords(t *testing.T) {
	p1 := locatorText("round pin", "P1", "0, 0", "")
	relieved := func(at, along string) string {
		return locatorText("relieved pin", "P2", at, "relieved_along = \""+along+"\"")
	}
	rests := locatorText("rest", "R1", "0, -1", "") + locatorText("rest", "R2", "2.4, -1", "") + locatorText("rest", "R3", "1.2, 1", "")
	edge := locatorText("stop", "S1", "1.2, 0.75", "pushes = [0, -1]")
	for _, c := range []struct {
		name, keys string
		space      bool
		rank       int
		free       []string
		fights     [][]string
		skip       string
	}{
		{name: "round and relieved", keys: p1 + relieved("2.4, 0", "line to P1"), rank: 3},
		{name: "nothing said of the relief", keys: p1 + locatorText("relieved pin", "P2", "2.4, 0", ""), rank: 3},
		{name: "one pin", keys: p1, rank: 2, free: []string{"turn about P1"}},
		{name: "one pin, turn held", keys: "turn_held_by = \"edge rest\"\n" + p1, rank: 2, free: []string{"turn about P1 (edge rest)"}},
		{name: "relief across", keys: p1 + relieved("2.4, 0", "across the line to P1"), rank: 2, free: []string{"turn about P1"}, fights: [][]string{{"P1", "P2"}}},
		{name: "relief by its angle", keys: p1 + relieved("0, 2.4", "90 deg"), rank: 3},
		{name: "two round pins", keys: p1 + locatorText("round pin", "P2", "2.4, 0", ""), rank: 3, fights: [][]string{{"P1", "P2"}}},
		{name: "two relieved pins", keys: locatorText("relieved pin", "P1", "0, 0", "relieved_along = \"line to P2\"") + relieved("2.4, 0", "line to P1"),
			rank: 2, free: []string{"shift along x"}},
		{name: "pins and an edge", keys: p1 + relieved("2.4, 0", "line to P1") + edge, rank: 3, fights: [][]string{{"P1", "P2", "S1"}}},
		{name: "pin in a slot", keys: p1 + locatorText("slot", "SL", "2.4, 0", "pushes = [0, 1]"), rank: 3},
		{name: "rests and a pin", keys: p1 + rests, space: true, rank: 5, free: []string{"turn about P1"}},
		{name: "rests and pins", keys: p1 + relieved("2.4, 0", "line to P1") + rests, space: true, rank: 6},
		{name: "four rests", keys: p1 + relieved("2.4, 0", "line to P1") + rests + locatorText("rest", "R4", "1.2, -1", ""), space: true, rank: 6,
			fights: [][]string{{"R1", "R2", "R4"}}},
		{name: "two supports that say so", keys: p1 + relieved("2.4, 0", "line to P1") + locatorText("rest", "R1", "0, 0", "pushes = [0, 0, 1]") + locatorText("rest", "R2", "2.4, 0", "pushes = [0, 0, 1]"),
			space: true, rank: 5, free: []string{"tilt about x"}},
		{name: "an undirected rest", keys: p1 + locatorText("rest", "R1", "2.4, 1", ""), skip: "rest R1 does not say which way it pushes"},
		{name: "nest", keys: locatorText("nest", "N1", "0, 0", ""), skip: "holds the part by its outline"},
		{name: "stop", keys: p1 + locatorText("stop", "S1", "0, 0", ""), skip: "stop S1 does not say which way it pushes"},
		{name: "no direction", keys: locatorText("stop", "S1", "0, 0", "pushes = [0, 0]"), skip: "pushes in no direction"},
		{name: "no place", keys: "[[station.locator]]\nid = \"S1\"\ntype = \"stop\"\npushes = [1, 0]\n", skip: "locator S1 has no position"},
		{name: "relief unreadable", keys: p1 + relieved("2.4, 0", "somehow"), skip: "gives no direction"},
		{name: "nothing", skip: "names no locator"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, f := held(t, "in", "2025-01-01", "", c.keys)
			if c.skip != "" {
				assert.Contains(t, f.Skip, c.skip)
				assert.False(t, f.Fixed())
				return
			}
			require.Empty(t, f.Skip)
			assert.Equal(t, c.space, f.InSpace)
			assert.Equal(t, c.rank, f.Rank)
			var free []string
			heldBy := true
			for _, m := range f.Free {
				text := m.Text
				if m.HeldBy != "" {
					text += " (" + m.HeldBy + ")"
				} else {
					heldBy = false
				}
				free = append(free, text)
			}
			assert.Equal(t, c.free, free)
			assert.Equal(t, heldBy, f.Fixed())
			var fights [][]string
			for _, g := range f.Fights {
				var names []string
				for _, l := range g.Locators {
					names = append(names, l.ID.S)
				}
				fights = append(fights, names)
			}
			assert.Equal(t, c.fights, fights)
		})
	}
}

// TestFreedomOfTheDemo holds the focuser demo against F4 of the trade's formula
// sheet: the edge shift -n·e1 + turn (nx py - ny px), turn (e2y - e1y)/L, and the
// steps of 2024-03-09 that it gives (model of CH-01, invented data). Where P2 of
// station B was round as well, x is the mean of both, so only the points that look
// along y are compared.
func TestFreedomOfTheDemo(t *testing.T) {
	src, err := source.Dir("../../examples/focuser")
	require.NoError(t, err)
	l, err := ledger.Load(src)
	require.NoError(t, err)
	s := study.New(l, on(t, "2024-03-09"))
	rec := l.Record("FX1")
	shifts := map[string]map[string]float64{}
	for i := range 2 {
		st := &rec.Data.(*ledger.Fixture).Stations[i]
		f := s.Freedom(rec, st)
		require.Empty(t, f.Skip)
		require.True(t, f.Fixed())
		shifts[st.ID.S] = map[string]float64{}
		for _, p := range s.ShiftsAt(f) {
			shifts[st.ID.S][strings.TrimPrefix(p.Path, "A-01/KC-1/")] = p.Shift / 0.00254
			if st.ID.S == "A" {
				assert.Equal(t, "P1 x", f.Rows[0].Name)
				assert.Equal(t, "P2", f.Rows[2].Name)
				assert.GreaterOrEqual(t, p.Worst, p.Usual)
				assert.Positive(t, p.Usual)
			}
		}
	}
	require.Len(t, shifts["A"], 6)
	turn := (7.0 + 9.0) / 2.4
	for _, p := range []struct {
		id           string
		x, y, nx, ny float64
		step         float64
	}{
		{"K1", -0.4, 0, -1, 0, 0}, {"K4", 2.8, 0, 1, 0, 0},
		{"K2", 0.2, 0.75, 0, 1, -11.5}, {"K3", 2.2, 0.75, 0, 1, 3.5}, {"K5", 2.2, -0.75, 0, -1, -3.5}, {"K6", 0.2, -0.75, 0, -1, 11.5},
	} {
		edge := -(p.nx*4 - p.ny*9) + turn*(p.nx*p.y-p.ny*p.x)
		assert.InDelta(t, edge, -shifts["A"][p.id], 1e-9, p.id)
		if p.step != 0 {
			assert.InDelta(t, p.step, -shifts["B"][p.id]+shifts["A"][p.id], 0.05, p.id)
		}
	}
	fx := rec.Data.(*ledger.Fixture)
	b := s.Freedom(rec, &fx.Stations[1])
	require.Len(t, b.Fights, 1, "two round pins then")
	assert.True(t, b.Fights[0].Pins)
	assert.InDelta(t, -2, b.Fights[0].Gaps[0].Open/0.00254, 1e-9, "P1 -3, P2 -1: P2 stands two tenths beyond")
}

// TestShiftsWithoutPoints falls back on the farthest feature, and says nothing of
// what the part is free to do.
func TestShiftsWithoutPoints(t *testing.T) {
	part := "[[feature]]\nid = \"H1\"\nat = [0, 0]\n[[feature]]\nid = \"FAR\"\nat = [3, 0]\n"
	p1 := locatorText("round pin", "P1", "\"0 ±0.0002\", \"0 ±0.0002\"", "engages = \"H1\"")
	s, f := held(t, "in", "2025-01-01", part, "part = \"P-10\"\n"+p1)
	got := s.ShiftsAt(f)
	require.Len(t, got, 1, "y is free to turn")
	assert.Equal(t, "P-10/FAR", got[0].Path)
	assert.Equal(t, "x", got[0].Along)
	assert.InDelta(t, 0.0002*inch, got[0].Worst, 1e-9)
	_, err := f.ShiftOf([3]float64{3 * inch, 0, 0}, [3]float64{0, 1, 0})
	assert.ErrorIs(t, err, freedom.ErrFree)
}
