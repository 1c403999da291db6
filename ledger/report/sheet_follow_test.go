package report

import (
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/study"
)

// wearing is a shop with a finisher that wears: counts and widths over 1.5000 in
// of one cutter, read by one person and the last lot by two.
func wearing(t *testing.T, tool string) *study.Set {
	t.Helper()
	var readings strings.Builder
	for i, w := range []int{0, 1, 3, 2, 4, 4, 5, 5, 6, 7, 7, 8} {
		fmt.Fprintf(&readings, "[[reading]]\npiece = \"%d\"\nat_count = \"%d parts\"\nvalues = \"%+d\"\n", i+1, 1+8*i, w)
	}
	lot := func(id, who, values string) string {
		return fmt.Sprintf("+++\nkind = \"inspection\"\nid = %q\ntitle = \"widths\"\non = 2025-05-02\nlot = \"L-9\"\ngauge = \"G\"\nby = %q\ncharacteristic = \"P/W\"\ndeviation_in = \"tenths\"\nreadings = %q\n+++\n", id, who, values)
	}
	return setOf(t, map[string]string{
		ledger.ConfigName: "units = \"in\"\n",
		"t.md":            "+++\nkind = \"tool\"\nid = \"T\"\ntitle = \"Finisher <b>\"\nrole = \"finishing\"\nstate = \"in use\"\n" + tool + "+++\n",
		"p.md":            "+++\nkind = \"part\"\nid = \"P\"\ntitle = \"Plate\"\n[[feature]]\nid = \"E\"\ntype = \"edge\"\ntool = \"T\"\n[[characteristic]]\nid = \"W\"\ntitle = \"Width\"\nlimits = \"1.5000 ±0.0010\"\ngoal = \"1.5000 ±0.0005\"\nfeatures = [\"E\"]\n+++\n",
		"g.md":            "+++\nkind = \"gauge\"\nid = \"G\"\ntitle = \"Micrometer\"\ntype = \"micrometer\"\nresolution = \"0.0001\"\nuncertainty = \"0.0001\"\n[[calibration]]\non = 2025-01-06\nresult = \"conforms\"\nas_found = \"0\"\n+++\n",
		"i.md":            "+++\nkind = \"inspection\"\nid = \"I\"\ntitle = \"widths\"\non = 2025-03-28\nlot = \"L-8\"\ngauge = \"G\"\nby = \"owner\"\ncharacteristic = \"P/W\"\ndeviation_in = \"tenths\"\n" + readings.String() + "+++\n",
		"a.md":            lot("A", "owner", "0 1 1 0 2"), "b.md": lot("B", "partner", "2 3 3 2 3"),
	})
}

// What a person reads: the tool runs to a limit, the parts that are left, the chart,
// and what lies between the two people.
func TestFollowedSheets(t *testing.T) {
	s := wearing(t, "life = \"90 parts\"\ncount = \"60 parts\"\n")
	for path, want := range map[string][]string{
		"T":   {"drift of P/W", "in short", "tenths a part, as last measured (I)", "upper goal 1.5005 in", "upper limit 1.5010 in", "parts left", "life of 90 parts", "I           2025-03-28  12        1 to 89"},
		"P/W": {"short-run chart", "the process moved:", "drifts with", "the parts that T has cut", "between people", "partner over owner  +1.8 tenths (95 %: 0.8 to 2.8), from 1 lot that both measured: a difference is shown"},
		"G":   {"time between checks", "suggested  keep 1 year"},
	} {
		text := sheetText(t, s, path, false)
		for _, w := range want {
			assert.Contains(t, text, w, path)
		}
		sh, err := Record(s, path)
		require.NoError(t, err)
		html := printed(t, sh.WriteHTML)
		list := checkPage(t, html)
		pictures := 0
		for _, e := range list {
			if e.name == "svg" {
				pictures++
			}
		}
		assert.Equal(t, map[string]int{"T": 1, "P/W": 1, "G": 0}[path], pictures, path)
		assert.NotContains(t, html, "<b>")
		again, err := Record(s, path)
		require.NoError(t, err)
		assert.Equal(t, html, printed(t, again.WriteHTML))
		assert.NotContains(t, printed(t, func(w io.Writer) error { return WriteJSON(w, sh) }), "<svg", "JSON holds the numbers")
	}
}

// A tool is due by its drift where that ends before its life does, or where no life
// is set; not by a drift that leaves it room.
func TestDueByDrift(t *testing.T) {
	due := func(tool string) string {
		for _, it := range Due(wearing(t, tool), 60) {
			if it.Kind == "tool" {
				return it.Standing + ": " + it.What
			}
		}
		return ""
	}
	assert.Empty(t, due(""), "no count")
	assert.Empty(t, due("count = \"30 parts\"\n"))
	near := due("count = \"80 parts\"\n")
	assert.Contains(t, near, "near: has cut 80 parts; after part ")
	assert.Contains(t, near, "a single part can be beyond the upper limit of P/W, by its drift in I")
	assert.Contains(t, due("count = \"120 parts\"\nlife = \"200 parts\"\n"), "over: has cut 120 parts; after part ")
	assert.Contains(t, due("count = \"38 parts\"\nlife = \"40 parts\"\n"), "near: has cut 38 parts of a life of 40 parts")
}

// Every sheet of the shop is a valid page.
func TestSheetPagesAreValid(t *testing.T) {
	s := shop(t)
	for _, path := range []string{"P-10", "A-01/KC-1", "FX1", "G5", "T12", "PL-10", "IN-01A", "CH-02", "P-10/H1/size"} {
		sh, err := Record(s, path)
		require.NoError(t, err)
		checkPage(t, printed(t, sh.WriteHTML))
	}
}
