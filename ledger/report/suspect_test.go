package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// suspectText is what a look-back over gauge G of a small shop prints.
func suspectText(t *testing.T, gauge, inspection string) (*SuspectSheet, string) {
	t.Helper()
	s := setOf(t, map[string]string{
		ledger.ConfigName: "units = \"mm\"\n",
		"g.md":            "+++\nkind = \"gauge\"\nid = \"G\"\ntitle = \"micrometer\"\ntype = \"micrometer\"\n" + gauge + "+++\n",
		"p.md":            "+++\nkind = \"part\"\nid = \"P\"\ntitle = \"p\"\n[[characteristic]]\nid = \"W\"\nlimits = \"10.00 ±0.10\"\n[[characteristic.was]]\nuntil = 2024-02-01\nlimits = \"10.00 ±0.30\"\n[[characteristic.point]]\nid = \"K1\"\n+++\n",
		"i.md":            "+++\nkind = \"inspection\"\nid = \"I\"\ntitle = \"i\"\ngauge = \"G\"\n" + inspection + "+++\n",
	})
	sp, err := s.Suspect(s.L.Record("G"))
	require.NoError(t, err)
	sh := SuspectOf(s, sp)
	return sh, printed(t, sh.WriteText)
}

// TestSuspectText: the answer comes first, and every limit of it is said.
// Numbers worked by hand.
func TestSuspectText(t *testing.T) {
	failed := "uncertainty = \"0.02\"\n[[calibration]]\non = 2024-03-10\nresult = \"does not conform\"\n"
	for _, c := range []struct {
		name, gauge, inspection string
		want                    []string
	}{
		{"on the limit", failed + "as_found = \"0.03\"\n", "on = 2024-03-01\ncharacteristic = \"P/W\"\nreadings = [\"10.13\"]\n",
			[]string{"1 reading: 1 doubtful\n", "error +0.03 mm, found on 2024-03-10, no good check before is known", "10.10 mm   doubtful: on the limit", "piece  point", "error assumed constant over size, unless a curve is known"}},
		{"outside", failed + "as_found = \"0.03\"\n", "on = 2024-03-01\ncharacteristic = \"P/W\"\nreadings = [\"10.17\"]\n",
			[]string{"1 reading: 1 outside\n", "outside by 0.04 mm"}},
		{"a third of a step", failed + "as_found = \"1/30\"\n", "on = 2024-03-01\ncharacteristic = \"P/W\"\nreadings = [\"10.12\"]\n",
			[]string{"10.0867 mm", "doubtful: 0.0133 mm inside"}},
		{"a curve", failed + "as_found = \"0.03\"\nat = \"10\"\n[[calibration]]\non = 2024-03-10\nresult = \"conforms\"\nas_found = \"0\"\nat = \"5\"\n", "on = 2024-03-01\ncharacteristic = \"P/W\"\nreadings = [\"10\"]\n",
			[]string{"straight lines between the sizes of the check"}},
		{"no error written down", failed, "on = 2024-03-01\ncharacteristic = \"P/W\"\nreadings = [\"10\"]\n",
			[]string{"1 reading rests on it\n", "found out on 2024-03-10 (does not conform)", "the error as found was not written down, so no reading is cleared or condemned"}},
		{"no characteristic", failed + "as_found = \"0.03\"\n", "on = 2024-03-01\nreadings = [\"10\"]\n",
			[]string{"no characteristic named", "not classified, no limits of that day are known"}},
		{"limits that changed", failed + "as_found = \"0.03\"\n", "on = 2024-01-31\ncharacteristic = \"P/W\"\nreadings = [\"10.2\"]\n",
			[]string{"10.00 ±0.30 mm, U 0.02 mm"}},
		{"no day", failed + "as_found = \"0.03\"\n", "characteristic = \"P/W\"\n[[reading]]\nvalues = \"10 10\"\n[[reading]]\nvalues = \"11\"\nstate = \"void\"\n",
			[]string{"no readings\n", "the day is missing or too vague\n  I  2 readings"}},
		{"nothing to look at", "", "on = 2024-03-01\nstate = \"draft\"\n",
			[]string{"no readings\n", "no check has found it out by", "If it were out"}},
	} {
		sh, got := suspectText(t, c.gauge, c.inspection)
		assert.True(t, strings.HasPrefix(got, sh.Answer+"\n"), c.name)
		for _, want := range c.want {
			assert.Contains(t, got, want, c.name)
		}
		assert.NotEmpty(t, sh.Limits, c.name)
	}
}

