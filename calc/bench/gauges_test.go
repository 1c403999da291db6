package bench

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Diameters of dowels as their standards print them.
func TestDowelPublished(t *testing.T) {
	for _, c := range []struct{ nominal, name, max, min, source string }{
		{"1/8 in", "1/8 in dowel (ASME B18.8.2, standard series)", "0.1253 in", "0.1251 in", "ASME B18.8.2-2000 (studylib.net 27465498 and a dowel chart), seen twice"},
		{"3/16 in", "3/16 in dowel (ASME B18.8.2, oversize series)", "0.1886 in", "0.1884 in", "ASME B18.8.2-2000, seen twice"},
		{"1/4 in", "1/4 in dowel (ASME B18.8.2, standard series)", "0.2503 in", "0.2501 in", "ASME B18.8.2-2000, seen twice"},
		{"6 mm", "6 mm dowel (ASME B18.8.5M, standard series)", "6.009 mm", "6.003 mm", "ASME B18.8.5M, one source"},
		{"6 mm", "6 mm dowel (ISO 8734, m6)", "6.012 mm", "6.004 mm", "m6 as nutbolt.org prints it for DIN 7; that ISO 8734 is m6 is from memory"},
	} {
		r := asked(t, Dowel{Nominal: strings.Fields(c.nominal)}, "")
		found := false
		for _, p := range r["pins"].([]any) {
			pin := reply(p.(map[string]any))
			if pin["name"] == c.name {
				found = true
				pin.exactly(t, c.max, "max_size", c.source)
				pin.exactly(t, c.min, "min_size", c.source)
			}
		}
		assert.True(t, found, c.name)
	}
	// A standard dowel in a hole reamed to nominal does not slip: 1/4 in .2495 to
	// .2500 is tight by .0001 to .0008 (own arithmetic from the table).
	r := asked(t, Dowel{Nominal: []string{"1/4 in"}, Hole: "0.2495..0.2500 in"}, "")
	assert.Equal(t, false, r.at(t, "pins/0/slips"))
	r.exactly(t, "-0.0008 in", "pins/0/min_clearance", "table")
	r.exactly(t, "-0.0001 in", "pins/0/max_clearance", "table")
	// 3.18 mm is a 1/8 in dowel.
	r = asked(t, Dowel{Measured: "3.18mm"}, "")
	assert.Equal(t, "1/8 in dowel (ASME B18.8.2, standard series)", r.at(t, "pins/0/name"))
	assert.Equal(t, true, r.at(t, "pins/0/measured_inside"))
}

// The ten percent rule by the class tables of ASME B89.1.5 (foxvalleymetrology.com,
// engineersedge.com, meyergage.com, seen).
func TestPlugClasses(t *testing.T) {
	for _, c := range []struct{ hole, class, each, source string }{
		{"0.500 ±0.001 in", "Z", "0.0001 in", "own arithmetic from the table"},
		{"1.000 ±0.001 in", "Y", "0.00009 in", "the page of northerngauge.com names Z, but Z above 0.825 in is .00012: a trap"},
		{"0.2500 +0.0005/-0 in", "XX", "0.00002 in", "own arithmetic from the table"},
		{"6 mm H7", "XX", "0.00051 mm", "own arithmetic from the metric table"},
		{"25 mm H7", "XX", "0.00076 mm", "own arithmetic from the metric table"},
	} {
		r := asked(t, Plug{Hole: c.hole}, "")
		assert.Equal(t, c.class, r.at(t, "pair/class"), c.source)
		lo, _ := r.quantity(t, "pair/go_min")
		hi, _ := r.quantity(t, "pair/go_max")
		assert.Zero(t, hi.Sub(hi, lo).Cmp(one(t, c.each).Rat()), c.source)
	}
	// Shares of T = .0005: ZZ 80 %, Z 40 %, X 16 %, XX 8 % (shop sheet, common practice).
	r := asked(t, Plug{Hole: "0.1875 +0.0005/-0 in", Class: "x"}, "")
	for i, want := range map[string]string{"5": "80 %", "4": "40 %", "2": "16 %", "1": "8 %"} {
		r.exactly(t, want, "classes/"+i+"/share", "shop sheet")
	}
	r.exactly(t, "0.1875 in", "pair/go_min", "GO plus: nominal to nominal + class")
	r.exactly(t, "0.18754 in", "pair/go_max", "GO plus")
	r.exactly(t, "0.18796 in", "pair/not_go_min", "NOT GO minus")
	r.exactly(t, "0.1880 in", "pair/not_go_max", "NOT GO minus")
	// Rings are reversed.
	r = asked(t, Plug{Shaft: "0.1873 +0/-0.0005 in", Class: "X"}, "")
	r.exactly(t, "0.1873 in", "pair/go_max", "ring GO minus")
	r.exactly(t, "0.1868 in", "pair/not_go_min", "ring NOT GO plus")
	// Too fine for any class: the answer says so, with the shares.
	r = asked(t, Plug{Hole: "0.1875 +0.00005/-0 in"}, "")
	assert.Nil(t, r["pair"])
	assert.Len(t, r["classes"], 6)
}

