package ledger

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestTables reads tables of readings beside a record.
func TestTables(t *testing.T) {
	record := func(more string) string {
		return "+++\nkind = \"inspection\"\nid = \"IN-1\"\ntitle = \"t\"\nunits = \"in\"\n" + more + "readings_from = \"d.csv\"\n+++\n"
	}
	for _, tc := range []struct{ name, more, table, want, problem string }{
		{"one column", "", "1.5003\n1.4998\n", "1=1.5003 2=1.4998", ""},
		{"named column", "", "piece,width\n7,1.5003\n9,38.1 mm\n", "7=1.5003 9=38.1 mm", ""},
		{"points", "points = [\"K2\", \"K1\"]\n", "K2, K1\n1, 2\n", "1=1,2", ""},
		{"mark and CRLF", "", "\xEF\xBB\xBF# invented\r\n1.5003\r\n", "1=1.5003", ""},
		{"deviations", "deviation_in = \"tenths\"\n", "-1\n", "1=-1", ""},
		{"empty", "", "", "", ""},
		{"other order", "points = [\"K1\", \"K2\"]\n", "K2,K1\n1,2\n", "1=1,2", "the columns are K2, K1, but points says K1, K2"},
		{"no number", "", "w\n1.5\nx\n", "", "line 3: "},
		{"quotes", "", "\"1.5\n", "", "line 1: "},
	} {
		t.Run(tc.name, func(t *testing.T) {
			l := load(t, map[string]string{"i.md": record(tc.more), "d.csv": tc.table})
			var got []string
			in := l.Record("IN-1").Data.(*Inspection)
			for _, r := range in.Rows() {
				var v []string
				for _, s := range r.Values {
					v = append(v, s.Raw)
					assert.Equal(t, in.From.Span, s.Span)
				}
				got = append(got, r.Piece.S+"="+strings.Join(v, ","))
			}
			assert.Equal(t, tc.want, strings.Join(got, " "))
			if tc.problem == "" {
				assert.Empty(t, listed(l))
				return
			}
			require.Len(t, l.Problems, 1)
			assert.Contains(t, listed(l)[0], tc.problem)
		})
	}
	l := load(t, map[string]string{"i.md": record("characteristic = \"A/K\"\n"), "d.csv": "K2,K1\n1,2\n"})
	var names []string
	for _, p := range l.Record("IN-1").Data.(*Inspection).Points {
		names = append(names, p.S)
	}
	assert.Equal(t, []string{"K2", "K1"}, names, "the columns name the points")
}

// TestNamed checks which files count as named by someone.
func TestNamed(t *testing.T) {
	l := load(t, map[string]string{
		ConfigName:       "plain = [\"notes/*.md\"]\n",
		"t/a.md":         strings.Replace(good, "type =", "photos = [\"p/1.jpg\"]\ntype =", 1) + "![x](<../all/my pin.jpg>) [y](p/a\\_b.png#top) ![w](https://example.org/p/9.jpg)\n",
		"README.md":      "![shop](shop.webp)",
		"notes/c.md":     "[d](d.gif)",
		"broken.md":      "+++\nphotos = [\"e.jpg\"\n+++\n",
		"t/p/1.jpg":      "",
		"all/my pin.jpg": "",
		"t/p/a_b.png":    "",
		"shop.webp":      "",
		"notes/d.gif":    "",
		"e.jpg":          "",
		"t/p/9.jpg":      "",
	})
	for _, name := range []string{"t/p/1.jpg", "all/my pin.jpg", "t/p/a_b.png", "shop.webp", "notes/d.gif"} {
		assert.True(t, l.Named(name), name)
	}
	for _, name := range []string{"e.jpg", "t/p/9.jpg", ""} {
		assert.False(t, l.Named(name), name)
	}
}
