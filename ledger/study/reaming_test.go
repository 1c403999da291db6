package study_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
	"tenths/calc/ream"
	"tenths/ledger/study"
)

// reamed loads a hole that a reamer finishes.
func reamed(t *testing.T, units, size, reamer, more string) study.ReamerSize {
	t.Helper()
	s := study.New(loadTexts(t, map[string]string{
		"p.md": fmt.Sprintf("kind = \"part\"\nid = \"P\"\ntitle = \"p\"\nunits = %q\nmaterial = \"6061-T6\"\n[[feature]]\nid = \"H\"\ntype = \"hole\"\nsize = %q\ntool = \"T\"\n", units, size),
		"t.md": fmt.Sprintf("kind = \"tool\"\nid = \"T\"\ntitle = \"t\"\nunits = %q\ntype = \"chucking reamer\"\ndiameter = %q\n%s", units, reamer, more),
	}), on(t, "2025-11-25"))
	list := s.Reamings()
	require.Len(t, list, 1)
	out, ok := list[0].SizeOf(s)
	require.True(t, ok)
	return out
}

// TestReamerSize: windows by the rule of DIN 1420 (ISO 522). "maker's page" is the
// worked example 10 D8 (10.062/10.040) with its reamer 10.058/10.050, "catalogue"
// the H7 reamers printed in a reamer maker's catalogue: 20 H7 +17/+9, 4 H7 +10/+5
// um. The inch holes are the same rule in steps of .0001 in, by hand (common
// practice): .1250-.1255 gives .1252-.1254, .1875-.1880 gives .1877-.1879.
func TestReamerSize(t *testing.T) {
	for _, c := range []struct {
		source, units, size, reamer string
		least, most, off            string
		position                    ream.Position
	}{
		{"maker's page", "mm", "10.040..10.062", "10.050", "10.050 mm", "10.058 mm", "0 mm", ream.Inside},
		{"maker's page", "mm", "10.040..10.062", "10.058", "10.050 mm", "10.058 mm", "0 mm", ream.Inside},
		{"maker's page", "mm", "10.040..10.062", "10.049", "10.050 mm", "10.058 mm", "-0.001 mm", ream.LowSide},
		{"catalogue", "mm", "20 mm H7", "20.018", "20.009 mm", "20.017 mm", "0.001 mm", ream.HighSide},
		{"catalogue", "mm", "4 mm H7", "4.008", "4.005 mm", "4.010 mm", "0 mm", ream.Inside},
		{"by hand", "in", "0.1250 +0.0005/-0", "0.1253", "0.1252 in", "0.1254 in", "0 in", ream.Inside},
		{"by hand: a reamer of the nominal size lies outside", "in", "0.1250 +0.0005/-0", "0.1250", "0.1252 in", "0.1254 in", "-0.0002 in", ream.Outside},
		{"by hand", "in", "0.1875 +0.0005/-0", "0.1876", "0.1877 in", "0.1879 in", "-0.0001 in", ream.LowSide},
		{"by hand: the end nearest to the window counts", "in", "0.1875 +0.0005/-0", "0.1875 +0.0001/-0", "0.1877 in", "0.1879 in", "-0.0001 in", ream.LowSide},
		{"by hand: some of it lies in the window", "in", "0.1875 +0.0005/-0", "0.1876 +0.0002/-0", "0.1877 in", "0.1879 in", "0 in", ream.Inside},
	} {
		r := reamed(t, c.units, c.size, c.reamer, "")
		equalQ(t, c.least, r.Want.Lower, c.source)
		equalQ(t, c.most, r.Want.Upper, c.source)
		equalQ(t, c.off, r.Off, c.source)
		assert.Equal(t, c.position, r.Position, c.source)
		assert.False(t, r.Proven)
	}
}

// TestReamerProven: the demo's T11, .1876 for a window of .1877-.1879, is proven by
// test holes .1876-.1878 in 6061 (invented data).
func TestReamerProven(t *testing.T) {
	cut := func(material, size, day string) string {
		return fmt.Sprintf("[[cuts]]\nmaterial = %q\nsize = %q\n%s", material, size, day)
	}
	for _, c := range []struct {
		name, cuts string
		proven     bool
		side       quantity.Side
		tested     string
	}{
		{"as the demo", cut("6061-T6", "0.1876..0.1878", ""), true, quantity.Inside, "0.1876..0.1878 in"},
		{"at the limits", cut("6061-T6", "0.1875..0.1880", ""), true, quantity.Inside, "0.1875..0.1880 in"},
		{"the name in short", cut("6061", "0.1876..0.1878", ""), true, quantity.Inside, "0.1876..0.1878 in"},
		{"the name at length", cut("6061-T6 plate", "0.1876..0.1878", ""), true, quantity.Inside, "0.1876..0.1878 in"},
		{"one hole", cut("6061-T6", "0.1877", ""), true, quantity.Inside, "0.1877 in"},
		{"too small", cut("6061-T6", "0.1874..0.1878", ""), false, quantity.Below, "0.1874..0.1878 in"},
		{"too large", cut("6061-T6", "0.1876..0.1881", ""), false, quantity.Above, "0.1876..0.1881 in"},
		{"the latest counts", cut("6061-T6", "0.1874..0.1878", "on = 2025-01-01\n") + cut("6061-T6", "0.1876..0.1878", "on = 2024-01-01\n"), false, quantity.Below, "0.1874..0.1878 in"},
		{"a trial that is still to come", cut("6061-T6", "0.1876..0.1878", "on = 2026-01-01\n"), false, quantity.Inside, ""},
		{"another material", cut("brass", "0.1876..0.1878", ""), false, quantity.Inside, ""},
		{"another alloy", cut("7075-T6", "0.1876..0.1878", ""), false, quantity.Inside, ""},
	} {
		r := reamed(t, "in", "0.1875 +0.0005/-0", "0.1876", c.cuts)
		assert.Equal(t, c.proven, r.Proven, c.name)
		if c.tested == "" {
			assert.Nil(t, r.Tested, c.name)
			continue
		}
		require.NotNil(t, r.Tested, c.name)
		assert.Equal(t, c.tested, r.Tested.Size.Tol.String(), c.name)
		assert.Equal(t, c.side, r.Side, c.name)
	}
}

