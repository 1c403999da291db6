//go:build unix

package capture

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// Set in a child process: the ledger, how many lines to record, the first reading.
const (
	childRoot  = "TENTHS_TEST_RECORD"
	childCount = "TENTHS_TEST_COUNT"
	childFirst = "TENTHS_TEST_FIRST"
	childLimit = "TENTHS_TEST_LIMIT" // bytes that a file may have
)

func TestMain(m *testing.M) {
	root := os.Getenv(childRoot)
	if root == "" {
		os.Exit(m.Run())
	}
	number := func(name string) int { n, _ := strconv.Atoi(os.Getenv(name)); return n }
	if limit := number(childLimit); limit > 0 {
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: uint64(limit), Max: uint64(limit)}); err != nil {
			fmt.Println(err)
			os.Exit(3)
		}
	}
	for i := range number(childCount) {
		line := "WIDTH " + reading(number(childFirst)+i)
		fmt.Println("recording")
		k, err := Record(root, open(root), Ask{Words: strings.Fields(line), On: day, By: "owner"})
		if err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		fmt.Println("kept", k.ID, reading(number(childFirst)+i))
	}
	os.Exit(0)
}

var day = time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)

// reading is a deviation that no other number gives.
func reading(n int) string { return fmt.Sprintf("+%d.5", n) }

const part = `+++
kind = "part"
id = "P-10"
title = "Side plate"
units = "in"

[[characteristic]]
id = "WIDTH"
type = "size"
limits = "1.5000 ±0.0010"
gauge = "G8"
+++
`

const gauge = `+++
kind = "gauge"
id = "G8"
title = "Micrometer"
type = "micrometer"
resolution = "0.00005"
units = "in"
+++
`

// shop writes a small ledger and gives its root.
func shop(t *testing.T, more map[string]string) string {
	t.Helper()
	root := t.TempDir()
	files := map[string]string{"tenths.toml": "units = \"in\"\n", "parts/P-10.md": part, "gauges/G8.md": gauge}
	for name, text := range more {
		files[name] = text
	}
	for name, text := range files {
		file := filepath.Join(root, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	}
	return root
}

func open(root string) *study.Set {
	src, err := source.Dir(root)
	if err != nil {
		panic(err)
	}
	l, err := ledger.Load(src)
	if err != nil {
		panic(err)
	}
	return study.New(l, day)
}

func child(t *testing.T, root string, count, first, limit int) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), childRoot+"="+root, fmt.Sprintf("%s=%d", childCount, count), fmt.Sprintf("%s=%d", childFirst, first), fmt.Sprintf("%s=%d", childLimit, limit))
	return cmd
}

// found gives how often each reading of the characteristic stands in the
// ledger, which must hold nothing that cannot be read.
func found(t *testing.T, root string) map[string]int {
	t.Helper()
	s := open(root)
	require.Empty(t, s.L.Problems)
	out := map[string]int{}
	ids := map[string]bool{}
	for _, rec := range s.L.Records {
		require.False(t, ids[rec.ID()], "%s is there twice", rec.ID())
		ids[rec.ID()] = true
		if in, ok := rec.Data.(*ledger.Inspection); ok {
			assert.Empty(t, in.Unsorted)
			pieces := map[string]bool{}
			for _, row := range in.Rows() {
				assert.False(t, pieces[row.Piece.S], "piece %s of %s is there twice", row.Piece.S, rec.ID())
				pieces[row.Piece.S] = true
				out[row.Values[0].Raw]++
			}
		}
	}
	return out
}

