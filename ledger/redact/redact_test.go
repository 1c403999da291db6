package redact

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"tenths/calc/quantity"
)

// Ways in which sizes are written down in a shop: common practice. Tolerance
// classes: ISO 286-1. The inch fractions, tenths and thou: ASME B94.11M sizes and
// trade use, from memory.
func TestSizes(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		// with a unit of length
		{"pitch 60.02 mm", "pitch (size)"},
		{"60.02mm apart", "(size) apart"},
		{"60,02 mm apart", "(size) apart"},
		{"2.40 in", "(size) in"},
		{"the 2.40 in plate", "the (size) in plate"},
		{`2.4" long, 12" wide`, "(size) long, (size) wide"},
		{"bore of 1 inch", "bore of (size)"},
		{"two and a half inches long, width of three sixteenths of an inch", "(size) long, width of (size)"},
		{"eleven thirty-seconds of an inch, a quarter inch, half of an inch", "(size), a (size), (size)"},
		{"one inch wide, half an inch deep, twenty-five millimetres", "(size) wide, (size) deep, (size)"},
		{"12 in long", "(size) in long"},
		{"2 13/32 in", "(size) in"},
		{"2-13/32 in", "(size) in"},
		{"2 13/32 apart", "(size) apart"},
		{"½ in deep", "(size) in deep"},
		{"1500 thou", "(size)"},
		{"1,500 thou", "(size)"},
		{"15003 tenths", "(size)"},
		{"21 tenths", "(size)"},
		{"1500 thousandths", "(size)"},
		{"3 thou", "(size)"},
		{"60 µm, 250 um, 80 microns", "(size), (size), (size)"},
		{"the seat is 0.006 in lower", "the seat is (size) in lower"},
		{"Ø12 and ø 12.5 and ⌀8", "Ø(size) and ø (size) and ⌀(size)"},
		{"R12.5 corner", "R (size) corner"},
		// several
		{"3.200 x 1.500 plate", "(size) plate"},
		{"60 x 20 x 5 mm", "(size)"},
		{"60 mm x 20", "(size)"},
		{"between 10 and 12 mm", "between (size) and (size)"},
		{"0.15 -> 0.30 mm a turn", "(size) -> (size) a turn"},
		{"10-12 mm", "(size)-(size)"},
		{"10..12 mm", "(size)..(size)"},
		// tolerances and classes
		{"12 mm H7", "(size)"},
		{"12 H7", "(size)"},
		{"12H7/g6 fit", "(size) fit"},
		{"Ø 12 H7/g6", "Ø (size)"},
		{"reamed to H7", "reamed to (class)"},
		{"an H7/g6 fit", "an (class) fit"},
		{"+0.0005/-0", "(size)"},
		{"0.1875 +0.0005/-0 pins", "(size) pins"},
		{"+0.01 -0.02", "(size)"},
		{"±0.0005 everywhere", "(size) everywhere"},
		{"± 5 tenths", "(size)"},
		{"+/- .0005", "(size)"},
		{"12.000 ±0.010", "(size)"},
		{"the limit is 10 tenths", "the limit is (size)"},
		{"limits of 0.0010 and more", "limits of (size) and more"},
		{"tolerance 8 um", "tolerance (size)"},
		{"a 10 tenths limit", "a (size) limit"},
		// bare numbers of the record's unit, which is the inch here
		{"the thickness of .250", "the thickness of (size)"},
		{"over a .1874 pin in H1 and a .2500 block", "over a (size) pin in H1 and a (size) block"},
		{"pitch is now 2.4", "pitch is now (size)"},
		{"a width of 40", "a width of (size)"},
		// feeds and speeds
		{"8000 rpm at 300 mm/min", "(feed) at (feed)"},
		{"0.05 mm/rev", "(feed)"},
		{"12.5 ipm", "(feed)"},
	} {
		assert.Equal(t, c.want, Sizes(c.in, quantity.Inch), c.in)
	}
	for _, text := range []string{
		"the 1/8 dowel", "two and a half tenths better", "K5 went from -2.8 to 6.6 tenths", "half a tenth",
		"D moved up to 3 tenths and turned from -2 to -7 over the pin pitch", "5 um better, 20 tenths at most", "1.5 thou of runout", "up to a thousandth out of place",
		"Ratio 2.04, just beyond what chance gives with 10 and 10", "spread 2.9 times smaller", "2.5x better", "cycle 95 s shorter while it lasted", "turned by 90 deg",
		"life of the finisher 90 -> 40 parts", "3 of 20 to 0 of 20", "9 % coolant", "spindle run for 20 min", "12 in the drawer, 3 in H1, 2 in station B", "finisher T12 -> long-reach T17",
		"10 x 10 readings", "CH-04 and M-02, K5 and H1", "1 1/2 times", "run 2.5 hours at 20.5 C", "change of .0005", "a six-flute reamer", "3.5 % better", "program by hand",
		"one of six", "1 1/2 turns", "Two round pins need a pitch that no part has", "-17.7 uin", "read to 0.5 tenths", "since 2024", "about 12 parts to a tool",
	} {
		assert.Equal(t, text, Sizes(text, quantity.Inch))
	}
	assert.Equal(t, "now (size) apart", Sizes("now 60.5 apart", quantity.Millimetre))
	assert.Equal(t, "change of 0.012", Sizes("change of 0.012", quantity.Millimetre))
}