// TestTraceIsPlain: no control character of a ledger reaches a terminal.
func TestTraceIsPlain(t *testing.T) {
	l, err := ledger.Load(source.Map(map[string]string{
		ledger.ConfigName: "units = \"mm\"\n",
		"g.md":            "+++\nkind = \"gauge\"\nid = \"G\"\ntitle = \"a\\u001bb\"\ntype = \"m\"\n[[calibration]]\non = 2024-03-10\nresult = \"doubtful\"\nlook_back = \"\\u001b\"\n+++\n",
		"p.md":            "+++\nkind = \"part\"\nid = \"P\"\ntitle = \"p\\u001b\"\n[[characteristic]]\nid = \"W\\u001b\"\ntitle = \"\\u001b\"\nlimits = \"10.00 ±0.10\"\n+++\n",
		"i.md":            "+++\nkind = \"inspection\"\nid = \"I\"\ntitle = \"i\\u001b\"\ngauge = \"G\"\non = 2024-03-01\nlot = \"\\u001b\"\ncharacteristic = \"P/W\\u001b\"\n[[reading]]\npiece = \"\\u001b\"\nvalues = \"10\"\nstate = \"void\"\nwhy = \"\\u001b\"\n+++\n",
	}))
	require.NoError(t, err)
	require.NotEmpty(t, l.Problems, "which is a finding; the trace is printed all the same")
	s := study.New(l, asOf)
	sp, err := s.Suspect(s.L.Record("G"))
	require.NoError(t, err)
	assert.NotContains(t, printed(t, SuspectOf(s, sp).WriteText), "\x1b")
	for _, id := range []string{"G", "P", "I"} {
		w, err := s.Where(id, 3)
		require.NoError(t, err)
		assert.NotContains(t, printed(t, Where(s, w, 3).WriteText), "\x1b")
	}
}

// TestWhereText: a tree with the place of every line, revisions told apart, and
// what the depth cut off.
func TestWhereText(t *testing.T) {
	s := setOf(t, map[string]string{
		ledger.ConfigName: "units = \"in\"\n",
		"p.md":            "+++\nkind = \"part\"\nid = \"P\"\ntitle = \"plate\"\nthickness = \"0.250 ±0.002\"\n[[derived]]\nname = \"twice\"\nformula = \"2*t\"\nwhere = { t = \"P/thickness\" }\nvalue = \"0.400\"\n[[derived]]\nname = \"four times\"\nformula = \"2*t\"\nwhere = { t = \"P/twice\" }\n+++\n",
		"a.md":            "+++\nkind = \"plan\"\nid = \"PL\"\ntitle = \"plan\"\nrev = \"A\"\nstate = \"superseded\"\npart = \"P\"\n+++\n",
		"b.md":            "+++\nkind = \"plan\"\nid = \"PL\"\ntitle = \"plan\"\nrev = \"B\"\nstate = \"released\"\npart = \"P\"\n+++\n",
	})
	trace := func(path string, depth int) string {
		w, err := s.Where(path, depth)
		require.NoError(t, err)
		return printed(t, Where(s, w, depth).WriteText)
	}
	assert.Equal(t, `P/thickness: plate
part, p.md:5, as of 2025-11-25

Named by (depends on it)
  P/twice         where: 2*t = 0.500 in, 100 % of its worst case, stale in the record  p.md:9
    P/four times  where: 2*t = 1 in                                                    p.md:14

It names nothing.
`, trace("P/thickness", 2))
	assert.Contains(t, trace("P/thickness", 1), "stale in the record (1 more beyond)")
	assert.Contains(t, trace("P", 1), "  PL rev A  part: plan, superseded  a.md:7\n  PL rev B  part: plan, released    b.md:7\n")
	share, err := s.Where("P/thickness", 1)
	require.NoError(t, err)
	assert.Equal(t, "100 %", Where(s, share, 1).NamedBy[0].Derived.Share.String())
}
