package report

import (
	"io"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger/study"
)

// Every kind of sheet makes a sound page of one file; a station has its picture.
func TestSheetPages(t *testing.T) {
	s := shop(t)
	for path, pictures := range map[string]int{"P-10": 0, "FX1": 1, "FX1/A": 1, "FX1/A/P1": 0, "G5": 0, "T12": 0, "PL-10": 1, "IN-01A": 0, "CH-02": 0, "P-10/largest clearance": 0, "P-10/H1/size": 0} {
		sh, err := Record(s, path)
		require.NoError(t, err, path)
		text := printed(t, func(w io.Writer) error { return sh.WriteHTML(w) })
		checkPage(t, text)
		assert.Equal(t, pictures, strings.Count(text, "<svg "), path)
		assert.Contains(t, text, "as of 2025-11-25", path)
		for _, sec := range sh.Sections {
			assert.Contains(t, text, ">"+upper(sec.Name)+"</h2>", path)
		}
		if path == "FX1/A" {
			golden(t, "sheet-FX1_A.html", text)
		}
	}
}

// The picture is that of the day, as everything else is.
func TestStationPictureOnTheDay(t *testing.T) {
	s := shop(t)
	words := func(day time.Time) string {
		sh, err := Record(study.New(s.L, day), "FX1/A")
		require.NoError(t, err)
		text := printed(t, func(w io.Writer) error { return sh.WriteHTML(w) })
		_, desc, _ := strings.Cut(text, "<desc ")
		desc, _, _ = strings.Cut(desc, "</desc>")
		return desc
	}
	now := words(time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC))
	old := words(time.Date(2024, 3, 10, 0, 0, 0, 0, time.UTC))
	assert.Contains(t, now, "P1, round pin, 0.18730 in in diameter in a hole 0.00040 in larger, off by 0.5, 1.0 tenths")
	assert.Contains(t, old, "off by 4, -9 tenths")
}

// What a ledger says cannot become markup.
func TestSheetPageEscapes(t *testing.T) {
	sh := &Sheet{Path: "<script>", Title: "a & b", Sections: []Section{{Name: "<b>", Facts: []Fact{{Name: "<i>", Text: "<img src=x>\x1b[2J"}}, Rows: [][]Fact{{{Name: "<u>", Text: "</table>"}}}}}}
	text := printed(t, func(w io.Writer) error { return sh.WriteHTML(w) })
	for _, bad := range []string{"<script>", "<b>", "<i>", "<img", "<u>", "\x1b"} {
		assert.NotContains(t, text, bad)
	}
}
