//go:build unix

package source

import (
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAnyNameIsListed(t *testing.T) {
	root := t.TempDir()
	names := []string{"line\nbreak.md", "raw\xff.md", `back\slash.md`, "quote\".md", "-dash.md"}
	for _, n := range names {
		write(t, root, n, "x")
	}
	s := dir(t, root)
	files, err := s.Files()
	require.NoError(t, err)
	assert.Len(t, files, len(names))
	for _, n := range names {
		text, err := s.Read(n)
		if n == "raw\xff.md" {
			assert.ErrorIs(t, err, ErrRefused)
			continue
		}
		require.NoError(t, err, "%q", n)
		assert.Equal(t, "x", string(text))
	}
}

// Opening a pipe that nobody writes to would wait for ever.
func TestPipeIsNotOpened(t *testing.T) {
	root := t.TempDir()
	require.NoError(t, syscall.Mkfifo(filepath.Join(root, "pipe.md"), 0o644))
	s := dir(t, root)
	assert.Equal(t, []string{"pipe.md|0|neither a file nor a link"}, listing(t, s))
	_, err := s.Read("pipe.md")
	assert.ErrorIs(t, err, ErrRefused)
}
