package svg

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func widths() Track {
	return Track{
		ID: "t", Title: "Widths & more", Desc: "every reading in its order", Unit: "tenths", Across: "readings", Alone: true, Joined: true,
		Series: []Run{{X: []float64{1, 2, 3, 4}, Y: []float64{0, 1, 3, 2}, Mark: Disc}, {X: []float64{5}, Y: []float64{9}, Mark: Triangle}},
		Levels: []Level{{10, LimitLevel, "limit 10"}, {-10, LimitLevel, "limit -10"}, {1.2, MeanLevel, "mean 1.2"}, {4, ChartLevel, "chart 4"}, {5, GoalLevel, "goal 5"}, {200, LimitLevel, "far"}},
		Lines:  []Line{{X1: 1, Y1: 0, X2: 4, Y2: 3}, {X1: 1, Y1: 1, X2: 4, Y2: 4, Bound: true}},
		Cuts:   []Cut{{0.5, "L-1", false}, {2.5, "L-2", false}, {2.6, "too near", false}, {4.5, "CH-1", true}},
		Legend: []Key{{Mark: Disc, Text: "reading"}, {Mark: Triangle, Text: "outside"}},
	}
}

func TestTrackGolden(t *testing.T) {
	got := widths().Draw()
	file := filepath.Join("testdata", "track.svg")
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}

// Heights and places follow the numbers: what is larger lies higher, what is later
// lies farther right, limits lie beyond the readings inside them.
func TestTrackFollowsTheNumbers(t *testing.T) {
	list := read(t, widths().Draw())
	var x, y, limits []float64
	n := map[string]int{}
	for _, s := range list {
		n[s.attr["class"]]++
		switch {
		case s.name == "circle" && s.attr["class"] == "after" && attr(t, s, "cy") > 50:
			x, y = append(x, attr(t, s, "cx")), append(y, attr(t, s, "cy"))
		case s.name == "line" && s.attr["class"] == "limit":
			limits = append(limits, attr(t, s, "y1"))
		}
	}
	require.Len(t, x, 4)
	assert.IsIncreasing(t, x)
	assert.True(t, y[0] > y[1] && y[1] > y[3] && y[3] > y[2])
	require.Len(t, limits, 2, "the one far off is only named")
	for _, v := range y {
		assert.True(t, v > limits[0] && v < limits[1])
	}
	assert.Equal(t, 2, n["joined"], "not across the cuts")
	assert.Equal(t, 1, n["fitted"])
	assert.Equal(t, 1, n["bound"])
	text := widths().Draw()
	assert.Contains(t, text, "far ↑")
	assert.NotContains(t, text, "too near", "names do not lie on each other")
	assert.Contains(t, text, "limit −10")
	assert.Contains(t, text, ".tp .fitted", "a picture that stands alone has its whole style")
	inside := widths()
	inside.Alone = false
	assert.NotContains(t, inside.Draw(), "<style>")
}

// Whatever the numbers, the picture is well formed, of bounded size and the same
// again.
func TestTrackOfAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 1200).Draw(t, "n")
		r := Run{Mark: Ring}
		for i := range n {
			r.X, r.Y = append(r.X, float64(i)), append(r.Y, float64(i*7919%97)*rapid.SampledFrom([]float64{1, 0, 1e-6, 1e6}).Draw(t, "k"))
			if i > 20 {
				r.Y[i] = r.Y[i%20]
			}
		}
		p := Track{ID: "a", Series: []Run{r}, Levels: []Level{{rapid.Float64Range(-1e3, 1e3).Draw(t, "level"), LimitLevel, "<limit>"}}}
		text := p.Draw()
		require.Equal(t, text, p.Draw())
		read(t, text)
		require.LessOrEqual(t, strings.Count(text, "<circle"), maxTracked)
		require.Equal(t, n > maxTracked, strings.Contains(text, "readings drawn"))
		require.NotContains(t, text, "NaN")
		require.Len(t, r.X, n)
	})
}
