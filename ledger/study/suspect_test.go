package study_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// demo loads the ledger of the invented focuser shop.
func demo(t *testing.T) *ledger.Ledger {
	t.Helper()
	src, err := source.Dir("../../examples/focuser")
	require.NoError(t, err)
	l, err := ledger.Load(src)
	require.NoError(t, err)
	return l
}

func suspect(t *testing.T, l *ledger.Ledger, gauge, day string) *study.Suspect {
	t.Helper()
	sp, err := study.New(l, on(t, day)).Suspect(l.Record(gauge))
	require.NoError(t, err)
	return sp
}

// equalQ compares exactly, whatever the units.
func equalQ(t *testing.T, want string, got quantity.Quantity, msg string) {
	t.Helper()
	if want == "" {
		assert.True(t, got.IsZeroValue(), "%s: %s", msg, got)
		return
	}
	w, err := quantity.Parse(want, quantity.Unit{})
	require.NoError(t, err)
	d, err := got.Cmp(w)
	require.NoError(t, err, msg)
	assert.Zero(t, d, "%s: %s, not %s", msg, got, want)
}

// TestSuspectDemo: the look-back of the demo shop. Width 1.5000 ±0.0010, U
// 0.00015, the micrometer three tenths small: of seven widths five are cleared,
// 1.5009 and 1.5011 are doubtful (worked by hand from ISO 14253-1: accept
// 1.49915 to 1.50085, reject above 1.50115 and below 1.49885; invented data).
func TestSuspectDemo(t *testing.T) {
	l := demo(t)
	for _, day := range []string{"2025-03-03", "2025-11-25"} {
		sp := suspect(t, l, "G5", day)
		assert.Equal(t, "2024-06-03", sp.Good.On.String(), day)
		assert.Equal(t, "2025-03-03", sp.Failed.On.String(), day)
		equalQ(t, "-0.0003 in", sp.Error, day)
		require.Len(t, sp.Groups, 2, day)
		assert.Empty(t, sp.Later, day)

		width := sp.Groups[0]
		assert.Equal(t, "P-10/WIDTH", width.Path)
		assert.Equal(t, "7 readings: 5 cleared, 2 doubtful", width.Tally.String(), day)
		assert.True(t, width.Decided)
		for i, want := range []struct {
			lot, read, corrected, shown string
			standing                    study.Doubt
		}{
			{"L-31", "1.5004 in", "1.5007 in", "1.5007 in", study.Cleared},
			{"L-31", "1.5006 in", "1.5009 in", "1.5009 in", study.InDoubt},
			{"L-31", "1.5003 in", "1.5006 in", "1.5006 in", study.Cleared},
			{"L-36", "1.5008 in", "1.5011 in", "1.5011 in", study.InDoubt},
			{"L-36", "1.5005 in", "1.5008 in", "1.5008 in", study.Cleared},
			{"L-41", "1.4998 in", "1.5001 in", "1.5001 in", study.Cleared},
			{"L-41", "1.5001 in", "1.5004 in", "1.5004 in", study.Cleared},
		} {
			got := width.Readings[i]
			assert.Equal(t, want.lot, got.Lot)
			equalQ(t, want.read, got.Full, day)
			equalQ(t, want.corrected, got.Corrected, day)
			assert.Equal(t, want.shown, got.Corrected.String(), "with the decimals of the gauge")
			assert.Equal(t, want.standing, got.Standing, want.read)
		}
		equalQ(t, "0.0001 in", width.Readings[1].Margin, "inside by less than U")
		equalQ(t, "-0.0001 in", width.Readings[3].Margin, "outside by less than U")
		var lots []string
		for _, lot := range width.Lots {
			lots = append(lots, lot.Lot+" "+lot.Tally.String())
		}
		assert.Equal(t, []string{"L-31 3 readings: 2 cleared, 1 doubtful", "L-36 2 readings: 1 cleared, 1 doubtful", "L-41 2 readings: 2 cleared"}, lots)

		// The other readings of the window stand apart: they accepted no part.
		edge := sp.Groups[1]
		assert.Equal(t, "P-10/EDGE", edge.Path)
		assert.False(t, edge.Decided)
		assert.Equal(t, "4 readings: 2 cleared, 2 doubtful", edge.Tally.String())
		assert.Equal(t, "1.0946 in", edge.Readings[1].Corrected.String())

		require.Len(t, sp.Undated, 1, "the first notebook has no day")
		assert.Equal(t, "IN-OLD-1", sp.Undated[0].ID())
		require.Len(t, sp.Changes, 1, "CH-05 took its before from the gauge, CH-06 did not")
		assert.Equal(t, "CH-05", sp.Changes[0].Rec.ID())
		require.Len(t, sp.Changes[0].Uses, 1)
		use := sp.Changes[0].Uses[0]
		assert.Equal(t, "before", use.Key)
		assert.True(t, use.Noted)
		assert.False(t, use.Cancels, "the after came from another micrometer")
	}
}

