package quantity

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParseInterval(t *testing.T) {
	for _, c := range []struct {
		text  string
		want  Interval
		shown string
	}{
		{"12 months", Interval{Months: 12}, "1 year"},
		{"18 months", Interval{Months: 18}, "18 months"},
		{"1 month", Interval{Months: 1}, "1 month"},
		{"90 days", Interval{Days: 90}, "90 days"},
		{"2 years", Interval{Months: 24}, "2 years"},
		{"6 weeks", Interval{Days: 42}, "6 weeks"},
		{"1day", Interval{Days: 1}, "1 day"},
	} {
		i, err := ParseInterval(c.text)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.want, i, c.text)
		assert.Equal(t, c.shown, i.String())
		again, err := ParseInterval(i.String())
		require.NoError(t, err)
		assert.Equal(t, i, again)
	}
	assert.Equal(t, "1 month and 3 days", Interval{1, 3}.String())
	assert.Equal(t, "0 months", Interval{}.String())
	for text, column := range map[string]int{"": 1, "12": 3, "0 days": 1, "-1 day": 1, "1.5 years": 1, "3 in": 3, "12 months x": 11, "101 years": 1, "99999 days": 1, "99999999999999999999 days": 1, "six weeks": 1, "1 s": 3, "2 dayss": 3} {
		_, err := ParseInterval(text)
		var p *ParseError
		require.ErrorAs(t, err, &p, text)
		assert.Equal(t, column, p.Column, "%v", err)
	}
}

// Calendar facts: lengths of months, leap years of the Gregorian calendar.
func TestIntervalAfter(t *testing.T) {
	for _, c := range []struct{ from, interval, want string }{
		{"2024-01-31", "1 month", "2024-02-29"},
		{"2023-01-31", "1 month", "2023-02-28"},
		{"2024-02-29", "1 year", "2025-02-28"},
		{"2024-02-29", "4 years", "2028-02-29"},
		{"2000-02-29", "100 years", "2100-02-28"},
		{"2024-03-31", "6 months", "2024-09-30"},
		{"2024-03-11", "12 months", "2025-03-11"},
		{"2024-12-15", "2 months", "2025-02-15"},
		{"2024-02-28", "2 days", "2024-03-01"},
		{"2023-12-01", "90 days", "2024-02-29"},
		{"2024-10-07", "1 week", "2024-10-14"},
	} {
		from, err := time.Parse(time.DateOnly, c.from)
		require.NoError(t, err)
		i, err := ParseInterval(c.interval)
		require.NoError(t, err)
		assert.Equal(t, c.want, i.After(from).Format(time.DateOnly), "%s and %s", c.from, c.interval)
	}
}

func TestIntervalKeepsClockAndOrder(t *testing.T) {
	zone := time.FixedZone("test", -5*3600)
	rapid.Check(t, func(t *rapid.T) {
		from := time.Date(2000, 1, 1+rapid.IntRange(0, 20_000).Draw(t, "day"), 13, 14, 15, 16, zone)
		i := Interval{Months: rapid.IntRange(0, 60).Draw(t, "months"), Days: rapid.IntRange(0, 400).Draw(t, "days")}
		to := i.After(from)
		assert.Equal(t, from.Location(), to.Location())
		h, m, s := to.Clock()
		assert.Equal(t, []int{13, 14, 15, 16}, []int{h, m, s, to.Nanosecond()})
		assert.False(t, to.Before(from))
		assert.False(t, i.After(from.AddDate(0, 0, 1)).Before(to), "a later start is never due earlier")
	})
}
