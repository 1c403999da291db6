package history

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"tenths/ledger/source"
)

// hookProbe is the first argument with which a hook under test runs this test
// program: it looks at the staged state as the hook of the real program does
// and writes what it saw to a file.
const hookProbe = "hook-probe"

// TestMain takes away every variable by which git tells a child process which
// repository it is in: a suite that is started from a hook would otherwise work
// on the developer's own repository. What git would read from the machine's
// configuration is fixed too.
func TestMain(m *testing.M) {
	if len(os.Args) == 3 && os.Args[1] == hookProbe {
		if err := probe(os.Args[2]); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	names, err := exec.Command("git", "rev-parse", "--local-env-vars").Output()
	if err != nil {
		fmt.Fprintln(os.Stderr, "the tests need git:", err)
		os.Exit(1)
	}
	for _, name := range strings.Fields(string(names)) {
		os.Unsetenv(name)
	}
	for name, value := range map[string]string{
		"GIT_CONFIG_GLOBAL": os.DevNull, "GIT_CONFIG_NOSYSTEM": "1",
		"GIT_AUTHOR_NAME": "A. Tester", "GIT_AUTHOR_EMAIL": "a@example.invalid", "GIT_AUTHOR_DATE": "2024-03-11T08:00:00Z",
		"GIT_COMMITTER_NAME": "A. Tester", "GIT_COMMITTER_EMAIL": "a@example.invalid", "GIT_COMMITTER_DATE": "2024-03-11T08:00:00Z",
	} {
		os.Setenv(name, value)
	}
	os.Exit(m.Run())
}

// seen is what the probe writes.
type seen struct {
	Top, Prefix      string
	Files            map[string]string
	Changed, Deleted []string
}

func probe(out string) error {
	r, err := Open(context.Background(), ".")
	if err != nil {
		return err
	}
	s := seen{Top: r.Top(), Prefix: r.Prefix(), Files: map[string]string{}}
	index, err := r.Index(r.Prefix())
	if err != nil {
		return err
	}
	files, err := index.Files()
	if err != nil {
		return err
	}
	for _, f := range files {
		text, err := index.Read(f.Path)
		if err != nil {
			return err
		}
		s.Files[f.Path] = string(text)
	}
	if s.Changed, s.Deleted, err = r.Staged(r.Prefix()); err != nil {
		return err
	}
	text, err := json.Marshal(s)
	if err != nil {
		return err
	}
	return os.WriteFile(out, text, 0o644)
}

// git runs the real program as a person does, with its hooks.
func git(t testing.TB, dir string, args ...string) string {
	t.Helper()
	out, err := tryGit(dir, args...)
	require.NoError(t, err, "git %s: %s", strings.Join(args, " "), out)
	return out
}

func tryGit(dir string, args ...string) (string, error) {
	cmd := exec.Command("git", args...)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	return strings.TrimSuffix(string(out), "\n"), err
}

func newRepo(t testing.TB, args ...string) string {
	t.Helper()
	dir, err := filepath.EvalSymlinks(t.TempDir())
	require.NoError(t, err)
	git(t, dir, append([]string{"init", "-q", "-b", "main"}, args...)...)
	return dir
}

func write(t testing.TB, dir, path, text string) {
	t.Helper()
	full := filepath.Join(dir, filepath.FromSlash(path))
	require.NoError(t, os.MkdirAll(filepath.Dir(full), 0o755))
	require.NoError(t, os.WriteFile(full, []byte(text), 0o644))
}

func open(t testing.TB, dir string) *Repo {
	t.Helper()
	r, err := Open(t.Context(), dir)
	require.NoError(t, err)
	return r
}

func index(t testing.TB, r *Repo, prefix string) source.Source {
	t.Helper()
	s, err := r.Index(prefix)
	require.NoError(t, err)
	return s
}

// contents lists a source: the text of a file, or the kind of what is none.
func contents(t testing.TB, s source.Source) map[string]string {
	t.Helper()
	files, err := s.Files()
	require.NoError(t, err)
	out := map[string]string{}
	for i, f := range files {
		if i > 0 {
			require.Less(t, files[i-1].Path, f.Path, "sorted by path")
		}
		if f.Kind != source.Regular {
			out[f.Path] = "<" + f.Kind.String() + ">"
			continue
		}
		text, err := s.Read(f.Path)
		require.NoError(t, err)
		require.Equal(t, f.Size, int64(len(text)), f.Path)
		out[f.Path] = string(text)
	}
	return out
}
