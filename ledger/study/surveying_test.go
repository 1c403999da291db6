package study_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

func TestSurveyDue(t *testing.T) {
	const head = "+++\nkind = \"fixture\"\nid = \"FX1\"\ntitle = \"t\"\n"
	const pins = "[[station]]\nid = \"A\"\n[[station.locator]]\nid = \"P1\"\ntype = \"round pin\"\n[[station.locator.survey]]\non = 2025-01-31\n[[station.locator.survey]]\non = 2024-01-10\n" +
		"[[station.locator]]\nid = \"P2\"\ntype = \"relieved pin\"\n[[station.locator.survey]]\non = 2024-11-30\n[[station.locator]]\nid = \"R\"\ntype = \"rest\"\n"
	for _, tc := range []struct {
		name, config, keys, asOf, last, due string
		wanted                              bool
	}{
		{"the pin that waits longest counts", "survey_interval = \"3 months\"\n", pins, "2025-06-01", "2024-11-30", "2025-02-28", true},
		{"the fixture's own interval", "survey_interval = \"3 months\"\n", "survey_interval = \"1 year\"\n" + pins, "2025-06-01", "2024-11-30", "2025-11-30", true},
		{"a survey of later does not count yet", "survey_interval = \"3 months\"\n", pins, "2024-12-24", "2024-01-10", "2024-04-10", true},
		{"a pin that was re-made since", "survey_interval = \"3 months\"\n", pins + "[[station.locator]]\nid = \"P3\"\ntype = \"round pin\"\n[[station.locator.survey]]\non = 2024-01-01\n[[station.locator.was]]\nuntil = 2025-01-01\n", "2025-06-01", "", "", true},
		{"no interval", "", pins, "2025-06-01", "", "", false},
		{"out of use", "survey_interval = \"3 months\"\n", "state = \"superseded\"\n" + pins, "2025-06-01", "", "", false},
		{"no pins", "survey_interval = \"3 months\"\n", "[[station]]\nid = \"A\"\n", "2025-06-01", "", "", false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			l, err := ledger.Load(source.Map(map[string]string{ledger.ConfigName: "units = \"in\"\n" + tc.config, "f.md": head + tc.keys + "+++\n"}))
			require.NoError(t, err)
			require.Empty(t, l.Problems)
			asOf, err := time.Parse(time.DateOnly, tc.asOf)
			require.NoError(t, err)
			fx := l.Record("FX1").Data.(*ledger.Fixture)
			last, due, wanted := study.New(l, asOf).SurveyDue(fx, &fx.Stations[0])
			assert.Equal(t, tc.wanted, wanted)
			if tc.last == "" {
				assert.True(t, last.IsZero() || !wanted)
				return
			}
			assert.Equal(t, tc.last, last.Format(time.DateOnly))
			assert.Equal(t, tc.due, due.Format(time.DateOnly))
		})
	}
}
