package freedom

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// locatingFile is testdata/locating/locating.json; see the README there for its
// origin.
type locatingFile struct {
	Cases []struct {
		ID         string
		Dimension  int
		Locators   []struct{ Point, Normal []float64 }
		Errors     []float64 `json:"locator_errors"`
		Tolerances []float64 `json:"locator_tolerances"`
		Scale      float64   `json:"length_scale"`
		At         []float64 `json:"feature_point"`
		Normal     []float64 `json:"feature_normal"`
		Expect     struct {
			G           [][]float64
			Singular    []float64 `json:"scaled_singular_values"`
			Rank        int
			Free        int `json:"free_motions"`
			Redundancy  int
			Fighting    []int     `json:"locators_in_a_redundancy"`
			Essential   []int     `json:"locators_essential"`
			Shares      []float64 `json:"compatibility_vector_normalised"`
			Gap         float64   `json:"compatibility_residual_mm"`
			Determinant *float64
			Condition   *float64 `json:"condition_scaled"`
			Pose        struct {
				DX, DY, DTheta float64
				D, Rot         []float64
			} `json:"pose_error"`
			PointShift []float64 `json:"point_shift"`
			Influence  []float64
			Along      float64 `json:"along_normal"`
			Worst      float64 `json:"worst_case"`
			RSS        float64
		}
	}
}

func vec3(x []float64) (v [3]float64) {
	copy(v[:], x)
	return v
}

func oneBased(ks []int) (out []int) {
	for _, k := range ks {
		out = append(out, k+1)
	}
	return out
}

func TestReferenceCases(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/locating/locating.json")
	require.NoError(t, err)
	var file locatingFile
	require.NoError(t, json.Unmarshal(raw, &file))
	require.Len(t, file.Cases, 3)
	for _, c := range file.Cases {
		t.Run(c.ID, func(t *testing.T) {
			var ls []Locator
			for _, l := range c.Locators {
				ls = append(ls, Locator{vec3(l.Point), vec3(l.Normal)})
			}
			look := Space
			if c.Dimension == 2 {
				look = Plane
			}
			f, err := look(ls, Options{Scale: c.Scale})
			require.NoError(t, err)
			const digits = 1e-9 // the file prints nine decimals
			for i := range c.Expect.G {
				assert.InDeltaSlice(t, c.Expect.G[i], f.Rows[i], 1e-12)
			}
			assert.InDeltaSlice(t, c.Expect.Singular, f.Singular, digits)
			assert.Equal(t, c.Expect.Rank, f.Rank)
			assert.Len(t, f.Free, c.Expect.Free)
			assert.Equal(t, c.Expect.Redundancy, f.Redundancy)
			assert.True(t, f.Fixed())
			if want := c.Expect.Determinant; want != nil {
				g := mat.NewDense(6, 6, nil)
				for i, r := range f.Rows {
					g.SetRow(i, r)
				}
				assert.InDelta(t, *want, math.Abs(mat.Det(g)), 1e-6)
			}
			if want := c.Expect.Condition; want != nil {
				assert.InDelta(t, *want, 1/f.Spread, 1e-8)
			}
			if c.Expect.Redundancy == 0 {
				assert.Empty(t, f.Groups)
				assert.Len(t, f.Essential, len(ls))
			} else {
				require.Len(t, f.Groups, 1)
				assert.Equal(t, c.Expect.Fighting, oneBased(f.Groups[0].Members))
				assert.Equal(t, c.Expect.Essential, oneBased(f.Essential))
				require.Len(t, f.Groups[0].Circuits, 1)
				circuit := f.Groups[0].Circuits[0]
				shares := make([]float64, len(ls))
				for i, k := range circuit.Members {
					shares[k] = circuit.Shares[i]
				}
				assert.InDeltaSlice(t, c.Expect.Shares, shares, digits)
				gap, err := circuit.Gap(c.Errors)
				require.NoError(t, err)
				assert.InDelta(t, c.Expect.Gap, gap, 1e-12)
			}
			p, err := f.Pose(c.Errors)
			require.NoError(t, err)
			want := Pose{vec3(c.Expect.Pose.D), vec3(c.Expect.Pose.Rot)}
			if c.Dimension == 2 {
				w := c.Expect.Pose
				want = Pose{[3]float64{w.DX, w.DY}, [3]float64{0, 0, w.DTheta}}
			}
			assert.InDeltaSlice(t, want.Shift[:], p.Shift[:], digits)
			assert.InDeltaSlice(t, want.Turn[:], p.Turn[:], digits)
			shift := p.At(vec3(c.At))
			assert.InDeltaSlice(t, c.Expect.PointShift, shift[:c.Dimension], digits)

			a, err := f.Influence(vec3(c.At), vec3(c.Normal))
			require.NoError(t, err)
			assert.InDeltaSlice(t, c.Expect.Influence, []float64(a), digits)
			along, err := a.Along(c.Errors)
			require.NoError(t, err)
			assert.InDelta(t, c.Expect.Along, along, digits)
			worst, err := a.Worst(c.Tolerances)
			require.NoError(t, err)
			assert.InDelta(t, c.Expect.Worst, worst, digits)
			rss, err := a.RootSumSquare(c.Tolerances)
			require.NoError(t, err)
			assert.InDelta(t, c.Expect.RSS, rss, digits)
		})
	}
}

