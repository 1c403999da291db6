package study_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tenths/ledger/study"
)

// TestNotThere: in service from the first day to the last (ISO 9001:2015,
// 7.1.5.2, status of measuring equipment); a day that is only about known counts
// if none of the days it may mean fits.
func TestNotThere(t *testing.T) {
	span := "since = 2024-03-10\nuntil = 2025-03-10\n"
	for _, c := range []struct{ gauge, day, want string }{
		{span, "2024-03-09", "before"},
		{span, "2024-03-10", ""},
		{span, "2025-03-10", ""},
		{span, "2025-03-11", "after"},
		{span, `"about 2024"`, ""},
		{span, `"about 2023"`, "before"},
		{span, `"about 2024-02"`, "before"},
		{span, `"about 2024-03"`, ""},
		{span, `"about 2025-04"`, "after"},
		{"until = \"2024\"\n", "2024-12-31", ""},
		{"until = \"2024\"\n", "2025-01-01", "after"},
		{"since = \"2024\"\n", "2023-12-31", "before"},
		{"since = \"2024\"\n", "2024-01-01", ""},
		{"", "2001-01-01", ""},
	} {
		s, rec := used(t, c.gauge, width(c.day, ""))
		got := ""
		for _, u := range s.NotThere(rec, s.GaugeUses()["G"]) {
			got = "after"
			if u.Before {
				got = "before"
			}
		}
		assert.Equal(t, c.want, got, c.gauge+c.day)
	}
}

func gone(day, size, more string) string {
	return fmt.Sprintf("[[consumed]]\non = %s\nsize = %q\n%s", day, size, more)
}

// TestPinGaps: a reading needs the pins that lie in what it leaves open.
func TestPinGaps(t *testing.T) {
	away := gone("2024-03-11", "0.1877", "")
	back := func(day, class string) string {
		return fmt.Sprintf("replaced_class = %q\nreplaced_on = %s\n", class, day)
	}
	for _, c := range []struct {
		name, gauge, day, readings string
		want                       string // pin and when it came back
	}{
		{"needed", away, "2024-03-12", "0.1877", "0.1877 in -"},
		{"the day itself may be before", away, "2024-03-11", "0.1877", ""},
		{"before", away, "2024-03-10", "0.1877", ""},
		{"another pin", away, "2024-03-12", "0.1876", ""},
		{"in a range", away, "2024-03-12", "0.18765±0.00005", "0.1877 in -"},
		{"a range beside it", away, "2024-03-12", "0.1876±0.00005", ""},
		{"the other unit, exactly", gone("2024-03-11", "4.76758 mm", ""), "2024-03-12", "0.1877", "4.76758 mm -"},
		{"replaced later", gone("2024-03-11", "0.1877", back("2024-04-15", "X")), "2024-04-14", "0.1877", "0.1877 in 2024-04-15"},
		{"replaced", gone("2024-03-11", "0.1877", back("2024-04-15", "X")), "2024-04-15", "0.1877", ""},
		{"replaced in a month", gone("2024-03-11", "0.1877", "replaced_on = \"2024-04\"\n"), "2024-04-01", "0.1877", ""},
		{"replaced on a day that nobody noted", gone("2024-03-11", "0.1877", "replaced_by = \"new pin\"\n"), "2024-03-12", "0.1877", ""},
		{"two of them, one place filled", gone("2024-03-11", "0.1877", back("2024-04-15", "X")) + gone("2024-03-11", "0.1877", "replaced_by = \"nothing\"\n"), "2024-03-20", "0.1877", "0.1877 in 2024-04-15"},
		{"gone again", gone("2024-03-11", "0.1877", back("2024-04-15", "X")) + gone("2024-06-01", "0.1877", ""), "2024-06-02", "0.1877", "0.1877 in -"},
		{"between the two", gone("2024-03-11", "0.1877", back("2024-04-15", "X")) + gone("2024-06-01", "0.1877", ""), "2024-05-02", "0.1877", ""},
		{"used up some day of a month", gone("\"2024-03\"", "0.1877", ""), "2024-03-31", "0.1877", ""},
		{"used up some day of the month before", gone("\"2024-03\"", "0.1877", ""), "2024-04-01", "0.1877", "0.1877 in -"},
	} {
		s, rec := used(t, c.gauge, fmt.Sprintf("on = %s\nreadings = %q\n", c.day, c.readings))
		got := ""
		for _, g := range s.PinGaps(rec, s.GaugeUses()["G"]) {
			got = g.Pin.Size.Nominal().String() + " -"
			if g.Back != nil {
				got = g.Pin.Size.Nominal().String() + " " + g.Back.From.String()
			}
			assert.Len(t, g.Reads, 1, c.name)
		}
		assert.Equal(t, c.want, got, c.name)
	}
}

