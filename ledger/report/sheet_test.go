package report

import (
	"errors"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/study"
)

func TestSheetsGolden(t *testing.T) {
	for _, path := range []string{"P-10", "A-01/KC-1", "FX1", "FX1/A", "FX1/A/P1", "G5", "G2", "T12", "PL-10", "IN-01A", "IN-06B", "CH-02", "P-10/largest clearance", "P-10/H1/size"} {
		for range 2 {
			sh, err := Record(shop(t), path)
			require.NoError(t, err, path)
			name := "sheet-" + strings.NewReplacer("/", "_", " ", "_").Replace(path)
			golden(t, name+".txt", printed(t, func(w io.Writer) error { return sh.WriteText(w, false) }))
			if path == "P-10" || strings.HasPrefix(path, "IN-01") || path == "FX1" || path == "FX1/A/P1" {
				continue // enough of a kind
			}
			golden(t, name+".json", printed(t, func(w io.Writer) error { return WriteJSON(w, sh) }))
		}
	}
}

func sheetText(t *testing.T, s *study.Set, path string, quiet bool) string {
	t.Helper()
	sh, err := Record(s, path)
	require.NoError(t, err)
	return printed(t, func(w io.Writer) error { return sh.WriteText(w, quiet) })
}

// A path to a value gives the value of the day, and piped nothing else.
func TestValueOnTheDay(t *testing.T) {
	s := shop(t)
	old := study.New(s.L, time.Date(2024, 3, 10, 0, 0, 0, 0, time.UTC))
	for path, want := range map[string][2]string{
		"FX1/A/P1/size":                {"0.1873 in\n", "0.1872 in\n"},
		"P-10/H1/size":                 {"0.1875 +0.0005/-0 in\n", "0.1875 +0.0010/-0 in\n"},
		"P-10/HOLE/limits":             {"0.1875 +0.0005/-0 in\n", "0.1875 +0.0010/-0 in\n"},
		"T12/life":                     {"40 parts\n", "90 parts\n"},
		"FX1/A/P1/2024-03-11/off/x":    {"0.5 tenths\n", "0.5 tenths\n"},
		"P-10/H2/at/x":                 {"2.4000 ±0.0005 in\n", "2.4000 ±0.0005 in\n"},
		"P-10/largest clearance/value": {"0.0004 in\n", "0.0009 in\n"},
	} {
		assert.Equal(t, want[0], sheetText(t, s, path, true), path)
		assert.Equal(t, want[1], sheetText(t, old, path, true), path)
	}
	assert.Contains(t, sheetText(t, s, "FX1/A/P1/size", false), "since 2024-03-11, before that 0.1872 in")
	sh, err := Record(s, "P-10/H1/size")
	require.NoError(t, err)
	assert.Equal(t, "0.1880", sh.Value.Upper.Plain())
	assert.Equal(t, "2024-05-20", sh.Value.Since)
}

func TestSheetOfNothing(t *testing.T) {
	_, err := Record(shop(t), "FX1/A/P9")
	var nf *ledger.NotFound
	require.True(t, errors.As(err, &nf))
	assert.Equal(t, "P9", nf.Part)
}

// ISO 14253-1: inside by U conforms, outside by more than U does not, between
// them it is doubtful. Limits 1.5000 ±0.0010 in, U 0.00015 in.
func TestInspectionZones(t *testing.T) {
	text := sheetText(t, shop(t), "IN-06B", false)
	for _, want := range []string{"1.5007 in   1.5007 in   inside  conforms", "1.5009 in   1.5009 in   inside  doubtful: nearer to the limit than U",
		"1.5011 in   1.5011 in   above   doubtful: outside by less than U", "1.5012 in   1.5012 in   above   does not conform"} {
		assert.Contains(t, text, want)
	}
	assert.Contains(t, sheetText(t, shop(t), "IN-02B", false), "8 tenths    0.1883 in", "full value of a deviation")
}

// The plan names what does not fit, and only that.
func TestPlanOddities(t *testing.T) {
	sh, err := Record(shop(t), "PL-10")
	require.NoError(t, err)
	var odd []string
	for _, s := range sh.Sections {
		if s.Name != "does it hold together" {
			continue
		}
		for _, r := range s.Rows {
			odd = append(odd, r[0].Text+": "+r[2].Text)
		}
	}
	assert.Equal(t, []string{
		"order: OP40 locates on H1 and H2, which only OP30 makes, later",
		"order: an order that holds: move OP30 to the front",
		"checks: no operation checks TAPER, EDGE and WIDTH: a bad part leaves unseen",
		"checks: no operation checks HOLE and the place of H2, made in OP30: a bad part leaves unseen",
		`tools: OP50 finishes with T13, whose role is "roughing"`,
	}, odd)
}

// Control characters of a ledger never reach a terminal.
func TestTextForTerminals(t *testing.T) {
	for _, s := range []string{"a\x1b[2Jb", "a\rb", "a\u009bb", "a\u202eb", "a\nb"} {
		got := line(s)
		assert.NotContains(t, got, "\x1b")
		for _, r := range got {
			assert.True(t, r >= ' ' && r != 0x9b && r != 0x202e, "%q", got)
		}
	}
	assert.Equal(t, "12.5 °C … −3", line("12.5 °C … −3"))
}
