package study_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/study"
)

// pinReadings loads an inspection of a hole 0.1875 +0.0005/-0 in with a gauge.
func pinReadings(t *testing.T, gauge, inspection string) (*study.Set, *ledger.Record) {
	t.Helper()
	l := loadTexts(t, map[string]string{
		"p.md": "kind = \"part\"\nid = \"P\"\ntitle = \"p\"\nunits = \"in\"\n[[feature]]\nid = \"H\"\ntype = \"hole\"\nsize = \"0.1875 +0.0005/-0\"\n[[characteristic]]\nid = \"R\"\ntype = \"runout\"\nlimits = \"<= 0.0010\"\n",
		"g.md": "kind = \"gauge\"\nid = \"G\"\ntitle = \"g\"\nunits = \"in\"\n" + gauge,
		"i.md": "kind = \"inspection\"\nid = \"I\"\ntitle = \"i\"\nunits = \"in\"\non = 2024-06-20\ngauge = \"G\"\n" + inspection,
	})
	return study.New(l, on(t, "2025-11-25")), l.Record("I")
}

// TestPlugNumbers: a plug that enters and the next one that does not prove
// g1 < D < g2, with the middle half-way (the meaning of limit gauges, ISO
// 1938-1); by hand.
func TestPlugNumbers(t *testing.T) {
	set := "type = \"pin set\"\nresolution = \"0.0001\"\n"
	hole := "characteristic = \"P/H\"\n"
	for _, c := range []struct {
		name, gauge, in string
		exact           int
		next, middle    string
		half            string
	}{
		{"sizes", set, hole + "readings = \"0.1877 0.1878\"", 2, "0.1878 in", "0.18775 in", "0.00005 in"},
		{"deviations", set, hole + "deviation_in = \"tenths\"\nreadings = \"2 1±0.5 3\"", 2, "0.1878 in", "2.5 tenths", "0.5 tenths"},
		{"a metric set", "type = \"pin set\"\nresolution = \"0.01 mm\"\n", hole + "readings = [\"4.77 mm\"]", 1, "4.78 mm", "4.775 mm", "0.005 mm"},
		{"a void piece does not count", set, hole + "[[reading]]\npiece = \"1\"\nvalues = \"0.1877\"\nstate = \"void\"\nwhy = \"chip\"\n[[reading]]\npiece = \"2\"\nvalues = \"0.1878\"\n", 1, "0.1879 in", "0.18785 in", "0.00005 in"},
		{"steps not known", "type = \"plug\"\n", hole + "readings = \"0.1877\"", 1, "", "", ""},
		{"rings have no such step", "type = \"ring set\"\nresolution = \"0.0001\"\n", hole + "readings = \"0.1877\"", 1, "", "", ""},
		{"a pair", "type = \"limit plug\"\ngo = \"0.1875\"\nnot_go = \"0.1880\"\n", hole + "deviation_in = \"tenths\"\nreadings = \"0 1 0\"", 1, "", "", ""},
		{"ranges", set, hole + "readings = [\"0.1877±0.00005\", \"0.1877..0.1878\", \">= 0.1877\"]", 0, "", "", ""},
		{"zeros of a pair", "type = \"limit plug\"\ngo = \"0.1875\"\nnot_go = \"0.1880\"\n", hole + "deviation_in = \"tenths\"\nreadings = \"0 0 0\"", 0, "", "", ""},
		{"the middle of a pair", set, hole + "nominal_is = \"0.18775\"\nreadings = \"0.18775\"", 0, "", "", ""},
		{"zeros of a set are sizes", set, hole + "deviation_in = \"tenths\"\nreadings = \"0 0 0\"", 3, "0.1876 in", "0.5 tenths", "0.5 tenths"},
		{"a gauge that shows a number", "type = \"bore gauge\"\nresolution = \"0.0001\"\n", hole + "readings = \"0.1877\"", 0, "", "", ""},
		{"another property", set, "characteristic = \"P/R\"\nreadings = \"0.0002\"", 0, "", "", ""},
		{"nobody knows of what", set, "readings = \"0.1877\"", 0, "", "", ""},
		{"counted", set, hole + "count = \"0 of 20\"", 0, "", "", ""},
	} {
		s, rec := pinReadings(t, c.gauge, c.in+"\n")
		n := s.PlugNumbers(rec)
		if c.exact == 0 {
			assert.Nil(t, n, c.name)
			continue
		}
		require.NotNil(t, n, c.name)
		assert.Len(t, n.Exact, c.exact, c.name)
		equalQ(t, c.next, n.Next, c.name)
		equalQ(t, c.middle, n.Middle, c.name)
		equalQ(t, c.half, n.Half, c.name)
	}
}

