package ledger

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestDoubles finds names that are given twice in one place, and only those.
func TestDoubles(t *testing.T) {
	l := load(t, map[string]string{"f.md": "+++\nkind = \"fixture\"\nid = \"FX1\"\ntitle = \"f\"\n" +
		"[[station]]\nid = \"A\"\n[[station.locator]]\nid = \"P1\"\ntype = \"rest\"\n[[station.locator]]\nid = \"P1\"\ntype = \"rest\"\n" +
		"[[station]]\nid = \"B\"\n[[station.locator]]\nid = \"P1\"\ntype = \"rest\"\n[[derived]]\nname = \"A\"\nformula = \"1\"\n[[station]]\nid = \"\"\n[[station]]\nid = \"\"\n+++\n"})
	var got []string
	for _, d := range l.Record("FX1").Doubles() {
		got = append(got, fmt.Sprintf("%s: %s and %s in %s", d.Name, d.Other, d.Key, d.In))
	}
	assert.ElementsMatch(t, []string{"A: derived and station in the record", "P1: locator and locator in station A"}, got)
}

// TestSizes lists every quantity once, wherever it stands, in the order of the text.
func TestSizes(t *testing.T) {
	l := load(t, shop)
	var got []string
	for _, s := range l.Record("FX1").Sizes() {
		got = append(got, s.Key+"="+s.Raw)
		assert.True(t, s.OwnUnit(), s.Raw)
	}
	assert.Equal(t, []string{"off=0.5 tenths", "off=1.0 tenths", "off=4 tenths", "off=-9 tenths"}, got)
	l = load(t, map[string]string{"i.md": "+++\nkind = \"inspection\"\nid = \"I\"\ntitle = \"i\"\nreadings = \"1 2 mm\"\n[[reading]]\nvalues = [3, \"4 in\"]\n+++\n"})
	assert.Len(t, l.Problems, 1, "a unit apart from its number is no reading")
	sizes := l.Record("I").Sizes()
	require.Len(t, sizes, 4)
	assert.False(t, sizes[0].OwnUnit())
	assert.True(t, sizes[3].OwnUnit())
}

// TestFindFrom checks that a record's own id means its own revision.
func TestFindFrom(t *testing.T) {
	l := load(t, map[string]string{
		"b.md": "+++\nkind = \"part\"\nid = \"P\"\ntitle = \"b\"\nrev = \"B\"\nstate = \"superseded\"\n[[feature]]\nid = \"H3\"\n+++\n",
		"c.md": "+++\nkind = \"part\"\nid = \"P\"\ntitle = \"c\"\nrev = \"C\"\n+++\n",
	})
	_, err := l.Find("P/H3")
	assert.Error(t, err)
	for _, rec := range l.WithID("P") {
		_, err := l.FindFrom(rec, "P/H3")
		assert.Equal(t, rec.Common.Rev.S == "B", err == nil, rec.Path)
	}
}

// TestNearest offers what is near and nothing that is only short.
func TestNearest(t *testing.T) {
	for _, tc := range []struct{ written, want string }{
		{"diametr", "diameter"}, {"DIAMETER", "diameter"}, {"b", ""}, {"A", "a"}, {"", ""}, {strings.Repeat("x", 1<<20), ""},
	} {
		assert.Equal(t, tc.want, Nearest(tc.written, []string{"a", "diameter", strings.Repeat("x", 1<<20)}, 3))
	}
	for written, want := range map[string]string{"staet": "state", "tsate": "state", "stae": "state", "stxya": "", "e": ""} {
		assert.Equal(t, want, Nearest(written, []string{"state"}, 2), written)
	}
}
