package study_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/gauge"
	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
)

// pairOf loads a pair for a size of a part.
func pairOf(t *testing.T, units, feature, size, keys string) (*study.Set, *ledger.Record) {
	t.Helper()
	l := loadTexts(t, map[string]string{
		"p.md": fmt.Sprintf("kind = \"part\"\nid = \"P\"\ntitle = \"p\"\nunits = %q\n[[feature]]\nid = \"H\"\ntype = %q\nsize = %q\n", units, feature, size),
		"g.md": fmt.Sprintf("kind = \"gauge\"\nid = \"G\"\ntitle = \"g\"\nunits = %q\nchecks = \"P/H/size\"\n%s", units, keys),
	})
	return study.New(l, on(t, "2025-11-25")), l.Record("G")
}

// TestPairShare: the widths of the classes are those of ASME B89.1.5 (plugs to
// 0.825 in: XX .00002, X .00004, Y .00007, Z .0001, ZZ .0002; in metric XX 0.00051
// mm to 20.96 mm), the shares follow by hand. "gauge makers" is the ten percent
// rule as gauge makers' pages print it, 5 % for each member: hole 0.500 ±0.001
// takes .0001 each, hole 0.2500 +0.0005/0 takes .000025 each, hole 6 H7 0.6 um
// each.
func TestPairShare(t *testing.T) {
	plain := "type = \"limit plug\"\ngo = \"0.1875\"\nnot_go = \"0.1880\"\n"
	for _, c := range []struct {
		source, units, feature, size, keys string
		share                              string
		verdict                            gauge.ShareVerdict
		better                             gauge.Class
	}{
		{"ASME B89.1.5, by hand", "in", "hole", "0.1875 +0.0005/-0", plain + "class = \"ZZ\"\n", "80 %", gauge.Stop, gauge.XX},
		{"ASME B89.1.5, by hand", "in", "hole", "0.1875 +0.0005/-0", plain + "class = \"Z\"\n", "40 %", gauge.Warn, gauge.XX},
		{"ASME B89.1.5, by hand", "in", "hole", "0.1875 +0.0005/-0", plain + "class = \"X\"\n", "16 %", gauge.OverRule, gauge.XX},
		{"ASME B89.1.5, by hand", "in", "hole", "0.1875 +0.0005/-0", plain + "class = \"XX\"\n", "8 %", gauge.WithinRule, gauge.XX},
		{"gauge makers", "in", "hole", "0.500 ±0.001", "type = \"limit plug\"\ngo = \"0.499\"\nnot_go = \"0.501\"\nclass = \"Z\"\n", "10 %", gauge.WithinRule, gauge.Z},
		{"gauge makers", "in", "hole", "0.2500 +0.0005/-0", "type = \"limit plug\"\ngo = \"0.2500 +0.000025/-0\"\nnot_go = \"0.2505 +0/-0.000025\"\n", "10 %", gauge.WithinRule, gauge.XX},
		{"gauge makers", "mm", "hole", "6 mm H7", "type = \"limit plug\"\ngo = \"6.000 +0.0006/-0\"\nnot_go = \"6.012 +0/-0.0006\"\n", "10 %", gauge.WithinRule, gauge.XX},
		{"as written, before class", "in", "hole", "0.1875 +0.0005/-0", "type = \"limit plug\"\ngo = \"0.1875 +0.00004/-0\"\nnot_go = \"0.1880 +0/-0.00004\"\nclass = \"ZZ\"\n", "16 %", gauge.OverRule, gauge.XX},
		{"as measured, 2 U each", "in", "hole", "0.1875 +0.0005/-0", plain + "class = \"ZZ\"\nuncertainty = \"0.00001\"\n", "8 %", gauge.WithinRule, gauge.XX},
		{"the metric U of an inch pair, exactly", "in", "hole", "0.1875 +0.0005/-0", plain + "uncertainty = \"0.000635 mm\"\n", "20 %", gauge.OverRule, gauge.XX},
		{"one member only", "in", "shaft", "1.4980 ±0.0005", "type = \"ring gauge\"\ngo = \"1.4985\"\nclass = \"ZZ\"\n", "24 %", gauge.Warn, gauge.XX},
	} {
		s, rec := pairOf(t, c.units, c.feature, c.size, c.keys)
		p := s.PairShare(rec)
		require.NotNil(t, p, c.keys)
		equalQ(t, c.share, p.Share.Percent, c.keys)
		assert.Equal(t, c.verdict, p.Share.Verdict, c.keys)
		require.NotNil(t, p.Better, c.keys)
		assert.Equal(t, c.better, p.Better.Class, c.keys)
	}
	for name, c := range map[string][3]string{
		"25 C9, NOT GO centred on its limit (DIN 7162)": {"mm", "25 +0.162/+0.110", "go = \"25.119 ±0.002\"\nnot_go = \"25.162 ±0.002\"\n"},
		"nothing is known of the members":               {"in", "0.1875 +0.0005/-0", "go = \"0.1875\"\nnot_go = \"0.1880\"\n"},
		"a class of blocks":                             {"in", "0.1875 +0.0005/-0", "go = \"0.1875\"\nnot_go = \"0.1880\"\nclass = \"AS-1\"\n"},
		"one limit":                                     {"in", ">= 0.1875", "go = \"0.1875\"\nclass = \"ZZ\"\n"},
		"out of the limits":                             {"in", "0.1875 +0.0005/-0", "go = \"0.1874\"\nnot_go = \"0.1880\"\nclass = \"ZZ\"\n"},
		"exchanged":                                     {"in", "0.1875 +0.0005/-0", "go = \"0.1880\"\nnot_go = \"0.1875\"\nclass = \"ZZ\"\n"},
		"no pair":                                       {"in", "0.1875 +0.0005/-0", "class = \"ZZ\"\n"},
	} {
		s, rec := pairOf(t, c[0], "hole", c[1], "type = \"limit plug\"\n"+c[2])
		assert.Nil(t, s.PairShare(rec), name)
	}
}