// TestDemoReaming: T11 is proven, and T16 leaves .0056 in for it, which is usual
// (about .004 to .012 in for 1/8 to 1/4 in, common practice). The shop is invented.
func TestDemoReaming(t *testing.T) {
	l := demo(t)
	s := study.New(l, on(t, "2025-11-25"))
	n, stocks := 0, 0
	for _, r := range s.Reamings() {
		if r.ToolRec.ID() != "T11" {
			continue
		}
		n++
		size, ok := r.SizeOf(s)
		require.True(t, ok)
		assert.True(t, size.Proven)
		assert.Equal(t, ream.LowSide, size.Position)
		if st, ok := r.StockOf(s); ok {
			stocks++
			equalQ(t, "0.0056 in", st.Amount, r.Op.ID.S)
			assert.Equal(t, ream.StockUsual, st.Verdict)
			assert.Equal(t, "T16", st.DrillRec.ID())
		}
	}
	assert.Equal(t, 10, n, "two holes of two parts, by the part and by the three plans in force")
	assert.Equal(t, 6, stocks)
}

// TestReamStock: .004 to .012 in from 1/8 to 1/4 in, 0.2 to 0.3 mm up to 20 mm
// (common practice).
func TestReamStock(t *testing.T) {
	for _, c := range []struct {
		name, units, size, reamer string
		tools                     [][2]string // type and diameter, in order; the reamer comes last
		want                      string      // drill and verdict
	}{
		{"at the least", "in", "0.1875 +0.0005/-0", "0.1878", [][2]string{{"drill", "0.1838"}}, "0.1838 in usual"},
		{"at the most", "in", "0.1875 +0.0005/-0", "0.1878", [][2]string{{"drill", "0.1758"}}, "0.1758 in usual"},
		{"too little", "in", "0.1875 +0.0005/-0", "0.1878", [][2]string{{"drill", "0.1839"}}, "0.1839 in too little"},
		{"too much", "in", "0.1875 +0.0005/-0", "0.1878", [][2]string{{"core drill", "0.1757"}}, "0.1757 in too much"},
		{"10 mm", "mm", "10 mm H7", "10.012", [][2]string{{"drill", "9.80"}}, "9.80 mm usual"},
		{"10 mm", "mm", "10 mm H7", "10.012", [][2]string{{"drill", "9.90"}}, "9.90 mm too little"},
		{"the usual one of several", "in", "0.1875 +0.0005/-0", "0.1878", [][2]string{{"drill", "0.1820"}, {"drill", "0.1860"}}, "0.1820 in usual"},
		{"the usual one of several, in the other order", "in", "0.1875 +0.0005/-0", "0.1878", [][2]string{{"drill", "0.1860"}, {"drill", "0.1820"}}, "0.1820 in usual"},
		{"the largest of those that are not", "in", "0.1875 +0.0005/-0", "0.1878", [][2]string{{"drill", "0.1700"}, {"drill", "0.1860"}}, "0.1860 in too little"},
		{"three quarters", "in", "0.1875 +0.0005/-0", "0.1880", [][2]string{{"drill", "0.1410"}}, "0.1410 in too much"},
		{"less than three quarters is another hole's", "in", "0.1875 +0.0005/-0", "0.1880", [][2]string{{"drill", "0.1409"}}, ""},
		{"larger than the reamer", "in", "0.1875 +0.0005/-0", "0.1878", [][2]string{{"drill", "0.1890"}}, ""},
		{"spot drill", "in", "0.1875 +0.0005/-0", "0.1878", [][2]string{{"spot drill", "0.1870"}}, ""},
		{"centre drill", "in", "0.1875 +0.0005/-0", "0.1878", [][2]string{{"center drill", "0.1870"}}, ""},
		{"bored after the drill", "in", "0.1875 +0.0005/-0", "0.1878", [][2]string{{"drill", "0.1700"}, {"boring bar", "0.1500"}}, ""},
		{"milled before the drill", "in", "0.1875 +0.0005/-0", "0.1878", [][2]string{{"end mill", "0.3750"}, {"drill", "0.1860"}}, "0.1860 in too little"},
		{"nothing is usual", "mm", "60 mm H7", "60.020", [][2]string{{"drill", "59.90"}}, ""},
	} {
		texts := map[string]string{
			"p.md": fmt.Sprintf("kind = \"part\"\nid = \"P\"\ntitle = \"p\"\nunits = %q\n[[feature]]\nid = \"H\"\ntype = \"hole\"\nsize = %q\n", c.units, c.size),
			"r.md": fmt.Sprintf("kind = \"tool\"\nid = \"R\"\ntitle = \"r\"\nunits = %q\ntype = \"reamer\"\ndiameter = %q\n", c.units, c.reamer),
		}
		refs := ""
		for i, tool := range c.tools {
			texts[fmt.Sprintf("t%d.md", i)] = fmt.Sprintf("kind = \"tool\"\nid = \"T%d\"\ntitle = \"t\"\nunits = %q\ntype = %q\ndiameter = %q\n", i, c.units, tool[0], tool[1])
			refs += fmt.Sprintf("\"T%d\", ", i)
		}
		texts["pl.md"] = fmt.Sprintf("kind = \"plan\"\nid = \"PL\"\ntitle = \"pl\"\nstate = \"released\"\npart = \"P\"\n[[operation]]\nid = \"OP\"\ntools = [%s\"R\"]\nmakes = [\"H\"]\n", refs)
		s := study.New(loadTexts(t, texts), on(t, "2025-11-25"))
		list := s.Reamings()
		require.Len(t, list, 1, c.name)
		got := ""
		if st, ok := list[0].StockOf(s); ok {
			got = st.Drill.Diameter.Nominal().String() + " " + string(st.Verdict)
		}
		assert.Equal(t, c.want, got, c.name)
	}
}

