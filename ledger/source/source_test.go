package source

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func write(t testing.TB, root, path, text string) {
	t.Helper()
	full := filepath.Join(root, filepath.FromSlash(path))
	require.NoError(t, os.MkdirAll(filepath.Dir(full), 0o755))
	require.NoError(t, os.WriteFile(full, []byte(text), 0o644))
}

func listing(t testing.TB, s Source) []string {
	t.Helper()
	files, err := s.Files()
	require.NoError(t, err)
	out := []string{}
	for _, f := range files {
		out = append(out, fmt.Sprintf("%s|%d|%s", f.Path, f.Size, f.Kind))
	}
	return out
}

func dir(t testing.TB, root string) Source {
	t.Helper()
	s, err := Dir(root)
	require.NoError(t, err)
	return s
}

func TestDirLists(t *testing.T) {
	root, outside := t.TempDir(), t.TempDir()
	write(t, outside, "secret.md", "secret")
	write(t, root, "tenths.toml", "units = \"in\"\n")
	write(t, root, "parts/P-10.md", "part")
	write(t, root, "parts-old.md", "x") // '-' sorts before '/': the whole path decides
	write(t, root, "fixtures/a b üñ.md", "odd name")
	write(t, root, ".git/config", "git")
	write(t, root, ".cache/x.md", "cache")
	write(t, root, "parts/.hidden/x.md", "cache")
	write(t, root, ".gitignore", "*.bak\n")
	write(t, root, "nested/.git/HEAD", "a repository of its own")
	write(t, root, "nested/P-99.md", "not ours")
	write(t, root, "vendor/.git", "gitdir: elsewhere")
	require.NoError(t, os.Symlink("P-10.md", filepath.Join(root, "parts", "alias.md")))
	require.NoError(t, os.Symlink(outside, filepath.Join(root, "out")))
	require.NoError(t, os.Symlink("..", filepath.Join(root, "parts", "loop")))

	assert.Equal(t, []string{
		".gitignore|6|file",
		"fixtures/a b üñ.md|8|file",
		"nested|0|neither a file nor a link",
		"out|0|symbolic link",
		"parts-old.md|1|file",
		"parts/P-10.md|4|file",
		"parts/alias.md|0|symbolic link",
		"parts/loop|0|symbolic link",
		"tenths.toml|13|file",
		"vendor|0|neither a file nor a link",
	}, listing(t, dir(t, root)))
}

func TestDirReads(t *testing.T) {
	root, outside := t.TempDir(), t.TempDir()
	write(t, outside, "secret.md", "secret")
	write(t, root, "parts/P-10.md", "line\r\nno end")
	write(t, root, ".git/config", "git")
	require.NoError(t, os.Symlink("P-10.md", filepath.Join(root, "parts", "alias.md")))
	require.NoError(t, os.Symlink("parts", filepath.Join(root, "alias")))
	require.NoError(t, os.Symlink(outside, filepath.Join(root, "out")))
	require.NoError(t, os.Symlink(filepath.Join(outside, "secret.md"), filepath.Join(root, "secret.md")))
	s := dir(t, root)

	text, err := s.Read("parts/P-10.md")
	require.NoError(t, err)
	assert.Equal(t, "line\r\nno end", string(text), "bytes are not touched")

	for _, c := range []struct {
		path string
		want error
		says string
	}{
		{"parts/P-11.md", fs.ErrNotExist, ""},
		{"parts/P-10.md/x", fs.ErrNotExist, ""},
		{"absent/x.md", fs.ErrNotExist, ""},
		{"", ErrRefused, "from the ledger root"},
		{".", ErrRefused, "from the ledger root"},
		{"..", ErrRefused, "from the ledger root"},
		{"../" + filepath.Base(outside) + "/secret.md", ErrRefused, "from the ledger root"},
		{"parts/../../x", ErrRefused, "from the ledger root"},
		{filepath.ToSlash(outside) + "/secret.md", ErrRefused, "from the ledger root"},
		{"parts//P-10.md", ErrRefused, "from the ledger root"},
		{"parts/", ErrRefused, "from the ledger root"},
		{"parts\xff.md", ErrRefused, "not UTF-8"},
		{".git/config", ErrRefused, "start with a dot"},
		{"parts", ErrRefused, "not a file"},
		{"secret.md", ErrRefused, "symbolic link"},
		{"out/secret.md", ErrRefused, `"out" is a symbolic link`},
		{"parts/alias.md", ErrRefused, "symbolic link"},
		{"alias/P-10.md", ErrRefused, `"alias" is a symbolic link`},
	} {
		_, err := s.Read(c.path)
		require.ErrorIs(t, err, c.want, "%q", c.path)
		assert.ErrorContains(t, err, c.says, "%q", c.path)
	}
	if runtime.GOOS != "windows" {
		_, err = s.Read("a\x00b")
		assert.Error(t, err)
	}
}

