package report

import (
	"bytes"
	"flag"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

var update = flag.Bool("update", false, "write what is printed into the golden files")

// asOf is the day of all tests.
var asOf = time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC)

// shopFiles are the files of the test ledger.
func shopFiles(t *testing.T) map[string]string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", "shop.txtar"))
	require.NoError(t, err)
	files := map[string]string{}
	for _, f := range txtar.Parse(text).Files {
		files[f.Name] = string(f.Data)
	}
	return files
}

// setOf loads a ledger that must have no problem.
func setOf(t *testing.T, files map[string]string) *study.Set {
	t.Helper()
	l, err := ledger.Load(source.Map(files))
	require.NoError(t, err)
	require.Empty(t, l.Problems)
	return study.New(l, asOf)
}

func shop(t *testing.T) *study.Set { return setOf(t, shopFiles(t)) }

func page(t *testing.T, s *study.Set, id string, opt PageOptions) *Page {
	t.Helper()
	rec := s.L.Record(id)
	require.NotNil(t, rec, id)
	p, err := Improvement(s, rec, opt)
	require.NoError(t, err)
	return p
}

// printed is what a writer prints.
func printed(t *testing.T, write func(io.Writer) error) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write(&b))
	return b.String()
}

// golden compares with a file under testdata/golden.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", "golden", name)
	if *update {
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), got, name)
}
