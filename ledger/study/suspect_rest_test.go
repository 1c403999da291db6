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

// chain is a shop with blocks B, on which X was checked, on which Y was; Z was
// checked on Y after that one had been checked on something else. Traceability
// runs through every comparison (VIM 2.41).
func chain(t *testing.T, more map[string]string) *ledger.Ledger {
	t.Helper()
	gauge := func(id, calibrations string) string {
		return "kind = \"gauge\"\nid = \"" + id + "\"\ntitle = \"" + id + "\"\ntype = \"micrometer\"\nuncertainty = \"0.01\"\n" + calibrations
	}
	cal := func(on, against string) string {
		return "[[calibration]]\non = " + on + "\nresult = \"conforms\"\nagainst = \"" + against + "\"\n"
	}
	texts := map[string]string{
		ledger.ConfigName: "units = \"mm\"\n",
		"b.md":            gauge("B", "[[calibration]]\non = 2024-01-01\nresult = \"conforms\"\n[[calibration]]\non = 2024-12-01\nresult = \"does not conform\"\nas_found = \"0.02\"\nas_left = \"0\"\n"),
		"c.md":            gauge("C", "[[calibration]]\non = 2023-01-01\nresult = \"conforms\"\n"),
		"x.md":            gauge("X", cal("2023-12-01", "B")+cal("2024-02-01", "B")+cal("2024-08-01", "C")),
		"y.md":            gauge("Y", cal("2024-03-01", "X")+cal("2024-09-01", "X")),
		"z.md":            gauge("Z", cal("2024-09-15", "Y")),
		"p.md":            "kind = \"part\"\nid = \"P\"\ntitle = \"p\"\n[[characteristic]]\nid = \"W\"\nlimits = \"10.00 ±0.10\"\n",
	}
	for name, text := range more {
		texts[name] = text
	}
	return loadTexts(t, texts)
}

func inspectionText(id, gauge, on, rest string) string {
	return fmt.Sprintf("kind = \"inspection\"\nid = %q\ntitle = %q\ngauge = %q\non = %s\ncharacteristic = \"P/W\"\nreadings = \"10 10.02\"\n%s", id, id, gauge, on, rest)
}

// TestSuspectChain: what was compared with a gauge in doubt is in doubt itself,
// until it was compared with something else.
func TestSuspectChain(t *testing.T) {
	l := chain(t, map[string]string{
		"i1.md": inspectionText("X-BEFORE", "X", "2024-01-31", ""),
		"i2.md": inspectionText("X-FIRST", "X", "2024-02-01", ""),
		"i3.md": inspectionText("X-LAST", "X", "2024-07-31", ""),
		"i4.md": inspectionText("X-AFTER", "X", "2024-08-01", ""),
		"i5.md": inspectionText("Y-IN", "Y", "2024-08-31", ""),
		"i6.md": inspectionText("Y-AFTER", "Y", "2024-09-01", ""),
		"i7.md": inspectionText("Z-IN", "Z", "2024-10-01", ""),
		"i8.md": inspectionText("C-CHECKED", "C", "2024-05-01", "checked_against = \"B\"\n"),
		"i9.md": inspectionText("C-ON-X", "C", "2024-05-02", "checked_against = \"X\"\n"),
		"id.md": inspectionText("C-AGAIN", "C", "2024-05-03", "checked_against = \"B\"\n"),
		"ie.md": inspectionText("NO-GAUGE", "NONE", "2024-05-03", "checked_against = \"B\"\n"),
		"if.md": inspectionText("X-TWICE", "X", "2024-05-03", "checked_against = \"B\"\n"),
		"ia.md": inspectionText("C-LATER", "C", "2024-12-02", "checked_against = \"B\"\n"),
	})
	sp := suspect(t, l, "B", "2025-01-01")
	assert.Equal(t, "no readings", sp.Tally().String())
	var got []string
	for _, g := range sp.Gauges {
		how := "on the day"
		if g.Check != nil {
			how = g.Check.On.String()
		}
		var ids []string
		for _, rec := range g.Inspections {
			ids = append(ids, rec.ID())
		}
		got = append(got, fmt.Sprintf("%d %s on %s %s: %d in %s", g.Level, g.Rec.ID(), g.Against.ID(), how, g.Readings, strings.Join(ids, " ")))
	}
	assert.Equal(t, []string{
		"1 X on B 2024-02-01: 6 in X-FIRST X-TWICE X-LAST", // once, under its calibration
		"1 C on B on the day: 4 in C-CHECKED C-AGAIN",
		"2 Y on X 2024-03-01: 2 in Y-IN",
		"2 C on X on the day: 2 in C-ON-X",
	}, got)
}

// TestSuspectCircle: two gauges that were compared with each other end the walk.
func TestSuspectCircle(t *testing.T) {
	l := chain(t, map[string]string{
		"b.md": "kind = \"gauge\"\nid = \"B\"\ntitle = \"B\"\ntype = \"m\"\n[[calibration]]\non = 2024-05-01\nresult = \"conforms\"\nagainst = \"X\"\n[[calibration]]\non = 2024-12-01\nresult = \"does not conform\"\nagainst = \"X\"\n",
		"x.md": "kind = \"gauge\"\nid = \"X\"\ntitle = \"X\"\ntype = \"m\"\n[[calibration]]\non = 2024-06-01\nresult = \"conforms\"\nagainst = \"B\"\n[[calibration]]\non = 2024-06-02\nresult = \"conforms\"\nagainst = \"X\"\n",
	})
	sp := suspect(t, l, "B", "2025-01-01")
	require.NotEmpty(t, sp.Gauges)
	assert.Equal(t, "X", sp.Gauges[0].Rec.ID())
}