func TestDirErrors(t *testing.T) {
	root := t.TempDir()
	write(t, root, "file.md", "x")
	_, err := Dir(filepath.Join(root, "absent"))
	assert.ErrorIs(t, err, fs.ErrNotExist)
	_, err = Dir(filepath.Join(root, "file.md"))
	assert.ErrorContains(t, err, "not a folder")

	deep := filepath.Join(root, strings.Repeat("d"+string(filepath.Separator), maxDepth+1))
	require.NoError(t, os.MkdirAll(deep, 0o755))
	_, err = dir(t, root).Files()
	assert.ErrorContains(t, err, "folders deep")
}

// A root that is reached through a link is what the person asked for.
func TestDirRootMayBeALink(t *testing.T) {
	root := t.TempDir()
	write(t, root, "a.md", "x")
	link := filepath.Join(t.TempDir(), "ledger")
	require.NoError(t, os.Symlink(root, link))
	s := dir(t, link)
	assert.Equal(t, []string{"a.md|1|file"}, listing(t, s))
	text, err := s.Read("a.md")
	require.NoError(t, err)
	assert.Equal(t, "x", string(text))
}

func TestReadLimit(t *testing.T) {
	root := t.TempDir()
	for name, size := range map[string]int64{"film.mov": 50 << 20, "over.md": MaxRead + 1, "just.md": MaxRead} {
		f, err := os.Create(filepath.Join(root, name))
		require.NoError(t, err)
		require.NoError(t, f.Truncate(size))
		require.NoError(t, f.Close())
	}
	s := dir(t, root)
	assert.Equal(t, []string{"film.mov|52428800|file", "just.md|8388608|file", "over.md|8388609|file"}, listing(t, s))

	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	_, err := s.Read("film.mov")
	runtime.ReadMemStats(&after)
	assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(1<<20), "50 MiB must not be read into memory")
	require.ErrorIs(t, err, ErrTooLarge)
	var large *TooLargeError
	require.ErrorAs(t, err, &large)
	assert.Equal(t, TooLargeError{Path: "film.mov", Size: 50 << 20, Limit: MaxRead}, *large)
	assert.EqualError(t, err, `"film.mov" is too large to read: 50.0 MiB; records and readings may have up to 8.0 MiB`)

	_, err = s.Read("over.md")
	assert.ErrorContains(t, err, "8.1 MiB; records", "a size over the limit must not read as the limit")
	text, err := s.Read("just.md")
	require.NoError(t, err)
	assert.Len(t, text, MaxRead)

	big := strings.Repeat("x", MaxRead+1)
	_, err = Map(map[string]string{"a.md": big}).Read("a.md")
	assert.ErrorIs(t, err, ErrTooLarge)
	_, err = Overlay(Map(nil), "a.md", []byte(big)).Read("a.md")
	assert.ErrorIs(t, err, ErrTooLarge)
}

func TestMap(t *testing.T) {
	texts := map[string]string{"b.md": "bb", "a/c.md": "c", ".git/config": "x"}
	s := Map(texts)
	texts["late.md"] = "x"
	assert.Equal(t, []string{"a/c.md|1|file", "b.md|2|file"}, listing(t, s))
	text, err := s.Read("b.md")
	require.NoError(t, err)
	text[0] = 'X'
	text, err = s.Read("b.md")
	require.NoError(t, err)
	assert.Equal(t, "bb", string(text), "a reader may write to what it was given")
	_, err = s.Read("late.md")
	assert.ErrorIs(t, err, fs.ErrNotExist)
	_, err = s.Read("../b.md")
	assert.ErrorIs(t, err, ErrRefused)
	_, err = s.Read(".git/config")
	assert.ErrorIs(t, err, ErrRefused)
}