// TestSuspectBeforeItFailed: the day before the failed check nothing is known
// of the error, and everything since the last good check rests on the gauge.
func TestSuspectBeforeItFailed(t *testing.T) {
	l := demo(t)
	sp := suspect(t, l, "G5", "2025-03-02")
	assert.Nil(t, sp.Failed)
	equalQ(t, "", sp.Error, "not known")
	assert.Equal(t, "11 readings rest on it", sp.Tally().String())
	for _, g := range sp.Groups {
		for _, r := range g.Readings {
			assert.Equal(t, study.RestsOnIt, r.Standing)
			equalQ(t, "", r.Corrected, "nothing to take off")
		}
	}
	// What had not been read by the day is not in the answer.
	assert.Equal(t, "5 readings rest on it", suspect(t, l, "G5", "2025-01-15").Tally().String())
	assert.Empty(t, suspect(t, l, "G5", "2025-01-15").Changes, "the before of CH-05 came a day later")
	// On the day of the good check the older window is closed.
	assert.Equal(t, "no readings", suspect(t, l, "G5", "2024-06-03").Tally().String())
	// The day before, it reaches back to the check of 2023.
	assert.Equal(t, "5 readings rest on it", suspect(t, l, "G5", "2024-06-02").Tally().String())
}

// widthShop is a shop with a micrometer G, a width 10 ±0.1 mm and readings.
func widthShop(t *testing.T, gauge, inspections string, more map[string]string) *ledger.Ledger {
	t.Helper()
	texts := map[string]string{
		ledger.ConfigName: "units = \"mm\"\n",
		"g.md":            "kind = \"gauge\"\nid = \"G\"\ntitle = \"micrometer\"\ntype = \"micrometer\"\nresolution = \"0.01\"\n" + gauge,
		"p.md":            "kind = \"part\"\nid = \"P\"\ntitle = \"p\"\n[[characteristic]]\nid = \"W\"\nlimits = \"10.00 ±0.10\"\n[[characteristic.was]]\nuntil = 2024-02-01\nlimits = \"10.00 ±0.30\"\n[[characteristic]]\nid = \"HIGH\"\nlimits = \"<= 10.10\"\n[[characteristic]]\nid = \"S\"\njudge = \"spread\"\nlimits = \"<= 0.05\"\n[[characteristic]]\nid = \"N\"\n[[characteristic]]\nid = \"DEG\"\nlimits = \"10 ±1 deg\"\n",
	}
	for i, in := range strings.Split(inspections, "---\n") {
		if in != "" {
			texts[fmt.Sprintf("i%02d.md", i)] = fmt.Sprintf("kind = \"inspection\"\nid = \"I%d\"\ntitle = \"i\"\n%s", i, in)
		}
	}
	for name, text := range more {
		texts[name] = text
	}
	return loadTexts(t, texts)
}

const failed03 = "uncertainty = \"0.02\"\n[[calibration]]\non = 2024-01-10\nresult = \"conforms\"\n[[calibration]]\non = 2024-03-10\nresult = \"does not conform\"\nas_found = \"0.03\"\n"

