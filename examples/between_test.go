package examples

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger/study"
	"tenths/lint"
	"tenths/lint/rules"
)

// TestBetweenWeldAndSurvey looks at the weld and skim of CH-07 on the days between: the
// weld of 2025-07-11 until the survey of all stations on the 14th, and the skim of
// that day until Z was corrected on the 16th. The numbers are those of the invented
// story: seat 1.5000 to 1.4940, pins of D from (1, 1)(0, -1) to (1, 3)(1, -4) tenths.
func TestBetweenWeldAndSurvey(t *testing.T) {
	l := load(t, "focuser")
	for _, c := range []struct {
		day  string
		want map[string][]string // by rule: what each message must say
	}{
		{"2025-07-10", nil},
		{"2025-07-12", map[string][]string{"heat-unsurveyed": {"P1 and P2 of stations A, B, C and D and the height of the seat (last 1.5000 in on 2021-05-03)"}}},
		{"2025-07-15", map[string][]string{"setup-behind": {
			"is 0.0060 in lower since 2025-07-14 (1.5000 in, then 1.4940 in), and the offsets of stations A, B and D",
			"P1 has moved by 0 tenths in x and 2 tenths in y between 2021-05-03 and 2025-07-14 (U 1 tenths); P2 has moved by 1 tenths in x and -3 tenths in y",
		}}},
		{"2025-07-16", nil},
		{"2025-11-25", nil},
	} {
		t.Run(c.day, func(t *testing.T) {
			day, err := time.Parse(time.DateOnly, c.day)
			require.NoError(t, err)
			watched := []*lint.Rule{rules.Find("heat-unsurveyed"), rules.Find("setup-behind"), rules.Find("refit-unchecked")}
			res, err := lint.Run(l, study.New(l, day), watched, lint.Options{})
			require.NoError(t, err)
			got := map[string][]lint.Finding{}
			for _, f := range res.Findings {
				got[f.Rule] = append(got[f.Rule], f)
			}
			require.Len(t, got, len(c.want))
			for rule, words := range c.want {
				require.Len(t, got[rule], len(words), rule)
				for i, w := range words {
					assert.Contains(t, got[rule][i].Message, w)
				}
			}
		})
	}
}
