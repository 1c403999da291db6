package study_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/study"
)

// TestGaugeStanding follows gauges through their lives. The states are those
// of ISO 10012 and of trade tags; a check is valid through the day on which
// the next one is due.
func TestGaugeStanding(t *testing.T) {
	head := "kind = \"gauge\"\nid = \"G\"\ntitle = \"micrometer\"\ntype = \"micrometer\"\n"
	good := "[[calibration]]\non = 2024-06-03\nresult = \"conforms\"\n"
	for _, c := range []struct {
		name, gauge, day string
		want             study.Standing
		last, due        string
	}{
		{"valid on the day of the check", good, "2024-06-03", study.Valid, "2024-06-03", "2025-06-03"},
		{"valid through the last day", good, "2025-06-03", study.Valid, "2024-06-03", "2025-06-03"},
		{"overdue the day after", good, "2025-06-04", study.Overdue, "2024-06-03", "2025-06-03"},
		{"never checked by then", good, "2024-06-02", study.NeverChecked, "", ""},
		{"an interval of its own", "interval = \"6 months\"\n" + good, "2024-12-04", study.Overdue, "2024-06-03", "2024-12-03"},
		{"a due day of its own", "[[calibration]]\non = 2024-06-03\ndue = 2024-07-01\nresult = \"conforms\"\n", "2024-07-02", study.Overdue, "2024-06-03", "2024-07-01"},
		{"the last check counts, whatever the order", "[[calibration]]\non = 2025-06-01\nresult = \"conforms\"\n" + good, "2025-06-04", study.Valid, "2025-06-01", "2026-06-01"},
		{"failed", good + "[[calibration]]\non = 2025-03-03\nresult = \"does not conform\"\nas_found = \"-0.0003 in\"\n", "2025-03-04", study.Failed, "2025-03-03", ""},
		{"good until it was found to have failed", good + "[[calibration]]\non = 2025-03-03\nresult = \"does not conform\"\nas_found = \"-0.0003 in\"\n", "2025-03-02", study.Valid, "2024-06-03", "2025-06-03"},
		{"adjusted at the check", good + "[[calibration]]\non = 2025-03-03\nresult = \"does not conform\"\nas_found = \"-0.0003 in\"\nas_left = \"0 in\"\n", "2025-03-04", study.Valid, "2025-03-03", "2026-03-03"},
		{"reference only", "state = \"reference only\"\n" + good, "2026-06-03", study.ReferenceOnly, "2024-06-03", ""},
		{"not yet in service", "since = 2024-07-01\n" + good, "2024-06-30", study.OutOfService, "", ""},
		{"in service from its first day", "since = 2024-07-01\n" + good, "2024-07-01", study.Valid, "2024-06-03", "2025-06-03"},
		{"in service to its last day", "until = 2025-03-10\n" + good, "2025-03-10", study.Valid, "2024-06-03", "2025-06-03"},
		{"out of service", "until = 2025-03-10\n" + good, "2025-03-11", study.OutOfService, "", ""},
	} {
		l := loadTexts(t, map[string]string{"g.md": head + c.gauge})
		s := study.New(l, on(t, "2026-12-31"))
		standing, last, due := s.StandingOn(l.Record("G").Data.(*ledger.Gauge), on(t, c.day))
		assert.Equal(t, c.want, standing, c.name)
		if c.last == "" {
			assert.Nil(t, last, c.name)
		} else if assert.NotNil(t, last, c.name) {
			assert.Equal(t, c.last, last.On.String(), c.name)
		}
		if c.due == "" {
			assert.True(t, due.IsZero(), c.name)
		} else {
			assert.Equal(t, c.due, due.Format(time.DateOnly), c.name)
		}
	}
}

// gauging gives the study of one inspection of a width 1.5000 ±0.0010 in.
func gauging(t *testing.T, asOf, gauge, inspection string) *study.Gauging {
	t.Helper()
	l := loadTexts(t, map[string]string{
		"g.md": "kind = \"gauge\"\nid = \"G\"\ntitle = \"micrometer\"\ntype = \"micrometer\"\n" + gauge,
		"b.md": "kind = \"gauge\"\nid = \"G7\"\ntitle = \"blocks\"\ntype = \"gauge blocks\"\n[[calibration]]\non = 2023-11-06\ndue = 2026-11-06\nresult = \"conforms\"\n",
		"p.md": "kind = \"part\"\nid = \"P\"\ntitle = \"p\"\n[[characteristic]]\nid = \"W\"\nlimits = \"1.5000 ±0.0010\"\n[[characteristic.was]]\nuntil = 2024-01-01\nlimits = \"1.5000 ±0.0020\"\n[[characteristic]]\nid = \"step\"\nlimits = \"<= 0.0010\"\n",
		"i.md": "kind = \"inspection\"\nid = \"I\"\ntitle = \"i\"\nreadings = \"1.5\"\n" + inspection,
	})
	return study.New(l, on(t, asOf)).Gauging(l.Record("I"))
}

