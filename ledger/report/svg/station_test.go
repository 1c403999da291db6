package svg

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// tenth is a ten-thousandth of an inch in mm.
const tenth = 0.00254

// stationB is the invented station with a relieved pin, in mm.
func stationB() Station {
	s := Station{ID: "s", Title: "Station B", Desc: "pins and holes", Part: "part in the middle of its limits", Alone: true}
	s.Pins = []StationPin{
		{Name: "P1", Lines: []string{"round in H1", "off 4, -9 tenths"}, Radius: 2.38, Error: [2]float64{4 * tenth, -9 * tenth}, Gap: 2 * tenth, Binds: true},
		{Name: "P2", Lines: []string{"relieved in H2"}, X: 60.96, Radius: 2.38, Land: 1.143, Axis: math.Pi, Gap: 2 * tenth, Off: [2]float64{-tenth, 0}},
	}
	s.Points = []StationPoint{
		{Name: "K1", Text: "0.00040 in", X: -10.16, NX: -1, Plus: 2 * tenth, Minus: 2 * tenth},
		{Name: "K2", Text: "0.00040 in", X: 5, Y: 19.05, NY: 1, Plus: 5 * tenth, Minus: -tenth},
		{Name: "K4", Text: "0.00040 in", X: 71.12, NX: 1, Plus: -tenth, Minus: 5 * tenth},
	}
	return s
}

func TestStationGolden(t *testing.T) {
	got, enlarged := stationB().Draw()
	assert.Equal(t, 150.0, enlarged)
	file := filepath.Join("testdata", "station.svg")
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
	again, _ := stationB().Draw()
	assert.Equal(t, got, again)
}

// What is drawn is to scale: errors, gaps and movements by the factor that is
// written under the picture.
func TestStationIsToScale(t *testing.T) {
	s := stationB()
	text, enlarged := s.Draw()
	require.Contains(t, text, "enlarged 150 times")
	list := read(t, text)
	var bores, crosses, bars []shape
	for _, e := range list {
		switch {
		case e.name == "circle" && e.attr["class"] == "bore":
			bores = append(bores, e)
		case e.name == "line" && e.attr["class"] == "axis" && e.attr["y1"] == e.attr["y2"]:
			crosses = append(crosses, e)
		case e.name == "line" && e.attr["class"] == "mean":
			bars = append(bars, e)
		}
	}
	require.Len(t, bores, 3, "two holes and the one of the legend")
	require.Len(t, crosses, 2)
	require.Len(t, bars, 4, "three movements and the one of the legend")
	mid := func(e shape) float64 { return (attr(t, e, "x1") + attr(t, e, "x2")) / 2 }
	per := (mid(crosses[1]) - mid(crosses[0])) / 60.96
	assert.InDelta(t, mid(crosses[0])+4*tenth*enlarged*per, attr(t, bores[0], "cx"), 0.02, "the hole of P1 stands where its pin does")
	assert.InDelta(t, attr(t, crosses[0], "y1")+9*tenth*enlarged*per, attr(t, bores[0], "cy"), 0.02, "minus is down")
	assert.InDelta(t, 4*tenth*enlarged*per, math.Abs(attr(t, bars[0], "x2")-attr(t, bars[0], "x1")), 0.02)
	assert.InDelta(t, 4*tenth*enlarged*per, math.Abs(attr(t, bars[1], "y2")-attr(t, bars[1], "y1")), 0.02)
	r := attr(t, bores[0], "r") - 2*tenth*enlarged*per
	assert.GreaterOrEqual(t, r, 13.0, "the pin can be seen")
}

// A relieved pin is cut away along its axis, whatever that is.
func TestLensLiesAcrossItsAxis(t *testing.T) {
	for _, axis := range []float64{0, math.Pi / 6, math.Pi / 2, 2, math.Pi} {
		d := newDoc(100, 100, "d", "", "")
		d.lens("pinbody", 0, 0, 1000, 0.25, axis)
		var most, reach float64
		sin, cos := math.Sincos(axis)
		for _, e := range read(t, d.String(false)) {
			for _, p := range strings.Fields(e.attr["points"]) {
				xs, ys, _ := strings.Cut(p, ",")
				x, err := strconv.ParseFloat(xs, 64)
				require.NoError(t, err)
				y, err := strconv.ParseFloat(ys, 64)
				require.NoError(t, err)
				along, across := x*cos-y*sin, -x*sin-y*cos
				most, reach = max(most, math.Abs(along)), max(reach, math.Abs(across))
				assert.InDelta(t, 10, math.Hypot(x, y), 0.02, "all on the circle of the pin")
			}
		}
		assert.InDelta(t, 2.5, most, 0.02, "half the land, axis %v", axis)
		assert.InDelta(t, 10, reach, 0.02)
	}
}

func TestStationOfAnything(t *testing.T) {
	for name, s := range map[string]Station{
		"nothing": {}, "one pin": {Pins: []StationPin{{Radius: 1, Gap: 0.1}}},
		"no small lengths": {Pins: []StationPin{{Radius: 1}, {X: 5, Radius: 1}}},
	} {
		text, _ := s.Draw()
		assert.Empty(t, text, name)
	}
	rapid.Check(t, func(rt *rapid.T) {
		var s Station
		small := rapid.Float64Range(-0.1, 0.1)
		at := rapid.Float64Range(-200, 200)
		for range rapid.IntRange(2, 5).Draw(rt, "pins") {
			s.Pins = append(s.Pins, StationPin{Name: "P<", X: at.Draw(rt, "x"), Y: at.Draw(rt, "y"), Radius: rapid.Float64Range(0, 30).Draw(rt, "r"),
				Land: rapid.Float64Range(0, 9).Draw(rt, "land"), Axis: small.Draw(rt, "axis"), Gap: small.Draw(rt, "gap"),
				Error: [2]float64{small.Draw(rt, "ex"), small.Draw(rt, "ey")}, Off: [2]float64{small.Draw(rt, "ox"), small.Draw(rt, "oy")}})
		}
		for range rapid.IntRange(0, 4).Draw(rt, "points") {
			s.Points = append(s.Points, StationPoint{X: at.Draw(rt, "x"), Y: at.Draw(rt, "y"), NX: small.Draw(rt, "nx"), NY: small.Draw(rt, "ny"), Plus: small.Draw(rt, "plus"), Minus: small.Draw(rt, "minus")})
		}
		text, enlarged := s.Draw()
		if text == "" {
			return
		}
		if !(enlarged > 0) {
			rt.Fatalf("enlarged %v times", enlarged)
		}
		w := float64(stationWidth / px)
		for _, e := range read(rt, text) {
			for _, name := range []string{"cx", "x1", "x2"} {
				if v := e.attr[name]; v != "" {
					if x := attr(rt, e, name); x < 0 || x > w {
						rt.Fatalf("%s %s = %v is not in the picture", e.name, name, x)
					}
				}
			}
			if r := e.attr["r"]; strings.HasPrefix(r, "-") {
				rt.Fatalf("radius %s", r)
			}
		}
	})
}