// TestSuspectZones: the borders of ISO 14253-1 are exact. The gauge reads 0.03
// mm large and has U = 0.02 mm; the limits are 9.90 and 10.10 mm. Worked by hand.
func TestSuspectZones(t *testing.T) {
	for _, c := range []struct {
		char, read, corrected, margin string
		want                          study.Doubt
		why                           string
	}{
		{"W", "9.95", "9.92 mm", "0.02 mm", study.Cleared, ""}, // LSL + U
		{"W", "9.9499", "9.9199 mm", "0.0199 mm", study.InDoubt, ""},
		{"W", "9.93", "9.90 mm", "0 mm", study.InDoubt, ""},     // LSL
		{"W", "9.91", "9.88 mm", "-0.02 mm", study.InDoubt, ""}, // LSL - U: outside by U, not by more
		{"W", "9.9099", "9.8799 mm", "-0.0201 mm", study.FoundOutside, ""},
		{"W", "10.11", "10.08 mm", "0.02 mm", study.Cleared, "as read: doubtful; cleared only if the gauge was out on that day"}, // USL - U
		{"W", "10.1101", "10.0801 mm", "0.0199 mm", study.InDoubt, ""},
		{"W", "10.15", "10.12 mm", "-0.02 mm", study.InDoubt, ""},
		{"W", "10.1501", "10.1201 mm", "-0.0201 mm", study.FoundOutside, ""},
		{"W", "10.10", "10.07 mm", "0.03 mm", study.Cleared, "as read: doubtful; cleared only if the gauge was out on that day"},
		{"W", "10.00", "9.97 mm", "0.07 mm", study.Cleared, ""},
		{"HIGH", "5", "4.97 mm", "5.13 mm", study.Cleared, ""}, // no lower limit
		{"HIGH", "10.2", "10.17 mm", "-0.07 mm", study.FoundOutside, ""},
		{"W", "0.4 in", "10.13 mm", "-0.03 mm", study.FoundOutside, ""}, // 10.16 mm exactly
	} {
		l := widthShop(t, failed03, "on = 2024-03-01\ngauge = \"G\"\ncharacteristic = \"P/"+c.char+"\"\nreadings = [\""+c.read+"\"]\n", nil)
		sp := suspect(t, l, "G", "2024-12-31")
		require.Len(t, sp.Groups, 1, c.read)
		r := sp.Groups[0].Readings[0]
		equalQ(t, c.corrected, r.Corrected, c.read)
		equalQ(t, c.margin, r.Margin, c.read)
		assert.Equal(t, c.want, r.Standing, c.read)
		assert.Equal(t, c.why, r.Why, c.read)
	}
}

// TestSuspectExact checks classification against whole numbers, and that only
// reading minus error counts.
func TestSuspectExact(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		// All in units of 0.0001 mm, limits ±1000 about 100000.
		read := rapid.IntRange(98000, 102000).Draw(rt, "read")
		found := rapid.IntRange(-600, 600).Draw(rt, "error")
		u := rapid.IntRange(0, 1500).Draw(rt, "U")
		text := func(n int) string { return fmt.Sprintf("%.4f", float64(n)/10000) }
		classify := func(read, found int) *study.Suspect {
			l, err := ledger.Load(source.Map(map[string]string{
				ledger.ConfigName: "units = \"mm\"\n",
				"g.md":            "+++\nkind = \"gauge\"\nid = \"G\"\ntitle = \"m\"\ntype = \"micrometer\"\nuncertainty = \"" + text(u) + "\"\n[[calibration]]\non = 2024-03-10\nresult = \"doubtful\"\nas_found = \"" + text(found) + "\"\n+++\n",
				"p.md":            "+++\nkind = \"part\"\nid = \"P\"\ntitle = \"p\"\n[[characteristic]]\nid = \"W\"\nlimits = \"9.9..10.1\"\n+++\n",
				"i.md":            "+++\nkind = \"inspection\"\nid = \"I\"\ntitle = \"i\"\non = 2024-03-01\ngauge = \"G\"\ncharacteristic = \"P/W\"\nreadings = [\"" + text(read) + "\"]\n+++\n",
			}))
			require.NoError(rt, err)
			require.Empty(rt, l.Problems)
			sp, err := study.New(l, time.Date(2024, 12, 31, 0, 0, 0, 0, time.UTC)).Suspect(l.Record("G"))
			require.NoError(rt, err)
			return sp
		}
		y := read - found
		inside := min(y-99000, 101000-y)
		want := study.InDoubt
		if inside >= u {
			want = study.Cleared
		} else if -inside > u {
			want = study.FoundOutside
		}
		got := classify(read, found).Groups[0].Readings[0]
		assert.Equal(rt, want, got.Standing, "%d - %d, U %d", read, found, u)
		shifted := classify(read+7, found+7).Groups[0].Readings[0]
		assert.Equal(rt, got.Standing, shifted.Standing)
		d, err := got.Corrected.Cmp(shifted.Corrected)
		require.NoError(rt, err)
		assert.Zero(rt, d)
	})
}