// TestLookAlikes: the widths of the classes are those of ASME B89.1.5 to 0.825 in.
func TestLookAlikes(t *testing.T) {
	x := "class = \"X\"\n"
	in := func(class string) string {
		return gone("2024-03-11", "0.1877", fmt.Sprintf("replaced_class = %q\nreplaced_on = 2024-04-15\n", class))
	}
	out := gone("2024-09-02", "0.1877", "replaced_class = \"X\"\nreplaced_on = 2024-09-02\n")
	for _, c := range []struct{ name, gauge, day, want string }{
		{"coarser", x + in("ZZ"), "2024-06-01", "ZZ 0.0002 in for 0.00004 in, 1 read"},
		{"one step coarser", x + in("Y"), "2024-04-14", "Y 0.00007 in for 0.00004 in, 0 read"},
		{"the same", x + in("X"), "2024-06-01", ""},
		{"finer", x + in("XX"), "2024-06-01", ""},
		{"small letters", "class = \"x\"\n" + in("zz"), "2024-06-01", "ZZ 0.0002 in for 0.00004 in, 1 read"},
		{"nobody knows", x + in("drill blank"), "2024-06-01", "? - for 0.00004 in, 1 read"},
		{"a set of no class", in("ZZ"), "2024-06-01", ""},
		{"taken out, used before", x + in("ZZ") + out, "2024-06-01", "ZZ 0.0002 in for 0.00004 in, 1 read, out 2024-09-02"},
		{"taken out, not used", x + in("ZZ") + out, "2024-09-03", ""},
		{"still to come", x + gone("2024-03-11", "0.1877", "replaced_class = \"ZZ\"\nreplaced_on = 2026-04-15\n"), "2024-06-01", ""},
	} {
		s, rec := used(t, c.gauge, fmt.Sprintf("on = %s\nreadings = \"0.1877±0.00005\"\n", c.day))
		var got []string
		for _, a := range s.LookAlikes(rec, s.GaugeUses()["G"]) {
			class, its := string(a.Class), "-"
			if class == "" {
				class = "?"
			}
			if !a.Its.IsZeroValue() {
				its = a.Its.String()
			}
			text := fmt.Sprintf("%s %s for %s, %d read", class, its, a.Wanted, len(a.Reads))
			if a.Out != nil {
				text += ", out " + a.Out.On.String()
			}
			got = append(got, text)
		}
		assert.Equal(t, c.want, strings.Join(got, "; "), c.name)
	}
}

// TestDemoLookAlike: the planted pin of the focuser shop, an invented ledger: class
// ZZ in a set of class X, 0.0002 in for 0.00004 in (ASME B89.1.5).
func TestDemoLookAlike(t *testing.T) {
	l := demo(t)
	s := study.New(l, on(t, "2025-11-25"))
	list := s.LookAlikes(l.Record("G3"), s.GaugeUses()["G3"])
	if assert.Len(t, list, 1) {
		assert.Equal(t, "0.1873 in", list[0].Pin.Size.Nominal().String())
		assert.Equal(t, "0.0002 in", list[0].Its.String())
		assert.Empty(t, list[0].Reads, "no hole of the shop is as small")
	}
}
