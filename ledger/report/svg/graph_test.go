package svg

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// pinTrace is what a pin depends on and what depends on it (invented).
func pinTrace() Graph {
	return Graph{
		ID: "t", Alone: true, Title: "What FX1/A/P1 depends on, and what depends on it", Desc: "words", Foot: "An arrow leads from what is used to what uses it.",
		Heads: []string{"it depends on", "", "depends on it"},
		Nodes: []Node{
			{Column: 1, Name: "FX1/A/P1", Lines: []string{"fixture, in use"}, Asked: true},
			{Column: 0, Name: "P-10/H1", Lines: []string{"locating hole", "by engages"}},
			{Column: 0, Name: "G4", Lines: []string{"Test indicator with stand, across the seam of the cap", "by gauge"}},
			{Column: 2, Name: "A-01/step at K4 from pins and looseness", Lines: []string{"= 4.5 tenths"}},
			{Column: 2, Name: "5 plans <b>&", Lines: []string{"by fixture", "PL-10/OP40", "PL-10/OP50"}},
		},
		Edges: [][2]int{{1, 0}, {2, 0}, {0, 3}, {0, 4}},
	}
}

func TestGraphGolden(t *testing.T) {
	got := pinTrace().Draw()
	file := filepath.Join("testdata", "graph.svg")
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}

type box struct{ x, y, w, h float64 }

// checkGraph reads a picture back: every node has a box inside of the picture, no
// two boxes touch, no word is broken out of its box, and every arrow runs in the
// space between two columns.
func checkGraph(t require.TestingT, g Graph) {
	text := g.Draw()
	var boxes []box
	list := read(t, text)
	var view []float64
	for _, f := range strings.Fields(list[0].attr["viewBox"]) {
		v, err := strconv.ParseFloat(f, 64)
		require.NoError(t, err)
		view = append(view, v)
	}
	for _, e := range list {
		if e.name == "rect" {
			boxes = append(boxes, box{attr(t, e, "x"), attr(t, e, "y"), attr(t, e, "width"), attr(t, e, "height")})
		}
	}
	require.Len(t, boxes, len(g.Nodes))
	for i, a := range boxes {
		assert.True(t, a.x >= 0 && a.y >= 0 && a.x+a.w <= view[2] && a.y+a.h <= view[3], "box %d lies in the picture", i)
		for k, b := range boxes[:i] {
			assert.False(t, a.x < b.x+b.w && b.x < a.x+a.w && a.y < b.y+b.h+1 && b.y < a.y+a.h+1, "boxes %d and %d overlap", i, k)
		}
	}
	arrows := 0
	for _, e := range list {
		if e.name != "path" {
			continue
		}
		arrows++
		var n []float64
		for _, f := range strings.Fields(strings.NewReplacer("M", "", "C", "").Replace(e.attr["d"])) {
			v, err := strconv.ParseFloat(f, 64)
			require.NoError(t, err)
			n = append(n, v)
		}
		require.Len(t, n, 8)
		// All four points of the curve lie within the space, and so does the curve.
		for i := 0; i < 8; i += 2 {
			for k, b := range boxes {
				assert.False(t, n[i] > b.x+0.01 && n[i] < b.x+b.w-0.01, "an arrow runs over the column of box %d", k)
			}
		}
	}
	assert.Equal(t, len(g.Edges), arrows)
}

func TestGraphDoesNotOverlap(t *testing.T) {
	checkGraph(t, pinTrace())
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "nodes")
		columns := rapid.IntRange(1, 7).Draw(t, "columns")
		g := Graph{ID: "g", Title: "t", Desc: "d", Foot: rapid.SampledFrom([]string{"", "foot"}).Draw(t, "foot")}
		for i := range n {
			node := Node{Column: rapid.IntRange(0, columns-1).Draw(t, "column"), Name: rapid.StringN(0, 80, 200).Draw(t, "name")}
			for range rapid.IntRange(0, 6).Draw(t, "lines") {
				node.Lines = append(node.Lines, fmt.Sprint("line of ", i))
			}
			g.Nodes = append(g.Nodes, node)
		}
		seen := map[[2]int]bool{}
		for range rapid.IntRange(0, 2*n).Draw(t, "edges") {
			a, b := rapid.IntRange(0, n-1).Draw(t, "from"), rapid.IntRange(0, n-1).Draw(t, "to")
			if g.Nodes[b].Column == g.Nodes[a].Column+1 && !seen[[2]int{a, b}] {
				seen[[2]int{a, b}] = true
				g.Edges = append(g.Edges, [2]int{a, b})
			}
		}
		checkGraph(t, g)
		once, again := g.Draw(), g.Draw()
		if once != again {
			t.Fatal("the same graph is drawn in two ways")
		}
	})
}

// TestGraphUncrossed puts two chains side by side that were given crosswise.
func TestGraphUncrossed(t *testing.T) {
	g := Graph{Nodes: []Node{{Column: 0, Name: "a"}, {Column: 0, Name: "b"}, {Column: 1, Name: "of b"}, {Column: 1, Name: "of a"}, {Column: 2, Name: "end of a"}, {Column: 2, Name: "end of b"}}}
	g.Edges = [][2]int{{0, 3}, {1, 2}, {3, 4}, {2, 5}}
	assert.Zero(t, layOut(g).crossings())
}

func TestBroken(t *testing.T) {
	for _, row := range []struct {
		text        string
		fits, lines int
		want        []string
	}{
		{"short", 10, 2, []string{"short"}},
		{"", 10, 2, []string{""}},
		{"A-01/step at K4", 10, 2, []string{"A-01/step", "at K4"}},
		{"FX1/A/P1/2024-03-11", 12, 2, []string{"FX1/A/P1/", "2024-03-11"}},
		{"one two three four", 8, 2, []string{"one two", "three f…"}},
		{"abcdefghijkl", 5, 1, []string{"abcd…"}},
		{"部品部品部品", 6, 1, []string{"部品…"}},
	} {
		assert.Equal(t, row.want, broken(row.text, row.fits, row.lines), row.text)
	}
}