// TestSuspectWindow: after the last good check, up to and with the failed one.
func TestSuspectWindow(t *testing.T) {
	cal := func(on, result, rest string) string {
		return fmt.Sprintf("[[calibration]]\non = %s\nresult = %q\n%s", on, result, rest)
	}
	good := cal("2024-01-10", "conforms", "")
	bad := cal("2024-03-10", "does not conform", "as_found = \"0.03\"\n")
	for _, c := range []struct {
		name, gauge, on, asOf string
		// in, later, undated or out
		want string
	}{
		{"the day of the good check is under the one before", good + bad, "2024-01-10", "2024-12-31", "out"},
		{"the day after", good + bad, "2024-01-11", "2024-12-31", "in"},
		{"the day of the failed check", good + bad, "2024-03-10", "2024-12-31", "in"},
		{"used on as it was found", good + bad, "2024-03-11", "2024-12-31", "later"},
		{"adjusted at the check", good + bad + "as_left = \"0\"\n", "2024-03-11", "2024-12-31", "out"},
		{"found good on the same day", good + bad + cal("2024-03-10", "conforms", "as_found = \"0\"\n"), "2024-03-11", "2024-12-31", "out"},
		{"found good later", good + bad + cal("2024-04-10", "conforms", ""), "2024-04-09", "2024-12-31", "later"},
		{"from then on good", good + bad + cal("2024-04-10", "conforms", ""), "2024-04-10", "2024-12-31", "out"},
		{"a later check that is not yet made", good + bad + cal("2024-04-10", "conforms", ""), "2024-04-09", "2024-04-09", "later"},
		{"not yet read", good + bad, "2024-03-11", "2024-03-10", "out"},
		{"not yet failed", good + bad, "2024-03-01", "2024-03-09", "in"},
		{"no good check is known", bad, "2019-01-01", "2024-12-31", "in"},
		{"never checked", "", "2019-01-01", "2024-12-31", "in"},
		{"an adjustment is a good check", cal("2023-12-01", "does not conform", "as_left = \"0\"\n") + bad, "2023-12-02", "2024-12-31", "in"},
		{"and ends the window before it", cal("2023-12-01", "does not conform", "as_left = \"0\"\n") + bad, "2023-11-30", "2024-12-31", "out"},
		{"the latest failed check counts", good + bad + "as_left = \"0\"\n" + cal("2024-06-10", "doubtful", "as_found = \"0.02\"\n"), "2024-05-01", "2024-12-31", "in"},
		{"two failed ones running: back to the last good one", good + cal("2024-02-10", "doubtful", "") + bad, "2024-01-20", "2024-12-31", "in"},
		{"the order of the checks is no matter", bad + good, "2024-01-11", "2024-12-31", "in"},
		{"no day", good + bad, "", "2024-12-31", "undated"},
		{"a month within", good + bad, "\"about 2024-02\"", "2024-12-31", "in"},
		{"a month across the good check", good + bad + "as_left = \"0\"\n", "\"about 2024-01\"", "2024-12-31", "undated"},
		{"a year across all", good + bad, "\"about 2024\"", "2024-12-31", "undated"},
		{"a year before", good + bad, "\"about 2022\"", "2024-12-31", "out"},
	} {
		in := "gauge = \"G\"\ncharacteristic = \"P/W\"\nreadings = \"10\"\n"
		if c.on != "" {
			in += "on = " + c.on + "\n"
		}
		sp := suspect(t, widthShop(t, c.gauge, in, nil), "G", c.asOf)
		got := "out"
		switch {
		case sp.Tally().Readings > 0:
			got = "in"
		case sp.TallyLater().Readings > 0:
			got = "later"
		case len(sp.Undated) > 0:
			got = "undated"
		}
		assert.Equal(t, c.want, got, c.name)
	}
	// A failed check whose error was not written down condemns and clears nothing.
	sp := suspect(t, widthShop(t, good+cal("2024-03-10", "does not conform", ""), "on = 2024-03-01\ngauge = \"G\"\ncharacteristic = \"P/W\"\nreadings = \"10\"\n", nil), "G", "2024-12-31")
	assert.NotNil(t, sp.Failed)
	assert.Equal(t, "1 reading rests on it", sp.Tally().String())
}

