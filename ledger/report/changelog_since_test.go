package report

import (
	"io"
	"maps"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger/study"
)

// sinceThen compares the shop as it is with one that was different.
func sinceThen(t *testing.T, opt LogOptions, then *study.Set) *Log {
	t.Helper()
	opt.Earlier = &Earlier{Name: "told-secret", Commit: "0123456789abcdef", On: time.Date(2024, 9, 17, 12, 0, 0, 0, time.UTC), Set: then}
	log, err := Changelog(shop(t), opt)
	require.NoError(t, err)
	return log
}

func TestSinceARevision(t *testing.T) {
	with := func(edit func(map[string]string)) *study.Set {
		files := maps.Clone(shopFiles(t))
		edit(files)
		return setOf(t, files)
	}
	replace := func(id, old, new string) func(map[string]string) {
		return func(files map[string]string) {
			name := "changes/" + id + ".md"
			require.Contains(t, files[name], old)
			files[name] = strings.Replace(files[name], old, new, 1)
		}
	}
	all := []string{"CH-01", "CH-07", "CH-02", "CH-03", "CH-04", "CH-05"}
	for _, c := range []struct {
		name string
		then *study.Set
		want []string
		news string
	}{
		{"nothing", shop(t), nil, ""},
		{"no ledger then", nil, all, "new in this list"},
		{"not yet there", with(func(f map[string]string) { delete(f, "changes/CH-04.md") }), []string{"CH-04"}, "new in this list"},
		{"under way then", with(replace("CH-04", "verified effective", "in progress")), []string{"CH-04"}, "new in this list"},
		{"judged since", with(replace("CH-04", "verified effective", "done")), []string{"CH-04"}, `it was "done", it is "verified effective"`},
		{"taken back since", with(replace("CH-03", "rolled back", "done")), []string{"CH-03"}, `it was "done", it is "rolled back"`},
		{"other readings", with(func(f map[string]string) {
			f["inspections/IN-03A.md"] = strings.Replace(f["inspections/IN-03A.md"], `"0.00105", "0.00105", "0.00100", "0.00085", "0.00110"`, `"0.00020", "0.00025", "0.00020", "0.00015", "0.00020"`, 1)
		}), []string{"CH-03"}, `the readings said "this gauge cannot tell", now "shown worse"`},
		{"no readings then", with(replace("CH-01", "before = \"IN-01B\"\nafter = \"IN-01A\"\n", "")), []string{"CH-01"}, `the readings said "readings are missing", now "shown better"`},
		{"other words", with(replace("CH-01", "The pattern named the pins.", "Another lesson.")), nil, ""},
	} {
		log := sinceThen(t, LogOptions{}, c.then)
		assert.Equal(t, c.want, entries(log), c.name)
		text := printed(t, log.WriteMarkdown)
		assert.Contains(t, text, "since told-secret (0123456789ab of 2024-09-17)", c.name)
		if c.news != "" {
			assert.Contains(t, text, "since then: "+c.news, c.name)
		} else {
			assert.Contains(t, text, "Nothing became known since then.", c.name)
		}
		assert.Equal(t, c.then == nil, strings.Contains(text, "there was no ledger in this folder"), c.name)
	}

	// What was listed and is no longer is said, and days still bound the list.
	gone := with(func(f map[string]string) {
		f["changes/CH-90.md"] = strings.Replace(f["changes/CH-01.md"], `"CH-01"`, `"CH-90"`, 1)
		f["changes/CH-91.md"] = strings.NewReplacer(`"CH-01"`, `"CH-91"`, "public = true", "public = false").Replace(f["changes/CH-01.md"])
	})
	log := sinceThen(t, LogOptions{}, gone)
	assert.Equal(t, []Withdrawn{{"CH-90", "verified effective"}, {"CH-91", "verified effective"}}, log.Withdrawn)
	assert.Contains(t, printed(t, log.WriteHTML), "CH-90 was listed then (verified effective) and is withdrawn.")
	assert.Equal(t, []string{"CH-05"}, entries(sinceThen(t, LogOptions{Since: time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)}, nil)))

	// The public are told the month of the revision, not its name.
	log = sinceThen(t, LogOptions{Public: true}, gone)
	assert.Equal(t, []Withdrawn{{"CH-90", "verified effective"}}, log.Withdrawn)
	text := printed(t, log.WriteMarkdown) + printed(t, log.WriteHTML) + printed(t, func(w io.Writer) error { return WriteJSON(w, log) })
	absent(t, text, "secret", "0123456", "2024-09-17")
	assert.Contains(t, text, "what became known since 2024-09.")
	made := with(replace("CH-05", "public = true", "public = false"))
	assert.Equal(t, []string{"CH-05"}, entries(sinceThen(t, LogOptions{Public: true}, made)), "made public since")
	assert.Nil(t, entries(sinceThen(t, LogOptions{}, made)))
}