// TestPairShareFinest: a tenth of 0.0001 in is less than two members of the finest
// class, .00001 in each (ASME B89.1.5).
func TestPairShareFinest(t *testing.T) {
	s, rec := pairOf(t, "in", "hole", "0.2500 +0.0001/-0", "type = \"limit plug\"\ngo = \"0.2500\"\nnot_go = \"0.2501\"\nclass = \"XXX\"\n")
	p := s.PairShare(rec)
	require.NotNil(t, p)
	equalQ(t, "20 %", p.Share.Percent, "XXX")
	assert.Nil(t, p.Better)
}

// TestWrongSigns: GO plugs are made plus, NOT GO plugs minus, rings the other way
// round; a pin 0.2500 of class ZZ is 0.2500 to 0.2502 of a plus set and 0.2498 to
// 0.2500 of a minus set (ASME B89.1.5, B89.1.6).
func TestWrongSigns(t *testing.T) {
	pins := func(go_, notGo, more string) string {
		return fmt.Sprintf("type = \"pin set\"\ngo = %q\nnot_go = %q\n%s", go_, notGo, more)
	}
	hole, shaft := "0.2500 +0.0010/-0", "0.2500 +0/-0.0010"
	for _, c := range []struct {
		name, feature, size, keys string
		want                      []string // member, worst, beyond
	}{
		{"plus set", "hole", hole, pins("0.2500", "0.2508", "sign = \"plus\"\nclass = \"ZZ\"\n"), nil},
		{"minus set", "hole", hole, pins("0.2500", "0.2510", "sign = \"minus\"\nclass = \"ZZ\"\n"), []string{"GO 0.2498 in 0.0002 in"}},
		{"plus set, NOT GO at the limit", "hole", hole, pins("0.2500", "0.2510", "sign = \"plus\"\nclass = \"ZZ\"\n"), []string{"NOT GO 0.2512 in 0.0002 in"}},
		{"minus set, a pin larger by its tolerance", "hole", hole, pins("0.2502", "0.2510", "sign = \"minus\"\nclass = \"ZZ\"\n"), nil},
		{"minus set, a pin larger by almost its tolerance", "hole", hole, pins("0.25019", "0.2510", "sign = \"minus\"\nclass = \"ZZ\"\n"), []string{"GO 0.24999 in 0.00001 in"}},
		{"minus set of no class", "hole", hole, pins("0.2500", "0.2510", "sign = \"minus\"\n"), []string{"GO - -"}},
		{"minus set of no class, a larger pin", "hole", hole, pins("0.2501", "0.2510", "sign = \"minus\"\n"), nil},
		{"as measured", "hole", hole, pins("0.2500", "0.2510", "sign = \"minus\"\nclass = \"ZZ\"\nuncertainty = \"0.00001\"\n"), nil},
		{"masters", "hole", hole, pins("0.2500", "0.2510", "sign = \"master\"\nclass = \"ZZ\"\n"), nil},
		{"no sign", "hole", hole, pins("0.2500", "0.2510", "class = \"ZZ\"\n"), nil},
		{"written beyond the limit, which LimitGauge tells", "hole", hole, pins("0.2500 +0/-0.0002", "0.2510", ""), nil},
		{"written minus, inside the limit", "hole", hole, pins("0.2503 +0/-0.0002", "0.2510", ""), nil},
		{"rings, plus set", "shaft", shaft, "type = \"ring gauges\"\ngo = \"0.2500\"\nnot_go = \"0.2490\"\nsign = \"plus\"\nclass = \"X\"\n", []string{"GO 0.25004 in 0.00004 in"}},
		{"rings, minus set", "shaft", shaft, "type = \"ring gauges\"\ngo = \"0.2500\"\nnot_go = \"0.2490\"\nsign = \"minus\"\nclass = \"X\"\n", []string{"NOT GO 0.24896 in 0.00004 in"}},
	} {
		s, rec := pairOf(t, "in", c.feature, c.size, c.keys)
		assert.Equal(t, c.want, signs(s.WrongSigns(rec)), c.name)
	}
	// Without limits the sign alone counts.
	for keys, want := range map[string][]string{
		"type = \"limit plug\"\ngo = \"0.2500 +0/-0.0001\"\nnot_go = \"0.2510 +0.0001/-0\"\n":      {"GO 0.2499 in -", "NOT GO 0.2511 in -"},
		"type = \"limit plug\"\ngo = \"0.2500 +0.0001/-0\"\nnot_go = \"0.2510 +0/-0.0001\"\n":      nil,
		"type = \"limit plug\"\ngo = \"0.2500 ±0.0001\"\nnot_go = \"0.2510 ±0.0001\"\n":            nil,
		"type = \"ring gauges\"\ngo = \"0.2500 +0/-0.0001\"\nnot_go = \"0.2490 +0.0001/-0\"\n":     nil,
		"type = \"ring gauges\"\ngo = \"0.2500 +0.0001/-0\"\n":                                     {"GO 0.2501 in -"},
		"type = \"pin set\"\nsign = \"minus\"\nclass = \"ZZ\"\ngo = \"0.2500\"\n":                  {"GO 0.2498 in -"},
		"type = \"pin set\"\nsign = \"minus\"\nresolution = \"0.001\"\nrange = \"0.061..0.250\"\n": nil,
	} {
		l := loadTexts(t, map[string]string{"g.md": "kind = \"gauge\"\nid = \"G\"\ntitle = \"g\"\nunits = \"in\"\n" + keys})
		assert.Equal(t, want, signs(study.New(l, on(t, "2025-11-25")).WrongSigns(l.Record("G"))), keys)
	}
}

func signs(list []study.WrongSign) []string {
	text := func(q quantity.Quantity) string {
		if q.IsZeroValue() {
			return "-"
		}
		return q.WithDecimals(-1).String()
	}
	var out []string
	for _, w := range list {
		out = append(out, w.Name+" "+text(w.Worst)+" "+text(w.Beyond))
	}
	return out
}
