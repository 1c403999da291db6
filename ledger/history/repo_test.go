//go:build unix

package history

import (
	"context"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOpenFindsTopAndPrefix(t *testing.T) {
	dir := newRepo(t)
	odd := "shop ledger\nü"
	write(t, dir, odd+"/a.md", "x")
	for _, c := range []struct{ in, prefix string }{{"", ""}, {odd, odd}} {
		r := open(t, filepath.Join(dir, c.in))
		assert.Equal(t, dir, r.Top())
		assert.Equal(t, c.prefix, r.Prefix())
	}
}

func TestOpenErrors(t *testing.T) {
	none := t.TempDir()
	write(t, none, "file.md", "x")
	_, err := Open(t.Context(), none)
	require.ErrorIs(t, err, ErrNotARepo)
	assert.ErrorContains(t, err, "git init")
	_, err = Open(t.Context(), filepath.Join(none, "absent"))
	assert.ErrorIs(t, err, fs.ErrNotExist)
	_, err = Open(t.Context(), filepath.Join(none, "file.md"))
	assert.ErrorContains(t, err, "not a folder")

	bare := t.TempDir()
	git(t, bare, "init", "-q", "--bare")
	_, err = Open(t.Context(), bare)
	require.ErrorIs(t, err, ErrNotARepo)
	assert.ErrorContains(t, err, "bare")

	dir := newRepo(t)
	ctx, cancel := context.WithCancel(t.Context())
	r, err := Open(ctx, dir)
	require.NoError(t, err)
	cancel()
	_, err = r.Index("")
	assert.ErrorIs(t, err, context.Canceled)
	_, err = r.At("main", "")
	assert.ErrorIs(t, err, context.Canceled)
	_, err = Open(ctx, dir)
	assert.ErrorIs(t, err, context.Canceled)
}

func TestNoGitProgram(t *testing.T) {
	dir := newRepo(t)
	t.Setenv("PATH", t.TempDir())
	_, err := Open(t.Context(), dir)
	require.ErrorIs(t, err, exec.ErrNotFound)
	assert.ErrorContains(t, err, "install git")
}

// git's own test switch makes it believe that somebody else owns the folder.
func TestForeignOwnerIsPassedOn(t *testing.T) {
	dir := newRepo(t)
	t.Setenv("GIT_TEST_ASSUME_DIFFERENT_OWNER", "1")
	_, err := Open(t.Context(), dir)
	require.ErrorIs(t, err, ErrForeignOwner)
	assert.ErrorContains(t, err, "git config --global --add safe.directory "+dir, "git's own hint")
	assert.NotErrorIs(t, err, ErrNotARepo)
}

// core.worktree can name any folder; then "the repository of this folder" and
// "the repository of the top" may be two.
func TestWorktreeSettingThatLeadsElsewhere(t *testing.T) {
	outer := newRepo(t)
	inner := filepath.Join(outer, "inner")
	require.NoError(t, os.Mkdir(inner, 0o755))
	git(t, inner, "init", "-q")
	git(t, inner, "config", "core.worktree", outer)
	_, err := Open(t.Context(), inner)
	assert.ErrorContains(t, err, "core.worktree")
}

func TestShallow(t *testing.T) {
	dir := newRepo(t)
	for _, text := range []string{"1", "2"} {
		write(t, dir, "a.md", text)
		git(t, dir, "add", ".")
		git(t, dir, "commit", "-qm", text)
	}
	shallow, err := open(t, dir).Shallow()
	require.NoError(t, err)
	assert.False(t, shallow)

	clone := filepath.Join(t.TempDir(), "clone")
	git(t, dir, "clone", "-q", "--depth", "1", "file://"+dir, clone)
	shallow, err = open(t, clone).Shallow()
	require.NoError(t, err)
	assert.True(t, shallow)
}

// With GIT_DIR alone git takes the current folder for the top. A hook of a
// linked working tree that went into the ledger's folder is in that place.
func TestGitDirFromAHook(t *testing.T) {
	dir := newRepo(t)
	write(t, dir, "sub/a.md", "x")
	git(t, dir, "add", ".")
	git(t, dir, "commit", "-qm", "1")
	tree := filepath.Join(t.TempDir(), "tree")
	git(t, dir, "worktree", "add", "-q", tree)
	tree, err := filepath.EvalSymlinks(tree)
	require.NoError(t, err)

	for _, c := range []struct{ name, top, gitDir, workTree string }{
		{"linked tree", tree, filepath.Join(dir, ".git", "worktrees", "tree"), ""},
		{"main tree", dir, filepath.Join(dir, ".git"), ""},
		{"relative names, as git hands them on", dir, ".git", "."},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Setenv("GIT_DIR", c.gitDir)
			if c.workTree != "" {
				t.Setenv("GIT_WORK_TREE", c.workTree)
			}
			r := open(t, filepath.Join(c.top, "sub"))
			assert.Equal(t, c.top, r.Top())
			assert.Equal(t, "sub", r.Prefix())
			assert.Equal(t, map[string]string{"a.md": "x"}, contents(t, index(t, r, "sub")))
		})
	}
}

// A repository kept apart from its working tree is reached by GIT_DIR only.
func TestGitDirApart(t *testing.T) {
	apart, work := newRepo(t), t.TempDir()
	work, err := filepath.EvalSymlinks(work)
	require.NoError(t, err)
	write(t, work, "a.md", "x")
	t.Setenv("GIT_DIR", filepath.Join(apart, ".git"))
	t.Setenv("GIT_WORK_TREE", work)
	git(t, work, "add", "a.md")
	r := open(t, work)
	assert.Equal(t, work, r.Top())
	assert.Equal(t, map[string]string{"a.md": "x"}, contents(t, index(t, r, "")))
}

func TestPathspecSettingsDoNotDisturb(t *testing.T) {
	dir := newRepo(t)
	write(t, dir, "a*/x.md", "star")
	write(t, dir, "ab/y.md", "plain")
	write(t, dir, ":(bad)x/z.md", "magic")
	git(t, dir, "add", ".")
	t.Setenv("GIT_ICASE_PATHSPECS", "1")
	assert.Equal(t, map[string]string{"x.md": "star"}, contents(t, index(t, open(t, dir), "a*")), "a star is a star")
	changed, _, err := open(t, dir).Staged(":(bad)x")
	require.NoError(t, err)
	assert.Equal(t, []string{"z.md"}, changed, "a name that begins with : is a name")
}

func TestLimitedOutput(t *testing.T) {
	l := &limited{limit: 10, fail: true}
	_, err := io.Copy(l, strings.NewReader(strings.Repeat("x", 11)))
	assert.Error(t, err)
	assert.True(t, l.over)
	l = &limited{limit: 10}
	_, err = io.Copy(l, strings.NewReader(strings.Repeat("x", 1000)))
	require.NoError(t, err)
	assert.Equal(t, 10, l.kept.Len())
}

// What git says may quote any name; nothing of it reaches a terminal as a command.
func TestGitErrorIsPrintable(t *testing.T) {
	err := gitError([]string{"status"}, "a\n\tb\x1b[31m\u009b\u202e\xffü", nil)
	assert.EqualError(t, err, "git status: a\n b\\u001b[31m\\u009b\\u202e\ufffdü")
}