// What plugs prove (ISO 1938-1 and common practice): a plus pin 0.2500 of class ZZ
// is .2500 to .2502, a minus pin .2498 to .2500.
func TestPlugProves(t *testing.T) {
	r := asked(t, Plug{Entered: []string{"0.2500 in ZZ plus"}, Refused: []string{"0.2510 in class ZZ minus"}}, "")
	r.exactly(t, "0.2500 in", "proved_min", "smallest that the plug can be")
	r.exactly(t, "0.2510 in", "proved_max", "largest that the refused plug can be")
	r = asked(t, Plug{Entered: []string{"0.2500 in ZZ minus"}, Refused: []string{"0.2510 in ZZ +"}, Entry: "0.0001in"}, "")
	r.exactly(t, "0.2498 in", "proved_min", "minus pin")
	r.exactly(t, "0.2513 in", "proved_max", "plus pin and clearance to enter")
	// Measured size with its uncertainty, in millimetres.
	r = asked(t, Plug{Entered: []string{"6.350 ±0.0005 mm"}}, "in")
	r.within(t, "6.3495 mm", 1e-9, "proved_min", "measured")
	assert.Nil(t, r["proved_max"])
	// Against limits, with a pair that does not bracket them.
	r = asked(t, Plug{Hole: "0.1875 +0.0005/-0 in", Entered: []string{"0.1875 in ZZ minus"}, Refused: []string{"0.1880 in ZZ minus"}}, "")
	assert.Equal(t, "doubtful", r.at(t, "verdict"))
	assert.Equal(t, false, r.at(t, "brackets"))
	r.exactly(t, "0.0002 in", "passes_below", "a minus pin as GO")
	r.exactly(t, "0 in", "passes_above", "a minus pin as NOT GO")
}

