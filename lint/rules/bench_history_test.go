package rules

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/history"
	"tenths/ledger/source"
	"tenths/ledger/study"
	"tenths/lint"
)

// writeHistory puts the ledger of a folder into a repository there with so many
// commits: the first has all records, each later one touches three of them, as a
// day's work does. git fast-import makes them in one process.
func writeHistory(tb testing.TB, dir string, commits int) {
	var names []string
	require.NoError(tb, filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			rel, _ := filepath.Rel(dir, p)
			names = append(names, filepath.ToSlash(rel))
		}
		return err
	}))
	texts := map[string][]byte{}
	var stream bytes.Buffer
	commit := func(i int, files ...string) {
		fmt.Fprintf(&stream, "commit refs/heads/main\nauthor a <a@example.org> %d +0000\ncommitter a <a@example.org> %d +0000\ndata 1\nx\n", 1_700_000_000+i*86_400, 1_700_000_000+i*86_400)
		for _, f := range files {
			fmt.Fprintf(&stream, "M 100644 inline %s\ndata %d\n%s\n", f, len(texts[f]), texts[f])
		}
	}
	for _, n := range names {
		text, err := os.ReadFile(filepath.Join(dir, n))
		require.NoError(tb, err)
		texts[n] = text
	}
	commit(0, names...)
	for i := 1; i < commits; i++ {
		var touched []string
		for k := range 3 {
			n := names[(i*7+k*31)%len(names)]
			if n != ledger.ConfigName {
				texts[n] = fmt.Appendf(texts[n], "\nSeen again on day %d.\n", i)
				touched = append(touched, n)
			}
		}
		commit(i, touched...)
	}
	for n, text := range texts {
		require.NoError(tb, os.WriteFile(filepath.Join(dir, n), text, 0o644))
	}
	gitIn(tb, dir, "", "init", "-q", "-b", "main")
	cmd := exec.Command("git", "fast-import", "--quiet")
	cmd.Dir, cmd.Stdin = dir, &stream
	out, err := cmd.CombinedOutput()
	require.NoError(tb, err, "%s", out)
	gitIn(tb, dir, "", "reset", "-q")
}

// BenchmarkLintHistory checks a ledger of 1,000 records whose repository has 500
// commits, with and without what git remembers.
func BenchmarkLintHistory(b *testing.B) {
	dir := b.TempDir()
	writeShop(b, dir, 1000)
	writeHistory(b, dir, 500)
	day := time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC)
	for _, with := range []bool{false, true} {
		b.Run(map[bool]string{false: "without", true: "with"}[with], func(b *testing.B) {
			for b.Loop() {
				src, err := source.Dir(dir)
				require.NoError(b, err)
				l, err := ledger.Load(src)
				require.NoError(b, err)
				set := study.New(l, day)
				if with {
					past := history.PastOf(b.Context(), dir, l)
					require.NoError(b, past.Err())
					set.Past = past
				}
				res, err := lint.Run(l, set, All(), lint.Options{})
				require.NoError(b, err)
				require.Empty(b, res.Findings)
			}
		})
	}
}
