package history

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// benchRepo has 1000 records, each an object file of its own or all in one pack
// as git keeps them after a while.
func benchRepo(b *testing.B, pack bool) *Repo {
	dir := newRepo(b)
	for i := range 1000 {
		write(b, dir, fmt.Sprintf("d%d/R-%d.md", i%20, i), strings.Repeat(fmt.Sprintf("line %d\n", i), 100))
	}
	git(b, dir, "add", ".")
	git(b, dir, "commit", "-qm", "1")
	if pack {
		git(b, dir, "gc", "-q")
	}
	return open(b, dir)
}

func BenchmarkOpen(b *testing.B) {
	dir := newRepo(b)
	for b.Loop() {
		_, err := Open(b.Context(), dir)
		require.NoError(b, err)
	}
}

func BenchmarkIndex(b *testing.B) {
	for name, pack := range map[string]bool{"loose": false, "packed": true} {
		b.Run(name, func(b *testing.B) {
			r := benchRepo(b, pack)
			for b.Loop() {
				s := index(b, r, "")
				files, err := s.Files()
				require.NoError(b, err)
				for _, f := range files {
					if _, err := s.Read(f.Path); err != nil {
						b.Fatal(err)
					}
				}
			}
		})
	}
}
