package study_test

import (
	"fmt"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// fitLedger is a part with one hole and a fixture of the given material with one
// pin in it, all keys as TOML lines.
func fitLedger(units, part, hole, fixture, pin string) map[string]string {
	return map[string]string{
		ledger.ConfigName: fmt.Sprintf("units = %q\n", units),
		"p.md":            "kind = \"part\"\nid = \"P\"\ntitle = \"p\"\n" + part + "\n[[feature]]\nid = \"H\"\ntype = \"hole\"\n" + hole + "\n",
		"f.md": "kind = \"fixture\"\nid = \"F\"\ntitle = \"f\"\nstate = \"in use\"\n" + fixture + "\n[[station]]\nid = \"A\"\npart = \"P\"\n" +
			"[[station.locator]]\nid = \"P1\"\ntype = \"round pin\"\nengages = \"H\"\n" + pin + "\n",
	}
}

func onlyStation(t *testing.T, texts map[string]string) (*study.Set, *ledger.Record, *ledger.Station) {
	t.Helper()
	l := loadTexts(t, texts)
	rec := l.Record("F")
	require.NotNil(t, rec)
	return study.New(l, on(t, "2025-11-25")), rec, &rec.Data.(*ledger.Fixture).Stations[0]
}

// TestDowelSlips holds bought dowels against holes.
func TestDowelSlips(t *testing.T) {
	for _, c := range []struct {
		source           string
		units, hole, pin string
		clearance        string // smallest, empty if the dowel is not judged
	}{
		{"ASME B18.8.2: 3/16 standard is .1876 to .1878", "in", `size = "0.1875 +0.0005/-0"`, `nominal = "3/16 in"` + "\n" + `bought_as = "standard dowel"`, "-0.0003 in"},
		{"ASME B18.8.2: 5/32 is rounded to .1562, standard to .1565", "in", `size = "0.1565..0.1570"`, `nominal = "0.1562 in"` + "\n" + `bought_as = "standard dowel"`, "0.0000 in"},
		{"ASME B18.8.2: slip hole .0005 over nominal", "in", `size = "0.1255..0.1260"`, `nominal = "1/8 in"` + "\n" + `bought_as = "standard dowel"`, "0.0002 in"},
		{"ASME B18.8.2: 1/8 oversize is .1259 to .1261", "in", `size = "0.1255..0.1260"`, `nominal = "1/8 in"` + "\n" + `bought_as = "oversize dowel"`, "-0.0006 in"},
		{"ISO 8734, m6 of ISO 286: 4 mm to 4.012; ASME B18.8.5M only to 4.008", "mm", `size = "4.010..4.022"`, `nominal = "4 mm"` + "\n" + `bought_as = "standard dowel"`, "-0.002 mm"},
		{"ASME B18.8.5M: 25 mm standard to 25.009, not in ISO 8734", "mm", `size = "25.010"`, `nominal = "25 mm"` + "\n" + `bought_as = "standard dowel"`, "0.001 mm"},
		{"as made before the limits", "in", `size = "0.1875 +0.0010/-0"` + "\n" + `as_made = "0.1881..0.1883"`, `nominal = "3/16 in"` + "\n" + `bought_as = "standard dowel"`, "0.0003 in"},
		{"measured before the table", "in", `size = "0.1875 +0.0005/-0"`, `nominal = "3/16 in"` + "\n" + `size = "0.1873"` + "\n" + `bought_as = "standard dowel"`, "0.0002 in"},
		{"surveyed before measured", "in", `size = "0.1875 +0.0005/-0"`, `size = "0.1873"` + "\n" + `bought_as = "standard dowel"` + "\n[[station.locator.survey]]\non = 2025-02-03\n" + `size = "0.1874"`, "0.0001 in"},
		{"trade size under size", "in", `size = "0.1875 +0.0005/-0"`, `size = "3/16 in"` + "\n" + `bought_as = "standard dowel"`, "-0.0003 in"},
		{"not in any table", "in", `size = "0.1875 +0.0005/-0"`, `nominal = "0.19 in"` + "\n" + `bought_as = "standard dowel"`, ""},
		{"no dowel", "in", `size = "0.1875 +0.0005/-0"`, `size = "0.1876"` + "\n" + `bought_as = "gauge pin"`, ""},
		{"no size of the hole", "in", ``, `nominal = "3/16 in"` + "\n" + `bought_as = "standard dowel"`, ""},
		{"a hole with one limit", "in", `size = ">= 0.1875"`, `nominal = "3/16 in"` + "\n" + `bought_as = "standard dowel"`, ""},
		{"another pin on the day", "in", `size = "0.1875"`, `nominal = "3/16 in"` + "\n" + `bought_as = "standard dowel"` + "\n[[station.locator.was]]\nuntil = 2025-12-01\n" + `size = "0.187"`, ""},
	} {
		s, rec, st := onlyStation(t, fitLedger(c.units, "", c.hole, "", c.pin))
		got := s.DowelSlips(s.Locating(rec, st))
		if c.clearance == "" {
			assert.Empty(t, got, c.source)
			continue
		}
		if assert.Len(t, got, 1, c.source) {
			assert.Equal(t, c.clearance, got[0].Fit.MinClearance.String(), c.source)
			assert.Equal(t, got[0].Fit.MinClearance.Sign() > 0, got[0].Slips, c.source)
		}
	}
}

// TestSeating holds pins against the holes of the fixture that hold them.
func TestSeating(t *testing.T) {
	for _, c := range []struct {
		source               string
		units, material, pin string
		loosest, usual, most string // tightness; empty if the seat is not judged
		want                 study.SeatVerdict
	}{
		{"H7/m6 at 4 mm, ISO 286: 8 um clearance to 12 um interference", "mm", "steel", `size = "4 mm m6"|held_by = "press"|seat_hole = "4 mm H7"`, "-0.008", "0.002", "0.012", study.MaybeLoose},
		{"H7/m6 at 8 mm, ISO 286: -9 to +15 um", "mm", "steel", `size = "8 mm m6"|held_by = "press"|seat_hole = "8 mm H7"`, "-0.009", "0.003", "0.015", study.MaybeLoose},
		{"H7/p6 at 4 mm, ISO 286: 0 to 20 um", "mm", "steel", `size = "4 mm p6"|held_by = "press"|seat_hole = "4 mm H7"`, "0", "0.01", "0.02", study.SeatServes},
		{"H7/g6 at 4 mm, ISO 286: 4 to 24 um clearance", "mm", "steel", `size = "4 mm g6"|duty = "removable"|seat_hole = "4 mm H7"`, "-0.024", "-0.014", "-0.004", study.SeatServes},
		{"H7/h6 at 4 mm, ISO 286: can be size for size", "mm", "steel", `size = "4 mm h6"|duty = "removable"|seat_hole = "4 mm H7"`, "-0.02", "-0.01", "0", study.DoesNotLeave},
		{"1/4 dowel and hole of ASME B18.8.2: .0001 to .0008", "in", "4140", `nominal = "1/4 in"|bought_as = "standard dowel"|held_by = "press"|seat_hole = "0.2495..0.2500"`, "0.0001", "0.00045", "0.0008", study.SeatServes},
		{"the same in aluminium, which wants .0005 to .0007 (common practice)", "in", "6061-T6", `nominal = "1/4 in"|bought_as = "standard dowel"|held_by = "press"|seat_hole = "0.2495..0.2500"`, "0.0001", "0.00045", "0.0008", study.HardlyTight},
		{".0002 in steel, on the limit (common practice)", "in", "4140", `size = "0.1873"|held_by = "press"|seat_hole = "0.1871"`, "0.0002", "0.0002", "0.0002", study.SeatServes},
		{"under it", "in", "4140", `size = "0.18729"|held_by = "press"|seat_hole = "0.1871"`, "0.00019", "0.00019", "0.00019", study.HardlyTight},
		{".0005 in steel, on the upper limit", "in", "4140", `size = "0.1873"|held_by = "press"|seat_hole = "0.1868"`, "0.0005", "0.0005", "0.0005", study.SeatServes},
		{"over it", "in", "4140", `size = "0.18731"|held_by = "press"|seat_hole = "0.1868"`, "0.00051", "0.00051", "0.00051", study.TooTight},
		{"over it, and shrunk in", "in", "4140", `size = "0.1880"|held_by = "shrink"|seat_hole = "0.1868"`, "0.0012", "0.0012", "0.0012", study.SeatServes},
		{"over it, metal not said", "in", "", `size = "0.1880"|held_by = "press"|seat_hole = "0.1868"`, "0.0012", "0.0012", "0.0012", study.SeatServes},
		{"over it, a pin of 3/4 in", "in", "4140", `size = "0.7510"|held_by = "press"|seat_hole = "0.7500"`, "0.001", "0.001", "0.001", study.SeatServes},
		{".0005 in aluminium", "in", "aluminum", `size = "0.1873"|held_by = "press"|seat_hole = "0.1868"`, "0.0005", "0.0005", "0.0005", study.SeatServes},
		{"size for size holds nothing", "in", "4140", `size = "0.1873"|held_by = "press"|seat_hole = "0.1873"`, "0", "0", "0", study.NeverTight},
		{"nothing said to hold it", "in", "4140", `size = "0.1873"|seat_hole = "0.1875"`, "-0.0002", "-0.0002", "-0.0002", study.NeverTight},
		{"adhesive", "in", "4140", `size = "0.1873"|held_by = "glued"|seat_hole = "0.1875"`, "", "", "", 0},
		{"screw", "in", "4140", `size = "0.1873"|held_by = "cap screw"|seat_hole = "0.1875"`, "", "", "", 0},
		{"sleeve", "in", "4140", `size = "0.1873"|held_by = "press in a sleeve"|seat_hole = "0.1875"`, "", "", "", 0},
		{"no seat", "in", "4140", `size = "0.1873"|held_by = "press"`, "", "", "", 0},
	} {
		s, rec, st := onlyStation(t, fitLedger(c.units, "", "", fmt.Sprintf("material = %q", c.material), strings.ReplaceAll(c.pin, "|", "\n")))
		got := s.Seating(rec, &st.Locators[0])
		if c.loosest == "" {
			assert.Nil(t, got, c.source)
			continue
		}
		if assert.NotNil(t, got, c.source) {
			assert.Equal(t, c.want, got.Verdict, c.source)
			unit := got.Fit.MinClearance.Unit()
			for name, pair := range map[string][2]any{"loosest": {c.loosest, got.Loosest()}, "usual": {c.usual, got.Usual()}, "tightest": {c.most, got.Tightest()}} {
				want, ok := new(big.Rat).SetString(pair[0].(string))
				require.True(t, ok)
				in, err := pair[1].(quantity.Quantity).In(unit)
				require.NoError(t, err)
				assert.Zero(t, want.Cmp(in), "%s, %s: %s, not %s", c.source, name, in.FloatString(6), pair[0])
			}
		}
	}
}

// TestSeatServes: in the seat that is offered every such pin does what it is to
// do, at each end of both tolerances; a pin ground as offered slips in the hole.
func TestSeatServes(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := rapid.Bool().Draw(rt, "inch")
		units, digits := "mm", 3
		if in {
			units, digits = "in", 4
		}
		pin := rapid.IntRange(600, 5000).Draw(rt, "pin")
		wide := rapid.IntRange(0, 2).Draw(rt, "wide")
		num := func(n int) string { return new(big.Rat).SetFrac64(int64(n), pow10(digits)).FloatString(digits) }
		material := rapid.SampledFrom([]string{"steel", "aluminium"}).Draw(rt, "material")
		duty := rapid.SampledFrom([]string{"retained", "removable"}).Draw(rt, "duty")
		load := func(size, seat string) (*study.Set, *ledger.Record, *ledger.Station) {
			texts := fitLedger(units, "", "size = "+fmt.Sprintf("%q", seat), "material = "+fmt.Sprintf("%q", material),
				fmt.Sprintf("size = %q\nheld_by = \"press\"\nbought_as = \"standard dowel\"\nnominal = %q\nduty = %q\nseat_hole = %q", size, size, duty, seat))
			for name := range texts {
				if strings.HasSuffix(name, ".md") {
					texts[name] = "+++\n" + texts[name] + "+++\n"
				}
			}
			l, err := ledger.Load(source.Map(texts))
			require.NoError(rt, err)
			rec := l.Record("F")
			return study.New(l, on(t, "2025-11-25")), rec, &rec.Data.(*ledger.Fixture).Stations[0]
		}
		size := num(pin) + ".." + num(pin+wide)
		s, rec, st := load(size, num(pin))
		first := s.Seating(rec, &st.Locators[0])
		require.NotNil(rt, first)
		if first.Seat.HasLower() {
			for _, hole := range []quantity.Quantity{first.Seat.Lower, first.Seat.Upper} {
				for _, one := range []int{pin, pin + wide} {
					s, rec, st := load(num(one), hole.String())
					got := s.Seating(rec, &st.Locators[0])
					require.NotNil(rt, got)
					assert.Equal(rt, study.SeatServes, got.Verdict, "pin %s in %s", num(one), hole)
				}
			}
		} else {
			assert.Greater(rt, wide, 1, "a seat must be there for a pin of one size")
		}
		slips := s.DowelSlips(s.Locating(rec, st))
		require.Len(rt, slips, 1)
		if g := slips[0].Ground; assert.True(rt, g.HasUpper()) {
			s, rec, st := load(g.Upper.String(), num(pin))
			again := s.DowelSlips(s.Locating(rec, st))
			require.Len(rt, again, 1)
			assert.True(rt, again[0].Slips)
		}
	})
}

