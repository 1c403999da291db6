package study_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// traceShop is a small shop in which everything hangs together.
func traceShop(t *testing.T) *ledger.Ledger {
	return loadTexts(t, map[string]string{
		"p.md": "kind = \"part\"\nid = \"P\"\ntitle = \"plate\"\n[[feature]]\nid = \"H1\"\ntitle = \"left hole\"\nsize = \"0.1875 +0.0005/-0\"\n[[feature]]\nid = \"H2\"\nsize = \"0.1875 +0.0005/-0\"\ndatum = [\"H1\"]\n" +
			"[[characteristic]]\nid = \"W\"\nfeatures = [\"H1\"]\ngauge = \"G\"\n",
		"f.md": "kind = \"fixture\"\nid = \"FX\"\ntitle = \"fixture\"\n[[station]]\nid = \"A\"\npart = \"P\"\n[[station.locator]]\nid = \"P1\"\ntype = \"round pin\"\nengages = \"H1\"\nsize = \"0.1873\"\n[[station.locator.survey]]\non = 2024-05-01\ngauge = \"G\"\n" +
			"[[station.locator]]\nid = \"P2\"\ntype = \"relieved pin\"\nengages = \"H2\"\nsize = \"0.1873\"\nrelieved_along = \"line to P1\"\n" +
			"[[derived]]\nname = \"c/2 at P1\"\nformula = \"(hole - pin)/2\"\nwhere = { hole = \"P/H1/size\", pin = \"FX/A/P1/size\" }\n" +
			"[[derived]]\nname = \"sum\"\nformula = \"a + b + b2\"\nwhere = { a = \"P/H1/size\", b = \"P/H2/size\", b2 = \"P/H2/size\" }\n",
		"pl.md": "kind = \"plan\"\nid = \"PL\"\ntitle = \"plan\"\nrev = \"A\"\npart = \"P\"\nfrom = 2024-01-01\n[[operation]]\nid = \"OP10\"\ntitle = \"profile\"\nfixture = \"FX/A\"\nlocates_on = [\"H1\"]\n",
		"pm.md": "kind = \"plan\"\nid = \"PL\"\ntitle = \"plan\"\nrev = \"B\"\npart = \"P\"\nfrom = 2025-01-01\n[[operation]]\nid = \"OP10\"\nfixture = \"FX/A\"\n",
		"g.md":  "+++\nkind = \"gauge\"\nid = \"G\"\ntitle = \"indicator\"\ntype = \"indicator\"\n[[calibration]]\non = 2024-01-01\nresult = \"conforms\"\nagainst = \"B\"\n[[calibration]]\non = 2025-01-01\nresult = \"conforms\"\nagainst = \"C\"\n+++\nSee [the plate](p.md) and ![a picture](x.png).\n",
		"b.md":  "kind = \"gauge\"\nid = \"B\"\ntitle = \"blocks\"\ntype = \"gauge blocks\"\n[[calibration]]\non = 2023-01-01\nresult = \"conforms\"\nagainst = \"G\"\n",
		"c.md":  "kind = \"gauge\"\nid = \"C\"\ntitle = \"other blocks\"\ntype = \"gauge blocks\"\n",
		"i.md":  "kind = \"inspection\"\nid = \"I\"\ntitle = \"readings\"\non = 2024-06-01\npart = \"P\"\ncharacteristic = \"P/W\"\ngauge = \"G\"\n",
		"j.md":  "kind = \"inspection\"\nid = \"J\"\ntitle = \"readings\"\non = 2025-06-01\npart = \"P\"\ncharacteristic = \"P/W\"\ngauge = \"G\"\n",
		"ch.md": "kind = \"change\"\nid = \"CH\"\ntitle = \"re-set\"\nstate = \"done\"\ntouches = [\"FX/A/P1\"]\nbefore = \"I\"\n[[step]]\ndoes = \"bore\"\non = \"FX/A/P1\"\n",
	})
}

// tree prints links a line each: depth, path, keys.
func tree(list []*study.Link, depth int) []string {
	var out []string
	for _, l := range list {
		end := ""
		if l.Elsewhere {
			end = " elsewhere"
		}
		if l.Beyond > 0 {
			end += fmt.Sprintf(" +%d", l.Beyond)
		}
		out = append(out, strings.Repeat(".", depth)+l.Path+" "+strings.Join(l.Keys, ",")+end)
		out = append(out, tree(l.Links, depth+1)...)
	}
	return out
}

func where(t *testing.T, l *ledger.Ledger, path, day string, depth int) *study.WhereUsed {
	t.Helper()
	w, err := study.New(l, on(t, day)).Where(path, depth)
	require.NoError(t, err)
	return w
}