// TestMinusPins: a minus pin of class ZZ may be .0002 in less than it is called,
// of class X .00004 in (ASME B89.1.5); by hand against the lower limit 0.1875 in.
func TestMinusPins(t *testing.T) {
	set := func(class, sign string) string {
		return fmt.Sprintf("type = \"pin set\"\nresolution = \"0.0001\"\n%ssign = %q\n", class, sign)
	}
	for _, c := range []struct {
		name, class, sign, readings string
		want                        string // pins with what they may be, or counted
	}{
		{"at the limit", "ZZ", "minus", "readings = \"0.1875\"", "0.1875 in 0.1873 in"},
		{"nearer than the class", "ZZ", "minus", "readings = \"0.1876 0.1877 0.1878\"", "0.1876 in 0.1874 in"},
		{"a finer class", "X", "minus", "readings = \"0.1875 0.1876\"", "0.1875 in 0.18746 in"},
		{"a range begins with the pin that entered", "ZZ", "minus", "readings = [\"0.1876..0.1877\", \">= 0.1875\"]", "0.1876 in 0.1874 in, 0.1875 in 0.1873 in"},
		{"deviations", "ZZ", "minus", "deviation_in = \"tenths\"\nreadings = [\"1..2\"]", "0.1876 in 0.1874 in"},
		{"middle and half hold the tolerance", "ZZ", "minus", "readings = \"0.18765±0.0002\"", ""},
		{"too small a hole is no GO", "ZZ", "minus", "readings = \"0.1874\"", ""},
		{"too large a hole either", "ZZ", "minus", "readings = \"0.1881\"", ""},
		{"class not known", "", "minus", "readings = \"0.1875 0.1876\"", "0.1875 in -"},
		{"counted", "ZZ", "minus", "count = \"0 of 20\"", "counted"},
		{"plus", "ZZ", "plus", "readings = \"0.1875\"", ""},
		{"masters", "ZZ", "master", "readings = \"0.1875\"", ""},
	} {
		class := ""
		if c.class != "" {
			class = fmt.Sprintf("class = %q\n", c.class)
		}
		s, rec := pinReadings(t, set(class, c.sign), "characteristic = \"P/H\"\n"+c.readings+"\n")
		var got []string
		if m := s.MinusPins(rec); m != nil {
			for _, p := range m.Pins {
				may := "-"
				if !p.Smallest.IsZeroValue() {
					may = p.Smallest.WithDecimals(-1).String()
				}
				got = append(got, p.Entered.WithDecimals(-1).String()+" "+may)
			}
			if m.Counted {
				got = append(got, "counted")
			}
		}
		assert.Equal(t, c.want, strings.Join(got, ", "), c.name)
	}
	for name, c := range map[string][2]string{
		"a pair":           {"type = \"pin set\"\nsign = \"minus\"\ngo = \"0.1875\"\n", "characteristic = \"P/H\"\nreadings = \"0.1875\"\n"},
		"rings":            {"type = \"ring set\"\nsign = \"minus\"\n", "characteristic = \"P/H\"\nreadings = \"0.1875\"\n"},
		"another property": {set("", "minus"), "characteristic = \"P/R\"\nreadings = \"0.0002\"\n"},
	} {
		s, rec := pinReadings(t, c[0], c[1])
		assert.Nil(t, s.MinusPins(rec), name)
	}
}