func words(f *Freedom) (out []string) {
	for _, m := range f.Free {
		out = append(out, m.String())
	}
	return out
}

// TestSchemes are the schemes every tool-design text starts with (3-2-1, plane
// and two pins; common practice) and what they leave free.
func TestSchemes(t *testing.T) {
	at := func(x, y, z float64) [3]float64 { return [3]float64{x, y, z} }
	x, y := at(1, 0, 0), at(0, 1, 0)
	seat := Seat(at(0, 0, 0), at(100, 0, 0), at(50, 80, 0))
	p1 := RoundPin(at(10, 20, 0))
	p2 := RoundPin(at(90, 20, 0))
	with := func(ls []Locator, more ...Locator) []Locator { return append(append([]Locator(nil), ls...), more...) }
	for _, c := range []struct {
		name      string
		plane     bool
		ls        []Locator
		centre    [3]float64
		free      []string
		essential []int
		groups    [][]int
	}{
		{name: "nothing", free: []string{"shift along X", "shift along Y", "shift along Z",
			"turn about X through the origin", "turn about Y through the origin", "turn about Z through the origin"}},
		{name: "nothing in the plane", plane: true, free: []string{"shift along X", "shift along Y", "turn about the origin"}},
		{name: "a seat", ls: seat, essential: []int{0, 1, 2},
			free: []string{"shift along X", "shift along Y", "turn about Z through the origin"}},
		{name: "seat and round pin", ls: with(seat, p1[:]...), essential: []int{0, 1, 2, 3, 4},
			free: []string{"turn about Z through (10, 20, 0) mm"}},
		{name: "seat and relieved pin along the line", ls: with(seat, RelievedPin(at(90, 20, 0), 0)), centre: at(90, 20, 0),
			essential: []int{0, 1, 2, 3}, free: []string{"shift along X", "turn about Z through (90, 20, 0) mm"}},
		{name: "plane, round, relieved", ls: with(seat, p1[0], p1[1], RelievedPin(at(90, 20, 0), 0)), essential: []int{0, 1, 2, 3, 4, 5}},
		{name: "relief the wrong way: the pins fight along their line and the part swings", plane: true,
			ls:        []Locator{p1[0], p1[1], RelievedPin(at(90, 20, 0), math.Pi/2)},
			essential: []int{1}, groups: [][]int{{0, 2}}, free: []string{"turn about (10, 20) mm"}},
		{name: "two round pins fight along their line", ls: with(seat, p1[0], p1[1], p2[0], p2[1]),
			essential: []int{0, 1, 2, 4, 6}, groups: [][]int{{3, 5}}},
		{name: "a table of four legs rocks", ls: Seat(at(0, 0, 0), at(100, 0, 0), at(100, 60, 0), at(0, 60, 0)),
			groups: [][]int{{0, 1, 2, 3}}, free: []string{"shift along X", "shift along Y", "turn about Z through the origin"}},
		{name: "three seats in line leave it to tip", ls: Seat(at(0, 10, 0), at(50, 10, 0), at(100, 10, 0)), groups: [][]int{{0, 1, 2}},
			free: []string{"shift along X", "shift along Y", "turn about Z through the origin", "turn about X through (0, 10, 0) mm"}},
		{name: "block 3-2-1", ls: with(seat, Locator{at(20, 0, 10), y}, Locator{at(80, 0, 10), y}, Locator{at(0, 40, 10), x}), essential: []int{0, 1, 2, 3, 4, 5}},
		{name: "side locators above each other do not stop the turn", ls: with(seat, Locator{at(20, 0, 10), y}, Locator{at(20, 0, 30), y}, Locator{at(0, 40, 10), x}),
			essential: []int{5}, groups: [][]int{{0, 1, 2, 3, 4}}, free: []string{"turn about Z through (20, 40, 0) mm"}},
		{name: "shaft in a V and against a stop", ls: []Locator{
			{at(0, 7, 7), at(0, -1, -1)}, {at(0, -7, 7), at(0, 1, -1)}, {at(60, 7, 7), at(0, -1, -1)}, {at(60, -7, 7), at(0, 1, -1)}, {at(-5, 0, 0), x}},
			essential: []int{0, 1, 2, 3, 4}, free: []string{"turn about X through the origin"}},
		{name: "sliding along a slope", plane: true, ls: []Locator{{at(0, 0, 0), at(-3, 4, 0)}, {at(8, 6, 0), at(-3, 4, 0)}},
			essential: []int{0, 1}, free: []string{"shift along the direction (0.8, 0.6)"}},
		{name: "two pairs, two groups", plane: true, ls: []Locator{{at(0, 0, 0), x}, {at(50, 0, 0), x}, {at(10, 0, 0), y}, {at(10, 9, 0), y}},
			groups: [][]int{{0, 1}, {2, 3}}, free: []string{"turn about (10, 0) mm"}},
		{name: "a nut: the thread takes one freedom and leaves the screw", ls: []Locator{
			{at(0, 0, 0), x}, {at(0, 0, 0), y}, {at(0, 0, 10), x}, {at(0, 0, 10), y}, {at(5, 0, 0), at(0, -1, 5*2*math.Pi/1.5)}},
			essential: []int{0, 1, 2, 3, 4}, free: []string{"screw about Z through the origin, 1.5 mm a turn"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			look := Space
			if c.plane {
				look = Plane
			}
			f, err := look(c.ls, Options{Centre: c.centre})
			require.NoError(t, err)
			assert.Equal(t, c.free, words(f))
			assert.Equal(t, c.essential, f.Essential)
			var groups [][]int
			surplus := 0
			for _, g := range f.Groups {
				groups = append(groups, g.Members)
				surplus += g.Surplus
			}
			assert.Equal(t, c.groups, groups)
			assert.Equal(t, f.Redundancy, surplus)
			assert.Equal(t, len(c.free) == 0, f.Fixed())
			assert.Equal(t, f.Fixed(), f.Spread > 0)
		})
	}
}

