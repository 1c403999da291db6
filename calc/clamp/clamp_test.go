package clamp

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// clampingFile is testdata/locating/clamping.json; see the README there for its
// origin.
type clampingFile struct {
	Cases []struct {
		ID       string
		Contacts []struct {
			Point, Normal [3]float64
			Mu            float64
			Kind          string
		}
		Loads []struct {
			Force, Point, Moment [3]float64
		}
		Expect       map[string]float64
		Clamps       []float64 `json:"clamps_m16"`
		Frictionless bool      `json:"frictionless_feasible"`
	}
}

func TestReferenceCases(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/locating/clamping.json")
	require.NoError(t, err)
	var file clampingFile
	require.NoError(t, json.Unmarshal(raw, &file))
	require.Len(t, file.Cases, 2)
	for _, c := range file.Cases {
		t.Run(c.ID, func(t *testing.T) {
			var locs, clamps []Contact
			for _, p := range c.Contacts {
				k := Contact{p.Point, p.Normal, p.Mu}
				switch p.Kind {
				case "locator":
					locs = append(locs, k)
				case "clamp":
					clamps = append(clamps, k)
				default:
					require.Fail(t, "unknown kind", p.Kind)
				}
			}
			var loads []Load
			for _, l := range c.Loads {
				loads = append(loads, Load{l.Force, l.Point, l.Moment})
			}
			require.Len(t, c.Expect, 5)
			for name, want := range c.Expect {
				var sides int
				_, err := fmt.Sscanf(name, "min_total_clamp_m%d", &sides)
				require.NoError(t, err)
				h, err := Hold(locs, clamps, loads, Options{Safety: 1, Sides: sides})
				require.NoError(t, err)
				assert.InDelta(t, want, h.Total, 1e-6, name) // the file prints six decimals
				assert.Equal(t, sides, h.Sides)
				assert.InDelta(t, 1-math.Cos(math.Pi/float64(sides)), h.Understated, 1e-15)
				if sides == 16 {
					assert.InDeltaSlice(t, c.Clamps, h.Clamps, 1e-6)
				}
				assert.True(t, h.LowerBound)
				assert.Equal(t, "lower bound", h.Cautions[0].Topic)
			}
			// The same without friction.
			for i := range locs {
				locs[i].Mu = 0
			}
			for i := range clamps {
				clamps[i].Mu = 0
			}
			_, err := Hold(locs, clamps, loads, Options{Safety: 1})
			assert.Equal(t, c.Frictionless, err == nil)
			assert.ErrorIs(t, err, ErrCannotHold)
		})
	}
}

func top(x, y, z, mu float64) Contact {
	return Contact{[3]float64{x, y, z}, [3]float64{0, 0, -1}, mu}
}

func rest(x, y, mu float64) Contact {
	return Contact{[3]float64{x, y, 0}, [3]float64{0, 0, 1}, mu}
}

func table(mu float64) []Contact {
	return []Contact{rest(-50, -30, mu), rest(-50, 30, mu), rest(50, -30, mu), rest(50, 30, mu)}
}

// TestSimpleFormulas compares with the formulas of fixture handbooks (common
// practice): friction at both faces W = K F/(mu1+mu2), at one W = K F/mu, and
// W = K F upwards.
func TestSimpleFormulas(t *testing.T) {
	across := func(f float64) Load { return Load{Force: [3]float64{f, 0, 0}} } // at table height: no tipping
	for _, c := range []struct {
		name   string
		locs   []Contact
		clamps []Contact
		load   Load
		safety float64
		want   float64
	}{
		{"both faces", table(0.2), []Contact{top(0, 0, 40, 0.1)}, across(900), 2, 2 * 900 / 0.3},
		{"one face", table(0.2), []Contact{top(0, 0, 40, 0)}, across(900), 2.5, 2.5 * 900 / 0.2},
		{"upwards", table(0.2), []Contact{top(0, 0, 40, 0.1)}, Load{Force: [3]float64{0, 0, 500}}, 2, 1000},
		// Four rests at radius 50: each carries mu N tangentially. W = K M/(mu r).
		{"torque", []Contact{rest(50, 0, 0.2), rest(-50, 0, 0.2), rest(0, 50, 0.2), rest(0, -50, 0.2)},
			[]Contact{top(0, 0, 40, 0)}, Load{Moment: [3]float64{0, 0, 8000}}, 2, 2 * 8000 / (0.2 * 50)},
	} {
		h, err := Hold(c.locs, c.clamps, []Load{c.load}, Options{Safety: c.safety, Sides: 8})
		require.NoError(t, err, c.name)
		assert.InDelta(t, c.want, h.Total, 1e-6*c.want, c.name)
		assert.InDelta(t, c.want, h.Alone[0], 1e-6*c.want, c.name)
	}
	// A published example of a clamp maker's manual gives 121 lb of cutting force
	// for a boring cut and divides by friction; the division is all there is to
	// check here.
	h, err := Hold(table(0.2), []Contact{top(0, 0, 40, 0)}, []Load{across(121)}, Options{Safety: 2})
	require.NoError(t, err)
	assert.InDelta(t, 2*121/0.2, h.Total, 1e-6)
}