// TestSuspectMarks: readings that the error cannot judge say why.
func TestSuspectMarks(t *testing.T) {
	noU := strings.Replace(failed03, "uncertainty = \"0.02\"\n", "", 1)
	for _, c := range []struct {
		name, gauge, inspection string
		want                    study.Doubt
		why                     string
	}{
		{"a void reading", failed03, "characteristic = \"P/W\"\n[[reading]]\nvalues = \"10\"\nstate = \"void\"\nwhy = \"chip\"\n", study.Voided, "chip"},
		{"a void inspection", failed03, "characteristic = \"P/W\"\nstate = \"void\"\nreadings = \"10\"\n", study.Voided, ""},
		{"set-up", failed03, "characteristic = \"P/W\"\npurpose = \"set-up\"\nreadings = \"10\"\n", study.ForSetUp, "decided no part"},
		{"reference only", "state = \"reference only\"\n" + failed03, "characteristic = \"P/W\"\nreadings = \"10\"\n", study.ForReference, "decides nothing"},
		{"a count", failed03, "characteristic = \"P/W\"\ncount = \"3 of 20\"\n", study.Unclassified, "cannot be corrected"},
		{"nothing written", failed03, "characteristic = \"P/W\"\n", study.Unclassified, "no readings"},
		{"a limit gauge", "go = \"10\"\n" + failed03, "characteristic = \"P/W\"\nreadings = \"10\"\n", study.Unclassified, "limit gauge"},
		{"no characteristic", failed03, "readings = \"10\"\n", study.Unclassified, "no limits"},
		{"no limits", failed03, "characteristic = \"P/N\"\nreadings = \"10\"\n", study.Unclassified, "no limits"},
		{"limits of another kind", failed03, "characteristic = \"P/DEG\"\nreadings = [\"10 mm\"]\n", study.Unclassified, "another kind"},
		{"an error of another kind", failed03, "characteristic = \"P/DEG\"\nreadings = [\"10 deg\"]\n", study.Unclassified, "the error (length) does not fit the reading (angle)"},
		{"no uncertainty", noU, "characteristic = \"P/W\"\nreadings = \"10\"\n", study.Unclassified, "uncertainty"},
		{"spread", failed03, "characteristic = \"P/S\"\nreadings = \"10 10.02\"\n", study.Unclassified, "steady error cancels"},
		{"a mix-up of units", failed03, "characteristic = \"P/W\"\nreadings = [\"0.3937\"]\n", study.Unclassified, "mix-up of units"},
		{"two parts compared", failed03, "characteristic = \"P/W\"\ncomparison = true\nreadings = [\"10.08\"]\n", study.Cleared, "on both"},
		{"checked that morning", failed03, "characteristic = \"P/W\"\nchecked_against = \"B\"\nreadings = [\"10.12\"]\n", study.InDoubt, "checked against B that day"},
		{"a deviation without a nominal", failed03, "deviation_in = \"mm\"\nreadings = \"0.01\"\n", study.Unclassified, "nothing says from what"},
	} {
		l := widthShop(t, c.gauge, "on = 2024-03-01\ngauge = \"G\"\n"+c.inspection, map[string]string{"b.md": "kind = \"gauge\"\nid = \"B\"\ntitle = \"blocks\"\ntype = \"gauge blocks\"\n"})
		sp := suspect(t, l, "G", "2024-12-31")
		require.NotEmpty(t, sp.Groups, c.name)
		r := sp.Groups[0].Readings[0]
		assert.Equal(t, c.want, r.Standing, c.name)
		assert.Contains(t, r.Why, c.why, c.name)
	}
	// The comparison is not corrected: 10.08 + U is the limit, 10.05 would not be.
	l := widthShop(t, failed03, "on = 2024-03-01\ngauge = \"G\"\ncharacteristic = \"P/W\"\ncomparison = true\nreadings = [\"10.09\"]\n", nil)
	assert.Equal(t, study.InDoubt, suspect(t, l, "G", "2024-12-31").Groups[0].Readings[0].Standing)
	// Drafts are left in peace.
	l = widthShop(t, failed03, "state = \"draft\"\non = 2024-03-01\ngauge = \"G\"\nreadings = \"10\"\n", nil)
	assert.Empty(t, suspect(t, l, "G", "2024-12-31").Groups)
}