func TestFourLegs(t *testing.T) {
	// Three legs level, the fourth 0.1 short: it hangs 0.1 clear, or the part
	// rocks. Opposite legs have the same sign.
	f, err := Space(Seat([3]float64{0, 0, 0}, [3]float64{100, 0, 0}, [3]float64{100, 60, 0}, [3]float64{0, 60, 0}), Options{})
	require.NoError(t, err)
	require.Len(t, f.Groups, 1)
	c := f.Groups[0].Circuits[0]
	assert.Equal(t, []int{0, 1, 2, 3}, c.Members)
	assert.InDeltaSlice(t, []float64{-1, 1, -1, 1}, c.Shares, 1e-12)
	assert.Equal(t, 3, c.Lead)
	gap, err := c.Gap([]float64{0, 0, 0, -0.1})
	require.NoError(t, err)
	assert.InDelta(t, -0.1, gap, 1e-15)
	gap, err = c.Gap([]float64{0.05, 0.02, -0.01, 0.02})
	require.NoError(t, err)
	assert.InDelta(t, 0, gap, 1e-15, "a tilted plane under all four")
}

func TestHandRules(t *testing.T) {
	// Two locators on a side, 60 apart: the part turns by the difference over
	// the span, and a feature beyond the span moves by lever over span (jig and
	// fixture handbooks, common practice).
	y := [3]float64{0, 1, 0}
	f, err := Plane([]Locator{{[3]float64{0, 0, 0}, y}, {[3]float64{60, 0, 0}, y}, {[3]float64{0, 0, 0}, [3]float64{1, 0, 0}}}, Options{})
	require.NoError(t, err)
	p, err := f.Pose([]float64{0.01, 0.04, 0})
	require.NoError(t, err)
	assert.InDelta(t, 0.03/60, p.Turn[2], 1e-15)
	a, err := f.Influence([3]float64{150, 0, 0}, y)
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{1 - 150.0/60, 150.0 / 60, 0}, []float64(a), 1e-12)
	assert.InDelta(t, 30, f.scale, 1e-12, "half the distance of the farthest two")
}