func TestTippingByHand(t *testing.T) {
	// A push of 100 at height 60 tips the block about its far edge, rests 100
	// apart, clamp in the middle between two side stops that let it tip:
	// W·50 = 100·60.
	locs := []Contact{rest(-50, -30, 0), rest(-50, 30, 0), rest(50, -30, 0), rest(50, 30, 0),
		{[3]float64{50, -10, 0}, [3]float64{-1, 0, 0}, 0}, {[3]float64{50, 10, 0}, [3]float64{-1, 0, 0}, 0}}
	h, err := Hold(locs, []Contact{top(0, 0, 40, 0)}, []Load{{Force: [3]float64{100, 0, 0}, At: [3]float64{0, 0, 60}}}, Options{Safety: 1})
	require.NoError(t, err)
	assert.InDelta(t, 120, h.Total, 1e-6)
	assert.InDelta(t, 0, h.Locators[0][0]+h.Locators[0][1], 1e-6, "the near rests are about to lift")
	assert.InDelta(t, 100, h.Locators[0][4]+h.Locators[0][5], 1e-6)
}

func TestGoalAndLoads(t *testing.T) {
	clamps := []Contact{top(-40, 0, 40, 0), top(40, 0, 40, 0)}
	up := func(x, f float64) Load { return Load{Force: [3]float64{0, 0, f}, At: [3]float64{x, 0, 40}} }
	loads := []Load{up(-40, 100), up(40, 60), {}}
	h, err := Hold(table(0.2), clamps, loads, Options{Safety: 1})
	require.NoError(t, err)
	// A load over one clamp asks for that clamp, or for more of the other: over
	// the rests at ±50, W2·10 cannot outdo 100·10. By hand: tipping about x = 50,
	// 100·90 = W1·90 + W2·10; about -50, 60·90 = W1·10 + W2·90; and lifting.
	sum := func(x []float64) float64 { return x[0] + x[1] }
	assert.InDelta(t, sum(h.Clamps), h.Total, 1e-9)
	assert.GreaterOrEqual(t, 90*h.Clamps[0]+10*h.Clamps[1], 9000-1e-6)
	assert.GreaterOrEqual(t, 10*h.Clamps[0]+90*h.Clamps[1], 5400-1e-6)
	assert.InDelta(t, (9000.0+5400.0)/100, h.Total, 1e-6, "both at once")
	assert.InDelta(t, 0, h.Alone[2], 1e-9, "nothing to hold")
	assert.Len(t, h.Locators, 3)

	even, err := Hold(table(0.2), clamps, loads, Options{Safety: 1, Goal: LeastLargest})
	require.NoError(t, err)
	most := math.Max(even.Clamps[0], even.Clamps[1])
	assert.InDelta(t, 90, most, 1e-6, "W·100 = 9000")
	assert.LessOrEqual(t, most, math.Max(h.Clamps[0], h.Clamps[1])+1e-6)
	assert.InDelta(t, 90, even.Alone[0], 1e-6)
}

func TestSeatByHand(t *testing.T) {
	three := []Contact{rest(0, 0, 0), rest(100, 0, 0), rest(0, 60, 0)}
	weight := func(x, y float64) Load {
		return Load{Force: [3]float64{0, 0, -300}, At: [3]float64{x, y, 25}}
	}
	// Each leg carries the weight by its barycentric coordinate (statics
	// textbooks).
	s, err := Seat(three, weight(100.0/3, 20))
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{100, 100, 100}, s.Forces, 1e-9)
	assert.True(t, s.Stays)
	assert.True(t, s.Unique)
	assert.Len(t, s.Motions, 3)
	s, err = Seat(three, weight(75, 30))
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{-75, 225, 150}, s.Forces, 1e-9)
	assert.False(t, s.Stays)
	assert.Equal(t, []int{0}, s.Lifts)
	// A clamp over the leg that lifts cures it.
	s, err = Seat(three, weight(75, 30), Load{Force: [3]float64{0, 0, -100}, At: [3]float64{0, 0, 50}})
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{25, 225, 150}, s.Forces, 1e-9)
	assert.True(t, s.Stays)
	// On the line between two legs the third is idle.
	s, err = Seat(three, weight(50, 0))
	require.NoError(t, err)
	assert.False(t, s.Stays)
	assert.Equal(t, []int{2}, s.Lifts)
	// A side load and no side stop.
	_, err = Seat(three, Load{Force: [3]float64{10, 0, 0}})
	require.ErrorIs(t, err, ErrCannotHold)
	assert.ErrorContains(t, err, "shift along X")
	_, err = Seat(three, Load{Moment: [3]float64{0, 0, 500}})
	assert.ErrorContains(t, err, "turn about Z through the origin")
	s, err = Seat(three)
	require.NoError(t, err)
	assert.False(t, s.Stays, "nothing presses it down")
	assert.Equal(t, []int{0, 1, 2}, s.Lifts)
}