// TestReamingsWho: which tool finishes a hole.
func TestReamingsWho(t *testing.T) {
	for _, c := range []struct {
		name, feature, plan string
		want                []string
	}{
		{"tool of the feature", "tool = \"R\"\n", "", []string{"R"}},
		{"tool of the feature and of the plan", "tool = \"R\"\n", "tools = [\"R\"]\nmakes = [\"H\"]\n", []string{"R", "R OP"}},
		{"another tool finishes it", "tool = \"M\"\n", "tools = [\"R\"]\nmakes = [\"H\"]\n", nil},
		{"by the plan", "", "tools = [\"M\", \"R\"]\nmakes = [\"H\"]\n", []string{"R OP"}},
		{"by the plan, altered", "", "tools = [\"R\"]\nalters = [\"H\"]\n", []string{"R OP"}},
		{"the nearest reamer", "", "tools = [\"R2\", \"R\", \"R3\"]\nmakes = [\"H\"]\n", []string{"R OP"}},
		{"a reamer for another hole", "", "tools = [\"R3\"]\nmakes = [\"H\"]\n", nil},
		{"another operation", "", "tools = [\"R\"]\nmakes = [\"X\"]\n", nil},
		{"reamed at last", "made_by = \"drilled, bored and reamed\"\n", "tools = [\"R\"]\nmakes = [\"H\"]\n", []string{"R OP"}},
		{"honed at last", "made_by = \"reamed and honed\"\n", "tools = [\"R\"]\nmakes = [\"H\"]\n", nil},
		{"bored", "made_by = \"bored\"\n", "tools = [\"R\"]\nmakes = [\"H\"]\n", nil},
	} {
		tool := func(id, typ, dia string) string {
			return fmt.Sprintf("kind = \"tool\"\nid = %q\ntitle = \"t\"\nunits = \"in\"\ntype = %q\ndiameter = %q\n", id, typ, dia)
		}
		texts := map[string]string{
			"p.md": "kind = \"part\"\nid = \"P\"\ntitle = \"p\"\nunits = \"in\"\n[[feature]]\nid = \"H\"\ntype = \"hole\"\nsize = \"0.1875 +0.0005/-0\"\n" + c.feature,
			"1.md": tool("R", "reamer", "0.1878"), "2.md": tool("R2", "reamer", "0.1885"), "3.md": tool("R3", "reamer", "0.2500"), "4.md": tool("M", "end mill", "0.1250"),
		}
		if c.plan != "" {
			texts["pl.md"] = "kind = \"plan\"\nid = \"PL\"\ntitle = \"pl\"\nstate = \"released\"\npart = \"P\"\n[[operation]]\nid = \"OP\"\n" + c.plan
		}
		var got []string
		for _, r := range study.New(loadTexts(t, texts), on(t, "2025-11-25")).Reamings() {
			text := r.ToolRec.ID()
			if r.Op != nil {
				text += " " + r.Op.ID.S
			}
			got = append(got, text)
		}
		assert.Equal(t, c.want, got, c.name)
	}
}
