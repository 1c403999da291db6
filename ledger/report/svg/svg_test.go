package svg

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "write the pictures into the golden files")

var none = [2]float64{math.NaN(), math.NaN()}

type shape struct {
	name string
	attr map[string]string
}

// read parses a picture strictly as XML and gives its elements.
func read(t require.TestingT, text string) []shape {
	d := xml.NewDecoder(strings.NewReader(text))
	var out []shape
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		require.NoError(t, err)
		if e, ok := tok.(xml.StartElement); ok {
			s := shape{e.Name.Local, map[string]string{}}
			for _, a := range e.Attr {
				s.attr[a.Name.Local] = a.Value
			}
			out = append(out, s)
		}
	}
}

func attr(t require.TestingT, s shape, name string) float64 {
	v, err := strconv.ParseFloat(s.attr[name], 64)
	require.NoError(t, err)
	return v
}

func seam() Dots {
	return Dots{
		ID: "d", Title: "Step & seam", Desc: "every reading", Unit: "tenths", Alone: true,
		Limit: [2]string{"limit -10", "limit 10"}, Goal: [2]string{"goal -5", "goal 5"},
		Legend: []Key{{Mark: Ring, Text: "before"}, {Mark: Disc, Text: "after"}, {Mark: Triangle, Text: "got worse"}, {Mark: Square, Text: "undone"}, {Mean: true, Text: "mean"}},
		Strips: []Strip{
			{Name: "largest", Wide: true, Note: "13.6 → 8.4", Limits: [2]float64{math.NaN(), 10}, Goal: [2]float64{math.NaN(), 5}, Sides: []Side{
				{Name: "before", Mark: Ring, Values: []float64{13, 12, 13.5, 16.5, 17.5, 9}, Mean: 13.6}, {Name: "after", Mark: Disc, Values: []float64{14.5, 12, 7, 9, 3, 5}, Mean: 8.4}}},
			{Name: "K1", Limits: [2]float64{-10, 10}, Goal: [2]float64{-5, 5}, Sides: []Side{
				{Name: "before", Mark: Ring, Values: []float64{-4.5, -4.5, -4.5, -12}, Mean: -5.7}, {Name: "after", Mark: Triangle, Values: []float64{3, -2.5, -0.5}, Mean: 0}, {Name: "undone", Mark: Square, Values: []float64{-4}, Mean: -4}}},
		},
	}
}

func seamOutline() Outline {
	o := Outline{ID: "o", Title: "outline", Desc: "steps", Alone: true, Marks: []OutlineMark{{"H1", 0, 0}, {"H2", 60.96, 0}}}
	tenths := func(v, half float64) OutlineStep {
		return OutlineStep{Value: v * .00254, Low: (v - half) * .00254, High: (v + half) * .00254, Text: strconv.FormatFloat(v, 'f', 1, 64)}
	}
	var before, after, told []OutlineStep
	for _, p := range []struct {
		name                  string
		x, y, nx, ny, b, a, t float64
	}{
		{"K1", -.4, 0, -1, 0, -5.7, -2.2, -3}, {"K2", .2, .75, 0, 1, -11.4, -.9, -3.8}, {"K3", 2.2, .75, 0, 1, 4.3, -3.7, -2.2},
		{"K4", 2.8, 0, 1, 0, 6.8, 4.8, 3}, {"K5", 2.2, -.75, 0, -1, -2.8, 6.6, 2.2}, {"K6", .2, -.75, 0, -1, 12.1, 3.8, 3.8},
	} {
		o.Points = append(o.Points, OutlinePoint{Name: p.name, X: p.x * 25.4, Y: p.y * 25.4, NX: p.nx, NY: p.ny})
		before, after = append(before, tenths(p.b, 0)), append(after, tenths(p.a, 0))
		told = append(told, tenths(p.t, 2.8))
		told[len(told)-1].Text = "pred. " + told[len(told)-1].Text
	}
	o.Panels = []OutlinePanel{
		{Head: "before", Series: []OutlineSeries{{Was, before}}},
		{Head: "after, beside what was predicted", Series: []OutlineSeries{{Now, after}, {Foretold, told}}},
	}
	return o
}