// TestWhere follows a trace by hand in both directions.
func TestWhere(t *testing.T) {
	l := traceShop(t)
	for _, c := range []struct {
		path        string
		depth       int
		named, name []string
	}{
		// A value: the formula that takes it, what engages its hole, and what names
		// the feature; the part as a whole is named by too many to say anything.
		{"P/H1/size", 1, []string{"FX/A/P1 engages +5", "FX/c/2 at P1 where", "FX/sum where", "P/H2 datum +2", "P/W features +2", "PL/OP10 locates_on"}, nil},
		// A locator: its station is named by plans of both revisions.
		{"FX/A/P1", 1, []string{"CH touches,on", "FX/A/P2 relieved_along +2", "FX/c/2 at P1 where", "PL/OP10 fixture", "PL/OP10 fixture"}, []string{"P/H1 engages", "G gauge +3"}},
		// A whole record: what names any part of it, and not itself.
		{"FX", 1, []string{"CH touches,on", "PL/OP10 fixture", "PL/OP10 fixture"}, []string{"P part +1", "P/H1 engages", "G gauge +3", "P/H2 engages +1", "P/H1/size where", "P/H2/size where"}},
		// A circle of gauges ends at its start; a link in the notes is no dependence.
		{"G", 4, []string{"B against", ".G against elsewhere", "FX/A/P1/2024-05-01 gauge", ".CH touches,on", ".FX/A/P2 relieved_along", "..PL/OP10 fixture", "..PL/OP10 fixture", ".PL/OP10 fixture", ".PL/OP10 fixture",
			"I gauge", ".CH before", "J gauge", "P/W gauge", ".I characteristic elsewhere", ".J characteristic"},
			[]string{"B against", ".G against elsewhere", "C against", "P notes"}},
		// A derived value: its inputs, and those of the whole value by its key.
		{"FX/sum", 2, nil, []string{"P/H1/size where", "P/H2/size where"}},
		{"CH", 1, nil, []string{"FX/A/P1 touches,on +2", "I before +3"}},
		{"CH", 2, nil, []string{"FX/A/P1 touches,on", ".P/H1 engages", ".G gauge +3", "I before", ".P part +1", ".P/W characteristic +2", ".G gauge elsewhere"}},
	} {
		w := where(t, l, c.path, "2025-12-31", c.depth)
		assert.Equal(t, c.named, tree(w.NamedBy, 0), "%s named by", c.path)
		assert.Equal(t, c.name, tree(w.Names, 0), "%s names", c.path)
	}
}

func TestWhereDetails(t *testing.T) {
	l := traceShop(t)
	w := where(t, l, "P/H1/size", "2025-12-31", 1)
	assert.Equal(t, "left hole", w.Title)
	byPath := map[string]*study.Link{}
	for _, link := range w.NamedBy {
		byPath[link.Path] = link
	}
	// The pin has no tolerance, so the hole makes all of the worst case; of the
	// sum, one part of three, the other hole counting twice.
	half := byPath["FX/c/2 at P1"]
	require.NotNil(t, half.Derived)
	assert.InDelta(t, 1, half.Share, 1e-12)
	assert.InDelta(t, 1.0/3, byPath["FX/sum"].Share, 1e-12)
	assert.Equal(t, "profile", byPath["PL/OP10"].Title)
	assert.Equal(t, "fixture", byPath["FX/A/P1"].Title, "without a title of its own, the record's")
	// The place is where the other record names it.
	at := byPath["FX/A/P1"]
	assert.Equal(t, `"H1"`, string(at.Rec.Src[at.At.Start:at.At.End]))
	for _, link := range where(t, l, "FX/sum", "2025-12-31", 1).Names {
		if link.Path == "P/H2/size" {
			assert.InDelta(t, 2.0/3, link.Share, 1e-12)
			assert.Equal(t, `"0.1875 +0.0005/-0"`, string(link.Rec.Src[link.At.Start:link.At.End]))
		}
	}
	// Two formulas of the fixture take the hole: no one of them is the link.
	for _, link := range where(t, l, "FX", "2025-12-31", 1).Names {
		if link.Path == "P/H1/size" {
			assert.Nil(t, link.Derived)
		}
	}
}

// TestWhereByDay leaves out what is dated later.
func TestWhereByDay(t *testing.T) {
	l := traceShop(t)
	assert.Equal(t, []string{"B against +1", "P/W gauge"}, tree(where(t, l, "G", "2024-04-30", 1).NamedBy, 0))
	assert.Equal(t, []string{"B against +1", "P notes"}, tree(where(t, l, "G", "2024-04-30", 1).Names, 0), "compared with C in 2025")
	assert.Equal(t, []string{"CH touches,on", "PL/OP10 fixture"}, tree(where(t, l, "FX", "2024-12-31", 1).NamedBy, 0), "revision B came in 2025")
}

func TestWhereErrors(t *testing.T) {
	s := study.New(traceShop(t), on(t, "2025-12-31"))
	_, err := s.Where("FX/A/p1", 3)
	nf := (*ledger.NotFound)(nil)
	require.ErrorAs(t, err, &nf)
	assert.Equal(t, "FX/A/P1", nf.Near)
	_, err = s.Where("FX", 0)
	assert.ErrorContains(t, err, "depth")
}

// TestWhereEnds: whatever names whatever, a trace ends, and no thing is
// followed twice.
func TestWhereEnds(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(rt, "n")
		texts := map[string]string{ledger.ConfigName: "units = \"in\"\n"}
		for i := range n {
			text := fmt.Sprintf("+++\nkind = \"gauge\"\nid = \"G%d\"\ntitle = \"g\"\ntype = \"m\"\n", i)
			for j, to := range rapid.SliceOfN(rapid.IntRange(0, n-1), 0, 4).Draw(rt, "against") {
				text += fmt.Sprintf("[[calibration]]\non = 2024-01-%02d\nresult = \"conforms\"\nagainst = \"G%d\"\n", j+1, to)
			}
			texts[fmt.Sprintf("g%d.md", i)] = text + "+++\n"
		}
		l, err := ledger.Load(source.Map(texts))
		require.NoError(rt, err)
		w, err := study.New(l, on(t, "2025-01-01")).Where("G0", 50)
		require.NoError(rt, err)
		for _, list := range [][]*study.Link{w.NamedBy, w.Names} {
			followed := map[string]int{}
			var count func([]*study.Link)
			count = func(list []*study.Link) {
				for _, link := range list {
					if len(link.Links) > 0 {
						followed[link.Path]++
					}
					count(link.Links)
				}
			}
			count(list)
			for path, times := range followed {
				assert.Equal(rt, 1, times, path)
			}
		}
	})
}