// TestGaugingRescue: a check after the readings that found the gauge good
// before any adjustment shows that it was good on the day.
func TestGaugingRescue(t *testing.T) {
	first := "[[calibration]]\non = 2023-06-03\nresult = \"conforms\"\n"
	in := "on = 2024-07-15\ngauge = \"G\"\ncharacteristic = \"P/W\"\n"
	for _, c := range []struct {
		name, asOf, gauge string
		rescued           bool
	}{
		{"overdue", "2025-11-25", first, false},
		{"found good later", "2025-11-25", first + "[[calibration]]\non = 2024-09-01\nresult = \"conforms\"\n", true},
		{"found good, but only after the day asked for", "2024-08-31", first + "[[calibration]]\non = 2024-09-01\nresult = \"conforms\"\n", false},
		{"found bad first", "2025-11-25", first + "[[calibration]]\non = 2024-09-01\nresult = \"does not conform\"\nas_left = \"0 in\"\n[[calibration]]\non = 2024-10-01\nresult = \"conforms\"\n", false},
		{"doubtful", "2025-11-25", first + "[[calibration]]\non = 2024-09-01\nresult = \"doubtful\"\n", false},
	} {
		g := gauging(t, c.asOf, c.gauge, in)
		require.NotNil(t, g, c.name)
		assert.Equal(t, study.Overdue, g.Standing, c.name)
		assert.Equal(t, c.rescued, g.Rescue != nil, c.name)
		assert.False(t, g.CheckedSameDay, c.name)
	}
	assert.True(t, gauging(t, "2025-11-25", first, in+"checked_against = \"G7\"\n").CheckedSameDay)
	assert.Nil(t, gauging(t, "2025-11-25", first, "gauge = \"G\"\n"), "no day")
	assert.Nil(t, gauging(t, "2025-11-25", first, "on = 2024-07-15\n"), "no gauge")
	assert.Nil(t, gauging(t, "2025-11-25", first, "on = 2024-07-15\ngauge = \"P\"\n"), "no gauge record")
}

// TestGaugingRatios by hand: T = 0.0020 in (0.0040 in before 2024), count
// 0.0001 in, U 0.00015 in. Exact, also across units: 0.002 mm is a U of
// 1/12700 in.
func TestGaugingRatios(t *testing.T) {
	for _, c := range []struct {
		gauge, in       string
		perCount, ratio string
	}{
		{"resolution = \"0.0001\"\nuncertainty = \"0.00015\"\n", "on = 2024-07-15\ncharacteristic = \"P/W\"\n", "20", "20/3"},
		{"resolution = \"0.0001\"\nuncertainty = \"0.00015\"\n", "on = 2023-12-31\ncharacteristic = \"P/W\"\n", "40", "40/3"},
		{"resolution = \"0.00254 mm\"\nuncertainty = \"0.002 mm\"\n", "on = 2024-07-15\ncharacteristic = \"P/W\"\n", "20", "127/10"},
		{"resolution = \"0.0001\"\n", "on = 2024-07-15\ncharacteristic = \"P/W\"\n", "20", ""},
		{"resolution = \"1 ozf\"\nuncertainty = \"0.00015\"\n", "on = 2024-07-15\ncharacteristic = \"P/W\"\n", "", "20/3"},
		{"resolution = \"0.0001\"\nuncertainty = \"0.00015\"\n", "on = 2024-07-15\ncharacteristic = \"P/step\"\n", "", ""},
		{"resolution = \"0.0001\"\nuncertainty = \"0.00015\"\n", "on = 2024-07-15\n", "", ""},
	} {
		g := gauging(t, "2025-11-25", c.gauge, c.in+"gauge = \"G\"\n")
		require.NotNil(t, g)
		got := [2]string{}
		if g.PerCount != nil {
			got[0] = g.PerCount.RatString()
		}
		if g.Ratio != nil {
			got[1] = g.Ratio.RatString()
		}
		assert.Equal(t, [2]string{c.perCount, c.ratio}, got, c.gauge+c.in)
	}
}

func TestIsAttribute(t *testing.T) {
	for text, want := range map[string]bool{
		"type = \"limit plug\"": true, "type = \"pin set\"": true, "type = \"Plug gauge\"": true, "type = \"ring\"": true, "type = \"snap gauge\"": true,
		"type = \"own\"\ngo = \"0.1875\"": true, "type = \"own\"\nnot_go = \"0.1880\"": true,
		"type = \"micrometer\"": false, "type = \"indicator\"": false, "type = \"bore gauge\"": false,
	} {
		l := loadTexts(t, map[string]string{"g.md": "kind = \"gauge\"\nid = \"G\"\ntitle = \"g\"\n" + text + "\n"})
		assert.Equal(t, want, study.IsAttribute(l.Record("G").Data.(*ledger.Gauge)), text)
	}
}