func TestGolden(t *testing.T) {
	outline, enlarged := seamOutline().Draw()
	assert.Equal(t, 500.0, enlarged)
	for name, got := range map[string]string{"dots.svg": seam().Draw(), "outline.svg": outline} {
		file := filepath.Join("testdata", name)
		if *update {
			require.NoError(t, os.MkdirAll("testdata", 0o755))
			require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
		}
		want, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Equal(t, string(want), got, name)
	}
	again, _ := seamOutline().Draw()
	assert.Equal(t, outline, again)
}

// A picture says what it shows without being seen, and keeps together without
// a style sheet of the page if it stands alone.
func TestNamed(t *testing.T) {
	for _, alone := range []bool{true, false} {
		d := seam()
		d.Alone = alone
		list := read(t, d.Draw())
		require.Equal(t, "svg", list[0].name)
		assert.Equal(t, "img", list[0].attr["role"])
		assert.Equal(t, "d-t d-d", list[0].attr["aria-labelledby"])
		assert.Equal(t, shape{"title", map[string]string{"id": "d-t"}}, list[1])
		assert.Equal(t, shape{"desc", map[string]string{"id": "d-d"}}, list[2])
		assert.Equal(t, alone, list[3].name == "style")
	}
	assert.Contains(t, seam().Draw(), "<title id=\"d-t\">Step &amp; seam</title>")
}

// The limit is where it belongs: between the readings above and below it.
func TestLimitLiesBetweenReadings(t *testing.T) {
	var limit float64
	var dots []float64
	for _, s := range read(t, seam().Draw()) {
		switch {
		case s.name == "line" && s.attr["class"] == "limit" && limit == 0:
			limit = attr(t, s, "y1")
		case s.name == "circle" && s.attr["class"] == "before" && attr(t, s, "cy") > 30:
			dots = append(dots, attr(t, s, "cy"))
		}
	}
	require.Len(t, dots, 10)
	for i, v := range []float64{13, 12, 13.5, 16.5, 17.5, 9} {
		assert.Equal(t, v > 10, dots[i] < limit, "%v", v)
	}
}

// Whatever the readings: well formed, nothing outside the picture, every
// reading a mark of its own, and no two marks of a side at one place.
func TestEveryReadingIsSeen(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		value := rapid.OneOf(rapid.Float64Range(-20, 20), rapid.Map(rapid.IntRange(-5, 5), func(i int) float64 { return float64(i) / 2 }), rapid.Float64Range(-1e12, 1e12))
		d := Dots{ID: "d", Unit: "tenths", Limit: [2]string{"limit", "limit"}, Goal: [2]string{"goal", "goal"}}
		n := 0
		for range rapid.IntRange(1, 9).Draw(rt, "strips") {
			st := Strip{Name: "K", Limits: none, Goal: none, Wide: rapid.Bool().Draw(rt, "wide")}
			if rapid.Bool().Draw(rt, "limits") {
				st.Limits = [2]float64{value.Draw(rt, "low"), math.NaN()}
			}
			for k := range rapid.IntRange(1, 3).Draw(rt, "sides") {
				v := rapid.SliceOfN(value, 0, 30).Draw(rt, "values")
				n += len(v)
				st.Sides = append(st.Sides, Side{Name: "before", Mark: []Mark{Ring, Disc, Ring}[k], Values: v, Mean: math.NaN()})
			}
			d.Strips = append(d.Strips, st)
		}
		text := d.Draw()
		if text != d.Draw() {
			rt.Fatal("not the same twice")
		}
		list := read(rt, text)
		box := strings.Fields(list[0].attr["viewBox"])
		w, err := strconv.ParseFloat(box[2], 64)
		require.NoError(rt, err)
		h, err := strconv.ParseFloat(box[3], 64)
		require.NoError(rt, err)
		at := map[[2]float64]int{}
		circles := 0
		for _, s := range list {
			for _, xy := range [][2]string{{"cx", "cy"}, {"x1", "y1"}, {"x2", "y2"}, {"x", "y"}} {
				if _, ok := s.attr[xy[0]]; !ok {
					continue
				}
				x, y := attr(rt, s, xy[0]), attr(rt, s, xy[1])
				if x < 0 || x > w || y < 0 || y > h {
					rt.Fatalf("%s at %v, %v lies outside %v x %v", s.name, x, y, w, h)
				}
				if s.name == "circle" {
					circles++
					at[[2]float64{x, y}]++
				}
			}
		}
		if circles != n {
			rt.Fatalf("%d marks for %d readings", circles, n)
		}
		for place, k := range at {
			if k > 1 {
				rt.Fatalf("%d marks at %v", k, place)
			}
		}
	})
}

