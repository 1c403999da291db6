package report

import (
	"io"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger/study"
)

func TestDueGolden(t *testing.T) {
	s := shop(t)
	for range 2 {
		items := Due(s, 60)
		golden(t, "due.txt", printed(t, func(w io.Writer) error { return WriteDueText(w, s, 60, items) }))
		golden(t, "due.json", printed(t, func(w io.Writer) error { return WriteDueJSON(w, s, 60, items) }))
	}
	early := study.New(s.L, time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC))
	assert.Contains(t, printed(t, func(w io.Writer) error { return WriteDueText(w, early, 0, nil) }), "Nothing falls due within 0 days of 2020-01-01.")
}

func TestDue(t *testing.T) {
	got := map[string]DueItem{}
	var days []string
	for _, it := range Due(shop(t), 60) {
		got[it.Record+" "+it.Kind] = it
		if it.On != "" {
			days = append(days, it.On)
		}
	}
	assert.IsIncreasing(t, days)
	for key, want := range map[string]struct {
		on, standing string
		days         int
	}{
		"G5 calibration":  {"2025-06-03", "overdue", -175},
		"G2 calibration":  {"2025-05-20", "overdue", -189},
		"G3 calibration":  {"2025-12-20", "due", 25}, // its own day, not the interval
		"G8 calibration":  {"", "never", 0},
		"CH-01 re-check":  {"2024-09-01", "overdue", -450},
		"CH-05 re-check":  {"2026-01-10", "due", 46},
		"P-10 concession": {"2025-12-24", "due", 29},
		"T12 tool":        {"", "near", 0},
	} {
		require.Contains(t, got, key)
		it := got[key]
		assert.Equal(t, want.on, it.On, key)
		assert.Equal(t, want.standing, it.Standing, key)
		assert.Equal(t, want.days, it.Days, key)
		assert.NotEmpty(t, it.File)
		assert.Positive(t, it.Line)
		delete(got, key)
	}
	// G4 is good for 24 months, G9 is for reference only, T13 is a rougher, and
	// CH-03 was undone.
	assert.Empty(t, got)
	for _, it := range Due(shop(t), 10) {
		assert.NotEqual(t, "G3", it.Record, "later than asked for")
	}
}