// Sizes by which parts are called, and classes without a size. The inch is divided
// into halves down to sixty-fourths (common practice); tolerance classes: ISO
// 286-1; classes of fit RC to FN: ANSI B4.1.
func TestTradeSizesAndClasses(t *testing.T) {
	o := Own{Unit: quantity.Inch, Names: []string{"H7", "K6", "K7"}, Nominals: []float64{0.125 * 25.4}}
	for _, c := range []struct{ in, want string }{
		{"holds for 3/16 pins in reamed aluminium", "holds for (size) pins in reamed aluminium"},
		{"a 1/4 plate", "a (size) plate"}, {"plate of 3/8", "plate of (size)"}, {"the 5/16 hole", "the (size) hole"}, {"3 / 16 pins", "(size) pins"},
		{"3/16 of an inch apart", "(size) of an inch apart"}, {"1/10 of an inch", "(size) of an inch"},
		{"the 1/8 dowel", "the (size) dowel"}, // the shop has a hole of that size
		{"7/64 wide", "(size) wide"}, {"1/2 thick", "(size) thick"}, {"2 by 1/4", "2 by (size)"}, {"1/4 and 3/8 pins", "(size) and (size) pins"},
		{"bore it H8", "bore it (class)"}, {"an h6 shaft", "an (class) shaft"}, {"ground g6, reamed H8.", "ground (class), reamed (class)."}, {"H8/g6", "(class)"}, {"H8/(g6)", "(class)/((class))"},
		{"js5 or JS7", "(class) or (class)"}, {"a P9 keyway", "a (class) keyway"}, {"an RC4 fit, FN2 for the rest", "an (class) fit, (class) for the rest"}, {"0.1875 in RC4 hole", "(size) in (class) hole"},
		{"to IT7", "to (class)"}, {"grade IT 7", "grade (class)"}, {"fit H7", "fit (class)"}, // said to be a class, whatever is called so
	} {
		assert.Equal(t, c.want, o.Sizes(c.in), c.in)
		assert.Equal(t, c.want, o.Sizes(c.want), "again: %s", c.in)
	}
	for _, text := range []string{
		"7 of 20", "5/20 were tight", "7/20", "24/7", "1/3 better", "1/2 of the step is gone", "1/2 a turn", "1/4 turn more", "3/4 of them", "cut by 1/2", "only 1/4", "3/8 were tight", "3/8 parts", "8/8", "1/2 of a tenth", "1 1/2 turns",
		"a 3/8 end mill", "the 3/8 3-flute carbide end mill", "a 3/16 dowel", "1/4-20 screw", "a 1/4-20", "a 1/4 NPT plug", "1/2 collet", "3/8 reamer, new",
		"hole H7 and point K7", "P-10/H8/size", "FX1/A/P6", "M6 screw", "an m6 screw", "K5 and H1", "T12 at CH-04", "M-07, OP60, IN-2024-03", "D2 steel, S7 too", "R8 collet", "step K1 to K6", "no. H20", "A6 paper", "H14 was lost",
	} {
		assert.Equal(t, text, o.Sizes(text))
	}
}

