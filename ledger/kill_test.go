package ledger

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// writeForever is set in the child process of TestKilledInTheMiddle.
const writeForever = "TENTHS_TEST_WRITE_FOREVER"

func TestMain(m *testing.M) {
	if dir := os.Getenv(writeForever); dir != "" {
		old, text := twoTexts()
		for {
			fmt.Println("writing")
			if err := WriteFile(dir, "t.md", old, text); err != nil {
				fmt.Println(err)
				os.Exit(1)
			}
			old, text = text, old
		}
	}
	os.Exit(m.Run())
}

func twoTexts() (a, b []byte) {
	return bytes.Repeat([]byte("old text\n"), 1<<16), bytes.Repeat([]byte("new\n"), 1<<17)
}

// TestKilledInTheMiddle kills a process that replaces a file over and over. The
// file must be one of the two texts, whole.
func TestKilledInTheMiddle(t *testing.T) {
	self, err := os.Executable()
	require.NoError(t, err)
	old, text := twoTexts()
	for round := range 12 {
		dir := t.TempDir()
		file := filepath.Join(dir, "t.md")
		require.NoError(t, os.WriteFile(file, old, 0o644))
		cmd := exec.Command(self)
		cmd.Env = append(os.Environ(), writeForever+"="+dir)
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		lines := bufio.NewScanner(out)
		for range round + 1 {
			require.True(t, lines.Scan())
			require.Equal(t, "writing", lines.Text())
		}
		require.NoError(t, cmd.Process.Kill())
		assert.Error(t, cmd.Wait())
		got, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(got, old) || bytes.Equal(got, text), "round %d: the file is neither the old text nor the new one", round)
	}
}