// TestSuspectRests: changes, surveys and derived values that rest on readings.
func TestSuspectRests(t *testing.T) {
	l := chain(t, map[string]string{
		"i1.md": inspectionText("I1", "B", "2024-02-01", "temperature = \"20 C\"\n"),
		"i2.md": inspectionText("I2", "B", "2024-03-01", "state = \"doubtful\"\n"),
		"i3.md": inspectionText("I3", "C", "2024-03-02", ""),
		"i4.md": inspectionText("I4", "X", "2024-03-02", ""),
		"c1.md": "kind = \"change\"\nid = \"CH-1\"\ntitle = \"both sides\"\nstate = \"done\"\nopened = 2024-02-10\nbefore = \"I1\"\nafter = \"I2\"\nrechecked_by = \"I3\"\n",
		"c2.md": "kind = \"change\"\nid = \"CH-2\"\ntitle = \"one side\"\nstate = \"done\"\nbefore = \"I3\"\nafter = \"I4\"\nafter_roll_back = \"I1\"\n[[also]]\ncharacteristic = \"P/W\"\nbefore = \"I3\"\nafter = \"I2\"\n",
		"c3.md": "kind = \"change\"\nid = \"CH-3\"\ntitle = \"not touched\"\nstate = \"done\"\nbefore = \"I3\"\n",
		"c4.md": "kind = \"change\"\nid = \"CH-4\"\ntitle = \"cancelled\"\nstate = \"cancelled\"\nbefore = \"I1\"\n",
		"c5.md": "kind = \"change\"\nid = \"CH-5\"\ntitle = \"not opened\"\nstate = \"proposed\"\nopened = 2025-02-01\nbefore = \"I1\"\n",
		"f.md": "kind = \"fixture\"\nid = \"FX\"\ntitle = \"f\"\n[[station]]\nid = \"A\"\n[[station.locator]]\nid = \"P1\"\ntype = \"round pin\"\n" +
			"[[station.locator.survey]]\non = 2024-01-01\nsize = \"4\"\ngauge = \"B\"\n[[station.locator.survey]]\non = 2024-01-02\nsize = \"4\"\ngauge = \"B\"\n[[station.locator.survey]]\non = 2024-03-01\nsize = \"4\"\ngauge = \"X\"\n[[station.locator.survey]]\non = 2024-03-02\nsize = \"4\"\ngauge = \"C\"\n" +
			"[[derived]]\nname = \"warm\"\nformula = \"t - 1*dC\"\nwhere = { t = \"I1/temperature\" }\n" +
			"[[derived]]\nname = \"of survey\"\nformula = \"2*d\"\nwhere = { d = \"FX/A/P1/2024-03-01/size\" }\n" +
			"[[derived]]\nname = \"of that\"\nformula = \"2*d\"\nwhere = { d = \"FX/of survey\" }\n" +
			"[[derived]]\nname = \"of a good survey\"\nformula = \"2*d\"\nwhere = { d = \"FX/A/P1/2024-03-02/size\" }\n" +
			"[[derived]]\nname = \"broken\"\nformula = \"2*d\"\nwhere = { d = \"NO/THING\" }\n",
	})
	sp := suspect(t, l, "B", "2025-01-01")
	var got []string
	for _, c := range sp.Changes {
		for _, u := range c.Uses {
			got = append(got, fmt.Sprintf("%s %s = %s by %s noted %t cancels %t", c.Rec.ID(), u.Key, u.Inspection.ID(), u.Through.ID(), u.Noted, u.Cancels))
		}
	}
	assert.Equal(t, []string{
		"CH-1 before = I1 by B noted false cancels true",
		"CH-1 after = I2 by B noted true cancels true",
		"CH-2 after = I4 by X noted false cancels false",
		"CH-2 after_roll_back = I1 by B noted false cancels false",
		"CH-2 also.after = I2 by B noted true cancels false",
	}, got)
	got = nil
	for _, sv := range sp.Surveys {
		got = append(got, sv.Path+" "+sv.Survey.On.String()+" "+sv.Through.ID())
	}
	assert.Equal(t, []string{"FX/A/P1 2024-01-02 B", "FX/A/P1 2024-03-01 X"}, got)
	got = nil
	for _, d := range sp.Derived {
		got = append(got, d.Derived.Path()+" <- "+d.Path)
	}
	assert.Equal(t, []string{"FX/warm <- I1/temperature", "FX/of survey <- FX/A/P1/2024-03-01/size", "FX/of that <- FX/of survey"}, got)
}

// TestTally: what is counted is said, and nothing else.
func TestTally(t *testing.T) {
	for _, c := range []struct {
		tally study.Tally
		want  string
	}{
		{study.Tally{}, "no readings"},
		{study.Tally{Readings: 1, Cleared: 1}, "1 reading: 1 cleared"},
		{study.Tally{Readings: 7, Cleared: 5, Doubtful: 2}, "7 readings: 5 cleared, 2 doubtful"},
		{study.Tally{Readings: 1, Resting: 1}, "1 reading rests on it"},
		{study.Tally{Readings: 9, Resting: 9}, "9 readings rest on it"},
		{study.Tally{Readings: 9, Outside: 1, Resting: 1, Unclassified: 2, Void: 2, SetUp: 2, Reference: 1}, "9 readings: 1 outside, 1 rests on it, 2 not classified, 2 void, 2 set-up, 1 reference"},
	} {
		assert.Equal(t, c.want, c.tally.String())
		assert.Equal(t, c.tally, c.tally.Plus(study.Tally{}))
	}
}