// However a size is written, it does not stay, and what is left is left alone the
// second time.
func TestSizesProperty(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		whole := rapid.IntRange(3, 99).Draw(rt, "whole")
		part := rapid.IntRange(1, 9).Draw(rt, "part")
		metric := rapid.Bool().Draw(rt, "metric")
		dec := strings.Repeat("7", rapid.IntRange(0, 3).Draw(rt, "decimals"))
		n := fmt.Sprintf("%d.%d%s", whole, part, dec)
		if rapid.Bool().Draw(rt, "comma") {
			n = strings.Replace(n, ".", ",", 1)
		}
		unit := rapid.SampledFrom([]string{"", " mm", "mm", " in", `"`, " inch", " H7", " mm H7", "H7/g6", " x 5", " ±0.01", " cm", " +0.01/-0", " thou", "mm x 5"}).Draw(rt, "unit")
		before := rapid.SampledFrom([]string{"", "at ", "pitch ", "Ø", "(", "is now ", "-> ", "from 2 to ", "+", "~", "width: ", "bore="}).Draw(rt, "before")
		after := rapid.SampledFrom([]string{"", ".", " apart", ", then", ") again", " and more", "; done"}).Draw(rt, "after")
		u := quantity.Inch
		if metric {
			u = quantity.Millimetre
		}
		got := Sizes(Plain(before+n+unit+after), u)
		if strings.Contains(got, n) || regexp.MustCompile(fmt.Sprintf(`\b%d\b|H7|0\.01|x 5`, whole)).MatchString(got) {
			rt.Fatalf("%q became %q", before+n+unit+after, got)
		}
		if again := Sizes(got, u); again != got {
			rt.Fatalf("%q became %q", got, again)
		}
	})
}

// No text stops it, and letters without numbers stay as they are.
func FuzzSizes(f *testing.F) {
	f.Add("0.1875 +0.0005/-0 in, 12 mm H7 ± 3 x 4 -> 5 tenths")
	f.Add("½ / 3 -/ . , .. 3,,4.5.6 ø")
	f.Fuzz(func(t *testing.T, s string) {
		text := Plain(s)
		got := Sizes(Months(text), quantity.Inch)
		Giveaways(text)
		Word{Text: s}.In(Fold(text))
		if !strings.ContainsAny(text, "0123456789¼½¾⅓⅔⅛⅜⅝⅞") && spelled.FindString(text) == "" {
			assert.Equal(t, text, got)
		}
	})
}

// Days: ISO 8601, and the ways of writing them of English-speaking and European
// shops (common practice).
func TestMonths(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"on 2026-05-03 again", "on 2026-05 again"}, {"2026/05/03", "2026-05"}, {"2026 - 05 - 03", "2026-05"}, {"20260503", "2026-05"}, {"2026-05-03T14:30:00Z", "2026-05"},
		{"3 May 2026", "May 2026"}, {"3rd of May 2026", "May 2026"}, {"the 3rd May", "May"}, {"May 3, 2026", "May 2026"}, {"May 3rd", "May"}, {"May 3, we", "May, we"}, {"Sept. 12 2026", "Sept 2026"}, {"3. Dec 2026", "Dec 2026"},
		{"3.5.2026", "2026"}, {"05/03/2026", "2026"}, {"03/05/26", "(day)"}, {"3-May-2026", "May-2026"},
		{"May 2026", "May 2026"}, {"2026-05", "2026-05"}, {"we may 3 times", "we may 3 times"}, {"1.4990..1.5010", "1.4990..1.5010"}, {"3/16", "3/16"},
	} {
		assert.Equal(t, c.want, Months(c.in), c.in)
	}
}

