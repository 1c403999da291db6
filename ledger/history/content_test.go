//go:build unix

package history

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger/source"
)

func TestLinksAndSubmodules(t *testing.T) {
	dir := newRepo(t)
	write(t, dir, "a.md", "a")
	require.NoError(t, os.Symlink("/etc/passwd", filepath.Join(dir, "out.md")))
	git(t, dir, "add", ".")
	git(t, dir, "commit", "-qm", "1")
	git(t, dir, "update-index", "--add", "--cacheinfo", "160000,"+git(t, dir, "rev-parse", "HEAD")+",vendor/lib")
	r := open(t, dir)
	want := map[string]string{"a.md": "a", "out.md": "<symbolic link>", "vendor/lib": "<neither a file nor a link>"}
	s := index(t, r, "")
	assert.Equal(t, want, contents(t, s))
	changed, _ := staged(t, r, "")
	assert.Equal(t, []string{"vendor/lib"}, changed)
	for path, want := range map[string]error{
		"out.md": source.ErrRefused, "vendor/lib": source.ErrRefused, "vendor/lib/x.md": fs.ErrNotExist, "absent.md": fs.ErrNotExist,
		"../a.md": source.ErrRefused, "/etc/passwd": source.ErrRefused, ".git/config": source.ErrRefused, "": source.ErrRefused,
	} {
		_, err := s.Read(path)
		assert.ErrorIs(t, err, want, path)
	}
	git(t, dir, "commit", "-qm", "2")
	assert.Equal(t, want, contents(t, at(t, r, "HEAD", "")))
}

func TestUnmerged(t *testing.T) {
	dir := newRepo(t)
	names := []string{"led/a.md", "led/b.md", "z.md"}
	for _, n := range names {
		write(t, dir, n, "base\n")
	}
	git(t, dir, "add", ".")
	git(t, dir, "commit", "-qm", "base")
	for _, branch := range []string{"left", "right"} {
		git(t, dir, "checkout", "-q", "-b", branch, "main")
		for _, n := range names {
			write(t, dir, n, branch+"\n")
		}
		git(t, dir, "commit", "-qam", branch)
	}
	_, err := tryGit(dir, "merge", "left")
	require.Error(t, err, "the merge must conflict")
	r := open(t, dir)
	_, err = r.Index("led")
	require.ErrorIs(t, err, ErrUnmerged)
	var unmerged *UnmergedError
	require.ErrorAs(t, err, &unmerged)
	assert.Equal(t, []string{"a.md", "b.md"}, unmerged.Paths)
	assert.EqualError(t, err, `unresolved merge conflicts in ["a.md" "b.md"]: resolve them and "git add" the files`)
	_, _, err = r.Staged("led")
	require.ErrorAs(t, err, &unmerged)
	assert.Equal(t, []string{"a.md", "b.md"}, unmerged.Paths)
	_, err = r.At("HEAD", "led")
	assert.NoError(t, err, "a revision has no conflicts")
	git(t, dir, "add", ".")
	_, err = r.Index("")
	assert.NoError(t, err)

	many := &UnmergedError{Paths: []string{"1", "2", "3", "4", "5", "6", "7"}}
	assert.ErrorContains(t, many, `"5"] and 2 more`)
}

// "git add -N" puts the empty object into the index, which the next commit will
// not hold; a file that is empty on purpose it will.
func TestIntentToAdd(t *testing.T) {
	dir := newRepo(t)
	write(t, dir, "led/was.md", "was")
	write(t, dir, "led/empty before.md", "")
	git(t, dir, "add", ".")
	check := func(when string) {
		r := open(t, dir)
		write(t, dir, "led/intended.md", "not staged yet")
		write(t, dir, "led/empty new.md", "")
		git(t, dir, "add", "-N", "led/intended.md")
		git(t, dir, "add", "led/empty new.md")
		git(t, dir, "rm", "-q", "--cached", "led/was.md")
		git(t, dir, "add", "-N", "led/was.md")
		s := index(t, r, "led")
		assert.Equal(t, map[string]string{"empty before.md": "", "empty new.md": ""}, contents(t, s), when)
		_, err := s.Read("intended.md")
		assert.ErrorIs(t, err, fs.ErrNotExist, when)
		changed, deleted := staged(t, r, "led")
		assert.NotContains(t, changed, "intended.md", when)
		if when == "after a commit" {
			assert.Equal(t, []string{"empty new.md"}, changed)
			assert.Equal(t, []string{"was.md"}, deleted, "a commit now would drop it")
		}
		git(t, dir, "rm", "-q", "--cached", "led/intended.md", "led/empty new.md")
		git(t, dir, "add", "led/was.md")
	}
	check("before the first commit")
	git(t, dir, "commit", "-qm", "1")
	check("after a commit")
}

