package history

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRevision(t *testing.T) {
	dir := newRepo(t)
	write(t, dir, "a.md", "1")
	git(t, dir, "add", ".")
	git(t, dir, "commit", "-qm", "1")
	git(t, dir, "tag", "-a", "-m", "told", "v1")
	write(t, dir, "a.md", "2")
	t.Setenv("GIT_COMMITTER_DATE", "2024-05-20T23:30:00-0400")
	git(t, dir, "commit", "-qam", "2")
	r := open(t, dir)
	first := git(t, dir, "rev-parse", "HEAD~1")
	for _, rev := range []string{"v1", "HEAD~1", first, first[:9]} {
		got, err := r.Revision(rev)
		require.NoError(t, err, rev)
		assert.Equal(t, first, got.Commit, rev)
		assert.Equal(t, time.Date(2024, 3, 11, 8, 0, 0, 0, time.UTC), got.On)
	}
	got, err := r.Revision("main")
	require.NoError(t, err)
	assert.Equal(t, time.Date(2024, 5, 21, 3, 30, 0, 0, time.UTC), got.On)
	for _, rev := range []string{"", "-q", "--all", "--output=x", "a\nb", "v2", "HEAD:a.md", first + "0"} {
		_, err := r.Revision(rev)
		assert.Error(t, err, "%q", rev)
	}
	assert.NoFileExists(t, filepath.Join(dir, "x"))

	clone := filepath.Join(t.TempDir(), "clone")
	git(t, dir, "clone", "-q", "--depth", "1", "file://"+dir, clone)
	_, err = open(t, clone).Revision("v1")
	assert.ErrorContains(t, err, "a shallow clone")
	_, err = open(t, clone).Revision("HEAD")
	assert.NoError(t, err, "what is there is enough")
}
