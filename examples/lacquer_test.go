package examples

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
	"tenths/lint"
	"tenths/lint/rules"
)

// TestLacquerUnmasked takes the masking of M-05 out of the right arm again and
// finds what that change cured: 0.004 mm on each wall takes 0.008 mm off the hole
// (plane geometry; the numbers are those of the invented story).
func TestLacquerUnmasked(t *testing.T) {
	const arm = "parts/DV-11.md"
	text, err := os.ReadFile(filepath.Join("instruments", filepath.FromSlash(arm)))
	require.NoError(t, err)
	bare := bytes.Replace(text, []byte("clear lacquer, holes masked"), []byte("clear lacquer"), 1)
	bare = bytes.Replace(bare, []byte("masked = [\"H1\", \"H2\"]\n"), nil, 1)
	require.Len(t, bare, len(text)-len(", holes masked")-len("masked = [\"H1\", \"H2\"]\n"))
	dir, err := source.Dir("instruments")
	require.NoError(t, err)
	l, err := ledger.Load(source.Overlay(dir, arm, bare))
	require.NoError(t, err)
	res, err := lint.Run(l, study.New(l, time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC)), []*lint.Rule{rules.Find("coating-in-fit")}, lint.Options{})
	require.NoError(t, err)
	require.Len(t, res.Findings, 1)
	f := res.Findings[0]
	assert.Equal(t, arm, f.File)
	got := map[string]string{}
	for _, n := range f.Numbers {
		got[n.Name] = n.Q.String()
	}
	assert.Equal(t, map[string]string{"film": "0.004 mm", "takes": "0.008 mm", "hole_coated": "3.995 mm", "pin": "3.994 mm", "clearance": "0.001 mm"}, got)
	assert.Contains(t, f.Message, "keeps 0.001 mm of clearance", "of a 3.994 mm pin in a hole of 4.003 mm bare")
}