func TestErrors(t *testing.T) {
	x := [3]float64{1, 0, 0}
	nan := math.NaN()
	for _, c := range []struct {
		name string
		ls   []Locator
		o    Options
		says string
	}{
		{"no direction", []Locator{{}}, Options{}, "locator 1: the normal: the direction has no length"},
		{"no number", []Locator{{[3]float64{}, x}, {[3]float64{nan}, x}}, Options{}, "locator 2: the position"},
		{"endless normal", []Locator{{[3]float64{}, [3]float64{math.Inf(1)}}}, Options{}, "no length"},
		{"far", []Locator{{[3]float64{1e12}, x}}, Options{}, "too far away"},
		{"scale", nil, Options{Scale: -1}, "the scale -1 mm"},
		{"centre", nil, Options{Centre: [3]float64{nan}}, "the centre"},
	} {
		_, err := Space(c.ls, c.o)
		assert.ErrorContains(t, err, c.says, c.name)
		_, err = Plane(c.ls, c.o)
		assert.ErrorContains(t, err, c.says, c.name)
	}
	_, err := Plane([]Locator{{[3]float64{}, [3]float64{0, 0, 1}}}, Options{})
	assert.ErrorContains(t, err, "no length", "a normal out of the plane")

	p := RoundPin([3]float64{})
	f, err := Plane(p[:], Options{})
	require.NoError(t, err)
	_, err = f.Pose([]float64{0, 0})
	require.ErrorIs(t, err, ErrFree)
	assert.ErrorContains(t, err, "it can still turn about the origin")
	_, err = f.Pose([]float64{0})
	assert.ErrorContains(t, err, "1 values for 2 locators")
	_, err = f.Influence([3]float64{10, 0, 0}, [3]float64{0, 1, 0})
	assert.ErrorIs(t, err, ErrFree)
	_, err = f.Influence([3]float64{10, 0, 0}, [3]float64{})
	assert.ErrorContains(t, err, "no length")
	a, err := f.Influence([3]float64{10, 0, 0}, x)
	require.NoError(t, err, "towards the pin the point is held")
	assert.InDeltaSlice(t, []float64{1, 0}, []float64(a), 1e-12)
	_, err = a.Along([]float64{nan, 0})
	assert.ErrorContains(t, err, "not a number")
	_, err = a.Worst([]float64{-1, 0})
	assert.ErrorContains(t, err, "must not be negative")
	_, err = a.RootSumSquare([]float64{1})
	assert.ErrorContains(t, err, "1 values")
	_, err = Circuit{count: 2}.Gap(nil)
	assert.ErrorContains(t, err, "0 values for 2 locators")
	assert.Contains(t, Kind(9).String(), "unknown")
}