func TestGiveaways(t *testing.T) {
	for _, c := range []struct{ text, why string }{
		{"runs as O1234 now", "a program number"}, {"runs as O 1234", "a program number"}, {"program 4012 was out", "a program number"}, {"prog. no. 12", "a program number"}, {"the macro 9010", "a program number"}, {"subprogram B-7", "a program number"},
		{"see side4.nc", "a program file"}, {"N10 G01 X1.5 was wrong", "a line of a program"}, {"G1X1.5", "a line of a program"}, {"G 1 X 1.5", "a line of a program"}, {"M98 P1234", "a line of a program"},
		{"the old G54 was off", "a work offset"}, {"G 54 was off", "a work offset"}, {"G-54.1", "a work offset"}, {"g55", "a work offset"}, {"no G43 there", "a word of a program"}, {"work offset 3", "an offset"}, {"wear offset -0.0001", "an offset"}, {"tool offset no. 12", "an offset"},
		{"cost $40", "a price"}, {"45 EUR", "a price"}, {"EUR 45", "a price"}, {"45 euros", "a price"}, {"40 dollars", "a price"}, {"45€", "a price"}, {"1,200 USD", "a price"},
		{"from serial 61", SerialOfUnits}, {"S/N 12-40", SerialOfUnits}, {"serial no. A12", SerialOfUnits}, {"ask a.b@example.org", "an address"}, {"order no. 17", "an order number"},
	} {
		found := false
		for _, f := range Giveaways(c.text) {
			found = found || f.Why == c.why
		}
		assert.True(t, found, "%q: %v", c.text, Giveaways(c.text))
	}
	for _, text := range []string{"O rings were left out", "G major", "ran the program 3 times", "the program was by hand", "wear offset moved by count", "offset 3 tenths", "M-02 and CH-07", "pin P1 in H1", "K5 and T12",
		"finisher T12 -> long-reach T17", "in order", "costs taper", "6 of 20", "serial production", "a cent more would not help", "job done"} {
		assert.Empty(t, Giveaways(text), text)
	}
}

func TestWords(t *testing.T) {
	w := Word{Text: "Acme Tool Co"}
	for _, text := range []string{"from Acme Tool Co", "from acme  tool co.", "ACME\nTOOL\tCO", "Acme-Tool-Co", "AcmeToolCo", "Acme Tool\u2011Co", "Ac\u200bme Tool Co", "Ａｃｍｅ Tool Co", "(acme, tool & co)", "A.c.m.e. Tool Co"} {
		assert.True(t, w.In(Fold(text)), text)
	}
	for _, text := range []string{"Acme Tool Company", "Acme Tools", "PAcme Tool Co", "tool", ""} {
		assert.False(t, w.In(Fold(text)), text)
	}
	assert.True(t, Word{Text: "G4"}.In(Fold("checked with g 4")))
	assert.False(t, Word{Text: "G4"}.In(Fold("G43")))
	assert.False(t, Word{Text: "SN-2"}.In(Fold("SN-25")))
}

func TestNames(t *testing.T) {
	for by, want := range map[string][]string{
		"owner": nil, "first maker": nil, "owner and partner": nil, "the apprentice": nil, "maker 2": nil, "owner's apprentice": nil, "me": nil, "both": nil,
		"Jim Doe": {"Jim Doe", "Jim", "Doe"}, "jim": {"jim"}, "JD": {"JD"}, "Jim Doe and A. Roe, owner": {"Jim Doe", "Jim", "Doe", "A Roe", "Roe"}, "owner (Jim)": {"Jim"}, "J": nil,
	} {
		var got []string
		for _, w := range Names(by) {
			got = append(got, w.Text)
		}
		assert.Equal(t, want, got, by)
	}
	in := func(by, text string) bool {
		for _, w := range Names(by) {
			if w.In(Fold(text)) {
				return true
			}
		}
		return false
	}
	assert.True(t, in("Jim Doe", "jim measured it"))
	assert.True(t, in("Jim Doe", "J-I-M D O E"))
	assert.False(t, in("Will Turner", "it will hold; ask the turner"))
	assert.True(t, in("Will Turner", "Will did it"))
	assert.True(t, in("Will Turner", "will turner did it"))
}
