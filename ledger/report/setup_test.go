package report

import (
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger/study"
)

// bracket is an invented shop whose plan has something of everything.
func bracket(t *testing.T) *study.Set {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", "bracket.txtar"))
	require.NoError(t, err)
	files := map[string]string{}
	for _, f := range txtar.Parse(text).Files {
		files[f.Name] = string(f.Data)
	}
	return setOf(t, files)
}

func setupsOf(t *testing.T, operation string) *SetupSheets {
	t.Helper()
	s := bracket(t)
	sheets, err := Setups(s, s.L.Record("PL-1"), operation, 0)
	require.NoError(t, err)
	return sheets
}

func TestSetupSheets(t *testing.T) {
	sheets := setupsOf(t, "")
	golden(t, "setup.md", printed(t, sheets.WriteMarkdown))
	golden(t, "setup.json", printed(t, func(w io.Writer) error { return WriteJSON(w, sheets) }))
	page := printed(t, sheets.WriteHTML)
	checkPage(t, page)
	assert.Equal(t, 3, strings.Count(page, `<article class="setup"`))
	assert.Contains(t, setupStyle, "break-after:page", "each operation begins a printed page")
	assert.Contains(t, page, "bead &lt;flush&gt; on")
}

// TestCautionsStandBefore: on every form of the sheet each caution comes before the
// words of its step, and none behind it (ANSI Z535.6 puts them before the step, from
// memory).
func TestCautionsStandBefore(t *testing.T) {
	sheets := setupsOf(t, "OP30")
	for name, text := range map[string]string{"md": printed(t, sheets.WriteMarkdown), "html": printed(t, sheets.WriteHTML)} {
		at := 0
		for _, want := range []string{
			"eye protection on", "clamp the foot", "eyes and skin", "fire watch 30 min", "work lead on the bracket", "two tacks",
			"eyes", "usual for grinding and not written in the plan: guard and rest gaps; ring test", "dress the bead",
		} {
			k := strings.Index(text[at:], want)
			require.GreaterOrEqual(t, k, 0, "%s: %q in its place", name, want)
			at += k
		}
		assert.NotContains(t, text[at:], "fume", name)
		assert.Contains(t, text[at:], "licensed practice decide", name)
		assert.NotRegexp(t, regexp.MustCompile(`(?i)\b(safe|safely|harmless|no danger|without risk)\b`), text[strings.Index(text, "Tack the foot"):], name)
	}
}

func TestSetupOfOneOperation(t *testing.T) {
	assert.Len(t, setupsOf(t, "OP20").Pages, 1)
	s := bracket(t)
	_, err := Setups(s, s.L.Record("PL-1"), "OP99", 0)
	require.EqualError(t, err, "PL-1 has no operation OP99; it has OP10, OP20 and OP30")
	_, err = Setups(s, s.L.Record("F1"), "", 0)
	require.EqualError(t, err, "F1 is a fixture, and sheets are printed of a plan")
}

// TestBatchOfTheCaller: 10 parts are left of T1, so a batch of 24 changes before part 11
// and one of 8 does not.
func TestBatchOfTheCaller(t *testing.T) {
	s := bracket(t)
	for pieces, want := range map[int]string{0: "change before part 11", 8: "10 left; lasts for 8", 60: "change before part 11; change before part 51"} {
		sheets, err := Setups(s, s.L.Record("PL-1"), "OP10", pieces)
		require.NoError(t, err)
		row := sheets.Pages[0].Tools[0]
		assert.Equal(t, want, row[len(row)-1].Text)
	}
}

// TestLimitsInTheUnitOfTheShop: 25.40 ±0.05 mm is 0.9980 to 1.0020 in, as finely as it
// was written.
func TestLimitsInTheUnitOfTheShop(t *testing.T) {
	row := setupsOf(t, "OP30").Pages[0].Checks[0]
	assert.Equal(t, "0.9980 in", row[2].Text)
	assert.Equal(t, "1.0020 in", row[3].Text)
}

func TestRestart(t *testing.T) {
	s := bracket(t)
	list, err := Restart(s, s.L.Record("PL-1"), time.Time{})
	require.NoError(t, err)
	golden(t, "restart.txt", printed(t, list.WriteText))
	golden(t, "restart.json", printed(t, func(w io.Writer) error { return WriteJSON(w, list) }))
	assert.Equal(t, 225, list.Days, "from 2025-04-14 to 2025-11-25")
	for _, it := range list.Items {
		assert.NotEmpty(t, it.Why, it.What)
		assert.NotEmpty(t, it.Source, it.What)
		assert.Positive(t, it.Line, it.What)
	}
	// The order is that in which the plan needs them.
	rank := map[string]int{"": 0, "OP10": 1, "OP20": 2, "OP30": 3}
	for i, it := range list.Items[1:] {
		assert.GreaterOrEqual(t, rank[it.Operation], rank[list.Items[i].Operation], it.What)
	}
}

// TestRestartAfterYears asks for the whole drawing again.
func TestRestartAfterYears(t *testing.T) {
	s := bracket(t)
	list, err := Restart(s, s.L.Record("PL-1"), s.AsOf.AddDate(-3, 0, 0))
	require.NoError(t, err)
	assert.Contains(t, list.Items[len(list.Items)-1].What, "every limit of the drawing")
	_, err = Restart(s, s.L.Record("F1"), time.Time{})
	require.EqualError(t, err, "F1 is a fixture, and a restart is listed for a plan")
}
