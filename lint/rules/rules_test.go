package rules

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/history"
	"tenths/ledger/source"
	"tenths/ledger/study"
	"tenths/lint"
)

var update = flag.Bool("update", false, "write what the rules print into the test files")

// asOf is the day of every test ledger; a line "as of DATE" in the comment of
// a test file sets another.
var asOf = time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC)

// TestRules runs all rules over small ledgers. testdata/RULE/fires*.txtar must
// make that rule fire, testdata/RULE/quiet*.txtar must leave everything
// silent; in both, the section "want" holds exactly what is printed. A rule
// without either file fails.
//
// A section "commit DAY: FILE" is the text of the file in a commit of that day;
// sections that follow each other with the same head are one commit. What a later
// one does not name stays as it was, and a section without lines takes the file
// away. The ledger is what was committed last, with the plain sections over it as
// what is not committed yet.
func TestRules(t *testing.T) {
	known := map[string]bool{}
	for _, r := range All() {
		known[r.Name] = true
		t.Run(r.Name, func(t *testing.T) {
			require.NoError(t, r.Validate())
			for _, name := range []string{"fires", "quiet"} {
				files, err := filepath.Glob(filepath.Join("testdata", r.Name, name+"*.txtar"))
				require.NoError(t, err)
				require.NotEmpty(t, files, "the rule has no %s test", name)
				for _, f := range files {
					t.Run(filepath.Base(f), func(t *testing.T) { runCase(t, r.Name, f, name == "fires") })
				}
			}
		})
	}
	folders, err := os.ReadDir("testdata")
	require.NoError(t, err)
	for _, f := range folders {
		assert.True(t, known[f.Name()], "testdata/%s belongs to no rule", f.Name())
	}
}

func runCase(t *testing.T, rule, file string, fires bool) {
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	ar := txtar.Parse(text)
	texts := map[string]string{}
	want := ""
	repo := committedIn(t, ar.Files, texts)
	for _, f := range ar.Files {
		if _, _, ok := commitOf(f.Name); ok {
			continue
		}
		if f.Name == "want" {
			want = string(f.Data)
			continue
		}
		texts[f.Name] = string(f.Data)
	}
	if _, ok := texts[ledger.ConfigName]; !ok {
		texts[ledger.ConfigName] = "units = \"in\"\n"
	}
	day := asOf
	if _, rest, ok := strings.Cut(string(ar.Comment), "as of "); ok {
		day, err = time.Parse(time.DateOnly, strings.Fields(rest)[0])
		require.NoError(t, err)
	}
	l, err := ledger.Load(source.Map(texts))
	require.NoError(t, err)
	set := study.New(l, day)
	if repo != "" {
		past := history.PastOf(t.Context(), repo, l)
		require.NoError(t, past.Err())
		set.Past = past
	}
	res, err := lint.Run(l, set, All(), lint.Options{})
	require.NoError(t, err)
	var got bytes.Buffer
	require.NoError(t, lint.WriteText(&got, res, ""))
	if *update {
		var out txtar.Archive
		out.Comment = ar.Comment
		for _, f := range ar.Files {
			if f.Name != "want" {
				out.Files = append(out.Files, f)
			}
		}
		out.Files = append(out.Files, txtar.File{Name: "want", Data: got.Bytes()})
		require.NoError(t, os.WriteFile(file, txtar.Format(&out), 0o644))
		want = got.String()
	}
	assert.Equal(t, want, got.String())
	fired := 0
	for _, f := range res.Findings {
		if f.Rule == rule {
			fired++
		}
	}
	if fires {
		assert.Positive(t, fired, "%s does not fire", rule)
	} else {
		assert.Empty(t, got.String(), "the near miss is not left in peace")
	}
}