func TestAcceptPublished(t *testing.T) {
	for _, c := range []struct{ reading, limits, u, want, source string }{
		{"-5.47", "<= -5.40", "0.1", "91.92433 %", "JCGM 106 diode example from memory (0.92), value by R"},
		{"13.6", "12.5..16.3", "3.6", "66.26298 %", "JCGM 106 oil example from memory (0.66), value by R"},
	} {
		// No unit of the tables: numbers as parts.
		r := asked(t, Accept{Reading: []string{c.reading, "parts"}, Limits: c.limits + " parts", Uncertainty: c.u + " parts", Guard: "none"}, "")
		r.within(t, c.want, 1e-5, "probability_of_conformity", c.source)
	}
	q := Accept{Reading: []string{"1.5011 in"}, Limits: "1.5000 ±0.0010 in", Uncertainty: "0.00015in"}
	r := asked(t, q, "")
	assert.Equal(t, "doubtful", r.at(t, "verdict"), "outside by less than U: ISO 14253-1 as it is taught")
	r.exactly(t, "1.49915 in", "accept_from", "LSL + U")
	r.exactly(t, "1.50085 in", "accept_to", "USL - U")
	r.within(t, "6.6666667", 1e-6, "tolerance_over_2u", "T/(2U)")
	assert.Equal(t, "comfortable", r.at(t, "gauge"))
	q.Guard = "none"
	assert.Equal(t, "reject", asked(t, q, "").at(t, "verdict"))
	// 95 %: 1.645 u for a wide tolerance (normal quantile; JCGM 106).
	q.Guard = "95"
	asked(t, q, "").within(t, "0.00012336 in", 1e-8, "guard_band", "1.6448536·u")
	q.Guard = "0.0002in"
	asked(t, q, "mm").exactly(t, "0.0002 in", "guard_band", "as typed")
	// On the edge itself a reading is accepted, whatever the unit.
	q = Accept{Reading: []string{"38.12159 mm"}, Limits: "1.5000 ±0.0010 in", Uncertainty: "0.00015in"}
	assert.Equal(t, "accept", asked(t, q, "").at(t, "verdict"), "1.50085 in is 38.12159 mm")
	q.Reading = []string{"38.12160 mm"}
	assert.Equal(t, "doubtful", asked(t, q, "").at(t, "verdict"))
	// A guard band wider than the tolerance accepts nothing.
	r = asked(t, Accept{Reading: []string{"1.5 in"}, Limits: "1.5000 ±0.0001 in", Uncertainty: "0.00015in"}, "")
	assert.Equal(t, false, r.at(t, "can_accept"))
}