func TestSeatRedundant(t *testing.T) {
	s, err := Seat(table(0), Load{Force: [3]float64{0, 0, -400}})
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{100, 100, 100, 100}, s.Forces, 1e-6)
	assert.True(t, s.Stays)
	assert.False(t, s.Unique)
	// Over one corner only that leg is pressed.
	s, err = Seat(table(0), Load{Force: [3]float64{0, 0, -400}, At: [3]float64{50, 30, 0}})
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{0, 0, 0, 400}, s.Forces, 1e-6)
	assert.Equal(t, []int{0, 1, 2}, s.Lifts)
	// Outside the legs.
	s, err = Seat(table(0), Load{Force: [3]float64{0, 0, -400}, At: [3]float64{90, 0, 0}})
	require.NoError(t, err)
	assert.False(t, s.Stays)
	assert.NotEmpty(t, s.Lifts)
	// A vice: the jaws press as hard as one likes.
	s, err = Seat([]Contact{{[3]float64{-10, 0, 0}, [3]float64{1, 0, 0}, 0}, {[3]float64{10, 0, 0}, [3]float64{-1, 0, 0}, 0}}, Load{Force: [3]float64{50, 0, 0}})
	require.NoError(t, err)
	assert.True(t, s.Stays)
	assert.InDelta(t, 50, s.Forces[1]-s.Forces[0], 1e-6)
}

func TestCautions(t *testing.T) {
	locs := table(0.2)
	locs[1].Mu = 0.12
	h, err := Hold(locs, []Contact{top(0, 0, 40, 0.15)}, []Load{{Force: [3]float64{100, 0, 0}}}, Options{Safety: 2.5})
	require.NoError(t, err)
	var text strings.Builder
	for _, c := range h.Cautions {
		assert.NotEmpty(t, c.Topic)
		assert.NotEmpty(t, c.Source)
		text.WriteString(c.Text)
	}
	for _, says := range []string{"0.12 to 0.2", "0.15", "2.5", "1.9 %", "not enough", "local rules"} {
		assert.Contains(t, text.String(), says)
	}
	assert.NotContains(t, text.String(), "is safe")
}

func TestErrors(t *testing.T) {
	good := []Load{{Force: [3]float64{100, 0, 0}}}
	clamps := []Contact{top(0, 0, 40, 0.15)}
	bad := func(c Contact) []Contact { return append(table(0.2), c) }
	for _, c := range []struct {
		name   string
		locs   []Contact
		clamps []Contact
		loads  []Load
		o      Options
		says   string
	}{
		{"safety not stated", table(0.2), clamps, good, Options{}, "state a factor"},
		{"safety", table(0.2), clamps, good, Options{Safety: math.NaN()}, "state a factor"},
		{"sides", table(0.2), clamps, good, Options{Safety: 1, Sides: 2}, "2 sides"},
		{"goal", table(0.2), clamps, good, Options{Safety: 1, Goal: 7}, "unknown goal 7"},
		{"no clamp", table(0.2), nil, good, Options{Safety: 1}, "no clamp"},
		{"no load", table(0.2), clamps, nil, Options{Safety: 1}, "no load"},
		{"normal", bad(Contact{}), clamps, good, Options{Safety: 1}, "locator 5: the normal"},
		{"friction", bad(rest(0, 0, -0.1)), clamps, good, Options{Safety: 1}, "locator 5: the coefficient of friction -0.1"},
		{"place", table(0.2), []Contact{top(math.Inf(1), 0, 0, 0)}, good, Options{Safety: 1}, "clamp 1: the position"},
		{"load", table(0.2), clamps, []Load{{}, {Force: [3]float64{math.NaN()}}}, Options{Safety: 1}, "load 2: force"},
		{"too large", table(0.2), slices.Repeat(clamps, 50), good, Options{Safety: 1, Sides: 1024}, "too many"},
	} {
		_, err := Hold(c.locs, c.clamps, c.loads, c.o)
		assert.ErrorContains(t, err, c.says, c.name)
	}
	_, err := Hold(table(0), []Contact{top(0, 0, 40, 0)}, good, Options{Safety: 1})
	require.ErrorIs(t, err, ErrCannotHold)
	assert.ErrorContains(t, err, "load 1 makes it shift along X")
	// A clamp that itself lifts the part.
	_, err = Hold(table(0.2), []Contact{{[3]float64{0, 0, 0}, [3]float64{0, 0, 1}, 0.1}}, []Load{{Force: [3]float64{0, 0, 50}}}, Options{Safety: 1})
	require.ErrorIs(t, err, ErrCannotHold)
	assert.ErrorContains(t, err, "no clamp force holds load 1")
	_, err = Seat(nil)
	assert.ErrorContains(t, err, "no locator")
	_, err = Seat([]Contact{{}})
	assert.ErrorContains(t, err, "locator 1")
	_, err = Seat(table(0), Load{Force: [3]float64{1e300}})
	assert.ErrorContains(t, err, "load 1")
}
