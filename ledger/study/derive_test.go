package study_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

func deriveLedger(t interface {
	require.TestingT
	Helper()
}, keys string) (*study.Set, *ledger.Record) {
	t.Helper()
	l, err := ledger.Load(source.Map(map[string]string{
		ledger.ConfigName: "units = \"in\"\n",
		"p.md":            "+++\nkind = \"part\"\nid = \"P\"\ntitle = \"plate\"\nunits = \"in\"\nthickness = \"0.250 ±0.002\"\n[[feature]]\nid = \"H\"\nsize = \"0.1875 +0.0005/-0\"\n[[feature.was]]\nuntil = 2024-05-20\nsize = \"0.1875 +0.0010/-0\"\n" + keys + "+++\n",
		"t.md":            "+++\nkind = \"tool\"\nid = \"T14\"\ntitle = \"cutter\"\ntype = \"end mill\"\ndiameter = \"3.175 mm\"\n+++\n",
	}))
	require.NoError(t, err)
	require.Empty(t, l.Problems)
	return study.New(l, time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC)), l.Record("P")
}

func derived(name, formula, where, rest string) string {
	return fmt.Sprintf("[[derived]]\nname = %q\nformula = %q\nwhere = { %s }\n%s\n", name, formula, where, rest)
}

func TestDerivedValues(t *testing.T) {
	s, _ := deriveLedger(t, derived("path", "hole - cutter", `hole = "P/H/size", cutter = "T14/diameter"`, `value = "0.0625 in"`)+
		derived("old", "hole - cutter", `hole = "P/H/size", cutter = "T14/diameter"`, `value = "0.0625 in"`+"\non = 2024-01-01")+
		derived("stale", "2*x", `x = "P/path"`, `value = "0.2 in"`)+
		derived("rounded", "x/3", `x = "P/path"`, `value = "0.0208 in"`)+
		derived("new", "x - x", `x = "P/path"`, "")+
		derived("kept", "5*x", `x = "P/path"`, "value = \"1 in\"\nkeep = \"as predicted\"")+
		derived("of kept", "2*x", `x = "P/kept"`, "value = \"2 in\"")+
		derived("tight", "h", `h = "P/H/size"`, "limits = \"0.1875..0.1879\"\nvalue = \"0.1875\"")+
		derived("wide", "h", `h = "P/H/size"`, "limits = \"0.1875..0.1880\"\nvalue = \"0.1875\""))
	got := map[string]*study.Derived{}
	for _, d := range s.Derived() {
		require.NoError(t, d.Err, d.D.Name.S)
		got[d.D.Name.S] = d
	}
	// 0.1875 in - 3.175 mm (exactly 1/8 in) is 0.0625 in.
	assert.False(t, got["path"].Stale)
	assert.Equal(t, "0.0625 in", got["path"].Text)
	assert.Equal(t, "0.0625 in", got["path"].Lower.String())
	assert.Equal(t, "0.0630 in", got["path"].Upper.Format(got["path"].Upper.Unit(), 4))
	assert.Equal(t, "0.0635 in", got["old"].Upper.Format(got["old"].Upper.Unit(), 4), "inputs as on the day")
	assert.True(t, got["stale"].Stale)
	assert.Equal(t, "0.125 in", got["stale"].Text)
	assert.False(t, got["rounded"].Stale, "a copy rounded to its own digits is no stale value")
	assert.Equal(t, "0 in", got["new"].Text)
	assert.Equal(t, 0, got["new"].Upper.Sign(), "the same input twice counts once")
	assert.False(t, got["kept"].Stale)
	assert.False(t, got["of kept"].Stale, "what is kept on purpose is what others build on")
	assert.True(t, got["tight"].Outside)
	assert.False(t, got["wide"].Outside, "a worst case that stands on the limit is inside")
}

func TestDerivedErrors(t *testing.T) {
	s, rec := deriveLedger(t, derived("a", "x + 1*mm", `x = "P/c"`, "")+
		derived("b", "x", `x = "P/a"`, "")+
		derived("c", "x", `x = "P/b"`, "")+
		derived("d", "x", `x = "P/a"`, "")+
		derived("e", "x + 5*deg", `x = "P/H/size"`, "")+
		derived("f", "x", `x = "P/H/siez"`, "")+
		derived("g", "x +", `x = "P/H/size"`, "")+
		derived("h", "x", `x = "P/H/size"`, "value = \"5 deg\""))
	got := map[string]*study.Derived{}
	for _, d := range s.Derived() {
		require.Error(t, d.Err, d.D.Name.S)
		got[d.D.Name.S] = d
	}
	for _, n := range []string{"a", "b", "c"} {
		assert.Equal(t, []string{"P/a", "P/c", "P/b", "P/a"}, got[n].Cycle, n)
	}
	assert.Empty(t, got["d"].Cycle)
	assert.ErrorContains(t, got["d"].Err, "P/a cannot be computed itself")
	at := got["e"].ErrAt
	assert.Equal(t, "+", string(rec.Src[at.Start:at.End]), "the error stands at the operator")
	assert.Equal(t, "did you mean P/H/size?", got["f"].Hint)
	assert.Contains(t, string(rec.Src[got["f"].ErrAt.Start:got["f"].ErrAt.End]), "siez")
	assert.ErrorContains(t, got["h"].Err, "gives a length, not an angle")
}

// TestChainIsTheWhole checks on random sums that a chain of derived values
// gives the same worst case as the formula written in one piece.
func TestChainIsTheWhole(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(2, 5).Draw(rt, "parts")
		var whole []string
		var b strings.Builder
		prev := "P/H/size"
		for i := range n {
			k := rapid.IntRange(-4, 4).Draw(rt, "factor")
			b.WriteString(derived(fmt.Sprintf("p%d", i), fmt.Sprintf("a - %d*b", k), fmt.Sprintf(`a = %q, b = "P/thickness"`, prev), ""))
			whole = append(whole, fmt.Sprintf("- %d*b", k))
			prev = fmt.Sprintf("P/p%d", i)
		}
		b.WriteString(derived("whole", "a "+strings.Join(whole, " "), `a = "P/H/size", b = "P/thickness"`, ""))
		s, _ := deriveLedger(rt, b.String())
		all := s.Derived()
		last, one := all[n-1], all[n]
		require.NoError(rt, last.Err)
		require.NoError(rt, one.Err)
		for _, pair := range [][2]interface{ String() string }{{last.Value, one.Value}, {last.Lower, one.Lower}, {last.Upper, one.Upper}} {
			assert.Equal(rt, pair[1].String(), pair[0].String())
		}
	})
}