func pow10(n int) int64 {
	p := int64(1)
	for range n {
		p *= 10
	}
	return p
}

// TestShutIn: a pin in a blind hole, and how loose it must be to let air out
// (0.001 in, 0.025 mm: common practice).
func TestShutIn(t *testing.T) {
	for pin, want := range map[string]bool{
		`held_by = "press"|seat_end = "blind"`:                                                             true,
		`held_by = "driven in"|seat_end = "blind"`:                                                         true,
		`adhesive = "epoxy"|seat_end = "blind"`:                                                            true,
		`held_by = "press"|seat_end = "blind"|vent = "none"`:                                               true,
		`held_by = "press"|seat_end = "blind"|vent = "no vent"`:                                            true,
		`held_by = "press"|seat_end = "blind"|vent = "spiral groove"`:                                      false,
		`held_by = "press"|seat_end = "blind"|pull_thread = true`:                                          false,
		`held_by = "press"|seat_end = "blind"|pull_thread = false`:                                         true,
		`held_by = "press"|seat_end = "through"`:                                                           false,
		`held_by = "screw"|seat_end = "blind"`:                                                             false,
		`seat_end = "blind"`:                                                                               false,
		`size = "0.1873"|adhesive = "anaerobic"|seat_hole = "0.1883"|seat_end = "blind"`:                   true, // just 0.001 in
		`size = "0.1873"|adhesive = "anaerobic"|seat_hole = "0.18831 +0.0005/-0"|seat_end = "blind"`:       false,
		`size = "0.1873"|adhesive = "anaerobic"|seat_hole = "0.18829 +0.0005/-0"|seat_end = "blind"`:       true,
		`held_by = "press"|seat_end = "blind"` + "\n[[station.locator.was]]\nuntil = 2025-12-01\nsize = 1": false,
	} {
		s, rec, st := onlyStation(t, fitLedger("in", "", "", "", strings.ReplaceAll(pin, "|", "\n")))
		_, ok := s.ShutIn(rec, &st.Locators[0])
		assert.Equal(t, want, ok, pin)
	}
}

