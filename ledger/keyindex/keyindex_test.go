package keyindex

import (
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const sample = `# a comment with [brackets] and "quotes"
kind = "fixture"   # after
"odd key" = 'literal \ text'
a.b.c = 1.50
list = [ "x", # in between
  [1, 2], { p = 1, q = "]" }, ]
text = """
one "two" ""three"""""
when = 2024-03-11
at = 1979-05-27 07:32:00Z
empty = []

[[station]]
id = "A"
  [[station.locator]]
  id = "P1"
  off = ["0.5 tenths", "1.0 tenths"]
  [station.locator.more]
  deep = true
  [[station.locator]]
  id = "P2"
[[station]]
id = "B"
[table."sub table"]
k = "\u00e9\"x"
`

// TestSpans checks that each span, decoded on its own by the TOML library,
// gives the value that the library found in the whole document.
func TestSpans(t *testing.T) {
	root, err := Parse([]byte(sample), 0)
	require.NoError(t, err)
	n := checkSpans(t, []byte(sample), root)
	assert.Equal(t, 24, n)
	p2 := root.Table.Get("station").Items[0].Table.Get("locator").Items[1]
	assert.Equal(t, "P2", p2.Table.Get("id").Value)
	assert.Equal(t, "1.50", sample[root.Table.Get("a").Table.Get("b").Table.Get("c").Val.Start:root.Table.Get("a").Table.Get("b").Table.Get("c").Val.End])
	assert.Equal(t, "[[station.locator]]", sample[p2.Val.Start:p2.Val.End])
	assert.Equal(t, `"odd key"`, sample[root.Table.Get("odd key").Key.Start:root.Table.Get("odd key").Key.End])
}

func TestOffset(t *testing.T) {
	root, err := Parse([]byte(`a = "x"`), 100)
	require.NoError(t, err)
	assert.Equal(t, Span{104, 107}, root.Table.Get("a").Val)
}

func TestErrors(t *testing.T) {
	for _, tc := range []struct {
		name, src, msg string
		start          int
	}{
		{"no value", "a = \n", "", 4},
		{"unclosed string", "a = \"x\nb = 1", "", 6},
		{"twice", "a = 1\na = 2\n", "", 6},
		{"invalid UTF-8", "a = \"\xff\"", "UTF-8", 5},
		{"byte order mark", "\xEF\xBB\xBFa = 1", "byte order mark", 0},
		{"deep", "a = " + strings.Repeat("[", 5000), "nested deeper", 4 + MaxDepth},
		{"long key", strings.Repeat("a.", 5000) + "a = 1", "more than 200 parts", 2*MaxDepth - 1},
		{"long key in a table", "x = {" + strings.Repeat(`"b".`, 5000) + "a = 1}", "more than 200 parts", 5 + 4*MaxDepth - 1},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := Parse([]byte(tc.src), 0)
			var se *SyntaxError
			require.ErrorAs(t, err, &se)
			assert.Contains(t, se.Msg, tc.msg)
			assert.InDelta(t, tc.start, se.Span.Start, 2)
		})
	}
}

// TestDotsInStrings checks that only keys are bounded: a list of many readings
// has many dots, too.
func TestDotsInStrings(t *testing.T) {
	for _, src := range []string{
		`readings = "` + strings.Repeat("1.5003 ", 500) + `"`,
		`readings = [` + strings.Repeat("1.5003, ", 500) + `]`,
		"text = \"\"\"" + strings.Repeat("[.\n", 500) + "\"\"\"",
		"# " + strings.Repeat(".[", 500) + "\na = 1",
	} {
		_, err := Parse([]byte(src), 0)
		assert.NoError(t, err)
	}
}

// checkSpans decodes every scalar again from its own bytes and counts the keys.
func checkSpans(t *testing.T, src []byte, n *Node) int {
	t.Helper()
	count := 0
	if n.Value != nil {
		var got struct{ V any }
		_, err := toml.Decode("V = "+string(src[n.Val.Start:n.Val.End]), &got)
		require.NoError(t, err, "%q", src[n.Val.Start:n.Val.End])
		assert.Equal(t, n.Value, got.V)
	}
	for _, item := range n.Items {
		count += checkSpans(t, src, item)
	}
	if n.Table != nil {
		for _, name := range n.Table.Names {
			count += 1 + checkSpans(t, src, n.Table.Get(name))
		}
	}
	return count
}

func FuzzParse(f *testing.F) {
	f.Add(sample)
	f.Add("a = [[[]]]\n[b]\nc = {d = {}}\n[[e]]\n[[e]]\n")
	f.Fuzz(func(t *testing.T, src string) {
		root, err := Parse([]byte(src), 0)
		if err != nil {
			assert.NotContains(t, err.Error(), "please report", "%q", src)
			return
		}
		checkSpans(t, []byte(src), root)
	})
}
