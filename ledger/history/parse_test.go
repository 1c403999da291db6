package history

import (
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseListingRefuses(t *testing.T) {
	for _, bad := range []string{
		"100644 abc 0\t../up.md\x00", "100644 abc 0\ta/../../up.md\x00", "100644 abc 0\t/abs.md\x00", "100644 abc 0\ta//b.md\x00",
		"100644 abc 0\t\x00", "100644 abc 0\t./a\x00", "100644 abc 0 a.md\x00", "100644 abc\ta.md\x00", "\x00",
	} {
		_, _, err := parseListing([]byte(bad), "", true)
		assert.Error(t, err, "%q", bad)
		_, _, err = parseListing([]byte(bad), "led", true)
		assert.Error(t, err, "%q: outside the ledger too", bad)
	}
}

func TestParseChangesRefuses(t *testing.T) {
	for _, bad := range []string{":100644 100644 a b M\x00", "100644 100644 a b M\x00a.md\x00", ":100644 100644 a b\x00a.md\x00", ":1 2 3 4 M\x00../a\x00"} {
		_, err := parseChanges([]byte(bad), "")
		assert.Error(t, err, "%q", bad)
	}
}

func TestParseHeader(t *testing.T) {
	size, err := parseHeader("abc blob 12\n")
	require.NoError(t, err)
	assert.Equal(t, int64(12), size)
	_, err = parseHeader("abc missing\n")
	assert.ErrorIs(t, err, errMissing)
	for _, bad := range []string{"", "\n", "abc tree 12", "abc blob", "abc blob -1", "abc blob x", "abc blob 99999999999999999999", "abc blob 1 2"} {
		_, err := parseHeader(bad)
		require.Error(t, err, "%q", bad)
		assert.NotErrorIs(t, err, errMissing)
	}
}

func TestParseObjects(t *testing.T) {
	texts, err := parseObjects([]byte("a blob 3\nx\ny\nb blob 0\n\n"), []string{"a", "b"})
	require.NoError(t, err)
	assert.Equal(t, map[string][]byte{"a": []byte("x\ny"), "b": {}}, texts)
	for _, bad := range []string{"", "a blob 3", "a blob 3\n", "a blob 3\nxy", "a blob 3\nxyz", "a blob 3\nxyzw", "a tree 3\nxyz\n", "a blob 9223372036854775807\nx\n"} {
		_, err := parseObjects([]byte(bad), []string{"a"})
		assert.Error(t, err, "%q", bad)
	}
	_, err = parseObjects([]byte("a missing\n"), []string{"a"})
	assert.ErrorIs(t, err, errMissing)
}

func FuzzParse(f *testing.F) {
	f.Add("100644 abc 0\ta.md\x00120000 abc 0\tled/b\x00100644 abc 1\tc\x00100644 abc 2\tc\x00", "led", true)
	f.Add("100644 blob abc\tled/a.md\x00160000 commit abc\tx\x00", "", false)
	f.Add(":000000 100644 0 a A\x00a.md\x00:100644 000000 a 0 D\x00b.md\x00", "", false)
	f.Add("abc blob 2\nxy\n", "", false)
	f.Fuzz(func(t *testing.T, out, prefix string, index bool) {
		entries, unmerged, err := parseListing([]byte(out), prefix, index)
		if err != nil && entries != nil {
			t.Fatal("entries beside an error")
		}
		paths := unmerged
		for _, e := range entries {
			paths = append(paths, e.path)
		}
		changes, _ := parseChanges([]byte(out), prefix)
		for _, c := range changes {
			paths = append(paths, c.path)
		}
		for _, p := range paths {
			if p == "" || strings.ContainsRune(p, 0) || !fs.ValidPath(strings.ToValidUTF8(p, "?")) {
				t.Fatalf("path %q leaves the ledger", p)
			}
		}
		if size, err := parseHeader(out); err == nil && size < 0 {
			t.Fatal("negative size")
		}
		texts, err := parseObjects([]byte(out), []string{"a"})
		if err == nil && len(texts["a"]) >= len(out) {
			t.Fatal("more bytes than there were")
		}
	})
}