func TestOutlineShape(t *testing.T) {
	got := seamOutline().shape()
	// The corners of the plate, 3.2 by 1.5 in, from six points on its edges.
	for _, corner := range [][2]float64{{-.4, -.75}, {2.8, -.75}, {2.8, .75}, {-.4, .75}} {
		near := false
		for _, p := range got {
			near = near || math.Hypot(p[0]-corner[0]*25.4, p[1]-corner[1]*25.4) < 1e-9
		}
		assert.True(t, near, "%v", corner)
	}
	text, _ := Outline{Points: []OutlinePoint{{Name: "K1"}, {Name: "K2"}}}.Draw()
	assert.Empty(t, text, "all at one place")
	o := seamOutline()
	for i := range o.Points {
		o.Panels[0].Series[0].Steps[i].Value, o.Panels[1].Series[0].Steps[i].Value = math.NaN(), math.NaN()
		o.Panels[1].Series[1].Steps[i] = OutlineStep{}
	}
	text, _ = o.Draw()
	assert.Empty(t, text, "no step at all")
}

func TestTicks(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		want      []string
	}{
		{-18, 18, []string{"−15", "−10", "−5", "0", "5", "10", "15"}},
		{0, 1, []string{"0.0", "0.2", "0.4", "0.6", "0.8", "1.0"}},
		{0.00012, 0.00043, []string{"0.00015", "0.00020", "0.00025", "0.00030", "0.00035", "0.00040"}},
		{3, 3, []string{"3.0"}},
	} {
		v, dec := ticks(c.low, c.high, 9)
		var got []string
		for _, x := range v {
			got = append(got, label(x, dec))
		}
		assert.Equal(t, c.want, got)
	}
}

func TestNumbers(t *testing.T) {
	for v, want := range map[int]string{0: "0", 5: "0.05", 50: "0.5", 100: "1", 1234: "12.34", -1205: "-12.05", -3: "-0.03"} {
		assert.Equal(t, want, num(v))
	}
	assert.Equal(t, "a&lt;b&gt; &amp;&quot; x ", escape("a<b> &\"\x01x\x9f"))
}

// Of many readings some are drawn, always the same, with the lowest and the
// highest, and it is said how many; the drawing takes no longer for all being
// equal.
func TestManyReadingsAreThinned(t *testing.T) {
	for name, value := range map[string]func(i int) float64{
		"equal": func(int) float64 { return 3 }, "rising": func(i int) float64 { return float64(i) }, "shuffled": func(i int) float64 { return float64(i * 7919 % 20011) },
	} {
		values := make([]float64, 20000)
		for i := range values {
			values[i] = value(i)
		}
		few := []float64{1, 2, 2}
		d := Dots{ID: "d", Desc: "all of them.", Strips: []Strip{{Name: "K", Limits: none, Goal: none, Sides: []Side{
			{Name: "before", Mark: Ring, Values: values, Mean: math.NaN()}, {Name: "after", Mark: Disc, Values: few, Mean: math.NaN()}}}}}
		text := d.Draw()
		assert.Equal(t, text, d.Draw(), name)
		n := map[string]int{}
		for _, s := range read(t, text) {
			n[s.attr["class"]]++
		}
		assert.Equal(t, maxDots/2, n["before"], name)
		assert.Equal(t, len(few), n["after"], name)
		assert.Contains(t, text, "all of them. 253 of 20003 dots drawn, chosen evenly", name)
		assert.Contains(t, text, ">253 of 20003 dots drawn</text>", name)
		assert.Len(t, d.Strips[0].Sides[0].Values, 20000, "the caller's readings are left alone")
	}
	assert.NotContains(t, seam().Draw(), "drawn")
	rapid.Check(t, func(rt *rapid.T) {
		v := rapid.SliceOfN(rapid.IntRange(-50, 50), 0, 300).Draw(rt, "values")
		values := make([]float64, len(v))
		for i, x := range v {
			values[i] = float64(x)
		}
		n := rapid.IntRange(2, 100).Draw(rt, "n")
		got := thinned(values, n)
		require.Len(rt, got, min(n, len(values)))
		if len(got) > 0 && (slices.Min(got) != slices.Min(values) || slices.Max(got) != slices.Max(values)) {
			rt.Fatal("the lowest or the highest is missing")
		}
	})
}
