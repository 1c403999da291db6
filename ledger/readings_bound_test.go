package ledger

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An inspection that holds more than is read is one problem, and none of it is
// read: half of the readings would be a wrong answer.
func TestReadingsAreBounded(t *testing.T) {
	head := "+++\nkind = \"inspection\"\nid = \"IN-1\"\ntitle = \"t\"\n"
	cells := func(n int) string { return strings.TrimSuffix(strings.Repeat("1,", n), ",") + "\n" }
	for _, tc := range []struct {
		name, keys, table, want string
		rows                    int
	}{
		{"as many as are read", `readings = "` + strings.Repeat("1 ", MaxPieces) + `"`, "", "", MaxPieces},
		{"one more", `readings = "` + strings.Repeat("1 ", MaxPieces+1) + `"`, "", "a.md:5:12: readings: 5001 entries; a list of more than 5000 is not read", 0},
		{"a list", `readings = [` + strings.Repeat("1,", MaxPieces+1) + `]`, "", "a.md:5:12: readings: 5001 entries; a list of more than 5000 is not read", 0},
		{"tables", strings.Repeat("[[reading]]\nvalues = 1\n", MaxPieces+1), "", "a.md:5:1: reading: 5001 entries; a list of more than 5000 is not read", 0},
		{"list and tables together", `readings = "` + strings.Repeat("1 ", MaxPieces) + "\"\n[[reading]]\nvalues = 1\n", "", "a.md:6:1: readings: more than 5000 pieces; an inspection of more is not read", 0},
		{"one piece", "[[reading]]\nvalues = \"" + strings.Repeat("1 ", MaxPoints+1) + "\"\n", "", "a.md:5:1: readings: more than 200 readings of one piece; more are not read", 0},
		{"names", "points = [" + strings.Repeat("\"K\",", MaxPieces+1) + "]\n", "", "a.md:5:10: points: 5001 entries; a list of more than 5000 is not read", 0},
		{"a table as long as is read", "", "KC\n" + strings.Repeat("1\n", MaxPieces), "", MaxPieces},
		{"a table one longer", "", "KC\n" + strings.Repeat("1\n", MaxPieces+1), "a.md:5:17: readings_from: t.csv line 5002: more than 5000 pieces; an inspection of more is not read", 0},
		{"a wide table", "", cells(MaxPoints + 1), "a.md:5:17: readings_from: t.csv line 1: more than 200 readings of one piece; more are not read", 0},
		{"as many readings as are read", "", strings.Repeat(cells(20), MaxReadings/20), "", MaxReadings / 20},
		{"too many readings", "", strings.Repeat(cells(20), MaxReadings/20) + "1\n", "a.md:5:17: readings_from: t.csv line 1001: more than 20000 readings; an inspection of more is not read", 0},
	} {
		text, files := head+tc.keys, map[string]string{}
		if tc.table != "" {
			text += "readings_from = \"t.csv\""
			files["t.csv"] = tc.table
		}
		files["a.md"] = text + "\n+++\n"
		l := load(t, files)
		got := ""
		if len(l.Problems) > 0 {
			got = listed(l)[0]
			assert.Len(t, l.Problems, 1, tc.name)
			assert.Contains(t, l.Problems[0].Fix, "split", tc.name)
		}
		assert.Equal(t, tc.want, got, tc.name)
		require.NotNil(t, l.Record("IN-1"), tc.name)
		assert.Len(t, l.Record("IN-1").Data.(*Inspection).Rows(), tc.rows, tc.name)
	}
	// Every list of every kind of record is bounded.
	for _, text := range []string{
		"+++\nkind = \"part\"\nid = \"P\"\ntitle = \"t\"\n" + strings.Repeat("[[feature]]\nid = \"H\"\n", MaxPieces+1),
		"+++\nkind = \"change\"\nid = \"C\"\ntitle = \"t\"\ntouches = [" + strings.Repeat("\"P\",", MaxPieces+1) + "]\n",
	} {
		l := loadOne(t, text+"+++\n")
		require.NotEmpty(t, l.Problems)
		assert.Contains(t, l.Problems[0].Msg, fmt.Sprintf("more than %d is not read", MaxPieces))
	}
}
