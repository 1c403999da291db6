package study_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger/study"
)

// TestLimitGauge compares pairs with the limits that they are for. That GO
// plugs are made plus and NOT GO plugs minus, rings the other way round, and the
// widths of the classes: ASME B89.1.5 and B89.1.6 (class X up to 0.825 in:
// 0.00004 in, ZZ 0.0002 in). NOT GO centred on its limit, and its size for 25 C9:
// DIN 7162.
func TestLimitGauge(t *testing.T) {
	for _, c := range []struct {
		name, units, feature, size, kind, goSize, notGo string
		goOut, notGoOut, crossed                        bool
		beyond                                          string
	}{
		{"class X at the limits", "in", "hole", "0.1875 +0.0005/-0", "limit plug", "0.1875 +0.00004/-0", "0.1880 +0/-0.00004", false, false, false, ""},
		{"minus pin as GO", "in", "hole", "0.1875 +0.0005/-0", "pin set", "0.1875 +0/-0.0002", "0.1880", true, false, false, "0.0002 in"},
		{"plus pin as NOT GO", "in", "hole", "0.1875 +0.0005/-0", "pin set", "0.1875", "0.1880 +0.0002/-0", false, true, false, "0.0002 in"},
		{"exactly at the limits", "in", "hole", "0.1875..0.1880", "limit plug", "0.1875", "0.1880", false, false, false, ""},
		{"in the other unit, exactly", "mm", "hole", "0.1875..0.1880 in", "limit plug", "4.7625", "4.7752", false, false, false, ""},
		{"in the other unit, a little out", "mm", "hole", "0.1875..0.1880 in", "limit plug", "4.7625", "4.77521", false, true, false, ""},
		{"25 C9", "mm", "hole", "25 +0.162/+0.110", "limit plug", "25.119 ±0.002", "25.162 ±0.002", false, false, false, ""},
		{"25 C9, centred too wide", "mm", "hole", "25 +0.162/+0.110", "limit plug", "25.119 ±0.002", "25.162 ±0.007", false, true, false, "0.007 mm"},
		{"GO centred on its limit is no such thing", "mm", "hole", "25 +0.162/+0.110", "limit plug", "25.110 ±0.002", "25.162", true, false, false, "0.002 mm"},
		{"rings", "in", "shaft", "0.1870 +0/-0.0003", "ring gauges", "0.1870 +0/-0.00004", "0.1867 +0.00004/-0", false, false, false, ""},
		{"GO ring too large", "in", "shaft", "0.1870 +0/-0.0003", "ring gauges", "0.1871", "0.1867", true, false, false, "0.0001 in"},
		{"shaft, by its feature", "in", "shaft", "0.1870 +0/-0.0003", "snap", "0.1870", "0.1866", false, true, false, "0.0001 in"},
		{"exchanged", "in", "hole", "0.1875 +0.0005/-0", "limit plug", "0.1880", "0.1875", false, false, true, ""},
		{"rings exchanged", "in", "shaft", "0.1870 +0/-0.0003", "ring gauges", "0.1867", "0.1870", false, false, true, ""},
		{"one limit", "in", "hole", ">= 0.1875", "limit plug", "0.1874", "0.1880", true, false, false, "0.0001 in"},
	} {
		l := loadTexts(t, map[string]string{
			"p.md": fmt.Sprintf("kind = \"part\"\nid = \"P\"\ntitle = \"p\"\nunits = %q\n[[feature]]\nid = \"H\"\ntype = %q\nsize = %q\n", c.units, c.feature, c.size),
			"g.md": fmt.Sprintf("kind = \"gauge\"\nid = \"G\"\ntitle = \"g\"\nunits = %q\ntype = %q\ngo = %q\nnot_go = %q\nchecks = \"P/H/size\"\n", c.units, c.kind, c.goSize, c.notGo),
		})
		pair := study.New(l, on(t, "2025-01-01")).LimitGauge(l.Record("G"))
		require.NotNil(t, pair, c.name)
		assert.Equal(t, c.crossed, pair.Crossed, c.name)
		if c.crossed {
			continue
		}
		assert.Equal(t, c.goOut, pair.Go.Out, "%s: GO", c.name)
		assert.Equal(t, c.notGoOut, pair.NotGo.Out, "%s: NOT GO", c.name)
		if c.beyond != "" {
			m := pair.Go
			if c.notGoOut {
				m = pair.NotGo
			}
			assert.Equal(t, c.beyond, m.Beyond.String(), c.name)
		}
	}
	for _, gauge := range []string{"type = \"limit plug\"\n", "type = \"limit plug\"\ngo = \"1\"\n", "type = \"limit plug\"\ngo = \"1\"\nchecks = \"P/none\"\n"} {
		l := loadTexts(t, map[string]string{"g.md": "kind = \"gauge\"\nid = \"G\"\ntitle = \"g\"\nunits = \"in\"\n" + gauge})
		assert.Nil(t, study.New(l, on(t, "2025-01-01")).LimitGauge(l.Record("G")), gauge)
	}
}