// TestSuspectLimitsOfTheDay: a reading is judged by the limits that held when
// it was taken.
func TestSuspectLimitsOfTheDay(t *testing.T) {
	l := widthShop(t, failed03, "on = 2024-01-31\ngauge = \"G\"\ncharacteristic = \"P/W\"\nreadings = \"10.2\"\n---\non = 2024-02-01\ngauge = \"G\"\ncharacteristic = \"P/W\"\nreadings = \"10.2\"\n", nil)
	g := suspect(t, l, "G", "2024-12-31").Groups[0]
	assert.Equal(t, study.Cleared, g.Readings[0].Standing, "±0.30 until 2024-02-01")
	assert.Equal(t, study.FoundOutside, g.Readings[1].Standing, "±0.10 since")
}

// TestSuspectCurve: between two sizes of the check the error is on a straight
// line, beyond them as at the end (common practice; numbers by hand).
func TestSuspectCurve(t *testing.T) {
	curve := "uncertainty = \"0.01\"\n[[calibration]]\non = 2024-03-10\nresult = \"does not conform\"\nas_found = \"0.06\"\nat = \"12\"\n" +
		"[[calibration]]\non = 2024-03-10\nresult = \"conforms\"\nas_found = \"0\"\nat = \"6\"\n" +
		"[[calibration]]\non = 2024-03-10\nresult = \"conforms\"\nas_found = \"1 deg\"\nat = \"7\"\n" +
		"[[calibration]]\non = 2024-03-10\nresult = \"conforms\"\nas_found = \"0.5\"\nat = \"12 mm\"\n" +
		"[[calibration]]\non = 2024-02-10\nresult = \"conforms\"\nas_found = \"0.5\"\nat = \"9\"\n"
	l := widthShop(t, curve, "on = 2024-03-01\ngauge = \"G\"\ncharacteristic = \"P/W\"\nreadings = \"9 10 6 12 1 20 10.0001\"\n", nil)
	sp := suspect(t, l, "G", "2024-12-31")
	require.Len(t, sp.Curve, 2)
	equalQ(t, "6 mm", sp.Curve[0].At, "smallest first")
	for i, want := range []string{"0.03 mm", "0.04 mm", "0 mm", "0.06 mm", "0 mm", "0.06 mm", "0.040001 mm"} {
		equalQ(t, want, sp.Groups[0].Readings[i].Error, want)
	}
	// An indicator shows the deviation, and its curve is that of deviations.
	l = widthShop(t, "range = \"0 ±0.5\"\nuncertainty = \"0.01\"\n[[calibration]]\non = 2024-03-10\nresult = \"doubtful\"\nas_found = \"0\"\nat = \"0\"\n[[calibration]]\non = 2024-03-10\nresult = \"does not conform\"\nas_found = \"0.02\"\nat = \"0.2\"\n",
		"on = 2024-03-01\ngauge = \"G\"\ncharacteristic = \"P/W\"\ndeviation_in = \"mm\"\nreadings = \"0.1\"\n", nil)
	r := suspect(t, l, "G", "2024-12-31").Groups[0].Readings[0]
	equalQ(t, "0.01 mm", r.Error, "half-way")
	equalQ(t, "10.09 mm", r.Corrected, "half-way")
}

func TestSuspectOnlyGauges(t *testing.T) {
	l := demo(t)
	s := study.New(l, on(t, "2025-11-25"))
	_, err := s.Suspect(l.Record("CH-05"))
	assert.ErrorContains(t, err, "CH-05 is a record of a change")
	_, err = s.Suspect(nil)
	assert.ErrorContains(t, err, "only a gauge")
}
