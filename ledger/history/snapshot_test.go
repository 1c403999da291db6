//go:build unix

package history

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger/source"
)

func staged(t testing.TB, r *Repo, prefix string) (changed, deleted []string) {
	t.Helper()
	changed, deleted, err := r.Staged(prefix)
	require.NoError(t, err)
	return changed, deleted
}

func TestBeforeTheFirstCommit(t *testing.T) {
	dir := newRepo(t)
	r := open(t, dir)
	assert.Empty(t, contents(t, index(t, r, "")))
	write(t, dir, "a.md", "staged")
	write(t, dir, "untracked.md", "x")
	git(t, dir, "add", "a.md")
	write(t, dir, "a.md", "edited since")
	assert.Equal(t, map[string]string{"a.md": "staged"}, contents(t, index(t, r, "")), "the index, not the working tree")
	changed, deleted := staged(t, r, "")
	assert.Equal(t, []string{"a.md"}, changed)
	assert.Empty(t, deleted)
	_, err := r.At("HEAD", "")
	assert.ErrorContains(t, err, `no commit, tag or branch "HEAD"`)
}

func TestStagedUnderAPrefix(t *testing.T) {
	dir := newRepo(t)
	for _, p := range []string{"outside.md", "led/keep.md", "led/change.md", "led/gone.md", "led/old name.md", "led/.cache/x", "ledger.md"} {
		write(t, dir, p, "one "+p)
	}
	git(t, dir, "add", ".")
	git(t, dir, "commit", "-qm", "1")
	r := open(t, dir)
	changed, deleted := staged(t, r, "led")
	assert.Empty(t, changed)
	assert.Empty(t, deleted)

	write(t, dir, "outside.md", "two")
	write(t, dir, "ledger.md", "two")
	write(t, dir, "led/change.md", "two")
	write(t, dir, "led/.cache/x", "two")
	write(t, dir, "led/new.md", "")
	require.NoError(t, os.Chmod(filepath.Join(dir, "led", "keep.md"), 0o755))
	git(t, dir, "add", ".")
	git(t, dir, "rm", "-q", "led/gone.md")
	git(t, dir, "mv", "led/old name.md", "led/new\nname.md")
	for _, prefix := range []string{"led", "led/", "./led"} {
		changed, deleted = staged(t, r, prefix)
		assert.Equal(t, []string{"change.md", "keep.md", "new\nname.md", "new.md"}, changed)
		assert.Equal(t, []string{"gone.md", "old name.md"}, deleted)
	}
	assert.Equal(t, map[string]string{
		"keep.md": "one led/keep.md", "change.md": "two", "new.md": "", "new\nname.md": "one led/old name.md",
	}, contents(t, index(t, r, "led")))
	assert.Equal(t, map[string]string{
		"keep.md": "one led/keep.md", "change.md": "one led/change.md", "gone.md": "one led/gone.md", "old name.md": "one led/old name.md",
	}, contents(t, at(t, r, "HEAD", "led")))
	assert.Empty(t, contents(t, index(t, r, "absent")))
	assert.Empty(t, contents(t, at(t, r, "HEAD", "absent")))
	for _, bad := range []string{"..", "../x", "/led", "led/../../x"} {
		_, err := r.Index(bad)
		assert.ErrorContains(t, err, "relative to the top", bad)
		_, _, err = r.Staged(bad)
		assert.ErrorContains(t, err, "relative to the top", bad)
		_, err = r.At("HEAD", bad)
		assert.ErrorContains(t, err, "relative to the top", bad)
	}
}

func at(t testing.TB, r *Repo, rev, prefix string) source.Source {
	t.Helper()
	s, err := r.At(rev, prefix)
	require.NoError(t, err)
	return s
}

func TestAtRevisions(t *testing.T) {
	dir := newRepo(t)
	for _, text := range []string{"one", "two"} {
		write(t, dir, "a.md", text)
		git(t, dir, "add", ".")
		git(t, dir, "commit", "-qm", text)
	}
	git(t, dir, "tag", "-a", "v1", "-m", "annotated", "HEAD~1")
	r := open(t, dir)
	for rev, want := range map[string]string{"HEAD": "two", "main": "two", "HEAD~1": "one", "v1": "one", git(t, dir, "rev-parse", "v1^{commit}"): "one"} {
		assert.Equal(t, map[string]string{"a.md": want}, contents(t, at(t, r, rev, "")), rev)
	}
	for _, rev := range []string{"", "-h", "--all", "absent", "HEAD:a.md", "HEAD^{tree}", "HEAD\nmain", "HEAD\x00", "..", "v1..main", "main a"} {
		_, err := r.At(rev, "")
		assert.Error(t, err, "%q", rev)
	}
}

