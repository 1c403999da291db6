package rules

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"
)

// TestMain takes away every variable by which git tells a child process which
// repository it is in: a suite that is started from a hook would otherwise look
// into the developer's own.
func TestMain(m *testing.M) {
	names, err := exec.Command("git", "rev-parse", "--local-env-vars").Output()
	if err != nil {
		fmt.Fprintln(os.Stderr, "the tests need git:", err)
		os.Exit(1)
	}
	for _, name := range strings.Fields(string(names)) {
		os.Unsetenv(name)
	}
	os.Exit(m.Run())
}

// commitOf reads "commit DAY: FILE".
func commitOf(name string) (head, file string, ok bool) {
	head, file, ok = strings.Cut(name, ": ")
	return head, file, ok && strings.HasPrefix(head, "commit ")
}

// committedIn makes a repository of the sections that are committed, and leaves in
// texts what the last commit holds; "" if there are none.
func committedIn(t testing.TB, files []txtar.File, texts map[string]string) string {
	dir, last := "", ""
	commit := func() {
		if last == "" {
			return
		}
		gitIn(t, dir, "", "add", "--all")
		gitIn(t, dir, strings.TrimPrefix(last, "commit ")+"T12:00:00Z", "commit", "-q", "--allow-empty", "-m", last)
	}
	for _, f := range files {
		head, name, ok := commitOf(f.Name)
		if !ok {
			continue
		}
		if dir == "" {
			dir = t.TempDir()
			gitIn(t, dir, "", "init", "-q", "-b", "main", "--object-format=sha1")
		}
		if head != last {
			commit()
			last = head
		}
		path := filepath.Join(dir, filepath.FromSlash(name))
		if len(f.Data) == 0 {
			delete(texts, name)
			require.NoError(t, os.Remove(path))
			continue
		}
		texts[name] = string(f.Data)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, f.Data, 0o644))
	}
	commit()
	return dir
}

// gitIn runs git with nothing of this machine in it, so that a commit has the same
// name everywhere.
func gitIn(t testing.TB, dir, when string, args ...string) {
	t.Helper()
	cmd := exec.Command("git", args...)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_SYSTEM="+os.DevNull,
		"GIT_AUTHOR_NAME=a", "GIT_AUTHOR_EMAIL=a@example.org", "GIT_COMMITTER_NAME=a", "GIT_COMMITTER_EMAIL=a@example.org",
		"GIT_AUTHOR_DATE="+when, "GIT_COMMITTER_DATE="+when)
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "git %s: %s", strings.Join(args, " "), out)
}