func TestLargeFileIsNotRead(t *testing.T) {
	dir := newRepo(t)
	big := make([]byte, 50<<20) // a short film
	require.NoError(t, os.WriteFile(filepath.Join(dir, "film.mov"), big, 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "just.md"), big[:source.MaxRead], 0o644))
	git(t, dir, "add", ".")
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	s := index(t, open(t, dir), "")
	files, err := s.Files()
	require.NoError(t, err)
	assert.Equal(t, int64(50<<20), files[0].Size)
	_, err = s.Read("film.mov")
	runtime.ReadMemStats(&after)
	assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(4<<20))
	var large *source.TooLargeError
	require.ErrorAs(t, err, &large)
	assert.Equal(t, int64(50<<20), large.Size)
	text, err := s.Read("just.md")
	require.NoError(t, err)
	assert.Len(t, text, source.MaxRead)
}

// One hole in the repository does not hide the other files.
func TestMissingObject(t *testing.T) {
	dir := newRepo(t)
	write(t, dir, "a.md", "a")
	git(t, dir, "add", ".")
	git(t, dir, "update-index", "--add", "--cacheinfo", "100644,1234567890123456789012345678901234567890,b.md")
	write(t, dir, "c.md", "c")
	git(t, dir, "add", "c.md")
	s := index(t, open(t, dir), "")
	_, err := s.Read("b.md")
	assert.ErrorContains(t, err, "does not hold its content")
	for _, p := range []string{"a.md", "c.md"} {
		text, err := s.Read(p)
		require.NoError(t, err)
		assert.Equal(t, p[:1], string(text))
	}
}

// A damaged object spoils what is fetched together with it; the others are
// then fetched alone.
func TestDamagedObject(t *testing.T) {
	dir := newRepo(t)
	write(t, dir, "a.md", "a")
	write(t, dir, "b.md", strings.Repeat("to be damaged\n", 100))
	git(t, dir, "add", ".")
	s := index(t, open(t, dir), "")
	oid := git(t, dir, "rev-parse", ":b.md")
	object := filepath.Join(dir, ".git", "objects", oid[:2], oid[2:])
	text, err := os.ReadFile(object)
	require.NoError(t, err)
	require.NoError(t, os.Chmod(object, 0o644))
	require.NoError(t, os.WriteFile(object, text[:len(text)/2], 0o644))
	_, err = s.Read("b.md")
	require.Error(t, err)
	got, err := s.Read("a.md")
	require.NoError(t, err)
	assert.Equal(t, "a", string(got))
}

func TestSnapshotStaysAndIsShared(t *testing.T) {
	dir := newRepo(t)
	for i := range 50 {
		write(t, dir, fmt.Sprintf("f%02d.md", i), strings.Repeat(fmt.Sprint(i), i+1))
	}
	git(t, dir, "add", ".")
	r := open(t, dir)
	s := index(t, r, "")
	files, err := s.Files()
	require.NoError(t, err)
	files[0].Path = "overwritten"
	write(t, dir, "f01.md", "later")
	git(t, dir, "add", ".")
	var wait sync.WaitGroup
	for g := range 4 {
		wait.Go(func() {
			for i := range 50 {
				n := (i*7 + g) % 50
				text, err := s.Read(fmt.Sprintf("f%02d.md", n))
				assert.NoError(t, err)
				assert.Equal(t, strings.Repeat(fmt.Sprint(n), n+1), string(text))
				if len(text) > 0 {
					text[0] = 'X' // what was read belongs to the reader
				}
			}
		})
	}
	wait.Wait()
	files, err = s.Files()
	require.NoError(t, err)
	assert.Equal(t, "f00.md", files[0].Path)
}

// Small files come in groups, larger ones alone; none gets the bytes of another.
func TestReadAcrossChunks(t *testing.T) {
	dir := newRepo(t)
	want := map[string]string{}
	for i := range chunkFiles + 3 {
		want[fmt.Sprintf("n/%04d.md", i)] = fmt.Sprintf("note %d", i)
	}
	for i := range 2*chunkBytes/smallFile + 3 {
		want[fmt.Sprintf("s/%02d.csv", i)] = fmt.Sprint(i) + strings.Repeat("y", smallFile-2)
	}
	want["l/one.csv"] = strings.Repeat("z", smallFile+1)
	want["l/same.csv"] = want["s/07.csv"]
	for path, text := range want {
		write(t, dir, path, text)
	}
	git(t, dir, "add", ".")
	assert.Equal(t, want, contents(t, index(t, open(t, dir), "")))
}
