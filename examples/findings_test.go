package examples

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
	"tenths/lint"
	"tenths/lint/rules"
)

// planted is the exact list of findings of both demo shops on 2025-11-25:
// every planted error at the value itself, and nothing else.
var planted = map[string][]string{
	"focuser": {
		"changes/2025/CH-05.md:16:9 note gauge-changed",
		"changes/2025/CH-05.md:16:9 note too-few-parts",
		"changes/2025/CH-07-A.md:27:13 error work-lead",
		"changes/2025/CH-08.md:19:17 warning confounded",
		"changes/2025/CH-09.md:14:10 note private-in-public",
		"fixtures/FX1-B0.md:34:18 error relief-direction",
		"fixtures/FX1.md:35:9 warning derived-stale",
		"gauges/G3.md:40:18 warning gauge-not-there",
		"inspections/2024/IN-2024-04-18.md:13:33 error units-mixed",
		"inspections/2024/IN-2024-06-20.md:15:37 error passed-outside",
		"inspections/2024/IN-2024-07-03.md:13:23 warning value-impossible",
		"inspections/2025/IN-2025-02-02.md:10:9 warning gauge-overdue",
		"inspections/older/IN-OLD-1.md:1:1 warning reading-incomplete",
		"photos/IMG_2207.png:1:1 note photo-orphan",
		"plans/PL-10-B.md:54:11 error superseded-in-plan",
		"plans/PL-10-B.md:63:11 error locator-feature-altered",
		"plans/PL-10-L38.md:35:10 warning worn-finisher",
		"tools/T13b.md:3:6 error id-taken",
	},
	"instruments": {
		"fixtures/VX2.md:73:8 warning opposite-faces",
		"fixtures/VX3.md:28:8 error units-mixed",
		"inspections/IN-2025-10-21.md:19:27 error units-mixed",
	},
}

// conceded is the exact list of findings that a concession silences.
var conceded = map[string][]string{
	"focuser": {
		"inspections/2025/IN-2025-01-24.md:11:9 warning gauge-coarse",
		"inspections/2025/IN-2025-10-09.md:10:9 warning gauge-coarse",
	},
	"instruments": nil,
}

func lintDemo(t *testing.T, demo string) *lint.Result {
	t.Helper()
	src, err := source.Dir(demo)
	require.NoError(t, err)
	l, err := ledger.Load(src)
	require.NoError(t, err)
	res, err := lint.Run(l, study.New(l, time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC)), rules.All(), lint.Options{})
	require.NoError(t, err)
	return res
}

func TestPlantedErrors(t *testing.T) {
	for demo, want := range planted {
		t.Run(demo, func(t *testing.T) {
			res := lintDemo(t, demo)
			assert.Equal(t, want, places(res.Findings))
			assert.Equal(t, conceded[demo], places(res.Conceded))
		})
	}
}

func places(list []lint.Finding) []string {
	var out []string
	for _, f := range list {
		out = append(out, fmt.Sprintf("%s:%d:%d %s %s", f.File, f.Start.Line, f.Start.Column, f.Severity, f.Rule))
	}
	return out
}
