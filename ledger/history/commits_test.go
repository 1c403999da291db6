package history

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// commitOn commits all there is on a day of the author; the committer's clock says
// another one.
func commitOn(t *testing.T, dir, day, subject string) {
	t.Helper()
	git(t, dir, "add", "-A")
	cmd := exec.Command("git", "commit", "-q", "--allow-empty", "--allow-empty-message", "-m", subject)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "GIT_AUTHOR_DATE="+day+"T23:30:00+0900", "GIT_COMMITTER_DATE=2025-01-01T00:00:00Z")
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, string(out))
}

func date(text string) time.Time {
	d, err := time.Parse(time.DateOnly, text)
	if err != nil {
		panic(err)
	}
	return d
}

// The commits of a window: after its first day, with its last, by the author's day
// in the author's zone, with the files of the ledger alone.
func TestCommits(t *testing.T) {
	dir := newRepo(t)
	r := open(t, dir)
	list, err := r.Commits(date("2024-03-09"), date("2024-03-13"), "shop")
	require.NoError(t, err)
	assert.Empty(t, list, "no commit yet")

	write(t, dir, "shop/FX1.md", "1")
	write(t, dir, ":odd\n2024 name.md", "outside of the ledger")
	commitOn(t, dir, "2024-03-09", "on the day of the readings before")
	write(t, dir, "shop/FX1.md", "2")
	write(t, dir, "shop/tools/T 1\t:x.md", "new")
	write(t, dir, "other.md", "x")
	commitOn(t, dir, "2024-03-10", "pins re-set: \"A\" 100%")
	commitOn(t, dir, "2024-03-11", "nothing in it")
	write(t, dir, "other.md", "y")
	commitOn(t, dir, "2024-03-11", "elsewhere")
	require.NoError(t, os.Remove(filepath.Join(dir, "shop", "tools", "T 1\t:x.md")))
	commitOn(t, dir, "2024-03-13", "")
	write(t, dir, "shop/FX1.md", "3")
	commitOn(t, dir, "2024-03-14", "after the readings")

	list, err = r.Commits(date("2024-03-09"), date("2024-03-13"), "shop")
	require.NoError(t, err)
	require.Len(t, list, 2)
	assert.Equal(t, "pins re-set: \"A\" 100%", list[0].Subject)
	assert.Equal(t, date("2024-03-10"), list[0].On)
	assert.Equal(t, []string{"FX1.md", "tools/T 1\t:x.md"}, list[0].Paths)
	assert.Equal(t, git(t, dir, "rev-parse", "HEAD~4"), list[0].ID)
	assert.Equal(t, []string{"tools/T 1\t:x.md"}, list[1].Paths, "what was taken away is named too")
	assert.Empty(t, list[1].Subject)

	whole, err := r.Commits(date("2024-03-08"), date("2024-03-09"), "")
	require.NoError(t, err)
	require.Len(t, whole, 1, "the first commit has no parent")
	assert.Equal(t, []string{":odd\n2024 name.md", "shop/FX1.md"}, whole[0].Paths)
	_, err = r.Commits(date("2024-03-08"), date("2024-03-09"), "../x")
	assert.Error(t, err)
}