func TestOverlay(t *testing.T) {
	base := Map(map[string]string{"a.md": "old", "z.md": "z"})
	unsaved := []byte("newer")
	s := Overlay(base, "a.md", unsaved)
	unsaved[0] = 'X'
	assert.Equal(t, []string{"a.md|5|file", "z.md|1|file"}, listing(t, s))
	text, err := s.Read("a.md")
	require.NoError(t, err)
	assert.Equal(t, "newer", string(text))
	text, err = s.Read("z.md")
	require.NoError(t, err)
	assert.Equal(t, "z", string(text))
	text, err = base.Read("a.md")
	require.NoError(t, err)
	assert.Equal(t, "old", string(text), "the base is untouched")

	added := Overlay(s, "m/new.md", nil)
	assert.Equal(t, []string{"a.md|5|file", "m/new.md|0|file", "z.md|1|file"}, listing(t, added))
	_, err = Overlay(base, "../out.md", nil).Read("../out.md")
	assert.ErrorIs(t, err, ErrRefused)
}

// A text laid over a link is a text: the link itself is never followed.
func TestOverlayOverLink(t *testing.T) {
	root := t.TempDir()
	require.NoError(t, os.Symlink("nowhere", filepath.Join(root, "a.md")))
	s := Overlay(dir(t, root), "a.md", []byte("text"))
	assert.Equal(t, []string{"a.md|4|file"}, listing(t, s))
}

func TestHidden(t *testing.T) {
	for path, want := range map[string]bool{
		"a.md": false, ".gitignore": false, "a/.keep": false, ".git": true, "a/.git": true, ".git/config": true,
		"a/.b/c": true, "a/..b/c": true, "a./b": false,
	} {
		assert.Equal(t, want, Hidden(path), path)
	}
}

// Whatever the names, disk and memory list and read the same.
func TestDirAndMapAgree(t *testing.T) {
	part := rapid.StringMatching(`[a-c.][a-zé \-]{0,3}`)
	rapid.Check(t, func(rt *rapid.T) {
		root, err := os.MkdirTemp("", "source")
		require.NoError(rt, err)
		defer os.RemoveAll(root)
		texts := make(map[string]string)
		for range rapid.IntRange(0, 6).Draw(rt, "files") {
			parts := rapid.SliceOfN(part, 1, 3).Draw(rt, "path")
			path := strings.Join(parts, "/")
			if !fs.ValidPath(path) || path == "." || slices.Contains(parts, ".git") {
				continue // memory has no repository in a repository
			}
			full := filepath.Join(root, filepath.FromSlash(path))
			text := rapid.String().Draw(rt, "text")
			if os.MkdirAll(filepath.Dir(full), 0o755) != nil || os.WriteFile(full, []byte(text), 0o644) != nil {
				continue // a file stands where the folder should be, or the other way round
			}
			texts[path] = text
		}
		disk, err := Dir(root)
		require.NoError(rt, err)
		memory := Map(texts)
		want, err := memory.Files()
		require.NoError(rt, err)
		got, err := disk.Files()
		require.NoError(rt, err)
		require.ElementsMatch(rt, want, got)
		for i := range want {
			require.Equal(rt, want[i], got[i])
			a, err := memory.Read(want[i].Path)
			require.NoError(rt, err)
			b, err := disk.Read(want[i].Path)
			require.NoError(rt, err)
			require.True(rt, bytes.Equal(a, b))
		}
	})
}

func BenchmarkDirFiles(b *testing.B) {
	root := b.TempDir()
	for i := range 1000 {
		write(b, root, fmt.Sprintf("folder%d/R-%d.md", i%20, i), "text")
	}
	s := dir(b, root)
	for b.Loop() {
		if _, err := s.Files(); err != nil {
			b.Fatal(err)
		}
	}
}