// TestTwoAtOnce lets processes record for one person at the same time. Every line
// must be there once.
func TestTwoAtOnce(t *testing.T) {
	root := shop(t, nil)
	const each = 25
	a, b := child(t, root, each, 1, 0), child(t, root, each, 101, 0)
	require.NoError(t, a.Start())
	require.NoError(t, b.Start())
	require.NoError(t, a.Wait())
	require.NoError(t, b.Wait())
	got := found(t, root)
	assert.Len(t, got, 2*each)
	for i := range each {
		assert.Equal(t, 1, got[reading(1+i)])
		assert.Equal(t, 1, got[reading(101+i)])
	}
	files, err := filepath.Glob(filepath.Join(root, Folder, "2026", "*"))
	require.NoError(t, err)
	assert.Len(t, files, 1, "the two wrote into one file")
}

// TestKilled kills a process that records, again and again. What it said to have
// kept is there, nothing is half written, and what killing left behind is swept up
// by the next line.
func TestKilled(t *testing.T) {
	root := shop(t, nil)
	kept := map[string]bool{}
	for round := range 12 {
		cmd := child(t, root, 1000, 1000*round+1, 0)
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		lines := bufio.NewScanner(out)
		see := func() {
			if f := strings.Fields(lines.Text()); len(f) == 3 && f[0] == "kept" {
				kept[f[2]] = true
			}
		}
		for range 2*(round%4) + 1 {
			require.True(t, lines.Scan())
			see()
		}
		require.NoError(t, cmd.Process.Kill())
		for lines.Scan() { // what it said before it died
			see()
		}
		assert.Error(t, cmd.Wait())
		got := found(t, root)
		for r := range kept {
			assert.Equal(t, 1, got[r], "round %d: %s was said to be kept", round, r)
		}
	}
	_, err := Record(root, open(root), Ask{Words: []string{"WIDTH", "+1"}, On: day, By: "owner"})
	require.NoError(t, err)
	files, err := os.ReadDir(filepath.Join(root, Folder, "2026"))
	require.NoError(t, err)
	assert.Len(t, files, 1, "texts that never took the file's place are gone")
}

// TestFullDisk records where files cannot grow any more (RLIMIT_FSIZE of POSIX,
// which fails a write as a full disk does, in its middle). The error is said, the
// file stays as it was, and nothing is left beside it.
func TestFullDisk(t *testing.T) {
	root := shop(t, nil)
	require.NoError(t, child(t, root, 1, 1, 0).Run())
	name := filepath.Join(root, Folder, "2026", "2026-11-25-owner.md")
	before, err := os.ReadFile(name)
	require.NoError(t, err)
	out, err := child(t, root, 1, 2, len(before)+20).Output()
	require.Error(t, err)
	assert.Contains(t, string(out), "nothing was written")
	after, err := os.ReadFile(name)
	require.NoError(t, err)
	assert.Equal(t, string(before), string(after))
	files, err := os.ReadDir(filepath.Dir(name))
	require.NoError(t, err)
	assert.Len(t, files, 1)
	// A first line of a day fails as whole.
	fresh := shop(t, nil)
	_, err = child(t, fresh, 1, 1, 50).Output()
	require.Error(t, err)
	files, err = os.ReadDir(filepath.Join(fresh, Folder, "2026"))
	require.NoError(t, err)
	assert.Empty(t, files)
	require.NoError(t, child(t, fresh, 1, 1, 0).Run())
	assert.Len(t, found(t, fresh), 1)
}

// TestWithoutLocks keeps lines in files of their own where the folder is held by
// somebody who does not let go, or has no locks at all.
func TestWithoutLocks(t *testing.T) {
	root := shop(t, nil)
	s := open(root)
	for i := range 3 {
		c := &clerk{root: root, s: s, l: s.L, line: "WIDTH " + reading(i), by: "owner", ask: Ask{On: day}, unlocked: true}
		set, bad := c.read()
		require.Nil(t, bad)
		_, bad, err := c.keep(set)
		require.Nil(t, bad)
		require.NoError(t, err)
	}
	assert.Len(t, found(t, root), 3)
	files, err := filepath.Glob(filepath.Join(root, Folder, "2026", "*.md"))
	require.NoError(t, err)
	assert.Len(t, files, 3)
}
