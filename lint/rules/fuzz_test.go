package rules

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
	"tenths/lint"
)

// FuzzRules lets all rules look at any ledger: no panic, every finding inside
// its file, the same text each time, and no line that a control character of the
// ledger could break. The seeds are the ledgers of the rules' own tests.
func FuzzRules(f *testing.F) {
	files, err := filepath.Glob(filepath.Join("testdata", "*", "*.txtar"))
	require.NoError(f, err)
	for _, name := range files {
		text, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, archive []byte) {
		if len(archive) > 1<<16 {
			return
		}
		texts := map[string]string{ledger.ConfigName: "units = \"in\"\n"}
		for _, file := range parseArchive(archive).Files {
			if source.CheckPath(file.Name) == nil {
				texts[file.Name] = string(file.Data)
			}
		}
		first := printed(t, texts)
		assert.Equal(t, first, printed(t, texts))
		for _, line := range strings.Split(strings.TrimSuffix(first, "\n"), "\n") {
			assert.NotContains(t, line, "\r")
			assert.NotContains(t, line, "\x1b")
		}
	})
}

func printed(t *testing.T, texts map[string]string) string {
	l, err := ledger.Load(source.Map(texts))
	require.NoError(t, err)
	res, err := lint.Run(l, study.New(l, asOf), All(), lint.Options{})
	require.NoError(t, err)
	for _, list := range [][]lint.Finding{res.Findings, res.Conceded} {
		for _, f := range list {
			assert.LessOrEqual(t, f.Span.End, max(1, len(texts[f.File])), "%s: %s", f.Rule, f.Message)
			assert.NotEmpty(t, f.Message)
			assert.NotEmpty(t, f.Why)
		}
	}
	var b bytes.Buffer
	require.NoError(t, lint.WriteText(&b, res, ""))
	require.NoError(t, lint.WriteJSON(&b, res))
	return b.String()
}

// parseArchive reads an archive. The library panics on a marker without a name,
// which is none of ours to find.
func parseArchive(text []byte) *txtar.Archive {
	for line := range bytes.Lines(text) {
		if l := bytes.TrimRight(line, "\r\n"); bytes.HasPrefix(l, []byte("-- ")) && len(l) < len("-- x --") {
			return &txtar.Archive{}
		}
	}
	return txtar.Parse(text)
}
