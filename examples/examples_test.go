// Package examples holds ledgers of invented data; each folder with a
// tenths.toml is one. The tests keep them readable and whole.
package examples

import (
	"bytes"
	"fmt"
	"image/png"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
)

// maxPicture keeps the sketches small, in bytes.
const maxPicture = 2000

// demos lists the folders that are ledgers.
func demos(t *testing.T) []string {
	t.Helper()
	configs, err := filepath.Glob(filepath.Join("*", ledger.ConfigName))
	require.NoError(t, err)
	var out []string
	for _, c := range configs {
		out = append(out, filepath.Dir(c))
	}
	require.Contains(t, out, "focuser", "the demo of the focuser shop is missing")
	return out
}

// load reads a demo from its folder.
func load(t *testing.T, dir string) *ledger.Ledger {
	t.Helper()
	src, err := source.Dir(dir)
	require.NoError(t, err)
	l, err := ledger.Load(src)
	require.NoError(t, err)
	require.NotEmpty(t, l.Records)
	return l
}

// TestDemosRead checks that every record can be read and every key has a
// meaning: what is wrong in a demo on purpose is wrong in its contents.
func TestDemosRead(t *testing.T) {
	for _, dir := range demos(t) {
		t.Run(dir, func(t *testing.T) {
			l := load(t, dir)
			for _, p := range l.Problems {
				assert.Fail(t, p.Msg, "%s: %s", where(l, p), p.Fix)
			}
			kinds := map[ledger.Kind]bool{}
			for _, rec := range l.Records {
				kinds[rec.Kind()] = true
				assert.NotEmpty(t, bytes.TrimSpace(rec.Src[rec.BodyStart:]), "%s has no notes", rec.Path)
			}
			for _, k := range ledger.Kinds() {
				assert.True(t, kinds[k], "no %s in the demo", k)
			}
		})
	}
}

// where gives the file and line of a problem.
func where(l *ledger.Ledger, p ledger.Problem) string {
	src := l.ConfigSrc
	for _, rec := range l.Records {
		if rec.Path == p.File {
			src = rec.Src
		}
	}
	return place(p.File, src, p.Span)
}

func place(file string, src []byte, at ledger.Span) string {
	pos := ledger.PositionOf(src, at.Start)
	return fmt.Sprintf("%s:%d:%d", file, pos.Line, pos.Column)
}

// TestDemosHangTogether checks that everything a record names is there and is
// of the right kind.
func TestDemosHangTogether(t *testing.T) {
	for _, dir := range demos(t) {
		t.Run(dir, func(t *testing.T) {
			l := load(t, dir)
			n := 0
			for _, rec := range l.Records {
				for _, ref := range l.References(rec) {
					n++
					at := place(rec.Path, rec.Src, ref.At)
					if ref.File {
						assert.Contains(t, l.Files, ref.Path, "%s: %s is no file", at, ref.As)
						continue
					}
					target, err := l.Find(ref.Path)
					if assert.NoError(t, err, at) {
						assert.True(t, ref.Fits(target), "%s: %s = %s may name only %s", at, ref.Key, ref.As, strings.Join(ref.To, ", "))
					}
				}
			}
			assert.Positive(t, n, "no record names another")
		})
	}
}

// TestDemosSayInvented checks that nobody can take a demo for a real shop.
func TestDemosSayInvented(t *testing.T) {
	for _, dir := range demos(t) {
		text, err := os.ReadFile(filepath.Join(dir, "README.md"))
		require.NoError(t, err)
		assert.Contains(t, strings.ToLower(string(text)), "invented", dir)
		assert.Contains(t, strings.ToLower(load(t, dir).Config.Shop.S), "invented", dir)
	}
}

// TestDemoPictures checks that the pictures are real ones, and small.
func TestDemoPictures(t *testing.T) {
	for _, dir := range demos(t) {
		for name, f := range load(t, dir).Files {
			if path.Ext(name) != ".png" {
				continue
			}
			assert.LessOrEqual(t, f.Size, int64(maxPicture), name)
			text, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
			require.NoError(t, err)
			_, err = png.Decode(bytes.NewReader(text))
			assert.NoError(t, err, name)
		}
	}
}