// The rows of the reamer table (DIN 1420; H7 to 80 mm seen in a reamer maker's
// catalogue, the others computed by the rule), at the upper end of each step.
func TestReamDIN1420(t *testing.T) {
	f, err := os.Open("../ream/testdata/reamer_din1420.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	n := 0
	for _, row := range rows[1:] {
		for i := 2; i < len(row); i += 2 {
			class, _, _ := strings.Cut(rows[0][i], "_")
			r := asked(t, Ream{Hole: []string{row[1], "mm", class}}, "")
			add := func(um string) string {
				return one(t, row[1]+" mm").Rat().Add(one(t, row[1]+" mm").Rat(), one(t, um+" um").Rat()).FloatString(3) + " mm"
			}
			r.exactly(t, add(row[i]), "reamer_max", "DIN 1420")
			r.exactly(t, add(row[i+1]), "reamer_min", "DIN 1420")
			n++
		}
	}
	assert.Equal(t, 48, n)
	// Printed: 10 D8 gives 10.058 / 10.050 (a reamer maker's page).
	r := asked(t, Ream{Hole: []string{"10 mm +0.062/+0.040"}}, "")
	r.exactly(t, "10.058 mm", "reamer_max", "printed")
	r.exactly(t, "10.050 mm", "reamer_min", "printed")
	// Shop sheet: hole .1250 to .1255, reamer .1252 to .1254; a nominal one is outside.
	r = asked(t, Ream{Hole: []string{"0.1250 +0.0005/-0 in"}, Reamer: "0.1250in", Drill: "0.120in"}, "")
	r.exactly(t, "0.1254 in", "reamer_max", "shop sheet")
	r.exactly(t, "0.1252 in", "reamer_min", "shop sheet")
	assert.Equal(t, "outside", r.at(t, "position"))
	assert.Equal(t, "usual", r.at(t, "stock_verdict"))
	r.exactly(t, "0.005 in", "stock", "difference")
}

func TestGaugeErrors(t *testing.T) {
	hole := "0.1875 +0.0005/-0 in"
	for _, c := range []struct {
		q    Question
		says []string
	}{
		{Dowel{}, []string{"type either a nominal size", "3/16 in"}},
		{Dowel{Nominal: []string{"3/16"}}, []string{"nominal: ", "unit is missing"}},
		{Dowel{Nominal: []string{"0.2 in"}}, []string{"not carried here", "5 mm"}},
		{Dowel{Nominal: []string{"0 in"}}, []string{"nominal: 0 in is not above 0"}},
		{Dowel{Nominal: []string{"3/16 in"}, Measured: "3mm"}, []string{"type either"}},
		{Dowel{Measured: "40mm"}, []string{"not carried here"}},
		{Plug{}, []string{"hole: no value"}},
		{Plug{Hole: "0.1875in"}, []string{"hole: 0.1875 in has no limits"}},
		{Plug{Hole: hole, Class: "W"}, []string{"W"}},
		{Plug{Class: "X", Entered: []string{"0.1875 in X plus"}}, []string{"class: a pair is sized for a hole"}},
		{Plug{Hole: hole, Shaft: hole}, []string{"both given"}},
		{Plug{Hole: hole, Rings: true}, []string{"a hole is tried with plugs"}},
		{Plug{Entered: []string{"0.1875 in"}}, []string{"entered: ", "says nothing of how far", "X plus"}},
		{Plug{Entered: []string{"0.1875 in X"}}, []string{"a class and no sign", "plus, minus or master"}},
		{Plug{Entered: []string{"0.1875 in Q plus"}}, []string{"entered: ", "Q"}},
		{Plug{Entered: []string{"0.1875 X plus"}}, []string{"entered: ", "unit is missing"}},
		{Plug{Entered: []string{"plus"}}, []string{"entered: "}},
		{Plug{Entered: []string{"X plus"}}, []string{"entered: no value"}},
		{Plug{Entered: []string{"-0.1875 in X plus"}}, []string{"not above 0"}},
		{Plug{Entered: []string{"20 in X plus"}}, []string{"not carried here"}},
		{Plug{Entered: []string{"0.1880 in X plus"}, Refused: []string{"0.1875 in X minus"}}, []string{"contradict"}},
		{Accept{}, []string{"limits: no value"}},
		{Accept{Limits: "1.5 ±0.001 in"}, []string{"reading: no value"}},
		{Accept{Limits: "1.5 in", Reading: []string{"1.5 in"}}, []string{"has no limit"}},
		{Accept{Limits: "1.5 ±0.001 in", Reading: []string{"1.5 in"}}, []string{"uncertainty: no value"}},
		{Accept{Limits: "1.5 ±0.001 in", Reading: []string{"1.5 deg"}, Uncertainty: "1tenths"}, []string{"reading: 1.5 deg is an angle"}},
		{Accept{Limits: "1.5 ±0.001 in", Reading: []string{"1.5 in"}, Uncertainty: "0in"}, []string{"uncertainty: 0 in is not above 0"}},
		{Accept{Limits: "1.5 ±0.001 in", Reading: []string{"1.5 in"}, Uncertainty: "1tenths", Guard: "half"}, []string{"guard: "}},
		{Accept{Limits: "1.5 ±0.001 in", Reading: []string{"1.5 in"}, Uncertainty: "1tenths", Guard: "-1tenths"}, []string{"guard: ", "below 0"}},
		{Accept{Limits: "12..13 deg", Reading: []string{"1.5 in"}, Uncertainty: "0.1deg"}, []string{"reading: 1.5 in is a length; type an angle, such as 12.5 deg"}},
		{Accept{Limits: "12..13 deg", Reading: []string{"12.2 deg"}}, []string{"uncertainty: no value; type an angle, such as 0.15deg"}},
		{Accept{Limits: "68 ±1 F", Reading: []string{"68 F"}, Uncertainty: "1dF"}, []string{"a temperature is not judged here"}},
		{Ream{}, []string{"hole: no value"}},
		{Ream{Hole: []string{"0.1875 in"}}, []string{"has no limits"}},
		{Ream{Hole: []string{hole}, Drill: "0.18in"}, []string{"reamer: no value"}},
		{Ream{Hole: []string{hole}, Reamer: "-1in"}, []string{"reamer: -1 in is not above 0"}},
		{Ream{Hole: []string{hole}, Reamer: "0.1876in", Step: "0.0001in"}, []string{"leave one of the two out"}},
		{Ream{Hole: []string{"0.1875 +0.0001/-0 in"}, Step: "0.001in"}, []string{"0.001 in"}},
	} {
		refuses(t, c.q, "", c.says...)
	}
}
