package study_test

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger/study"
)

func clamping(t *testing.T, keys string) *study.Clamping {
	t.Helper()
	s, f := held(t, "mm", "2025-01-01", "", keys)
	return s.Clamping(f.Rec, f.Station)
}

// TestClampingReference writes the cases of testdata/locating/clamping.json (see
// its README) as stations. The study uses polygons of 16 sides.
func TestClampingReference(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/locating/clamping.json")
	require.NoError(t, err)
	var file struct {
		Cases []struct {
			ID       string
			Contacts []struct {
				Point, Normal [3]float64
				Mu            float64
				Kind          string
			}
			Loads  []struct{ Force, Point, Moment [3]float64 }
			Expect map[string]float64
		}
	}
	require.NoError(t, json.Unmarshal(raw, &file))
	require.Len(t, file.Cases, 2)
	list := func(v [3]float64) string { return fmt.Sprintf("%g, %g, %g", v[0], v[1], v[2]) }
	for _, c := range file.Cases {
		t.Run(c.ID, func(t *testing.T) {
			want := c.Expect["min_total_clamp_m16"]
			head, keys := "safety = 1\n", ""
			for i, k := range c.Contacts {
				if k.Kind == "clamp" {
					keys += fmt.Sprintf("[[station.clamp]]\nid = \"C%d\"\nat = [%s]\nfriction = %g\nforce = \"%.6f N\"\n", i, list(k.Point), k.Mu, want)
					require.Equal(t, [3]float64{0, 0, -1}, k.Normal)
					continue
				}
				head = fmt.Sprintf("safety = 1\nfriction = %g\n", k.Mu)
				keys += locatorText("rest", fmt.Sprintf("R%d", i), list(k.Point), "")
			}
			for i, l := range c.Loads {
				keys += fmt.Sprintf("[[station.load]]\nid = \"L%d\"\nat = [%s]\n", i, list(l.Point))
				if l.Force[0] != 0 {
					keys += fmt.Sprintf("pushes = [1, 0]\nforce = \"%g N\"\n", l.Force[0])
				} else {
					keys += fmt.Sprintf("pushes = [0, 0, -1]\nforce = \"%g N\"\ntorque = \"%g N*mm\"\n", -l.Force[2], -l.Moment[2])
				}
			}
			got := clamping(t, head+keys)
			require.Empty(t, got.Skip+got.LeastSkip+got.ReserveSkip)
			require.Len(t, got.Least, 1)
			assert.InDelta(t, want, got.Least[0].Force, 1e-5)
			require.Len(t, got.Reserves, 1)
			assert.InDelta(t, 1, got.Reserves[0].Times, 1e-5)
			assert.Contains(t, strings.Join(got.Cautions, " "), "safety factor 1 on the loads")
			assert.Contains(t, got.Cautions[0], "the least that could do, not enough")
		})
	}
}

const fourRests = `[[station.locator]]
id = "R1"
type = "rest"
at = [-50, -30]
[[station.locator]]
id = "R2"
type = "rest"
at = [-50, 30]
[[station.locator]]
id = "R3"
type = "rest"
at = [50, -30]
[[station.locator]]
id = "R4"
type = "rest"
at = [50, 30]
`

func clampText(id, at, more string) string {
	return fmt.Sprintf("[[station.clamp]]\nid = %q\nat = [%s]\n%s\n", id, at, more)
}

// TestSeatingByHand: levers.
func TestSeatingByHand(t *testing.T) {
	three := strings.Join(strings.SplitAfter(fourRests, "\n")[:12], "")
	got := clamping(t, three+clampText("C1", "-25, -15, 20", "force = \"1000 N\""))
	require.Empty(t, got.SeatSkip)
	// R1 (-50, -30), R2 (-50, 30), R3 (50, -30): R3 carries 25/100, R2 15/60.
	for i, want := range []float64{500, 250, 250} {
		assert.InDelta(t, want, got.Seat[i].Force, 1e-6)
	}
	assert.True(t, got.Seated)
	assert.Equal(t, []string{"shift along x", "shift along y", "turn about the point 0.0000 mm, 0.0000 mm"}, got.SeatFree)

	got = clamping(t, three+clampText("C1", "30, 20, 20", "force = \"1000 N\""))
	assert.False(t, got.Seated)
	assert.True(t, got.Seat[0].Lifts, "the clamp stands outside the triangle")
	assert.InDelta(t, -633.33, got.Seat[0].Force, 0.01)

	// A clamp that pushes the part against a pin and down: the pin takes it.
	got = clamping(t, locatorText("round pin", "P1", "0, 0", "")+fourRests+clampText("C1", "0, 0, 0", "pushes = [1, 0, -1]\nforce = \"1000 N\""))
	require.Empty(t, got.SeatSkip)
	assert.True(t, got.Seated)
	require.Len(t, got.Seat, 4, "rests only; a pin pushes either way")
	assert.InDelta(t, 1000/1.4142135623730951/4, got.Seat[3].Force, 1e-6)
	// Without a pin nothing stops it.
	got = clamping(t, fourRests+clampText("C1", "0, 0, 0", "pushes = [1, 0, -1]\nforce = \"1000 N\""))
	assert.Contains(t, got.SeatSkip, "shift along X")
}