// Names as they come from cameras, other systems and other tongues.
func TestUnusualNames(t *testing.T) {
	names := []string{"two words.md", "line\nbreak.md", "tab\there.md", "übergröße.md", "u\u0308ber.md", "-dash.md", "--help", ":(glob)x.md", "quote\".md", "back\\slash.md", "star*.md", ".gitignore"}
	dir := newRepo(t)
	want := map[string]string{}
	for _, n := range names {
		write(t, dir, n, "text of "+n)
		want[n] = "text of " + n
	}
	write(t, dir, "raw\xff.md", "not UTF-8")
	git(t, dir, "add", "-A")
	r := open(t, dir)
	s := index(t, r, "")
	files, err := s.Files()
	require.NoError(t, err)
	assert.Len(t, files, len(names)+1)
	for n, text := range want {
		got, err := s.Read(n)
		require.NoError(t, err, "%q", n)
		assert.Equal(t, text, string(got))
	}
	_, err = s.Read("raw\xff.md")
	assert.ErrorIs(t, err, source.ErrRefused)
	changed, _ := staged(t, r, "")
	assert.Len(t, changed, len(names)+1)
}

// The listing of the index equals what git itself writes out of it, read by the
// working-tree source.
func TestIndexEqualsCheckout(t *testing.T) {
	for _, format := range []string{"sha1", "sha256"} {
		t.Run(format, func(t *testing.T) {
			dir := newRepo(t, "--object-format="+format)
			for i := range 40 {
				write(t, dir, fmt.Sprintf("d%d/e%d/f%d.md", i%3, i%5, i), strings.Repeat("line\n", i))
			}
			write(t, dir, ".dot/x.md", "x")
			require.NoError(t, os.Symlink("d0", filepath.Join(dir, "link")))
			git(t, dir, "add", ".")
			git(t, dir, "commit", "-qm", "1")
			write(t, dir, "d0/e0/f0.md", "changed\r\n")
			git(t, dir, "add", ".")
			out := t.TempDir()
			git(t, dir, "checkout-index", "-a", "--prefix="+out+"/")
			disk, err := source.Dir(out)
			require.NoError(t, err)
			r := open(t, dir)
			assert.Equal(t, contents(t, disk), contents(t, index(t, r, "")))
			changed, _ := staged(t, r, "")
			assert.Equal(t, []string{"d0/e0/f0.md"}, changed)
		})
	}
}

// Forms of the index that a reader of the file itself would have to know.
func TestIndexForms(t *testing.T) {
	for name, prepare := range map[string][][]string{
		"version 4":  {{"update-index", "--index-version", "4"}},
		"split":      {{"update-index", "--split-index"}},
		"sparse":     {{"sparse-checkout", "init", "--cone", "--sparse-index"}, {"sparse-checkout", "set", "led"}},
		"untracked":  {{"update-index", "--untracked-cache"}},
		"skip":       {{"update-index", "--skip-worktree", "other/b.md"}},
		"worktreecf": {{"config", "extensions.worktreeConfig", "true"}},
	} {
		t.Run(name, func(t *testing.T) {
			dir := newRepo(t)
			write(t, dir, "led/a.md", "a")
			write(t, dir, "other/b.md", "b")
			git(t, dir, "add", ".")
			git(t, dir, "commit", "-qm", "1")
			for _, args := range prepare {
				git(t, dir, args...)
			}
			assert.Equal(t, map[string]string{"led/a.md": "a", "other/b.md": "b"}, contents(t, index(t, open(t, dir), "")))
		})
	}
}

// Settings by which people change what git diff and ls-files print.
func TestSettingsDoNotChangeTheAnswer(t *testing.T) {
	dir := newRepo(t)
	write(t, dir, "led/a.md", strings.Repeat("the same line\n", 50))
	write(t, dir, "b.md", "b")
	git(t, dir, "add", ".")
	git(t, dir, "commit", "-qm", "1")
	git(t, dir, "mv", "led/a.md", "led/moved.md")
	order := filepath.Join(t.TempDir(), "order")
	write(t, filepath.Dir(order), "order", "*.zzz\nled/*\n")
	for name, value := range map[string]string{
		"diff.renames": "copies", "diff.relative": "true", "diff.noprefix": "true", "diff.orderFile": order, "color.ui": "always",
		"core.quotePath": "true", "core.abbrev": "4", "diff.ignoreSubmodules": "all", "diff.submodule": "log", "diff.wordRegex": ".",
		"core.pager": "false", "diff.external": "false", "advice.detachedHead": "true", "diff.interHunkContext": "3", "core.ignoreCase": "true",
	} {
		git(t, dir, "config", name, value)
	}
	r := open(t, filepath.Join(dir, "led"))
	changed, deleted := staged(t, r, "")
	assert.Equal(t, []string{"led/moved.md"}, changed)
	assert.Equal(t, []string{"led/a.md"}, deleted)
	assert.Len(t, contents(t, index(t, r, "")), 2)
}