// TestPinHeights: proud of the thinnest part, and equal within a sixteenth of the
// diameter (a choice of this tool beside the quarter of common practice).
func TestPinHeights(t *testing.T) {
	two := func(thickness, first, second string) (*study.Set, *study.Locating) {
		part := ""
		if thickness != "" {
			part = fmt.Sprintf("thickness = %q", thickness)
		}
		texts := fitLedger("in", part, `size = "0.1600 +0.0005/-0"`+"\n[[feature]]\nid = \"H2\"\ntype = \"hole\"", "",
			`size = "0.1600"`+"\n"+first+"\n[[station.locator]]\nid = \"P2\"\ntype = \"relieved pin\"\nengages = \"H2\"\n"+`size = "0.1500"`+"\n"+second)
		s, rec, st := onlyStation(t, texts)
		return s, s.Locating(rec, st)
	}
	for _, c := range []struct {
		thickness, first, second string
		proud                    string
		equal                    bool
	}{
		{"0.250", `height = "0.250"`, `height = "0.210"`, "", false},
		{"0.250", `height = "0.2501"`, `height = "0.210"`, "0.0001 in", false},
		{"0.250 ±0.005", `height = "0.240 ±0.010"`, `height = "0.200"`, "0.005 in", false},
		{"", `height = "0.250"`, `height = "0.250"`, "", true},
		{"0.250", ``, `height = "0.200"`, "", false},
		{"0.250", `height = "0.210"`, `height = "0.200"`, "", false}, // 0.010 = 0.16/16
		{"0.250", `height = "0.2099"`, `height = "0.200"`, "", true},
		{"0.250", `height = "0.190"`, `height = "0.1999"`, "", true},
		{"0.250", `height = "0.190 ±0.010"`, `height = "0.190"`, "", true},
	} {
		s, l := two(c.thickness, c.first, c.second)
		proud := s.ProudPins(l)
		if c.proud == "" {
			assert.Empty(t, proud, "%+v", c)
		} else if assert.Len(t, proud, 1, "%+v", c) {
			assert.Equal(t, c.proud, proud[0].Proud.String(), "%+v", c)
		}
		e, equal := s.EqualPins(l)
		assert.Equal(t, c.equal, equal, "%+v", c)
		if equal {
			assert.Equal(t, "P1", e.First.Locator.ID.S)
			assert.Equal(t, "0.04 in", e.Step.String(), "a quarter of 0.16 in")
		}
	}
}
