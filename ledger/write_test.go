package ledger

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Nothing is written through a link, whether it leaves the ledger or not.
func TestNoWriteThroughLinks(t *testing.T) {
	dir, outside := t.TempDir(), t.TempDir()
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "real", "sub"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "real", "t.md"), []byte("old"), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(outside, "t.md"), []byte("old"), 0o644))
	for link, to := range map[string]string{"out": outside, "in": "real", filepath.Join("real", "sub", "up"): "..", "gone": filepath.Join(outside, "not there")} {
		require.NoError(t, os.Symlink(to, filepath.Join(dir, link)))
	}
	for _, name := range []string{"out/t.md", "in/t.md", "out/new.md", "in/new.md", "real/sub/up/new.md", "gone/new.md"} {
		assert.ErrorContains(t, CreateFile(dir, name, "text"), "is a link", name)
		assert.Error(t, WriteFile(dir, name, []byte("old"), []byte("new")), name)
	}
	// The file itself: a link is there already, wherever it leads.
	require.NoError(t, os.Symlink(filepath.Join(outside, "dangling.md"), filepath.Join(dir, "l.md")))
	assert.ErrorContains(t, CreateFile(dir, "l.md", "text"), "is there already")
	for _, name := range []string{"../x.md", "/x.md", "", ".", "a/../../x.md"} {
		assert.ErrorContains(t, CreateFile(dir, name, "text"), "no path within", name)
	}
	for _, folder := range []string{outside, filepath.Join(dir, "real")} {
		entries, err := os.ReadDir(folder)
		require.NoError(t, err)
		for _, e := range entries {
			assert.Contains(t, []string{"t.md", "sub"}, e.Name())
		}
		text, err := os.ReadFile(filepath.Join(folder, "t.md"))
		require.NoError(t, err)
		assert.Equal(t, "old", string(text))
	}
	require.NoError(t, CreateFile(dir, "a/b/new.md", "text"))
	text, err := os.ReadFile(filepath.Join(dir, "a", "b", "new.md"))
	require.NoError(t, err)
	assert.Equal(t, "text", string(text))
	assert.ErrorContains(t, CreateFile(dir, "a/b/new.md", "other"), "is there already")
	entries, err := os.ReadDir(filepath.Join(dir, "a", "b"))
	require.NoError(t, err)
	assert.Len(t, entries, 1)
}

// A folder that is swapped for a link all the while never makes the text come
// out of the ledger.
func TestSwappedFolder(t *testing.T) {
	dir, outside := t.TempDir(), t.TempDir()
	sub, aside := filepath.Join(dir, "sub"), filepath.Join(dir, "aside")
	require.NoError(t, os.Mkdir(sub, 0o755))
	for _, f := range []string{sub, outside} {
		require.NoError(t, os.WriteFile(filepath.Join(f, "t.md"), []byte("old"), 0o644))
	}
	stop, done := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(done)
		for {
			select {
			case <-stop:
				return
			default:
			}
			if os.Rename(sub, aside) == nil && os.Symlink(outside, sub) == nil {
				_ = os.Remove(sub)
			}
			_ = os.Rename(aside, sub)
		}
	}()
	old, text := []byte("old"), []byte("new")
	written := 0
	for range 300 {
		if WriteFile(dir, "sub/t.md", old, text) == nil {
			old, text = text, old
			written++
		}
		_ = CreateFile(dir, "sub/fresh.md", "x")
	}
	close(stop)
	<-done
	entries, err := os.ReadDir(outside)
	require.NoError(t, err)
	assert.Len(t, entries, 1, "something was written outside")
	got, err := os.ReadFile(filepath.Join(outside, "t.md"))
	require.NoError(t, err)
	assert.Equal(t, "old", string(got))
	t.Logf("%d of 300 writes got through", written)
}

// Whatever the title: it is refused, or the record reads back with it.
func TestScaffoldTitle(t *testing.T) {
	for _, title := range []string{"two\nlines", "red \x1b[31m", "\u202eback", "bell \a", "\xff", "a\tb", "   "} {
		_, _, err := Scaffold(KindPart, "P-1", title, "in", time.Time{})
		assert.ErrorContains(t, err, "title", "%q", title)
		_, err = ConfigScaffold(title, "in")
		assert.ErrorContains(t, err, "name of the shop", "%q", title)
	}
	rapid.Check(t, func(rt *rapid.T) {
		title := rapid.OneOf(rapid.String(), rapid.StringOf(rapid.SampledFrom([]rune("a \"\\'#=+\n\x1b{}µ±"))), rapid.Just(`+++`), rapid.Just(`ends with \`)).Draw(rt, "title")
		name, text, err := Scaffold(KindTool, "T1", title, "in", time.Date(2026, 1, 2, 0, 0, 0, 0, time.UTC))
		config, err2 := ConfigScaffold(title, "mm")
		if (err == nil) != (err2 == nil) {
			rt.Fatalf("%v, %v", err, err2)
		}
		if err != nil {
			return
		}
		l := load(t, map[string]string{name: text, ConfigName: config})
		if len(l.Problems) > 0 || l.Record("T1") == nil {
			rt.Fatalf("%q: %v", title, listed(l))
		}
		if title != "" && (l.Record("T1").Common.Title.S != title || l.Config.Shop.S != title) {
			rt.Fatalf("%q reads back as %q", title, l.Record("T1").Common.Title.S)
		}
	})
}

// A record must not get a name under which it is taken for notes.
func TestScaffoldRefusesNotes(t *testing.T) {
	for _, id := range []string{"README", "Readme", "CHANGELOG", "license", "CONTRIBUTING"} {
		_, _, err := Scaffold(KindPart, id, "", "", time.Time{})
		assert.ErrorContains(t, err, "holds notes", id)
	}
	_, _, err := Scaffold(KindPart, "README-1", "", "", time.Time{})
	assert.NoError(t, err)
}
