package rules

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"tenths/ledger"
	"tenths/ledger/source"
)

// TestAnyLineMayBeMissing takes lines out of the records that the rules are
// tested with, one at a time, every third of them. Whatever is missing then, every
// rule and every output comes to its end: a record in work is often short of a line.
func TestAnyLineMayBeMissing(t *testing.T) {
	if testing.Short() {
		t.Skip("some thousands of ledgers")
	}
	files, err := filepath.Glob(filepath.Join("testdata", "*", "fires*.txtar"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, name := range files {
		t.Run(filepath.Base(filepath.Dir(name))+"/"+filepath.Base(name), func(t *testing.T) {
			t.Parallel()
			text, err := os.ReadFile(name)
			require.NoError(t, err)
			texts := map[string]string{ledger.ConfigName: "units = \"in\"\n"}
			for _, file := range parseArchive(text).Files {
				if source.CheckPath(file.Name) == nil {
					texts[file.Name] = string(file.Data)
				}
			}
			for file, whole := range texts {
				lines := strings.SplitAfter(whole, "\n")
				for i, line := range lines {
					if i%3 != len(file)%3 || strings.TrimSpace(line) == "" {
						continue
					}
					texts[file] = strings.Join(lines[:i], "") + strings.Join(lines[i+1:], "")
					printed(t, texts)
				}
				texts[file] = whole
			}
		})
	}
}