// TestClampingAllDirections: W (mu + mu) = k F, in the worst direction as in all
// others (formula of fixture handbooks, common practice).
func TestClampingAllDirections(t *testing.T) {
	keys := "friction = 0.2\nsafety = 2\n" + fourRests + clampText("C1", "0, 0, 10", "force = \"1000 ±100 N\"\nfriction = 0.1") +
		"[[station.load]]\nid = \"L1\"\nat = [0, 0, 0]\nforce = \"90 N\"\n[[station.load]]\nid = \"L2\"\nat = [0, 0, 10]\npushes = [0, 0, 1]\nforce = \"100 N\"\n"
	got := clamping(t, keys)
	require.Empty(t, got.Skip+got.LeastSkip+got.ReserveSkip)
	require.Len(t, got.Reserves, 2)
	assert.InDelta(t, 900*0.3/90, got.Reserves[0].Times, 0.06, "polygons of friction and of directions")
	assert.NotEmpty(t, got.Reserves[0].Direction)
	assert.InDelta(t, 9, got.Reserves[1].Times, 1e-6)
	assert.Empty(t, got.Reserves[1].Direction)
	assert.InDelta(t, 2*90/0.3, got.Least[0].Force, 12)
	assert.Equal(t, "607 N", got.Force(606.6).String())
}

// TestClampingLacks names what is not said.
func TestClampingLacks(t *testing.T) {
	c1 := clampText("C1", "0, 0, 10", "force = \"100 N\"")
	load := "[[station.load]]\nid = \"L1\"\nat = [0, 0, 5]\nforce = \"9 N\"\n"
	for _, c := range []struct{ keys, says string }{
		{locatorText("round pin", "P1", "0, 0", "") + c1, "where the part is held up"},
		{c1, "names no locator"},
		{fourRests + clampText("C1", "0, 0", ""), "clamp C1 has no place with three numbers"},
		{fourRests + clampText("C1", "0, 0, 10", "pushes = [0, 0, 0]"), "clamp C1 pushes in no direction"},
		{fourRests + clampText("C1", "0, 0, 10", ""), "not every clamp has a force"},
		{fourRests + c1, "names no cutting load"},
		{fourRests + c1 + load, "states no friction"},
		{"friction = 0.2\n" + fourRests + c1 + load, "states no safety factor"},
		{"friction = 0.2\n" + fourRests + c1 + strings.Replace(load, ", 5]", "]", 1), "tips the part by its height"},
		{"friction = 0.2\n" + fourRests + c1 + strings.Replace(load, "force", "pushes = [0, 0]\nforce", 1), "load L1 pushes in no direction"},
		{"friction = 0.2\n" + fourRests + c1 + strings.Replace(load, "force = \"9 N\"", "torque = \"9 N*m\"", 1), "no direction that it turns about"},
		{"friction = 0.2\n" + fourRests + c1 + strings.Replace(load, "force = \"9 N\"\n", "", 1), "load L1 has no force"},
		{"friction = 0.2\nsafety = 0.5\n" + fourRests + c1 + load, "state a factor on the loads"},
		{"friction = 0.2\nsafety = 2\n" + fourRests + clampText("C1", "90, 0, 10", "force = \"100 N\"\nfriction = 0") + load, "before any cut"},
	} {
		got := clamping(t, c.keys)
		require.NotNil(t, got)
		assert.Contains(t, strings.Join([]string{got.Skip, got.SeatSkip, got.ReserveSkip, got.LeastSkip}, "; "), c.says)
	}
	assert.Nil(t, clamping(t, fourRests), "no clamp, nothing to say")
}
